//! The pump's curve by itself: its shape, its ends, its head to spare.

use crate::design::bench::Bench;
use crate::design::finding::{Finding, Severity};
use crate::design::phrase::{percent, phrase, share};
use crate::design::pump::{PumpResult, WaterLevel};
use crate::quantity::{Amount, Flow, Head};

pub(super) fn findings(bench: &Bench<'_>, result: &PumpResult) -> Vec<Finding> {
    let mut findings = Vec::new();
    findings.extend(curve_shape(bench, result));
    findings.extend(curve_odd(bench));
    findings.extend(two_points(bench));
    findings.extend(shut_off_margin(bench, result));
    findings
}

fn curve_shape(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    let curve = &bench.pump.curve;
    let shut_off = curve.shut_off_head()?;
    let (at, highest) = curve.highest();
    let off = result.duty(WaterLevel::Off)?;
    if !curve.droops() {
        return None;
    }
    let on = result.duty(WaterLevel::On)?;
    // the valve keeps the line full, and its weight on the valve
    if bench.rest.held && shut_off < on.static_head {
        return Some(
            Finding::stop(
                "droop-cannot-start",
                phrase!(
                    "the line stays full on the check valve, {} above the water at the on level, and at no flow the pump gives {}: it cannot open the valve, though it could give {} once running",
                    on.static_head,
                    shut_off,
                    highest
                ),
            )
            .number("shut_off_head", Amount::of(shut_off))
            .number("static_head", Amount::of(on.static_head))
            .cure(phrase!("a pump with a shut-off head above {}", on.static_head)),
        );
    }
    let between = off.static_head > shut_off && off.static_head < highest;
    let message = if between {
        phrase!(
            "the pump's head first rises, from {} at shut-off to {} at {}, and the lift of {} lies between: the pump may settle at a small flow instead of the one reckoned here",
            shut_off,
            highest,
            at,
            off.static_head
        )
    } else {
        phrase!(
            "the pump's head first rises, from {} at shut-off to {} at {}; the crossing at the larger flow is taken",
            shut_off,
            highest,
            at
        )
    };
    let severity = if between { Severity::Caution } else { Severity::Note };
    let finding = Finding::new(severity, "curve-droops", message)
        .number("shut_off_head", Amount::of(shut_off))
        .number("highest_head", Amount::of(highest));
    Some(if between { finding.cure(phrase!("a pump with a shut-off head above {}", off.static_head)) } else { finding })
}

fn two_points(bench: &Bench<'_>) -> Option<Finding> {
    (bench.pump.curve.points().count() == 2).then(|| {
        Finding::caution(
            "curve-of-two-points",
            phrase!("the curve has two points only, as an advertisement gives them: between them a straight line is taken, and a pump's curve is none"),
        )
        .cure(phrase!("five or six points read off the data sheet"))
    })
}

/// Above these a yard pump is rare, and a slip of units is likely: common practice, no source.
const ODD_FLOW: Flow = Flow::from_gpm(300.0);
const ODD_HEAD: Head = Head::from_ft(150.0);

fn curve_odd(bench: &Bench<'_>) -> Option<Finding> {
    let (last, highest) = (bench.pump.curve.last_flow(), bench.pump.curve.highest().1);
    (last > ODD_FLOW || highest > ODD_HEAD).then(|| {
        Finding::caution(
            "curve-odd",
            phrase!(
                "the curve goes up to {} and {}, which few yard pumps do: is the unit right (gph for gpm, psi for ft)?",
                last,
                highest
            ),
        )
        .cure(phrase!("compare the curve with the table of pump and system curve below"))
    })
}

/// A shut-off head within so much of the lift is soon lost: common practice, no source.
const LITTLE: f64 = 1.25;

fn shut_off_margin(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    let off = result.duty(WaterLevel::Off)?;
    off.duty.point()?;
    let limit = &bench.site.limits.shut_off_margin;
    let Some(shut_off) = bench.pump.curve.shut_off_head() else {
        return Some(
            Finding::note(
                "shut-off-unknown",
                phrase!(
                    "the curve begins at {}: how much head the pump has to spare above the lift is not judged",
                    bench.pump.curve.first_flow()
                ),
            )
            .cure(phrase!("enter the shut-off head (flow 0) from the data sheet")),
        );
    };
    let asked = off.static_head * (1.0 + limit.value);
    // a droop has a finding of its own
    (off.static_head > Head::ZERO && shut_off < asked && shut_off >= off.static_head).then(|| {
        Finding::caution(
            "small-shut-off-margin",
            phrase!(
                "the shut-off head of {} is {} above the lift of {}, and {} is asked for: {}",
                shut_off,
                percent(shut_off / off.static_head - 1.0),
                off.static_head,
                percent(limit.value),
                if shut_off < off.static_head * LITTLE {
                    "a little wear or low voltage and no water moves"
                } else {
                    "less than the margin wanted"
                }
            ),
        )
        .number("shut_off_head", Amount::of(shut_off))
        .number("static_head", Amount::of(off.static_head))
        .limit(share(limit.value), &limit.source)
        .cure(phrase!("a pump with a shut-off head of at least {}", asked))
    })
}
