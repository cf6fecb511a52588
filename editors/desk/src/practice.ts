// The practice: today and its minutes, what is late, what is open, and all plans.

import type { App, Screen } from "./app.ts";
import { address } from "./app.ts";
import { button, fill, h } from "./dom.ts";
import { name } from "./header.ts";
import type { PlanRow, PrintedAt, VisitToCome } from "./messages.ts";
import { after, day, many, time, weekday } from "./words.ts";

interface Booked { row: PlanRow; visit: VisitToCome }

export class PracticeScreen implements Screen {
  readonly element: HTMLElement;
  readonly title: string;
  private date: string;
  private readonly search = h("input", { type: "search", id: "find", input: () => this.rows() });
  private readonly today = h("section", { "aria-labelledby": "day-heading" });
  private readonly late = h("section", { "aria-label": "Late" });
  private readonly open = h("section", { "aria-label": "Open" });
  private readonly all = h("section", { "aria-label": "All plans" });
  private readonly first = h("section", { class: "first", "aria-label": "First steps", hidden: true });

  constructor(private readonly app: App) {
    this.title = app.entered.folder;
    this.date = app.entered.today;
    this.element = h("div", { class: "practice" },
      h("header", { class: "head" }, h("h1", {}, app.entered.folder),
        h("label", { for: "find" }, "Find"), this.search,
        h("nav", { "aria-label": "New" }, h("a", { href: address("new/case") }, "New case"), h("a", { href: address("new/practice") }, "New practice file"), h("a", { href: "/pick" }, "Pick points")),
        h("span", { class: "actions" }, button("Open in another tab", () => void this.another()))),
      this.first, this.today, h("div", { class: "columns" }, this.late, this.open), this.all);
    this.rows();
  }

  private async another(): Promise<void> {
    // Opened at once, because a browser lets a page open a tab only while a button is pressed.
    const tab = window.open("", "_blank");
    const { word } = await this.app.wire.request<{ word: string }>("desk/another", {});
    if (tab) tab.location.href = `${location.origin}/#${word}`;
  }

  private known(): PlanRow[] {
    return this.app.names.map((doc) => this.app.rows.get(doc)).filter((row) => row !== undefined);
  }

  rows(): void {
    const cases = this.known().filter((row) => !row.house);
    this.showDay(cases);
    this.showLate(cases);
    this.showOpen(this.known());
    this.showAll();
    this.showFirst();
  }

  /** A folder with nothing in it yet says what comes first. */
  private showFirst(): void {
    const { names, rows } = this.app;
    const onlyHouses = names.length > 0 && names.every((doc) => rows.get(doc)?.house === true);
    this.first.hidden = names.length > 0 && !onlyHouses;
    for (const section of [this.today, this.late, this.open, this.all]) section.hidden = names.length === 0;
    if (this.first.hidden || this.first.dataset.names === String(names.length)) return;
    this.first.dataset.names = String(names.length);
    const step = (screen: string, label: string, why: string) =>
      h("p", {}, h("a", { class: "big", href: address(screen) }, label), " ", why);
    fill(this.first, h("h2", {}, onlyHouses ? "There is no case yet" : "This folder has no plans yet"),
      onlyHouses ? null : step("new/practice", "New practice file", "First, once: brackets, wires and clinic days that all cases share."),
      step("new/case", "New case", onlyHouses ? "A plan for one patient, under its chart reference." : "Then a plan for each patient."));
  }

  private showDay(cases: PlanRow[]): void {
    const booked: Booked[] = cases.flatMap((row) =>
      row.visits.filter((visit) => visit.date === this.date).map((visit) => ({ row, visit })));
    booked.sort((a, b) => b.visit.minutes - a.visit.minutes || a.row.chart.localeCompare(b.row.chart));
    const minutes = booked.reduce((sum, one) => sum + one.visit.minutes, 0);
    const chairs = booked.find((one) => one.visit.chairMinutes !== null)?.visit.chairMinutes ?? null;
    const over = chairs !== null && minutes > chairs ? `; ${time(minutes - chairs)} more than the chair time of ${time(chairs)}` : "";
    const says = this.app.rowsDone || booked.length > 0 ? `: ${many(booked.length, "visit")}, ${time(minutes)}${over}` : "";
    const heading = `${this.date === this.app.entered.today ? "Today, " : ""}${weekday(this.date)}${says}`;
    const go = (days: number, label: string) => button(label, () => { this.date = after(this.date, days); this.rows(); });
    const date = h("input", {
      type: "date", value: this.date, "aria-label": "Day", change: () => { if (date.value) { this.date = date.value; this.rows(); } },
    });
    if (this.today.contains(document.activeElement) && this.today.querySelector("h2")?.textContent === heading) return;
    this.today.replaceChildren(
      h("h2", { id: "day-heading" }, heading),
      h("p", { class: "actions" }, go(-1, "Day before"), date, go(1, "Day after"),
        booked.length > 0 && button("Print the day", () => void this.print())),
      table(["Plan", "Visit", "Time", "Doctor", "What"], booked.map(({ row, visit }) => [
        link(row.doc, row.chart || name(row.doc), "visit"), visit.kind, time(visit.minutes), row.doctor ?? "",
        row.onHold ? "hold card only: errors need the doctor's decision" : visit.what.join(" "),
      ]), this.app.rowsDone ? "Nobody is planned for this day." : "Still reading the plans\u2026"));
  }

