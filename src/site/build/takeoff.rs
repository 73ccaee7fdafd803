//! What the takeoff goes by: prices of goods, rates, sticks, widths, shares.

use crate::quantity::{Duration, Length, UnitSystem};
use crate::site::problem::{Problem, ProblemKind};
use crate::site::tree::Node;
use crate::site::walk::Reader;
use crate::site::{Good, Limit, TakeoffTerms, Task, TaxOn};

const ENTERED: &str = "entered in [takeoff]";
const PRACTICE: &str = "common practice, no source";

/// Says where a thing stands by both systems of units.
pub(super) fn one_of_two(reader: &mut Reader<'_>, node: &Node, (us, metric): (&str, &str), what: &str) {
    if us == metric || !node.has(us) || !node.has(metric) {
        return;
    }
    let problem = Problem::error(ProblemKind::Conflict, node.place_of(metric), what.to_owned())
        .label("one of the two is enough")
        .also(node.at(us), "the other")
        .help("keep one of them");
    reader.say(problem);
}

/// The prices of goods, by SI units.
pub(super) fn goods(reader: &mut Reader<'_>, node: &Node) -> Vec<(Good, f64)> {
    let mut found = Vec::new();
    for good in Good::ALL {
        let keys = [UnitSystem::Us, UnitSystem::Metric].map(|units| (units, good.key(units)));
        let [(_, us), (_, metric)] = keys;
        one_of_two(reader, node, (us, metric), &format!("`{us}` and `{metric}` price the same thing"));
        let entered = keys.into_iter().find_map(|(units, key)| Some(node.number(key)? * good.by().unit(units).1));
        found.extend(entered.map(|price| (good, price)));
    }
    found
}

/// The hours of pieces of work, by SI units.
fn hours(reader: &mut Reader<'_>, node: &Node) -> Vec<(Task, f64)> {
    let mut found = Vec::new();
    for task in Task::ALL {
        let keys = [UnitSystem::Us, UnitSystem::Metric].map(|units| (units, task.key(units)));
        let [(_, us), (_, metric)] = keys;
        one_of_two(reader, node, (us, metric), &format!("`{us}` and `{metric}` are hours of the same work"));
        let entered = keys
            .into_iter()
            .find_map(|(units, key)| Some(node.quantity::<Duration>(key)?.h() * task.by().unit(units).1));
        found.extend(entered.map(|hours| (task, hours)));
    }
    found
}

/// All that the takeoff goes by; what is usual where there is no table.
pub(in crate::site) fn terms(reader: &mut Reader<'_>, node: Option<&Node>) -> TakeoffTerms {
    both_sides(reader, node);
    let us = reader.units == UnitSystem::Us;
    let stick = |feet: f64, metres: f64| if us { Length::from_ft(feet) } else { Length::from_m(metres) };
    let length = |key: &str, usual: Length, source: &str| {
        limit(node.and_then(|node| node.quantity::<Length>(key)), usual, source)
    };
    let number = |key: &str, usual: f64, source: &str| limit(node.and_then(|node| node.number(key)), usual, source);
    let entered = |key: &str| node.and_then(|node| node.number(key));
    let bells = |key: &str, usual: bool, source: &str| {
        limit(node.and_then(|node| node.words(key)).map(|word| word == "bells"), usual, source)
    };
    let spread = |key: &str, usual: (f64, f64)| limit(node.and_then(|node| node.spread(key)), usual, PRACTICE);
    TakeoffTerms {
        discharge_stick: length("discharge_stick", stick(20.0, 6.0), PRACTICE),
        drain_stick: length("drain_stick", stick(10.0, 5.0), PRACTICE),
        french_stick: length("french_stick", stick(100.0, 50.0), PRACTICE),
        discharge_bells: bells("discharge_joints", false, "so that no coupling is missing"),
        drain_bells: bells("drain_joints", true, PRACTICE),
        pipe_waste: number("pipe_waste", 0.05, PRACTICE),
        stone_waste: number("stone_waste", 0.10, PRACTICE),
        fabric_overlap: length("fabric_overlap", Length::from_inch(12.0), PRACTICE),
        wrapped_pipe: node.and_then(|node| node.flag("wrapped_pipe")).unwrap_or(false),
        joints_per_can: number("joints_per_can", 30.0, PRACTICE),
        trench_width: length("trench_width", Length::from_inch(12.0), PRACTICE),
        hole_room: length("hole_room", Length::from_inch(12.0), PRACTICE),
        spoilt_beside: length("spoilt_beside", Length::from_inch(12.0), PRACTICE),
        bulking: number("bulking", 0.25, PRACTICE),
        hours: node.map(|node| hours(reader, node)).unwrap_or_default(),
        labour_per_hour: entered("labour_per_hour"),
        machine_per_hour: entered("machine_per_hour"),
        quantities_off: spread("quantities_off_by", (-0.05, 0.05)),
        prices_off: spread("prices_off_by", (-0.05, 0.15)),
        hours_off: spread("hours_off_by", (-0.15, 0.35)),
        contingency: entered("contingency"),
        margin: entered("margin"),
        tax: entered("tax"),
        tax_on: match node.and_then(|node| node.words("tax_on")) {
            Some("materials") => TaxOn::Materials,
            _ => TaxOn::Price,
        },
        round_to: number("round_to", 1.0, "to whole units of money"),
    }
}

/// Says where a change goes one way only: low and high lie on both sides of what is likely.
fn both_sides(reader: &mut Reader<'_>, node: Option<&Node>) {
    for key in ["quantities_off_by", "prices_off_by", "hours_off_by"] {
        let Some((low, high)) = node.and_then(|node| node.spread(key)) else { continue };
        if low > 0.0 || high < 0.0 {
            let place = node.map(|node| node.place_of(key));
            let help = if low > 0.0 {
                format!("write `{key} = [\"0 %\", …]`: if more is likely, put it into the figures themselves")
            } else {
                format!("write `{key} = […, \"0 %\"]`: if less is likely, put it into the figures themselves")
            };
            let message = format!("`takeoff.{key}` goes one way only");
            reader.error(ProblemKind::OutOfRange, place, message, "0 % lies outside", &help);
        }
    }
}

fn limit<T>(entered: Option<T>, usual: T, source: &str) -> Limit<T> {
    match entered {
        Some(value) => Limit { value, source: ENTERED.to_owned() },
        None => Limit { value: usual, source: source.to_owned() },
    }
}
