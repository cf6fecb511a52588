// What people do who have never seen the page: the first card out of an empty folder by mouse, three visits in gloves
// on a tablet, a plan by keyboard alone, and work that is taken up again.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { cpSync, mkdirSync, mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { test } from "node:test";
import { accessible, drag, drawn, file, line, middle, on, resting, state, textOf, until } from "./shared.mjs";
import { shot, startDesk } from "./support.mjs";

const LATERAL = "cases/sm-0417-lateral-blocked-out.spring";
const examples = (doc) => join(process.env.SPRINGLINE_EXAMPLES, doc);

/** A desk of its own on a folder that `fill` makes. */
async function alone(fill, options, work) {
  const folder = mkdtempSync(join(tmpdir(), "springline-trial-"));
  fill(folder);
  const at = await startDesk({ folder, ...options });
  try {
    await work(at, folder);
  } finally {
    at.clean();
  }
}

const check = (path) => execFileSync(process.env.SPRINGLINE, ["check", path], { encoding: "utf8", env: { ...process.env, SPRINGLINE_TODAY: "2027-03-29" } });

/** Presses of mouse or finger, and fields that were typed into. */
async function counted(page) {
  await page.evaluate(() => {
    globalThis.presses = 0;
    globalThis.typed = new Set();
    addEventListener("pointerdown", () => (globalThis.presses += 1), true);
    addEventListener("input", (event) => {
      if (event.target.matches("input:not([type=checkbox], [type=radio])") && event.inputType) globalThis.typed.add(event.target.id);
    }, true);
  });
  return () => page.evaluate(() => ({ presses: globalThis.presses, typed: globalThis.typed.size }));
}

test("from an empty folder to the first card, by mouse", (context) => alone(() => {}, {}, (at, folder) =>
  on("practice", { at }, async (page) => {
    const begun = Date.now();
    const count = await counted(page);
    const tick = (group, label) => page.locator(".group").filter({ hasText: new RegExp(`^${group}`) }).getByLabel(label, { exact: true }).click();
    await page.getByText("This folder has no plans yet").waitFor();
    await shot(page, "trial-empty");
    await accessible(page, "an empty folder");
    await page.locator(".first").getByRole("link", { name: "New practice file" }).click();
    await page.getByText("Still to answer: Name of the practice file").waitFor();
    await page.getByLabel(/^Name of the practice file/).pressSequentially("brook");
    await page.locator("#new-slot").selectOption({ index: 2 });
    await page.getByLabel("What are the brackets?").selectOption("ligated");
    await tick("thermal-niti, round", "0.014");
    await tick("thermal-niti, rectangular", "0.016 x 0.022");
    await tick("steel, rectangular", "0.019 x 0.025");
    await page.getByText("The file will be brook.spring.").waitFor();
    await shot(page, "trial-practice");
    await page.getByRole("button", { name: "Make this practice file" }).click();
    await until(page, () => location.hash === "#plan/brook.spring");
    await page.getByRole("link", { name: "New case" }).waitFor();
    await page.waitForFunction(() => document.querySelector(".findings h2")?.textContent === "No findings");
    await shot(page, "trial-house");
    assert.ok(await page.locator(".picture").isHidden(), "a practice file has no picture");
    await page.getByRole("link", { name: "New case" }).click();
    await page.getByLabel(/^Chart reference/).pressSequentially("BK-0001");
    await page.getByText("The file will be BK-0001.spring.").waitFor();
    await shot(page, "trial-case");
    await page.getByRole("button", { name: "Make this case" }).click();
    await drawn(page);
    await drag(page, await middle(page, "12"), { x: 8, y: 10 });
    await until(page, () => [...document.querySelectorAll(".cm-line")].some((one) => /^ {2}tooth 12 palatal [\d.]+ mm$/.test(one.textContent)));
    const dot = await resting(page.locator(".handle.hit"));
    await drag(page, { x: dot.x + dot.width / 2, y: dot.y + dot.height / 2 }, { x: 2, y: 7 });
    await until(page, () => [...document.querySelectorAll(".cm-line")].some((one) => /^ {2}tooth 12 palatal [\d.]+ mm, rotated \d+ deg mesial-in$/.test(one.textContent)));
    await resting(page.locator(".handle.hit"));
    await drag(page, await middle(page, "23"), { x: 9, y: -8 });
    await until(page, () => [...document.querySelectorAll(".cm-line")].some((one) => /^ {2}tooth 23 labial/.test(one.textContent)));
    await shot(page, "trial-entered");
    await page.locator(".findings li", { hasText: "Nothing in the plan holds the result" }).locator("summary").click();
    await page.locator(".fix", { hasText: "night-time retainer" }).getByRole("button").click();
    await state(page, "Saved");
    await page.getByRole("link", { name: "Print" }).click();
    await page.getByRole("button", { name: "Make the PDF" }).click();
    const link = page.getByRole("link", { name: /^Open .*\.pdf/ });
    await link.waitFor();
    const paper = await page.context().request.get(await link.evaluate((one) => one.href));
    assert.equal((await paper.body()).subarray(0, 5).toString(), "%PDF-");
    if (process.env.SPRINGLINE_SHOTS) writeFileSync(join(process.env.SPRINGLINE_SHOTS, "trial-card.pdf"), await paper.body());
    assert.match(readFileSync(join(folder, "BK-0001.spring"), "utf8"), /night-time/);
    check(join(folder, "BK-0001.spring"));
    const { presses, typed } = await count();
    context.diagnostic(`${presses} presses, ${typed} fields typed into, ${((Date.now() - begun) / 1000).toFixed(0)} s by a machine`);
    assert.ok(presses <= 25 && typed === 2, `${presses} presses, ${typed} fields`);
  })));

