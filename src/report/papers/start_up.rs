//! What the first start must show, and where to write what it did.

use super::document::{Cell, Document, Part, Step, Table};
use super::tape::{stopwatch, tape};
use super::{Sources, bands, stopped};
use crate::design::{Band, Compared, Design, Found, StartUp};
use crate::quantity::{Amount, Duration, Flow, Length, UnitSystem, Volume};
use crate::report::layout::Align;
use std::cmp::Ordering;

pub(super) fn start_up(sources: Sources<'_>) -> Document {
    let units = sources.site.units;
    let mut parts: Vec<Part> = stopped(sources.design).into_iter().collect();
    parts.push(Part::Cautions(vec![
        "Electricity and water: the wiring is finished and checked by a licensed electrician first. Nobody reaches into the basin before pump and every cord are unplugged: a float can start the pump."
            .to_owned(),
        "Nobody enters the basin. Children and pets are kept away while it is open. Somebody stands at the outlet: nobody else's ground takes the water."
            .to_owned(),
    ]));
    match &sources.design.start_up {
        Some(expected) => parts.extend(expectations(sources, expected)),
        None => parts.push(Part::Text(
            "What to expect is not known: the duty does not lie within the points of the pump's curve all the way from the on level to the off level, or there is none. The tests below still show whether it works."
                .to_owned(),
        )),
    }
    parts.extend(tests(sources));
    parts.extend(written_down(sources));
    parts.push(Part::Heading("What a difference points to".to_owned()));
    parts.push(Part::Points(points_to()));
    if let Some(expected) = &sources.design.start_up {
        parts.push(Part::NewPage);
        parts.extend(bands::made_of(expected, units));
    }
    Document {
        title: "Start-up sheet".to_owned(),
        about: Some(sources.site.title.clone()),
        lead: "What the finished system does at its first start if it is as designed, and how far off it may be before something is wrong. It takes a stopwatch, a tape, a hose and a bucket."
            .to_owned(),
        parts,
    }
}

fn show(flow: Flow, units: UnitSystem) -> String {
    Amount::of(flow).show(units)
}

fn likely<Q: Copy>(band: &Band<Q>, say: impl Fn(Q) -> String) -> String {
    match (band.low, band.high) {
        (Some(low), Some(high)) => format!("{}; likely {} to {}", say(band.value), say(low), say(high)),
        (Some(low), None) => format!(
            "{}; likely {} or more: at the far end of what is uncertain it is not known",
            say(band.value),
            say(low)
        ),
        (None, Some(high)) => format!(
            "{}; likely {} at the most: at the near end of what is uncertain it is not known",
            say(band.value),
            say(high)
        ),
        (None, None) => format!("{}; how far off it may be is not known", say(band.value)),
    }
}

fn expectations(sources: Sources<'_>, expected: &StartUp) -> Vec<Part> {
    let units = sources.site.units;
    let first = &sources.job.first_start;
    let small = |length: Length| tape(length, units);
    let mut pairs = vec![
        (
            "on level to off level".to_owned(),
            Cell::said(format!(
                "{} of water fall, {}, in {}",
                small(expected.run.fall),
                Amount::of(expected.run.volume).show(units),
                likely(&expected.run.time, stopwatch)
            )),
        ),
        ("flow at the outlet".to_owned(), Cell::said(likely(&expected.flow, |flow| show(flow, units)))),
        (
            "rise after the stop".to_owned(),
            Cell::said(format!(
                "{}{}{}",
                likely(&expected.rise, small),
                sources
                    .design
                    .rest
                    .drain_time
                    .map_or_else(String::new, |_| format!(", read after {}", waited(sources.design, units))),
                expected
                    .rise_without_valve
                    .map_or_else(String::new, |rise| format!("; with a check valve that sticks {}", small(rise)))
            )),
        ),
    ];
    if let Some(fills) = &first.bucket_fills_in {
        pairs.push((
            format!("{} at the outlet", bucket(first.bucket, units)),
            Cell::said(format!(
                "full in {}{}",
                likely(fills, stopwatch),
                if first.too_quick { ": short for a hand and a stopwatch, a larger vessel tells more" } else { "" }
            )),
        ));
    }
    if let Some(leak) = expected.leak {
        pairs.push((
            "relief hole".to_owned(),
            Cell::said(format!(
                "{} spray back into the basin, below the rim and off the floats, as long as the pump runs",
                show(leak, units)
            )),
        ));
    }
    if let Some((name, time)) = &expected.second {
        pairs.push((
            format!("second pump `{name}` alone"),
            Cell::said(match time {
                Some(time) => format!("the same fall, between the first pump's floats, in {}", stopwatch(*time)),
                None => "not known, or it does not get the water down".to_owned(),
            }),
        ));
    }
    if let Some((flow, time)) = &expected.steady {
        pairs.push((
            "with wet-season water".to_owned(),
            Cell::said(match time {
                Some(time) => format!("{} run in: the same fall then takes {}", show(*flow, units), stopwatch(*time)),
                None => format!("{} run in: the pump does not get the water down", show(*flow, units)),
            }),
        ));
    }
    let mut parts = vec![
        Part::Heading("As designed".to_owned()),
        Part::Text(format!(
            "Pump `{}`, as new, the water falling from its on level to its off level with nothing running in:",
            expected.pump
        )),
        Part::Pairs(pairs),
    ];
    if !expected.also_fills.is_empty() {
        parts.push(Part::Text(format!(
            "The on level stands above the lower end of {}: what the pipe or stone holds there is pumped too and is not counted. The run then takes longer; measure `fell` and the outlet's flow, and go by the outlet.",
            expected.also_fills.iter().map(|name| format!("`{name}`")).collect::<Vec<_>>().join(", ")
        )));
    }
    parts.extend(compared(expected, units));
    parts
}

