//! Torque asked of a wire that turns freely in the slot.

use crate::prelude::*;
use springline_course::torque::{Torque, beyond_usual_deg, play_deg, play_in_deg, torque};
use springline_model::stock::CrownTurn;

pub const RULE: Rule = Rule {
    code: "order/torque-lost",
    severity: Severity::Warning,
    page: include_str!("torque_lost.md"),
    check,
    figure: Some(ToothFigure { judges: Judges::Torque, unsaid: Unsaid::Never }),
    ..Rule::PLAIN
};

/// Less than this share arriving is worth a word.
const SHARE: f64 = 0.5;
/// Largest torque requested of any wire, deg (`force/asked-at-once`).
const MOST_DEG: f64 = 40.0;

/// Torque requested at one tooth and the part that arrives, in the written direction.
struct RequestedTorque {
    tooth: Tooth,
    written_deg: f64,
    /// Including the bracket's torque and the tooth's inclination.
    together_deg: f64,
    arrives_deg: f64,
    torque: Torque,
}

impl RequestedTorque {
    fn is_lost(&self) -> bool {
        self.arrives_deg < self.written_deg * SHARE
    }

    /// What play and neighbours take of it all, degrees: as seen, or where nothing arrives the play of the
    /// slot and of its neighbours'.
    fn taken_deg(&self) -> Option<f64> {
        let play = self.torque.play_deg?;
        let seen = self.together_deg - self.arrives_deg;
        Some(if self.arrives_deg > 0.5 { seen } else { seen.max(2.0 * play) })
    }

    /// What would have to be written so that what was wanted arrives; nothing where most of that would be
    /// lost too, and only a larger wire helps.
    fn enough_deg(&self) -> Option<f64> {
        let lost = self.taken_deg()? - (self.together_deg - self.written_deg);
        let enough = (self.written_deg + lost).ceil() + 1.0;
        (self.written_deg >= SHARE * enough).then_some(enough)
    }
}

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    for view in context.views() {
        for act in &view.step.acts {
            let ActKind::Torque { teeth, angle, turn } = &act.kind else { continue };
            let written_deg = degrees(*angle);
            let way = if *turn == CrownTurn::CrownLabial { 1.0 } else { -1.0 };
            let worst = teeth
                .iter()
                .filter_map(|&tooth| {
                    let torque = torque(view.phase?, tooth)?;
                    let arrives_deg = (way * torque.arrives_deg).max(0.0);
                    let together_deg = way * torque.asked_deg;
                    Some(RequestedTorque { tooth, written_deg, together_deg, arrives_deg, torque })
                })
                .min_by(|a, b| a.arrives_deg.total_cmp(&b.arrives_deg));
            let Some(worst) = worst.filter(RequestedTorque::is_lost) else { continue };
            let finding = view
                .finding(
                    RULE.code,
                    RULE.severity,
                    view.act_place(act),
                    format!(
                        "Of the {} asked for at {} in {}, {} reaches {}: {} {}.",
                        say_deg(written_deg),
                        words.teeth(teeth),
                        view.step.name,
                        say_deg(worst.arrives_deg),
                        words.tooth(worst.tooth),
                        view.wire().label(),
                        why(&worst)
                    ),
                )
                .why("Play absorbs it before it reaches the tooth.")
                .figure(worst.arrives_deg.round(), (written_deg * SHARE).round(), Unit::Deg)
                .teeth([worst.tooth])
                .teeth(teeth.iter().copied().filter(|t| *t != worst.tooth));
            let asking = asking_more(context, act, &worst);
            let larger = larger(context, &view, &worst).and_then(|name| {
                context
                    .fix(format!("{name} in {}", view.step.name))
                    .set_clause(view.arch, view.step, ClauseKind::Wire, &name)
                    .done()
            });
            let mut finding = finding;
            finding.fixes.extend(asking.into_iter().chain(larger));
            let weight = written_deg / worst.arrives_deg.max(0.1);
            list.push(Candidate::new(view.side(), weight, finding));
        }
    }
    list.extend(context.case.arches.iter().filter_map(|arch| chosen(context, arch.arch)));
    merge_per_arch(words, list, out);
}

