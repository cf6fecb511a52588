// The practice: today and its minutes, what is late, what is open, and all plans.

import type { App, Screen } from "./app.ts";
import { address } from "./app.ts";
import { WORDS } from "./deskWords.ts";
import { button, fill, h } from "./dom.ts";
import { name } from "./header.ts";
import type { PlanRow, PrintedAt, VisitToCome } from "./messages.ts";
import { after, day, time, weekday } from "./words.ts";

interface Booked { row: PlanRow; visit: VisitToCome }

export class PracticeScreen implements Screen {
  readonly element: HTMLElement;
  readonly title: string;
  private date: string;
  private readonly search = h("input", { type: "search", id: "find", input: () => this.rows() });
  private readonly today = h("section", { "aria-labelledby": "day-heading" });
  private readonly late = h("section", { "aria-label": WORDS.practice.late });
  private readonly open = h("section", { "aria-label": WORDS.practice.open });
  private readonly all = h("section", { "aria-label": WORDS.practice.all });
  private readonly first = h("section", { class: "first", "aria-label": WORDS.practice.first, hidden: true });

  constructor(private readonly app: App) {
    this.title = app.entered.folder;
    this.date = app.entered.today;
    this.element = h("div", { class: "practice" },
      h("header", { class: "head" }, h("h1", {}, app.entered.folder),
        h("label", { for: "find" }, WORDS.practice.find), this.search,
        h("nav", { "aria-label": WORDS.practice.new }, h("a", { href: address("new/case") }, WORDS.practice.newCase), h("a", { href: address("new/practice") }, WORDS.practice.newPractice), h("a", { href: "/pick" }, WORDS.practice.pick)),
        h("span", { class: "actions" }, button(WORDS.practice.another, () => void this.another()))),
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
    fill(this.first, h("h2", {}, onlyHouses ? WORDS.practice.noCase : WORDS.practice.noPlans),
      onlyHouses ? null : step("new/practice", WORDS.practice.newPractice, WORDS.practice.whyPractice),
      step("new/case", WORDS.practice.newCase, onlyHouses ? WORDS.practice.whyFirstCase : WORDS.practice.whyCase));
  }

  private showDay(cases: PlanRow[]): void {
    const booked: Booked[] = cases.flatMap((row) =>
      row.visits.filter((visit) => visit.date === this.date).map((visit) => ({ row, visit })));
    booked.sort((a, b) => b.visit.minutes - a.visit.minutes || a.row.chart.localeCompare(b.row.chart));
    const minutes = booked.reduce((sum, one) => sum + one.visit.minutes, 0);
    const chairs = booked.find((one) => one.visit.chairMinutes !== null)?.visit.chairMinutes ?? null;
    const over = chairs !== null && minutes > chairs ? WORDS.practice.over(time(minutes - chairs), time(chairs)) : "";
    const says = this.app.rowsDone || booked.length > 0 ? WORDS.practice.booked(booked.length, time(minutes), over) : "";
    const heading = `${this.date === this.app.entered.today ? WORDS.practice.today : ""}${weekday(this.date)}${says}`;
    const go = (days: number, label: string) => button(label, () => { this.date = after(this.date, days); this.rows(); });
    const date = h("input", {
      type: "date", value: this.date, "aria-label": WORDS.practice.day, change: () => { if (date.value) { this.date = date.value; this.rows(); } },
    });
    if (this.today.contains(document.activeElement) && this.today.querySelector("h2")?.textContent === heading) return;
    this.today.replaceChildren(
      h("h2", { id: "day-heading" }, heading),
      h("p", { class: "actions" }, go(-1, WORDS.practice.dayBefore), date, go(1, WORDS.practice.dayAfter),
        booked.length > 0 && button(WORDS.practice.printDay, () => void this.print())),
      table(WORDS.practice.dayHeads, booked.map(({ row, visit }) => [
        link(row.doc, row.chart || name(row.doc), "visit"), visit.kind, time(visit.minutes), row.doctor ?? "",
        row.onHold ? WORDS.practice.hold : visit.what.join(" "),
      ]), this.app.rowsDone ? WORDS.practice.nobody : WORDS.practice.reading));
  }

  private async print(): Promise<void> {
    const place = h("p", { role: "status" }, WORDS.practice.printing);
    this.today.append(place);
    try {
      const printed = await this.app.wire.request<PrintedAt>("desk/print", { what: "day", day: this.date });
      place.replaceChildren(h("a", { href: printed.address, target: "_blank", rel: "noopener", click: () => place.remove() }, WORDS.practice.openPaper(printed.name)),
        WORDS.practice.once);
    } catch (error) {
      place.textContent = error instanceof Error ? error.message : String(error);
    }
  }

  private showLate(cases: PlanRow[]): void {
    const late = cases.filter((row) => row.late !== null).sort((a, b) => (b.late?.days ?? 0) - (a.late?.days ?? 0));
    fill(this.late, h("h2", {}, this.count(WORDS.practice.late, late.length, String(late.length))),
      table(WORDS.practice.lateHeads, late.map((row) => [
        link(row.doc, row.chart), row.late ? day(row.late.planned) : "", WORDS.practice.days(row.late?.days ?? 0),
      ]), this.app.rowsDone ? WORDS.practice.noLate : "\u2026"));
  }

  /** Nothing is claimed before all plans are read. */
  private count(what: string, number: number, says: string): string {
    return this.app.rowsDone || number > 0 ? WORDS.practice.counted(what, says) : what;
  }

  private showOpen(rows: PlanRow[]): void {
    const open = rows.filter((row) => row.errors > 0 || row.unread)
      .sort((a, b) => b.errors - a.errors || a.doc.localeCompare(b.doc));
    fill(this.open, h("h2", {}, this.count(WORDS.practice.open, open.length, WORDS.practice.withErrors(open.length))),
      table(WORDS.practice.openHeads, open.map((row) => [
        link(row.doc, row.chart || name(row.doc)), row.unread && row.errors === 0 ? WORDS.practice.unread : String(row.errors), row.open ?? "",
      ]), this.app.rowsDone ? WORDS.practice.noError : "\u2026"));
  }

  private showAll(): void {
    const wanted = this.search.value.trim().toLowerCase();
    const docs = this.app.names.filter((doc) => {
      const row = this.app.rows.get(doc);
      return `${doc} ${row?.chart ?? ""} ${row?.doctor ?? ""}`.toLowerCase().includes(wanted);
    });
    const shown = docs.slice(0, MOST);
    const rest = docs.length > shown.length ? WORDS.practice.firstShown(shown.length) : "";
    fill(this.all, h("h2", {}, WORDS.practice.plans(docs.length, rest)),
      table(WORDS.practice.allHeads, shown.map((doc) => this.one(doc)),
        wanted ? WORDS.practice.noName : WORDS.practice.noPlan));
  }

  private one(doc: string): (string | HTMLElement)[] {
    const row = this.app.rows.get(doc);
    const unsaved = this.app.unsaved.has(doc);
    if (!row) return [link(doc, name(doc)), "\u2026", "", "", unsaved ? WORDS.practice.unsaved : "", doc];
    const says = [unsaved && WORDS.practice.unsaved, found(row)].filter(Boolean).join(", ");
    if (row.house) return [link(doc, name(doc)), WORDS.practice.practiceFile, "", "", says, doc];
    const next = row.visits[0];
    return [
      link(doc, row.chart || name(doc)), next ? weekday(next.date) : WORDS.practice.none, next?.kind ?? "", next ? time(next.minutes) : "", says, doc,
    ];
  }
}

/** Rows on the page; more are found by typing a part of their name. */
const MOST = 500;

function found(row: PlanRow): string {
  const parts = [row.unread && WORDS.practice.unread, row.errors > 0 && WORDS.practice.errors(row.errors), row.warnings > 0 && WORDS.practice.warnings(row.warnings)];
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
