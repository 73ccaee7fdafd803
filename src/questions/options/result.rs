//! Trying all sets, and what comes of it.

use super::cost::Costing;
use super::error::OptionsError;
use super::lists::{Lists, UnusedPrice, lists, unused_prices};
use super::sites::{Places, Sites, read};
use super::spare::{Spare, pumped_share, spare};
use super::worth::{Holding, cents, judged, shown, to_spare, undominated};
use crate::basin::Plan;
use crate::design::side_by_side::side_by_side;
use crate::design::{NARROWER_THAN_OUTLET, NotFollowed, Phrase, STORM_STOPS, Trial, narrower_than_outlet, trial};
use crate::pump_selection::Pump;
use crate::quantity::{Duration, Length, UnitSystem};
use crate::site::{Files, Site};

/// A set that was tried.
#[derive(Clone, Debug, PartialEq)]
pub struct Tried {
    /// Its places in the lists: pump, pipe, basin, floats. The set as drawn has none where the lists leave it out.
    pub(super) places: Places,
    /// The pump.
    pub pump: String,
    /// The size of the runs.
    pub pipe: String,
    /// The basin.
    pub basin: Plan,
    /// Where the pump stops, above the floor.
    pub off: Length,
    /// Where it starts.
    pub on: Length,
    /// Whether it is the set as drawn.
    pub drawn: bool,
    /// Whether it is one of those asked for; the set as drawn is tried in any case.
    pub listed: bool,
    /// Why it cannot be built; none where it can.
    pub cannot: Option<String>,
    /// The stops of its design.
    pub stops: Vec<(&'static str, Phrase)>,
    /// That its pipe is smaller than the pump's outlet, where that is not so as drawn. A design is only cautioned by it, but
    /// no set is proposed that codes forbid.
    pub narrow: Option<Phrase>,
    /// What its materials that differ cost, where they have prices.
    pub materials: Option<f64>,
    /// What its energy costs over the years, where that is known.
    pub energy: Option<f64>,
    /// What it has to spare in the design storm.
    pub spare: Option<Spare>,
    /// The share of the peak inflow that the pumps bring, at most all of it.
    pub pumped_share: Option<f64>,
    /// How often each pump starts in an hour at the worst inflow.
    pub starts_per_hour: Option<f64>,
    /// The deepest water over a rim in the design storm.
    pub depth: Option<Length>,
    /// How long it stands.
    pub stands: Option<Duration>,
    /// Whether it stands for good.
    pub still_stands: bool,
    /// What it is judged by, each the less the better: the cost where there is one, the size of each part without a
    /// price, and last what it has to spare, turned round.
    pub judged: Vec<i64>,
    /// Its number among those worth choosing between, from 1.
    pub choice: Option<usize>,
}

impl Tried {
    /// Whether nothing stands against it.
    pub fn holds(&self) -> bool {
        self.cannot.is_none() && self.stops.is_empty() && self.narrow.is_none()
    }
    /// What stands against it, where it can be built.
    pub fn against(&self) -> impl Iterator<Item = (&'static str, &Phrase)> {
        let stops = self.stops.iter().map(|(id, message)| (*id, message));
        stops.chain(self.narrow.iter().map(|message| (NARROWER_THAN_OUTLET, message)))
    }
    /// Materials and energy together, where either is known.
    pub fn cost(&self) -> Option<f64> {
        match (self.materials, self.energy) {
            (Some(materials), Some(energy)) => Some(materials + energy),
            (one, other) => one.or(other),
        }
    }
}

/// What stands against sets, and against how many.
#[derive(Clone, Debug, PartialEq)]
pub struct Reason {
    /// The finding's name; `cannot-be-built` for what `check` refuses.
    pub id: &'static str,
    /// Against so many of the sets tried. A set may have several against it.
    pub sets: usize,
    /// What it says of the first of them.
    pub example: String,
}

/// What stands against every set that can be built, so that no choice among them cures it.
#[derive(Clone, Debug, PartialEq)]
pub struct InEverySet {
    /// The names of the findings.
    pub ids: Vec<&'static str>,
    /// How many sets have nothing else against them.
    pub would_hold: usize,
}

/// The answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Options {
    /// The site's title.
    pub title: String,
    /// The units it is printed in.
    pub units: UnitSystem,
    /// What was tried with one another.
    pub lists: Lists,
    /// How the cost is reckoned.
    pub costing: Costing,
    /// The sets, in the order of the lists; the set as drawn last where it is none of them.
    pub tried: Vec<Tried>,
    /// How many were asked for.
    pub asked: usize,
    /// How many of those hold.
    pub holding: usize,
    /// What stands against the others, the most frequent first.
    pub reasons: Vec<Reason>,
    /// What stands against each of them alike; none where a set is free of it, or where it is how the goal is missed:
    /// there the nearest set says more.
    pub in_every_set: Option<InEverySet>,
    /// Those worth choosing between, best first, by their places in `tried`.
    pub choices: Vec<usize>,
    /// Which of the choices are shown.
    pub shown: Vec<usize>,
    /// The set as drawn, by its place in `tried`.
    pub drawn: usize,
    /// Where none holds, that with the fewest stops, and of these the nearest to the goal.
    pub nearest: Option<usize>,
    /// Why water was not followed, where it was not.
    pub not_followed: Option<NotFollowed>,
    /// The size of the riser, which stays as drawn; none where the riser has no length.
    pub riser: Option<String>,
    /// What of the drawn basin was carried over to others.
    pub carried: Vec<&'static str>,
    /// Prices of the file that belong to nothing that was tried.
    pub unused_prices: Vec<UnusedPrice>,
}

