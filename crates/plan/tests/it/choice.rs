//! What is chosen is the best of the grid: held to every candidate, each planned, clocked and reckoned as a
//! plan of its own.

use crate::shop::{self, PIN, SPACER};
use calc::held::Margin;
use calc::life;
use calc::station::Load;
use model::Length;
use model::files::Job;
use model::files::job::{Choose, JobFile};
use model::files::material::EdgeLife;
use model::files::tools::{Station, ToolKind};
use model::quantity::{Force, Power, Seconds, SpindleSpeed};
use plan::acts::Acts;
use plan::bar::BarPlan;
use plan::choice::{self, Choice, Fineness};
use plan::cuts::{Speed, Work};
use plan::mechanics::{self, CutLoads, Mechanics};
use plan::process::{Data, DataTable, Process};
use plan::time::Clock;
use plan::walk_away::{Kind, Reach};
use proptest::prelude::*;
use std::collections::BTreeSet;

/// A job whose spindle comes to speed at once, so that the times of its works add up.
fn a_job(demo: &str) -> Job {
    let mut job = shop::demo(demo);
    job.lathe.spindle.run_up = Seconds::from_s(0.0);
    job.lathe.spindle.run_down = Seconds::from_s(0.0);
    job
}

/// Everything of a plan that a choice is judged by.
struct Tried<'j> {
    job: &'j Job,
    /// Seconds of one part's cutting by the lathe's clock.
    time: f64,
    mechanics: Mechanics,
}

fn tried<'j>(job: &'j Job, bar: &BarPlan, table: &DataTable) -> Tried<'j> {
    let process = Process::with(job, &bar.division, table);
    let acts = Acts::new(job, bar);
    let mut clock = Clock::new(job, acts.clamp());
    clock.follow(&acts.parts(&process));
    let each = f64::from(bar.division.parts_per_advance);
    let time = clock.now().s() / each;
    Tried { job, time, mechanics: mechanics::reckon(job, bar, &process) }
}

fn figures(job: &Job) -> &EdgeLife {
    job.material.carbide.as_ref().unwrap()
}

impl Tried<'_> {
    fn cuts(&self, station: u32, work: Work) -> impl Iterator<Item = &CutLoads> {
        let own = self.mechanics.operations.iter();
        own.filter(move |it| it.station == station && it.work == work).flat_map(|it| &it.cuts)
    }

    /// Share of an edge that one part wears off, by the material's likely life.
    fn wear(&self, station: u32) -> f64 {
        let own = self.mechanics.of_each_part().filter(|(at, _)| *at == station);
        own.map(|(_, cut)| {
            cut.time.s() / cut.loads.as_ref().unwrap().life.as_ref().unwrap().time.nominal.s()
        })
        .sum()
    }

    /// Whether every limit is kept by the unfavorable end, written out anew.
    fn keeps(&self, station: &Station, work: Work, data: &Data) -> bool {
        let known = figures(self.job);
        let Speed::Surface(speed) = data.speed else { return false };
        let blade = station.width.is_some();
        let in_range = speed <= known.highest && (blade || speed >= known.lowest);
        let most =
            station.takes.most_feed.is_none_or(|most| data.feed.mm() <= most.mm() * (1.0 + 1e-9));
        let held = |margin: Option<Margin>| {
            margin.is_none_or(|it| it.ratio.low >= it.least * (1.0 - 1e-9))
        };
        let cut = |cut: &CutLoads| {
            let loads = cut.loads.as_ref().unwrap();
            let Load { asked, given } = *loads.power.as_ref().unwrap();
            let power = asked.high.w() <= given.w() * (1.0 + 1e-9);
            let Load { asked, given } = *loads.torque.as_ref().unwrap();
            let torque = asked.high.nm() <= given.nm() * (1.0 + 1e-9);
            let margins = loads.held.as_ref().unwrap();
            let last = cut.last.as_ref().map(|last| last.as_ref().unwrap());
            let holds = last.into_iter().chain([margins]).all(|held_by| {
                let of = [
                    held_by.grip,
                    held_by.slip,
                    held_by.pull_out,
                    held_by.overturning,
                    held_by.lift,
                    held_by.loss,
                ];
                of.into_iter().all(held)
            });
            let worst = margins.size.worst;
            let error =
                worst.low.um().abs().max(worst.high.um().abs()).max(worst.nominal.um().abs());
            let true_enough = cut
                .finishes
                .and_then(|step| step.allowed)
                .is_none_or(|allowed| error <= 1000.0 * allowed.mm() * (1.0 + 1e-9));
            let smooth = cut.ra().is_none_or(|ra| {
                let left = calc::finish::expected_ra(cut.feed, station.nose_radius);
                left.is_ok_and(|left| left.high.um() <= ra.um() * (1.0 + 1e-9))
            });
            let depth = station.takes.most_depth.is_none_or(|most| depth(cut) <= most);
            power && torque && holds && true_enough && smooth && depth
        };
        // How rough faces may be no drawing of these says.
        let rough = matches!(work, Work::Rough | Work::Finish | Work::PartOff)
            || data.feed <= Data::of(station, work).unwrap().feed;
        in_range && most && rough && self.cuts(station.number, work).all(cut)
    }
}

