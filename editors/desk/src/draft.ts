// Steps of an arch worked out by the program: asked for by arch, shown with what changes and why, and put into the
// text only by hand. A draft in the text waits until the doctor takes it on.

import { WORDS } from "./deskWords.ts";
import { announce, button, fill, h } from "./dom.ts";
import { preview } from "./findings.ts";
import type { Arch, ArchDraftState, DraftAnswer, Drafts, WorkspaceEdit } from "./messages.ts";
import type { Plan } from "./plan.ts";
import { Newest, isStale } from "./wire.ts";
import type { Wire } from "./wire.ts";
import { capital, day } from "./words.ts";

export class DraftPanel {
  readonly element = h("section", { class: "drafts", "aria-label": WORDS.drafts.panel, hidden: true });
  private readonly asking = new Newest();
  private readonly arches = new Map<Arch, ArchDraftRow>();

  constructor(private readonly wire: Wire, private readonly plan: Plan) {
    this.element.append(h("h2", {}, WORDS.drafts.title));
  }

  /** Asks what can be drafted in the text as it is now. */
  refresh(): void {
    for (const row of this.arches.values()) row.outdate();
    this.asking.ask(async () => {
      const drafts = await this.wire.request<Drafts | null>("springline/drafts", { textDocument: { uri: this.plan.uri } });
      if (drafts && drafts.version !== this.plan.sentVersion) return;
      const useful = (drafts?.arches ?? []).filter((one) => one.open || one.drafted);
      this.element.hidden = useful.length === 0;
      for (const one of useful) this.row(one.arch).show(one);
      for (const [arch, row] of this.arches) {
        if (useful.some((one) => one.arch === arch)) continue;
        row.element.remove();
        this.arches.delete(arch);
      }
    });
  }

  private row(arch: Arch): ArchDraftRow {
    const known = this.arches.get(arch) ?? new ArchDraftRow(this.wire, this.plan, arch);
    this.arches.set(arch, known);
    if (!known.element.isConnected) this.element.append(known.element);
    return known;
  }
}

/** One arch: what stands, what can be asked, and the answer. */
class ArchDraftRow {
  readonly element: HTMLElement;
  private readonly head = h("p", { class: "actions" });
  private readonly answer = h("div", {});
  private said = "";
  private stop: AbortController | null = null;
  /** The text that the answer is about. */
  private of: string | null = null;
  /** The text that what stands is said of. */
  private standsIn = "";

  constructor(private readonly wire: Wire, private readonly plan: Plan, private readonly arch: Arch) {
    this.element = h("div", { class: "draft", role: "group", "aria-label": this.name }, this.head, this.answer);
  }

  private get name(): string {
    return WORDS.drafts.arch[this.arch];
  }

  show(state: ArchDraftState): void {
    this.standsIn = this.plan.text;
    const said = JSON.stringify(state);
    if (said === this.said) return;
    this.said = said;
    const { drafted, takeOn } = state;
    if (!drafted) {
      fill(this.head, button(WORDS.drafts.ask(this.arch), () => void this.ask()));
      return;
    }
    const takeNow = () => void (this.standsIn === this.plan.text && takeOn && this.apply(takeOn.edit, "take on"));
    const take = takeOn && button(capital(takeOn.title), takeNow, { disabled: !this.plan.writer });
    fill(this.head, h("b", {}, `${this.name}: `), WORDS.drafts.drafted(day(drafted)),
      button(WORDS.drafts.whyThese, () => void this.ask()), " ", take ?? h("span", { class: "quiet" }, WORDS.drafts.nameDoctor));
  }

  /** The text has moved on. */
  outdate(): void {
    if (this.of === null || this.of === this.plan.text) return;
    this.stop?.abort();
    this.clear();
  }

  private clear(): void {
    this.of = null;
    this.answer.replaceChildren();
  }

  /** A draft that another file's change overtook is begun once more, a few times at most. */
  private async ask(tries = 4): Promise<void> {
    this.stop?.abort();
    const stop = new AbortController();
    this.stop = stop;
    const text = this.plan.text;
    this.of = text;
    fill(this.answer, h("p", { role: "status" }, WORDS.drafts.working), button(WORDS.drafts.stop, () => stop.abort()));
    try {
      const asked = { textDocument: { uri: this.plan.uri }, arch: this.arch };
      const answer = await this.wire.request<DraftAnswer | null>("springline/draft", asked, stop.signal);
      if (this.of === text && answer) this.draw(answer);
      else if (this.stop === stop) this.clear();
    } catch (error) {
      if (!isStale(error)) throw error;
      if (this.stop !== stop) return;
      if (tries > 0 && !stop.signal.aborted && text === this.plan.text) await this.ask(tries - 1);
      else this.clear();
    }
  }

  private draw(answer: DraftAnswer): void {
    const edit = answer.edit;
    const close = button(edit ? WORDS.drafts.leave : WORDS.drafts.close, () => this.clear());
    const put = edit && button(WORDS.drafts.put, () => this.apply(edit, "draft"), { disabled: !this.plan.writer });
    const refused = answer.refused && h("p", {}, answer.refused.why);
    const change = edit && preview(this.plan, edit, WORDS.drafts.changes);
    const why = answer.why.length > 0
      ? h("details", { open: true }, h("summary", {}, WORDS.drafts.whyNot), h("ul", {}, answer.why.map((line) => h("li", {}, line)))) : null;
    this.answer.replaceChildren(h("div", { class: "fix" }, ...[
      refused, ...answer.says.map((line) => h("p", {}, line)), change, why,
      answer.refused ? null : h("p", { class: "quiet" }, answer.note), h("p", { class: "actions" }, put, close),
    ].filter((one) => one !== null && one !== undefined)));
    announce(answer.refused?.why ?? answer.says[0] ?? "");
  }

  private apply(edit: WorkspaceEdit, what: string): void {
    if (this.of !== null && this.of !== this.plan.text) return this.clear();
    this.clear();
    this.plan.apply(edit, what);
  }
}
