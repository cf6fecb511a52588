;;; springline-words.el --- The words of the language -*- lexical-binding: t -*-

;;; Commentary:

;; Written from the vocabulary by
;; UPDATE_DOCS=1 cargo test -p springline-lsp --test editors

;;; Code:

(defconst springline-statements
  '(
    "accept" "active" "anchorage" "ankylosed" "band" "banded" "bend" "binds-from" "bite"
    "bite-raisers" "bite-raisers-off" "bite-turbos" "bonded" "bonded-elsewhere" "book-on"
    "bracket" "button" "bypass" "canines" "case" "caution" "chain" "chair-time" "change"
    "chart" "check" "clinic" "clip" "closed" "closed-coil" "closing" "closing-coil"
    "closing-spring" "coil" "coordinated" "crossbite" "crossbite-corrected" "crowding"
    "curve-of-spee" "debond" "defaults" "doctor" "done" "drafted" "elastic" "elastics" "engage"
    "expanded" "expander" "expose" "extract" "extracted" "extraction" "fixed" "follow" "form"
    "friction" "from" "gap" "goal" "halt-if" "hold" "hook" "house" "hygiene" "implant"
    "in-place" "incisors" "interval" "ipr" "laceback" "language" "learned" "left" "ligated"
    "limit" "lingual-arch" "longest" "loose" "lost" "lower" "measured" "midline" "mini-screw"
    "missed" "missing" "molars" "mouth-temperature" "negative-overjet" "night-time" "no"
    "notation" "note" "open-bite" "open-coil" "out" "over-the-bite" "overbite" "overjet"
    "overlap" "pain" "palatal-arch" "passive-coil" "passive-when" "patient" "pick-up"
    "piggyback" "poking" "post" "posts" "power-arm" "practice" "prominence" "rebond" "records"
    "reduce" "reposition" "retain" "reverse-curve" "reverse-overjet" "right" "scan" "sectional"
    "seen" "separators" "sequence" "skip" "sleeve" "slide" "slide-open" "slot" "slot-height"
    "spaces" "springline" "start" "step" "stop" "stops" "task" "telephone" "text" "tie"
    "tipped" "tooth" "tooth-size-ratio" "torque" "traction" "trim" "tube" "tubes" "unerupted"
    "until" "upper" "use" "variant" "wear" "width" "wire"
    )
  "Words that begin a statement.")

(defconst springline-words
  '(
    "a" "across" "activated" "adult" "af" "after" "age" "align" "and" "anterior" "as"
    "as-planned" "at" "because" "before" "bench" "bent-back" "beta-ti" "beta-titanium"
    "between" "binds" "bodily" "bond-up" "both" "box" "buccal" "by" "cases" "cast" "catenary"
    "cinched" "circle" "class-1" "class-2" "class-3" "class-i" "class-ii" "class-iii" "clearly"
    "cobalt-chrome" "cobalt-chromium" "coil-light" "coil-wire" "computed" "couple" "cross"
    "crown-buccal" "crown-labial" "crown-lingual" "crown-palatal" "day" "decided" "deflection"
    "delivered" "depth" "diagonal" "distal" "distal-in" "distal-out" "distal-wing"
    "distobuccal" "distolabial" "distolingual" "distopalatal" "doctor-decides" "each" "edge"
    "elastic-thread" "emergency" "ends" "except" "excluding" "express" "expressed" "extrusion"
    "face" "fair" "figure-eight" "finish" "first" "first-round" "flush" "for" "force"
    "forecast" "forward" "free" "fri" "fully" "gingival" "give" "gold-chain" "good" "growing"
    "half" "hard-cinch" "heat-activated" "heat-activated-nickel-titanium" "heat-activated-niti"
    "held" "in" "incisal" "intrusion" "inverted" "iso" "keep" "kept" "labial" "left-out"
    "left-out-rotation" "length" "level" "levelling" "light-cinch" "lingual" "loading"
    "loading-plateau" "locked" "long" "lumen" "maximum" "mesial" "mesial-in" "mesial-out"
    "mesial-wing" "mesiobuccal" "mesiolabial" "mesiolingual" "mesiopalatal" "minimum" "misfit"
    "misfit-full" "misfit-light" "moderate" "modulus" "mon" "multistrand-steel"
    "nearly-passive" "next" "niti" "no-bend" "none" "not-tested" "now" "occlusal" "of" "on"
    "open" "or" "over" "overall" "palatal" "panoramic" "partly" "passive" "patient-left"
    "patient-right" "peak" "photograph" "photographs" "planned" "poor" "prediction" "quadrant"
    "quarter-left" "rect" "rectangular" "remaining" "repair" "retainer-check" "review"
    "root-buccal" "root-labial" "root-lingual" "root-palatal" "rotated" "rotation"
    "rotation-full" "rotation-light" "round" "rule-of-thumb" "same-wire" "sat" "screw" "seats"
    "settle" "settled" "settling" "short" "since" "size" "slack" "slightly" "space" "span"
    "spread" "square" "ss" "staff" "stainless-steel" "steel" "strain" "strands" "stroke" "sun"
    "superelastic-nickel-titanium" "superelastic-niti" "sustained" "sustained-ratio" "takes-in"
    "tandem" "thermal-nickel-titanium" "thermal-niti" "thu" "tipping" "to" "tolerance"
    "triangle" "trimmed" "tue" "turn" "turned" "turned-in" "turns" "unbonded" "under"
    "universal" "unloading" "unloading-plateau" "up" "visit" "visits" "wed" "week"
    "wire-change" "with" "within" "without" "work" "yield"
    )
  "Other words of the language.")

(defconst springline-units
  '(
    "mm" "um" "in" "mil" "N" "cN" "g" "oz" "Nmm" "gmm" "MPa" "GPa" "deg" "min" "h" "d" "wk"
    "mo" "C" "times"
    )
  "Units.")

(provide 'springline-words)
;;; springline-words.el ends here
