//! Limits of practice, the sizes of basins.

use super::text::{Record, Row, load};
use crate::quantity::factor::{FOOT, POUND};
use crate::quantity::{Area, Density, Duration, Head, Length, Temperature, Velocity, Volume};
use std::sync::OnceLock;

/// What a design is held to where its owner sets no limit. Shares are ratios.
#[derive(Clone, Debug, PartialEq)]
pub struct DefaultLimits {
    /// Least velocity in the discharge line, to carry grit.
    pub least_velocity: Row<Velocity>,
    /// Greatest velocity in the discharge line.
    pub greatest_velocity: Row<Velocity>,
    /// Shortest run of the pump.
    pub least_run: Row<Duration>,
    /// The run of the pump to aim for.
    pub wished_run: Row<Duration>,
    /// Most starts in an hour where the pump gives no limit of its own.
    pub most_starts_per_hour: Row<f64>,
    /// Largest share of the duty flow that the relief hole may leak.
    pub greatest_leak: Row<f64>,
    /// Largest share of the head at duty for friction and fittings.
    pub greatest_loss_share: Row<f64>,
    /// Shut-off head over static head, as a share of the static head.
    pub shut_off_margin: Row<f64>,
    /// The share of its head that a worn pump has lost.
    pub wear: Row<f64>,
    /// The largest solid that a pump in a yard should pass at the least.
    pub least_solid: Row<Length>,
    /// Least cover over a pressure line under lawn, where frost allows it.
    pub least_cover: Row<Length>,
    /// Least cover over a pressure line under a walk or patio.
    pub least_cover_walk: Row<Length>,
    /// Least cover over a pressure line under a drive.
    pub least_cover_drive: Row<Length>,
    /// How far below the air's pressure the water in the line may go before air leaves it freely; above zero.
    pub greatest_vacuum: Row<Head>,
    /// The greatest head that a coupling of rubber and bands should bear.
    pub band_coupling_head: Row<Head>,
    /// The share by which Hazen-Williams C falls as a plastic line ages.
    pub aged_friction: Row<f64>,
    /// The roughness of a plastic line that has aged.
    pub aged_roughness: Row<Length>,
    /// The temperature of the water in a thaw.
    pub cold_water: Row<Temperature>,
    /// Greatest voltage drop on the wires to the running pump, as a share.
    pub greatest_voltage_drop: Row<f64>,
    /// Greatest voltage drop on the wires while the pump starts, as a share.
    pub greatest_starting_drop: Row<f64>,
    /// The current of a starting pump over its running current.
    pub starting_current: Row<f64>,
    /// What is added to the length of the pipe for fittings where none are counted, as a share of it.
    pub fittings_allowance: Row<f64>,
    /// The depth below the rim to which a hand reaches a valve.
    pub valve_reach: Row<Length>,
    /// The water that stays in a low place of the line and is worth a word.
    pub least_sag: Row<Volume>,
    /// What holds the empty basin down over the uplift of water to grade: a ratio of the two, with soil and concrete
    /// in the water at what they weigh there.
    pub flotation_safety: Row<f64>,
    /// The share of a grate's opening and of its perimeter that is taken as clogged.
    pub grate_clogging: Row<f64>,
    /// Least velocity in a drain that runs full by gravity, to carry grit.
    pub least_drain_velocity: Row<Velocity>,
    /// Water over a rim that is too shallow to count as standing.
    pub film: Row<Length>,
    /// The share of a battery that may be used.
    pub battery_share: Row<f64>,
    /// The efficiency of an inverter.
    pub inverter_efficiency: Row<f64>,
    /// The time in which groundwater rises to where it stands in a storm.
    pub groundwater_rises_over: Row<Duration>,
    /// The width of a notch that a low spot runs over, where it was not entered.
    pub spill_width: Row<Length>,
    /// The rise of the ground round a grate that no low spot was entered for, as a ratio.
    pub dish_slope: Row<f64>,
    /// Soil full of water.
    pub saturated_soil: Row<Density>,
    /// Plain concrete.
    pub concrete: Row<Density>,
    /// The concrete from a bag of 80 lb of dry mix.
    pub bag_yield: Row<Volume>,
    /// The concrete from a bag of 25 kg of dry mix.
    pub metric_bag_yield: Row<Volume>,
    /// The voids of clean stone of one size, as a ratio.
    pub stone_porosity: Row<f64>,
    /// The area of the holes of a perforated pipe per length of it, which is a length.
    pub perforation_area: Row<Length>,
    /// The least size of a perforated pipe in the ground.
    pub least_french_size: Row<Length>,
    /// The factor by which a conductivity of the ground that was entered may be wrong, either way.
    pub conductivity_factor: Row<f64>,
}

