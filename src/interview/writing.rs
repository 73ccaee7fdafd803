//! The site file from the answers, with remarks that say what each part is.

use super::chapters::{
    Lines, OUTLETS, Question, SLOPES, Takes, USUAL_STEEPNESS, each_lawn_tells, goes_by_slope, question,
};
use super::reading::{Row, from_zero, row};
use super::sketch::{Answer, Sketch};
use crate::hydraulics::ReliefHole;
use crate::quantity::{Amount, Length, Level, UnitSystem};
use crate::site::{GAP, keys};
use std::collections::BTreeMap;
use std::fmt::Write as _;

/// How the names of the file's parts are written.
const GRATE: &str = "grate";
const FRENCH_DRAIN: &str = "French drain";
const LOW_PLACE: &str = "low place";

/// The frost plan that the file has as one that drains back, with a hole of its own.
const DRAIN_HOLE: &str = "drain hole";
/// The metric drill nearest to the usual hole: common practice, no source.
const METRIC_HOLE: &str = "5 mm";

/// The soil over the pipe on a hill: common practice, no source.
const OVER_THE_PIPE: Length = Length::from_inch(18.0);
/// From the pump's outlet up to the buried run: what the basin's depth leaves: common practice, no source.
const RUN_BELOW_RIM: Length = Length::from_ft(1.0);

/// From the top of a pipe to the lowest point inside, with some to spare: common practice, no source.
const THE_PIPE_ITSELF: Length = Length::from_inch(3.0);

/// A line's remark begins in this column, where the line leaves room.
const REMARKS: usize = 34;
/// The file is no wider.
const WIDTH: usize = 100;

/// A text as TOML writes it.
pub(super) fn quoted(text: &str) -> String {
    let mut quoted = String::from("\"");
    for letter in text.chars() {
        match letter {
            '"' | '\\' => quoted.extend(['\\', letter]),
            _ if letter.is_control() => quoted.push(' '),
            _ => quoted.push(letter),
        }
    }
    quoted.push('"');
    quoted
}

/// The file under way.
struct File<'s, 'a> {
    sketch: &'s Sketch<'a>,
    text: String,
}

/// The site file.
pub(super) fn site_file(sketch: &Sketch<'_>, version: &str) -> String {
    let mut file = File { sketch, text: String::new() };
    file.head(version);
    file.levels();
    file.goal();
    file.rain();
    file.ground();
    file.areas();
    file.low_place();
    file.way_in();
    file.basin();
    file.discharge();
    file.pump();
    file.more();
    file.text
}

impl File<'_, '_> {
    /// A remark of its own, wrapped.
    fn remark(&mut self, text: &str) {
        let mut line = String::from("#");
        for word in text.split_whitespace() {
            if line.chars().count() + 1 + word.chars().count() > 80 {
                self.text.push_str(&line);
                self.text.push('\n');
                line = String::from("#");
            }
            line.push(' ');
            line.push_str(word);
        }
        self.text.push_str(&line);
        self.text.push('\n');
    }

    /// A part of the file, with what it is.
    fn part(&mut self, header: &str, says: &str) {
        self.text.push('\n');
        if !says.is_empty() {
            self.remark(says);
        }
        self.text.push_str(header);
        self.text.push('\n');
    }

    /// A line as it is, with its remark beside it, or above it where it is long.
    fn line(&mut self, key: &str, value: &str, remark: &str) {
        let line = format!("{key} = {value}");
        if remark.is_empty() {
            self.text.push_str(&line);
        } else if line.chars().count().max(REMARKS) + 2 + remark.chars().count() <= WIDTH {
            let _ = write!(self.text, "{line:<column$}# {remark}", column = REMARKS.max(line.chars().count() + 2));
        } else {
            self.remark(remark);
            self.text.push_str(&line);
        }
        self.text.push('\n');
    }

