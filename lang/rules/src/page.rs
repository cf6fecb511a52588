//! Rule pages: the documentation of a rule, with the examples that test it.
//!
//! `<rule>.md` is next to `<rule>.rs` and readable in any Markdown viewer. This module is its only
//! parser: tests, `explain`, the editor, SARIF, the reference page and the gallery all use it.
//!
//! A page has a heading (code and title), five items, then examples. An example is a plan in a `spring`
//! block, with the mark `// <- here` at the end of the line that must be reported, and a `diff` block for
//! each change after which nothing is reported. Text may come between the blocks. An item is one line of
//! the file.

use std::fmt;

/// Ends the line of a failing example at which the finding must be.
pub const HERE: &str = "// <- here";

/// The contents of a rule page, as written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RulePage<'a> {
    /// The rule's code as the heading has it.
    pub code: &'a str,
    /// The fault in one line.
    pub title: &'a str,
    /// What the rule looks at and which figure it compares with which limit.
    pub finds: &'a str,
    /// Why it matters to the patient.
    pub why: &'a str,
    pub what_to_do: &'a str,
    /// When a doctor may well accept it.
    pub accept_when: &'a str,
    /// Published source, or "common practice, no source".
    pub source: &'a str,
    pub examples: Vec<Example<'a>>,
}

/// A small case in which the rule must find something, and changes after which it must not. Both use the
/// practice of `saltmarsh.spring`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Example<'a> {
    pub failing: &'a str,
    pub changes: Vec<ExampleChange<'a>>,
}

/// Lines of a `diff` block: `-` removes, `+` inserts, a line with a leading blank is context.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ExampleChange<'a>(pub &'a str);

/// A removed or context line that the example does not have from there on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NoSuchLine(pub String);

impl fmt::Display for NoSuchLine {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "the example has no line `{}` from there on", self.0)
    }
}

impl<'a> RulePage<'a> {
    /// No accept answers such a finding: it can only be mended.
    pub fn is_never_accepted(&self) -> bool {
        self.accept_when.starts_with("Never")
    }

    /// Reads a page. What it lacks is empty: a test holds every rule's page to have all of it.
    pub fn read(text: &'a str) -> Self {
        let mut parts = text.split("```");
        let head = parts.next().unwrap_or_default();
        let heading = head.lines().find_map(|l| l.strip_prefix("# ")).unwrap_or_default();
        let (code, title) = heading.split_once(": ").unwrap_or((heading, ""));
        let mut examples: Vec<Example<'a>> = Vec::new();
        // After the first fence every second part is the inside of a block.
        for (language, body) in parts.step_by(2).filter_map(|block| block.split_once('\n')) {
            match (language.trim_end(), examples.last_mut()) {
                ("spring", _) => examples.push(Example { failing: body, changes: Vec::new() }),
                ("diff", Some(example)) => example.changes.push(ExampleChange(body)),
                _ => {}
            }
        }
        Self {
            code,
            title,
            finds: item(head, "Finds"),
            why: item(head, "Why it matters"),
            what_to_do: item(head, "What to do"),
            accept_when: item(head, "Accept when"),
            source: item(head, "Source"),
            examples,
        }
    }

    /// The text of the first example in which the rule finds something.
    pub fn failing(&self) -> &'a str {
        self.examples.first().map_or("", |e| e.failing)
    }
}

/// The text of the item of that name.
fn item<'a>(head: &'a str, name: &str) -> &'a str {
    let said = |l: &'a str| l.strip_prefix("- **")?.strip_prefix(name)?.strip_prefix("**: ");
    head.lines().find_map(said).unwrap_or_default()
}

impl Example<'_> {
    /// The line that carries the mark, counted from 1.
    pub fn marked_line(&self) -> Option<usize> {
        self.failing.lines().position(|l| l.ends_with(HERE)).map(|n| n + 1)
    }

    /// The text after a change, without the mark.
    ///
    /// # Errors
    /// The first line of the change that the example does not have.
    pub fn after(&self, change: ExampleChange<'_>) -> Result<String, NoSuchLine> {
        let mut rest = self.failing.lines().map(unmarked);
        let mut out: Vec<&str> = Vec::new();
        for line in change.0.lines() {
            let (sign, line) = line.split_at_checked(1).unwrap_or((" ", line));
            if sign != "+" {
                let before = rest.clone().position(|l| l == line);
                let before = before.ok_or_else(|| NoSuchLine(line.to_owned()))?;
                out.extend(rest.by_ref().take(before));
                rest.next();
            }
            if sign != "-" {
                out.push(line);
            }
        }
        out.extend(rest);
        Ok(out.into_iter().flat_map(|l| [l, "\n"]).collect())
    }
}

fn unmarked(line: &str) -> &str {
    line.strip_suffix(HERE).map_or(line, str::trim_end)
}

#[cfg(test)]
mod tests {
    use super::*;

    const PAGE: &str = "# force/peak: force too high\n\n- **Finds**: The largest: force.\n- **Source**: none\n\n\
        Reported:\n\n```spring\nupper {\n  a\n  a // <- here\n}\n```\n\nNot reported:\n\n```diff\n-  a\n```\n\nNor:\n\n\
        ```diff\n   a\n-  a\n+  b\n+  c\n```\n\nAlso reported:\n\n```spring\nx\n```\n";

    #[test]
    fn a_page_is_read_as_it_stands() {
        let page = RulePage::read(PAGE);
        assert_eq!((page.code, page.title), ("force/peak", "force too high"));
        assert_eq!((page.finds, page.why, page.source), ("The largest: force.", "", "none"));
        assert_eq!(page.failing(), "upper {\n  a\n  a // <- here\n}\n");
        assert_eq!(page.examples.iter().map(|e| e.changes.len()).collect::<Vec<_>>(), [2, 0]);
    }

    #[test]
    fn a_change_takes_the_next_such_line() {
        let page = RulePage::read(PAGE);
        let example = &page.examples[0];
        assert_eq!(example.marked_line(), Some(3));
        assert_eq!(example.after(example.changes[0]).unwrap(), "upper {\n  a\n}\n");
        assert_eq!(example.after(example.changes[1]).unwrap(), "upper {\n  a\n  b\n  c\n}\n");
        assert_eq!(example.after(ExampleChange("-}\n-  a\n")), Err(NoSuchLine("  a".into())));
    }

    #[test]
    fn anything_can_be_read() {
        for text in ["", "#", "# ", "```", "``````", "```diff\n-\n```", "```spring```diff\né\n"] {
            let page = RulePage::read(text);
            for example in &page.examples {
                for change in &example.changes {
                    let _ = example.after(*change);
                }
            }
        }
    }
}
