//! A writer that is killed loses nothing that it confirmed. The long run stands in docs/campaigns/log.md.

use std::process::Command;

#[test]
fn what_was_confirmed_outlives_the_process() {
    let times = std::env::var("BARWRIGHT_KILLS").unwrap_or_else(|_| "24".to_owned());
    let output = Command::new(env!("CARGO_BIN_EXE_killed")).args([&times, "7"]).output().unwrap();
    let said = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(output.status.success(), "{said}{}", String::from_utf8_lossy(&output.stderr));
    assert!(said.starts_with(&format!("{times} processes killed while they wrote")), "{said}");
    let confirmed: u64 = said
        .lines()
        .find_map(|line| line.trim().split_once(" events confirmed").map(|(count, _)| count))
        .and_then(|count| count.parse().ok())
        .unwrap();
    assert!(confirmed > 0, "nothing was confirmed before a kill: {said}");
}
