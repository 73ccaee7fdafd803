//! The whole job: a site in, every result computed once, and what the design says about itself.

mod advice;
mod basis;
mod bench;
mod bid;
mod changes;
mod checks;
mod conditions;
mod delivered;
mod depth;
mod drawn;
mod finding;
mod flotation;
mod gravity;
mod gravity_way;
mod groundwater_run;
pub mod likely;
mod line;
mod local_rules;
mod losses;
mod measured;
mod pair;
mod phrase;
mod power;
mod pump;
mod rank;
mod runoff;
mod second;
pub(crate) mod side_by_side;
mod start_up;
mod stations;
mod storage;
pub(crate) mod storm;
mod surge;
mod trial;
mod verdict;
mod way_in;
mod way_off;

pub use advice::{Advice, Topic};
pub(crate) use advice::{LADDER_DEPTH, PROTECTED_DEPTH};
pub(crate) use basis::same_period;
pub use basis::{Basis, basis, basis_for};
pub use bid::Question;
pub use changes::{FittingsStay, with_pipe, with_pump, with_run_length};
pub(crate) use checks::line::{NARROWER_THAN_OUTLET, narrower_than_outlet};
pub(crate) use checks::storm::STOPS as STORM_STOPS;
pub use conditions::Condition;
pub use delivered::{Delivered, OnTheLine, on_the_line};
pub use depth::{BasinMark, DepthBudget, FromGrate};
pub use drawn::{DrawnCurves, drawn_curves};
pub use finding::{Finding, Severity};
pub use flotation::{FlotationOutcome, WaterOutside};
pub use gravity::GravityOption;
pub use gravity_way::GravityWay;
pub use groundwater_run::GroundwaterRun;
pub use line::LineAtRest;
pub use local_rules::{RuleOutcome, RuleResult};
pub use losses::{Losses, StretchLoss};
pub use measured::MeasuredResult;
pub use pair::{PairResult, TogetherAt};
pub use phrase::{Filling, Phrase};
pub use power::{DropResult, PowerResult};
pub use pump::{CurvePoint, DutyAt, LongestRun, PumpResult, WaterLevel};
pub use rank::Standing;
pub use runoff::{CatchmentResult, CurveNumberRunoff, StormResult, surface_loss};
pub use start_up::{Band, Compared, Found, Part, PartRange, Predicted, StartUp};
pub use stations::Station;
pub use storage::{CycleResult, Enough, room_above_on, surfaces_at};
pub(crate) use storm::without_stone;
pub use storm::{
    BatteryOutcome, ComesNear, Cure, GoalOutcome, HollowOutcome, NotFollowed, OtherPumps, PeriodOutcome, PowerCut,
    ReachedOtherwise, ShedsMore, SoilTakesLess, StormOutcome, StormsResult,
};
pub(crate) use storm::{could_miss, goes_in, reached_in};
pub use surge::{SurgeIn, SurgeResult};
pub(crate) use trial::{Brought, LongRain, kept_anywhere, trial_of, trial_of_goal_of};
pub use trial::{Trial, trial, trial_of_goal};
pub use verdict::Verdict;
pub use way_in::{DrainResult, Felt, FrenchResult, GroundwaterResult, InflowBasis, InletResult, Ranged, Seep, WayIn};
pub use way_off::{SwaleResult, WayOffResult};

use crate::hydrology::RainError;
use crate::quantity::{Amount, Duration, Flow, Length, ReturnPeriod, UnitSystem, Volume};
use crate::routing::Watch;
use crate::site::{Assumption, MeasuredStartUp, ReadNotUsed, Site};
use crate::working::{Silent, Working};
use phrase::phrase;
use std::borrow::Cow;
use thiserror::Error;

/// Why no design could be made of a site.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum DesignError {
    /// The rain of the design storm does not reach a duration that is needed.
    #[error("{storm}: {source}")]
    Rain {
        /// Which storm, in words.
        storm: String,
        /// What is missing.
        source: RainError,
    },
    /// No pump to judge.
    #[error("no pump was entered")]
    NoPump,
}

