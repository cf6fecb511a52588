// The picture beside the text: both arches as the program draws them, and the handles by which a tooth is entered.
// While the hand holds a tooth the page moves its one group; what is written comes from the program.

import { address } from "./app.ts";
import { WORDS } from "./deskWords.ts";
import { announce, button, fill, h } from "./dom.ts";
import { drawing, svg } from "./drawing.ts";
import type { Frame, Picture, Point, Stand, StandAnswer } from "./messages.ts";
import type { Plan } from "./plan.ts";
import { Newest, isStale } from "./wire.ts";
import type { Wire } from "./wire.ts";

export type View = "occlusal" | "frontal";
/** Nobody has to say how wide a crown is and how much room it has; where it is not said there is no figure. */
type RoomMeasure = "space" | "width";
type Measure = "inOut" | "rotated" | "height" | "tipped" | "mesialGap" | RoomMeasure;

/** What a measure is called, its step and its greatest value. Steps are those by which such stands are written. */
const MEASURES: Record<Measure, { label: string; unit: string; step: number; most: number; plus: string; minus: string }> = {
  inOut: { ...WORDS.picture.inOut, unit: "mm", step: 0.1, most: 12 },
  rotated: { ...WORDS.picture.rotated, unit: "deg", step: 1, most: 180 },
  height: { ...WORDS.picture.height, unit: "mm", step: 0.1, most: 12 },
  tipped: { ...WORDS.picture.tipped, unit: "deg", step: 1, most: 60 },
  mesialGap: { ...WORDS.picture.mesialGap, unit: "mm", step: 0.1, most: 12 },
  space: { ...WORDS.picture.space, unit: "mm", step: 0.1, most: 20 },
  width: { ...WORDS.picture.width, unit: "mm", step: 0.1, most: 20 },
};

/** Half the size of a handle on the screen, in px: as it is seen, and as a finger hits it. */
const DOT = 5;
const FINGER = 13;

/** While a tooth is dragged each text is shown with its findings before the next is written; where they take longer than
 * this, in ms, the text follows the hand without them. */
const PACE = 500;

/** How far a drag goes before it is decided which way it means, in px. */
const DECIDED = 4;

interface Hold {
  frame: Frame;
  start: Stand;
  stand: Stand;
  measure: Measure | null;
  /** Along or across is not decided yet. */
  isOpen: boolean;
  /** Where the pointer went down, on paper; none by keyboard. */
  from: Point | null;
  moved: boolean;
}

export interface PictureEvents {
  /** What a stand at this moment is written to, for a visit not yet written down. */
  visit(): { on: string; line(tooth: string, line: string): void } | null;
  /** A tooth was tapped while a form asks for teeth; true where it took it. */
  tapped(tooth: string, shown: string): boolean;
}

export class PictureBoard {
  readonly element: HTMLElement;
  moment = "today";
  view: View = "occlusal";
  private readonly stage = h("div", { class: "stage", tabindex: 0, role: "group", "aria-label": WORDS.picture.teeth });
  private readonly fields = h("div", { class: "stand" });
  private readonly legend = h("p", { class: "legend quiet" });
  private readonly note = h("p", { class: "note" });
  private readonly asking = new Newest();
  private readonly writing = new Newest();
  private drawn: Picture | null = null;
  private chosen: string | null = null;
  /** Whose figures stand in the fields, and which. */
  private fieldsOf: string | null = null;
  private hold: Hold | null = null;
  /** Why the last thing tried was not written; until another is tried. */
  private refused = "";
  /** Waits for the picture of the newest text. */
  private shown: (() => void) | null = null;

  constructor(private readonly wire: Wire, private readonly plan: Plan, private readonly events: PictureEvents) {
    const choice = (view: View, label: string) =>
      h("label", {}, h("input", {
        type: "radio", name: "view", value: view, checked: view === this.view,
        change: () => this.look(view),
      }), label);
    this.element = h("section", { class: "picture", "aria-label": WORDS.picture.title },
      h("fieldset", { class: "views" }, h("legend", { class: "hidden" }, WORDS.picture.from),
        choice("occlusal", WORDS.picture.occlusal), choice("frontal", WORDS.picture.frontal)),
      this.stage, this.legend, this.note, this.fields);
    this.stage.addEventListener("pointerdown", (event) => this.down(event));
    this.stage.addEventListener("pointermove", (event) => this.move(event));
    this.stage.addEventListener("pointerup", () => this.up(true));
    this.stage.addEventListener("pointercancel", () => this.up(false));
    this.stage.addEventListener("keydown", (event) => this.key(event));
    this.stage.addEventListener("blur", () => { if (this.hold && !this.hold.from) this.up(true); });
  }

