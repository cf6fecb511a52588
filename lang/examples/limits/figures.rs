//! Figures behind the limits: what the lightest wire does in crowded arches, and what other limits of the sustained
//! force would find.

use springline_lang::units::tooth::Arch;

use crate::arches::{Label, Pair};
use crate::judge::{Figures, Verdict};

/// Median and largest.
fn told(mut figures: Vec<f64>) -> String {
    figures.sort_by(f64::total_cmp);
    match (figures.get(figures.len() / 2), figures.last()) {
        (Some(median), Some(largest)) => format!("{median:.0} / {largest:.0}"),
        _ => String::new(),
    }
}

/// Force on the worst tooth of accepted crowded arches under the lightest wire.
pub fn lightest_wire(rows: &[(&Pair, Verdict)]) {
    println!("\n0.014 superelastic in crowded arches, worst tooth, median / largest, g\n");
    println!("| irregularity | arch | on insertion | after 0.2 mm | after 0.5 mm |");
    println!("| --- | --- | --- | --- | --- |");
    for arch in Arch::BOTH {
        for mm in [2.0, 4.0, 6.0, 8.0] {
            let own = |of: &dyn Fn(&Figures) -> f64| {
                let own = rows.iter().filter(|(p, _)| {
                    p.arch == arch && p.label == Label::Accepted && p.irregularity_mm == Some(mm)
                });
                told(own.map(|(_, v)| of(&v.figures)).collect())
            };
            println!(
                "| {mm} mm | {arch} | {} | {} | {} |",
                own(&|f| f.peak),
                own(&|f| f.delivered),
                own(&|f| f.sustained)
            );
        }
    }
}

/// Shares of superelastic pairs that other limits of the sustained force would find; the ratios stay.
pub fn other_limits(rows: &[(&Pair, Verdict)]) {
    println!(
        "\n| sustained, g | accepted: error | accepted: warning | heavy: found | heavy: error |"
    );
    println!("| --- | --- | --- | --- | --- |");
    for (warn, stop) in [(35.0, 175.0), (40.0, 200.0), (45.0, 225.0), (50.0, 250.0), (60.0, 300.0)]
    {
        let share = |label: Label, past: &dyn Fn(&Figures) -> bool| {
            let own: Vec<bool> = rows
                .iter()
                .filter(|(p, v)| p.label == label && !p.wire.rigid && !v.refused)
                .map(|(_, v)| past(&v.figures))
                .collect();
            let count = own.iter().filter(|past| **past).count();
            format!(
                "{count} of {} ({:.1} %)",
                own.len(),
                100.0 * count as f64 / own.len().max(1) as f64
            )
        };
        let warned = |f: &Figures| f.sustained > warn && f.sustained > 1.2 * f.light;
        let stopped = |f: &Figures| f.sustained > stop && f.sustained > 2.5 * f.light;
        println!(
            "| {warn:.0}, {stop:.0} | {} | {} | {} | {} |",
            share(Label::Accepted, &stopped),
            share(Label::Accepted, &|f| warned(f) && !stopped(f)),
            share(Label::Heavy, &warned),
            share(Label::Heavy, &stopped)
        );
    }
}

/// The figures that limits are put to, a pair on a line.
pub fn every_pair(rows: &[(&Pair, Verdict)]) {
    println!(
        "\nlabel,family,arch,wire,irregularity,peak,delivered,sustained,light,strain,errors,warnings,said"
    );
    for (pair, v) in rows {
        let Figures { peak, delivered, sustained, light, strain } = v.figures;
        println!(
            "{},{},{},{},{},{peak:.0},{delivered:.0},{sustained:.0},{light:.0},{strain:.1},{},{},{}",
            pair.label.word(),
            pair.family,
            pair.arch,
            pair.wire.name(),
            pair.irregularity_mm.unwrap_or_default(),
            v.errors,
            v.warnings,
            v.said.join(";")
        );
    }
}
