" Written from the vocabulary by `UPDATE_DOCS=1 cargo test -p springline-lsp --test editors`.
if exists("b:current_syntax")
  finish
endif
syntax iskeyword @,48-57,-,192-255
syntax keyword springlineWord across activated adult af after align and as as-planned at because before bench bent-back
syntax keyword springlineWord beta-ti beta-titanium between binds bodily bond-up both box buccal by cases catenary
syntax keyword springlineWord cinched circle class-1 class-2 class-3 class-i class-ii class-iii clearly cobalt-chrome
syntax keyword springlineWord cobalt-chromium computed couple cross crown-buccal crown-labial crown-lingual crown-palatal
syntax keyword springlineWord decided deflection delivered depth diagonal distal distal-in distal-out distal-wing
syntax keyword springlineWord distobuccal distolabial distolingual distopalatal doctor-decides each edge emergency ends
syntax keyword springlineWord except excluding express expressed extrusion face fair figure-eight finish flush for force
syntax keyword springlineWord forecast forward free fri fully gingival give good growing half hard-cinch heat-activated
syntax keyword springlineWord heat-activated-nickel-titanium heat-activated-niti held in incisal intrusion inverted iso
syntax keyword springlineWord keep kept labial length level light-cinch lingual loading loading-plateau long lumen
syntax keyword springlineWord maximum measured mesial mesial-in mesial-out mesial-wing mesiobuccal mesiolabial
syntax keyword springlineWord mesiolingual mesiopalatal minimum misfit moderate modulus mon multistrand-steel
syntax keyword springlineWord nearly-passive next niti no-bend none not-tested now occlusal of on open or over palatal
syntax keyword springlineWord panoramic partly passive patient-left patient-right peak photographs planned poor
syntax keyword springlineWord prediction quadrant quarter-left rect rectangular remaining repair retainer-check review
syntax keyword springlineWord root-buccal root-labial root-lingual root-palatal rotated rotation round rule-of-thumb
syntax keyword springlineWord same-wire sat screw seats settle settled settling short since size slack slightly space
syntax keyword springlineWord span spread square ss staff stainless-steel steel strain strands stroke sun
syntax keyword springlineWord superelastic-nickel-titanium superelastic-niti sustained sustained-ratio tandem
syntax keyword springlineWord thermal-nickel-titanium thermal-niti thu tipping to tolerance triangle trimmed tue turn
syntax keyword springlineWord turned turned-in unbonded under universal unloading unloading-plateau up visit visits wed
syntax keyword springlineWord wire-change with within without work yield
syntax keyword springlineUnit mm um in mil N cN g oz Nmm gmm MPa GPa deg min h d wk mo C times
syntax match springlineStatement "^\s*\zs\<\%(accept\|active\|anchorage\|ankylosed\|band\|banded\|bend\|binds-from\|bite\|bite-raisers\|bite-turbos\|bonded\|book-on\|bracket\|button\|bypass\|canines\|case\|caution\|chain\|chair-time\|change\|chart\|check\|clinic\|clip\|closed\|closed-coil\|closing\|closing-coil\|closing-spring\|coil\|coordinated\|crossbite\|crossbite-corrected\|crowding\|debond\|defaults\|doctor\|done\|elastic\|elastics\|engage\|expander\|extract\|extracted\|extraction\|fixed\|follow\|form\|friction\|from\|gap\|goal\|halt-if\|hold\|hook\|house\|hygiene\|implant\|in-place\|incisors\|interval\|ipr\|laceback\|language\|learned\|left\|ligated\|limit\|lingual-arch\|longest\|loose\|lost\|lower\|midline\|mini-screw\|missed\|missing\|molars\|mouth-temperature\|negative-overjet\|night-time\|no\|notation\|note\|open-bite\|open-coil\|out\|over-the-bite\|overbite\|overjet\|pain\|palatal-arch\|passive-coil\|passive-when\|patient\|pick-up\|piggyback\|poking\|post\|posts\|power-arm\|practice\|rebond\|records\|reduce\|reposition\|retain\|reverse-curve\|reverse-overjet\|right\|scan\|sectional\|seen\|separators\|sequence\|skip\|sleeve\|slide\|slide-open\|slot\|spaces\|springline\|start\|step\|stop\|stops\|task\|telephone\|text\|tie\|tipped\|tooth\|tooth-size-ratio\|torque\|traction\|trim\|tube\|tubes\|unerupted\|until\|upper\|use\|variant\|wear\|width\|wire\)\>"
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
