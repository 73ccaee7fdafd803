//! Power and wire: only what arithmetic can say. The rest is the electrician's.

use crate::design::bench::Bench;
use crate::design::finding::{Finding, Severity};
use crate::design::phrase::{percent, phrase, share};
use crate::design::pump::PumpResult;
use crate::pump_selection::Pump;
use crate::quantity::{Amount, Power};

pub(super) fn findings(bench: &Bench<'_>, result: &PumpResult) -> Vec<Finding> {
    let mut findings = Vec::new();
    findings.extend(voltage_drop(bench, result));
    findings.extend(drop_unknown(bench));
    findings.extend(circuit(bench));
    findings.extend(odd_power(bench, result));
    findings
}

/// A pump that sees less than this share of its voltage at the start does not start: common practice, no source.
const DOES_NOT_START: f64 = 0.3;

fn voltage_drop(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    let drop = result.power.as_ref()?.drop.as_ref()?;
    let limits = &bench.site.limits;
    let (running, starting) = (drop.running_share(), drop.starting_share());
    let (too_much_running, too_much_starting) =
        (running > limits.greatest_voltage_drop.value, starting > limits.greatest_starting_drop.value);
    let starts_not = starting >= DOES_NOT_START;
    let (limit, effect) = match (too_much_running, too_much_starting) {
        (true, true) => (&limits.greatest_voltage_drop, "it starts hard, runs hot and gives less head"),
        (true, false) => (&limits.greatest_voltage_drop, "it runs hot and gives less head"),
        (false, true) => (&limits.greatest_starting_drop, "it starts hard"),
        (false, false) => return None,
    };
    let severity = if starts_not { Severity::Stop } else { Severity::Caution };
    let distance = bench.site.supply.distance?;
    Some(
        Finding::new(
            severity,
            "voltage-drop",
            phrase!(
                "over {} of {} `{}` loses {} of its voltage running and {} at the start: {}",
                distance,
                drop.wire.name,
                drop.pump.as_str(),
                tenths(running),
                tenths(starting),
                if severity == Severity::Stop { "it may not start at all" } else { effect }
            ),
        )
        .number("running", share(running))
        .number("starting", share(starting))
        .limit(
            share(if starts_not { DOES_NOT_START } else { limit.value }),
            if starts_not {
                "common practice, no source: below 70 % of its voltage a motor may not start"
            } else {
                &limit.source
            },
        )
        .cure(match drop.enough {
            Some(wire) => phrase!("{} would keep to both limits", wire.name),
            None => phrase!("no wire of the tables keeps to both limits: a shorter way, or a pump of higher voltage"),
        })
        .cure(phrase!("a licensed electrician decides wire, circuit and protection by the local code")),
    )
}

/// A wire is entered, and something that the drop needs is not: of the site, of the first pump, of a second one.
fn drop_unknown(bench: &Bench<'_>) -> Option<Finding> {
    let (supply, pump) = (&bench.site.supply, bench.pump);
    if supply.wire.is_none() && supply.distance.is_none() {
        return None;
    }
    let second = bench.second.filter(|second| second.name != pump.name);
    let of = |other: Option<&Pump>, key: &str| match other {
        None => format!("the pump's `{key}`"),
        Some(pump) => format!("`{key}` of the pump `{}`", pump.name),
    };
    let mut missing: Vec<String> =
        [("`supply.distance`", supply.distance.is_none()), ("`supply.wire`", supply.wire.is_none())]
            .into_iter()
            .filter(|(_, missing)| *missing)
            .map(|(name, _)| name.to_owned())
            .collect();
    for one in std::iter::once(pump).chain(second) {
        let named = second.map(|_| one);
        missing.extend(one.volts.is_none().then(|| of(named, "volts")));
        missing.extend(one.running_amps.is_none().then(|| of(named, "running_amps")));
    }
    (!missing.is_empty()).then(|| {
        Finding::note(
            "voltage-drop-unknown",
            phrase!("what the wire costs is not judged: {} not entered", missing.join(" and ")),
        )
        .cure(phrase!("enter what is missing from the data sheet or the site"))
    })
}

/// A share with one decimal: limits of a few per cent are told apart by it.
fn tenths(share: f64) -> String {
    format!("{:.1} %", share * 100.0)
}

fn circuit(bench: &Bench<'_>) -> Option<Finding> {
    let (amps, circuit) = (bench.pump.running_amps?, bench.site.supply.circuit_amps?);
    // a standby does not run with the first
    let second = bench.second.filter(|_| bench.joins());
    let both = amps + second.and_then(|second| second.running_amps).unwrap_or(0.0);
    let unknown = second.filter(|second| second.running_amps.is_none());
    if let (Some(second), true) = (unknown, both <= circuit) {
        return Some(
            Finding::note(
                "circuit-not-judged",
                phrase!(
                    "whether both pumps run on the circuit of {} A is not judged: the running amps of `{}` are not entered",
                    format!("{circuit:.0}"),
                    second.name.as_str()
                ),
            )
            .cure(phrase!("its `running_amps` from the data sheet or nameplate")),
        );
    }
    (both > circuit).then(|| {
        Finding::caution(
            "circuit-too-small",
            phrase!(
                "{} {} A on a circuit of {} A",
                if second.is_some_and(|second| second.running_amps.is_some()) {
                    "both pumps running draw"
                } else {
                    "the running pump draws"
                },
                format!("{both:.1}"),
                format!("{circuit:.0}")
            ),
        )
        .number("amps", Amount::of(both))
        .cure(if second.is_some() {
            phrase!("a circuit for each pump, by a licensed electrician under the local code")
        } else {
            phrase!("a circuit that fits, by a licensed electrician under the local code")
        })
    })
}

/// Outside these, power and curve do not belong together: common practice, no source.
const LEAST_EFFICIENCY: f64 = 0.05;
const GREATEST_EFFICIENCY: f64 = 0.8;

fn odd_power(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    let power = result.power.as_ref().filter(|power| power.entered)?;
    let entered = bench.pump.power?;
    let efficiency = power.wire_to_water?;
    let compare =
        phrase!("compare power, current and curve with the data sheet: power drawn, not horsepower of the shaft");
    if let (Some(volts), Some(amps)) = (bench.pump.volts, bench.pump.running_amps)
        && entered.w() > volts * amps * (1.0 + SLACK)
    {
        return Some(
            Finding::caution(
                "power-does-not-fit",
                phrase!(
                    "{} were entered, but {} V and {} A make no more than {}",
                    entered,
                    volts,
                    amps,
                    Power::from_w(volts * amps)
                ),
            )
            .cure(compare),
        );
    }
    let message = if !(LEAST_EFFICIENCY..=GREATEST_EFFICIENCY).contains(&efficiency) {
        phrase!(
            "{} goes into the water and {} was entered: {} from wire to water, which small pumps do not have",
            power.water,
            entered,
            percent(efficiency)
        )
    } else if let Some(other) = bench.pump.efficiency.filter(|other| (other / efficiency - 1.0).abs() > 2.0 * SLACK) {
        phrase!(
            "the power of {} and the curve make {} from wire to water, and {} was entered: the power is used",
            entered,
            percent(efficiency),
            percent(other)
        )
    } else {
        return None;
    };
    Some(Finding::caution("power-does-not-fit", message).number("wire_to_water", share(efficiency)).cure(compare))
}

/// Data sheets round: figures that differ by less belong together: common practice, no source.
const SLACK: f64 = 0.1;
