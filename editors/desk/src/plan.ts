// One plan that is open: its text in an editor, what the program says of it, and how it is kept.

import { autocompletion, completionKeymap } from "@codemirror/autocomplete";
import { defaultKeymap, history, historyField, historyKeymap, isolateHistory, undo } from "@codemirror/commands";
import { nextDiagnostic, setDiagnostics } from "@codemirror/lint";
import { findNext, findPrevious, openSearchPanel, closeSearchPanel } from "@codemirror/search";
import type { Extension, TransactionSpec } from "@codemirror/state";
import { Annotation, Compartment, EditorState, Transaction } from "@codemirror/state";
import {
  EditorView, drawSelection, highlightActiveLine, highlightSpecialChars, hoverTooltip, keymap, lineNumbers,
} from "@codemirror/view";
import { WORDS } from "./deskWords.ts";
import { announce, h } from "./dom.ts";
import * as language from "./language.ts";
import type { Attached, CodeAction, Diagnostic, OtherText, Saved, TextEdit, WorkspaceEdit } from "./messages.ts";
import { rename } from "./rename.ts";
import { Newest } from "./wire.ts";
import type { Wire } from "./wire.ts";

export type SaveState = "saved" | "unsaved" | "saving" | "differs" | "reading" | "failed";

/** A change while a hand holds a tooth: the first, or one more of the same step of undo. */
const held = Annotation.define<"first" | "more">();

/** Typing without a longer pause is one step of undo, in ms; as the editor has it by itself. */
const PAUSE = 500;

/** No pause parts what a hand held: what joins a step is decided by us. */
const ANY_TIME = 1e9;

/** Quiet after which the text is saved by itself, in ms. */
const QUIET = 2000;

/** Undo reaches to the beginning of the sitting. */
const STEPS = 10_000;

/** The most that is kept of its steps, in signs; the oldest go first. */
const KEPT = 2_000_000;

/** Findings of the writing itself: while one stands, nothing is saved unasked. */
const HALF_WRITTEN = /^(syntax|name|unit)\//;

export interface PlanEvents {
  /** The text has changed, or something that its meaning depends on. */
  changed(): void;
  findings(): void;
  state(): void;
  differs(other: OtherText): void;
}

export class Plan {
  readonly view: EditorView;
  uri = "";
  diagnostics: Diagnostic[] = [];
  state: SaveState = "saved";
  writer = true;
  recovered = false;
  /** Said by the program when it could not save. */
  trouble = "";
  saveUnasked = true;
  private base = "";
  private version = 1;
  private savedText = "";
  /** What the file holds, where that is to be decided. */
  other: OtherText | null = null;
  private saving: Promise<boolean> | null = null;
  private timer = 0;
  private held: string | null = null;
  /** It has changed the text. */
  private hasMoved = false;
  /** When the text changed last, in ms. */
  private changedAt = 0;
  /** The text whose steps were kept last. */
  private keptOf: string | null = null;
  private readonly colouring = new Newest();
  private readonly mode = new Compartment();

  constructor(
    private readonly wire: Wire,
    readonly doc: string,
    private readonly legend: language.TokenLegend,
    private readonly events: PlanEvents,
    nonce: string,
  ) {
    this.view = new EditorView({ state: EditorState.create({ extensions: this.extensions(nonce) }) });
  }

  private extensions(nonce: string): Extension {
    return [
      EditorView.cspNonce.of(nonce),
      lineNumbers(),
      highlightSpecialChars({ render: (code) => h("span", { class: "unseen" }, unicode(code)) }),
      history({ minDepth: STEPS, newGroupDelay: ANY_TIME, joinToEvent: (change, isBeside) => this.joins(change, isBeside) }),
      drawSelection(),
      highlightActiveLine(),
      EditorView.lineWrapping,
      autocompletion({ override: [(context) => language.complete(this.wire, this.uri, context)], maxRenderedOptions: 60 }),
      hoverTooltip((view, at) => language.hover(this.wire, this.uri, view, at)),
      language.tokens,
      keymap.of([
        { key: "Mod-s", run: () => (void this.save(), true), preventDefault: true },
        { key: "Shift-Alt-f", run: () => (void this.layOut(), true) },
        { key: "F8", run: nextDiagnostic },
        { key: "F2", run: () => (void this.rename(), true) },
        { key: "Mod-f", run: openSearchPanel, scope: "editor search-panel" },
        { key: "F3", run: findNext, shift: findPrevious, scope: "editor search-panel", preventDefault: true },
        { key: "Escape", run: closeSearchPanel, scope: "editor search-panel" },
        ...completionKeymap, ...historyKeymap,
        // Tab is not among them: it leaves the text, as it leaves every other field.
        ...defaultKeymap,
      ]),
      EditorView.contentAttributes.of({ "aria-label": WORDS.plan.textOf(this.doc), spellcheck: "false", tabindex: "0" }),
      this.mode.of([]),
      EditorView.updateListener.of((update) => {
        if (!update.docChanged) return;
        this.changedAt = Date.now();
        this.tell(update.startState, update.changes, update.transactions.some(isTyped));
      }),
    ];
  }

