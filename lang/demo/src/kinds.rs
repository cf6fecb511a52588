//! Kinds of patients, and how a plan for each is written.

use jiff::ToSpan as _;
use jiff::civil::Date;

use super::clinic_days;
use super::draw::Draw;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DemoKind {
    Crowding,
    LowerCrowding,
    HighCanine,
    Midline,
    DeepBite,
    ClassTwo,
    TurnedPremolar,
    BlockedLateral,
    PremolarsOut,
}

/// How many of a hundred patients; common practice, no source.
const MIX: [(DemoKind, u32); 9] = [
    (DemoKind::Crowding, 48),
    (DemoKind::LowerCrowding, 14),
    (DemoKind::HighCanine, 8),
    (DemoKind::Midline, 6),
    (DemoKind::DeepBite, 6),
    (DemoKind::ClassTwo, 6),
    (DemoKind::TurnedPremolar, 4),
    (DemoKind::BlockedLateral, 4),
    (DemoKind::PremolarsOut, 4),
];

/// One arch's plan.
pub struct ArchPlan {
    pub upper: bool,
    pub starts: Option<Date>,
    /// Lines of the block before its steps.
    lines: Vec<String>,
    follow: &'static str,
    changes: Vec<String>,
    /// Steps and wires in order, as far as visits are written.
    pub steps: Vec<(&'static str, &'static str)>,
    /// The tooth to find binding.
    pub worst: String,
}

pub struct Patient {
    pub kind: DemoKind,
    pub growing: bool,
    doctor: &'static str,
    pub start: Date,
    bite: Vec<String>,
    goal: Vec<String>,
    pub arches: Vec<ArchPlan>,
    elastics: Option<String>,
    /// Visits written at most.
    pub most_visits: usize,
}

const USUAL: [(&str, &str); 4] = [
    ("align", "thermal-16"),
    ("level", "niti-16x22"),
    ("work", "beta-18x25"),
    ("finish", "beta-18x25"),
];
const FIRM: [(&str, &str); 5] = [
    ("align", "thermal-16"),
    ("level", "niti-16x22"),
    ("level-2", "niti-18x25"),
    ("work", "steel-19x25"),
    ("finish", "beta-18x25"),
];

impl ArchPlan {
    fn new(upper: bool, firm: bool) -> ArchPlan {
        let (right, left) = if upper { (1, 2) } else { (4, 3) };
        ArchPlan {
            upper,
            starts: None,
            lines: vec![
                format!("bonded {right}5..{left}5 with twin"),
                format!("tubes {right}6, {left}6 with molar"),
            ],
            follow: if firm { "firm" } else { "usual" },
            changes: Vec::new(),
            steps: if firm { FIRM.to_vec() } else { USUAL.to_vec() },
            worst: format!("{right}2"),
        }
    }

    /// A line of the block, such as a tooth out of line.
    fn with(mut self, line: impl Into<String>) -> ArchPlan {
        self.lines.push(line.into());
        self
    }

    fn changing(mut self, change: impl Into<String>) -> ArchPlan {
        self.changes.push(change.into());
        self
    }

    /// That many front teeth out of line.
    fn crowded(mut self, draw: &mut Draw, teeth: i64, most_mm: f64) -> ArchPlan {
        let quadrants = if self.upper { [1, 2] } else { [4, 3] };
        let inwards = if self.upper { "palatal" } else { "lingual" };
        let mut places = vec![(0, 2), (0, 1), (1, 1), (1, 2)];
        if most_mm > 1.0 && draw.chance(25) {
            places.push((draw.between(0, 1) as usize, 3));
        }
        while places.len() > teeth.max(1) as usize {
            let at = draw.between(0, places.len() as i64 - 1) as usize;
            places.remove(at);
        }
        let mut largest = 0.0;
        for (side, position) in places {
            let tooth = format!("{}{position}", quadrants[side]);
            let canine = position == 3;
            let mut parts = Vec::new();
            let mut off = 0.0;
            if draw.chance(75) {
                let out = canine || draw.chance(35);
                let by = draw.halves(0.5, if out { 1.0 } else { most_mm });
                off = by.parse().unwrap_or(0.0);
                parts.push(format!("{} {by} mm", if out { "labial" } else { inwards }));
            }
            if parts.is_empty() || draw.chance(45) {
                let way = if draw.chance(70) && !canine { "mesial-in" } else { "mesial-out" };
                parts.push(format!("rotated {} deg {way}", draw.fives(5, 20)));
            }
            if off >= largest {
                (largest, self.worst) = (off, tooth.clone());
            }
            self.lines.push(format!("tooth {tooth} {}", parts.join(", ")));
        }
        self
    }

