//! Reading an answer as people type it: by the site file's own reader of quantities, and in a few forms that only make
//! sense where somebody is asked.

use super::chapters::{Lines, Question, Takes, goes_by_slope};
use super::sketch::Sketch;
use crate::quantity::{Area, Dimension, Length, Level, Measure as _, ReadError, read, read_pair, read_si, read_size};
use crate::site::nearest;

/// Why an answer is not taken, and what to type instead.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refusal {
    /// What is wrong.
    pub reason: String,
    /// What to type.
    pub help: String,
    /// The number, where only its unit is missing: the unit by itself is then an answer.
    pub unit_missing: Option<String>,
}

impl Refusal {
    pub(super) fn new(reason: impl Into<String>, help: impl Into<String>) -> Self {
        Self { reason: reason.into(), help: help.into(), unit_missing: None }
    }
}

impl From<ReadError> for Refusal {
    fn from(error: ReadError) -> Self {
        let unit_missing = match &error {
            ReadError::NoUnit { number, .. } => Some(number.clone()),
            _ => None,
        };
        Self { reason: error.to_string(), help: error.hint().unwrap_or_default(), unit_missing }
    }
}

/// How heights are read: in the file the place they count from is 100 ft, or 10 m.
#[derive(Clone, Copy, Debug)]
pub(super) struct Heights {
    pub(super) metric: bool,
    /// What a rod reads where heights count from, once it was told.
    pub(super) rod_at_zero: Option<Length>,
}

impl Heights {
    pub(super) fn zero(self) -> Level {
        if self.metric { Level::from_m(10.0) } else { Level::from_ft(100.0) }
    }
    pub(super) fn zero_text(self) -> &'static str {
        if self.metric { "10 m" } else { "100 ft" }
    }
    /// A number less than this is no height of the file: it was measured from the sill, up or down.
    fn least(self) -> Level {
        if self.metric { Level::from_m(4.0) } else { Level::from_ft(50.0) }
    }
}

const DOWN: &[&str] = &["below", "under", "lower", "beneath", "down", "deeper", "less"];
const UP: &[&str] = &["above", "over", "higher", "up", "more"];
/// Words after `below` or `above` that name the place that heights count from, or nothing else.
const OF_ZERO: &[&str] = &["the", "my", "our", "it", "that", "this", "there", "here", "zero", "of", "than", "from"];
const SAME: &[&str] = &["0", "zero", "same", "the same", "level", "even", "level with it", "same height"];

