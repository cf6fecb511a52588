" Settings of a plan's buffer.
if exists('b:did_ftplugin')
  finish
endif
let b:did_ftplugin = 1
setlocal commentstring=//\ %s comments=:// expandtab shiftwidth=2 softtabstop=2 iskeyword+=-
let b:undo_ftplugin = 'setlocal commentstring< comments< expandtab< shiftwidth< softtabstop< iskeyword<'
