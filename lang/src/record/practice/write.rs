//! The text of a practice file, formatted.

use super::{
    Closing, PracticeAnswers, SlotSize, menu, minutes_text, no_sequence, prescription, sequence,
};
use springline_syntax as syntax;
use springline_syntax::vocabulary::ROWS;
use springline_syntax::{format, parse};
use springline_text::FileId;
use springline_units::tooth::{Notation, Tooth};

/// First and second molars, which carry tubes.
const MOLARS: [u32; 8] = [17, 16, 26, 27, 37, 36, 46, 47];

/// Columns of a comment.
const WIDTH: usize = 96;

impl PracticeAnswers {
    /// The file; `None` while an answer is missing that nothing can be written without.
    pub fn write(&self) -> Option<String> {
        let (slot, closing) = (self.slot?, self.closing?);
        if self.wires.is_empty() {
            return None;
        }
        let mut out = TextWriter(String::new());
        self.head(&mut out);
        self.clinic(&mut out);
        self.brackets(&mut out, slot, closing);
        self.drawer(&mut out);
        self.usual(&mut out);
        let options = syntax::FormatOptions { notation: Some(self.notation) };
        format(&parse(FileId(0), &out.0), &options).ok()
    }

    fn head(&self, out: &mut TextWriter) {
        out.line("springline 1");
        out.line(&format!("practice \"{}\"", self.title));
        out.comment(
            "What all cases of the practice share, written from your answers and yours to change. \
             `springline explain WORD` explains a word; `springline check FILE` checks the file.",
        );
        out.line("defaults 1");
        out.line(match self.notation {
            Notation::Iso => "notation iso",
            Notation::Quadrant => "notation quadrant",
            Notation::Universal => "notation universal",
        });
        if let Some(form) = &self.chart {
            out.line(&format!("chart \"{form}\""));
        }
        if let Some(doctor) = &self.doctor {
            out.line(&format!("doctor {doctor}"));
        }
        if let Some(number) = self.telephone.as_ref().filter(|_| has_telephone()) {
            out.line(&format!("telephone \"{number}\""));
        }
    }

    fn clinic(&self, out: &mut TextWriter) {
        out.blank();
        out.comment(
            "When patients are seen. For closed days add lines such as `closed DATE..DATE`.",
        );
        out.line(&format!("clinic {}", self.clinic.join(", ")));
        match self.chair_minutes {
            Some(minutes) => out.line(&format!("chair-time {}", minutes_text(minutes))),
            None => out.comment(
                "Chair time was not given: with a line such as `chair-time 480 min` the day list flags a day booked \
                 for more.",
            ),
        }
        out.comment(
            "Intervals, minutes per task and limits were not asked for: the built-in defaults apply. \
             `springline explain interval`, `task` and `limit` show how to write your own.",
        );
    }

    fn brackets(&self, out: &mut TextWriter, slot: SlotSize, closing: Closing) {
        out.blank();
        if self.prescription.0.is_empty() {
            out.comment(
                "No prescription was given, so no torque or tip is written or assumed. To add it, write lines such \
                 as `torque ANGLE crown-labial on TEETH` and `tipped ANGLE mesial on TEETH`.",
            );
        } else {
            out.comment(
                "Torque and tip from your table, with its signs in words: compare them. Teeth that no line names \
                 have none.",
            );
        }
        out.comment(
            "Widths were not asked for: 3 mm is assumed, 2.5 mm on lower incisors, 4 mm for tubes.",
        );
        out.line("bracket standard {");
        out.line(match closing {
            Closing::Passive => "slide passive",
            Closing::Active => "clip active",
            Closing::Ligated => "ligated",
        });
        out.line(&format!("slot {}", slot.text()));
        self.angles(out, false);
        if !self.hooks.is_empty() {
            out.line(&format!("hook on {}", prescription::list(&self.hooks, self.notation)));
        }
        out.line("}");
        out.comment("Molar tubes, each with a hook: remove the teeth whose tubes have none.");
        out.line("tube molar {");
        out.line(&format!("slot {}", slot.text()));
        self.angles(out, true);
        let molars: Vec<Tooth> = MOLARS.into_iter().filter_map(Tooth::iso).collect();
        out.line(&format!("hook on {}", prescription::list(&molars, self.notation)));
        out.line("}");
    }

    fn angles(&self, out: &mut TextWriter, molars: bool) {
        let table = &self.prescription;
        table.lines(molars, self.notation).iter().for_each(|l| out.line(l));
        let none = table.without_torque(molars);
        if !none.is_empty() {
            out.comment(&format!("No torque: {}.", prescription::list(&none, self.notation)));
        }
    }

    fn drawer(&self, out: &mut TextWriter) {
        out.blank();
        out.comment(
            "Wires by alloy and size; if you have a bending test of a wire, add it to its line.",
        );
        let mut wires = self.wires.clone();
        let alloy = |w: &super::PlainWire| {
            use springline_model::stock::Alloy::*;
            [ThermalNiti, SuperelasticNiti, MultistrandSteel, BetaTitanium, CobaltChromium, Steel]
                .iter()
                .position(|a| *a == w.alloy)
        };
        wires.sort_by_key(|w| (alloy(w), w.size));
        wires.iter().for_each(|w| out.line(&w.line()));
        if !self.coils.is_empty() {
            out.blank();
            out.comment("Forces and lengths are typical ones: compare them with the packet.");
            self.coils.iter().filter_map(|n| menu::piece_line(n)).for_each(|l| out.line(l));
        }
        if !self.elastics.is_empty() {
            out.blank();
            self.elastics.iter().filter_map(|n| menu::elastic_line(n)).for_each(|l| out.line(&l));
        }
    }

    fn usual(&self, out: &mut TextWriter) {
        out.blank();
        match self.sequence() {
            Some(Ok(usual)) => {
                out.comment(sequence::CHOSEN);
                usual.lines().iter().for_each(|l| out.line(l));
            }
            Some(Err(missing)) => {
                out.comment(&no_sequence(&missing));
                out.comment("`springline explain sequence` shows how to write one.");
            }
            None => {}
        }
    }
}

fn has_telephone() -> bool {
    ROWS.iter().any(|r| r.pattern.starts_with("telephone "))
}

struct TextWriter(String);

impl TextWriter {
    fn line(&mut self, text: &str) {
        self.0.push_str(text);
        self.0.push('\n');
    }

    fn blank(&mut self) {
        self.0.push('\n');
    }

    /// A comment, broken into lines.
    fn comment(&mut self, text: &str) {
        let mut line = String::from("//");
        for word in words(text) {
            if line.chars().count() + 1 + word.chars().count() > WIDTH {
                self.line(&line);
                line = String::from("//");
            }
            line.push(' ');
            line.push_str(&word);
        }
        self.line(&line);
    }
}

/// Words, what stands between two backticks being one.
fn words(text: &str) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    let mut open = false;
    for word in text.split_whitespace() {
        match out.last_mut().filter(|_| open) {
            Some(last) => {
                last.push(' ');
                last.push_str(word);
            }
            None => out.push(word.to_owned()),
        }
        open ^= word.matches('`').count() % 2 == 1;
    }
    out
}
