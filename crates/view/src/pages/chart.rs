//! A picture whose shapes say something, to be read by pointer, keyboard and touch in the line below it. Without a
//! script the browser itself shows what a shape says.

use super::drawn;
use crate::scene::Scene;
use crate::svg::figure as number;
use maud::{Markup, html};

/// The picture with its line, its words, and the way to it as a file where it has one.
pub(super) fn chart(name: &str, scene: &Scene, files: Option<&str>) -> Markup {
    html! {
        figure class="chart" data-width=(number(scene.width)) {
            div class="scroll" { (drawn::read(scene, &format!("{name}-chart"))) }
            output class="shape-says" aria-live="polite" {}
            figcaption { (scene.description) }
            @if let Some(files) = files {
                p class="take" { a download={ (name) ".svg" } href={ (files) "?of=" (name) } { (name) ".svg" } }
            }
        }
    }
}
