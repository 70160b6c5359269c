//! A picture inside a page: the scene's shapes in the page's own colors, and what each says, to be read by
//! pointer, keyboard and touch. Without a script the words of a shape are shown by the browser itself.

use crate::scene::{Anchor, Scene, Shape};
use crate::svg::{figure as number, through};
use maud::{Markup, html};

/// The picture with a line below it for what a shape says, its words, and the way to it as a file.
pub(super) fn figure(name: &str, scene: &Scene, files: Option<&str>) -> Markup {
    let id = format!("{name}-words");
    html! {
        figure class="drawn" {
            div class="scroll" {
                svg viewBox={ "0 0 " (number(scene.width)) " " (number(scene.height)) } role="img" tabindex="0"
                    aria-label=(scene.title) aria-describedby=(id) data-width=(number(scene.width)) {
                    @for shape in &scene.shapes { (drawn(shape)) }
                }
            }
            output class="shape-says" aria-live="polite" {}
            figcaption id=(id) { (scene.description) }
            @if let Some(files) = files {
                p class="take" { a download={ (name) ".svg" } href={ (files) "?of=" (name) } { "SVG" } }
            }
        }
    }
}

/// One shape. What it says stands in it for those without a script, and for the script.
fn drawn(shape: &Shape) -> Markup {
    let class = shape.role().class();
    match shape {
        Shape::Box { at, title, .. } => {
            let [x, y, width, height] = at.map(number);
            html! { rect class=(class) x=(x) y=(y) width=(width) height=(height) { (says(title)) } }
        }
        Shape::Area { loops, title, .. } => {
            let path: String = loops.iter().map(|points| through(points) + "Z").collect();
            html! { path class=(class) d=(path) { (says(title)) } }
        }
        Shape::Way { points, .. } => html! { path class=(class) d=(through(points)) {} },
        Shape::Line { at, .. } => {
            let [x1, y1, x2, y2] = at.map(number);
            html! { line class=(class) x1=(x1) y1=(y1) x2=(x2) y2=(y2) {} }
        }
        Shape::Text { at, anchor, words } => {
            let [x, y] = at.map(number);
            let anchor = match anchor {
                Anchor::Start => "start",
                Anchor::Middle => "middle",
                Anchor::End => "end",
            };
            html! { text x=(x) y=(y) text-anchor=(anchor) { (words) } }
        }
    }
}

fn says(title: &str) -> Markup {
    html! { @if !title.is_empty() { title { (title) } } }
}
