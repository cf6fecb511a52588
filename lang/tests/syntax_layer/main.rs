//! The syntax layer from outside: reading, findings and their fixes, the formatter, what editors
//! ask, and properties on generated and on broken files.

mod common;
mod generate;
mod other_words;
mod syntax_format;
mod syntax_hostile;
mod syntax_mistakes;
mod syntax_properties;
mod syntax_query;
mod syntax_reference;
mod syntax_tree;
mod syntax_types;
mod syntax_vocabulary;