  private look(view: View): void {
    this.view = view;
    this.refresh();
  }

  show(moment: string): void {
    this.moment = moment;
    this.refresh();
  }

  /** Asks for the picture of the text as it is now. */
  refresh(): void {
    this.asking.ask(async () => {
      const asked = { textDocument: { uri: this.plan.uri }, moment: this.moment, view: this.view };
      const picture = await this.wire.request<Picture | null>("springline/picture", asked);
      this.stage.hidden = picture === null;
      if (picture === null) fill(this.note, WORDS.picture.none);
      else if (picture.version >= this.plan.sentVersion - 1) this.draw(picture);
    });
  }

  /** Whether what is shown is that text. */
  isOf(version: number): boolean {
    return this.drawn?.version === version;
  }

  /** The teeth that are there, from the patient's right to the left, upper before lower. */
  get teeth(): { tooth: string; shown: string }[] {
    return this.drawn?.frames ?? [];
  }

  private frame(tooth: string | null): Frame | undefined {
    return this.drawn?.frames.find((one) => one.tooth === tooth);
  }

  /** What moves with a tooth: its crown first, then what is drawn above it. */
  private groups(tooth: string): SVGGElement[] {
    return [...this.stage.querySelectorAll<SVGGElement>(`g[data-tooth="${CSS.escape(tooth)}"]`)];
  }

  private draw(picture: Picture): void {
    this.drawn = picture;
    if (picture.version === this.plan.sentVersion) this.shown?.();
    const image = drawing(picture.svg);
    // What it says as a whole, each tooth says for itself.
    for (const name of ["width", "height", "aria-labelledby", "aria-describedby"]) image.removeAttribute(name);
    image.querySelectorAll(":scope > title, :scope > desc").forEach((one) => one.remove());
    image.setAttribute("role", "presentation");
    this.stage.replaceChildren(image);
    const marks = Object.entries(WORDS.picture.marks).filter(([name]) => image.querySelector(`[data-part^="${name}-"]`));
    fill(this.legend, marks.map(([, says]) => says).join(" "));
    for (const frame of picture.frames) {
      const [crown, ...others] = this.groups(frame.tooth);
      crown?.setAttribute("role", "img");
      crown?.setAttribute("aria-label", frame.says);
      crown?.setAttribute("id", `tooth-${frame.tooth}`);
      for (const group of others) group.setAttribute("aria-hidden", "true");
      for (const group of crown ? [crown, ...others] : []) group.classList.toggle("fixed", this.why(frame) !== null);
    }
    if (this.hold) {
      const frame = this.frame(this.hold.frame.tooth);
      if (frame) this.hold.frame = frame;
      this.shift();
    }
    this.mark();
    this.say();
    this.showFields();
  }

  private say(): void {
    const picture = this.drawn;
    const why = picture?.edits.as === "none" ? picture.edits.why : undefined;
    const held = picture?.held ? WORDS.picture.held : undefined;
    const form = this.needsForm ? WORDS.picture.needsForm : undefined;
    const link = !held && !this.refused && form ? [" ", h("a", { href: address("visit", this.plan.doc) }, WORDS.picture.openForm)] : null;
    fill(this.note, held ?? (this.refused || form || why || null), link);
  }

  /** How the teeth stand at a visit that is still to be written down is written in its form. */
  private get needsForm(): boolean {
    const edits = this.drawn?.edits;
    return edits?.as === "visit" && !edits.written && this.events.visit() === null;
  }

  /** Why a tooth cannot be moved; null where it can. */
  private why(frame: Frame): string | null {
    if (this.needsForm) return WORDS.picture.needsForm;
    return frame.editable ? null : frame.why ?? WORDS.picture.fixed;
  }

  // Choosing

  choose(tooth: string | null): void {
    this.chosen = tooth;
    this.refused = "";
    this.say();
    this.mark();
    this.showFields();
    const frame = this.frame(tooth);
    if (frame) announce([frame.says, this.why(frame)].filter(Boolean).join(". "));
    if (tooth) this.stage.setAttribute("aria-activedescendant", `tooth-${tooth}`);
  }

