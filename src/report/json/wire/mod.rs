//! What the JSON report is made of. Every field is a promise.

pub mod line;
pub mod margins;
pub mod options;
pub mod reach;
pub mod storm;
pub mod way;
pub mod yard;

use line::{ConditionOut, GravityOut, PairOut, PowerOut, RestOut, SlackOut, StationOut, SurgeOut};
use serde::Serialize;
use way::{CurveNumberOut, FlotationOut, GravityWayOut, GroundwaterOut, MeasuredOut, WayInOut, WayOffOut};
use yard::YardInStorms;

/// The version of the form.
pub const FORMAT: u32 = 1;

/// A number with its unit.
#[derive(Clone, Debug, Serialize)]
pub struct Quantity {
    /// The number.
    pub value: f64,
    /// Its unit; empty for a pure number.
    pub unit: &'static str,
}

impl Quantity {
    /// To twelve digits: the last ones of a number are what rounding makes of it.
    pub(crate) fn new(value: f64, unit: &'static str) -> Self {
        Self { value: format!("{value:.11e}").parse().unwrap_or(value), unit }
    }
}

/// The whole report.
#[derive(Clone, Debug, Serialize)]
pub struct Report {
    /// The version of this form.
    pub format: u32,
    /// The program that wrote it.
    pub program: &'static str,
    /// Its version.
    pub version: &'static str,
    /// The site's title.
    pub title: String,
    /// `us` or `metric`.
    pub units: &'static str,
    /// The verdict.
    pub verdict: Verdict,
    /// What the design says about itself, gravest first.
    pub findings: Vec<FindingOut>,
    /// The storm the design is made for.
    pub storm: Storm,
    /// Where the rain figures come from.
    pub rain_origin: String,
    /// All storms of the rain entered.
    pub storms: Vec<Storm>,
    /// What the yard looks like in each storm.
    pub in_storms: YardInStorms,
    /// The way of the water to the basin.
    pub way_in: WayInOut,
    /// Groundwater.
    pub groundwater: GroundwaterOut,
    /// A way by gravity in place of the pump, where the levels allow one.
    pub gravity_way: Option<GravityWayOut>,
    /// What was measured beside what is worked out.
    pub measured: Vec<MeasuredOut>,
    /// The name of the pump used.
    pub pump_used: Option<String>,
    /// The candidates, best first.
    pub pumps: Vec<PumpOut>,
    /// The line, point by point.
    pub stations: Vec<StationOut>,
    /// The line between two runs.
    pub line_at_rest: RestOut,
    /// Beyond the outlet.
    pub way_off: Option<WayOffOut>,
    /// The basin.
    pub basin: Basin,
    /// Whether the empty basin stays in the ground.
    pub flotation: FlotationOut,
    /// Check valve, relief hole, cautions, when to hire.
    pub advice: Vec<AdviceOut>,
    /// What to ask about a bid or a system that is there.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub to_ask: Vec<QuestionOut>,
    /// The town's rules that were entered, beside the site; those that were not are to be asked.
    pub local_rules: Vec<RuleOut>,
    /// What was taken for want of an entry.
    pub assumptions: Vec<AssumptionOut>,
    /// Keys read but not used yet.
    pub not_used: Vec<NotUsed>,
    /// The working, where it was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub working: Option<Vec<StepOut>>,
}

/// A rule of the town beside the site.
#[derive(Clone, Debug, Serialize)]
pub struct RuleOut {
    /// Its stable name.
    pub id: &'static str,
    /// What it is about.
    pub about: &'static str,
    /// What it says: the least distance, or words; none where it was not entered.
    pub rule: Option<SaidOut>,
    /// What the site has.
    pub here: Option<SaidOut>,
    /// `kept`, `broken`, `site_not_said`, `rule_not_said` or `to_read`.
    pub outcome: &'static str,
    /// What to ask the town.
    pub ask: &'static str,
}

/// A quantity or words.
#[derive(Clone, Debug, Serialize)]
#[serde(untagged)]
pub enum SaidOut {
    /// A quantity.
    Quantity(Quantity),
    /// Words.
    Words(String),
}

/// Something to ask about a bid or a system that is there.
#[derive(Clone, Debug, Serialize)]
pub struct QuestionOut {
    /// Its stable name.
    pub about: &'static str,
    /// The question.
    pub ask: &'static str,
    /// Why it matters.
    pub why: &'static str,
}

/// The verdict.
#[derive(Clone, Debug, Serialize)]
pub struct Verdict {
    /// Whether nothing stands against the design.
    pub holds: bool,
    /// Whether the owner's goal was judged: `not judged` or `none given`.
    pub goal: &'static str,
    /// In sentences.
    pub sentences: Vec<String>,
}

