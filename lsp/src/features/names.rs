//! Names with their definitions and uses: go to definition, find references, highlight, rename. A
//! practice's names are used in its cases, so several files are searched.

use springline_lang::syntax::ast::{FollowLine, SequenceLine, StatementKind, StepLine};
use springline_lang::syntax::tree::{Parse, StatementRef};
use springline_lang::syntax::{PlaceholderKind, item_at};
use springline_lang::text::Span;
use springline_lang::units::tooth::Arch;

use crate::analysed_file::arch_of;

/// A name in its namespace. Step names belong to their arch, or to their sequence in the practice file.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct QualifiedName {
    pub space: &'static str,
    pub text: String,
    /// For steps: `upper`, `lower`, or the name of the sequence.
    pub owner: Option<String>,
}

/// One occurrence of a name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Use {
    pub span: Span,
    pub name: QualifiedName,
    pub defines: bool,
}

/// Namespaces whose names are defined in files that an editor can open. Persons and languages are
/// written, never defined.
const SPACES: [&str; 10] =
    ["wire", "bracket", "coil", "elastic", "chain", "stop", "form", "sequence", "step", "variant"];

/// The owners of a case's own steps.
const ARCHES: [&str; 2] = [Arch::Upper.word(), Arch::Lower.word()];

/// Every name of a file.
pub fn uses(parse: &Parse) -> Vec<Use> {
    let mut out = Vec::new();
    for line in parse.all_lines() {
        for hole in line.holes(PlaceholderKind::Name) {
            let Some(space) = SPACES.into_iter().find(|s| *s == hole.slot.label) else { continue };
            let text = hole.text().to_owned();
            let owner = owner(line, space);
            let name = QualifiedName { space, text, owner };
            out.push(Use { span: hole.span(), name, defines: hole.slot.defines });
        }
    }
    out
}

fn owner(line: StatementRef<'_>, space: &str) -> Option<String> {
    match space {
        "step" => step_owner(line),
        "variant" => bracket_of(line),
        _ => None,
    }
}

/// The arch or the sequence in which a step's name is resolved. Elastics belong to both arches.
fn step_owner(line: StatementRef<'_>) -> Option<String> {
    let mut at = Some(line);
    while let Some(here) = at {
        if let Some(arch) = arch_of(here) {
            return Some(arch.word().to_owned());
        }
        if let Some(line) = SequenceLine::cast(here) {
            return Some(line.sequence.text().to_owned());
        }
        at = here.parent();
    }
    None
}

fn bracket_of(line: StatementRef<'_>) -> Option<String> {
    let named = |line: StatementRef<'_>| {
        let bracket = line.holes(PlaceholderKind::Name).find(|name| name.slot.label == "bracket");
        bracket.map(|name| name.text().to_owned())
    };
    named(line).or_else(|| line.parent().and_then(named))
}

/// The name at an offset.
pub fn at(parse: &Parse, offset: usize) -> Option<Use> {
    let item = item_at(parse, offset)?;
    let slot = item.slot.filter(|slot| slot.hole == PlaceholderKind::Name)?;
    let space = SPACES.into_iter().find(|s| *s == slot.label)?;
    let text = parse.text(item.item.span).to_owned();
    let name = QualifiedName { space, text, owner: owner(item.line, space) };
    Some(Use { span: item.item.span, name, defines: slot.defines })
}

/// One of the files to look at: its tree, and the sequences its arches follow.
#[derive(Debug, Clone, Copy)]
pub struct Scope<'a> {
    pub parse: &'a Parse,
}

impl Scope<'_> {
    /// Which sequence an arch of this file follows.
    fn followed(self, arch: &str) -> Option<String> {
        let arch = self.parse.lines().find(|l| l.keyword() == Some(arch))?;
        let follow = arch.children().find(|l| l.is(StatementKind::Follow))?;
        FollowLine::cast(follow).map(|line| line.sequence.text().to_owned())
    }

    /// The owner that really defines a step: the arch itself if it adds the step, else the
    /// sequence it follows.
    fn true_owner(self, name: &QualifiedName) -> Option<String> {
        let owner = name.owner.as_deref()?;
        if !ARCHES.contains(&owner) {
            return Some(owner.to_owned());
        }
        let adds = self.parse.lines().filter(|l| l.keyword() == Some(owner)).any(|arch| {
            let mut steps = arch.children().filter_map(StepLine::cast);
            steps.any(|line| line.step.text() == name.text)
        });
        if adds { Some(format!("own {owner}")) } else { self.followed(owner) }
    }

    /// The same name, however each file says whose it is.
    fn resolved(self, name: &QualifiedName) -> QualifiedName {
        if name.space != "step" {
            return name.clone();
        }
        QualifiedName { owner: self.true_owner(name), ..name.clone() }
    }

    /// Whether a use in this file refers to that name, which may be defined in another file.
    fn means(self, used: &QualifiedName, wanted: &QualifiedName) -> bool {
        if used.space != wanted.space || used.text != wanted.text {
            return false;
        }
        if used.space != "step" {
            return used.owner == wanted.owner;
        }
        match used.owner {
            Some(_) => self.true_owner(used) == wanted.owner,
            // Elastics and acceptances may refer to a step of either arch.
            None => ARCHES.into_iter().any(|arch| {
                let there = QualifiedName { owner: Some(arch.to_owned()), ..used.clone() };
                self.true_owner(&there) == wanted.owner
            }),
        }
    }
}

