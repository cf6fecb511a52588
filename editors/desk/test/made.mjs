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

/** Sizes of crowns from the midline outwards, mm, and the catenary that their slots lie on. */
const ARCHES = {
  upper: { right: 1, left: 2, size: 15, widths: [8.6, 6.8, 7.8, 7.2, 7, 10], faces: [2.1, 1.65, 2.5, 2.4, 2.4, 2.9] },
  lower: { right: 4, left: 3, size: 13, widths: [5.2, 5.8, 6.8, 7.1, 7.2, 10.8], faces: [1.2, 1.2, 1.9, 2.35, 2.35, 2.5] },
};
/** From the slots to the contacts of an aligned arch, mm. */
const DEPTH = 3;
const HEIGHT = 8;
/** One lateral stands in and is turned. */
const LATERAL = [{ tooth: "12", palatal: 1.5, turned: 20 }];

/** Crowns on a catenary, seen by a scanner whose axes are to the left, to the back and to the gum. Of those out of line it is
 *  said how far their slots stand in (mm), how far the mesial edge is in (deg), and by how much they overlap the crown in front. */
export function crowns(out = LATERAL, arch = "upper") {
  const { right, left, size: a, widths, faces } = ARCHES[arch];
  const stand = (tooth) => ({ palatal: 0, turned: 0, overlap: 0, ...out.find((one) => one.tooth === tooth) });
  // The contact line is shorter than the slot line by the turn.
  const station = (middle) => {
    let s = middle;
    for (let i = 0; i < 50; i += 1) s = middle + DEPTH * Math.atan(s / a);
    return s;
  };
  const all = [];
  for (const side of [right, left]) {
    const sign = side === left ? 1 : -1;
    // From the midline outwards: a straight crown takes less of a curved line than its width.
    let along = 0;
    widths.forEach((width, i) => {
      const tooth = `${side}${i + 1}`;
      const { palatal, turned, overlap } = stand(tooth);
      along -= overlap;
      const rough = station(along + width / 2);
      const radius = (a * a + rough * rough) / a - DEPTH;
      const half = radius * Math.atan(width / 2 / radius);
      // Mesial edge in: on the right side the edge to the left goes back, and the slot to the left.
      const by = -sign * (turned * Math.PI) / 180;
      const s = sign * station(along + half) + DEPTH * Math.sin(by);
      along += 2 * half;
      const turn = Math.atan(s / a);
      const slot = [a * Math.asinh(s / a) - palatal * Math.sin(turn), Math.hypot(a, s) - a + palatal * Math.cos(turn)];
      const toLeft = [Math.cos(turn + by), Math.sin(turn + by)];
      const face = [Math.sin(turn + by), -Math.cos(turn + by)];
      const place = (l, f, z) => [slot[0] + l * toLeft[0] + (f - DEPTH) * face[0], slot[1] + l * toLeft[1] + (f - DEPTH) * face[1], z];
      all.push({ tooth, width, prominence: faces[i], place, face });
    });
  }
  return [...all.slice(0, widths.length).toReversed(), ...all.slice(widths.length)];
}

/** The named points of a crown. */
export function pointsOf(crown) {
  const half = crown.width / 2;
  return {
    right: crown.place(-half, 0, 0), left: crown.place(half, 0, 0), facial: crown.place(0, crown.prominence, 0),
    cusp: crown.place(0, 0, -HEIGHT / 2), cusps: [crown.place(-crown.width / 5, 0.5, -HEIGHT / 2.2), crown.place(crown.width / 5, 0.5, -HEIGHT / 2.2)],
  };
}

/** About so many triangles of an arch, each three places. */
function triangles(arch, about) {
  const rings = Math.max(6, Math.round(Math.sqrt(about / arch.length / 4)));
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
  return all;
}