/// A height: above or below what heights count from, or as the file writes it.
pub(super) fn level(text: &str, heights: Heights, zero: &str) -> Result<Level, Refusal> {
    let plain = text.trim().to_lowercase();
    if SAME.contains(&plain.as_str()) {
        return Ok(heights.zero());
    }
    if let Some(reading) = rod(&plain) {
        let Some(at_zero) = reading.at_zero.or(heights.rod_at_zero.map(Ok)) else {
            return Err(Refusal::new(
                format!("a reading on the rod says how high that is only beside the reading on {zero}"),
                format!("type both once, like `{}`; after that `rod` and the reading are enough", rod_example(heights)),
            ));
        };
        let read = |read: Result<Length, ReadError>| read.map_err(|error| of_rod(error, heights));
        return Ok(heights.zero() - (read(reading.here)? - read(at_zero)?));
    }
    let side = |words: &[&str]| {
        let mut spaces = plain.match_indices(' ').map(|(at, _)| at);
        spaces.find(|at| {
            plain
                .get(at + 1..)
                .and_then(|rest| rest.split_whitespace().next())
                .is_some_and(|word| words.contains(&word))
        })
    };
    // `8 in below the paving` is no height over the door sill
    let against = |at: usize| -> Result<(), Refusal> {
        let rest: Vec<&str> = plain.get(at + 1..).unwrap_or_default().split_whitespace().skip(1).collect();
        let zero_words = zero.to_lowercase();
        let known = |word: &&str| {
            let word = word.trim_matches([',', '.', ';']);
            OF_ZERO.contains(&word) || zero_words.split_whitespace().any(|own| own == word)
        };
        let own = |word: &&str| zero_words.split_whitespace().any(|own| own == *word && !OF_ZERO.contains(word));
        // `the sill of the kiln` is another sill
        let whose = rest.iter().position(|word| *word == "of").and_then(|of| rest.get(of + 1..)).unwrap_or_default();
        let more = zero_words.split_whitespace().any(|own| !OF_ZERO.contains(&own) && !rest.contains(&own));
        let of_another = more && !whose.iter().all(known) && !whose.iter().any(own);
        if rest.is_empty() || rest.iter().all(known) || (rest.iter().any(own) && !of_another) {
            return Ok(());
        }
        let rest = rest.join(" ");
        Err(Refusal::new(
            format!("heights count from {zero}, not from `{rest}`"),
            format!("measure it against {zero}, or add what `{rest}` itself lies above or below that"),
        ))
    };
    let signed = |sign: f64, length: &str| -> Result<Level, Refusal> {
        let length: Length = read(length.trim())
            .map_err(|error| of_height(error, if sign < 0.0 { "below" } else { "above" }, heights))?;
        if length < Length::ZERO {
            return Err(Refusal::new(
                "that is up and down at once",
                "type the height without a sign, and `above` or `below`",
            ));
        }
        Ok(heights.zero() + length * sign)
    };
    if let Some(at) = side(DOWN) {
        against(at)?;
        return signed(-1.0, plain.get(..at).unwrap_or_default());
    }
    if let Some(at) = side(UP) {
        against(at)?;
        return signed(1.0, plain.get(..at).unwrap_or_default());
    }
    if let Some(rest) = plain.strip_prefix(['-', '−']) {
        return signed(-1.0, rest);
    }
    if let Some(rest) = plain.strip_prefix('+') {
        return signed(1.0, rest);
    }
    let level: Level = read(text.trim()).map_err(|error| of_height(error, "below", heights))?;
    if level < heights.least() {
        let text = text.trim();
        return Err(Refusal::new(
            format!("is that above or below {zero}?"),
            format!("type `{text} below` or `{text} above`; read off a rod, type `rod {text}`"),
        ));
    }
    Ok(level)
}

/// Whether a text is a height over or under a place: a number, and a word that says which.
fn side_of_zero(text: &str) -> bool {
    let plain = text.trim().to_lowercase();
    plain.starts_with(|letter: char| letter.is_ascii_digit())
        && plain.split_whitespace().any(|word| DOWN.contains(&word) || UP.contains(&word))
}

/// A reading on a rod, and the one where heights count from, where it was typed with it.
struct OnTheRod {
    here: Result<Length, ReadError>,
    at_zero: Option<Result<Length, ReadError>>,
}

/// `rod 5 ft 7 in`, or `rod 5 ft 7 in, zero 4 ft 3 in`, in small letters; none where it is something else.
fn rod(plain: &str) -> Option<OnTheRod> {
    let rest = plain.strip_prefix("rod").filter(|rest| rest.starts_with([' ', ':', '=']))?;
    let rest = rest.trim_start_matches([' ', ':', '=']);
    let (here, at_zero) = match rest.split_once("zero") {
        Some((here, at_zero)) => (here, Some(read(at_zero.trim_matches([' ', ':', '='])))),
        None => (rest, None),
    };
    Some(OnTheRod { here: read(here.trim_end_matches([' ', ',', ';'])), at_zero })
}

/// What a rod reads where heights count from, where a height was typed with it.
pub(super) fn rod_at_zero(text: &str) -> Option<Length> {
    rod(&text.trim().to_lowercase())?.at_zero?.ok()
}

fn rod_example(heights: Heights) -> &'static str {
    if heights.metric { "rod 1.72 m, zero 1.30 m" } else { "rod 5 ft 7 in, zero 4 ft 3 in" }
}

