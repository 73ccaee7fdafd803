//! The storm that takes the power with it: when water stands, how deep, where it goes, how long a battery lasts.

use super::inflow::Coming;
use super::outcome::{HollowOutcome, StormOutcome, Yard};
use crate::quantity::{Duration, Length, Level, Power, Volume};
use crate::routing::{RoutingError, Switch, Unwatched, Watch};
use crate::site::BASIN;

/// The power cut in the middle of the storm.
#[derive(Clone, Debug, PartialEq)]
pub struct PowerCut {
    /// The moment that leaves the least time, from the start of the rain.
    pub cut_at: Duration,
    /// Whether water stands deeper than a film with power too: then no moment says anything of the power.
    pub stands_anyway: bool,
    /// How long until water stands then; none where it never does, or would anyway.
    pub stands_after: Option<Duration>,
    /// How long after a cut it reaches each protected place, the cut at the moment that is worst for it: name, level,
    /// time; none where it never does, or has with power before any cut.
    pub protected: Vec<(String, Level, Option<Duration>)>,
    /// The storm with no power from its start.
    pub all_storm: StormOutcome,
    /// What a battery does, where there is one.
    pub battery: Option<BatteryOutcome>,
}

/// The storm on a battery, the power gone from its start.
#[derive(Clone, Debug, PartialEq)]
pub struct BatteryOutcome {
    /// How long the pump could run without stopping.
    pub without_stopping: Duration,
    /// How long it runs in the storm if nothing stops it.
    pub needed: Duration,
    /// When the battery is flat, from the start of the rain; none where it lasts.
    pub flat_at: Option<Duration>,
    /// What the storm then does.
    pub outcome: StormOutcome,
}

/// Moments at which the power may go.
const MOMENTS: usize = 6;

#[derive(Default)]
struct Switches {
    lead: Vec<(f64, bool)>,
    jumps: bool,
}
impl Watch for Switches {
    fn switched(&mut self, switch: Switch) {
        if switch.pump == 1 {
            self.lead.push((switch.at_s, switch.on));
        }
    }
    fn repeated(&mut self, _cycles: f64, _each_s: f64, _until_s: f64) {
        self.jumps = true;
    }
}

/// The power cut at the worst moment.
///
/// # Errors
/// The water could not be followed.
pub(super) fn power_cut(yard: &Yard<'_>, coming: &Coming, power: Option<Power>) -> Result<PowerCut, RoutingError> {
    let mut switches = Switches::default();
    let with_power = yard.finish(yard.start(coming)?, coming, &mut switches)?;
    let places = yard.site.protected.len();
    let stands_anyway = with_power.stands() > Duration::ZERO;
    let mut dark = yard.start(coming)?;
    dark.router.power(false, &mut Unwatched);
    let all_storm = yard.finish(dark, coming, &mut Unwatched)?;
    // what the whole storm without power does not reach, no cut in the middle of it does
    let worth_trying = !stands_anyway && all_storm.stands() > Duration::ZERO
        || all_storm.protected.iter().zip(&with_power.protected).any(|(dark, lit)| dark.2.is_some() && lit.2.is_none());
    let mut stands: Option<(f64, f64)> = None;
    let mut reached: Vec<Option<f64>> = vec![None; places];
    let mut follower = yard.start(coming)?;
    let moments = if worth_trying { moments(coming, &switches) } else { Vec::new() };
    for at_s in moments {
        follower.until(at_s, &mut Unwatched)?;
        let mut dark = follower.clone();
        dark.router.power(false, &mut Unwatched);
        // from then on: until it stands and has reached what it reaches
        let already: Vec<bool> = (0..places).map(|place| yard.reached_s(&dark.router, place).is_some()).collect();
        let first = yard.first_stood_s(&dark.router);
        dark.until(coming.timeline.last_ramp_s(), &mut Unwatched)?;
        let after = yard.first_stood_s(&dark.router).filter(|_| !stands_anyway && first.is_none());
        if let Some(after) = after.map(|found| found - at_s)
            && stands.is_none_or(|(_, known)| after < known)
        {
            stands = Some((at_s, after));
        }
        for (place, known) in reached.iter_mut().enumerate() {
            if already.get(place) == Some(&false)
                && let Some(after) = yard.reached_s(&dark.router, place).map(|found| found - at_s)
                && known.is_none_or(|known| after < known)
            {
                *known = Some(after);
            }
        }
    }
    Ok(PowerCut {
        cut_at: Duration::from_s(stands.map_or(0.0, |(at_s, _)| at_s)),
        stands_anyway,
        stands_after: stands.map(|(_, after)| Duration::from_s(after)),
        protected: yard
            .site
            .protected
            .iter()
            .zip(&reached)
            .map(|(place, after)| (place.name.clone(), place.level, after.map(Duration::from_s)))
            .collect(),
        all_storm,
        battery: battery(yard, coming, power, &with_power)?,
    })
}

