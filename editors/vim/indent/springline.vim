execute 'source' fnameescape(expand('<sfile>:p:h:h:h') .. '/neovim/indent/springline.vim')
