//! Reference data sets of NIST (`StRD`), univariate: mean, standard deviation and lag-1
//! autocorrelation against the certified values, as digits that agree. `PiDigits` is not here: its certified
//! mean, 4.5348, is not that of the first 5000 digits of pi (4.5358, computed in two ways), and the
//! set itself was at hand only as a page to read. Norris, the line, is in `handbook/sizes.toml`.

use calc::sizes::summary::{SizeSummary, Summary, hanging_together};
use model::{Length, Units};
use std::path::Path;

/// One set with its certified values.
struct Set {
    name: String,
    certified: [f64; 3],
    texts: Vec<String>,
}

impl Set {
    fn read(name: &str) -> Set {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("tests/strd/{name}.txt"));
        let text = std::fs::read_to_string(&path).unwrap();
        let value = |key: &str| -> f64 {
            let line = text.lines().find_map(|line| line.strip_prefix(key));
            line.unwrap_or_else(|| panic!("{name} has no {key}")).trim().parse().unwrap()
        };
        let certified = [value("mean "), value("deviation "), value("hanging together ")];
        let (_, numbers) = text.split_once("numbers\n").unwrap();
        let texts = numbers.split_whitespace().map(str::to_owned).collect();
        Set { name: name.to_owned(), certified, texts }
    }

    /// `NumAcc2` to 4, by the sets' own description: one number, then five hundred pairs about it.
    fn constructed(name: &str, whole: &str) -> Set {
        let mut texts = vec![format!("{whole}.2")];
        texts.extend((0..500).flat_map(|_| [format!("{whole}.1"), format!("{whole}.3")]));
        let mean = texts[0].parse().unwrap();
        Set { name: name.to_owned(), certified: [mean, 0.1, -0.999], texts }
    }

    fn numbers(&self) -> Vec<f64> {
        self.texts.iter().map(|text| text.parse().unwrap()).collect()
    }
}

/// Digits that agree: −log10 of the relative error, 15 at most.
fn digits(ours: f64, certified: f64) -> f64 {
    let error = ((ours - certified) / certified).abs();
    if error == 0.0 { 15.0 } else { (-libm::log10(error)).min(15.0) }
}

#[test]
fn certified_values_are_met() {
    // Least digits of mean, deviation and autocorrelation. Of the constructed sets the numbers
    // themselves have no exact binary form: that alone costs the deviation of NumAcc3 and 4 six
    // and seven digits.
    let sets = [
        (Set::read("lew"), [14.5, 14.0, 13.5]),
        (Set::read("lottery"), [14.5, 14.0, 13.5]),
        (Set::read("mavro"), [14.5, 12.5, 12.5]),
        (Set::read("michelso"), [14.5, 13.5, 13.0]),
        (Set::constructed("NumAcc2", "1"), [14.5, 13.0, 13.0]),
        (Set::constructed("NumAcc3", "1000000"), [14.5, 9.0, 9.0]),
        (Set::constructed("NumAcc4", "10000000"), [14.5, 8.0, 8.0]),
    ];
    for (set, least) in sets {
        let numbers = set.numbers();
        let summary = Summary::of(&numbers).unwrap();
        let together = hanging_together(&numbers).unwrap().unwrap();
        let ours = [summary.mean, summary.deviation, together];
        for at in 0..3 {
            let agree = digits(ours[at], set.certified[at]);
            assert!(agree >= least[at], "{} {at}: {} agrees to {agree} digits", set.name, ours[at]);
        }
    }
}

#[test]
fn sizes_have_no_rounding_at_all() {
    // The hardest sets as lengths: whole nanometers, so that the deviation is exact.
    for (whole, count) in [("1", 1001), ("1000000", 1001), ("10000000", 1001)] {
        let set = Set::constructed("NumAcc", whole);
        // Told in thousandths: the sets reach beyond the longest length that is read.
        let size = |text: &String| {
            let tenths: i64 = text.replace('.', "").parse().unwrap();
            Length::from_nm(tenths * 100)
        };
        let summary = SizeSummary::of(&set.texts.iter().map(size).collect::<Vec<_>>()).unwrap();
        assert_eq!(summary.count, count);
        assert_eq!(summary.mean, size(&set.texts[0]));
        assert_eq!(summary.deviation.text(Units::Mm, 6), "0.000100");
    }
}
