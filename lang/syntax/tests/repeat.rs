//! What makes two statements say the same is looked up by label and by fragment: each of them has to be in
//! the statement's pattern.

use springline_syntax::pattern::PatternNode;
use springline_syntax::patterns::patterns;
use springline_syntax::repeat::{Repeat, SubjectPart, repeat};

/// The labels, fragments and words of a pattern.
fn names(node: &PatternNode, out: &mut Vec<&'static str>) {
    match node {
        PatternNode::Word(word) => out.push(word),
        PatternNode::Slot(slot) => out.push(slot.label),
        PatternNode::Comma => {}
        PatternNode::Sequence(parts) | PatternNode::Choice(parts) => {
            parts.iter().for_each(|part| names(part, out));
        }
        PatternNode::Optional(body) | PatternNode::Repeat { body, .. } => names(body, out),
        PatternNode::Group(name, body) => {
            out.push(name);
            names(body, out);
        }
    }
}

fn wanted(part: SubjectPart) -> Vec<&'static str> {
    match part {
        SubjectPart::Teeth(label) | SubjectPart::Name(label) => vec![label],
        SubjectPart::Between | SubjectPart::Contacts => vec!["between", "first", "second"],
        SubjectPart::Run => vec!["teeth"],
        SubjectPart::Pairs => vec!["tooth"],
        SubjectPart::Places => vec!["place", "tooth"],
        SubjectPart::Axes => vec!["stand"],
        SubjectPart::Second => Vec::new(),
        SubjectPart::Word(words) => words.to_vec(),
        SubjectPart::Date => vec!["date"],
        SubjectPart::Pulls => vec!["pull"],
        SubjectPart::Sides => vec!["worn", "right", "left"],
        SubjectPart::Arches => vec!["upper", "lower"],
    }
}

#[test]
fn what_statements_are_about_is_in_their_patterns() {
    for pattern in &patterns().all {
        let mut there = Vec::new();
        names(&pattern.node, &mut there);
        for (context, keyword) in
            pattern.row.inside.iter().flat_map(|c| pattern.keywords.iter().map(move |k| (c, k)))
        {
            let Some(Repeat::Per(parts)) = repeat(*context, keyword) else { continue };
            for name in parts.iter().flat_map(|part| wanted(*part)) {
                assert!(there.contains(&name), "{context:?} `{keyword}` has no `{name}`");
            }
        }
    }
}
