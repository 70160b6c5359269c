//! The built program, run as in a shell.

use crate::expect::root;
use assert_cmd::Command;
use std::path::Path;

/// Exit code, standard output and standard error of a run from the repository's root.
pub(crate) fn run(arguments: &[&str]) -> (i32, String, String) {
    run_in(&root(""), arguments)
}

/// The same from another folder.
pub(crate) fn run_in(folder: &Path, arguments: &[&str]) -> (i32, String, String) {
    let output = Command::cargo_bin("barwright")
        .expect("the program is built")
        .current_dir(folder)
        .args(arguments)
        .output()
        .expect("the program runs");
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("the answer is UTF-8");
    (output.status.code().unwrap_or(-1), text(output.stdout), text(output.stderr))
}
