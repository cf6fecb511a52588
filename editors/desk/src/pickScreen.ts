// The screen on which points are picked: the picture or scan, the points in their order, and beside them what the program
// measures from them so far.

import { announce, button, fill, h } from "./dom.ts";
import type { Arch, Attached, OtherText, PickTask, PointsReading, Saved } from "./messages.ts";
import { PickHistory } from "./pickHistory.ts";
import type { KeptSteps } from "./pickHistory.ts";
import type { MeshScene, Side } from "./pickMesh.ts";
import type { PictureScene } from "./pickPicture.ts";
import { PickReadings } from "./pickReadings.ts";
import { PickStage } from "./pickStage.ts";
import type { Mark } from "./pickStage.ts";
import { isOnRight, isShared, keyOf, otherDentition, pairOf, permanentOf, seatOf, stepOf, stepsOf, teethOf } from "./pickSteps.ts";
import type { Step } from "./pickSteps.ts";
import { nothing, ofRows, rounded, textOf } from "./pickTable.ts";
import type { Picked, Place } from "./pickTable.ts";
import { KEYS, WORDS, stepHint, stepName, stepShort } from "./pickWords.ts";
import { isStale, Newest } from "./wire.ts";
import type { Wire } from "./wire.ts";

/** Quiet after which points are saved by themselves, in ms. */
const QUIET = 2000;

type Standing = "saved" | "unsaved" | "saving" | "failed" | "reading" | "differs" | "refused";

export type Shown = { mesh: MeshScene; picture: null } | { mesh: null; picture: PictureScene };

export class PickScreen {
  readonly element: HTMLElement;
  private readonly isMesh: boolean;
  private readonly history: PickHistory;
  private readonly stage: PickStage;
  private readonly readings: PickReadings;
  private current = "";
  private standing: Standing = "saved";
  private trouble = "";
  private base = "";
  private savedText = "";
  /** What the program was told of last. */
  private sentText = "";
  private other: OtherText | null = null;
  private timer = 0;
  private names = new Map<string, string>();
  private lines: Place[][] = [];
  private readonly asking = new Newest();
  private readonly state = h("span", { class: "standing", role: "status" });
  private readonly choices = h("span", { class: "actions" });
  private readonly step = h("section", { class: "step", "aria-label": WORDS.points });
  private readonly list = h("ol", { class: "points", "aria-label": WORDS.points });
  private readonly undoing = button(WORDS.undo, () => this.undo());
  private readonly redoing = button(WORDS.redo, () => this.redo());
  private readonly options = h("fieldset", { class: "options" }, h("legend", { class: "hidden" }, WORDS.arch));

