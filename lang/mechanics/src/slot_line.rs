//! The slot line: the base of the wire's graph where slots stand far from the arch line.
//!
//! A curve through all slot mouths: straight inside a slot, and in a free span the cubic that leaves each
//! mouth along its slot's axis, its tangents as long as the chord. It is known from the geometry alone. A wire 6 mm inside the arch line stands 80 degrees to that line and under 50 to this one.
//!
//! Curvature is given in axes carried along without turning about the line (parallel transport), so the
//! line twists nothing. At every mouth they end in the slot's own axes; the turn between the two is that
//! of the slots and of the line's torsion. The line's curvature jumps at the mouths, the wire's direction does not:
//! its slope against the slot's axis is what both sides share (`mesh::Joint`).

use super::ArchLine;

/// Cells of the table of lengths of a span.
const CELLS: usize = 8;
/// Gauss points on 0 to 1, with their weights.
const GAUSS: [(f64, f64); 3] = [
    (0.112_701_665_379_258_3, 5.0 / 18.0),
    (0.5, 8.0 / 18.0),
    (0.887_298_334_620_741_7, 5.0 / 18.0),
];
/// Steps in which axes are carried to a place asked for by itself.
const STEPS: usize = 8;

pub(crate) type Vector = [f64; 3];

#[inline]
pub(crate) fn dot(a: &Vector, b: &Vector) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

#[inline]
pub(crate) fn cross(a: &Vector, b: &Vector) -> Vector {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

/// `a + s b`.
#[inline]
pub(crate) fn plus(a: &Vector, s: f64, b: &Vector) -> Vector {
    [a[0] + s * b[0], a[1] + s * b[1], a[2] + s * b[2]]
}

/// `s a`.
#[inline]
pub(crate) fn times(s: f64, a: &Vector) -> Vector {
    [s * a[0], s * a[1], s * a[2]]
}

#[inline]
pub(crate) fn unit(a: &Vector) -> Vector {
    let length = dot(a, a).sqrt();
    [a[0] / length, a[1] / length, a[2] / length]
}

/// A place in space, mm (in the plane of the arch, then gingival), with three unit axes: along, lingual
/// and gingival.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct WireFrame {
    pub at: Vector,
    pub axes: [Vector; 3],
}

impl WireFrame {
    /// The arch line's own at a station.
    pub fn of_arch(arch: &ArchLine, station_mm: f64) -> WireFrame {
        let here = arch.station(station_mm);
        let [c, s] = here.tangent;
        WireFrame {
            at: [here.at[0], here.at[1], 0.0],
            axes: [[c, s, 0.0], [-s, c, 0.0], [0.0, 0.0, 1.0]],
        }
    }

    /// The vector with these components.
    #[inline]
    pub fn compose(&self, v: &Vector) -> Vector {
        let [a, b, c] = &self.axes;
        plus(&plus(&times(v[0], a), v[1], b), v[2], c)
    }

    /// Components of a vector.
    #[inline]
    pub fn resolve(&self, v: &Vector) -> Vector {
        let [a, b, c] = &self.axes;
        [dot(a, v), dot(b, v), dot(c, v)]
    }
}

/// A free span: a cubic over 0 to 1, and how long it is up to each cell of the table.
#[derive(Debug, Clone)]
struct BaseSpan {
    terms: [Vector; 4],
    length_mm: [f64; CELLS + 1],
}

impl BaseSpan {
    fn new(from: &WireFrame, to: &WireFrame) -> BaseSpan {
        let way = plus(&to.at, -1.0, &from.at);
        let chord = dot(&way, &way).sqrt();
        let (out, into) = (from.axes[0].map(|x| chord * x), to.axes[0].map(|x| chord * x));
        let mix =
            |w: f64, o: f64, i: f64| std::array::from_fn(|k| w * way[k] + o * out[k] + i * into[k]);
        let terms = [from.at, out, mix(3.0, -2.0, -1.0), mix(-2.0, 1.0, 1.0)];
        let mut span = BaseSpan { terms, length_mm: [0.0; CELLS + 1] };
        for cell in 0..CELLS {
            let from = cell as f64 / CELLS as f64;
            span.length_mm[cell + 1] =
                span.length_mm[cell] + span.length(from, (cell + 1) as f64 / CELLS as f64);
        }
        span
    }

    /// Length between two parameters of one cell, mm.
    fn length(&self, from: f64, to: f64) -> f64 {
        let speed = |u: f64| {
            let rate = self.rate(u);
            dot(&rate, &rate).sqrt()
        };
        (to - from) * GAUSS.iter().map(|(at, w)| w * speed(from + at * (to - from))).sum::<f64>()
    }

    fn at(&self, u: f64) -> Vector {
        let [a, b, c, d] = &self.terms;
        std::array::from_fn(|k| a[k] + u * (b[k] + u * (c[k] + u * d[k])))
    }

    fn rate(&self, u: f64) -> Vector {
        let [_, b, c, d] = &self.terms;
        std::array::from_fn(|k| b[k] + u * (2.0 * c[k] + u * 3.0 * d[k]))
    }

