" Written from the vocabulary by `UPDATE_DOCS=1 cargo test -p springline-lsp --test editors`.
if exists("b:current_syntax")
  finish
endif
syntax iskeyword @,48-57,-,192-255
syntax keyword springlineWord activated adult after align and as as-planned at because before beta-titanium between binds
syntax keyword springlineWord bodily bond-up both box buccal by cases catenary cinched circle class-1 class-2 class-3
syntax keyword springlineWord closing cobalt-chromium computed couple cross crown-buccal crown-labial crown-lingual
syntax keyword springlineWord crown-palatal decided delivered diagonal distal distal-in distal-out distal-wing each edge
syntax keyword springlineWord emergency ends extrusion face fair figure-eight finish flush for force forward free fri
syntax keyword springlineWord gingival give good growing hard-cinch held in incisal intrusion inverted iso keep kept
syntax keyword springlineWord labial length level light-cinch lingual loading loading-plateau long lumen maximum measured
syntax keyword springlineWord mesial mesial-in mesial-out mesial-wing minimum misfit moderate modulus mon
syntax keyword springlineWord multistrand-steel nearly-passive next no-bend none not-tested now occlusal of on open or
syntax keyword springlineWord over palatal panoramic partly passive patient-left patient-right peak photographs planned
syntax keyword springlineWord poor posts prediction quadrant quarter-left rect rectangular repair retainer-check review
syntax keyword springlineWord root-buccal root-labial root-lingual root-palatal rotated round rule-of-thumb same-wire sat
syntax keyword springlineWord screw seats settle settled settling short since size slack space span spread square staff
syntax keyword springlineWord steel stops strain strands stroke sun superelastic-niti sustained sustained-ratio tandem
syntax keyword springlineWord thermal-niti thu tipping to tolerance triangle trimmed tue turn turned-in unbonded under
syntax keyword springlineWord universal unloading unloading-plateau up visit wed wire-change with within work yield
syntax keyword springlineUnit mm um in mil N cN g oz Nmm gmm MPa GPa deg min h d wk mo C times
syntax match springlineStatement "^\s*\zs\<\%(accept\|active\|anchorage\|ankylosed\|band\|banded\|bend\|bite\|bite-raisers\|bonded\|book-on\|bracket\|button\|bypass\|canines\|case\|caution\|chain\|change\|chart\|check\|clinic\|clip\|closed\|closed-coil\|closing-coil\|coil\|coordinated\|crossbite\|debond\|defaults\|doctor\|done\|elastic\|elastics\|engage\|expander\|extract\|extracted\|extraction\|fixed\|follow\|form\|from\|gap\|goal\|halt-if\|hold\|hook\|house\|hygiene\|implant\|in-place\|incisors\|interval\|laceback\|language\|learned\|left\|ligated\|limit\|longest\|loose\|lost\|lower\|midline\|mini-screw\|missed\|missing\|molars\|night-time\|no\|notation\|note\|open-bite\|open-coil\|out\|over-the-bite\|overbite\|overjet\|pain\|palatal-arch\|passive-when\|patient\|pick-up\|piggyback\|poking\|post\|power-arm\|rebond\|records\|reduce\|reposition\|retain\|reverse-curve\|right\|scan\|sectional\|seen\|separators\|sequence\|skip\|sleeve\|slide\|slide-open\|slot\|spaces\|springline\|start\|step\|stop\|task\|text\|tie\|tipped\|tooth\|tooth-size-ratio\|torque\|traction\|trim\|tube\|tubes\|unerupted\|until\|upper\|use\|variant\|wear\|width\|wire\)\>"
syntax match springlineNumber "\<\d\+\%(\.\d\+\)\?\>\|#\w\+"
syntax match springlineDate "\<\d\{4}-\d\d\?-\d\d\?\>"
syntax region springlineText start=+"+ end=+"+ oneline
syntax match springlineComment "//.*$" contains=@Spell
highlight default link springlineStatement Statement
highlight default link springlineWord Identifier
highlight default link springlineUnit Type
highlight default link springlineNumber Number
highlight default link springlineDate Constant
highlight default link springlineText String
highlight default link springlineComment Comment
let b:current_syntax = "springline"
