//! A picture as part of a page: its shapes get their looks from the style sheet, so that it follows day and
//! night, and nothing in it breaks the content policy.

use crate::scene::{Anchor, Scene, Shape};
use crate::svg::{figure, through};
use maud::{Markup, html};

/// A picture with its title; `id` tells it from the others on the page.
pub fn drawn(scene: &Scene, id: &str) -> Markup {
    picture(scene, id, "img", false, &html! {})
}

/// The same for a picture whose shapes are read by the arrow keys.
pub(super) fn read(scene: &Scene, id: &str) -> Markup {
    picture(scene, id, "img", true, &html! {})
}

/// The same with more inside, painted over it in the same measures, that may be touched.
pub fn with(scene: &Scene, id: &str, over: &Markup) -> Markup {
    picture(scene, id, "group", false, over)
}

fn picture(scene: &Scene, id: &str, role: &str, keyboard: bool, over: &Markup) -> Markup {
    let title = format!("{id}-title");
    let description = format!("{id}-description");
    html! {
        svg class="drawn" id=(id) viewBox=(format!("0 0 {} {}", figure(scene.width), figure(scene.height)))
            role=(role) tabindex=[keyboard.then_some("0")] aria-labelledby=(title) aria-describedby=(description) {
            title id=(title) { (scene.title) }
            desc id=(description) { (scene.description) }
            @for one in &scene.shapes { (shape(one)) }
            (over)
        }
    }
}

fn shape(shape: &Shape) -> Markup {
    let class = shape.role().class();
    match shape {
        Shape::Box { at: [x, y, width, height], title, .. } => html! {
            rect class=(class) x=(figure(*x)) y=(figure(*y)) width=(figure(*width)) height=(figure(*height)) {
                @if !title.is_empty() { title { (title) } }
            }
        },
        Shape::Area { loops, title, .. } => html! {
            path class=(class) d=(loops.iter().map(|points| through(points) + "Z").collect::<String>()) {
                @if !title.is_empty() { title { (title) } }
            }
        },
        Shape::Way { points, .. } => html! { path class=(class) d=(through(points)) {} },
        Shape::Line { at: [x1, y1, x2, y2], .. } => html! {
            line class=(class) x1=(figure(*x1)) y1=(figure(*y1)) x2=(figure(*x2)) y2=(figure(*y2)) {}
        },
        Shape::Text { at: [x, y], anchor, words } => html! {
            text x=(figure(*x)) y=(figure(*y)) text-anchor=(held(*anchor)) { (words) }
        },
    }
}

const fn held(anchor: Anchor) -> &'static str {
    match anchor {
        Anchor::Start => "start",
        Anchor::Middle => "middle",
        Anchor::End => "end",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scene::Role;

    #[test]
    fn words_cannot_leave_their_place() {
        let hostile = "</title><script>alert(1)</script>\"";
        let scene = Scene {
            width: 100.0,
            height: 50.0,
            title: hostile.to_owned(),
            description: hostile.to_owned(),
            shapes: vec![
                Shape::Text { at: [1.0, 2.0], anchor: Anchor::Start, words: hostile.to_owned() },
                Shape::Box {
                    at: [0.0, -0.001, 3.0, 4.5],
                    role: Role::Part,
                    title: hostile.to_owned(),
                },
            ],
        };
        let text = drawn(&scene, "it").into_string();
        assert!(!text.contains("<script"), "{text}");
        assert!(!text.contains("style"), "{text}");
        assert!(text.contains("y=\"0\" width=\"3\" height=\"4.5\""), "{text}");
    }
}
