//! What was measured at the first start against what was to be expected, and what a difference points to.

use super::band::{Band, Uncertain};
use super::{Predicted, StartUp};
use crate::design::finding::Finding;
use crate::design::measured::MeasuredResult;
use crate::design::phrase::{Phrase, percent, phrase, share};
use crate::quantity::{Amount, Duration, Flow, Length, Measure, Volume};
use crate::site::MeasuredStartUp;
use std::cmp::Ordering;

/// A measurement against its band.
#[derive(Clone, Debug, PartialEq)]
pub struct Compared {
    /// What was measured.
    pub found: Found,
    /// Whether it lies below its band, within, or above.
    pub place: Ordering,
}

/// What was measured.
#[derive(Clone, Debug, PartialEq)]
pub enum Found {
    /// A run.
    Run {
        /// How long it took.
        took: Duration,
        /// What was to be expected of such a run.
        expected: Predicted,
        /// What ran in meanwhile.
        inflow: Flow,
        /// Of a run slower than its band, the share of its head that a pump has lost which takes so long; none where no
        /// worn pump does.
        as_if_worn: Option<f64>,
    },
    /// A rise after the stop.
    Rise {
        /// How far.
        rose: Length,
        /// How much of it ran in meanwhile, by the inflow that was measured.
        ran_in: Length,
        /// What was to be expected.
        expected: Band<Length>,
    },
    /// A bucket at the outlet.
    Bucket {
        /// Its volume.
        volume: Volume,
        /// In what time it was full.
        took: Duration,
        /// What was to be expected.
        expected: Band<Duration>,
    },
}

impl Found {
    /// What a run or a bucket says that the pump moves; none of a rise.
    pub fn flow(&self) -> Option<Flow> {
        match self {
            Self::Run { took, expected, inflow, .. } => Some(expected.volume / *took + *inflow),
            Self::Bucket { volume, took, .. } => Some(*volume / *took),
            Self::Rise { .. } => None,
        }
    }
}

pub(super) fn compared(start_up: &StartUp, uncertain: &Uncertain<'_>, measured: &MeasuredStartUp) -> Vec<Compared> {
    let mut all = Vec::new();
    if let Some(took) = measured.empties_in {
        let inflow = measured.inflow.unwrap_or(Flow::ZERO);
        let expected = match (measured.fell, inflow > Flow::ZERO) {
            (None, false) => Some(start_up.run.clone()),
            (fell, _) => uncertain.run(fell.unwrap_or(start_up.run.fall), fell.is_some(), inflow),
        };
        if let Some(expected) = expected {
            let place = expected.time.place(took);
            let fall = expected.fall;
            let as_if_worn = (place == Ordering::Greater).then(|| uncertain.worn(fall, inflow, took)).flatten();
            all.push(Compared { found: Found::Run { took, expected, inflow, as_if_worn }, place });
        }
    }
    if let Some((volume, took)) = measured.bucket {
        let expected = start_up.flow.fills(volume);
        all.push(Compared { found: Found::Bucket { volume, took, expected }, place: expected.place(took) });
    }
    if let Some(rose) = measured.rises_after_stop {
        let expected = start_up.rise;
        let ran_in =
            measured.inflow.unwrap_or(Flow::ZERO) * start_up.rise_read_after / uncertain.site.basin.plan.area();
        let ran_in = ran_in.min(rose);
        all.push(Compared { found: Found::Rise { rose, ran_in, expected }, place: expected.place(rose - ran_in) });
    }
    all
}

/// The rows beside everything else that was measured.
pub(in crate::design) fn results(start_up: &StartUp) -> Vec<MeasuredResult> {
    let mut rows = Vec::new();
    for compared in &start_up.compared {
        match &compared.found {
            Found::Run { took, expected, inflow, .. } => {
                rows.push(row("start_up_run", "first start: empties in", *took, &expected.time));
                let moves = expected.volume / *took + *inflow;
                let meant = expected.mean_flow() + *inflow;
                rows.push(MeasuredResult::of("start_up_pumped", "the pump then moves", moves, Some(meant)));
            }
            Found::Bucket { took, expected, .. } => {
                rows.push(row("start_up_bucket", "first start: the bucket fills in", *took, expected));
            }
            Found::Rise { rose, ran_in, expected } => {
                let mut rise = row("start_up_rise", "first start: rises after the stop", *rose - *ran_in, expected);
                let small = |amount: Amount| Amount::small(Length::from_m(amount.si));
                // of so small a rise the ratio says nothing
                rise.ratio = None;
                rise.measured = small(rise.measured);
                rise.calculated = rise.calculated.map(small);
                rise.range = rise.range.map(|(low, high)| (small(low), small(high)));
                rows.push(rise);
            }
        }
    }
    rows
}

