//! The simulation beside the finite-source queue, and beside what can be reckoned by hand.

use calc::queue::{FiniteSource, running_with_even_service};
use visits::chance::Scatter;
use visits::floor::{Floor, FloorLathe, FloorPerson, Rule, Stops, Turn};
use visits::simulate::{Figure, Run, runs};

const HOUR: f64 = 3600.0;

/// Lathes alike whose runs end at any moment, people who are always there and need not walk.
fn pool(
    lathes: usize,
    people: usize,
    run: f64,
    service: f64,
    scatter: Scatter,
    rule: Rule,
) -> Floor {
    let lathe = FloorLathe {
        stands_at: 0.0,
        turns: vec![Turn { service, run }],
        run: Scatter::Exponential,
        stops: None,
    };
    let horizon = 2000.0 * HOUR;
    let person = FloorPerson { spans: vec![(0.0, 2.0 * horizon)], attends: vec![true; lathes] };
    Floor {
        horizon,
        lathes: vec![lathe; lathes],
        people: vec![person; people],
        walk: vec![vec![0.0; lathes + 1]; lathes + 1],
        service: scatter,
        rule,
    }
}

fn sum(run: &Run, of: impl Fn(&visits::simulate::Tally) -> f64) -> f64 {
    run.lathes.iter().map(of).sum()
}

/// The closed form lies within three and a half standard errors of the mean of 60 runs. The start, with every lathe
/// standing, weighs less than a tenth of such an error over 2,000 hours.
fn agrees(name: &str, ours: &Figure, exact: f64) {
    let error = ours.half / 1.96;
    assert!((ours.mean - exact).abs() <= 3.5 * error, "{name}: {ours:?} beside {exact}");
    assert!(ours.half < 0.02 * exact.max(0.05), "{name} is too rough to say anything: {ours:?}");
}

#[test]
fn pools_stand_and_wait_as_the_closed_form_says() {
    for (lathes, people, run, service) in [
        (5, 1, 60.0, 6.0),
        (6, 1, 1200.0, 120.0),
        (5, 2, 60.0, 12.0),
        (12, 3, 90.0, 15.0),
        (8, 1, 20.0, 4.0),
    ] {
        let exact = FiniteSource::new(lathes as u32, people as u32, service / run).unwrap();
        for rule in [Rule::MostRunning, Rule::FirstStood] {
            let floor =
                pool(lathes, people, run * 60.0, service * 60.0, Scatter::Exponential, rule);
            let all = runs(&floor, 11, 60);
            let mean = |of: fn(&visits::simulate::Tally) -> f64| {
                Figure::of(all.iter().map(|run| sum(run, of) / floor.horizon))
            };
            let name = format!("{lathes} lathes, {people} people, {rule:?}");
            agrees(
                &format!("{name}: run"),
                &mean(|it| it.running),
                f64::from(exact.machines) - exact.standing(),
            );
            agrees(&format!("{name}: attended"), &mean(|it| it.attended), exact.busy());
            let waits = mean(|it| it.waiting);
            let error = waits.half / 1.96;
            assert!(
                (waits.mean - exact.waiting()).abs() <= 3.5 * error,
                "{name}: {waits:?} beside {}",
                exact.waiting()
            );
            let busy =
                Figure::of(all.iter().map(|run| run.busy.iter().sum::<f64>() / floor.horizon));
            agrees(&format!("{name}: busy"), &busy, exact.busy());
        }
    }
}

#[test]
fn pools_with_even_service_run_as_the_closed_form_says() {
    for (lathes, ratio) in [(5, 0.1), (10, 0.2), (12, 0.05), (3, 0.5)] {
        let floor = pool(lathes, 1, HOUR, ratio * HOUR, Scatter::None, Rule::FirstStood);
        let all = runs(&floor, 5, 60);
        let running = Figure::of(all.iter().map(|run| sum(run, |it| it.running) / floor.horizon));
        let exact = running_with_even_service(lathes as u32, ratio).unwrap();
        agrees(&format!("{lathes} lathes, {ratio}"), &running, exact);
    }
}