/// Tries the sets of a site file, over so many years, with the report in some units.
///
/// # Errors
/// The text is no site, has no goal, lists what is not made or too much, or cannot be worked out as drawn.
pub fn options(text: &str, files: &dyn Files, units: Option<UnitSystem>, years: u32) -> Result<Options, OptionsError> {
    let site = crate::site::read(text, files).site.ok_or(OptionsError::NoSite)?;
    let goal = &site.goal;
    if goal.standing_water.is_none() && goal.clear_within.is_none() && goal.flow.is_none() {
        return Err(OptionsError::NoGoal);
    }
    let lists = lists(&site)?;
    let sites = Sites::new(text, files, &site, &lists)?;
    let as_drawn = trial(&site)?;
    let shown_in = units.unwrap_or(site.units);
    let costing = Costing::new(&Site { units: shown_in, ..site.clone() }, &as_drawn.storm, &lists, years);
    let places = sites.all();
    let mut tried = side_by_side(&places, |places| one(&sites, &lists, &costing, *places));
    if pump_of(&site, &as_drawn).is_some_and(|pump| narrower_than_outlet(&site, pump).is_some()) {
        // who drew it so has it from somewhere; the report cautions
        for set in &mut tried {
            set.narrow = None;
        }
    }
    let is_drawn = |set: &Tried| {
        let at = set.places;
        set.pump == as_drawn.pump.name
            && lists.pipes.get(at[1]).is_some_and(|pipe| pipe.drawn)
            && lists.basins.get(at[2]).is_some_and(|basin| basin.drawn)
            && lists.floats.get(at[3]).is_some_and(|floats| floats.drawn)
    };
    let asked = tried.len();
    let drawn = tried.iter().position(is_drawn).unwrap_or(asked);
    if drawn == asked {
        tried.push(drawn_beside(&site, &as_drawn));
    }
    if let Some(drawn) = tried.get_mut(drawn) {
        drawn.drawn = true;
    }
    for set in tried.iter_mut().filter(|set| set.listed) {
        set.judged = judged(set, &lists, &costing);
    }
    let changes = |set: &Tried| {
        let at = set.places;
        usize::from(set.pump != as_drawn.pump.name)
            + usize::from(!lists.pipes.get(at[1]).is_some_and(|pipe| pipe.drawn))
            + usize::from(!lists.basins.get(at[2]).is_some_and(|basin| basin.drawn))
            + usize::from(!lists.floats.get(at[3]).is_some_and(|floats| floats.drawn))
    };
    let holding: Vec<Holding> = tried
        .iter()
        .enumerate()
        .filter(|(_, set)| set.listed && set.holds())
        .map(|(index, set)| (index, set.judged.clone(), changes(set)))
        .collect();
    let choices = undominated(&holding, costing.counts_money());
    for (number, index) in (1..).zip(&choices) {
        if let Some(set) = tried.get_mut(*index) {
            set.choice = Some(number);
        }
    }
    let reasons = reasons(tried.get(..asked).unwrap_or_default(), shown_in);
    let in_every_set = in_every_set(tried.get(..asked).unwrap_or_default());
    let nearest = if holding.is_empty() { nearest(&tried) } else { None };
    let carried = carried(&site, &lists);
    let unused_prices = unused_prices(&site, &lists, shown_in);
    Ok(Options {
        title: site.title,
        units: shown_in,
        holding: holding.len(),
        reasons,
        in_every_set,
        shown: shown(choices.len()).into_iter().filter_map(|row| choices.get(row).copied()).collect(),
        choices,
        drawn,
        nearest,
        riser: (site.discharge.riser.length > Length::ZERO && lists.pipes.len() > 1)
            .then(|| site.discharge.riser.pipe.size.clone()),
        not_followed: as_drawn.in_storm.err(),
        carried,
        unused_prices,
        asked,
        tried,
        costing,
        lists,
    })
}