fn of_rod(error: ReadError, heights: Heights) -> Refusal {
    let mut refusal = Refusal::from(error);
    refusal.help = format!("type it like `{}`", rod_example(heights));
    // the unit by itself would not stand where it belongs
    refusal.unit_missing = None;
    refusal
}

/// How a height was typed, where it was from the place that heights count from: `8.4 in below`, `as high as`.
pub(super) fn from_zero(text: &str) -> Option<String> {
    let plain = text.trim().to_lowercase();
    if SAME.contains(&plain.as_str()) {
        return Some("as high as".to_owned());
    }
    if rod(&plain).is_some() {
        let here = plain.split("zero").next().unwrap_or_default().trim_end_matches([' ', ',', ';']);
        return Some(format!("{here}, against"));
    }
    if let Some(rest) = plain.strip_prefix(['-', '−']) {
        return Some(format!("{} below", rest.trim()));
    }
    if let Some(rest) = plain.strip_prefix('+') {
        return Some(format!("{} above", rest.trim()));
    }
    let sides = [(DOWN, "below"), (UP, "above")];
    sides.into_iter().find_map(|(words, side)| {
        let mut parts = plain.split_whitespace();
        let length: Vec<&str> = parts.by_ref().take_while(|word| !words.contains(word)).collect();
        (plain.split_whitespace().count() > length.len()).then(|| format!("{} {side}", length.join(" ")))
    })
}

/// Why a height could not be read: small ones are measured in small units.
fn of_height(error: ReadError, side: &str, heights: Heights) -> Refusal {
    let mut refusal = Refusal::from(error);
    if let Some(number) = &refusal.unit_missing {
        let [small, large] = if heights.metric { ["mm", "m"] } else { ["in", "ft"] };
        refusal.help =
            format!("type `{number} {small} {side}` or `{number} {large} {side}`, or in another unit, whichever it is");
    }
    refusal
}

/// The size of a surface: an area, or length by width. Whether it had to be worked out.
pub(super) fn area(text: &str) -> Result<(Area, bool), Refusal> {
    let text = text.trim();
    match read::<Area>(text) {
        Ok(area) => Ok((area, false)),
        Err(error) => match read_pair(text) {
            Ok((long, wide)) if long > Length::ZERO && wide > Length::ZERO => {
                Ok((Area::from_si(long.m() * wide.m()), true))
            }
            Ok(_) => Err(Refusal::new("a surface is longer and wider than nothing", "type it like `20 ft x 24 ft`")),
            Err(of_pair) if text.contains(['x', 'X', '×', '*']) || text.contains(" by ") => Err(of_pair.into()),
            Err(_) => Err(error.into()),
        },
    }
}

/// The longest start of a line, up to a blank or a comma, that can be read, and what follows it.
fn start<T>(line: &str, mut read: impl FnMut(&str) -> Option<T>) -> Option<(T, &str)> {
    let ends =
        line.char_indices().filter(|(_, letter)| letter.is_whitespace() || matches!(letter, ',' | ';' | ':' | '='));
    let mut found = None;
    for end in ends.map(|(at, _)| at) {
        let (Some(first), Some(rest)) = (line.get(..end), line.get(end..)) else { continue };
        if let Some(value) = read(first.trim()) {
            found = Some((value, rest));
        }
    }
    found
}

/// What follows a value, without what joins the two.
fn after(rest: &str) -> &str {
    let mut rest = rest;
    loop {
        let trimmed =
            rest.trim_start_matches(|letter: char| letter.is_whitespace() || matches!(letter, ',' | ';' | ':' | '='));
        let word = ["deep", "at", "of", "is", "in"]
            .iter()
            .find_map(|word| trimmed.strip_prefix(word).filter(|rest| rest.starts_with([' ', ',', ':', '='])));
        match word {
            Some(shorter) => rest = shorter,
            None => return trimmed.trim_end(),
        }
    }
}

