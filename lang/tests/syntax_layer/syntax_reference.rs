//! The reference page against the table it is written from.

#[test]
fn the_reference_page_is_not_stale() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/docs/reference.md");
    let page = springline_lang::reference::reference();
    if std::env::var_os("UPDATE_DOCS").is_some() {
        std::fs::create_dir_all(concat!(env!("CARGO_MANIFEST_DIR"), "/docs")).unwrap();
        std::fs::write(path, &page).unwrap();
    }
    let written = std::fs::read_to_string(path).unwrap_or_default();
    assert!(written == page, "lang/docs/reference.md is stale; run the tests with UPDATE_DOCS=1");
}
