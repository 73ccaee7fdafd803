//! The sizing report as HTML: complete, escaped, readable by machine and ear, its charts within their bounds.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test fails by panicking"
)]

#[path = "support/figures.rs"]
mod figures;

use figures::with_figures;
use proptest::prelude::*;
use std::collections::HashSet;
use std::fs;
use std::path::Path;
use sumpwright::design::{Design, basis, design, drawn_curves};
use sumpwright::quantity::{Amount, UnitSystem};
use sumpwright::questions::margins::margins;
use sumpwright::questions::storm::{Course, StormAsked, course};
use sumpwright::report::html::{Sources, sizing_html};
use sumpwright::report::text::{self, Parts};
use sumpwright::site::{self, NoFiles, Site};

fn examples() -> Vec<String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let mut names: Vec<String> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "toml"))
        .map(|path| path.file_stem().unwrap().to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

fn file(name: &str) -> String {
    fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("examples/{name}.toml"))).unwrap()
}

fn site_of(text: &str) -> Site {
    let reading = site::read(text, &NoFiles);
    reading.site.unwrap_or_else(|| panic!("{:#?}", reading.problems))
}

/// A report with everything that it is written from.
struct Reported {
    site: Site,
    design: Design,
    course: Result<Course, String>,
    html: String,
}

fn report(site: Site, with_margins: bool) -> Reported {
    let design = design(&site).unwrap();
    let curves = drawn_curves(&site, &design);
    let course = course(&site, &basis(&site).unwrap(), &StormAsked::default()).map_err(|error| error.to_string());
    let found = with_margins.then(|| margins(&site, None).unwrap());
    let html = sizing_html(Sources {
        site: &site,
        design: &design,
        curves: curves.as_ref(),
        course: course.as_ref().map_err(String::as_str),
        margins: found.as_ref(),
        steps: None,
    });
    Reported { site, design, course, html }
}

/// Every example in both systems of units.
fn each(mut look: impl FnMut(&str, &Reported)) {
    for name in examples() {
        for units in [UnitSystem::Us, UnitSystem::Metric] {
            let mut site = site_of(&file(&name));
            site.units = units;
            look(&name, &report(site, false));
        }
    }
}

/// What stands between two marks, each time.
fn between<'a>(text: &'a str, begin: &str, end: &str) -> Vec<&'a str> {
    text.split(begin).skip(1).map(|rest| rest.split(end).next().unwrap()).collect()
}

fn unescaped(text: &str) -> String {
    text.replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"").replace("&amp;", "&")
}

fn drawings(html: &str) -> Vec<&str> {
    between(html, "<svg", "</svg>")
}

#[test]
fn regress_report_of_the_cut_bank() {
    let reported = report(site_of(&file("cut-bank")), false);
    insta::with_settings!({ prepend_module_to_snapshot => false, omit_expression => true }, {
        // one element a line, so that a change can be read
        insta::assert_snapshot!("html/cut-bank", reported.html.replace("><", ">\n<"));
    });
    assert_eq!(reported.html, report(site_of(&file("cut-bank")), false).html);
}

#[test]
fn identity_reports_are_small_and_need_nothing() {
    each(|name, reported| {
        let html = &reported.html;
        assert!(html.len() < 300_000, "{name}: {} bytes", html.len());
        assert!(html.starts_with("<!DOCTYPE html><html lang=\"en\">"));
        for foreign in ["<script", "<link", "<img", "<iframe", "@import", "url(", " src=", "javascript:"] {
            assert!(!html.contains(foreign), "{name}: {foreign}");
        }
        let links = html.replace("http://www.w3.org/2000/svg", "");
        assert!(!links.contains("http://") && !links.contains("https://"), "{name}");
    });
}

#[test]
fn identity_headings_tables_and_names_are_in_order() {
    each(|name, reported| {
        let html = &reported.html;
        let levels: Vec<u32> = html
            .split("<h")
            .skip(1)
            .filter_map(|rest| rest.chars().next().and_then(|letter| letter.to_digit(10)))
            .collect();
        assert_eq!(levels.iter().filter(|level| **level == 1).count(), 1, "{name}");
        assert_eq!(levels[0], 1);
        assert!(levels.windows(2).all(|pair| pair[1] <= pair[0] + 1), "{name}: {levels:?}");
        assert!(between(html, "<th", ">").iter().all(|head| head.starts_with("ead") || head.contains("scope=")));
        let ids = between(html, " id=\"", "\"");
        let mut seen = HashSet::new();
        assert!(ids.iter().all(|id| seen.insert(*id)), "{name}: {ids:?}");
        for target in between(html, "href=\"#", "\"") {
            assert!(seen.contains(target), "{name}: nothing is called {target}");
        }
    });
}

