// The head of the screens of one plan: its name, where else one can go, and whether it is saved.

import type { App } from "./app.ts";
import { address } from "./app.ts";
import { WORDS } from "./deskWords.ts";
import { announce, button, fill, h } from "./dom.ts";
import type { Plan } from "./plan.ts";

export class PlanHeader {
  readonly element = h("header", { class: "head" });
  private readonly standing = h("span", { class: "standing", role: "status" });
  private readonly actions = h("span", { class: "actions" });
  private readonly nav: HTMLElement;
  /** In place of what a plan has, for a practice file. */
  private readonly forHouse = h("a", { href: address("new/case"), hidden: true }, WORDS.head.newCase);

  constructor(private readonly app: App, private readonly plan: Plan, here: "plan" | "visit" | "print", extra: HTMLElement[] = []) {
    const link = (to: "plan" | "visit" | "print", label: string) =>
      h("a", { href: address(to, plan.doc), "aria-current": to === here && "page" }, label);
    this.nav = h("nav", { "aria-label": WORDS.head.screens }, link("plan", WORDS.head.plan), link("visit", WORDS.head.visit), link("print", WORDS.head.print),
      h("a", { href: `/pick#for/${encodeURIComponent(plan.doc)}` }, WORDS.head.points));
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
    const text = trouble && state === "failed" ? `${WORDS.head.failed}: ${trouble}` : WORDS.head[state];
    if (this.standing.textContent !== text) {
      if (this.standing.textContent && state !== "saving" && state !== "unsaved") announce(text);
      this.standing.textContent = text;
      this.standing.className = `standing ${state}`;
    }
    const save = button(WORDS.head.save, () => void this.plan.save(), { disabled: state === "saved" || state === "saving" });
    const take = button(WORDS.head.writeHere, () => void this.plan.attach(true), {});
    const decide = button(WORDS.head.decide, () => { if (this.plan.other) this.app.differs(this.plan, this.plan.other); });
    fill(this.actions, state === "reading" ? take : state === "differs" ? decide : save);
    if (this.plan.recovered) this.actions.append(h("span", { class: "quiet" }, WORDS.head.recovered));
  }
}

export function name(doc: string): string {
  return doc.replace(/^.*\//, "").replace(/\.spring$/, "");
}