fn depth(cut: &CutLoads) -> Length {
    match cut.feeding {
        calc::station::Feeding::Along { from, to, .. }
        | calc::station::Feeding::Thread { from, to, .. } => (from - to).abs().half(),
        calc::station::Feeding::Across { depth, .. } => depth,
    }
}

/// One candidate of a work, planned by itself with all else as given.
struct Tryout {
    data: Data,
    time: f64,
    wear: f64,
    keeps: bool,
}

/// Every candidate of a work on the grid.
fn every(
    job: &Job,
    bar: &BarPlan,
    (station, work): (&Station, Work),
    fineness: Fineness,
) -> Vec<Tryout> {
    let given = Data::of(station, work).unwrap();
    let clamp = Acts::new(job, bar).clamp();
    let axes = choice::axes(job, (station, work), &given, (figures(job), clamp), fineness).unwrap();
    let mut all = Vec::new();
    for speed in &axes.speeds {
        for feed in &axes.feeds {
            for depth in &axes.depths {
                let data = Data { speed: Speed::Surface(*speed), feed: *feed, depth: *depth };
                let mut table = DataTable::default();
                table.set(station.number, work, data);
                let plan = tried(job, bar, &table);
                let keeps = plan.keeps(station, work, &data);
                all.push(Tryout { data, time: plan.time, wear: plan.wear(station.number), keeps });
            }
        }
    }
    all
}

fn works(choice: &Choice) -> Vec<(u32, Work)> {
    choice.works.iter().filter(|(_, chosen)| chosen.is_ok()).map(|(key, _)| *key).collect()
}

/// By how much the shop's own life makes wear more than the material's.
fn scale(job: &Job, bar: &BarPlan, station: &Station) -> f64 {
    let Some(life) = station.edge_life else { return 1.0 };
    let given = tried(job, bar, &DataTable::default());
    let acts = Acts::new(job, bar);
    let mut clock = Clock::new(job, acts.clamp());
    clock.follow(&acts.parts(&Process::of(job, &bar.division)));
    let each = f64::from(bar.division.parts_per_advance);
    clock.cutting()[&station.number] / each / life.s() / given.wear(station.number)
}

/// What an edge's use is worth in seconds.
fn worth(job: &Job, station: &Station) -> f64 {
    let change = station.edge_change.unwrap().s();
    match job.file.cutting.choose {
        Choose::LeastCost => {
            change + 3600.0 * station.edge_price.unwrap() / job.file.cutting.hour_rate.unwrap()
        }
        _ => change,
    }
}

prop_compose! {
    /// A demo with other prices, drive, grip and lives.
    fn a_shop()(
        spacer in any::<bool>(),
        (power, force, base) in (0.05_f64..1.5, 0.5_f64..2.0, 1.0_f64..6.0),
        (rate, price, change) in (5.0_f64..200.0, 0.2_f64..5.0, 0.2_f64..5.0),
        life in prop_oneof![Just(None), (0.1_f64..4.0).prop_map(Some)],
        most_output in any::<bool>(),
    ) -> Job {
        let mut job = a_job(if spacer { SPACER } else { PIN });
        let drive = job.lathe.spindle.drive.as_mut().unwrap();
        drive.power = Power::from_w(drive.power.w() * power);
        // A drive with full power at high speeds only has little torque at low ones.
        drive.base_speed = SpindleSpeed::from_rpm(
            (drive.base_speed.rpm() * base).min(job.lathe.spindle.max_speed.rpm()),
        );
        let grip = job.lathe.grip.as_mut().unwrap();
        grip.force = Force::from_n(grip.force.n() * force);
        let file: &mut JobFile = &mut job.file;
        file.cutting.hour_rate = Some(rate);
        file.cutting.choose = if most_output { Choose::MostOutput } else { Choose::LeastCost };
        for station in &mut job.tools.stations {
            station.edge_price = station.edge_price.map(|it| it * price);
            station.edge_change = station.edge_change.map(|it| it * change);
            station.edge_life =
                station.edge_life.and_then(|it| life.map(|factor| it * factor));
        }
        job
    }
}

