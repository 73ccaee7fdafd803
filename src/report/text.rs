//! The sizing report as plain text, narrow enough for 80 columns and readable without colour.

use super::layout::{Align, Page};
use crate::basin::cycle::Cycle;
use crate::design::{Design, Finding, Losses, PumpResult, StormResult, Topic, WaterLevel};
use crate::hydraulics::FittingCount;
use crate::pump_selection::Duty;
use crate::quantity::{Amount, Area, Length, UnitSystem};

/// The report of a design.
pub fn sizing_report(design: &Design) -> String {
    let mut page = Page::default();
    let units = design.units;
    title(&mut page, design);
    verdict(&mut page, design);
    proof(&mut page, design);
    findings(&mut page, design, units);
    water(&mut page, design, units);
    line(&mut page, design, units);
    pumps(&mut page, design, units);
    basin(&mut page, design, units);
    for topic in [Topic::CheckValve, Topic::ReliefHole] {
        advice(&mut page, design, topic);
    }
    assumed(&mut page, design, units);
    not_used(&mut page, design);
    for topic in [Topic::Caution, Topic::Hire] {
        advice(&mut page, design, topic);
    }
    page.finish()
}

fn title(page: &mut Page, design: &Design) {
    page.paragraph(&design.title);
    page.line(&format!("sizing report, sumpwright {}", env!("CARGO_PKG_VERSION")));
}

fn verdict(page: &mut Page, design: &Design) {
    page.heading("Verdict");
    let sentences: Vec<String> = design.verdict.sentences.iter().map(|sentence| sentence.say(design.units)).collect();
    page.paragraph(&sentences.join(" "));
    if let Some(goal) = &design.verdict.goal {
        page.gap();
        page.paragraph(&goal.say(design.units));
    }
}