    fn text(&self) -> String {
        let mut out = format!("{} {{\n", if self.upper { "upper" } else { "lower" });
        if let Some(start) = self.starts {
            out += &format!("  start {start}\n");
        }
        for line in &self.lines {
            out += &format!("  {line}\n");
        }
        out += &format!("  follow {}\n", self.follow);
        for change in &self.changes {
            for line in change.lines() {
                out += &format!("  {line}\n");
            }
        }
        out + "}\n"
    }
}

impl Patient {
    pub fn draw(draw: &mut Draw, today: Date) -> Patient {
        let kind = draw.weighted(&MIX);
        let early = matches!(
            kind,
            DemoKind::BlockedLateral | DemoKind::PremolarsOut | DemoKind::TurnedPremolar
        );
        // Far enough back for visits, near enough that nobody is done.
        let back = if early { draw.between(5, 75) } else { draw.between(5, 420) };
        let start = clinic_days::open_before(today.checked_sub(back.days()).unwrap_or(today));
        let mut patient = Patient {
            kind,
            growing: draw.chance(60),
            doctor: draw.one(&["KL", "RB"]),
            start,
            bite: vec![
                format!("overjet {} mm", draw.halves(2.0, 3.5)),
                format!("overbite {} mm", draw.halves(2.0, 3.5)),
                "molars class-1".to_owned(),
            ],
            goal: vec!["overjet 2.5 mm".to_owned(), "extraction none".to_owned()],
            arches: Vec::new(),
            elastics: None,
            most_visits: if early { 1 } else { 10 },
        };
        patient.plan(draw);
        patient
    }

    /// The working wire only settles and waits for the doctor: nothing is closed, and no bite is corrected on it.
    pub fn works_by_time(&self) -> bool {
        matches!(
            self.kind,
            DemoKind::Crowding
                | DemoKind::LowerCrowding
                | DemoKind::HighCanine
                | DemoKind::Midline
                | DemoKind::TurnedPremolar
        )
    }