#[test]
fn identity_the_verdict_comes_first_and_the_words_are_those_of_the_text() {
    each(|name, reported| {
        let (design, units) = (&reported.design, reported.site.units);
        // what stands in marks reads as the text does
        let plain: String =
            reported.html.split('<').map(|piece| piece.split_once('>').map_or("", |(_, text)| text)).collect();
        let flat = |text: &str| unescaped(text).replace(['`', '\u{a0}', ' ', '\n'], "");
        let shown = flat(&plain);
        for sentence in &design.verdict.sentences {
            assert!(shown.contains(&flat(&sentence.say(units))), "{name}: {}", sentence.say(units));
        }
        for finding in &design.findings {
            for cure in &finding.cures {
                assert!(shown.contains(&flat(&cure.say(units))), "{name}: {}", cure.say(units));
            }
        }
        for advice in &design.advice {
            assert!(shown.contains(&flat(&advice.sentence.say(units))), "{name}: {}", advice.sentence.say(units));
        }
        let place = |mark: &str| reported.html.find(mark).unwrap();
        assert!(place("id=\"verdict\"") < place("id=\"numbers\""));
        assert!(place("id=\"numbers\"") < place("id=\"findings\""));
        assert!(place("id=\"findings\"") < place("id=\"charts\""));
    });
}

#[test]
fn identity_each_chart_is_told_with_the_numbers_of_the_text() {
    each(|name, reported| {
        let told = between(&reported.html, "role=\"img\" aria-label=\"", "\"");
        assert_eq!(told.len(), drawings(&reported.html).len(), "{name}");
        assert!(!told.is_empty());
        let mut printed = text::sizing_report(&reported.design);
        // entered, and printed where water stands against it only
        printed.push_str(&Amount::of(reported.site.discharge.outlet.level).show(reported.site.units));
        if let Ok(course) = &reported.course {
            printed.push_str(&text::storm_course(course, Parts::All));
            // the table of the course has the level at its times only
            printed.push_str(&Amount::of(course.outcome.highest_in_basin).show(reported.site.units));
        }
        let printed = printed.split_whitespace().collect::<Vec<_>>().join(" ");
        for words in told {
            let words = unescaped(words);
            let mut numbers = 0;
            let pieces: Vec<&str> = words.split([' ', '(']).filter(|piece| !piece.is_empty()).collect();
            for pair in pieces.windows(2) {
                let [number, unit] = pair else { continue };
                let unit = unit.trim_end_matches(['.', ',', ';', ':', ')']);
                if number.parse::<f64>().is_err()
                    || !matches!(unit, "ft" | "m" | "in" | "mm" | "gpm" | "L/s" | "gal" | "L" | "in/h" | "mm/h")
                {
                    continue;
                }
                numbers += 1;
                let said = format!("{number} {unit}");
                assert!(printed.contains(&said), "{name}: {said} in: {words}");
            }
            assert!(numbers > 2, "{name}: {words}");
        }
    });
}

/// Every number of a drawing is one, and lies near the drawing.
fn holds_numbers(name: &str, drawing: &str) {
    for attribute in ["x", "y", "x1", "y1", "x2", "y2", "cx", "cy", "r", "width", "height", "font-size", "stroke-width"]
    {
        for value in between(drawing, &format!(" {attribute}=\""), "\"") {
            let number: f64 = value.parse().unwrap_or_else(|_| panic!("{name}: {attribute}={value}"));
            assert!(number.is_finite() && number.abs() < 5000.0, "{name}: {attribute}={value}");
        }
    }
    for points in between(drawing, " points=\"", "\"") {
        for number in points.split([' ', ',']).filter(|number| !number.is_empty()) {
            let number: f64 = number.parse().unwrap_or_else(|_| panic!("{name}: {points}"));
            assert!(number.is_finite() && number.abs() < 5000.0, "{name}: {points}");
        }
    }
}

#[test]
fn identity_drawings_hold_numbers_only() {
    each(|name, reported| drawings(&reported.html).into_iter().for_each(|drawing| holds_numbers(name, drawing)));
}

/// The room that a word of a drawing takes: left, top, right, bottom.
fn room(element: &str) -> (f64, f64, f64, f64, String) {
    let value = |name: &str| between(element, &format!(" {name}=\""), "\"")[0].to_owned();
    let number = |name: &str| value(name).parse::<f64>().unwrap();
    let words = unescaped(element.split_once('>').unwrap().1);
    let (x, y, size) = (number("x"), number("y"), number("font-size"));
    // letters of plain sans fonts are about half as wide as high
    let width = words.chars().count() as f64 * size * 0.5;
    let left = match value("text-anchor").as_str() {
        "start" => x,
        "middle" => x - width / 2.0,
        _ => x - width,
    };
    (left, y - size * 0.7, left + width, y, words)
}