/// The built-in limits.
pub fn default_limits() -> &'static DefaultLimits {
    static LIMITS: OnceLock<DefaultLimits> = OnceLock::new();
    LIMITS.get_or_init(|| {
        let all = load(LIMITS_TABLE, Named::read);
        let velocity = |name| pick(&all, name, "ft/s").with(Velocity::from_fts);
        let time = |name| pick(&all, name, "s").with(Duration::from_s);
        let inches = |name| pick(&all, name, "in").with(Length::from_inch);
        let head = |name| pick(&all, name, "ft").with(Head::from_ft);
        let density = |name| pick(&all, name, "lb/ft3").with(|pounds| Density::from_kgm3(pounds * POUND / CUBIC_FOOT));
        let per_metre = |square_centimetres| Area::from_m2(square_centimetres * 1e-4) / Length::from_m(1.0);
        let share = |name| pick(&all, name, "%").with(|percent| percent / 100.0);
        DefaultLimits {
            least_velocity: velocity("least velocity"),
            greatest_velocity: velocity("greatest velocity"),
            least_run: time("least run"),
            wished_run: time("wished run"),
            most_starts_per_hour: pick(&all, "most starts", "1/h"),
            greatest_leak: share("greatest leak"),
            greatest_loss_share: share("greatest loss share"),
            shut_off_margin: share("shut-off margin"),
            wear: share("wear"),
            least_solid: inches("least solid"),
            least_cover: inches("least cover"),
            least_cover_walk: inches("least cover under a walk"),
            least_cover_drive: inches("least cover under a drive"),
            greatest_vacuum: head("greatest vacuum"),
            band_coupling_head: head("band coupling head"),
            aged_friction: share("aged friction"),
            aged_roughness: pick(&all, "aged roughness", "mm").with(Length::from_mm),
            cold_water: pick(&all, "cold water", "F").with(Temperature::from_fahrenheit),
            greatest_voltage_drop: share("greatest voltage drop"),
            greatest_starting_drop: share("greatest starting drop"),
            starting_current: pick(&all, "starting current", "1"),
            fittings_allowance: share("fittings allowance"),
            valve_reach: inches("valve reach"),
            least_sag: pick(&all, "sag worth a word", "gal").with(Volume::from_gal),
            flotation_safety: pick(&all, "flotation safety", "1"),
            grate_clogging: share("grate clogging"),
            least_drain_velocity: velocity("least drain velocity"),
            film: inches("film"),
            battery_share: share("battery share"),
            inverter_efficiency: share("inverter efficiency"),
            groundwater_rises_over: time("groundwater rises over"),
            spill_width: pick(&all, "spill width", "ft").with(Length::from_ft),
            dish_slope: share("dish slope"),
            saturated_soil: density("saturated soil"),
            concrete: density("concrete"),
            bag_yield: pick(&all, "bag yield", "ft3").with(Volume::from_ft3),
            metric_bag_yield: pick(&all, "metric bag yield", "m3").with(Volume::from_m3),
            stone_porosity: share("stone porosity"),
            perforation_area: pick(&all, "perforation area", "cm2/m").with(per_metre),
            least_french_size: inches("least French size"),
            conductivity_factor: pick(&all, "conductivity factor", "1"),
        }
    })
}