const TABLET = { viewport: { width: 1024, height: 768 }, hasTouch: true, isMobile: false };

test("three visits of a case in a row, in gloves on a tablet", (context) => alone((folder) => {
  cpSync(examples("saltmarsh.spring"), join(folder, "saltmarsh.spring"));
  mkdirSync(join(folder, "cases"));
  cpSync(examples(LATERAL), join(folder, LATERAL));
}, { today: "2027-03-29" }, (at, folder) => on(`visit/${LATERAL}`, { at, ...TABLET }, async (page) => {
  const count = await counted(page);
  const said = () => readFileSync(join(folder, LATERAL), "utf8");
  const row = (word) => page.locator(".visit .line").filter({ hasText: new RegExp(`^${word}`) });
  const tick = (word, label) => row(word).getByRole("checkbox", { name: label, exact: typeof label === "string" }).tap();
  /** Teeth are buttons once their field is touched; all of them large enough for a glove. */
  const teeth = async (label, names) => {
    await page.getByLabel(label, { exact: true }).tap();
    for (const name of names) {
      const tooth = page.getByRole("group", { name: `Teeth: ${label}` }).getByRole("button", { name, exact: true });
      const { width, height } = await tooth.boundingBox();
      assert.ok(width >= 48 && height >= 48, `${name}: ${width} by ${height}`);
      await tooth.tap();
    }
  };
  const written = async (block) => {
    await until(page, (words) => words.every((one) => document.querySelector(".block")?.textContent.includes(one)), block);
    for (const one of block) assert.ok(!said().includes(`\n  ${one}`) || one.startsWith("done"), `${one} is shown before it is written`);
    await page.waitForTimeout(200);
    await shot(page, `trial-visit-${block[0].slice(5, 15)}`);
    assert.equal(await page.locator(".said .severity.error").count(), 0, await page.locator(".said").innerText());
    await page.getByRole("button", { name: "Write it down" }).tap();
    await until(page, () => location.hash.startsWith("#plan/"));
    await state(page, "Saved");
    for (const one of block) assert.ok(said().includes(one), one);
  };
  const next = async (day) => {
    if (!(await page.evaluate(() => location.hash)).startsWith("#visit/")) await page.getByRole("link", { name: "Visit", exact: true }).tap();
    // The practice, which is left, has a day too.
    await page.locator(".visit").getByLabel("Day", { exact: true }).fill(day);
    await until(page, (on) => document.querySelector(".form .line")?.textContent.includes(`seen ${on}`), day);
  };

  // As planned.
  await next("2027-01-04");
  await page.getByRole("button", { name: "initials: KM" }).tap();
  await tick("seen", "done as-planned");
  await tick("upper", "active");
  await tick("lower", "passive");
  await tick("lower", /^now level/);
  await written(["seen 2027-01-04 by KM", "done as-planned", "upper active", "lower passive, now level"]);

  // A loose bracket and a lost stop.
  await next("2027-02-15");
  await page.getByRole("button", { name: "initials: KM" }).tap();
  await tick("upper", "active");
  await tick("upper", "same-wire");
  await tick("lower", "active");
  await tick("lower", "kept");
  await teeth("loose brackets", ["24"]);
  await page.getByRole("button", { name: "lost stop place: mesial of 21" }).tap();
  await accessible(page, "visit with teeth to tap");
  await written(["seen 2027-02-15 by KM", "upper active, same-wire", "lower active, kept", "loose 24", "lost stop mesial of 21"]);

  // A wire that had to stay.
  await next("2027-03-29");
  await page.getByRole("button", { name: "initials: KM" }).tap();
  await teeth("upper binds at teeth", ["13"]);
  await tick("upper", "kept");
  await tick("lower", "passive");
  await tick("lower", "kept");
  await written(["seen 2027-03-29 by KM", "upper binds at 13, kept", "lower passive, kept"]);

  check(join(folder, LATERAL));
  const { presses, typed } = await count();
  context.diagnostic(`${presses} touches for three visits, ${typed} fields typed into`);
})));