/// What was measured already.
fn compared(expected: &StartUp, units: UnitSystem) -> Vec<Part> {
    if expected.compared.is_empty() {
        return Vec::new();
    }
    let says = |place: Ordering, words: [&str; 3]| match place {
        Ordering::Less => words[0].to_owned(),
        Ordering::Equal => words[1].to_owned(),
        Ordering::Greater => words[2].to_owned(),
    };
    let one = |compared: &Compared| match &compared.found {
        Found::Run { took, .. } => format!(
            "The run took {}: {}.",
            stopwatch(*took),
            says(compared.place, ["faster than the band", "within the band", "slower than the band"])
        ),
        Found::Bucket { volume, took, .. } => format!(
            "{} at the outlet in {}: {}.",
            bucket(*volume, units),
            stopwatch(*took),
            says(compared.place, ["more than the band", "within the band", "less than the band"])
        ),
        Found::Rise { rose, .. } => format!(
            "The water rose {} after the stop: {}.",
            tape(*rose, units),
            says(compared.place, ["less than the band", "within the band", "more than the band"])
        ),
    };
    vec![
        Part::Text(
            "Measured, by `[measured.start_up]` of the file; the report of `size` says what it points to:".to_owned(),
        ),
        Part::Points(expected.compared.iter().map(one).collect()),
    ]
}

fn bucket(volume: Volume, units: UnitSystem) -> String {
    Amount::of(volume).show(units)
}

fn tests(sources: Sources<'_>) -> Vec<Part> {
    let units = sources.site.units;
    let (site, first) = (sources.site, &sources.job.first_start);
    let (runs_back, waited) = (sources.design.rest.drain_time.is_some(), waited(sources.design, units));
    let say = |what: String, cautions: &[&str]| Step {
        what,
        cautions: cautions.iter().map(|caution| (*caution).to_owned()).collect(),
    };
    let mut steps = vec![
        say(
            format!(
                "Unplugged, measure the floats from the floor and write them below: {}.",
                first
                    .floats
                    .iter()
                    .map(|(name, at)| format!("{name}, {}", tape(*at, units)))
                    .collect::<Vec<_>>()
                    .join("; ")
            ),
            &["From above, with a rod or a tape."],
        ),
        say(
            format!(
                "Fill the basin with the hose up to the on level, some {} in all. The pump starts by itself: let it run, and let the line fill. Look at every joint.",
                Amount::of(first.to_fill).show(units)
            ),
            &[if first.line_stays_full {
                "The first run fills an empty line: do not time it."
            } else {
                "The line runs empty after each stop, so each run fills it again: the band allows for that."
            }],
        ),
        say(
            format!(
                "With the pump at rest{}, watch the level for a minute. If it rises, write down how far: water runs in, and the run takes longer for it.",
                if runs_back { format!(" for {waited}, so that the line has run back") } else { String::new() }
            ),
            &[],
        ),
        say(
            format!(
                "Fill again to the on level, take the hose out, and time the run from start to stop. Read the level at both. Do it twice{}; write down the second.",
                if runs_back { format!(", {waited} apart") } else { String::new() }
            ),
            &["The pump must stop by its float before it draws air. If it does not, unplug it."],
        ),
        say(
            format!(
                "At the stop read the level at once and again after {waited}: that is the rise after the stop. What runs in meanwhile (test 3) is part of it."
            ),
            if runs_back {
                &[
                    "The line runs back through its drain hole, and takes that long. If the pump starts again before that, leave this out.",
                ]
            } else {
                &[]
            },
        ),
        say(
            format!("While it runs, catch {} at the outlet and time it.", bucket(first.bucket, units)),
            &[
                "It comes with force and a full bucket is heavy: set it down, do not hold it. Where the outlet cannot be caught, leave this out.",
            ],
        ),
    ];
    if let Some(above) = first.alarm_above_on {
        steps.push(say(
            format!(
                "{} and fill on, {} past the on level: the alarm sounds. Silence it and give power again: it starts at once and the alarm falls silent.",
                if site.pumping.count > 1 { "Unplug both pumps" } else { "Unplug the pump" },
                tape(above, units)
            ),
            &[
                "Stop before the water reaches the rim.",
                "Dry hands and dry ground at plug and switch; what has no plug is switched off at its disconnect.",
            ],
        ));
    }
    if site.pumping.count > 1 {
        steps.push(say(
            "Unplug the first pump and fill: the second starts at its own float; time it over the same fall as the first. Then the other way round."
                .to_owned(),
            &["With each pump, look at the other riser: water that comes back through it passes a check valve that leaks."],
        ));
    }
    if site.battery.is_some() {
        steps.push(say(
            "Switch off the circuit at the panel and fill: the battery's pump takes over. Switch it on again."
                .to_owned(),
            &["A battery makes gas while it charges: no flame, and air."],
        ));
    }
    vec![Part::Heading("Tests".to_owned()), Part::Steps(steps)]
}