fn settled(job: &Job, bar: &BarPlan, fineness: Fineness) -> Choice {
    let swing = plan::spindle::curve(job, bar).ok();
    choice::settle_on(job, bar, swing.as_ref(), fineness)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    /// Of each work no candidate that keeps every limit is worth less than the chosen one.
    #[test]
    fn nothing_on_the_grid_is_better(job in a_shop()) {
        let fineness = Fineness { speeds: 4, feeds: 3, depths: 2, rounds: 1 };
        let bar = plan::bar::divide(&job);
        let choice = settled(&job, &bar, fineness);
        prop_assert!(!works(&choice).is_empty());
        for (number, work) in works(&choice) {
            let station = job.tools.station(number).unwrap();
            let chosen = choice.works[&(number, work)].as_ref().unwrap();
            let spread = figures(&job).spread;
            let weight = worth(&job, station) * spread * scale(&job, &bar, station);
            let value = |it: &Tryout| it.time + weight * it.wear;
            let all = every(&job, &bar, (station, work), fineness);
            let data = choice.data.of(station, work).unwrap();
            let own = all.iter().find(|it| it.data == data).unwrap();
            let kept: Vec<f64> = all.iter().filter(|it| it.keeps).map(value).collect();
            prop_assert_eq!(chosen.keeps_all, own.keeps, "{:?} {:?}", work, data);
            if kept.is_empty() {
                prop_assert!(!own.keeps);
                continue;
            }
            let least = kept.into_iter().fold(f64::INFINITY, f64::min);
            // All may have stayed as given, where that is no worse by the clock.
            let given = choice.gain.is_some_and(|gain| gain.given == gain.chosen);
            prop_assert!(given || own.keeps);
            prop_assert!(
                value(own) <= least * (1.0 + 1e-6),
                "{:?} of station {}: {} where {} can be had", work, number, value(own), least
            );
        }
    }
}

#[test]
fn time_and_wear_of_all_works_add_up_to_what_the_plan_says() {
    for demo in [PIN, SPACER] {
        let mut job = a_job(demo);
        job.file.cutting.choose = Choose::MostOutput;
        let bar = plan::bar::divide(&job);
        let choice = settled(&job, &bar, Fineness::default());
        let answer = plan::plan(&job);
        let each = f64::from(bar.division.parts_per_advance);
        let edges: f64 = answer
            .edges
            .iter()
            .map(|edge| {
                let station = job.tools.station(edge.station).unwrap();
                let whole = tried(&job, &bar, &choice.data);
                let wear = whole.wear(edge.station) * scale(&job, &bar, station);
                // What the plan says of the edge is the same wear.
                let parts = (1.0 / wear).floor();
                assert_eq!(f64::from(edge.parts.as_ref().unwrap().nominal), parts);
                worth(&job, station) * figures(&job).spread * wear
            })
            .sum();
        let seconds = answer.times.cycle.s() / each + edges;
        let told = answer.choice.gain.unwrap();
        assert!((told.chosen / seconds - 1.0).abs() < 1e-6, "{told:?} and {seconds}");
        assert!(told.chosen < told.given);
    }
}

/// Parts and seconds until someone must come, by counting.
fn counted(job: &Job, bar: &BarPlan, time: f64, wears: &[f64]) -> (u32, f64) {
    let given = tried(job, bar, &DataTable::default());
    let times = plan::plan(job).times;
    let each = bar.division.parts_per_advance;
    let more = f64::from(each) * (time - given.time);
    let first = times.bar.s() - times.cycle.s() * f64::from(bar.parts_per_bar / each - 1) + more;
    let cycle = times.cycle.s() + more;
    let until = job.file.walk_away.back_in.map_or(f64::INFINITY, Seconds::s);
    let until = until.min(job.file.walk_away.never_longer.map_or(f64::INFINITY, Seconds::s));
    let (mut parts, mut now) = (0, first);
    loop {
        let next = parts + each;
        let worn = wears.iter().any(|wear| f64::from(next) * wear > 1.0 + 1e-8);
        if worn || next > bar.parts_per_bar || now > until + 1e-9 {
            return (parts, now);
        }
        parts = next;
        now += cycle;
    }
}

