//! Test support: arches from 6 to 6 on the practice of `examples/`, in line or crowded, and what a test
//! writes into them.

use std::sync::LazyLock;

use springline_model::Case;
use springline_model::case::ArchCase;
use springline_model::provenance::{Origin, Sourced};
use springline_model::stand::{InOut, Stand, Turn, UpDown};
use springline_test_support::{case, nowhere};
use springline_units::quantity::{from_degrees, from_mm};
use springline_units::tooth::{Arch, Tooth};

const STEPS: &str = "
  step align, wire niti-14, ends turned-in, until passive, next computed
  step level, wire niti-14x25, ends turned-in, until passive, next computed
  step work, wire niti-19x25, ends turned-in, until passive, next computed
  step finish, wire beta-19x25, ends turned-in, until 12 wk, next computed
";

const UPPER: &str = "
  bonded 15..25 with twin
  tubes 16, 26 with molar
";

const LOWER: &str = "
  bonded 45..35 with twin
  tubes 46, 36 with molar
";

const CROWDED: &str = "
  tooth 43 labial 0.6 mm, rotated 5 deg mesial-in
  tooth 42 lingual 1 mm, rotated 12 deg mesial-in
  tooth 41 labial 0.6 mm, rotated 8 deg mesial-out
  tooth 31 lingual 0.7 mm, rotated 10 deg mesial-in
  tooth 32 labial 0.7 mm, rotated 10 deg mesial-out
";

/// Both arches in line.
pub fn in_line() -> Case {
    static CASE: LazyLock<Case> = LazyLock::new(|| {
        case(&format!("start 2026-09-14\nupper {{{UPPER}{STEPS}}}\nlower {{{LOWER}{STEPS}}}\n"))
    });
    CASE.clone()
}

/// One arch in line.
pub fn arch_in_line(arch: Arch) -> ArchCase {
    in_line().arch(arch).expect("both are there").clone()
}

/// A moderately crowded lower front and nothing else.
pub fn crowded_lower() -> Case {
    case(&format!("start 2026-09-14\nlower {{{LOWER}{CROWDED}{STEPS}}}\n"))
}

/// The same under an upper arch in line.
pub fn in_line_over_crowded() -> Case {
    let both = format!("upper {{{UPPER}{STEPS}}}\nlower {{{LOWER}{CROWDED}{STEPS}}}\n");
    case(&format!("start 2026-09-14\n{both}"))
}

pub fn tooth(code: u32) -> Tooth {
    Tooth::iso(code).expect("a tooth")
}

/// Signs as in the mechanics: lingual, gingival positive; degrees mesial-in positive.
pub fn stand(lingual_mm: f64, gingival_mm: f64, mesial_in_deg: f64) -> Stand {
    let in_out = if lingual_mm >= 0.0 { InOut::Lingual } else { InOut::Labial };
    let up = if gingival_mm >= 0.0 { UpDown::Gingival } else { UpDown::Occlusal };
    let turn = if mesial_in_deg >= 0.0 { Turn::MesialIn } else { Turn::MesialOut };
    Stand {
        in_out: Some((from_mm(lingual_mm.abs()).into(), in_out)),
        up_down: Some((from_mm(gingival_mm.abs()).into(), up)),
        rotated: Some((from_degrees(mesial_in_deg.abs()).into(), turn)),
        ..Stand::default()
    }
}

pub fn set_stand(arch: &mut ArchCase, code: u32, stand: Stand) {
    arch.stands.insert(tooth(code), Sourced::written(stand, Origin::Case, nowhere()));
}
