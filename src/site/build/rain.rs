//! The rain: one of four ways to enter it, the design storm, the frequency factor.

use crate::catalog;
use crate::hydrology::{
    DepthDuration, PointFile, PointFileWarning, Rain, RainError, SheetMethod, frequency_factor, read_point_file,
};
use crate::quantity::{Amount, Duration, Intensity, RainDepth, ReturnPeriod};
use crate::site::keys;
use crate::site::problem::{Problem, ProblemKind};
use crate::site::range::ends;
use crate::site::suggest::{echo, listed};
use crate::site::tree::{Node, PeriodEntry, Place};
use crate::site::walk::Reader;
use crate::site::words::quoted;
use crate::site::{Files, SiteRain};

const MINIMUM_TIME: Duration = Duration::from_min(5.0);
const WAYS: [&str; 4] = ["depth", "intensity", "formula", "file"];
/// Two return periods this close are the same.
const SAME: f64 = 1e-6;
/// More periods than any rain table has; the yard is followed through a storm of each.
const MOST_PERIODS: usize = 20;
/// More durations than any rain table has.
const MOST_DURATIONS: usize = 200;

type Storms = Vec<(Option<ReturnPeriod>, Rain)>;

/// The rain; nothing where something is wrong with it.
pub(super) fn rain(reader: &mut Reader<'_>, root: &Node, goal: &Node, files: &dyn Files) -> Option<SiteRain> {
    let Some(node) = root.node("rain") else { return no_rain(reader, root) };
    let period = goal.quantity::<ReturnPeriod>("return_period");
    let given: Vec<&str> = WAYS.into_iter().filter(|way| node.has(way)).collect();
    let way = match given.as_slice() {
        [one] => *one,
        [] => {
            if reader.was_lost("rain", "depth") {
                return None;
            }
            reader.error(
                ProblemKind::MissingKey,
                node.place.clone(),
                "`[rain]` says nothing of how much it rains".to_owned(),
                "no rain in it",
                "add a table `[rain.depth.\"10 yr\"]` with lines such as `\"5 min\" = \"0.55 in\"`, or `intensity`, \
                 `formula` or `file`",
            );
            return None;
        }
        [first, second, ..] => {
            reader.say(
                Problem::error(
                    ProblemKind::Conflict,
                    node.place_of(second),
                    format!("rain is entered by `{first}` and by `{second}`"),
                )
                .label("a second way")
                .also(node.at(first), "the first")
                .help("keep one of them"),
            );
            return None;
        }
    };
    let (storms, origin) = match way {
        "depth" => (table(reader, node), None),
        "file" => point_file(reader, node, files),
        "formula" => (formula(reader, node, period), None),
        _ => (node.quantity::<Intensity>("intensity").map(|intensity| vec![(period, Rain::Constant(intensity))]), None),
    };
    let storms = storms?;
    let minimum_time = node.quantity("minimum_time").unwrap_or(MINIMUM_TIME);
    if !node.has("minimum_time") {
        reader.assume(
            "shortest time of concentration",
            Amount::of(MINIMUM_TIME),
            "the shortest duration of most rain tables; common practice",
        );
    }
    let design = design_storm(reader, goal, node, &storms)?;
    if !long_enough(reader, node, &storms, minimum_time) {
        return None;
    }
    let design_period = storms.get(design).and_then(|(period, _)| *period);
    let sheet_method = node
        .quantity::<RainDepth>("two_year_24_hour")
        .map_or(SheetMethod::Kinematic, |two_year_24_hour| SheetMethod::Nrcs { two_year_24_hour });
    Some(SiteRain {
        design,
        minimum_time,
        sheet_method,
        frequency_factor: factor(reader, node, design_period),
        distribution: node.words("distribution").and_then(catalog::storm_distribution).map(|storm| storm.name),
        origin: node.text("origin").or(origin).unwrap_or_else(|| "entered in the site file".to_owned()),
        storms,
    })
}

/// No rain is well where no surface sheds any.
fn no_rain(reader: &mut Reader<'_>, root: &Node) -> Option<SiteRain> {
    if root.has("rain") {
        return None;
    }
    // a question about pump and line alone needs no rain; a surface without rain would count for nothing unsaid
    if root.nodes("catchment").is_empty() {
        return Some(SiteRain {
            storms: Vec::new(),
            design: 0,
            minimum_time: MINIMUM_TIME,
            sheet_method: SheetMethod::Kinematic,
            frequency_factor: 1.0,
            distribution: None,
            origin: "no rain entered".to_owned(),
        });
    }
    if !reader.was_lost("rain", "rain") && !reader.was_lost("", "rain") {
        let problem = Problem::error(ProblemKind::MissingKey, None, "the table `[rain]` is missing").help(
            "add a table `[rain.depth.\"10 yr\"]` with lines such as `\"5 min\" = \"0.55 in\"` from the weather \
             service's table for the address",
        );
        reader.say(problem);
    }
    None
}

