//! The sizing report as plain text, narrow enough for 80 columns and readable without colour.

mod basin;
mod bid;
mod curve_chart;
mod ground;
mod line;
pub(super) mod margins;
mod options;
mod pump;
mod reach;
mod record;
pub(super) mod storm;
mod storm_chart;
mod water;
mod way_in;
mod yard;

pub(crate) use yard::{if_otherwise, period_name, stands};

pub use margins::margins_report;
pub use storm::{Parts, storm_course};

pub use options::options_report;
pub use reach::reach_report;
pub use record::record_report;

pub(in crate::report) use bid::to_ask;

use super::layout::Page;
use crate::design::{Design, DrawnCurves, Finding, StormResult, Topic, WaterLevel};
use crate::pump_selection::Duty;
use crate::quantity::{Amount, UnitSystem, Velocity};
use crate::questions::storm::Course;

/// The report of a design.
pub fn sizing_report(design: &Design) -> String {
    let mut page = Page::default();
    let units = design.units;
    title(&mut page, design);
    verdict(&mut page, design);
    proof(&mut page, design);
    findings(&mut page, design, units);
    to_ask(&mut page, design);
    tables(&mut page, design);
    page.finish()
}

/// Pump against line and the design storm in plain characters; in place of one that cannot be drawn, why.
pub fn charts(design: &Design, curves: Option<&DrawnCurves>, course: Result<&Course, &str>) -> String {
    let mut page = Page::default();
    match curves {
        Some(curves) => curve_chart::curve_chart(&mut page, design, curves),
        None => page.paragraph("Pump and line are not drawn: there is no pump."),
    }
    page.heading("The design storm");
    match course {
        Ok(course) => {
            page.paragraph(&storm::storm_words(course));
            storm_chart::chart(&mut page, course);
        }
        Err(why) => page.paragraph(&sentence(&format!("not drawn: {why}"))),
    }
    page.finish()
}

/// What stands behind verdict, numbers and findings.
pub(in crate::report) fn tables(page: &mut Page, design: &Design) {
    let units = design.units;
    yard::yard(page, design, units);
    water::water(page, design, units);
    way_in::way_in(page, design, units);
    ground::measured(page, design, units);
    pump::line(page, design, units);
    line::stations(page, design, units);
    ground::way_off(page, design, units);
    pump::pumps(page, design, units);
    basin::basin(page, design, units);
    for topic in [Topic::CheckValve, Topic::ReliefHole] {
        advice(page, design, topic);
    }
    assumed(page, design, units);
    not_used(page, design);
    for topic in [Topic::Caution, Topic::Hire] {
        advice(page, design, topic);
    }
}

fn title(page: &mut Page, design: &Design) {
    page.paragraph(&design.title);
    page.line(&format!("sizing report, sumpwright {}", env!("CARGO_PKG_VERSION")));
}

fn verdict(page: &mut Page, design: &Design) {
    page.heading("Verdict");
    for sentence in &design.verdict.sentences {
        page.paragraph(&sentence.say(design.units));
    }
    if let Some(goal) = &design.verdict.goal {
        page.paragraph(&goal.say(design.units));
    }
}

/// The few numbers that prove the verdict.
fn proof(page: &mut Page, design: &Design) {
    page.heading("Numbers");
    page.pairs(&proof_pairs(design));
}

/// The same, each with its name.
pub(in crate::report) fn proof_pairs(design: &Design) -> Vec<(String, String)> {
    let units = design.units;
    let show = |amount: Amount| amount.show(units);
    let mut pairs = Vec::new();
    let mut add = |name: &str, value: String| pairs.push((name.to_owned(), value));
    let storm = &design.storm;
    if storm.peak.flow.m3s() > 0.0 {
        let name = storm_name(storm, units);
        add("peak inflow, rational method", format!("{} in the {name}", show(Amount::of(storm.peak_inflow))));
    } else if storm.steady.m3s() > 0.0 {
        add("steady inflow", show(Amount::of(storm.steady)));
    }
    if let Some(pump) = design.pump() {
        if let (Some(off), Some(on)) = (pump.duty(WaterLevel::Off), pump.duty(WaterLevel::On)) {
            add("pumped, off level to on level", range(&flow_of(&off.duty, units), &flow_of(&on.duty, units)));
            add(
                "lift to the highest point",
                range(&show(Amount::of(off.static_head)), &show(Amount::of(on.static_head))),
            );
        }
        if let Some(both) = pump.pair.as_ref().and_then(|pair| line::both_words(pair, units)) {
            add("both pumps together", both);
        }
        if let Some(losses) = &pump.losses {
            add(
                "head, middle water level",
                format!(
                    "{} = {} lift to {} + {} friction + {} fittings and outlet{}",
                    show(Amount::of(losses.total)),
                    show(Amount::of(losses.lift)),
                    if losses.governed_by_outlet { "the outlet" } else { "the high point" },
                    show(Amount::of(losses.friction())),
                    show(Amount::of(losses.minor())),
                    if losses.opening.m() > 0.0 {
                        format!(" + {} to open the cover", show(Amount::of(losses.opening)))
                    } else {
                        String::new()
                    }
                ),
            );
        }
        if let Some(duty) = pump.duty(WaterLevel::Mean) {
            let by_speed = |a: &&Velocity, b: &&Velocity| a.ms().total_cmp(&b.ms());
            if let (Some(least), Some(most)) =
                (duty.velocities.iter().min_by(by_speed), duty.velocities.iter().max_by(by_speed))
            {
                let words = range(&show(Amount::of(*least)), &show(Amount::of(*most)));
                add("velocity, middle water level", words);
            }
        }
        if let Some(cycle) = &pump.cycle {
            add("one run, no water coming in", show(Amount::of(cycle.shortest_run)));
            let name =
                if cycle.turns > 1.0 { "starts of each in an hour, worst" } else { "starts in an hour at the worst" };
            add(name, starts(pump.worst_starts_each().unwrap_or_else(|| cycle.worst_starts_each())));
        }
        if let Some(surge) = &pump.surge
            && let Some(worst) = surge.worst()
            && let (Some(most), Some(rating)) = (worst.most, worst.rating)
        {
            let unknown: Vec<&str> = surge
                .pipes
                .iter()
                .filter(|pipe| pipe.most.is_none() || pipe.rating.is_none())
                .map(|pipe| pipe.name.as_str())
                .collect();
            let where_known = if unknown.is_empty() {
                String::new()
            } else {
                format!(" in the {}; not known for the {}", worst.name, unknown.join(", "))
            };
            add(
                "pressure, surge included",
                format!("{}, rated {}{where_known}", show(Amount::of(most)), show(Amount::of(rating))),
            );
        }
        if let Some(lasts) = pump.surplus_lasts {
            add("basin takes the peak's surplus for", show(Amount::of(lasts)));
        }
    }
    if let Some(time) = design.time_without_pump.filter(|_| storm.peak.flow.m3s() > 0.0) {
        add("without a pump: water shows after", show(Amount::of(time)));
    }
    pairs
}

