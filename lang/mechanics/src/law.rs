//! Constitutive laws: stress as a function of strain in one fibre.

/// Linear elastic, with or without yield: steel, cobalt-chromium, beta-titanium.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Linear {
    /// Young's modulus, MPa.
    pub modulus_mpa: f64,
    /// Shear modulus, MPa.
    pub shear_modulus_mpa: f64,
    /// Stress at which the wire takes a set, MPa; `None` computes on as elastic and reports the strain.
    pub yield_mpa: Option<f64>,
    /// Strain up to which the wire is of use (its elastic limit).
    pub strain_limit: f64,
}

/// The flag of a superelastic alloy: loading and unloading plateaus, all inner loops, odd in strain.
///
/// Upper path through `(0, 0)`, `(loading_start / EA, loading_start)`, `(transformation_strain +
/// loading_end / EM, loading_end)`, slope `EM` beyond; lower path likewise with the unloading stresses.
/// Between them a ray of the mixture of both phases.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Flag {
    /// EA, MPa.
    pub austenite_mpa: f64,
    /// EM, MPa.
    pub martensite_mpa: f64,
    /// Stress where the loading plateau starts, MPa.
    pub loading_start_mpa: f64,
    /// Stress where the loading plateau ends, MPa; not under the start.
    pub loading_end_mpa: f64,
    /// Stress where the unloading plateau starts (coming down), MPa.
    pub unloading_start_mpa: f64,
    /// Stress where the unloading plateau ends, MPa; positive for a wire that springs back.
    pub unloading_end_mpa: f64,
    /// Strain across the plateau.
    pub transformation_strain: f64,
    /// Linear in torsion (most wires show no plateau in torsion at 35 C), MPa.
    pub shear_modulus_mpa: f64,
    /// Temperature at which the stresses hold, C.
    pub temperature_c: f64,
    /// Rise of all four stresses per degree, MPa/C.
    pub slope_mpa_per_c: f64,
    /// Strain up to which the wire is of use.
    pub strain_limit: f64,
}

/// What a fibre of the wire does under strain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Law {
    /// One modulus, with or without yield.
    Linear(Linear),
    /// Two plateaus: superelastic and thermally active nickel-titanium.
    Flag(Flag),
}

impl Law {
    /// E 180, G 72 GPa, elastic limit 1 % (published 160 to 180 and 70 to 79 GPa, 0.60 to 0.94 % as received and
    /// 0.65 to 0.99 % after stress relief; values from memory).
    pub const fn steel() -> Law {
        Law::Linear(Linear {
            modulus_mpa: 180_000.0,
            shear_modulus_mpa: 72_000.0,
            yield_mpa: None,
            strain_limit: 0.010,
        })
    }

    /// Cobalt-chromium, soft temper: E 185, G 74 GPa, elastic limit 0.65 % (published
    /// 160 to 190 GPa, 0.45 to 0.65 % as received; values from memory).
    pub const fn cobalt_chromium() -> Law {
        Law::Linear(Linear {
            modulus_mpa: 185_000.0,
            shear_modulus_mpa: 74_000.0,
            yield_mpa: None,
            strain_limit: 0.0065,
        })
    }

    /// E 69, G 25 GPa, elastic limit 1.1 %, so 759 MPa (published 62 to 69 and 23 to 26 GPa, 0.94 to 1.1 %, 690
    /// to 970 MPa; values from memory).
    pub const fn beta_titanium() -> Law {
        Law::Linear(Linear {
            modulus_mpa: 69_000.0,
            shear_modulus_mpa: 25_000.0,
            yield_mpa: None,
            strain_limit: 0.011,
        })
    }

    /// Superelastic nickel-titanium at 37 C. Where each figure comes from and how the set compares with
    /// wires on the market stands in `lang/docs/mechanics.md`: its unloading force is at the lower end.
    pub const fn superelastic() -> Law {
        Law::Flag(Flag {
            austenite_mpa: 55_000.0,
            martensite_mpa: 25_000.0,
            loading_start_mpa: 460.0,
            loading_end_mpa: 510.0,
            unloading_start_mpa: 235.0,
            unloading_end_mpa: 185.0,
            transformation_strain: 0.055,
            shear_modulus_mpa: 20_000.0,
            temperature_c: 37.0,
            slope_mpa_per_c: 6.5,
            strain_limit: 0.08,
        })
    }