/// The first part of a line, to say what is wrong with it.
fn first_part(line: &str) -> &str {
    let mut cut = line.len();
    for (at, letter) in line.char_indices() {
        let next = line.get(at + letter.len_utf8()..).and_then(|rest| rest.chars().next());
        // a comma between digits is one of thousands
        if matches!(letter, ';' | ':' | '=') || letter == ',' && !next.is_some_and(|next| next.is_ascii_digit()) {
            cut = at;
            break;
        }
    }
    line.get(..cut).unwrap_or(line).trim()
}

/// What a line says of how steep a surface is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Steepness {
    /// By a word before its kind: `steep lawn`.
    pub(super) told: Option<&'static str>,
    /// By a word of its name, such as `bank`: no more than a proposal.
    pub(super) proposed: Option<&'static str>,
}

/// A line of a list in its parts, as texts that the file takes.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Row {
    Pond { depth: Length, area: String },
    Area { area: String, worked_out: bool, surface: String, name: Option<String>, steepness: Steepness },
    Rain { duration: String, depth: String },
    Curve { flow: String, head: String, at: f64 },
}

fn area_text(sketch: &Sketch<'_>, text: &str, (area, worked_out): (Area, bool)) -> String {
    if !worked_out {
        return text.trim().to_owned();
    }
    let (number, unit) = if sketch.metric() { (area.m2(), "m2") } else { (area.ft2(), "ft2") };
    let rounded = libm::round(number * 10.0) / 10.0;
    format!("{rounded} {unit}")
}

/// Reads a line of a list.
pub(super) fn row(sketch: &Sketch<'_>, lines: Lines, line: &str) -> Result<Row, Refusal> {
    let line = line.trim();
    match lines {
        Lines::Pond => {
            let Some((depth, rest)) = start(line, |text| read::<Length>(text).ok()) else {
                read::<Length>(first_part(line))?;
                return Err(Refusal::new(
                    "a size is missing",
                    "type a depth over the lowest ground and the size of the water then, like `4 in, 12 ft x 20 ft`",
                ));
            };
            if depth <= Length::ZERO {
                return Err(Refusal::new(
                    "the first number is the depth of the water, more than nothing",
                    "the lowest ground itself is known already",
                ));
            }
            let size = after(rest);
            let area = area(size)?;
            Ok(Row::Pond { depth, area: area_text(sketch, size, area) })
        }
        Lines::Areas => {
            let mut size = String::new();
            let found = start(line, |text| {
                let found = area(text).ok()?;
                text.clone_into(&mut size);
                Some(found)
            });
            let Some((found, rest)) = found else {
                area(first_part(line))?;
                return Err(Refusal::new(
                    "what is it: roof, lawn, concrete …?",
                    "type a size and what it is, like `20 ft x 24 ft, roof`",
                ));
            };
            let (rest, steepness) = steepness(after(rest));
            let (surface, name) = match rest.split_once(',') {
                Some((surface, name)) => (surface.trim(), Some(name.trim()).filter(|name| !name.is_empty())),
                None => (rest, None),
            };
            let surface = surface_word(surface)?;
            Ok(Row::Area {
                area: area_text(sketch, &size, found),
                worked_out: found.1,
                surface,
                name: name.map(str::to_owned),
                steepness,
            })
        }
        Lines::Rain => {
            let mut duration = String::new();
            let found = start(line, |text| {
                read_si(text, Dimension::Duration).ok()?;
                text.clone_into(&mut duration);
                Some(())
            });
            let Some(((), rest)) = found else {
                read_si(first_part(line), Dimension::Duration)?;
                return Err(Refusal::new(
                    "how much rain falls in that time?",
                    "type how long and how much, like `5 min 0.50 in`",
                ));
            };
            let depth = after(rest);
            read_si(depth, Dimension::RainDepth)?;
            Ok(Row::Rain { duration, depth: depth.to_owned() })
        }
        Lines::Curve => {
            // a height first is well too
            let (mut first, mut flow_first) = (String::new(), true);
            let found = start(line, |text| {
                let is_flow = read_si(text, Dimension::Flow).is_ok();
                if !is_flow && read_si(text, Dimension::Head).is_err() {
                    return None;
                }
                text.clone_into(&mut first);
                flow_first = is_flow;
                Some(())
            });
            let Some(((), rest)) = found else {
                if let Err(error) = read_si(first_part(line), Dimension::Flow) {
                    let mut refusal = Refusal::from(error);
                    let numbers = line
                        .split([' ', ',', ';'])
                        .filter(|part| part.starts_with(|letter: char| letter.is_ascii_digit()));
                    if numbers.count() > 1 {
                        "type both with their units, like `20 gpm 18 ft`".clone_into(&mut refusal.help);
                        refusal.unit_missing = None;
                    }
                    return Err(refusal);
                }
                return Err(Refusal::new(
                    "how high does it lift at that flow?",
                    "type a flow and a height, like `20 gpm 18 ft`",
                ));
            };
            let second = after(rest).to_owned();
            let (flow, head) = if flow_first { (first, second) } else { (second, first) };
            let at = read_si(&flow, Dimension::Flow)?;
            read_si(&head, Dimension::Head)?;
            Ok(Row::Curve { flow, head, at })
        }
    }
}