/// Share of its life for which an edge may be left alone, with the tangent out of a table: an insert of 7°
/// lets a diameter drift by 2 · 0.3 mm · 0.12278 until it is worn.
fn keeps_size(job: &Job, station: &Station) -> f64 {
    if station.kind != ToolKind::Turning {
        return 1.0;
    }
    let steps = job.file.part.steps();
    let tightest = steps.iter().filter_map(|step| step.allowed).min().unwrap();
    (tightest.mm() / (2.0 * 0.3 * 0.12278)).min(1.0)
}

#[test]
fn no_choice_of_all_works_together_makes_more_parts_alone() {
    let fineness = Fineness { speeds: 5, feeds: 4, depths: 1, rounds: 1 };
    let mut binding = BTreeSet::new();
    for (demo, life, back) in [
        (PIN, 2.0, None),
        (PIN, 4.0, Some(700.0)),
        (PIN, 9.0, Some(500.0)),
        (SPACER, 1.0, None),
        (SPACER, 3.0, Some(600.0)),
        (SPACER, 4.0, Some(400.0)),
        (SPACER, 20.0, Some(2000.0)),
    ] {
        let mut job = a_job(demo);
        job.file.walk_away.back_in = back.map(Seconds::from_s);
        for station in &mut job.tools.stations {
            station.edge_life = station.edge_life.map(|_| Seconds::from_s(60.0 * life));
            station.takes.most_depth = None;
        }
        let bar = plan::bar::divide(&job);
        // What the given data take must be planned as given.
        let as_given = job.clone();
        job.file.cutting.choose = Choose::MostAlone;
        let choice = settled(&job, &bar, fineness);
        let keys = works(&choice);
        assert!(keys.len() >= 3, "{keys:?}");
        let base = tried(&job, &bar, &DataTable::default());
        let stations: Vec<u32> =
            keys.iter().map(|(number, _)| *number).collect::<BTreeSet<_>>().into_iter().collect();
        let factor = |number: u32| {
            let station = job.tools.station(number).unwrap();
            figures(&job).spread * scale(&job, &bar, station) / keeps_size(&job, station)
        };
        // Time and wear of each candidate beyond the given: with a spindle at once at speed they add up.
        let mut totals =
            vec![(base.time, stations.iter().map(|it| base.wear(*it)).collect::<Vec<_>>())];
        for (number, work) in &keys {
            let station = job.tools.station(*number).unwrap();
            let at = stations.iter().position(|it| it == number).unwrap();
            let all = every(&job, &bar, (station, *work), fineness);
            let some_keep = all.iter().any(|it| it.keeps);
            let mut more: Vec<(f64, f64)> = all
                .iter()
                .filter(|it| it.keeps || !some_keep && it.data == Data::of(station, *work).unwrap())
                .map(|it| (it.time - base.time, it.wear - base.wear(*number)))
                .collect();
            // What is beaten in both is in no best choice.
            let all = more.clone();
            more.retain(|it| {
                !all.iter().any(|other| other != it && other.0 <= it.0 && other.1 <= it.1)
            });
            more.sort_by(|one, other| one.partial_cmp(other).unwrap());
            more.dedup();
            totals = totals
                .iter()
                .flat_map(|(time, wears)| {
                    more.iter().map(move |(more_time, more_wear)| {
                        let mut wears = wears.clone();
                        wears[at] += more_wear;
                        (time + more_time, wears)
                    })
                })
                .collect();
        }
        let scaled = |wears: &[f64]| -> Vec<f64> {
            stations.iter().zip(wears).map(|(number, wear)| factor(*number) * wear).collect()
        };
        let answer = plan::plan(&as_given);
        let limits = &answer.walk_away.limits;
        assert!(!limits.is_empty());
        let mut best = (0, f64::INFINITY);
        let factors: Vec<f64> = stations.iter().map(|it| factor(*it)).collect();
        for (time, wears) in &totals {
            let wears: Vec<f64> = wears.iter().zip(&factors).map(|(wear, by)| wear * by).collect();
            let (parts, at) = quick(&as_given, &answer, &bar, (base.time, *time), &wears);
            if parts > best.0 || (parts == best.0 && at < best.1) {
                best = (parts, at);
            }
        }
        let whole = tried(&job, &bar, &choice.data);
        let own: Vec<f64> = stations.iter().map(|it| whole.wear(*it)).collect();
        let (parts, at) = quick(&as_given, &answer, &bar, (base.time, whole.time), &scaled(&own));
        assert_eq!(parts, best.0, "{demo} {life} {back:?}");
        assert!(at <= best.1 * (1.0 + 1e-6), "{demo} {life} {back:?}: {at} and {}", best.1);
        assert_eq!(choice.gain.unwrap().chosen, f64::from(parts));
        binding.insert(parts < bar.parts_per_bar);
        assert_eq!(counted(&as_given, &bar, whole.time, &scaled(&own)).0, parts);
    }
    assert_eq!(binding.len(), 2, "in some jobs the bar ends it, in others an edge or the hour");
}

