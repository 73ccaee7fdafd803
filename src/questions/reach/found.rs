//! The answer: every pump in every size, or at every lift.

use super::asked::{Job, JobAsked, PipesAsked, ReachAsked, TakenFrom};
use super::error::ReachError;
use super::extent::{Extent, Margin};
use super::lifts::{raised, raises};
use super::trying::{Grid, Sought, Trying};
use crate::catalog::{self, PipeEntry};
use crate::design::side_by_side::side_by_side;
use crate::design::{
    Brought, Delivered, FittingsStay, NotFollowed, Phrase, WaterLevel, basis, on_the_line, trial, with_pipe, with_pump,
};
use crate::quantity::{Flow, Head, Length, UnitSystem};
use crate::site::{FrostPlan, Site};
use std::sync::Mutex;

/// One pump in one pipe at one lift.
#[derive(Clone, Debug, PartialEq)]
pub struct Case {
    /// The pump.
    pub pump: String,
    /// The pipe's material.
    pub material: String,
    /// The label of its size; as drawn, of the narrowest run.
    pub size: String,
    /// Whether the pipe is that of the site.
    pub pipe_as_drawn: bool,
    /// The lift from the off level to the highest point.
    pub lift: Head,
    /// Whether the lift is that of the site.
    pub lift_as_drawn: bool,
    /// The outlet's height over the off level, where lifts are put beside each other: a lift goes to the high point of the
    /// line where that stands higher, and a high point moves by less than the outlet does.
    pub outlet: Option<Length>,
    /// How far the job is done.
    pub extent: Extent,
    /// What stands against a longer run, where that is not the job itself: the goal, the flow.
    pub ended_by: Option<Phrase>,
    /// The shortest length found from which on the goal hangs on where in its cycle the pump is when the burst comes; of the
    /// site as drawn alone, and none where it does not.
    pub hangs_from: Option<Length>,
    /// The same with the pump worn, where that was looked at: no further than new.
    pub worn: Option<Extent>,
    /// What comes out of the run as drawn, water half-way between the floats; none where there is no run to compare with,
    /// or only one water level.
    pub half_way: Option<Delivered>,
    /// The same at the off level.
    pub off: Option<Delivered>,
    /// The run as drawn beside the longest; none where there is no run.
    pub margin: Option<Margin>,
    /// Whether the job is done through the run as drawn.
    pub done_as_drawn: Option<bool>,
}

/// The answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Reach {
    /// The site's title.
    pub title: String,
    /// The units it is printed in.
    pub units: UnitSystem,
    /// The job.
    pub job: Job,
    /// Where it comes from.
    pub taken_from: TakenFrom,
    /// The run as drawn, all runs together; none where only the reach was asked for.
    pub run: Option<Length>,
    /// How many runs there are; they are made longer alike.
    pub runs: usize,
    /// Whether a check valve could be put in: there is none, and the line is not to run back against frost.
    pub valve_may_help: bool,
    /// Whether the storm was followed over ground that was taken for want of a low spot.
    pub ground_taken: bool,
    /// The pumps whose curve has two points alone.
    pub two_points: Vec<String>,
    /// The size of the riser, which stays as drawn; none where there is none.
    pub riser: Option<String>,
    /// What becomes of the fittings.
    pub fittings: FittingsStay,
    /// The share of its head that a worn pump has lost.
    pub wear: f64,
    /// The pump that the design is made with.
    pub pump: String,
    /// The longest run tried.
    pub tried: Length,
    /// Whether lifts are put beside each other.
    pub by_lift: bool,
    /// Whether the site was made of a handful of numbers.
    pub quick: bool,
    /// Every case; a pump's together, the design's first.
    pub cases: Vec<Case>,
    /// Which of them is the site as drawn with the design's pump.
    pub as_drawn: Option<usize>,
}

