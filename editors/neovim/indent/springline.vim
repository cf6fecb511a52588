" Two blanks for each open brace, and four more where a line goes on after a comma.
if exists('b:did_indent')
  finish
endif
let b:did_indent = 1

setlocal indentexpr=SpringlineIndent(v:lnum)
setlocal indentkeys=0},!^F,o,O
setlocal nolisp nosmartindent autoindent
let b:undo_indent = 'setlocal indentexpr< indentkeys< lisp< smartindent< autoindent<'

if exists('*SpringlineIndent')
  finish
endif

" A line without its comment and without what stands in quotes.
function! s:Bare(text) abort
  return substitute(substitute(a:text, '"[^"]*"', '', 'g'), '//.*$', '', '')
endfunction

function! SpringlineIndent(lnum) abort
  let above = prevnonblank(a:lnum - 1)
  if above == 0
    return 0
  endif
  let text = s:Bare(getline(above))
  " The line that the statement above began on: one after a comma only goes on.
  let first = above
  while first > 1 && s:Bare(getline(prevnonblank(first - 1))) =~# ',\s*$'
    let first = prevnonblank(first - 1)
  endwhile
  let indent = indent(first)
  if text =~# '{\s*$'
    let indent += shiftwidth()
  elseif text =~# ',\s*$'
    let indent += 2 * shiftwidth()
  endif
  if getline(a:lnum) =~# '^\s*}'
    let indent -= shiftwidth()
  endif
  return max([indent, 0])
endfunction