fn row<Q: Measure<f64>>(id: &'static str, what: &'static str, measured: Q, band: &Band<Q>) -> MeasuredResult {
    let mut result = MeasuredResult::of(id, what, measured, Some(band.value));
    result.range = band.low.zip(band.high).map(|(low, high)| (Amount::of(low), Amount::of(high)));
    result
}

/// What is to be said of it.
pub(in crate::design) fn findings(start_up: &StartUp) -> Vec<Finding> {
    let bucket = start_up.compared.iter().find(|known| matches!(known.found, Found::Bucket { .. }));
    let run = start_up.compared.iter().find(|known| matches!(known.found, Found::Run { .. }));
    start_up
        .compared
        .iter()
        .map(|compared| match &compared.found {
            Found::Run { took, expected, inflow, as_if_worn } => {
                let finding = of_run((*took, compared.place), expected, *inflow, bucket.map(|bucket| bucket.place));
                // where the outlet gives its due, it is not the pump
                let weak = bucket.is_none_or(|bucket| bucket.place == Ordering::Greater);
                match as_if_worn.filter(|_| weak) {
                    Some(lost) => finding.number("as_if_worn", share(lost)).cure(phrase!(
                        "if it is the pump alone: so slow is one that has lost {} of its head",
                        percent(lost)
                    )),
                    None => finding,
                }
            }
            Found::Bucket { volume, took, expected } => {
                of_bucket(*volume, (*took, compared.place), expected, run.map(|run| run.place))
            }
            Found::Rise { rose, ran_in, expected } => of_rise(start_up, ((*rose, *ran_in), compared.place), expected),
        })
        .collect()
}

/// What is said of a run that cannot be compared: where more is said to run in than the pump moves it cannot have been.
pub(in crate::design) fn uncompared(start_up: &StartUp, measured: &MeasuredStartUp) -> Option<Finding> {
    let took = measured.empties_in?;
    if start_up.compared.iter().any(|known| matches!(known.found, Found::Run { .. })) {
        return None;
    }
    let too_much = measured.inflow.filter(|inflow| *inflow >= start_up.run.mean_flow());
    Some(too_much.map_or_else(not_compared, |inflow| {
        Finding::caution(
            "start-up-inflow-too-large",
            phrase!(
                "First start: the pump cannot have emptied the basin in {} while {} ran in: as designed it moves {}, and would not get the water down.",
                seconds(took),
                inflow,
                start_up.run.mean_flow()
            ),
        )
        .cure(phrase!("measure `inflow` again with the pump off: area of the basin times the rise in a minute"))
    }))
}

/// What is said where nothing is to be expected.
pub(in crate::design) fn not_compared() -> Finding {
    Finding::note(
        "start-up-not-compared",
        phrase!("What was measured at the first start cannot be compared: for that a run down to the off level has to be worked out, with the duty within the points of the pump's curve all the way and room between the floats."),
    )
    .cure(phrase!("more points of the pump's curve, from its data sheet"))
}

/// Seconds as a stopwatch shows them: ends of a band would round into each other in minutes.
fn seconds(time: Duration) -> String {
    if time.s() < 9.95 { format!("{:.1} s", time.s()) } else { format!("{:.0} s", time.s()) }
}

fn between(band: &Band<Duration>) -> String {
    match (band.low, band.high) {
        (Some(low), Some(high)) => format!("{} to {}", seconds(low), seconds(high)),
        (Some(low), None) => format!("{} or longer", seconds(low)),
        (None, Some(high)) => format!("{} at the most", seconds(high)),
        (None, None) => "no band is known".to_owned(),
    }
}