impl Reach {
    /// The site as drawn with the pump that the design is made with.
    pub fn drawn(&self) -> Option<&Case> {
        self.as_drawn.and_then(|index| self.cases.get(index))
    }
    /// Whether the run as drawn is within reach; where there is none, whether anything is.
    pub fn within(&self) -> bool {
        match self.drawn().and_then(|case| case.done_as_drawn) {
            Some(done) => done,
            None if self.run.is_some() => self.cases.iter().any(|case| case.done_as_drawn == Some(true)),
            None => self.cases.iter().any(|case| case.extent.longest().is_some()),
        }
    }
}

/// Sizes below and above the one drawn that are shown.
const SIZES_BELOW: usize = 2;
const SIZES_ABOVE: usize = 3;
/// Where there is no size to start from, those between these are shown.
pub(super) const SMALLEST_IN: f64 = 0.99;
const LARGEST_IN: f64 = 4.01;

/// What is looked at: a pump, a pipe (none for the one drawn), by how much the outlet is raised.
#[derive(Clone, Debug)]
struct Look {
    pump: String,
    entry: Option<&'static PipeEntry>,
    raise: Length,
}

/// How long a run the pumps of a site do a job through.
///
/// # Errors
/// There is no such pump, no job, or the job cannot be judged.
pub fn reach(site: &Site, asked: &ReachAsked) -> Result<Reach, ReachError> {
    let asked = &ReachAsked { pump: asked.pump.as_ref().map(|name| as_in_the_file(site, name)), ..asked.clone() };
    if let Some(name) = &asked.pump
        && !site.pumps.iter().any(|pump| &pump.name == name)
    {
        let known = site.pumps.iter().map(|pump| pump.name.clone()).collect();
        return Err(ReachError::NoSuchPump { asked: name.clone(), known });
    }
    let (job, taken_from) = job(site, asked)?;
    let of_design = match &asked.pump {
        Some(name) => name.clone(),
        None => basis(site)?.pump.name,
    };
    if job == Job::Goal {
        let with = with_pump(site, &of_design).unwrap_or_else(|| site.clone());
        if let Err(
            why @ (NotFollowed::NoRain | NotFollowed::OneIntensity | NotFollowed::Rain(_) | NotFollowed::Routing(_)),
        ) = trial(&with)?.in_storm
        {
            return Err(ReachError::NotFollowed(why));
        }
    }
    let drawn = site.discharge.length();
    let grid = Grid::new(site.units, drawn);
    let brought = matches!(job, Job::Goal | Job::Everything).then(|| Brought::to(site).ok()).flatten();
    let setting = Setting { site, asked, job, grid, run: (!asked.no_run).then_some(drawn), brought };
    let looks = looks(site, asked, &of_design);
    let own =
        looks.iter().position(|look| look.pump == of_design && look.entry.is_none() && look.raise == Length::ZERO);
    let lines: Vec<Line<'_>> = looks.iter().map(|look| setting.line(look)).collect();
    // where the job just ends with one pump in one pipe the flow is nearly that of all others
    let own_line = own.and_then(|index| lines.get(index));
    let first = own_line.map_or_else(Vec::new, |line| {
        // by where it stands in its cycle a worn pump may do what it does not as new: that is luck
        let new_does = || setting.run.is_none_or(|run| line.new.done_at(run) || !line.new.within_curve(run));
        let states: Vec<(&Trying<'_>, bool)> = line.states().collect();
        side_by_side(&states, |(trying, worn)| trying.sought(setting.run, None, || !worn || new_does()))
    });
    let flow_at_end = own_line.zip(first.first()).and_then(|(line, sought)| line.new.flow_at_end(sought));
    let flow_at_end = flow_at_end.filter(|_| job == Job::Goal);
    let work: Vec<Work<'_>> = lines
        .iter()
        .enumerate()
        .flat_map(|(index, line)| {
            let known = first.iter().filter(|_| own == Some(index)).cloned();
            let settle = line.states().zip(known).map(|((trying, worn), known)| Work::Settle(trying, worn, known));
            let look = (own != Some(index)).then_some(Work::Look(line));
            settle.chain(look).collect::<Vec<_>>()
        })
        .collect();
    let hangs_from = |trying: &Trying<'_>, extent: &Extent| {
        let longest = extent.longest().filter(|_| !asked.by_lift)?;
        trying.hangs_from(setting.run, longest)
    };
    let done = side_by_side(&work, |work| match work {
        Work::Settle(trying, worn, known) => {
            let (extent, as_drawn) = trying.settled(known.clone());
            let asks = !*worn && as_drawn != Some(false);
            let hangs_from = asks.then(|| hangs_from(trying, &extent)).flatten();
            vec![Ended { extent, as_drawn, hangs_from }]
        }
        Work::Look(line) => {
            let mut does = true;
            let mut ended = Vec::with_capacity(2);
            for (trying, _) in line.states() {
                let (extent, as_drawn) = trying.extent(setting.run, flow_at_end, || does);
                does = as_drawn != Some(false) || setting.run.is_some_and(|run| !trying.within_curve(run));
                ended.push(Ended { extent, as_drawn, hangs_from: None });
            }
            ended
        }
    });
    let mut ended = done.into_iter().flatten();
    let mut cases = Vec::with_capacity(looks.len());
    for (look, line) in looks.iter().zip(&lines) {
        let Some(new) = ended.next() else { break };
        let worn = line.worn.as_ref().and_then(|_| ended.next());
        cases.push(setting.case(look, line, new, worn.map(|worn| worn.extent)));
    }
    Ok(Reach {
        title: site.title.clone(),
        units: site.units,
        job,
        taken_from,
        run: setting.run,
        runs: site.discharge.runs.len(),
        valve_may_help: site.discharge.check_valve.is_none()
            && site.frost.as_ref().is_none_or(|frost| frost.plan != Some(FrostPlan::DrainsBack)),
        ground_taken: matches!(job, Job::Goal | Job::Everything) && site.low_spots.is_empty(),
        two_points: site
            .pumps
            .iter()
            .filter(|pump| pump.curve.points().count() == 2 && cases.iter().any(|case| case.pump == pump.name))
            .map(|pump| pump.name.clone())
            .collect(),
        riser: (!asked.quick).then(|| site.discharge.riser.pipe.size.clone()),
        fittings: asked.fittings,
        wear: site.pumping.wear,
        pump: of_design,
        tried: grid.length(grid.bound),
        by_lift: asked.by_lift,
        quick: asked.quick,
        cases,
        as_drawn: own,
    })
}