    /// How the line bends, against axes across it.
    fn bend(&self, u: f64, axes: &[Vector; 3]) -> BaseCurvature {
        let rate = self.rate(u);
        let speed = dot(&rate, &rate).sqrt();
        let [_, _, c, d] = &self.terms;
        let second: Vector = std::array::from_fn(|k| 2.0 * c[k] + u * 6.0 * d[k]);
        let along = dot(&second, &rate) / speed;
        let mut bend = BaseCurvature::default();
        for k in 0..2 {
            let axis = &axes[1 + k];
            let toward = dot(&second, axis) / (speed * speed);
            bend.toward[k] = toward;
            bend.rate[k] = (6.0 * dot(d, axis) - 3.0 * speed * along * toward) / speed.powi(3);
        }
        bend
    }

    /// The parameter at a length from the beginning, mm.
    fn parameter(&self, length_mm: f64) -> f64 {
        let cell = self.length_mm.partition_point(|&l| l < length_mm).clamp(1, CELLS) - 1;
        let from = cell as f64 / CELLS as f64;
        let (low, high) = (self.length_mm[cell], self.length_mm[cell + 1]);
        let mut u = from + (length_mm - low) / (high - low) / CELLS as f64;
        for _ in 0..3 {
            let rate = self.rate(u);
            let miss = low + self.length(from, u) - length_mm;
            u -= miss / dot(&rate, &rate).sqrt();
            if miss.abs() < 1e-9 {
                break;
            }
        }
        u
    }
}

/// The whole line. Lengths along it count from the wire's mark, where they are those of the arch line.
#[derive(Debug, Clone)]
pub(crate) struct MouthLine {
    /// The form of the wire, at rest in the slots of an aligned arch.
    pub form: ArchLine,
    /// The mouths of each slot: place and axes, first and last (the same for one edge).
    pub mouths: Vec<[WireFrame; 2]>,
    /// Where they lie along the line, mm.
    pub at_mm: Vec<(f64, f64)>,
    /// Where the wire's mark lies, mm.
    pub mark_mm: f64,
    spans: Vec<BaseSpan>,
}

/// Curvature of a base line towards the two axes across it, 1/mm, with its derivatives.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct BaseCurvature {
    pub toward: [f64; 2],
    pub rate: [f64; 2],
}

impl MouthLine {
    /// Through mouths in order of station; a slot held at one edge has that edge twice.
    pub fn new(form: ArchLine, mouths: Vec<[WireFrame; 2]>) -> MouthLine {
        let spans: Vec<BaseSpan> =
            mouths.windows(2).map(|pair| BaseSpan::new(&pair[0][1], &pair[1][0])).collect();
        let mut at_mm = Vec::with_capacity(mouths.len());
        let mut at = 0.0;
        for (n, [first, last]) in mouths.iter().enumerate() {
            if let Some(span) = n.checked_sub(1).map(|n| &spans[n]) {
                at += span.length_mm[CELLS];
            }
            let way = plus(&last.at, -1.0, &first.at);
            let from = at;
            at += dot(&way, &way).sqrt();
            at_mm.push((from, at));
        }
        let mut line = MouthLine { form, mouths, at_mm, mark_mm: 0.0, spans };
        let (raw, station) = line.midline();
        for (from, to) in &mut line.at_mm {
            *from += station - raw;
            *to += station - raw;
        }
        line.mark_mm = station;
        line
    }

    /// Where the line crosses the midline, as a length along it, with the station there; the end nearest to
    /// the midline where all slots lie on one side of it.
    fn midline(&self) -> (f64, f64) {
        let (first, last) = (0, self.mouths.len() - 1);
        let station = |frame: &WireFrame| self.form.project([frame.at[0], frame.at[1]], 0.0).0;
        if self.mouths[first][0].at[0] >= 0.0 {
            return (self.at_mm[first].0, station(&self.mouths[first][0]));
        }
        if self.mouths[last][1].at[0] <= 0.0 {
            return (self.at_mm[last].1, station(&self.mouths[last][1]));
        }
        for n in 0..self.mouths.len() {
            let [a, b] = &self.mouths[n];
            if a.at[0] < 0.0 && b.at[0] >= 0.0 {
                let share = a.at[0] / (a.at[0] - b.at[0]);
                let (from, to) = self.at_mm[n];
                return (from + share * (to - from), 0.0);
            }
            let Some(span) = self.spans.get(n) else { break };
            if b.at[0] < 0.0 && self.mouths[n + 1][0].at[0] >= 0.0 {
                let (mut low, mut high) = (0.0, 1.0);
                for _ in 0..50 {
                    let mid = 0.5 * (low + high);
                    if span.at(mid)[0] < 0.0 { low = mid } else { high = mid }
                }
                let cell = ((low * CELLS as f64) as usize).min(CELLS - 1);
                let length = span.length_mm[cell] + span.length(cell as f64 / CELLS as f64, low);
                return (self.at_mm[n].1 + length, 0.0);
            }
        }
        (0.0, 0.0)
    }

