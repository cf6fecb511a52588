// Forces of the wires at one moment, as a table, when they are asked for.

import { WORDS } from "./deskWords.ts";
import { fill, h } from "./dom.ts";
import type { ForceRow, Forces } from "./messages.ts";
import type { Plan } from "./plan.ts";
import { Newest } from "./wire.ts";
import type { Wire } from "./wire.ts";
import { capital } from "./words.ts";

export class ForceTable {
  readonly element: HTMLDetailsElement;
  private readonly inside = h("div", {});
  private readonly asking = new Newest();
  private moment = "today";

  constructor(private readonly wire: Wire, private readonly plan: Plan) {
    this.element = h("details", { class: "forces", toggle: () => this.refresh() }, h("summary", {}, WORDS.forces.title), this.inside);
  }

  show(moment: string): void {
    this.moment = moment;
    this.refresh();
  }

  refresh(): void {
    if (!this.element.open) return;
    this.asking.ask(async () => {
      const asked = { textDocument: { uri: this.plan.uri }, moment: this.moment };
      const forces = await this.wire.request<Forces | null>("springline/forces", asked);
      if (forces) this.draw(forces);
    });
  }

  private draw(forces: Forces): void {
    const tables = forces.arches.map((arch) => {
      const name = [capital(arch.arch), arch.step, arch.wire].filter(Boolean).join(", ");
      if (arch.refused || arch.rows.length === 0) {
        return h("p", {}, `${name}: ${arch.refused ?? WORDS.forces.noWire}`);
      }
      return h("div", { class: "scroll", tabindex: 0, role: "region", "aria-label": WORDS.forces.of(name) },
        h("table", {}, h("caption", {}, name),
          h("thead", {}, h("tr", {}, WORDS.forces.heads.map((head) => h("th", { scope: "col" }, head)))),
          h("tbody", {}, arch.rows.map(row))));
    });
    const words = [...forces.pulls, forces.note].filter(Boolean).map((line) => h("p", { class: "quiet" }, line));
    fill(this.inside, tables, words);
  }
}

function row(one: ForceRow): HTMLElement {
  const cell = (figure: number, digits = 0) => h("td", {}, figure.toFixed(digits).replace(/^-(0(\.0)?)$/, "$1"));
  return h("tr", {}, h("th", { scope: "row" }, one.shown), cell(one.peakG), cell(one.deliveredG), cell(one.sustainedG),
    h("td", { class: "way" }, one.passive ? WORDS.forces.passive : one.way), cell(one.rotationNmm, 1), cell(one.tipNmm, 1), cell(one.torqueNmm, 1));
}