/// The name of a pump as the file writes it, where small and capital letters are all that differs.
fn as_in_the_file(site: &Site, name: &str) -> String {
    let mut alike =
        site.pumps.iter().map(|pump| &pump.name).filter(|known| known.to_lowercase() == name.to_lowercase());
    match (site.pumps.iter().any(|pump| pump.name == name), alike.next(), alike.next()) {
        (false, Some(one), None) => one.clone(),
        _ => name.to_owned(),
    }
}

/// Whether the file has a goal that the storm is judged by.
fn has_goal(site: &Site) -> bool {
    site.goal.standing_water.is_some() || site.goal.clear_within.is_some() || !site.protected.is_empty()
}

fn job(site: &Site, asked: &ReachAsked) -> Result<(Job, TakenFrom), ReachError> {
    if asked.flow.is_some_and(|flow| flow <= Flow::ZERO) {
        return Err(ReachError::FlowOfNothing);
    }
    let beside = |job: Job| match asked.flow {
        Some(_) => Err(ReachError::FlowBeside { job: job.name() }),
        None => Ok((job, TakenFrom::Asked)),
    };
    match (asked.job, asked.flow) {
        (Some(JobAsked::Goal), _) if !has_goal(site) => Err(ReachError::NoGoal),
        (Some(JobAsked::Goal), _) => beside(Job::Goal),
        (Some(JobAsked::Scour), _) => beside(Job::Scour),
        (Some(JobAsked::Everything), _) => beside(Job::Everything),
        (_, Some(flow)) => Ok((Job::Flow(flow), TakenFrom::Asked)),
        (Some(JobAsked::Flow), None) => {
            site.goal.flow.map(|flow| (Job::Flow(flow), TakenFrom::Asked)).ok_or(ReachError::NoFlow)
        }
        (None, None) if has_goal(site) && !site.catchments.is_empty() => Ok((Job::Goal, TakenFrom::File)),
        (None, None) => site.goal.flow.map(|flow| (Job::Flow(flow), TakenFrom::FlowOfFile)).ok_or(ReachError::NoJob),
    }
}

