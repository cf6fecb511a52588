//! `springline draw`: the arches on one day of the course, as a file of its own.

use std::process::ExitCode;

use jiff::civil::Date;
use springline_emit::draw::list::{Align, DrawItem, at};
use springline_emit::draw::{Drawing, OcclusalSize, svg};
use springline_emit::{Plan, preview};
use springline_lang::model::Case;

use crate::args::{DrawArgs, LookFrom};
use crate::cases;
use crate::output::print;
use crate::problem::Problem;

pub fn run(args: &DrawArgs) -> Result<ExitCode, Problem> {
    if args.entered && args.from == LookFrom::Front {
        return Err(Problem::usage(
            "The teeth as entered are drawn from the bite only.",
            "Leave out `--from front`, or `--entered`.",
        ));
    }
    let loaded = cases::load(std::slice::from_ref(&args.file))?;
    let [case] = &loaded.cases[..] else {
        return Err(Problem::usage(
            format!("A drawing shows one case; there are {} here.", loaded.cases.len()),
            "Name one case file.",
        ));
    };
    let Some(plan) = case.plan() else {
        super::tables::not_read(case);
        return Ok(loaded.exit(true));
    };
    print(&svg::file(&titled(drawing(&plan, args)?, plan.case)));
    Ok(loaded.exit(false))
}

/// Whose arches they are, and of which day, is read on the paper.
fn titled(mut drawing: Drawing, case: &Case) -> Drawing {
    const SIZE: f64 = 3.0;
    drawing.title = format!("{}: {}", case.chart, drawing.title);
    let place = at(0.0, drawing.height + 1.4 * SIZE);
    let words = drawing.title.clone();
    drawing.items.push(DrawItem::words(place, SIZE, Align::Start, words));
    drawing.height += 1.9 * SIZE;
    drawing
}

fn drawing(plan: &Plan<'_>, args: &DrawArgs) -> Result<Drawing, Problem> {
    if args.entered {
        return Ok(preview::entered(plan.case, OcclusalSize::Large));
    }
    let day = day(args.on.as_deref(), plan.today)?;
    let moments = preview::moments(plan.forecast);
    let at = preview::at_day(&moments, Some(day));
    let Some(here) = moments.get(at).copied() else {
        return Err(Problem::usage(
            "No arch has a step yet: there is no wire to draw.",
            "Draw the teeth alone with `--entered`.",
        ));
    };
    // Before the first wire the teeth are drawn as it goes in.
    let here = preview::Moment { date: here.date.map(|begun| begun.max(day)), ..here };
    let before = at.checked_sub(1).and_then(|at| moments.get(at)).copied();
    let mut drawing = match args.from {
        LookFrom::Front => preview::from_the_front(plan.case, plan.forecast, here),
        LookFrom::Bite => preview::from_the_bite(plan.case, plan.forecast, here, before),
    };
    let shown = here.date.unwrap_or(day).strftime("%a %-d %b %Y");
    drawing.title = format!("{shown}, {}", drawing.title.to_lowercase());
    Ok(drawing)
}

fn day(text: Option<&str>, today: Date) -> Result<Date, Problem> {
    let Some(text) = text else { return Ok(today) };
    text.parse().map_err(|_| {
        Problem::usage(
            format!("`{text}` is not a date."),
            "Write it as year-month-day, such as 2026-11-16.",
        )
    })
}
