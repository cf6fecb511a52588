// A scan: its surface drawn by three.js, which this page alone loads. Places are mm on the scan's own axes.

import { BufferAttribute, BufferGeometry, Color, DirectionalLight, DoubleSide, HemisphereLight, Matrix4, Mesh, MeshLambertMaterial, OrthographicCamera, Ray, Scene as World, Vector3, WebGLRenderer } from "three";
import { OBJLoader } from "three/addons/loaders/OBJLoader.js";
import { PLYLoader } from "three/addons/loaders/PLYLoader.js";
import { STLLoader } from "three/addons/loaders/STLLoader.js";
import { MeshBVH } from "three-mesh-bvh";
import type { Arch } from "./messages.ts";
import type { Scene, Spot } from "./pickStage.ts";
import type { Place } from "./pickTable.ts";

export type Side = "bite" | "front" | "right" | "left";

/** What the page sees of a scan. */
export interface MeshScene extends Scene {
  look(side: Side, arch: Arch): void;
  /** The bite is on the other side. */
  over(arch: Arch): void;
  quarter(): void;
  readonly triangles: number;
}

/** Turned by a drag across the window, radians a pixel. */
const TURN = 0.008;

/** While a hand turns a scan it is drawn with a quarter of the pixels. */
const TURNING = 0.5;

/** A point this far behind what is seen is hidden, mm. */
const BEHIND_MM = 0.4;

class ScanScene implements MeshScene {
  readonly canvas: HTMLCanvasElement;
  readonly triangles: number;
  private readonly renderer: WebGLRenderer;
  private readonly world = new World();
  private readonly camera = new OrthographicCamera();
  private readonly tree: MeshBVH;
  private readonly middle = new Vector3();
  private readonly radius: number;
  /** To the patient's left in the first view, to the incisors, to the viewer; found from the shape. */
  private axes: [Vector3, Vector3, Vector3];
  /** What is seen to the right, upwards, and from where, in the scan's own axes. */
  private view: [Vector3, Vector3, Vector3];
  private centre = new Vector3();
  /** mm across half the height of the window. */
  private half: number;
  private width = 1;
  private height = 1;

  constructor(geometry: BufferGeometry) {
    this.renderer = new WebGLRenderer({ antialias: false, alpha: true });
    this.canvas = this.renderer.domElement;
    this.canvas.className = "under";
    geometry.computeBoundingSphere();
    this.middle.copy(geometry.boundingSphere?.center ?? this.middle);
    this.radius = geometry.boundingSphere?.radius ?? 1;
    this.half = this.radius;
    this.triangles = (geometry.index?.count ?? geometry.getAttribute("position").count) / 3;
    this.tree = new MeshBVH(geometry);
    const surface = new Mesh(geometry, new MeshLambertMaterial({ color: new Color(0xcfcac2), side: DoubleSide }));
    this.world.add(surface, new HemisphereLight(0xffffff, 0x8a8a8a, 1.6));
    const lamp = new DirectionalLight(0xffffff, 1.6);
    lamp.position.set(0.4, 0.8, 1);
    // The light comes with the viewer.
    this.camera.add(lamp);
    this.world.add(this.camera);
    this.axes = axesOf(geometry, this.middle);
    this.view = [...this.axes];
  }

  resize(width: number, height: number): void {
    this.width = width;
    this.height = height;
    this.renderer.setPixelRatio(this.fineness);
    this.renderer.setSize(width, height, false);
  }

  /** Each pixel drawn for so many of the page's, along and down: a machine without a graphics card draws them one by one. */
  private fineness = 1;

  hurry(isTurning: boolean): void {
    const fineness = isTurning ? TURNING : 1;
    if (fineness === this.fineness) return;
    this.fineness = fineness;
    this.renderer.setPixelRatio(fineness);
  }

  private aim(): void {
    const [right, up, back] = this.view;
    const across = this.half * this.width / this.height;
    Object.assign(this.camera, { left: -across, right: across, top: this.half, bottom: -this.half, near: 0, far: 8 * this.radius });
    this.camera.updateProjectionMatrix();
    const turn = new Matrix4().makeBasis(right, up, back);
    this.camera.quaternion.setFromRotationMatrix(turn);
    this.camera.position.copy(this.centre).addScaledVector(back, 4 * this.radius);
    this.camera.updateMatrixWorld();
  }

  draw(): void {
    this.aim();
    this.renderer.render(this.world, this.camera);
  }

  private get perPixel(): number {
    return 2 * this.half / this.height;
  }

  spot(at: Place): Spot {
    const from = new Vector3(...at).sub(this.centre);
    const [right, up] = this.view;
    return { x: this.width / 2 + from.dot(right) / this.perPixel, y: this.height / 2 - from.dot(up) / this.perPixel };
  }

