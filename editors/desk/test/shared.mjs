// What the tests of the page share: one desk on a copy of the examples, one browser, and what a hand does.
import assert from "node:assert/strict";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { after, before } from "node:test";
import { newTab, shot, startBrowser, startDesk } from "./support.mjs";

export { accessible } from "./support.mjs";

export let desk;
export let browser;
before(async () => {
  [desk, browser] = await Promise.all([startDesk(), startBrowser()]);
});
after(async () => {
  await browser?.close();
  desk?.clean();
});

export const file = (doc) => readFileSync(join(desk.plans, doc), "utf8");
export const put = (doc, text) => writeFileSync(join(desk.plans, doc), text);

/** A tab on a screen of the desk; at its end it has complained of nothing. */
export async function on(screen, { at = desk, ...options }, work) {
  const { page, complaints } = await newTab(browser, options);
  try {
    await page.goto(await at.another());
    await page.waitForSelector(".practice");
    await page.evaluate((to) => (location.hash = to), screen);
    await work(page);
    assert.deepEqual(complaints, []);
  } catch (error) {
    await shot(page, `failed-${screen.replaceAll(/\W+/g, "-")}`, true);
    if (complaints.length > 0) console.error(complaints);
    throw error;
  } finally {
    await page.context().close();
  }
}

export const textOf = (page) => page.evaluate(() => {
  const lines = [...document.querySelectorAll(".plan .cm-line")];
  return lines.map((line) => line.textContent).join("\n");
});
export const line = async (page, start) => (await textOf(page)).split("\n").find((one) => one.trim().startsWith(start)) ?? "";
export const state = (page, words) => page.waitForFunction((said) => document.querySelector(".standing")?.textContent === said, words);
export const until = (page, what, argument) => page.waitForFunction(what, argument);
export const drawn = (page, tooth = "12") => page.waitForSelector(`.stage g[data-tooth="${tooth}"]`);


/** Where an element stands once the picture has followed the text: a hand reaches for what rests. */
export async function resting(locator) {
  let before = await locator.boundingBox();
  for (let tries = 0; tries < 25; tries += 1) {
    await locator.page().waitForTimeout(400);
    const now = await locator.boundingBox();
    if (before && now && before.x === now.x && before.y === now.y) return now;
    before = now;
  }
  throw new Error("it does not come to rest");
}

export async function drag(page, from, by, steps = 12) {
  await page.mouse.move(from.x, from.y);
  await page.mouse.down();
  for (let step = 1; step <= steps; step += 1) {
    await page.mouse.move(from.x + (by.x * step) / steps, from.y + (by.y * step) / steps);
    await page.waitForTimeout(12);
  }
  await page.mouse.up();
}

/** The middle of a tooth's crown in the picture as it is drawn this moment. */
export const middle = (page, tooth) => page.evaluate((code) => {
  const box = document.querySelector(`.stage g[data-tooth="${code}"]`).getBoundingClientRect();
  return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
}, tooth);
