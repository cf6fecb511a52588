// Writing down a visit: the lines at the foot of the card as a form. The block is made by the program after each
// touch and shown beside it; nothing is in the plan until it is written down.

import type { App, Screen } from "./app.ts";
import { address } from "./app.ts";
import { WORDS } from "./deskWords.ts";
import { announce, button, fill, h } from "./dom.ts";
import { PlanHeader, name } from "./header.ts";
import type { Part, Question, VisitAnswer, VisitForm } from "./messages.ts";
import { PictureBoard } from "./picture.ts";
import type { Plan } from "./plan.ts";
import { Newest } from "./wire.ts";
import { capital, day } from "./words.ts";

type Answer = true | number | string;

/** What an on-screen keyboard offers for a field; none where there is something to tap. */
const KEYBOARDS: Record<string, string | undefined> = { mm: "decimal", score: "numeric", teeth: "none", place: "none" };

const UNITS: Record<string, string | undefined> = { mm: WORDS.visit.mm, teeth: WORDS.visit.teethUnit };

export class VisitScreen implements Screen {
  readonly element: HTMLElement;
  readonly title: string;
  private readonly head: PlanHeader;
  private readonly board: PictureBoard;
  private readonly form = h("div", { class: "form" });
  private readonly block = h("pre", { class: "block", tabindex: 0, role: "region", "aria-label": WORDS.visit.block });
  private readonly said = h("div", { class: "said" });
  private readonly write = button(WORDS.visit.write, () => void this.writeDown(), { class: "big", disabled: true });
  private readonly on: HTMLInputElement;
  private readonly kind = h("select", { id: "kind", change: () => this.fetch() });
  private readonly asking = new Newest();
  private readonly fetching = new Newest();
  private answers: Record<string, Answer> = {};
  /** Lines of stands entered on the picture, by tooth. */
  private stands = new Map<string, string>();
  private groups = new Map<string, string[]>();
  private teeth: HTMLInputElement | null = null;
  private initials: string[] = [];
  private found: VisitAnswer | null = null;

  constructor(private readonly app: App, private readonly plan: Plan) {
    this.title = WORDS.visit.title(name(plan.doc));
    this.head = new PlanHeader(app, plan, "visit");
    this.on = h("input", { id: "on", type: "date", value: app.entered.today, max: app.entered.today, change: () => this.fetch() });
    this.board = new PictureBoard(app.wire, plan, {
      visit: () => ({ on: this.on.value, line: (tooth, line) => { this.stands.set(tooth, line); this.ask(); } }),
      tapped: (tooth, shown) => this.tapped(tooth, shown),
    });
    const field = (label: string, input: HTMLElement) => h("div", {}, h("label", { for: input.id }, label), input);
    this.element = h("div", { class: "visit" }, this.head.element,
      h("div", { class: "sheet" },
        h("form", { class: "questions", submit: (event: Event) => event.preventDefault() },
          h("div", { class: "top" }, field(WORDS.visit.day, this.on), field(WORDS.visit.kind, this.kind)), this.form),
        h("div", { class: "beside" }, h("h2", {}, WORDS.visit.block), this.block, this.said, this.write, this.board.element)));
    this.fetch();
    this.board.refresh();
  }

  isFilled(): boolean {
    return Object.keys(this.answers).length > 0 || this.stands.size > 0;
  }

  /** The form of the kind and day chosen; answers given so far are dropped, they belong to other lines. */
  private fetch(): void {
    this.fetching.ask(async () => {
      const kind = this.kind.value ? { kind: this.kind.value } : {};
      const asked = { textDocument: { uri: this.plan.uri }, on: this.on.value, ...kind };
      const form = await this.app.wire.request<VisitForm | null>("springline/visitForm", asked);
      if (!form) return;
      this.initials = form.initials ?? [];
      this.answers = {};
      this.stands.clear();
      if (form.refused) {
        fill(this.form, h("p", { role: "alert" }, form.refused.why));
        return;
      }
      this.draw(form);
      this.ask();
    });
  }

