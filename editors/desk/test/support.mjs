// A desk on a copy of the examples, and a browser that looks at it. SPRINGLINE is the program, SPRINGLINE_EXAMPLES the
// folder to copy, SPRINGLINE_CHROMIUM the browser; SPRINGLINE_SHOTS keeps pictures of the pages.
import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createInterface } from "node:readline";
import { chromium } from "playwright-core";

const PATIENCE = 20_000;

const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/** On a copy of the examples, or on a folder; with the state of an earlier one, or with none. */
export async function startDesk({ folder, home = mkdtempSync(join(tmpdir(), "springline-desk-")), today = "2026-11-24" } = {}) {
  const plans = folder ?? join(home, "plans");
  if (!folder) cpSync(process.env.SPRINGLINE_EXAMPLES, plans, { recursive: true });
  const env = { ...process.env, XDG_STATE_HOME: join(home, "state"), XDG_CACHE_HOME: join(home, "cache"), SPRINGLINE_TODAY: today };
  return { plans, ...(await start(["desk", plans, "--no-browser"], home, env)) };
}

/** The page for the points of one picture or scan, with arguments of `springline pick`. */
export async function startPick(args, home = mkdtempSync(join(tmpdir(), "springline-pick-"))) {
  const env = { ...process.env, XDG_STATE_HOME: join(home, "state"), XDG_CACHE_HOME: join(home, "cache"), SPRINGLINE_TODAY: "2026-11-24" };
  return start(["pick", "--no-browser", ...args], home, env);
}

async function start(args, home, env) {
  const run = () => spawn(process.env.SPRINGLINE, args, { env, stdio: ["ignore", "pipe", "pipe"] });
  const child = run();
  const address = await addressOf(child);
  return {
    home, child, address,
    origin: new URL(address).origin,
    port: Number(new URL(address).port),
    /** A second start finds the first, and gives another address. */
    async another() {
      return addressOf(run());
    },
    async stop(signal = "SIGINT") {
      const ended = new Promise((resolve) => child.once("exit", resolve));
      child.kill(signal);
      const code = await ended;
      return code;
    },
    clean() {
      child.kill("SIGKILL");
      rmSync(home, { recursive: true, force: true });
    },
  };
}

function addressOf(child) {
  return new Promise((resolve, reject) => {
    const late = setTimeout(() => reject(new Error("no address came")), PATIENCE);
    let said = "";
    child.stderr.on("data", (text) => (said += text));
    createInterface(child.stdout).on("line", (line) => {
      if (!line.startsWith("http://")) return;
      clearTimeout(late);
      resolve(line.trim());
    });
    child.once("exit", (code) => reject(new Error(`the program ended with ${code}: ${said}`)));
  });
}

/** Where there is no graphics card, scans need one that the processor plays. It takes up to 90 ms for each frame of any page, so
 * pages without scans are looked at without it, as such a machine shows them. */
const PLAYED_CARD = ["--use-angle=swiftshader", "--enable-unsafe-swiftshader"];

export async function startBrowser({ scans = false } = {}) {
  return chromium.launch({
    executablePath: process.env.SPRINGLINE_CHROMIUM ?? "/usr/bin/chromium",
    args: ["--no-sandbox", "--disable-dev-shm-usage", ...(scans ? PLAYED_CARD : [])],
    timeout: PATIENCE,
  });
}

/** A tab; whatever it complains about is kept. */
export async function newTab(browser, options = {}) {
  const context = await browser.newContext({ viewport: { width: 1440, height: 900 }, ...options });
  context.setDefaultTimeout(PATIENCE);
  const page = await context.newPage();
  const complaints = [];
  page.on("console", (message) => {
    if (["error", "warning"].includes(message.type())) complaints.push(message.text());
  });
  page.on("pageerror", (error) => complaints.push(String(error)));
  return { page, complaints };
}

export async function shot(page, name, fullPage = false) {
  const folder = process.env.SPRINGLINE_SHOTS;
  if (!folder) return;
  mkdirSync(folder, { recursive: true });
  await page.screenshot({ path: join(folder, `${name}.png`), fullPage });
}

export async function accessible(page, name) {
  // Evaluated from outside: what the page may load stays as narrow as it is.
  await page.evaluate(AXE);
  const found = await page.evaluate(() => globalThis.axe.run(document, {
    runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
  }));
  const told = found.violations.map((one) => `${one.id}: ${one.nodes.map((node) => node.html.slice(0, 160)).join(" | ")}`);
  assert.deepEqual(told, [], name);
}
