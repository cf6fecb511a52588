// Pictures and scans that tests make: dots on a photograph, and a simple arch of crowns.
import { deflateSync, crc32 } from "node:zlib";

/** A PNG of this size, painted by `colour(x, y)`; further parts go before its pixels. */
export function png(width, height, colour, parts = []) {
  const rows = Buffer.alloc(height * (1 + 3 * width));
  for (let y = 0; y < height; y += 1) {
    for (let x = 0; x < width; x += 1) rows.set(colour(x, y), y * (1 + 3 * width) + 1 + 3 * x);
  }
  const part = (name, content) => {
    const head = Buffer.alloc(4);
    head.writeUInt32BE(content.length);
    const named = Buffer.concat([Buffer.from(name), content]);
    const check = Buffer.alloc(4);
    check.writeUInt32BE(crc32(named));
    return Buffer.concat([head, named, check]);
  };
  const size = Buffer.alloc(13);
  size.writeUInt32BE(width, 0);
  size.writeUInt32BE(height, 4);
  size.set([8, 2, 0, 0, 0], 8);
  const begin = Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
  return Buffer.concat([begin, part("IHDR", size), ...parts.map(([name, text]) => part(name, Buffer.from(text))), part("IDAT", deflateSync(rows)), part("IEND", Buffer.alloc(0))]);
}

/** A photograph with crowns in grey and a red dot of five pixels at each point. */
export function photograph(width, height, points) {
  const crowns = points.filter((one) => one.name !== "scale");
  const nearest = (x, y, all) => Math.min(...all.map((one) => Math.hypot(one.x - x, one.y - y)));
  const cells = new Map();
  const cell = (x, y) => `${Math.floor(x / 64)} ${Math.floor(y / 64)}`;
  const around = (x, y) => {
    const key = cell(x, y);
    if (!cells.has(key)) cells.set(key, points.filter((one) => Math.hypot(one.x - (Math.floor(x / 64) + 0.5) * 64, one.y - (Math.floor(y / 64) + 0.5) * 64) < 160));
    return cells.get(key);
  };
  return png(width, height, (x, y) => {
    const near = around(x, y);
    if (near.length === 0) return [70, 40, 40];
    // A pixel reaches from its number to the next.
    if (nearest(x + 0.5, y + 0.5, near) < 2.5) return [255, 0, 0];
    const own = near.filter((one) => crowns.includes(one));
    return own.length > 0 && nearest(x, y, own) < 60 ? [214, 208, 196] : [70, 40, 40];
  }, [["tEXt", "Comment\0taken at home"]]);
}

const WIDTHS = { 1: 8.6, 2: 6.8, 3: 7.8, 4: 7.2, 5: 7, 6: 10 };
const FACES = { 1: 2.1, 2: 1.65, 3: 2.5, 4: 2.4, 5: 2.4, 6: 2.9 };
/** From the slots to the contacts of an aligned arch, mm. */
const DEPTH = 3;
const HEIGHT = 8;

/** Crowns on a catenary of 15 mm, seen by a scanner whose axes are to the left, to the back and to the gum; one lateral
 *  stands in and is turned. */
export function crowns(out = { tooth: "12", palatal: 1.5, turned: 20 }) {
  const a = 15;
  const teeth = [..."654321"].map((at) => `1${at}`).concat([..."123456"].map((at) => `2${at}`));
  const width = (tooth) => WIDTHS[tooth[1]];
  // Stations from the midline outwards: a straight crown takes less of a curved line than its width.
  const stations = new Map();
  let along = 0;
  for (const tooth of teeth.slice(6)) {
    // The contact line is shorter than the slot line by the turn.
    const station = (middle) => {
      let s = middle;
      for (let i = 0; i < 50; i += 1) s = middle + DEPTH * Math.atan(s / a);
      return s;
    };
    const rough = station(along + width(tooth) / 2);
    const radius = (a * a + rough * rough) / a - DEPTH;
    const half = radius * Math.atan(width(tooth) / 2 / radius);
    stations.set(tooth, station(along + half)).set(`1${tooth[1]}`, -station(along + half));
    along += 2 * half;
  }
  return teeth.map((tooth) => {
    const s = stations.get(tooth);
    const turn = Math.atan(s / a);
    const outward = [Math.sin(turn), -Math.cos(turn)];
    const inset = DEPTH + (tooth === out.tooth ? out.palatal : 0);
    const at = [a * Math.asinh(s / a) - inset * outward[0], Math.hypot(a, s) - a - inset * outward[1]];
    // Mesial edge in: on the right side the edge to the left goes back.
    const by = tooth === out.tooth ? (out.turned * Math.PI) / 180 : 0;
    const own = turn + by;
    const left = [Math.cos(own), Math.sin(own)];
    const face = [Math.sin(own), -Math.cos(own)];
    const place = (l, f, z) => [at[0] + l * left[0] + f * face[0], at[1] + l * left[1] + f * face[1], z];
    return { tooth, width: width(tooth), prominence: FACES[tooth[1]], place, face };
  });
}

/** The named points of a crown. */
export function pointsOf(crown) {
  const half = crown.width / 2;
  return {
    right: crown.place(-half, 0, 0), left: crown.place(half, 0, 0), facial: crown.place(0, crown.prominence, 0),
    cusp: crown.place(0, 0, -HEIGHT / 2), cusps: [crown.place(-crown.width / 5, 0.5, -HEIGHT / 2.2), crown.place(crown.width / 5, 0.5, -HEIGHT / 2.2)],
  };
}

/** The arch as a binary STL of about so many triangles. */
export function stl(arch, triangles = 12_000, name = "PATIENT of a test") {
  const rings = Math.max(6, Math.round(Math.sqrt(triangles / arch.length / 4)));
  const sectors = 2 * rings;
  const all = [];
  for (const crown of arch) {
    // Crowns reach a little into one another, so that nothing is seen between them.
    const at = (ring, sector) => {
      const down = (Math.PI * ring) / rings;
      const round = (2 * Math.PI * sector) / sectors;
      const across = Math.sin(down);
      return crown.place(0.515 * crown.width * across * Math.cos(round), crown.prominence * across * Math.sin(round), (-HEIGHT / 2) * Math.cos(down));
    };
    for (let ring = 0; ring < rings; ring += 1) {
      for (let sector = 0; sector < sectors; sector += 1) {
        const corners = [at(ring, sector), at(ring + 1, sector), at(ring + 1, sector + 1), at(ring, sector + 1)];
        if (ring > 0) all.push([corners[0], corners[1], corners[3]]);
        if (ring < rings - 1) all.push([corners[1], corners[2], corners[3]]);
      }
    }
  }
  const bytes = Buffer.alloc(84 + 50 * all.length);
  bytes.write(name, 0, "latin1");
  bytes.writeUInt32LE(all.length, 80);
  all.forEach(([p, q, r], i) => {
    const [u, v] = [q, r].map((corner) => corner.map((x, j) => x - p[j]));
    const normal = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
    const length = Math.hypot(...normal) || 1;
    [...normal.map((x) => x / length), ...p, ...q, ...r].forEach((x, j) => bytes.writeFloatLE(x, 84 + 50 * i + 4 * j));
  });
  return bytes;
}
