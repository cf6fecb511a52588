// Steps of undo of what was picked. Each step is the whole state: some fifty points are few.

import type { Picked } from "./pickTable.ts";

/** More steps than anyone goes back. */
const MOST = 300;

/** Keys that follow one another within this time move a point in one step, in ms. */
const PAUSE = 1000;

export interface KeptSteps { past: Picked[]; future: Picked[]; of: string }

export class PickHistory {
  private past: Picked[] = [];
  private future: Picked[] = [];
  private last = { what: "", at: 0 };

  constructor(public now: Picked) {}

  /** A new state; the same thing again, soon after, joins the step before. */
  put(next: Picked, what: string, time = Date.now()): void {
    const joins = what !== "" && what === this.last.what && time - this.last.at < PAUSE && this.past.length > 0;
    if (!joins) this.past.push(this.now);
    if (this.past.length > MOST) this.past.shift();
    this.now = next;
    this.future = [];
    this.last = { what, at: time };
  }

  /** Another state that is no step: a hand still moves the point, or the file was changed by others. */
  replace(next: Picked): void {
    this.now = next;
  }

  undo(): boolean {
    return this.go(this.past, this.future);
  }

  redo(): boolean {
    return this.go(this.future, this.past);
  }

  get mayUndo(): boolean {
    return this.past.length > 0;
  }

  get mayRedo(): boolean {
    return this.future.length > 0;
  }

  private go(from: Picked[], to: Picked[]): boolean {
    const next = from.pop();
    if (!next) return false;
    to.push(this.now);
    this.now = next;
    this.last = { what: "", at: 0 };
    return true;
  }

  keep(of: string): KeptSteps {
    return { past: this.past, future: this.future, of };
  }

  restore(kept: KeptSteps): void {
    this.past = kept.past;
    this.future = kept.future;
  }
}