  /** The straight way into the window at a spot. */
  private ray(spot: Spot): Ray {
    const [right, up, back] = this.view;
    const from = this.centre.clone()
      .addScaledVector(right, (spot.x - this.width / 2) * this.perPixel)
      .addScaledVector(up, (this.height / 2 - spot.y) * this.perPixel)
      .addScaledVector(back, 4 * this.radius);
    return new Ray(from, back.clone().negate());
  }

  place(spot: Spot): Place | null {
    const hit = this.tree.raycastFirst(this.ray(spot), DoubleSide);
    return hit ? [hit.point.x, hit.point.y, hit.point.z] : null;
  }

  isHidden(at: Place): boolean {
    const hit = this.tree.raycastFirst(this.ray(this.spot(at)), DoubleSide);
    const [, , back] = this.view;
    return hit !== null && hit.point.clone().sub(new Vector3(...at)).dot(back) > BEHIND_MM;
  }

  zoom(factor: number, about: Spot): void {
    const half = Math.min(2 * this.radius, Math.max(this.radius / 100, this.half / factor));
    const by = 1 - half / this.half;
    const [right, up] = this.view;
    this.centre.addScaledVector(right, (about.x - this.width / 2) * this.perPixel * by)
      .addScaledVector(up, (this.height / 2 - about.y) * this.perPixel * by);
    this.half = half;
  }

  shift(by: Spot): void {
    const [right, up] = this.view;
    this.centre.addScaledVector(right, -by.x * this.perPixel).addScaledVector(up, by.y * this.perPixel);
  }

  sweep(by: Spot): void {
    this.turn(by.x * TURN, by.y * TURN);
  }

  private turn(across: number, down: number): void {
    const [right, up] = this.view.map((axis) => axis.clone()) as [Vector3, Vector3, Vector3];
    for (const axis of this.view) axis.applyAxisAngle(up, -across).applyAxisAngle(right, -down).normalize();
    this.square();
  }

  /** Small errors of many turns do not add up. */
  private square(): void {
    const [right, up, back] = this.view;
    up.crossVectors(back, right).normalize();
    back.crossVectors(right, up).normalize();
  }

  quarter(): void {
    const [right, up, back] = this.axes;
    this.axes = [up.clone().negate(), right.clone(), back];
    this.view = this.axes.map((axis) => axis.clone()) as [Vector3, Vector3, Vector3];
  }

  over(arch: Arch): void {
    const [right, up, back] = this.axes;
    this.axes = [right.negate(), up, back.negate()];
    this.look("bite", arch);
  }

  look(side: Side, arch: Arch): void {
    // Incisors stand at the top of an upper arch, and at the bottom of a lower one.
    const sign = arch === "upper" ? 1 : -1;
    const [x, y, z] = this.axes;
    const right = x.clone().multiplyScalar(sign);
    const front = y.clone();
    const up = front.clone().multiplyScalar(sign);
    // Seen from a side the gum of an upper arch is above.
    const gum = z.clone().multiplyScalar(-sign);
    const views: Record<Side, [Vector3, Vector3, Vector3]> = {
      bite: [right.clone(), up, z.clone()],
      front: [right.clone(), gum, front],
      right: [front.clone(), gum, right.clone().negate()],
      left: [front.clone().negate(), gum, right.clone()],
    };
    this.view = views[side].map((axis) => axis.clone()) as [Vector3, Vector3, Vector3];
    this.whole();
  }

  whole(): void {
    this.centre.copy(this.middle);
    this.half = this.radius * Math.max(1, this.height / this.width);
  }
}

/** Where an arch looks to, from its shape: flat, and closed in front. */
function axesOf(geometry: BufferGeometry, middle: Vector3): [Vector3, Vector3, Vector3] {
  const position = geometry.getAttribute("position");
  const stride = Math.max(1, Math.floor(position.count / 20_000));
  const points: Vector3[] = [];
  const mean = new Vector3();
  for (let i = 0; i < position.count; i += stride) {
    const point = new Vector3().fromBufferAttribute(position, i);
    points.push(point);
    mean.add(point);
  }
  mean.divideScalar(Math.max(1, points.length));
  // The last number is a scale of its own, and stays one.
  const moments = new Matrix4().makeScale(0, 0, 0);
  const m = moments.elements;
  for (const point of points) {
    const from = point.clone().sub(mean).toArray();
    from.forEach((a, i) => from.forEach((b, j) => { m[4 * i + j] = (m[4 * i + j] ?? 0) + a * b; }));
  }
  const across = longest(moments, []);
  const along = longest(moments, [across]);
  const flat = new Vector3().crossVectors(across, along).normalize();
  // The two halves lie apart across the mouth: a middle strip holds the closed end alone, or a palate that begins there.
  const width = Math.max(...points.map((point) => Math.abs(point.clone().sub(middle).dot(across))));
  let strip = 0;
  let count = 0;
  for (const point of points) {
    const from = point.clone().sub(middle);
    if (Math.abs(from.dot(across)) > 0.15 * width) continue;
    strip += from.dot(along);
    count += 1;
  }
  const front = along.clone().multiplyScalar(count > 0 && strip < 0 ? -1 : 1);
  return [new Vector3().crossVectors(front, flat).normalize(), front, flat];
}