/// A design with everything that follows from it.
#[derive(Clone, Debug)]
pub struct Design {
    /// The site's title.
    pub title: String,
    /// The units of the report.
    pub units: UnitSystem,
    /// The verdict.
    pub verdict: Verdict,
    /// The storm the design is made for.
    pub storm: StormResult,
    /// Where the rain figures come from.
    pub rain_origin: String,
    /// Every storm of the site's rain, in its order.
    pub storms: Vec<StormResult>,
    /// Whether the owner says how deep or how long water may stand.
    pub goal_given: bool,
    /// Water shallower than this over a rim does not count as standing.
    pub film: Length,
    /// What the yard looks like in each storm; why not, where that could not be followed.
    pub in_storms: Result<StormsResult, NotFollowed>,
    /// The pumps, best first.
    pub pumps: Vec<PumpResult>,
    /// How each stands in the ranking, in the order of `pumps`.
    pub standings: Vec<Standing>,
    /// Which of `pumps` the design is made with.
    pub chosen: usize,
    /// The line between two runs.
    pub rest: LineAtRest,
    /// The line's points, with what lies over them and what happens there.
    pub stations: Vec<Station>,
    /// The way of the water to the basin.
    pub way_in: WayIn,
    /// What the pump does for groundwater alone.
    pub groundwater_run: Option<GroundwaterRun>,
    /// The way of the water beyond the outlet.
    pub way_off: Option<WayOffResult>,
    /// A way by gravity in place of the pump, where the levels allow one.
    pub gravity_way: Option<GravityWay>,
    /// Whether the empty basin stays in the ground.
    pub flotation: FlotationOutcome,
    /// What the owner measured beside what is worked out.
    pub measured: Vec<MeasuredResult>,
    /// What the first start shows if all is as designed; nothing where the pump's curve does not say it.
    pub start_up: Option<StartUp>,
    /// The depth budget.
    pub depth_budget: DepthBudget,
    /// The heights to build to, from the rim down.
    pub basin_marks: Vec<BasinMark>,
    /// A depth of one inch, or of a centimetre in a metric report.
    pub unit_depth: Length,
    /// What the basin holds over that depth.
    pub volume_of_unit_depth: Volume,
    /// Room between the on level and where water first shows.
    pub room_above_on: Volume,
    /// Room between the alarm and where water first shows, where there is an alarm.
    pub room_above_alarm: Option<Volume>,
    /// How long that room lasts at the peak inflow when the pump does not start.
    pub time_without_pump: Option<Duration>,
    /// The same at the steady inflow.
    pub time_without_pump_steady: Option<Duration>,
    /// Everything to be said, gravest first.
    pub findings: Vec<Finding>,
    /// Check valve, relief hole, cautions, when to hire.
    pub advice: Vec<Advice>,
    /// What to ask about a bid or a system that is there; nothing of a design of one's own.
    pub to_ask: Vec<Question>,
    /// The town's rules that were entered, beside the site.
    pub local_rules: Vec<RuleResult>,
    /// What was chosen or looked up.
    pub assumptions: Vec<Assumption>,
    /// Keys read but not used yet.
    pub not_used: Vec<ReadNotUsed>,
}

impl Design {
    /// The pump the design is made with.
    pub fn pump(&self) -> Option<&PumpResult> {
        self.pumps.get(self.chosen)
    }
    /// Whether nothing stands against it.
    pub fn holds(&self) -> bool {
        !self.findings.iter().any(|finding| finding.severity == Severity::Stop)
    }
}

/// Designs a site.
///
/// # Errors
/// The rain does not reach a duration that is needed, or there is no pump.
pub fn design(site: &Site) -> Result<Design, DesignError> {
    design_worked(site, &mut Silent)
}

/// Designs a site at the peak of its storms, without following any through the yard: in a part of the time.
///
/// # Errors
/// As [`design`].
pub fn design_at_peak(site: &Site) -> Result<Design, DesignError> {
    designed(site, false, &mut Silent)
}

/// Designs a site and records the working of the design storm and the chosen pump.
///
/// # Errors
/// As [`design`].
pub fn design_worked<W: Working>(site: &Site, w: &mut W) -> Result<Design, DesignError> {
    designed(site, true, w)
}

