//! The bar ruler of the demo jobs.

use crate::demos::demos;
use model::Length;
use std::path::Path;
use view::pictures::bar_ruler;
use view::scene::{Anchor, Shape};

#[test]
fn pieces_fill_the_bar_without_gap_or_overlap() {
    for (_, job) in demos() {
        let bar = plan::bar::divide(&job);
        let pieces = bar_ruler::pieces(&bar);
        assert_eq!(pieces[0].from, Length::ZERO);
        assert_eq!(pieces.last().unwrap().to, bar.blank);
        assert!(pieces.windows(2).all(|pair| pair[0].to == pair[1].from));
        let parts = pieces.iter().filter(|piece| piece.to - piece.from == bar.division.finished);
        assert_eq!(parts.count() as u32, bar.parts_per_bar);
    }
}

#[test]
fn the_svg_is_xml_that_reads_aloud_and_stays_inside_its_frame() {
    for (_, job) in demos() {
        let answer = plan::plan(&job);
        let scene = bar_ruler::scene(&job, &answer);
        let svg = view::svg::write(&scene);
        if let Ok(folder) = std::env::var("SHOW") {
            std::fs::write(Path::new(&folder).join(format!("{}.svg", job.file.program)), &svg)
                .unwrap();
        }
        let document = roxmltree::Document::parse(&svg).unwrap();
        assert!(document.descendants().any(|node| node.has_tag_name("desc")));
        for rect in document
            .descendants()
            .filter(|node| node.has_tag_name("rect") && node.has_attribute("class"))
        {
            let number = |name: &str| rect.attribute(name).unwrap().parse::<f64>().unwrap();
            assert!(number("x") >= 0.0 && number("x") + number("width") <= scene.width + 0.01);
            assert!(number("y") >= 0.0 && number("y") + number("height") <= scene.height);
        }
    }
}

#[test]
fn the_terminal_ruler_is_as_wide_as_asked() {
    for (_, job) in demos() {
        let bar = plan::bar::divide(&job);
        for columns in [20, 79, 132] {
            let ruler = bar_ruler::terminal(&job, &bar, columns);
            assert_eq!(ruler.lines().nth(1).unwrap().chars().count(), columns, "{ruler}");
        }
    }
}

/// Short-lived edges put marks on the bar; their words stay inside the frame, a row each.
#[test]
fn marks_have_room_for_their_words() {
    for (_, mut job) in demos() {
        job.lathe.catching.parts = Some(9);
        for station in &mut job.tools.stations {
            station.edge_life = Some(model::quantity::Seconds::from_s(150.0));
        }
        let answer = plan::plan(&job);
        let scene = bar_ruler::scene(&job, &answer);
        let rows: Vec<[f64; 2]> = scene
            .shapes
            .iter()
            .filter_map(|shape| match shape {
                view::scene::Shape::Text { at, words, .. } if words.starts_with("after ") => {
                    Some(*at)
                }
                _ => None,
            })
            .collect();
        assert!(rows.len() > 1, "{rows:?}");
        for (index, [x, y]) in rows.iter().enumerate() {
            assert!(*y > 9.0 && (0.0..scene.width).contains(x));
            assert!(rows[..index].iter().all(|[_, other]| (other - y).abs() > 9.0));
        }
    }
}

#[test]
fn words_of_marks_stay_on_the_paper() {
    // At 6.6 units a letter: DejaVu Sans of 11 units, its widest words.
    for (name, job) in demos() {
        let answer = plan::plan(&job);
        for width in [1000.0, 500.0] {
            let scene = bar_ruler::scene_of_width(&job, &answer, width);
            let mut rows = Vec::new();
            for shape in &scene.shapes {
                let Shape::Text { at: [x, y], anchor, words } = shape else { continue };
                let long = 6.6 * words.chars().count() as f64;
                let from = match anchor {
                    Anchor::Start => *x,
                    Anchor::Middle => x - long / 2.0,
                    Anchor::End => x - long,
                };
                assert!(from >= -1.0 && from + long <= width + 1.0, "{name} {width}: {words}");
                assert!((0.0..=scene.height).contains(y), "{name} {width}: {words}");
                rows.push(words.clone());
            }
            let marks = bar_ruler::marks(&answer.bar, &answer.walk_away);
            for mark in &marks {
                assert!(rows.join(" ").contains(&mark.words), "{}: {rows:?}", mark.words);
            }
        }
    }
}
