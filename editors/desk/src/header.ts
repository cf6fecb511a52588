// The head of the screens of one plan: its name, where else one can go, and whether it is saved.

import type { App } from "./app.ts";
import { address } from "./app.ts";
import { announce, button, fill, h } from "./dom.ts";
import type { Plan } from "./plan.ts";

const SAYS: Record<Plan["state"], string> = {
  saved: "Saved",
  unsaved: "Not saved",
  saving: "Saving\u2026",
  differs: "Changed outside",
  reading: "Another tab writes here",
  failed: "Could not be saved",
};

export class PlanHeader {
  readonly element = h("header", { class: "head" });
  private readonly standing = h("span", { class: "standing", role: "status" });
  private readonly actions = h("span", { class: "actions" });
  private readonly nav: HTMLElement;
  /** In place of what a plan has, for a practice file. */
  private readonly forHouse = h("a", { href: address("new/case"), hidden: true }, "New case");

  constructor(private readonly app: App, private readonly plan: Plan, here: "plan" | "visit" | "print", extra: HTMLElement[] = []) {
    const link = (to: "plan" | "visit" | "print", label: string) =>
      h("a", { href: address(to, plan.doc), "aria-current": to === here && "page" }, label);
    this.nav = h("nav", { "aria-label": "This plan" }, link("plan", "Plan"), link("visit", "Visit"), link("print", "Print"),
      h("a", { href: `/pick#for/${encodeURIComponent(plan.doc)}` }, "Points"));
    this.element.append(
      h("a", { href: address("practice") }, app.entered.folder),
      h("h1", {}, name(plan.doc)),
      this.nav, this.forHouse,
      ...extra, this.standing, this.actions);
    this.show();
  }

  /** A practice file has no visits and no papers; what follows it is a case. */
  showHouse(isHouse: boolean): void {
    this.nav.hidden = isHouse;
    this.forHouse.hidden = !isHouse;
  }

  show(): void {
    const { state, trouble } = this.plan;
    const text = trouble && state === "failed" ? `${SAYS.failed}: ${trouble}` : SAYS[state];
    if (this.standing.textContent !== text) {
      if (this.standing.textContent && state !== "saving" && state !== "unsaved") announce(text);
      this.standing.textContent = text;
      this.standing.className = `standing ${state}`;
    }
    const save = button("Save", () => void this.plan.save(), { disabled: state === "saved" || state === "saving" });
    const take = button("Write here", () => void this.plan.attach(true), {});
    const decide = button("Decide", () => { if (this.plan.other) this.app.differs(this.plan, this.plan.other); });
    fill(this.actions, state === "reading" ? take : state === "differs" ? decide : save);
    if (this.plan.recovered) this.actions.append(h("span", { class: "quiet" }, "Unsaved text of last time is here again."));
  }
}

export function name(doc: string): string {
  return doc.replace(/^.*\//, "").replace(/\.spring$/, "");
}