    fn plan(&mut self, draw: &mut Draw) {
        let upper =
            |draw: &mut Draw, teeth: i64| ArchPlan::new(true, false).crowded(draw, teeth, 1.5);
        let lower =
            |draw: &mut Draw, teeth: i64| ArchPlan::new(false, false).crowded(draw, teeth, 1.5);
        match self.kind {
            DemoKind::Crowding => {
                let (a, b) = (draw.between(1, 4), draw.between(1, 4));
                self.goal.push("incisors forward".to_owned());
                self.arches = vec![upper(draw, a), lower(draw, b)];
                if draw.chance(30) {
                    self.arches[1].changes.push("change align, next 10..12 wk".to_owned());
                }
            }
            DemoKind::LowerCrowding => {
                self.goal.push("incisors forward".to_owned());
                let n = draw.between(2, 4);
                let reduce = "change level {\n  ipr 0.2 mm each between 43 and 33\n}";
                self.arches = vec![upper(draw, 1), lower(draw, n).changing(reduce)];
            }
            DemoKind::HighCanine => {
                let side = draw.one(&["13", "23"]);
                let high = format!(
                    "tooth {side} gingival {} mm, labial {} mm",
                    draw.halves(1.5, 3.0),
                    draw.halves(0.5, 1.0)
                );
                let mut arch = ArchPlan::new(true, false)
                    .with(high)
                    .changing("change align, wire niti-12, next 10..12 wk")
                    .changing(
                        "step align-2 as align after align, wire niti-14, ends turned-in slack 2 mm, \
                         until passive, next 8 wk",
                    );
                arch.steps[0].1 = "niti-12";
                arch.steps.insert(1, ("align-2", "niti-14"));
                arch.worst = side.to_owned();
                let n = draw.between(1, 2);
                self.arches = vec![arch, lower(draw, n)];
            }
            DemoKind::Midline => {
                let (side, other, molar) =
                    draw.one(&[("right", "left", "16"), ("left", "right", "26")]);
                self.bite.truncate(3);
                self.goal.insert(0, "upper midline on face".to_owned());
                self.goal.push("incisors forward".to_owned());
                let n = draw.between(1, 2);
                let mut arch = upper(draw, n);
                let off = draw.halves(1.0, 2.0);
                arch = arch.with(format!("midline {off} mm to patient-{side} of face"));
                // The wire that comes free on that side runs past the midline; the other side stands in line.
                let quadrant = if side == "right" { "1" } else { "2" };
                let (lateral, canine) = (format!("{quadrant}2"), format!("{quadrant}3"));
                arch.lines.retain(|line| !line.starts_with("tooth "));
                arch.lines.push(format!(
                    "tooth {lateral} palatal {} mm, rotated {} deg mesial-in",
                    draw.halves(1.5, 2.0),
                    draw.fives(10, 15)
                ));
                arch.lines.push(format!("tooth {canine} labial 1 mm"));
                arch.worst = lateral;
                for step in ["align", "level"] {
                    arch = arch.changing(format!(
                        "change {step}, ends turned-in slack 3 mm on {other} {{\n  stop mesial of {molar}\n}}"
                    ));
                }
                let n = draw.between(1, 2);
                self.arches = vec![arch, lower(draw, n).with("midline on face")];
            }
            DemoKind::DeepBite => self.deep_bite(draw),
            DemoKind::ClassTwo => {
                let (overjet, by) = (draw.halves(4.0, 5.0), draw.halves(1.0, 2.0));
                self.growing = true;
                self.bite = vec![
                    format!("overjet {overjet} mm"),
                    format!("overbite {} mm", draw.halves(2.5, 3.5)),
                    format!("molars class-2 {by} mm"),
                    format!("canines class-2 {by} mm"),
                ];
                self.goal.insert(0, "canines class-1".to_owned());
                let (a, b) = (draw.between(1, 3), draw.between(1, 3));
                self.arches = vec![upper(draw, a), lower(draw, b)];
                self.elastics = Some(elastics("light", "14"));
            }
            DemoKind::TurnedPremolar => {
                let tooth = draw.one(&["15", "25", "45", "35"]);
                let turned = format!("tooth {tooth} rotated {} deg mesial-in", draw.fives(30, 40));
                let turn = |arch: ArchPlan| {
                    let change = format!(
                        "change align, wire niti-12, next 10..12 wk {{\n  engage {tooth} mesial-wing\n}}"
                    );
                    let step = format!(
                        "step align-2 as align after align, wire niti-14, ends turned-in slack 2 mm, \
                         until passive, next 8..10 wk {{\n  engage {tooth}\n}}"
                    );
                    let mut arch = arch.with(&turned).changing(change).changing(step);
                    arch.steps[0].1 = "niti-12";
                    arch.steps.insert(1, ("align-2", "niti-14"));
                    arch.worst = tooth.to_owned();
                    arch
                };
                let in_upper = tooth < "30";
                self.arches = match in_upper {
                    true => vec![turn(ArchPlan::new(true, false)), lower(draw, 1)],
                    false => vec![upper(draw, 1), turn(ArchPlan::new(false, false))],
                };
            }
            DemoKind::BlockedLateral => self.blocked_lateral(draw),
            DemoKind::PremolarsOut => self.premolars_out(draw),
        }
    }

