//! Power, energy, and the voltage that the wire to the pump costs.

use crate::quantity::factor::GRAVITY;
use crate::quantity::{Area, Density, Flow, Head, Length, Power, Real, Temperature};

/// Where the formula of power is from.
pub const POWER_SOURCE: &str = "P = rho g Q H";
/// Where the drop of voltage is from.
pub const DROP_SOURCE: &str = "two wires, resistance only, copper at 75 C; reactance and joints left out";

/// The power that goes into the water: ρ g Q H.
pub fn water_power<N: Real>(density: Density<N>, flow: Flow<N>, head: Head<N>) -> Power<N> {
    Power::from_w(density.kgm3() * flow.m3s() * head.m() * GRAVITY)
}

/// The power that goes in where so much comes out: by an efficiency, above 0 to 1. Of water power and the pump's
/// efficiency the shaft power, of shaft power and the motor's the electrical one, of both together from wire to water.
pub fn power_in<N: Real>(out: Power<N>, efficiency: N) -> Power<N> {
    out / efficiency
}

/// The energy spent on each cubic metre pumped, J/m³: power over flow.
pub fn energy_per_volume_jm3<N: Real>(power: Power<N>, flow: Flow<N>) -> N {
    power.w() / flow.m3s()
}

/// The resistivity of copper at 20 °C, Ω m: the international annealed copper standard of 1913.
const COPPER_20: f64 = 1.724_1e-8;
/// How it grows with each degree.
const COPPER_COEFFICIENT: f64 = 0.003_93;
/// The temperature at which wire tables give it.
pub const WIRE_TEMPERATURE: Temperature = Temperature::from_celsius_const(75.0);

/// The resistance of a copper wire, Ω: ρ L / A at a temperature.
///
/// Source: resistivity of the international annealed copper standard; agrees with the resistances of solid wire in
/// the electrical code's conductor table (from memory: 3.07, 1.93, 1.21 Ω in 1000 ft of 14, 12, 10 AWG at 75 °C).
pub fn copper_resistance_ohm<N: Real>(length: Length<N>, area: Area<N>, temperature: Temperature) -> N {
    let resistivity = COPPER_20 * (1.0 + COPPER_COEFFICIENT * (temperature.celsius() - 20.0));
    length.m() * resistivity / area.m2()
}

/// Where the drop at the start is from.
pub const START_SOURCE: &str =
    "as running, the pump taken as a resistance that draws its starting current at full voltage";

/// The voltage lost at the start, V: the pump stands still and is a resistance of U/Is, in a row with the two wires. Less
/// than 2 Is R, since the wires hold the current down.
pub fn starting_drop<N: Real>(starting_current_a: N, supply_v: N, one_wire_ohm: N) -> N {
    let wires = one_wire_ohm * 2.0;
    supply_v * wires / (wires + supply_v / starting_current_a)
}

/// The voltage lost on the way to the pump and back, V: 2 I R of one wire.
pub fn voltage_drop<N: Real>(current_a: N, one_wire_ohm: N) -> N {
    current_a * one_wire_ohm * 2.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn identity_the_drop_at_the_start_is_never_the_whole_voltage() {
        // a short wire: as 2 I R; a wire without end: all of it
        assert_relative_eq!(starting_drop(36.0, 115.0, 0.001), voltage_drop(36.0, 0.001), max_relative = 1e-3);
        assert!(starting_drop(36.0, 115.0, 1e6) < 115.0);
        // 1 ohm of wire there and back on 3.19 ohm of pump
        assert_relative_eq!(starting_drop(36.0, 115.0, 0.5), 115.0 / (1.0 + 115.0 / 36.0), max_relative = 1e-12);
    }

    #[test]
    fn published_resistance_of_wire() {
        // conductor table of the electrical code, solid uncoated copper at 75 C, ohm in 1000 ft: from memory
        for (mm2, ohm) in [(2.081, 3.07), (3.309, 1.93), (5.261, 1.21)] {
            let wire = copper_resistance_ohm(Length::from_ft(1000.0), Area::from_m2(mm2 * 1e-6), WIRE_TEMPERATURE);
            assert_relative_eq!(wire, ohm, epsilon = 0.006);
        }
    }

    #[test]
    fn identity_power_by_hand() {
        // 1000 x 0.002 x 10 x 9.80665
        let water = water_power(Density::from_kgm3(1000.0), Flow::from_m3s(0.002), Head::from_m(10.0));
        assert_relative_eq!(water.w(), 196.133, max_relative = 1e-12);
        assert_relative_eq!(power_in(water, 0.4).w(), 490.3325, max_relative = 1e-12);
        assert_relative_eq!(energy_per_volume_jm3(Power::from_w(500.0), Flow::from_m3s(0.002)), 250_000.0);
    }

    #[test]
    fn identity_wire_by_hand() {
        // 1.7241e-8 x 100 / 2e-6 at 20 C; 1 + 0.00393 x 55 times that at 75 C
        let wire = |celsius: f64| {
            copper_resistance_ohm(Length::from_m(100.0), Area::from_m2(2e-6), Temperature::from_celsius(celsius))
        };
        assert_relative_eq!(wire(20.0), 0.862_05, max_relative = 1e-12);
        assert_relative_eq!(wire(75.0), 0.862_05 * 1.216_15, max_relative = 1e-12);
        // 10 A there and back through 0.2 ohm
        assert_relative_eq!(voltage_drop(10.0, 0.2), 4.0, max_relative = 1e-12);
    }
}
