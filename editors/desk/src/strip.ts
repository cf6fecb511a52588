// The visits in order, as dates; the chosen one is what the picture shows.

import { WORDS } from "./deskWords.ts";
import { h } from "./dom.ts";
import type { Moment, Moments } from "./messages.ts";
import type { Plan } from "./plan.ts";
import { Newest } from "./wire.ts";
import type { Wire } from "./wire.ts";
import { capital, day, plain } from "./words.ts";

export class VisitStrip {
  readonly element = h("nav", { class: "strip", "aria-label": WORDS.strip.title });
  private readonly list = h("ol", {});
  private readonly says = h("p", { class: "quiet" });
  private readonly asking = new Newest();
  private moments: Moments | null = null;
  chosen = "today";

  constructor(private readonly wire: Wire, private readonly plan: Plan, private readonly choose: (moment: string) => void,
    private readonly isHouse: (isHouse: boolean) => void) {
    this.element.append(this.list, this.says);
  }

  refresh(): void {
    this.asking.ask(async () => {
      const moments = await this.wire.request<Moments | null>("springline/moments", { textDocument: { uri: this.plan.uri } });
      this.element.hidden = moments === null || moments.moments.length === 0;
      if (!moments) return;
      this.isHouse(moments.house);
      const same = this.moments && JSON.stringify(this.moments.moments) === JSON.stringify(moments.moments);
      this.moments = moments;
      if (!same) this.draw();
    });
  }

  get current(): Moment | undefined {
    const id = this.chosen === "today" ? this.moments?.now : this.chosen;
    return this.moments?.moments.find((one) => one.id === id);
  }

  private take(id: string): void {
    // The moment that holds today stays it while the plan changes.
    this.chosen = id === this.moments?.now ? "today" : id;
    this.draw();
    this.choose(this.chosen);
  }

  private draw(): void {
    const all = this.moments;
    if (!all) return;
    const focused = document.activeElement?.getAttribute("data-moment");
    if (!this.current && this.chosen !== "today") {
      // The visit that was shown is not in the plan any more.
      this.chosen = "today";
      this.choose(this.chosen);
    }
    const current = this.current;
    const items = all.moments.map((one) => h("li", {}, h("button", {
      type: "button", class: one.standing, "data-moment": one.id, "aria-current": one === current && "date",
      click: () => this.take(one.id),
    }, h("b", {}, label(one)), h("span", {}, note(one, all), one.standing === "predicted" && h("span", { class: "hidden" }, WORDS.strip.planned)))));
    this.list.replaceChildren(...items);
    if (focused) this.list.querySelector<HTMLElement>(`[data-moment="${CSS.escape(focused)}"]`)?.focus();
    const wires = (current?.arches ?? []).filter((one) => one.wire)
      .map((one) => `${capital(one.arch)}: ${[one.step, one.wire].filter(Boolean).join(", ")}`);
    const says = current?.kind === "entered" ? WORDS.strip.start : current?.says;
    this.says.textContent = [says, ...wires].filter(Boolean).join(". ");
    this.list.querySelector("[aria-current]")?.scrollIntoView({ block: "nearest", inline: "nearest" });
  }
}

function label(one: Moment): string {
  if (one.kind === "entered") return WORDS.strip.entered;
  return one.date ? day(one.date) : WORDS.strip.noDate;
}

function note(one: Moment, all: Moments): string {
  const what = one.task ? plain(one.task) : "";
  return [what, one.id === all.now && WORDS.strip.today].filter(Boolean).join(", ");
}
