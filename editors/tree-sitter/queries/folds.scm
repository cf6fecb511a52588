; The braces of a statement.
(block) @fold
