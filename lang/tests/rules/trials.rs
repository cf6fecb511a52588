//! Every example checked, its fixes tried and applied: once for all tests of this program.

use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{LazyLock, Mutex};
use std::thread;

use crate::rules_common::{library, options, source};
use springline_lang::finding::{Finding, FixKind};
use springline_lang::fixes::Budget;
use springline_lang::rules::Rule;
use springline_lang::rules::page::{Example, NoSuchLine};
use springline_lang::rules::register::RULES;
use springline_lang::text::FileId;
use springline_lang::{Checked, Checker};

/// An example of a rule, as found and as left.
pub struct Trial {
    pub rule: &'static Rule,
    pub example: Example<'static>,
    /// As the rules found it: every fix a candidate.
    pub checked: Checked,
    /// As it is shown: every fix tried, and those that mend nothing are gone.
    pub tried: Checked,
    /// What the plan becomes with each fix of the rule's own findings that is left.
    pub mended: Vec<Mended>,
    /// What each change of the page makes of the example.
    pub changed: Vec<Result<(String, Checked), NoSuchLine>>,
}

pub struct Mended {
    pub title: String,
    pub kind: FixKind,
    pub outcome: Option<String>,
    /// The text with the fix and what is found in it; `None` if the fix does not apply.
    pub after: Option<(String, Checked)>,
}

impl Trial {
    fn of(checker: &mut Checker, rule: &'static Rule, example: Example<'static>) -> Self {
        let mut check = |text: &str| checker.check(&source(text), &library(), &options());
        let changed = example.changes.iter().map(|change| {
            let text = example.after(*change)?;
            let checked = check(&text);
            Ok((text, checked))
        });
        let changed = changed.collect();
        let checked = check(example.failing);
        let tried =
            checker.try_fixes(checked.clone(), &library(), &options(), Budget { tries: 1000 });
        let own = tried.findings.iter().filter(|f| f.code.as_str() == rule.code);
        let mended = own.flat_map(|f| &f.fixes).map(|fix| Mended {
            title: fix.title.clone(),
            kind: fix.kind,
            outcome: fix.outcome.clone(),
            after: fix.apply(FileId(0), example.failing).map(|text| {
                let checked = checker.check(&source(&text), &library(), &options());
                (text, checked)
            }),
        });
        let mended = mended.collect();
        Self { rule, example, checked, tried, mended, changed }
    }

    /// The rule's own findings as they are shown.
    pub fn own(&self) -> impl Iterator<Item = &Finding> {
        self.tried.findings.iter().filter(|f| f.code.as_str() == self.rule.code)
    }
}

/// The trials in the order of the register. `RULE=space/coil-inert cargo test -p springline-lang --test rules
/// examples` looks at that rule's examples alone, `RULE=space/` at the family's.
pub static TRIALS: LazyLock<Vec<Trial>> = LazyLock::new(|| {
    let only = std::env::var("RULE").ok();
    let chosen = RULES.iter().filter(|r| only.as_deref().is_none_or(|o| r.code.contains(o)));
    let examples: Vec<(&'static Rule, Example<'static>)> =
        chosen.flat_map(|r| r.page().examples.into_iter().map(|e| (*r, e))).collect();
    let (next, done) = (AtomicUsize::new(0), Mutex::new(Vec::new()));
    thread::scope(|scope| {
        for _ in 0..thread::available_parallelism().map_or(1, usize::from) {
            scope.spawn(|| {
                let mut checker = Checker::new();
                loop {
                    let at = next.fetch_add(1, Ordering::Relaxed);
                    let Some((rule, example)) = examples.get(at) else { break };
                    let trial = Trial::of(&mut checker, rule, example.clone());
                    done.lock().expect("no trial panicked").push((at, trial));
                }
            });
        }
    });
    let mut done = done.into_inner().expect("no trial panicked");
    done.sort_by_key(|(at, _)| *at);
    done.into_iter().map(|(_, trial)| trial).collect()
});

/// The first trial of a rule.
pub fn trial(code: &str) -> &'static Trial {
    TRIALS.iter().find(|t| t.rule.code == code).unwrap_or_else(|| panic!("no example of {code}"))
}
