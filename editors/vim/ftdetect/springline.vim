autocmd BufRead,BufNewFile *.spring setfiletype springline