fn one(sites: &Sites<'_>, lists: &Lists, costing: &Costing, places: Places) -> Tried {
    let [pump, pipe, basin, floats] = places;
    let mut set = Tried {
        places,
        pump: lists.pumps.get(pump).map(|pump| pump.name.clone()).unwrap_or_default(),
        pipe: lists.pipes.get(pipe).map(|pipe| pipe.size.clone()).unwrap_or_default(),
        basin: lists.basins.get(basin).map_or(Plan::Round(Length::ZERO), |basin| basin.plan),
        off: lists.floats.get(floats).map_or(Length::ZERO, |floats| floats.off),
        on: lists.floats.get(floats).map_or(Length::ZERO, |floats| floats.on),
        drawn: false,
        listed: true,
        cannot: None,
        stops: Vec::new(),
        narrow: None,
        materials: costing.materials([
            lists.pumps.get(pump).and_then(|pump| pump.price),
            lists.pipes.get(pipe).and_then(|pipe| pipe.price),
            lists.basins.get(basin).and_then(|basin| basin.price),
        ]),
        energy: None,
        spare: None,
        pumped_share: None,
        starts_per_hour: None,
        depth: None,
        stands: None,
        still_stands: false,
        judged: Vec::new(),
        choice: None,
    };
    let tried = sites.site(places).and_then(|site| match trial(&site) {
        Ok(trial) => Ok((site, trial)),
        Err(error) => Err(error.to_string()),
    });
    match tried {
        Ok((site, trial)) => {
            set.narrow = pump_of(&site, &trial).and_then(|pump| narrower_than_outlet(&site, pump));
            keep(&mut set, &site, &trial);
            set.energy = costing.energy(&site, &trial);
        }
        Err(why) => set.cannot = Some(why),
    }
    set
}

/// The pump that a trial was made with.
fn pump_of<'a>(site: &'a Site, trial: &Trial) -> Option<&'a Pump> {
    site.pumps.iter().find(|pump| pump.name == trial.pump.name)
}

/// Keeps of a trial what is shown.
fn keep(set: &mut Tried, site: &Site, trial: &Trial) {
    set.stops = trial.stops.iter().map(|stop| (stop.id, stop.message.clone())).collect();
    set.spare = spare(site, trial);
    set.pumped_share = pumped_share(trial);
    set.starts_per_hour = trial.pump.worst_starts_each();
    if let Ok(storm) = &trial.in_storm {
        set.depth = Some(storm.depth());
        set.stands = Some(storm.stands());
        set.still_stands = storm.still_stands();
    }
}

