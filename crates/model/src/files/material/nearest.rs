//! Which ISO 513 group the name of an unknown grade speaks of.

use super::IsoGroup;

/// Words of the trade and the group that they speak of. A more telling word stands before a more
/// common one: a hardened or stainless steel is no plain steel. From memory.
const WORDS: &[(&str, IsoGroup)] = &[
    ("hardened", IsoGroup::H),
    ("hrc", IsoGroup::H),
    ("stainless", IsoGroup::M),
    ("inox", IsoGroup::M),
    ("duplex", IsoGroup::M),
    ("austenit", IsoGroup::M),
    ("titan", IsoGroup::S),
    ("nickel", IsoGroup::S),
    ("cobalt", IsoGroup::S),
    ("superalloy", IsoGroup::S),
    ("ti-", IsoGroup::S),
    ("iron", IsoGroup::K),
    ("gjl", IsoGroup::K),
    ("gjs", IsoGroup::K),
    ("alumin", IsoGroup::N),
    ("magnes", IsoGroup::N),
    ("az31", IsoGroup::N),
    ("brass", IsoGroup::N),
    ("bronze", IsoGroup::N),
    ("copper", IsoGroup::N),
    ("zinc", IsoGroup::N),
    ("plastic", IsoGroup::N),
    ("nylon", IsoGroup::N),
    ("acetal", IsoGroup::N),
    ("pom", IsoGroup::N),
    ("ptfe", IsoGroup::N),
    ("peek", IsoGroup::N),
    ("steel", IsoGroup::P),
    ("crmo", IsoGroup::P),
    ("mncr", IsoGroup::P),
];

/// The ISO 513 group that the name of a grade most likely means, to be *offered* to the person,
/// never to be taken without asking. None where the name says nothing that we know.
///
/// Read are, in this order: words such as `bronze`, the leading figures of EN material numbers
/// (`1.4301`), and the four figures of steels or three of stainless steels in the American way
/// (`8620`, `410`). Source: the numbering rules of EN 10027-2 and of the American standards, from
/// memory.
pub fn nearest_group(name: &str) -> Option<IsoGroup> {
    let name = name.to_lowercase();
    let word = WORDS.iter().find(|(word, _)| name.contains(word)).map(|(_, group)| *group);
    word.or_else(|| numbers(&name).find_map(by_number))
}

/// The runs of figures in a name, with points between them.
fn numbers(name: &str) -> impl Iterator<Item = &str> {
    name.split(|c: char| !c.is_ascii_digit() && c != '.').filter(|run| !run.is_empty())
}

fn by_number(number: &str) -> Option<IsoGroup> {
    if let Some((class, rest)) = number.split_once('.') {
        let stainless = rest.starts_with('4');
        return match class {
            "0" => Some(IsoGroup::K),
            "1" if rest.len() == 4 && stainless => Some(IsoGroup::M),
            "1" if rest.len() == 4 => Some(IsoGroup::P),
            "2" if rest.starts_with('4') => Some(IsoGroup::S),
            "3" if rest.starts_with('7') => Some(IsoGroup::S),
            "2" | "3" => Some(IsoGroup::N),
            _ => None,
        };
    }
    // Where a number of a steel is one of an aluminum too (3003, 5052), nothing is said.
    let two = number.get(..2)?;
    match (number.len(), two.as_bytes()) {
        (3, [b'2'..=b'4', _]) => Some(IsoGroup::M),
        (4, b"30" | b"50") => None,
        (4, b"20" | b"60" | [b'7', _]) => Some(IsoGroup::N),
        (4, [b'1' | b'3'..=b'6' | b'8' | b'9', _]) => Some(IsoGroup::P),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What each is follows from the name itself; the numbers are those of well-known grades.
    #[test]
    fn names_of_the_trade_are_put_in_their_group() {
        for (name, group) in [
            ("phosphor-bronze", IsoGroup::N),
            ("stainless-410", IsoGroup::M),
            ("stainless steel 1.4104", IsoGroup::M),
            ("1.4104", IsoGroup::M),
            ("410", IsoGroup::M),
            ("8620", IsoGroup::P),
            ("1144", IsoGroup::P),
            ("AISI 4340", IsoGroup::P),
            ("1.7225", IsoGroup::P),
            ("2.4668", IsoGroup::S),
            ("titanium-grade-2", IsoGroup::S),
            ("gray-iron", IsoGroup::K),
            ("2011", IsoGroup::N),
            ("6082", IsoGroup::N),
            ("7050", IsoGroup::N),
            ("hardened steel", IsoGroup::H),
        ] {
            assert_eq!(nearest_group(name), Some(group), "{name}");
        }
        for nothing in ["unobtainium", "", "x", "99", "...", "5052", "1é4"] {
            assert_eq!(nearest_group(nothing), None, "{nothing}");
        }
    }
}
