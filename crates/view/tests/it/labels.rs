//! Labels: every code was read by another library (`labels/read_by.py`), and says what the label says.

use std::fs;

#[test]
fn every_code_of_the_demo_page_was_read_by_another_library() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/labels/read.txt");
    let read = fs::read_to_string(folder).expect("what was read is committed");
    let read: Vec<&str> = read.lines().filter(|line| !line.starts_with('#')).collect();
    let page = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo/week-48/expected/labels-1.svg");
    let page = fs::read_to_string(page).expect("the demo's page is committed");
    let page = roxmltree::Document::parse(&page).expect("the page is XML");
    let codes: Vec<&str> = page
        .descendants()
        .filter(|node| node.attribute("class") == Some("code"))
        .filter_map(|node| node.children().find_map(|child| child.text()))
        .collect();
    assert_eq!(codes.len(), 24);
    assert_eq!(read, codes);
}
