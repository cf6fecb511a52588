// What the page costs, measured against what it is meant to cost; prints a table. Variables as in support.mjs; the
// program should be a release build, and the machine otherwise at rest.
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, readdirSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { gzipSync } from "node:zlib";
import { crowns, pointsOf, stl } from "./made.mjs";
import { newTab, startBrowser, startDesk, startPick } from "./support.mjs";

const assets = new URL("../../../cli/assets/desk/", import.meta.url);
const note = (what, aim, got) => console.log(`${what.padEnd(46)}  aim ${aim.padEnd(8)}  measured ${got}`);
const part = (values, share) => [...values].sort((a, b) => a - b)[Math.min(values.length - 1, Math.floor(values.length * share))];
const ms = (value) => `${value.toFixed(0)} ms`;
const kB = (bytes) => `${(bytes / 1000).toFixed(1)} kB`;

const zipped = (...names) => kB(names.reduce((sum, name) => sum + gzipSync(readFileSync(new URL(name, assets)), { level: 9 }).length, 0));
note("scripts of the desk, gzipped", "150 kB", zipped("desk.js", "desk-chunk.js"));
note("where a file differs, one more", "-", zipped("desk-differs.js"));
for (const name of ["pick.js", "mesh.js"]) note(`${name}, gzipped`, name === "pick.js" ? "20 kB" : "180 kB", zipped(name));
note("files in the program", "1250 kB", kB(["desk.js", "desk-chunk.js", "desk-differs.js", "desk.css", "desk.html", "pick.js", "pick.css", "pick.html", "mesh.js", "licences.txt"].reduce((sum, name) => sum + statSync(new URL(name, assets)).size, 0)));

const PLAN = "plan/cases/sm-0417-lateral-blocked-out.spring";
const desk = await startDesk();
const browser = await startBrowser();
const memory = () => Number(/VmRSS:\s+(\d+)/.exec(readFileSync(`/proc/${desk.child.pid}/status`, "utf8"))[1]) / 1000;

async function opened(address = desk.address) {
  const { page } = await newTab(browser);
  // What goes over the line, and when.
  await page.addInitScript(() => {
    globalThis.line = [];
    const note = (sent, text) => {
      const { id, method, params, result } = JSON.parse(text);
      const version = params?.textDocument?.version ?? params?.version ?? result?.version;
      const one = { at: performance.now(), sent, id, method, version };
      globalThis.line.push(one);
      // What the page makes of it in this task is in the next frame.
      requestAnimationFrame(() => {
        const made = new MessageChannel();
        made.port1.onmessage = () => (one.painted = performance.now());
        made.port2.postMessage(0);
      });
    };
    const Plain = WebSocket;
    globalThis.WebSocket = class extends Plain {
      constructor(...all) {
        super(...all);
        this.addEventListener("message", (event) => note(false, event.data));
      }
      send(text) {
        note(true, text);
        super.send(text);
      }
    };
  });
  await page.goto(address);
  await page.waitForSelector(".practice");
  return page;
}

const page = await opened();
await page.waitForFunction(() => !document.body.innerText.includes("Still reading"));
const paint = await page.evaluate(() => performance.getEntriesByType("paint").find((one) => one.name === "first-contentful-paint")?.startTime ?? NaN);
note("first paint", "200 ms", ms(paint));
const began = Date.now();
await page.evaluate((to) => (location.hash = to), PLAN);
await page.waitForSelector(".findings li");
note("plan to first finding", "300 ms", ms(Date.now() - began));
await page.waitForSelector('.stage g[data-tooth="12"]');