/** The direction in which points lie farthest apart, but for those known. */
function longest(moments: Matrix4, known: Vector3[]): Vector3 {
  const clean = (axis: Vector3) => {
    for (const other of known) axis.addScaledVector(other, -axis.dot(other));
    return axis.lengthSq() > 0 ? axis.normalize() : axis.set(1, 0, 0);
  };
  let best = clean(new Vector3(0.3, 1, 0.2));
  let size = -1;
  for (const start of [new Vector3(1, 0.3, 0.2), new Vector3(0.2, 1, 0.3), new Vector3(0.3, 0.2, 1)]) {
    let axis = clean(start);
    let length = 0;
    for (let i = 0; i < 60; i += 1) {
      axis = axis.clone().applyMatrix4(moments);
      for (const other of known) axis.addScaledVector(other, -axis.dot(other));
      length = axis.length();
      if (length === 0) break;
      axis.divideScalar(length);
    }
    if (length > size) [best, size] = [axis, length];
  }
  return best;
}

/** The surface of a scan; an error where there is none. */
export function openMesh(kind: "stl" | "ply" | "obj", bytes: ArrayBuffer): MeshScene {
  const geometry = surfaceOf(kind, bytes);
  const position = geometry.getAttribute("position");
  const isFinite = position !== undefined && position.count >= 3 && Array.from(position.array).every(Number.isFinite);
  if (!isFinite) throw new Error("no surface");
  geometry.computeVertexNormals();
  geometry.computeBoundingSphere();
  if (!(geometry.boundingSphere && geometry.boundingSphere.radius > 0)) throw new Error("no surface");
  return new ScanScene(geometry);
}

function surfaceOf(kind: "stl" | "ply" | "obj", bytes: ArrayBuffer): BufferGeometry {
  if (kind === "stl") return welded(new STLLoader().parse(bytes).getAttribute("position").array as Float32Array);
  if (kind === "ply") return bare(new PLYLoader().parse(bytes));
  const parts: Float32Array[] = [];
  new OBJLoader().parse(new TextDecoder().decode(bytes)).traverse((part) => {
    if (part instanceof Mesh && part.geometry instanceof BufferGeometry) parts.push(part.geometry.getAttribute("position").array as Float32Array);
  });
  const all = new Float32Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    all.set(part, at);
    at += part.length;
  }
  return welded(all);
}

/** Three places for each triangle as corners that neighbours share: a sixth of the corners is left to be drawn, which is what a
 *  machine without a graphics card takes its time for. */
function welded(all: Float32Array): BufferGeometry {
  const count = Math.floor(all.length / 3);
  const bits = new Uint32Array(all.buffer, all.byteOffset, 3 * count);
  const kept = new Uint32Array(3 * count);
  const index = new Uint32Array(count);
  let size = 16;
  while (size < 2 * count) size *= 2;
  // Open addressing: a slot holds a corner, counted from one.
  const slots = new Uint32Array(size);
  let corners = 0;
  for (let i = 0; i < count; i += 1) {
    const [x = 0, y = 0, z = 0] = [bits[3 * i], bits[3 * i + 1], bits[3 * i + 2]];
    let slot = Math.imul(Math.imul(Math.imul(x, 0x9e3779b1) ^ y, 0x85ebca6b) ^ z, 0xc2b2ae35);
    slot = (slot ^ (slot >>> 15)) & (size - 1);
    for (;;) {
      const at = 3 * ((slots[slot] ?? 0) - 1);
      if (at < 0) {
        kept.set([x, y, z], 3 * corners);
        corners += 1;
        slots[slot] = corners;
        index[i] = corners - 1;
        break;
      }
      if (kept[at] === x && kept[at + 1] === y && kept[at + 2] === z) {
        index[i] = at / 3;
        break;
      }
      slot = (slot + 1) & (size - 1);
    }
  }
  const geometry = new BufferGeometry();
  geometry.setAttribute("position", new BufferAttribute(new Float32Array(kept.buffer, 0, 3 * corners), 3));
  geometry.setIndex(new BufferAttribute(index, 1));
  return geometry;
}

/** Shape alone: no colours of the scanner, no names. */
function bare(read: BufferGeometry): BufferGeometry {
  const geometry = new BufferGeometry();
  const position = read.getAttribute("position");
  if (position) geometry.setAttribute("position", position);
  if (read.index) geometry.setIndex(read.index);
  return geometry;
}
