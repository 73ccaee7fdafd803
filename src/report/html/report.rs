//! The sizing report: verdict, the numbers that prove it, findings, charts, and the tables of the text report.

use super::blocks::{anchor, blocks, headings, pairs, words};
use super::{figure, page};
use crate::design::{Design, DrawnCurves, Finding};
use crate::quantity::UnitSystem;
use crate::questions::margins::Margins;
use crate::questions::storm::Course;
use crate::report::layout::{Page, clean};
use crate::report::papers::Drawing;
use crate::report::svg::{basin_section, line_profile, margin_bars, pump_curves, storm_course};
use crate::report::text::{each_by_itself, margins, proof_pairs, sentence, tables, to_ask};
use crate::report::working::working;
use crate::site::Site;
use crate::working::Step;
use maud::{Markup, html};

/// What the report is written from.
#[derive(Clone, Copy, Debug)]
pub struct Sources<'a> {
    /// What was entered.
    pub site: &'a Site,
    /// What follows from it.
    pub design: &'a Design,
    /// Pump and line as curves, where there is a pump.
    pub curves: Option<&'a DrawnCurves>,
    /// The design storm; in words why not, where it could not be followed.
    pub course: Result<&'a Course, &'a str>,
    /// How wrong the estimate may be, where that was asked for.
    pub margins: Option<&'a Margins>,
    /// The working, where that was asked for.
    pub steps: Option<&'a [Step]>,
}

/// The sizing report as one HTML file.
pub fn sizing_html(sources: Sources<'_>) -> String {
    let (site, design) = (sources.site, sources.design);
    let units = design.units;
    let mut asking = Page::default();
    to_ask(&mut asking, design);
    let asking = asking.into_blocks();
    let mut behind = Page::default();
    if let Some(found) = sources.margins {
        margins::table(&mut behind, found);
    }
    tables(&mut behind, design);
    let behind = behind.into_blocks();
    let charts = charts(&sources);
    let body = html! {
        header {
            p.about { "Sizing report, sumpwright " (env!("CARGO_PKG_VERSION")) }
            h1 { (clean(&design.title)) }
        }
        section.verdict aria-labelledby="verdict" {
            h2 id="verdict" { "Verdict" }
            @for (index, sentence) in design.verdict.sentences.iter().enumerate() {
                p class=[(index == 0).then_some("lead")] { (words(&sentence.say(units))) }
            }
            @if let Some(goal) = &design.verdict.goal { p { b { (words(&goal.say(units))) } } }
        }
        h2 id="numbers" { "Numbers" }
        (pairs(&proof_pairs(design)))
        h2 id="findings" { "Findings" }
        (findings(design, units))
        (blocks(&asking))
        nav aria-label="What follows" {
            ul {
                @for (name, _) in &charts { li { a href={ "#chart-" (anchor(name)) } { (name) } } }
                @for heading in headings(&behind) { li { a href={ "#" (anchor(heading)) } { (words(heading)) } } }
                @if sources.steps.is_some() { li { a href="#working" { "Working" } } }
            }
        }
        h2 id="charts" { "Charts" }
        div.charts {
            @for (name, chart) in &charts {
                section.chart {
                    h3 id={ "chart-" (anchor(name)) } { (name) }
                    @match chart {
                        Ok(drawing) => (figure(drawing)),
                        Err(missing) => p { (words(missing)) },
                    }
                }
            }
        }
        (blocks(&behind))
        @if let Some(steps) = sources.steps {
            h2 id="working" { "Working" }
            pre tabindex="0" role="group" aria-label="Working" { (without_heading(&working(steps, site.units))) }
        }
    };
    page(&format!("{}: sizing report", design.title), &body)
}

/// Each chart by its name; in place of one that cannot be drawn, what to enter.
fn charts(sources: &Sources<'_>) -> Vec<(&'static str, Result<Drawing, String>)> {
    let (site, design) = (sources.site, sources.design);
    let mut charts = vec![
        ("Pump and line", pump_curves(design, sources.curves, site.goal.flow)),
        ("The line from the side", line_profile(site, design)),
        ("The basin in section", Ok(basin_section(site, design))),
        ("The design storm", sources.course.map(storm_course).map_err(|why| sentence(&format!("not drawn: {why}")))),
    ];
    if let Some(found) = sources.margins {
        charts.push(("How wrong the estimate may be", margin_bars(found)));
    }
    charts
}

fn findings(design: &Design, units: UnitSystem) -> Markup {
    html! {
        @if design.findings.is_empty() { p { "None." } }
        @for found in &design.findings { (finding(found, units)) }
        @if let Some(said) = each_by_itself(design) { p.small { (said) } }
    }
}

fn finding(found: &Finding, units: UnitSystem) -> Markup {
    let severity = found.severity.word();
    html! {
        article class={ "finding " (severity) } {
            h3 { span.severity { (severity) } " " (found.id) }
            p { (words(&sentence(&found.message.say(units)))) }
            @if let Some((limit, source)) = &found.limit { p.small { "limit: " (limit.show(units)) " (" (clean(source)) ")" } }
            @if !found.cures.is_empty() {
                ul.cures aria-label="cures" {
                    @for (index, cure) in found.cures.iter().enumerate() {
                        li { b { @if index == 0 { "cure: " } @else { "or: " } } (words(&cure.say(units))) }
                    }
                }
            }
        }
    }
}

/// The text under its heading, which the page has as its own.
fn without_heading(text: &str) -> &str {
    text.trim_start().split_once('\n').and_then(|(_, rest)| rest.split_once('\n')).map_or(text, |(_, rest)| rest)
}
