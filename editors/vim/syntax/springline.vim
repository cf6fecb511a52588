execute 'source' fnameescape(expand('<sfile>:p:h:h:h') .. '/neovim/syntax/springline.vim')
