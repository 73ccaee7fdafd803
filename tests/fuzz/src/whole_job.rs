//! What `size`, `papers` and `takeoff` do with a file, every form of what they print, and what must hold of it.

use crate::{assert_cells, assert_json, assert_numbers, assert_page, assert_plain};
use sumpwright::design::{Design, Severity, design, design_worked, drawn_curves};
use sumpwright::job::job;
use sumpwright::quantity::{Duration, UnitSystem};
use sumpwright::questions::storm::{StormAsked, course};
use sumpwright::report::papers::{self, PAPERS, Paper, Sources};
use sumpwright::report::takeoff_table::takeoff_csv;
use sumpwright::report::{html, json, storm_table, text, working};
use sumpwright::site::{Files, Site, read};
use sumpwright::working::{Recorder, Tape};

/// The examples.
pub const EXAMPLES: &[&str] = &[
    include_str!("../../../examples/bid-orchard-wall.toml"),
    include_str!("../../../examples/courtyard-metric.toml"),
    include_str!("../../../examples/cut-bank.toml"),
    include_str!("../../../examples/heavy-clay.toml"),
    include_str!("../../../examples/long-run.toml"),
    include_str!("../../../examples/over-the-bank.toml"),
    include_str!("../../../examples/two-pumps.toml"),
    include_str!("../../../examples/wet-meadow.toml"),
    include_str!("../../site_reading/good.toml"),
];

/// Reads a site file and does the job, if it can be read; `input` is all that was put in.
pub fn run(text: &str, files: &dyn Files, input: &str) {
    let Some(mut site) = read(text, files).site else { return };
    // the units of the report change no result: each file is printed in one or the other
    if text.len() % 4 == 0 {
        site.units = if site.units == UnitSystem::Us { UnitSystem::Metric } else { UnitSystem::Us };
    }
    let tape = Tape::default();
    let mut recorder = Recorder::new(&tape);
    let Ok(found) = design_worked(&site, &mut recorder) else { return };
    let steps = recorder.into_steps();
    let stops = found.findings.iter().any(|finding| finding.severity == Severity::Stop);
    assert_eq!(stops, !found.holds(), "what stands against a design is not what it is judged by");

    let forms = forms(&site, &found, &steps);
    for (what, form) in &forms {
        assert_plain(form, what);
        assert_numbers(form, input, what);
        match *what {
            "json" => assert_json(form, what),
            "takeoff csv" | "storm csv" => assert_cells(form, what),
            what if what.starts_with("html") => assert_page(form, what),
            _ => {
                for line in form.lines() {
                    assert!(
                        line.chars().count() <= 80 || !line.trim().contains(' ') || *what == "working",
                        "{what} is too wide: {line}"
                    );
                }
            }
        }
    }
    if text.len() % 8 == 1 {
        let again = design(&site).expect("a design, as before");
        assert_eq!(text::sizing_report(&found), text::sizing_report(&again), "twice the same site, and two reports");
    }
}

/// Every form of what is printed of a site.
fn forms(site: &Site, design: &Design, steps: &[sumpwright::working::Step]) -> Vec<(&'static str, String)> {
    let curves = drawn_curves(site, design);
    let closely = StormAsked { every_drawn: Some(Duration::from_s(20.0)), ..StormAsked::default() };
    let course = design
        .basis()
        .ok_or_else(|| "no pump".to_owned())
        .and_then(|basis| course(site, &basis, &closely).map_err(|error| error.to_string()));
    let drawn = course.as_ref().map_err(String::as_str);
    let mut forms = vec![
        ("report", text::sizing_report(design)),
        ("charts", text::charts(design, curves.as_ref(), drawn)),
        ("working", working::working(steps, site.units)),
        ("json", json::json(design, Some(steps))),
        (
            "html report",
            html::sizing_html(html::Sources {
                site,
                design,
                curves: curves.as_ref(),
                course: drawn,
                margins: None,
                steps: Some(steps),
            }),
        ),
    ];
    if let Ok(course) = &course {
        forms.push(("storm", text::storm_course(course, text::Parts::default())));
        forms.push(("storm csv", storm_table::storm_csv(course)));
    }
    let job = job(site, design);
    let sources = Sources { site, design, job: &job };
    for paper in PAPERS {
        let document = paper.document(sources);
        let (as_text, as_html) = match paper {
            Paper::Visit => ("visit", "html visit"),
            Paper::Crew => ("crew", "html crew"),
            Paper::StartUp => ("start-up", "html start-up"),
            Paper::Electrical => ("electrical", "html electrical"),
            Paper::Estimate => ("estimate", "html estimate"),
            Paper::Proposal => ("proposal", "html proposal"),
            Paper::Town => ("town", "html town"),
            Paper::Owner => ("owner", "html owner"),
        };
        forms.push((as_text, papers::text(&document)));
        forms.push((as_html, papers::html(&document)));
    }
    forms.push(("takeoff csv", takeoff_csv(&job.takeoff)));
    forms
}
