//! How often one may ask: a bucket of so many, that fills again slowly.

use std::collections::BTreeMap;
use std::net::{IpAddr, Ipv6Addr};
use std::time::Instant;

/// Buckets that are remembered at most.
const MOST: usize = 4096;

/// A bucket for each who asks.
#[derive(Debug)]
pub(super) struct Pace<Who> {
    full: f64,
    per_second: f64,
    /// What was left, and when.
    left: BTreeMap<Who, (f64, Instant)>,
}

impl<Who: Ord + Clone> Pace<Who> {
    /// So many at once, and so many a second from then on.
    pub(super) const fn new(full: f64, per_second: f64) -> Pace<Who> {
        Pace { full, per_second, left: BTreeMap::new() }
    }

    /// Takes one; false where none is left.
    pub(super) fn take(&mut self, who: &Who, now: Instant) -> bool {
        if self.left.len() >= MOST && !self.left.contains_key(who) {
            let (full, per_second) = (self.full, self.per_second);
            self.left.retain(|_, bucket| filled(*bucket, per_second, now) < full);
            // So many at once is no shop: whoever is new waits.
            if self.left.len() >= MOST {
                return false;
            }
        }
        let bucket = self.left.entry(who.clone()).or_insert((self.full, now));
        let there = filled(*bucket, self.per_second, now).min(self.full);
        *bucket = (if there < 1.0 { there } else { there - 1.0 }, now);
        there >= 1.0
    }
}

fn filled((left, then): (f64, Instant), per_second: f64, now: Instant) -> f64 {
    left + per_second * now.saturating_duration_since(then).as_secs_f64()
}

/// Whom an address stands for: with IPv6 one device has all addresses of its network.
pub(super) fn of_address(address: IpAddr) -> IpAddr {
    match address.to_canonical() {
        IpAddr::V6(address) => {
            IpAddr::V6(Ipv6Addr::from_bits(address.to_bits() & (u128::MAX << 64)))
        }
        v4 @ IpAddr::V4(_) => v4,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::time::Duration;

    #[test]
    fn a_bucket_runs_dry_and_fills_again() {
        let (mut pace, begin) = (Pace::new(3.0, 0.5), Instant::now());
        let taken = (0..5).filter(|_| pace.take(&"one", begin)).count();
        assert_eq!(taken, 3);
        assert!(pace.take(&"other", begin), "each has a bucket of their own");
        assert!(!pace.take(&"one", begin + Duration::from_millis(1900)));
        assert!(pace.take(&"one", begin + Duration::from_secs(4)));
        let later = begin + Duration::from_hours(1);
        let taken = (0..9).filter(|_| pace.take(&"one", later)).count();
        assert_eq!(taken, 3, "never more than it holds");
    }

    #[test]
    fn no_number_of_strangers_fills_the_memory_or_locks_out_who_is_there() {
        let (mut pace, begin) = (Pace::new(3.0, 0.5), Instant::now());
        let taken = (0..2 * MOST).filter(|who| pace.take(who, begin)).count();
        assert_eq!((taken, pace.left.len()), (MOST, MOST));
        assert!(pace.take(&0, begin));
        assert!(pace.take(&(3 * MOST), begin + Duration::from_secs(10)), "full ones are forgotten");
    }

    #[test]
    fn one_network_of_ipv6_is_one_stranger() {
        let of = |text: &str| of_address(text.parse().unwrap());
        assert_eq!(of("2001:db8:1:2:3::4"), of("2001:db8:1:2:ffff::"));
        assert_ne!(of("2001:db8:1:2::"), of("2001:db8:1:3::"));
        assert_eq!(of("::ffff:192.0.2.7"), of("192.0.2.7"));
        assert_ne!(of("192.0.2.7"), of("192.0.2.8"));
    }
}