/// What a name at a place means, for [`find`] in this and other files.
pub fn meaning(scope: Scope<'_>, used: &Use) -> QualifiedName {
    let mut name = scope.resolved(&used.name);
    if name.space == "step" && name.owner.is_none() {
        let in_arch =
            |arch: &str| QualifiedName { owner: Some(arch.to_owned()), ..used.name.clone() };
        name.owner = ARCHES.into_iter().find_map(|a| scope.true_owner(&in_arch(a)));
    }
    name
}

/// Every occurrence of that name in a file.
pub fn find(scope: Scope<'_>, wanted: &QualifiedName) -> Vec<Use> {
    uses(scope.parse).into_iter().filter(|used| scope.means(&used.name, wanted)).collect()
}

/// Whether a text can be a name here; otherwise why not.
pub fn check_new(text: &str) -> Result<(), String> {
    let looks_right = text.chars().next().is_some_and(char::is_alphabetic)
        && text.chars().all(|c| c.is_alphanumeric() || c == '-')
        && !text.ends_with('-')
        && !text.contains("--");
    if !looks_right {
        return Err(format!(
            "`{text}` cannot be a name: use letters and digits, with hyphens between them, starting with a \
             letter."
        ));
    }
    let tree = springline_lang::syntax::parse(
        springline_lang::text::FileId(0),
        &format!("springline 1\nhouse \"x\"\nsequence {text} {{\n}}\n"),
    );
    let reads =
        tree.findings.is_empty() && uses(&tree).iter().any(|u| u.defines && u.name.text == text);
    if reads {
        Ok(())
    } else {
        Err(format!("`{text}` cannot be a name: the language reads it as something else."))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::features::testing::Sample;

    fn found(marked: &str) -> Vec<(String, bool)> {
        let sample = Sample::new(marked);
        let parse = sample.analysed().parse();
        let scope = Scope { parse };
        let here = at(parse, sample.offset).expect("a name");
        let wanted = meaning(scope, &here);
        let line = |span: Span| {
            let before = &parse.source[..span.start as usize];
            let start = before.rfind('\n').map_or(0, |i| i + 1);
            before[start..].trim().to_owned()
        };
        find(scope, &wanted).into_iter().map(|u| (line(u.span), u.defines)).collect()
    }

    const HOUSE: &str = "springline 1\nhouse \"x\"\n\
        wire thin superelastic-niti, round 0.014 in\nwire wide steel, round 0.018 in\n\
        sequence a {\n  step one as align, wire thin, until passive, next 6 wk\n}\n\
        sequence b {\n  step one as align, wire wide, until passive, next 6 wk\n}\n";

    #[test]
    fn a_wire_is_found_where_it_is_defined_and_used() {
        let marked = HOUSE.replacen("wire thin,", "wire ¦thin,", 1);
        assert_eq!(
            found(&marked),
            [("wire".to_owned(), true), ("step one as align, wire".to_owned(), false)]
        );
    }

    #[test]
    fn steps_of_the_same_name_in_two_sequences_are_two() {
        let marked = HOUSE.replacen("step one", "step ¦one", 1);
        assert_eq!(found(&marked).len(), 1);
    }

    #[test]
    fn a_step_of_an_arch_is_known_to_elastics() {
        let case = "springline 1\ncase \"SM-1\"\nuse saltmarsh\nupper {\n  follow usual\n\
            \x20 step extra as work after level, wire niti-16, until doctor-decides, next 6 wk\n}\n\
            elastics class-2 {\n  from ¦extra\n}\n";
        let got = found(case);
        assert_eq!(got.len(), 2, "{got:?}");
        assert!(got[0].1);
    }

    #[test]
    fn new_names_are_names() {
        for good in ["niti-14", "Bogen", "été"] {
            assert_eq!(check_new(good), Ok(()), "{good}");
        }
        for bad in ["", "two words", "12", "x4", "-a", "a-", "UR3", "a--b", "a\"b"] {
            assert!(check_new(bad).is_err(), "{bad}");
        }
    }
}
