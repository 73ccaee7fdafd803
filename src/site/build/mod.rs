//! From the tree of values to the site, with what is left out looked up or chosen, and said so.

mod ballast;
mod basin;
mod catchment;
mod crew;
mod discharge;
mod drains;
mod fittings;
mod frost;
mod ground;
mod inlets;
mod limits;
mod margins;
mod measured;
mod options;
mod pump;
mod pumping;
mod rain;
mod soil;
mod supply;
mod takeoff;
mod town;
mod trench;
mod unknown_pipe;
mod way_off;
mod yard;

pub(super) use basin::levels_for_heights;
pub(super) use discharge::END_SLACK;
pub(super) use drains::inverts;
pub(super) use options::prices;
pub(super) use takeoff::terms;

use super::checks;
use super::problem::{Problem, ProblemKind};
use super::tree::{Node, Place};
use super::walk::Reader;
use super::{Assumption, Describes, Files, Goal, Site};
use crate::quantity::{Amount, Length, Measure, Temperature, UnitSystem};

/// Spring groundwater.
pub(crate) const WATER_TEMPERATURE: Temperature = Temperature::from_fahrenheit(50.0);

impl Reader<'_> {
    /// Keeps something that was chosen or looked up.
    pub(super) fn assume(&mut self, what: impl Into<String>, value: Amount, why: impl Into<String>) {
        self.assumptions.push(Assumption { what: what.into(), value, why: why.into() });
    }
    /// An error at a place.
    pub(super) fn error(
        &mut self,
        kind: ProblemKind,
        place: impl Into<Option<Place>>,
        message: String,
        label: &str,
        help: &str,
    ) {
        let problem = Problem::error(kind, place, message).label(label);
        self.say(if help.is_empty() { problem } else { problem.help(help) });
    }
    /// A length between two places that a message is about: small units up to an arm's length.
    pub(super) fn short(&self, length: Length) -> String {
        let small = length.abs() < Length::from_ft(2.0);
        let amount = if small { Amount::small(length) } else { Amount::of(length) };
        amount.show(self.units)
    }
    /// A quantity as the report would print it.
    pub(super) fn show<Q: Measure<f64>>(&self, quantity: Q) -> String {
        Amount::of(quantity).show(self.units)
    }
}

/// More of a kind than any yard has; many times more would only cost time.
pub(super) fn too_many(reader: &mut Reader<'_>, place: Place, what: &str, count: usize, most: usize) -> bool {
    if count <= most {
        return false;
    }
    let message = format!("there are {count} {what}, more than the {most} that are read");
    let problem = Problem::error(ProblemKind::OutOfRange, place, message).label("too many").help("is this one yard?");
    reader.say(problem);
    true
}

/// The most of each part of a drain tree; following the water takes the square of their number and more. More than any
/// yard has: common practice, no source.
const MOST_PARTS: usize = 100;
/// The most entries of a list that no work grows with more than in proportion; no yard has so many: common practice, no
/// source.
pub(super) const MOST_ENTRIES: usize = 200;

/// Whether a drain tree has more parts than any yard, saying so.
fn too_many_parts(reader: &mut Reader<'_>, root: &Node) -> bool {
    let tree = [("inlet", "inlets"), ("drain", "drains"), ("low_spot", "low spots"), ("inflow", "inflows")];
    let tree = tree.map(|(key, what)| (key, what, MOST_PARTS));
    tree.into_iter().chain([("protect", "places to protect", MOST_ENTRIES)]).fold(false, |found, (key, what, most)| {
        found | too_many(reader, root.place_of(key), what, root.nodes(key).len(), most)
    })
}

/// The table of a name, or an empty one.
fn table<'n>(root: &'n Node, name: &str, empty: &'n Node) -> &'n Node {
    root.node(name).unwrap_or(empty)
}

