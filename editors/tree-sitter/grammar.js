// Written from the vocabulary: UPDATE_DOCS=1 cargo test -p springline-lsp --test editors
/// <reference types="tree-sitter-cli/dsl" />
// @ts-check

const LETTER = '\\p{L}';
const MORE = '[\\p{L}\\p{M}\\p{N}]';
const TAIL = `(-${MORE}+)*`;
// Never `x` and a digit, which is a section.
const WORD = `([\\p{L}--[xX]]${MORE}*|[xX]\\p{L}${MORE}*|[xX](-\\p{L}${MORE}*))${TAIL}`;

export default grammar({
  name: 'springline',

  word: $ => $.word,

  extras: $ => [
    new RustRegex('[ \\t\\x0B\\x0C\\u{A0}\\u{1680}\\u{2000}-\\u{200D}\\u{202F}\\u{205F}\\u{2060}\\u{3000}\\u{FEFF}]+'),
    $.comment,
  ],

  conflicts: $ => [
    [$._sequence_line, $._sequence_step],
    [$._arch_line, $._arch_step],
    [$._seen_line, $._seen_seen_arch],
  ],

  rules: {
    file: $ => seq(
      repeat($._newline),
      optional(seq(alias($._edition, $.statement), repeat1($._newline))),
      choice(
        seq(alias($._house_opening, $.statement), optional(seq($._newline, optional($._house_body)))),
        seq(alias($._case_opening, $.statement), optional(seq($._newline, optional($._case_body)))),
      ),
    ),
    _edition: $ => seq(field('keyword', alias('springline', $.keyword)), repeat($._item)),
    _house_opening: $ => seq(field('keyword', alias(choice('house', 'practice'), $.keyword)), repeat($._item)),
    _case_opening: $ => seq(field('keyword', alias('case', $.keyword)), repeat($._item)),

    _house_line: $ => seq(field('keyword', alias(choice(
      'book-on', 'chain', 'chair-time', 'chart', 'clinic', 'closed', 'coil', 'defaults', 'doctor',
      'elastic', 'form', 'friction', 'interval', 'language', 'limit', 'mouth-temperature',
      'notation', 'note', 'passive-when', 'prominence', 'slot-height', 'stop', 'stops', 'task',
      'telephone', 'text', 'use', 'wire',
    ), $.keyword)), repeat($._item)),
    _house_fit: $ => seq(field('keyword', alias(choice(
      'bracket', 'tube',
    ), $.keyword)), repeat($._item), repeat($._newline), alias($._fit_braces, $.block)),
    _house_learned: $ => seq(field('keyword', alias('learned', $.keyword)), repeat($._item), repeat($._newline), alias($._learned_braces, $.block)),
    _house_sequence: $ => seq(field('keyword', alias('sequence', $.keyword)), repeat($._item), repeat($._newline), alias($._sequence_braces, $.block)),
    _house_body: $ => choice(seq(repeat1(choice($._newline, seq(alias($._house_line, $.statement), $._newline), alias($._house_fit, $.statement), alias($._house_learned, $.statement), alias($._house_sequence, $.statement))), optional(alias($._house_line, $.statement))), alias($._house_line, $.statement)),
    _fit_line: $ => seq(field('keyword', alias(choice(
      'band', 'clip', 'hook', 'ligated', 'slide', 'slot', 'tipped', 'torque', 'variant', 'width',
    ), $.keyword)), repeat($._item)),
    _fit_body: $ => choice(seq(repeat1(choice($._newline, seq(alias($._fit_line, $.statement), $._newline))), optional(alias($._fit_line, $.statement))), alias($._fit_line, $.statement)),
    _fit_braces: $ => seq('{', optional($._fit_body), '}'),
    _learned_line: $ => seq(field('keyword', alias(choice(
      'active', 'binds-from',
    ), $.keyword)), repeat($._item)),
    _learned_body: $ => choice(seq(repeat1(choice($._newline, seq(alias($._learned_line, $.statement), $._newline))), optional(alias($._learned_line, $.statement))), alias($._learned_line, $.statement)),
    _learned_braces: $ => seq('{', optional($._learned_body), '}'),
    _sequence_line: $ => seq(field('keyword', alias('step', $.keyword)), repeat($._item)),
    _sequence_step: $ => seq(field('keyword', alias('step', $.keyword)), repeat($._item), repeat($._newline), alias($._step_braces, $.block)),
    _sequence_body: $ => choice(seq(repeat1(choice($._newline, seq(alias($._sequence_line, $.statement), $._newline), alias($._sequence_step, $.statement))), optional(alias($._sequence_line, $.statement))), alias($._sequence_line, $.statement)),
    _sequence_braces: $ => seq('{', optional($._sequence_body), '}'),
    _case_line: $ => seq(field('keyword', alias(choice(
      'accept', 'debond', 'doctor', 'missed', 'note', 'patient', 'records', 'scan', 'start',
      'tooth-size-ratio', 'use',
    ), $.keyword)), repeat($._item)),
    _case_in_place: $ => seq(field('keyword', alias('in-place', $.keyword)), repeat($._item), repeat($._newline), alias($._in_place_braces, $.block)),
    _case_bite: $ => seq(field('keyword', alias('bite', $.keyword)), repeat($._item), repeat($._newline), alias($._bite_braces, $.block)),
    _case_goal: $ => seq(field('keyword', alias('goal', $.keyword)), repeat($._item), repeat($._newline), alias($._goal_braces, $.block)),
    _case_elastics: $ => seq(field('keyword', alias('elastics', $.keyword)), repeat($._item), repeat($._newline), alias($._elastics_braces, $.block)),
    _case_retain: $ => seq(field('keyword', alias('retain', $.keyword)), repeat($._item), repeat($._newline), alias($._retain_braces, $.block)),
    _case_arch: $ => seq(field('keyword', alias(choice(
      'lower', 'upper',
    ), $.keyword)), repeat($._item), repeat($._newline), alias($._arch_braces, $.block)),
    _case_seen: $ => seq(field('keyword', alias('seen', $.keyword)), repeat($._item), repeat($._newline), alias($._seen_braces, $.block)),
    _case_body: $ => choice(seq(repeat1(choice($._newline, seq(alias($._case_line, $.statement), $._newline), alias($._case_in_place, $.statement), alias($._case_bite, $.statement), alias($._case_goal, $.statement), alias($._case_elastics, $.statement), alias($._case_retain, $.statement), alias($._case_arch, $.statement), alias($._case_seen, $.statement))), optional(alias($._case_line, $.statement))), alias($._case_line, $.statement)),
    _in_place_line: $ => seq(field('keyword', alias(choice(
      'lower', 'upper',
    ), $.keyword)), repeat($._item)),
    _in_place_body: $ => choice(seq(repeat1(choice($._newline, seq(alias($._in_place_line, $.statement), $._newline))), optional(alias($._in_place_line, $.statement))), alias($._in_place_line, $.statement)),
    _in_place_braces: $ => seq('{', optional($._in_place_body), '}'),
    _bite_line: $ => seq(field('keyword', alias(choice(
      'canines', 'crossbite', 'curve-of-spee', 'lower', 'molars', 'negative-overjet', 'open-bite',
      'overbite', 'overjet', 'reverse-overjet', 'upper',
    ), $.keyword)), repeat($._item)),
    _bite_body: $ => choice(seq(repeat1(choice($._newline, seq(alias($._bite_line, $.statement), $._newline))), optional(alias($._bite_line, $.statement))), alias($._bite_line, $.statement)),
    _bite_braces: $ => seq('{', optional($._bite_body), '}'),
    _goal_line: $ => seq(field('keyword', alias(choice(
      'canines', 'crossbite-corrected', 'extraction', 'incisors', 'lower', 'molars',
      'negative-overjet', 'open-bite', 'over-the-bite', 'overbite', 'overjet', 'reverse-overjet',
      'spaces', 'upper',
    ), $.keyword)), repeat($._item)),
    _goal_body: $ => choice(seq(repeat1(choice($._newline, seq(alias($._goal_line, $.statement), $._newline))), optional(alias($._goal_line, $.statement))), alias($._goal_line, $.statement)),
    _goal_braces: $ => seq('{', optional($._goal_body), '}'),
    _elastics_line: $ => seq(field('keyword', alias(choice(
      'accept', 'from', 'left', 'longest', 'note', 'right', 'until',
    ), $.keyword)), repeat($._item)),
    _elastics_body: $ => choice(seq(repeat1(choice($._newline, seq(alias($._elastics_line, $.statement), $._newline))), optional(alias($._elastics_line, $.statement))), alias($._elastics_line, $.statement)),
    _elastics_braces: $ => seq('{', optional($._elastics_body), '}'),
    _retain_line: $ => seq(field('keyword', alias(choice(
      'check', 'fixed', 'night-time',
    ), $.keyword)), repeat($._item)),
    _retain_body: $ => choice(seq(repeat1(choice($._newline, seq(alias($._retain_line, $.statement), $._newline))), optional(alias($._retain_line, $.statement))), alias($._retain_line, $.statement)),
    _retain_braces: $ => seq('{', optional($._retain_body), '}'),
    _arch_line: $ => seq(field('keyword', alias(choice(
      'accept', 'anchorage', 'ankylosed', 'banded', 'bonded', 'bonded-elsewhere', 'button',
      'caution', 'change', 'crowding', 'drafted', 'expander', 'expose', 'extract', 'extracted',
      'follow', 'form', 'gap', 'hold', 'hook', 'implant', 'lingual-arch', 'midline', 'mini-screw',
      'missing', 'note', 'overlap', 'palatal-arch', 'separators', 'skip', 'start', 'step', 'tooth',
      'tubes', 'unerupted',
    ), $.keyword)), repeat($._item)),
    _arch_measured: $ => seq(field('keyword', alias('measured', $.keyword)), repeat($._item), repeat($._newline), alias($._measured_braces, $.block)),
    _arch_step: $ => seq(field('keyword', alias(choice(
      'change', 'step',
    ), $.keyword)), repeat($._item), repeat($._newline), alias($._step_braces, $.block)),
    _arch_body: $ => choice(seq(repeat1(choice($._newline, seq(alias($._arch_line, $.statement), $._newline), alias($._arch_measured, $.statement), alias($._arch_step, $.statement))), optional(alias($._arch_line, $.statement))), alias($._arch_line, $.statement)),
    _arch_braces: $ => seq('{', optional($._arch_body), '}'),
    _measured_line: $ => seq(field('keyword', alias(choice(
      'gap', 'overlap', 'tooth',
    ), $.keyword)), repeat($._item)),
    _measured_body: $ => choice(seq(repeat1(choice($._newline, seq(alias($._measured_line, $.statement), $._newline))), optional(alias($._measured_line, $.statement))), alias($._measured_line, $.statement)),
    _measured_braces: $ => seq('{', optional($._measured_body), '}'),
    _step_line: $ => seq(field('keyword', alias(choice(
      'accept', 'bend', 'bite-raisers', 'bite-turbos', 'bypass', 'chain', 'closed-coil', 'closing',
      'closing-coil', 'closing-spring', 'coordinated', 'engage', 'halt-if', 'hold', 'ipr',
      'laceback', 'no', 'note', 'open-coil', 'passive-coil', 'pick-up', 'piggyback', 'post',
      'posts', 'power-arm', 'rebond', 'records', 'reduce', 'reposition', 'reverse-curve',
      'sectional', 'separators', 'sleeve', 'stop', 'stops', 'tie', 'torque', 'traction', 'trim',
    ), $.keyword)), repeat($._item)),
    _step_body: $ => choice(seq(repeat1(choice($._newline, seq(alias($._step_line, $.statement), $._newline))), optional(alias($._step_line, $.statement))), alias($._step_line, $.statement)),
    _step_braces: $ => seq('{', optional($._step_body), '}'),
    _seen_line: $ => seq(field('keyword', alias(choice(
      'bite-raisers-off', 'canines', 'crossbite', 'crossbite-corrected', 'curve-of-spee', 'done',
      'expanded', 'gap', 'hygiene', 'loose', 'lost', 'lower', 'molars', 'negative-overjet', 'note',
      'open-bite', 'out', 'over-the-bite', 'overbite', 'overjet', 'overlap', 'pain', 'poking',
      'reverse-overjet', 'slide-open', 'tooth', 'upper', 'wear',
    ), $.keyword)), repeat($._item)),
    _seen_measured: $ => seq(field('keyword', alias('measured', $.keyword)), repeat($._item), repeat($._newline), alias($._measured_braces, $.block)),
    _seen_seen_arch: $ => seq(field('keyword', alias(choice(
      'lower', 'upper',
    ), $.keyword)), repeat($._item), repeat($._newline), alias($._seen_arch_braces, $.block)),
    _seen_body: $ => choice(seq(repeat1(choice($._newline, seq(alias($._seen_line, $.statement), $._newline), alias($._seen_measured, $.statement), alias($._seen_seen_arch, $.statement))), optional(alias($._seen_line, $.statement))), alias($._seen_line, $.statement)),
    _seen_braces: $ => seq('{', optional($._seen_body), '}'),
    _seen_arch_line: $ => seq(field('keyword', alias(choice(
      'bend', 'bite-raisers', 'bite-turbos', 'bypass', 'chain', 'closed-coil', 'closing',
      'closing-coil', 'closing-spring', 'engage', 'ipr', 'laceback', 'note', 'open-coil',
      'passive-coil', 'pick-up', 'piggyback', 'post', 'posts', 'power-arm', 'rebond', 'reduce',
      'reposition', 'reverse-curve', 'sleeve', 'stop', 'stops', 'tie', 'torque', 'traction',
      'trim',
    ), $.keyword)), repeat($._item)),
    _seen_arch_body: $ => choice(seq(repeat1(choice($._newline, seq(alias($._seen_arch_line, $.statement), $._newline))), optional(alias($._seen_arch_line, $.statement))), alias($._seen_arch_line, $.statement)),
    _seen_arch_braces: $ => seq('{', optional($._seen_arch_body), '}'),

    _item: $ => choice($.word, $.finding, $.figure, $.text, $._comma),
    // A line goes on after a comma.
    _comma: $ => prec.right(seq(',', repeat($._newline))),
    // Numbers, teeth and dates, alone or as a stretch; a tooth's number is a number.
    figure: $ => prec.right(seq(optional('-'), $._end, repeat(seq(choice('..', '-', 'x'), $._end)))),
    _end: $ => choice($._amount, $.tooth, $.date),
    _amount: $ => prec.right(seq($.number, optional($.unit))),
    unit: $ => choice(
      'mm', 'um', 'in', 'mil', 'N', 'cN', 'g', 'oz', 'Nmm', 'gmm', 'MPa', 'GPa', 'deg', 'min', 'h',
      'd', 'wk', 'mo', 'C', 'times',
      '%', '\u00b0', '\u00ba',
    ),

    word: $ => new RustRegex(WORD),
    // The name of a finding: `force/sustained`.
    finding: $ => new RustRegex(`(${WORD})(/(${WORD}))+`),
    tooth: $ => choice(new RustRegex('[UL][RL][0-9A-Ea-e]'), new RustRegex('#([0-9]+|[A-Za-z])')),
    number: $ => new RustRegex('([0-9]+(\\.[0-9]+)?|\\.[0-9]+)(/[0-9]+)?"?'),
    date: $ => token(prec(1, new RustRegex('[0-9]{4}-[0-9]{1,2}-[0-9]{1,2}'))),
    text: $ => new RustRegex('"[^"\\n\\r\\u{85}\\u{2028}\\u{2029}\\u{201C}\\u{201D}]*["\\u{201C}\\u{201D}]|[\\u{201C}\\u{201D}\\u{201E}][^"\\n\\r\\u{85}\\u{2028}\\u{2029}\\u{201C}\\u{201D}]*["\\u{201C}\\u{201D}]|\\u{AB}[^\\n\\r\\u{85}\\u{2028}\\u{2029}\\u{BB}]*\\u{BB}'),
    comment: $ => token(new RustRegex('//[^\\n\\r\\u{85}\\u{2028}\\u{2029}]*')),
    _newline: $ => new RustRegex('\\r\\n|\\n|\\r|\\u{85}|\\u{2028}|\\u{2029}'),
  },
});
