// The start of the page on which points are picked: who came in, which picture or scan, and the screen for it.

import { announce, fill, h } from "./dom.ts";
import type { Entered, PickTask, SourceAt } from "./messages.ts";
import { pictureOf } from "./pickPicture.ts";
import { PickScreen } from "./pickScreen.ts";
import type { Shown } from "./pickScreen.ts";
import { WORDS } from "./pickWords.ts";
import { Wire } from "./wire.ts";
import type { LineState } from "./wire.ts";

/** The same as the desk's, which leads here in the same tab. */
const SESSION = "springline-desk";

const main = document.getElementById("main") ?? document.body;
const lineState = document.getElementById("line") ?? document.body;
const wire = new Wire();
let screen: PickScreen | null = null;

/** 32 digits; anything else behind `#` says what is picked on. */
let word = /^#([0-9a-f]{32})$/.exec(location.hash)?.[1] ?? "";
if (word) history.replaceState(null, "", location.pathname);

wire.opened = async () => {
  const session = sessionStorage.getItem(SESSION) ?? "";
  const entered = await wire.request<Entered>("desk/enter", { word, session });
  word = "";
  sessionStorage.setItem(SESSION, entered.session);
  if (screen) await screen.attach();
  else await route(entered);
};

wire.changed = (state: LineState) => {
  const said: Record<LineState, string> = { open: "", lost: WORDS.lost, ended: WORDS.ended, refused: WORDS.refused };
  fill(lineState, said[state]);
  lineState.hidden = state === "open";
  if (said[state]) announce(said[state]);
};

/** `#on/PICTURE/PLAN`, `#for/PLAN`, or nothing. */
async function route(entered: Entered): Promise<void> {
  const [kind = "", first = "", second = ""] = location.hash.slice(1).split("/").map(decodeURIComponent);
  if (entered.task) return open(entered.task, "");
  if (kind === "on" && first) {
    return open({ source: first, points: first.replace(/\.[^.]*$/, ".csv"), case: second || null }, entered.folder);
  }
  await choose(entered.folder, kind === "for" ? first : "");
}

function head(practice: string, title: string): HTMLElement {
  return h("header", { class: "head" }, practice ? h("a", { href: "/" }, practice) : null, h("h1", {}, title));
}

async function choose(practice: string, plan: string): Promise<void> {
  const { sources, plans } = await wire.request<{ sources: string[]; plans: string[] }>("desk/sources", {});
  const source = h("select", { id: "pick-source" }, sources.map((one) => h("option", { value: one }, one)));
  const own = h("select", { id: "pick-plan" }, h("option", { value: "" }, WORDS.noPlan), plans.map((one) => h("option", { value: one, selected: one === plan }, one)));
  const begin = () => {
    history.pushState(null, "", `#on/${encodeURIComponent(source.value)}/${encodeURIComponent(own.value)}`);
    const task = { source: source.value, points: source.value.replace(/\.[^.]*$/, ".csv"), case: own.value || null };
    void open(task, practice);
  };
  const form = sources.length === 0 ? h("p", {}, WORDS.sourceNone) : h("form", { submit: (event: Event) => { event.preventDefault(); begin(); } },
    h("div", { class: "question" }, h("label", { for: "pick-source" }, WORDS.source), source),
    h("div", { class: "question" }, h("label", { for: "pick-plan" }, WORDS.plan), own),
    h("button", { class: "big", type: "submit" }, WORDS.begin));
  put(WORDS.choose, h("div", { class: "fresh choosing" }, head(practice, WORDS.choose), h("p", {}, WORDS.chooseWhy), form, h("p", { class: "quiet" }, WORDS.privacy)));
}

async function open(task: PickTask, practice: string): Promise<void> {
  try {
    const shown = await load(task.source);
    const made = new PickScreen(wire, task, shown, practice);
    await made.attach();
    screen = made;
    // Tests and the budget ask it where a place of the scan is on the page.
    Object.assign(globalThis, { picking: made.look });
    put(`${WORDS.points}: ${task.source}`, made.element);
  } catch (error) {
    const said = error instanceof Error ? error.message : String(error);
    put(WORDS.title, h("div", {}, head(practice, WORDS.title), h("p", { role: "alert" }, said),
      practice ? h("p", {}, h("a", { href: "/" }, WORDS.toPractice)) : null));
  }
}

/** The picture or scan; an error with a sentence where there is none. */
async function load(doc: string): Promise<Shown> {
  const at = await wire.request<SourceAt>("desk/source", { doc });
  const bytes = await (await fetch(at.address)).blob();
  if (at.kind === "png" || at.kind === "jpeg") {
    const picture = await pictureOf(bytes).catch(() => { throw new Error(WORDS.noPicture); });
    return { picture, mesh: null };
  }
  if (!document.createElement("canvas").getContext("webgl2")) throw new Error(WORDS.noDrawing);
  // Its library is loaded where it is needed alone.
  const library = "/mesh.js";
  const { openMesh } = await import(library) as typeof import("./pickMesh.ts");
  const content = await bytes.arrayBuffer();
  try {
    return { mesh: openMesh(at.kind, content), picture: null };
  } catch {
    throw new Error(WORDS.noSurface);
  }
}

function put(title: string, element: HTMLElement): void {
  main.replaceChildren(element);
  if (document.activeElement === document.body) main.focus({ preventScroll: true });
  document.title = `${title} \u2013 Springline`;
  announce(title);
}

document.addEventListener("keydown", (event) => {
  if (!(event.ctrlKey || event.metaKey) || !screen) return;
  const typing = event.target instanceof Element && event.target.closest("input");
  const key = event.key.toLowerCase();
  const run = key === "s" ? () => void screen?.save() : typing ? null
    : key === "z" && !event.shiftKey ? () => screen?.undo() : key === "y" || (key === "z" && event.shiftKey) ? () => screen?.redo() : null;
  if (!run) return;
  event.preventDefault();
  run();
});
window.addEventListener("pagehide", () => screen?.keep());
window.addEventListener("popstate", () => location.reload());
wire.connect();