fn table(reader: &mut Reader<'_>, node: &Node) -> Option<Storms> {
    node.entry("depth")?.value.as_ref()?;
    let entries = node.periods("depth");
    if entries.is_empty() {
        if !reader.problems.iter().any(|problem| problem.kind == ProblemKind::BadRain) {
            reader.error(
                ProblemKind::BadRain,
                node.place_of("depth"),
                "`rain.depth` has no return period".to_owned(),
                "nothing in it",
                "add a table `[rain.depth.\"10 yr\"]` with lines such as `\"5 min\" = \"0.55 in\"`",
            );
        }
        return None;
    }
    let longest = entries.iter().map(|entry| entry.depths.len()).max().unwrap_or(0);
    if too_large(reader, &node.place_of("depth"), "`rain.depth`", entries.len(), longest) {
        return None;
    }
    let mut storms: Vec<(ReturnPeriod, DepthDuration, &PeriodEntry)> = Vec::new();
    let mut whole = true;
    for entry in entries {
        let period = ReturnPeriod::from_years(entry.years);
        if let Some((_, _, first)) = storms.iter().find(|(known, _, _)| (known.years() - entry.years).abs() < SAME) {
            let problem = Problem::error(
                ProblemKind::DuplicateKey,
                entry.place.clone(),
                format!("the return period {} stands twice", reader.show(period)),
            )
            .label("the second time")
            .also(first.place.clone(), "the first")
            .help("keep one of them");
            reader.say(problem);
            whole = false;
            continue;
        }
        if !entry.whole {
            whole = false;
            continue;
        }
        let points = entry.depths.iter().map(|(s, m, _)| (Duration::from_s(*s), RainDepth::from_m(*m))).collect();
        match DepthDuration::new(points) {
            Ok(table) => storms.push((period, table, entry)),
            Err(error) => {
                bad_rain(reader, entry, &error);
                whole = false;
            }
        }
    }
    storms.sort_by(|one, other| one.0.years().total_cmp(&other.0.years()));
    for pair in storms.windows(2) {
        let [(common, less, _), (rare, more, entry)] = pair else { continue };
        let falls = less.points().iter().find_map(|(duration, depth)| {
            let (_, other) = more.points().iter().find(|(known, _)| (*known / *duration - 1.0).abs() < SAME)?;
            (other < depth).then_some(*duration)
        });
        if let Some(duration) = falls {
            let message = format!(
                "in {} less rain falls once in {} than once in {}",
                reader.show(duration),
                reader.show(*rare),
                reader.show(*common)
            );
            let problem = Problem::warning(ProblemKind::BadRain, entry.place.clone(), message)
                .label("less rain in the rarer storm")
                .help("compare both with the weather service's table");
            reader.say(problem);
        }
    }
    whole.then(|| storms.into_iter().map(|(period, table, _)| (Some(period), Rain::Table(table))).collect())
}

/// Whether a rain table has more periods or durations than any has, saying so.
fn too_large(reader: &mut Reader<'_>, place: &Place, what: &str, periods: usize, durations: usize) -> bool {
    let (count, of, most) = if periods > MOST_PERIODS {
        (periods, "return periods", MOST_PERIODS)
    } else if durations > MOST_DURATIONS {
        (durations, "durations for one return period", MOST_DURATIONS)
    } else {
        return false;
    };
    let message = format!("{what} has {count} {of}, more than the {most} that are read");
    reader.error(
        ProblemKind::BadRain,
        place.clone(),
        message,
        "too many",
        "keep those that the yard is to be judged by",
    );
    true
}

fn bad_rain(reader: &mut Reader<'_>, entry: &PeriodEntry, error: &RainError) {
    let place_of = |duration: Duration| {
        entry.depths.iter().rev().find(|(s, _, _)| (*s - duration.s()).abs() < SAME).map(|(_, _, place)| place.clone())
    };
    let (place, other) = match error {
        RainError::NotPositive { duration } | RainError::Duplicate { duration } => (place_of(*duration), None),
        RainError::DepthFalls { shorter, longer } | RainError::IntensityRises { shorter, longer } => {
            (place_of(*longer), place_of(*shorter))
        }
        _ => (None, None),
    };
    let problem = Problem::error(ProblemKind::BadRain, place.unwrap_or_else(|| entry.place.clone()), error.to_string())
        .label("here")
        .also(other, "compared with this")
        .help("compare with the weather service's table: is a digit wrong, or an intensity entered as a depth?");
    reader.say(problem);
}

