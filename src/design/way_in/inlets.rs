//! Grates: how deep water stands over each to let its flow in, and which size would do.

use super::tree::Tree;
use crate::catalog::{self, GrateEntry};
use crate::collection::{GRATE_SOURCE, Grate, GrateRegime, common_flow, common_level, openings_flow, weir_flow};
use crate::hydrology::{Contribution, Rain};
use crate::quantity::{Amount, Flow, Length, Level, UnitSystem};
use crate::site::{Inlet, Site};
use crate::working::Working;

/// One grate in the design storm.
#[derive(Clone, Debug, PartialEq)]
pub struct InletResult {
    /// Its name.
    pub name: String,
    /// The low spot it stands in.
    pub low_spot: Option<String>,
    /// Its top.
    pub rim: Level,
    /// The grate, where it is known.
    pub grate: Option<Grate>,
    /// What comes to it over the ground at the peak.
    pub flow: Flow,
    /// How deep water then stands over its rim; none where the grate is not known or lets nothing in.
    pub depth: Option<Length>,
    /// How the water goes through it at that depth.
    pub regime: Option<GrateRegime>,
    /// How deep water may stand over it: by the goal, or before its low spot runs over, whichever is less.
    pub allowed: Option<Length>,
    /// Whether the low spot's spill sets that, not the goal.
    pub allowed_by_spill: bool,
    /// What it takes at that depth.
    pub takes: Option<Flow>,
    /// The smallest usual grate that lets no more stand over it, where this one does; other grates of its low spot help.
    pub larger: Option<&'static GrateEntry>,
    /// How many of the largest usual grate in its place would do, where no single one does.
    pub largest: Option<(u32, &'static GrateEntry)>,
    /// How many grates like it in all would do, where this one does not.
    pub grates_like_it: Option<u32>,
    /// How deep water stands over it when nothing blocks it, where that would do and this does not.
    pub depth_clean: Option<Length>,
    /// Whether a grate of half its edge and opening would do.
    pub roomy: bool,
    /// The smallest usual grate that would do, where this one has room and it is smaller.
    pub smaller: Option<&'static GrateEntry>,
    /// From its rim down to its outlet.
    pub to_outlet: Option<Length>,
    /// Depth of its silt trap.
    pub silt_trap: Length,
    /// How far its rim stands above the lowest point of its low spot; none where another grate there is lower.
    pub above_lowest: Option<Length>,
}

pub(super) fn inlets<W: Working>(
    site: &Site,
    tree: &Tree,
    parts: &[Contribution],
    rain: Option<&Rain>,
    w: &mut W,
) -> Vec<InletResult> {
    if !site.inlets.is_empty() {
        w.heading("Grates");
    }
    (1..)
        .zip(site.inlets.iter().zip(&tree.through_grate).zip(&tree.water_over))
        .map(|(number, ((inlet, load), level))| {
            let together = Together::of(site, inlet, tree, parts, rain);
            one(site, inlet, load.peak(parts, rain), *level, number, &together, w)
        })
        .collect()
}

/// The grates that stand under one level of water with a grate.
struct Together {
    /// What comes to all of them.
    flow: Flow,
    /// The others, where all are known.
    others: Vec<(Level, Grate)>,
    /// The lowest rim, that of the grate itself among them.
    lowest: Level,
}

impl Together {
    fn of(site: &Site, inlet: &Inlet, tree: &Tree, parts: &[Contribution], rain: Option<&Rain>) -> Self {
        let shares =
            |other: &Inlet| other.name == inlet.name || (inlet.low_spot.is_some() && other.low_spot == inlet.low_spot);
        let members = || site.inlets.iter().zip(&tree.through_grate).filter(|(other, _)| shares(other));
        Self {
            flow: members().map(|(_, load)| load.peak(parts, rain)).sum(),
            others: members()
                .filter(|(other, _)| other.name != inlet.name)
                .filter_map(|(other, _)| other.grate.map(|grate| (other.rim, grate)))
                .collect(),
            lowest: members().map(|(other, _)| other.rim).fold(inlet.rim, Level::min),
        }
    }
    /// What a grate has to take with the water at a level, when the others take theirs.
    fn left_at(&self, level: Level) -> Flow {
        (self.flow - common_flow(&self.others, level)).max(Flow::ZERO)
    }
    /// The water over a rim when a grate stands there.
    fn depth_over(&self, rim: Level, grate: Grate) -> Option<Length> {
        let all: Vec<(Level, Grate)> = self.others.iter().copied().chain([(rim, grate)]).collect();
        common_level(&all, self.flow).map(|level| (level - rim).max(Length::ZERO))
    }
}

fn one<W: Working>(
    site: &Site,
    inlet: &Inlet,
    flow: Flow,
    level: Option<Level>,
    number: usize,
    together: &Together,
    w: &mut W,
) -> InletResult {
    let depth = inlet.grate.and(level).map(|level| (level - inlet.rim).max(Length::ZERO));
    let spot = inlet.low_spot.as_ref().and_then(|name| site.low_spots.iter().find(|spot| &spot.name == name));
    let goal = site.goal.standing_water;
    let spill = spot.and_then(|spot| spot.spills_at).map(|level| (level - inlet.rim).max(Length::ZERO));
    let allowed_by_spill = spill.is_some_and(|spill| goal.is_none_or(|goal| spill < goal));
    let allowed = if allowed_by_spill { spill } else { goal };
    let takes = inlet.grate.zip(allowed).map(|(grate, allowed)| grate.flow(allowed));
    let clogged = inlet.grate.map_or(0.0, |grate| grate.clogged);
    let too_deep = depth.zip(allowed).is_some_and(|(depth, allowed)| depth > allowed);
    let lowest = spot.and_then(|spot| spot.surface.first()).map(|(level, _)| *level);
    // a smaller one must do while the water stands no deeper over the lowest grate beside it
    let within = allowed.map(|allowed| together.lowest + allowed - inlet.rim);
    let roomy = inlet
        .grate
        .zip(within)
        .filter(|_| flow > Flow::ZERO)
        .filter(|(grate, within)| grate.size_factor_for(flow, *within).is_some_and(|factor| factor <= HALF));
    let smaller = roomy.and_then(|(grate, within)| {
        smallest(site.units, flow, within, clogged)
            .filter(|entry| entry.open_area < grate.open_area && entry.perimeter < grate.perimeter)
    });
    let wanted = allowed.filter(|_| too_deep).map(|allowed| (allowed, together.left_at(inlet.rim + allowed)));
    let larger = wanted.and_then(|(allowed, left)| smallest(site.units, left, allowed, clogged));
    let grow = wanted.zip(inlet.grate).and_then(|((allowed, left), grate)| grate.size_factor_for(left, allowed));
    let clean = inlet.grate.filter(|grate| grate.clogged > 0.0).map(|grate| Grate { clogged: 0.0, ..grate });
    if let (Some(grate), Some(depth)) = (inlet.grate, depth.filter(|depth| *depth > Length::ZERO)) {
        show_working(&grate, flow, depth, number, w);
    }
    InletResult {
        name: inlet.name.clone(),
        low_spot: inlet.low_spot.clone(),
        rim: inlet.rim,
        grate: inlet.grate,
        flow,
        depth,
        regime: inlet.grate.filter(|grate| grate.clogged < 1.0).zip(depth).map(|(grate, depth)| grate.regime(depth)),
        allowed,
        allowed_by_spill,
        takes,
        larger,
        largest: wanted
            .filter(|_| larger.is_none())
            .and_then(|(allowed, left)| several(site.units, left, allowed, clogged)),
        grates_like_it: grow.map(whole_times),
        depth_clean: clean
            .filter(|_| too_deep)
            .and_then(|clean| together.depth_over(inlet.rim, clean))
            .filter(|depth| allowed.is_some_and(|allowed| *depth <= allowed)),
        roomy: roomy.is_some(),
        smaller,
        to_outlet: outlet(site, inlet).map(|invert| inlet.rim - invert),
        silt_trap: inlet.silt_trap,
        above_lowest: lowest.filter(|_| is_lowest(site, inlet)).map(|lowest| inlet.rim - lowest),
    }
}

/// The lowest point of the pipe that leaves it: entered, or the lowest upper end of its drains.
fn outlet(site: &Site, inlet: &Inlet) -> Option<Level> {
    let leaves = site.drains.iter().filter(|drain| drain.from.as_deref() == Some(inlet.name.as_str()));
    inlet.outlet_invert.or_else(|| leaves.filter_map(|drain| drain.up_invert).reduce(Level::min))
}

/// Whether no other grate of its low spot lies lower.
fn is_lowest(site: &Site, inlet: &Inlet) -> bool {
    site.inlets.iter().filter(|other| other.low_spot == inlet.low_spot).all(|other| other.rim >= inlet.rim)
}

/// A grate with twice the edge and opening that it need have has room.
const HALF: f64 = 0.5;

/// The whole number of times that is enough.
fn whole_times(times: f64) -> u32 {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held between 1 and 99")]
    let whole = libm::ceil((times - 1e-9).clamp(1.0, 99.0)) as u32;
    whole
}

/// The smallest usual grate that takes a flow at a depth.
fn smallest(units: UnitSystem, flow: Flow, depth: Length, clogged: f64) -> Option<&'static GrateEntry> {
    catalog::grate_sizes().iter().filter(|entry| entry.metric == (units == UnitSystem::Metric)).find(|entry| {
        let grate = Grate { perimeter: entry.perimeter, open_area: entry.open_area, clogged };
        grate.flow(depth) >= flow
    })
}

