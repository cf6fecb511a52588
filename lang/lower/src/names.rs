//! Name resolution: looks names up in the namespace of their place, and suggests the nearest on failure.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::duplicates;
use super::read::LoweringContext;
use springline_finding::Finding;
use springline_model::stock::Name;
use springline_syntax::ast::NameField;
use springline_syntax::tree::StatementRef;
use springline_text::Place;
use springline_text::nearest::nearest;

/// A kind of name: brackets and tubes share one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Namespace {
    /// "wire", "sequence".
    pub noun: &'static str,
    /// Where such things are defined: "in the drawer of", "in the house file of".
    pub home: &'static str,
    pub unknown: &'static str,
}

macro_rules! namespaces {
    ($($name:ident: $noun:literal, $home:literal, $code:literal;)*) => {
        $(pub const $name: Namespace = Namespace { noun: $noun, home: $home, unknown: $code };)*
    };
}

namespaces! {
    WIRE: "wire", "in the practice file of", "name/unknown-wire";
    BRACKET: "bracket or tube", "in the practice file of", "name/unknown-bracket";
    COIL: "coil", "in the practice file of", "name/unknown-coil";
    ELASTIC: "elastic", "in the practice file of", "name/unknown-elastic";
    CHAIN: "chain", "in the practice file of", "name/unknown-chain";
    FORM: "arch form", "in the practice file of", "name/unknown-form";
    SEQUENCE: "sequence", "in the practice file of", "name/unknown-sequence";
    VARIANT: "variant", "of", "name/unknown-variant";
}

impl LoweringContext<'_> {
    /// The thing of that name, or a finding with the nearest ones.
    pub fn lookup<T>(
        &mut self,
        field: NameField<'_>,
        space: Namespace,
        stock: &BTreeMap<Name, Arc<T>>,
        house: &str,
    ) -> Option<Arc<T>> {
        let name = field.text();
        if let Some(found) = stock.get(name) {
            return Some(found.clone());
        }
        let names: Vec<&str> = stock.keys().map(AsRef::as_ref).collect();
        self.unknown(field, space, &names, house);
        None
    }

    /// Reports an unknown name.
    pub fn unknown(&mut self, field: NameField<'_>, space: Namespace, names: &[&str], house: &str) {
        let name = field.text();
        if self.defined_badly(field) {
            return;
        }
        let close = nearest(name, names.iter().copied());
        let mut message = format!("No {} `{name}` {} {house}.", space.noun, space.home);
        if close.is_empty() {
            message.push_str(&listing(names));
        } else {
            message.push_str(&format!(" Nearest: {}.", close.join(", ")));
        }
        let mut finding = Finding::error(space.unknown, field.place(), message);
        let offered: Vec<&str> =
            if close.is_empty() { names.iter().copied().take(3).collect() } else { close };
        for candidate in offered {
            finding =
                finding.clinical_fix(format!("write `{candidate}`"), field.place(), candidate);
        }
        self.report(finding);
    }

    /// Whether the name is defined in this file by a line with an error of its own: one root cause, one
    /// finding.
    fn defined_badly(&self, field: NameField<'_>) -> bool {
        let hole = field.value();
        self.parse.lines().any(|line| {
            let defines = line.group().field_values().any(|c| {
                c.slot.defines && c.slot.label == hole.slot.label && c.text() == hole.text()
            });
            let unread =
                !line.is_read() && line.text().split([' ', ',']).nth(1) == Some(hole.text());
            defines || unread
        })
    }

    /// The thing of that name, where one is named. Outer `None`: it is named and there is none.
    #[allow(clippy::option_option)]
    pub fn lookup_if_said<T>(
        &mut self,
        field: Option<NameField<'_>>,
        space: Namespace,
        stock: &BTreeMap<Name, Arc<T>>,
        house: &str,
    ) -> Option<Option<Arc<T>>> {
        match field {
            Some(field) => self.lookup(field, space, stock, house).map(Some),
            None => Some(None),
        }
    }

    /// A name defined a second time.
    pub fn doubled(&mut self, what: &str, name: &str, second: Place, first: Option<Place>) {
        let mut finding = Finding::error(
            "name/doubled",
            second,
            format!("The {what} `{name}` is defined twice."),
        )
        .why("Only one of them could count, and a reader could not tell which.");
        if let Some(first) = first {
            finding = finding.related(first, "first defined here");
        }
        self.report(finding);
    }

    /// A single-valued statement that occurs a second time.
    pub fn said_twice(&mut self, what: &str, second: Place, first: Option<Place>) {
        let mut finding = duplicates::said_twice(&format!("{what} is given twice."), second, first);
        let line = |place: Place| self.parse.all_lines().find(|line| line.place() == place);
        if let (Some(old), Some(new)) = (first.and_then(line), line(second)) {
            let single = |line: StatementRef<'_>| {
                let teeth = line.items().iter().filter_map(|item| item.teeth());
                teeth.map(|t| if t.last.is_some() { 2 } else { 1 }).sum::<usize>() < 2
            };
            // Of a list of teeth the others would go with the one.
            finding = duplicates::fixes(finding, old, new, single(new), single(old));
        }
        self.report(finding);
    }
}

/// " There are: a, b, c." for short lists.
fn listing(names: &[&str]) -> String {
    match names.len() {
        0 => " There are none.".to_owned(),
        1..=12 => format!(" There are: {}.", names.join(", ")),
        n => format!(
            " There are {n}, among them {}.",
            names.iter().take(6).copied().collect::<Vec<_>>().join(", ")
        ),
    }
}