    /// A gap, with how it is measured.
    fn gap(&mut self, key: &str, path: &str) {
        let how = keys::how(path).unwrap_or_default();
        self.line(key, &quoted(GAP), &format!("to be measured: {how}"));
    }

    /// The remark on an answer: that it is what is usual, or what was typed where the file says it in another way.
    fn note(&self, question: &Question, written: &str) -> String {
        match self.sketch.answer(question) {
            Some(Answer::Usual) if matches!(question.takes, Takes::Words) => String::new(),
            Some(Answer::Usual) => "usual".to_owned(),
            Some(Answer::Given(lines)) => match lines.first() {
                Some(typed) if typed != written && matches!(question.takes, Takes::Level) => {
                    from_zero(typed).map_or_else(String::new, |height| format!("{height} {}", self.sketch.zero()))
                }
                _ => String::new(),
            },
            _ => String::new(),
        }
    }

    /// The answer to a question under a key: a text in quotes, or a gap.
    fn answer(&mut self, key: &str, name: &str) {
        let Some(question) = question(name) else { return };
        if !(question.asked)(self.sketch) {
            return;
        }
        let text = match question.takes {
            Takes::Level => self.sketch.level(name).map(|level| self.sketch.level_text(level)),
            _ => self.sketch.text(name),
        };
        match text {
            Some(text) => {
                let note = self.note(question, &text);
                self.line(key, &quoted(&text), &note);
            }
            None => self.gap(key, question.key),
        }
    }

    /// The answer to a question of yes or no, or a gap.
    fn flag(&mut self, key: &str, name: &str) {
        let Some(question) = question(name) else { return };
        let usual = if self.sketch.is_usual(name) { "usual" } else { "" };
        match self.sketch.text(name).as_deref() {
            Some("yes") => self.line(key, "true", usual),
            Some(_) => self.line(key, "false", usual),
            None => self.gap(key, question.key),
        }
    }

    /// A level that follows from answers, or a gap.
    fn level(&mut self, key: &str, level: Option<Level>, remark: &str, path: &str) {
        match level {
            Some(level) => self.line(key, &quoted(&self.sketch.level_text(level)), remark),
            None => self.gap(key, path),
        }
    }

    fn head(&mut self, version: &str) {
        let (zero, as_level) = (self.sketch.zero(), self.sketch.heights().zero_text());
        self.remark(&format!("Written by `sumpwright new`, version {version}, from the answers to its questions."));
        self.text.push_str("#\n");
        self.remark(
            "Lines that begin with # are remarks. Counts are bare numbers. Everything with a unit stands in quotes with \
             its unit: \"135 ft\". \"?\" marks what is still to be measured: `sumpwright check` lists all of it. Where \
             `usual` stands beside a line, that is what is usual and nobody's own figure: look at it once more.",
        );
        self.text.push_str("#\n");
        self.remark(&format!("Levels count from one place, here {as_level} at {zero}."));
        self.text.push_str("\nformat = 1\n");
        self.answer("title", "title");
        let units = if self.sketch.metric() { "metric" } else { "us" };
        self.line("units", &quoted(units), "");
    }

    /// Where the instrument stood, so that the crew's page has its levels as readings on the rod too.
    fn levels(&mut self) {
        let Some(reading) = self.sketch.heights().rod_at_zero else { return };
        let zero = self.sketch.level_text(self.sketch.heights().zero());
        let reading =
            if self.sketch.metric() { format!("{:.3} m", reading.m()) } else { format!("{:.2} ft", reading.ft()) };
        let says = format!(
            "Where the instrument stood: readings on the rod hold as long as it reads the same on {}.",
            self.sketch.zero()
        );
        self.part("[levels]", &says);
        let setup =
            format!("[{{ name = \"visit\", benchmark = {}, rod_on_benchmark = {} }}]", quoted(&zero), quoted(&reading));
        self.line("setups", &setup, "");
    }