fn written_down(sources: Sources<'_>) -> Vec<Part> {
    let units = sources.site.units;
    let unit = if units == UnitSystem::Us { "in" } else { "mm" };
    let expected = sources.design.start_up.as_ref();
    let first = &sources.job.first_start;
    let row = |name: String, designed: Option<String>, unit: &str, key: &str| {
        vec![Cell::said(name), Cell::said(designed.unwrap_or_default()), Cell::blank(unit), Cell::said(key)]
    };
    let mut rows: Vec<Vec<Cell>> =
        first.floats.iter().map(|(name, at)| row(format!("float, {name}"), Some(tape(*at, units)), unit, "")).collect();
    let band = |time: &Band<Duration>| match (time.low, time.high) {
        (Some(low), Some(high)) => format!("{} to {}", stopwatch(low), stopwatch(high)),
        (low, high) => low.or(high).map_or_else(String::new, stopwatch),
    };
    rows.push(row("the run, start to stop".to_owned(), expected.map(|known| band(&known.run.time)), "s", "empties_in"));
    rows.push(row("the water fell".to_owned(), expected.map(|known| tape(known.run.fall, units)), unit, "fell"));
    rows.push(row(
        "what ran in meanwhile".to_owned(),
        None,
        if units == UnitSystem::Us { "gpm" } else { "L/s" },
        "inflow",
    ));
    rows.push(row(
        "rise after the stop".to_owned(),
        expected
            .and_then(|known| Some(format!("{} to {}", tape(known.rise.low?, units), tape(known.rise.high?, units)))),
        unit,
        "rises_after_stop",
    ));
    rows.push(row(
        format!("{} at the outlet", bucket(first.bucket, units)),
        first.bucket_fills_in.as_ref().map(band),
        "s",
        "bucket_fills_in",
    ));
    rows.push(row("amperes while it runs, by the electrician".to_owned(), None, "A", ""));
    vec![
        Part::Heading("Written down".to_owned()),
        Part::Table(Table {
            caption: "Keep this sheet: the same tests in later years show what wears and what clogs.".to_owned(),
            columns: vec![
                ("what".to_owned(), Align::Left),
                ("as designed".to_owned(), Align::Left),
                ("found".to_owned(), Align::Left),
                ("key of [measured.start_up]".to_owned(), Align::Left),
            ],
            rows,
        }),
        Part::Pairs(vec![
            ("date".to_owned(), Cell::blank("")),
            ("by".to_owned(), Cell::blank("")),
            ("weather, days since rain".to_owned(), Cell::blank("")),
        ]),
        Part::Text(format!(
            "Put what was found into the site file under the keys named, with units and in quotes, and `bucket = \"{}\"` beside `bucket_fills_in`: `sumpwright size` then says whether it is within the band, what the pump moves, and what a difference points to.",
            bucket(first.bucket, units)
        )),
    ]
}

/// How long it is waited until the level is read again.
fn waited(design: &Design, units: UnitSystem) -> String {
    match &design.start_up {
        Some(expected) if expected.rise_read_after > Duration::from_min(1.0) => {
            Amount::of(expected.rise_read_after).show(units)
        }
        _ => "a minute".to_owned(),
    }
}

fn points_to() -> Vec<String> {
    [
        "Slower, and less comes out: intake, line or outlet clogged; air locked in pump or line (relief hole blocked, a hump without a vent); check valve that does not open or points the wrong way; a worn pump; low voltage; curve, lift or length not as entered.",
        "Slower, and the outlet gives its due: water runs in meanwhile; it runs back through the relief hole or a second pump's valve; the basin is wider or the floats are farther apart than entered.",
        "Faster, and the outlet gives its due: the basin is narrower, or the floats are closer together.",
        "Faster, and less comes out: a joint has come apart in the ground. Stop, and walk the line for wet ground.",
        "It rises more after the stop: the check valve leaks back, is held open by grit, or sits higher than entered. If that alone starts the pump again, unplug it until it is mended.",
        "It rises less after the stop, where the line is to run empty: the drain hole or the way for air is blocked, or water stays in a sag; the line freezes.",
        "It does not start, or does not stop: a float that hangs on pipe, cord or wall, or is tied at the wrong height.",
    ]
    .map(str::to_owned)
    .to_vec()
}
