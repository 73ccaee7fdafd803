//! What other conditions than those designed for make of the duty.

use super::duty::told_apart;
use crate::design::bench::Bench;
use crate::design::finding::Finding;
use crate::design::phrase::phrase;
use crate::design::pump::PumpResult;
use crate::pump_selection::Duty;
use crate::quantity::Amount;

pub(super) fn findings(bench: &Bench<'_>, result: &PumpResult) -> Vec<Finding> {
    worst(bench, result).into_iter().collect()
}

/// All bad conditions at once.
fn worst(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    let (designed, worst) = (result.conditions.first()?, result.conditions.iter().find(|row| row.id == "all_at_once")?);
    let now = designed.off.point()?;
    let what = phrase!(
        "with the pump worn, the pipe aged and water at {} all at once",
        bench.site.conditions.cold_water.value
    );
    match worst.off {
        Duty::CannotLift { .. } | Duty::LeakTakesAll => {
            // a worn pump alone has a finding of its own
            if matches!(result.worn_off, Some(Duty::CannotLift { .. } | Duty::LeakTakesAll)) {
                return None;
            }
            Some(
                Finding::caution(
                    "worst-conditions-never-stop",
                    phrase!("{} the pump no longer draws down to its off level", what.say(bench.site.units)),
                )
                .cure(phrase!(
                    "a pump with more head to spare above the lift of {}",
                    result.duties.first()?.static_head
                )),
            )
        }
        Duty::Meets(point) => {
            let asked = bench.site.goal.flow.filter(|_| bench.second.is_none())?;
            (point.line_flow < asked && now.line_flow >= asked).then(|| {
                let (has, wants) = told_apart(point.line_flow, asked, bench.site.units);
                Finding::caution(
                    "worst-conditions-fall-short",
                    phrase!(
                        "{} the line delivers {} at the off level, less than the {} asked for",
                        what.say(bench.site.units),
                        has,
                        wants
                    ),
                )
                .number("delivered", Amount::of(point.line_flow))
                .limit(Amount::of(asked), "entered in [goal]")
                .cure(phrase!(
                    "a margin in pipe or pump: {} now, for {} in the worst case",
                    now.line_flow,
                    point.line_flow
                ))
            })
        }
        Duty::BeforeFirstPoint { .. } | Duty::BeyondLastPoint { .. } => None,
    }
}