    fn goal(&mut self) {
        self.part(
            "[goal]",
            "What is wanted: in which storm, how deep water may stand over the lowest ground, and for how long.",
        );
        self.answer("return_period", "return-period");
        self.answer("standing_water", "standing-water");
        self.answer("clear_within", "clear-within");
    }

    fn rain(&mut self) {
        const SAYS: &str = "Depth of rain against how long it lasts, from the national weather service's table for the \
                            address. Short times matter most.";
        let period = self.sketch.text("return-period").unwrap_or_else(|| "10 yr".to_owned());
        let rows: Vec<(String, String)> = self
            .rows("rain", Lines::Rain)
            .into_iter()
            .filter_map(|row| if let Row::Rain { duration, depth } = row { Some((duration, depth)) } else { None })
            .collect();
        if rows.is_empty() {
            self.part("[rain]", SAYS);
            self.gap("depth", "rain.depth");
            self.remark(&format!(
                "When you have it, write in place of the line above:  [rain.depth.\"{period}\"]  and below it a"
            ));
            let depth = if self.sketch.metric() { "12 mm" } else { "0.50 in" };
            self.remark(&format!("line for each duration, such as  \"5 min\" = \"{depth}\""));
            return;
        }
        self.part(&format!("[rain.depth.{}]", quoted(&period)), SAYS);
        for (duration, depth) in rows {
            self.line(&quoted(&duration), &quoted(&depth), "");
        }
    }

    fn rows(&self, name: &str, lines: Lines) -> Vec<Row> {
        self.sketch.lines(name).iter().filter_map(|line| row(self.sketch, lines, line).ok()).collect()
    }

    fn ground(&mut self) {
        self.part("[soil]", "The soil decides how much of the lawn's rain soaks in.");
        self.answer("texture", "soil");
        if self.sketch.is("groundwater", "no") {
            return;
        }
        self.part("[groundwater]", "Groundwater in the wet season, as a level.");
        self.answer(
            "seasonal_high",
            if self.sketch.is("groundwater", "yes") { "groundwater-level" } else { "groundwater" },
        );
    }