  private draw(form: VisitForm): void {
    this.kind.replaceChildren(...form.kinds.map((one) => h("option", { value: one.word, selected: one.word === form.kind }, one.label)));
    this.groups = new Map(form.groups.map((group) => [group.id, group.members]));
    const planned = form.planned ? h("p", { class: "quiet" }, WORDS.visit.planned(day(form.planned))) : null;
    const lines = form.lines.map((line) => h("div", { class: "line" }, this.parts(line.parts)));
    // What a question decides by a choice, the ticks above say as well; what is to be measured they may not ask.
    const measured = form.questions.filter((question) => question.kind === "measure").map((question) => this.measure(question));
    this.form.replaceChildren(...[planned, ...lines, ...measured].filter((one) => one !== null));
  }

  /** What is written stays beside the word or tick that it belongs to, wherever the line is broken. */
  private parts(parts: Part[]): HTMLElement[] {
    const made: HTMLElement[] = [];
    let lead = "";
    for (const [at, part] of parts.entries()) {
      const before = parts[at - 1];
      const last = made.at(-1);
      // The comma of the language parts what was found from what was done; on a form they stand apart by themselves.
      if (part.part === "word" && part.text === ",") continue;
      if (part.part === "word") lead = part.text;
      if (part.part === "write" && last && (before?.part === "word" || before?.part === "tick")) {
        const tick = before.part === "tick" ? last : null;
        made[made.length - 1] = h("span", { class: "pair" }, last, this.writing(part, tick ? `${lead} ${before.text}` : before.text, tick));
      } else {
        made.push(this.part(part));
      }
    }
    return made;
  }

  private part(part: Part): HTMLElement {
    switch (part.part) {
      case "word": return h("span", {}, part.text);
      case "key": return h("span", { class: "quiet" }, part.text);
      case "tick": return this.tick(part.id, part.text, part.group);
      case "write": return this.writing(part, part.id, null);
    }
  }

  private tick(id: string, text: string, group: string | undefined): HTMLElement {
    const tick = h("button", {
      type: "button", class: "tick", role: "checkbox", "aria-checked": "false", "data-answer": id,
      click: () => {
        const on = this.answers[id] !== true;
        // Of those that exclude one another the last one touched stands.
        for (const other of group ? this.groups.get(group) ?? [] : []) this.untick(other);
        if (on) {
          this.answers[id] = true;
          tick.setAttribute("aria-checked", "true");
        } else {
          this.untick(id);
        }
        this.ask();
      },
    }, text);
    return tick;
  }

  private untick(id: string): void {
    delete this.answers[id];
    this.form.querySelector(`[data-answer="${CSS.escape(id)}"]`)?.setAttribute("aria-checked", "false");
  }

  private writing(part: Extract<Part, { part: "write" }>, before: string, tick: HTMLElement | null): HTMLElement {
    const label = part.type === "initials" ? WORDS.visit.initials : `${before} ${part.label}`.trim();
    const input = h("input", {
      "data-answer": part.id, "aria-label": label, autocomplete: "off", class: `write ${part.type}`,
      // Teeth are tapped: a keyboard that rises on the screen would only cover them.
      inputmode: KEYBOARDS[part.type],
      focus: () => this.focusField(part.type, input, label),
      input: () => {
        const text = input.value.trim();
        if (text === "") delete this.answers[part.id];
        else this.answers[part.id] = text;
        // What is written behind a box says what the box says.
        if (text !== "" && tick?.getAttribute("aria-checked") === "false") tick.click();
        else this.ask();
      },
    });
    const unit = UNITS[part.type] ?? "";
    const choices = part.type === "initials" ? this.initials : part.choices ?? [];
    return h("span", { class: "writing" }, input, unit && h("span", { class: "unit" }, unit),
      choices.map((one) => this.choice(one, input, part.type)));
  }

  /** One of what a field can say, to be tapped. */
  private choice(text: string, input: HTMLInputElement, type: string): HTMLElement {
    return button(text, () => {
      if (type === "place") toggle(input, text);
      else put(input, input.value.trim() === text ? "" : text);
    }, { class: "choice", "aria-label": WORDS.visit.choice(input.getAttribute("aria-label") ?? "", text) });
  }