// Each key to the frame in which its sign is there, however many frames that takes.
await page.evaluate(() => {
  globalThis.keys = [];
  document.querySelector(".cm-content").addEventListener("keydown", (event) => {
    if (event.key.length > 1 || event.ctrlKey) return;
    const start = performance.now();
    const one = { paint: NaN };
    globalThis.keys.push(one);
    const signs = globalThis.keys.length;
    const look = () => {
      const shown = document.querySelector(".cm-line").textContent.length;
      if (shown < signs && performance.now() - start < 2000) return void requestAnimationFrame(look);
      if (shown < signs) return;
      // A message that is sent in a frame comes when the frame is made.
      const made = new MessageChannel();
      made.port1.onmessage = () => (one.paint = performance.now() - start);
      made.port2.postMessage(0);
    };
    requestAnimationFrame(look);
  }, true);
});
await page.locator(".cm-content").click();
await page.keyboard.press("Control+Home");
await page.keyboard.press("Enter");
await page.keyboard.press("Control+Home");
for (const key of "// a remark of forty signs, typed by hand") {
  await page.keyboard.type(key);
  await page.waitForTimeout(60);
}
const { paints, unseen } = await page.evaluate(() => ({ paints: globalThis.keys.map((one) => one.paint).filter((one) => one > 0), unseen: globalThis.keys.filter((one) => !(one.paint > 0)).length }));
note("key to paint, p50 / p95", "35 ms", `${ms(part(paints, 0.5))} / ${ms(part(paints, 0.95))}; ${unseen} of ${paints.length + unseen} not seen`);

// A drag: frames while it lasts, and how far behind its text findings, picture and forces are, as the page hears of them.
await page.getByRole("button", { name: "As entered" }).click();
await page.waitForTimeout(600);
await page.locator(".forces summary").click();
await page.locator(".forces td").first().waitFor();
const box = await page.locator('.stage g[data-tooth="12"]').first().boundingBox();
await page.evaluate(() => {
  globalThis.frames = [];
  globalThis.hand = [];
  let last = performance.now();
  const frame = (now) => {
    globalThis.frames.push(now - last);
    last = now;
    requestAnimationFrame(frame);
  };
  requestAnimationFrame(frame);
  // From each move of the hand that moves the tooth to the frame that shows it.
  const place = () => document.querySelector('.stage g[data-tooth="12"] path').getBoundingClientRect();
  const stage = document.querySelector(".stage");
  let before = null;
  stage.addEventListener("pointermove", () => (before = place()), true);
  stage.addEventListener("pointermove", (event) => {
    const now = place();
    if (before.x === now.x && before.y === now.y) return;
    requestAnimationFrame(() => {
      // A message that is sent in a frame comes when the frame is made.
      const made = new MessageChannel();
      made.port1.onmessage = () => globalThis.hand.push(performance.now() - event.timeStamp);
      made.port2.postMessage(0);
    });
  });
});
await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
await page.mouse.down();
await page.evaluate(() => ((globalThis.frames.length = 0), (globalThis.hand.length = 0), (globalThis.line.length = 0)));
for (let step = 1; step <= 90; step += 1) {
  await page.mouse.move(box.x + box.width / 2 - step / 3, box.y + box.height / 2 - step / 4);
  await page.waitForTimeout(14);
}
await page.waitForTimeout(2000);
const { frames, hand, line } = await page.evaluate(() => ({ frames: globalThis.frames, hand: globalThis.hand, line: globalThis.line }));
await page.mouse.up();
note("drag: longest frame of the quickest 95 %", "16.7 ms", `${part(frames, 0.95).toFixed(1)} ms`);
note("drag: longest frame", "33 ms", `${Math.max(...frames).toFixed(1)} ms`);
const texts = line.filter((one) => one.sent && one.method === "textDocument/didChange");
note("drag: hand to painted tooth, p50 / p95", "33 ms", hand.length > 0 ? `${ms(part(hand, 0.5))} / ${ms(part(hand, 0.95))} of ${hand.length}` : "none");
note("drag: changes of the text", "-", String(texts.length));
/** From each text to its answer, or to the first of a newer one; findings of the text alone come before those of the mechanics. */
const behind = (is, when = "at") => texts.map(({ at, version }) => {
  const answers = line.filter((one) => !one.sent && one.at >= at && one.version >= version && is(one));
  const answer = answers.findLast((one) => one.version === version) ?? answers[0];
  return answer ? answer[when] - at : Infinity;
});
const findings = (one) => one.method === "textDocument/publishDiagnostics";
const asked = (method) => new Set(line.filter((one) => one.sent && one.method === method).map((one) => one.id));
const answers = (method) => ((ids) => (one) => ids.has(one.id))(asked(method));
for (const [what, aim, is, when] of [
  ["findings", "35 ms", findings],
  ["painted findings", "-", findings, "painted"],
  ["picture", "60 ms", answers("springline/picture")],
  ["forces", "60 ms", answers("springline/forces")],
]) {
  const times = behind(is, when);
  // Forces may be asked for less often than the text changes; findings and picture are not.
  const lost = times.filter((one) => one === Infinity).length;
  note(`drag: text to ${what}, p50 / p95`, aim, times.length > 0 ? `${ms(part(times, 0.5))} / ${ms(part(times, 0.95))}; ${lost} of ${times.length} unanswered` : "none");
}
const heap = await page.evaluate(() => performance.memory?.usedJSHeapSize ?? NaN);
note("page heap", "40 MB", `${(heap / 1e6).toFixed(1)} MB`);
note("program, one plan", "150 MB", `${memory().toFixed(0)} MB`);

