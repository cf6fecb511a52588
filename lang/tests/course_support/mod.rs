//! Cases as text, on the house of the invented practice.

// Each test file uses its own part of this.
#![allow(dead_code)]

pub mod trial;

use std::sync::Arc;

use springline_lang::course::{ArchForecast, Forecast, forecast};
use springline_lang::lower;
use springline_lang::lower::{Acceptable, Library, NotLoaded};
use springline_lang::model::Case;
use springline_lang::syntax::parse;
use springline_lang::text::FileId;
use springline_lang::units::tooth::Arch;

pub struct Saltmarsh;

impl Library for Saltmarsh {
    fn house(&self, name: &str) -> Result<(String, Arc<str>), NotLoaded> {
        Ok((name.to_owned(), include_str!("../../../examples/saltmarsh.spring").into()))
    }
}

/// A whole case file.
pub fn read(text: &str) -> Case {
    let tree = parse(FileId(0), text);
    let mut findings = Vec::new();
    let house = Saltmarsh.house("saltmarsh").expect("the house").1;
    let loaded = lower::load("saltmarsh".to_owned(), house, &Saltmarsh);
    let known = |_: &str| None;
    let acceptable = Acceptable { known: &known, codes: &[] };
    let house = loaded.house.expect("a house that reads");
    lower::case(&tree, house, &acceptable, &mut findings).expect("a case")
}

/// The body of a case on Saltmarsh.
pub fn case(body: &str) -> Case {
    read(&format!("springline 1\ncase \"SM-0001\"\nuse saltmarsh\n{body}"))
}

pub fn arch(forecast: &Forecast, arch: Arch) -> &ArchForecast {
    forecast.arch(arch).expect("the arch")
}

pub fn course(body: &str) -> (Case, Forecast) {
    let case = case(body);
    let forecast = forecast(&case, None);
    (case, forecast)
}

/// Six to six bonded, following the usual sequence.
pub const PLAIN_UPPER: &str =
    "upper {\n  bonded 15..25 with twin\n  tubes 16, 26 with molar\n  follow usual\n}\n";

/// Numbers from a seed: the same on every machine.
pub struct Seeded(u64);

impl Seeded {
    pub fn new(seed: u64) -> Seeded {
        let mut seeded = Seeded(0x9E37_79B9_7F4A_7C15 ^ seed.wrapping_mul(0xD1B5_4A32_D192_ED03));
        for _ in 0..8 {
            seeded.uniform();
        }
        seeded
    }

    pub fn uniform(&mut self) -> f64 {
        // Marsaglia's xorshift, 13-7-17.
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub fn normal(&mut self) -> f64 {
        let (a, b) = (self.uniform().max(1e-12), self.uniform());
        (-2.0 * a.ln()).sqrt() * (std::f64::consts::TAU * b).cos()
    }
}