fn finding(place: Ordering, ids: [&'static str; 3], message: Phrase) -> Finding {
    match place {
        Ordering::Less => Finding::caution(ids[0], message),
        Ordering::Equal => Finding::note(ids[1], message),
        Ordering::Greater => Finding::caution(ids[2], message),
    }
}

fn of_run(
    (took, place): (Duration, Ordering),
    expected: &Predicted,
    inflow: Flow,
    bucket: Option<Ordering>,
) -> Finding {
    let moves = expected.volume / took + inflow;
    let meant = expected.mean_flow() + inflow;
    let says = match place {
        Ordering::Less => "faster than the design allows for",
        Ordering::Equal => "as designed",
        Ordering::Greater => "slower than the design allows for",
    };
    let message = phrase!(
        "First start: the water fell {} in {}; as designed {}, likely {}. The pump then took {} out of the basin, against {}: {}.",
        Amount::small(expected.fall),
        seconds(took),
        seconds(expected.time.value),
        between(&expected.time),
        moves,
        meant,
        says
    );
    let finding = finding(place, ["start-up-faster", "start-up-as-designed", "start-up-slower"], message)
        .number("measured", Amount::of(took))
        .number("calculated", Amount::of(expected.time.value))
        .number("flow", Amount::of(moves))
        .number("flow_as_designed", Amount::of(meant));
    match (place, bucket) {
        (Ordering::Equal, _) => finding,
        (Ordering::Greater, Some(Ordering::Equal | Ordering::Less)) => finding.cure(phrase!(
            "what leaves at the outlet is right, so water runs in or back while the pump runs: time the inflow with the pump off and enter `inflow`; look at the relief hole, a second pump's check valve, and whether floats or basin are farther apart or wider than entered (measure `fell`)"
        )),
        (Ordering::Greater, _) => finding.cure(phrase!(
            "look in this order, the pump unplugged: intake or line clogged; relief hole blocked, so that air locks the pump; check valve that does not open, or turned the wrong way; a worn pump; low voltage at the pump; then curve, lift and length as entered; and measure `fell` and `inflow`"
        )),
        (Ordering::Less, Some(Ordering::Greater)) => finding.cure(phrase!(
            "more leaves the basin than arrives at the outlet: look along the line for a leak or a joint that came apart, before anything else"
        )),
        (Ordering::Less, Some(_)) => finding.cure(phrase!(
            "the outlet gives its due, so the basin is narrower than entered or the floats are closer together: measure `fell` and the basin"
        )),
        (Ordering::Less, None) => finding.cure(phrase!(
            "floats closer together or a basin narrower than entered (measure `fell`), a float that stops the pump early, a lower lift or a wider or shorter line; a joint that came apart in the ground: walk the line for wet ground, and catch the flow at the outlet"
        )),
    }
}

fn of_bucket(
    volume: Volume,
    (took, place): (Duration, Ordering),
    expected: &Band<Duration>,
    run: Option<Ordering>,
) -> Finding {
    let says = match place {
        Ordering::Less => "more comes out than the design allows for",
        Ordering::Equal => "as designed",
        Ordering::Greater => "less comes out than the design allows for",
    };
    let message = phrase!(
        "First start: {} were caught at the outlet in {}; as designed {}, likely {}. That is {}: {}.",
        volume,
        seconds(took),
        seconds(expected.value),
        between(expected),
        volume / took,
        says
    );
    let ids = ["start-up-outlet-more", "start-up-outlet-as-designed", "start-up-outlet-less"];
    let finding = finding(place, ids, message)
        .number("measured", Amount::of(took))
        .number("calculated", Amount::of(expected.value))
        .number("flow", Amount::of(volume / took));
    match (place, run) {
        (Ordering::Equal, _) => finding,
        (Ordering::Greater, Some(Ordering::Equal | Ordering::Less)) => finding.cure(phrase!(
            "the basin empties as it should and less arrives: water is lost on the way, or the bucket did not catch it all"
        )),
        (Ordering::Greater, _) => finding.cure(phrase!(
            "did the bucket catch all of it? then as for a slow run: clogging, air, valve, wear; lift, length and curve as entered"
        )),
        (Ordering::Less, _) => finding
            .cure(phrase!("catch it again in a larger vessel; then look at lift, length, bore and curve as entered")),
    }
}

fn of_rise(
    start_up: &StartUp,
    ((rose, ran_in), place): ((Length, Length), Ordering),
    expected: &Band<Length>,
) -> Finding {
    let small = |length: Length| Amount::small(length);
    let says = match place {
        Ordering::Less => "less than the design allows for",
        Ordering::Equal => "as designed",
        Ordering::Greater => "more than the design allows for",
    };
    let (low, high) = (expected.low.unwrap_or(Length::ZERO), expected.high.unwrap_or(expected.value));
    let message = if ran_in > Length::ZERO {
        phrase!(
            "First start: after the stop the water rose {}, {} of it by what ran in; as designed {} without that, likely {} to {}: {}.",
            small(rose),
            small(ran_in),
            small(expected.value),
            small(low),
            small(high),
            says
        )
    } else {
        phrase!(
            "First start: after the stop the water rose {}; as designed {}, likely {} to {}: {}.",
            small(rose),
            small(expected.value),
            small(low),
            small(high),
            says
        )
    };
    let ids = ["start-up-rise-less", "start-up-rise-as-designed", "start-up-rise-more"];
    let mut finding =
        finding(place, ids, message).number("measured", small(rose)).number("calculated", small(expected.value));
    if place == Ordering::Less {
        // nothing is harmed by it
        finding.severity = crate::design::Severity::Note;
    }
    match (place, start_up.rise_without_valve) {
        (Ordering::Greater, Some(whole)) => finding.cure(phrase!(
            "the check valve leaks back, sits higher than entered or is held open by grit: with no valve at all it would rise {}; see that it closes, and that nothing else ran in meanwhile",
            small(whole)
        )),
        (Ordering::Greater, None) => finding.cure(phrase!(
            "a longer or wider line than entered runs back, or something else ran in meanwhile: watch the level for another minute"
        )),
        (Ordering::Less, None) => finding.cure(phrase!(
            "the line holds water that was to run back: look for a sag, which freezes, a blocked hole or a blocked way for air; or the level was read before {} were over",
            start_up.rise_read_after
        )),
        _ => finding,
    }
}
