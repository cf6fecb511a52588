// The language server's answers in the editor: findings, completion, hover, colours. Places are counted as the
// protocol counts them by default, in UTF-16 units, which are the editor's own.

import type { Completion, CompletionContext, CompletionResult } from "@codemirror/autocomplete";
import { snippet } from "@codemirror/autocomplete";
import type { ChangeSpec, Text } from "@codemirror/state";
import { RangeSetBuilder, StateEffect, StateField } from "@codemirror/state";
import type { DecorationSet, EditorView, Tooltip } from "@codemirror/view";
import { Decoration, EditorView as View } from "@codemirror/view";
import { h } from "./dom.ts";
import type { CompletionItem, Markup, Position, Range, TextEdit, WorkspaceEdit } from "./messages.ts";

export type LanguageRange = Range;
import type { Wire } from "./wire.ts";
import { isStale } from "./wire.ts";

export function offset(doc: Text, position: Position): number {
  if (position.line >= doc.lines) return doc.length;
  const line = doc.line(position.line + 1);
  return Math.min(line.from + position.character, line.to);
}

export function position(doc: Text, at: number): Position {
  const line = doc.lineAt(at);
  return { line: line.number - 1, character: at - line.from };
}

export function range(doc: Text, from: number, to: number): Range {
  return { start: position(doc, from), end: position(doc, to) };
}

/** The edits of one plan, of which a workspace edit may hold several. */
export function editsOf(edit: WorkspaceEdit | undefined, uri: string): TextEdit[] {
  const plain = edit?.changes?.[uri] ?? [];
  const versioned = (edit?.documentChanges ?? []).filter((one) => one.textDocument?.uri === uri);
  return [...plain, ...versioned.flatMap((one) => one.edits ?? [])];
}

export function changesOf(doc: Text, edits: TextEdit[]): ChangeSpec[] {
  return edits.map((edit) => ({
    from: offset(doc, edit.range.start),
    to: offset(doc, edit.range.end),
    insert: edit.newText,
  }));
}

/** Text of a hover or a documentation: paragraphs, and drawings and examples as they are laid out; never markup. */
export function prose(markup: string | Markup | (string | Markup)[] | undefined): HTMLElement {
  const parts = (Array.isArray(markup) ? markup : [markup]).map((one) => (typeof one === "string" ? one : one?.value ?? ""));
  const words = (block: string) =>
    block.replace(/\[([^\]]*)\]\([^)]*\)/g, "$1").replace(/[*`_]{1,2}([^*`_]+)[*`_]{1,2}/g, "$1").replace(/^#+ /gm, "");
  // Every second part stands between fences.
  const pieces = parts.join("\n\n").split(/^```[a-z]*\n?/m);
  return h("div", { class: "prose" }, pieces.flatMap<HTMLElement>((piece, at) => (at % 2 === 1
    ? [h("pre", {}, piece.trimEnd())]
    : piece.split(/\n{2,}/).map((block) => block.trim()).filter(Boolean).map((block) => h("p", {}, words(block))))));
}

interface Hover { contents?: string | Markup | (string | Markup)[]; range?: Range }

export async function hover(wire: Wire, uri: string, view: EditorView, at: number): Promise<Tooltip | null> {
  const asked = { textDocument: { uri }, position: position(view.state.doc, at) };
  const found = await wire.request<Hover | null>("textDocument/hover", asked).catch(() => null);
  if (!found?.contents) return null;
  const dom = prose(found.contents);
  const from = found.range ? offset(view.state.doc, found.range.start) : at;
  const end = found.range ? offset(view.state.doc, found.range.end) : at;
  return { pos: from, end, above: true, create: () => ({ dom }) };
}

interface CompletionList { isIncomplete?: boolean; items: CompletionItem[] }

export async function complete(
  wire: Wire,
  uri: string,
  context: CompletionContext,
): Promise<CompletionResult | null> {
  const { state, pos } = context;
  const word = context.matchBefore(/[\w#.-]+/);
  const before = state.sliceDoc(Math.max(0, pos - 1), pos);
  if (!context.explicit && !word && !/[ #/.-]/.test(before)) return null;
  const stop = new AbortController();
  context.addEventListener("abort", () => stop.abort());
  const asked = { textDocument: { uri }, position: position(state.doc, pos), context: { triggerKind: 1 } };
  const answer = await wire
    .request<CompletionList | CompletionItem[] | null>("textDocument/completion", asked, stop.signal)
    .catch((error: unknown) => {
      if (isStale(error)) return null;
      throw error;
    });
  const items = Array.isArray(answer) ? answer : answer?.items ?? [];
  if (items.length === 0) return null;
  const spans = items.map((item) => item.textEdit?.range ?? item.textEdit?.insert).filter((span) => span !== undefined);
  const starts = spans.map((span) => offset(state.doc, span.start));
  const from = starts.length > 0 ? Math.min(...starts) : word?.from ?? pos;
  const sorted = [...items].sort((a, b) => ((a.sortText ?? a.label) < (b.sortText ?? b.label) ? -1 : 1));
  const options = sorted.map((item, index) => option(item, sorted.length - index));
  return { from, options, validFor: /^[\w#.-]*$/ };
}

function option(item: CompletionItem, rank: number): Completion {
  const text = item.textEdit?.newText ?? item.insertText ?? item.label;
  const made: Completion = {
    label: item.filterText ?? item.label,
    displayLabel: item.label,
    // The order is the server's: it knows what comes next.
    boost: Math.min(99, rank),
    apply: item.insertTextFormat === 2 ? snippet(text.replace(/\$(\d+)/g, "$${$1}").replace(/\$\{0\}/g, "${}")) : text,
  };
  if (item.detail) made.detail = item.detail;
  if (item.documentation) {
    const documentation = item.documentation;
    made.info = () => prose(documentation);
  }
  return made;
}

// Colours: the server's classes of words, as classes of style.

const setTokens = StateEffect.define<DecorationSet>();

export const tokens = StateField.define<DecorationSet>({
  create: () => Decoration.none,
  update(shown, transaction) {
    for (const effect of transaction.effects) if (effect.is(setTokens)) return effect.value;
    return shown.map(transaction.changes);
  },
  provide: (field) => View.decorations.from(field),
});

export interface TokenLegend { tokenTypes: string[] }

export async function colour(wire: Wire, uri: string, view: EditorView, legend: TokenLegend): Promise<void> {
  const doc = view.state.doc;
  const asked = { textDocument: { uri } };
  const found = await wire.request<{ data: number[] } | null>("textDocument/semanticTokens/full", asked);
  if (!found || view.state.doc !== doc) return;
  const builder = new RangeSetBuilder<Decoration>();
  let [line, character] = [0, 0];
  for (let at = 0; at + 4 < found.data.length; at += 5) {
    const [deltaLine = 0, deltaStart = 0, length = 0, type = 0] = found.data.slice(at, at + 4);
    character = deltaLine === 0 ? character + deltaStart : deltaStart;
    line += deltaLine;
    const from = offset(doc, { line, character });
    builder.add(from, Math.min(from + length, doc.length), mark(legend.tokenTypes[type] ?? ""));
  }
  view.dispatch({ effects: setTokens.of(builder.finish()) });
}

const marks = new Map<string, Decoration>();

function mark(type: string): Decoration {
  const known = marks.get(type) ?? Decoration.mark({ class: `tok-${type}` });
  marks.set(type, known);
  return known;
}
