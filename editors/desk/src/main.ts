// The start of the page: the word in the address is taken and removed, the line is opened, and the address says which
// screen is shown.

import { App, address } from "./app.ts";
import type { Screen } from "./app.ts";
import { WORDS } from "./deskWords.ts";
import { announce, button, fill, h } from "./dom.ts";
import { FreshScreen } from "./fresh.ts";
import type { TokenLegend } from "./language.ts";
import type { Entered } from "./messages.ts";
import { PlanScreen } from "./planScreen.ts";
import { PracticeScreen } from "./practice.ts";
import { PrintScreen } from "./printScreen.ts";
import { VisitScreen } from "./visit.ts";
import { Wire } from "./wire.ts";
import type { LineState } from "./wire.ts";

const SESSION = "springline-desk";

const main = document.getElementById("main") ?? document.body;
const lineState = document.getElementById("line") ?? document.body;
const wire = new Wire();
const app = new App(wire);
app.differs = (plan, other) => void import("./differs.ts").then(({ showDifference }) => showDifference(plan, other));

/** 32 digits; anything else behind `#` is a screen. */
let word = /^#([0-9a-f]{32})$/.exec(location.hash)?.[1] ?? "";
if (word) history.replaceState(null, "", "/");

wire.opened = async () => {
  const session = sessionStorage.getItem(SESSION) ?? "";
  app.entered = await wire.request<Entered>("desk/enter", { word, session });
  word = "";
  sessionStorage.setItem(SESSION, app.entered.session);
  const abilities = await wire.request<{ capabilities: { semanticTokensProvider?: { legend: TokenLegend } } }>("initialize", {
    capabilities: {
      general: { positionEncodings: ["utf-16"] },
      textDocument: {
        completion: { completionItem: { snippetSupport: true } },
        publishDiagnostics: { relatedInformation: true, versionSupport: true },
        codeAction: { codeActionLiteralSupport: { codeActionKind: { valueSet: ["quickfix", "refactor.rewrite"] } } },
      },
      workspace: { configuration: true, didChangeWatchedFiles: { dynamicRegistration: true } },
    },
    initializationOptions: { today: app.entered.today },
  });
  app.legend = abilities.capabilities.semanticTokensProvider?.legend ?? app.legend;
  wire.notify("initialized", {});
  await app.list();
  if (app.plan) await app.plan.attach();
  else await route();
};

wire.changed = (state: LineState) => {
  const said: Record<LineState, string> = { open: "", ...WORDS.line };
  fill(lineState, said[state], state === "ended" && app.plan && app.plan.state !== "saved"
    ? [" ", button(WORDS.line.download, download)] : null);
  lineState.hidden = state === "open";
  if (said[state]) announce(said[state]);
};

function download(): void {
  const plan = app.plan;
  if (!plan) return;
  const link = h("a", { href: `data:text/plain;charset=utf-8,${encodeURIComponent(plan.text)}`, download: plan.doc.replace(/^.*\//, "") });
  link.click();
}

let turn = 0;

async function route(): Promise<void> {
  if (wire.state === "ended" || wire.state === "refused") return;
  turn += 1;
  const own = turn;
  const [screen = "", ...rest] = location.hash.slice(1).split("/");
  const doc = rest.map(decodeURIComponent).join("/");
  try {
    const next = await screenOf(screen, doc);
    if (own === turn) show(next);
    else next.leave?.();
  } catch (error) {
    if (own !== turn) return;
    show({
      title: WORDS.line.notHere,
      element: h("div", {}, h("header", { class: "head" }, h("h1", {}, WORDS.line.notHere)), h("p", { role: "alert" }, error instanceof Error ? error.message : String(error)),
        h("p", {}, h("a", { href: address("practice") }, WORDS.line.toPractice))),
    });
  }
}

async function screenOf(screen: string, doc: string): Promise<Screen> {
  switch (screen) {
    case "plan": return new PlanScreen(app, await app.open(doc));
    case "visit": return new VisitScreen(app, await app.open(doc));
    case "print": return new PrintScreen(app, await app.open(doc));
    case "new": return app.close(), new FreshScreen(app, doc === "practice" ? "practice" : "case");
    case "keys": return keys();
    default:
      app.close();
      if (app.stale) await app.list();
      return new PracticeScreen(app);
  }
}

function show(screen: Screen): void {
  app.screen?.leave?.();
  if (app.isAnotherDay) location.reload();
  app.screen = screen;
  main.replaceChildren(screen.element);
  // What had the focus is gone: the next Tab begins here.
  if (document.activeElement === document.body) main.focus({ preventScroll: true });
  document.title = `${screen.title} \u2013 Springline`;
  announce(screen.title);
}

function keys(): Screen {
  return {
    title: WORDS.keys.title,
    element: h("div", {}, h("header", { class: "head" }, h("h1", {}, WORDS.keys.title)),
      h("table", {}, h("tbody", {}, WORDS.keys.all.map(([key, what]) => h("tr", {}, h("th", { scope: "row" }, key), h("td", {}, what))))),
      h("p", {}, button(WORDS.keys.back, () => history.back()))),
  };
}

document.addEventListener("keydown", (event) => {
  if ((event.ctrlKey || event.metaKey) && event.key === "s") {
    event.preventDefault();
    void app.plan?.save();
  }
  const typing = event.target instanceof Element && event.target.closest("input, textarea, select, .cm-editor");
  if (event.key === "?" && !typing) location.hash = "#keys";
});
window.addEventListener("pagehide", () => app.plan?.keepHistory());
window.addEventListener("hashchange", () => void route());
wire.connect();