/// A size of basin met in the trade or in codes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BasinSize {
    /// Inside diameter.
    pub diameter: Length,
    /// Depth.
    pub depth: Length,
    /// What it is used for.
    pub used_for: &'static str,
    /// How far it is to be trusted.
    pub status: &'static str,
    /// Where it comes from.
    pub source: &'static str,
}

/// The sizes of basin, by increasing diameter and depth.
pub fn basin_sizes() -> &'static [BasinSize] {
    static ALL: OnceLock<Vec<BasinSize>> = OnceLock::new();
    ALL.get_or_init(|| {
        load(include_str!("data/basins.csv"), |record| {
            Some(BasinSize {
                diameter: Length::from_inch(record.number("diameter (in)")?),
                depth: Length::from_inch(record.number("depth (in)")?),
                used_for: record.text("use")?,
                status: record.status()?,
                source: record.source()?,
            })
        })
    })
}

/// Cubic metres in a cubic foot.
const CUBIC_FOOT: f64 = FOOT * FOOT * FOOT;
const LIMITS_TABLE: &str = include_str!("data/limits.csv");

#[derive(Debug)]
struct Named {
    name: &'static str,
    unit: &'static str,
    row: Row<f64>,
}

impl Named {
    fn read(record: &Record<'_>) -> Option<Self> {
        Some(Self {
            name: record.text("limit")?,
            unit: record.text("unit")?,
            row: record.row(record.number("value")?)?,
        })
    }
}

/// The limit of a name in a unit. The table has every one asked for, which its test holds it to.
fn pick(all: &[Named], name: &str, unit: &str) -> Row<f64> {
    all.iter()
        .find(|limit| limit.name == name && limit.unit == unit)
        .map_or(Row { value: f64::NAN, status: "", source: "" }, |limit| limit.row)
}