test("a plan by keyboard alone", () => on("practice", {}, async (page) => {
  /** Tab, until what has the focus has this name; it is seen that it has it. */
  const to = async (name, most = 40) => {
    for (let tries = 0; tries < most; tries += 1) {
      const [found, isSeen] = await page.evaluate(() => {
        const one = document.activeElement;
        const label = one.getAttribute("aria-label") ?? one.labels?.[0]?.textContent ?? one.textContent;
        return [label?.trim() ?? "", getComputedStyle(one).outlineStyle !== "none" || one.closest(".cm-editor") !== null];
      });
      if (name.test(found)) {
        assert.ok(isSeen, `${found} shows that it has the focus`);
        return;
      }
      await page.keyboard.press("Tab");
    }
    assert.fail(`${name} is not reached by Tab`);
  };
  await to(/^Find$/);
  await page.keyboard.type("0430");
  await page.getByRole("heading", { name: "Plans: 1" }).waitFor();
  await to(/^(SM-0430|sm-0430-high-canine)$/, 90);
  await page.keyboard.press("Enter");
  await drawn(page, "13");
  await to(/^As entered/);
  await page.keyboard.press("Enter");
  await until(page, () => document.querySelector(".strip [aria-current]")?.textContent.startsWith("As entered"));
  await until(page, () => document.querySelector(".note")?.textContent === "");
  const before = await textOf(page);
  await to(/^Teeth$/);
  for (let tries = 0; tries < 20 && (await page.evaluate(() => document.querySelector(".says b")?.textContent)) !== "13"; tries += 1) await page.keyboard.press("ArrowRight");
  assert.match(await page.locator("#spoken").textContent(), /^13: /);
  await page.keyboard.press("Enter");
  await page.keyboard.press("Shift+ArrowUp");
  await page.keyboard.press("Enter");
  await until(page, (old) => [...document.querySelectorAll(".cm-line")].map((one) => one.textContent).join("\n") !== old, before);
  await to(/^In or out$/);
  // What is under the hand keeps the focus when the picture of another text comes.
  const says = () => page.evaluate(() => document.querySelector(".says")?.textContent);
  const earlier = await says();
  await page.keyboard.press("Tab");
  await page.keyboard.press("Enter");
  await until(page, (old) => document.querySelector(".says")?.textContent !== old, earlier);
  assert.match(await page.evaluate(() => document.activeElement.getAttribute("aria-label") ?? "nothing"), /^In or out/);
  await to(/^Forces$/);
  await page.keyboard.press("Enter");
  await page.getByRole("columnheader", { name: "On insertion, g" }).first().waitFor();
  await to(/^Undo$/, 90);
  await page.keyboard.press("Enter");
  await page.keyboard.press("Enter");
  await until(page, (old) => [...document.querySelectorAll(".cm-line")].map((one) => one.textContent).join("\n") === old, before);
  await to(/^Text of /);
  await page.keyboard.press("Control+Home");
  await page.keyboard.type("// by keys\n");
  await page.keyboard.press("Control+s");
  await state(page, "Saved");
  // Tab leaves the text, backwards too.
  await page.keyboard.press("Shift+Tab");
  await to(/^Print$/, 90);
  await page.keyboard.press("Enter");
  await to(/^Make the PDF$/);
  await page.keyboard.press("Enter");
  await page.getByRole("link", { name: /^Open .*\.pdf/ }).waitFor();
  await to(/^Open .*\.pdf/, 1);
}));