fn designed<W: Working>(site: &Site, follow: bool, w: &mut W) -> Result<Design, DesignError> {
    let ground = way_in::groundwater(site, w);
    let basis::Storms { design: storm, all: storms, left_out } = basis::storms(site, &ground, |_| true, w)?;
    let way_in = way_in::way_in(site, &storm, w);
    let flotation = flotation::flotation(site, w);
    let gravity_way = gravity_way::gravity_way(site, storm.peak_inflow);
    let rest = line::at_rest(site);
    let incoming = storm::Incoming::of(Cow::Borrowed(&storm));
    let (mut pumps, standings, chosen) = basis::ranked(site, &incoming, &rest, follow);
    let name = pumps.get(chosen).map(|pump| pump.name.clone()).ok_or(DesignError::NoPump)?;
    // once more with its working, now that it is known which one is used
    if W::KEEPS
        && let (Some(entered), Some(slot)) = (site.pumps.iter().find(|pump| pump.name == name), pumps.get_mut(chosen))
    {
        let judged = pump::judge(site, entered, &storm, &rest, w);
        // the storm has been followed with it
        *slot = PumpResult { in_storm: slot.in_storm.take(), findings: std::mem::take(&mut slot.findings), ..judged };
    }
    let found = checks::Found { way_in: &way_in, flotation: &flotation, gravity_way: gravity_way.as_ref() };
    let mut findings = checks::site(site, &storm, &rest, &found);
    findings.extend(left_out.iter().map(|(storm, why)| {
        Finding::note("storm-left-out", phrase!("{} is not shown: {}", storm.clone(), why.to_string()))
            .cure(phrase!("rain for more durations"))
    }));
    let way_off = pumps.get(chosen).and_then(|pump| way_off::way_off(site, pump));
    let (start_up, in_storms) = match pumps.get(chosen) {
        Some(pump) if follow => side_by_side::both(
            || start_up::start_up(site, pump, &storm, &rest),
            || storm::storms(site, pump, &storms, &incoming, &rest),
        ),
        Some(_) => (None, Err(NotFollowed::NotAsked)),
        None => (None, Err(NotFollowed::NoFlow)),
    };
    let groundwater_run = pumps.get(chosen).and_then(|pump| groundwater_run::groundwater_run(site, pump, &storm));
    let mut measured = measured::measured(site, &ground, &storm, pumps.get(chosen));
    if let Some(pump) = pumps.get(chosen) {
        let beyond = checks::Beyond {
            way_off: way_off.as_ref(),
            groundwater_run: groundwater_run.as_ref(),
            measured: &measured,
        };
        findings.extend(checks::chosen(site, pump, &storm, &beyond));
        findings.extend(pump.findings.iter().cloned());
        findings.extend(checks::storm::findings(site, &in_storms));
        if let Ok(storms) = &in_storms
            && !findings.iter().any(|finding| finding.id == "goal-missed")
        {
            findings.extend(
                storms.design().and_then(|design| checks::storm::missed_in_long_rain(site, &design.block_stands)),
            );
        }
        if let (Some(missed), Ok(storms)) =
            (findings.iter_mut().find(|finding| finding.id == "goal-missed"), &in_storms)
        {
            checks::storm::with_cures(missed, storms);
        }
        // where water gets to a place that must stay dry, no grate is too large
        if in_storms.as_ref().is_ok_and(|storms| storms.reaches_anything() || !storms.comes_near(site).is_empty()) {
            findings.retain(|finding| finding.id != "grate-larger-than-needed");
        }
        if let Ok(storms) = &in_storms {
            for reach in findings.iter_mut().filter(|finding| finding.id == "protected-place-in-reach") {
                checks::storm::with_highest(reach, site, storms);
            }
        }
        if let (Some(differ), Ok(storms)) =
            (findings.iter_mut().find(|finding| finding.id == "coefficients-differ"), &in_storms)
            && let Some(again) = checks::coefficients_differ(&storm, elsewhere(storms))
        {
            *differ = again;
        }
        findings.extend(second::alone(site, pump, &storm, &rest));
        findings.extend(checks::storm::stronger(site, &pumps, chosen, &findings));
    }
    let local_rules = local_rules::local_rules(site);
    findings.extend(local_rules::findings(&local_rules));
    if let Some(start_up) = &start_up {
        measured.extend(start_up::results(start_up));
        findings.extend(start_up::findings(start_up));
        findings.extend(start_up::uncompared(start_up, &site.measured.start_up));
    } else if follow && site.measured.start_up != MeasuredStartUp::default() {
        findings.push(start_up::not_compared());
    }
    // the stop says it all
    if findings
        .iter()
        .any(|finding| matches!(finding.id, "drain-back-restarts-pump" | "ditch-runs-back" | "valves-fewer-than-pumps"))
    {
        findings.retain(|finding| finding.id != "check-valve-missing");
    }
    findings.sort_by_key(|finding| finding.severity);
    let room = storage::room_above_on(site);
    let lasts = |inflow: Flow| (inflow > Flow::ZERO).then(|| room / inflow);
    let verdict = verdict::verdict(
        site,
        pumps.get(chosen),
        &verdict::Proof {
            storm: &storm,
            in_storms: &in_storms,
            way_in: &way_in,
            gravity_way: gravity_way.as_ref(),
            flotation: &flotation,
        },
        &findings,
    );
    let advice = advice::advice(site, pumps.get(chosen), &rest);
    let stations = stations::stations(site, pumps.get(chosen), &rest);
    let mut assumptions = site.assumptions.clone();
    assumptions.extend(pumps.get(chosen).and_then(|pump| assumed_volume(pump, site.units)));
    assumptions.extend(in_storms.iter().flat_map(|storms| storms.assumptions.iter().cloned()));
    Ok(Design {
        title: site.title.clone(),
        units: site.units,
        verdict,
        time_without_pump: lasts(storm.peak_inflow),
        time_without_pump_steady: lasts(runoff::steady_up_to(site, ground.flow, storage::surfaces_at(site).0)),
        storm,
        rain_origin: site.rain.origin.clone(),
        storms,
        goal_given: site.goal.standing_water.is_some() || site.goal.clear_within.is_some(),
        film: site.limits.film.value,
        in_storms,
        pumps,
        standings,
        chosen,
        rest,
        stations,
        way_in,
        groundwater_run,
        way_off,
        gravity_way,
        flotation,
        measured,
        start_up,
        depth_budget: depth::depth_budget(site),
        basin_marks: depth::basin_marks(site),
        unit_depth: depth::unit_depth(site.units),
        volume_of_unit_depth: site.basin.plan.area() * depth::unit_depth(site.units),
        room_above_on: room,
        room_above_alarm: checks::reserve_above_alarm(site),
        findings,
        advice,
        to_ask: bid::questions(site),
        local_rules,
        assumptions,
        not_used: site.not_used.clone(),
    })
}

