//! Whether the empty basin stays in the ground.

use crate::basin::flotation::FLOTATION_SOURCE;
use crate::design::finding::{Finding, Severity};
use crate::design::flotation::{FlotationOutcome, WaterOutside, bags};
use crate::design::phrase::{Phrase, phrase};
use crate::quantity::{Amount, Length, UnitSystem, Volume, Weight};
use crate::site::Site;

pub(super) fn findings(site: &Site, outcome: &FlotationOutcome) -> Vec<Finding> {
    if outcome.lets_water_in {
        return Vec::new();
    }
    let found = if outcome.judged { floats(site, outcome) } else { not_judged(site, outcome) };
    found.into_iter().chain(rests_on_water_level(outcome)).chain(collar_unlike(site)).collect()
}

/// What of concrete would hold it, in words.
fn concrete(site: &Site, outcome: &FlotationOutcome) -> Vec<Phrase> {
    let mut cures = Vec::new();
    if let Some((width, thickness, volume)) = outcome.ring.filter(|(width, ..)| *width > Length::ZERO) {
        cures.push(phrase!(
            "{} ring of concrete on the floor's level, {} wide all round and {} thick ({}, {}), with the soil put back on it",
            if site.ballast.collar.is_some() { "in place of the collar a" } else { "a" },
            Amount::small_at_least(width),
            Amount::small(thickness),
            Amount::solid(volume),
            in_bags(volume, site.units)
        ));
    }
    if outcome.result.missing > Weight::ZERO && outcome.result.concrete.is_finite() {
        let (volume, printed) = solid_at_least(outcome.result.concrete, site.units);
        cures.push(phrase!(
            "{} more of concrete fast to the basin, {}, where no soil that counts gives way",
            printed,
            in_bags(volume, site.units)
        ));
    }
    cures
}

/// A volume of concrete in bags of dry mix.
fn in_bags(volume: Volume, units: UnitSystem) -> String {
    let (count, of) = bags(volume, units);
    format!("{count} {} of {of}", if count == 1 { "bag" } else { "bags" })
}

/// A volume of concrete that must be reached: up to its second figure as it is printed.
fn solid_at_least(volume: Volume, units: UnitSystem) -> (Volume, Amount) {
    let unit = match units {
        UnitSystem::Us => Volume::from_ft3(1.0),
        UnitSystem::Metric => Volume::from_m3(1.0),
    };
    let place = libm::pow(10.0, libm::floor(libm::log10(volume / unit)) - 1.0);
    let up = unit * (libm::ceil(volume / unit / place - 1e-6) * place);
    let up = if up.is_finite() { up } else { volume };
    (up, Amount::solid(up))
}

fn not_judged(site: &Site, outcome: &FlotationOutcome) -> Option<Finding> {
    // who asks about pump and line only, with no yard entered, has not come to the basin yet
    let only_the_line =
        site.catchments.is_empty() && site.drains.is_empty() && site.groundwater.seasonal_high.is_none();
    let severity = if outcome.uplift_in_groundwater > Weight::ZERO {
        // it stands in groundwater every wet season
        Severity::Stop
    } else if only_the_line {
        Severity::Note
    } else {
        Severity::Caution
    };
    (outcome.result.uplift > Weight::ZERO).then(|| {
        let finding = Finding::new(
            severity,
            "flotation-not-judged",
            phrase!(
                "neither weight, outside nor ballast of the basin is entered: empty, in ground full of water, {} lift it, and nothing is known to hold it",
                outcome.result.uplift
            ),
        )
        .number("uplift", Amount::of(outcome.result.uplift))
        .cure(phrase!("enter `weight`, `outside_diameter`, and a `flange` or `collar` of [basin]; or `water_outside` if the ground never fills"));
        concrete(site, outcome).into_iter().fold(finding, Finding::cure)
    })
}

fn floats(site: &Site, outcome: &FlotationOutcome) -> Option<Finding> {
    let result = &outcome.result;
    if result.safety >= outcome.wanted * (1.0 - 1e-9) {
        return None;
    }
    let limit = &site.limits.flotation_safety;
    let stands = match outcome.water_from {
        WaterOutside::Entered => "entered",
        WaterOutside::Groundwater => "groundwater",
        WaterOutside::Ground => "water up to the ground",
    };
    let finding = if result.safety < 1.0 {
        Finding::stop(
            "basin-floats",
            phrase!(
                "the empty basin floats up: {} lift it with the water at {} ({}), and only {} hold it",
                result.uplift,
                outcome.water,
                stands,
                result.basin + result.collar + result.soil
            ),
        )
    } else {
        Finding::caution(
            "flotation-margin-small",
            phrase!(
                "the empty basin is held by {} against an uplift of {} with the water at {} ({}): {} times, less than {}",
                result.basin + result.collar + result.soil,
                result.uplift,
                outcome.water,
                stands,
                format!("{:.2}", result.safety),
                outcome.wanted
            ),
        )
    };
    let finding = finding
        .number("uplift", Amount::of(result.uplift))
        .number("holds", Amount::of(result.basin + result.collar + result.soil))
        .number("missing", Amount::of(result.missing))
        .limit(Amount::of(outcome.wanted), &format!("{}; {FLOTATION_SOURCE}", limit.source));
    let finding = concrete(site, outcome).into_iter().fold(finding, Finding::cure);
    Some(finding.cure_if(outcome.lifts_at.map(|level| {
        phrase!("until it is held down, keep water in it wherever groundwater may stand above {}", level)
    })))
}

/// It stays down only as long as the ground does not fill: the hole round a basin fills like a tub in a storm.
fn rests_on_water_level(outcome: &FlotationOutcome) -> Option<Finding> {
    let uplift = outcome.uplift_when_full.filter(|_| outcome.judged && outcome.result.safety >= 1.0)?;
    Some(
        Finding::caution(
            "flotation-rests-on-water-level",
            phrase!(
                "the empty basin stays down only because the water outside is taken as no higher than {} ({}): with the ground full, as the backfill round it can be in a storm, {} lift it and it floats",
                outcome.water,
                if outcome.water_from == WaterOutside::Groundwater { "groundwater" } else { "entered" },
                uplift
            ),
        )
        .number("uplift_when_full", Amount::of(uplift))
        .cure(phrase!("leave `water_outside` out, and hold the basin down for water up to the ground"))
        .cure_if(outcome.lifts_at.map(|level| phrase!("a drain of stone round it that keeps the water below {}", level))),
    )
}

/// A collar whose volume is not that of its width and thickness.
fn collar_unlike(site: &Site) -> Option<Finding> {
    let collar = site.ballast.collar?;
    let (width, thickness) = collar.ring?;
    let ring = crate::basin::flotation::ring_volume(site.basin.outside_across(), width, thickness);
    let off = (collar.volume / ring - 1.0).abs();
    (off > 0.1).then(|| {
        Finding::caution(
            "collar-contradicts-itself",
            phrase!(
                "the collar is entered with {}, but a ring {} wide and {} thick round this basin has {}",
                Amount::solid(collar.volume),
                Amount::small(width),
                Amount::small(thickness),
                Amount::solid(ring)
            ),
        )
        .cure(phrase!("leave its `volume` out, or put right what is wrong"))
    })
}