  private mark(): void {
    this.stage.querySelectorAll(".chosen").forEach((one) => one.classList.remove("chosen"));
    this.stage.querySelectorAll(".handle").forEach((one) => one.remove());
    const frame = this.frame(this.chosen);
    const group = frame && this.groups(frame.tooth).at(0);
    if (!frame || !group) return;
    group.classList.add("chosen");
    // Above everything else that moves with the tooth.
    if (this.why(frame) === null) this.groups(frame.tooth).at(-1)?.append(...this.handles(frame));
  }

  /** At the mesial edge, a little outside the crown: it turns, or seen from the front tips, the tooth. */
  private handles(frame: Frame): SVGElement[] {
    const { mesial, middle, scale } = frame.frame;
    const far = Math.hypot(mesial.x - middle.x, mesial.y - middle.y) || 1;
    const pixels = this.stage.querySelector("svg")?.getScreenCTM()?.a ?? 1;
    const out = (scale * 0.5) / far;
    const at = { cx: mesial.x + (mesial.x - middle.x) * out, cy: mesial.y + (mesial.y - middle.y) * out };
    const measure = this.view === "occlusal" ? "rotated" : "tipped";
    return [
      svg("circle", { class: "handle dot", ...at, r: DOT / pixels }),
      // What a finger hits is larger than what the eye sees.
      svg("circle", { class: "handle hit", "data-measure": measure, ...at, r: FINGER / pixels }),
    ];
  }

  // By pointer

