//! The mistakes of the campaign `access` stand in the source as it is; whether they are found, the campaign tells.
#![allow(clippy::disallowed_methods, reason = "reads the project's own files")]

use planted::good::repository;
use planted::source::access;
use std::collections::BTreeSet;
use std::fs;

#[test]
fn every_mistake_has_its_place_in_the_source_as_it_is() {
    let mistakes = access(&repository()).unwrap();
    assert!(mistakes.len() > 25);
    for mistake in &mistakes {
        let text = fs::read_to_string(repository().join(&mistake.file)).unwrap();
        let planted = mistake.planted(&text).unwrap_or_else(|why| panic!("{why}"));
        assert!(planted != text, "{} changes nothing", mistake.name);
    }
    let names: BTreeSet<&str> = mistakes.iter().map(|mistake| mistake.name.as_str()).collect();
    assert_eq!(names.len(), mistakes.len(), "each has a name of its own");
}
