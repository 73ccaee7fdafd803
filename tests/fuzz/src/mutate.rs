//! Changes of a text that leave most of it as people write it: another number, unit, word, key, line or table. A
//! change of bytes alone is refused by the reader nearly every time, and nothing behind the reader would ever be tried.

use std::sync::OnceLock;
use sumpwright::site::keys::{Key, Kind, SITE};

/// Random numbers: splitmix64 (Steele, Lea and Flood, 2014).
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }
    fn below(&mut self, count: usize) -> usize {
        if count == 0 { 0 } else { (self.next() % count as u64) as usize }
    }
    fn one<'t, T>(&mut self, items: &'t [T]) -> Option<&'t T> {
        items.get(self.below(items.len()))
    }
}

/// Numbers at which things turn.
const ODD_NUMBERS: &[&str] = &[
    "0",
    "1",
    "2",
    "-1",
    "0.0",
    "-0.0",
    "0.001",
    "0.000001",
    "1e-300",
    "1e300",
    "1e9",
    "999999",
    "100",
    "24",
    "1000000",
    "nan",
    "inf",
    "5e-324",
    "9223372036854775807",
    "1_000",
    "1,5",
    "1/2",
    "1-1/2",
    "12 ft 6",
    "0.5 to 2",
];
const UNITS: &[&str] = &[
    "ft",
    "in",
    "m",
    "mm",
    "cm",
    "yd",
    "ft2",
    "m2",
    "acre",
    "in2",
    "gal",
    "L",
    "ft3",
    "m3",
    "gpm",
    "L/s",
    "gph",
    "cfs",
    "psi",
    "kPa",
    "s",
    "min",
    "h",
    "day",
    "yr",
    "in/h",
    "mm/h",
    "ft/s",
    "m/s",
    "%",
    "F",
    "C",
    "lb",
    "kg",
    "V",
    "A",
    "hp",
    "W",
    "kW",
    "in/ft",
    "ft below ground",
    "",
];
const ODD_WORDS: &[&str] = &[
    "\"\\u001b[31m red\"",
    "\"<script>alert(1)</script>\"",
    "\"=1+1\"",
    "\"\\u202e backwards\"",
    "\"a\\tb\\nc\"",
    "true",
    "false",
    "[]",
    "{}",
    "\"\"",
    "\"none\"",
    "1979-05-27",
    "[1, 2]",
    "{ count = 2 }",
    "\"`tick` & \\\"quote\\\" '\"",
    "\"-x\"",
    "\"a very long name of many words that goes on and on, longer than any name in a yard should be, really\"",
];

/// A key with the dotted path of its table, whether that is one of several, and an example.
struct Declared {
    path: String,
    several: bool,
    key: &'static Key,
}

fn declared() -> &'static [Declared] {
    static KEYS: OnceLock<Vec<Declared>> = OnceLock::new();
    fn walk(path: &str, several: bool, keys: &'static [Key], found: &mut Vec<Declared>) {
        for key in keys {
            found.push(Declared { path: path.to_owned(), several, key });
            if let Some(inner) = key.keys() {
                let path = if path.is_empty() { key.name.to_owned() } else { format!("{path}.{}", key.name) };
                walk(&path, matches!(key.kind, Kind::Tables(_)), inner, found);
            }
        }
    }
    KEYS.get_or_init(|| {
        let mut found = Vec::new();
        walk("", false, SITE, &mut found);
        found
    })
}

/// Where the numbers of a text are.
fn numbers(text: &str) -> Vec<std::ops::Range<usize>> {
    let bytes = text.as_bytes();
    let mut found = Vec::new();
    let mut at = 0;
    while at < bytes.len() {
        let inside_word = at > 0 && (bytes[at - 1].is_ascii_alphabetic() || bytes[at - 1] == b'_');
        if !bytes[at].is_ascii_digit() || inside_word {
            at += 1;
            continue;
        }
        let end = (at..bytes.len()).find(|end| !matches!(bytes[*end], b'0'..=b'9' | b'.')).unwrap_or(bytes.len());
        found.push(at..end);
        at = end;
    }
    found
}

/// Where the quoted texts are, quotes included.
fn quoted(text: &str) -> Vec<std::ops::Range<usize>> {
    let mut found = Vec::new();
    let mut begin = None;
    for (at, letter) in text.char_indices() {
        match (letter, begin) {
            ('\n', _) => begin = None,
            ('"', None) => begin = Some(at),
            ('"', Some(start)) => {
                found.push(start..at + 1);
                begin = None;
            }
            _ => {}
        }
    }
    found
}

