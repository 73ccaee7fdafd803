//! How far each assumption may be off, as bars.

use super::canvas::{ACCENT, Anchor, Canvas, INK, Pen, RULE, SIZE, SMALL, TINT, text_width};
use super::frame::Frame;
use super::{Axis, WIDTH, listed};
use crate::questions::margins::{Margin, Margins};
use crate::report::papers::Drawing;
use crate::report::text::margins::name;

const EDGE: Pen = Pen::solid(1.0, INK);
/// From one bar to the next, its words above it.
const ROW: f64 = 36.0;
const BAR: f64 = 12.0;

/// The chart; where nothing turns the verdict, that.
pub(crate) fn margin_bars(found: &Margins) -> Result<Drawing, String> {
    let turning: Vec<&Margin> = found.margins.iter().filter(|margin| margin.stop.is_some()).collect();
    if turning.is_empty() {
        return Err(found.sentence());
    }
    let percent = |margin: &Margin| (margin.reached.slack * 100.0).abs();
    let most = turning.iter().map(|margin| percent(margin)).fold(0.0, f64::max);
    let across = Axis::over(0.0, most, 6);
    let mut canvas = Canvas::default();
    let what = if found.holds { "slack, %" } else { "change, %" };
    let top = 4.0;
    let bottom = top + ROW * turning.len() as f64 + 4.0;
    let frame = Frame { left: 6.0, right: WIDTH - 22.0, top, bottom, across, up: Axis::over(0.0, 1.0, 2) };
    for tick in across.ticks() {
        canvas.line((frame.x(tick), top), (frame.x(tick), bottom), Pen::solid(0.8, RULE));
    }
    for (row, margin) in turning.iter().enumerate() {
        let y = top + ROW * row as f64;
        let (now, reached) = (margin.now.show(found.units), margin.reached.value.show(found.units));
        canvas.text(
            (8.0, y + SIZE),
            &format!("{}: {now}, {} {reached}", name(margin, found), turns(found)),
            SMALL,
            Anchor::Start,
            INK,
        );
        let end = frame.x(percent(margin)).max(frame.left + 1.0);
        canvas.rectangle(
            (frame.left, y + SIZE + 5.0),
            (end, y + SIZE + 5.0 + BAR),
            if row == 0 { ACCENT } else { TINT },
            Some(EDGE),
        );
        let words = margin.slack_words(found.holds);
        // behind the bar, or in front of its end where there is no room
        let room = frame.right + 20.0 - end;
        let fits = text_width(&words, SMALL) + 6.0 < room;
        let (x, anchor) = if fits { (end + 5.0, Anchor::Start) } else { (end - 5.0, Anchor::End) };
        canvas.text((x, y + SIZE + 5.0 + BAR - 2.0), &words, SMALL, anchor, INK);
    }
    frame.lower_axis(&mut canvas, what, |tick| across.label(tick));
    let svg = canvas.finish(bottom + 12.0 + SMALL + SIZE + 6.0);
    let said: Vec<String> = turning
        .iter()
        .map(|margin| {
            let (now, reached) = (margin.now.show(found.units), margin.reached.value.show(found.units));
            format!("{} {now}, {} {reached}, {}", name(margin, found), turns(found), margin.slack_words(found.holds))
        })
        .collect();
    Ok(Drawing {
        svg,
        caption: found.sentence(),
        in_words: format!("Each alone, all else as entered: {}.", listed(&said)),
    })
}

fn turns(found: &Margins) -> &'static str {
    if found.holds { "fails at" } else { "holds at" }
}