/// A finding.
#[derive(Clone, Debug, Serialize)]
pub struct FindingOut {
    /// `stop`, `caution` or `note`.
    pub severity: &'static str,
    /// Its stable name.
    pub id: &'static str,
    /// What it is about, where that is one thing of several.
    pub about: Option<String>,
    /// The sentence.
    pub message: String,
    /// Its numbers, named.
    pub numbers: Vec<Named>,
    /// The limit it is held to.
    pub limit: Option<LimitOut>,
    /// What would cure it.
    pub cures: Vec<String>,
}

/// A number with a name.
#[derive(Clone, Debug, Serialize)]
pub struct Named {
    /// The name.
    pub name: &'static str,
    /// The number.
    #[serde(flatten)]
    pub quantity: Quantity,
}

/// A limit.
#[derive(Clone, Debug, Serialize)]
pub struct LimitOut {
    /// The limit.
    #[serde(flatten)]
    pub quantity: Quantity,
    /// Where it comes from.
    pub source: String,
}

/// A storm.
#[derive(Clone, Debug, Serialize)]
pub struct Storm {
    /// Its return period, where it has one.
    pub return_period: Option<Quantity>,
    /// Factor on table coefficients.
    pub frequency_factor: f64,
    /// Duration of the rain that brings the peak; none where no surface sheds any.
    pub duration: Option<Quantity>,
    /// Its intensity.
    pub intensity: Option<Quantity>,
    /// Peak runoff.
    pub peak_runoff: Option<Quantity>,
    /// Peak runoff with every lawn's coefficient by infiltration: an upper bound.
    pub peak_runoff_by_infiltration: Option<Quantity>,
    /// Steady inflow.
    pub steady_inflow: Quantity,
    /// Both together, where there is a peak.
    pub peak_inflow: Option<Quantity>,
    /// Area-weighted coefficient.
    pub composite_coefficient: Option<f64>,
    /// Whether the quick surfaces alone make the peak.
    pub early_part_governs: bool,
    /// Each surface.
    pub catchments: Vec<CatchmentOut>,
}

/// A surface in a storm.
#[derive(Clone, Debug, Serialize)]
pub struct CatchmentOut {
    /// Its name.
    pub name: String,
    /// Its area.
    pub area: Quantity,
    /// The coefficient used.
    pub coefficient: f64,
    /// By table or as entered.
    pub coefficient_by_table: f64,
    /// By infiltration, an upper bound.
    pub coefficient_by_infiltration: Option<f64>,
    /// Which is used: `table`, `infiltration`, or `curve number` for the burst's share by that.
    pub coefficient_from: &'static str,
    /// Time of concentration.
    pub time_of_concentration: Quantity,
    /// Intensity over that time.
    pub intensity: Quantity,
    /// Flow of this surface alone.
    pub own_peak: Quantity,
    /// Runoff of a long rain by curve number, where one is known.
    pub by_curve_number: Option<CurveNumberOut>,
}

/// A pump judged.
#[derive(Clone, Debug, Serialize)]
pub struct PumpOut {
    /// Its name.
    pub name: String,
    /// Whether the design is made with it.
    pub used: bool,
    /// Whether nothing stands against it.
    pub holds: bool,
    /// Why it is used, or why not.
    pub reason: String,
    /// Its price, as entered.
    pub price: Option<f64>,
    /// The duty at off level, half-way, on level.
    pub duties: Vec<DutyOut>,
    /// System curve and pump curve side by side, water half-way between the floats.
    pub curves: Vec<CurveOut>,
    /// Where the head goes half-way.
    pub losses: Option<LossesOut>,
    /// The share of head a worn pump has lost.
    pub wear: f64,
    /// The duty of the worn pump half-way.
    pub worn: Option<MeetingOut>,
    /// The duty of the worn pump at the off level.
    pub worn_at_off_level: Option<MeetingOut>,
    /// Flow half-way without the relief hole.
    pub without_relief_hole: Option<Quantity>,
    /// The greatest leak of the relief hole half-way.
    pub greatest_leak: Option<Quantity>,
    /// How it cycles.
    pub cycle: Option<CycleOut>,
    /// How long the basin takes the peak's surplus.
    pub surplus_lasts: Option<Quantity>,
    /// The longest run that carries the flow asked for.
    pub longest_run: Option<LongestRunOut>,
    /// The duty under other conditions, the design's own first, all bad ones at once last.
    pub conditions: Vec<ConditionOut>,
    /// What pipe and valve see when the water stops.
    pub surge: Option<SurgeOut>,
    /// The part beyond a high point that the flow does not fill.
    pub slack: Vec<SlackOut>,
    /// A break to gravity past the high point, where it would do.
    pub gravity_option: Option<GravityOut>,
    /// Power half-way.
    pub power: Option<PowerOut>,
    /// The second pump with it, where two are installed.
    pub pair: Option<PairOut>,
    /// Names of what stands against it or is to be said of it.
    pub findings: Vec<&'static str>,
}