  private onPaper(event: PointerEvent): Point | null {
    const image = this.stage.querySelector("svg");
    const matrix = image?.getScreenCTM();
    if (!matrix) return null;
    const point = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix.inverse());
    return { x: point.x, y: point.y };
  }

  private down(event: PointerEvent): void {
    const target = event.target as Element;
    const tooth = target.closest("[data-tooth]")?.getAttribute("data-tooth");
    const frame = this.frame(tooth ?? null);
    if (!frame) return this.choose(null);
    if (this.events.tapped(frame.tooth, frame.shown)) return event.preventDefault();
    const measure = target.closest("[data-measure]")?.getAttribute("data-measure") as Measure | undefined;
    if (this.chosen !== frame.tooth) this.choose(frame.tooth);
    if (this.why(frame) !== null || event.button !== 0) return;
    this.stage.setPointerCapture(event.pointerId);
    this.take(frame, measure ?? null, this.onPaper(event));
  }

  private take(frame: Frame, measure: Measure | null, from: Point | null): void {
    const isOpen = measure === null && from !== null;
    this.hold = { frame, start: { ...frame.stand }, stand: { ...frame.stand }, measure, isOpen, from, moved: false };
    this.plan.hold();
  }

  private move(event: PointerEvent): void {
    const hold = this.hold;
    const to = hold?.from && this.onPaper(event);
    if (!hold?.from || !to) return;
    if (hold.isOpen) {
      const meant = this.meant(hold.frame, hold.from, to);
      hold.measure = meant === "nowhere" ? null : meant;
      hold.isOpen = meant === null;
      if (meant === "nowhere") this.refuse(WORDS.picture.measuredThere);
    }
    if (!hold.measure) return;
    const value = measured(hold, hold.from, to);
    if (value === null || value === hold.stand[hold.measure]) return;
    hold.moved = true;
    this.set(hold.measure, value);
  }

  /** A drag of a crown goes in or out, or up or down, or along: whichever way it sets out. */
  private meant(frame: Frame, from: Point, to: Point): Measure | "nowhere" | null {
    const pixels = this.stage.querySelector("svg")?.getScreenCTM()?.a ?? 1;
    const by = { x: to.x - from.x, y: to.y - from.y };
    if (Math.hypot(by.x, by.y) * pixels < DECIDED) return null;
    const across = this.view === "occlusal" ? "inOut" : "height";
    const far = (way: Point | null) => (way ? Math.abs(by.x * way.x + by.y * way.y) : 0);
    const [along, aside] = [far(frame.frame.along), far(frame.frame.inward ?? frame.frame.gingival)];
    if (hasAlong(frame)) return along > aside ? "mesialGap" : across;
    return this.isAtVisit && along > 2 * aside ? "nowhere" : across;
  }

  private get isAtVisit(): boolean {
    return this.drawn?.edits.as === "visit";
  }

  private set(measure: Measure, value: number): void {
    if (!this.hold) return;
    this.hold.stand = { ...this.hold.stand, [measure]: rounded(measure, value) };
    this.shift();
    this.showFields();
    this.write(measure);
  }

  /** At once, before the program has drawn it. */
  private shift(): void {
    const hold = this.hold;
    if (!hold) return;
    const { frame, stand } = hold.frame;
    const by = (measure: Measure) => (hold.stand[measure] ?? 0) - (stand[measure] ?? 0);
    const way = frame.inward ?? frame.gingival ?? { x: 0, y: 0 };
    const far = frame.scale * (frame.inward ? by("inOut") : by("height"));
    const turn = frame.inward ? frame.mesialIn * by("rotated") : frame.mesialUp * by("tipped");
    const distal = distally(hold.frame);
    const on = frame.scale * by("mesialGap");
    const moved = `translate(${way.x * far + distal.x * on} ${way.y * far + distal.y * on}) rotate(${turn} ${frame.slot.x} ${frame.slot.y})`;
    for (const group of this.groups(hold.frame.tooth)) group.setAttribute("transform", moved);
  }

  /** One question under way; the newest of the others is asked next. */
  private write(measure: Measure): void {
    const hold = this.hold;
    if (!hold) return;
    this.writing.ask(async () => {
      await this.put(hold.frame.tooth, { [measure]: hold.stand[measure] ?? 0 }, true);
      if (this.hold) await this.isShown();
    });
  }

  private async isShown(): Promise<void> {
    if (this.isOf(this.plan.sentVersion)) return;
    await new Promise<void>((resolve) => {
      this.shown = resolve;
      setTimeout(resolve, PACE);
    });
    this.shown = null;
  }

  private async put(tooth: string, stand: Stand, held: boolean): Promise<void> {
    const visit = this.events.visit();
    for (let tries = 0; tries < 5; tries += 1) {
      const asked = {
        textDocument: { uri: this.plan.uri }, version: this.plan.sentVersion, tooth, stand,
        ...(visit ? { moment: this.moment, visit: visit.on } : { moment: this.drawn?.moment.id ?? this.moment }),
      };
      try {
        const answer = await this.wire.request<StandAnswer | null>("springline/stand", asked);
        if (!answer || answer.refused?.kind === "version" || answer.version < this.plan.sentVersion) continue;
        if (answer.refused) return this.refuse(answer.refused.why);
        this.refused = "";
        if (answer.line !== undefined) visit?.line(tooth, answer.line);
        else if (held) this.plan.applyHeld(answer.edit);
        else this.plan.apply(answer.edit, "move.tooth");
        if (answer.says) announce(answer.says);
        return;
      } catch (error) {
        if (!isStale(error)) throw error;
      }
    }
  }

  private refuse(why: string): void {
    this.refused = why;
    this.say();
    announce(why);
  }

  private up(keep: boolean): void {
    const hold = this.hold;
    if (!hold) return;
    this.hold = null;
    this.shown?.();
    // What is still under way belongs to this one step.
    this.writing.ask(async () => {
      if (keep && hold.measure && hold.moved) {
        await this.put(hold.frame.tooth, { [hold.measure]: hold.stand[hold.measure] ?? 0 }, true);
      }
      this.plan.release(keep);
      this.refresh();
    });
  }

  // By keyboard

  private key(event: KeyboardEvent): void {
    if (event.ctrlKey || event.metaKey || event.altKey || event.target !== this.stage) return;
    const held = this.hold !== null && this.hold.from === null;
    const done = held ? this.keyHeld(event) : this.keyFree(event);
    if (done) event.preventDefault();
  }

  private keyFree(event: KeyboardEvent): boolean {
    const order = this.drawn?.frames.map((one) => one.tooth) ?? [];
    const at = order.indexOf(this.chosen ?? "");
    const along = { ArrowLeft: -1, ArrowRight: 1 }[event.key];
    if (along !== undefined) {
      const next = order[at < 0 ? 0 : (at + along + order.length) % order.length];
      this.choose(next ?? null);
      return true;
    }
    if (event.key === "ArrowUp" || event.key === "ArrowDown") {
      const arch = this.frame(this.chosen)?.arch === "upper" ? "lower" : "upper";
      this.choose(this.drawn?.frames.find((one) => one.arch === arch)?.tooth ?? null);
      return true;
    }
    const frame = this.frame(this.chosen);
    if (event.key !== "Enter" || !frame) return false;
    if (this.events.tapped(frame.tooth, frame.shown)) return true;
    const why = this.why(frame);
    if (why !== null) return this.refuse(why), true;
    this.take(frame, null, null);
    announce(WORDS.picture.taken(frame.says));
    return true;
  }

  private keyHeld(event: KeyboardEvent): boolean {
    if (event.key === "Enter") return this.up(true), true;
    if (event.key === "Escape") return this.up(false), true;
    if (/^[md]$/i.test(event.key) && this.isAtVisit && !hasAlong(this.hold?.frame)) return this.refuse(WORDS.picture.measuredThere), true;
    const frontal = this.view === "frontal";
    const keys: Record<string, [Measure, number] | undefined> = {
      ArrowUp: ["inOut", -1], ArrowDown: ["inOut", 1],
      ArrowLeft: [frontal ? "tipped" : "rotated", -1], ArrowRight: [frontal ? "tipped" : "rotated", 1],
      PageUp: ["height", 1], PageDown: ["height", -1],
      d: hasAlong(this.hold?.frame) ? ["mesialGap", 1] : undefined, m: hasAlong(this.hold?.frame) ? ["mesialGap", -1] : undefined,
    };
    const meant = keys[event.key.length === 1 ? event.key.toLowerCase() : event.key];
    if (!meant || !this.hold) return false;
    const [measure, way] = meant;
    const step = MEASURES[measure].step * (event.shiftKey ? 5 : 1);
    this.hold.measure = measure;
    this.hold.moved = true;
    this.set(measure, (this.hold.stand[measure] ?? 0) + way * step);
    return true;
  }

  // By figures

  private showFields(): void {
    const frame = this.frame(this.chosen);
    // A hand is on one of them: what has the focus is not taken from under it.
    if (frame && this.fields.contains(document.activeElement) && this.fieldsOf === keyOf(frame) && this.why(frame) === null) {
      return this.freshenFields(frame);
    }
    this.fieldsOf = null;
    if (!frame) {
      const fixed = this.needsForm || this.drawn?.edits.as === "none";
      const hint = fixed ? WORDS.picture.choose : WORDS.picture.drag(this.drawn?.frames.some(hasAlong) ?? false);
      return fill(this.fields, this.drawn ? h("p", { class: "quiet" }, hint) : null);
    }
    const says = h("p", { class: "says" }, this.saysOf(frame));
    const why = this.why(frame);
    if (why !== null) {
      const isSaid = this.note.textContent?.startsWith(why);
      return fill(this.fields, says, isSaid ? null : h("p", { class: "quiet" }, why));
    }
    const measures: Measure[] = ["inOut", "rotated", "height", "tipped", ...(hasAlong(frame) ? ["mesialGap" as const] : []), "space", ...(this.isAtVisit ? [] : ["width" as const])];
    this.fieldsOf = keyOf(frame);
    const along = this.isAtVisit && !hasAlong(frame) && !this.refused ? h("p", { class: "quiet" }, WORDS.picture.measuredThere) : null;
    fill(this.fields, says, h("div", { class: "fields" }, measures.map((measure) => this.field(frame, measure))), along);
  }

  /** While it is held the figures below are newer than the words of the last drawing. */
  private saysOf(frame: Frame): Node[] {
    const words = this.hold?.moved ? "" : frame.says.replace(/^[^:]*: ?/, "");
    return [h("b", {}, frame.shown), new Text(` ${words}`)];
  }

  private freshenFields(frame: Frame): void {
    this.fields.querySelector(".says")?.replaceChildren(...this.saysOf(frame));
    for (const input of this.fields.querySelectorAll<HTMLInputElement>("input[data-field]")) {
      if (input === document.activeElement) continue;
      input.value = written(this.hold ?? frame, input.dataset.field as Measure);
    }
    for (const one of this.fields.querySelectorAll<HTMLElement>("[data-way]")) {
      one.textContent = way(this.hold ?? frame, one.dataset.way as Measure, frame.mesial ?? "");
    }
  }

  private field(frame: Frame, measure: Measure): HTMLElement {
    const { label, unit, step, most, plus, minus } = MEASURES[measure];
    const of = this.hold?.frame.tooth === frame.tooth ? this.hold : frame;
    const put = (next: number | null) => {
      const stand = { [measure]: next === null ? null : rounded(measure, next) };
      this.writing.ask(() => this.put(frame.tooth, stand, false));
    };
    const id = `field-${measure}`;
    const input = h("input", {
      id, type: "number", step, min: isRoom(measure) ? 0 : -most, max: most, value: written(of, measure), "data-field": measure,
      change: () => {
        if (input.value !== "") put(Number(input.value));
        else if (isRoom(measure)) put(null);
      },
    });
    const more = (sign: number) => {
      const now = this.frame(frame.tooth) ?? frame;
      // What is not said yet begins with what the crown needs.
      put(isRoom(measure) && typeof now.stand[measure] !== "number" ? now.frame.width : figure(now, measure) + sign * step);
    };
    const by = (sign: number) => button(sign < 0 ? "\u2212" : "+", () => more(sign),
      { "aria-label": WORDS.picture.step(label, step, unit, sign < 0 ? minus : plus) });
    return h("div", { class: "field" }, h("label", { for: id }, label), by(-1), input, h("span", { class: "unit" }, unit),
      by(1), h("span", { class: "quiet", "data-way": measure }, way(of, measure, frame.mesial ?? "")));
  }
}

