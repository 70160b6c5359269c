//! Builds again when a shipped file is added, taken away or changed.

fn main() {
    println!("cargo::rerun-if-changed=data");
}
