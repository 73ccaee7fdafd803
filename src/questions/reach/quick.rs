//! A site made of a handful of numbers, for a question on the telephone: only pump, lift, line.

use super::found::SMALLEST_IN;
use super::words::LIFT_COUNTED;
use crate::catalog;
use crate::quantity::{self, Amount, Flow, Head, Length, UnitSystem};
use crate::site::{self, NoFiles, Problem, ProblemKind, Site};
use thiserror::Error;

/// The numbers.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Quick {
    /// From the water in the basin, drawn down to where the pump stops, to where the water leaves.
    pub lift: Option<Length>,
    /// The label of the pipe's size; none for all of them.
    pub pipe: Option<String>,
    /// The pipe's material; none for PVC schedule 40.
    pub material: Option<String>,
    /// The pump's points: `0 gpm 31 ft, 20 gpm 27 ft`.
    pub curve: Option<String>,
    /// The length of the run; none to ask for the longest alone.
    pub run: Option<Length>,
    /// Fittings and how many: `elbow 90 = 3, elbow 45 = 2`.
    pub fittings: Option<String>,
    /// Whether there is a check valve.
    pub check_valve: bool,
    /// The units to print in; none for those that the curve is given in.
    pub units: Option<UnitSystem>,
    /// The flow that must come out, and whether one is needed.
    pub flow: Option<Flow>,
    /// Whether the job needs a flow.
    pub flow_needed: bool,
}

/// What is wrong with the numbers.
#[derive(Clone, Debug, Error)]
pub enum QuickError {
    /// Something is missing.
    #[error("without a site file {} still needed: {}", if missing.len() == 1 { "this is" } else { "these are" }, missing.join(", "))]
    Missing {
        /// What, as it is written.
        missing: Vec<&'static str>,
    },
    /// A point of the curve cannot be read.
    #[error("`{text}` is no point of a pump curve")]
    Point {
        /// What was written.
        text: String,
    },
    /// Fittings that cannot be read.
    #[error("`{text}` does not say how many fittings of which kind")]
    Fitting {
        /// What was written.
        text: String,
    },
    /// A pipe that is not told by kind and size.
    #[error("`{text}` does not tell which pipe: write size and kind apart, as `{example}`{}", if kinds.is_empty() { String::new() } else { format!("; the kinds made in {size} are {}", kinds.join(", ")) })]
    Pipe {
        /// What was written.
        text: String,
        /// What to write.
        example: String,
        /// The size in it, as a label.
        size: String,
        /// The kinds made in that size.
        kinds: Vec<&'static str>,
    },
    /// A lift of nothing, or none that a yard has.
    #[error("a lift of {} is no lift for a pump: it is the height {LIFT_COUNTED}", Amount::of(*lift).show(UnitSystem::Us))]
    Lift {
        /// What was given.
        lift: Length,
    },
    /// A run that is none, or longer than any yard's.
    #[error("a run of {} is no run that a yard has", Amount::of(*run).show(UnitSystem::Us))]
    Run {
        /// What was given.
        run: Length,
    },
    /// What the site file's reader says of it.
    #[error("{}", problems.iter().map(words).collect::<Vec<_>>().join("; "))]
    Refused {
        /// What it says.
        problems: Vec<Problem>,
    },
}

fn words(problem: &Problem) -> String {
    let help = problem.help.as_ref().map_or_else(String::new, |help| format!("; {help}"));
    // the keys are those of a file that nobody wrote
    let said = format!("{}{help}", problem.message);
    ["discharge.riser.size", "discharge.run.size", "discharge.riser.material", "discharge.run.material"]
        .iter()
        .fold(said, |said, key| said.replace(&format!("`{key}`: "), "").replace(&format!("`{key}`"), key_words(key)))
}

/// A key in the words of the command line.
fn key_words(key: &str) -> &'static str {
    if key.ends_with("size") { "`--pipe`" } else { "`--material`" }
}

/// The units that the points of a curve are given in: metric where none of them is a US unit.
fn units_of(curve: &str) -> UnitSystem {
    let mut words = curve.split(|letter: char| !letter.is_alphabetic()).map(str::to_lowercase);
    let us = |word: String| matches!(word.as_str(), "gpm" | "gph" | "ft" | "foot" | "feet" | "in" | "psi");
    if words.any(us) { UnitSystem::Us } else { UnitSystem::Metric }
}

/// The name of the pump that the numbers describe.
pub const QUICK_PUMP: &str = "this pump";
/// The length of run that a line is drawn with where none was given.
const SOME_RUN: &str = "100 ft";
/// The pipe that a line is drawn with where none was given: from here the sizes are looked at.
const SOME_PIPE: &str = "1-1/2 in";
/// What pipe is of where nobody said, by what is usual in the units of the curve: common practice, no source.
const USUAL_MATERIALS: [&str; 2] = ["PVC schedule 40", "PE100 SDR 11"];
/// Runs that the site file takes.
const SHORTEST_RUN: Length = Length::from_ft(0.1);
const LONGEST_RUN: Length = Length::from_ft(10_000.0);
/// The deepest lift that is believed.
const HIGHEST_LIFT: Length = Length::from_ft(500.0);

