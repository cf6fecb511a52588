//! `springline bench`: force-deflection curves of the practice's wires.

use std::path::PathBuf;
use std::process::ExitCode;
use std::sync::Arc;

use springline_emit::tables::chart;
use springline_emit::{draw, spreadsheet};
use springline_lang::TextDatabase;
use springline_lang::course::on_demand::bench;
use springline_lang::model::{House, Wire};

use crate::args::{ChartArgs, ChartFormat};
use crate::files;
use crate::find;
use crate::output::print;
use crate::problem::Problem;

pub fn run(args: &ChartArgs) -> Result<ExitCode, Problem> {
    let (house, wires) = drawer(args)?;
    if let Some(span) = args.span
        && !(3.0..=40.0).contains(&span)
    {
        return Err(Problem::usage(
            format!("A span of {span} mm is not a bench test."),
            "Give it in mm, from 3 to 40; the standard test uses 10.",
        ));
    }
    if !(0.2..=6.0).contains(&args.bend) {
        return Err(Problem::usage(
            format!("A deflection of {} mm is outside this test.", args.bend),
            "Give mm from 0.2 to 6; the standard test uses 3.1.",
        ));
    }
    let table = chart::chart(&bench(&house, &wires, args.span, args.bend));
    print(&match args.format {
        ChartFormat::Human => draw::terminal(&table) + "\n" + &chart::human(&table),
        ChartFormat::Svg => draw::svg::file(&draw::bench(&table)),
        ChartFormat::Json => serde_json::to_string(&table).map(|s| s + "\n").unwrap_or_default(),
        ChartFormat::Csv => spreadsheet::head::<chart::Chart>() + &spreadsheet::rows(&table),
    });
    Ok(ExitCode::SUCCESS)
}

/// The practice, and the wires named or all of them.
fn drawer(args: &ChartArgs) -> Result<(Arc<House>, Vec<Arc<Wire>>), Problem> {
    let path = match &args.house {
        Some(path) => path.clone(),
        None => the_house_here()?,
    };
    let input = files::read(&path)?;
    let read = TextDatabase::new().read(&input.source(), &input.library());
    let Some(house) = read.house else {
        return Err(Problem::usage(
            format!("{} cannot be read as a practice file.", input.name),
            "Run `springline check` on it.",
        ));
    };
    let mut wires = Vec::new();
    for name in &args.wires {
        match house.wires.get(name.as_str()) {
            Some(wire) => wires.push(wire.clone()),
            None => {
                let names: Vec<&str> = house.wires.keys().map(AsRef::as_ref).collect();
                return Err(Problem::usage(
                    format!("No wire `{name}` in {}.", house.title),
                    format!("Available: {}.", names.join(", ")),
                ));
            }
        }
    }
    if wires.is_empty() {
        wires.extend(house.wires.values().cloned());
    }
    Ok((house, wires))
}

/// The only practice file below this folder.
fn the_house_here() -> Result<PathBuf, Problem> {
    let mut looked = find::find(&[PathBuf::from(".")]);
    // An unrelated file that cannot be read does not stop the command.
    looked.tell_problems();
    let mut found = Vec::new();
    for path in looked.paths().into_iter().filter(|path| files::is_practice_file(path)) {
        match files::read(&path) {
            Ok(_) => found.push(path),
            Err(problem) => crate::tell!("skipped: {problem}"),
        }
    }
    match found.as_slice() {
        [one] => Ok(one.clone()),
        [] => Err(Problem::usage("There is no practice file here.", "Name it with --house FILE.")),
        many => Err(Problem::usage(
            format!("There are {} practice files here.", many.len()),
            "Name one with --house FILE.",
        )),
    }
}
