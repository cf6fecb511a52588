// Papers of a plan: this visit, this day, the patient's sheet.

import type { App, Screen } from "./app.ts";
import { WORDS } from "./deskWords.ts";
import { button, fill, h } from "./dom.ts";
import { PlanHeader, name } from "./header.ts";
import type { Moments, PrintedAt } from "./messages.ts";
import type { Plan } from "./plan.ts";
import { plain, weekday } from "./words.ts";

export class PrintScreen implements Screen {
  readonly element: HTMLElement;
  readonly title: string;
  private readonly head: PlanHeader;
  private readonly visit = h("select", { id: "visit", "aria-label": WORDS.print.which }, h("option", { value: "next" }, WORDS.print.next));
  private readonly day: HTMLInputElement;
  private readonly result = h("p", { role: "status" });

  constructor(private readonly app: App, private readonly plan: Plan) {
    this.title = WORDS.print.title(name(plan.doc));
    this.head = new PlanHeader(app, plan, "print");
    this.day = h("input", { type: "date", value: app.entered.today, "aria-label": WORDS.print.whichDay });
    const choice = (value: string, label: string, more?: HTMLElement) =>
      h("div", { class: "line" }, h("label", {}, h("input", { type: "radio", name: "what", value, checked: value === "visit" }), label), more);
    this.element = h("div", { class: "print" }, this.head.element,
      h("form", { class: "questions", submit: (event: Event) => event.preventDefault() },
        h("fieldset", {}, h("legend", {}, WORDS.print.what),
          choice("visit", WORDS.print.visit, this.visit),
          choice("sheet", WORDS.print.sheet),
          choice("day", WORDS.print.day, this.day)),
        button(WORDS.print.make, () => void this.print(), { class: "big" }), this.result));
    void this.fetch();
  }

  private async fetch(): Promise<void> {
    const moments = await this.app.wire.request<Moments | null>("springline/moments", { textDocument: { uri: this.plan.uri } }).catch(() => null);
    const coming = (moments?.moments ?? []).filter((one) => one.date && one.standing === "predicted");
    this.visit.append(...coming.map((one) => h("option", { value: one.date }, `${weekday(one.date ?? "")}, ${plain(one.task ?? WORDS.print.aVisit)}`)));
    const next = coming[0]?.date;
    if (next) this.day.value = next;
  }

  private async print(): Promise<void> {
    const what = this.element.querySelector<HTMLInputElement>("input[name=what]:checked")?.value ?? "visit";
    fill(this.result, WORDS.print.printing);
    try {
      if (this.plan.state !== "saved" && this.plan.writer && !(await this.plan.save())) {
        fill(this.result, WORDS.print.notSaved);
        return;
      }
      const asked = what === "day" ? { what, day: this.day.value } : { what, doc: this.plan.doc, ...(what === "visit" ? { visit: this.visit.value } : {}) };
      const printed = await this.app.wire.request<PrintedAt>("desk/print", asked);
      const link = h("a", { href: printed.address, target: "_blank", rel: "noopener", click: () => fill(this.result, WORDS.print.opened) }, WORDS.print.open(printed.name));
      fill(this.result, link, printed.held ? WORDS.print.held : "", WORDS.print.once);
      link.focus();
    } catch (error) {
      fill(this.result, error instanceof Error ? error.message : String(error));
    }
  }

  state(): void {
    this.head.show();
  }
}