  /** Whether a change belongs to the step of undo before it. */
  private joins(change: Transaction, isBeside: boolean): boolean {
    const part = change.annotation(held);
    return part === undefined ? isBeside && Date.now() - this.changedAt < PAUSE : part === "more";
  }

  get text(): string {
    return this.view.state.doc.toString();
  }

  /** Opens the plan, or joins it again after the line was broken. */
  async attach(take = false): Promise<void> {
    const first = this.uri === "";
    const here = this.text;
    const got = await this.wire.request<Attached>("desk/attach", { doc: this.doc, take });
    const before = this.base;
    this.uri = got.uri;
    this.base = got.base;
    this.recovered = got.recovered;
    this.setWriter(got.writer);
    // What was typed while the line was broken is newer than what the program has.
    const hasOwn = !first && got.writer && here !== this.savedText && here !== got.text;
    const keepsOwn = hasOwn && got.base === before;
    const text = keepsOwn ? here : got.text;
    if (first) this.restore(text, got.history);
    else this.replace(text, true);
    this.savedText = got.unsaved ? "\0" : got.text;
    this.version = 1;
    this.wire.notify("textDocument/didOpen", {
      textDocument: { uri: this.uri, languageId: "springline", version: 1, text: this.text },
    });
    if (keepsOwn && text !== got.text) this.send([{ text }]);
    this.judge();
    if (hasOwn && !keepsOwn) {
      this.replace(here);
      this.differs({ text: got.text, base: got.base, gone: false });
    }
    if (got.other) this.differs(got.other);
    this.events.changed();
    this.recolour();
  }

  private restore(text: string, kept: unknown): void {
    const extensions = this.extensions(document.querySelector<HTMLScriptElement>("script[nonce]")?.nonce ?? "");
    let state = EditorState.create({ doc: text, extensions });
    const { history: steps, of } = (kept ?? {}) as { history?: unknown; of?: string };
    if (steps && of !== undefined) {
      try {
        const before = EditorState.create({ doc: of });
        state = EditorState.fromJSON({ doc: of, selection: before.selection.toJSON(), history: steps }, { extensions }, { history: historyField });
        // What came after the steps were kept last is one step more.
        const since = difference(of, text);
        if (since) state = state.update({ changes: since, annotations: isolateHistory.of("full") }).state;
      } catch {
        state = EditorState.create({ doc: text, extensions });
        // A history of another version of the editor is no loss of text.
      }
    }
    this.view.setState(state);
    this.setWriter(this.writer);
  }

  detach(): void {
    clearTimeout(this.timer);
    if (this.state === "unsaved" && this.mayBeSaved()) void this.save();
    this.keepHistory();
    this.wire.notify("textDocument/didClose", { textDocument: { uri: this.uri } });
    this.wire.notify("desk/detach", { doc: this.doc });
    this.view.destroy();
  }

  /** Steps of undo outlive this page: they are found again as long as the sitting goes on. */
  keepHistory(): void {
    const of = this.text;
    if (!this.writer || this.held !== null || this.uri === "" || this.keptOf === of) return;
    this.keptOf = of;
    const { history: all } = this.view.state.toJSON({ history: historyField }) as { history: { done: unknown[]; undone: unknown[] } };
    let { done } = all;
    while (done.length > 0 && JSON.stringify(done).length > KEPT) done = done.slice(Math.ceil(done.length / 4));
    this.wire.notify("desk/keep", { doc: this.doc, history: { history: { ...all, done }, of } });
  }

  /** A hand holds a tooth: what is not looked at until it is let go may wait. */
  get isHeld(): boolean {
    return this.held !== null;
  }