/// What was answered of each lawn on how steep it is.
pub(super) fn lawns(sketch: &Sketch<'_>) -> Vec<Steepness> {
    let rows = sketch.lines("areas").into_iter().filter_map(|line| row(sketch, Lines::Areas, &line).ok());
    let lawn = |row| match row {
        Row::Area { surface, steepness, .. } if goes_by_slope(&surface) => Some(steepness),
        _ => None,
    };
    rows.filter_map(lawn).collect()
}

/// What a line says of how steep a surface is, `steep lawn` or `lawn, bank`, and the line without it where it stands
/// before the surface.
fn steepness(line: &str) -> (&str, Steepness) {
    const WORDS: &[(&str, &str)] = &[("steep", "steep"), ("flat", "flat"), ("level", "flat")];
    const BANK: &str = "bank";
    let told = |word: &str| WORDS.iter().find(|(known, _)| word.eq_ignore_ascii_case(known)).map(|(_, means)| *means);
    let proposed = |word: &str| told(word).or_else(|| word.eq_ignore_ascii_case(BANK).then_some("steep"));
    let mut words = line.split(|letter: char| !letter.is_alphanumeric()).filter(|word| !word.is_empty());
    let (first, rest) = match line.split_once(' ') {
        Some((first, rest)) if proposed(first).is_some() => (first, rest.trim_start()),
        _ => ("", line),
    };
    (rest, Steepness { told: told(first), proposed: words.find_map(proposed) })
}

/// A surface that the tables know.
fn surface_word(text: &str) -> Result<String, Refusal> {
    let known = crate::catalog::surfaces();
    let text = text.trim().to_lowercase();
    if crate::catalog::runoff_coefficient(&text, None, None).is_some() {
        return Ok(text);
    }
    if text.is_empty() {
        return Err(Refusal::new(
            "what is it: roof, lawn, concrete …?",
            "type a size and what it is, like `20 ft x 24 ft, roof`",
        ));
    }
    let alike = crate::catalog::surfaces_alike(&text, &known);
    if !alike.is_empty() {
        let alike: Vec<String> = alike.iter().map(|word| format!("`{word}`")).collect();
        return Err(Refusal::new(
            format!("`{text}` is not in the tables"),
            format!("the nearest are {}: type the one that yours is most like", alike.join(" and ")),
        ));
    }
    Err(unknown_word(&text, &known))
}

/// Words this much alike are taken for one another: `swail` and `swale`.
const ALIKE: f64 = 0.85;

