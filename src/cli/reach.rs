//! The `reach` command: reads a site file or a handful of numbers, asks how long the run may be, renders.

use super::arguments::{CourseFormat, quantity};
use super::commands::read;
use super::delivery::Delivery;
use super::{Ending, Said};
use crate::design::FittingsStay;
use crate::quantity::{Flow, Length, UnitSystem};
use crate::questions::reach::{
    JobAsked, LIFT_COUNTED, PipesAsked, QUICK_PUMP, Quick, QuickError, Reach, ReachAsked, ReachError, quick_site,
    reach as asked_reach,
};
use crate::report::layout::paragraph;
use crate::report::reach_table::reach_csv;
use crate::report::{json, text};
use crate::site::Site;
use clap::{Args, ValueEnum};
use std::path::{Path, PathBuf};

pub(super) const HELP: &str = "\
Examples:
  sumpwright reach examples/long-run.toml
  sumpwright reach examples/cut-bank.toml
  sumpwright reach examples/cut-bank.toml --for flow --flow \"35 gpm\"
  sumpwright reach examples/cut-bank.toml --by-lift --pump medium
  sumpwright reach --lift \"12 ft\" --flow \"30 gpm\" --pipe \"2 in\" --run \"180 ft\" \\
    --curve \"0 gpm 31 ft, 20 gpm 27 ft, 40 gpm 20.5 ft\"

Exit codes:
  0  the run as drawn is within reach of the pump that the design is made with
  1  it is not
  2  the input or the command is wrong
  3  the site file could not be read, or the answer not written";

#[derive(Debug, Args)]
pub(super) struct ReachOptions {
    /// The site file, or - to read it from standard input; without one, --lift, --curve and --flow are needed
    pub(super) file: Option<PathBuf>,
    /// The job that the pump must do; without it the file's goal, or where there is none the flow asked for there
    #[arg(long = "for", value_enum, value_name = "JOB")]
    pub(super) job: Option<JobWord>,
    /// The flow that must come out of the line at the off level: --flow "30 gpm"
    #[arg(long, value_name = "FLOW", value_parser = quantity::<Flow>)]
    pub(super) flow: Option<Flow>,
    /// Only this pump of the file
    #[arg(long, value_name = "NAME")]
    pub(super) pump: Option<String>,
    /// Put lifts around the site's own beside each other, for one pump and the pipe as drawn
    #[arg(long)]
    pub(super) by_lift: bool,
    /// Let the fittings grow and shrink in number with the run, as couplings do; without it they stay as drawn
    #[arg(long)]
    pub(super) fittings_with_the_run: bool,
    /// Without a file: the height that the pump lifts
    #[arg(long, help = lift_help(), value_name = "HEIGHT", value_parser = quantity::<Length>, allow_hyphen_values = true, help_heading = "Without a site file")]
    pub(super) lift: Option<Length>,
    /// Points of the pump's curve, flow and head: --curve "0 gpm 31 ft, 20 gpm 27 ft, 40 gpm 20.5 ft"
    #[arg(long, value_name = "POINTS", help_heading = "Without a site file")]
    pub(super) curve: Option<String>,
    /// The length of the run, to know what there is to spare: --run "180 ft"
    #[arg(long, value_name = "LENGTH", value_parser = quantity::<Length>, help_heading = "Without a site file")]
    pub(super) run: Option<Length>,
    /// The size of the pipe; without it the usual sizes: --pipe "2 in"
    #[arg(long, value_name = "SIZE", help_heading = "Without a site file")]
    pub(super) pipe: Option<String>,
    /// The kind of pipe; without it PVC schedule 40, or PE100 SDR 11 where the curve is metric
    #[arg(long, value_name = "MATERIAL", help_heading = "Without a site file")]
    pub(super) material: Option<String>,
    /// Fittings and how many of each: --fittings "elbow 90 = 3, elbow 45 = 2"
    #[arg(long, value_name = "FITTINGS", help_heading = "Without a site file")]
    pub(super) fittings: Option<String>,
    /// There is a swing check valve
    #[arg(long, help_heading = "Without a site file")]
    pub(super) check_valve: bool,
    /// The form: text, JSON with every number and its unit, or the table as CSV
    #[arg(long, value_enum, default_value_t = CourseFormat::Text)]
    pub(super) format: CourseFormat,
    #[command(flatten)]
    pub(super) delivery: Delivery,
}

