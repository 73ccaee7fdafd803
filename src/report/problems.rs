//! Problems of a site file as text: file, line, column, the line with what is wrong underlined, and what to write.

use super::layout::{clean, invisible, wrap};
use crate::site::{Problem, ProblemKind, Severity};
use annotate_snippets::renderer::DecorStyle;
use annotate_snippets::{AnnotationKind, Group, Level, Origin, Renderer, Snippet};
use std::fmt::Write as _;
use std::ops::Range;

/// How to render.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Look {
    /// Columns of the terminal.
    pub width: usize,
    /// Whether to use color. Nothing needs it to be understood.
    pub color: bool,
}

impl Default for Look {
    fn default() -> Self {
        Self { width: 100, color: false }
    }
}

/// More problems than this are counted, not shown.
const SHOWN: usize = 100;
/// No line is shown longer than this, in characters.
const LONGEST_LINE: usize = 120;
/// What of a long line is kept before the place.
const KEPT_BEFORE: usize = 30;

/// The problems as text, in their order, with a closing line that counts them.
pub fn render(problems: &[Problem], file_name: &str, text: &str, look: Look) -> String {
    let renderer = if look.color { Renderer::styled() } else { Renderer::plain() };
    let renderer = renderer.decor_style(DecorStyle::Ascii).term_width(look.width.clamp(40, 200));
    let lines = Lines::of(text);
    let mut out = String::new();
    let (gaps, mistakes): (Vec<&Problem>, Vec<&Problem>) =
        problems.iter().partition(|problem| problem.kind == ProblemKind::ToBeMeasured);
    for problem in mistakes.iter().take(SHOWN) {
        out.push_str(&one(problem, file_name, &lines, &renderer));
        out.push_str("\n\n");
    }
    if !gaps.is_empty() {
        out.push_str(&to_be_measured(&gaps, file_name, &lines, look.width));
        out.push('\n');
    }
    out.push_str(&closing(&mistakes, &gaps, file_name));
    out
}

/// The gaps together, as a list to go out with: no line of the file would say more than its key.
fn to_be_measured(gaps: &[&Problem], file_name: &str, lines: &Lines<'_>, width: usize) -> String {
    let mut out = String::from("still to be measured:\n");
    for gap in gaps.iter().take(SHOWN) {
        let place = gap.span.as_ref().map_or_else(String::new, |place| {
            let (line, within) = lines.find(place);
            let column = lines.text(line).get(..within.start).map_or(0, |before| before.chars().count());
            format!(":{}:{}", line + 1, column + 1)
        });
        let (name, message) = (clean(file_name), clean(&gap.message));
        // the heading has said the rest
        let what = message.strip_suffix(" is still to be measured").unwrap_or(&message);
        let how = gap.help.as_deref().unwrap_or_default();
        let _ = writeln!(out, "  {name}{place}: {what} ({})", clean(&gap.label));
        for line in wrap(&clean(how), width.clamp(40, 80) - 6) {
            let _ = writeln!(out, "      {line}");
        }
    }
    out
}

fn closing(mistakes: &[&Problem], gaps: &[&Problem], file_name: &str) -> String {
    let errors = mistakes.iter().filter(|problem| problem.is_error()).count();
    let warnings = mistakes.len() - errors;
    let needed = gaps.iter().filter(|gap| gap.is_error()).count();
    let count = |n: usize, word: &str| format!("{n} {word}{}", if n == 1 { "" } else { "s" });
    let mut counted = Vec::new();
    if errors > 0 {
        counted.push(count(errors, "error"));
    }
    if warnings > 0 {
        counted.push(count(warnings, "warning"));
    }
    match (gaps.len(), needed) {
        (0, _) => {}
        (all, 0) => counted.push(format!("{all} to be measured")),
        (all, needed) if all == needed => counted.push(format!("{all} to be measured before it can be sized")),
        (all, needed) => counted.push(format!("{all} to be measured, {needed} of them before it can be sized")),
    }
    let rest = mistakes.len().saturating_sub(SHOWN) + gaps.len().saturating_sub(SHOWN);
    let hidden = if rest > 0 { format!(" ({rest} not shown)") } else { String::new() };
    format!("{}: {}{hidden}\n", clean(file_name), counted.join(" and "))
}

fn one(problem: &Problem, file_name: &str, lines: &Lines<'_>, renderer: &Renderer) -> String {
    let level = match problem.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
    };
    let title = level.primary_title(clean(&problem.message)).id(problem.kind.id());
    let mut group = match &problem.span {
        Some(place) => places(title, problem, place, file_name, lines),
        None => title.element(Origin::path(clean(file_name))),
    };
    if let Some(help) = &problem.help {
        group = group.element(Level::HELP.message(clean(help)));
    }
    renderer.render(&[group])
}

