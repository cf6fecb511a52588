; Two blanks for each block.
(block) @indent.begin
"}" @indent.branch @indent.end
(comment) @indent.auto
