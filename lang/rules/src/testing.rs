//! The practice file and the date used by the rules' examples.

/// A small practice, invented: everything the examples of the rules name.
pub const HOUSE: &str = r#"springline 1
practice "Saltmarsh"
defaults 1
notation iso
clinic mon, tue, thu
closed 2026-12-24..2027-01-02
interval 4..12 wk
bracket twin {
  slide passive
  slot 0.022 x 0.028 in
  width 3 mm
  width 2.5 mm on 42..32
  torque 12 deg crown-labial on 11, 21
  hook on 13, 23, 33, 43
}
tube molar {
  slot 0.022 x 0.028 in
  width 4 mm
  hook on 17, 16, 26, 27, 37, 36, 46, 47
}
wire niti-12 superelastic-niti, round 0.012 in
wire niti-14 superelastic-niti, round 0.014 in
wire niti-16 superelastic-niti, round 0.016 in
wire niti-18 superelastic-niti, round 0.018 in
wire niti-14x25 superelastic-niti, rect 0.014 x 0.025 in
wire niti-16x22 superelastic-niti, rect 0.016 x 0.022 in
wire niti-18x25 superelastic-niti, rect 0.018 x 0.025 in
wire niti-19x25 superelastic-niti, rect 0.019 x 0.025 in
wire beta-19x25 beta-titanium, rect 0.019 x 0.025 in
wire steel-14 steel, round 0.014 in
wire steel-16 steel, round 0.016 in
wire steel-18 steel, round 0.018 in
wire steel-19x25 steel, rect 0.019 x 0.025 in
wire steel-21x28 steel, rect 0.021 x 0.028 in
wire steel-24 steel, round 0.024 in
coil open-50 open, force 50 g, stroke 4 mm, length 15 mm
coil open-100 open, force 100 g, stroke 4 mm, length 15 mm
coil open-200 open, force 200 g, stroke 4 mm, length 15 mm
coil keeper passive, length 100 mm
coil closing-150 closing-spring, force 150 g, stroke 12 mm, length 12 mm
elastic light size 1/4 in, force 2.5 oz
elastic medium size 3/16 in, force 4.5 oz
elastic heavy size 1/4 in, force 6 oz
elastic strong size 1/4 in, force 8 oz
chain short-clear short, force 200 g
stop tube-stop length 1.5 mm, for round
sequence usual {
  step align, wire niti-14, ends turned-in slack 2 mm, until passive, next computed
  step level, wire niti-14x25, ends turned-in slack 2 mm, until passive, next computed
  step work, wire niti-19x25, ends turned-in slack 1 mm, express 4 wk, until 12 wk, next 6 wk
  step finish, wire beta-19x25, ends turned-in slack 1 mm, until 12 wk, next 6 wk
}
sequence firm {
  step align, wire niti-14, ends turned-in slack 2 mm, until passive, next computed
  step level, wire niti-14x25, ends turned-in slack 2 mm, until passive, next computed
  step level-2 as level, wire niti-18x25, ends turned-in slack 1 mm, until passive, next computed
  step work, wire steel-19x25, ends turned-in slack 1 mm, express 4 wk, until 12 wk, next 6 wk
  step finish, wire beta-19x25, ends turned-in slack 1 mm, until 12 wk, next 6 wk
}
"#;

/// The name under which the examples use it.
pub const HOUSE_NAME: &str = "saltmarsh";

/// The day of the check in every example.
pub const TODAY: jiff::civil::Date = jiff::civil::date(2026, 12, 1);
