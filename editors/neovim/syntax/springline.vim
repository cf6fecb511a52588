" Written from the vocabulary by `UPDATE_DOCS=1 cargo test -p springline-lsp --test editors`.
if exists("b:current_syntax")
  finish
endif
syntax iskeyword @,48-57,-,192-255
syntax keyword springlineWord a across activated adult af after age align and anterior as as-planned at because before
syntax keyword springlineWord bench bent-back beta-ti beta-titanium between binds bodily bond-up both box buccal by cases
syntax keyword springlineWord cast catenary cinched circle class-1 class-2 class-3 class-i class-ii class-iii clearly
syntax keyword springlineWord cobalt-chrome cobalt-chromium coil-light coil-wire computed couple cross crown-buccal
syntax keyword springlineWord crown-labial crown-lingual crown-palatal day decided deflection delivered depth diagonal
syntax keyword springlineWord distal distal-in distal-out distal-wing distobuccal distolabial distolingual distopalatal
syntax keyword springlineWord doctor-decides each edge elastic-thread emergency ends except excluding express expressed
syntax keyword springlineWord extrusion face fair figure-eight finish first first-round flush for force forecast forward
syntax keyword springlineWord free fri fully gingival give gold-chain good growing half hard-cinch heat-activated
syntax keyword springlineWord heat-activated-nickel-titanium heat-activated-niti held in incisal intrusion inverted iso
syntax keyword springlineWord keep kept labial left-out left-out-rotation length level levelling light-cinch lingual
syntax keyword springlineWord loading loading-plateau locked long lumen maximum mesial mesial-in mesial-out mesial-wing
syntax keyword springlineWord mesiobuccal mesiolabial mesiolingual mesiopalatal minimum misfit misfit-full misfit-light
syntax keyword springlineWord moderate modulus mon multistrand-steel nearly-passive next niti no-bend none not-tested now
syntax keyword springlineWord occlusal of on open or over overall palatal panoramic partly passive patient-left
syntax keyword springlineWord patient-right peak photograph photographs planned poor prediction quadrant quarter-left
syntax keyword springlineWord rect rectangular remaining repair retainer-check review root-buccal root-labial
syntax keyword springlineWord root-lingual root-palatal rotated rotation rotation-full rotation-light round rule-of-thumb
syntax keyword springlineWord same-wire sat screw seats settle settled settling short since size slack slightly space
syntax keyword springlineWord span spread square ss staff stainless-steel steel strain strands stroke sun
syntax keyword springlineWord superelastic-nickel-titanium superelastic-niti sustained sustained-ratio takes-in tandem
syntax keyword springlineWord thermal-nickel-titanium thermal-niti thu tipping to tolerance triangle trimmed tue turn
syntax keyword springlineWord turned turned-in turns unbonded under universal unloading unloading-plateau up visit visits
syntax keyword springlineWord wed week wire-change with within without work yield
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
