// From two photographs to a checked plan and its printed cards in one sitting, as a new user would: every point is clicked, and
// each is missed by what a hand misses.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { copyFileSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { crowns, mouth } from "./made.mjs";
import { newTab, shot, startBrowser, startPick } from "./support.mjs";

/** Of each coordinate of a click, mm. */
const MISSED_MM = 0.3;

/** What a beginner needs for a point, to look for it and to click; for a button; and for the rest: practice, case, printing, reading what
 *  is said. An estimate, no source. */
const SECONDS = { point: 8, button: 3, rest: 300 };

const STANDS = {
  upper: [
    { tooth: "12", palatal: 2.4, turned: 22, overlap: 1.4 }, { tooth: "13", palatal: -1.2, turned: 0, overlap: 0.9 },
    { tooth: "11", palatal: 0, turned: -10, overlap: 0 }, { tooth: "22", palatal: 0.8, turned: 12, overlap: 0.5 },
  ],
  lower: [
    { tooth: "42", palatal: 1.4, turned: 18, overlap: 0.9 }, { tooth: "41", palatal: -0.6, turned: -8, overlap: 0 },
    { tooth: "31", palatal: 0.7, turned: 14, overlap: 0.4 }, { tooth: "33", palatal: -1, turned: 5, overlap: 0.8 },
  ],
};

let browser;
before(async () => { browser = await startBrowser(); });
after(() => browser?.close());

/** Even draws, the same at every run. */
function draws(seed) {
  let state = seed;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return (state + 0.5) / 2 ** 32;
  };
}

test("from photographs to a checked and printed plan", async () => {
  const folder = mkdtempSync(join(tmpdir(), "springline-sitting-"));
  const env = { ...process.env, XDG_STATE_HOME: folder, XDG_CACHE_HOME: folder, SPRINGLINE_TODAY: "2026-11-24" };
  const run = (...args) => execFileSync(process.env.SPRINGLINE, args, { cwd: folder, env, encoding: "utf8", stdio: ["ignore", "pipe", "pipe"] });
  const spent = { point: 0, button: 0 };
  const random = draws(20261124);
  const miss = () => MISSED_MM * Math.sqrt(-2 * Math.log(random())) * Math.cos(2 * Math.PI * random());
  try {
    copyFileSync(join(process.env.SPRINGLINE_EXAMPLES, "saltmarsh.spring"), join(folder, "saltmarsh.spring"));
    run("new", "SM-0601", "--start", "2026-12-07", "--growing");
    const plan = join(folder, "SM-0601.spring");
    for (const arch of ["upper", "lower"]) {
      const teeth = crowns(STANDS[arch], arch);
      const picture = mouth(teeth);
      writeFileSync(join(folder, `SM-0601-${arch}.png`), picture.bytes);
      const pick = await startPick([join(folder, `SM-0601-${arch}.png`), "--case", plan]);
      const { page, complaints } = await newTab(browser);
      try {
        await page.goto(pick.address);
        await page.locator(".step").waitFor();
        await page.waitForTimeout(200);
        await page.getByLabel("Length on the ruler, mm").fill("40");
        await page.keyboard.press("Tab");
        await page.getByLabel("Middles of the faces too").check();
        spent.button += 2;
        const put = async (place) => {
          const [x, y] = picture.spot([place[0] + miss(), place[1] + miss()]);
          const at = await page.evaluate((to) => globalThis.picking.spotOf(to), [x, y, 0]);
          await page.mouse.click(at.x, at.y);
          spent.point += 1;
        };
        const of = (tooth) => teeth.find((one) => one.tooth === tooth);
        const end = (tooth, side) => of(tooth).place((side === "left" ? 0.5 : -0.5) * of(tooth).width, 0, 0);
        for (let turn = 0; turn < 120; turn += 1) {
          const key = await page.locator(".points [aria-current]").getAttribute("data-key");
          if (await page.getByText("All points are picked.").count() > 0) break;
          const [kind, first] = key.split(" ");
          const [a, b] = (first ?? "").split("-");
          if (kind === "scale") await put(first ? picture.ruler.to : picture.ruler.from);
          else if (kind === "facial") await put(of(a).place(0, of(a).prominence, 0));
          else if (kind !== "contact") await put(end(a, (kind === "mesial") === /^[14]/.test(a) ? "left" : "right"));
          else {
            const [one, two] = [end(a, "left"), end(b, "right")];
            if (Math.hypot(one[0] - two[0], one[1] - two[1]) < 0.6) await put(one.map((x, i) => (x + two[i]) / 2));
            else {
              await page.getByRole("button", { name: "They do not touch: two points" }).click();
              spent.button += 1;
            }
          }
        }
        await page.waitForFunction(() => document.querySelector(".standing")?.textContent === "Saved");
        await page.locator(".readings caption").waitFor();
        await shot(page, `sitting-${arch}`, true);
        await page.getByRole("button", { name: "Write into the plan" }).click();
        await page.locator(".readings").getByText(/lines? (was|were) written into the plan/).waitFor();
        spent.button += 1;
        assert.deepEqual(complaints, []);
      } finally {
        await page.context().close();
        await pick.stop();
        pick.clean();
      }
      // What came out, against what the picture was made of.
      const table = JSON.parse(run("measure", join(folder, `SM-0601-${arch}.csv`), "--case", plan, "--form", `catenary ${arch === "upper" ? 15 : 13} mm`, "--error", "0.3", "--format", "json"));
      let squares = 0;
      for (const row of table.arches[0].teeth) {
        const { palatal, turned } = { palatal: 0, turned: 0, ...STANDS[arch].find((one) => one.tooth === row.tooth) };
        squares += (row.lingual_mm.value - palatal) ** 2 / table.arches[0].teeth.length;
        assert.ok(Math.abs(row.lingual_mm.value - palatal) < 1.2, `${row.tooth} in: ${row.lingual_mm.value} for ${palatal}`);
        // The turn of a narrow crown errs by 81 degrees times the error over the width: within three times that.
        const width = teeth.find((one) => one.tooth === row.tooth).width;
        assert.ok(Math.abs(row.rotated_deg.value - turned) < 3 * 81 * MISSED_MM / width, `${row.tooth} turned: ${row.rotated_deg.value} for ${turned}`);
      }
      const rms = Math.sqrt(squares);
      console.log(`${arch}: in-out missed by ${rms.toFixed(2)} mm (root mean square)`);
      assert.ok(rms < 2 * MISSED_MM, `${arch}: ${rms}`);
    }
    const text = readFileSync(plan, "utf8");
    assert.equal(text.match(/measured .* from photograph/g)?.length, 2, text);
    console.log(text);
    let said = "";
    try {
      said = run("check", "SM-0601.spring", "--all");
    } catch (error) {
      said = `${error.stdout}${error.stderr}`;
      assert.fail(said);
    }
    run("print", "SM-0601.spring", "--to", "cards");
    const pages = readdirSync(join(folder, "cards"));
    assert.ok(pages.length > 0, said);
    const minutes = (spent.point * SECONDS.point + spent.button * SECONDS.button + SECONDS.rest) / 60;
    console.log(`${spent.point} points, ${spent.button} buttons: ${minutes.toFixed(1)} minutes; printed ${pages}`);
    assert.ok(minutes < 20, `${minutes} minutes`);
  } finally {
    if (process.env.SPRINGLINE_SHOTS) {
      execFileSync("cp", ["-r", folder, join(process.env.SPRINGLINE_SHOTS, "sitting")]);
    }
    rmSync(folder, { recursive: true, force: true });
  }
});
