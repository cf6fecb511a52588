// What points are picked on, as the hand meets it: a click puts a point, a drag moves one or shifts what is seen, a wheel
// or two fingers bring it closer; arrows do the same. A photograph and a scan differ in how they are drawn and turned.

import { h } from "./dom.ts";
import type { Place } from "./pickTable.ts";

export interface Spot { x: number; y: number }
export interface Mark { key: string; at: Place; label: string; current: boolean; quiet: boolean }

/** What is looked at. Places are in its own unit, spots are pixels of the page from its upper left corner. */
export interface Scene {
  readonly canvas: HTMLCanvasElement;
  resize(width: number, height: number): void;
  draw(): void;
  spot(at: Place): Spot;
  /** The place under a spot; `null` beside what is shown. */
  place(spot: Spot): Place | null;
  /** Whether something lies before a place. */
  isHidden(at: Place): boolean;
  zoom(factor: number, about: Spot): void;
  shift(by: Spot): void;
  /** A drag beside the points: shifts a picture, turns a scan. */
  sweep(by: Spot): void;
  whole(): void;
  /** A hand turns it: quick before fine. */
  hurry(isTurning: boolean): void;
}

export interface StageEvents {
  put(at: Place): void;
  /** The point that a hand holds; `done` when it is let go. */
  move(key: string, at: Place, done: boolean): void;
  choose(key: string): void;
  key(event: KeyboardEvent): void;
  missed(): void;
}

/** How near a finger or a mouse has to be to take a point, in pixels. */
const NEAR = { touch: 22, mouse: 9 };

/** A hand that moves less than this has clicked, in pixels. */
const STILL = 4;

const WHEEL = 0.0015;

export class PickStage {
  readonly element: HTMLElement;
  private readonly over = h("canvas", { class: "over", tabindex: 0, role: "application" });
  private marks: Mark[] = [];
  private lines: Place[][] = [];
  private hands = new Map<number, Spot>();
  private held: { key: string | null; from: Spot; moved: boolean; turned: boolean } | null = null;
  /** Where a point would be put by the keyboard. */
  private cross: Spot = { x: 0, y: 0 };
  private hasKeys = false;
  private isDrawn = true;
  private size = { width: 0, height: 0 };
  /** How long the last drawings took, ms. */
  readonly frames: number[] = [];

