//! What was measured against what is worked out.

use crate::design::finding::Finding;
use crate::design::measured::MeasuredResult;
use crate::design::phrase::{Phrase, phrase};
use crate::quantity::Amount;

/// A measurement that is off by more than this factor is worth a word: common practice, no source.
const FAR: f64 = 1.5;

pub(super) fn findings(measured: &[MeasuredResult]) -> Vec<Finding> {
    measured.iter().filter(|result| result.disagrees(FAR)).filter_map(one).collect()
}

fn one(result: &MeasuredResult) -> Option<Finding> {
    let calculated = result.calculated?;
    let (id, why) = match result.id {
        "inflow" => ("measured-inflow-unlike-ground", inflow_why(result, calculated)),
        "pump_rate" => (
            "measured-pump-rate-unlike-duty",
            "the pump is worn, the line clogged, a valve or hole leaks, or curve, lift or length are not as entered",
        ),
        "conductivity" => (
            "test-hole-unlike-texture",
            "the measured one is taken unless one was entered; one hole is one place, and a dry season says little of a wet one",
        ),
        "puddle_area" => (
            "puddle-unlike-low-spot",
            "the levels and areas of the low spot, or the outline of the puddle, are not right; how deep water will stand hangs on them",
        ),
        _ => (
            "puddle-unlike-runoff",
            "water comes from beyond the surfaces entered, or more of them runs off than the coefficients say",
        ),
    };
    let ratio = result.ratio.map_or_else(String::new, |ratio| format!(", {ratio:.2} times"));
    Some(
        Finding::caution(
            id,
            phrase!(
                "{}: {} measured against {} worked out{}; {}",
                result.what,
                result.measured,
                calculated,
                ratio,
                why
            ),
        )
        .number("measured", result.measured)
        .number("calculated", calculated)
        .cure_if(cure(result)),
    )
}

/// Which of the two flows is counted, and what explains the difference.
fn inflow_why(result: &MeasuredResult, calculated: Amount) -> &'static str {
    match (result.counted, result.measured.si > calculated.si) {
        (true, true) => {
            "the measured one is counted; a seam of gravel, a spring, a leaking pipe or runoff explain such a difference"
        }
        (true, false) => {
            "the measured one is counted, the drain being open into the pit; a dry season or tighter ground than taken explain such a difference"
        }
        (false, _) => {
            "the calculation is counted: a pit without the drain gathers from less ground than the drain will"
        }
    }
}

/// What would bring the two together.
fn cure(result: &MeasuredResult) -> Option<Phrase> {
    match result.id {
        "inflow" if !result.counted => Some(phrase!(
            "measure again with the drain's trench dug and open into the pit, and enter `with_drain = true`; till then go by the calculation"
        )),
        "inflow" => Some(phrase!(
            "measure again in the wettest season, no pump running, with nothing but groundwater coming in"
        )),
        "pump_rate" => Some(phrase!("look at pump, valve and hole; then measure again, timing several runs")),
        "conductivity" => Some(phrase!(
            "two or three more holes, near the drain and as deep; then their middle as `conductivity` of [groundwater]"
        )),
        "puddle_area" => {
            let (level, area) = result.surface?;
            Some(phrase!("if the puddle is right, {} at {} in the `surface` of the low spot", area, level))
        }
        _ => {
            let missing = result.missing_area?;
            Some(phrase!(
                "look uphill for some {} more of such surfaces and enter them, or raise the coefficients",
                missing
            ))
        }
    }
}