/// Parts made before any limit and when the last is made, by arithmetic.
fn quick(
    job: &Job,
    answer: &plan::Answer,
    bar: &BarPlan,
    (given, time): (f64, f64),
    wears: &[f64],
) -> (u32, f64) {
    let each = bar.division.parts_per_advance;
    let more = f64::from(each) * (time - given);
    let cycle = answer.times.cycle.s();
    let first = answer.times.bar.s() - cycle * f64::from(bar.parts_per_bar / each - 1) + more;
    let walk = &job.file.walk_away;
    let until =
        [walk.back_in, walk.never_longer].into_iter().flatten().map(model::quantity::Seconds::s);
    let until = until.fold(f64::INFINITY, f64::min);
    let in_time =
        if until < first { 0.0 } else { ((until - first) / (cycle + more)).floor() + 1.0 };
    let lasts = wears.iter().map(|wear| ((1.0 + 1e-8) / wear).floor() as u32 / each * each);
    let parts = lasts.fold(bar.parts_per_bar, u32::min);
    let parts = f64::from(parts).min(in_time * f64::from(each)) as u32;
    (parts, first + (cycle + more) * (f64::from(parts / each) - 1.0))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 16, ..ProptestConfig::default() })]

    /// On the lathe as it is, a choice is never worse than the given data for what is wanted, and breaks no
    /// limit that they keep.
    #[test]
    fn a_choice_never_makes_it_worse(
        mut job in a_shop(),
        wanted in 0_usize..3,
        (run_up, back) in (0.5_f64..6.0, prop_oneof![Just(None), (2.0_f64..40.0).prop_map(Some)]),
    ) {
        job.lathe.spindle.run_up = Seconds::from_s(run_up);
        job.lathe.spindle.run_down = Seconds::from_s(run_up);
        job.file.walk_away.back_in = back.map(|minutes| Seconds::from_s(60.0 * minutes));
        let choose = [Choose::LeastCost, Choose::MostOutput, Choose::MostAlone][wanted];
        job.file.cutting.choose = Choose::AsGiven;
        let given = plan::plan(&job);
        job.file.cutting.choose = choose;
        let chosen = plan::plan(&job);
        let gain = chosen.choice.gain.unwrap();
        let mended = given.checks.iter().any(|it| it.level.is_some());
        if choose == Choose::MostAlone {
            prop_assert!(mended || gain.chosen >= gain.given);
        } else {
            prop_assert!(mended || gain.chosen <= gain.given);
        }
        // What an edge lasts is what is traded; two opinions of power may lie apart anywhere.
        let traded = ["edge-wears-in-bar", "power-opinions-differ"];
        for line in chosen.checks.iter().filter(|it| !traded.contains(&it.id)) {
            let before = given.checks.iter().find(|it| it.id == line.id && it.about == line.about);
            prop_assert!(
                line.level <= before.and_then(|it| it.level),
                "{} {:?} was {:?}: {}", line.id, line.level, before.map(|it| it.level), line.message
            );
        }
    }
}

