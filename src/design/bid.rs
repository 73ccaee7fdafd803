//! What to ask about somebody else's bid, or about a system that is there: what its file does not say.
//!
//! What hangs on an answer is common practice, no source, unless a finding says more.

use crate::site::{Describes, Site};

/// Something to ask.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Question {
    /// Its stable name.
    pub about: &'static str,
    /// The question.
    pub ask: &'static str,
    /// Why it matters, in a sentence.
    pub why: &'static str,
}

/// A curve of fewer points says little between them: common practice, no source.
const FEW_POINTS: usize = 4;

/// The questions that a site leaves open; none where it is a design of one's own.
pub(super) fn questions(site: &Site) -> Vec<Question> {
    let bid = match site.describes {
        Describes::OwnDesign => return Vec::new(),
        Describes::Bid => true,
        Describes::ExistingSystem => false,
    };
    let mut asked = Vec::new();
    let mut ask = |open: bool, about, ask, why| {
        if open {
            asked.push(Question { about, ask, why });
        }
    };
    water(site, bid, &mut ask);
    outlet(site, &mut ask);
    line(site, bid, &mut ask);
    basin(site, &mut ask);
    pump(site, bid, &mut ask);
    work(site, bid, &mut ask);
    asked
}

/// Takes a question where it is open.
type Ask<'a> = dyn FnMut(bool, &'static str, &'static str, &'static str) + 'a;

fn water(site: &Site, bid: bool, ask: &mut Ask<'_>) {
    let nothing = site.catchments.is_empty();
    ask(
        nothing,
        "water",
        "Which roofs, walks and lawns send their water here, how large are they, and for which storm was it sized?",
        "Without that nobody can say whether the pump is large enough.",
    );
    let goal = site.goal.standing_water.is_some() || site.goal.clear_within.is_some();
    ask(
        bid && !goal,
        "promise",
        "How deep may water still stand in that storm, and when is it gone?",
        "A promise in inches and hours can be checked after the first storm.",
    );
    ask(
        site.protected.is_empty(),
        "protected",
        "Which sill, vent or floor must stay dry, and at what level does it lie?",
        "It says how much may go wrong before there is harm.",
    );
    let ground = &site.groundwater;
    ask(
        ground.seasonal_high.is_none() && ground.inflow.is_none() && ground.ground.is_none(),
        "groundwater",
        "How high does groundwater stand in a wet spring, and how much of it comes in?",
        "It can run the pump every day of the year, and lift an empty basin.",
    );
}

fn outlet(site: &Site, ask: &mut Ask<'_>) {
    let outlet = &site.discharge.outlet;
    ask(
        site.local_rules.allowed_outlets.is_empty(),
        "outlet-allowed",
        "May the water be let out there: by the town, by the neighbour, so far from lot line and walk?",
        "An outlet that has to be moved makes another run and another lift.",
    );
    ask(
        outlet.ditch_full.is_none(),
        "full-ditch",
        "How high does the water stand at the outlet when the ditch or the curb runs full?",
        "It stands so in the very storm that the pump is for: the pump then lifts higher, or the water comes back.",
    );
    ask(
        outlet.kind == "open end",
        "outlet-grate",
        "What keeps animals and leaves out of the open end?",
        "A nest in the pipe stops the pump's water, and nobody sees it.",
    );
    ask(
        site.way_off.swale.is_none(),
        "beyond-the-outlet",
        "Where does the water go from the outlet on, and does the ground fall that way?",
        "Water that finds its way back is pumped twice.",
    );
}

