//! Recording: once, in order, by clocks that are wrong.

use crate::shop::{Shop, at, event, loaded, made, told};
use model::record::{Name, What};
use runlog::{Kind, Live, Log, Query, Recorder, Told};
use std::sync::{Arc, Barrier};

#[test]
fn an_event_told_twice_counts_once() {
    let mut shop = Shop::new();
    let bar = told("b1", 0, loaded("A 1"));
    let part = told("p1", 10, made(1));
    shop.log.record(&[bar.clone(), part.clone()]).unwrap();
    let again = shop.log.record(&[part.clone(), told("p2", 20, made(1)), bar]).unwrap();
    assert_eq!(again.iter().map(|kept| kept.known).collect::<Vec<_>>(), [true, false, true]);
    let live = Live::open(&shop.log).unwrap();
    assert_eq!(live.state().lathes["L1"].bar.as_ref().unwrap().made, 2);
    // The same id with something else in it is a mistake, and nothing of that telling is kept.
    let mut other = part;
    other.event.what = made(5);
    let refused = shop.log.record(&[told("p3", 30, made(1)), other]).unwrap_err();
    assert_eq!(refused.kind, Kind::Refused);
    assert!(refused.message.contains("belongs to another event"), "{refused}");
    assert_eq!(shop.log.count().unwrap(), 3);
}

#[test]
fn what_an_event_lacks_is_told_with_the_mend() {
    let mut shop = Shop::new();
    let mut no_lathe = told("x", 0, loaded("A 1"));
    no_lathe.event.lathe = None;
    let refused = shop.log.record(&[no_lathe]).unwrap_err();
    assert_eq!(
        (refused.message.as_str(), refused.mend.as_str()),
        ("an event of kind bar-loaded needs its `lathe`", "say which lathe it is")
    );
    let correct =
        |of: &str, instead| told("c", 1, What::Corrected { event: Name::from(of), instead });
    let refused = shop.log.record(&[correct("nothing", None)]).unwrap_err();
    assert!(refused.message.contains("no event of this id"), "{refused}");
    shop.log.record(&[told("p1", 1, made(3))]).unwrap();
    let refused = shop.log.record(&[correct("p1", Some(Box::new(What::Started)))]).unwrap_err();
    assert!(refused.message.contains("cannot become one of kind started"), "{refused}");
    shop.log.record(&[correct("p1", Some(Box::new(made(2))))]).unwrap();
    let mut second = correct("c", None);
    second.event.id = Name::from("c2");
    let refused = shop.log.record(&[second]).unwrap_err();
    assert!(refused.message.contains("itself a correction, of p1"), "{refused}");
    assert_eq!(shop.log.count().unwrap(), 2);
}

#[test]
fn what_a_phone_tells_late_counts_for_when_it_happened() {
    let mut shop = Shop::new();
    shop.set_clock(100);
    shop.log.record(&[told("b1", 100, loaded("A 1"))]).unwrap();
    shop.set_clock(200);
    shop.log.record(&[told("b2", 200, loaded("B 2"))]).unwrap();
    let mut live = Live::open(&shop.log).unwrap();
    assert_eq!(live.state().lathes["L1"].bar.as_ref().unwrap().made, 0);
    // Its clock is a year behind and it was out of reach for 150 s: by its own clock the part is 150 s old.
    shop.set_clock(300);
    let year = 31_536_000;
    let late = Told { event: event("p1", 150 - year, made(1)), sent: Some(at(300 - year)) };
    let kept = shop.log.record(&[late]).unwrap();
    assert_eq!(kept[0].recorded.order.time, at(150));
    live.refresh(&shop.log).unwrap();
    assert_eq!(live.state().lathes["L1"].bar.as_ref().unwrap().made, 0, "it was of the bar before");
    let runs: Vec<_> =
        model::record::bars(shop.log.events(&Query::default()).unwrap().iter(), live.corrections());
    let made: Vec<_> =
        runs.iter().map(|run| (run.loaded.heat.as_deref().unwrap(), run.made)).collect();
    assert_eq!(made, [("A 1", 1), ("B 2", 0)]);
}

