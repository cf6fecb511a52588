// A new case or a new practice file, from a form. The program asks the same questions as at a terminal.

import type { App, Screen } from "./app.ts";
import { address } from "./app.ts";
import { WORDS } from "./deskWords.ts";
import { button, fill, h } from "./dom.ts";
import type { NewAnswer, NewForm, NewQuestion } from "./messages.ts";
import { Newest } from "./wire.ts";

/** Questions that may be answered by other figures than those offered. */
const OPEN = new Set(["slot"]);

export class FreshScreen implements Screen {
  readonly element: HTMLElement;
  readonly title: string;
  private answers: Record<string, string> = {};
  private practice = "";
  private readonly folder = h("select", { id: "new-folder" });
  private readonly practices = h("div", { class: "question" });
  private readonly form = h("div", { class: "form" });
  private readonly text = h("pre", { class: "block", tabindex: 0, role: "region", "aria-label": WORDS.fresh.block });
  private readonly said = h("p", { role: "status" });
  private readonly make: HTMLButtonElement;
  private readonly asking = new Newest();
  private readonly shown = new Map<string, HTMLElement>();
  private made: NewAnswer | null = null;

  constructor(private readonly app: App, private readonly kind: "case" | "practice") {
    this.title = WORDS.fresh[kind];
    const label = kind === "case" ? WORDS.fresh.makeCase : WORDS.fresh.makePractice;
    this.make = button(label, () => void this.create(), { class: "big", disabled: true });
    const folders = kind === "case" ? foldersOf(app.names) : [""];
    this.folder.append(...folders.map((one) => h("option", { value: one }, one === "" ? app.entered.folder : one.slice(0, -1))));
    const place = folders.length > 1 ? h("div", { class: "question" }, h("label", { for: "new-folder" }, WORDS.fresh.folder), this.folder) : null;
    this.element = h("div", { class: "fresh" },
      h("header", { class: "head" }, h("a", { href: address("practice") }, app.entered.folder), h("h1", {}, this.title)),
      h("div", { class: "sheet" },
        h("form", { class: "questions", submit: (event: Event) => event.preventDefault() }, place, this.practices, this.form),
        h("div", { class: "beside" }, this.make, this.said, h("h2", {}, WORDS.fresh.block), this.text)));
    this.ask();
  }

  isFilled(): boolean {
    return Object.keys(this.answers).length > 0;
  }

  private ask(): void {
    this.asking.ask(async () => {
      const asked = { kind: this.kind, answers: this.answers, ...(this.practice ? { practice: this.practice } : {}) };
      const form = await this.app.wire.request<NewForm | null>("springline/newForm", asked);
      if (form) this.draw(form.questions);
      this.offer(form?.practices ?? []);
      this.made = await this.app.wire.request<NewAnswer | null>("springline/new", asked);
      const { text, name, refused } = this.made ?? {};
      this.text.textContent = text ?? "";
      this.make.disabled = !text;
      // An answer that nobody gave yet is not wrong.
      const needed = (form?.questions ?? []).filter((one) => one.empty === null && !this.answers[one.id]).map((one) => short(one.text));
      const says = needed.length > 0 ? WORDS.fresh.needed(needed.join("; ")) : refused?.why ?? (name ? WORDS.fresh.file(name) : "");
      fill(this.said, says);
    });
  }

  /** Where there are several practice files a case has to say whose it is. */
  private offer(names: string[]): void {
    if (this.kind === "case" && names.length === 0 && this.practices.childElementCount === 0) {
      const first = h("a", { href: address("new/practice") }, WORDS.fresh.practice);
      this.practices.append(h("p", { class: "note" }, WORDS.fresh.noPractice, " ", first));
    }
    if (this.kind !== "case" || names.length < 2 || this.practices.childElementCount > 0) return;
    const change = (event: Event) => {
      this.practice = (event.target as HTMLSelectElement).value;
      this.ask();
    };
    const options = names.map((name) => h("option", { value: name }, name));
    this.practices.append(h("label", { for: "new-use" }, WORDS.fresh.practiceFile), h("select", { id: "new-use", change }, h("option", { value: "" }, WORDS.fresh.choose), options));
  }

  /** Questions that are there stay, so that the hand is not disturbed; what is said of an answer follows it. */
  private draw(questions: NewQuestion[]): void {
    for (const question of questions) {
      const key = `${question.id} ${question.text} ${JSON.stringify(question.choices)}`;
      const before = this.shown.get(question.id);
      if (before?.dataset.key !== key) {
        const made = this.question(question);
        made.dataset.key = key;
        if (before) before.replaceWith(made);
        else this.form.append(made);
        this.shown.set(question.id, made);
      }
      const remarks = this.shown.get(question.id)?.querySelector(".remarks");
      const words = [...question.remark, question.refused].filter((one) => one !== undefined && one !== "");
      if (remarks) fill(remarks, words.map((one) => h("p", {}, one)));
      const input = this.shown.get(question.id)?.querySelector("input, textarea, select");
      if (question.refused) input?.setAttribute("aria-invalid", "true");
      else input?.removeAttribute("aria-invalid");
    }
    for (const [id, element] of this.shown) {
      if (questions.some((one) => one.id === id)) continue;
      element.remove();
      this.shown.delete(id);
    }
  }

