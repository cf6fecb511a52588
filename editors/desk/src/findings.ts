// What the program says of a plan: one row a finding, each with its fixes, and what a fix would change before it is
// applied.

import { WORDS } from "./deskWords.ts";
import { button, h } from "./dom.ts";
import * as language from "./language.ts";
import type { CodeAction, Diagnostic, WorkspaceEdit } from "./messages.ts";
import type { Plan } from "./plan.ts";
import { many } from "./words.ts";

/** How often fixes are asked for, and how long is waited between, in ms. */
const TRIES = 4;
const AGAIN = 500;

/** What accepts a finding, before anybody gave a reason. */
const NO_REASON = 'because ""';

/** Rows that are remembered. */
const MOST = 200;

export class FindingsList {
  readonly element = h("section", { class: "findings", "aria-label": WORDS.findings.title });
  private readonly heading = h("h2", {}, WORDS.findings.title);
  private readonly list = h("ul", {});
  /** Rows by name and words, so that one that is being read stays open; also if its finding was gone for a moment,
   * while a text was computed anew. */
  private readonly known = new Map<string, HTMLElement>();

  constructor(private readonly plan: Plan) {
    this.element.append(this.heading, this.list);
  }

  show(): void {
    const open = this.plan.diagnostics.filter((one) => one.severity !== 4);
    const order = [...open].sort((a, b) => (a.severity ?? 3) - (b.severity ?? 3) || a.range.start.line - b.range.start.line);
    this.heading.textContent = summary(open);
    const rows = new Map<string, HTMLElement>();
    for (const one of order) {
      let key = `${String(one.code)} ${one.message.split("\n")[0] ?? ""}`;
      while (rows.has(key)) key += "+";
      rows.set(key, this.kept(key, one) ?? this.row(one, this.known.get(key)));
      const place = rows.get(key)?.querySelector(".place");
      if (place) place.textContent = WORDS.findings.line(one.range.start.line + 1);
    }
    for (const [key, row] of rows) {
      this.known.delete(key);
      this.known.set(key, row);
    }
    for (const key of [...this.known.keys()].slice(0, -MOST)) this.known.delete(key);
    inOrder(this.list, [...rows.values()]);
  }

  /** The row that says just this. */
  private kept(key: string, one: Diagnostic): HTMLElement | undefined {
    const row = this.known.get(key);
    return row?.dataset.message === one.message ? row : undefined;
  }

  private current(one: Diagnostic): Diagnostic {
    return this.plan.diagnostics.find((now) => now.code === one.code && now.message === one.message)
      ?? this.plan.diagnostics.find((now) => now.code === one.code && now.range.start.line === one.range.start.line) ?? one;
  }

  /** A row; open where the one before it of the same finding is. */
  private row(one: Diagnostic, before: HTMLElement | undefined): HTMLElement {
    const word = WORDS.severity[one.severity ?? 3] ?? "";
    const [first = "", ...rest] = one.message.split("\n");
    const fixes = h("div", { class: "fixes" });
    const details = h("details", {
      // Asked each time: fixes are tried by computing, and more of them may be known than a moment ago.
      toggle: () => { if (details.open) void this.fill(fixes, this.current(one)); },
    },
      h("summary", {}, h("span", { class: `severity ${word}` }, word), " ", h("span", { class: "what" }, first)),
      rest.map((line) => h("p", {}, line)),
      (one.relatedInformation ?? []).map((other) => h("p", { class: "quiet" }, other.message)),
      h("p", { class: "quiet" }, `${String(one.code)}, `,
        button("", () => this.plan.goTo(this.current(one).range), { class: "link place" })),
      fixes);
    details.open = before?.querySelector("details")?.open ?? false;
    return h("li", { "data-message": one.message }, details);
  }

  private async fill(place: HTMLElement, one: Diagnostic): Promise<void> {
    place.replaceChildren(h("p", { class: "quiet" }, WORDS.findings.looking));
    let actions: CodeAction[] | null = null;
    // While the text moves on, or its fixes are still being tried, there is nothing yet.
    for (let tries = 0; tries < TRIES && !actions?.length; tries += 1) {
      if (tries > 0) await new Promise((resolve) => setTimeout(resolve, AGAIN));
      actions = await this.plan.fixes(this.current(one)).catch(() => null);
    }
    if (!actions) {
      place.replaceChildren(button(WORDS.findings.again, () => void this.fill(place, this.current(one))));
    } else if (actions.length === 0) {
      place.replaceChildren(h("p", { class: "quiet" }, WORDS.findings.noFix));
    } else {
      place.replaceChildren(...actions.map((action) => this.fix(action, place, one)));
    }
  }

  private fix(action: CodeAction, place: HTMLElement, one: Diagnostic): HTMLElement {
    const text = this.plan.text;
    const apply = () => {
      // The text may have moved on since the fix was made for it.
      if (this.plan.text !== text) return void this.fill(place, this.current(one));
      this.plan.apply(action.edit, "fix");
      place.replaceChildren();
      // What only a person can say is asked where it is to stand.
      const reason = this.plan.text.indexOf(NO_REASON);
      if (reason >= 0 && !text.includes(NO_REASON)) this.plan.writeAt(reason + NO_REASON.length - 1);
    };
    return h("div", { class: "fix" }, h("p", {}, action.title), preview(this.plan, action.edit, WORDS.findings.changes),
      button(WORDS.findings.apply, apply, { disabled: !this.plan.writer }));
  }
}

/** Makes these the rows of a list; those that stay are not touched, so that neither focus nor a click is lost. */
function inOrder(list: HTMLElement, rows: HTMLElement[]): void {
  const wanted = new Set<Element>(rows);
  for (const row of [...list.children]) if (!wanted.has(row)) row.remove();
  rows.forEach((row, at) => {
    if (list.children[at] !== row) list.insertBefore(row, list.children[at] ?? null);
  });
}

export function summary(open: Diagnostic[]): string {
  const count = (severity: number) => open.filter((one) => one.severity === severity).length;
  const said = [1, 2, 3].map((severity) => [severity, count(severity)] as const).filter(([, number]) => number > 0)
    .map(([severity, number]) => (severity === 3 ? WORDS.findings.advice(number) : many(number, WORDS.severity[severity] ?? "")));
  return said.length > 0 ? said.join(", ") : WORDS.findings.none;
}

/** The lines that go and the lines that come. */
export function preview(plan: Plan, edit: WorkspaceEdit | undefined, label: string): HTMLElement {
  const doc = plan.view.state.doc;
  const edits = language.editsOf(edit, plan.uri);
  const parts = edits.flatMap((edit) => {
    const from = doc.lineAt(language.offset(doc, edit.range.start));
    const to = doc.lineAt(language.offset(doc, edit.range.end));
    const before = doc.sliceString(from.from, to.to);
    const start = language.offset(doc, edit.range.start) - from.from;
    const end = language.offset(doc, edit.range.end) - from.from;
    const after = before.slice(0, start) + edit.newText + before.slice(end);
    const [gone, come] = different(before.split("\n"), after.split("\n"));
    return [...gone.map((line) => h("del", {}, line)), ...come.map((line) => h("ins", {}, line))];
  });
  return h("pre", { class: "change", tabindex: 0, "aria-label": label }, parts);
}

function different(gone: string[], come: string[]): [string[], string[]] {
  const [a, b] = [[...gone], [...come]];
  while (a.length > 0 && b.length > 0 && a[0] === b[0]) a.shift(), b.shift();
  while (a.length > 0 && b.length > 0 && a.at(-1) === b.at(-1)) a.pop(), b.pop();
  return [a, b.filter((line) => line.trim() !== "")];
}