    /// Where the surfaces shed their water.
    fn way_in_name(&self) -> &'static str {
        if self.sketch.is("way-in", "french drain") { FRENCH_DRAIN } else { GRATE }
    }

    fn areas(&mut self) {
        const SAYS: &str = "Every surface that sheds water to the low place, seen from above.";
        let drains_to = quoted(self.way_in_name());
        let mut names: BTreeMap<String, u32> = BTreeMap::new();
        let rows = self.rows("areas", Lines::Areas);
        let typed = self.sketch.lines("areas");
        let slope = |word: &str| SLOPES.iter().find(|(known, _)| *known == word);
        let usual = self.sketch.is_usual("steepness");
        // what is usual of any lawn the tables take of themselves, and the report says so
        let steepness = self.sketch.text("steepness").filter(|word| !usual || word != USUAL_STEEPNESS);
        let steepness = steepness.as_deref().and_then(slope);
        let all_told = each_lawn_tells(self.sketch) == Some(true);
        let mut says = SAYS;
        for (row, typed) in rows.iter().zip(&typed) {
            let Row::Area { area, worked_out, surface, name, steepness: own } = row else { continue };
            let name = name.clone().unwrap_or_else(|| surface.clone());
            let count = names.entry(name.clone()).or_insert(0);
            *count += 1;
            let name = if *count > 1 { format!("{name} {count}") } else { name };
            self.part("[[catchment]]", says);
            says = "";
            self.line("name", &quoted(&name), "");
            let remark = if *worked_out { typed.split(',').next().unwrap_or_default() } else { "" };
            self.line("area", &quoted(area), remark);
            self.line("surface", &quoted(surface), "");
            let own = own.told.and_then(slope);
            // where each line tells it, an answer given beside them is there to be taken
            let taken = if all_told { steepness.or(own) } else { own.or(steepness) };
            if let Some((word, slope)) = taken.filter(|_| goes_by_slope(surface)) {
                let whose = if usual && own.is_none() { ", as a name proposes" } else { "" };
                self.line("slope", &quoted(slope), &format!("{word}{whose}; put in what you measure"));
            }
            self.line("drains_to", &drains_to, "");
        }
        if rows.is_empty() {
            self.part("[[catchment]]", SAYS);
            self.line("name", &quoted("yard"), "a table like this for each surface");
            self.gap("area", "catchment.area");
            self.gap("surface", "catchment.surface");
            self.line("drains_to", &drains_to, "");
        }
    }

    fn low_place(&mut self) {
        if self.sketch.is("way-in", "french drain") {
            self.text.push('\n');
            self.remark(
                "How deep water stands is followed where a grate stands in the low place, and not over a French drain alone. \
                 What was measured of the low place:",
            );
            let lowest = self.sketch.level("low-level").map(|level| self.sketch.level_text(level));
            let spills = self.sketch.level("spill-level").map(|level| self.sketch.level_text(level));
            let to = self.sketch.text("spill-to");
            let building = match self.sketch.text("spill-building").as_deref() {
                Some("yes") => " (to a building)",
                Some(_) => "",
                None => " (whether a building stands on that way is not known)",
            };
            let open = || "not known".to_owned();
            self.remark(&format!(
                "lowest ground {}, runs over at {} to {}{building}; {}",
                lowest.unwrap_or_else(open),
                spills.unwrap_or_else(open),
                to.unwrap_or_else(open),
                self.sketch.lines("pond").join("; ")
            ));
        } else {
            self.hollow();
        }
        self.part("[[protect]]", "What must stay dry.");
        self.answer("name", "dry-name");
        self.answer("level", "dry-level");
        if self.sketch.is("spill-building", "yes") {
            self.part(
                "[[protect]]",
                "Over the edge of the low place the water runs to a building. It gets in from the level on at which it runs \
                 over, or at that of the opening where that lies higher.",
            );
            self.line("name", &quoted("building beyond the edge"), "");
            let opening = self.sketch.level("spill-opening").map(|level| self.sketch.level_text(level));
            let remark = opening.map_or_else(String::new, |opening| format!("its lowest opening: {opening}"));
            self.level("level", self.sketch.gets_in(), &remark, "protect.level");
        }
    }

    fn hollow(&mut self) {
        self.part(
            "[[low_spot]]",
            "Where water stands: pairs of a level and how large the water is then, from the lowest ground up.",
        );
        self.line("name", &quoted(LOW_PLACE), "");
        let lowest = self.sketch.level("low-level");
        let rows = self.rows("pond", Lines::Pond);
        match lowest {
            Some(lowest) if !rows.is_empty() => {
                let nothing = if self.sketch.metric() { "0 m2" } else { "0 ft2" };
                let mut pairs = vec![format!("[{}, {}]", quoted(&self.sketch.level_text(lowest)), quoted(nothing))];
                let mut depths: Vec<(Length, String)> = rows
                    .into_iter()
                    .filter_map(|row| if let Row::Pond { depth, area } = row { Some((depth, area)) } else { None })
                    .collect();
                depths.sort_by(|one, other| one.0.m().total_cmp(&other.0.m()));
                pairs.extend(depths.iter().map(|(depth, area)| {
                    format!("[{}, {}]", quoted(&self.sketch.level_text(lowest + *depth)), quoted(area))
                }));
                self.line("surface", &format!("[{}]", pairs.join(", ")), "");
            }
            _ => {
                self.gap("surface", "low_spot.surface");
                if let Some(lowest) = lowest {
                    self.remark(&format!("the lowest ground: {}", self.sketch.level_text(lowest)));
                }
                let typed = self.sketch.lines("pond");
                if !typed.is_empty() {
                    self.remark(&format!("measured over it: {}", typed.join("; ")));
                }
            }
        }
        self.answer("spills_at", "spill-level");
        // where it runs to is told by its end: a building there is part of that
        if !self.sketch.counts("spill-building") || self.sketch.text("spill-building").is_some() {
            self.answer("spills_to", "spill-to");
        } else {
            self.gap("spills_to", "low_spot.spills_to");
            if let Some(to) = self.sketch.text("spill-to").filter(|_| !self.sketch.is_usual("spill-to")) {
                self.remark(&format!("it runs to {to}; whether a building stands on that way is not known"));
            }
        }
    }

    fn way_in(&mut self) {
        let (grate, french) = (!self.sketch.is("way-in", "french drain"), !self.sketch.is("way-in", "grate"));
        if grate {
            self.part("[[inlet]]", "The grate in the low place. Of several copy this part and the pipe below it, each with a name of its own.");
            self.line("name", &quoted(GRATE), "");
            self.line("low_spot", &quoted(LOW_PLACE), "");
            self.answer("rim", "grate-level");
            self.answer("grate", "grate");
            self.part("[[drain]]", "The pipe from the grate to the basin; it falls all the way.");
            self.line("name", &quoted("line to the basin"), "");
            self.line("from", &quoted(GRATE), "");
            self.line("to", &quoted("basin"), "");
            self.answer("size", "drain-size");
            self.answer("length", "drain-length");
            let remark = self.below("drain-depth", "below the grate");
            self.level("up_invert", self.sketch.drain_start(), &remark, "drain.up_invert");
            let remark = self.below("drain-fall", "lower");
            self.level("down_invert", self.sketch.inlet_invert(), &remark, "drain.down_invert");
        }
        if french && self.sketch.text("way-in").is_some() {
            self.part("[[drain]]", "The French drain: pipe with holes in a trench of stone.");
            self.line("name", &quoted(FRENCH_DRAIN), "");
            self.line("to", &quoted("basin"), "");
            self.line("kind", &quoted("french"), "");
            self.line("size", &quoted("4 in"), "usual");
            self.answer("length", "french-length");
            self.answer("up_invert", "french-level");
            let own = self.sketch.french_invert();
            if own == self.sketch.level("french-end") {
                self.answer("down_invert", "french-end");
            } else {
                self.level("down_invert", own, "so low that it falls: usual", "drain.down_invert");
            }
            if let Some(ground) = self.sketch.level("low-level") {
                self.line(
                    "up_ground",
                    &quoted(&self.sketch.level_text(ground)),
                    "taken to be as high as the lowest ground",
                );
            }
            let width = if self.sketch.metric() { "300 mm" } else { "12 in" };
            let bottom = if self.sketch.metric() { "100 mm below pipe" } else { "4 in below pipe" };
            let cover = self.sketch.text("french-cover").unwrap_or_else(|| GAP.to_owned());
            self.line(
                "trench",
                &format!("{{ width = {}, bottom = {}, cover = {} }}", quoted(width), quoted(bottom), quoted(&cover)),
                "width and bottom usual",
            );
            self.flag("fabric", "french-fabric");
        }
    }

    /// The remark on a level that was answered as a depth.
    fn below(&self, name: &str, words: &str) -> String {
        let Some(text) = self.sketch.text(name) else { return String::new() };
        let usual = if self.sketch.is_usual(name) { ", usual" } else { "" };
        format!("{text} {words}{usual}")
    }

    fn basin(&mut self) {
        self.part("[basin]", "The buried basin. Its floats are counted from its floor.");
        self.answer("inside_diameter", "basin-across");
        self.answer("rim", "basin-rim");
        let floor = self.sketch.level("basin-rim").zip(self.sketch.length("basin-depth"));
        let remark = self.below("basin-depth", "below the rim");
        self.level("floor", floor.map(|(rim, depth)| rim - depth), &remark, "basin.floor");
        self.level("inlet_invert", self.sketch.lowest_inlet(), "the lowest pipe that comes in", "basin.inlet_invert");
        self.answer("off", "float-off");
        self.answer("on", "float-on");
        self.answer("alarm", "float-alarm");
        self.answer("weight", "basin-weight");
    }

    fn discharge(&mut self) {
        let valve = self.sketch.text("check-valve");
        self.part(
            "[discharge]",
            "From the pump to the outlet. The check valve keeps the water in the line from running back.",
        );
        match valve.as_deref() {
            Some("yes") => {
                self.line("check_valve", "{ kind = \"swing\" }", "");
                let hole = if self.sketch.metric() { "3 mm" } else { "1/8 in" };
                self.line(
                    "relief_hole",
                    &format!("{{ diameter = {} }}", quoted(hole)),
                    "below the valve, lets air out: drill it",
                );
            }
            Some(_) => self.line("check_valve", "false", ""),
            None => self.gap("check_valve", "discharge.check_valve"),
        }
        if self.sketch.is("frost-plan", DRAIN_HOLE) {
            let hole = if self.sketch.metric() {
                METRIC_HOLE.to_owned()
            } else {
                Amount::drill(ReliefHole::USUAL_DIAMETER).show(UnitSystem::Us)
            };
            self.line(
                "drain_hole",
                &format!("{{ diameter = {} }}", quoted(&hole)),
                "above the valve, inside the basin: the line runs empty through it; drill it",
            );
        }
        self.profile_gap();
        self.part("[discharge.riser]", "The pipe from the pump up to where the buried run begins.");
        self.answer("material", "pipe");
        self.answer("size", "pipe-size");
        let length = self
            .sketch
            .length("basin-depth")
            .map_or(Length::from_ft(4.0), |depth| (depth - self.run_below_rim()).max(Length::from_ft(1.0)));
        self.line("length", &quoted(&self.sketch.short_up(length)), "by the depth of the basin; not measured");
        self.line(
            "fittings",
            "{ \"elbow 90\" = 1, \"union\" = 1 }",
            "usual: a union, so that the pump comes out again",
        );
        self.part("[[discharge.run]]", "The buried run to the outlet.");
        self.answer("material", "pipe");
        self.answer("size", "pipe-size");
        self.answer("length", "run");
        self.bends();
        self.part("[discharge.outlet]", "Where the water leaves. Ask the town, and the neighbour, whether it may.");
        let outlet = self.sketch.text("outlet").unwrap_or_default();
        if let Some((_, kind, ends_in)) = OUTLETS.iter().find(|(word, ..)| *word == outlet) {
            self.line("kind", &quoted(kind), "");
            self.line("ends_in", &quoted(ends_in), "");
        }
        self.answer("level", "outlet-level");
        self.answer("ditch_full", "outlet-full");
        if self.sketch.is("freezing", "yes") {
            self.part("[discharge.frost]", "How deep it freezes, and what keeps the line from it.");
            self.answer("depth", "frost-depth");
            if self.sketch.is("frost-plan", DRAIN_HOLE) {
                self.line("plan", &quoted("drains back"), "through the drain hole");
            } else {
                self.answer("plan", "frost-plan");
            }
        }
        if self.sketch.is("hill", "yes") {
            self.profile();
        }
    }

    fn bends(&mut self) {
        let names = [("bends-90", "elbow 90"), ("bends-45", "elbow 45")];
        let counts: Vec<(Option<String>, &str)> =
            names.iter().map(|(name, fitting)| (self.sketch.text(name), *fitting)).collect();
        if counts.iter().any(|(count, _)| count.is_none()) {
            self.gap("fittings", "discharge.run.fittings");
            return;
        }
        let some = counts.iter().filter_map(|(count, fitting)| {
            let count = count.as_deref().filter(|count| *count != "0")?;
            Some(format!("{} = {count}", quoted(fitting)))
        });
        let some: Vec<String> = some.collect();
        let usual = names.iter().any(|(name, _)| self.sketch.is_usual(name));
        if !some.is_empty() {
            self.line("fittings", &format!("{{ {} }}", some.join(", ")), if usual { "usual" } else { "" });
        }
    }

    /// The line from the side over the highest ground on the way, where all of it is known: how far along, the lowest point
    /// inside the pipe, the ground.
    fn points(&self) -> Option<[(String, Level, Option<Level>); 3]> {
        let (rim, top) = (self.sketch.level("basin-rim")?, self.sketch.level("hill-level")?);
        let start = if self.sketch.metric() { "0 m" } else { "0 ft" };
        Some([
            (start.to_owned(), rim - self.run_below_rim(), Some(rim)),
            (
                self.sketch.text("hill-at")?,
                top - self.below_frost().unwrap_or(OVER_THE_PIPE).max(OVER_THE_PIPE),
                Some(top),
            ),
            (self.sketch.text("run")?, self.sketch.level("outlet-level")?, None),
        ])
    }

    /// How deep the pipe lies where it is to lie below frost; none where that is not wanted, or not known.
    fn below_frost(&self) -> Option<Length> {
        let wanted = self.sketch.is("freezing", "yes") && self.sketch.is("frost-plan", "below frost");
        wanted.then(|| self.sketch.length("frost-depth")).flatten().map(|depth| depth + THE_PIPE_ITSELF)
    }

    /// How far below the rim the buried run begins.
    fn run_below_rim(&self) -> Length {
        self.below_frost().unwrap_or(RUN_BELOW_RIM).max(RUN_BELOW_RIM)
    }

    /// Whether the highest ground on the way is still to be measured, or whether there is any.
    fn profile_gap(&mut self) {
        let known = match self.sketch.text("hill").as_deref() {
            Some("no") => return,
            Some(_) if self.points().is_some() => return,
            Some(_) => {
                ["hill-level", "hill-at"].into_iter().filter_map(|name| self.sketch.text(name)).collect::<Vec<_>>()
            }
            None => Vec::new(),
        };
        self.gap("profile", "discharge.profile");
        if !known.is_empty() {
            self.remark(&format!("known of the highest ground on the way: {}", known.join("; ")));
        }
    }

    fn profile(&mut self) {
        let mut says =
            "The line from the side: how far along, the lowest point inside the pipe, and the ground over it.";
        for (at, invert, ground) in self.points().into_iter().flatten() {
            self.part("[[discharge.profile]]", says);
            says = "";
            self.line("at", &quoted(&at), "");
            self.line("invert", &quoted(&self.sketch.level_text(invert)), "usual");
            if let Some(ground) = ground {
                self.line("ground", &quoted(&self.sketch.level_text(ground)), "");
            }
        }
    }

    fn pump(&mut self) {
        self.part(
            "[[pump]]",
            "The pump: flow and height from its box. Of several copy this part; the report ranks them.",
        );
        self.answer("name", "pump");
        let mut points: Vec<(String, String, f64)> = self
            .rows("curve", Lines::Curve)
            .into_iter()
            .filter_map(|row| if let Row::Curve { flow, head, at } = row { Some((flow, head, at)) } else { None })
            .collect();
        points.sort_by(|one, other| one.2.total_cmp(&other.2));
        if points.is_empty() {
            self.gap("curve", "pump.curve");
        } else {
            let pairs: Vec<String> =
                points.iter().map(|(flow, head, _)| format!("[{}, {}]", quoted(flow), quoted(head))).collect();
            self.line("curve", &format!("[{}]", pairs.join(", ")), "");
        }
        self.answer("outlet_size", "pump-outlet");
    }

    /// What the report asks for next.
    fn more(&mut self) {
        self.text.push('\n');
        self.remark(
            "What else may be entered is in docs/site-file.md and under `sumpwright explain KEY`. The report says what it \
             would be good for: the basin's `weight` (does it float?), the pump's `volts` and `running_amps`, the levels \
             of the line as `profile`, what the town allows as [local_rules].",
        );
    }
}