test("undo goes back to the beginning of the sitting, though the program was ended between", () => alone((folder) => {
  cpSync(examples("saltmarsh.spring"), join(folder, "saltmarsh.spring"));
  writeFileSync(join(folder, "a.spring"), readFileSync(examples(LATERAL)));
}, {}, async (first, folder) => {
  const path = join(folder, "a.spring");
  const start = readFileSync(path, "utf8");
  const type = async (page, words) => {
    await page.locator(".cm-content").click();
    await page.keyboard.press("Control+Home");
    await page.keyboard.type(words);
  };
  await on("plan/a.spring", { at: first }, async (page) => {
    await drawn(page);
    await type(page, "// one\n");
    await page.keyboard.press("Control+s");
    await state(page, "Saved");
    // Left and opened again.
    await page.evaluate(() => (location.hash = "practice"));
    await page.waitForSelector(".practice");
    await page.evaluate(() => (location.hash = "plan/a.spring"));
    await drawn(page);
    await type(page, "// two\n");
    await until(page, () => document.querySelector(".standing")?.textContent === "Not saved");
    await page.waitForTimeout(400);
    // Killed at once, without time for anything.
    await first.stop("SIGKILL");
    await page.close();
  });
  const second = await startDesk({ folder, home: first.home });
  try {
    await on("plan/a.spring", { at: second }, async (page) => {
      await drawn(page);
      assert.ok((await textOf(page)).startsWith("// two\n// one\n"), "what was not saved is there");
      for (let steps = 0; steps < 10 && (await textOf(page)).startsWith("//"); steps += 1) await page.getByRole("button", { name: "Undo" }).click();
      await page.keyboard.press("Control+s");
      await state(page, "Saved");
      assert.equal(readFileSync(path, "utf8"), start);
    });
  } finally {
    second.clean();
  }
}));

test("two desks at one folder, as on two machines: neither loses a word", () => alone((folder) => {
  cpSync(examples("saltmarsh.spring"), join(folder, "saltmarsh.spring"));
  writeFileSync(join(folder, "a.spring"), readFileSync(examples(LATERAL)));
}, {}, async (one, folder) => {
  const path = join(folder, "a.spring");
  // A state folder of its own: this one does not find the first.
  const two = await startDesk({ folder });
  assert.notEqual(one.port, two.port);
  const type = async (page, key, words) => {
    await drawn(page);
    await page.locator(".cm-content").click();
    await page.keyboard.press(key);
    await page.keyboard.type(words);
  };
  try {
    await on("plan/a.spring", { at: one }, (mine) => on("plan/a.spring", { at: two }, async (theirs) => {
      // Half a line is not saved by itself: both have time.
      await type(mine, "Control+Home", "half a line\n");
      await type(theirs, "Control+End", "// theirs\n");
      await theirs.keyboard.press("Control+s");
      await state(theirs, "Saved");
      const dialog = mine.getByRole("dialog");
      await dialog.waitFor();
      assert.ok(!readFileSync(path, "utf8").includes("half a line"), "nothing is written before it is decided");
      // The other's piece is taken over, one's own stays.
      await dialog.locator(".merge").evaluate((one) => (one.scrollTop = one.scrollHeight));
      await mine.waitForTimeout(500);
      const pieces = await dialog.getByTitle("Take this piece over").all();
      const heights = await Promise.all(pieces.map(async (one) => (await one.boundingBox()).y));
      await pieces[heights.indexOf(Math.max(...heights))].click();
      await dialog.getByRole("button", { name: "Keep what stands right" }).click();
      await state(mine, "Saved");
      const text = readFileSync(path, "utf8");
      assert.ok(text.startsWith("half a line\n") && text.trimEnd().endsWith("// theirs"), text);
      await until(theirs, () => document.querySelector(".cm-line")?.textContent !== undefined && document.querySelector("#spoken")?.textContent.includes("taken in"));
      assert.equal(await state(theirs, "Saved").then(() => readFileSync(path, "utf8")), text);
    }));
  } finally {
    two.clean();
  }
}));
