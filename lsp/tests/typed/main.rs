//! Three plans of the invented practice typed key by key, as an editor sends them: how often an error is
//! shown that the next word mends, and whether the menu has the next word. `-- --nocapture` prints the
//! table; with `SPRINGLINE_TYPED=1` the misses too.

#[path = "../protocol/client.rs"]
#[allow(dead_code)]
mod client;
mod pen;
mod places;
mod session;
mod tokens;

use session::{Figures, Look, type_plan};

const PLANS: [&str; 3] =
    ["sm-0417-lateral-blocked-out", "sm-0410-both-arches", "sm-0451-premolars-out"];

/// The folder of the examples.
fn examples() -> std::path::PathBuf {
    std::fs::canonicalize(concat!(env!("CARGO_MANIFEST_DIR"), "/../examples")).unwrap()
}

fn table(rows: &[(&str, Figures)]) -> String {
    let lines: [(&str, fn(&Figures) -> String); 15] = [
        ("keys", |f| f.keys.to_string()),
        ("keys with an error shown", |f| f.with_error.to_string()),
        ("- on another line than the one typed", |f| f.elsewhere.to_string()),
        ("line ends with an error shown", |f| f.line_ends.to_string()),
        ("keys after which the findings are others", |f| f.changes.to_string()),
        ("errors that lived 12 keys or fewer", |f| f.short_errors.to_string()),
        ("warnings and advice that did", |f| f.short_others.to_string()),
        ("places where something is wanted", |f| f.all.listed.of.to_string()),
        ("- in the list", |f| f.all.listed.to_string()),
        ("- among the first three", |f| f.all.first.to_string()),
        ("words and units: in the list", |f| f.words.listed.to_string()),
        ("- among the first three", |f| f.words.first.to_string()),
        ("- first three after one letter", |f| f.words.begun.to_string()),
        ("teeth: among the first three", |f| f.teeth.first.to_string()),
        ("figures and dates: among the first three", |f| f.figures.first.to_string()),
    ];
    let mut out = String::new();
    for (what, of) in lines {
        out.push_str(&format!("{what:<44}"));
        for (_, figures) in rows {
            out.push_str(&format!("{:>18}", of(figures)));
        }
        out.push('\n');
    }
    out
}

/// The three plans, and all of them together.
async fn typed(look: Look) -> Figures {
    let mut rows = Vec::new();
    let only = std::env::var("SPRINGLINE_PLAN").unwrap_or_default();
    for plan in PLANS.into_iter().filter(|plan| plan.contains(&only)) {
        rows.push((plan, type_plan(plan, look).await));
    }
    let mut sum = Figures::default();
    rows.iter().for_each(|(_, figures)| sum.add(figures));
    rows.push(("all", sum.clone()));
    println!("{}", table(&rows));
    sum
}

#[tokio::test(flavor = "multi_thread")]
async fn the_menu_knows_the_next_word() {
    let sum = typed(Look::Menus).await;
    assert!(sum.words.listed.share() >= 0.99, "{}", sum.words.listed);
    assert!(sum.words.first.share() >= 0.85, "{}", sum.words.first);
    assert!(sum.all.listed.share() >= 0.95, "{}", sum.all.listed);
}

#[tokio::test(flavor = "multi_thread")]
async fn the_menu_is_right_where_it_once_was_not() {
    let ranks = session::at_places().await;
    let (mut listed, mut first) = (0, 0);
    for (text, wanted, rank) in &ranks {
        listed += usize::from(rank.is_some());
        first += usize::from(rank.is_some_and(|r| r < 3));
        if rank.is_none_or(|r| r >= 3) {
            println!("{rank:?}: `{text}` wanted `{wanted}`");
        }
    }
    let all = ranks.len();
    println!("{all} places: {listed} in the list, {first} among the first three");
    assert!(listed * 100 >= all * 98, "{listed} of {all}");
    assert!(first * 100 >= all * 90, "{first} of {all}");
}

/// Every key of three plans, each checked whole: minutes without optimisation.
#[tokio::test(flavor = "multi_thread")]
#[ignore = "minutes; run with --release"]
async fn plans_are_typed_in_quiet() {
    let sum = typed(Look::All).await;
    assert!(sum.with_error.share() <= 0.10, "{}", sum.with_error);
    assert_eq!(sum.line_ends.have, 0);
}
