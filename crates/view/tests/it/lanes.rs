//! The lanes of a timetable: whole, to scale, and the same in words.

use model::Source;
use model::files::Shop;
use model::quantity::Seconds;
use view::pictures::lanes;
use view::scene::{Role, Shape};
use visits::clock::Clock;
use visits::course::Course;
use visits::search::Effort;
use visits::setting::Setting;
use visits::timetable::{Doing, Timetable};

const SHOP: &str = r#"
units = "mm"
[[hours]]
name = "h"
days = ["tue", "wed"]
spans = ["07:00-12:00", "13:00-16:00"]
[[person]]
name = "Jo"
hours = "h"
[[person]]
name = "Joan <&>"
hours = "h"
[[lathe]]
name = "A"
runs = 60
[[lathe]]
name = "B"
runs = 45
bars = 3
stands_in = 70
"#;

fn drawn() -> (Timetable, view::scene::Scene) {
    let shop = Shop::read(&Source::new("shop.toml", SHOP)).value.unwrap();
    let clock = Clock::new("2026-12-01T06:00", None).unwrap();
    let courses = [(60.0, None), (45.0, Some(3))].map(|(run, bars)| {
        Course::of_bars(Seconds::from_s(run * 60.0), bars, Seconds::from_s(240.0))
    });
    let setting = Setting::new(&shop, clock, courses.to_vec());
    let table = Timetable::of(&setting, Seconds::from_s(86_400.0), Effort::USUAL);
    let scene = lanes::scene(&setting, &table);
    (table, scene)
}

#[test]
fn every_stretch_is_drawn_to_scale() {
    let (table, scene) = drawn();
    let boxes = |wanted: Role, words: &str| -> f64 {
        let of = scene.shapes.iter().filter_map(|shape| match shape {
            Shape::Box { at, role, title } if *role == wanted && title.starts_with(words) => {
                Some(at[2])
            }
            _ => None,
        });
        of.sum()
    };
    let scale = (1000.0 - 132.0 - 20.0) / 86_400.0;
    let time = |is: fn(Doing) -> bool| {
        (0..2).map(|lathe| table.time_of(lathe, is) as f64).sum::<f64>() * scale
    };
    for (role, words, is) in [
        (Role::Allowed, "runs until", (|it| it == Doing::Runs) as fn(Doing) -> bool),
        (Role::TooFast, "stands for", |it| it == Doing::Stands),
        (Role::Uncertain, "its order", |it| it == Doing::Done),
    ] {
        assert!((boxes(role, words) - time(is)).abs() < 1e-6, "{words}");
    }
    let staffed: i64 = (0..2).map(|person| table.there(person)).sum();
    assert!((boxes(Role::Remnant, "there until") - staffed as f64 * scale).abs() < 1e-6);
}

#[test]
fn who_is_there_is_told_by_letters_of_its_own_and_in_words() {
    let (table, scene) = drawn();
    let words: Vec<&str> = scene
        .shapes
        .iter()
        .filter_map(|shape| match shape {
            Shape::Text { words, .. } => Some(words.as_str()),
            _ => None,
        })
        .collect();
    // "Jo" begins "Joan" too, so that it takes the whole name, and one letter more of the other.
    assert!(words.contains(&"Jo") && words.contains(&"Joan <&> (Joa)"), "{words:?}");
    let visits = table.visits.len();
    assert_eq!(scene.description.matches(" at ").count(), visits, "{}", scene.description);
    let svg = view::svg::write(&scene);
    let read = roxmltree::Document::parse(&svg).unwrap();
    let attended = read.descendants().filter(|it| it.attribute("class") == Some("attended"));
    // On the lane and in the row of the person, and once in the legend.
    assert_eq!(attended.count(), 2 * visits + 1);
}
