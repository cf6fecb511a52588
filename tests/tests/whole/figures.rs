//! One figure, wherever it stands: the forces of table, finding, fix and preview are the same to the
//! gram, lie in their bands, and do what forces do when teeth give way.

use jiff::civil::{Date, date};
use springline_demo as demo;
use springline_emit::preview::{PreviewChoice, view};
use springline_emit::tables::forces::{BandedFigure, Forces, StepRows, ToothRow, forces};
use springline_emit::{Plan, PrintStamp};
use springline_lang::course::on_demand;
use springline_lang::fixes::Budget;
use springline_lang::mechanics::COUPLE_LEVERS_MM;
use springline_lang::text::FileId;
use springline_lang::units::quantity::newtons_to_grams;
use springline_lang::units::tooth::Notation;
use springline_lang::{CheckOptions, Checked, Checker, SourceText};
use springline_lsp::previewed;
use springline_test_support::{Practices, examples_in};

/// The day the examples were written for.
const TODAY: Date = date(2026, 11, 25);
/// A tooth may take over load from neighbours that have given way: so much, g, and so large a share of the largest force
/// as the wire goes in. No law bounds it where teeth give unequally; both are what these arches show at most, rounded up.
const TAKEN_OVER_G: f64 = 15.0;
const TAKEN_OVER_SHARE: f64 = 0.1;

fn taken_over_g(step: &StepRows) -> f64 {
    let largest = step.teeth.iter().map(|t| t.peak_g.value).fold(0.0, f64::max);
    TAKEN_OVER_G.max(TAKEN_OVER_SHARE * largest)
}

fn check(checker: &mut Checker, house: &Practices, name: &str, text: &str) -> Checked {
    let source = SourceText { name: name.to_owned(), text: text.into() };
    checker.check(&source, house, &CheckOptions { today: Some(TODAY) })
}

fn table(checked: &Checked, bands: bool) -> Option<Forces> {
    let stamp = PrintStamp {
        case: "3f9a12c07be4d1".into(),
        house: "77aa04be91c2f0".into(),
        tool: "springline".into(),
        printed: TODAY,
    };
    let plan = Plan::of(checked.course(), &checked.findings, TODAY, &stamp)?;
    Some(forces(&plan, |phase| on_demand::phase_figures(phase, bands)))
}

/// The largest couple on a tooth as the force at its lever, g.
fn couple_g(t: &ToothRow) -> f64 {
    let couples = [t.rotation_nmm, t.tip_nmm, t.torque_nmm].into_iter().zip(COUPLE_LEVERS_MM);
    couples.map(|(c, lever)| newtons_to_grams(c.value.abs() / lever)).fold(0.0, f64::max)
}

/// What no row may do; every one that does, in words.
fn unbelievable(name: &str, step: &StepRows) -> Vec<String> {
    let mut out = Vec::new();
    let mut say = |what: String| out.push(format!("{name}, {} {}: {what}", step.arch, step.step));
    let figures = |t: &ToothRow| [t.peak_g.value, t.delivered_g.value, t.sustained_g.value];
    let worst = step
        .teeth
        .iter()
        .map(figures)
        .fold([0.0; 3], |a, b| std::array::from_fn(|i| f64::max(a[i], b[i])));
    // Where a spring or an elastic pulls, the wire takes up what it holds as teeth go with the pull.
    let pulled = step.teeth.iter().any(|t| t.pulled_g.is_some());
    // What never grows is the largest of forces and of couples by their levers (a property of the march,
    // tested with it); a couple may turn into force, which stays under the largest of both as the wire goes in.
    let as_it_goes_in = step.teeth.iter().map(couple_g).fold(worst[0], f64::max);
    if !pulled && worst[1].max(worst[2]) > as_it_goes_in + 1.5 {
        say(format!("the largest force grows: {worst:.0?} g, {as_it_goes_in:.0} g with couples"));
    }
    let most = 2.0 * taken_over_g(step);
    for t in step.teeth.iter().filter(|_| !pulled) {
        let [peak, delivered, sustained] = figures(t);
        if delivered.max(sustained) > peak.max(delivered.min(sustained)) + most {
            say(format!("{}: {peak:.0}, then {delivered:.0}, then {sustained:.0} g", t.tooth));
        }
    }
    for t in &step.teeth {
        let all = [
            t.lingual_g,
            t.gingival_g,
            t.along_g,
            t.peak_g,
            t.delivered_g,
            t.sustained_g,
            t.rotation_nmm,
            t.tip_nmm,
            t.torque_nmm,
        ];
        for BandedFigure { value, low, high } in all {
            let inside = low.is_none_or(|l| l <= value) && high.is_none_or(|h| value <= h);
            if !inside {
                say(format!("{}: {value} outside {low:?} to {high:?}", t.tooth));
            }
        }
    }
    out
}

/// What all wires do to all teeth of an arch cancels, up and down: a wire pushes with nothing but itself.
fn vertical_sum_g(step: &StepRows) -> f64 {
    step.teeth.iter().map(|t| t.gingival_g.value).sum()
}

/// Rows in which one tooth's force grows by more than it may take over from a neighbour.
fn grows(step: &StepRows) -> usize {
    let grown = |t: &&ToothRow| {
        t.delivered_g.value.max(t.sustained_g.value) > t.peak_g.value + taken_over_g(step)
    };
    let pulled = step.teeth.iter().any(|t| t.pulled_g.is_some());
    if pulled { 0 } else { step.teeth.iter().filter(grown).count() }
}