/// The site that the numbers describe. There is no riser, no relief hole, and the water stands at one level.
///
/// # Errors
/// Something is missing or cannot be read.
pub fn quick_site(quick: &Quick) -> Result<Site, QuickError> {
    let mut missing = Vec::new();
    if quick.lift.is_none() {
        missing.push("--lift \"12 ft\"");
    }
    if quick.curve.is_none() {
        missing.push("--curve \"0 gpm 31 ft, 20 gpm 27 ft, 40 gpm 20.5 ft\"");
    }
    if quick.flow_needed && quick.flow.is_none() {
        missing.push("--flow \"30 gpm\"");
    }
    let (Some(lift), Some(curve), true) = (quick.lift, &quick.curve, missing.is_empty()) else {
        return Err(QuickError::Missing { missing });
    };
    if lift <= Length::ZERO || lift > HIGHEST_LIFT {
        return Err(QuickError::Lift { lift });
    }
    if let Some(run) = quick.run.filter(|run| *run < SHORTEST_RUN || *run > LONGEST_RUN) {
        return Err(QuickError::Run { run });
    }
    let points = points(curve)?;
    let fittings = quick.fittings.as_deref().map_or(Ok(String::new()), fittings)?;
    let units = quick.units.unwrap_or_else(|| units_of(curve));
    let (kind, pipe) = kind_and_size(quick, units)?;
    let material = kind.as_deref().unwrap_or_else(|| usual_material(units, pipe.as_deref()));
    let size = text(pipe.as_deref().unwrap_or_else(|| some_size(material)));
    let material = text(material);
    let run = quick.run.map_or_else(|| SOME_RUN.to_owned(), |run| format!("{} m", run.m()));
    let valve = if quick.check_valve { "check_valve = { kind = \"swing\" }" } else { "" };
    // the water is drawn down to 1 ft over the floor, and levels count from there
    let file = format!(
        "format = 1\ntitle = \"From the numbers given\"\n\
         [basin]\ninside_diameter = \"24 in\"\nrim = \"4 ft\"\nfloor = \"-1 ft\"\ninlet_invert = \"3 ft\"\noff = \"12 in\"\non = \"30 in\"\n\
         [discharge]\nriser = {{ material = {material}, size = {size}, length = \"1 ft\" }}\n{valve}\n\
         outlet = {{ kind = \"open end\", level = \"{} m\" }}\n\
         [[discharge.run]]\nmaterial = {material}\nsize = {size}\nlength = \"{run}\"\nfittings = {{ {fittings} }}\n\
         [[pump]]\nname = \"{QUICK_PUMP}\"\ncurve = [{points}]\n",
        lift.m()
    );
    let reading = site::read(&file, &NoFiles);
    // of a few numbers on the phone a slip is likelier than such a pump
    let odd: Vec<Problem> =
        reading.problems.iter().filter(|problem| problem.kind == ProblemKind::BadCurve).cloned().collect();
    if !odd.is_empty() && reading.site.is_some() {
        return Err(QuickError::Refused { problems: odd });
    }
    let Some(mut site) = reading.site else {
        let mut problems: Vec<Problem> = reading.problems.into_iter().filter(Problem::is_error).collect();
        // riser and run are of one pipe: once is enough
        problems.dedup_by_key(|problem| words(problem));
        return Err(QuickError::Refused { problems });
    };
    site.discharge.riser.length = Length::ZERO;
    // half-way is where it stops: one water level
    site.basin.on = site.basin.off;
    site.units = units;
    Ok(site)
}

/// The usual material, or the other where that alone is made in the size asked for.
fn usual_material(units: UnitSystem, size: Option<&str>) -> &'static str {
    let [inches, millimetres] = USUAL_MATERIALS;
    let (usual, other) = if units == UnitSystem::Us { (inches, millimetres) } else { (millimetres, inches) };
    let made = |material: &str| size.is_none_or(|size| catalog::pipe(material, size).is_ok());
    if !made(usual) && made(other) { other } else { usual }
}

/// What people call a pipe by its plastic alone, and the kind that is usual: common practice, no source.
const BY_PLASTIC: [(&str, &str); 5] = [
    ("pe", "PE100 SDR 11"),
    ("hdpe", "PE100 SDR 11"),
    ("pe100", "PE100 SDR 11"),
    ("polyethylene", "PE100 SDR 11"),
    ("pvc", "PVC schedule 40"),
];