#[test]
fn what_is_not_known_leaves_the_data_as_given_and_is_told() {
    let lacking = |change: &dyn Fn(&mut Job)| {
        let mut job = shop::demo(SPACER);
        job.file.cutting.choose = Choose::LeastCost;
        change(&mut job);
        let bar = plan::bar::divide(&job);
        let choice = settled(&job, &bar, Fineness::default());
        assert!(works(&choice).is_empty(), "{:?}", choice.works);
        assert_eq!(choice.data, DataTable::default());
        let keys: BTreeSet<&str> =
            choice.works.values().map(|lack| lack.as_ref().unwrap_err().key).collect();
        keys.into_iter().collect::<Vec<_>>().join(" ")
    };
    assert_eq!(lacking(&|job| job.material.force = None), "force");
    assert_eq!(lacking(&|job| job.lathe.spindle.drive = None), "spindle.drive");
    assert_eq!(lacking(&|job| job.lathe.grip = None), "grip");
    assert_eq!(lacking(&|job| job.material.carbide = None), "carbide");
    assert_eq!(lacking(&|job| job.file.cutting.hour_rate = None), "cutting.hour_rate");
    let no_price = |job: &mut Job| {
        for station in &mut job.tools.stations {
            station.edge_price = None;
        }
    };
    assert_eq!(lacking(&no_price), "edge_price");
}

#[test]
fn where_the_bar_may_swing_nothing_turns_faster_than_given() {
    let mut job = a_job(SPACER);
    job.file.cutting.choose = Choose::MostOutput;
    for station in &mut job.tools.stations {
        station.speed = station
            .speed
            .map(|it| model::quantity::SurfaceSpeed::from_m_per_min(it.m_per_min() / 2.0));
    }
    let bar = plan::bar::divide(&job);
    let fastest = |choice: &Choice| {
        let station = job.tools.station(4).unwrap();
        let Speed::Surface(speed) = choice.data.of(station, Work::PartOff).unwrap().speed else {
            panic!()
        };
        speed.m_per_min()
    };
    let free = settled(&job, &bar, Fineness::default());
    let bound = choice::settle(&job, &bar, None);
    assert!(fastest(&bound) <= job.tools.station(4).unwrap().speed.unwrap().m_per_min());
    assert!(fastest(&free) > fastest(&bound));
    assert!(bound.lacks.iter().any(|lack| lack.key == "bar_way"));
    let keys: BTreeSet<&str> = free.lacks.iter().map(|lack| lack.key).collect();
    assert_eq!(keys, BTreeSet::from(["part.feature"]), "of the face alone: {:?}", free.lacks);
}

/// Where no limit is near, the best speed of a plain cylinder is that of the closed form: the life of
/// `(1/n − 1)·(change + price/rate)`. Source: Gilbert 1950, textbooks; the closed form itself is held to published
/// examples in `handbook/life.toml`.
#[test]
fn far_from_all_limits_the_speed_is_that_of_the_closed_form() {
    for choose in [Choose::LeastCost, Choose::MostOutput] {
        let mut job = a_job(SPACER);
        job.file.cutting.choose = choose;
        let drive = job.lathe.spindle.drive.as_mut().unwrap();
        drive.power = Power::from_w(1e6);
        job.lathe.grip.as_mut().unwrap().force = Force::from_n(1e6);
        let bar = plan::bar::divide(&job);
        let choice = settled(&job, &bar, Fineness { speeds: 60, ..Fineness::default() });
        let station = job.tools.station(2).unwrap();
        let data = choice.data.of(station, Work::Rough).unwrap();
        let Speed::Surface(speed) = data.speed else { panic!() };
        let whole = tried(&job, &bar, &choice.data);
        // The outside in one layer: one cut along one diameter.
        let depth = whole.cuts(2, Work::Rough).map(depth).max().unwrap();
        let law = life::taylor_at(figures(&job), data.feed, depth).unwrap();
        let shorter = figures(&job).spread * scale(&job, &bar, station);
        let minutes = worth(&job, station) / 60.0;
        let best = law.one_minute.m_per_min()
            / shorter.powf(law.n)
            / ((1.0 / law.n - 1.0) * minutes).powf(law.n);
        let step = 10.0 * 0.3048;
        let apart = (speed.m_per_min() - best).abs();
        // The way through air before and behind the metal takes time, but wears nothing: n times its share.
        assert!(
            apart <= step + 0.02 * best,
            "{choose:?}: {} chosen, {best} by the closed form",
            speed.m_per_min()
        );
    }
}