fn starts(number: f64) -> String {
    if number.is_finite() { format!("{number:.0}") } else { "restarts itself for ever".to_owned() }
}

/// Two amounts as one range, the unit once where it is the same.
fn range(low: &str, high: &str) -> String {
    if low == high {
        return low.to_owned();
    }
    match (low.split_once(' '), high.split_once(' ')) {
        (Some((number, unit)), Some((_, other))) if unit == other => format!("{number} to {high}"),
        _ => format!("{low} to {high}"),
    }
}

pub(in crate::report) fn flow_of(duty: &Duty, units: UnitSystem) -> String {
    match duty {
        Duty::Meets(point) => Amount::of(point.line_flow).show(units),
        Duty::CannotLift { .. } | Duty::LeakTakesAll => "nothing".to_owned(),
        Duty::BeforeFirstPoint { .. } => "unknown".to_owned(),
        Duty::BeyondLastPoint { at_least, .. } => format!("over {}", Amount::of(*at_least).show(units)),
    }
}

/// The same for a cell of a table, where room is short.
fn flow_cell(duty: &Duty, units: UnitSystem) -> String {
    match duty {
        Duty::BeyondLastPoint { at_least, .. } => format!(">{}", Amount::of(*at_least).show(units)),
        other => flow_of(other, units),
    }
}

fn storm_name(storm: &StormResult, units: UnitSystem) -> String {
    storm
        .period
        .map_or_else(|| "the rain entered".to_owned(), |period| format!("{} storm", Amount::of(period).show(units)))
}

fn findings(page: &mut Page, design: &Design, units: UnitSystem) {
    page.heading("Findings");
    if design.findings.is_empty() {
        page.paragraph("None.");
    }
    for (index, finding) in design.findings.iter().enumerate() {
        if index > 0 {
            page.gap();
        }
        one_finding(page, finding, units);
    }
    if let Some(words) = each_by_itself(design) {
        page.gap();
        page.paragraph(words);
    }
}

/// What to know about several cures.
pub(in crate::report) fn each_by_itself(design: &Design) -> Option<&'static str> {
    let cures: usize = design.findings.iter().map(|finding| finding.cures.len()).sum();
    (cures > 1).then_some("Each cure is reckoned by itself, all else as it is: run again after applying one.")
}

fn one_finding(page: &mut Page, finding: &Finding, units: UnitSystem) {
    page.line(&format!("{}: {}", finding.severity.word(), finding.id));
    page.hang("  ", &sentence(&finding.message.say(units)));
    if let Some((limit, source)) = &finding.limit {
        page.hang("  limit: ", &format!("{} ({source})", limit.show(units)));
    }
    for (index, cure) in finding.cures.iter().enumerate() {
        page.hang(if index == 0 { "  cure:  " } else { "     or: " }, &cure.say(units));
    }
}

/// A message as a sentence: capital first, full stop last.
pub(in crate::report) fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    let Some(first) = letters.next() else { return String::new() };
    let end = if text.ends_with(['.', '?', '!']) { "" } else { "." };
    format!("{}{}{end}", first.to_uppercase(), letters.as_str())
}

fn cells(words: &[&str]) -> Vec<String> {
    words.iter().map(|word| (*word).to_owned()).collect()
}

fn advice(page: &mut Page, design: &Design, topic: Topic) {
    let mut sentences = design.advice.iter().filter(|advice| advice.topic == topic).peekable();
    if sentences.peek().is_none() {
        return;
    }
    page.heading(topic.heading());
    for advice in sentences {
        page.hang("- ", &advice.sentence.say(design.units));
    }
}

fn assumed(page: &mut Page, design: &Design, units: UnitSystem) {
    if design.assumptions.is_empty() {
        return;
    }
    page.heading("Taken for want of an entry");
    for assumption in &design.assumptions {
        page.hang("- ", &format!("{}: {} ({})", assumption.what, assumption.value.show(units), assumption.why));
    }
}

fn not_used(page: &mut Page, design: &Design) {
    if design.not_used.is_empty() {
        return;
    }
    page.heading("Read, but not used yet");
    let keys: Vec<String> =
        design.not_used.iter().map(|entry| format!("{} (line {})", entry.key, entry.line)).collect();
    page.paragraph(&format!("{}. They are checked, and nothing here is computed from them.", keys.join(", ")));
}