/// Builds the site. Nothing where something is missing; all that is wrong has then been said.
pub(super) fn site(reader: &mut Reader<'_>, root: &Node, files: &dyn Files) -> Option<Site> {
    let empty = |name: &str| {
        let keys = super::keys::at_path([name]).and_then(super::keys::Key::keys).unwrap_or(&[]);
        Node::new(name, keys, root.place.clone())
    };
    reader.units = if root.words("units") == Some("metric") { UnitSystem::Metric } else { UnitSystem::Us };
    format(reader, root);
    let (no_goal, no_groundwater, no_limits) = (empty("goal"), empty("groundwater"), empty("limits"));
    let (no_pumping, no_water) = (empty("pumping"), empty("water"));
    let goal = table(root, "goal", &no_goal);
    let goal_node = goal;
    let goal = Goal {
        return_period: goal.quantity("return_period"),
        standing_water: goal.quantity("standing_water"),
        clear_within: goal.quantity("clear_within"),
        flow: goal.quantity("flow"),
    };
    let rain = rain::rain(reader, root, goal_node, files);
    let soil = soil::soil(reader, root);
    let catchments = catchment::catchments(reader, root, soil.as_ref(), rain.as_ref());
    let inflows = yard::inflows(reader, root);
    if too_many_parts(reader, root) {
        return None;
    }
    let low_spots = yard::low_spots(reader, root);
    let inlets = inlets::inlets(reader, root);
    let drains = drains::drains(reader, root);
    let basin = root.node("basin").and_then(|node| basin::basin(reader, node));
    let ballast = ballast::ballast(reader, root, basin.as_ref());
    let measured = measured::measured(reader, root, basin.as_ref());
    let groundwater =
        ground::groundwater(reader, table(root, "groundwater", &no_groundwater), root, soil.as_ref(), &measured);
    let pumps = pump::pumps(reader, root);
    let pumping = pumping::pumping(reader, root, table(root, "pumping", &no_pumping));
    let pumps_installed = pumping.as_ref().map_or(1, |pumping| pumping.count);
    let discharge = root.node("discharge").and_then(|node| discharge::discharge(reader, node, pumps_installed));
    let way_off = way_off::way_off(reader, root);
    let frost = root.node("discharge").map(|node| frost::frost(reader, node));
    let supply = supply::supply(reader, root);
    let no_conditions = empty("conditions");
    let limits = limits::limits(table(root, "limits", &no_limits));
    let water = table(root, "water", &no_water);
    let water_temperature = water.quantity("temperature");
    if water_temperature.is_none() && !water.has("temperature") {
        reader.assume(
            "water temperature",
            Amount::of(WATER_TEMPERATURE),
            "spring groundwater; common practice, no source",
        );
    }
    let setups = crew::setups(reader, root);
    let crew = crew::crew(reader, root, &setups);
    let protected = yard::protected(root);
    let battery = yard::battery(reader, root);
    let to_choose_from = options::to_choose_from(reader, root);
    let takeoff = takeoff::terms(reader, root.node("takeoff"));
    checks::names(reader, root);
    checks::levels(reader, root);
    checks::drains(reader, root);
    checks::groundwater(reader, root);
    checks::hollows(reader, root);
    // last: what a level that is none made wrong elsewhere is not worth saying
    checks::odd_levels(reader, root);
    checks::once_a_place(reader);
    Some(Site {
        title: root.text("title").filter(|title| !title.is_empty()).unwrap_or_else(|| "Yard drainage".to_owned()),
        units: reader.units,
        describes: match root.words("describes") {
            Some("bid") => Describes::Bid,
            Some("existing system") => Describes::ExistingSystem,
            _ => Describes::OwnDesign,
        },
        goal,
        rain: rain?,
        soil,
        groundwater,
        measured,
        catchments: catchments?,
        inflows,
        low_spots: low_spots?,
        inlets,
        drains,
        basin: basin?,
        ballast: ballast?,
        water_temperature: water_temperature.unwrap_or(WATER_TEMPERATURE),
        pumping: pumping?,
        pumps: pumps?,
        discharge: discharge?,
        way_off,
        equivalent_lengths: root.node("discharge").and_then(|node| node.text("equivalent_lengths")),
        frost: frost??,
        supply: supply?,
        conditions: limits::conditions(table(root, "conditions", &no_conditions)),
        above_sea: root.node("levels").and_then(|levels| levels.quantity("above_sea")).unwrap_or(Length::ZERO),
        limits,
        battery,
        setups,
        crew,
        protected,
        to_choose_from,
        takeoff,
        margins: margins::margins(root),
        local_rules: town::local_rules(root),
        outlet_place: town::outlet_place(root),
        assumptions: std::mem::take(&mut reader.assumptions),
        not_used: std::mem::take(&mut reader.not_used),
        doubts: Vec::new(),
    })
}

pub(super) fn format(reader: &mut Reader<'_>, root: &Node) {
    if let Some(format) = root.number("format")
        && (format - 1.0).abs() > 0.0
    {
        reader.say(
            Problem::error(
                ProblemKind::Format,
                root.place_of("format"),
                format!("this program reads format 1 of the site file, not format {format}"),
            )
            .label("another format")
            .help("write `format = 1`, or use a newer version of this program")
            .replacement("1"),
        );
    }
}