  private setWriter(writer: boolean): void {
    this.writer = writer;
    this.view.dispatch({ effects: this.mode.reconfigure(EditorState.readOnly.of(!writer)) });
  }

  // The text and the program

  private tell(before: EditorState, changes: { iterChanges(f: (fromA: number, toA: number, fromB: number, toB: number, inserted: { toString(): string }) => void): void }, typed: boolean): void {
    const list: { range: language.LanguageRange; text: string }[] = [];
    changes.iterChanges((from, to, _from, _to, inserted) => {
      list.push({ range: language.range(before.doc, from, to), text: inserted.toString() });
    });
    // From the end backwards, so that no change moves the place of one that follows. What no key wrote is sent whole: for
    // a text that is being typed the server holds new findings back until there is a pause, and a dragged tooth has none.
    this.send(typed ? list.reverse() : [{ text: this.text }]);
    this.judge();
    this.events.changed();
    if (!this.isHeld) this.recolour();
  }

  private send(contentChanges: object[]): void {
    this.version += 1;
    this.wire.notify("textDocument/didChange", {
      textDocument: { uri: this.uri, version: this.version }, contentChanges, text: this.text, base: this.base,
    });
  }

  get sentVersion(): number {
    return this.version;
  }

  private recolour(): void {
    this.colouring.ask(() => language.colour(this.wire, this.uri, this.view, this.legend));
  }

  private judge(): void {
    clearTimeout(this.timer);
    if (!this.writer) return this.turn("reading");
    if (this.state === "differs") return;
    if (this.text === this.savedText) return this.turn("saved");
    this.turn("unsaved");
    if (this.saveUnasked) this.timer = window.setTimeout(() => this.saveIfWhole(), QUIET);
  }

  private saveIfWhole(): void {
    this.keepHistory();
    if (this.state === "unsaved" && this.held === null && this.mayBeSaved()) void this.save();
  }

  private mayBeSaved(): boolean {
    return this.saveUnasked && !this.diagnostics.some((one) => one.severity === 1 && HALF_WRITTEN.test(String(one.code)));
  }

  private turn(state: SaveState): void {
    if (this.state === state) return;
    this.state = state;
    this.events.state();
  }

  /** Saves; with another base where it was decided what becomes of a file that someone else changed. */
  async save(base?: string): Promise<boolean> {
    // One after the other: the second begins with what the first has written.
    await this.saving;
    this.saving = this.saveNow(base ?? this.base);
    const saved = await this.saving;
    this.saving = null;
    return saved;
  }

  private async saveNow(base: string): Promise<boolean> {
    clearTimeout(this.timer);
    if (!this.writer || (this.state === "differs" && base === this.base)) return false;
    const text = this.text;
    this.state = "unsaved";
    this.turn("saving");
    try {
      const saved = await this.wire.request<Saved>("desk/save", { doc: this.doc, base });
      if (saved.conflict) {
        this.differs(saved.conflict);
        return false;
      }
      this.base = saved.base ?? this.base;
      this.savedText = text;
      this.trouble = "";
      this.other = null;
      this.recovered = false;
      this.state = "unsaved";
      this.judge();
      this.keepHistory();
      if (this.text === text) announce(WORDS.head.saved);
      return true;
    } catch (error) {
      this.trouble = error instanceof Error ? error.message : String(error);
      this.state = "unsaved";
      this.turn("failed");
      return false;
    }
  }

  private differs(other: OtherText): void {
    this.other = other;
    this.turn("differs");
    this.events.differs(other);
  }

  /** The file changed on the disk. */
  changedOutside(params: { text?: string; base?: string; other?: OtherText }): void {
    if (params.other) return this.differs(params.other);
    if (params.text === undefined) return;
    const clean = this.text === this.savedText;
    if (!clean) return;
    this.base = params.base ?? this.base;
    this.savedText = params.text;
    this.replace(params.text);
    this.judge();
    announce(WORDS.plan.takenIn);
  }

  /** Another tab writes. */
  followed(text: string): void {
    this.replace(text, true);
  }

  savedElsewhere(base: string): void {
    this.base = base;
    this.savedText = this.text;
  }

  taken(): void {
    this.setWriter(false);
    this.turn("reading");
  }

  decided(text: string, base: string): Promise<boolean> {
    this.state = "unsaved";
    this.replace(text);
    return this.save(base);
  }