fn number(dice: &mut Dice, text: &mut String) {
    let places = numbers(text);
    let Some(place) = dice.one(&places).cloned() else { return };
    let old: f64 = text[place.clone()].parse().unwrap_or(1.0);
    let digits = text[place.clone()].split('.').nth(1).map_or(0, str::len);
    let share = dice.below(1_000_001) as f64 / 1_000_000.0;
    let new = match dice.below(10) {
        0..=3 => format!("{:.*}", digits.max(1), old * (0.8 + 0.4 * share)),
        4 | 5 => format!("{:.*}", digits.max(2), old * 3.0 * share),
        6 => format!("{}", old * 10_f64.powi(dice.below(7) as i32 - 3)),
        7 => format!("{:.*}", digits, old + if share < 0.5 { -1.0 } else { 1.0 }),
        8 => match dice.one(&places) {
            Some(other) => text[other.clone()].to_owned(),
            None => return,
        },
        _ => (*dice.one(ODD_NUMBERS).unwrap_or(&"0")).to_owned(),
    };
    text.replace_range(place, &new);
}

fn unit(dice: &mut Dice, text: &mut String) {
    let places: Vec<_> = quoted(text)
        .into_iter()
        .filter(|place| text[place.start + 1..].starts_with(|letter: char| letter.is_ascii_digit()))
        .collect();
    let Some(place) = dice.one(&places).cloned() else { return };
    let inside = &text[place.start + 1..place.end - 1];
    let Some(at) = inside.find(|letter: char| !letter.is_ascii_digit() && !matches!(letter, '.' | ' ' | '-' | '/'))
    else {
        return;
    };
    let unit = dice.one(UNITS).copied().unwrap_or_default();
    let new = format!("\"{}{unit}\"", &inside[..at]);
    text.replace_range(place, &new);
}

fn word(dice: &mut Dice, text: &mut String) {
    let places = quoted(text);
    let Some(place) = dice.one(&places).cloned() else { return };
    let new = if dice.below(2) == 0 {
        dice.one(ODD_WORDS).copied().unwrap_or("true").to_owned()
    } else {
        let Some(other) = dice.one(&places) else { return };
        text[other.clone()].to_owned()
    };
    text.replace_range(place, &new);
}

/// Puts in a declared key with its example: under its table where that is there, else under a header of its own.
fn key(dice: &mut Dice, text: &mut String) {
    let Some(declared) = dice.one(declared()) else { return };
    let key = declared.key;
    let line = if key.example.is_empty() {
        return;
    } else if let Kind::Choice(words) = key.kind {
        format!("{} = \"{}\"\n", key.name, dice.one(words).copied().unwrap_or_default())
    } else {
        format!("{} = {}\n", key.name, key.example)
    };
    if declared.path.is_empty() {
        text.insert_str(0, &line);
        return;
    }
    let header = if declared.several { format!("[[{}]]", declared.path) } else { format!("[{}]", declared.path) };
    let heads: Vec<usize> = text.match_indices(&header).map(|(at, _)| at).collect();
    if let Some(head) = dice.one(&heads) {
        let at = text[*head..].find('\n').map_or(text.len(), |end| head + end + 1);
        // the same key twice is refused: the one that is there gives way
        let end = text[at..].find("\n[").map_or(text.len(), |end| at + end + 1);
        let kept: String = text[at..end]
            .split_inclusive('\n')
            .filter(|line| line.split(['=', ' ']).next() != Some(key.name))
            .collect();
        text.replace_range(at..end, &format!("{line}{kept}"));
    } else {
        let at = text.find(super::site_files::BETWEEN).unwrap_or(text.len());
        text.insert_str(at, &format!("\n{header}\n{line}"));
    }
}

/// Where the lines of a text begin and end.
fn lines(text: &str) -> Vec<std::ops::Range<usize>> {
    let mut at = 0;
    text.split_inclusive('\n')
        .map(|line| {
            at += line.len();
            at - line.len()..at
        })
        .collect()
}

fn line(dice: &mut Dice, text: &mut String) {
    let places = lines(text);
    let (Some(one), Some(other)) = (dice.one(&places).cloned(), dice.one(&places).cloned()) else { return };
    match dice.below(4) {
        0 => text.replace_range(one, ""),
        1 => {
            let copy = text[one].to_owned();
            text.insert_str(other.start, &copy);
        }
        2 => {
            let (one, other) = (text[one.clone()].to_owned(), if one.start < other.start { other } else { one });
            text.replace_range(other, &one);
        }
        _ => {
            // some lines as they are, many times
            let until = places.get(dice.below(6) + places.iter().position(|place| *place == one).unwrap_or(0));
            let end = until.map_or(one.end, |place| place.end).max(one.end);
            let copy = text[one.start..end].repeat(1 + dice.below(8));
            text.insert_str(end, &copy);
        }
    }
}