/// How often it is looked whether the dark yard is at rest.
const DARK_LOOK_S: f64 = 600.0;

/// When the power may go: just before the pump starts, when the basin is fullest, round the peak of the storm, and at
/// its beginning.
fn moments(coming: &Coming, switches: &Switches) -> Vec<f64> {
    let (peak_at, _) = coming.runoff.peak();
    let peak_s = peak_at.s();
    let mut starts: Vec<f64> = switches.lead.iter().filter(|(_, on)| *on).map(|(at_s, _)| *at_s).collect();
    starts.sort_by(|one, other| (one - peak_s).abs().total_cmp(&(other - peak_s).abs()));
    starts.truncate(MOMENTS);
    let burst_s = coming.blocks.iter().map(|block| block.duration.s()).fold(f64::INFINITY, f64::min).min(peak_s);
    starts.extend([
        0.0,
        (peak_s - 2.0 * burst_s).max(0.0),
        (peak_s - burst_s).max(0.0),
        (peak_s - 0.5 * burst_s).max(0.0),
    ]);
    starts.sort_by(f64::total_cmp);
    starts.dedup();
    starts
}

#[derive(Clone, Copy)]
struct RunTime {
    /// All in seconds.
    allowed: f64,
    ran: f64,
    on_since: Option<f64>,
    flat_at: Option<f64>,
}
impl Watch for RunTime {
    fn switched(&mut self, switch: Switch) {
        if switch.pump != 1 || self.flat_at.is_some() {
            return;
        }
        if switch.on {
            self.on_since = Some(switch.at_s);
        } else if let Some(since_s) = self.on_since.take() {
            self.add(since_s, switch.at_s);
        }
    }
}
impl RunTime {
    fn add(&mut self, since_s: f64, until_s: f64) {
        if self.ran + (until_s - since_s) >= self.allowed {
            self.flat_at = self.flat_at.or(Some(since_s + (self.allowed - self.ran)));
        }
        self.ran += until_s - since_s;
    }
}

/// So long before the battery is flat it is looked how much is left of it.
const SHORTLY_S: f64 = 5.0;

fn battery(
    yard: &Yard<'_>,
    coming: &Coming,
    power: Option<Power>,
    with_power: &StormOutcome,
) -> Result<Option<BatteryOutcome>, RoutingError> {
    let (Some(battery), Some(power)) = (yard.site.battery, power.filter(|power| power.w() > 0.0)) else {
        return Ok(None);
    };
    let allowed_s = battery.energy_j() / power.w();
    // a second pump is none of the battery's
    let mut alone = yard.clone();
    if let Some(station) = &mut alone.system.station {
        station.lag = None;
    }
    let mut run = RunTime { allowed: allowed_s, ran: 0.0, on_since: None, flat_at: None };
    let whole = if alone.system == yard.system { None } else { Some(alone.follow(coming)?) };
    let mut follower = alone.start(coming)?;
    follower.until_rest(Yard::latest_s(coming), DARK_LOOK_S, &mut run)?;
    if let Some(since_s) = run.on_since {
        run.add(since_s, follower.router.now_s());
    }
    let needed = whole.as_ref().unwrap_or(with_power).runs;
    let outcome = match run.flat_at {
        None => whole.unwrap_or_else(|| with_power.clone()),
        Some(flat_s) => {
            let mut follower = alone.start(coming)?;
            // shortly before, and then for what is left: two runs tell the same moment only to the error of their steps
            follower.until((flat_s - SHORTLY_S).max(0.0), &mut Unwatched)?;
            let left_s = allowed_s - follower.router.totals().lead_s;
            let runs_on = follower.router.running().lead && left_s > 0.0;
            follower.until(if runs_on { follower.router.now_s() + left_s } else { flat_s }, &mut Unwatched)?;
            follower.router.power(false, &mut Unwatched);
            alone.finish(follower, coming, &mut Unwatched)?
        }
    };
    Ok(Some(BatteryOutcome {
        without_stopping: Duration::from_s(allowed_s),
        needed,
        flat_at: run.flat_at.map(Duration::from_s),
        outcome,
    }))
}

impl PowerCut {
    /// What runs over the edge of the yard with no power, and from where: hollow, where to, how much.
    pub fn leaves_by(&self) -> Option<(&str, Option<&str>, Volume)> {
        let hollow = self.all_storm.hollows.iter().find(|hollow| hollow.spilled > Volume::ZERO)?;
        Some((&hollow.name, hollow.spills_to.as_deref(), hollow.spilled))
    }
    /// The basin's own lid, where water wells out of it with no power.
    pub fn wells_out(&self) -> Option<&HollowOutcome> {
        self.all_storm.hollows.iter().find(|hollow| hollow.name == BASIN && hollow.deepest > Length::ZERO)
    }
    /// Whether an edge was entered over which water could run off.
    pub fn edge_entered(&self) -> bool {
        self.all_storm.hollows.iter().any(|hollow| hollow.spills_at.is_some())
    }
}