  constructor(private readonly scene: Scene, private readonly events: StageEvents) {
    this.element = h("div", { class: "picking" }, scene.canvas, this.over);
    scene.canvas.setAttribute("aria-hidden", "true");
    const on = <K extends keyof HTMLElementEventMap>(kind: K, hear: (event: HTMLElementEventMap[K]) => void, options?: AddEventListenerOptions) =>
      this.over.addEventListener(kind, hear, options);
    on("pointerdown", (event) => this.down(event));
    on("pointermove", (event) => this.moved(event));
    on("pointerup", (event) => this.up(event));
    on("pointercancel", (event) => this.cancelled(event));
    on("wheel", (event) => this.wheel(event), { passive: false });
    on("keydown", (event) => this.typed(event));
    on("focus", () => this.turnKeys(this.over.matches(":focus-visible")));
    on("blur", () => this.turnKeys(false));
    on("contextmenu", (event) => event.preventDefault());
    new ResizeObserver(() => this.fit()).observe(this.element);
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => this.redraw());
  }

  say(words: string): void {
    this.over.setAttribute("aria-label", words);
  }

  focus(): void {
    this.over.focus();
  }

  show(marks: Mark[], lines: Place[][]): void {
    this.marks = marks;
    this.lines = lines;
    this.redraw();
  }

  /** The view is to be drawn again at the next frame. */
  redraw(): void {
    if (!this.isDrawn) return;
    this.isDrawn = false;
    requestAnimationFrame(() => {
      this.isDrawn = true;
      const began = performance.now();
      this.scene.hurry(this.isTurning);
      this.scene.draw();
      this.drawMarks();
      this.frames.push(performance.now() - began);
      if (this.frames.length > 600) this.frames.shift();
    });
  }

  zoom(factor: number): void {
    this.scene.zoom(factor, { x: this.size.width / 2, y: this.size.height / 2 });
    this.redraw();
  }

  whole(): void {
    this.scene.whole();
    this.redraw();
  }

  private fit(): void {
    const { clientWidth: width, clientHeight: height } = this.element;
    if (width === 0 || height === 0 || (width === this.size.width && height === this.size.height)) return;
    const isFirst = this.size.width === 0;
    this.size = { width, height };
    this.cross = { x: width / 2, y: height / 2 };
    const fine = devicePixelRatio;
    this.over.width = Math.round(width * fine);
    this.over.height = Math.round(height * fine);
    this.scene.resize(width, height);
    if (isFirst) this.scene.whole();
    this.redraw();
  }

  private get isTurning(): boolean {
    return this.held?.moved === true && this.held.key === null;
  }

  // Hands

  private at(event: MouseEvent): Spot {
    const box = this.over.getBoundingClientRect();
    return { x: event.clientX - box.left, y: event.clientY - box.top };
  }

  private near(spot: Spot, reach: number): Mark | null {
    let best: Mark | null = null;
    let least = reach;
    for (const mark of this.marks) {
      if (mark.quiet && !mark.current) continue;
      const at = this.scene.spot(mark.at);
      const far = Math.hypot(at.x - spot.x, at.y - spot.y);
      // The one that is asked for goes before others that lie as near.
      if (far < least || (mark.current && far <= reach)) [best, least] = [mark, mark.current ? -1 : far];
    }
    return best;
  }

  private down(event: PointerEvent): void {
    this.over.setPointerCapture(event.pointerId);
    const spot = this.at(event);
    this.hands.set(event.pointerId, spot);
    this.turnKeys(false);
    if (this.hands.size > 1) {
      if (this.held) this.held = { ...this.held, key: null, moved: true };
      return;
    }
    const reach = event.pointerType === "mouse" ? NEAR.mouse : NEAR.touch;
    const isPlain = event.button === 0 && !event.shiftKey;
    const mark = isPlain ? this.near(spot, reach) : null;
    this.held = { key: mark?.key ?? null, from: spot, moved: false, turned: isPlain };
  }

  private moved(event: PointerEvent): void {
    const before = this.hands.get(event.pointerId);
    if (!before || !this.held) return;
    const spot = this.at(event);
    const by = { x: spot.x - before.x, y: spot.y - before.y };
    const [other] = [...this.hands].filter(([id]) => id !== event.pointerId).map(([, at]) => at);
    if (other) {
      const apart = (one: Spot) => Math.max(20, Math.hypot(one.x - other.x, one.y - other.y));
      this.scene.shift({ x: by.x / 2, y: by.y / 2 });
      this.scene.zoom(apart(spot) / apart(before), { x: (spot.x + other.x) / 2, y: (spot.y + other.y) / 2 });
      this.hands.set(event.pointerId, spot);
      return this.redraw();
    }
    const { from, key } = this.held;
    if (!this.held.moved && Math.hypot(spot.x - from.x, spot.y - from.y) < STILL) return;
    if (!this.held.moved && key !== null && !this.marks.some((one) => one.current && one.key === key)) this.events.choose(key);
    this.held.moved = true;
    this.hands.set(event.pointerId, spot);
    if (key !== null) {
      const at = this.scene.place(spot);
      if (at) this.events.move(key, at, false);
      return;
    }
    if (this.held.turned) this.scene.sweep(by);
    else this.scene.shift(by);
    this.redraw();
  }

  private up(event: PointerEvent): void {
    const held = this.held;
    this.hands.delete(event.pointerId);
    if (!held || this.hands.size > 0) return;
    this.held = null;
    const spot = this.at(event);
    if (held.moved) {
      // What is hidden is looked for once the view rests.
      if (held.key === null) return this.redraw();
      const mark = this.marks.find((one) => one.key === held.key);
      if (mark) this.events.move(held.key, this.scene.place(spot) ?? mark.at, true);
      return;
    }
    if (!held.turned) return;
    // Two crowns may lie nearer than a hand can tell: while a point is asked for, a click puts it.
    const isAsked = !this.marks.some((one) => one.current);
    if (held.key !== null && !isAsked) return this.events.choose(held.key);
    const at = this.scene.place(spot);
    if (at) this.events.put(at);
    else this.events.missed();
  }

  private cancelled(event: PointerEvent): void {
    this.hands.delete(event.pointerId);
    const held = this.held;
    this.held = null;
    const mark = this.marks.find((one) => one.key === held?.key);
    if (held?.moved && mark) this.events.move(mark.key, mark.at, true);
  }

  private wheel(event: WheelEvent): void {
    event.preventDefault();
    this.scene.zoom(Math.exp(-event.deltaY * WHEEL * (event.deltaMode === 1 ? 20 : 1)), this.at(event));
    this.redraw();
  }

  // Keys

  private turnKeys(hasKeys: boolean): void {
    if (this.hasKeys === hasKeys) return;
    this.hasKeys = hasKeys;
    this.redraw();
  }

  private typed(event: KeyboardEvent): void {
    const way = ({ ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] } as Record<string, [number, number]>)[event.key];
    if (way && !event.ctrlKey && !event.metaKey) {
      event.preventDefault();
      this.turnKeys(true);
      if (event.altKey) {
        this.scene.sweep({ x: way[0] * -30, y: way[1] * -30 });
        return this.redraw();
      }
      return this.nudge(way, event.shiftKey ? 10 : 1);
    }
    if (event.key === "+" || event.key === "=") return this.zoom(1.25);
    if (event.key === "-") return this.zoom(0.8);
    if (event.key === "0") return this.whole();
    if (event.key === "Enter") {
      event.preventDefault();
      const mark = this.marks.find((one) => one.current);
      if (!mark) {
        const at = this.scene.place(this.cross);
        if (at) return this.events.put(at);
        return this.events.missed();
      }
    }
    this.events.key(event);
  }

  private nudge(way: [number, number], pixels: number): void {
    const mark = this.marks.find((one) => one.current);
    const from = mark ? this.scene.spot(mark.at) : this.cross;
    const to = { x: from.x + way[0] * pixels, y: from.y + way[1] * pixels };
    if (mark) {
      const at = this.scene.place(to);
      if (at) this.events.move(mark.key, at, true);
      return;
    }
    this.cross = { x: clamp(to.x, 0, this.size.width), y: clamp(to.y, 0, this.size.height) };
    this.redraw();
  }

  // What is drawn over it

  private drawMarks(): void {
    const context = this.over.getContext("2d");
    if (!context) return;
    const fine = devicePixelRatio;
    context.setTransform(fine, 0, 0, fine, 0, 0);
    context.clearRect(0, 0, this.size.width, this.size.height);
    const style = getComputedStyle(this.element);
    const [ink, paper, accent] = ["--mark-ink", "--mark-paper", "--mark-line"].map((name) => style.getPropertyValue(name).trim() || "black");
    const outlined = (path: Path2D, width: number, colour: string) => {
      context.strokeStyle = paper ?? "white";
      context.lineWidth = width + 2.5;
      context.stroke(path);
      context.strokeStyle = colour;
      context.lineWidth = width;
      context.stroke(path);
    };
    context.lineJoin = context.lineCap = "round";
    for (const line of this.lines) {
      const path = new Path2D();
      for (const at of line) {
        const { x, y } = this.scene.spot(at);
        path.lineTo(x, y);
      }
      outlined(path, 1.5, accent ?? "teal");
    }
    context.font = "600 12px system-ui, sans-serif";
    context.textBaseline = "middle";
    // The one that is asked for lies above the others.
    for (const mark of [...this.marks].sort((a, b) => Number(a.current) - Number(b.current))) {
      const { x, y } = this.scene.spot(mark.at);
      context.globalAlpha = mark.current ? 1 : mark.quiet ? 0.35 : !this.isTurning && this.scene.isHidden(mark.at) ? 0.4 : 1;
      const path = new Path2D();
      path.arc(x, y, mark.current ? 7 : 4, 0, 2 * Math.PI);
      outlined(path, mark.current ? 2.5 : 1.5, ink ?? "black");
      context.fillStyle = ink ?? "black";
      context.fillRect(x - 0.75, y - 0.75, 1.5, 1.5);
      if (mark.quiet && !mark.current) continue;
      context.strokeStyle = paper ?? "white";
      context.lineWidth = 3;
      context.strokeText(mark.label, x + 10, y);
      context.fillText(mark.label, x + 10, y);
    }
    context.globalAlpha = 1;
    if (this.hasKeys && !this.marks.some((mark) => mark.current)) {
      const { x, y } = this.cross;
      outlined(new Path2D(`M${x - 14} ${y}h10M${x + 4} ${y}h10M${x} ${y - 14}v10M${x} ${y + 4}v10`), 1.5, ink ?? "black");
    }
  }

  /** Whether something is seen where a place is; for measuring how long that takes. */
  hits(at: Place): boolean {
    return this.scene.place(this.scene.spot(at)) !== null;
  }

  /** Where a place is on the page; for tests and for whoever guides a hand. */
  spotOf(at: Place): Spot {
    const box = this.over.getBoundingClientRect();
    const { x, y } = this.scene.spot(at);
    return { x: box.left + x, y: box.top + y };
  }
}

function clamp(value: number, least: number, most: number): number {
  return Math.min(most, Math.max(least, value));
}
