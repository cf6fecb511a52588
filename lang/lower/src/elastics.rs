//! Lowers interarch elastics.

use super::names::ELASTIC;
use super::plausible as p;
use super::read::LoweringContext;
use super::word_values;
use springline_finding::{Finding, Fix, FixKind};
use springline_model::case::{ElasticRun, Elastics, ElasticsKind};
use springline_model::house::House;
use springline_syntax::ast::{
    ElasticsEndPart, ElasticsLine, ElasticsSideLine, ElasticsStatement, ToothField,
};
use springline_syntax::tree::StatementRef;
use springline_text::Edit;
use springline_units::tooth::{Side, Tooth};

impl LoweringContext<'_> {
    pub fn elastics(&mut self, block: StatementRef<'_>, house: &House) -> Elastics {
        let mut out = Elastics {
            kind: kind(block),
            runs: Vec::new(),
            from: None,
            until: None,
            until_step: None,
            longest: None,
            notes: Vec::new(),
            place: block.place(),
        };
        for line in block.children().filter_map(ElasticsStatement::cast) {
            match line {
                ElasticsStatement::ElasticsSide(line) => out.runs.extend(self.run(line, house)),
                ElasticsStatement::From(line) => {
                    out.from = Some((line.step.text().into(), line.expressed, line.step.place()));
                }
                ElasticsStatement::Until(line) => {
                    let place = line.statement.place();
                    match line.elastics_end {
                        ElasticsEndPart::Condition(condition) => {
                            out.until = self.condition(condition).map(|c| (c, place));
                        }
                        ElasticsEndPart::Step(step) => {
                            out.until_step = Some((step.text().into(), step.place()));
                        }
                    }
                }
                ElasticsStatement::Longest(line) => {
                    let place = line.statement.place();
                    out.longest = self.period(line.time, p::LONG_TIME).map(|t| (t, place));
                }
                ElasticsStatement::Note(line) => out.notes.push(line.text.text().to_owned()),
                // Read with those of the whole case.
                ElasticsStatement::Accept(_) => {}
            }
        }
        out
    }

    fn run(&mut self, line: ElasticsSideLine<'_>, house: &House) -> Option<ElasticRun> {
        let (side, place) = (word_values::side(line.side), line.statement.place());
        let fields: Vec<ToothField<'_>> = line.band_pair.teeth.iter().collect();
        let teeth = self.single_teeth(line.band_pair.teeth);
        if teeth.len() != fields.len() {
            return None;
        }
        self.crossing(line.statement, side, &teeth, &fields);
        let elastic = self.lookup(line.elastic, ELASTIC, &house.elastics, &house.title)?;
        let hours_a_day = self.period(line.hours, p::WEAR_HOURS)?.hours();
        Some(ElasticRun { side, teeth, elastic, hours_a_day, place })
    }

    /// A tooth of the other side would stretch the elastic across the mouth.
    fn crossing(
        &mut self,
        line: StatementRef<'_>,
        side: Side,
        teeth: &[Tooth],
        fields: &[ToothField<'_>],
    ) {
        // A diagonal midline elastic crosses on purpose.
        let diagonal = line.parent().is_some_and(|p| matches!(kind(p), ElasticsKind::Diagonal));
        if diagonal {
            return;
        }
        // Either the tooth is wrong or the side is: both are offered.
        let other = if side == Side::Right { Side::Left } else { Side::Right };
        let turned = self.on_the_side(line, other, teeth, fields);
        for (tooth, hole) in teeth.iter().zip(fields) {
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

    /// The edits that move the whole line to one side: its word, and every tooth of the other side.
    fn on_the_side(
        &self,
        line: StatementRef<'_>,
        side: Side,
        teeth: &[Tooth],
        fields: &[ToothField<'_>],
    ) -> Option<Vec<Edit>> {
        let word = line.items().first()?;
        // A side that was not typed follows from the teeth.
        if word.span.start == word.span.end {
            return None;
        }
        let text = side.word().to_owned();
        let mut edits = vec![Edit { place: self.place(word.span), text }];
        for (tooth, hole) in teeth.iter().zip(fields).filter(|(t, _)| t.side() != side) {
            let text = tooth.mirror().write(self.notation);
            edits.push(Edit { place: hole.place(), text });
        }
        Some(edits)
    }
}

/// As for settling where the line itself cannot be read.
fn kind(line: StatementRef<'_>) -> ElasticsKind {
    let word = ElasticsLine::cast(line).map(|line| line.elastics_kind);
    word.map_or(ElasticsKind::Settling, word_values::elastics_kind)
}