#[test]
fn every_row_of_the_examples_is_believable() {
    let mut checker = Checker::new();
    let (mut wrong, mut rows, mut grown) = (Vec::new(), 0, 0);
    for (name, text) in examples_in("cases").into_iter().chain(examples_in("year")) {
        let checked = check(&mut checker, &Practices::saltmarsh(), &name, &text);
        // Bands cost a hundred solves a step: those of every third case.
        let bands = name.bytes().map(usize::from).sum::<usize>() % 3 == 0;
        let table = table(&checked, bands).unwrap_or_else(|| panic!("{name} has no plan"));
        for step in &table.steps {
            rows += step.teeth.len();
            grown += grows(step);
            let sum = vertical_sum_g(step);
            if sum.abs() > 8.0 {
                wrong.push(format!(
                    "{name}, {} {}: {sum:.0} g up or down in all",
                    step.arch, step.step
                ));
            }
            wrong.extend(unbelievable(&name, step));
        }
    }
    println!("{rows} rows, {grown} of them take over more than usual");
    assert!(rows > 1000);
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(grown * 500 <= rows, "{grown} of {rows} rows take over more than usual");
}

#[test]
fn every_row_of_an_invented_practice_is_believable() {
    let house = Practices::of(demo::house());
    let mut checker = Checker::new();
    let mut wrong = Vec::new();
    for number in 1..=24 {
        let case = demo::case(7, number, TODAY);
        let checked = check(&mut checker, &house, &case.file, &case.text);
        let Some(table) = table(&checked, number % 4 == 0) else { continue };
        for step in &table.steps {
            wrong.extend(unbelievable(&case.file, step));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The rows of a step, by its name as a finding has it.
fn row<'t>(table: &'t Forces, step: &str, tooth: &str) -> Option<&'t ToothRow> {
    let steps = table.steps.iter().filter(|s| s.step == step);
    steps.flat_map(|s| &s.teeth).find(|t| t.tooth.write(Notation::Iso) == tooth)
}

#[test]
fn findings_and_fixes_say_what_the_table_says() {
    let mut checker = Checker::new();
    let (mut compared, mut fixes) = (0, 0);
    for (name, text) in examples_in("unsafe") {
        let checked = check(&mut checker, &Practices::saltmarsh(), &name, &text);
        let Some(figures) = table(&checked, false) else { continue };
        let options = CheckOptions { today: Some(TODAY) };
        let tried =
            checker.try_fixes(checked, &Practices::saltmarsh(), &options, Budget::default());
        for finding in tried.findings.iter().filter(|f| f.code.as_str() == "force/sustained") {
            let (Some(step), Some(tooth)) = (&finding.step, finding.teeth.first()) else {
                continue;
            };
            let tooth = tooth.write(Notation::Iso);
            let value = finding.figure.as_ref().expect("a figure").value;
            let own = row(&figures, step, &tooth).expect("its row").sustained_g.value.round();
            assert_eq!(value, own, "{name}: {}", finding.message);
            assert!(
                finding.message.contains(&format!("leaves {own} g on {tooth}")),
                "{name}: {}",
                finding.message
            );
            compared += 1;
            for fix in &finding.fixes {
                let Some(outcome) = &fix.outcome else { continue };
                let Some((said, on)) = grams_on(outcome) else { continue };
                let fixed = fix.apply(FileId(0), &text).expect("it can be applied");
                let after = check(&mut checker, &Practices::saltmarsh(), &name, &fixed);
                let after = table(&after, false).expect("a plan");
                let then = row(&after, step, &on).expect("its row").sustained_g.value.round();
                assert_eq!(said, then, "{name}: {} ({outcome})", fix.title);
                fixes += 1;
            }
        }
    }
    assert!(compared >= 3 && fixes >= 2, "{compared} findings and {fixes} fixes compared");
}

/// "then 43 g on 12": the figure and the tooth.
fn grams_on(outcome: &str) -> Option<(f64, String)> {
    let (before, after) = outcome.split_once(" g on ")?;
    let value = before.rsplit(' ').next()?.parse().ok()?;
    Some((value, after.chars().take_while(char::is_ascii_digit).collect()))
}

#[test]
fn the_preview_shows_the_grams_of_the_table() {
    let mut checker = Checker::new();
    for (name, text) in examples_in("cases").into_iter().take(4) {
        let checked = check(&mut checker, &Practices::saltmarsh(), &name, &text);
        let figures = table(&checked, false).expect("a plan");
        let forecast = checked.forecast.as_ref().expect("a course");
        for (arch, phase) in
            forecast.arches.iter().flat_map(|a| a.phases.iter().map(|p| (a.arch, p)))
        {
            let page = view(&previewed(&checked), PreviewChoice::Step(arch, phase.step));
            let step = figures
                .steps
                .iter()
                .find(|s| s.arch == arch && s.step == *phase.name)
                .expect("its rows");
            for (label, of) in [
                ("on insertion, g", (|t| t.peak_g) as fn(&ToothRow) -> BandedFigure),
                ("after 0.5 mm, g", |t| t.sustained_g),
            ] {
                let cells: String =
                    step.teeth.iter().map(|t| format!("<td>{:.0}</td>", of(t).value)).collect();
                assert!(
                    page.contains(&format!("{label}</th>{cells}")),
                    "{name}, {}: {label}",
                    phase.name
                );
            }
        }
    }
}
