// A photograph on a plain canvas. Places are its pixels, counted from its upper left corner as it lies in the file.

import { h } from "./dom.ts";
import type { Scene, Spot } from "./pickStage.ts";
import type { Place } from "./pickTable.ts";

/** From the whole in a tenth of the window to sixty pixels of the page for one of the picture. */
const LEAST = 0.1;
const MOST = 60;

export class PictureScene implements Scene {
  readonly canvas = h("canvas", { class: "under" });
  private width = 1;
  private height = 1;
  /** Pixels of the page for one of the picture. */
  private scale = 1;
  private least = LEAST;
  private origin: Spot = { x: 0, y: 0 };
  /** Quarter turns, clockwise. */
  private quarters = 0;

  constructor(private readonly image: ImageBitmap) {}

  resize(width: number, height: number): void {
    this.width = width;
    this.height = height;
    this.canvas.width = Math.round(width * devicePixelRatio);
    this.canvas.height = Math.round(height * devicePixelRatio);
  }

  quarter(): void {
    this.quarters = (this.quarters + 1) % 4;
    this.whole();
  }

  whole(): void {
    const { width, height } = this.image;
    const [across, down] = this.quarters % 2 === 0 ? [width, height] : [height, width];
    this.scale = Math.min(this.width / across, this.height / down);
    this.least = this.scale * LEAST;
    const middle = this.turned({ x: width / 2, y: height / 2 });
    this.origin = { x: this.width / 2 - this.scale * middle.x, y: this.height / 2 - this.scale * middle.y };
  }

  draw(): void {
    const context = this.canvas.getContext("2d");
    if (!context) return;
    context.setTransform(1, 0, 0, 1, 0, 0);
    context.clearRect(0, 0, this.canvas.width, this.canvas.height);
    const fine = devicePixelRatio;
    const [right, down] = [this.turned({ x: 1, y: 0 }), this.turned({ x: 0, y: 1 })];
    const by = fine * this.scale;
    context.setTransform(by * right.x, by * right.y, by * down.x, by * down.y, fine * this.origin.x, fine * this.origin.y);
    // Single pixels are seen as such where they are large.
    context.imageSmoothingEnabled = this.scale < 3;
    context.imageSmoothingQuality = "high";
    context.drawImage(this.image, 0, 0);
  }

  /** About the upper left corner. */
  private turned({ x, y }: Spot): Spot {
    switch (this.quarters) {
      case 1: return { x: -y, y: x };
      case 2: return { x: -x, y: -y };
      case 3: return { x: y, y: -x };
      default: return { x, y };
    }
  }

  spot([x, y]: Place): Spot {
    const at = this.turned({ x, y });
    return { x: this.origin.x + this.scale * at.x, y: this.origin.y + this.scale * at.y };
  }

  place(spot: Spot): Place | null {
    const at = { x: (spot.x - this.origin.x) / this.scale, y: (spot.y - this.origin.y) / this.scale };
    // Turned back: three more quarters.
    const [x, y] = ([[at.x, at.y], [at.y, -at.x], [-at.x, -at.y], [-at.y, at.x]] as const)[this.quarters] ?? [at.x, at.y];
    const inside = x >= 0 && y >= 0 && x <= this.image.width && y <= this.image.height;
    return inside ? [x, y, 0] : null;
  }

  isHidden(): boolean {
    return false;
  }

  hurry(): void {
    // A picture is shifted as quickly as it is.
  }

  zoom(factor: number, about: Spot): void {
    const scale = Math.min(MOST, Math.max(this.least, this.scale * factor));
    const by = scale / this.scale;
    this.origin = { x: about.x - by * (about.x - this.origin.x), y: about.y - by * (about.y - this.origin.y) };
    this.scale = scale;
  }

  shift(by: Spot): void {
    this.origin = { x: this.origin.x + by.x, y: this.origin.y + by.y };
  }

  sweep(by: Spot): void {
    this.shift(by);
  }
}

/** The picture; an error where the bytes are none. */
export async function pictureOf(bytes: Blob): Promise<PictureScene> {
  return new PictureScene(await createImageBitmap(bytes));
}