  showFindings(diagnostics: Diagnostic[], version: number | undefined): void {
    if (version !== undefined && version < this.version) return;
    this.diagnostics = diagnostics;
    const doc = this.view.state.doc;
    const shown = diagnostics.filter((one) => one.severity !== 4).map((one) => ({
      from: language.offset(doc, one.range.start),
      to: language.offset(doc, one.range.end),
      severity: one.severity === 1 ? ("error" as const) : one.severity === 2 ? ("warning" as const) : ("info" as const),
      message: one.message,
    }));
    this.view.dispatch(setDiagnostics(this.view.state, shown));
    this.events.findings();
  }

  // Changes by hand, by fixes, by forms

  /** A change whose smallest difference is made, so that marks and cursor stay. */
  private replace(text: string, unrecorded = false): void {
    const changes = difference(this.text, text);
    if (!changes) return;
    const spec: TransactionSpec = { changes };
    if (unrecorded) spec.annotations = Transaction.addToHistory.of(false);
    else spec.annotations = isolateHistory.of("full");
    this.view.dispatch(spec);
  }

  apply(edit: WorkspaceEdit | undefined, what: string): boolean {
    const edits = language.editsOf(edit, this.uri);
    if (edits.length === 0 || !this.writer) return false;
    this.view.dispatch({
      changes: language.changesOf(this.view.state.doc, edits),
      annotations: [isolateHistory.of("full"), Transaction.userEvent.of(what)],
      scrollIntoView: false,
    });
    return true;
  }

  /** From now on until [`release`], changes are one step of undo. */
  hold(): void {
    if (this.held !== null) return;
    this.held = this.text;
    this.hasMoved = false;
  }

  applyHeld(edit: WorkspaceEdit | undefined): void {
    const edits = language.editsOf(edit, this.uri);
    if (edits.length === 0) return;
    this.view.dispatch({
      changes: language.changesOf(this.view.state.doc, edits),
      annotations: held.of(this.hasMoved ? "more" : "first"),
    });
    this.hasMoved = true;
  }

  /** What was done since [`hold`] stays, or is put back. */
  release(keep: boolean): void {
    const before = this.held;
    this.held = null;
    const now = this.text;
    if (before === null || before === now) return;
    if (!keep) {
      undo(this.view);
      this.replace(before);
      return;
    }
    this.recolour();
    this.judge();
    this.events.changed();
  }

  rename(): Promise<void> {
    return rename(this.wire, this);
  }

  async layOut(): Promise<void> {
    const asked = { textDocument: { uri: this.uri }, options: { tabSize: 2, insertSpaces: true } };
    const edits = await this.wire.request<TextEdit[] | null>("textDocument/formatting", asked).catch(() => null);
    if (edits && edits.length > 0) {
      this.view.dispatch({ changes: language.changesOf(this.view.state.doc, edits), annotations: isolateHistory.of("full") });
    }
  }

  fixes(of: Diagnostic): Promise<CodeAction[]> {
    const context = { diagnostics: [of], only: ["quickfix"] };
    const asked = { textDocument: { uri: this.uri }, range: of.range, context };
    return this.wire
      .request<CodeAction[] | null>("textDocument/codeAction", asked)
      .then((all) => (all ?? []).filter((one) => language.editsOf(one.edit, this.uri).length > 0));
  }

  writeAt(at: number): void {
    this.view.dispatch({ selection: { anchor: at }, effects: EditorView.scrollIntoView(at, { y: "center" }) });
    this.view.focus();
  }

  goTo(at: Diagnostic["range"]): void {
    const from = language.offset(this.view.state.doc, at.start);
    const to = language.offset(this.view.state.doc, at.end);
    this.view.dispatch({ selection: { anchor: from, head: to }, effects: EditorView.scrollIntoView(from, { y: "center" }) });
    this.view.focus();
  }
}

function isTyped(change: Transaction): boolean {
  return change.isUserEvent("input") || change.isUserEvent("delete");
}

/** The one change between two texts: what they share at both ends stays. */
function difference(before: string, now: string): { from: number; to: number; insert: string } | null {
  if (before === now) return null;
  let start = 0;
  const most = Math.min(before.length, now.length);
  while (start < most && before[start] === now[start]) start += 1;
  let end = 0;
  while (end < most - start && before[before.length - 1 - end] === now[now.length - 1 - end]) end += 1;
  return { from: start, to: before.length - end, insert: now.slice(start, now.length - end) };
}

function unicode(code: number): string {
  return `U+${code.toString(16).toUpperCase().padStart(4, "0")}`;
}