/// Kind and size of the pipe, where the kind may stand before the size: `PE 50`, `PVC schedule 40 2 in`.
fn kind_and_size(quick: &Quick, units: UnitSystem) -> Result<(Option<String>, Option<String>), QuickError> {
    let written = quick.pipe.as_deref().map(str::trim);
    let Some(words) = written.filter(|words| words.starts_with(char::is_alphabetic)) else {
        return Ok((quick.material.clone(), quick.pipe.clone()));
    };
    let parts: Vec<&str> = words.split_whitespace().collect();
    let mut splits = (1..parts.len()).rev().map(|at| parts.split_at(at));
    let behind = splits.find_map(|(kind, size)| told(&kind.join(" "), &size.join(" ")));
    // or the size stands within the kind: `PE 50 PN 10`
    let within = || {
        (1..parts.len().saturating_sub(1)).find_map(|at| {
            let (before, from) = parts.split_at(at);
            let (size, after) = from.split_first()?;
            told(&[before, after].concat().join(" "), size)
        })
    };
    let told = behind.or_else(within);
    // a kind that was given beside it must be the same
    let same = |kind: &str| quick.material.as_deref().is_none_or(|given| known_as(given) == known_as(kind));
    if let Some((kind, size)) = told.filter(|(kind, _)| same(kind)) {
        return Ok((Some(kind), Some(size)));
    }
    let last = parts.last().copied().unwrap_or_default();
    let made = labels(last).into_iter().map(|label| (catalog::materials_made_in(&label), label));
    let (kinds, size) = made.into_iter().find(|(kinds, _)| !kinds.is_empty()).unwrap_or_default();
    let [inches, millimetres] = USUAL_MATERIALS;
    let example = match (kinds.iter().find(|kind| USUAL_MATERIALS.contains(kind)), units) {
        (Some(kind), _) => format!("--pipe \"{size}\" --material \"{kind}\""),
        (None, UnitSystem::Us) => format!("--pipe \"2 in\" --material \"{inches}\""),
        (None, UnitSystem::Metric) => format!("--pipe \"50 mm\" --material \"{millimetres}\""),
    };
    Err(QuickError::Pipe { text: words.to_owned(), example, size, kinds })
}

/// A kind and a size that it is made in, the size with or without its unit.
fn told(kind: &str, size: &str) -> Option<(String, String)> {
    let plain = kind.to_lowercase();
    let usual = BY_PLASTIC.iter().filter(|(plastic, _)| *plastic == plain).map(|(_, usual)| *usual);
    std::iter::once(kind).chain(usual).find_map(|kind| {
        let made = labels(size).into_iter().find_map(|label| catalog::pipe(kind, &label).ok())?;
        Some((made.pipe.material.clone(), made.pipe.size.clone()))
    })
}

/// A size as its label may be.
fn labels(size: &str) -> Vec<String> {
    if size.ends_with(|letter: char| letter.is_ascii_digit()) {
        vec![format!("{size} mm"), format!("{size} in")]
    } else {
        vec![size.to_owned()]
    }
}

/// The name that the tables have for a kind of pipe, by any pipe of it.
fn known_as(kind: &str) -> Option<String> {
    let size = catalog::pipe_sizes(kind).into_iter().next()?;
    catalog::pipe(kind, size).ok().map(|entry| entry.pipe.material.clone())
}

/// A size that the material is made in, to begin with.
fn some_size(material: &str) -> &'static str {
    let sizes = catalog::pipe_sizes(material);
    let usual = |size: &&'static str| catalog::nominal_as_length(size).is_some_and(|size| size.inch() >= SMALLEST_IN);
    sizes.into_iter().find(usual).unwrap_or(SOME_PIPE)
}

/// A text as TOML writes it.
fn text(words: &str) -> String {
    let clean: String = words.chars().filter(|letter| !letter.is_control()).collect();
    format!("\"{}\"", clean.replace('\\', "\\\\").replace('"', "\\\""))
}

/// The points of a curve as the site file writes them: `20 gpm 27 ft, ...`.
fn points(curve: &str) -> Result<String, QuickError> {
    let point = |written: &str| {
        let refuse = || QuickError::Point { text: written.trim().to_owned() };
        let words: Vec<&str> = written.split_whitespace().collect();
        // each is a number and a unit, however they are spaced
        (1..words.len())
            .find_map(|split| {
                let (one, other) = words.split_at(split);
                let (one, other) = (one.join(" "), other.join(" "));
                let read = |flow: &str, head: &str| {
                    quantity::read::<Flow>(flow).is_ok() && quantity::read::<Head>(head).is_ok()
                };
                // the height first is well too
                let (flow, head) = if read(&one, &other) { (one, other) } else { (other, one) };
                read(&flow, &head).then(|| format!("[{}, {}]", text(&flow), text(&head)))
            })
            .ok_or_else(refuse)
    };
    let listed: Result<Vec<String>, QuickError> =
        curve.split([',', ';']).filter(|part| !part.trim().is_empty()).map(point).collect();
    listed.map(|points| points.join(", "))
}

/// Fittings as the site file writes them.
fn fittings(written: &str) -> Result<String, QuickError> {
    let one = |part: &str| {
        let refuse = || QuickError::Fitting { text: part.trim().to_owned() };
        let (name, count) = part.rsplit_once('=').ok_or_else(refuse)?;
        let count: u32 = count.trim().parse().map_err(|_| refuse())?;
        Ok(format!("{} = {count}", text(name.trim())))
    };
    let listed: Result<Vec<String>, QuickError> =
        written.split(',').filter(|part| !part.trim().is_empty()).map(one).collect();
    listed.map(|fittings| fittings.join(", "))
}