/** The arch as a binary STL of about so many triangles. */
export function stl(arch, about = 12_000, name = "PATIENT of a test") {
  const all = triangles(arch, about);
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

/** The same as a binary PLY, of either byte order. */
export function ply(arch, order = "little") {
  const all = triangles(arch, 12_000);
  const head = Buffer.from(`ply\nformat binary_${order}_endian 1.0\ncomment PATIENT of a test\nelement vertex ${3 * all.length}\n` +
    `property float x\nproperty float y\nproperty float z\nelement face ${all.length}\nproperty list uchar int vertex_indices\nend_header\n`);
  const bytes = Buffer.alloc(49 * all.length);
  const write = order === "little" ? ["writeFloatLE", "writeInt32LE"] : ["writeFloatBE", "writeInt32BE"];
  all.flat(2).forEach((x, i) => bytes[write[0]](x, 4 * i));
  all.forEach((_, i) => {
    const at = 36 * all.length + 13 * i;
    bytes.writeUInt8(3, at);
    [0, 1, 2].forEach((corner) => bytes[write[1]](3 * i + corner, at + 1 + 4 * corner));
  });
  return Buffer.concat([head, bytes]);
}

/** The same as an OBJ. */
export function obj(arch) {
  const all = triangles(arch, 12_000);
  const lines = ["# PATIENT of a test", "o PATIENT"];
  for (const place of all.flat()) lines.push(`v ${place.map((x) => x.toFixed(4)).join(" ")}`);
  all.forEach((_, i) => lines.push(`f ${3 * i + 1} ${3 * i + 2} ${3 * i + 3}`));
  return Buffer.from(`${lines.join("\n")}\n`);
}

/** An arch from the bite with a ruler of 40 mm beside it, so many pixels for a millimetre; and where a place of it lies in the picture. */
export function mouth(arch, perMm = 22) {
  const sides = [70, 62];
  const spot = ([x, y]) => [(x + sides[0] / 2) * perMm, (y + 12) * perMm];
  const places = arch.map((crown) => ({ crown, middle: crown.place(0, 0, 0), left: crown.place(1, 0, 0), face: crown.place(0, 1, 0) }));
  const ruler = { from: [-20, 44], to: [20, 44] };
  const colour = (px, py) => {
    const [x, y] = [px / perMm - sides[0] / 2, py / perMm - 12];
    if (Math.abs(y - 46) < 2 && Math.abs(x) < 24) {
      const tick = Math.abs(x - Math.round(x)) < 0.08 && y < (Math.round(x) % 10 === 0 ? 46.5 : 45) && Math.abs(x) < 20.1;
      return tick ? [20, 20, 20] : [235, 232, 200];
    }
    for (const { crown, middle, left, face } of places) {
      const off = [x - middle[0], y - middle[1]];
      const along = off[0] * (left[0] - middle[0]) + off[1] * (left[1] - middle[1]);
      const out = off[0] * (face[0] - middle[0]) + off[1] * (face[1] - middle[1]);
      const depth = out > 0 ? crown.prominence : 0.55 * crown.width + 1;
      const round = Math.hypot(along / (crown.width / 2), out / depth);
      if (round < 1) return [232, 226, 208].map((part) => Math.round(part * (1 - 0.35 * round ** 6)));
    }
    const gum = Math.abs(y - 14) < 30 && Math.abs(x) < 32;
    return gum ? [168, 88, 92] : [60, 32, 34];
  };
  return { bytes: png(sides[0] * perMm, sides[1] * perMm, colour), spot, ruler, perMm };
}

/** A JPEG with what a camera writes beside the picture: that it was held upright, where it was, and of whom it is. */
export function byCamera(jpeg, words = "PATIENT at home") {
  const tiff = Buffer.alloc(38 + words.length + 1);
  tiff.write("II*\0", 0, "latin1");
  tiff.writeUInt32LE(8, 4);
  tiff.writeUInt16LE(2, 8);
  const entry = (at, tag, kind, count, value) => {
    tiff.writeUInt16LE(tag, at);
    tiff.writeUInt16LE(kind, at + 2);
    tiff.writeUInt32LE(count, at + 4);
    tiff.writeUInt32LE(value, at + 8);
  };
  entry(10, 0x010e, 2, words.length + 1, 38);
  entry(22, 0x0112, 3, 1, 6);
  tiff.write(words, 38, "latin1");
  const content = Buffer.concat([Buffer.from("Exif\0\0", "latin1"), tiff]);
  const head = Buffer.from([0xff, 0xe1, 0, 0]);
  head.writeUInt16BE(content.length + 2, 2);
  return Buffer.concat([jpeg.subarray(0, 2), head, content, jpeg.subarray(2)]);
}