#[test]
fn a_clock_that_is_set_back_changes_no_order() {
    let mut shop = Shop::new();
    shop.set_clock(10_000);
    shop.log.record(&[told("b1", 10_000, loaded("A 1")), told("p1", 10_000, made(1))]).unwrap();
    // One second is what clocks are corrected by: time stands.
    shop.set_clock(9_999);
    let kept = shop.log.record(&[told("p2", 9_999, made(1))]).unwrap();
    assert_eq!((kept[0].recorded.order.clock, kept[0].recorded.received), (0, at(10_000)));
    // An hour is not.
    shop.set_clock(6_400);
    let kept =
        shop.log.record(&[told("b2", 6_400, loaded("B 2")), told("p3", 6_400, made(1))]).unwrap();
    assert_eq!((kept[1].recorded.order.clock, kept[1].recorded.received), (1, at(6_400)));
    assert_eq!(shop.log.clock_set_back().unwrap(), 1);
    shop.set_clock(6_500);
    // Late, from before the clock was set back: it cannot count for a time before that.
    let late = Told { event: event("p4", 6_000, made(1)), sent: Some(at(6_500)) };
    let kept = shop.log.record(&[late]).unwrap();
    assert_eq!((kept[0].recorded.order.clock, kept[0].recorded.order.time), (1, at(6_400)));
    let live = Live::open(&shop.log).unwrap();
    let bar = live.state().lathes["L1"].bar.as_ref().unwrap();
    assert_eq!((bar.loaded.heat.as_deref(), bar.made), (Some("B 2"), 2));
    // A clock ahead of the store's counts for no later than now.
    let ahead = Told { event: event("p5", 99_999, made(1)), sent: None };
    let kept = shop.log.record(&[ahead]).unwrap();
    assert_eq!(kept[0].recorded.order.time, at(6_500));
}

#[test]
fn two_people_tap_at_once_and_both_count() {
    let shop = Shop::new();
    let first = Recorder::start(shop.reopened());
    let second = Recorder::start(shop.reopened());
    let start = Arc::new(Barrier::new(8));
    let threads: Vec<_> = (0..8)
        .map(|thread| {
            let recorder = if thread % 2 == 0 { first.clone() } else { second.clone() };
            let start = Arc::clone(&start);
            std::thread::spawn(move || {
                start.wait();
                for number in 0..40 {
                    let told = told(&format!("{thread}-{number}"), 0, made(1));
                    assert!(!recorder.record(vec![told.clone()]).unwrap()[0].known);
                    assert!(recorder.record(vec![told]).unwrap()[0].known);
                }
            })
        })
        .collect();
    for thread in threads {
        thread.join().unwrap();
    }
    let log = Log::open(&shop.path()).unwrap();
    assert_eq!(log.count().unwrap(), 320);
    let live = Live::open(&log).unwrap();
    assert_eq!(live.state().lathes["L1"].bar.as_ref().unwrap().made, 320);
}

#[test]
fn one_who_tells_nonsense_does_no_harm_to_the_others() {
    let mut shop = Shop::new();
    let good = [told("g1", 0, made(1))];
    let mut bad = [told("g2", 0, made(1)), told("g1", 0, made(2))];
    bad[1].event.what = made(2);
    let also = [told("g3", 0, made(1))];
    let results = shop.log.record_groups(&[&good, &bad, &also]);
    assert!(results[0].is_ok() && results[1].is_err() && results[2].is_ok());
    let ids: Vec<_> =
        shop.all().iter().map(|it| (it.order.place, it.event.id.to_string())).collect();
    assert_eq!(ids, [(1, "g1".to_owned()), (2, "g3".to_owned())]);
}
