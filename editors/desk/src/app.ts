// What the screens share: the line, who came in, and the plan that is open.

import type { TokenLegend } from "./language.ts";
import type { Diagnostic, Entered, OtherText, PlanRow } from "./messages.ts";
import { Plan } from "./plan.ts";
import type { Wire } from "./wire.ts";

export interface Screen {
  element: HTMLElement;
  title: string;
  /** The list of plans has news. */
  rows?(): void;
  /** The open plan has news of this kind. */
  changed?(): void;
  findings?(): void;
  state?(): void;
  leave?(): void;
  /** Answers stand on it that are nowhere else. */
  isFilled?(): boolean;
}

/** Between two drawings of the list, in ms. */
const ROWS_EVERY = 150;

export class App {
  entered: Entered = { session: "", folder: "", today: "", version: "" };
  names: string[] = [];
  rows = new Map<string, PlanRow>();
  rowsDone = false;
  private rowsTimer = 0;
  /** The day has changed while a form was being filled: the page is loaded again when it is left. */
  isAnotherDay = false;
  /** Plans whose text is not saved. */
  unsaved = new Set<string>();
  /** Files have changed since the list was made. */
  stale = false;
  plan: Plan | null = null;
  screen: Screen | null = null;
  other: OtherText | null = null;
  legend: TokenLegend = { tokenTypes: [] };
  /** What else is to be shown where the file differs; set by the start of the page. */
  differs: (plan: Plan, other: OtherText) => void = () => {};

  constructor(readonly wire: Wire) {
    wire.on("textDocument/publishDiagnostics", (told: { uri: string; version?: number; diagnostics: Diagnostic[] }) => {
      if (told.uri === this.plan?.uri) this.plan.showFindings(told.diagnostics, told.version);
    });
    wire.on("workspace/configuration", (asked: { items: unknown[] }) => asked.items.map(() => ({})));
    wire.on("desk/rows", (told: { rows: PlanRow[]; done: boolean }) => {
      for (const row of told.rows) this.rows.set(row.doc, row);
      this.rowsDone ||= told.done;
      this.showRows();
    });
    wire.on("desk/listed", () => {
      this.stale = true;
      if (this.screen?.rows) void this.list();
    });
    // Every date on the page is another; unsaved text and steps of undo are with the program.
    wire.on("desk/day", () => {
      this.isAnotherDay = true;
      if (!this.screen?.isFilled?.()) location.reload();
    });
    wire.on("desk/text", (told: { doc: string; text: string }) => this.of(told.doc)?.followed(told.text));
    wire.on("desk/saved", (told: { doc: string; base: string }) => this.of(told.doc)?.savedElsewhere(told.base));
    wire.on("desk/taken", (told: { doc: string }) => this.of(told.doc)?.taken());
    wire.on("desk/changed", (told: { doc: string; text?: string; base?: string; other?: OtherText }) =>
      this.of(told.doc)?.changedOutside(told));
  }

  /** Rows come many times a second while they are computed; the eye needs them less often. */
  private showRows(): void {
    if (this.rowsTimer !== 0) return;
    this.rowsTimer = window.setTimeout(() => {
      this.rowsTimer = 0;
      this.screen?.rows?.();
    }, ROWS_EVERY);
  }

  private of(doc: string): Plan | null {
    return this.plan?.doc === doc ? this.plan : null;
  }

  async list(): Promise<void> {
    this.stale = false;
    const { names, unsaved } = await this.wire.request<{ names: string[]; unsaved: string[] }>("desk/cases", {});
    this.names = names;
    this.unsaved = new Set(unsaved);
    for (const doc of this.rows.keys()) if (!names.includes(doc)) this.rows.delete(doc);
    this.rowsDone = false;
    this.screen?.rows?.();
  }

  /** The plan, opened once for all its screens. */
  async open(doc: string): Promise<Plan> {
    if (this.plan?.doc === doc) return this.plan;
    this.close();
    const nonce = document.querySelector<HTMLScriptElement>("script[nonce]")?.nonce ?? "";
    const plan: Plan = new Plan(this.wire, doc, this.legend, {
      changed: () => this.screen?.changed?.(),
      findings: () => this.screen?.findings?.(),
      state: () => this.screen?.state?.(),
      differs: (other) => this.differs(plan, other),
    }, nonce);
    this.plan = plan;
    try {
      await plan.attach();
    } catch (error) {
      this.plan = null;
      throw error;
    }
    return plan;
  }

  close(): void {
    this.plan?.detach();
    this.plan = null;
  }
}

export function address(screen: string, doc = ""): string {
  return `#${screen}${doc ? `/${doc.split("/").map(encodeURIComponent).join("/")}` : ""}`;
}
