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
  /** On a mesh, points at the gum too: they show how far a crown is tipped. */
  gums: boolean;
  /** Permanent teeth whose deciduous ones stand in their places. */
  deciduous: string[];
  missing: string[];
  /** Neighbours that do not touch: a point on each. */
  parted: string[];
}

const RIGHT: Record<Arch, number> = { upper: 1, lower: 4 };
const LEFT: Record<Arch, number> = { upper: 2, lower: 3 };

/** Quadrants of deciduous teeth follow those of permanent ones: 5 lies where 1 does. */
const DECIDUOUS = 4;

/** Incisors, canine and two molars. */
const DECIDUOUS_PLACES = 5;

/** The permanent teeth of an arch from the patient's right to the left. */
export function placesOf(arch: Arch, last: number): string[] {
  const places = Array.from({ length: last }, (_, at) => at + 1);
  return [...places.toReversed().map((at) => `${RIGHT[arch]}${at}`), ...places.map((at) => `${LEFT[arch]}${at}`)];
}

/** The teeth that stand there. */
export function teethOf(asked: Asked): string[] {
  return placesOf(asked.arch, asked.last).map((place) => (asked.deciduous.includes(place) ? deciduousOf(place) : place));
}

function quadrantOf(tooth: string): number {
  const quadrant = Number(tooth[0]);
  return quadrant > DECIDUOUS ? quadrant - DECIDUOUS : quadrant;
}

export function isDeciduous(tooth: string): boolean {
  return Number(tooth[0]) > DECIDUOUS;
}

/** The permanent tooth of a place: 15 of 55. */
export function permanentOf(tooth: string): string {
  return `${quadrantOf(tooth)}${placeOf(tooth)}`;
}

function deciduousOf(tooth: string): string {
  return `${quadrantOf(tooth) + DECIDUOUS}${placeOf(tooth)}`;
}

/** The other tooth that may stand in its place; a molar behind the deciduous ones has none. */
export function otherDentition(tooth: string): string | null {
  if (isDeciduous(tooth)) return permanentOf(tooth);
  return placeOf(tooth) <= DECIDUOUS_PLACES ? deciduousOf(tooth) : null;
}

export function archOf(tooth: string): Arch {
  return quadrantOf(tooth) <= 2 ? "upper" : "lower";
}

export function isOnRight(tooth: string): boolean {
  return quadrantOf(tooth) === RIGHT[archOf(tooth)];
}

export function placeOf(tooth: string): number {
  return Number(tooth.slice(1));
}

/** Where a tooth comes in its arch, from the patient's right. */
export function seatOf(tooth: string): number {
  return placesOf(archOf(tooth), 8).indexOf(permanentOf(tooth));
}

/** Whether it has a cusp in front and one behind on the cheek's side. */
export function hasTwoCusps(tooth: string): boolean {
  return placeOf(tooth) >= (isDeciduous(tooth) ? 5 : 6);
}

/** Two neighbours by their places, whichever teeth stand there. */
export function pairOf(a: string, b: string): string {
  return `${permanentOf(a)}-${permanentOf(b)}`;
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
  return isOnRight(tooth) === (side === "left") ? "mesial" : "distal";
}

/** Whether a point between two neighbours is one point. */
export function isShared(asked: Asked, a: string, b: string): boolean {
  return seatOf(b) - seatOf(a) === 1 && !asked.parted.includes(pairOf(a, b));
}

export function stepsOf(asked: Asked, isMesh: boolean): Step[] {
  const keys: string[] = isMesh ? [] : ["scale", "scale 2"];
  const teeth = teethOf(asked).filter((tooth) => !asked.missing.includes(tooth));
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
      if (hasTwoCusps(tooth)) keys.push(keyOf("cusp", [tooth], 2));
    }
  }
  if (asked.gums && isMesh) keys.push(...teeth.map((tooth) => keyOf("gum", [tooth])));
  return keys.map(stepOf);
}
