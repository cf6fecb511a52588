// What the points say so far: where each tooth stands, doubts, figures of the arch, and the lines for the plan.

import { button, fill, h } from "./dom.ts";
import type { MeasuredTooth, PickedFigure, PointsReading } from "./messages.ts";
import { WORDS, inOut, way } from "./pickWords.ts";

/** Contacts of five teeth: with fewer no line can be laid. */
const FIRST_POINTS = 10;

export interface ReadingEvents {
  tooth(tooth: string): void;
  write(): void;
  shown(tooth: string): string;
}

export class PickReadings {
  readonly element = h("div", { class: "readings" });
  private readonly stands = h("section", { "aria-label": WORDS.stands });
  private readonly doubts = h("section", { class: "doubts", "aria-label": WORDS.doubts });
  private readonly figures = h("section", { "aria-label": WORDS.figures });
  private readonly lines = h("section", { "aria-label": WORDS.lines });
  private readonly text = h("pre", { class: "block", tabindex: 0, role: "region", "aria-label": WORDS.text });
  private readonly write: HTMLButtonElement;
  private readonly said = h("p", { role: "status" });

  constructor(private readonly events: ReadingEvents, hasPlan: boolean) {
    this.write = button(WORDS.write, () => events.write(), { class: "big", disabled: true, hidden: !hasPlan });
    this.lines.append(h("h2", {}, WORDS.lines), this.text, this.write, this.said);
    this.element.append(this.doubts, this.stands, this.figures, this.lines);
  }

  say(words: string): void {
    this.said.textContent = words;
  }

  show(reading: PointsReading): void {
    // What is asked for next is no doubt.
    const isAsked = (reading.rows?.pixels === true || reading.rows?.points.length === 0) && (reading.rows?.scale.length ?? 0) < 2;
    if (isAsked) reading = { ...reading, doubts: reading.doubts.filter((one) => one.code !== "points/scale") };
    // Nor is it one that too few teeth have both contacts while the first are being picked.
    if ((reading.rows?.points.length ?? 0) < FIRST_POINTS) reading = { ...reading, doubts: reading.doubts.filter((one) => one.code !== "points/few") };
    this.showStands(reading);
    this.showDoubts(reading);
    this.showFigures(reading);
    this.text.textContent = reading.plan.trim() || WORDS.none;
    this.write.disabled = !reading.mayWrite;
    this.lines.hidden = !reading.measured;
  }

  private showStands(reading: PointsReading): void {
    const arches = reading.measured?.arches ?? [];
    const hasHeights = arches.some((arch) => arch.teeth.some((row) => row.gingival_mm));
    const hasTips = arches.some((arch) => arch.teeth.some((row) => row.tipped_deg));
    const heads = [WORDS.tooth, WORDS.inOut, WORDS.turned, hasHeights && WORDS.height, hasTips && WORDS.tipped, WORDS.width].filter((one) => one !== false);
    const cells = (row: MeasuredTooth) => [
      figure(row.lingual_mm, (mm) => inOut(row.tooth, mm), 1),
      figure(row.rotated_deg, (deg) => way(deg, "mesial-in", "mesial-out", 0), 0),
      hasHeights && figure(row.gingival_mm, (mm) => way(mm, "gingival", "occlusal", 1), 1),
      hasTips && figure(row.tipped_deg, (deg) => way(deg, "mesial", "distal", 0), 0),
      figure(row.width_mm, (mm) => mm.toFixed(1), 1),
    ].filter((one) => one !== false);
    const kept = focused(this.stands);
    fill(this.stands, h("h2", {}, WORDS.stands),
      arches.length === 0 ? h("p", { class: "quiet" }, WORDS.none) : null,
      arches.map((arch) => h("div", { class: "scroll", tabindex: 0, role: "region", "aria-label": `${WORDS.stands}, ${WORDS[arch.arch]}` }, h("table", {},
        h("caption", {}, `${WORDS[arch.arch]}, ${arch.form}`),
        h("thead", {}, h("tr", {}, heads.map((head) => h("th", { scope: "col" }, head)))),
        h("tbody", {}, arch.teeth.map((row) => h("tr", { class: row.in_line && "in-line" },
          h("th", { scope: "row" }, button(this.events.shown(row.tooth), () => this.events.tooth(row.tooth), { class: "link", "data-at": row.tooth })),
          cells(row).map((cell) => h("td", {}, cell)))))))),
      arches.length > 0 ? h("p", { class: "quiet" }, WORDS.plusMinus) : null);
    if (kept) this.stands.querySelector<HTMLElement>(`[data-at="${kept}"]`)?.focus();
  }

  private showDoubts(reading: PointsReading): void {
    const kept = focused(this.doubts);
    const one = (doubt: PointsReading["doubts"][number], at: number) => {
      const [tooth] = doubt.teeth;
      return h("li", {}, h("span", { class: `severity ${doubt.severity}` }, SEVERITY[doubt.severity] ?? doubt.severity), " ",
        tooth ? button(doubt.message, () => this.events.tooth(tooth), { class: "link", "data-at": at }) : doubt.message,
        h("span", { class: "quiet" }, ` ${[doubt.why, ...doubt.notes].filter(Boolean).join(" ")}`));
    };
    fill(this.doubts, h("h2", {}, reading.doubts.length > 0 ? `${WORDS.doubts}: ${reading.doubts.length}` : WORDS.doubts),
      reading.doubts.length === 0 ? h("p", { class: "quiet" }, WORDS.noDoubts) : h("ul", {}, reading.doubts.map(one)));
    if (kept) this.doubts.querySelector<HTMLElement>(`[data-at="${kept}"]`)?.focus();
  }

  private showFigures(reading: PointsReading): void {
    const all = [...(reading.measured?.arches.flatMap((arch) => arch.indices) ?? []), ...(reading.measured?.both ?? [])];
    this.figures.hidden = all.length === 0;
    fill(this.figures, h("h2", {}, WORDS.figures), h("ul", {}, all.map((one) => h("li", {}, `${one.name}: ${one.says}`))));
  }
}

const SEVERITY: Record<string, string> = { error: "error", warning: "warning", hint: "advice" };

/** "2.3 palatal ±0.2" */
function figure(of: PickedFigure | null, says: (value: number) => string, digits: number): string {
  if (!of) return "";
  return `${says(of.value)} \u00b1${((of.high - of.low) / 2).toFixed(digits)}`;
}

/** Which of the buttons that are made anew had the focus. */
function focused(section: HTMLElement): string | undefined {
  const active = document.activeElement;
  return active instanceof HTMLElement && section.contains(active) ? active.dataset.at : undefined;
}
