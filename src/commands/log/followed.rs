//! What happened on a followed machine, as events of the log with ids that are the same when they come again.

use follow::follower::Place;
use follow::happening::{Gap, Id, State};
use follow::{Happening, What as Happened};
use model::record::event::{FollowWhy, Followed, StopWhy, Stopped};
use model::record::{Name, Recorded, What};

/// More parts than a lathe makes between two looks: a counter that leaps so far counts something else.
const MOST_AT_ONCE: u64 = 10_000;

/// An event before it has its time.
pub(super) struct Said {
    pub(super) id: Name,
    pub(super) what: What,
    pub(super) note: Option<Name>,
}

/// The ids of one machine at one agent for one lathe: from the last of them in the log follows where one left off.
pub(super) struct Trail(String);

impl Trail {
    pub(super) fn of(lathe: &Name, agent: &str, device: &str) -> Trail {
        let all = [lathe.text(), agent, device].join("\n");
        // FNV-1a, as far as it is needed to tell machines apart.
        let sum = all.bytes().fold(0xcbf2_9ce4_8422_2325_u64, |sum, byte| {
            (sum ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
        });
        Trail(format!("follow-{sum:016x}"))
    }

    fn id(&self, instance: u64, at: &str, total: Option<u64>) -> Name {
        let total = total.map_or_else(|| "x".to_owned(), |total| total.to_string());
        Name::from(format!("{}-{instance}-{at}-{total}", self.0).as_str())
    }

    /// Where one left off by what the log holds; none where nothing was followed yet.
    pub(super) fn place(&self, recorded: &[Recorded]) -> Option<Place> {
        let mut own: Vec<&Recorded> =
            recorded.iter().filter(|it| self.reads(it.event.id.text()).is_some()).collect();
        own.sort_by_key(|it| it.order.place);
        let place = self.reads(own.last()?.event.id.text())?;
        let state = own.iter().rev().find_map(|it| match it.event.what {
            What::Started => Some(State::Running),
            What::Stopped(_) => Some(State::Ready),
            _ => None,
        });
        Some(Place { state: state.unwrap_or(State::Unknown), ..place })
    }

    fn reads(&self, id: &str) -> Option<Place> {
        let mut parts = id.strip_prefix(self.0.as_str())?.strip_prefix('-')?.split('-');
        let instance = parts.next()?.parse().ok()?;
        let at = parts.next()?;
        let next = match (at.strip_prefix("from"), at.strip_prefix("gap")) {
            (Some(next), _) => next.parse().ok()?,
            (_, Some(first)) => first.parse::<u64>().ok()?.max(1),
            (None, None) => at.parse::<u64>().ok()?.saturating_add(1),
        };
        let total = match parts.next()? {
            "x" => None,
            total => Some(total.parse().ok()?),
        };
        parts.next().is_none().then_some(Place { instance, next, total, state: State::Unknown })
    }

    /// The beginning: nothing that was counted before counts; whether it runs is told where the log knows it otherwise.
    pub(super) fn begun(&self, place: Place, runs: Option<bool>) -> Vec<Said> {
        let at = format!("from{}", place.next);
        let followed = Followed { why: FollowWhy::Began, from: Some(place.next), to: place.total };
        let id = self.id(place.instance, &at, place.total);
        let mut said = vec![Said { id: id.clone(), what: What::Followed(followed), note: None }];
        let what = match (place.state, runs) {
            (State::Running, Some(true)) | (State::Unknown | State::Waiting, _) => None,
            (State::Running, _) => Some(What::Started),
            (_, Some(true)) => Some(stopped(StopWhy::NotKnown)),
            _ => None,
        };
        // The same place with another id: leading zeros say nothing.
        let id = self.id(place.instance, &format!("from0{}", place.next), place.total);
        said.extend(what.map(|what| Said { id, what, note: None }));
        said
    }

    /// One happening as an event. `total` is what the counter shows after it, `made` what the log has of this bar.
    pub(super) fn said(
        &self,
        happening: &Happening,
        total: Option<u64>,
        made: Option<u32>,
        bar_ended: bool,
    ) -> Option<Said> {
        let Id { instance, sequence, gap } = happening.id;
        let at = if gap { format!("gap{sequence}") } else { sequence.to_string() };
        let followed = |why, from, to| What::Followed(Followed { why, from, to });
        let mut note = None;
        let what = match happening.what {
            Happened::Parts { more, total, .. } if more > MOST_AT_ONCE => {
                followed(FollowWhy::Leap, Some(total - more), Some(total))
            }
            Happened::Parts { more, in_gap, .. } => {
                let more = u32::try_from(more).ok()?;
                match made.filter(|_| in_gap) {
                    Some(made) => {
                        let words = format!("{more} counted by the machine while nobody listened");
                        note = Some(Name::from(words.as_str()));
                        What::CountRead { parts: made.saturating_add(more) }
                    }
                    None => What::PartsMade { parts: more },
                }
            }
            Happened::CountSetBack { from, to } => {
                followed(FollowWhy::SetBack, Some(from), Some(to))
            }
            Happened::State(State::Running) => What::Started,
            // A wait of the program's own is no stop, and what is not told is nothing.
            Happened::State(State::Waiting | State::Unknown) => return None,
            Happened::State(_) => stopped(if bar_ended { StopWhy::Bar } else { StopWhy::NotKnown }),
            Happened::BarEnded => followed(FollowWhy::BarEnd, None, None),
            Happened::Gap(Gap::Overrun { from, to }) => {
                followed(FollowWhy::Gap, Some(from), Some(to))
            }
            Happened::Gap(Gap::Restart { before }) => {
                followed(FollowWhy::Restart, Some(before), Some(instance))
            }
        };
        Some(Said { id: self.id(instance, &at, total), what, note })
    }
}

fn stopped(why: StopWhy) -> What {
    What::Stopped(Stopped { why, block: None })
}

#[cfg(test)]
mod tests {
    use super::*;
    use model::record::{Event, Order, Stamp};