/// The lines of all places: each in a snippet of its own line, so that a long file or line costs nothing.
fn places<'a>(
    title: annotate_snippets::Title<'a>,
    problem: &Problem,
    place: &Range<usize>,
    file_name: &str,
    lines: &Lines<'_>,
) -> Group<'a> {
    let mut spots: Vec<(usize, Range<usize>, String, bool)> = Vec::new();
    let all = std::iter::once((place, &problem.label, true))
        .chain(problem.also.iter().map(|(place, label)| (place, label, false)));
    for (place, label, primary) in all {
        let (line, within) = lines.find(place);
        spots.push((line, within, clean(label), primary));
    }
    let mut order: Vec<usize> = Vec::new();
    for (line, ..) in &spots {
        if !order.contains(line) {
            order.push(*line);
        }
    }
    let mut group: Option<Group<'a>> = None;
    let mut title = Some(title);
    for line in order {
        let here: Vec<&(usize, Range<usize>, String, bool)> = spots.iter().filter(|spot| spot.0 == line).collect();
        let first = here.first().map_or(0, |spot| spot.1.start);
        let shown = Shown::of(lines.text(line), first);
        let mut snippet = Snippet::source(shown.text.clone()).line_start(line + 1).path(clean(file_name));
        for (_, within, label, primary) in here {
            let kind = if *primary { AnnotationKind::Primary } else { AnnotationKind::Context };
            let annotation = kind.span(shown.place(within));
            snippet = snippet.annotation(if label.is_empty() { annotation } else { annotation.label(label.clone()) });
        }
        group = Some(match (group, title.take()) {
            (Some(group), _) => group.element(snippet),
            (None, Some(title)) => title.element(snippet),
            (None, None) => Group::with_level(Level::NOTE).element(snippet),
        });
    }
    group.unwrap_or_else(|| Group::with_level(Level::NOTE))
}

/// A text by its lines.
struct Lines<'t> {
    text: &'t str,
    starts: Vec<usize>,
}

impl<'t> Lines<'t> {
    fn of(text: &'t str) -> Self {
        let starts = std::iter::once(0).chain(text.match_indices('\n').map(|(at, _)| at + 1)).collect();
        Self { text, starts }
    }
    /// The line that a place begins in, and the place within it, held to the line.
    fn find(&self, place: &Range<usize>) -> (usize, Range<usize>) {
        let start = place.start.min(self.text.len());
        let line = self.starts.partition_point(|at| *at <= start).saturating_sub(1);
        let begin = self.starts.get(line).copied().unwrap_or(0);
        let length = self.text(line).len();
        let from = (start - begin).min(length);
        let to = place.end.saturating_sub(begin).clamp(from, length);
        (line, from..to)
    }
    fn text(&self, line: usize) -> &'t str {
        let begin = self.starts.get(line).copied().unwrap_or(0);
        let end = self.starts.get(line + 1).copied().unwrap_or(self.text.len());
        self.text.get(begin..end).unwrap_or("").trim_end_matches(['\n', '\r'])
    }
}

/// A line as it is shown: tabs as spaces, control characters as a mark, cut where it is long. Knows where each of
/// its bytes came from.
struct Shown {
    text: String,
    /// Byte in the line and byte in the shown text, at each character.
    map: Vec<(usize, usize)>,
}

impl Shown {
    fn of(line: &str, place: usize) -> Self {
        let before = line.char_indices().take_while(|(at, _)| *at < place).count();
        let skipped = if line.chars().nth(LONGEST_LINE).is_some() { before.saturating_sub(KEPT_BEFORE) } else { 0 };
        let mut shown = Self { text: String::new(), map: Vec::new() };
        if skipped > 0 {
            shown.text.push_str("... ");
        }
        let mut end = line.len();
        for (count, (at, letter)) in line.char_indices().skip(skipped).enumerate() {
            if count == LONGEST_LINE {
                shown.map.push((at, shown.text.len()));
                shown.text.push_str(" ...");
                end = at;
                break;
            }
            shown.map.push((at, shown.text.len()));
            match letter {
                '\t' => shown.text.push_str("    "),
                _ if letter.is_control() || invisible(letter) => shown.text.push('\u{fffd}'),
                _ => shown.text.push(letter),
            }
        }
        if end == line.len() {
            shown.map.push((line.len(), shown.text.len()));
        }
        shown
    }
    fn place(&self, within: &Range<usize>) -> Range<usize> {
        let at = |byte: usize| {
            let index = self.map.partition_point(|(known, _)| *known < byte);
            self.map.get(index).or(self.map.last()).map_or(0, |(_, shown)| *shown)
        };
        let start = at(within.start);
        start..at(within.end).max(start)
    }
}
