//! What is felt when a wire is shifted along its slots: the last part of the passive test, in words.
//!
//! The force is predicted, but three things decide it that are not known well: the coefficient of friction, the
//! give of the teeth, and how hard somebody shifts a wire who calls it bound. So it is told as a word with
//! its range; grams are told only where the practice's own records have shown what it calls bound.

use springline_model::House;
use springline_units::quantity::{factor, grams_to_newtons, newtons, newtons_to_grams};
use springline_units::tooth::{Notation, Tooth};

/// Under it nothing outside the play touches, N: what the solver leaves at contacts that only lean.
pub const NOTHING_N: f64 = 0.05;
/// Up to this a wire that is shifted is said to slide, g: a guess (10 to 100), no source.
pub const SLIDES_G: f64 = 30.0;
/// From this on it is said to bind, g: a guess (50 to 400), no source.
pub const BINDS_G: f64 = 100.0;

/// The answer of the chair test, in order of resistance.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum ChairWord {
    /// No contact outside the play.
    SlidesFreely,
    Slides,
    /// Some would say so.
    MayBind,
    Binds,
}

impl ChairWord {
    pub fn word(self) -> &'static str {
        match self {
            ChairWord::SlidesFreely => "slides freely",
            ChairWord::Slides => "slides",
            ChairWord::MayBind => "may bind",
            ChairWord::Binds => "binds",
        }
    }
}

/// Where a practice draws the line, N.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChairLimits {
    pub slides_n: f64,
    pub binds_n: f64,
    /// Learned from its own records: only then are grams told.
    pub learned: bool,
}

impl ChairLimits {
    /// The practice's own where it has learned them, else the guesses.
    pub fn of(house: &House) -> ChairLimits {
        let guess = [SLIDES_G, BINDS_G].map(grams_to_newtons);
        let ([slides_n, binds_n], learned) = match &house.learned_chair {
            Some(line) => {
                let (half, spread) = (newtons(line.half), factor(line.spread).max(1.0));
                ([half / spread, half * spread], true)
            }
            None => (guess, false),
        };
        ChairLimits { slides_n, binds_n, learned }
    }

    pub fn word(&self, force_n: f64) -> ChairWord {
        match force_n {
            n if n < NOTHING_N => ChairWord::SlidesFreely,
            n if n < self.slides_n => ChairWord::Slides,
            n if n < self.binds_n => ChairWord::MayBind,
            _ => ChairWord::Binds,
        }
    }
}

/// The chair test as predicted for one moment: force to shift the wire, N, and what holds it most.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChairTest {
    /// By the coefficient taken and teeth as soft as the set-up has them.
    pub force_n: f64,
    /// By the lowest coefficient; and by the highest, on teeth a fifth as soft.
    pub range_n: [f64; 2],
    /// The tightest bracket, and its share of what holds the wire.
    pub tightest: Option<(Tooth, f64)>,
}

impl ChairTest {
    pub fn word(&self, limits: &ChairLimits) -> ChairWord {
        limits.word(self.force_n)
    }

    /// By straight line; the bracket is that of the nearer state.
    pub(crate) fn between(&self, next: &ChairTest, share: f64) -> ChairTest {
        let line = |a: f64, b: f64| a + (b - a) * share;
        let nearer = if share < 0.5 { self } else { next };
        ChairTest {
            force_n: line(self.force_n, next.force_n),
            range_n: [0, 1].map(|i| line(self.range_n[i], next.range_n[i])),
            tightest: nearer.tightest.or(self.tightest).or(next.tightest),
        }
    }

    /// "may bind at 42; at best it slides, at worst it binds"; with grams where the practice's limit is learned.
    pub fn say(&self, limits: &ChairLimits, notation: Notation) -> String {
        let word = self.word(limits);
        let tightest = self.tightest.map(|(tooth, _)| tooth.write(notation));
        let mut out = match (word, tightest) {
            (ChairWord::Slides, Some(tooth)) => format!("slides, tightest at {tooth}"),
            (ChairWord::MayBind | ChairWord::Binds, Some(tooth)) => {
                format!("{} at {tooth}", word.word())
            }
            _ => word.word().to_owned(),
        };
        if limits.learned && self.force_n >= NOTHING_N {
            let [least, taken, most] =
                [self.range_n[0], self.force_n, self.range_n[1]].map(newtons_to_grams);
            out.push_str(&format!(" (about {taken:.0} g, {least:.0} to {most:.0})"));
        }
        let [low, high] = self.range_n.map(|n| limits.word(n));
        let ends = [(low, "at best"), (high, "at worst")];
        let other = ends.iter().filter(|(end, _)| *end != word);
        let other: Vec<String> = other.map(|(w, how)| format!("{how} it {}", w.word())).collect();
        if !other.is_empty() {
            out.push_str(&format!("; {}", other.join(", ")));
        }
        out
    }
}

/// What makes a wire count as passive by the forecast.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PassiveBy {
    /// A quarter of what it can correct is left.
    Quarter,
    /// Every force is under the floor.
    Floor,
    /// No bend is to be seen.
    NoBend,
}

impl PassiveBy {
    /// "passive: three quarters of its work done".
    pub fn why(self) -> &'static str {
        match self {
            PassiveBy::Quarter => "three quarters of its work done",
            PassiveBy::Floor => "hardly any force left",
            PassiveBy::NoBend => "no bend to be seen",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use springline_units::quantity::grams_to_newtons;

    fn limits() -> ChairLimits {
        let grams = grams_to_newtons;
        ChairLimits { slides_n: grams(SLIDES_G), binds_n: grams(BINDS_G), learned: false }
    }

    fn test(grams: [f64; 3]) -> ChairTest {
        let [low, force_n, high] = grams.map(grams_to_newtons);
        ChairTest { force_n, range_n: [low, high], tightest: Tooth::iso(42).map(|t| (t, 0.5)) }
    }

    #[test]
    fn the_word_names_the_bracket_and_the_range() {
        let say = |grams| test(grams).say(&limits(), Notation::Iso);
        assert_eq!(say([0.0, 0.0, 2.0]), "slides freely");
        assert_eq!(say([10.0, 20.0, 25.0]), "slides, tightest at 42");
        assert_eq!(say([10.0, 20.0, 45.0]), "slides, tightest at 42; at worst it may bind");
        assert_eq!(
            say([20.0, 60.0, 140.0]),
            "may bind at 42; at best it slides, at worst it binds"
        );
        assert_eq!(say([120.0, 200.0, 900.0]), "binds at 42");
    }

    #[test]
    fn grams_are_told_only_by_a_learned_limit() {
        let learned = ChairLimits { learned: true, ..limits() };
        let test = test([20.0, 60.0, 140.0]);
        let said = test.say(&learned, Notation::Iso);
        let wanted = "may bind at 42 (about 60 g, 20 to 140); at best it slides, at worst it binds";
        assert_eq!(said, wanted);
        assert!(!test.say(&limits(), Notation::Iso).contains(" g"));
    }
}