fn line(site: &Site, bid: bool, ask: &mut Ask<'_>) {
    let line = &site.discharge;
    ask(
        line.profile.is_empty(),
        "levels",
        "How do pipe and ground run between basin and outlet: what are the levels, and is there a high point on the way?",
        "The pump lifts to the highest point, and air gathers there.",
    );
    let grounds = !line.profile.is_empty() && line.profile.iter().all(|point| point.ground.is_some());
    ask(
        !grounds,
        "cover",
        "How deep does the pipe lie, and does it pass under a walk or a drive?",
        "A shallow pipe is cut by a spade and crushed by a wheel.",
    );
    ask(
        site.frost.as_ref().is_none_or(|frost| frost.plan.is_none()),
        "frost",
        "How deep does the ground freeze there, and what keeps water from standing in the line then?",
        "A frozen line takes no water, and the thaw comes with rain.",
    );
    ask(
        line.check_valve.is_none(),
        "check-valve",
        "Is there a check valve, of what kind, and where?",
        "Without one the line empties back into the basin after each run and may start the pump again.",
    );
    ask(
        line.relief_hole.is_none(),
        "relief-hole",
        "Is there a small hole between pump and check valve?",
        "Without one air can hold the pump dry under a shut valve: it runs and moves nothing.",
    );
    let union = |name: &str| name.contains("union");
    ask(
        !line.riser.fittings.iter().any(|fitting| union(&fitting.name)),
        "union",
        "Is there a union above the pump, and can pump and valve be lifted out without a saw?",
        "A pump is changed in the rain.",
    );
    let fittings = line.runs.iter().any(|run| !run.fittings.is_empty() || run.allowance > 0.0);
    ask(
        bid && !fittings,
        "fittings",
        "How many elbows, and of which kind, are in the run?",
        "In a small pipe a few sharp ones cost as much as a long run.",
    );
}

fn basin(site: &Site, ask: &mut Ask<'_>) {
    ask(
        site.basin.alarm.is_none(),
        "alarm",
        "Is there an alarm for high water, where is it heard, and does it run on a circuit of its own?",
        "Otherwise the water tells first.",
    );
    ask(
        !site.ballast.entered && !site.groundwater.basin_perforated,
        "flotation",
        "What holds the empty basin down: its weight, a collar, how wide?",
        "In ground full of water an empty basin floats, and breaks its pipes.",
    );
    ask(
        site.inlets.is_empty() && site.drains.is_empty(),
        "way-in",
        "Through which grates and pipes does the water get to the basin, of what size and fall?",
        "A pump moves only what reaches it.",
    );
}

fn pump(site: &Site, bid: bool, ask: &mut Ask<'_>) {
    let few = |pump: &crate::pump_selection::Pump| pump.curve.points().count() < FEW_POINTS;
    ask(
        site.pumps.iter().any(few),
        "pump-curve",
        "What is the pump's curve, from shut-off to its last point, and not only its largest flow?",
        "The largest flow is the one without any lift or pipe.",
    );
    ask(
        site.pumps.iter().any(|pump| pump.passes.is_none()),
        "solids",
        "What size of solids does the pump pass?",
        "Leaves and gravel come in with the water.",
    );
    let electric = site.pumps.iter().all(|pump| pump.running_amps.is_some() && pump.volts.is_some());
    let supply = &site.supply;
    ask(
        supply.distance.is_none() || supply.wire.is_none() || supply.circuit_amps.is_none() || !electric,
        "power",
        "What feeds the pump: a circuit of its own, of how many amperes, with which wire over what distance, and who connects it?",
        "A shared or thin circuit trips in the storm; the wiring is a licensed electrician's.",
    );
    ask(
        site.battery.is_none() && site.pumping.count < 2,
        "power-cut",
        "What happens when the power is cut or the pump fails in the storm: a battery, a second pump, nothing?",
        "Storms take the power with them.",
    );
    ask(
        !bid && site.measured.pump_times.is_none() && site.measured.rise.is_none_or(|rise| rise.pump_down.is_none()),
        "pump-today",
        "How old is the pump, and how long does it take today to draw the basin down?",
        "A worn pump moves less than its sheet says.",
    );
}

fn work(site: &Site, bid: bool, ask: &mut Ask<'_>) {
    ask(
        site.local_rules.permit.is_none(),
        "permit",
        if bid {
            "Which permits are needed, for curb, ditch and wiring, and who gets them?"
        } else {
            "Were there permits, for curb, ditch and wiring?"
        },
        "What was built without one may have to come out.",
    );
    ask(
        bid,
        "restoration",
        "Who puts lawn, walk and drive back, with what, and until when?",
        "It is often left out of the price, and can cost as much as the pipe.",
    );
    ask(
        bid,
        "marks",
        "Who calls the one-call service (811 in the US) before digging, and who marks private lines?",
        "Gas, power and sprinkler lines lie where the trench goes.",
    );
}