function keyOf(frame: Frame): string {
  return `${frame.tooth}${hasAlong(frame) ? " along" : ""}`;
}

function hasAlong(frame: Frame | undefined): boolean {
  return typeof frame?.stand.mesialGap === "number";
}

/** The way on paper from the mesial to the distal side of a tooth, along the arch. */
function distally(frame: Frame): Point {
  const { along } = frame.frame;
  // Quadrants 1, 4, 5 and 8 are the patient's right, from where `along` leads to the left.
  const isRight = "1458".includes(frame.tooth.charAt(0));
  return isRight ? { x: -along.x, y: -along.y } : along;
}

function room(mm: number, neighbour: string): string {
  if (mm === 0) return WORDS.picture.touches(neighbour);
  return mm > 0 ? WORDS.picture.gap(neighbour) : WORDS.picture.overlaps(neighbour);
}

function isRoom(measure: Measure): measure is RoomMeasure {
  return measure === "space" || measure === "width";
}

/** As it stands in its field. */
function written(of: { stand: Stand }, measure: Measure): string {
  return isRoom(measure) && typeof of.stand[measure] !== "number" ? "" : String(figure(of, measure));
}

/** Which way a figure means. */
function way(of: { stand: Stand }, measure: Measure, mesial: string): string {
  if (isRoom(measure)) return written(of, measure) === "" ? WORDS.picture.notSaid : "";
  const value = figure(of, measure);
  if (measure === "mesialGap") return room(value, mesial);
  const { plus, minus } = MEASURES[measure];
  return value === 0 ? "" : value > 0 ? plus : minus;
}

