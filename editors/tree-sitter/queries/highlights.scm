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
  "activated" "adult" "after" "align" "and" "as" "as-planned" "at" "because" "before"
  "beta-titanium" "between" "binds" "bodily" "bond-up" "both" "box" "buccal" "by" "cases"
  "catenary" "cinched" "circle" "class-1" "class-2" "class-3" "closing" "cobalt-chromium"
  "computed" "couple" "cross" "crown-buccal" "crown-labial" "crown-lingual" "crown-palatal"
  "decided" "delivered" "diagonal" "distal" "distal-in" "distal-out" "distal-wing" "each"
  "edge" "emergency" "ends" "extrusion" "face" "fair" "figure-eight" "finish" "flush" "for"
  "force" "forward" "free" "fri" "gingival" "give" "good" "growing" "hard-cinch" "held" "in"
  "incisal" "intrusion" "inverted" "iso" "keep" "kept" "labial" "length" "level"
  "light-cinch" "lingual" "loading" "loading-plateau" "long" "lumen" "maximum" "measured"
  "mesial" "mesial-in" "mesial-out" "mesial-wing" "minimum" "misfit" "moderate" "modulus"
  "mon" "multistrand-steel" "nearly-passive" "next" "no-bend" "none" "not-tested" "now"
  "occlusal" "of" "on" "open" "or" "over" "palatal" "panoramic" "partly" "passive"
  "patient-left" "patient-right" "peak" "photographs" "planned" "poor" "posts" "prediction"
  "quadrant" "quarter-left" "rect" "rectangular" "repair" "retainer-check" "review"
  "root-buccal" "root-labial" "root-lingual" "root-palatal" "rotated" "round" "rule-of-thumb"
  "same-wire" "sat" "screw" "seats" "settle" "settled" "settling" "short" "since" "size"
  "slack" "space" "span" "spread" "square" "staff" "steel" "stops" "strain" "strands"
  "stroke" "sun" "superelastic-niti" "sustained" "sustained-ratio" "tandem" "thermal-niti"
  "thu" "tipping" "to" "tolerance" "triangle" "trimmed" "tue" "turn" "turned-in" "unbonded"
  "under" "universal" "unloading" "unloading-plateau" "up" "visit" "wed" "wire-change" "with"
  "within" "work" "yield"))
