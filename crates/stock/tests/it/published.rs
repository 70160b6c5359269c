//! Published instances with known optima.

use stock::problem::{Bar, Problem, Row};
use stock::solve::solve;

fn plain(length: i64, pieces: &[(i64, u32)], kerf: i64) -> Problem {
    let row = |(length, wanted): &(i64, u32)| Row {
        overhead: length + kerf,
        each: 0,
        most: 1,
        load: 0,
        wanted: *wanted,
    };
    let rows = pieces.iter().map(row).collect();
    Problem { rows, bars: vec![Bar { room: length + kerf, price: 1, there: None }] }
}

/// Stock length, blanks and their counts, kerf, fewest bars.
type Case<'a> = (i64, &'a [(i64, u32)], i64, i64);

#[test]
fn published_lists_come_to_their_optima() {
    // trade-checks L1 (found: 73), L2 (found: 453), L3, L4, L7 (data from memory, optimum by HiGHS and
    // CP-SAT), L8 and L9 with kerfs (HiGHS).
    let wikipedia = [
        (1380, 22),
        (1520, 25),
        (1560, 12),
        (1710, 14),
        (1820, 18),
        (1880, 18),
        (1930, 20),
        (2000, 10),
        (2050, 12),
        (2100, 14),
        (2140, 16),
        (2150, 18),
        (2200, 20),
    ];
    let cases: [Case<'_>; 9] = [
        (5600, &wikipedia, 0, 73),
        (100, &[(45, 97), (36, 610), (31, 395), (14, 211)], 0, 453),
        (17, &[(9, 15), (5, 20), (3, 25)], 0, 19),
        (15, &[(4, 80), (6, 50), (7, 100)], 0, 95),
        (100, &[(70, 1), (60, 1), (50, 1), (33, 3), (11, 1), (7, 1), (3, 1)], 0, 4),
        (6000, &[(1500, 8), (1200, 10), (1000, 12)], 0, 6),
        (6000, &[(1500, 8), (1200, 10), (1000, 12)], 3, 7),
        (3000, &[(610, 12), (455, 18), (380, 25), (245, 30)], 3, 11),
        (3000, &[(610, 12), (455, 18), (380, 25), (245, 30)], 5, 11),
    ];
    for (length, pieces, kerf, bars) in cases {
        let problem = plain(length, pieces, kerf);
        let solved = solve(&problem, &mut || true);
        assert_eq!((solved.cost, solved.least), (bars, bars), "{length} {pieces:?}");
        assert!(solved.is_proven() && problem.is_met(&solved.patterns.unwrap()));
    }
}