// Ten plans, each in a tab of its own, looked at and changed.
const tabs = [];
for (const doc of readdirSync(join(desk.plans, "cases")).filter((name) => name.endsWith(".spring")).slice(0, 10)) {
  const tab = await opened(await desk.another());
  tabs.push(tab);
  await tab.evaluate((to) => (location.hash = to), `plan/cases/${doc}`);
  await tab.waitForSelector(".stage svg");
  await tab.locator(".cm-content").click();
  await tab.keyboard.press("Control+Home");
  await tab.keyboard.type("// ten");
  await tab.waitForTimeout(400);
}
note(`program, ${tabs.length + 1} plans open`, "150 MB", `${memory().toFixed(0)} MB`);
for (const tab of tabs) await tab.context().close();

// How long the program takes from a changed text to its findings and its picture, without a browser.
const session = await page.evaluate(() => sessionStorage.getItem("springline-desk"));
const told = await page.evaluate(async ([origin, session]) => {
  const socket = new WebSocket(`ws://${new URL(origin).host}/socket`);
  await new Promise((resolve) => (socket.onopen = resolve));
  const waiting = new Map();
  let findings = () => {};
  socket.onmessage = (event) => {
    const message = JSON.parse(event.data);
    if (message.method === "textDocument/publishDiagnostics") findings(message.params);
    else if (message.id !== undefined && message.method === undefined) waiting.get(message.id)?.(message.result);
    else if (message.id !== undefined) socket.send(JSON.stringify({ jsonrpc: "2.0", id: message.id, result: null }));
  };
  let count = 0;
  const ask = (method, params) => new Promise((resolve) => {
    waiting.set((count += 1), resolve);
    socket.send(JSON.stringify({ jsonrpc: "2.0", id: count, method, params }));
  });
  const tell = (method, params) => socket.send(JSON.stringify({ jsonrpc: "2.0", method, params }));
  await ask("desk/enter", { session });
  await ask("initialize", { capabilities: {} });
  tell("initialized", {});
  const open = await ask("desk/attach", { doc: "cases/sm-0402-spaces-for-a-bridge.spring" }).catch(() => null)
    ?? await ask("desk/attach", { doc: "cases/sm-0410-both-arches.spring" });
  tell("textDocument/didOpen", { textDocument: { uri: open.uri, languageId: "springline", version: 1, text: open.text } });
  await new Promise((resolve) => (findings = resolve));
  const times = { findings: [], picture: [] };
  for (let turn = 1; turn <= 40; turn += 1) {
    const text = open.text.replace(/(\d+(\.\d+)?) mm/, `${(1 + turn / 50).toFixed(2)} mm`);
    const start = performance.now();
    const came = new Promise((resolve) => (findings = (params) => params.version === turn + 1 && resolve()));
    tell("textDocument/didChange", { textDocument: { uri: open.uri, version: turn + 1 }, contentChanges: [{ text }], text, base: open.base });
    await ask("springline/picture", { textDocument: { uri: open.uri }, moment: "entered", view: "occlusal" });
    times.picture.push(performance.now() - start);
    await Promise.race([came, new Promise((resolve) => setTimeout(resolve, 2000))]);
    times.findings.push(performance.now() - start);
  }
  socket.close();
  return times;
}, [desk.origin, session]);
note("change to findings, p50 / p95", "60 ms", `${ms(part(told.findings, 0.5))} / ${ms(part(told.findings, 0.95))}`);
note("change to picture, p50 / p95", "60 ms", `${ms(part(told.picture, 0.5))} / ${ms(part(told.picture, 0.95))}`);
await desk.stop();
desk.clean();

