//! Elastics between the arches.

use super::names::ELASTIC;
use super::plausible as p;
use super::read::LoweringContext;
use springline_finding::{Finding, Fix, FixKind};
use springline_model::case::{ElasticRun, Elastics, ElasticsKind};
use springline_model::house::House;
use springline_syntax::tree::{FieldValue, StatementRef};
use springline_text::Edit;
use springline_units::tooth::{Side, Tooth};

impl LoweringContext<'_> {
    pub fn elastics(&mut self, block: StatementRef<'_>, house: &House) -> Elastics {
        let mut out = Elastics {
            kind: kind(block),
            runs: Vec::new(),
            from: None,
            until: None,
            longest: None,
            notes: Vec::new(),
            place: block.place(),
        };
        for line in block.children().filter(|l| l.is_read()) {
            let place = line.place();
            match line.keyword() {
                Some("right" | "left") => out.runs.extend(self.run(line, house)),
                Some("from") => {
                    if let Some(hole) = line.hole("step") {
                        out.from = Some((hole.text().into(), line.has("expressed"), hole.place()));
                    }
                }
                Some("until") => {
                    out.until = self.condition(line.group()).map(|c| (c, place));
                }
                Some("longest") => {
                    let period = line.hole("time").and_then(|h| self.period(h, p::LONG_TIME));
                    out.longest = period.map(|t| (t, place));
                }
                Some("note") => out.notes.extend(line.hole("text").map(|h| h.text().to_owned())),
                _ => {}
            }
        }
        out
    }

    fn run(&mut self, line: StatementRef<'_>, house: &House) -> Option<ElasticRun> {
        let side = if line.has("right") { Side::Right } else { Side::Left };
        let wanted = line.holes(springline_syntax::pattern::PlaceholderKind::Tooth).count();
        let teeth = self.single_teeth(line.group());
        if teeth.len() != wanted {
            return None;
        }
        self.crossing(line, side, &teeth);
        let elastic = self.lookup(line.hole("elastic")?, ELASTIC, &house.elastics, &house.title)?;
        let hours = self.period(line.hole("hours")?, p::WEAR_HOURS)?.hours();
        Some(ElasticRun { side, teeth, elastic, hours_a_day: hours, place: line.place() })
    }

    /// A tooth of the other side would take the elastic across the mouth.
    fn crossing(&mut self, line: StatementRef<'_>, side: Side, teeth: &[Tooth]) {
        // A diagonal elastic over the midline crosses by purpose.
        let diagonal = line.parent().is_some_and(|p| matches!(kind(p), ElasticsKind::Diagonal));
        if diagonal {
            return;
        }
        let holes: Vec<_> =
            line.holes(springline_syntax::pattern::PlaceholderKind::Tooth).collect();
        // Either the tooth is wrong or the side is: both are offered.
        let other = if side == Side::Right { Side::Left } else { Side::Right };
        let turned = self.on_the_side(line, other, teeth, &holes);
        for (tooth, hole) in teeth.iter().zip(holes) {
            if tooth.side() == side {
                continue;
            }
            let text = tooth.mirror().write(self.notation);
            let mut finding = Finding::error(
                "name/crosses-the-mouth",
                hole.place(),
                format!(
                    "{tooth} is on the patient's {}, this line is for the {side}: the elastic \
                         would cross the mouth.",
                    tooth.side()
                ),
            )
            .teeth([*tooth])
            .clinical_fix(format!("write `{text}`"), hole.place(), text.clone());
            if let Some(edits) = turned.clone() {
                finding = finding.fix(Fix {
                    title: format!("make it an elastic of the {other}"),
                    kind: FixKind::Clinical,
                    edits,
                    outcome: None,
                });
            }
            self.report(finding);
        }
    }

    /// The edits that put the whole line on a side: its word, and every tooth of the other side.
    fn on_the_side(
        &self,
        line: StatementRef<'_>,
        side: Side,
        teeth: &[Tooth],
        holes: &[FieldValue<'_>],
    ) -> Option<Vec<Edit>> {
        let word = line.items().first()?;
        // A side that was never typed is what the teeth say.
        if word.span.start == word.span.end {
            return None;
        }
        let text = side.word().to_owned();
        let mut edits = vec![Edit { place: self.place(word.span), text }];
        for (tooth, hole) in teeth.iter().zip(holes).filter(|(t, _)| t.side() != side) {
            let text = tooth.mirror().write(self.notation);
            edits.push(Edit { place: hole.place(), text });
        }
        Some(edits)
    }
}

fn kind(line: StatementRef<'_>) -> ElasticsKind {
    match () {
        () if line.has("class-2") => ElasticsKind::Class2,
        () if line.has("class-3") => ElasticsKind::Class3,
        () if line.has("triangle") => ElasticsKind::Triangle,
        () if line.has("box") => ElasticsKind::Box,
        () if line.has("cross") => ElasticsKind::Cross,
        () if line.has("diagonal") => ElasticsKind::Diagonal,
        () => ElasticsKind::Settling,
    }
}
