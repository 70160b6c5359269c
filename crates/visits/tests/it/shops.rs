//! Small shops, read from their files.

use model::Source;
use model::files::Shop;
use model::quantity::Seconds;
use visits::clock::Clock;
use visits::course::Course;
use visits::search::Effort;
use visits::setting::Setting;
use visits::timetable::{Doing, Stood, Timetable};
use visits::words;

/// A shop whose lathes all have `runs`.
pub(crate) fn setting(text: &str, from: &str) -> Setting {
    let read = Shop::read(&Source::new("shop.toml", format!("units = \"mm\"\n{text}")));
    let shop = read.value.unwrap_or_else(|| panic!("{:?}", read.diagnostics));
    let clock = Clock::new(from, shop.time_zone.as_deref()).unwrap();
    let courses = shop.lathes.iter().map(|lathe| {
        let model::files::shop::Runs::Each(run) = lathe.runs else { panic!("a plain run") };
        Course::of_bars(run, lathe.bars, lathe.load.unwrap_or(shop.attend.load))
    });
    let courses = courses.collect();
    Setting::new(&shop, clock, courses)
}

const ONE: &str = r#"
[[hours]]
name = "h"
days = ["tue", "wed"]
spans = ["07:00-12:00", "13:00-16:00"]
[[person]]
name = "Ana"
hours = "h"
[attend]
walk = 1
load = 10
[[lathe]]
name = "A"
runs = 60
"#;

fn day() -> Seconds {
    Seconds::from_s(86_400.0)
}

/// 7:01 loaded, 7:11 to 8:11 and so on; what the simulation reckons without chance, reckoned by hand.
#[test]
fn one_lathe_and_one_person_are_reckoned_by_hand() {
    let setting = setting(ONE, "2026-12-01T06:00");
    let table = Timetable::of(&setting, day(), Effort::USUAL);
    assert!(table.is_proven());
    let starts: Vec<String> =
        table.visits.iter().map(|it| words::time(&setting.clock, it.start)).collect();
    let expected = ["07:01", "08:11", "09:21", "10:31", "11:41", "13:01", "14:11", "15:21"];
    assert_eq!(starts, expected);
    assert_eq!(table.time_of(0, |doing| doing == Doing::Runs), 8 * 3600);
    assert_eq!(table.lost, 86_400 - 8 * 3600);
    assert_eq!(table.there(0), 8 * 3600);
    assert_eq!(table.busy(0), 8 * 600 + 120);
    let why: Vec<String> = table.visits.iter().map(|it| words::why(&setting, it)).collect();
    assert_eq!(
        why[0],
        "It stands: nobody who attends it is there until 07:00. Then it runs until 08:11."
    );
    assert_eq!(why[1], "It stops at 08:11, and Ana is there. Then it runs until 09:21.");
    assert_eq!(table.visits[5].stood, Stood::NobodyThere);
    let next = words::next(&setting, &table, &table.next[0]);
    assert!(next.starts_with("Ana goes to A, there at 07:01: load a bar."), "{next}");
}

/// Before going home one loads the lathe that runs longest: the night belongs to it.
#[test]
fn the_long_bar_comes_before_the_night() {
    let two = format!("{ONE}[[lathe]]\nname = \"B\"\nruns = 600\n");
    let setting = setting(&two, "2026-12-01T15:45");
    let table = Timetable::of(&setting, day(), Effort::USUAL);
    let first = &table.visits[0];
    assert_eq!(setting.lathes[first.lathe].name, "B", "only one of both is reached before 16:00");
    let instead = &table.next[0].instead;
    assert_eq!((instead.len(), instead[0].lathe), (1, 0));
    // B would run no minute of the night; A would run an hour and stand again by morning.
    assert!(instead[0].loses >= 500 * 60, "{instead:?}");
    assert!(instead[0].proven);
    let text = words::next(&setting, &table, &table.next[0]);
    assert!(text.contains("First to another lathe would lose more by Wed 2 15:45: A "), "{text}");
}

#[test]
fn an_order_that_is_complete_loses_nothing_more() {
    let text = ONE.replace("runs = 60\n", "runs = 60\nbars = 2\n");
    let setting = setting(&text, "2026-12-01T07:00");
    let table = Timetable::of(&setting, day(), Effort::USUAL);
    assert_eq!(table.visits.len(), 2);
    assert_eq!(table.lost, 60 + 600 + 600);
    let lane: Vec<Doing> = table.lanes[0].iter().map(|stretch| stretch.2).collect();
    let expected = [
        Doing::Stands,
        Doing::Attended(0),
        Doing::Runs,
        Doing::Attended(1),
        Doing::Runs,
        Doing::Done,
    ];
    assert_eq!(lane, expected);
    assert!(words::why(&setting, &table.visits[1]).ends_with("complete its order at 09:21."));
}

/// A night in which the clock is put forward is an hour shorter for the lathe as well.
#[test]
fn the_clock_is_put_forward_in_the_night() {
    let text =
        ONE.replace("[\"tue\", \"wed\"]", "[\"sat\", \"sun\"]").replace("runs = 60", "runs = 600");
    let zoned = format!("time_zone = \"Europe/Berlin\"\n{text}");
    // Loaded at 15:50 on Saturday 2026-03-28, ten hours are over at 01:50; 12 hours would be 04:50.
    let longer = zoned.replace("runs = 600", "runs = 720");
    let setting = setting(&longer, "2026-03-28T15:39");
    let table = Timetable::of(&setting, day(), Effort::USUAL);
    assert_eq!(words::time(&setting.clock, table.visits[0].runs_until), "Sun 29 04:50");
}
