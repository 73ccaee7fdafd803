//! What the pump gives over what the line asks for, with the band between the floats and the duty points.

use super::canvas::{ACCENT, Anchor, Canvas, FAINT, INK, Mark, Pen, SIZE, SMALL, TINT};
use super::frame::{Frame, Sample, legend, room_for_ticks};
use super::labels::Placer;
use super::{Axis, Unit, WIDTH};
use crate::design::{Design, DrawnCurves, WaterLevel};
use crate::quantity::{Amount, Flow, Head, UnitSystem};
use crate::report::papers::Drawing;
use crate::report::text::flow_of;

const PUMP: Pen = Pen::solid(2.4, INK);
const AT_OFF: Pen = Pen::dashed(1.8, "7 4", ACCENT);
const AT_ON: Pen = Pen::dashed(1.8, "1.5 3", ACCENT);
const ASKED: Pen = Pen::dashed(1.0, "10 3 2 3", FAINT);

/// Height of the plot.
const PLOT: f64 = 250.0;

/// The chart; without a curve, what to enter for it.
pub(crate) fn pump_curves(
    design: &Design,
    curves: Option<&DrawnCurves>,
    goal_flow: Option<Flow>,
) -> Result<Drawing, String> {
    let missing = "Pump and line are not drawn: enter the pump's `curve` and a [discharge] line.";
    let (Some(pump), Some(curves)) = (design.pump(), curves.filter(|curves| curves.pump.len() > 1)) else {
        return Err(missing.to_owned());
    };
    let units = design.units;
    let most = |points: &[(Flow, Head)]| points.last().map_or(0.0, |(flow, _)| flow.m3s());
    let both = together(design);
    let marked = [goal_flow, both].into_iter().flatten().map(Flow::m3s).fold(0.0, f64::max);
    let greatest_flow = most(&curves.pump).max(most(&curves.at_off)).max(marked * 1.03);
    let highest = curves.pump.iter().map(|(_, head)| head.m()).fold(0.0, f64::max);
    let lowest = curves.at_on.iter().map(|(_, head)| head.m()).fold(0.0, f64::min);
    let flow_unit = Unit::of(Amount::of(Flow::from_m3s(greatest_flow)), units);
    let head_unit = Unit::of(Amount::of(Head::from_m(highest)), units);
    let across = Axis::over(0.0, flow_unit.value(greatest_flow), 7);
    let up = Axis::over(head_unit.value(lowest), head_unit.value(highest * 1.04), 6);

    let mut canvas = Canvas::default();
    let entries = [
        (Sample::Line(PUMP), "pump".to_owned()),
        (Sample::Line(AT_OFF), "line asks, off level".to_owned()),
        (Sample::Line(AT_ON), "line asks, on level".to_owned()),
        (Sample::Area(TINT), "between the floats".to_owned()),
    ];
    let below = legend(&mut canvas, (4.0, 0.0, WIDTH), &entries);
    let top = below + SIZE + 8.0;
    let left = room_for_ticks(&up) + 12.0;
    let frame = Frame { left, right: WIDTH - 14.0, top, bottom: top + PLOT, across, up };
    let by_value = |points: &[(Flow, Head)]| -> Vec<(f64, f64)> {
        let values: Vec<(f64, f64)> =
            points.iter().map(|(flow, head)| (flow_unit.value(flow.m3s()), head_unit.value(head.m()))).collect();
        frame.within(&values).into_iter().map(|point| frame.at(point)).collect()
    };
    let (given, at_off, at_on) = (by_value(&curves.pump), by_value(&curves.at_off), by_value(&curves.at_on));
    canvas.surface(&at_off.iter().chain(at_on.iter().rev()).copied().collect::<Vec<_>>(), TINT);
    canvas.text((2.0, top - 9.0), &format!("head, {}", head_unit.name), SIZE, Anchor::Start, INK);
    frame.left_axis(&mut canvas);
    frame.lower_axis(&mut canvas, &format!("flow out of the line, {}", flow_unit.name), |tick| across.label(tick));
    canvas.path(&at_off, AT_OFF);
    canvas.path(&at_on, AT_ON);
    canvas.path(&given, PUMP);
    let mut placer = frame.placer();
    for curve in [&given, &at_off, &at_on] {
        placer.keep_off(curve);
    }
    for (row, (flow, name)) in [(goal_flow, "asked for"), (both, "both pumps")].into_iter().enumerate() {
        let Some(flow) = flow else { continue };
        let words = format!("{name}: {}", show(Amount::of(flow), units));
        upright(&mut canvas, &frame, (flow_unit.value(flow.m3s()), &words), &mut placer, row as f64);
    }
    for (level, name) in [(WaterLevel::On, "on"), (WaterLevel::Off, "off")] {
        let Some(point) = pump.point(level) else { continue };
        let place = frame.at((flow_unit.value(point.line_flow.m3s()), head_unit.value(point.head.m())));
        canvas.mark(place, if level == WaterLevel::Off { Mark::Dot } else { Mark::Ring }, INK);
        let words =
            format!("{name}: {}, {}", show(Amount::of(point.line_flow), units), show(Amount::of(point.head), units));
        placer.label(&mut canvas, place, &words);
    }
    let svg = canvas.finish(frame.bottom + 12.0 + SMALL + SIZE + 6.0);
    Ok(Drawing { svg, caption: caption(design, goal_flow), in_words: in_words(design) })
}

