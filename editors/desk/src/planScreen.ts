// A plan: text, findings, picture, visits.

import type { App, Screen } from "./app.ts";
import { WORDS } from "./deskWords.ts";
import { announce, button, h } from "./dom.ts";
import { DraftPanel } from "./draft.ts";
import { FindingsList, summary } from "./findings.ts";
import { ForceTable } from "./forces.ts";
import { PlanHeader, name } from "./header.ts";
import { PictureBoard } from "./picture.ts";
import type { Plan } from "./plan.ts";
import { VisitStrip } from "./strip.ts";
import { redo, undo } from "@codemirror/commands";

/** Between two looks at whether a hand still holds a tooth, in ms. */
const SOON = 20;

export class PlanScreen implements Screen {
  readonly element: HTMLElement;
  readonly title: string;
  private readonly head: PlanHeader;
  private readonly list: FindingsList;
  private readonly board: PictureBoard;
  private readonly forces: ForceTable;
  private readonly drafts: DraftPanel;
  private readonly strip: VisitStrip;
  /** The text whose findings the picture was drawn with. */
  private judged = 0;
  private said = "";
  private timer = 0;

  constructor(app: App, private readonly plan: Plan) {
    this.title = name(plan.doc);
    // A tooth that was let go this moment is one step first.
    const step = (label: string, run: typeof undo) => {
      const go = () => (plan.isHeld ? void setTimeout(go, SOON) : void run(plan.view));
      return button(label, go);
    };
    this.head = new PlanHeader(app, plan, "plan", [
      h("span", { class: "actions" }, step(WORDS.plan.undo, undo), step(WORDS.plan.redo, redo), button(WORDS.rename.rename, () => void plan.rename()), button(WORDS.plan.layOut, () => void plan.layOut())),
    ]);
    this.list = new FindingsList(plan);
    this.board = new PictureBoard(app.wire, plan, { visit: () => null, tapped: () => false });
    this.forces = new ForceTable(app.wire, plan);
    this.drafts = new DraftPanel(app.wire, plan);
    this.strip = new VisitStrip(app.wire, plan, (moment) => {
      this.board.show(moment);
      this.forces.show(moment);
    }, (isHouse) => {
      this.head.showHouse(isHouse);
      for (const one of [this.board.element, this.forces.element]) one.hidden = isHouse;
    });
    this.element = h("div", { class: "plan" }, this.head.element,
      h("div", { class: "sheet" },
        h("section", { class: "text", "aria-label": WORDS.plan.text }, plan.view.dom),
        h("div", { class: "beside" }, this.strip.element, this.board.element),
        // Findings first: a table that is open would push them out of sight.
        h("div", { class: "below" }, this.list.element, this.drafts.element, this.forces.element)));
    this.list.show();
    this.changed();
  }

  changed(): void {
    this.board.refresh();
    this.forces.refresh();
    // While a hand holds a tooth nobody reads dates.
    if (!this.plan.isHeld) {
      this.strip.refresh();
      this.drafts.refresh();
    }
  }

  findings(): void {
    this.list.show();
    // The picture waits for the same check. A second one of the same text comes of another file that it uses.
    const again = this.judged === this.plan.sentVersion;
    this.judged = this.plan.sentVersion;
    if (!this.plan.isHeld && (again || !this.board.isOf(this.plan.sentVersion))) {
      this.board.refresh();
      this.strip.refresh();
    }
    clearTimeout(this.timer);
    this.timer = window.setTimeout(() => this.sayFindings(), 700);
  }

  private sayFindings(): void {
    const now = summary(this.plan.diagnostics.filter((one) => one.severity !== 4));
    if (this.said && now !== this.said) announce(now);
    this.said = now;
  }

  state(): void {
    this.head.show();
  }
}