/// The few numbers that prove the verdict.
fn proof(page: &mut Page, design: &Design) {
    let units = design.units;
    let show = |amount: Amount| amount.show(units);
    let mut pairs = Vec::new();
    let mut add = |name: &str, value: String| pairs.push((name.to_owned(), value));
    let storm = &design.storm;
    if storm.peak_inflow.m3s() > 0.0 {
        let name = storm_name(storm, units);
        add(&format!("peak inflow, {name}"), show(Amount::of(storm.peak_inflow)));
    }
    if let Some(pump) = design.pump() {
        if let (Some(off), Some(on)) = (pump.duty(WaterLevel::Off), pump.duty(WaterLevel::On)) {
            add("pumped, off level to on level", range(&flow_of(&off.duty, units), &flow_of(&on.duty, units)));
            add(
                "lift, off level to on level",
                range(&show(Amount::of(off.static_head)), &show(Amount::of(on.static_head))),
            );
        }
        if let Some(losses) = &pump.losses {
            add(
                "head half-way",
                format!(
                    "{} = {} lift + {} friction + {} fittings and outlet",
                    show(Amount::of(losses.total)),
                    show(Amount::of(losses.lift)),
                    show(Amount::of(losses.friction())),
                    show(Amount::of(losses.minor()))
                ),
            );
        }
        if let Some(duty) = pump.duty(WaterLevel::Mean)
            && let Some(velocity) =
                duty.velocities.iter().copied().reduce(|best, next| if next < best { next } else { best })
        {
            add("velocity in the line half-way", show(Amount::of(velocity)));
        }
        if let Some(cycle) = &pump.cycle {
            add("a run with no inflow", show(Amount::of(cycle.shortest_run)));
            add("starts in an hour at the worst", starts(cycle.worst_starts));
        }
        if let Some(lasts) = pump.surplus_lasts {
            add("basin takes the peak's surplus for", show(Amount::of(lasts)));
        }
    }
    if let Some(time) = design.time_without_pump {
        add("peak inflow, no pump: water shows after", show(Amount::of(time)));
    }
    page.heading("Numbers");
    page.pairs(&pairs);
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

fn flow_of(duty: &Duty, units: UnitSystem) -> String {
    match duty {
        Duty::Meets(point) => Amount::of(point.line_flow).show(units),
        Duty::CannotLift { .. } => "nothing".to_owned(),
        Duty::BeforeFirstPoint { .. } => "unknown".to_owned(),
        Duty::BeyondLastPoint { at_least, .. } => format!("over {}", Amount::of(*at_least).show(units)),
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
fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    let Some(first) = letters.next() else { return String::new() };
    let end = if text.ends_with(['.', '?', '!']) { "" } else { "." };
    format!("{}{}{end}", first.to_uppercase(), letters.as_str())
}

fn water(page: &mut Page, design: &Design, units: UnitSystem) {
    let storm = &design.storm;
    if storm.peak_inflow.m3s() <= 0.0 {
        return;
    }
    page.heading("Water that comes");
    if !storm.catchments.is_empty() {
        surfaces(page, storm, units);
        page.gap();
    }
    storms(page, design, units);
    if storm.steady.m3s() > 0.0 {
        page.gap();
        page.paragraph(&format!(
            "Steady inflow, rain or not: {} (counted in the peak inflow).",
            Amount::of(storm.steady).show(units)
        ));
    }
}

fn surfaces(page: &mut Page, storm: &StormResult, units: UnitSystem) {
    page.paragraph(&format!("Surfaces in the {}:", storm_name(storm, units)));
    let mut rows = vec![cells(&["surface", "area", "C", "time", "rain then", "alone"])];
    for result in &storm.catchments {
        rows.push(vec![
            result.name.clone(),
            Amount::of(result.area).show(units),
            format!("{:.2}{}", result.coefficient, if result.used_infiltration { "*" } else { "" }),
            Amount::of(result.time.time).show(units),
            Amount::of(result.intensity).show(units),
            Amount::of(result.own_peak).show(units),
        ]);
    }
    page.table(&[Align::Left, Align::Right, Align::Right, Align::Right, Align::Right, Align::Right], &rows);
    if let Some(composite) = storm.composite
        && storm.catchments.len() > 1
    {
        let area = storm.catchments.iter().map(|result| result.area).sum::<Area>();
        page.paragraph(&format!("Together {}, composite C {composite:.2}.", Amount::of(area).show(units)));
    }
    if storm.catchments.iter().any(|result| result.used_infiltration) {
        page.paragraph("* from the soil's infiltration: an upper bound");
    }
    let soils: Vec<String> = storm
        .catchments
        .iter()
        .filter_map(|result| {
            let by_soil = result.by_infiltration?;
            Some(format!("`{}` {:.2} against {:.2}", result.name, result.tabled, by_soil))
        })
        .collect();
    if !soils.is_empty() {
        let peak = storm.peak_by_infiltration.map_or_else(String::new, |flow| {
            format!(" With those the peak runoff would be at most {}.", Amount::of(flow).show(units))
        });
        page.paragraph(&format!(
            "C by table or entry against C by infiltration (an upper bound): {}.{peak}",
            soils.join("; ")
        ));
    }
}

fn storms(page: &mut Page, design: &Design, units: UnitSystem) {
    let mut rows = vec![cells(&["storm", "rain of", "intensity", "runoff", "peak inflow", ""])];
    for storm in &design.storms {
        if storm.peak.flow.m3s() <= 0.0 {
            continue;
        }
        let designed = storm.period == design.storm.period;
        rows.push(vec![
            storm.period.map_or_else(|| "as entered".to_owned(), |period| Amount::of(period).show(units)),
            Amount::of(storm.peak.duration).show(units),
            Amount::of(storm.peak.intensity).show(units),
            Amount::of(storm.peak.flow).show(units),
            Amount::of(storm.peak_inflow).show(units),
            if designed { "the design".to_owned() } else { String::new() },
        ]);
    }
    if rows.len() > 1 {
        page.paragraph("Peaks by the rational method (exact factor: 1.00833 where US handbooks print 1):");
        page.table(&[Align::Right, Align::Right, Align::Right, Align::Right, Align::Right, Align::Left], &rows);
    }
}

fn cells(words: &[&str]) -> Vec<String> {
    words.iter().map(|word| (*word).to_owned()).collect()
}

fn line(page: &mut Page, design: &Design, units: UnitSystem) {
    let Some(pump) = design.pump() else { return };
    page.heading(&format!("Pump `{}` on the line", pump.name));
    duty_table(page, pump, units);
    page.gap();
    curve_table(page, pump, units);
    page.gap();
    page.paragraph(
        "Hazen-Williams is the design method; Darcy-Weisbach, with the water's temperature, stands beside it.",
    );
    if let Some(losses) = &pump.losses {
        page.gap();
        page.paragraph("Where the head goes, water half-way between the floats:");
        let mut rows = vec![cells(&["part", "length", "bore", "velocity", "friction", "K", "fittings"])];
        for stretch in &losses.stretches {
            rows.push(vec![
                stretch.name.clone(),
                length_words(stretch.length, units),
                Amount::bore(stretch.bore).show(units),
                Amount::of(stretch.velocity).show(units),
                Amount::of(stretch.friction).show(units),
                format!("{:.1}", stretch.sum_k),
                Amount::of(stretch.fittings).show(units),
            ]);
        }
        let right = Align::Right;
        page.table(&[Align::Left, right, right, right, right, right, right], &rows);
        let sources = k_sources(losses);
        if !sources.is_empty() {
            page.gap();
            for (what, source) in sources {
                page.hang("  K ", &format!("{what}: {source}"));
            }
            page.gap();
        }
        let place = if losses.governed_by_outlet {
            "the outlet".to_owned()
        } else {
            format!("the high point at {}", Amount::of(losses.governing_at).show(units))
        };
        let opening = if losses.opening.m() > 0.0 {
            format!(" + {} to open the cover", Amount::of(losses.opening).show(units))
        } else {
            String::new()
        };
        page.paragraph(&format!(
            "Lift to {place} {} + the above + {} at the end{opening} = {}.",
            Amount::of(losses.lift).show(units),
            Amount::of(losses.exit).show(units),
            Amount::of(losses.total).show(units),
        ));
    }
    let worn = flow_of(&pump.worn, units);
    page.paragraph(&format!(
        "Worn, with {:.0} % of its head gone, the pump would deliver {worn} half-way.",
        pump.wear * 100.0
    ));
    if let Some(longest) = pump.longest_run {
        page.paragraph(&format!(
            "The flow asked for is reached up to a run of {} (fittings and lift as drawn).",
            Amount::of(longest).show(units)
        ));
    }
}

/// What the line asks for and what the pump gives, side by side.
fn curve_table(page: &mut Page, pump: &PumpResult, units: UnitSystem) {
    page.paragraph("System curve and pump curve, water half-way (they meet at the duty point):");
    let mut rows = vec![cells(&["out of the line", "through the pump", "line asks for", "pump gives"])];
    for point in &pump.curves {
        rows.push(vec![
            Amount::of(point.line_flow).show(units),
            Amount::of(point.pump_flow).show(units),
            Amount::of(point.asked).show(units),
            point.given.map_or_else(|| "unknown".to_owned(), |head| Amount::of(head).show(units)),
        ]);
    }
    page.table(&[Align::Right; 4], &rows);
}

/// Every fitting in the line with its K, those of one source together.
fn k_sources(losses: &Losses) -> Vec<(String, String)> {
    let mut all: Vec<FittingCount> = Vec::new();
    for fitting in losses.stretches.iter().flat_map(|stretch| &stretch.made_of) {
        let same = |known: &&mut FittingCount| FittingCount { count: known.count, ..fitting.clone() } == **known;
        match all.iter_mut().find(same) {
            Some(known) => known.count += fitting.count,
            None => all.push(fitting.clone()),
        }
    }
    let mut sources: Vec<(String, String)> = Vec::new();
    for fitting in all {
        let said = format!("{} x {} of {:.2}", fitting.count, fitting.name, fitting.k);
        match sources.iter_mut().find(|(_, source)| *source == fitting.source) {
            Some((words, _)) => *words = format!("{words}, {said}"),
            None => sources.push((said, fitting.source)),
        }
    }
    sources
}

/// A length, in small units where it is short.
fn length_words(length: Length, units: UnitSystem) -> String {
    if length < Length::from_m(1.0) { Amount::small(length).show(units) } else { Amount::of(length).show(units) }
}

fn duty_table(page: &mut Page, pump: &PumpResult, units: UnitSystem) {
    let mut rows = vec![cells(&["water at", "level", "lift", "head", "pumped", "Darcy", "leak", "velocity"])];
    for duty in &pump.duties {
        let point = duty.duty.point();
        let dash = || "-".to_owned();
        rows.push(vec![
            duty.at.words().to_owned(),
            Amount::of(duty.water_level).show(units),
            Amount::of(duty.static_head).show(units),
            point.map_or_else(dash, |point| Amount::of(point.head).show(units)),
            flow_of(&duty.duty, units),
            flow_of(&duty.darcy, units),
            point.filter(|point| point.leak.m3s() > 0.0).map_or_else(dash, |point| Amount::of(point.leak).show(units)),
            duty.velocities.last().map_or_else(dash, |velocity| Amount::of(*velocity).show(units)),
        ]);
    }
    let right = Align::Right;
    page.table(&[Align::Left, right, right, right, right, right, right, right], &rows);
}

fn pumps(page: &mut Page, design: &Design, units: UnitSystem) {
    if design.pumps.len() < 2 {
        return;
    }
    page.heading("Candidates");
    page.paragraph(
        "Those that hold first, then the fewest cautions, then who moves more of the peak, then the price where all are entered:",
    );
    let priced = design.pumps.iter().any(|pump| pump.price.is_some());
    let mut head = cells(&["pump", "half-way", "worn", "run", "starts/h", "cautions"]);
    if priced {
        head.push("price".to_owned());
    }
    let mut rows = vec![head];
    for (pump, standing) in design.pumps.iter().zip(&design.standings) {
        let duty = pump.duty(WaterLevel::Mean).map_or_else(|| "-".to_owned(), |duty| flow_of(&duty.duty, units));
        let mut row = vec![
            format!("{}{}", if standing.used { "> " } else { "  " }, pump.name),
            duty,
            flow_of(&pump.worn, units),
            pump.cycle.as_ref().map_or_else(|| "-".to_owned(), |cycle| Amount::of(cycle.shortest_run).show(units)),
            pump.cycle.as_ref().map_or_else(
                || "-".to_owned(),
                |cycle| {
                    if cycle.worst_starts.is_finite() {
                        format!("{:.0}", cycle.worst_starts)
                    } else {
                        "for ever".to_owned()
                    }
                },
            ),
            pump.cautions().to_string(),
        ];
        if priced {
            row.push(pump.price.map_or_else(|| "-".to_owned(), |price| format!("{price:.0}")));
        }
        rows.push(row);
    }
    let right = Align::Right;
    page.table(&[Align::Left, right, right, right, right, right, right], &rows);
    page.gap();
    for (pump, standing) in design.pumps.iter().zip(&design.standings) {
        let word = if standing.used {
            "used"
        } else if standing.holds {
            "not used"
        } else {
            "turned down"
        };
        page.hang(&format!("  `{}` {word}: ", pump.name), &standing.reason.say(units));
    }
}

fn basin(page: &mut Page, design: &Design, units: UnitSystem) {
    page.heading("Basin");
    let small = |length: Length| Amount::small(length).show(units);
    let budget = &design.depth_budget;
    let spare = if budget.spare < Length::ZERO {
        format!("{} short", small(-budget.spare))
    } else {
        format!("{} to spare", small(budget.spare))
    };
    let mut pairs = vec![(
        "depth".to_owned(),
        format!(
            "{} rim to inlet + {} pump-down + {} dead water, in {} of basin: {spare}",
            small(budget.inlet_depth),
            small(budget.pump_down),
            small(budget.dead_water),
            small(budget.depth)
        ),
    )];
    let mut add = |name: &str, value: String| pairs.push((name.to_owned(), value));
    if let Some(cycle) = design.pump().and_then(|pump| pump.cycle.as_ref()) {
        add("between the floats", Amount::of(cycle.live).show(units));
        add(
            "runs back at a stop",
            format!("{}, a rise of {}", Amount::of(cycle.runs_back).show(units), small(cycle.rise)),
        );
        add("a run with no inflow", Amount::of(cycle.shortest_run).show(units));
        if let (Some(worst), Some(shortest)) = (cycle.worst_inflow, cycle.shortest_cycle) {
            add(
                "most starts",
                format!(
                    "{:.0} an hour, one in {}, with {} running in; allowed {:.0} ({})",
                    cycle.worst_starts,
                    Amount::of(shortest).show(units),
                    Amount::of(worst).show(units),
                    cycle.starts_limit.0,
                    cycle.starts_limit.1
                ),
            );
        }
        if design.storm.peak_inflow.m3s() > 0.0 {
            add("at the peak inflow", cycle_words(&cycle.at_peak, units));
        }
        if design.storm.steady.m3s() > 0.0 {
            add("between storms", cycle_words(&cycle.at_steady, units));
        }
        add(
            "enough for its limits",
            format!(
                "{} between the floats: on at {}",
                Amount::of(cycle.enough_live).show(units),
                small(cycle.enough_on)
            ),
        );
    }
    add("room above the on level", Amount::of(design.room_above_on).show(units));
    if let Some(room) = design.room_above_alarm {
        add("reserve above the alarm", Amount::of(room).show(units));
    }
    if let Some(time) = design.time_without_pump {
        add("no pump, peak inflow", format!("water shows after {}", Amount::of(time).show(units)));
    }
    if let Some(time) = design.time_without_pump_steady {
        add("no pump, steady inflow", format!("water shows after {}", Amount::of(time).show(units)));
    }
    page.pairs(&pairs);
}

fn cycle_words(cycle: &Cycle, units: UnitSystem) -> String {
    match cycle {
        Cycle::Idle => "the pump does not start".to_owned(),
        Cycle::Continuous => "the pump runs without stopping".to_owned(),
        Cycle::RestartsItself => "the pump restarts itself for ever".to_owned(),
        Cycle::Cycles { rest, run } => format!(
            "runs {}, rests {}: {:.1} starts an hour",
            Amount::of(*run).show(units),
            Amount::of(*rest).show(units),
            cycle.starts_per_hour()
        ),
    }
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
