//! A second, tiny reader of programs that are written out in full: words, X and Z that stay, calls
//! and a count. It shares nothing with the crates that read and run programs; it knows the few
//! words below and panics at any other, so that nothing is passed over in silence.

use std::collections::BTreeMap;

/// Nanometers.
type Nm = i64;

/// Where the tool goes: radius and Z.
pub(crate) type End = (Nm, Nm);

/// The places that a program's moves end at, each once where the tool stays.
pub(crate) fn ends(text: &str, inch: bool, packed: bool, start: End) -> Vec<End> {
    let mut reader = Reader {
        lines: text.lines().map(bare).collect(),
        unit: if inch { 25_400_000 } else { 1_000_000 },
        packed,
        at: 0,
        calls: Vec::new(),
        variables: BTreeMap::new(),
        here: start,
        shift: 0,
        increments: false,
        ends: Vec::new(),
    };
    reader.at = reader.program_start(None);
    while reader.line() {}
    reader.ends
}

/// A line without comments and blanks.
fn bare(line: &str) -> String {
    let mut depth = 0;
    let kept = line.chars().filter(|sign| {
        depth += i32::from(*sign == '(');
        let outside = depth == 0;
        depth -= i32::from(*sign == ')');
        outside && !sign.is_whitespace()
    });
    kept.collect()
}

struct Reader {
    lines: Vec<String>,
    unit: Nm,
    packed: bool,
    at: usize,
    /// Line to go back to, line of the program's start, times left.
    calls: Vec<(usize, usize, u32)>,
    variables: BTreeMap<u32, i64>,
    here: End,
    shift: Nm,
    increments: bool,
    ends: Vec<End>,
}

impl Reader {
    /// The line of an O number, or of the first one.
    fn program_start(&self, number: Option<u32>) -> usize {
        let is = |line: &String| {
            let digits = line.strip_prefix('O').map(|rest| rest.parse::<u32>().unwrap());
            digits.is_some() && (number.is_none() || digits == number)
        };
        self.lines.iter().position(is).unwrap_or_else(|| panic!("no program {number:?}"))
    }

    /// The line of a block number of the program that starts at a line.
    fn block(&self, program: usize, number: u32) -> usize {
        let mut lines = (program + 1..self.lines.len()).take_while(|at| {
            !self.lines[*at].starts_with('O') && !self.lines[*at].starts_with('%')
        });
        let found = lines.find(|at| {
            let words = self.lines[*at].strip_prefix('N').unwrap_or("");
            let end = words.find(|sign: char| !sign.is_ascii_digit()).unwrap_or(words.len());
            words[..end].parse() == Ok(number)
        });
        found.unwrap_or_else(|| panic!("no block {number}"))
    }

    fn program(&self) -> usize {
        self.calls.last().map_or_else(|| self.program_start(None), |call| call.1)
    }

    /// One line; gives whether the program goes on.
    fn line(&mut self) -> bool {
        let line = self.lines[self.at].clone();
        self.at += 1;
        let line = match line.strip_prefix('N') {
            Some(rest) => rest.trim_start_matches(|sign: char| sign.is_ascii_digit()),
            None => line.as_str(),
        };
        if let Some(rest) = line.strip_prefix("IF[#") {
            let (condition, target) = rest.split_once("]GOTO").unwrap();
            let sign = condition.find(char::is_alphabetic).unwrap();
            let (variable, limit) = (&condition[..sign], &condition[sign + 2..]);
            let value = self.variables.get(&variable.parse().unwrap()).copied().unwrap_or(0);
            let limit: i64 = limit.parse().unwrap();
            let jumps = match &condition[sign..sign + 2] {
                "GE" => value >= limit,
                "LT" => value < limit,
                other => panic!("no comparison {other}"),
            };
            if jumps {
                self.at = self.block(self.program(), target.parse().unwrap());
            }
            return true;
        }
        if let Some(target) = line.strip_prefix("GOTO") {
            self.at = self.block(self.program(), target.parse().unwrap());
            return true;
        }
        if let Some(statement) = line.strip_prefix('#') {
            let (variable, value) = statement.split_once('=').unwrap();
            let number = variable.parse().unwrap();
            let before = self.variables.get(&number).copied().unwrap_or(0);
            let value = match value.strip_prefix(&format!("#{variable}+")) {
                Some(step) => before + step.parse::<i64>().unwrap(),
                None => value.parse().unwrap(),
            };
            self.variables.insert(number, value);
            return true;
        }
        if line.is_empty() || line.starts_with(['%', 'O']) {
            return true;
        }
        self.words(&words(line))
    }

