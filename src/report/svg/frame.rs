//! The frame of a chart: where values lie on the page, its axes with names, units and ticks, and its legend.

use super::axis::Axis;
use super::canvas::{Anchor, Canvas, INK, Pen, RULE, SIZE, SMALL, text_width};
use super::labels::Placer;

/// A rectangle of the page with a scale on both sides.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Frame {
    pub(super) left: f64,
    pub(super) right: f64,
    pub(super) top: f64,
    pub(super) bottom: f64,
    pub(super) across: Axis,
    pub(super) up: Axis,
}

const AXIS: Pen = Pen::solid(1.2, INK);
const GRID: Pen = Pen::solid(0.8, RULE);

impl Frame {
    pub(super) fn x(&self, value: f64) -> f64 {
        self.left + (self.right - self.left) * self.across.share(value)
    }
    pub(super) fn y(&self, value: f64) -> f64 {
        self.bottom - (self.bottom - self.top) * self.up.share(value)
    }
    pub(super) fn at(&self, (x, y): (f64, f64)) -> (f64, f64) {
        (self.x(x), self.y(y))
    }

    /// The values of the axis at the left, with rules across.
    pub(super) fn left_axis(&self, canvas: &mut Canvas) {
        for tick in self.up.ticks() {
            let y = self.y(tick);
            canvas.line((self.left, y), (self.right, y), GRID);
            canvas.text((self.left - 6.0, y + SMALL * 0.35), &self.up.label(tick), SMALL, Anchor::End, INK);
        }
        canvas.line((self.left, self.top), (self.left, self.bottom), AXIS);
    }

    /// The values of the axis below, as `label` writes them, and the axis's name.
    pub(super) fn lower_axis(&self, canvas: &mut Canvas, name: &str, label: impl Fn(f64) -> String) {
        canvas.line((self.left, self.bottom), (self.right, self.bottom), AXIS);
        for tick in self.across.ticks() {
            let x = self.x(tick);
            canvas.line((x, self.bottom), (x, self.bottom + 4.0), AXIS);
            canvas.text((x, self.bottom + 6.0 + SMALL), &label(tick), SMALL, Anchor::Middle, INK);
        }
        let middle = f64::midpoint(self.left, self.right);
        canvas.text((middle, self.bottom + 10.0 + SMALL + SIZE), name, SIZE, Anchor::Middle, INK);
    }

    /// The part of a curve that lies within the frame, by values.
    pub(super) fn within(&self, curve: &[(f64, f64)]) -> Vec<(f64, f64)> {
        let (low, high) = (self.up.low, self.up.high);
        let mut shown: Vec<(f64, f64)> = Vec::new();
        let mut before: Option<(f64, f64)> = None;
        for point in curve.iter().copied().filter(|(x, y)| x.is_finite() && y.is_finite()) {
            if let Some(from) = before {
                for edge in [low, high] {
                    // where it crosses an edge
                    if (from.1 - edge) * (point.1 - edge) < 0.0 {
                        let share = (edge - from.1) / (point.1 - from.1);
                        shown.push((from.0 + (point.0 - from.0) * share, edge));
                    }
                }
            }
            if (low..=high).contains(&point.1) {
                shown.push(point);
            }
            before = Some(point);
        }
        shown
    }
}

/// How wide the labels of an axis at the left are.
pub(super) fn room_for_ticks(axis: &Axis) -> f64 {
    axis.ticks().iter().map(|tick| text_width(&axis.label(*tick), SMALL)).fold(0.0, f64::max)
}

/// What a legend shows beside its words.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Sample {
    Line(Pen),
    Area(&'static str),
}

/// A legend at the top of a drawing, broken into lines; gives where it ends.
pub(super) fn legend(canvas: &mut Canvas, (left, top, right): (f64, f64, f64), entries: &[(Sample, String)]) -> f64 {
    let (sample, gap, line) = (26.0, 14.0, 18.0);
    let (mut x, mut y) = (left, top + SIZE);
    for (shown, words) in entries {
        let width = sample + 5.0 + text_width(words, SMALL);
        if x > left && x + width > right {
            x = left;
            y += line;
        }
        let middle = y - SMALL * 0.35;
        match shown {
            Sample::Line(pen) => canvas.line((x, middle), (x + sample, middle), *pen),
            Sample::Area(fill) => {
                canvas.rectangle((x, middle - 5.0), (x + sample, middle + 5.0), fill, Some(Pen::solid(0.8, INK)));
            }
        }
        canvas.text((x + sample + 5.0, y), words, SMALL, Anchor::Start, INK);
        x += width + gap;
    }
    y + 8.0
}

impl Frame {
    /// Where words may stand in it.
    pub(super) fn placer(&self) -> Placer {
        Placer::new((self.left + 2.0, self.top), (self.right, self.bottom - 2.0))
    }
}