  /** A field for teeth opens them as buttons below it, large enough for a glove. */
  private focusField(type: string, input: HTMLInputElement, label: string): void {
    if (this.teeth === input) return;
    this.form.querySelector(".tooth-buttons")?.remove();
    this.teeth = type === "teeth" ? input : null;
    const all = this.board.teeth;
    if (type !== "teeth" || all.length === 0) return;
    const one = ({ shown }: { shown: string }) => button(shown, () => toggle(input, shown), { "aria-pressed": "false" });
    const quadrants = [1, 2, 4, 3].map((quadrant) => all.filter((tooth) => ((Number(tooth.tooth[0]) - 1) % 4) + 1 === quadrant));
    const panel = h("div", { class: "tooth-buttons", role: "group", "aria-label": WORDS.visit.teeth(label) },
      h("b", {}, label), quadrants.filter((teeth) => teeth.length > 0).map((teeth) => h("span", {}, teeth.map(one))));
    input.closest(".line")?.after(panel);
    input.addEventListener("input", () => pressed(panel, input));
    pressed(panel, input);
  }

  private measure(question: Extract<Question, { kind: "measure" }>): HTMLElement {
    const id = `q-${question.id}`;
    const input = h("input", {
      id, inputmode: "decimal", class: "write mm", autocomplete: "off",
      input: () => {
        const text = input.value.trim();
        if (text === "") delete this.answers[question.id];
        else this.answers[question.id] = text;
        this.ask();
      },
    });
    return h("div", { class: "line" }, h("label", { for: id }, question.text.replace(/ \(Enter: [^)]*\)$/, "")), h("span", { class: "writing" }, input, h("span", { class: "unit" }, question.unit)));
  }

  /** A tooth of the picture, where a line asks for teeth. */
  private tapped(_tooth: string, shown: string): boolean {
    const input = this.teeth;
    if (!input?.isConnected) return false;
    toggle(input, shown);
    return true;
  }

  private ask(): void {
    this.asking.ask(async () => {
      const asked = {
        textDocument: { uri: this.plan.uri }, on: this.on.value, kind: this.kind.value, answers: this.answers,
        lines: [...this.stands.values()],
      };
      this.found = await this.app.wire.request<VisitAnswer | null>("springline/visit", asked);
      this.show();
    });
  }

  private show(): void {
    const found = this.found;
    this.form.querySelectorAll("[aria-invalid]").forEach((one) => one.removeAttribute("aria-invalid"));
    this.write.disabled = !found?.edit || !this.plan.writer;
    if (!found || found.refused) {
      const id = found?.refused?.id;
      if (id) this.form.querySelector(`[data-answer="${CSS.escape(id)}"]`)?.setAttribute("aria-invalid", "true");
      if (found?.refused?.kind === "empty") this.block.textContent = "";
      const why = found?.refused?.why ?? WORDS.visit.computing;
      fill(this.said, h("p", { class: "quiet" }, `${capital(why).replace(/\.$/, "")}.`));
      return;
    }
    this.block.textContent = found.block ?? "";
    fill(this.said, (found.findings ?? []).map((one) => {
      const word = one.severity === "hint" ? WORDS.severity[3] : one.severity;
      return h("p", {}, h("span", { class: `severity ${word}` }, word), " ", one.message.split("\n")[0] ?? "");
    }));
  }

  private async writeDown(): Promise<void> {
    const found = this.found;
    if (!found?.edit) return;
    if (!this.plan.apply(found.edit, "visit")) return;
    const saved = await this.plan.save();
    announce(saved ? WORDS.visit.done : WORDS.visit.unsaved);
    location.hash = address("plan", this.plan.doc);
  }

  changed(): void {
    this.board.refresh();
    this.ask();
    this.head.show();
  }

  state(): void {
    this.head.show();
  }
}

function listed(input: HTMLInputElement): string[] {
  return input.value.split(",").map((one) => one.trim()).filter(Boolean);
}

function put(input: HTMLInputElement, text: string): void {
  input.value = text;
  input.dispatchEvent(new Event("input"));
  announce(text || WORDS.visit.nothing);
}

/** Puts it into a list, or takes it out. */
function toggle(input: HTMLInputElement, one: string): void {
  const all = listed(input);
  put(input, (all.includes(one) ? all.filter((other) => other !== one) : [...all, one]).join(", "));
}

function pressed(panel: HTMLElement, input: HTMLInputElement): void {
  const all = listed(input);
  for (const one of panel.querySelectorAll("button")) one.setAttribute("aria-pressed", String(all.includes(one.textContent ?? "")));
}