/// Stops that nobody planned are the same queue, where no bar ever ends.
#[test]
fn unplanned_stops_alone_are_the_same_queue() {
    let mut floor = pool(4, 1, 0.0, 0.0, Scatter::None, Rule::FirstStood);
    for lathe in &mut floor.lathes {
        lathe.turns = vec![Turn { service: 0.0, run: 1e12 }];
        lathe.run = Scatter::None;
        lathe.stops =
            Some(Stops { every: HOUR / 2.0, takes: 300.0, scatter: Scatter::Exponential });
    }
    let all = runs(&floor, 3, 60);
    let exact = FiniteSource::new(4, 1, 300.0 / 1800.0).unwrap();
    let running = Figure::of(all.iter().map(|run| sum(run, |it| it.running) / floor.horizon));
    agrees("four lathes", &running, 4.0 - exact.standing());
}

#[test]
fn without_chance_a_day_is_reckoned_by_hand() {
    let mut floor = pool(1, 1, HOUR, 600.0, Scatter::None, Rule::MostRunning);
    floor.lathes[0].run = Scatter::None;
    floor.horizon = 24.0 * HOUR;
    floor.people[0].spans = vec![(7.0 * HOUR, 12.0 * HOUR), (13.0 * HOUR, 16.0 * HOUR)];
    floor.walk = vec![vec![0.0, 60.0], vec![60.0, 0.0]];
    // 7:01 to 7:11 loaded, runs to 8:11, the person is there: 8:21, 9:21, 9:31, 10:31, 10:41, 11:41, 11:51, 12:51;
    // 13:01 to 13:11 from the door, 14:11, 14:21, 15:21, 15:31, 16:31.
    let one = &runs(&floor, 1, 1)[0];
    assert_eq!(one.lathes[0].visits, 8);
    assert!((one.lathes[0].running - 8.0 * HOUR).abs() < 1e-6, "{one:?}");
    assert!((one.lathes[0].attended - 8.0 * 600.0).abs() < 1e-6);
    assert!((one.lathes[0].waiting - (24.0 * HOUR - 8.0 * HOUR - 4800.0)).abs() < 1e-6);
    assert!((one.busy[0] - (4800.0 + 120.0)).abs() < 1e-6);
}

#[test]
fn the_same_seed_gives_the_same_runs_on_any_number_of_threads() {
    let floor =
        pool(5, 2, HOUR, 600.0, Scatter::Between { least: 0.5, most: 3.0 }, Rule::MostRunning);
    let with = |threads| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| runs(&floor, 42, 9))
    };
    let one = with(1);
    assert_eq!(one, with(2));
    assert_eq!(one, with(7));
    assert_ne!(one, runs(&floor, 43, 9));
    assert_ne!(one[0], one[1]);
}

/// Every second of every lathe is running, waiting or attended, whatever the shop.
#[test]
fn no_second_is_lost_or_counted_twice() {
    for seed in 0..40 {
        let mut floor = pool(
            4,
            2,
            3000.0,
            500.0,
            Scatter::Between { least: 0.2, most: 4.0 },
            Rule::MostRunning,
        );
        floor.horizon = 50.0 * HOUR;
        floor.people[0].spans = vec![(HOUR, 9.0 * HOUR), (20.0 * HOUR, 49.9 * HOUR)];
        floor.people[1].spans = vec![(0.0, 4.0 * HOUR)];
        floor.people[1].attends[2] = false;
        floor.walk = vec![vec![45.0; 5]; 5];
        floor.lathes[1].stops =
            Some(Stops { every: 2000.0, takes: 100.0, scatter: Scatter::Exponential });
        for run in runs(&floor, seed, 5) {
            for lathe in run.lathes {
                let all = lathe.running + lathe.waiting + lathe.attended;
                assert!((all - floor.horizon).abs() < 1e-6, "{lathe:?}");
                assert!(lathe.running >= 0.0 && lathe.waiting >= 0.0 && lathe.attended >= 0.0);
            }
        }
    }
}
