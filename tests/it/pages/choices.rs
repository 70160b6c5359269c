//! What may be tried in a shop, while its file is changed.

use super::browser::Browser;
use super::shop::{FROM, SHOP, shop};
use std::fs;

/// What may be tried follows the shop file while the page is open; what was filled in stays.
#[test]
fn choices_of_what_if_follow_the_shop_file_and_keep_what_is_filled_in() {
    let (server, browser) = (shop(), Browser::open(1280, 900));
    let file = server.file("../shop.toml");
    browser.go(&server.address(&format!("/visits?from={FROM}&one_more=late")));
    let offers = |id: &str, name: &str| {
        format!(
            "return [...document.getElementById('{id}')?.options ?? []].some((one) => one.value === '{name}')"
        )
    };
    browser.until("Ana", &offers("ask-without", "Ana"));
    browser.type_over("#ask-bar", "12 m");
    fs::write(&file, SHOP.replace("\"Ana\"", "\"Cleo\"")).unwrap();
    browser.until("Cleo", &offers("ask-without", "Cleo"));
    assert_eq!(browser.run(&offers("ask-without", "Ana")), false);
    let filled = |id: &str| browser.run(&format!("return document.getElementById('{id}').value"));
    assert_eq!((filled("ask-one_more"), filled("ask-bar")), ("late".into(), "12 m".into()));
    assert_eq!(browser.run("return document.activeElement.id"), "ask-bar");
    browser.run(
        "const blank = document.getElementById('ask-without'); blank.value = 'Cleo'; \
         blank.dispatchEvent(new Event('change', { bubbles: true }))",
    );
    browser.until("it is asked", "return location.search.includes('without=Cleo')");
    // Whoever is not offered any more is not tried any more.
    fs::write(&file, SHOP).unwrap();
    browser.until("Ana", &offers("ask-without", "Ana"));
    browser.until("not asked any more", "return !location.search.includes('without')");
    assert_eq!(filled("ask-without"), "");
}