  private take(id: string, answer: string): void {
    if (answer === "") delete this.answers[id];
    else this.answers[id] = answer;
    this.ask();
  }

  private question(question: NewQuestion): HTMLElement {
    const id = `new-${question.id}`;
    const isShown = question.type === "choose" || (question.type === "date" && isDate(question.empty));
    const empty = question.empty && !isShown ? h("p", { class: "quiet", id: `${id}-empty` }, WORDS.fresh.empty(question.empty)) : null;
    const remarks = h("div", { class: "remarks quiet" });
    if (question.type === "several") {
      const chosen = new Set((this.answers[question.id] ?? "").split(",").filter(Boolean));
      const boxes = question.choices.map((group) => h("div", { class: "group" }, h("b", {}, group.heading), h("div", {}, group.items.map((item) =>
        h("label", {}, h("input", {
          type: "checkbox", checked: chosen.has(item.value),
          change: (event: Event) => {
            if ((event.target as HTMLInputElement).checked) chosen.add(item.value);
            else chosen.delete(item.value);
            this.take(question.id, [...chosen].join(","));
          },
        }), item.shown)))));
      return h("fieldset", {}, h("legend", {}, question.text), boxes, empty, remarks);
    }
    const common = { id, autocomplete: "off", ...(empty ? { "aria-describedby": `${id}-empty` } : {}) };
    const value = this.answers[question.id] ?? "";
    const change = (event: Event) => this.take(question.id, (event.target as HTMLInputElement).value.trim());
    let input: HTMLElement;
    if (question.type === "choose" && OPEN.has(question.id)) {
      input = this.open(question, common, value);
    } else if (question.type === "choose") {
      const items = question.choices.flatMap((group) => group.items);
      // What no answer means may be one of them.
      const usual = items.some((item) => item.value === question.empty) ? question.empty : null;
      const options = items.map((item) => h("option", { value: item.value, selected: item.value === (value || usual) }, item.shown));
      input = h("select", { ...common, change }, usual ? null : h("option", { value: "" }, question.empty ?? WORDS.fresh.choose), options);
    } else if (question.type === "lines") {
      input = h("textarea", { ...common, rows: 6, change }, value);
    } else {
      input = h("input", { ...common, type: question.type === "date" ? "date" : "text", 
        value: value || (question.type === "date" && isDate(question.empty) ? question.empty : ""),
        [question.type === "date" ? "change" : "input"]: change });
    }
    return h("div", { class: "question" }, h("label", { for: id }, question.text), input, empty, remarks);
  }

  /** A choice of the usual answers, and a field for another one. */
  private open(question: NewQuestion, common: { id: string }, value: string): HTMLElement {
    const items = question.choices.flatMap((group) => group.items);
    const own = h("input", {
      "aria-label": WORDS.fresh.anotherOf(short(question.text)), placeholder: items[0]?.value ?? "", autocomplete: "off", hidden: true,
      change: () => this.take(question.id, own.value.trim()),
    });
    const select = h("select", {
      ...common,
      change: () => {
        own.hidden = select.value !== OTHER;
        if (own.hidden) this.take(question.id, select.value);
        else own.focus();
      },
    }, h("option", { value: "" }, WORDS.fresh.choose), items.map((item) => h("option", { value: item.value, selected: item.value === value }, item.shown)),
      h("option", { value: OTHER }, WORDS.fresh.another));
    return h("span", {}, select, own);
  }

  private async create(): Promise<void> {
    const { text, name } = this.made ?? {};
    if (!text || !name) return;
    const doc = `${this.folder.value}${name}`;
    try {
      await this.app.wire.request("desk/create", { doc, text });
      location.hash = address("plan", doc);
    } catch (error) {
      fill(this.said, error instanceof Error ? error.message : String(error));
    }
  }
}

/** The choice of what is not among the choices. */
const OTHER = "\u2026";

function isDate(text: string | null): boolean {
  return text !== null && /^\d{4}-\d{2}-\d{2}$/.test(text);
}

/** What is asked, without how it may be answered. */
function short(text: string): string {
  return text.split(/[,;:?]/)[0] ?? text;
}

/** Folders with plans, the one with most of them first: there a new one most likely belongs. */
function foldersOf(names: string[]): string[] {
  const count = new Map<string, number>();
  for (const doc of names) {
    const folder = doc.slice(0, doc.lastIndexOf("/") + 1);
    count.set(folder, (count.get(folder) ?? 0) + 1);
  }
  count.set("", count.get("") ?? 0);
  return [...count].sort((a, b) => b[1] - a[1]).map(([folder]) => folder);
}
