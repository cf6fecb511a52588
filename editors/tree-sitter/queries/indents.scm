; Two blanks for each block: captures as Helix has them.
(block) @indent
"}" @outdent
