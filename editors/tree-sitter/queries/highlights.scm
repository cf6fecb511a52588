; Written from the vocabulary: UPDATE_DOCS=1 cargo test -p springline-lsp --test editors
(comment) @comment
(keyword) @keyword
(text) @string
(number) @number
(unit) @type
(date) @constant
(tooth) @constant
(finding) @constant
".." @operator
"x" @operator
"," @punctuation.delimiter
["{" "}"] @punctuation.bracket
((word) @property (#any-of? @property
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
  "wire-change" "with" "within" "without" "work" "yield"))