fn formula(reader: &mut Reader<'_>, node: &Node, period: Option<ReturnPeriod>) -> Option<Storms> {
    let formula = node.node("formula")?;
    let (a, b, c) = (formula.quantity("a")?, formula.quantity("b")?, formula.number("c")?);
    match Rain::formula(a, b, c) {
        Ok(rain) => Some(vec![(period, rain)]),
        Err(error) => {
            reader.error(
                ProblemKind::BadRain,
                formula.place.clone(),
                error.to_string(),
                "not a rain",
                "write a, b and c of i = a/(t + b)^c, t in minutes",
            );
            None
        }
    }
}

fn point_file(reader: &mut Reader<'_>, node: &Node, files: &dyn Files) -> (Option<Storms>, Option<String>) {
    let Some(path) = node.words("file") else { return (None, None) };
    let place = node.place_of("file");
    let shown = echo(path);
    let text = match files.read(path) {
        Ok(text) => text,
        Err(why) => {
            let message = format!("the rain file `{shown}` cannot be read: {}", echo(&why));
            reader.error(ProblemKind::RainFile, place, message, "this file", "the path is counted from the site file");
            return (None, None);
        }
    };
    match read_point_file(&text) {
        Ok(file) => {
            if !believed(reader, &place, &shown, &file) {
                return (None, None);
            }
            for warning in &file.warnings {
                point_file_warning(reader, place.clone(), &shown, warning);
            }
            let origin = [file.publication.as_deref(), file.location.as_deref()];
            let origin: Vec<&str> = origin.into_iter().flatten().collect();
            let origin = if origin.is_empty() { format!("file {shown}") } else { origin.join(", ") };
            let storms = file.columns.into_iter().map(|(period, table)| (Some(period), Rain::Table(table))).collect();
            (Some(storms), Some(origin))
        }
        Err(error) => {
            let message = format!(
                "the rain file `{shown}` is not as the weather service sends it, at line {}: {}",
                error.line, error.problem
            );
            reader.error(ProblemKind::RainFile, place, message, "this file", SAVE_AFRESH);
            (None, None)
        }
    }
}

/// The depths that a file may have, which go to 60 days for the wettest place: more than ever fell in two months, 12.8 m
/// (from memory).
const FILE_DEPTHS: keys::Range = keys::Range { least: "0.001 in", most: "600 in", why: "no place has less or more" };

/// Whether a file's figures lie where rain does, saying so if not.
fn believed(reader: &mut Reader<'_>, place: &Place, shown: &str, file: &PointFile) -> bool {
    let longest = file.columns.iter().map(|(_, table)| table.points().len()).max().unwrap_or(0);
    if too_large(reader, place, &format!("the rain file `{shown}`"), file.columns.len(), longest) {
        return false;
    }
    let points = || file.columns.iter().flat_map(|(_, table)| table.points());
    let periods = file.columns.iter().map(|(period, _)| Amount::of(*period)).collect();
    let durations = points().map(|(duration, _)| Amount::of(*duration)).collect();
    let depths = points().map(|(_, depth)| Amount::of(*depth)).collect();
    let known: [(&str, Option<keys::Range>, Vec<Amount>); 3] = [
        ("a return period", keys::RAIN_PERIOD.range, periods),
        ("a duration", keys::RAIN_DURATION.range, durations),
        ("a depth", Some(FILE_DEPTHS), depths),
    ];
    for (what, range, amounts) in known {
        let Some(range) = range else { continue };
        for amount in amounts {
            let (least, most) = ends(range, amount.dimension);
            // a figure at the end itself passes, whatever its rounding
            if amount.si < least * (1.0 - SAME) || amount.si > most * (1.0 + SAME) {
                let message = format!(
                    "the rain file `{shown}` has {what} of {}: {} to {} is read",
                    amount.show(reader.units),
                    range.least,
                    range.most
                );
                reader.error(ProblemKind::RainFile, place.clone(), message, "this file", SAVE_AFRESH);
                return false;
            }
        }
    }
    true
}

const SAVE_AFRESH: &str = "save it afresh from the weather service, or enter the figures by `[rain.depth.\"10 yr\"]`";

