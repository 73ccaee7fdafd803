//! Whether the empty basin stays in the ground, and what would hold it.

use crate::basin::flotation::{
    Collar, FLOTATION_SOURCE, Flotation, FlotationResult, ring_volume, submerged_weight, uplift, weight_in_air,
};
use crate::catalog;
use crate::quantity::{Length, Level, UnitSystem, Volume, Weight};
use crate::site::Site;
use crate::working::Working;

/// A collar is asked for in this thickness, and no narrower than can be poured: common practice, no source.
const COLLAR_THICKNESS: Length = Length::from_inch(12.0);
const COLLAR_LEAST_WIDTH: Length = Length::from_inch(3.0);

/// What the level of the water outside comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WaterOutside {
    /// Entered.
    Entered,
    /// Groundwater stands higher than what was entered.
    Groundwater,
    /// Nothing was entered: up to the ground.
    Ground,
}

/// The empty basin in ground full of water.
#[derive(Clone, Debug, PartialEq)]
pub struct FlotationOutcome {
    /// Whether enough was entered to judge it.
    pub judged: bool,
    /// The factor of safety that is wanted.
    pub wanted: f64,
    /// The water outside.
    pub water: Level,
    /// Where that comes from.
    pub water_from: WaterOutside,
    /// Whether holes in the wall let the water in, so that it does not float.
    pub lets_water_in: bool,
    /// The uplift with groundwater at its seasonal high.
    pub uplift_in_groundwater: Weight,
    /// What lifts and what holds.
    pub result: FlotationResult,
    /// The width of a ring of concrete all round, with its thickness and volume, that would hold it.
    pub ring: Option<(Length, Length, Volume)>,
    /// The uplift with the water up to the ground, where a lower level was entered and it would float then.
    pub uplift_when_full: Option<Weight>,
    /// The water level at which it just lifts; none where it holds with the water up to the ground.
    pub lifts_at: Option<Level>,
}

pub(super) fn flotation<W: Working>(site: &Site, w: &mut W) -> FlotationOutcome {
    let (basin, ballast) = (&site.basin, &site.ballast);
    let ground = basin.ground.unwrap_or(basin.rim);
    // groundwater stands there whatever was entered beside it
    let table = site.groundwater.seasonal_high.unwrap_or(basin.underside());
    let water = ballast.water.map_or(ground, |entered| entered.max(table).min(ground));
    let wanted = site.limits.flotation_safety.value;
    let flotation = Flotation {
        outside: basin.outside_plan().area(),
        outside_diameter: basin.outside_across(),
        depth: (ground - basin.underside()).max(Length::ZERO),
        water: (water - basin.underside()).max(Length::ZERO),
        basin_weight: basin.weight.unwrap_or(Weight::ZERO),
        flange: ballast.flange,
        collar: ballast.collar,
        soil_saturated: ballast.soil_saturated,
        concrete: ballast.concrete,
    };
    let result = flotation.judge(wanted);
    let full = Flotation { water: flotation.depth, ..flotation }.judge(wanted);
    show_working(&flotation, &result, w);
    let missing = result.missing > Weight::ZERO;
    // a ring on the floor takes the place of the collar that is there
    let ring = (missing && ballast.collar.is_none_or(|collar| collar.ring.is_some()))
        .then(|| flotation.collar_for(wanted, COLLAR_THICKNESS))
        .flatten()
        .map(|width| if width > Length::ZERO { width.max(COLLAR_LEAST_WIDTH) } else { width })
        .map(|width| (width, COLLAR_THICKNESS, ring_volume(flotation.outside_diameter, width, COLLAR_THICKNESS)));
    FlotationOutcome {
        judged: ballast.entered && !site.groundwater.basin_perforated,
        wanted,
        water,
        water_from: match ballast.water {
            None => WaterOutside::Ground,
            Some(entered) if table > entered => WaterOutside::Groundwater,
            Some(_) => WaterOutside::Entered,
        },
        lets_water_in: site.groundwater.basin_perforated,
        uplift_in_groundwater: uplift(flotation.outside, (table.min(ground) - basin.underside()).max(Length::ZERO)),
        result,
        ring,
        uplift_when_full: (ballast.water.is_some() && full.safety < 1.0).then_some(full.uplift),
        lifts_at: result.lifts_at.map(|height| basin.underside() + height),
    }
}

/// How many bags of dry mix make a volume of concrete, and what one is.
pub(super) fn bags(volume: Volume, units: UnitSystem) -> (u32, &'static str) {
    let limits = catalog::default_limits();
    let (bag, name) = match units {
        UnitSystem::Us => (limits.bag_yield.value, "80 lb"),
        UnitSystem::Metric => (limits.metric_bag_yield.value, "25 kg"),
    };
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held between 0 and 100 000")]
    let count = libm::ceil((volume / bag).clamp(0.0, 1e5) - 1e-6) as u32;
    (count, name)
}

fn show_working<W: Working>(flotation: &Flotation, result: &FlotationResult, w: &mut W) {
    w.heading("Flotation of the empty basin");
    let outside = w.given("Ap", flotation.outside);
    let water = w.given("zw", flotation.water.min(flotation.depth));
    let lifts = w.step("U", "uplift", FLOTATION_SOURCE, uplift(outside, water));
    let mut holds = w.given("W", flotation.basin_weight);
    if let Some(Collar { volume, density, weight_in_air: weight, .. }) = flotation.collar {
        let volume = w.given("Vc", volume);
        let under_water = if let Some(weight) = weight {
            let weight = w.given("Wc", weight);
            let density = w.given("gw", crate::basin::flotation::water_density());
            weight - weight_in_air(volume, density)
        } else {
            let density = w.given("gc", density);
            submerged_weight(volume, density)
        };
        holds += w.step("Wk", "concrete under water", FLOTATION_SOURCE, under_water);
    }
    if result.soil > Weight::ZERO {
        holds += w.given("Ws", result.soil);
    }
    if flotation.water > Length::ZERO {
        w.step("SF", "what holds over what lifts", FLOTATION_SOURCE, holds / lifts);
    }
}
