//! The questions in the order of a walk through the yard, each declared once.

use super::drawings;
use super::reading;
use super::sketch::{Answer, Sketch};
use crate::catalog;
use crate::quantity::{Dimension, Length};

/// What a question takes.
#[derive(Clone, Copy, Debug)]
pub enum Takes {
    /// A few words.
    Words,
    /// One of some words, each with what it stands for.
    Choice(&'static [(&'static str, &'static str)]),
    /// Yes or no.
    YesNo,
    /// A word that the tables know: the words, and whether a text is one of them or another name for one.
    Known(fn() -> Vec<&'static str>, fn(&str) -> bool),
    /// A quantity with its unit.
    Quantity(Dimension),
    /// A height, by itself or above or below what heights count from.
    Level,
    /// The label of a pipe size.
    Size,
    /// One size, or length by width.
    Pair,
    /// A whole number.
    Count,
    /// Several lines, each of two things or three.
    Lines(Lines),
}

/// What a line of a list is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lines {
    /// A depth of water over the lowest ground, and the size of the water then.
    Pond,
    /// The size of a surface, what it is, and its name.
    Areas,
    /// A duration, and the rain that falls in it.
    Rain,
    /// A flow, and the height that the pump lifts it.
    Curve,
}

/// What is taken for an answer that nobody has, as somebody would type it.
pub type Usual = fn(&Sketch<'_>) -> Option<String>;

/// A question.
#[derive(Clone, Copy, Debug)]
pub struct Question {
    /// What `--answer` calls it.
    pub name: &'static str,
    /// The question.
    pub ask: &'static str,
    /// What it is for, and what else helps to answer it.
    pub why: &'static str,
    /// How it is measured, where that is not how the whole key is.
    pub how: &'static str,
    /// The key of the site file that its answer goes to; empty where it decides about several.
    pub key: &'static str,
    /// What it takes.
    pub takes: Takes,
    /// An answer in US units, and one in metric ones.
    pub example: [&'static str; 2],
    /// What is usual.
    pub usual: Usual,
    /// When it is asked.
    pub asked: fn(&Sketch<'_>) -> bool,
    /// Whether `unknown` is an answer.
    pub may_be_unknown: bool,
}

/// Questions that belong together.
#[derive(Clone, Copy, Debug)]
pub struct Chapter {
    /// Its heading.
    pub title: &'static str,
    /// What it is about.
    pub says: &'static str,
    /// What is meant, in characters.
    pub drawing: &'static str,
    /// What can hurt somebody here; empty where nothing can.
    pub caution: &'static str,
    /// Its questions.
    pub questions: &'static [Question],
}

/// All questions in their order, each with its chapter.
pub fn questions() -> impl Iterator<Item = (&'static Chapter, &'static Question)> {
    CHAPTERS.iter().flat_map(|chapter| chapter.questions.iter().map(move |question| (chapter, question)))
}

/// The question of a name.
pub fn question(name: &str) -> Option<&'static Question> {
    questions().map(|(_, question)| question).find(|question| question.name == name)
}

fn none(_: &Sketch<'_>) -> Option<String> {
    None
}

fn always(_: &Sketch<'_>) -> bool {
    true
}

const fn ask(name: &'static str, ask: &'static str, takes: Takes, key: &'static str) -> Question {
    Question {
        name,
        ask,
        why: "",
        how: "",
        key,
        takes,
        example: ["", ""],
        usual: none,
        asked: always,
        may_be_unknown: true,
    }
}

impl Question {
    const fn why(mut self, why: &'static str) -> Self {
        self.why = why;
        self
    }
    const fn measured(mut self, how: &'static str) -> Self {
        self.how = how;
        self
    }
    const fn like(mut self, us: &'static str, metric: &'static str) -> Self {
        self.example = [us, metric];
        self
    }
    const fn usually(mut self, usual: Usual) -> Self {
        self.usual = usual;
        self
    }
    const fn when(mut self, asked: fn(&Sketch<'_>) -> bool) -> Self {
        self.asked = asked;
        self
    }
    const fn always_known(mut self) -> Self {
        self.may_be_unknown = false;
        self
    }
    /// The words that Tab completes.
    pub fn words(&self) -> Vec<&'static str> {
        match self.takes {
            Takes::Choice(choices) => choices.iter().map(|(word, _)| *word).collect(),
            Takes::YesNo => vec!["yes", "no"],
            Takes::Known(words, _) => words(),
            Takes::Lines(Lines::Areas) => catalog::surfaces(),
            _ => Vec::new(),
        }
    }
    /// An answer as it may be typed, in the units of the sketch.
    pub fn example_in(&self, metric: bool) -> &'static str {
        let [us, other] = self.example;
        if metric { other } else { us }
    }
}

const UNITS: &[(&str, &str)] = &[("us", "feet, inches, gallons"), ("metric", "metres, millimetres, litres")];
const WAYS_IN: &[(&str, &str)] = &[
    ("grate", "the water falls into a catch basin under a grate, and a tight pipe leads on"),
    ("french drain", "it seeps into a pipe with holes in a trench of stone, and that leads on"),
    ("both", "a grate with its pipe for the rain, a French drain for what stands in the ground"),
];
const COVERS: &[(&str, &str)] = &[
    ("sod", "grass or soil over the stone: takes what stands in the ground, next to no rain from above"),
    ("stone", "the stone comes up to the surface: takes rain from above as well"),
];
/// The slope that the file has for each word of how steep the ground is.
pub(super) const SLOPES: &[(&str, &str)] = &[("flat", "1 %"), ("gentle", "4 %"), ("steep", "10 %")];
const SLOPE_WORDS: &[(&str, &str)] = &[
    ("flat", "less than 2 in 100: it looks level"),
    ("gentle", "2 to 7 in 100"),
    ("steep", "more than 7 in 100, an inch in a foot and steeper: a bank"),
];
/// Where the water may leave, with the kind of outlet and of place that the file has for it.
pub(super) const OUTLETS: &[(&str, &str, &str)] = &[
    ("swale", "open end", "swale"),
    ("curb", "curb", "curb"),
    ("ditch", "open end", "ditch"),
    ("pop-up", "pop-up", "lawn"),
    ("bubbler box", "bubbler box", "lawn"),
    ("street", "curb", "street"),
    ("storm drain", "storm drain", "storm drain"),
    ("stream", "open end", "stream"),
];
const OUTLET_WORDS: &[(&str, &str)] = &[
    ("swale", "an open end of pipe in a shallow grassed channel"),
    ("curb", "through the curb into the gutter of the street"),
    ("ditch", "an open end of pipe in a ditch"),
    ("pop-up", "a lid in the lawn that the water lifts"),
    ("bubbler box", "a box in the lawn that the water wells up in"),
    ("street", "onto the street"),
    ("storm drain", "into a pipe for rain water, where the town allows it"),
    ("stream", "an open end of pipe at a stream"),
];
const FROST_PLANS: &[(&str, &str)] = &[
    ("below frost", "all of the pipe lies deeper than the ground freezes"),
    ("drains back", "it slopes back to the basin and runs empty after each run of the pump, without a check valve"),
    ("drain hole", "it slopes back to the basin and runs empty through a small hole drilled above the check valve"),
    ("drains out", "it slopes down to its end and runs empty there"),
];

fn is_soil(text: &str) -> bool {
    catalog::soil(text).is_some() || catalog::ground(text).is_some()
}

fn is_pipe(text: &str) -> bool {
    !matches!(catalog::pipe(text, "2 in"), Err(catalog::PipeLookup::UnknownMaterial { .. }))
}

fn by_units(sketch: &Sketch<'_>, us: &str, metric: &str) -> String {
    if sketch.metric() { metric } else { us }.to_owned()
}

fn has_grate(sketch: &Sketch<'_>) -> bool {
    !sketch.is("way-in", "french drain")
}

/// Whether a surface sheds more of its rain the steeper it is.
pub(super) fn goes_by_slope(surface: &str) -> bool {
    catalog::runoff_coefficient(surface, Some(false), None).is_some_and(|entry| entry.assumed.is_some())
}

/// Whether it is told by the kind of each lawn how steep it is; none where there is no lawn.
pub(super) fn each_lawn_tells(sketch: &Sketch<'_>) -> Option<bool> {
    let lawns = reading::lawns(sketch);
    (!lawns.is_empty()).then(|| lawns.iter().all(|lawn| lawn.told.is_some()))
}

/// Asked where a lawn's line does not say it; an answer that is given counts wherever there is a lawn.
fn steepness_counts(sketch: &Sketch<'_>) -> bool {
    let answered = matches!(sketch.answers.get("steepness"), Some(Answer::Given(_)));
    each_lawn_tells(sketch).is_some_and(|told| !told || answered)
}

/// What is taken of a lawn that nothing is said of: the tables' own, so that it need not be written.
pub(super) const USUAL_STEEPNESS: &str = "gentle";

/// A name such as `bank` proposes what is taken of the lawns whose lines do not say it: the steepest that any of them has.
fn usual_steepness(sketch: &Sketch<'_>) -> String {
    let place = |word: &str| SLOPES.iter().position(|(known, _)| *known == word);
    let lawns = reading::lawns(sketch);
    let open = lawns.iter().filter(|lawn| lawn.told.is_none());
    let steepest = open.map(|lawn| lawn.proposed.unwrap_or(USUAL_STEEPNESS)).max_by_key(|word| place(word));
    steepest.unwrap_or(USUAL_STEEPNESS).to_owned()
}

/// Whether the place where the water leaves may run full.
fn fills(sketch: &Sketch<'_>) -> bool {
    ["swale", "curb", "ditch", "street", "storm drain", "stream"].iter().any(|place| sketch.is("outlet", place))
}

fn has_french_drain(sketch: &Sketch<'_>) -> bool {
    sketch.is("way-in", "french drain") || sketch.is("way-in", "both")
}

/// The fall that is usual in a drain: an eighth of an inch in a foot, 1 in 96; common practice, no source.
pub(super) const FALL: f64 = 1.0 / 96.0;
/// From the basin's floor to the pipe that comes in: room for pump, floats and some water; common practice, no source.
const UNDER_THE_INLET: Length = Length::from_inch(26.0);
/// How far below the pipe that comes in the pump starts at the highest; common practice, no source.
const BELOW_THE_INLET: Length = Length::from_inch(6.0);
/// The pump stops so far above the floor, with water still over its inlet; common practice, no source.
const OFF: Length = Length::from_inch(8.0);
/// Between the floats at the least; common practice, no source.
const LEAST_GAP: Length = Length::from_inch(6.0);

fn usual_fall(sketch: &Sketch<'_>) -> Option<String> {
    let length = sketch.length("drain-length")?;
    Some(sketch.short_up(length * FALL))
}

/// Beside a grate as high as the pipe from there.
fn usual_french_end(sketch: &Sketch<'_>) -> Option<String> {
    has_grate(sketch).then(|| sketch.inlet_invert()).flatten().map(|inlet| sketch.level_text(inlet))
}

fn usual_french_level(sketch: &Sketch<'_>) -> Option<String> {
    let fall = sketch.length("french-length")? * FALL;
    Some(sketch.level_text(sketch.level("french-end")? + fall))
}

fn usual_depth(sketch: &Sketch<'_>) -> Option<String> {
    let depth = sketch.level("basin-rim")? - sketch.lowest_inlet()? + UNDER_THE_INLET;
    // in whole half feet, as basins are sold
    let step = if sketch.metric() { Length::from_m(0.1) } else { Length::from_ft(0.5) };
    let depth = step * libm::ceil(depth / step - 1e-9);
    Some(sketch.short_up(depth))
}

/// The pipe that comes in, above the floor.
fn inlet_height(sketch: &Sketch<'_>) -> Option<Length> {
    let floor = sketch.level("basin-rim")? - sketch.length("basin-depth")?;
    Some(sketch.lowest_inlet()? - floor)
}

fn usual_on(sketch: &Sketch<'_>) -> Option<String> {
    let off = sketch.length("float-off")?;
    let highest = inlet_height(sketch)? - BELOW_THE_INLET;
    Some(sketch.short_down(highest.max(off + LEAST_GAP)))
}

fn usual_alarm(sketch: &Sketch<'_>) -> Option<String> {
    Some(sketch.short_down(sketch.length("float-on")? + Length::from_inch(4.0)))
}

fn usual_frost_plan(sketch: &Sketch<'_>) -> String {
    // a line that ends above ground cannot lie below frost to its end
    if sketch.is("check-valve", "no") { "drains back" } else { "drain hole" }.to_owned()
}

/// Everything that is asked.
pub const CHAPTERS: &[Chapter] = &[
    Chapter {
        title: "The yard",
        says: "Three short questions first. Heights are measured from one place that stays where it is, with a level on \
               a tripod, a long board with a spirit level on it, or a clear hose full of water.",
        drawing: drawings::HEIGHTS,
        caution: "",
        questions: &[
            ask("title", "What do you call this yard?", Takes::Words, "title")
                .why("It heads the report. The name of the street corner will do.")
                .like("Lower lawn", "Lower lawn")
                .usually(|_| Some("My yard".to_owned()))
                .always_known(),
            ask("units", "In which units do you want the report?", Takes::Choice(UNITS), "units")
                .why("You may answer in any unit all the same: 3 ft, 36 in or 0.91 m.")
                .like("us", "metric")
                .usually(|_| Some("us".to_owned()))
                .always_known(),
            ask("zero", "What do you measure heights from?", Takes::Words, "")
                .why(
                    "Something that nobody moves: the sill of the door, a step, the garage floor. Every height is then \
                     so much above or below it. Or type the reading on a rod, the first time with the reading on that \
                     place: `rod 5 ft 7 in, zero 4 ft 3 in`. In the file it stands as 100 ft, or 10 m in metric units.",
                )
                .like("the door sill", "the door sill")
                .usually(|_| Some("the door sill".to_owned()))
                .always_known(),
        ],
    },
    Chapter {
        title: "Where the water stands",
        says: "The low place of the yard, and how high water can rise there before it runs on by itself.",
        drawing: drawings::HOLLOW,
        caution: "",
        questions: &[
            ask("low-level", "A: how high is the lowest ground of the low place?", Takes::Level, "low_spot.surface")
                .why("Water that stands there is counted from this height up.")
                .measured("walk through the hollow with the level, and take the lowest ground")
                .like("8.4 in below", "210 mm below"),
            ask("pond", "How large is the standing water? A depth over A and a size, a line each.", Takes::Lines(Lines::Pond), "low_spot.surface")
                .why(
                    "Two or three depths are enough. The larger the hollow, the more rain it holds while the pump \
                     catches up. A size is an area, or length by width.",
                )
                .like("4 in, 12 ft x 20 ft", "100 mm, 4 m x 6 m"),
            ask("spill-level", "B: at what height would standing water run on by itself?", Takes::Level, "low_spot.spills_at")
                .why("The lowest point of the rim of the hollow. Above it the water goes elsewhere.")
                .like("3 in below", "75 mm below"),
            ask("spill-to", "Where would it run to, over B?", Takes::Words, "low_spot.spills_to")
                .why("The report names this place where water gets so high. A few words will do.")
                .like("the street", "the street")
                .usually(|_| Some("away".to_owned()))
                .always_known(),
            ask("spill-building", "Would it run towards a building from there, or into one, yours or a neighbour's?", Takes::YesNo, "low_spot.spills_to")
                .why("A low door, a cellar stair, a garage or a vent on its way takes the water in once the low place is full.")
                .like("no", "no"),
            ask("spill-opening", "How high is the lowest opening of that building that the water could get in by?", Takes::Level, "protect.level")
                .why("A door sill, the head of a cellar stair, a cellar window, a vent. The report looks whether water comes so far.")
                .like("4 in below", "100 mm below")
                .when(|sketch| sketch.is("spill-building", "yes")),
            ask("dry-level", "C: how high is the lowest opening that water must not reach?", Takes::Level, "protect.level")
                .why(
                    "A door sill, a cellar window, a vent of the crawl space: whichever is lowest. `0` is as high as the \
                     place that heights count from. The report says how near water comes to it.",
                )
                .like("0", "0"),
            ask("dry-name", "What do you call that opening?", Takes::Words, "protect.name")
                .why("Report and owner's page call it so where they say how near water comes to it.")
                .like("kitchen door", "kitchen door")
                .usually(|_| Some("lowest opening".to_owned()))
                .always_known(),
        ],
    },
    Chapter {
        title: "What sheds its rain there",
        says: "Every surface whose rain runs to the low place, seen from above, the neighbours' too where their water \
               comes over.",
        drawing: drawings::SURFACES,
        caution: "",
        questions: &[
            ask("areas", "Which surfaces? A size, what it is, and a name if you like, a line each.", Takes::Lines(Lines::Areas), "catchment.area")
                .why(
                    "Of a roof count the part whose gutters lead here. A size is an area, or length by width. Roofs and \
                     paving shed nearly all of their rain, lawns a small part.",
                )
                .like("20 ft x 24 ft, roof, half of the roof", "6 m x 7 m, roof, half of the roof"),
            ask("steepness", "How steep is the lawn there?", Takes::Choice(SLOPE_WORDS), "")
                .why(
                    "A bank sheds more of its rain than a flat lawn, and a clay bank far more. It counts for each lawn of \
                     which you did not say it before its kind, as in `350 ft2, steep lawn` or `200 ft2, level lawn`.",
                )
                .measured("with a board and a level: how far it falls in 100 of the same")
                .like("steep", "steep")
                .usually(|sketch| Some(usual_steepness(sketch)))
                .when(steepness_counts)
                .always_known(),
        ],
    },
    Chapter {
        title: "The rain",
        says: "How much falls in a short time, in a storm as rare as you want to be ready for. The national weather \
               service gives tables of it for any address: rain by how long it lasts and how rare it is.",
        drawing: drawings::RAIN,
        caution: "",
        questions: &[
            ask("return-period", "Once in how many years may it be too much?", Takes::Quantity(Dimension::ReturnPeriod), "goal.return_period")
                .why("10 years is common for a yard, 25 or more where a cellar or a garage floods.")
                .like("10 yr", "10 yr")
                .usually(|_| Some("10 yr".to_owned()))
                .always_known(),
            ask("rain", "How much rain falls in such a storm? How long, and how much, a line each.", Takes::Lines(Lines::Rain), "rain.depth")
                .why(
                    "Copy the column of your storm: 5, 15 and 60 minutes and 24 hours at least, more if you have them. \
                     The line of 5 minutes matters most: a roof sheds its peak in so short a time.",
                )
                .like("5 min 0.50 in", "5 min 12 mm"),
        ],
    },
    Chapter {
        title: "What you want",
        says: "What counts as good enough in that storm. The report then says whether it is so.",
        drawing: "",
        caution: "",
        questions: &[
            ask("standing-water", "How deep may water stand over the lowest ground?", Takes::Quantity(Dimension::Length), "goal.standing_water")
                .why("A lawn stands a few inches for a while; in front of a door less may be too much.")
                .like("2 in", "50 mm")
                .usually(|sketch| Some(by_units(sketch, "2 in", "50 mm")))
                .always_known(),
            ask("clear-within", "How long may it stand there?", Takes::Quantity(Dimension::Duration), "goal.clear_within")
                .why("Grass stands a day; mosquitoes want about two.")
                .like("6 h", "6 h")
                .usually(|_| Some("6 h".to_owned()))
                .always_known(),
        ],
    },
    Chapter {
        title: "The ground",
        says: "How much of the rain soaks in, and whether water stands in the ground itself.",
        drawing: "",
        caution: "",
        questions: &[
            ask("soil", "What kind of soil is it?", Takes::Known(catalog::ground_textures, is_soil), "soil.texture")
                .why("A moist handful: sand falls apart, loam holds together, clay can be rolled out into a thin worm.")
                .like("silt loam", "silt loam"),
            ask("groundwater", "Does a hole dug in the low place fill by itself in the wet season?", Takes::YesNo, "groundwater.seasonal_high")
                .why("Then groundwater comes as well as rain, day and night, and may lift an empty basin out of the ground.")
                .like("no", "no")
                .usually(|_| Some("no".to_owned())),
            ask("groundwater-level", "How high does the water in such a hole come to stand?", Takes::Level, "groundwater.seasonal_high")
                .why("It decides what seeps in, and whether the empty basin floats.")
                .like("4 ft below", "1.2 m below")
                .when(|sketch| sketch.is("groundwater", "yes")),
        ],
    },
    Chapter {
        title: "The way to the basin",
        says: "How the water gets from the low place to the basin that the pump stands in. It runs downhill there.",
        drawing: drawings::WAY_IN,
        caution: "Before anybody digs, call the one-call service (811 in the US) and wait for its marks: lines of gas and \
                  power lie under yards. A trench or pit of 5 ft or more needs protection, and wet sand runs long before.",
        questions: &[
            ask("way-in", "How does the water get to the basin?", Takes::Choice(WAYS_IN), "")
                .why("A grate takes rain that runs over the ground; a French drain takes what stands in it.")
                .like("grate", "grate")
                .usually(|_| Some("grate".to_owned()))
                .always_known(),
            ask("grate-level", "A: how high is the grate?", Takes::Level, "inlet.rim")
                .why("Usually it lies at the lowest ground.")
                .like("8.4 in below", "210 mm below")
                .usually(|sketch| Some(sketch.level_text(sketch.level("low-level")?)))
                .when(has_grate),
            ask("grate", "How large is the grate? One size is a round one.", Takes::Pair, "inlet.grate")
                .why("Half of it is taken to be blocked by leaves, unless the file says otherwise.")
                .like("12 in x 12 in", "300 mm x 300 mm")
                .usually(|sketch| Some(by_units(sketch, "12 in x 12 in", "300 mm x 300 mm")))
                .when(has_grate),
            ask("drain-depth", "D: how far below the grate does the pipe leave, at its lowest point inside?", Takes::Quantity(Dimension::Length), "inlet.outlet_invert")
                .why("Deep enough that the pipe has ground over it on its way.")
                .measured("with a tape, from the grate down")
                .like("14 in", "350 mm")
                .usually(|sketch| Some(by_units(sketch, "14 in", "350 mm")))
                .when(has_grate),
            ask("drain-length", "E: how long is the pipe from the grate to the basin?", Takes::Quantity(Dimension::Length), "drain.length")
                .why("Longer wants more fall, and so a deeper basin.")
                .like("25 ft", "8 m")
                .when(has_grate),
            ask("drain-fall", "How much lower does it come in at the basin than it leaves the grate?", Takes::Quantity(Dimension::Length), "drain.down_invert")
                .why("An eighth of an inch in a foot is usual, about 1 in 100.")
                .measured("the difference between its two ends, by the level")
                .like("3 in", "80 mm")
                .usually(usual_fall)
                .when(has_grate),
            ask("drain-size", "Which size is that pipe?", Takes::Size, "drain.size")
                .why("The size that is printed on it, a name more than a measure.")
                .like("4 in", "110 mm")
                .usually(|sketch| Some(by_units(sketch, "4 in", "110 mm")))
                .when(has_grate),
            ask("french-length", "How long is the French drain?", Takes::Quantity(Dimension::Length), "drain.length")
                .why("What seeps in grows with its length.")
                .like("40 ft", "12 m")
                .when(has_french_drain),
            ask("french-end", "How high does its pipe come in at the basin, at its lowest point inside?", Takes::Level, "drain.down_invert")
                .why("Water in the ground is lowered to this height at best. It counts from where all heights do.")
                .like("3 ft below", "0.9 m below")
                .usually(usual_french_end)
                .when(has_french_drain),
            ask("french-level", "How high is its pipe at the far end, at its lowest point inside?", Takes::Level, "drain.up_invert")
                .why("It falls from there to the basin: an eighth of an inch in a foot is usual, about 1 in 100.")
                .like("2 ft 8 in below", "0.8 m below")
                .usually(usual_french_level)
                .when(has_french_drain),
            ask("french-cover", "What lies over its stone?", Takes::Choice(COVERS), "drain.trench.cover")
                .why("Under grass it takes what stands in the ground, and next to no rain from above.")
                .like("sod", "sod")
                .usually(|sketch| Some(if has_grate(sketch) { "sod" } else { "stone" }.to_owned()))
                .when(has_french_drain),
            ask("french-fabric", "Does filter fabric line its trench, or will it?", Takes::YesNo, "drain.fabric")
                .why("A cloth round the stone that lets water through and keeps soil out: without it the stone silts up.")
                .like("yes", "yes")
                .usually(|_| Some("yes".to_owned()))
                .when(has_french_drain),
        ],
    },
    Chapter {
        title: "The basin",
        says: "The buried basin that the pump stands in. Floats switch the pump: they are counted from the basin's floor.",
        drawing: drawings::BASIN,
        caution: "An open basin is a trap for a child: it is covered whenever nobody stands beside it, and its lid is \
                  fastened. Nobody climbs into it.",
        questions: &[
            ask("basin-rim", "F: how high is the rim of the basin?", Takes::Level, "basin.rim")
                .why(
                    "The height of the ground where you want it, or a little more. Below the lowest ground the water \
                     would well out of it when the power is cut.",
                )
                .like("2 in below", "50 mm below"),
            ask("basin-across", "G: how wide is it inside?", Takes::Quantity(Dimension::Length), "basin.inside_diameter")
                .why("Wider holds more between the floats, so that the pump starts less often and lasts longer.")
                .like("24 in", "600 mm")
                .usually(|sketch| Some(by_units(sketch, "24 in", "600 mm"))),
            ask("basin-depth", "H: how deep is it, from the rim to the floor inside?", Takes::Quantity(Dimension::Length), "basin.floor")
                .why("The pipe that comes in has to lie well above the floats.")
                .measured("from the basin's data sheet, or with a tape")
                .like("4 ft", "1.2 m")
                .usually(usual_depth),
            ask("float-off", "K: how far above the floor does the pump stop?", Takes::Quantity(Dimension::Length), "basin.off")
                .why("The pump's paper says how much water it needs to stand in.")
                .like("8 in", "200 mm")
                .usually(|sketch| Some(sketch.short_up(OFF))),
            ask("float-on", "L: how far above the floor does the pump start?", Takes::Quantity(Dimension::Length), "basin.on")
                .why("Higher means fewer starts; below the pipe that comes in, or water stands in that.")
                .like("20 in", "500 mm")
                .usually(usual_on),
            ask("float-alarm", "M: how far above the floor does the alarm sound?", Takes::Quantity(Dimension::Length), "basin.alarm")
                .why("A second float that rings when the pump does not keep up or has failed. Without one nobody hears of it.")
                .like("24 in", "600 mm")
                .usually(usual_alarm),
            ask("basin-weight", "How heavy is the basin with its lid, empty?", Takes::Quantity(Dimension::Weight), "basin.weight")
                .why("Water in the ground lifts an empty basin like a boat. The report says whether this one stays where it is.")
                .like("60 lb", "27 kg")
                .when(|sketch| sketch.is("groundwater", "yes")),
        ],
    },
    Chapter {
        title: "The line to the outlet",
        says: "The pipe that the pump presses the water through, and where it comes out.",
        drawing: drawings::LINE,
        caution: "Ask the town, and the neighbour whose ground it reaches, where the water may go: not onto the \
                  neighbour's ground, and never into a sanitary sewer or a septic tank. Local codes decide.",
        questions: &[
            ask("outlet", "N: where does the water come out?", Takes::Choice(OUTLET_WORDS), "discharge.outlet.ends_in")
                .why("Kind and height of the outlet decide how high the pump lifts.")
                .like("swale", "swale")
                .usually(|_| Some("swale".to_owned()))
                .always_known(),
            ask("outlet-level", "N: how high is that?", Takes::Level, "discharge.outlet.level")
                .why("The pump has to lift the water from the basin up to here.")
                .like("2 ft 6 in above", "0.75 m above"),
            ask("outlet-full", "N: how high does the water there stand when it runs full?", Takes::Level, "discharge.outlet.ditch_full")
                .why(
                    "It runs full in the very storm that the pump is for. Over the end of the pipe it costs lift, and may come \
                     back through the line without end. The mark that high water left, or the top of the ditch or curb.",
                )
                .like("2 ft above", "0.6 m above")
                .when(fills),
            ask("run", "P: how long is the pipe from the basin to there?", Takes::Quantity(Dimension::Length), "discharge.run.length")
                .why("Along the way it will take. Every foot of it takes some of the pump's strength.")
                .like("85 ft", "26 m"),
            ask("pipe", "What kind of pipe?", Takes::Known(catalog::pipe_materials, is_pipe), "discharge.run.material")
                .why("Pipe for pressure. Thin drain pipe, hose and corrugated pipe are known too: the report says what is wrong with them.")
                .like("PVC schedule 40", "PE100 SDR 11")
                .usually(|sketch| Some(by_units(sketch, "PVC schedule 40", "PE100 SDR 11"))),
            ask("pipe-size", "Which size?", Takes::Size, "discharge.run.size")
                .why("The size that is printed on it, a name more than a measure. Not thinner than the outlet of the pump.")
                .like("1-1/2 in", "63 mm")
                .usually(|sketch| Some(by_units(sketch, "1-1/2 in", "63 mm"))),
            ask("bends-90", "How many square bends are on the way (90 degrees)?", Takes::Count, "discharge.run.fittings")
                .why("Each takes as much as some feet of pipe.")
                .like("1", "1")
                .usually(|_| Some("1".to_owned())),
            ask("bends-45", "How many half bends (45 degrees)?", Takes::Count, "discharge.run.fittings")
                .why("Two of them turn a corner with less loss than one square bend.")
                .like("2", "2")
                .usually(|_| Some("2".to_owned())),
            ask("hill", "Q: is the ground anywhere on the way higher than at the outlet?", Takes::YesNo, "discharge.profile")
                .why("Then the water has to be lifted over that first, and air gathers in the pipe there.")
                .like("no", "no")
                .usually(|_| Some("no".to_owned())),
            ask("hill-level", "Q: how high is the ground there?", Takes::Level, "discharge.profile.ground")
                .why("The highest ground that the pipe goes under.")
                .like("4 ft above", "1.2 m above")
                .when(|sketch| sketch.is("hill", "yes")),
            ask("hill-at", "Q: how far along the pipe is that, from the basin?", Takes::Quantity(Dimension::Length), "discharge.profile.at")
                .why("Along the pipe.")
                .like("40 ft", "12 m")
                .when(|sketch| sketch.is("hill", "yes")),
            ask("check-valve", "Is there a check valve over the pump, or will there be?", Takes::YesNo, "discharge.check_valve")
                .why("It keeps the water of the line from running back into the basin each time the pump stops.")
                .like("yes", "yes")
                .usually(|_| Some("yes".to_owned())),
            ask("freezing", "Does the ground freeze in winter where you live?", Takes::YesNo, "")
                .why("Water that stands in a frozen line stops the pump, and may burst the pipe.")
                .like("yes", "yes")
                .usually(|_| Some("no".to_owned()))
                .always_known(),
            ask("frost-depth", "How deep does it freeze?", Takes::Quantity(Dimension::Length), "discharge.frost.depth")
                .why("The pipe lies below that, or runs empty after each run of the pump.")
                .like("30 in", "0.8 m")
                .when(|sketch| sketch.is("freezing", "yes")),
            ask("frost-plan", "What keeps the line from freezing?", Takes::Choice(FROST_PLANS), "discharge.frost.plan")
                .why("The report looks whether it holds.")
                .like("below frost", "below frost")
                .usually(|sketch| Some(usual_frost_plan(sketch)))
                .when(|sketch| sketch.is("freezing", "yes")),
        ],
    },
    Chapter {
        title: "The pump",
        says: "A pump that you have or think of. If there is none yet, answer `unknown`: the file keeps the place for it.",
        drawing: drawings::CURVE,
        caution: "Electricity and water: leave the socket and the wiring to a licensed electrician, and have the circuit \
                  switched off before anybody reaches into the basin.",
        questions: &[
            ask("pump", "What do you call the pump?", Takes::Words, "pump.name")
                .why("A name to know it by in the report, as where you saw it.")
                .like("from the garden centre", "from the garden centre")
                .usually(|_| Some("the pump".to_owned()))
                .always_known(),
            ask("curve", "How high does it lift, at which flow? A flow and a height, a line each.", Takes::Lines(Lines::Curve), "pump.curve")
                .why(
                    "Read them off the chart or the table on its box, from no flow to the most: the more water, the less \
                     high. `At 0 ft` alone says nothing of what it gives when it lifts.",
                )
                .like("20 gpm 18 ft", "80 L/min 5.5 m"),
            ask("pump-outlet", "Which size is the outlet of the pump?", Takes::Size, "pump.outlet_size")
                .why("The pipe may not be thinner.")
                .like("1-1/2 in", "50 mm"),
        ],
    },
];