/// The pipes shown beside the one drawn: some sizes below it, and some above.
fn beside_drawn(site: &Site) -> (Vec<&'static PipeEntry>, Vec<&'static PipeEntry>) {
    let narrowest = site.discharge.runs.iter().map(|run| &run.pipe).min_by(|a, b| a.bore.m().total_cmp(&b.bore.m()));
    let Some(pipe) = narrowest else { return (Vec::new(), Vec::new()) };
    let in_sight =
        |entry: &&PipeEntry| catalog::nominal_as_length(&entry.pipe.size).is_none_or(|size| size.inch() >= SMALLEST_IN);
    let (mut below, mut above) = (Vec::new(), Vec::new());
    let mut next = catalog::next_smaller(pipe);
    while let Some(entry) = next.filter(in_sight)
        && below.len() < SIZES_BELOW
    {
        below.push(entry);
        next = catalog::next_smaller(&entry.pipe);
    }
    below.reverse();
    let mut next = catalog::next_larger(pipe);
    while let Some(entry) = next
        && above.len() < SIZES_ABOVE
    {
        above.push(entry);
        next = catalog::next_larger(&entry.pipe);
    }
    (below, above)
}

/// The usual sizes of the material of the first run.
fn usual_sizes(site: &Site) -> Vec<&'static PipeEntry> {
    let Some(run) = site.discharge.runs.first() else { return Vec::new() };
    let material = &run.pipe.material;
    let made = catalog::pipe_sizes(material).into_iter().filter_map(|size| catalog::pipe(material, size).ok());
    let usual = |entry: &&PipeEntry| {
        let size = catalog::nominal_as_length(&entry.pipe.size);
        size.is_some_and(|size| (SMALLEST_IN..=LARGEST_IN).contains(&size.inch()))
    };
    made.filter(usual).collect()
}

/// All that is looked at, in the order of the table.
fn looks(site: &Site, asked: &ReachAsked, of_design: &str) -> Vec<Look> {
    let names = std::iter::once(of_design)
        .chain(site.pumps.iter().map(|pump| pump.name.as_str()).filter(|name| *name != of_design))
        .filter(|name| (asked.pump.is_none() && !asked.by_lift) || *name == of_design);
    let look = |pump: &str, entry, raise| Look { pump: pump.to_owned(), entry, raise };
    if asked.by_lift {
        return raises(site).into_iter().map(|raise| look(of_design, None, raise)).collect();
    }
    let pipes: Vec<Option<&'static PipeEntry>> = match asked.pipes {
        PipesAsked::OnlyDrawn => vec![None],
        PipesAsked::AllSizes => usual_sizes(site).into_iter().map(Some).collect(),
        PipesAsked::AroundDrawn => {
            let (below, above) = beside_drawn(site);
            below.into_iter().map(Some).chain([None]).chain(above.into_iter().map(Some)).collect()
        }
    };
    names.flat_map(|name| pipes.iter().map(move |entry| look(name, *entry, Length::ZERO))).collect()
}

struct Setting<'a> {
    site: &'a Site,
    asked: &'a ReachAsked,
    job: Job,
    grid: Grid,
    run: Option<Length>,
    /// What rain and groundwater bring: the same for every pump, pipe, length and lift.
    brought: Option<Brought>,
}

/// What is looked at, made ready.
struct Line<'a> {
    new: Trying<'a>,
    /// With the pump worn, where that is looked at.
    worn: Option<Trying<'a>>,
}