function figure(of: { stand: Stand }, measure: Measure): number {
  return rounded(measure, of.stand[measure] ?? 0);
}

function rounded(measure: Measure, value: number): number {
  const { step, most } = MEASURES[measure];
  const bounded = Math.min(most, Math.max(isRoom(measure) ? 0 : -most, value));
  return Number((Math.round(bounded / step) * step).toFixed(2));
}

/** What the way of the pointer means: along the tooth's own direction, or about its slot. */
function measured(hold: Hold, from: Point, to: Point): number | null {
  const { frame } = hold.frame;
  const before = hold.start[hold.measure ?? "inOut"] ?? 0;
  const straight = (way: Point | null) =>
    way && before + ((to.x - from.x) * way.x + (to.y - from.y) * way.y) / frame.scale;
  const turned = (sense: number) => {
    const angle = (at: Point) => (Math.atan2(at.y - frame.slot.y, at.x - frame.slot.x) * 180) / Math.PI;
    const by = ((angle(to) - angle(from) + 540) % 360) - 180;
    return before + by * sense;
  };
  switch (hold.measure) {
    case "inOut": return straight(frame.inward);
    case "height": return straight(frame.gingival);
    case "rotated": return turned(frame.mesialIn);
    case "tipped": return turned(frame.mesialUp);
    case "mesialGap": return straight(distally(hold.frame));
    case "space": case "width": case null: return null;
  }
}
