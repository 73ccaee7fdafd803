//! Power and energy at the duty, and the voltage that the wire costs.

use super::bench::Bench;
use crate::catalog::{self, WireEntry};
use crate::pump_selection::power::{
    DROP_SOURCE, POWER_SOURCE, START_SOURCE, WIRE_TEMPERATURE, copper_resistance_ohm, energy_per_volume_jm3, power_in,
    starting_drop, voltage_drop, water_power,
};
use crate::pump_selection::{DutyPoint, Pump};
use crate::quantity::{Measure, Power};
use crate::working::Working;

/// Power at a duty point.
#[derive(Clone, Debug, PartialEq)]
pub struct PowerResult {
    /// What goes into the water that the pump moves.
    pub water: Power,
    /// What the wire brings; none where neither power nor efficiency was entered.
    pub electrical: Option<Power>,
    /// Whether that was entered, not reckoned from an efficiency.
    pub entered: bool,
    /// Water power over electrical power.
    pub wire_to_water: Option<f64>,
    /// What the motor gives to the shaft, where its efficiency was entered.
    pub shaft: Option<Power>,
    /// Energy for each cubic metre that leaves the line, J.
    pub energy_jm3: Option<f64>,
    /// The voltage lost on the wire, where wire and current are known.
    pub drop: Option<DropResult>,
}

/// The voltage lost on the way to the pump and back.
#[derive(Clone, Debug, PartialEq)]
pub struct DropResult {
    /// The pump that it is worst for.
    pub pump: String,
    /// The wire.
    pub wire: &'static WireEntry,
    /// The pump's voltage.
    pub volts: f64,
    /// Running: volts lost.
    pub running: f64,
    /// At the start: volts lost.
    pub starting: f64,
    /// The current at the start, A.
    pub starting_amps: f64,
    /// Whether that was reckoned from the running current.
    pub starting_assumed: bool,
    /// The thinnest wire of the same family that keeps to both limits; none where none does, or where this one does.
    pub enough: Option<&'static WireEntry>,
}

impl DropResult {
    /// Share of the voltage lost, running.
    pub fn running_share(&self) -> f64 {
        self.running / self.volts
    }
    /// Share of the voltage lost, at the start.
    pub fn starting_share(&self) -> f64 {
        self.starting / self.volts
    }
}

pub(super) fn power<W: Working>(bench: &Bench<'_>, point: &DutyPoint, w: &mut W) -> PowerResult {
    let pump = bench.pump;
    w.heading("Power half-way");
    let density = w.given("rho", bench.water.density());
    let (moved, head) = (w.given("Qp", point.pump_flow), w.given("H", point.head));
    let water = w.step("Pw", "power that goes into the water", POWER_SOURCE, water_power(density, moved, head));
    let electrical = match (pump.power, pump.efficiency) {
        (Some(power), _) => Some(w.given("Pe", power)),
        (None, Some(efficiency)) => {
            let efficiency = w.given("eta", efficiency);
            Some(w.step("Pe", "electrical power", "water power over efficiency", power_in(water, efficiency)))
        }
        (None, None) => None,
    };
    let shaft = electrical.zip(pump.motor_efficiency).map(|(electrical, efficiency)| {
        let efficiency = w.given("etam", efficiency);
        w.step("Ps", "power at the shaft", "electrical power times the motor's efficiency", electrical * efficiency)
            .plain()
    });
    let energy_jm3 = electrical.map(|electrical| {
        let out = w.given("Q", point.line_flow);
        w.step(
            "e",
            "energy for each cubic metre that leaves",
            "power over flow",
            energy_per_volume_jm3(electrical, out),
        )
        .plain()
    });
    PowerResult {
        water: water.plain(),
        electrical: electrical.map(Measure::plain),
        entered: pump.power.is_some(),
        wire_to_water: electrical.map(|electrical| water.plain() / electrical.plain()),
        shaft,
        energy_jm3,
        drop: drop(bench, w),
    }
}

/// The drop over the wire, where voltage, current, distance and size were all entered: of two pumps, each on a wire of
/// its own, the one nearer to a limit or farther beyond it.
fn drop<W: Working>(bench: &Bench<'_>, w: &mut W) -> Option<DropResult> {
    let mut drops = Vec::new();
    for pump in std::iter::once(bench.pump).chain(bench.second.filter(|second| second.name != bench.pump.name)) {
        drops.extend(drop_of(bench, pump, w));
    }
    let limits = &bench.site.limits;
    let share = |drop: &DropResult| {
        (drop.running_share() / limits.greatest_voltage_drop.value)
            .max(drop.starting_share() / limits.greatest_starting_drop.value)
    };
    drops.into_iter().reduce(|worst, next| if share(&next) > share(&worst) { next } else { worst })
}

fn drop_of<W: Working>(bench: &Bench<'_>, pump: &Pump, w: &mut W) -> Option<DropResult> {
    let supply = &bench.site.supply;
    let (volts, amps) = (pump.volts?, pump.running_amps?);
    let (distance, wire) = (supply.distance?, supply.wire?);
    let starting_amps = pump.starting_amps.unwrap_or_else(|| amps * catalog::default_limits().starting_current.value);
    let length = w.given("Lw", distance);
    let area = w.given("Aw", wire.area);
    let ohm =
        w.step("Rw", "resistance of one wire", DROP_SOURCE, copper_resistance_ohm(length, area, WIRE_TEMPERATURE));
    let (running, starting, supply_volts) = (w.given("I", amps), w.given("Is", starting_amps), w.given("U", volts));
    let running = w.step("dV", "volts lost, running", DROP_SOURCE, voltage_drop(running, ohm)).plain();
    let starting =
        w.step("dVs", "volts lost at the start", START_SOURCE, starting_drop(starting, supply_volts, ohm)).plain();
    let limits = &bench.site.limits;
    let ohm = ohm.plain();
    let keeps = |other: &WireEntry| {
        let thicker = ohm * (wire.area / other.area);
        voltage_drop(amps, thicker) <= limits.greatest_voltage_drop.value * volts
            && starting_drop(starting_amps, volts, thicker) <= limits.greatest_starting_drop.value * volts
    };
    let enough = if keeps(wire) {
        None
    } else {
        let mut thicker = catalog::wires().iter().filter(|other| other.family == wire.family && other.area > wire.area);
        thicker.find(|other| keeps(other))
    };
    Some(DropResult {
        pump: pump.name.clone(),
        wire,
        volts,
        running,
        starting,
        starting_amps,
        starting_assumed: pump.starting_amps.is_none(),
        enough,
    })
}