/// No words of a drawing lie over others or reach out of it.
fn words_keep_apart(name: &str, drawing: &str) {
    let size: Vec<f64> =
        between(drawing, "viewBox=\"0 0 ", "\"")[0].split(' ').map(|number| number.parse().unwrap()).collect();
    let words: Vec<_> = between(drawing, "<text", "</text>").into_iter().map(room).collect();
    for (index, one) in words.iter().enumerate() {
        assert!(
            one.0 >= -1.0 && one.1 >= -1.0 && one.2 <= size[0] + 1.0 && one.3 <= size[1] + 1.0,
            "{name}: {one:?} leaves the drawing of {size:?}"
        );
        for other in &words[index + 1..] {
            let meet = one.0 < other.2 && other.0 < one.2 && one.1 < other.3 && other.1 < one.3;
            assert!(!meet, "{name}: {one:?} and {other:?}");
        }
    }
}

#[test]
fn identity_no_words_of_a_drawing_meet_or_leave_it() {
    each(|name, reported| drawings(&reported.html).into_iter().for_each(|drawing| words_keep_apart(name, drawing)));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn identity_no_change_of_figures_breaks_a_report(
        example in 0_usize..16,
        changes in prop::collection::vec((any::<usize>(), prop_oneof![0.0..3.0_f64, 0.5..1.6_f64, 0.9..1.1_f64]), 1..6),
    ) {
        let names = examples();
        let text = with_figures(&file(&names[example % names.len()]), &changes, true);
        if let Some(site) = site::read(&text, &NoFiles).site
            && design(&site).is_ok()
        {
            let reported = report(site, false);
            prop_assert!(reported.html.len() < 300_000);
            prop_assert!(!reported.html.contains("NaN"));
            for drawing in drawings(&reported.html) {
                holds_numbers(&text, drawing);
                words_keep_apart(&text, drawing);
            }
        }
    }
}

#[test]
fn identity_names_from_the_file_are_escaped() {
    let text = file("cut-bank")
        .replace("Lower lawn, house on the cut bank (invented)", "<script>alert('x')</script> & \\\"so\\\"")
        .replace("\"medium\"", "\"<b onclick='x'>\"")
        .replace("\"corner\"", "\"cor<ner & \\\"co\\\"\"");
    let reported = report(site_of(&text), true);
    let html = &reported.html;
    assert!(!html.contains("<script") && !html.contains("<b onclick"), "markup of the file got through");
    assert!(html.contains("<h1>&lt;script&gt;alert('x')&lt;/script&gt; &amp; &quot;so&quot;</h1>"));
    assert!(html.contains("&lt;b onclick='x'&gt;"));
    for told in between(html, "aria-label=\"", "\"") {
        assert!(!told.contains('<'), "{told}");
    }
}

#[test]
fn identity_charts_that_cannot_be_drawn_say_what_to_enter() {
    let long = report(site_of(&file("long-run")), false);
    assert!(long.html.contains("enter its <b class=\"name\">profile</b> under [discharge]"));
    assert!(long.html.contains("Not drawn: the storm cannot be followed"));
    let count = |reported: &Reported| drawings(&reported.html).len();
    assert_eq!(count(&long), 2);
    let cut = report(site_of(&file("cut-bank")), true);
    assert_eq!(count(&cut), 5);
    assert!(cut.html.contains("How wrong the estimate may be"));
}

#[test]
fn identity_charts_in_characters_fit_and_are_plain() {
    each(|name, reported| {
        let curves = drawn_curves(&reported.site, &reported.design);
        let chart = text::charts(&reported.design, curves.as_ref(), reported.course.as_ref().map_err(String::as_str));
        assert!(chart.is_ascii(), "{name}");
        assert!(chart.lines().all(|line| line.chars().count() <= 80), "{name}:\n{chart}");
        assert!(chart.contains('X') && chart.contains("flow out of the line"), "{name}:\n{chart}");
    });
    let reported = report(site_of(&file("cut-bank")), false);
    let curves = drawn_curves(&reported.site, &reported.design);
    insta::with_settings!({ prepend_module_to_snapshot => false, omit_expression => true }, {
        insta::assert_snapshot!("html/cut-bank-charts", text::charts(&reported.design, curves.as_ref(), reported.course.as_ref().map_err(String::as_str)));
    });
}