fn why(asked: &RequestedTorque) -> String {
    let Some(play) = asked.torque.play_deg else { return "rotates freely in the slot".to_owned() };
    let couple = asked.torque.couple_nmm.abs();
    if couple < 0.5 {
        return format!("has {} of play in every slot, and no moment", say_deg(play));
    }
    format!(
        "has {} of play in every slot, and a moment of {} N·mm",
        say_deg(play),
        plain(couple.round())
    )
}

fn asking_more(
    context: &RuleContext<'_>,
    act: &Act,
    asked: &RequestedTorque,
) -> Option<springline_finding::Fix> {
    let more = asked.enough_deg().filter(|more| *more <= MOST_DEG)?;
    context
        .fix(format!("ask for {}", say_deg(more)))
        .set_field(
            act.place,
            |line| line.holes(PlaceholderKind::Angle).next(),
            &format!("{} deg", plain(more)),
        )
        .done()
}

/// A bracket chosen for its torque, in a plan that does not bring it.
fn chosen(context: &RuleContext<'_>, arch: Arch) -> Option<Candidate> {
    let words = context.words();
    let views: Vec<StepView<'_>> =
        context.views().into_iter().filter(|v| v.side() == arch).collect();
    let last = views.last()?;
    let phases = &context.forecast.arch(arch)?.phases;
    // Only a plan with a later rectangular wire aims at torque.
    let lost = last.state.teeth.iter().filter_map(|tooth| {
        let bonding = tooth.bonding.as_ref().filter(|b| b.inverted || b.variant.is_some())?;
        let beyond = beyond_usual_deg(tooth.tooth, bonding);
        let (play, wire) = views
            .iter()
            .filter(|v| v.is_in_wire(tooth.tooth))
            .filter_map(|v| Some((play_deg(v.wire(), bonding)?, v.wire().label())))
            .min_by(|a, b| a.0.total_cmp(&b.0))?;
        let (entry, exit) =
            (phases.first()?.tooth(tooth.tooth)?, phases.last()?.tooth(tooth.tooth)?);
        let turned = (entry.entry.torque_rad - exit.left_by_play.torque_rad).to_degrees();
        let (asked, arrives) = (beyond.abs(), (turned * beyond.signum()).max(0.0));
        (asked >= 1.0 && arrives < asked * SHARE).then_some((
            tooth.tooth,
            asked,
            play,
            arrives,
            wire,
            bonding.place,
        ))
    });
    let (tooth, asked, play, arrives, wire, place) =
        lost.max_by(|a, b| (a.1 - a.3).total_cmp(&(b.1 - b.3)))?;
    let finding = last
        .finding(
            RULE.code,
            Severity::Advice,
            last.clause_place(Some(place)),
            format!(
                "The bracket of {} asks for {} more than the usual one, and {} is expressed: the fullest wire \
                 of the plan, {wire}, has {} of play in every slot.",
                words.tooth(tooth),
                say_deg(asked),
                say_deg(arrives),
                say_deg(play)
            ),
        )
        .why("Play absorbs it before it reaches the tooth.")
        .figure(arrives.round(), (asked * SHARE).round(), Unit::Deg)
        .teeth([tooth]);
    Some(Candidate::new(arch, 0.0, finding))
}

/// The smallest wire in stock that may deliver half of the requested torque, can be twisted, and fits the
/// slots. The fix is validated before it is shown.
fn larger(
    context: &RuleContext<'_>,
    view: &StepView<'_>,
    asked: &RequestedTorque,
) -> Option<String> {
    let height = view.bracket(asked.tooth)?.true_height_mm().taken_mm;
    let arrives = |w: &springline_model::Wire| {
        let play = play_in_deg(w, height)?;
        let taken = match (asked.taken_deg(), asked.torque.play_deg) {
            (Some(taken), Some(own)) if own > 0.0 => taken * play / own,
            _ => 2.0 * play,
        };
        Some(asked.together_deg - taken)
    };
    context
        .case
        .house
        .wires
        .values()
        .filter(|w| !w.alloy.is_niti() && !w.section.is_round() && view.goes_in(w.section, 0.01))
        .filter(|w| arrives(w).is_some_and(|deg| deg >= asked.written_deg * SHARE))
        .min_by(|a, b| {
            let height = |w: &springline_model::Wire| sizes_mm(w.section).0;
            height(a).total_cmp(&height(b)).then(a.name.cmp(&b.name))
        })
        .map(|w| w.name.to_string())
}