fn show(amount: Amount, units: UnitSystem) -> String {
    amount.show(units)
}

/// What all pumps do together, half-way.
fn together(design: &Design) -> Option<Flow> {
    design.pump()?.pair.as_ref()?.half_way()
}

/// A flow that lies on no curve that is drawn: an upright line.
fn upright(canvas: &mut Canvas, frame: &Frame, (flow, words): (f64, &str), placer: &mut Placer, row: f64) {
    let x = frame.x(flow);
    canvas.line((x, frame.top), (x, frame.bottom), ASKED);
    placer.keep_off(&[(x, frame.top), (x, frame.bottom)]);
    placer.label(canvas, (x, frame.top + 18.0 + row * 18.0), words);
}

fn caption(design: &Design, goal: Option<Flow>) -> String {
    let name = design.pump().map_or("", |pump| pump.name.as_str());
    let mut said = format!(
        "Pump `{name}` on the line. Where its curve crosses the band it works, from float to float; its leaks are taken off."
    );
    if together(design).is_some() {
        said.push_str(
            " The curve is that of one pump; both together are marked upright, half-way between the second's floats.",
        );
    }
    if goal.is_some() {
        said.push_str(" The flow asked for in [goal] is marked upright.");
    }
    said
}

/// The same told: every duty as the report's table has it.
fn in_words(design: &Design) -> String {
    let units = design.units;
    let Some(pump) = design.pump() else { return String::new() };
    let mut words = vec![format!("Head over the flow out of the line. Pump `{}`", pump.name)];
    let known: Vec<_> = pump.curves.iter().filter_map(|point| Some((point.line_flow, point.given?))).collect();
    if let (Some((first_flow, first)), Some((last_flow, last))) = (known.first(), known.last()) {
        let said =
            |flow: Flow, head: Head| format!("{} at {}", show(Amount::of(head), units), show(Amount::of(flow), units));
        words.push(format!(" falls from {} to {}", said(*first_flow, *first), said(*last_flow, *last)));
    }
    for duty in &pump.duties {
        let head =
            duty.duty.point().map_or_else(String::new, |point| format!(" at {}", show(Amount::of(point.head), units)));
        words.push(format!(
            "; {} ({}): {}{head}",
            duty.at.words(),
            show(Amount::of(duty.water_level), units),
            flow_of(&duty.duty, units)
        ));
    }
    if let Some(both) = together(design) {
        words.push(format!("; both pumps together: {}", show(Amount::of(both), units)));
    }
    words.push(".".to_owned());
    words.concat()
}
