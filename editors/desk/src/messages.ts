// What the program answers. Fields that the page does not use are left out.

export interface Position { line: number; character: number }
export interface Range { start: Position; end: Position }
export interface TextEdit { range: Range; newText: string }
export interface WorkspaceEdit {
  changes?: Record<string, TextEdit[]>;
  documentChanges?: { textDocument?: { uri: string }; edits?: TextEdit[] }[];
}
export interface Diagnostic {
  range: Range;
  severity?: number;
  code?: string | number;
  message: string;
  relatedInformation?: { location: { uri: string; range: Range }; message: string }[];
}
export interface CodeAction { title: string; kind?: string; edit?: WorkspaceEdit; isPreferred?: boolean }
export interface Markup { value?: string }
export interface CompletionItem {
  label: string;
  kind?: number;
  detail?: string;
  documentation?: string | Markup;
  insertText?: string;
  insertTextFormat?: number;
  filterText?: string;
  sortText?: string;
  textEdit?: { range?: Range; insert?: Range; newText: string };
}

export interface Entered { session: string; folder: string; today: string; version: string; task?: PickTask }
export interface OtherText { text: string; base: string; gone: boolean }
export interface Attached {
  doc: string; uri: string; text: string; base: string;
  writer: boolean; unsaved: boolean; recovered: boolean;
  other?: OtherText; history: unknown;
}
export interface Saved { base?: string; conflict?: OtherText }
export interface VisitToCome { date: string; kind: string; minutes: number; what: string[]; chairMinutes: number | null }
export interface PlanRow {
  doc: string; house: boolean; chart: string; doctor: string | null;
  errors: number; warnings: number; onHold: boolean; open: string | null;
  late: { planned: string; days: number } | null;
  visits: VisitToCome[]; unread: boolean;
}
export interface PrintedAt { address: string; name: string; held: boolean }

export interface Refusal { kind: string; why: string; id?: string }
export type Arch = "upper" | "lower";
export interface Moment {
  id: string; kind: "entered" | "visit" | "undated"; date: string | null;
  standing: "entered" | "recorded" | "predicted";
  earliest: string | null; latest: string | null; task: string | null;
  arches: { arch: Arch; step: string | null; wire: string | null; changes: boolean }[];
  says: string;
}
export interface Moments {
  version: number; chart: string; house: boolean; held: boolean; today: string; moments: Moment[]; now: string;
}
export interface Point { x: number; y: number }
export interface Stand {
  inOut?: number | null; height?: number | null; rotated?: number | null;
  tipped?: number | null; torque?: number | null; width?: number | null; space?: number | null;
  /** Along: to the mesial neighbour; less than nothing where they overlap. */
  mesialGap?: number | null;
}
export interface Frame {
  tooth: string; shown: string; arch: Arch; says: string; known: string;
  editable: boolean; why?: string; stand: Stand; mesial?: string; written: string[];
  frame: {
    scale: number; rest: Point; slot: Point; along: Point;
    inward: Point | null; gingival: Point | null; turn: number;
    mesialIn: number; mesialUp: number; width: number; depth: number;
    middle: Point; mesial: Point; distal: Point;
  };
}
export interface Picture {
  version: number; held: boolean; svg: string; width: number; height: number;
  moment: { id: string };
  edits: { as: "plan" | "visit" | "none"; visit?: string; written?: boolean; why?: string };
  frames: Frame[];
}
export interface StandAnswer {
  version: number; edit?: WorkspaceEdit; says?: string; unchanged?: boolean; line?: string; refused?: Refusal;
}
export type Part =
  | { part: "word"; text: string }
  | { part: "tick"; id: string; text: string; group?: string }
  | { part: "write"; id: string; type: string; label: string; choices?: string[] }
  | { part: "key"; text: string };
export type Question =
  | { id: string; text: string; kind: "choose"; choices: { label: string; line: string }[] }
  | { id: string; text: string; kind: "measure"; unit: string; line: string; below?: string };
export interface VisitForm {
  version: number; on: string; kind: string; planned: string | null; initials: string[];
  kinds: { word: string; label: string }[];
  lines: { parts: Part[] }[];
  groups: { id: string; members: string[] }[];
  questions: Question[];
  refused?: Refusal;
}
export interface VisitAnswer {
  version: number; block?: string; edit?: WorkspaceEdit;
  findings?: { code: string; severity: string; message: string; inBlock: boolean }[];
  says?: string; refused?: Refusal;
}
export interface NewQuestion {
  id: string; text: string; type: "text" | "date" | "choose" | "several" | "lines";
  choices: { heading: string; items: { shown: string; value: string }[] }[];
  empty: string | null; remark: string[]; refused?: string;
}
export interface NewForm { kind: string; practices?: string[]; questions: NewQuestion[] }
export interface NewAnswer { text?: string; name?: string; uri?: string; refused?: Refusal }
export interface ForceRow {
  tooth: string; shown: string; way: string; passive: boolean;
  peakG: number; deliveredG: number; sustainedG: number;
  rotationNmm: number; tipNmm: number; torqueNmm: number;
}
export interface Forces {
  version: number; held: boolean; pulls: string[]; note: string;
  arches: { arch: Arch; step: string | null; wire: string | null; refused: string | null; rows: ForceRow[] }[];
}

export interface PickTask { source: string; points: string; case: string | null }
export interface SourceAt { address: string; kind: "png" | "jpeg" | "stl" | "ply" | "obj"; picture: boolean }
export interface PointRows {
  pixels: boolean;
  scale: { mm: number; at: [number, number, number] }[];
  points: { teeth: string[]; kind: string; at: [number, number, number] }[];
  missing: string[];
}
/** A figure, and between what eight in ten picks would lie. */
export interface PickedFigure { value: number; low: number; high: number }
export interface MeasuredTooth {
  tooth: string; in_line: boolean;
  lingual_mm: PickedFigure | null; gingival_mm: PickedFigure | null; rotated_deg: PickedFigure | null;
  tipped_deg: PickedFigure | null; width_mm: PickedFigure | null;
}
export interface MeasuredIndex { name: string; unit: string; figure: PickedFigure; says: string }
export interface PointDoubt { code: string; severity: string; teeth: string[]; message: string; why: string | null; notes: string[] }
export interface PointsReading {
  rows: PointRows | null; refused: string | null;
  teeth: { tooth: string; shown: string }[];
  measured: {
    arches: { arch: Arch; form: string; misfit_mm: number; teeth: MeasuredTooth[]; indices: MeasuredIndex[] }[];
    both: MeasuredIndex[];
  } | null;
  lines: { arch: Arch; points: [number, number, number][] }[];
  doubts: PointDoubt[];
  plan: string;
  mayWrite: boolean;
}
export interface ArchDraftState { arch: Arch; open: boolean; drafted?: string; takeOn?: { title: string; edit: WorkspaceEdit } }
export interface Drafts { version: number; arches: ArchDraftState[] }
export interface DraftAnswer {
  version: number; says: string[]; why: string[]; note: string; edit?: WorkspaceEdit; refused?: Refusal;
}