    fn deep_bite(&mut self, draw: &mut Draw) {
        self.growing = true;
        self.bite = vec![
            format!("overjet {} mm", draw.halves(4.0, 5.0)),
            format!("overbite {} mm", draw.halves(5.0, 6.0)),
            "molars class-2 2 mm".to_owned(),
        ];
        self.goal = vec![
            "overjet 2.5 mm".to_owned(),
            "overbite 2.5 mm".to_owned(),
            "canines class-1".to_owned(),
            "extraction none".to_owned(),
            "incisors forward".to_owned(),
        ];
        let n = draw.between(1, 2);
        let upper = ArchPlan::new(true, true)
            .crowded(draw, n, 1.0)
            .changing("change level {\n  bite-raisers 11, 21 until overbite 3.5 mm\n}")
            .changing("change work, until overjet 2.5 mm {\n  tie 13..23 figure-eight\n}");
        let mut lower = ArchPlan::new(false, true)
            .crowded(draw, 1, 1.0)
            .changing("change work, until overbite 2.5 mm {\n  reverse-curve 2 mm\n}");
        lower.lines[1] = "tubes 47, 46, 36, 37 with molar".to_owned();
        lower.starts = Some(clinic_days::open_after(self.start, 56));
        self.arches = vec![upper, lower];
        self.elastics = Some(elastics("medium", "22"));
    }

    fn blocked_lateral(&mut self, draw: &mut Draw) {
        let (lateral, canine, central, front) =
            draw.one(&[(12, 13, 11, "11..22"), (22, 23, 21, "12..21")]);
        let bonded = if lateral == 12 { "15..13, 11..25" } else { "15..21, 23..25" };
        self.growing = true;
        self.bite.push(format!("crossbite {lateral}"));
        self.goal.insert(0, format!("crossbite-corrected {lateral}"));
        self.goal.push("incisors forward".to_owned());
        let mut upper = ArchPlan::new(true, true);
        upper.lines[0] = format!("bonded {bonded} with twin");
        upper.lines.push(format!(
            "tooth {lateral} palatal {} mm, rotated {} deg mesial-in, width 6.5 mm, space {} mm",
            draw.halves(2.0, 2.5),
            draw.fives(10, 20),
            draw.halves(4.0, 5.0)
        ));
        upper.changes = vec![
            format!(
                "change align {{\n  bypass {lateral} unbonded until space 7 mm\n  \
                 sleeve between {canine} and {central}\n  stop mesial of 11, mesial of 21\n}}"
            ),
            format!(
                "step make-space as align after align, wire niti-18, until space 7 mm at {lateral}, next 6 wk \
                 {{\n  stop mesial of 11, mesial of 21\n  tie {front} figure-eight\n  \
                 open-coil between {canine} and {central} with open-100, activated 3 mm each visit\n}}"
            ),
            format!(
                "step bring-in as align after make-space, wire keep, until within 1 mm at {lateral}, next 6 wk \
                 {{\n  open-coil between {canine} and {central}, passive\n  \
                 pick-up {lateral} with twin inverted\n  \
                 piggyback niti-12 in {lateral}, over {canine}, {central}\n  \
                 bite-raisers 36, 46 until crossbite-corrected {lateral}\n}}"
            ),
            format!(
                "step align-2 as align after bring-in, wire niti-14, until passive, next 8 wk {{\n  \
                 engage {lateral}\n}}"
            ),
        ];
        upper.worst = canine.to_string();
        upper.steps = vec![("align", "thermal-16"), ("make-space", "niti-18")];
        self.arches = vec![upper, ArchPlan::new(false, true).crowded(draw, 1, 1.0)];
    }

