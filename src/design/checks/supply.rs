//! Power and wire: only what arithmetic can say. The rest is the electrician's.

use crate::design::bench::Bench;
use crate::design::finding::Finding;
use crate::design::phrase::{percent, phrase, share};
use crate::design::pump::PumpResult;
use crate::quantity::Amount;

pub(super) fn findings(bench: &Bench<'_>, result: &PumpResult) -> Vec<Finding> {
    let mut findings = Vec::new();
    findings.extend(voltage_drop(bench, result));
    findings.extend(circuit(bench));
    findings.extend(odd_power(bench, result));
    findings
}

fn voltage_drop(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    let drop = result.power.as_ref()?.drop.as_ref()?;
    let limits = &bench.site.limits;
    let (running, starting) = (drop.running_share(), drop.starting_share());
    let limit = if running > limits.greatest_voltage_drop.value {
        &limits.greatest_voltage_drop
    } else if starting > limits.greatest_starting_drop.value {
        &limits.greatest_starting_drop
    } else {
        return None;
    };
    let distance = bench.site.supply.distance?;
    Some(
        Finding::caution(
            "voltage-drop",
            phrase!(
                "over {} of {} the pump loses {} of its voltage running and {} at the start: it starts hard, runs hot and gives less head",
                distance,
                drop.wire.name,
                percent(running),
                percent(starting)
            ),
        )
        .number("running", share(running))
        .number("starting", share(starting))
        .limit(share(limit.value), &limit.source)
        .cure_if(drop.enough.map(|wire| phrase!("{} would keep to both limits", wire.name)))
        .cure(phrase!("a licensed electrician decides wire, circuit and protection by the local code")),
    )
}

fn circuit(bench: &Bench<'_>) -> Option<Finding> {
    let (amps, circuit) = (bench.pump.running_amps?, bench.site.supply.circuit_amps?);
    let both = amps + bench.second.and_then(|second| second.running_amps).unwrap_or(0.0);
    (both > circuit).then(|| {
        Finding::caution(
            "circuit-too-small",
            phrase!(
                "{} running draw {} A on a circuit of {} A",
                if bench.second.is_some() { "both pumps" } else { "the pump" },
                format!("{both:.1}"),
                format!("{circuit:.0}")
            ),
        )
        .number("amps", Amount::of(both))
        .limit(Amount::of(circuit), "entered in [supply]")
        .cure(phrase!("a circuit for each pump, by a licensed electrician under the local code"))
    })
}

/// Outside these, power and curve do not belong together: common practice, no source.
const LEAST_EFFICIENCY: f64 = 0.05;
const GREATEST_EFFICIENCY: f64 = 0.8;

fn odd_power(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    let power = result.power.as_ref().filter(|power| power.entered)?;
    let efficiency = power.wire_to_water?;
    (!(LEAST_EFFICIENCY..=GREATEST_EFFICIENCY).contains(&efficiency)).then(|| {
        Finding::caution(
            "power-does-not-fit",
            phrase!(
                "{} goes into the water and {} was entered: {} from wire to water, which small pumps do not have",
                power.water,
                bench.pump.power.unwrap_or(power.water),
                percent(efficiency)
            ),
        )
        .number("wire_to_water", share(efficiency))
        .cure(phrase!("compare power and curve with the data sheet: power drawn, not horsepower of the shaft"))
    })
}
