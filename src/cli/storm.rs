//! The `storm` command: reads, asks for the course of one storm, renders.

use super::arguments::{ChartParts, CourseFormat, StormOptions};
use super::commands::read;
use super::{Ending, Said};
use crate::catalog;
use crate::design::{NotFollowed, basis_for};
use crate::quantity::{Amount, UnitSystem};
use crate::questions::storm::{Course, PowerCase, ShapeAsked, StormAsked, StormError, course};
use crate::report::layout::paragraph;
use crate::report::storm_table::storm_csv;
use crate::report::text::Parts;
use crate::report::{json, text};
use std::mem::ManuallyDrop;

pub(super) fn storm(options: &StormOptions) -> Said {
    let shape = match shape(options) {
        Ok(shape) => shape,
        Err(said) => return said,
    };
    if options.chart.is_some() && !matches!(options.format, CourseFormat::Text) {
        let help = paragraph("help: leave it out, or write `--format text` with it");
        return Said::err(
            format!("error: `--chart` says nothing with JSON and CSV, which hold no chart\n{help}"),
            Ending::BadInput,
        );
    }
    if let Err(refused) = options.delivery.check(&[&options.file]) {
        return refused;
    }
    let (mut site, said) = match read(&options.file) {
        Ok(read) => read,
        Err(said) => return said,
    };
    options.delivery.units_of(&mut site);
    // the program ends with this: to give back what a storm was kept in takes longer than to print it
    let site = ManuallyDrop::new(site);
    let basis = match basis_for(&site, options.period) {
        Ok(basis) => ManuallyDrop::new(basis),
        Err(error) => return Said::err(format!("{said}error: {error}\n"), Ending::BadInput),
    };
    let power = match (options.without_power, options.power_off_at) {
        (true, _) => PowerCase::Never,
        (false, Some(at)) => PowerCase::OffFrom(at),
        (false, None) => PowerCase::Always,
    };
    let asked = StormAsked {
        period: options.period,
        shape,
        power,
        every: options.every,
        every_drawn: None,
        from: options.from,
        until: options.until,
    };
    let course = match course(&site, &basis, &asked) {
        Ok(course) => ManuallyDrop::new(course),
        Err(error) => return refused(&said, &error),
    };
    let out = rendered(&course, options);
    options.delivery.deliver(out, said, Ending::Fine)
}

fn rendered(course: &Course, options: &StormOptions) -> String {
    match options.format {
        CourseFormat::Text => {
            let parts = match options.chart.unwrap_or(ChartParts::With) {
                ChartParts::With => Parts::All,
                ChartParts::None => Parts::NoChart,
                ChartParts::Only => Parts::OnlyChart,
            };
            text::storm_course(course, parts)
        }
        CourseFormat::Json => json::storm_json(course),
        CourseFormat::Csv => storm_csv(course),
    }
}

/// The shape asked for.
fn shape(options: &StormOptions) -> Result<ShapeAsked, Said> {
    let refuse = |message: String, help: &str| {
        Err(Said::err(format!("error: {message}\n{}", paragraph(&format!("help: {help}"))), Ending::BadInput))
    };
    let word = options.shape.as_deref().map(|shape| shape.trim().to_lowercase().replace(' ', "-"));
    match (word.as_deref(), options.duration) {
        (None | Some("steady"), Some(duration)) => Ok(ShapeAsked::Steady(duration)),
        (None | Some("nested"), None) => Ok(ShapeAsked::Nested),
        (Some("worst-steady"), None) => Ok(ShapeAsked::WorstSteady),
        (Some("steady"), None) => refuse(
            "how long does the steady rain last?".to_owned(),
            "write `--shape steady --duration \"30 min\"`, or `--shape worst-steady` to have the worst one looked for",
        ),
        (Some(word), duration) => {
            let known = catalog::storm_distribution(word);
            match (known, duration) {
                (Some(storm), None) => Ok(ShapeAsked::Distribution(storm.name)),
                (None, _) if !matches!(word, "nested" | "worst-steady") => {
                    refuse(format!("there is no shape `{word}`"), &format!("the shapes are {}", shapes().join(", ")))
                }
                _ => refuse(
                    format!("`--duration` says nothing with `--shape {word}`"),
                    "leave it out, or write `--shape steady` with it",
                ),
            }
        }
    }
}

/// All shapes as they are written here.
fn shapes() -> Vec<String> {
    let published = catalog::storm_distributions().into_iter().map(|name| name.replace(' ', "-"));
    ["nested", "steady", "worst-steady"].map(str::to_owned).into_iter().chain(published).collect()
}

/// Why there is no course, and what to write.
fn refused(said: &str, error: &StormError) -> Said {
    let help = match error {
        StormError::NoSuchPeriod { known, .. } => Some(match known.first() {
            Some(first) => format!("write for example `--period \"{}\"`", Amount::of(*first).show(UnitSystem::Us)),
            None => "leave `--period` out".to_owned(),
        }),
        StormError::LeftOut => Some("enter rain for more durations".to_owned()),
        StormError::OneIntensity => Some(
            "say how long: `--shape steady --duration \"30 min\"`; or enter depths for several durations".to_owned(),
        ),
        StormError::TooManyRows { at_least, .. } => Some(format!(
            "write `--every \"{}\"` or longer, or `--from` and `--until` for a part of the storm",
            Amount::of(*at_least).show(UnitSystem::Us)
        )),
        StormError::EmptyWindow { .. } => {
            Some("write for example `--from \"11 h\" --until \"13 h\"`, both from the start of the rain".to_owned())
        }
        StormError::PowerOffTooLate { .. } => Some("write an earlier time, or leave `--power-off-at` out".to_owned()),
        StormError::NotFollowed(NotFollowed::NoRain) => {
            Some("a [rain] table and at least one [[catchment]] are needed".to_owned())
        }
        StormError::NotFollowed(NotFollowed::NoFlow | NotFollowed::RestartsItself) => {
            Some("`sumpwright size` says what is wrong with the pump".to_owned())
        }
        StormError::NotFollowed(_) | StormError::Rain(_) | StormError::BadTime { .. } | StormError::TooLong { .. } => {
            None
        }
    };
    let help = help.map_or_else(String::new, |help| paragraph(&format!("help: {help}")));
    Said::err(format!("{said}{}{help}", paragraph(&format!("error: {error}"))), Ending::BadInput)
}