fn unknown_word(text: &str, known: &[&str]) -> Refusal {
    // of a few words one that looks alike is meant
    let alike = |word: &&str| strsim::jaro_winkler(&text.to_lowercase(), word) > ALIKE;
    let near = nearest(text, known.iter().copied()).or_else(|| known.iter().copied().find(alike));
    let help = match near {
        Some(near) => format!("did you mean `{near}`?"),
        None => format!("one of these is meant: {}", known.join(", ")),
    };
    Refusal::new(format!("`{text}` is not known here"), help)
}

/// An answer to a question that takes one line, as it is kept.
pub(super) fn single(sketch: &Sketch<'_>, question: &Question, text: &str) -> Result<String, Refusal> {
    let text = text.trim();
    match question.takes {
        Takes::Words => {
            const LONGEST: usize = 80;
            if text.chars().count() > LONGEST || text.chars().any(char::is_control) {
                return Err(Refusal::new("that is too long", format!("up to {LONGEST} letters on one line are taken")));
            }
            let as_height =
                side_of_zero(text) || read::<Length>(text).is_ok() || level(text, sketch.heights(), "zero").is_ok();
            if question.name == "zero" && as_height {
                return Err(Refusal::new(
                    "that is a height, and not yet the place that heights count from",
                    "name the place: the sill of the door, a step; heights above and below it come later",
                ));
            }
            Ok(text.to_owned())
        }
        Takes::Choice(choices) => {
            let words: Vec<&str> = choices.iter().map(|(word, _)| *word).collect();
            choice(question, text, &words)
        }
        Takes::YesNo => match text.to_lowercase().as_str() {
            "yes" | "y" | "yeah" | "true" => Ok("yes".to_owned()),
            "no" | "n" | "none" | "nope" | "false" => Ok("no".to_owned()),
            _ => Err(Refusal::new("this wants a yes or a no", "type `yes`, `no`, or `unknown`")),
        },
        Takes::Known(words, is) => {
            if is(text) {
                return Ok(text.to_owned());
            }
            Err(unknown_word(text, &words()))
        }
        Takes::Quantity(dimension) => {
            read_si(text, dimension)?;
            Ok(text.to_owned())
        }
        Takes::Level => level(text, sketch.heights(), &sketch.zero()).map(|_| text.to_owned()),
        Takes::Size => Ok(read_size(text)?),
        Takes::Pair => {
            match read_pair(text) {
                Ok(_) => {}
                Err(error) if text.contains(['x', 'X', '×', '*']) => return Err(error.into()),
                Err(_) => {
                    read_si(text, Dimension::Length)?;
                }
            }
            Ok(text.to_owned())
        }
        Takes::Count => match text.parse::<u16>() {
            Ok(count) => Ok(count.to_string()),
            Err(_) => Err(Refusal::new("this wants a whole number", "type a number by itself, like `2`; 0 for none")),
        },
        Takes::Lines(_) => Err(Refusal::new("this is answered by several lines", "type them one by one")),
    }
}

/// What must never be pumped into.
const FORBIDDEN: &[&str] = &["sewer", "septic", "toilet", "house drain", "floor drain"];

fn choice(question: &Question, text: &str, words: &[&str]) -> Result<String, Refusal> {
    let plain = text.to_lowercase();
    if let Some(word) = words.iter().find(|word| **word == plain) {
        return Ok((*word).to_owned());
    }
    if question.name == "outlet" && FORBIDDEN.iter().any(|word| plain.contains(word)) && !plain.contains("storm") {
        return Err(Refusal::new(
            "yard water must not go into a sanitary sewer or a septic tank: it floods them, and nearly every town forbids it",
            format!("one of these is meant: {}", words.join(", ")),
        ));
    }
    let beginning: Vec<&&str> = words.iter().filter(|word| word.starts_with(&plain)).collect();
    if let ([only], false) = (beginning.as_slice(), plain.is_empty()) {
        return Ok((**only).to_owned());
    }
    Err(unknown_word(text, words))
}