fn lift_help() -> String {
    format!("Without a file: {LIFT_COUNTED}: --lift \"12 ft\"")
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum JobWord {
    /// The owner's goal in the design storm: water no deeper, gone in time, no protected place reached
    Goal,
    /// The flow of --flow or of the goal out of the line at the off level
    Flow,
    /// The least velocity among the limits that carries grit, in riser and runs
    Scour,
    /// No stop of any kind against the design
    Everything,
}

pub(super) fn reach(options: &ReachOptions) -> Said {
    let read_here: Vec<&Path> = options.file.iter().map(PathBuf::as_path).collect();
    if let Err(refused) = options.delivery.check(&read_here) {
        return refused;
    }
    let (site, said, mut asked) = match set_up(options) {
        Ok(set) => set,
        Err(said) => return said,
    };
    asked.fittings = if options.fittings_with_the_run { FittingsStay::WithTheRun } else { FittingsStay::AsDrawn };
    let answer = match asked_reach(&site, &asked) {
        Ok(answer) => answer,
        Err(error) => return refused(&said, &error, asked.quick),
    };
    let out = rendered(&answer, options.format);
    let ending = if answer.within() { Ending::Fine } else { Ending::Fails };
    options.delivery.deliver(out, said, ending)
}

fn rendered(answer: &Reach, format: CourseFormat) -> String {
    match format {
        CourseFormat::Text => text::reach_report(answer),
        CourseFormat::Json => json::reach_json(answer),
        CourseFormat::Csv => reach_csv(answer),
    }
}

/// The site, what was said while reading it, and the question.
fn set_up(options: &ReachOptions) -> Result<(Site, String, ReachAsked), Said> {
    let asked = ReachAsked {
        job: options.job.map(|job| match job {
            JobWord::Goal => JobAsked::Goal,
            JobWord::Flow => JobAsked::Flow,
            JobWord::Scour => JobAsked::Scour,
            JobWord::Everything => JobAsked::Everything,
        }),
        flow: options.flow,
        pump: options.pump.clone(),
        by_lift: options.by_lift,
        ..ReachAsked::default()
    };
    let Some(file) = &options.file else { return without_file(options, &asked) };
    let beside: Vec<&str> = quick_words(options).collect();
    if !beside.is_empty() {
        return Err(refuse(
            &format!("{} beside a site file: the file says it already", said_twice(&beside)),
            "change it in a copy of the file, or leave the file out and give the numbers alone",
        ));
    }
    let (mut site, said) = read(file)?;
    options.delivery.units_of(&mut site);
    Ok((site, said, asked))
}

/// The options of a handful of numbers that were given.
fn quick_words(options: &ReachOptions) -> impl Iterator<Item = &'static str> {
    [
        (options.lift.is_some(), "--lift"),
        (options.curve.is_some(), "--curve"),
        (options.run.is_some(), "--run"),
        (options.pipe.is_some(), "--pipe"),
        (options.material.is_some(), "--material"),
        (options.fittings.is_some(), "--fittings"),
        (options.check_valve, "--check-valve"),
    ]
    .into_iter()
    .filter_map(|(given, word)| given.then_some(word))
}

fn said_twice(words: &[&str]) -> String {
    let listed: Vec<String> = words.iter().map(|word| format!("`{word}`")).collect();
    format!("{} {} nothing", listed.join(" and "), if words.len() == 1 { "says" } else { "say" })
}