/// How many of the largest usual grate take a flow at a depth.
fn several(units: UnitSystem, flow: Flow, depth: Length, clogged: f64) -> Option<(u32, &'static GrateEntry)> {
    let entry = catalog::grate_sizes().iter().rfind(|entry| entry.metric == (units == UnitSystem::Metric))?;
    let grate = Grate { perimeter: entry.perimeter, open_area: entry.open_area, clogged };
    Some((whole_times(grate.size_factor_for(flow, depth)?), entry))
}

fn show_working<W: Working>(grate: &Grate, flow: Flow, depth: Length, number: usize, w: &mut W) {
    let residual = Amount::of(grate.flow(depth) - flow);
    let depth = w.solved(
        ("d", number),
        "depth over the grate at which it lets its flow in",
        "the lesser of weir and orifice, rounded off where they are near, equal to Q; or the common level of several grates",
        depth,
        residual,
        0,
    );
    let clogged = w.given(("cl", number), grate.clogged);
    let open = -clogged + 1.0;
    let perimeter = w.given(("P", number), grate.perimeter);
    let area = w.given(("Ao", number), grate.open_area);
    let weir = weir_flow(perimeter * open, depth);
    w.step(("Qw", number), "over its edge, as over a weir", GRATE_SOURCE, weir);
    let orifice = openings_flow(area * open, depth);
    w.step(("Qo", number), "through its openings, as through an orifice", GRATE_SOURCE, orifice);
}
