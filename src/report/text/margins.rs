//! How wrong an estimate may be, as text: one screen.

use super::{cells, sentence};
use crate::design::Finding;
use crate::quantity::Amount;
use crate::questions::margins::{Margin, Margins, Sampling};
use crate::report::layout::{Align, Page};

/// The margins.
pub fn margins_report(found: &Margins) -> String {
    let mut page = Page::default();
    page.paragraph(&found.title);
    page.line(&format!("how wrong the estimate may be, sumpwright {}", env!("CARGO_PKG_VERSION")));
    page.gap();
    page.paragraph(&found.sentence());
    for remark in found.remarks() {
        page.paragraph(&remark);
    }
    if !found.holds {
        stops(&mut page, found, &found.stops.iter().collect::<Vec<&Finding>>());
    }
    table(&mut page, found);
    if found.holds {
        stops(&mut page, found, &named(found));
    }
    if let Some(sampling) = &found.sampling {
        sampled(&mut page, found, sampling);
    }
    page.finish()
}

/// The findings that end the margins, each once.
fn named(found: &Margins) -> Vec<&Finding> {
    let mut named: Vec<&Finding> = Vec::new();
    for stop in found.margins.iter().filter_map(|margin| margin.stop.as_ref()) {
        if named.iter().all(|known| known.id != stop.id) {
            named.push(stop);
        }
    }
    named
}

fn stops(page: &mut Page, found: &Margins, named: &[&Finding]) {
    for stop in named {
        page.gap();
        page.hang(&format!("{}: ", stop.id), &sentence(&stop.message.say(found.units)));
    }
}

pub(in crate::report) fn table(page: &mut Page, found: &Margins) {
    let turns = if found.holds { "fails at" } else { "holds at" };
    page.heading("Each alone, all else as entered");
    let mut lines = vec![cells(&["assumption", "now", turns, "slack", "first stop"])];
    if !found.holds {
        lines = vec![cells(&["assumption", "now", turns, "change"])];
    }
    let (turning, others): (Vec<&Margin>, Vec<&Margin>) =
        found.margins.iter().partition(|margin| margin.stop.is_some());
    for margin in turning {
        let mut line = vec![name(margin, found), margin.now.show(found.units)];
        line.extend([margin.reached.value.show(found.units), margin.slack_words(found.holds)]);
        line.extend(margin.stop.iter().filter(|_| found.holds).map(|stop| stop.id.to_owned()));
        lines.push(line);
    }
    let aligns = [Align::Left, Align::Right, Align::Right, Align::Right, Align::Left];
    if lines.len() > 1 {
        page.table(aligns.get(..if found.holds { 5 } else { 4 }).unwrap_or(&aligns), lines);
        page.gap();
    }
    if !others.is_empty() {
        let others: Vec<String> = others
            .iter()
            .map(|margin| {
                let (now, furthest) = (margin.now.show(found.units), margin.reached.value.show(found.units));
                format!("{} ({now}) to {furthest}", name(margin, found))
            })
            .collect();
        let tried = if found.holds { "Tried further without a failure" } else { "Tried further without a cure" };
        page.paragraph(&format!("{tried}: {}.", others.join("; ")));
    }
    let odd: Vec<String> = found
        .margins
        .iter()
        .filter(|margin| margin.stop.is_some() && margin.assumption.slack_of() != "of the value now")
        .map(|margin| format!("{}, {}", margin.assumption.words(), margin.assumption.slack_of()))
        .collect();
    let odd = if odd.is_empty() { String::new() } else { format!(", except: {}", odd.join("; ")) };
    page.paragraph(&format!("Percent of the value now{odd}. The pump is `{}`.", found.pump));
}

pub(in crate::report) fn name(margin: &Margin, found: &Margins) -> String {
    use crate::questions::margins::Assumption;
    match (margin.assumption, found.rain_duration) {
        (Assumption::Rain, Some(duration)) => format!("rain, in {}", Amount::of(duration).show(found.units)),
        (assumption, _) => assumption.words().to_owned(),
    }
}

/// Inputs that tell less than this are not named: of ten pairs six.
const TELLS: f64 = 0.6;
/// So many inputs and stops are named.
const NAMED: usize = 3;

fn sampled(page: &mut Page, found: &Margins, sampling: &Sampling) {
    page.heading("All at once, at random");
    page.paragraph(&sampling.words());
    let stops: Vec<String> = sampling.stops.iter().take(NAMED).map(|(id, times)| format!("{id} in {times}")).collect();
    if !stops.is_empty() {
        page.paragraph(&format!("First stop of the others: {}.", stops.join(", ")));
    }
    let telling: Vec<String> = sampling
        .inputs
        .iter()
        .filter_map(|input| Some((input, input.worse_in.filter(|share| *share >= TELLS)?)))
        .take(NAMED)
        .map(|(input, share)| format!("{} {:.0}", input.assumption.words(), share * 100.0))
        .collect();
    if !telling.is_empty() {
        page.paragraph(&format!(
            "Of 100 pairs of one that fails and one that holds, the one that fails has the worse: {} (50 would say nothing).",
            telling.join(", ")
        ));
    }
    let ranges: Vec<String> = sampling.inputs.iter().map(|input| input.range_words(found.units)).collect();
    page.paragraph(&format!(
        "Drawn from triangles, the entered value the likeliest: {}. Other ranges go under [margins] in the file.",
        ranges.join("; ")
    ));
}