fn without_file(options: &ReachOptions, asked: &ReachAsked) -> Result<(Site, String, ReachAsked), Said> {
    if quick_words(options).next().is_none() && options.flow.is_none() {
        return Err(refuse(
            "what is to be looked at?",
            "give a site file: `sumpwright reach yard.toml`; or a handful of numbers: `sumpwright reach --lift \"12 ft\" --flow \"30 gpm\" --curve \"0 gpm 31 ft, 20 gpm 27 ft, 40 gpm 20.5 ft\"`",
        ));
    }
    if let Some(JobAsked::Goal | JobAsked::Everything) = asked.job {
        return Err(refuse(
            "that job needs a site file: its yard, its rain, its basin",
            "write `--for flow --flow \"30 gpm\"` or `--for scour` without one",
        ));
    }
    if options.pump.is_some() {
        return Err(refuse("`--pump` names a pump of a site file, and there is none", "leave it out"));
    }
    let quick = Quick {
        lift: options.lift,
        pipe: options.pipe.clone(),
        material: options.material.clone(),
        curve: options.curve.clone(),
        run: options.run,
        fittings: options.fittings.clone(),
        check_valve: options.check_valve,
        units: options.delivery.units.map(UnitSystem::from),
        flow_needed: asked.job != Some(JobAsked::Scour),
        flow: options.flow,
    };
    let site = quick_site(&quick).map_err(|error| refuse(&error.to_string(), quick_help(&error)))?;
    let asked = ReachAsked {
        pump: Some(QUICK_PUMP.to_owned()),
        pipes: if options.pipe.is_some() || options.by_lift { PipesAsked::AroundDrawn } else { PipesAsked::AllSizes },
        quick: true,
        no_run: options.run.is_none(),
        ..asked.clone()
    };
    if options.by_lift && options.pipe.is_none() {
        return Err(refuse("for which pipe?", "write for example `--pipe \"2 in\"` with `--by-lift`"));
    }
    Ok((site, String::new(), asked))
}

fn quick_help(error: &QuickError) -> &'static str {
    match error {
        QuickError::Missing { .. } => "or give a site file, which says it all: `sumpwright reach yard.toml`",
        QuickError::Point { .. } => {
            "write flow and head of each point with their units, and a comma between points: `--curve \"0 gpm 31 ft, 20 gpm 27 ft, 40 gpm 20.5 ft\"`"
        }
        QuickError::Fitting { .. } => {
            "write `--fittings \"elbow 90 = 3, elbow 45 = 2\"`; `sumpwright tables fittings` lists their names"
        }
        QuickError::Pipe { .. } => "`sumpwright tables pipes`, `pipes-metric` and `pipe-materials` list them",
        QuickError::Lift { .. } => "write for example `--lift \"12 ft\"`",
        QuickError::Run { .. } => "write for example `--run \"180 ft\"`, or leave it out to have the longest",
        QuickError::Refused { .. } => "",
    }
}

fn refuse(message: &str, help: &str) -> Said {
    let help = if help.is_empty() { String::new() } else { paragraph(&format!("help: {help}")) };
    Said::err(format!("{}{help}", paragraph(&format!("error: {message}"))), Ending::BadInput)
}

/// Why there is no answer, and what to write.
fn refused(said: &str, error: &ReachError, quick: bool) -> Said {
    let help = match error {
        ReachError::NoSuchPump { .. } | ReachError::FlowOfNothing | ReachError::Design(_) => "",
        ReachError::NoFlow => "write `--flow \"30 gpm\"`, or `flow = \"30 gpm\"` in [goal]",
        ReachError::NoJob | ReachError::NoGoal if quick => "write `--flow \"30 gpm\"` or `--for scour`",
        ReachError::NoJob | ReachError::NoGoal => {
            "write `--for flow --flow \"30 gpm\"`, `--for scour` or `--for everything`; or put `standing_water = \"3 in\"` into [goal] of the file"
        }
        ReachError::FlowBeside { .. } => "leave it out, or write `--for flow`",
        ReachError::NotFollowed(_) => {
            "write `--for flow --flow \"30 gpm\"` or `--for scour`, which need no storm; `sumpwright size` says more"
        }
    };
    let refused = refuse(&error.to_string(), help);
    Said { err: format!("{said}{}", refused.err), ..refused }
}
