//! The chair test of a phase, beside the forecast's own measure of passivity.

use jiff::civil::Date;

use crate::law::chair::{ChairLimits, ChairTest, ChairWord};
use crate::plan::calendar::days_between;
use crate::run::chair_reading::ChairReading;
use crate::timeline::phase::Phase;
use springline_model::House;
use springline_model::step::Act;

impl Phase {
    /// The chair test so many days after insertion, by straight line along its course.
    pub fn chair_test(&self, days: f64) -> Option<ChairTest> {
        let after = self.chair.partition_point(|(d, _)| *d <= days);
        let (before, next) = (after.checked_sub(1), self.chair.get(after));
        match (before.and_then(|i| self.chair.get(i)), next) {
            (Some((a, from)), Some((b, to))) => {
                Some(from.test().between(&to.test(), (days - a) / (b - a)))
            }
            (Some((_, reading)), None) | (None, Some((_, reading))) => Some(reading.test()),
            (None, None) => None,
        }
    }

    /// Days after insertion from which the wire slides (median patient), whatever it did before.
    pub fn slides_from(&self, house: &House) -> Option<f64> {
        let limits = ChairLimits::of(house);
        let slides =
            |(_, now): &&(f64, ChairReading)| limits.word(now.force_n()) <= ChairWord::Slides;
        self.chair.iter().find(slides).map(|(day, _)| *day)
    }

    /// What is forecast for the test on a day: whether the wire counts as passive and what decides it, and what
    /// shifting it meets. "passive (three quarters of its work done); the wire may bind at
    /// 42". `None` where
    /// the wire has no figures, or one of the acts that are `hanging` by then holds it, so that
    /// shifting tells nothing.
    pub fn chair_says<'a>(
        &self,
        house: &House,
        on: Date,
        hanging: impl IntoIterator<Item = &'a Act>,
    ) -> Option<String> {
        if self.state.held_by(hanging).is_some() {
            return None;
        }
        let days = days_between(self.date_in?, on);
        let test = self.chair_test(days)?;
        let said = test.say(&ChairLimits::of(house), house.notation.value);
        let here = match self.passive.by_rule() {
            Some(band) if band.median_days <= days => {
                format!("passive ({}); ", self.passive.decided_by.why())
            }
            Some(_) => "still active; ".to_owned(),
            None => String::new(),
        };
        Some(format!("{here}the wire {said}"))
    }
}
