//! Turns command-line flags about a visit into the lines of a `seen` block.

use springline_syntax::Context;
use springline_syntax::vocabulary::ROWS;
use springline_units::tooth::Arch;

/// The lines of the block. What was done in an arch - `upper rebond 23` - goes into the braces of that
/// arch's line; where there is no such line, the answer is how to say it, for nobody has said what became
/// of the wire.
pub fn gather(
    upper: Option<&str>,
    lower: Option<&str>,
    others: &[String],
) -> Result<Vec<String>, String> {
    let mut out = Vec::new();
    for (arch, said) in [(Arch::Upper, upper), (Arch::Lower, lower)] {
        let done: Vec<&str> = others.iter().filter_map(|l| deed(l, arch)).collect();
        match (said, &done[..]) {
            (None, []) => {}
            (Some(said), []) => out.push(format!("{arch} {said}")),
            (Some(said), done) => {
                let open = match said.trim_end().strip_suffix('}') {
                    Some(open) => open.trim_end().to_owned(),
                    None => format!("{said} {{"),
                };
                out.push(format!("{arch} {open}"));
                out.extend(done.iter().map(|d| (*d).to_owned()));
                out.push("}".to_owned());
            }
            (None, [first, ..]) => {
                return Err(format!(
                    "`{arch} {first}` says what was done, and not what became of the wire. Say both, such as \
                     --{arch} 'kept {{ {first} }}'"
                ));
            }
        }
    }
    let rest = others.iter().filter(|l| Arch::BOTH.iter().all(|a| deed(l, *a).is_none()));
    out.extend(rest.cloned());
    Ok(out)
}

/// What was done in that arch, where the line says nothing else of it.
fn deed(line: &str, arch: Arch) -> Option<&str> {
    let (first, rest) = line.trim().split_once(char::is_whitespace)?;
    let rest = rest.trim_start();
    let word = rest.split(char::is_whitespace).next().unwrap_or_default().to_lowercase();
    let inside = ROWS.iter().filter(|r| r.inside.contains(&Context::SeenArch));
    let is_deed = inside.filter_map(|r| r.pattern.split_whitespace().next()).any(|w| w == word);
    (first.eq_ignore_ascii_case(arch.word()) && is_deed).then_some(rest)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn others(lines: &[&str]) -> Vec<String> {
        lines.iter().map(|l| (*l).to_owned()).collect()
    }

    #[test]
    fn what_was_done_goes_into_the_line_of_its_arch() {
        let lines = gather(Some("kept"), None, &others(&["upper rebond 23", "loose 23"]));
        assert_eq!(lines, Ok(others(&["upper kept {", "rebond 23", "}", "loose 23"])));
        let lines = gather(Some("kept { rebond 13 }"), None, &others(&["upper rebond 23"]));
        assert_eq!(lines, Ok(others(&["upper kept { rebond 13", "rebond 23", "}"])));
        let plain = gather(Some("passive, kept"), Some("kept"), &[]);
        assert_eq!(plain, Ok(others(&["upper passive, kept", "lower kept"])));
    }

    #[test]
    fn without_a_word_of_the_wire_the_answer_is_how_to_say_it() {
        let told = gather(None, None, &others(&["upper rebond UL3"])).unwrap_err();
        assert!(told.contains("--upper 'kept { rebond UL3 }'"), "{told}");
        // An arch's own line is no deed.
        assert_eq!(gather(None, None, &others(&["upper kept"])), Ok(others(&["upper kept"])));
    }
}