    fn premolars_out(&mut self, draw: &mut Draw) {
        // The site of 7 mm goes to the front alone, for the springs hang on screws: canines and overjet need it.
        let (overjet, by) = (draw.halves(9.0, 9.5), draw.halves(6.5, 7.0));
        self.growing = draw.chance(40);
        self.bite = vec![
            format!("overjet {overjet} mm"),
            "overbite 2.5 mm".to_owned(),
            format!("molars class-2 {by} mm"),
            format!("canines class-2 {by} mm"),
        ];
        self.goal = vec![
            "canines class-1".to_owned(),
            format!("molars class-2 {by} mm"),
            "overjet 2.5 mm".to_owned(),
            "extraction planned".to_owned(),
            "spaces closed".to_owned(),
        ];
        let gap = "7";
        let before = self.start.checked_sub(4.days()).unwrap_or(self.start);
        let separators =
            clinic_days::open_before(self.start.checked_sub(6.days()).unwrap_or(self.start));
        let mut upper = ArchPlan::new(true, true);
        upper.lines = vec![
            format!("extract 14, 24 before {before}"),
            format!("separators 16, 26 on {separators}"),
            "anchorage maximum".to_owned(),
            "palatal-arch 16 to 26".to_owned(),
            "mini-screw between 16 and 15".to_owned(),
            "mini-screw between 25 and 26".to_owned(),
            "banded 16, 26 with molar".to_owned(),
            "bonded 15, 13..23, 25 with twin".to_owned(),
            "tubes 17, 27 with molar".to_owned(),
            format!("tooth {} labial 1 mm, rotated 10 deg mesial-out", draw.one(&["13", "23"])),
            format!("gap {gap} mm between 15 and 13"),
            format!("gap {gap} mm between 23 and 25"),
        ];
        let held = "  laceback 16 to 13, 26 to 23\n  sleeve between 15 and 13, between 23 and 25\n";
        upper.changes = vec![
            format!("change align, ends turned-in slack 1 mm {{\n{held}}}"),
            format!("change level {{\n{held}}}"),
            format!("change level-2 {{\n{held}  records panoramic\n}}"),
            format!(
                "step level-3 as level after level-2, wire niti-16x22, until passive, next 6 wk {{\n  \
                 reposition 15, 25\n{held}}}"
            ),
            format!(
                "step level-4 as level after level-3, wire niti-18x25, until passive, next 6 wk {{\n{held}}}"
            ),
            "change work, express 5 wk, until expressed {\n  post distal of 12, distal of 22\n  \
             tie 17..15, 25..27 figure-eight\n}"
                .to_owned(),
            "step close as work after work, wire keep, ends free trimmed, until gap 0 mm between 15 and 13 and \
             gap 0 mm between 23 and 25, next 6 wk {\n  \
             tie 17..15, 25..27 figure-eight\n  \
             closing-spring screw 16 to post 12, screw 26 to post 22 with closing-150\n  trim 17, 27\n  \
             halt-if overjet under 2 mm\n}"
                .to_owned(),
            "change finish {\n  tie 16..26 figure-eight\n}".to_owned(),
        ];
        upper.worst = "13".to_owned();
        self.arches = vec![upper, ArchPlan::new(false, true).crowded(draw, 1, 1.0)];
    }

    pub fn name(&self) -> &'static str {
        match self.kind {
            DemoKind::Crowding => "crowding",
            DemoKind::LowerCrowding => "lower-crowding",
            DemoKind::HighCanine => "high-canine",
            DemoKind::Midline => "midline",
            DemoKind::DeepBite => "deep-bite",
            DemoKind::ClassTwo => "class-2",
            DemoKind::TurnedPremolar => "turned-premolar",
            DemoKind::BlockedLateral => "blocked-lateral",
            DemoKind::PremolarsOut => "premolars-out",
        }
    }

    pub fn text(&self, chart: &str) -> String {
        let mut out = format!(
            "springline 1\ncase \"{chart}\" // invented: {}\nuse {}\ndoctor {}\nstart {}\npatient {}\n",
            self.name().replace('-', " "),
            super::HOUSE_NAME,
            self.doctor,
            self.start,
            if self.growing { "growing" } else { "adult" }
        );
        for (word, lines) in [("bite", &self.bite), ("goal", &self.goal)] {
            out += &format!("{word} {{\n");
            lines.iter().for_each(|l| out += &format!("  {l}\n"));
            out += "}\n";
        }
        self.arches.iter().for_each(|a| out += &a.text());
        out += self.elastics.as_deref().unwrap_or_default();
        // A premolar that was turned in the lower arch lies outside the bonded retainer.
        let turned = |a: &ArchPlan| !a.upper && ["35", "45"].contains(&a.worst.as_str());
        let night = if self.arches.iter().any(turned) { "both" } else { "upper" };
        out += &format!("retain {{\n  fixed 43..33\n  night-time {night}\n  check 3 mo\n}}\n");
        out
    }
}

fn elastics(which: &str, hours: &str) -> String {
    format!(
        "elastics class-2 {{\n  right 13 to 46 with {which}, wear {hours} h\n  \
         left 23 to 36 with {which}, wear {hours} h\n  from work expressed\n  until overjet 2.5 mm\n  \
         longest 26 wk\n}}\n"
    )
}
