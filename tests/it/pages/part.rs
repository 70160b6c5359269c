//! The page of a part: features put in by their pictures, drawn while they are typed, and taken out.

use super::browser::Browser;
use super::server::{JOB, Server};
use model::files::job::FeatureKind;
use model::files::keys::Choice as _;
use serde_json::json;
use std::fs;

const ENTER: &str = "\u{e007}";

fn features(text: &str) -> usize {
    text.matches("[[part.feature]]").count()
}

#[test]
fn a_groove_is_chosen_drawn_put_in_and_undone() {
    let (server, browser) = (Server::start(), Browser::open(1280, 900));
    let file = server.file("detent-pin.job.toml");
    let before = fs::read_to_string(&file).unwrap();
    browser.go(&server.address(&format!("/part/{JOB}")));
    browser.until_says("#feature-1", "diameter");
    // A feature and its stretch of the drawing light up together.
    browser.run("document.querySelector('#feature-1 input[name=value]').focus()");
    browser.until(
        "its stretch",
        "return !!document.querySelector('.stretch.lit[data-feature=\"1\"]')",
    );
    browser.run("document.activeElement.blur()");
    browser.click(".here a[href*='at=2#']");
    browser.until_says("#new-feature-asked", "before feature 3");
    browser.click(".kinds a[href*='kind=groove']");
    browser.until_says("form.keys", "rectangular groove");
    let drawn = browser.run("return document.querySelector('#part-drawing').outerHTML");
    browser.type_over("#new-to", "9");
    browser.type_over("#new-diameter", "7.2");
    browser.type_over("#new-width", "1.6");
    browser.until(
        "the groove drawn before it is saved",
        "return document.querySelector('#part-drawing-description').textContent.includes('groove 1.6')",
    );
    assert_ne!(browser.run("return document.querySelector('#part-drawing').outerHTML"), drawn);
    assert_eq!(fs::read_to_string(&file).unwrap(), before, "nothing is saved yet");
    browser.type_over("#new-width", "60");
    browser.until_says("form.keys .refused", "groove");
    browser.type_over("#new-width", &format!("1.6{ENTER}"));
    browser.until_says("#feature-2", "Groove 1.6");
    let after = fs::read_to_string(&file).unwrap();
    assert_eq!(features(&after), features(&before) + 1);
    assert!(
        after
            .contains("[[part.feature]]\nkind = \"groove\"\ndiameter = 7.2\nto = 9\nwidth = 1.6\n"),
        "{after}"
    );
    browser.click("[data-turn=undo]");
    browser.until_says(".news", "Undone");
    assert_eq!(fs::read_to_string(&file).unwrap(), before, "letter for letter");
}

#[test]
fn a_feature_goes_out_without_a_script_and_an_older_page_takes_none() {
    let server = Server::start();
    let file = server.file("detent-pin.job.toml");
    let before = fs::read_to_string(&file).unwrap();
    let (count, token) = (features(&before), server.token());
    let form = "Content-Type: application/x-www-form-urlencoded\r\n";
    let out = |at: usize, was: usize| {
        server.post(
            &format!("/feature-out/{JOB}"),
            form,
            &format!("token={token}&at={at}&was={was}"),
        )
    };
    let refused = out(0, count - 1);
    assert_eq!(refused.code, 422);
    assert!(refused.body.contains("changed elsewhere"), "{}", refused.body);
    assert_eq!(fs::read_to_string(&file).unwrap(), before);
    let gone = out(2, count);
    assert_eq!(gone.code, 303, "{}", gone.body);
    assert!(gone.head.contains(&format!("/part/{JOB}")), "{}", gone.head);
    let after = fs::read_to_string(&file).unwrap();
    assert_eq!(features(&after), count - 1);
    assert!(!after.contains("kind = \"groove\""), "{after}");
    let page = server.get(&format!("/part/{JOB}")).body;
    assert_eq!(page.matches("class=\"feature\"").count(), count - 1);
    let without = server.post(&format!("/feature-out/{JOB}"), form, "at=0");
    assert_eq!(without.code, 403, "a change carries its token");
}

#[test]
fn every_kind_has_its_picture_and_asks_for_what_it_must_have() {
    let server = Server::start();
    for (word, _, _) in FeatureKind::words() {
        let page = server.get(&format!("/part/{JOB}?at=0&kind={word}")).body;
        let (_, form) = page.split_once("class=\"keys\"").unwrap();
        let keys = model::files::job::keys_of(view::pages::part::kind(word).unwrap());
        for key in keys.must {
            assert!(form.contains(&format!("name=\"{key}\"")), "{word} asks for {key}");
        }
        assert!(form.contains("name=\"note\""), "{word}");
        let features = page.matches("class=\"feature\"").count();
        let drawn = page.matches("class=\"kind\"").count();
        assert_eq!(drawn, FeatureKind::words().len() + features, "{word}");
    }
}

#[test]
fn what_is_typed_stays_words() {
    let server = Server::start();
    let file = server.file("detent-pin.job.toml");
    let before = fs::read_to_string(&file).unwrap();
    let said = json!({
        "token": server.token(), "at": "5", "kind": "chamfer", "back": "true", "size": "0.2", "save": true,
        "note": "</h3><script>alert(1)</script>\"\n[[part.feature]]\nkind = \"bore",
    });
    let answer = server.post(
        &format!("/feature/{JOB}"),
        "Content-Type: application/json\r\n",
        &said.to_string(),
    );
    assert_eq!(answer.code, 200, "{}", answer.body);
    let told: serde_json::Value = serde_json::from_str(&answer.body).unwrap();
    assert_eq!(told.get("refused"), None);
    let page = server.get(&format!("/part/{JOB}")).body;
    assert!(!page.contains("<script>alert"));
    for nonsense in [
        json!({ "at": "99999999999999999999", "kind": "chamfer", "size": "1" }),
        json!({ "at": "0", "kind": "no-such-kind" }),
        json!({ "at": "0", "kind": "chamfer", "no_such_key": "1" }),
        json!({ "at": "0", "kind": "chamfer", "size": "-4" }),
        json!({ "at": -1 }),
        json!([1, 2]),
    ] {
        let mut said = nonsense.clone();
        if let Some(said) = said.as_object_mut() {
            said.insert("token".to_owned(), server.token().into());
            said.insert("save".to_owned(), false.into());
        }
        let path = format!("/feature/{JOB}");
        let answer = server.post(&path, "Content-Type: application/json\r\n", &said.to_string());
        assert!(matches!(answer.code, 200 | 403), "{nonsense}: {}", answer.code);
    }
    let text = fs::read_to_string(&file).unwrap();
    let read: toml::Table = text.parse().unwrap();
    let list = read["part"]["feature"].as_array().unwrap();
    assert_eq!(list.len(), features(&before) + 1, "the chamfer came in, and nothing else");
    assert_eq!(list[5]["note"].as_str(), said["note"].as_str());
}
