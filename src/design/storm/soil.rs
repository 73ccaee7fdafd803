//! The design storm if the soil takes less than is counted with.

use super::goal::against;
use super::inflow::{Coming, Losses, counted};
use super::outcome::{LEAST_DEPTH, StormOutcome, Yard};
use crate::design::runoff::{StormResult, surface_loss_by};
use crate::hydrology::{RainError, SurfaceLoss};
use crate::quantity::{Flow, Volume};
use crate::routing::RoutingError;
use crate::site::{RunoffFrom, Site};

/// A surface of which more runs off than is counted with.
#[derive(Clone, Debug, PartialEq)]
pub struct ShedsMore {
    /// Its name.
    pub name: String,
    /// What says so.
    pub by: RunoffFrom,
    /// The share of all the storm's rain that then runs off.
    pub share: f64,
    /// The share that is counted with.
    pub counted: f64,
}

/// The design storm, nested, with less taken by the soil.
#[derive(Clone, Debug, PartialEq)]
pub struct SoilTakesLess {
    /// The surfaces of which more runs off.
    pub surfaces: Vec<ShedsMore>,
    /// What the storm then does.
    pub outcome: StormOutcome,
    /// Whether the owner's goal is then met; none where there is none.
    pub goal_met: Option<bool>,
}

/// More by less than this factor is not more: common practice, no source.
const MORE: f64 = 1.01;
/// Of two runs the shallower one is told where water stands longer in it by this factor: common practice, no source.
const LONGER: f64 = 1.01;

/// One way to say how much a surface keeps, and what comes of it in the storm.
#[derive(Clone, Debug)]
struct Way {
    by: RunoffFrom,
    loss: SurfaceLoss,
    volume: Volume,
    peak: Flow,
}

/// A storm in which some surfaces keep less.
pub(super) struct Less {
    surfaces: Vec<ShedsMore>,
    coming: Coming,
}

/// The storms to follow if the soil takes less: none where nothing that is known of it says so.
///
/// Each surface that lets water in takes, of all that is known of it, the way by which the most runs off in the storm as
/// a whole, and in a second storm that with the highest peak, where that is not the same.
///
/// # Errors
/// A loss that describes no surface.
pub(super) fn less(site: &Site, storm: &StormResult, losses: &Losses<'_>) -> Result<Vec<Less>, RainError> {
    let counted = counted(site, storm);
    let (mut by_volume, mut by_peak) = (Vec::new(), Vec::new());
    for (index, (catchment, result)) in site.catchments.iter().zip(&storm.catchments).enumerate() {
        let way = |by: RunoffFrom, loss: SurfaceLoss| -> Result<Way, RainError> {
            let runoff = losses.runoff(result, &loss)?;
            Ok(Way { by, loss, volume: runoff.volume(), peak: runoff.peak().1 })
        };
        let lets_in = catchment.pervious || catchment.surface.is_none() && catchment.curve_number.is_some();
        let others = [RunoffFrom::Table, RunoffFrom::CurveNumber, RunoffFrom::Infiltration]
            .into_iter()
            .filter(|by| lets_in && *by != result.runoff_from)
            .filter_map(|by| Some(way(by, surface_loss_by(site, storm, index, by)?)))
            .collect::<Result<Vec<Way>, RainError>>()?;
        let own = counted.get(index).filter(|_| !others.is_empty());
        let Some(own) = own.map(|own| way(result.runoff_from, *own)).transpose()? else {
            by_volume.push(None);
            by_peak.push(None);
            continue;
        };
        let most = |of: fn(&Way) -> f64| {
            let best = others.iter().reduce(|best, next| if of(next) > of(best) { next } else { best });
            best.filter(|best| of(best) > of(&own) * MORE).map(|best| (best.clone(), own.clone()))
        };
        by_volume.push(most(|way| way.volume.m3()));
        by_peak.push(most(|way| way.peak.m3s()));
    }
    let ways = |choice: &[Option<(Way, Way)>]| -> Vec<Option<RunoffFrom>> {
        choice.iter().map(|way| way.as_ref().map(|(way, _)| way.by)).collect()
    };
    let mut choices = vec![by_volume];
    if choices.iter().all(|known| ways(known) != ways(&by_peak)) {
        choices.push(by_peak);
    }
    choices
        .iter()
        .filter(|choice| choice.iter().any(Option::is_some))
        .map(|choice| {
            let chosen: Vec<SurfaceLoss> =
                choice.iter().zip(&counted).map(|(way, own)| way.as_ref().map_or(*own, |(way, _)| way.loss)).collect();
            let surfaces = choice.iter().zip(&storm.catchments).filter_map(|(way, result)| {
                let (way, own) = way.as_ref()?;
                let share = |way: &Way| (way.volume / result.area).m() / losses.depth().m();
                let (share, counted) = (share(way), share(own));
                Some(ShedsMore { name: result.name.clone(), by: way.by, share, counted })
            });
            Ok(Less { surfaces: surfaces.collect(), coming: losses.coming(site, storm, &chosen)? })
        })
        .collect()
}

/// The surfaces that let water in, of which nothing is entered that could say how much the soil takes.
pub(super) fn not_known(site: &Site, storm: &StormResult) -> Vec<String> {
    let says = |index: usize| {
        [RunoffFrom::CurveNumber, RunoffFrom::Infiltration]
            .into_iter()
            .any(|by| surface_loss_by(site, storm, index, by).is_some())
    };
    let surfaces = site.catchments.iter().enumerate();
    surfaces
        .filter(|(index, surface)| surface.pervious && !says(*index))
        .map(|(_, surface)| surface.name.clone())
        .collect()
}

