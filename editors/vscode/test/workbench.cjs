// A doctor's first minutes: open a plan, make a mistake, take the fix, look at the arch beside the text.
const assert = require("node:assert");
const fs = require("node:fs");
const path = require("node:path");
const { chromium } = require("playwright-core");

// `program` is the one that has to be running, or the folder that it lies in.
const [address, plans, shots, program] = process.argv.slice(2);
const LONG = 90_000;

async function reachable() {
  for (let i = 0; i < 120; i++) {
    try {
      if ((await fetch(address)).ok) return;
    } catch {}
    await new Promise((done) => setTimeout(done, 500));
  }
  throw new Error("code-server does not answer");
}

// The server that answers is the one meant, not another `springline` of this machine.
function theProgramMeantIsRunning() {
  const running = fs.readdirSync("/proc").flatMap((process) => {
    try {
      return [fs.readlinkSync(`/proc/${process}/exe`)];
    } catch {
      return [];
    }
  });
  const meant = fs.realpathSync(program);
  assert(running.some((exe) => exe.startsWith(meant) && /springline[^/]*$/.test(exe)), `nothing runs from ${meant}`);
}

// A command by its name, as a user would choose it.
async function command(page, name) {
  await page.keyboard.press("F1");
  await page.locator(".quick-input-widget input").first().fill(">" + name);
  await page.locator(".quick-input-list .monaco-list-row").first().waitFor({ timeout: LONG });
  await page.keyboard.press("Enter");
}

async function goTo(page, line, column) {
  await page.keyboard.press("Control+g");
  await page.locator(".quick-input-widget input").first().fill(`:${line},${column}`);
  await page.keyboard.press("Enter");
}

async function session(scheme) {
  const browser = await chromium.launch({
    executablePath: process.env.CHROMIUM || "/usr/bin/chromium",
    args: ["--no-sandbox", "--disable-gpu"],
  });
  const page = await browser.newPage({ viewport: { width: 1500, height: 950 }, colorScheme: scheme });
  const shot = (name) => page.screenshot({ path: path.join(shots, `vscode-${scheme}-${name}.png`) });
  try {
    await page.goto(address, { timeout: LONG });
    await page.locator(".monaco-workbench").waitFor({ timeout: LONG });
    await page.locator(".explorer-folders-view").getByText("case.spring").dblclick({ timeout: LONG });
    const editor = page.locator(".monaco-editor .view-lines").first();
    await editor.waitFor({ timeout: LONG });
    // The server is there when it has something to show between the lines.
    await page.locator(".codelens-decoration").first().waitFor({ timeout: LONG });
    await page.waitForTimeout(1500);
    theProgramMeantIsRunning();
    await shot("1-open");

    const text = fs.readFileSync(path.join(plans, "case.spring"), "utf8").split("\n");
    const line = text.findIndex((l) => l.startsWith("use ")) + 1;
    await editor.click();
    await goTo(page, line, 4);
    await page.keyboard.type("e");
    const squiggle = page.locator(".squiggly-error");
    await squiggle.first().waitFor({ timeout: LONG });
    await command(page, "View: Focus Problems");
    const problem = page.locator(".markers-panel .monaco-list-row").filter({ hasText: "usee" });
    await problem.first().waitFor({ timeout: LONG });
    await shot("2-mistake");

    await editor.click();
    await goTo(page, line, 2);
    await page.keyboard.press("Control+.");
    const fix = page.locator(".action-widget .monaco-list-row").filter({ hasText: "use" });
    await fix.first().waitFor({ timeout: LONG });
    await shot("3-fixes");
    await page.keyboard.press("Enter");
    await squiggle.first().waitFor({ state: "detached", timeout: LONG });
    await shot("4-fixed");

    const step = text.findIndex((l) => /^\s+(step|change) /.test(l)) + 1;
    await editor.click();
    await goTo(page, step, 5);
    await command(page, "Springline: Open arch preview");
    const inside = page.frameLocator("iframe.webview.ready").frameLocator("#active-frame");
    // Both arches from the front, and from the bite.
    await inside.locator("svg.drawing").first().waitFor({ timeout: LONG });
    await inside.locator("svg.drawing").nth(1).waitFor({ timeout: LONG });
    const name = /(?:step|change)\s+([\w-]+)/.exec(text[step - 1])[1];
    await inside.locator("caption").filter({ hasText: name }).first().waitFor({ timeout: LONG });
    await page.waitForTimeout(500);
    await shot("5-preview");
    // A moment is chosen on the page; the text's cursor chooses again.
    await inside.locator("button[data-at]").last().click();
    await inside.locator('li:last-child button[data-at][aria-current="step"]').waitFor({ timeout: LONG });
    await shot("6-preview-end");
  } catch (error) {
    await shot("failed");
    throw error;
  } finally {
    await browser.close();
  }
}

(async () => {
  await reachable();
  for (const scheme of ["light", "dark"]) await session(scheme);
  console.log("the workbench did what a doctor would do");
})().catch((error) => {
  console.error(error);
  process.exit(1);
});