/// Puts to a pump what the design storm says of it; gives what it was followed with.
fn follow<W: Watch + Default>(
    site: &Site,
    pump: &mut PumpResult,
    incoming: &storm::Incoming<'_>,
    rest: &LineAtRest,
    until: storm::Until,
) -> Result<storm::Run<W>, NotFollowed> {
    let (outcome, run) = storm::design_storm(site, pump, incoming, rest, until)?;
    checks::storm::of_pump(site, pump, &outcome);
    pump.in_storm = Some(outcome);
    Ok(run)
}

/// What the storms say of a soil that takes less.
fn elsewhere(storms: &StormsResult) -> checks::Elsewhere {
    if storms.missed_if_soil_takes_less().is_some() {
        checks::Elsewhere::GoalMissed
    } else if storms.soil_takes_less.is_empty() {
        checks::Elsewhere::Nothing
    } else {
        checks::Elsewhere::Followed
    }
}

/// A storm by its return period.
fn storm_words(period: Option<ReturnPeriod>, units: UnitSystem) -> String {
    period.map_or_else(|| "the storm".to_owned(), |period| format!("the {} storm", Amount::of(period).show(units)))
}

fn assumed_volume(pump: &PumpResult, units: UnitSystem) -> Option<Assumption> {
    let cycle = pump.cycle.as_ref().filter(|cycle| cycle.pump_volume_assumed && cycle.pump_volume > Volume::ZERO)?;
    Some(Assumption {
        what: format!("volume of the pump `{}`", pump.name),
        value: Amount::of(cycle.pump_volume),
        why: format!(
            "a cylinder {} across of its height; common practice, no source",
            Amount::small(crate::basin::USUAL_PUMP_DIAMETER).show(units)
        ),
    })
}