/// Follows them.
///
/// # Errors
/// The water could not be followed.
pub(super) fn follow(yard: &Yard<'_>, less: Vec<Less>) -> Result<Vec<SoilTakesLess>, RoutingError> {
    less.into_iter()
        .map(|Less { surfaces, coming }| {
            let outcome = yard.follow(&coming)?;
            let goal_met = match against(&yard.site.goal, &outcome) {
                (None, None) => None,
                (depth, clear) => Some(depth != Some(false) && clear != Some(false)),
            };
            Ok(SoilTakesLess { surfaces, outcome, goal_met })
        })
        .collect()
}

/// What is to be told of them, the deepest first: none in which water stands neither deeper nor longer than with what
/// is counted, and of two the shallower one only where water stands longer in it.
pub(super) fn told(mut runs: Vec<SoilTakesLess>, counted: &StormOutcome) -> Vec<SoilTakesLess> {
    let longer = |one: &StormOutcome, other: &StormOutcome| {
        let (one, other) = ((one.still_stands(), one.stands()), (other.still_stands(), other.stands()));
        one.0 && !other.0 || one.0 == other.0 && one.1 > other.1 * LONGER
    };
    runs.retain(|run| run.outcome.depth() + LEAST_DEPTH >= counted.depth() || longer(&run.outcome, counted));
    let order = |run: &SoilTakesLess| (run.outcome.depth(), run.outcome.stands());
    runs.sort_by(|one, other| {
        let (one, other) = (order(one), order(other));
        other.0.m().total_cmp(&one.0.m()).then(other.1.s().total_cmp(&one.1.s()))
    });
    let mut told: Vec<SoilTakesLess> = Vec::new();
    for run in runs {
        if told.iter().all(|known| longer(&run.outcome, &known.outcome)) {
            told.push(run);
        }
    }
    told
}

impl SoilTakesLess {
    /// The surfaces by what says that more runs off of them.
    pub fn by_ways(&self) -> Vec<(RunoffFrom, Vec<&str>)> {
        let mut ways: Vec<(RunoffFrom, Vec<&str>)> = Vec::new();
        for surface in &self.surfaces {
            match ways.iter_mut().find(|(by, _)| *by == surface.by) {
                Some((_, names)) => names.push(&surface.name),
                None => ways.push((surface.by, vec![&surface.name])),
            }
        }
        ways
    }
    /// The same in words.
    pub fn surfaces_words(&self) -> String {
        let parts: Vec<String> = self
            .by_ways()
            .into_iter()
            .map(|(by, names)| {
                let by = match (by, names.len()) {
                    (RunoffFrom::Infiltration, _) => "by infiltration",
                    (RunoffFrom::CurveNumber, 1) => "by its curve number",
                    (RunoffFrom::CurveNumber, _) => "by their curve numbers",
                    (RunoffFrom::Table, 1) => "by its coefficient",
                    (RunoffFrom::Table, _) => "by their coefficients",
                };
                format!("{} {by}", listed(&names))
            })
            .collect();
        parts.join("; ")
    }
}

/// Names as a list in words.
pub(in crate::design) fn listed(names: &[&str]) -> String {
    let all: Vec<String> = names.iter().map(|name| format!("`{name}`")).collect();
    match all.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => all.concat(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Duration, Length};
    use crate::site::{NoFiles, read};

    #[test]
    fn identity_the_deepest_is_told_and_another_only_where_water_stands_longer() {
        let site = read(include_str!("../../../examples/cut-bank.toml"), &NoFiles).site.unwrap();
        let storms = crate::design::design(&site).unwrap().in_storms.unwrap();
        let like = |inches: f64, minutes: f64| {
            let mut outcome = storms.periods[storms.design].nested.clone();
            outcome.hollows.truncate(1);
            outcome.hollows[0].deepest = Length::from_inch(inches);
            outcome.hollows[0].stands = Duration::from_min(minutes);
            outcome
        };
        let of = |runs: &[(f64, f64)]| -> Vec<(f64, f64)> {
            let run = |(inches, minutes): &(f64, f64)| SoilTakesLess {
                outcome: like(*inches, *minutes),
                ..storms.soil_takes_less[0].clone()
            };
            let told = told(runs.iter().map(run).collect(), &like(3.0, 40.0));
            let rounded = |value: f64| libm::round(value * 100.0) / 100.0;
            told.iter()
                .map(|run| (rounded(run.outcome.depth().inch()), rounded(run.outcome.stands().minutes())))
                .collect()
        };
        assert_eq!(of(&[(4.0, 50.0), (6.0, 60.0)]), [(6.0, 60.0)]);
        assert_eq!(of(&[(4.0, 90.0), (6.0, 60.0)]), [(6.0, 60.0), (4.0, 90.0)]);
        assert_eq!(of(&[(6.0, 60.0), (6.0, 70.0)]), [(6.0, 70.0)]);
        // neither deeper nor longer than what is counted; as deep; longer alone
        assert_eq!(of(&[(2.0, 30.0)]), []);
        assert_eq!(of(&[(3.0, 40.0)]), [(3.0, 40.0)]);
        assert_eq!(of(&[(2.9, 45.0)]), [(2.9, 45.0)]);
    }
}