/// The set as drawn, where the lists leave it out: for comparison alone.
fn drawn_beside(site: &Site, trial: &Trial) -> Tried {
    let mut sizes: Vec<&str> = site.discharge.runs.iter().map(|run| run.pipe.size.as_str()).collect();
    sizes.dedup();
    let mut set = Tried {
        places: [usize::MAX; 4],
        pump: trial.pump.name.clone(),
        pipe: sizes.join(" + "),
        basin: site.basin.plan,
        off: site.basin.off,
        on: site.basin.on,
        drawn: true,
        listed: false,
        cannot: None,
        stops: Vec::new(),
        narrow: None,
        materials: None,
        energy: None,
        spare: None,
        pumped_share: None,
        starts_per_hour: None,
        depth: None,
        stands: None,
        still_stands: false,
        judged: Vec::new(),
        choice: None,
    };
    keep(&mut set, site, trial);
    set
}

fn reasons(tried: &[Tried], units: UnitSystem) -> Vec<Reason> {
    let mut reasons: Vec<Reason> = Vec::new();
    let mut count =
        |id: &'static str, example: &dyn Fn() -> String| match reasons.iter_mut().find(|known| known.id == id) {
            Some(known) => known.sets += 1,
            None => reasons.push(Reason { id, sets: 1, example: example() }),
        };
    for set in tried {
        if let Some(why) = &set.cannot {
            count("cannot-be-built", &|| why.clone());
        }
        let mut seen: Vec<&str> = Vec::new();
        for (id, message) in set.against() {
            if !seen.contains(&id) {
                seen.push(id);
                count(id, &|| message.say(units));
            }
        }
    }
    reasons.sort_by(|one, other| other.sets.cmp(&one.sets).then(one.id.cmp(other.id)));
    reasons
}

/// What stands against every set that can be built, but how the goal is missed in the storm.
fn in_every_set(tried: &[Tried]) -> Option<InEverySet> {
    let mut sets = tried.iter().filter(|set| set.cannot.is_none());
    let first = sets.next()?;
    let against = |set: &Tried, id: &str| set.against().any(|(other, _)| other == id);
    let mut ids: Vec<&'static str> = first.against().map(|(id, _)| id).collect();
    ids.dedup();
    let mut others = 0;
    for set in sets {
        ids.retain(|id| against(set, id));
        others += 1;
    }
    ids.retain(|id| !STORM_STOPS.contains(id));
    // of a single set nothing is chosen
    if ids.is_empty() || others == 0 {
        return None;
    }
    let but_for_it = |set: &&Tried| set.cannot.is_none() && set.against().all(|(id, _)| ids.contains(&id));
    Some(InEverySet { would_hold: tried.iter().filter(but_for_it).count(), ids })
}

/// That with the fewest stops; of these the nearest to the goal, then the cheapest, then the first.
fn nearest(tried: &[Tried]) -> Option<usize> {
    tried
        .iter()
        .enumerate()
        .filter(|(_, set)| set.cannot.is_none())
        .min_by(|(_, one), (_, other)| {
            let overdrawn = |set: &Tried| -to_spare(set);
            let money = |set: &Tried| set.cost().map_or(i64::MAX, cents);
            one.against()
                .count()
                .cmp(&other.against().count())
                .then(overdrawn(one).total_cmp(&overdrawn(other)))
                .then(money(one).cmp(&money(other)))
        })
        .map(|(index, _)| index)
}

/// What of the drawn basin goes over to another in a way that somebody should know.
fn carried(site: &Site, lists: &Lists) -> Vec<&'static str> {
    let mut carried = Vec::new();
    if lists.basins.iter().all(|basin| basin.drawn) {
        return carried;
    }
    carried.push("Another basin has rim, floor, inlet and wall as drawn");
    if site.basin.weight.is_some() {
        carried.push("its weight is that entered, in proportion to its surface (common practice, no source)");
    }
    if site.ballast.flange.is_some() || site.ballast.collar.is_some_and(|collar| collar.ring.is_some()) {
        carried.push("flange and collar stand out as far as drawn");
    }
    if site.ballast.collar.is_some_and(|collar| collar.ring.is_none()) {
        carried.push("the collar has the volume entered");
    }
    carried
}

/// The site that a text is saved as, judged once more.
pub(super) fn again(text: &str, files: &dyn Files, drawn: &Site) -> Result<Trial, OptionsError> {
    let site = read(text, files, drawn).map_err(OptionsError::NotRewritten)?;
    Ok(trial(&site)?)
}