/// The longest run that carries the flow asked for.
#[derive(Clone, Debug, Serialize)]
pub struct LongestRunOut {
    /// By Hazen-Williams, the pump as new.
    pub new: Quantity,
    /// By Darcy-Weisbach.
    pub darcy: Option<Quantity>,
    /// With the pump worn.
    pub worn: Option<Quantity>,
}

/// A duty at a level.
#[derive(Clone, Debug, Serialize)]
pub struct DutyOut {
    /// `off level`, `half-way`, `on level`.
    pub water_at: &'static str,
    /// The level.
    pub water_level: Quantity,
    /// Static head.
    pub static_head: Quantity,
    /// By Hazen-Williams.
    pub hazen_williams: MeetingOut,
    /// By Darcy-Weisbach.
    pub darcy_weisbach: Option<MeetingOut>,
    /// Velocity in each run by Hazen-Williams.
    pub velocities: Vec<Quantity>,
}

/// Where pump and line meet, or why not.
#[derive(Clone, Debug, Serialize)]
#[serde(tag = "state", rename_all = "snake_case")]
pub enum MeetingOut {
    /// They meet.
    Meets {
        /// Flow out of the line.
        flow: Quantity,
        /// Flow through the pump.
        pump_flow: Quantity,
        /// Leak of the relief hole.
        leak: Quantity,
        /// What runs back through the drain hole.
        drained: Quantity,
        /// Head.
        head: Quantity,
        /// What the solution leaves over, metres.
        residual_m: f64,
    },
    /// The pump cannot lift the water.
    CannotLift {
        /// Head missing.
        short: Quantity,
    },
    /// All that the pump moves leaks back through the relief hole.
    LeakTakesAll,
    /// The duty lies before the curve's first point.
    BeforeFirstPoint {
        /// The first point's flow.
        first: Quantity,
    },
    /// The duty lies beyond the curve's last point.
    BeyondLastPoint {
        /// The last point's flow.
        last: Quantity,
        /// The line carries at least this.
        at_least: Quantity,
        /// What the pump gives there beyond what the line asks for.
        surplus: Quantity,
    },
}

/// Pump and line at one flow.
#[derive(Clone, Debug, Serialize)]
pub struct CurveOut {
    /// Flow out of the line.
    pub flow: Quantity,
    /// Flow through the pump.
    pub pump_flow: Quantity,
    /// Head that the line asks for.
    pub asked: Quantity,
    /// Head that the pump gives; none outside its curve.
    pub given: Option<Quantity>,
}

/// Where the head goes.
#[derive(Clone, Debug, Serialize)]
pub struct LossesOut {
    /// Lift.
    pub lift: Quantity,
    /// Station of the point that governs.
    pub governing_at: Quantity,
    /// Whether that is the outlet.
    pub governed_by_outlet: bool,
    /// The stretches.
    pub stretches: Vec<StretchOut>,
    /// Head to open a cover.
    pub opening: Quantity,
    /// Loss at the end.
    pub exit: Quantity,
    /// All together.
    pub total: Quantity,
}

/// A stretch of pipe.
#[derive(Clone, Debug, Serialize)]
pub struct StretchOut {
    /// Its name.
    pub name: String,
    /// The pipe.
    pub pipe: String,
    /// Bore.
    pub bore: Quantity,
    /// Length.
    pub length: Quantity,
    /// Flow.
    pub flow: Quantity,
    /// Velocity.
    pub velocity: Quantity,
    /// Friction loss.
    pub friction: Quantity,
    /// Sum of K.
    pub sum_k: f64,
    /// Equivalent length of the fittings that go by length.
    pub equivalent_length: Quantity,
    /// What the sum is made of.
    pub made_of: Vec<FittingOut>,
    /// Fitting loss.
    pub fittings: Quantity,
}

/// Fittings of one kind.
#[derive(Clone, Debug, Serialize)]
pub struct FittingOut {
    /// Their name.
    pub name: String,
    /// How many.
    pub count: u32,
    /// K of one.
    pub k: f64,
    /// Equivalent length of one, where it goes by length.
    pub equivalent_length: Option<Quantity>,
    /// Where that comes from.
    pub source: String,
}