impl Row<f64> {
    fn with<T>(self, unit: impl Fn(f64) -> T) -> Row<T> {
        Row { value: unit(self.value), status: self.status, source: self.source }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn every_limit_is_in_the_table() {
        // Common practice, no source, but for the few that name a publication.
        let limits = default_limits();
        assert_relative_eq!(limits.least_velocity.value.fts(), 2.0, max_relative = 1e-12);
        assert_relative_eq!(limits.greatest_velocity.value.fts(), 8.0, max_relative = 1e-12);
        assert_relative_eq!(limits.least_run.value.s(), 30.0);
        assert_relative_eq!(limits.wished_run.value.s(), 60.0);
        assert_relative_eq!(limits.most_starts_per_hour.value, 10.0);
        assert_relative_eq!(limits.greatest_leak.value, 0.05);
        assert_relative_eq!(limits.greatest_loss_share.value, 0.5);
        assert_relative_eq!(limits.shut_off_margin.value, 0.1);
        assert_relative_eq!(limits.wear.value, 0.1);
        assert_relative_eq!(limits.least_solid.value.inch(), 0.375);
        assert_relative_eq!(limits.least_cover.value.inch(), 6.0);
        assert_relative_eq!(limits.least_cover_walk.value.inch(), 6.0);
        assert_relative_eq!(limits.least_cover_drive.value.inch(), 18.0);
        assert_relative_eq!(limits.greatest_vacuum.value.ft(), 15.0);
        assert_relative_eq!(limits.band_coupling_head.value.ft(), 10.0);
        assert_relative_eq!(limits.aged_friction.value, 0.13);
        assert_relative_eq!(limits.aged_roughness.value.mm(), 0.05);
        assert_relative_eq!(limits.cold_water.value.fahrenheit(), 35.0, epsilon = 1e-9);
        assert_relative_eq!(limits.greatest_voltage_drop.value, 0.05);
        assert_relative_eq!(limits.greatest_starting_drop.value, 0.15);
        assert_relative_eq!(limits.starting_current.value, 6.0);
        assert_relative_eq!(limits.valve_reach.value.inch(), 24.0);
        // Half a litre.
        assert_relative_eq!(limits.least_sag.value.litre(), 0.5, epsilon = 0.01);
        // C 150 falls to 130.
        assert_relative_eq!(150.0 * (1.0 - limits.aged_friction.value), 130.0, epsilon = 0.6);
        // Onsite pump worksheet of Minnesota: 25 % of the pipe's length.
        assert_eq!((limits.fittings_allowance.value, limits.fittings_allowance.status), (0.25, "found"));
        assert_eq!(load(LIMITS_TABLE, Named::read).len(), 41);
        assert!(limits.least_velocity.source.starts_with("common practice, no source"));
    }

    #[test]
    fn limits_of_the_way_to_the_basin_are_in_the_table() {
        let limits = default_limits();
        assert_eq!((limits.flotation_safety.value, limits.flotation_safety.status), (1.2, "common practice"));
        // Texas DOT hydraulic manual, grate inlets in sag: half of the opening and of the perimeter.
        assert_eq!((limits.grate_clogging.value, limits.grate_clogging.status), (0.5, "found"));
        // ASPE Data Book vol. 2 ch. 4: 2 ft/s.
        assert_relative_eq!(limits.least_drain_velocity.value.fts(), 2.0, max_relative = 1e-12);
        assert_relative_eq!(limits.film.value.inch(), 0.5);
        // A cubic foot of water at 62.4 lb is 999.6 kg/m³, so 120 lb is 1922.2 and 150 lb is 2402.8.
        assert_relative_eq!(limits.saturated_soil.value.kgm3(), 1922.2, epsilon = 0.05);
        assert_relative_eq!(limits.concrete.value.kgm3(), 2402.8, epsilon = 0.05);
        assert_relative_eq!(limits.bag_yield.value.ft3(), 0.6, max_relative = 1e-12);
        assert_relative_eq!(limits.metric_bag_yield.value.litre(), 12.0, max_relative = 1e-12);
        assert_eq!((limits.stone_porosity.value, limits.stone_porosity.status), (0.4, "found"));
        // AASHTO M 252: 20 cm² per metre, which is 0.945 in² per foot.
        assert_relative_eq!(limits.perforation_area.value.m(), 0.002, max_relative = 1e-12);
        assert_relative_eq!(limits.perforation_area.value.inch() * 12.0, 0.945, epsilon = 5e-4);
        assert_relative_eq!(limits.least_french_size.value.inch(), 4.0, max_relative = 1e-12);
        assert_relative_eq!(limits.conductivity_factor.value, 3.0);
    }

    #[test]
    fn a_bag_yields_concrete_of_a_likely_weight() {
        // Dry mix by volume of concrete, without the water it is mixed with: 80 lb by 0.6 ft³ is 2136 kg/m³, 25 kg by
        // 12 litres 2083. With a gallon of water to the large bag it is near the weight of concrete.
        let limits = default_limits();
        let (large, small) = (limits.bag_yield.value.m3(), limits.metric_bag_yield.value.m3());
        assert_relative_eq!(80.0 * POUND / large, 2136.0, epsilon = 0.5);
        assert_relative_eq!(25.0 / small, 2083.3, epsilon = 0.05);
        assert_relative_eq!((80.0 * POUND + 3.785) / large, limits.concrete.value.kgm3(), max_relative = 0.03);
    }

    #[test]
    fn basins_begin_with_the_least_that_the_codes_allow() {
        // International Residential Code 2021 P3303.1.2: 18 in by 24 in.
        assert_eq!(basin_sizes().len(), 15);
        let least = basin_sizes().iter().find(|basin| basin.status == "found").unwrap();
        assert_relative_eq!(least.diameter.inch(), 18.0);
        assert_relative_eq!(least.depth.inch(), 24.0);
        assert!(basin_sizes().iter().all(|basin| !basin.source.is_empty() && !basin.used_for.is_empty()));
    }
}
