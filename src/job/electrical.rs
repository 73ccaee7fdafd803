//! What an electrician is told and asked: distance, currents, what each size of wire loses, the length of the trench.

use crate::catalog::{self, WireEntry};
use crate::design::Design;
use crate::hydraulics::Surface;
use crate::pump_selection::Pump;
use crate::pump_selection::power::{WIRE_TEMPERATURE, copper_resistance_ohm, starting_drop, voltage_drop};
use crate::quantity::{Length, UnitSystem};
use crate::site::Site;

/// What is known of the supply.
#[derive(Clone, Debug, PartialEq)]
pub struct Electrical {
    /// One way from the panel, or wherever the wire begins, to the pump.
    pub distance: Option<Length>,
    /// The distance that drops are shown for: that one, or a round one where it is not known.
    pub shown_for: Length,
    /// The wire entered.
    pub wire: Option<&'static WireEntry>,
    /// The rating of the circuit entered, A.
    pub circuit_amps: Option<f64>,
    /// The pumps that are installed, each kind once.
    pub motors: Vec<Motor>,
    /// How many pumps are installed.
    pub pumps: u32,
    /// Whether two may start or run at once.
    pub together: bool,
    /// How many times its running current a motor draws at the start, where that is not entered.
    pub starting_times: (f64, f64),
    /// The share of the voltage that may be lost running, with where that comes from.
    pub running_limit: (f64, String),
    /// The same at the start.
    pub starting_limit: (f64, String),
    /// The trench of the discharge line by what lies over it. Empty where no profile says it.
    pub line_trench: Vec<(Option<Surface>, Length)>,
    /// Covers that are often asked over wire, for the trench's length.
    pub covers: Vec<WireCover>,
}

/// A pump's motor.
#[derive(Clone, Debug, PartialEq)]
pub struct Motor {
    /// The pump.
    pub pump: String,
    /// Its voltage.
    pub volts: Option<f64>,
    /// Its running current, A.
    pub running_amps: Option<f64>,
    /// Its starting current, A: from the least to the most; one number where it was entered. None without a running
    /// current.
    pub starting_amps: Option<(f64, f64)>,
    /// Whether that was entered.
    pub starting_entered: bool,
    /// What each size of wire loses; empty where voltage or current are not known.
    pub drops: Vec<WireDrop>,
}

/// What a wire loses.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WireDrop {
    /// The wire.
    pub wire: &'static WireEntry,
    /// The resistance of both wires, there and back, ohm.
    pub both_ways_ohm: f64,
    /// Volts lost, running.
    pub running_volts: f64,
    /// As a share of the pump's voltage.
    pub running_share: f64,
    /// Volts lost at the start, at the most of the starting current.
    pub starting_volts: f64,
    /// As a share.
    pub starting_share: f64,
    /// Whether both keep to their limits.
    pub keeps: bool,
}

/// A cover over wire in the ground.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WireCover {
    /// How the wire is laid.
    pub laid: &'static str,
    /// The least cover.
    pub cover: Length,
    /// The length of trench at that cover, where the distance is known.
    pub length: Option<Length>,
}

/// Where the covers come from.
pub const COVER_SOURCE: &str =
    "National Electrical Code, table of minimum cover 300.5, from memory; the local code decides";
/// A starting motor draws at least this many times its running current: electrical handbooks, from memory. The most is
/// that of the table of limits.
const LEAST_START: f64 = 4.0;

pub(super) fn electrical(site: &Site, design: &Design) -> Electrical {
    let supply = &site.supply;
    let limits = &site.limits;
    let (round, family) = match site.units {
        UnitSystem::Us => (Length::from_ft(100.0), "AWG"),
        UnitSystem::Metric => (Length::from_m(30.0), "metric"),
    };
    let family = supply.wire.map_or(family, |wire| wire.family);
    let shown_for = supply.distance.unwrap_or(round);
    let used = design.pump();
    let second = used.and_then(|used| used.pair.as_ref()).map(|pair| pair.second.as_str());
    let mut names: Vec<&str> = used.iter().map(|used| used.name.as_str()).chain(second).collect();
    names.dedup();
    let motors = names
        .into_iter()
        .filter_map(|name| site.pumps.iter().find(|pump| pump.name == name))
        .map(|pump| motor(site, pump, shown_for, family))
        .collect();
    Electrical {
        distance: supply.distance,
        shown_for,
        wire: supply.wire,
        circuit_amps: supply.circuit_amps,
        motors,
        pumps: site.pumping.count,
        together: site.pumping.count > 1,
        starting_times: (LEAST_START, catalog::default_limits().starting_current.value),
        running_limit: (limits.greatest_voltage_drop.value, limits.greatest_voltage_drop.source.clone()),
        starting_limit: (limits.greatest_starting_drop.value, limits.greatest_starting_drop.source.clone()),
        line_trench: line_trench(site),
        covers: covers(supply.distance),
    }
}

fn motor(site: &Site, pump: &Pump, distance: Length, family: &str) -> Motor {
    let limits = &site.limits;
    let starting_amps = match (pump.starting_amps, pump.running_amps) {
        (Some(entered), _) => Some((entered, entered)),
        (None, Some(running)) => {
            Some((running * LEAST_START, running * catalog::default_limits().starting_current.value))
        }
        (None, None) => None,
    };
    let mut drops = Vec::new();
    if let (Some(volts), Some(running), Some((_, starting))) = (pump.volts, pump.running_amps, starting_amps) {
        for wire in catalog::wires().iter().filter(|wire| wire.family == family) {
            let one_way = copper_resistance_ohm(distance, wire.area, WIRE_TEMPERATURE);
            let running_volts = voltage_drop(running, one_way);
            let starting_volts = if starting > 0.0 { starting_drop(starting, volts, one_way) } else { 0.0 };
            let (running_share, starting_share) = (running_volts / volts, starting_volts / volts);
            drops.push(WireDrop {
                wire,
                both_ways_ohm: one_way * 2.0,
                running_volts,
                running_share,
                starting_volts,
                starting_share,
                keeps: running_share <= limits.greatest_voltage_drop.value
                    && starting_share <= limits.greatest_starting_drop.value,
            });
        }
    }
    Motor {
        pump: pump.name.clone(),
        volts: pump.volts,
        running_amps: pump.running_amps,
        starting_amps,
        starting_entered: pump.starting_amps.is_some(),
        drops,
    }
}

/// How much of the discharge line lies under what, where that was said.
fn line_trench(site: &Site) -> Vec<(Option<Surface>, Length)> {
    let lengths = site.discharge.lengths_under();
    let mut found: Vec<(Option<Surface>, Length)> = Vec::new();
    for (under, along) in lengths {
        let under = under.or(site.crew.surface);
        match found.iter_mut().find(|(known, _)| *known == under) {
            Some((_, sum)) => *sum += along,
            None => found.push((under, along)),
        }
    }
    // nothing said of any of it is nothing to show
    if found.iter().all(|(under, _)| under.is_none()) { Vec::new() } else { found }
}

fn covers(distance: Option<Length>) -> Vec<WireCover> {
    [
        ("cable laid straight into the ground", 24.0),
        ("wire in plastic conduit", 18.0),
        ("a circuit of 120 V and 20 A at the most, with ground-fault protection", 12.0),
        ("wire in rigid metal conduit", 6.0),
    ]
    .into_iter()
    .map(|(laid, inches)| WireCover { laid, cover: Length::from_inch(inches), length: distance })
    .collect()
}
