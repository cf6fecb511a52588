" Written from the vocabulary by `UPDATE_DOCS=1 cargo test -p springline-lsp --test editors`.
if exists("b:current_syntax")
  finish
endif
syntax iskeyword @,48-57,-,192-255
syntax keyword springlineWord a across activated adult af after age align and anterior as as-planned at because before
syntax keyword springlineWord bench bent-back beta-ti beta-titanium between binds bodily bond-up both box buccal by cases
syntax keyword springlineWord cast catenary cinched circle class-1 class-2 class-3 class-i class-ii class-iii clearly
syntax keyword springlineWord cobalt-chrome cobalt-chromium computed couple cross crown-buccal crown-labial crown-lingual
syntax keyword springlineWord crown-palatal day decided deflection delivered depth diagonal distal distal-in distal-out
syntax keyword springlineWord distal-wing distobuccal distolabial distolingual distopalatal doctor-decides each edge
syntax keyword springlineWord elastic-thread emergency ends except excluding express expressed extrusion face fair
syntax keyword springlineWord figure-eight finish first flush for force forecast forward free fri fully gingival give
syntax keyword springlineWord gold-chain good growing half hard-cinch heat-activated heat-activated-nickel-titanium
syntax keyword springlineWord heat-activated-niti held in incisal intrusion inverted iso keep kept labial length level
syntax keyword springlineWord light-cinch lingual loading loading-plateau locked long lumen maximum mesial mesial-in
syntax keyword springlineWord mesial-out mesial-wing mesiobuccal mesiolabial mesiolingual mesiopalatal minimum misfit
syntax keyword springlineWord moderate modulus mon multistrand-steel nearly-passive next niti no-bend none not-tested now
syntax keyword springlineWord occlusal of on open or over overall palatal panoramic partly passive patient-left
syntax keyword springlineWord patient-right peak photograph photographs planned poor prediction quadrant quarter-left
syntax keyword springlineWord rect rectangular remaining repair retainer-check review root-buccal root-labial
syntax keyword springlineWord root-lingual root-palatal rotated rotation round rule-of-thumb same-wire sat screw seats
syntax keyword springlineWord settle settled settling short since size slack slightly space span spread square ss staff
syntax keyword springlineWord stainless-steel steel strain strands stroke sun superelastic-nickel-titanium
syntax keyword springlineWord superelastic-niti sustained sustained-ratio tandem thermal-nickel-titanium thermal-niti thu
syntax keyword springlineWord tipping to tolerance triangle trimmed tue turn turned turned-in turns unbonded under
syntax keyword springlineWord universal unloading unloading-plateau up visit visits wed week wire-change with within
syntax keyword springlineWord without work yield
syntax keyword springlineUnit mm um in mil N cN g oz Nmm gmm MPa GPa deg min h d wk mo C times
syntax match springlineStatement "^\s*\zs\<\%(accept\|active\|anchorage\|ankylosed\|band\|banded\|bend\|binds-from\|bite\|bite-raisers\|bite-raisers-off\|bite-turbos\|bonded\|bonded-elsewhere\|book-on\|bracket\|button\|bypass\|canines\|case\|caution\|chain\|chair-time\|change\|chart\|check\|clinic\|clip\|closed\|closed-coil\|closing\|closing-coil\|closing-spring\|coil\|coordinated\|crossbite\|crossbite-corrected\|crowding\|curve-of-spee\|debond\|defaults\|doctor\|done\|drafted\|elastic\|elastics\|engage\|expanded\|expander\|expose\|extract\|extracted\|extraction\|fixed\|follow\|form\|friction\|from\|gap\|goal\|halt-if\|hold\|hook\|house\|hygiene\|implant\|in-place\|incisors\|interval\|ipr\|laceback\|language\|learned\|left\|ligated\|limit\|lingual-arch\|longest\|loose\|lost\|lower\|measured\|midline\|mini-screw\|missed\|missing\|molars\|mouth-temperature\|negative-overjet\|night-time\|no\|notation\|note\|open-bite\|open-coil\|out\|over-the-bite\|overbite\|overjet\|overlap\|pain\|palatal-arch\|passive-coil\|passive-when\|patient\|pick-up\|piggyback\|poking\|post\|posts\|power-arm\|practice\|prominence\|rebond\|records\|reduce\|reposition\|retain\|reverse-curve\|reverse-overjet\|right\|scan\|sectional\|seen\|separators\|sequence\|skip\|sleeve\|slide\|slide-open\|slot\|slot-height\|spaces\|springline\|start\|step\|stop\|stops\|task\|telephone\|text\|tie\|tipped\|tooth\|tooth-size-ratio\|torque\|traction\|trim\|tube\|tubes\|unerupted\|until\|upper\|use\|variant\|wear\|width\|wire\)\>"
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
