// Every word of the page on which points are picked.

import type { Step } from "./pickSteps.ts";
import { archOf, hasTwoCusps, placeOf } from "./pickSteps.ts";

export const WORDS = {
  title: "Points",
  choose: "Pick points",
  chooseWhy: "On a photograph of an arch from the bite with a ruler in it, or on a scan, the contacts of the crowns are picked; from them the program measures where the teeth stand.",
  source: "Photograph or scan",
  sourceNone: "There is no photograph (PNG, JPEG) and no scan (STL, PLY, OBJ) in this folder. Put one beside the plan, then load this page again.",
  plan: "Plan",
  noPlan: "no plan: the arch form is fitted",
  begin: "Begin",
  toPractice: "To the practice",
  arch: "Arch", upper: "upper", lower: "lower",
  last: "Last teeth", faces: "Middles of the faces too", gums: "Points at the gum too",
  privacy: "Nothing leaves this machine. The table holds points alone; still, teeth identify people: keep it beside the plan.",
  picture: "Picture", mesh: "Scan",
  undo: "Undo", redo: "Redo", closer: "Closer", farther: "Farther", whole: "Whole", quarter: "Turn by a quarter",
  over: "Turn over", bite: "From the bite", front: "From the front", right: "Patient's right", left: "Patient's left",
  next: "Next", before: "Before", remove: "Take the point away",
  part: "They do not touch: two points", join: "They touch: one point",
  missing: (tooth: string) => `${tooth} is missing`,
  there: (tooth: string) => `${tooth} is there`,
  instead: (tooth: string, other: string) => `It is ${other}, not ${tooth}`,
  absent: "Missing",
  ruler: "Length on the ruler, mm",
  points: "Points", stands: "Stands", doubts: "Doubts", figures: "Of the arch", lines: "As lines of the plan", text: "Lines",
  none: "Nothing is measured yet.",
  noDoubts: "None.",
  plusMinus: "\u00b1: eight in ten picks of the same crown would lie within.",
  tooth: "Tooth", inOut: "In or out, mm", turned: "Turned, \u00b0", height: "Height, mm", tipped: "Tipped, \u00b0", width: "Width, mm",
  write: "Write into the plan",
  saved: "Saved", unsaved: "Not saved", saving: "Saving\u2026", failed: "Could not be saved", reading: "Another tab picks here", differs: "Changed outside",
  save: "Save", pickHere: "Pick here", theirs: "Take the file's points", mine: "Write mine over it",
  count: (done: number, all: number) => `${done} of ${all}`,
  allPicked: "All points are picked.",
  picked: "picked", notPicked: "not picked",
  put: (name: string) => `${name} picked.`,
  taken: (name: string) => `${name} taken away.`,
  moved: (name: string) => `${name} moved.`,
  now: (name: string) => `Now: ${name}.`,
  undone: "Undone.", redone: "Done again.",
  noPicture: "The picture cannot be read. Save it again as PNG or JPEG.",
  noSurface: "The scan has no surface that could be seen. Save it again as STL, PLY or OBJ.",
  noDrawing: "This browser draws no scans (WebGL 2 is missing or switched off). A photograph from the bite can be used instead.",
  noHit: "There is no surface at that place.",
  lost: "The line to the program is broken; trying again. Points are kept on this page.",
  ended: "The program has ended. Points that were not saved are there again when it is started again.",
  refused: "This address was used already, or is older than half a minute. Press Enter where the program runs, or run it again, for a new one.",
  notTable: (why: string) => `The file of that name is no table that can be continued here: ${why} Nothing is written to it; move it, or choose another name with --out.`,
  otherUnit: "The file of that name has points of another kind: of a photograph in pixels, or of a scan in mm. Nothing is written to it; move it, or choose another name with --out.",
  keys: "Keys on the picture",
  stage: (what: string, name: string) => `${what}. ${name}. Arrows move the point or the cross, Enter puts it, N and P go on and back.`,
};

export const KEYS: [string, string][] = [
  ["Arrows", "move the point, or the cross while there is none; with Shift ten times as far"],
  ["Enter", "puts the point at the cross; goes on"],
  ["N, P", "next, before"], ["M", "the tooth is missing, or is there"], ["D", "the deciduous tooth stands there, or the permanent one"], ["T", "one point or two between neighbours"],
  ["Delete", "takes the point away"], ["+, \u2212, 0", "closer, farther, whole"],
  ["Alt and arrows", "shift the picture, turn the scan"], ["Ctrl+Z, Ctrl+Y", "undo, redo"], ["Ctrl+S", "save"],
];

type Shown = (tooth: string) => string;

/** A point by name. */
export function stepName(step: Step, shown: Shown): string {
  const [a = "", b = ""] = step.teeth;
  switch (step.kind) {
    case "scale": return step.which === 1 ? "One end on the ruler" : "The other end on the ruler";
    case "contact": return `Contact of ${shown(a)} and ${shown(b)}`;
    case "mesial": return `${shown(a)}, mesial contact`;
    case "distal": return `${shown(a)}, distal contact`;
    case "facial": return `${shown(a)}, middle of the face`;
    case "gum": return `${shown(a)}, gum`;
    case "cusp": return `${shown(a)}, ${cuspOf(a, step.which)}`;
  }
}

function cuspOf(tooth: string, which: number): string {
  const place = placeOf(tooth);
  if (place <= 2) return "middle of the edge";
  if (place === 3) return "tip of the cusp";
  if (!hasTwoCusps(tooth)) return "tip of the cheek-side cusp";
  return which === 1 ? "tip of the mesial cheek-side cusp" : "tip of the distal cheek-side cusp";
}

/** Where to put it. */
export function stepHint(step: Step): string {
  switch (step.kind) {
    case "scale": return "Two marks of a ruler that lies level with the teeth.";
    case "contact": return "Where the two crowns touch.";
    case "mesial": return "The outermost point of the crown towards the midline, where its neighbour would touch.";
    case "distal": return "The outermost point of the crown away from the midline, where its neighbour would touch.";
    case "facial": return "Where the bracket sits or will sit.";
    case "cusp": return placeOf(step.teeth[0] ?? "11") <= 2 ? "The biting edge, midway." : "The highest point of the cusp.";
    case "gum": return "The edge of the gum above or below the face.";
  }
}

/** A point in the list, shortly. */
export function stepShort(step: Step, shown: Shown): string {
  const [a = "", b = ""] = step.teeth;
  switch (step.kind) {
    case "scale": return step.which === 1 ? "ruler" : "ruler, end";
    case "contact": return `${shown(a)}\u2013${shown(b)}`;
    case "cusp": return `${shown(a)} ${placeOf(a) <= 2 ? "edge" : step.which === 1 ? "cusp" : "cusp 2"}`;
    case "facial": return `${shown(a)} face`;
    default: return `${shown(a)} ${step.kind}`;
  }
}

/** "2.3 palatal" */
export function inOut(tooth: string, mm: number): string {
  const inner = archOf(tooth) === "upper" ? "palatal" : "lingual";
  const outer = placeOf(tooth) <= 3 ? "labial" : "buccal";
  return way(mm, inner, outer, 1);
}

/** A signed figure with the word of its direction. */
export function way(value: number, positive: string, negative: string, digits: number): string {
  const size = Math.abs(value).toFixed(digits);
  return Number(size) === 0 ? size : `${size} ${value > 0 ? positive : negative}`;
}