    fn words(&mut self, words: &[(char, &str)]) -> bool {
        let get = |letter| words.iter().rev().find(|word| word.0 == letter).map(|word| word.1);
        let whole = |letter| get(letter).map(|digits| digits.parse::<u32>().unwrap());
        for (_, code) in words.iter().filter(|word| word.0 == 'G') {
            match code.parse::<u32>().unwrap() {
                0..=3 | 18 | 20 | 21 | 40 | 50 | 92 | 94..=99 => {}
                4 => return true,
                52 => {
                    self.shift = self.nm(get('Z').unwrap());
                    return true;
                }
                90 => self.increments = false,
                91 => self.increments = true,
                other => panic!("no word G{other}"),
            }
        }
        self.moves(&get);
        for (_, code) in words.iter().filter(|word| word.0 == 'M') {
            match code.parse::<u32>().unwrap() {
                30 => return false,
                66 => *self.variables.entry(3901).or_default() += 1,
                98 => self.call(whole('P').unwrap(), whole('L')),
                99 => self.back(whole('P')),
                _ => {}
            }
        }
        true
    }

    fn moves<'w>(&mut self, get: &dyn Fn(char) -> Option<&'w str>) {
        let length = |letter| get(letter).map(|digits| self.nm(digits));
        let (x, z) = (length('X').map(|x| x / 2), length('Z'));
        let (u, w) = (length('U').map_or(0, |u| u / 2), length('W').unwrap_or(0));
        let (r_now, z_now) = self.here;
        let end = if self.increments {
            (r_now + x.unwrap_or(0), z_now + z.unwrap_or(0))
        } else {
            (x.unwrap_or(r_now) + u, z.map_or(z_now, |z| z + self.shift) + w)
        };
        if end != self.here {
            self.here = end;
            self.ends.push(end);
        }
    }

    fn call(&mut self, p: u32, l: Option<u32>) {
        let (number, times) =
            if self.packed && p > 9999 { (p % 10_000, p / 10_000) } else { (p, l.unwrap_or(1)) };
        let start = self.program_start(Some(number));
        self.calls.push((self.at, start, times - 1));
        self.at = start;
    }

    fn back(&mut self, target: Option<u32>) {
        match self.calls.last_mut() {
            Some(call) if call.2 > 0 => {
                call.2 -= 1;
                self.at = call.1;
                return;
            }
            Some(_) => self.at = self.calls.pop().unwrap().0,
            None => self.at = self.program(),
        }
        if let Some(number) = target {
            self.at = self.block(self.program(), number);
        }
    }

    /// A number with a point, or a plain zero, as nanometers.
    fn nm(&self, digits: &str) -> Nm {
        if digits == "0" {
            return 0;
        }
        let (whole, part) = digits.split_once('.').unwrap_or_else(|| panic!("{digits}: no point"));
        let sign = if whole.starts_with('-') { -1 } else { 1 };
        let whole = whole.trim_start_matches(['-', '+']);
        let scale = 10_i64.pow(part.len() as u32);
        let number = |digits: &str| if digits.is_empty() { 0 } else { digits.parse().unwrap() };
        let digits: i64 = number(whole) * scale + number(part);
        assert_eq!(digits * self.unit % scale, 0, "no whole nanometers");
        sign * digits * self.unit / scale
    }
}

/// A line split into letters and what follows each.
fn words(line: &str) -> Vec<(char, &str)> {
    let starts: Vec<usize> = line.match_indices(char::is_alphabetic).map(|found| found.0).collect();
    let ends = starts.iter().skip(1).copied().chain([line.len()]);
    let words = starts.iter().zip(ends);
    words.map(|(start, end)| (line.as_bytes()[*start] as char, &line[start + 1..end])).collect()
}