// A scan of 150,000 triangles, turned by hand where no graphics card draws it.
const scans = mkdtempSync(join(tmpdir(), "springline-scan-"));
const arch = crowns();
writeFileSync(join(scans, "scan.stl"), stl(arch, 150_000));
const pick = await startPick([join(scans, "scan.stl")]);
const scanning = await startBrowser({ scans: true });
const { page: board } = await newTab(scanning);
const opening = Date.now();
await board.goto(pick.address);
await board.locator(".step").waitFor();
await board.evaluate(() => new Promise((resolve) => requestAnimationFrame(() => requestAnimationFrame(resolve))));
note("scan of 150,000 triangles: on the page", "3 s", ms(Date.now() - opening));
const over = await board.locator("canvas.over").boundingBox();
await board.evaluate(() => {
  globalThis.frames = [];
  globalThis.picking.frames.length = 0;
  let last = performance.now();
  const frame = (now) => {
    globalThis.frames.push(now - last);
    last = now;
    requestAnimationFrame(frame);
  };
  requestAnimationFrame(frame);
});
await board.mouse.move(over.x + 200, over.y + 30);
await board.mouse.down();
for (let step = 1; step <= 60; step += 1) {
  await board.mouse.move(over.x + 200 + 3 * step, over.y + 30 + 2 * step);
  await board.waitForTimeout(14);
}
await board.mouse.up();
const turned = await board.evaluate(() => ({ between: globalThis.frames.slice(1), drawn: globalThis.picking.frames }));
note("scan turned: between frames, p50 / p95", "50 ms", `${ms(part(turned.between, 0.5))} / ${ms(part(turned.between, 0.95))}`);
note("scan turned: one drawing by the page, p95", "16.7 ms", `${part(turned.drawn, 0.95).toFixed(1)} ms of ${turned.drawn.length}`);
const hits = await board.evaluate((places) => {
  const began = performance.now();
  const found = places.filter((place) => globalThis.picking.hits(place)).length;
  return { each: (performance.now() - began) / places.length, found };
}, arch.map((crown) => pointsOf(crown).cusp));
note("scan: a place under the mouse", "1 ms", `${hits.each.toFixed(3)} ms, ${hits.found} of ${arch.length}`);
await scanning.close();
await pick.stop();
pick.clean();
rmSync(scans, { recursive: true, force: true });

// A practice of a thousand cases: names at once, rows behind them, and again from the cache.
const many = mkdtempSync(join(tmpdir(), "springline-many-"));
execFileSync(process.env.SPRINGLINE, ["new", "--demo", "1000", "--folder", join(many, "plans")], { stdio: "ignore" });
const large = await startDesk({ folder: join(many, "plans") });
const start = Date.now();
const practice = await opened(large.address);
await practice.getByRole("heading", { name: /^Plans: \d{3,}/ }).waitFor();
note("1,000 cases: names on the page", "1 s", ms(Date.now() - start));
await practice.waitForFunction(() => !document.body.innerText.includes("Still reading") && !document.querySelector("#main table:last-of-type")?.innerText.includes("\u2026"), undefined, { timeout: 120_000 });
note("1,000 cases: all rows, first time", "-", ms(Date.now() - start));
const again = Date.now();
const second = await opened(await large.another());
await second.waitForFunction(() => !document.body.innerText.includes("Still reading") && !document.querySelector("#main table:last-of-type")?.innerText.includes("\u2026"), undefined, { timeout: 120_000 });
note("1,000 cases: all rows, again", "-", ms(Date.now() - again));
await browser.close();
await large.stop();
large.clean();
rmSync(many, { recursive: true, force: true });