/// Puts a table of another file in, takes one out, or doubles one.
fn table(dice: &mut Dice, text: &mut String, others: &[&str]) {
    let tables = |text: &str| {
        let mut heads: Vec<usize> = text.match_indices("\n[").map(|(at, _)| at + 1).collect();
        heads.push(text.find(super::site_files::BETWEEN).unwrap_or(text.len()));
        heads.windows(2).filter(|pair| pair[0] < pair[1]).map(|pair| pair[0]..pair[1]).collect::<Vec<_>>()
    };
    let own = tables(text);
    match dice.below(3) {
        0 => {
            if let Some(place) = dice.one(&own) {
                text.replace_range(place.clone(), "");
            }
        }
        1 => {
            if let Some(place) = dice.one(&own) {
                let copy = text[place.clone()].to_owned();
                text.insert_str(place.end, &copy);
            }
        }
        _ => {
            let Some(other) = dice.one(others) else { return };
            let theirs = tables(other);
            let (Some(from), Some(to)) = (dice.one(&theirs), dice.one(&own)) else { return };
            let copy = &other[from.clone()];
            let head = |text: &str| text.lines().next().unwrap_or_default().to_owned();
            // a table that there may be only one of takes the place of its like
            let same = own.iter().find(|place| head(copy) == head(&text[(*place).clone()]) && !copy.starts_with("[["));
            match same.cloned() {
                Some(place) => text.replace_range(place, copy),
                None => text.insert_str(to.end, copy),
            }
        }
    }
}

/// Runs a change on the text of some bytes; changes bytes where that does nothing or does not fit.
fn changed(data: &mut [u8], size: usize, most: usize, change: impl FnOnce(&mut String)) -> usize {
    let Ok(text) = std::str::from_utf8(&data[..size]) else { return libfuzzer_sys::fuzzer_mutate(data, size, most) };
    let mut new = text.to_owned();
    change(&mut new);
    if new == text || new.len() > most || new.is_empty() {
        return libfuzzer_sys::fuzzer_mutate(data, size, most);
    }
    data[..new.len()].copy_from_slice(new.as_bytes());
    new.len()
}

/// Changes a site file.
pub fn site(data: &mut [u8], size: usize, most: usize, seed: u32, others: &[&str]) -> usize {
    let mut dice = Dice(seed.into());
    changed(data, size, most, |text| match dice.below(20) {
        0..=6 => number(&mut dice, text),
        7 => unit(&mut dice, text),
        8 | 9 => word(&mut dice, text),
        10..=12 => key(&mut dice, text),
        13 | 14 => line(&mut dice, text),
        15..=17 => table(&mut dice, text, others),
        // bytes
        _ => {}
    })
}

const DATES: &[&str] = &[
    "2024-02-29 23:55",
    "2023-11-05T01:30:00-04:00",
    "1/2/2024 12:00 AM",
    "31.12.1999 24:00",
    "2024-01-01",
    "20240101",
    "99991231 2400",
    "1800-01-01 00:00",
    "2200-12-31 23:59",
    "13/13/2013",
    "1700000000",
    "2024-03-10T02:30Z",
    "00:05",
];
const CELLS: &[&str] = &[
    "",
    "T",
    "M",
    "-",
    "-999",
    "NaN",
    "1e9",
    "0.00",
    "\"1,5\"",
    "\"",
    "trace",
    "0.01\u{fffd}",
    "#",
    "99999",
    "-0.01",
    "1e-320",
];

/// Changes a table with commas.
pub fn cells(data: &mut [u8], size: usize, most: usize, seed: u32) -> usize {
    let mut dice = Dice(seed.into());
    changed(data, size, most, |text| {
        let places = lines(text);
        match dice.below(14) {
            0..=4 => number(&mut dice, text),
            5 | 6 => line(&mut dice, text),
            7 | 8 => {
                // a cell of one line becomes another
                let Some(place) = dice.one(&places).cloned() else { return };
                let row = &text[place.clone()];
                let parts: Vec<&str> = row.split_inclusive([',', ';', '\t']).collect();
                let at = dice.below(parts.len());
                let new =
                    if dice.below(2) == 0 { dice.one(DATES) } else { dice.one(CELLS) }.copied().unwrap_or_default();
                let mut out = String::new();
                for (index, part) in parts.iter().enumerate() {
                    let cell = part.trim_end_matches([',', ';', '\t', '\r', '\n']);
                    out.push_str(if index == at { new } else { cell });
                    out.push_str(&part[cell.len()..]);
                }
                text.replace_range(place, &out);
            }
            9 => {
                // another sign between cells
                let signs = [',', ';', '\t', '|'];
                let (Some(from), Some(to)) = (dice.one(&signs), dice.one(&signs)) else { return };
                *text = text.replace(*from, &to.to_string());
            }
            10 => {
                let (from, to) = if dice.below(2) == 0 { ("\n", "\r\n") } else { ("\r\n", "\n") };
                *text = text.replace(from, to);
            }
            11 => {
                // one column begins or ends elsewhere in all lines
                let (Some(from), Some(to)) =
                    (dice.one(&["-", "/", ":", " ", "."]), dice.one(&["-", "/", "T", " ", ".", ""]))
                else {
                    return;
                };
                *text = text.replace(from, to);
            }
            _ => {}
        }
    })
}