    /// Thermally active nickel-titanium at 37 C (set chosen, as [`Law::superelastic`]).
    pub const fn thermal() -> Law {
        Law::Flag(Flag {
            austenite_mpa: 45_000.0,
            martensite_mpa: 22_000.0,
            loading_start_mpa: 330.0,
            loading_end_mpa: 380.0,
            unloading_start_mpa: 140.0,
            unloading_end_mpa: 100.0,
            transformation_strain: 0.055,
            shear_modulus_mpa: 20_000.0,
            temperature_c: 37.0,
            slope_mpa_per_c: 6.5,
            strain_limit: 0.08,
        })
    }

    /// The law at another temperature of the mouth or the bench, C. Linear alloys do not change.
    #[must_use]
    pub fn at_temperature(self, celsius: f64) -> Law {
        match self {
            Law::Linear(_) => self,
            Law::Flag(flag) => {
                let shift = flag.slope_mpa_per_c * (celsius - flag.temperature_c);
                Law::Flag(Flag {
                    loading_start_mpa: flag.loading_start_mpa + shift,
                    loading_end_mpa: flag.loading_end_mpa + shift,
                    unloading_start_mpa: flag.unloading_start_mpa + shift,
                    unloading_end_mpa: flag.unloading_end_mpa + shift,
                    temperature_c: celsius,
                    ..flag
                })
            }
        }
    }

    /// Temperature at which austenite is complete without stress, C: where the end of the unloading plateau
    /// comes down to nothing along the slope of Clausius and Clapeyron. `None` for linear alloys.
    pub fn austenite_finish_c(&self) -> Option<f64> {
        match self {
            Law::Linear(_) => None,
            Law::Flag(flag) => {
                Some(flag.temperature_c - flag.unloading_end_mpa / flag.slope_mpa_per_c)
            }
        }
    }

    /// The law of a wire of the same kind whose austenite is complete at another temperature, C: at its own
    /// temperature all four stresses are lower by the slope for every degree that it is higher. Linear alloys do
    /// not change.
    #[must_use]
    pub fn with_austenite_finish(self, celsius: f64) -> Law {
        match (self, self.austenite_finish_c()) {
            (Law::Flag(flag), Some(own)) => match self
                .at_temperature(flag.temperature_c + own - celsius)
            {
                Law::Flag(moved) => Law::Flag(Flag { temperature_c: flag.temperature_c, ..moved }),
                linear @ Law::Linear(_) => linear,
            },
            _ => self,
        }
    }

    /// Shear modulus, MPa.
    pub const fn shear_modulus_mpa(&self) -> f64 {
        match self {
            Law::Linear(l) => l.shear_modulus_mpa,
            Law::Flag(f) => f.shear_modulus_mpa,
        }
    }

    /// Young's modulus, for a flag that of austenite, MPa.
    pub const fn modulus_mpa(&self) -> f64 {
        match self {
            Law::Linear(l) => l.modulus_mpa,
            Law::Flag(f) => f.austenite_mpa,
        }
    }

    /// Strain up to which the wire is of use.
    pub const fn strain_limit(&self) -> f64 {
        match self {
            Law::Linear(l) => l.strain_limit,
            Law::Flag(f) => f.strain_limit,
        }
    }
}

impl Linear {
    /// The same with a yield stress: its own, or that at which its strain reaches the limit of use.
    #[must_use]
    pub fn yielding(self) -> Linear {
        let at_limit = self.strain_limit * self.modulus_mpa;
        Linear { yield_mpa: Some(self.yield_mpa.unwrap_or(at_limit)), ..self }
    }
}

impl Flag {
    /// A flag without an end of plateau: modulus, plateau slope, upper start, and the share `beta` by
    /// which the lower plateau lies under the upper. Elastic with the same modulus between them.
    pub fn endless(modulus_mpa: f64, plateau_slope_mpa: f64, upper_mpa: f64, beta: f64) -> Flag {
        // A plateau of unit transformation strain never ends in a wire; its slope then fixes the far stress.
        let rise = plateau_slope_mpa / (1.0 - plateau_slope_mpa / modulus_mpa);
        let lower_mpa = (1.0 - beta) * upper_mpa;
        Flag {
            austenite_mpa: modulus_mpa,
            martensite_mpa: modulus_mpa,
            loading_start_mpa: upper_mpa,
            loading_end_mpa: upper_mpa + rise,
            unloading_start_mpa: lower_mpa + rise,
            unloading_end_mpa: lower_mpa,
            transformation_strain: 1.0,
            shear_modulus_mpa: 20_000.0,
            temperature_c: 37.0,
            slope_mpa_per_c: 6.5,
            strain_limit: 0.08,
        }
    }
}