impl<'a> Line<'a> {
    /// The pump as new, then as worn, and which of the two it is.
    fn states(&self) -> impl Iterator<Item = (&Trying<'a>, bool)> {
        std::iter::once((&self.new, false)).chain(self.worn.as_ref().map(|worn| (worn, true)))
    }
}

/// A part of the work.
enum Work<'a> {
    /// The site as drawn, whose end is sought: the pump, whether it is worn, and what was found.
    Settle(&'a Trying<'a>, bool, Sought),
    /// Another line, as new and worn.
    Look(&'a Line<'a>),
}

/// How far a job is done, whether it is as drawn, and from where on its goal hangs on the pump's cycle.
struct Ended {
    extent: Extent,
    as_drawn: Option<bool>,
    hangs_from: Option<Length>,
}

impl Setting<'_> {
    fn line(&self, look: &Look) -> Line<'_> {
        let mut site = with_pump(self.site, &look.pump).unwrap_or_else(|| self.site.clone());
        if let Job::Flow(flow) = self.job {
            site.goal.flow = Some(flow);
        }
        if let Some(entry) = look.entry {
            site = with_pipe(&site, entry);
            if self.asked.quick {
                site.discharge.riser.pipe = entry.pipe.clone();
            }
        }
        if look.raise != Length::ZERO {
            site = raised(&site, look.raise);
        }
        let trying = |site| Trying {
            site,
            pump: look.pump.clone(),
            job: self.job,
            fittings: self.asked.fittings,
            grid: self.grid,
            brought: self.brought.as_ref(),
            against: Mutex::default(),
            seen: Mutex::default(),
        };
        let worn = (look.entry.is_none() || self.job != Job::Everything && self.job != Job::Goal).then(|| {
            let mut site = site.clone();
            for pump in &mut site.pumps {
                pump.curve = pump.curve.worn(site.pumping.wear);
            }
            trying(site)
        });
        Line { new: trying(site), worn }
    }
    fn case(
        &self,
        look: &Look,
        Line { new, .. }: &Line<'_>,
        Ended { extent, as_drawn: done_as_drawn, hangs_from }: Ended,
        worn: Option<Extent>,
    ) -> Case {
        let site = &new.site;
        let drawn = site.discharge.runs.iter().min_by(|a, b| a.pipe.bore.m().total_cmp(&b.pipe.bore.m()));
        let (material, size) =
            drawn.map_or_else(Default::default, |run| (run.pipe.material.clone(), run.pipe.size.clone()));
        let delivered = |at| self.run.map(|run| new.delivered(run, at));
        Case {
            pump: look.pump.clone(),
            material,
            size,
            pipe_as_drawn: look.entry.is_none(),
            lift: on_the_line(site, &look.pump, WaterLevel::Off).map_or(Head::ZERO, |found| found.lift),
            lift_as_drawn: look.raise == Length::ZERO,
            outlet: self.asked.by_lift.then(|| site.discharge.outlet.level - site.basin.level(site.basin.off)),
            // by where it stands in its cycle it may reach further by a little; it is new before it is worn
            worn: worn.map(|worn| if worn.longest() > extent.longest() { extent.clone() } else { worn }),
            half_way: delivered(WaterLevel::Mean).filter(|_| !self.asked.quick),
            off: delivered(WaterLevel::Off),
            margin: self.run.map(|run| margin(run, &extent, done_as_drawn == Some(true))),
            done_as_drawn,
            ended_by: new.ended_by(&extent),
            hangs_from,
            extent,
        }
    }
}

fn margin(run: Length, extent: &Extent, done: bool) -> Margin {
    match extent {
        Extent::Never { .. } => Margin::Never,
        Extent::UpTo { longest, .. } if done => Margin::Spare((*longest - run).max(Length::ZERO)),
        Extent::AnyLength { tried, .. } if done => Margin::AtLeast((*tried - run).max(Length::ZERO)),
        Extent::UpTo { longest, .. } if *longest < run => Margin::Short(run - *longest),
        Extent::UpTo { .. } | Extent::AnyLength { .. } => Margin::TooShort,
    }
}