/// A pump's cycle.
#[derive(Clone, Debug, Serialize)]
pub struct CycleOut {
    /// Water between the floats.
    pub live_volume: Quantity,
    /// What runs back at a stop.
    pub runs_back: Quantity,
    /// What runs back with the check valve.
    pub runs_back_with_valve: Quantity,
    /// What would run back without one.
    pub runs_back_without_valve: Quantity,
    /// Water in the line.
    pub line_volume: Quantity,
    /// Rise in the basin from what runs back.
    pub rise: Quantity,
    /// Rise if no valve held the line's water.
    pub rise_without_valve: Quantity,
    /// Whether that alone would start the pump again.
    pub restarts_without_valve: bool,
    /// Flow that leaves for good.
    pub leaves: Quantity,
    /// A run with no inflow.
    pub shortest_run: Quantity,
    /// Inflow with the most starts.
    pub worst_inflow: Option<Quantity>,
    /// Shortest cycle.
    pub shortest_cycle: Option<Quantity>,
    /// Starts in an hour then; none when it restarts itself for ever.
    pub worst_starts_per_hour: Option<f64>,
    /// The same for each pump, where they take turns.
    pub worst_starts_per_hour_each: Option<f64>,
    /// Starts allowed.
    pub starts_allowed: f64,
    /// Where that comes from.
    pub starts_allowed_source: String,
    /// At the peak inflow: `idle`, `continuous`, `restarts itself`, `cycles`.
    pub at_peak: &'static str,
    /// At the steady inflow.
    pub at_steady: &'static str,
    /// Live volume that would meet the limits.
    pub enough_live_volume: Option<Quantity>,
    /// How it can be had.
    pub enough: Option<EnoughOut>,
}

/// How a live volume can be had.
#[derive(Clone, Debug, Serialize)]
#[serde(tag = "by", rename_all = "snake_case")]
pub enum EnoughOut {
    /// With the on float at a height in this basin.
    OnAt {
        /// The height above the floor.
        on: Quantity,
    },
    /// In a wider basin, the on float as high as it may go.
    Wider {
        /// The height above the floor.
        on: Quantity,
        /// The inside plan area.
        plan_area: Quantity,
    },
}

/// The basin.
#[derive(Clone, Debug, Serialize)]
pub struct Basin {
    /// Rim to floor.
    pub depth: Quantity,
    /// Rim to the lowest inlet, where one was entered.
    pub inlet_depth: Option<Quantity>,
    /// On to off.
    pub pump_down: Quantity,
    /// Off to floor.
    pub dead_water: Quantity,
    /// What is left over; negative when short.
    pub spare: Option<Quantity>,
    /// The way down from the grate whose water arrives lowest.
    pub from_grate: Option<way::FromGrateOut>,
    /// The heights to build to, from the top down.
    pub marks: Vec<MarkOut>,
    /// Room between on level and where water shows.
    pub room_above_on: Quantity,
    /// Room above the alarm.
    pub room_above_alarm: Option<Quantity>,
    /// How long the room lasts at the peak inflow with no pump.
    pub time_without_pump: Option<Quantity>,
    /// At the steady inflow.
    pub time_without_pump_steady: Option<Quantity>,
}

/// A height in the basin.
#[derive(Clone, Debug, Serialize)]
pub struct MarkOut {
    /// What it is.
    pub name: &'static str,
    /// Height above the floor.
    pub above_floor: Quantity,
    /// Depth below the rim.
    pub below_rim: Quantity,
    /// The level.
    pub level: Quantity,
}

/// Advice.
#[derive(Clone, Debug, Serialize)]
pub struct AdviceOut {
    /// `check_valve`, `relief_hole`, `caution`, `hire`.
    pub topic: &'static str,
    /// The sentence.
    pub sentence: String,
}

/// An assumption.
#[derive(Clone, Debug, Serialize)]
pub struct AssumptionOut {
    /// What.
    pub what: String,
    /// The value taken.
    #[serde(flatten)]
    pub quantity: Quantity,
    /// Why, and from where.
    pub why: String,
}

/// A key read but not used.
#[derive(Clone, Debug, Serialize)]
pub struct NotUsed {
    /// The key.
    pub key: String,
    /// Its line.
    pub line: usize,
}

/// A step of the working, in SI.
#[derive(Clone, Debug, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum StepOut {
    /// A group begins.
    Heading {
        /// Its name.
        text: &'static str,
    },
    /// A result of a formula.
    Formula {
        /// Its name.
        symbol: String,
        /// What it is.
        meaning: &'static str,
        /// The formula with names.
        formula: String,
        /// The formula with numbers, SI.
        numbers: String,
        /// The result, SI.
        value: f64,
        /// Its unit.
        unit: &'static str,
        /// The source.
        source: &'static str,
    },
    /// A result of an iteration.
    Solved {
        /// Its name.
        symbol: String,
        /// What it is.
        meaning: &'static str,
        /// The result, SI.
        value: f64,
        /// Its unit.
        unit: &'static str,
        /// What is left over, as text.
        residual: String,
        /// Evaluations spent.
        iterations: u32,
        /// The equation.
        source: &'static str,
    },
}
