// Which points are asked for, tooth by tooth in the order of the arch from the patient's right to the left: contacts
// first, one for two teeth that touch.

import type { Arch } from "./messages.ts";

export type PointKind = "scale" | "mesial" | "distal" | "contact" | "facial" | "cusp" | "gum";

export interface Step {
  /** Kind, teeth, and of several of one kind which. */
  key: string;
  kind: PointKind;
  teeth: string[];
  /** Of a molar's two cusps, of the ruler's two ends. */
  which: number;
}

/** What decides which points there are. */
export interface Asked {
  arch: Arch;
  /** The last tooth on both sides: 6, 7 or 8. */
  last: number;
  /** Middles of the faces too; on a mesh edges and cusps as well. */
  faces: boolean;
  missing: string[];
  /** Neighbours that do not touch: a point on each. */
  parted: string[];
}

const RIGHT: Record<Arch, number> = { upper: 1, lower: 4 };
const LEFT: Record<Arch, number> = { upper: 2, lower: 3 };

/** The teeth of an arch from the patient's right to the left. */
export function teethOf(arch: Arch, last: number): string[] {
  const places = Array.from({ length: last }, (_, at) => at + 1);
  return [...places.toReversed().map((at) => `${RIGHT[arch]}${at}`), ...places.map((at) => `${LEFT[arch]}${at}`)];
}

export function archOf(tooth: string): Arch {
  return tooth.startsWith("1") || tooth.startsWith("2") ? "upper" : "lower";
}

export function placeOf(tooth: string): number {
  return Number(tooth.slice(1));
}

export function pairOf(a: string, b: string): string {
  return `${a}-${b}`;
}

export function keyOf(kind: PointKind, teeth: string[], which = 1): string {
  return which === 1 ? `${kind} ${teeth.join("-")}`.trim() : `${kind} ${teeth.join("-")} ${which}`.replace("  ", " ");
}

export function stepOf(key: string): Step {
  const [kind = "", ...rest] = key.split(" ");
  const named = kind === "scale" ? "" : (rest[0] ?? "");
  const which = Number((kind === "scale" ? rest[0] : rest[1]) ?? 1);
  return { key, kind: kind as PointKind, teeth: named === "" ? [] : named.split("-"), which };
}

/** The side of a tooth that looks to the patient's left, or to the right. */
export function facing(tooth: string, side: "left" | "right"): "mesial" | "distal" {
  const isRight = tooth.startsWith("1") || tooth.startsWith("4");
  return isRight === (side === "left") ? "mesial" : "distal";
}

/** Whether a point between two neighbours is one point. */
export function isShared(asked: Asked, a: string, b: string): boolean {
  const all = teethOf(asked.arch, 8);
  return all.indexOf(b) - all.indexOf(a) === 1 && !asked.parted.includes(pairOf(a, b));
}

export function stepsOf(asked: Asked, isMesh: boolean): Step[] {
  const keys: string[] = isMesh ? [] : ["scale", "scale 2"];
  const teeth = teethOf(asked.arch, asked.last).filter((tooth) => !asked.missing.includes(tooth));
  teeth.forEach((tooth, at) => {
    const before = teeth[at - 1];
    if (before === undefined || !isShared(asked, before, tooth)) keys.push(keyOf(facing(tooth, "right"), [tooth]));
    const next = teeth[at + 1];
    if (next !== undefined && isShared(asked, tooth, next)) keys.push(keyOf("contact", [tooth, next]));
    else keys.push(keyOf(facing(tooth, "left"), [tooth]));
  });
  if (asked.faces) {
    for (const tooth of teeth) {
      keys.push(keyOf("facial", [tooth]));
      if (!isMesh) continue;
      keys.push(keyOf("cusp", [tooth]));
      if (placeOf(tooth) >= 6) keys.push(keyOf("cusp", [tooth], 2));
    }
  }
  return keys.map(stepOf);
}