/// What of the rain file somebody should know: not what moves a figure within its own rounding.
fn point_file_warning(reader: &mut Reader<'_>, place: Place, shown: &str, warning: &PointFileWarning) {
    let (message, help) = match warning {
        PointFileWarning::CoarseIntensity => (
            "holds intensities in whole millimetres an hour, which are coarse beyond a few hours",
            "save depths, or inches, from the weather service",
        ),
        PointFileWarning::SeriesAgainstHeader => (
            "says one kind of series and its header another; the header was followed",
            "save it afresh from the weather service",
        ),
        PointFileWarning::SeriesFromHeader
        | PointFileWarning::ZerosLeftOut { .. }
        | PointFileWarning::MovedWithinRounding { .. } => return,
    };
    reader.say(
        Problem::warning(ProblemKind::RainFile, place, format!("the rain file `{shown}` {message}"))
            .label("this file")
            .help(help),
    );
}

fn design_storm(reader: &mut Reader<'_>, goal: &Node, rain: &Node, storms: &Storms) -> Option<usize> {
    let wanted = goal.quantity::<ReturnPeriod>("return_period");
    let names: Vec<String> =
        storms.iter().filter_map(|(period, _)| *period).map(|period| reader.show(period)).collect();
    let names = listed(names.iter().map(String::as_str), "and");
    let Some(wanted) = wanted else {
        if storms.len() == 1 {
            return Some(0);
        }
        if !goal.has("return_period") && !reader.was_lost("goal", "return_period") {
            reader.error(
                ProblemKind::MissingKey,
                rain.place_of(if rain.has("file") { "file" } else { "depth" }),
                "there is rain for several return periods, and nothing says which to design for".to_owned(),
                "several periods",
                &format!("add `return_period = …` to `[goal]`; the periods are {names}"),
            );
        }
        return None;
    };
    let found = storms.iter().position(|(period, _)| {
        period.is_some_and(|period| (period.years() - wanted.years()).abs() <= SAME * wanted.years())
    });
    if found.is_none() {
        let mut problem = Problem::error(
            ProblemKind::UnknownReturnPeriod,
            goal.place_of("return_period"),
            format!("there is no rain for a return period of {}", reader.show(wanted)),
        )
        .label("no rain for this period")
        .also(rain.at("depth").or_else(|| rain.at("file")), "the rain")
        .help(format!("the periods entered are {names}; or add `[rain.depth.\"{}\"]`", reader.show(wanted)));
        if let [(Some(only), _)] = storms.as_slice() {
            problem = problem.replacement(quoted(&reader.show(*only)));
        }
        reader.say(problem);
    }
    found
}

/// Rain is never extrapolated to shorter bursts.
fn long_enough(reader: &mut Reader<'_>, node: &Node, storms: &Storms, minimum_time: Duration) -> bool {
    let slack = 1.0 + SAME;
    let short = storms.iter().find_map(|(period, rain)| {
        let shortest = rain.shortest()?;
        (shortest > minimum_time * slack).then_some((*period, shortest))
    });
    let Some((period, shortest)) = short else { return true };
    let place = node
        .periods("depth")
        .iter()
        .find(|entry| period.is_some_and(|period| (period.years() - entry.years).abs() < SAME))
        .map(|entry| entry.place.clone())
        .or_else(|| node.at("minimum_time").or_else(|| node.at("file")))
        .unwrap_or_else(|| node.place.clone());
    let (shortest, least) = (reader.show(shortest), reader.show(minimum_time));
    let problem = Problem::error(
        ProblemKind::RainTooLong,
        place,
        format!("the rain is known for {shortest} and longer, but a yard's peak comes in bursts of {least}"),
    )
    .label(format!("begins at {shortest}"))
    .also(node.at("minimum_time"), "the shortest time of concentration")
    .help(format!(
        "rain is never extrapolated: add the line for `\"{least}\"` from the weather service's table; a roof or a patio \
         sheds its peak in five minutes"
    ));
    reader.say(problem);
    false
}

fn factor(reader: &mut Reader<'_>, node: &Node, period: Option<ReturnPeriod>) -> f64 {
    if let Some(factor) = node.number("frequency_factor") {
        return factor;
    }
    let Some(period) = period else {
        return 1.0;
    };
    let factor = frequency_factor(catalog::frequency_factors(), period);
    let why = format!("for a return period of {}: {}", reader.show(period), catalog::frequency_factor_source());
    if factor > 1.0 {
        reader.assume("factor on runoff coefficients for a rare storm", Amount::of(factor), why);
    }
    factor
}