    /// A walk from the first mouth.
    pub fn walk(&self) -> Walk<'_> {
        Walk { line: self, slot: 0, frame: self.mouths[0][0] }
    }

    /// Place and axes at a length along the line.
    pub fn frame(&self, at_mm: f64) -> WireFrame {
        let slot = self.at_mm.partition_point(|(from, _)| *from <= at_mm).max(1) - 1;
        let [first, last] = self.mouths[slot];
        let (from, to) = self.at_mm[slot];
        if at_mm <= to || slot + 1 == self.mouths.len() {
            return WireFrame { at: plus(&first.at, at_mm - from, &first.axes[0]), ..first };
        }
        let mut walk = Walk { line: self, slot, frame: last };
        for step in 1..=STEPS {
            walk.to(to + (at_mm - to) * step as f64 / STEPS as f64);
        }
        walk.frame
    }

    /// Turn of a free span between its chord and the slots' axes at its ends, rad: the larger.
    pub fn turn_of_span(&self, span: usize) -> f64 {
        let (a, b) = (&self.mouths[span][1], &self.mouths[span + 1][0]);
        let chord = unit(&plus(&b.at, -1.0, &a.at));
        let angle = |axis: &Vector| {
            let across = cross(&chord, axis);
            dot(&across, &across).sqrt().atan2(dot(&chord, axis))
        };
        angle(&a.axes[0]).max(angle(&b.axes[0]))
    }
}

/// Carries axes along the line, place by place.
pub(crate) struct Walk<'a> {
    line: &'a MouthLine,
    /// The slot last entered.
    slot: usize,
    frame: WireFrame,
}

impl Walk<'_> {
    /// Goes on to a place, not behind the last one and not beyond the next mouth, and says how the line bends there.
    pub fn to(&mut self, at_mm: f64) -> BaseCurvature {
        let (_, out) = self.line.at_mm[self.slot];
        let Some(span) = self.line.spans.get(self.slot).filter(|_| at_mm > out) else {
            let (from, _) = self.line.at_mm[self.slot];
            let first = &self.line.mouths[self.slot][0];
            self.frame = WireFrame { at: plus(&first.at, at_mm - from, &first.axes[0]), ..*first };
            return BaseCurvature::default();
        };
        let u = span.parameter(at_mm - out);
        let rate = span.rate(u);
        let speed = dot(&rate, &rate).sqrt();
        let tangent = rate.map(|x| x / speed);
        self.frame = carried(&self.frame, span.at(u), tangent);
        span.bend(u, &self.frame.axes)
    }

    /// Where the next slot begins.
    pub fn next_mm(&self) -> Option<f64> {
        self.line.at_mm.get(self.slot + 1).map(|(from, _)| *from)
    }

    /// Curvature with which the line leaves the present slot.
    pub fn leaving(&self) -> [f64; 2] {
        self.line.spans.get(self.slot).map_or([0.0; 2], |s| s.bend(0.0, &self.frame.axes).toward)
    }

    /// Enters the next slot: the turn of its axes against those carried there, rad, and the curvature with which
    /// the line arrives, against those carried.
    pub fn enter(&mut self) -> (f64, [f64; 2]) {
        let next = self.line.mouths[self.slot + 1][0];
        let here = carried(&self.frame, next.at, next.axes[0]);
        let arriving = self.line.spans[self.slot].bend(1.0, &here.axes).toward;
        self.slot += 1;
        self.frame = next;
        (dot(&next.axes[1], &here.axes[2]).atan2(dot(&next.axes[1], &here.axes[1])), arriving)
    }
}

/// Axes carried to the next place without turning about the line: two reflections, the second-order rule
/// of Wang W et al. ACM Trans Graph 2008;27(1):2.
fn carried(from: &WireFrame, at: Vector, tangent: Vector) -> WireFrame {
    let reflected = |v: &Vector, across: &Vector| {
        let square = dot(across, across);
        if square < 1e-24 { *v } else { plus(v, -2.0 * dot(across, v) / square, across) }
    };
    let way = plus(&at, -1.0, &from.at);
    let [old, axis, _] = &from.axes;
    let (old, axis) = if dot(&way, &way) < 1e-24 {
        (old.map(|x| -x), *axis)
    } else {
        (reflected(old, &way), reflected(axis, &way))
    };
    let axis = reflected(&axis, &plus(&tangent, -1.0, &old));
    let axis = unit(&plus(&axis, -dot(&axis, &tangent), &tangent));
    WireFrame { at, axes: [tangent, axis, cross(&tangent, &axis)] }
}

/// What the wire's curves are measured from.
#[derive(Debug, Clone)]
pub(crate) enum BaseLine {
    /// The arch line itself.
    Arch(ArchLine),
    Slots(MouthLine),
}

impl BaseLine {
    /// The form of the wire at rest.
    pub fn form(&self) -> &ArchLine {
        match self {
            BaseLine::Arch(arch) => arch,
            BaseLine::Slots(line) => &line.form,
        }
    }

    pub fn slots(&self) -> Option<&MouthLine> {
        match self {
            BaseLine::Arch(_) => None,
            BaseLine::Slots(line) => Some(line),
        }
    }
}
