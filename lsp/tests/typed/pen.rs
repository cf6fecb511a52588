//! A plan typed as an editor sends it: braces and quotes are closed by the editor, Enter between braces
//! opens a line, indentation is kept, and what is closed already is stepped over.

/// One thing the hand does.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Stroke {
    /// A key that changes the text: what is put in at the cursor.
    Key(String),
    /// The cursor goes on without a change: over a quote or a brace that the editor has closed.
    Move,
}

/// The text in an editor while a plan is typed. What stands before the cursor is always the beginning of
/// the plan.
pub struct Pen<'a> {
    plan: &'a str,
    pub before: usize,
    pub after: String,
    in_text: bool,
    in_comment: bool,
}

impl<'a> Pen<'a> {
    pub fn new(plan: &'a str) -> Pen<'a> {
        Pen { plan, before: 0, after: String::new(), in_text: false, in_comment: false }
    }

    pub fn text(&self) -> String {
        format!("{}{}", self.written(), self.after)
    }

    pub fn written(&self) -> &'a str {
        &self.plan[..self.before]
    }

    /// Line and character of the cursor; plans that are typed here are ASCII.
    pub fn position(&self) -> (usize, usize) {
        position(self.written())
    }

    /// The next stroke; `None` when the plan is written.
    pub fn stroke(&mut self) -> Option<Stroke> {
        let rest = &self.plan[self.before..];
        let next = rest.chars().next()?;
        if self.in_comment && next != '\n' {
            return Some(self.put(next.to_string(), 1, ""));
        }
        Some(match next {
            '"' if self.in_text => {
                self.in_text = false;
                self.step_over(1)
            }
            '"' => {
                self.in_text = true;
                self.put("\"\"".to_owned(), 1, "\"")
            }
            _ if self.in_text => self.put(next.to_string(), 1, ""),
            '{' => self.put("{}".to_owned(), 1, "}"),
            '}' if self.after.starts_with('}') => self.step_over(1),
            '\n' => self.enter(rest),
            '/' if rest.starts_with("//") => {
                self.in_comment = true;
                self.put("/".to_owned(), 1, "")
            }
            other => self.put(other.to_string(), 1, ""),
        })
    }

    fn enter(&mut self, rest: &str) -> Stroke {
        self.in_comment = false;
        let blanks = rest[1..].len() - rest[1..].trim_start_matches(' ').len();
        let line = &rest[..=blanks];
        let closes = rest[line.len()..].starts_with('}');
        if closes && self.after.starts_with(&format!("{line}}}")) {
            return self.step_over(line.len() + 1);
        }
        let between = self.written().ends_with('{') && self.after.starts_with('}');
        if between {
            let behind = format!("\n{}", " ".repeat(blanks.saturating_sub(2)));
            return self.put(format!("{line}{behind}"), line.len(), &behind);
        }
        let kept = blanks.min(indent(self.written()).len());
        self.put(rest[..=kept].to_owned(), kept + 1, "")
    }

    fn put(&mut self, key: String, goes: usize, behind: &str) -> Stroke {
        self.before += goes;
        self.after.insert_str(0, behind);
        Stroke::Key(key)
    }

    fn step_over(&mut self, goes: usize) -> Stroke {
        self.before += goes;
        self.after.drain(..goes);
        Stroke::Move
    }
}

fn indent(text: &str) -> String {
    let line = text.rsplit('\n').next().unwrap_or_default();
    line.chars().take_while(|c| *c == ' ').collect()
}

pub fn position(text: &str) -> (usize, usize) {
    let start = text.rfind('\n').map_or(0, |i| i + 1);
    (text.matches('\n').count(), text.len() - start)
}

#[test]
fn a_plan_is_written_as_it_is() {
    let plan = "case \"x\" // a {b}\nupper {\n  change align {\n    hook 13\n  }\n}\nretain {\n  check 3 mo\n}\n";
    let mut pen = Pen::new(plan);
    let mut text = String::new();
    loop {
        let at = pen.before;
        match pen.stroke() {
            None => break,
            Some(Stroke::Move) => {}
            Some(Stroke::Key(key)) => text.insert_str(at, &key),
        }
        assert_eq!(text, pen.text());
    }
    assert_eq!(text, plan);
}