#[test]
fn a_size_that_must_be_gauged_ends_the_time_alone() {
    let plan_of = |parts| {
        let mut job = shop::demo(PIN);
        job.file.walk_away.never_longer = None;
        job.file.walk_away.back_in = Some(Seconds::from_s(900.0));
        job.file.walk_away.gauge_within = parts;
        plan::plan(&job)
    };
    let answer = plan_of(Some(7));
    let first = answer.walk_away.first().unwrap();
    assert_eq!((first.kind, first.parts), (Kind::Gauge, 7));
    let back = answer.walk_away.back.as_ref().unwrap();
    assert!(back.reach.contains(&Reach::Gauge(back.wanted)) && back.made == 7, "{back:?}");
    let drift =
        |answer: &plan::Answer| answer.unproven.iter().any(|it| it.what.contains("size drift"));
    assert!(!drift(&answer) && drift(&plan_of(None)));
}

#[test]
fn what_is_needed_until_someone_is_back_is_enough() {
    let plan_of = |length: i64, minutes: f64| {
        let mut job = shop::demo(PIN);
        job.file.bar.length = Length::from_mm(length);
        job.file.walk_away.never_longer = None;
        job.file.walk_away.back_in = Some(Seconds::from_s(60.0 * minutes));
        // Wide enough that no size drifts that far.
        for feature in &mut job.file.part.features {
            feature.deviations = (Length::from_um(150), Length::from_um(-150));
        }
        plan::plan(&job).walk_away
    };
    let back = plan_of(500, 4.0).back.unwrap();
    assert!(back.reached && back.reach.is_empty() && back.made == back.wanted, "{back:?}");
    // A short blank ends before; one as long as is told does not.
    let early = plan_of(500, 15.0).back.unwrap();
    assert!(!early.reached && early.made < early.wanted, "{early:?}");
    let [Reach::Blank(length)] = early.reach.as_slice() else { panic!("{early:?}") };
    let millimeters = (length.nm() + 999_999) / 1_000_000;
    let late = plan_of(millimeters, 15.0).back.unwrap();
    assert!(late.reached, "{late:?}");
    assert!(!plan_of(millimeters - 2, 15.0).back.unwrap().reached);
    // No bar of this lathe lasts three hours.
    let long = plan_of(500, 180.0);
    let [Reach::NoBlank { parts, .. }] = long.back.as_ref().unwrap().reach[..] else {
        panic!("{long:?}")
    };
    assert!(parts >= 30);
    assert_eq!(long.first().unwrap().kind, Kind::Bar);
}

/// 2 · 0.3 mm · tan 7° is 0.07367 mm (0.12278 in any table); ⌀8 0/−0.041 stands 0.0205 mm off its middle at
/// its limits: 0.2783 of an edge's life.
#[test]
fn a_size_that_drifts_ends_the_time_alone_before_the_edge_is_worn() {
    let job = shop::demo(PIN);
    let answer = plan::plan(&job);
    let edge = answer.edges.iter().find(|edge| edge.station == 1).unwrap();
    let (low, keeps) = (edge.parts.as_ref().unwrap().low, edge.keeps_size.unwrap());
    let share = 0.0205 / 0.073_67;
    assert!((f64::from(keeps) - share * f64::from(low)).abs() <= 1.0, "{keeps} of {low}");
    let at = |wanted: Kind| answer.walk_away.limits.iter().find(|it| it.kind == wanted);
    assert_eq!(at(Kind::Size(1)).unwrap().parts, keeps);
    // What was measured comes before what is reckoned.
    let mut job = job;
    job.file.walk_away.gauge_within = Some(2 * keeps);
    let limits = plan::plan(&job).walk_away.limits;
    assert_eq!((limits[0].kind, limits[0].parts), (Kind::Gauge, 2 * keeps));
    assert!(limits.iter().all(|it| it.kind != Kind::Size(1)));
    job.file.walk_away.gauge_within = None;
    // With a drawing that leaves the size more room, the edge is worn first.
    for feature in &mut job.file.part.features {
        feature.deviations = (Length::from_um(150), Length::from_um(-150));
    }
    assert!(plan::plan(&job).walk_away.limits.iter().all(|it| it.kind != Kind::Size(1)));
}
