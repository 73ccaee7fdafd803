//! A drawing under way: lines, surfaces, markers and words, each checked and escaped.

use super::WIDTH;
use crate::report::layout::clean;
use maud::{PreEscaped, html};

/// Size of most words.
pub(super) const SIZE: f64 = 12.5;
/// Size of ticks and of what stands in a drawing.
pub(super) const SMALL: f64 = 11.5;

/// Black of lines and words.
pub(super) const INK: &str = "#111";
/// Grey that still reads as words.
pub(super) const FAINT: &str = "#555";
/// Grey of rules behind the drawing.
pub(super) const RULE: &str = "#ddd";
/// The one accent.
pub(super) const ACCENT: &str = "#0b5a78";
/// A tint of the accent for surfaces of water.
pub(super) const TINT: &str = "#d6e4ea";
/// A tint for the ground.
pub(super) const EARTH: &str = "#ececec";

/// A pen: how thick, how dashed, in which colour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Pen {
    pub(super) width: f64,
    pub(super) dash: &'static str,
    pub(super) colour: &'static str,
}

impl Pen {
    pub(super) const fn solid(width: f64, colour: &'static str) -> Self {
        Self { width, dash: "none", colour }
    }
    pub(super) const fn dashed(width: f64, dash: &'static str, colour: &'static str) -> Self {
        Self { width, dash, colour }
    }
}

/// Where words stand against their point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Anchor {
    Start,
    Middle,
    End,
}

impl Anchor {
    fn word(self) -> &'static str {
        match self {
            Self::Start => "start",
            Self::Middle => "middle",
            Self::End => "end",
        }
    }
}

/// The shape of a marker.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Mark {
    Dot,
    Ring,
    Diamond,
}

/// Room that a text takes at the most: six tenths of its size for each letter.
pub(super) fn text_width(text: &str, size: f64) -> f64 {
    text.chars().count() as f64 * size * 0.6
}

/// A drawing under way.
#[derive(Debug, Default)]
pub(super) struct Canvas {
    body: String,
}

impl Canvas {
    fn put(&mut self, drawn: &maud::Markup) {
        self.body.push_str(&drawn.0);
    }

    pub(super) fn line(&mut self, (x1, y1): (f64, f64), (x2, y2): (f64, f64), pen: Pen) {
        if [x1, y1, x2, y2].iter().all(|number| number.is_finite()) {
            self.put(&html! {
                line x1=(n(x1)) y1=(n(y1)) x2=(n(x2)) y2=(n(y2)) stroke=(pen.colour) stroke-width=(n(pen.width)) stroke-dasharray=(pen.dash) {}
            });
        }
    }

    pub(super) fn path(&mut self, points: &[(f64, f64)], pen: Pen) {
        let points = places(points);
        if points.contains(' ') {
            self.put(&html! {
                polyline points=(points) fill="none" stroke=(pen.colour) stroke-width=(n(pen.width)) stroke-dasharray=(pen.dash) stroke-linejoin="round" {}
            });
        }
    }

    pub(super) fn surface(&mut self, points: &[(f64, f64)], fill: &str) {
        self.put(&html! { polygon points=(places(points)) fill=(fill) {} });
    }

    /// A rectangle between two corners.
    pub(super) fn rectangle(&mut self, (x1, y1): (f64, f64), (x2, y2): (f64, f64), fill: &str, pen: Option<Pen>) {
        if ![x1, y1, x2, y2].iter().all(|number| number.is_finite()) {
            return;
        }
        let (x, y, width, height) = (x1.min(x2), y1.min(y2), (x2 - x1).abs(), (y2 - y1).abs());
        let pen = pen.unwrap_or(Pen::solid(0.0, "none"));
        self.put(&html! {
            rect x=(n(x)) y=(n(y)) width=(n(width)) height=(n(height)) fill=(fill) stroke=(pen.colour) stroke-width=(n(pen.width)) stroke-dasharray=(pen.dash) {}
        });
    }

    pub(super) fn mark(&mut self, (x, y): (f64, f64), mark: Mark, colour: &str) {
        if !(x.is_finite() && y.is_finite()) {
            return;
        }
        let r = 4.2;
        match mark {
            Mark::Dot => self.put(&html! { circle cx=(n(x)) cy=(n(y)) r=(n(r)) fill=(colour) {} }),
            Mark::Ring => {
                self.put(
                    &html! { circle cx=(n(x)) cy=(n(y)) r=(n(r)) fill="#fff" stroke=(colour) stroke-width="1.8" {} },
                );
            }
            Mark::Diamond => {
                self.surface(&[(x, y - r - 1.0), (x + r + 1.0, y), (x, y + r + 1.0), (x - r - 1.0, y)], colour);
            }
        }
    }

    /// Words with a white edge, so that they read over lines.
    pub(super) fn text(&mut self, (x, y): (f64, f64), text: &str, size: f64, anchor: Anchor, colour: &str) {
        if x.is_finite() && y.is_finite() {
            self.put(&html! {
                text x=(n(x)) y=(n(y)) font-size=(n(size)) text-anchor=(anchor.word()) fill=(colour) stroke="#fff" stroke-width="3" stroke-linejoin="round" paint-order="stroke" { (clean(text)) }
            });
        }
    }

    /// The finished drawing. Whoever cannot see it is told by what stands around it.
    pub(super) fn finish(self, height: f64) -> String {
        html! {
            svg xmlns="http://www.w3.org/2000/svg" viewBox={ "0 0 " (n(WIDTH)) " " (n(height)) } font-family="Helvetica, Arial, sans-serif" aria-hidden="true" focusable="false" {
                (PreEscaped(&self.body))
            }
        }
        .into_string()
    }
}

/// A number of a drawing, to a tenth.
fn n(number: f64) -> String {
    let text = format!("{:.1}", if number.is_finite() { number } else { 0.0 });
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

fn places(points: &[(f64, f64)]) -> String {
    let said: Vec<String> = points
        .iter()
        .filter(|(x, y)| x.is_finite() && y.is_finite())
        .map(|(x, y)| format!("{},{}", n(*x), n(*y)))
        .collect();
    said.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_words_are_escaped_and_what_is_no_number_is_not_drawn() {
        let mut canvas = Canvas::default();
        canvas.text((1.0, 2.0), "<script>alert(\"x\")</script> & 'so'\u{7}", SIZE, Anchor::Start, INK);
        canvas.line((f64::NAN, 0.0), (1.0, 1.0), Pen::solid(1.0, INK));
        canvas.path(&[(0.0, 0.0), (f64::INFINITY, 1.0), (2.0, 2.0)], Pen::solid(1.0, INK));
        canvas.rectangle((0.0, f64::NAN), (1.0, 1.0), INK, None);
        let svg = canvas.finish(10.0);
        assert!(svg.contains("&lt;script&gt;alert(&quot;x&quot;)&lt;/script&gt; &amp; 'so' "), "{svg}");
        assert!(!svg.contains("<script") && !svg.contains("NaN") && !svg.contains("inf"), "{svg}");
        assert!(svg.contains("points=\"0,0 2,2\"") && !svg.contains("<line") && !svg.contains("<rect"), "{svg}");
    }
}
