//! How long the run may be, as text.

use crate::quantity::Amount;
use crate::questions::reach::{
    Case, Job, Reach, assumed_words, drawn_words, extent_words, flow_words, job_words, line_words, margin_words,
    run_words, sentences,
};
use crate::report::layout::{Align, Page};

/// How long the run may be: the answer in sentences, the table, what was assumed; of lifts beside each other with the height
/// of the outlet over the off level at each.
pub fn reach_report(reach: &Reach) -> String {
    let mut page = Page::default();
    page.paragraph(&reach.title);
    page.line(&format!("how long the run may be, sumpwright {}", env!("CARGO_PKG_VERSION")));
    page.gap();
    page.paragraph(&format!("The job: {}.", job_words(reach)));
    if let Some(line) = line_words(reach) {
        page.paragraph(&line);
    }
    page.gap();
    let said = sentences(reach);
    for sentence in &said {
        page.paragraph(sentence);
    }
    if !said.is_empty() {
        page.gap();
    }
    table(&mut page, reach);
    page.gap();
    page.paragraph(&assumed_words(reach).join(" "));
    // where the answer says from where on, that is enough
    let told = reach.drawn().is_some_and(|case| case.hangs_from.is_some());
    if matches!(reach.job, Job::Goal | Job::Everything) && !told {
        page.paragraph(
            "Near its end the answer hangs on where in its cycle the pump is when the burst comes: on another day the goal may be missed there. Keep well within it.",
        );
    }
    let others = "the town's rules; a run with feet to spare may still be stopped by one of them";
    let judged = "`--for everything` looks at all that stops a design, `sumpwright size` judges the whole, `sumpwright margins` how wrong rain, ground and curve may be; local codes decide.";
    page.paragraph(&match reach.job {
        Job::Everything => "Not looked at here: the town's rules, and what `sumpwright size` only cautions against. Local codes decide.".to_owned(),
        _ if reach.quick => format!("Not looked at here: cover, frost, surge, starts, a storm, {others}. With a site file `sumpwright size` judges the whole, and local codes decide."),
        Job::Goal => format!("Not looked at here: cover, frost, surge, starts, water that runs back from a full ditch, soil that takes less or stone that is full, {others}. {judged}"),
        _ => format!("Not looked at here: cover, frost, surge, starts, {others}. {judged}"),
    });
    page.finish()
}

fn table(page: &mut Page, reach: &Reach) {
    let units = reach.units;
    let several = reach.cases.iter().any(|case| reach.cases.first().is_some_and(|first| first.pump != case.pump));
    let half_way = reach.cases.iter().any(|case| case.half_way.is_some());
    let worn = reach.cases.iter().all(|case| case.worn.is_some());
    let from = reach.cases.iter().any(|case| case.extent.from().is_some());
    let run = reach.run.map(|run| drawn_words(run, units));
    let mut aligns = Vec::new();
    let mut heads = Vec::new();
    let mut head = |align, words: String| {
        aligns.push(align);
        heads.push(words);
    };
    if several {
        head(Align::Left, "pump".to_owned());
    }
    if reach.by_lift {
        head(Align::Right, "lift".to_owned());
    } else {
        head(Align::Left, "pipe".to_owned());
    }
    // where the lift goes to the outlet it says it already
    let uneven = |case: &Case| case.outlet.is_some_and(|outlet| (case.lift.m() - outlet.m()).abs() > 1e-6);
    let outlets = reach.cases.iter().any(uneven);
    if outlets {
        head(Align::Right, "outlet".to_owned());
    }
    if from {
        head(Align::Right, "from".to_owned());
    }
    head(Align::Right, "longest run".to_owned());
    if worn {
        head(Align::Right, "with the pump worn".to_owned());
    }
    if let Some(run) = &run {
        if half_way {
            head(Align::Right, format!("at {run}: half-way"));
        }
        head(Align::Right, if half_way { "at the off level".to_owned() } else { format!("at {run}") });
        head(Align::Right, "the run".to_owned());
    }
    let cells = |case: &Case| {
        let mut cells = Vec::new();
        if several {
            cells.push(case.pump.clone());
        }
        let mark = if reach.by_lift { case.lift_as_drawn } else { case.pipe_as_drawn };
        let name = if reach.by_lift { Amount::of(case.lift).show(units) } else { case.size.clone() };
        cells.push(match (mark, reach.by_lift) {
            (false, _) => name,
            (true, false) => format!("{name} *"),
            (true, true) => format!("* {name}"),
        });
        cells.extend(case.outlet.filter(|_| outlets).map(|outlet| Amount::of(outlet).show(units)));
        if from {
            cells.push(case.extent.from().map_or_else(|| "-".to_owned(), |from| run_words(from, units)));
        }
        cells.push(extent_words(&case.extent, units));
        if let Some(worn) = case.worn.as_ref().filter(|_| worn) {
            cells.push(extent_words(worn, units));
        }
        if run.is_some() {
            let flow = |flow| Option::map_or(flow, "-".to_owned(), |flow| flow_words(flow, units));
            if half_way {
                cells.push(flow(case.half_way));
            }
            cells.push(flow(case.off));
            cells.push(case.margin.map_or_else(String::new, |margin| margin_words(reach.job, margin, units)));
        }
        cells
    };
    let mut rows = vec![heads];
    rows.extend(reach.cases.iter().map(cells));
    page.table(&aligns, rows);
    if reach.cases.iter().any(|case| case.pipe_as_drawn && case.lift_as_drawn) {
        page.line("  * as drawn");
    }
    if outlets {
        page.line("  lift: up to the highest point; outlet: its height over the off level");
    }
}