  constructor(private readonly wire: Wire, readonly task: PickTask, private readonly shown: Shown, practice: string) {
    this.isMesh = shown.mesh !== null;
    this.history = new PickHistory(nothing(this.isMesh));
    this.stage = new PickStage(shown.mesh ?? shown.picture, {
      put: (at) => this.put(rounded(at, this.isMesh)),
      move: (key, at, done) => this.move(key, rounded(at, this.isMesh), done),
      choose: (key) => this.choose(key),
      key: (event) => this.typed(event),
      missed: () => announce(WORDS.noHit),
    });
    this.readings = new PickReadings({
      tooth: (tooth) => this.chooseTooth(tooth),
      write: () => void this.writeIntoPlan(),
      shown: (tooth) => this.name(tooth),
    }, task.case !== null);
    const file = task.source.replace(/^.*\//, "");
    const back = practice ? h("a", { href: "/" }, practice) : null;
    this.element = h("div", { class: "pick" },
      h("header", { class: "head" }, back, h("h1", {}, `${WORDS.points}: ${file}`),
        h("span", { class: "actions" }, this.undoing, this.redoing),
        task.case ? h("span", { class: "quiet" }, `${WORDS.plan}: ${task.case}`) : null,
        this.state, this.choices),
      h("div", { class: "sheet" },
        h("div", { class: "board" }, this.tools(), this.stage.element,
          h("details", {}, h("summary", {}, WORDS.keys),
            h("table", {}, h("tbody", {}, KEYS.map(([key, what]) => h("tr", {}, h("th", { scope: "row" }, key), h("td", {}, what))))))),
        h("div", { class: "beside" }, this.options, this.step, this.list, this.readings.element, h("p", { class: "quiet" }, WORDS.privacy))));
    wire.on("desk/text", (told: { doc: string; text: string }) => { if (told.doc === task.points) void this.follow(told.text); });
    wire.on("desk/saved", (told: { doc: string; base: string }) => { if (told.doc === task.points) this.base = told.base; });
    wire.on("desk/taken", (told: { doc: string }) => { if (told.doc === task.points) this.turn("reading"); });
    wire.on("desk/changed", (told: { doc: string; text?: string; base?: string; other?: OtherText }) => {
      if (told.doc !== task.points) return;
      if (told.other) this.differs(told.other);
      else if (told.text !== undefined) {
        this.base = told.base ?? this.base;
        this.savedText = told.text;
        void this.follow(told.text);
      }
    });
  }

  private tools(): HTMLElement {
    const { mesh, picture } = this.shown;
    const seen = (change: () => void) => () => {
      change();
      this.stage.redraw();
    };
    const look = (side: Side, label: string) => button(label, seen(() => mesh?.look(side, this.picked.arch)));
    return h("div", { class: "tools", role: "toolbar", "aria-label": mesh ? WORDS.mesh : WORDS.picture },
      button(WORDS.closer, () => this.stage.zoom(1.25)), button(WORDS.farther, () => this.stage.zoom(0.8)), button(WORDS.whole, () => this.stage.whole()),
      picture ? button(WORDS.quarter, seen(() => picture.quarter())) : null,
      mesh ? [look("bite", WORDS.bite), look("front", WORDS.front), look("right", WORDS.right), look("left", WORDS.left),
        button(WORDS.over, seen(() => mesh.over(this.picked.arch))), button(WORDS.quarter, seen(() => mesh.quarter()))] : null);
  }

  // The line to the program

  /** Opens the table, or joins it again after the line was broken. */
  async attach(take = false): Promise<void> {
    const isFirst = this.base === "";
    const here = this.text;
    const before = this.base;
    const got = await this.wire.request<Attached>("desk/attach", { doc: this.task.points, take });
    this.base = got.base;
    this.standing = got.writer ? "saved" : "reading";
    const hasOwn = !isFirst && got.writer && here !== got.text && here !== this.savedText;
    this.savedText = got.unsaved ? "\0" : got.text;
    if (hasOwn && got.base === before) {
      this.changed();
    } else if (!(await this.follow(got.text))) {
      return;
    } else {
      const kept = got.history as KeptSteps | null;
      if (isFirst && kept?.of === got.text) this.history.restore(kept);
      this.judge();
    }
    if (got.other) this.differs(got.other);
    this.show();
  }

  /** The text of the table came from elsewhere; `false` where it is none. */
  private async follow(text: string): Promise<boolean> {
    const reading = await this.ask(text);
    if (!reading.rows) {
      this.trouble = WORDS.notTable(reading.refused ?? "");
      this.turn("refused");
      return false;
    }
    if (reading.rows.points.length + reading.rows.scale.length > 0 && reading.rows.pixels === this.isMesh) {
      this.trouble = WORDS.otherUnit;
      this.turn("refused");
      return false;
    }
    const isEmpty = text.trim() === "";
    this.history.replace(isEmpty ? { ...nothing(this.isMesh), arch: this.guess() } : ofRows(reading.rows, this.isMesh));
    const steps = this.steps();
    this.current = (steps.find((one) => !this.picked.points[one.key]) ?? steps[0])?.key ?? "";
    // A table that others wrote is not written over as long as nothing was changed here.
    if (this.standing !== "reading" && !isEmpty && this.savedText === text) this.savedText = this.text;
    this.shown.mesh?.look("bite", this.picked.arch);
    this.take(reading);
    return true;
  }

  /** File names say which arch they are of. */
  private guess(): Arch {
    return /lower|mandib|lwr/i.test(this.task.source) ? "lower" : "upper";
  }

  private ask(text: string): Promise<PointsReading> {
    this.sentText = text;
    return this.wire.request<PointsReading>("desk/points", { doc: this.task.points, text, base: this.base, case: this.task.case });
  }

  private take(reading: PointsReading): void {
    this.names = new Map(reading.teeth.map(({ tooth, shown }) => [tooth, shown]));
    this.lines = reading.lines.map((line) => line.points);
    this.readings.show(reading);
    this.show();
  }

  private measure(): void {
    this.asking.ask(async () => {
      try {
        this.take(await this.ask(this.text));
      } catch (error) {
        if (!isStale(error)) throw error;
      }
    });
  }

  /** Saves; with the base of another text where it was decided to write over that. */
  async save(over?: string): Promise<void> {
    clearTimeout(this.timer);
    if (["reading", "refused", "saving"].includes(this.standing) || (this.standing === "differs" && over === undefined)) return;
    const base = over ?? this.base;
    const text = this.text;
    this.turn("saving");
    try {
      await this.ask(text);
      const saved = await this.wire.request<Saved>("desk/save", { doc: this.task.points, base });
      if (saved.conflict) return this.differs(saved.conflict);
      this.base = saved.base ?? this.base;
      this.savedText = text;
      this.other = null;
      this.trouble = "";
      this.judge();
      this.keep();
    } catch (error) {
      this.trouble = error instanceof Error ? error.message : String(error);
      this.turn("failed");
    }
  }

  /** Steps of undo outlive this page. */
  keep(): void {
    if (this.standing === "reading" || this.standing === "refused") return;
    // A question that waits for the one before is not waited for by a page that goes.
    if (this.text !== this.sentText) this.wire.notify("desk/points", { doc: this.task.points, text: this.text, base: this.base });
    this.wire.notify("desk/keep", { doc: this.task.points, history: this.history.keep(this.text) });
  }

  private differs(other: OtherText): void {
    this.other = other;
    this.turn("differs");
  }

  private judge(): void {
    clearTimeout(this.timer);
    if (["reading", "refused"].includes(this.standing) || (this.standing === "differs" && this.other)) return this.show();
    const isSaved = this.text === this.savedText;
    this.turn(isSaved ? "saved" : "unsaved");
    if (isSaved) return;
    this.timer = window.setTimeout(() => {
      this.keep();
      void this.save();
    }, QUIET);
  }

  private turn(standing: Standing): void {
    this.standing = standing;
    this.showState();
  }

  private async writeIntoPlan(): Promise<void> {
    const plan = this.task.case;
    if (plan === null) return;
    await this.save();
    try {
      const { says } = await this.wire.request<{ says: string }>("desk/measured", { doc: this.task.points, case: plan });
      this.readings.say(says);
      announce(says);
      this.measure();
    } catch (error) {
      this.readings.say(error instanceof Error ? error.message : String(error));
    }
  }

  // What was picked

  private get picked(): Picked {
    return this.history.now;
  }

  private get text(): string {
    return textOf(this.picked, this.isMesh);
  }

  private get mayPick(): boolean {
    return this.standing !== "reading" && this.standing !== "refused";
  }

  private steps(): Step[] {
    return stepsOf(this.picked, this.isMesh);
  }

  private name(tooth: string): string {
    return this.names.get(tooth) ?? tooth;
  }

  private called(step: Step): string {
    return stepName(step, (tooth) => this.name(tooth));
  }

  /** A change that one undo takes back. */
  private change(next: Partial<Picked>, what = ""): void {
    if (!this.mayPick) return;
    this.history.put({ ...this.picked, ...next }, what);
    this.changed();
  }

  private changed(): void {
    const steps = this.steps();
    if (!steps.some((one) => one.key === this.current)) {
      this.current = (steps.find((one) => !this.picked.points[one.key]) ?? steps.at(-1))?.key ?? "";
    }
    this.measure();
    this.judge();
    this.show();
  }

  private put(at: Place): void {
    const step = stepOf(this.current);
    if (!this.mayPick || this.current === "") return;
    const isNew = !this.picked.points[this.current];
    this.history.put({ ...this.picked, points: { ...this.picked.points, [this.current]: at } }, "");
    const steps = this.steps();
    const from = steps.findIndex((one) => one.key === this.current);
    // On to what is not picked yet: behind this one, or else before it.
    const open = [...steps.slice(from + 1), ...steps.slice(0, from)].find((one) => !this.picked.points[one.key]);
    if (isNew && open) this.current = open.key;
    announce(`${WORDS.put(this.called(step))} ${isNew && open ? WORDS.now(this.called(open)) : open ? "" : WORDS.allPicked}`);
    this.changed();
  }

  private move(key: string, at: Place, done: boolean): void {
    if (!this.mayPick) return;
    const next = { ...this.picked, points: { ...this.picked.points, [key]: at } };
    this.before ??= this.picked;
    if (done) {
      // A drag is one step, whatever lay between.
      this.history.replace(this.before);
      this.history.put(next, `move ${key}`);
      this.before = null;
      this.changed();
      announce(WORDS.moved(this.called(stepOf(key))));
    } else {
      this.history.replace(next);
      this.measure();
      this.show();
    }
  }

  /** What was picked before a hand took a point. */
  private before: Picked | null = null;

  private choose(key: string): void {
    this.current = key;
    this.show();
    announce(WORDS.now(this.called(stepOf(key))));
  }

  private chooseTooth(tooth: string): void {
    const step = this.steps().find((one) => one.teeth.includes(tooth));
    if (step) this.choose(step.key);
  }

  private go(by: number): void {
    const steps = this.steps();
    const at = steps.findIndex((one) => one.key === this.current);
    const step = steps[Math.min(steps.length - 1, Math.max(0, at + by))];
    if (step) this.choose(step.key);
  }

  private remove(): void {
    if (!this.picked.points[this.current]) return;
    const { [this.current]: _, ...points } = this.picked.points;
    announce(WORDS.taken(this.called(stepOf(this.current))));
    this.change({ points });
  }

  private isMissing(tooth: string): boolean {
    return this.picked.missing.includes(tooth);
  }

  /** A tooth that is not there has no points, and its neighbours share none with it. */
  private turnMissing(tooth: string): void {
    const { missing, points } = this.picked;
    if (this.isMissing(tooth)) {
      this.change({ missing: missing.filter((one) => one !== tooth) });
      this.chooseTooth(tooth);
      return;
    }
    const kept = Object.entries(points).filter(([key]) => !stepOf(key).teeth.includes(tooth));
    const all = [...missing, tooth].sort((a, b) => seatOf(a) - seatOf(b));
    const at = this.steps().findIndex((one) => one.teeth.includes(tooth));
    this.change({ missing: all, points: Object.fromEntries(kept) });
    const step = this.steps()[at];
    if (step) this.choose(step.key);
    announce(WORDS.missing(this.name(tooth)));
  }

  /** The deciduous tooth stands in a place, or the permanent one: points that were picked there are its own. */
  private turnDentition(tooth: string): void {
    const other = otherDentition(tooth);
    if (other === null) return;
    const { deciduous, points } = this.picked;
    const place = permanentOf(tooth);
    const renamed = (key: string) => {
      const { kind, teeth, which } = stepOf(key);
      return teeth.includes(tooth) ? keyOf(kind, teeth.map((one) => (one === tooth ? other : one)), which) : key;
    };
    this.current = renamed(this.current);
    this.change({
      deciduous: deciduous.includes(place) ? deciduous.filter((one) => one !== place) : [...deciduous, place],
      points: Object.fromEntries(Object.entries(points).map(([key, at]) => [renamed(key), at])),
    });
    announce(WORDS.now(this.called(stepOf(this.current))));
  }

  /** One point between two neighbours, or one on each. */
  private turnParted(a: string, b: string): void {
    const { parted, points } = this.picked;
    const pair = pairOf(a, b);
    const shared = keyOf("contact", [a, b]);
    const isOne = isShared(this.picked, a, b);
    const next = { ...points };
    if (isOne) {
      delete next[shared];
    } else {
      for (const step of this.steps()) {
        if (step.teeth.length === 1 && this.pair(step)?.join() === [a, b].join()) delete next[step.key];
      }
    }
    this.change({ points: next, parted: isOne ? [...parted, pair] : parted.filter((one) => one !== pair) });
    const step = this.steps().find((one) => isOne ? one.teeth[0] === a && this.pair(one)?.join() === [a, b].join() : one.key === shared);
    if (step) this.choose(step.key);
  }

  /** The two neighbours that a point lies between. */
  private pair(step: Step): [string, string] | null {
    const [a, b] = step.teeth;
    if (a === undefined) return null;
    if (b !== undefined) return [a, b];
    if (step.kind !== "mesial" && step.kind !== "distal") return null;
    const order = teethOf(this.picked);
    const isTowardsLeft = isOnRight(a) === (step.kind === "mesial");
    const at = order.indexOf(a);
    const next = order[at + (isTowardsLeft ? 1 : -1)];
    if (next === undefined || this.isMissing(next)) return null;
    return isTowardsLeft ? [a, next] : [next, a];
  }

  undo(): void {
    const before = this.picked;
    if (this.mayPick && this.history.undo()) this.stepped(before, WORDS.undone);
  }

  redo(): void {
    const before = this.picked;
    if (this.mayPick && this.history.redo()) this.stepped(before, WORDS.redone);
  }

  /** What is asked for is the point that came or went, or where that came the next one that is open. */
  private stepped(before: Picked, said: string): void {
    const steps = this.steps();
    const at = steps.findIndex(({ key }) => before.points[key]?.join() !== this.picked.points[key]?.join());
    const changed = steps[at];
    if (changed) {
      const isNew = !before.points[changed.key];
      const open = isNew ? steps.slice(at).find((one) => !this.picked.points[one.key]) : undefined;
      this.current = (open ?? changed).key;
    }
    this.changed();
    announce(said);
  }

  private typed(event: KeyboardEvent): void {
    const step = stepOf(this.current);
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    switch (event.key) {
      case "Enter": case "n": case "N": case "PageDown": this.go(1); break;
      case "p": case "P": case "PageUp": this.go(-1); break;
      case "Delete": case "Backspace": this.remove(); break;
      case "m": case "M": if (step.teeth[0]) this.turnMissing(step.teeth[0]); break;
      case "d": case "D": if (step.teeth[0]) this.turnDentition(step.teeth[0]); break;
      case "t": case "T": {
        const pair = this.pair(step);
        if (pair) this.turnParted(...pair);
        break;
      }
      default: return;
    }
    event.preventDefault();
  }

  // What is shown

  private show(): void {
    const steps = this.steps();
    const step = stepOf(this.current);
    const marks: Mark[] = Object.entries(this.picked.points).map(([key, at]) => {
      const own = stepOf(key);
      // Only the points of the kind that is being picked are told apart by name.
      const isAsked = steps.some((one) => one.key === key);
      const quiet = !isAsked || groupOf(own) !== groupOf(step);
      return { key, at, label: stepShort(own, (tooth) => this.name(tooth)), current: key === this.current, quiet };
    });
    this.stage.show(marks, this.lines);
    this.stage.say(WORDS.stage(this.isMesh ? WORDS.mesh : WORDS.picture, this.called(step)));
    this.undoing.disabled = !this.mayPick || !this.history.mayUndo;
    this.redoing.disabled = !this.mayPick || !this.history.mayRedo;
    this.showOptions();
    this.showStep(step, steps);
    this.showList(steps);
    this.showState();
  }

  private showState(): void {
    const said = this.standing === "refused" ? this.trouble : this.standing === "failed" ? `${WORDS.failed}: ${this.trouble}` : WORDS[this.standing];
    if (this.state.textContent !== said) this.state.textContent = said;
    this.state.className = `standing ${this.standing}`;
    const other = this.other;
    fill(this.choices,
      this.standing === "reading" ? button(WORDS.pickHere, () => void this.attach(true)) : null,
      this.standing === "differs" && other ? [
        button(WORDS.theirs, () => void this.takeTheirs(other)),
        button(WORDS.mine, () => void this.save(other.base)),
      ] : null,
      ["unsaved", "saving", "failed"].includes(this.standing) ? button(WORDS.save, () => void this.save()) : null);
  }

  private async takeTheirs(other: OtherText): Promise<void> {
    this.other = null;
    this.base = other.base;
    this.savedText = other.text;
    this.standing = "saved";
    const before = this.picked;
    if (await this.follow(other.text)) {
      // What was picked here can still be had back.
      const theirs = this.picked;
      this.history.replace(before);
      this.history.put(theirs, "");
      this.judge();
    }
  }

  private showOptions(): void {
    if (this.options.childElementCount > 1) {
      for (const input of this.options.querySelectorAll<HTMLInputElement | HTMLSelectElement>("input, select")) {
        input.disabled = !this.mayPick;
        if (input.id === "pick-last") input.value = String(this.picked.last);
        else if (input.id === "pick-mm" && document.activeElement !== input) input.value = String(this.picked.scaleMm);
        else if (input instanceof HTMLInputElement && input.type === "radio") input.checked = input.value === this.picked.arch;
        else if (input instanceof HTMLInputElement && input.type === "checkbox") input.checked = input.id === "pick-gums" ? this.picked.gums : this.picked.faces;
      }
      return;
    }
    const arch = (value: Arch) => h("label", {}, h("input", {
      type: "radio", name: "arch", value, checked: this.picked.arch === value,
      change: () => {
        this.change({ arch: value });
        this.shown.mesh?.look("bite", value);
        this.stage.redraw();
      },
    }), WORDS[value]);
    const last = h("select", { id: "pick-last", change: () => this.change({ last: Number(last.value) }) },
      [6, 7, 8].map((place) => h("option", { value: place, selected: place === this.picked.last }, String(place))));
    const mm = h("input", { id: "pick-mm", inputmode: "decimal", value: this.picked.scaleMm, change: () => {
      const value = Number(mm.value.replace(",", "."));
      if (value > 0 && value < 1000) this.change({ scaleMm: value });
      else mm.value = String(this.picked.scaleMm);
    } });
    const faces = h("label", {}, h("input", { type: "checkbox", checked: this.picked.faces, change: (event: Event) =>
      this.change({ faces: (event.target as HTMLInputElement).checked }) }), WORDS.faces);
    const gums = h("label", {}, h("input", { id: "pick-gums", type: "checkbox", checked: this.picked.gums, change: (event: Event) =>
      this.change({ gums: (event.target as HTMLInputElement).checked }) }), WORDS.gums);
    this.options.append(arch("upper"), arch("lower"), h("label", { for: "pick-last" }, WORDS.last, " "), last, faces,
      ...(this.isMesh ? [gums] : [h("label", { for: "pick-mm" }, WORDS.ruler, " "), mm]));
  }

  private showStep(step: Step, steps: Step[]): void {
    const pair = this.pair(step);
    const done = steps.filter((one) => this.picked.points[one.key]).length;
    const isPicked = this.picked.points[step.key] !== undefined;
    const here = document.activeElement instanceof HTMLElement && this.step.contains(document.activeElement) ? document.activeElement.dataset.act : undefined;
    const act = (name: string, label: string, run: () => void, disabled = false) => button(label, run, { "data-act": name, disabled: disabled || !this.mayPick });
    this.step.replaceChildren(
      h("h2", {}, this.current === "" ? WORDS.allPicked : this.called(step)),
      h("p", {}, this.current === "" ? "" : stepHint(step)),
      h("p", { class: "quiet" }, `${WORDS.count(done, steps.length)} ${WORDS.picked}${done === steps.length ? `. ${WORDS.allPicked}` : ""}`),
      h("div", { class: "actions" },
        act("before", WORDS.before, () => this.go(-1), steps[0]?.key === step.key), act("next", WORDS.next, () => this.go(1), steps.at(-1)?.key === step.key),
        pair ? act("part", isShared(this.picked, ...pair) ? WORDS.part : WORDS.join, () => this.turnParted(...pair)) : null,
        step.teeth.map((tooth) => act(`missing-${tooth}`, WORDS.missing(this.name(tooth)), () => this.turnMissing(tooth))),
        step.teeth.map((tooth) => {
          const other = otherDentition(tooth);
          return other === null ? null : act(`other-${tooth}`, WORDS.instead(this.name(tooth), this.name(other)), () => this.turnDentition(tooth));
        }),
        act("remove", WORDS.remove, () => this.remove(), !isPicked)),
      ...(this.missingHere().length > 0 ? [h("p", { class: "actions" }, h("span", { class: "quiet" }, `${WORDS.absent}:`),
        this.missingHere().map((tooth) => act(`there-${tooth}`, WORDS.there(this.name(tooth)), () => this.turnMissing(tooth))))] : []));
    if (here) this.step.querySelector<HTMLElement>(`[data-act="${here}"]`)?.focus();
  }

  private missingHere(): string[] {
    return teethOf(this.picked).filter((tooth) => this.isMissing(tooth));
  }

  private showList(steps: Step[]): void {
    const wanted = steps.map((one) => `${one.key}|${this.name(one.teeth[0] ?? "")}`).join();
    if (this.list.dataset.of !== wanted) {
      this.list.dataset.of = wanted;
      this.list.replaceChildren(...steps.map((one) => h("li", {}, button(stepShort(one, (tooth) => this.name(tooth)), () => this.choose(one.key), { "data-key": one.key }))));
    }
    for (const one of steps) {
      const chip = this.list.querySelector<HTMLElement>(`[data-key="${one.key}"]`);
      if (!chip) continue;
      const isPicked = this.picked.points[one.key] !== undefined;
      chip.classList.toggle("picked", isPicked);
      // Its name begins with what is written on it.
      chip.setAttribute("aria-label", `${chip.textContent}, ${isPicked ? WORDS.picked : WORDS.notPicked}`);
      if (one.key === this.current) chip.setAttribute("aria-current", "true");
      else chip.removeAttribute("aria-current");
    }
  }

  /** For the tests and for measuring: where a place is on the page, and how long frames took. */
  get look(): PickStage {
    return this.stage;
  }
}

/** Points that are picked in one go round the arch. */
function groupOf({ kind }: Step): string {
  return ["mesial", "distal", "contact"].includes(kind) ? "contact" : kind;
}
