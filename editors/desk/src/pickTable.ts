// What was picked, and the table of it that `springline measure` reads: the table is what is kept, this is read from it.

import type { Arch, PointRows } from "./messages.ts";
import type { Asked, PointKind } from "./pickSteps.ts";
import { archOf, facing, isDeciduous, keyOf, pairOf, permanentOf, placeOf, placesOf, seatOf, stepOf } from "./pickSteps.ts";

export type Place = readonly [number, number, number];

export interface Picked extends Asked {
  /** The length between the two ends on the ruler, mm. */
  scaleMm: number;
  points: Record<string, Place>;
}

/** Usual rulers show 30 mm in a picture of an arch. */
const RULER_MM = 30;

export function nothing(isMesh: boolean): Picked {
  return { arch: "upper", last: 6, faces: isMesh, gums: false, deciduous: [], missing: [], parted: [], scaleMm: RULER_MM, points: {} };
}

export function ofRows(rows: PointRows, isMesh: boolean): Picked {
  const points: Record<string, Place> = {};
  const parted = new Set<string>();
  let scaleMm = RULER_MM;
  rows.scale.slice(0, 2).forEach(({ mm, at }, i) => {
    scaleMm = mm;
    points[keyOf("scale", [], i + 1)] = at;
  });
  const named: string[] = [];
  for (const { teeth, kind, at } of rows.points) {
    const order = placesOf(archOf(teeth[0] ?? ""), 8);
    const own = [...teeth].sort((a, b) => seatOf(a) - seatOf(b));
    named.push(...own);
    let which = 1;
    while (points[keyOf(kind as PointKind, own, which)]) which += 1;
    points[keyOf(kind as PointKind, own, which)] = at;
    const [tooth = ""] = own;
    // A side of its own says that the neighbour there does not share it.
    for (const side of ["left", "right"] as const) {
      if (kind !== facing(tooth, side)) continue;
      const next = order[seatOf(tooth) + (side === "left" ? 1 : -1)];
      if (next) parted.add(side === "left" ? pairOf(tooth, next) : pairOf(next, tooth));
    }
  }
  const arches: Arch[] = ["upper", "lower"];
  const arch = arches.find((one) => named.some((tooth) => archOf(tooth) === one)) ?? "upper";
  const last = Math.max(6, ...named.filter((tooth) => placeOf(tooth) <= 8).map(placeOf));
  const faces = isMesh || Object.keys(points).some((key) => key.startsWith("facial"));
  const gums = isMesh && Object.keys(points).some((key) => key.startsWith("gum"));
  const deciduous = [...new Set(named.filter(isDeciduous).map(permanentOf))];
  // The last tooth's far side has no neighbour that could share it.
  const beyond = (pair: string) => pair.split("-").some((tooth) => placeOf(tooth) > last);
  return { arch, last, faces, gums, deciduous, missing: rows.missing, parted: [...parted].filter((pair) => !beyond(pair)), scaleMm, points };
}

/** Tenths of a pixel, thousandths of a millimetre: finer than anyone picks. */
function digits(isMesh: boolean): number {
  return isMesh ? 3 : 1;
}

/** A place as the table has it, so that what is read back is the same. */
export function rounded(at: Place, isMesh: boolean): Place {
  const [x, y, z] = at.map((value) => Number(value.toFixed(digits(isMesh))));
  return [x ?? 0, y ?? 0, z ?? 0];
}

/** The table; nothing where nothing was picked. */
export function textOf(picked: Picked, isMesh: boolean): string {
  const keys = Object.keys(picked.points);
  if (keys.length === 0 && picked.missing.length === 0) return "";
  const number = (value: number) => value.toFixed(digits(isMesh));
  const rows = keys.map(stepOf).sort((a, b) => rank(a.key) - rank(b.key)).map(({ key, kind, teeth }) => {
    const at = picked.points[key] ?? [0, 0, 0];
    const coordinates = at.slice(0, isMesh ? 3 : 2).map(number);
    const names = kind === "scale" ? ["scale", `${picked.scaleMm} mm`] : [teeth.join("-"), kind];
    return [...names, ...coordinates].join(",");
  });
  const remarks = [`# unit ${isMesh ? "mm" : "px"}`];
  if (picked.missing.length > 0) remarks.push(`# missing ${picked.missing.join(", ")}`);
  return [...remarks, `tooth,point,x,y${isMesh ? ",z" : ""}`, ...rows, ""].join("\n");
}

const KINDS: PointKind[] = ["scale", "distal", "contact", "mesial", "facial", "cusp", "gum"];

/** Ruler first, then arch by arch contacts, then faces and cusps, each from the patient's right to the left. */
function rank(key: string): number {
  const { kind, teeth, which } = stepOf(key);
  const [tooth] = teeth;
  if (tooth === undefined) return which;
  const arch = archOf(tooth);
  const at = seatOf(tooth);
  const isContact = ["mesial", "distal", "contact"].includes(kind);
  // Of the sides of one tooth that to the right comes first.
  const side = isContact && kind !== facing(tooth, "right") ? 1 : 0;
  return (arch === "upper" ? 1000 : 3000) + (isContact ? 0 : 1000) + at * 20 + side * 10 + KINDS.indexOf(kind) / 10 + which / 100;
}