  private async print(): Promise<void> {
    const place = h("p", { role: "status" }, "Printing\u2026");
    this.today.append(place);
    try {
      const printed = await this.app.wire.request<PrintedAt>("desk/print", { what: "day", day: this.date });
      place.replaceChildren(h("a", { href: printed.address, target: "_blank", rel: "noopener", click: () => place.remove() }, `Open ${printed.name}`),
        " (once, within a minute)");
    } catch (error) {
      place.textContent = error instanceof Error ? error.message : String(error);
    }
  }

  private showLate(cases: PlanRow[]): void {
    const late = cases.filter((row) => row.late !== null).sort((a, b) => (b.late?.days ?? 0) - (a.late?.days ?? 0));
    fill(this.late, h("h2", {}, this.count("Late", late.length, String(late.length))),
      table(["Plan", "Planned for", "Late by"], late.map((row) => [
        link(row.doc, row.chart), row.late ? day(row.late.planned) : "", many(row.late?.days ?? 0, "day"),
      ]), this.app.rowsDone ? "No visit is late." : "\u2026"));
  }

  /** Nothing is claimed before all plans are read. */
  private count(what: string, number: number, says: string): string {
    return this.app.rowsDone || number > 0 ? `${what}: ${says}` : what;
  }

  private showOpen(rows: PlanRow[]): void {
    const open = rows.filter((row) => row.errors > 0 || row.unread)
      .sort((a, b) => b.errors - a.errors || a.doc.localeCompare(b.doc));
    fill(this.open, h("h2", {}, this.count("Open", open.length, `${many(open.length, "plan")} with errors`)),
      table(["Plan", "Errors", "First"], open.map((row) => [
        link(row.doc, row.chart || name(row.doc)), row.unread && row.errors === 0 ? "cannot be read" : String(row.errors), row.open ?? "",
      ]), this.app.rowsDone ? "No plan has an error." : "\u2026"));
  }

  private showAll(): void {
    const wanted = this.search.value.trim().toLowerCase();
    const docs = this.app.names.filter((doc) => {
      const row = this.app.rows.get(doc);
      return `${doc} ${row?.chart ?? ""} ${row?.doctor ?? ""}`.toLowerCase().includes(wanted);
    });
    const shown = docs.slice(0, MOST);
    const rest = docs.length > shown.length ? `; the first ${shown.length} are shown` : "";
    fill(this.all, h("h2", {}, `Plans: ${docs.length}${rest}`),
      table(["Plan", "Next visit", "For", "Time", "Findings", "File"], shown.map((doc) => this.one(doc)),
        wanted ? "No plan has such a name." : "There is no plan."));
  }

  private one(doc: string): (string | HTMLElement)[] {
    const row = this.app.rows.get(doc);
    const unsaved = this.app.unsaved.has(doc);
    if (!row) return [link(doc, name(doc)), "\u2026", "", "", unsaved ? "not saved" : "", doc];
    const says = [unsaved && "not saved", found(row)].filter(Boolean).join(", ");
    if (row.house) return [link(doc, name(doc)), "practice file", "", "", says, doc];
    const next = row.visits[0];
    return [
      link(doc, row.chart || name(doc)), next ? weekday(next.date) : "none", next?.kind ?? "", next ? time(next.minutes) : "", says, doc,
    ];
  }
}

/** Rows on the page; more are found by typing a part of their name. */
const MOST = 500;

function found(row: PlanRow): string {
  const parts = [row.unread && "cannot be read", row.errors > 0 && many(row.errors, "error"), row.warnings > 0 && many(row.warnings, "warning")];
  return parts.filter(Boolean).join(", ");
}

function link(doc: string, label: string, screen = "plan"): HTMLElement {
  return h("a", { href: address(screen, doc) }, label);
}

function table(heads: string[], rows: (string | HTMLElement)[][], none: string): HTMLElement {
  if (rows.length === 0) return h("p", { class: "quiet" }, none);
  return h("table", {},
    h("thead", {}, h("tr", {}, heads.map((head) => h("th", { scope: "col" }, head)))),
    h("tbody", {}, rows.map((cells) => h("tr", {}, cells.map((cell, at) => h(at === 0 ? "th" : "td", at === 0 ? { scope: "row" } : {}, cell))))));
}