    fn trail() -> Trail {
        Trail::of(&Name::from("Lathe 1"), "http://10.0.0.7:5000", "lathe-1")
    }

    fn kept(said: &Said, place: u64) -> Recorded {
        let event = Event {
            id: said.id.clone(),
            at: Stamp::from_ms(0),
            lathe: Some(Name::from("Lathe 1")),
            job: None,
            person: None,
            what: said.what.clone(),
            note: None,
        };
        let order = Order { clock: 0, time: Stamp::from_ms(0), place };
        Recorded { order, received: Stamp::from_ms(0), event }
    }

    #[test]
    fn other_machines_have_other_ids_and_ids_are_names() {
        let one = trail().id(u64::MAX, "gap18446744073709551614", Some(1_000_000_000_000));
        assert!(Name::parse(one.text()).is_some(), "{one}");
        let other = Trail::of(&Name::from("Lathe 2"), "http://10.0.0.7:5000", "lathe-1");
        assert_eq!(other.reads(one.text()), None);
        for nonsense in ["", "follow-", "x-1-2-3", "follow-0000000000000000-1-2-3"] {
            assert_eq!(trail().reads(nonsense), None);
        }
    }

    #[test]
    fn a_leap_of_the_counter_counts_no_parts() {
        let id = Id { instance: 1, sequence: 9, gap: false };
        let what = Happened::Parts { more: 999_999, total: 1_000_004, in_gap: false };
        let said = trail().said(
            &Happening { id, time: String::new(), what },
            Some(1_000_004),
            None,
            false,
        );
        let What::Followed(followed) = said.unwrap().what else { panic!("no parts are made") };
        assert_eq!((followed.why, followed.from), (FollowWhy::Leap, Some(5)));
    }

    /// Where one left off is read from the last event, whichever it is, and is what the follower had.
    #[test]
    fn the_place_is_found_again() {
        for instance in [1, 1_700_000_000, u64::MAX - 1] {
            for sequence in [0, 1, 17, 1_000_000_000_000] {
                for (before, more, running) in [(0, 1, true), (99_999, 50, false)] {
                    found_again(instance, sequence, (before, more), running);
                }
            }
        }
    }

    fn found_again(instance: u64, sequence: u64, (before, more): (u64, u64), running: bool) {
        let begun = Place { instance, next: 1, total: Some(before), state: State::Unknown };
        let happening = |sequence, gap, what| Happening {
            id: Id { instance, sequence, gap },
            time: String::new(),
            what,
        };
        let state = if running { State::Running } else { State::Ready };
        let total = before + more;
        let all = [
            happening(sequence, true, Happened::Gap(Gap::Overrun { from: 1, to: sequence })),
            happening(sequence + 1, false, Happened::Parts { more, total, in_gap: true }),
            happening(sequence + 2, false, Happened::State(state)),
            happening(sequence + 3, false, Happened::CountSetBack { from: total, to: 2 }),
        ];
        let mut log: Vec<Recorded> = Vec::new();
        for (at, said) in trail().begun(begun, None).iter().enumerate() {
            log.push(kept(said, at as u64 + 1));
        }
        let mut place = begun;
        assert_eq!(trail().place(&log), Some(place));
        for it in &all {
            place = place.after(it);
            let said = trail().said(it, place.total, Some(3), false).unwrap();
            log.push(kept(&said, log.len() as u64 + 1));
            log.reverse();
            assert_eq!(trail().place(&log), Some(place), "in whatever order they are read");
            log.reverse();
        }
    }
}
