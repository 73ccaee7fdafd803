//! Reading site files: a good one, the slips that people make, all problems in one run, any text at all.

// Helpers of tests fail as tests do.
#![allow(clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

use proptest::prelude::*;
use sumpwright::hydrology::Rain;
use sumpwright::pump_selection::Interpolation;
use sumpwright::quantity::{Area, Duration, Flow, Head, Length, Level, ReturnPeriod, Velocity};
use sumpwright::report::problems::{Look, render};
use sumpwright::site::{
    CoefficientBasis, Files, NoFiles, Problem, ProblemKind, Reading, Severity, Site, read, reference,
};

const GOOD: &str = include_str!("site_reading/good.toml");

fn close(one: f64, other: f64) -> bool {
    (one - other).abs() <= 1e-9 * other.abs().max(1.0)
}

fn good() -> Site {
    let reading = read(GOOD, &NoFiles);
    assert_eq!(reading.problems, [], "the good file has no problem");
    reading.site.expect("a site")
}

/// The good file with some of its text replaced; each piece must stand in it.
fn with(changes: &[(&str, &str)]) -> String {
    changes.iter().fold(GOOD.to_owned(), |text, (from, to)| {
        assert!(text.contains(from), "`{from}` is not in the file");
        text.replacen(from, to, 1)
    })
}

fn problems(changes: &[(&str, &str)]) -> Vec<Problem> {
    read(&with(changes), &NoFiles).problems
}

/// The one problem that a change makes.
fn only(from: &str, to: &str) -> Problem {
    let mut found = problems(&[(from, to)]);
    assert_eq!(found.len(), 1, "`{to}` makes one problem: {found:#?}");
    found.remove(0)
}

fn kinds(problems: &[Problem]) -> Vec<&'static str> {
    problems.iter().map(|problem| problem.kind.id()).collect()
}

#[test]
fn a_good_file_is_read_with_its_values() {
    let site = good();
    assert_eq!(site.title, "Lower lawn, house on the cut bank");
    assert_eq!(site.goal.return_period, Some(ReturnPeriod::from_years(10.0)));
    assert_eq!(site.goal.clear_within, Some(Duration::from_h(6.0)));
    assert_eq!(site.rain.storms.len(), 2);
    assert_eq!(site.rain.design, 1, "by increasing period, the 10 yr storm is the second");
    let Some((_, Rain::Table(table))) = site.rain.storms.get(1) else { panic!("a table") };
    assert!(close(table.points()[1].1.inch(), 1.04));
    assert_eq!(site.catchments.len(), 2);
    assert!(close(site.catchments[0].area.ft2(), Area::from_ft2(5200.0).ft2()));
    assert!(matches!(site.catchments[0].basis, CoefficientBasis::Table { .. }));
    assert_eq!(site.catchments[1].basis, CoefficientBasis::Entered);
    // benchmark 100.00 + rod on it 4.20 - rod 8.20
    assert!(close(site.inlets[0].rim.ft(), 96.0));
    assert!(site.drains[1].french.is_some() && site.drains[0].french.is_none());
    assert!(close(site.basin.on.inch(), 24.0));
    assert_eq!(site.basin.inlet_invert, Some(Level::from_ft(93.9)));
    assert_eq!(site.pumping.chosen.as_deref(), Some("candidate A"));
    let curve: Vec<(Flow, Head)> = site.pumps[0].curve.points().collect();
    assert!(close(curve[2].0.gpm(), 40.0) && close(curve[2].1.ft(), 20.5), "a pair may begin with the head");
    assert_eq!(site.pumps[0].curve.interpolation(), Interpolation::Monotone);
    // the bore is the standard's, not the nominal 2 in
    let run = &site.discharge.runs[0];
    assert!(run.pipe.bore > Length::from_inch(2.0) && run.pipe.bore < Length::from_inch(2.1));
    assert_eq!(run.fittings.iter().map(|fitting| fitting.count).sum::<u32>(), 5);
    assert!(run.fittings.iter().any(|fitting| close(fitting.k, 0.3) && fitting.source == "entered"));
    assert_eq!(site.discharge.profile.len(), 3);
    assert!(close(site.limits.least_velocity.value.fts(), Velocity::from_fts(2.5).fts()));
    assert_eq!(site.limits.least_velocity.source, "entered in [limits]");
    assert_ne!(site.limits.greatest_velocity.source, "entered in [limits]");
    assert!(site.assumptions.iter().any(|assumption| assumption.what == "runoff coefficient of `lawn`"));
    assert!(site.assumptions.iter().any(|assumption| assumption.what == "water temperature"));
    let spills = site.not_used.iter().find(|key| key.key == "low_spot.spills_to").expect("named as not used");
    assert_eq!(GOOD.lines().nth(spills.line - 1), Some("spills_to = \"street\""));
}

#[test]
fn line_endings_and_the_byte_order_mark_do_not_matter() {
    let with_mark = format!("\u{feff}{}", GOOD.replace('\n', "\r\n"));
    let reading = read(&with_mark, &NoFiles);
    assert_eq!(reading.problems, []);
    assert!(reading.site.is_some());
}

#[test]
fn slips_of_syntax_are_recognized() {
    let slips = [
        ("length = \"135 ft\"", "length = 135 ft", "length = \"135 ft\""),
        ("length = \"60 ft\"", "length = \"12'-6\"\"", "length = \"12 ft 6 in\""),
        ("inside_diameter = \"24 in\"", "inside_diameter = \"24\"\"", "inside_diameter = \"24 in\""),
        ("inside_diameter = \"24 in\"", "inside_diameter = 24\"", "inside_diameter = \"24 in\""),
        ("[rain.depth.\"2.5 yr\"]", "[rain.depth.2.5 yr]", "[rain.depth.\"2.5 yr\"]"),
        ("[rain.depth.\"10 yr\"]", "[rain.depth.10 yr]", "[rain.depth.\"10 yr\"]"),
        ("\"15 min\" = ", "15 min = ", "\"15 min\" = "),
        ("rim = \"96.3 ft\"", "rim: \"96.3 ft\"", "rim = \"96.3 ft\""),
        ("rim = \"96.3 ft\"", "rim \"96.3 ft\"", "rim = \"96.3 ft\""),
        ("rim = \"96.3 ft\"", "rim = “96.3 ft”", "rim = \"96.3 ft\""),
        ("rim = \"96.3 ft\"", "rim = \"96.3 ft", "rim = \"96.3 ft\""),
        ("[basin]", "[basin", "[basin]"),
        ("[basin]", "basin:", "[basin]"),
        (
            "{ sheet = \"60 ft\", slope = \"2 %\"",
            "{ sheet = 60 ft, slope = 2 %",
            "{ sheet = \"60 ft\", slope = \"2 %\"",
        ),
        ("[\"20 gpm\", \"27 ft\"], [", "[\"20 gpm\", \"27 ft\"] [", "[\"20 gpm\", \"27 ft\"], ["),
        ("[\"60 gpm\", \"10 ft\"]]", "[\"60 gpm\", \"10 ft\"]", "[\"60 gpm\", \"10 ft\"]]"),
        ("ground = \"99.7 ft\" },", "ground = \"99.7 ft\"", "ground = \"99.7 ft\"},"),
        ("ground = \"100.9 ft\" },\n]", "ground = \"100.9 ft\" },\n", "ground = \"100.9 ft\" },]"),
    ];
    for (right, wrong, mended) in slips {
        let problem = only(right, wrong);
        assert_eq!(problem.kind, ProblemKind::Syntax, "{wrong}");
        let mut text = with(&[(right, wrong)]);
        let replacement = problem.replacement.unwrap_or_else(|| panic!("`{wrong}` is put right"));
        text.replace_range(problem.span.expect("a place"), &replacement);
        assert!(text.contains(mended), "`{wrong}` becomes `{mended}`");
        assert_eq!(read(&text, &NoFiles).problems, [], "{wrong}");
    }
}

#[test]
fn a_period_split_at_its_point_is_recognized() {
    let problem = only("[rain.depth.\"2.5 yr\"]", "[rain.depth.2.5yr]");
    assert_eq!(problem.kind, ProblemKind::BadRain);
    assert_eq!(problem.replacement.as_deref(), Some("\"2.5yr\""));
}

#[test]
fn every_replacement_puts_its_problem_right() {
    let changes = [
        ("format = 1", "format = 2"),
        ("standing_water", "standing_watr"),
        ("[groundwater]", "[[groundwater]]"),
        ("area = \"5200 ft2\"", "aera = \"5200 ft2\""),
        ("surface = \"lawn\"", "surface = \"lawm\""),
        ("texture = \"silty clay loam\"", "texture = \"silty clay lome\""),
        ("drains_to = \"lawn grate\"", "drains_to = \"lawn grte\""),
        ("[[inlet]]", "[inlet]"),
        ("[basin]", "[bassin]"),
        ("inside_diameter", "inside_diametre"),
        ("use = \"candidate A\"", "use = \"candidate B\""),
        ("kind = \"solid\"", "kind = \"sold\""),
        ("material = \"PVC schedule 40\"\nsize = \"2 in\"", "material = \"PVC schedul 40\"\nsize = \"2 in\""),
        ("\"elbow 90\" = 2", "\"elbw 90\" = 2"),
        ("volts = 115", "volts = \"115\""),
        ("price = 289", "price = 289 # dollars\nnots = 3"),
    ];
    let mut text = with(&changes);
    let found = read(&text, &NoFiles).problems;
    let mended = found.iter().filter(|problem| problem.replacement.is_some()).count();
    assert_eq!(mended, changes.len() - 1, "{:#?}", kinds(&found));
    // from the end, so that the places before stay
    for problem in found.iter().rev() {
        if let (Some(place), Some(replacement)) = (problem.span.clone(), &problem.replacement) {
            text.replace_range(place, replacement);
        }
    }
    assert_eq!(kinds(&read(&text, &NoFiles).problems), ["unknown-key"], "only `nots` is like no key");
}

#[test]
fn all_problems_are_found_in_one_run() {
    let found = problems(&[
        ("rim = \"96.3 ft\"", "rim: \"96.3 ft\""),
        ("off = \"8 in\"", "off = 8"),
        ("on = \"24 in\"", "on = \"24 gpm\""),
        ("inside_diameter", "inside_diametre"),
        ("name = \"roof\"", "name = \"lawn\""),
        ("length = \"48 ft\"\n", ""),
        ("at = \"135 ft\"", "at = \"120 ft\""),
    ]);
    assert_eq!(
        kinds(&found),
        ["duplicate-name", "missing-key", "unknown-key", "syntax", "bare-number", "bad-quantity", "profile-mismatch"]
    );
}

#[test]
fn one_problem_is_reported_once() {
    assert_eq!(only("floor = ", "flor = ").kind, ProblemKind::UnknownKey);
    assert_eq!(only("floor = \"91.3 ft\"", "floor = \"91.3 gal\"").kind, ProblemKind::BadQuantity);
    assert_eq!(only("[basin]", "[basim]").kind, ProblemKind::UnknownKey);
    assert_eq!(only("floor = \"91.3 ft\"", "floor = ").kind, ProblemKind::Syntax);
}

#[test]
fn bare_numbers_show_the_fix() {
    let problem = only("length = \"135 ft\"", "length = 135");
    assert_eq!(problem.kind, ProblemKind::BareNumber);
    assert!(problem.help.expect("help").contains("\"135 ft\""));
}

#[test]
fn what_clashes_shows_both_places() {
    let text = with(&[("on = \"24 in\"", "on = \"24 in\"\non = \"25 in\"")]);
    let found = read(&text, &NoFiles).problems;
    assert_eq!(kinds(&found), ["duplicate-key"]);
    assert_eq!(text.get(found[0].also[0].0.clone()), Some("on = \"24 in\""));
    let text = with(&[("[pumping]", "[goal]\nreturn_period = \"10 yr\"\n[pumping]")]);
    let found = read(&text, &NoFiles).problems;
    assert_eq!(kinds(&found), ["duplicate-key"]);
    assert_eq!(text.get(found[0].also[0].0.clone()), Some("[goal]"));
}

#[test]
fn two_tables_of_a_list_want_double_brackets() {
    let mut text = with(&[
        ("[[pump]]", "[pump]"),
        (
            "[[protect]]",
            "[pump]\nname = \"B\"\ncurve = [[\"0 gpm\", \"30 ft\"], [\"50 gpm\", \"5 ft\"]]\n\n[[protect]]",
        ),
    ]);
    let found = read(&text, &NoFiles).problems;
    assert_eq!(kinds(&found), ["wrong-type", "wrong-type"]);
    for problem in found.iter().rev() {
        text.replace_range(problem.span.clone().expect("a place"), problem.replacement.as_ref().expect("put right"));
    }
    assert_eq!(read(&text, &NoFiles).site.expect("a site").pumps.len(), 2);
}

#[test]
fn contradictions_are_errors() {
    let cases: [(&str, &str, ProblemKind); 27] = [
        ("off = \"8 in\"", "off = \"30 in\"", ProblemKind::FloatOrder),
        ("off = \"8 in\"", "off = \"-1 in\"", ProblemKind::FloatOrder),
        ("alarm = \"29 in\"", "alarm = \"70 in\"", ProblemKind::FloatOrder),
        ("rim = \"96.3 ft\"", "rim = \"91.0 ft\"", ProblemKind::LevelOrder),
        ("level = \"100.4 ft\", ditch_full = \"100.1 ft\"", "level = \"91.5 ft\"", ProblemKind::OutletBelowOff),
        ("[\"20 gpm\", \"27 ft\"]", "[\"20 gpm\", \"20 ft\"]", ProblemKind::BadCurve),
        ("[\"20 gpm\", \"27 ft\"]", "[\"20 gpm\", \"27 gpm\"]", ProblemKind::BadCurve),
        ("[\"20 gpm\", \"27 ft\"]", "[\"0 gpm\", \"27 ft\"]", ProblemKind::BadCurve),
        ("to = \"basin\"\nkind = \"french\"", "to = \"nowhere\"\nkind = \"french\"", ProblemKind::UnknownName),
        ("low_spot = \"lawn\"", "low_spot = \"meadow\"", ProblemKind::UnknownName),
        ("to = \"basin\"\nkind = \"solid\"", "to = \"lawn grate\"\nkind = \"solid\"", ProblemKind::DrainCycle),
        ("name = \"bank drain\"", "name = \"lawn line\"", ProblemKind::DuplicateName),
        ("at = \"0 ft\"", "at = \"3 ft\"", ProblemKind::ProfileMismatch),
        ("at = \"40 ft\"", "at = \"140 ft\"", ProblemKind::ProfileMismatch),
        ("at = \"135 ft\"", "at = \"130 ft\"", ProblemKind::ProfileMismatch),
        ("size = \"2 in\"", "size = \"7 in\"", ProblemKind::UnknownPipe),
        ("\"union\" = 1", "\"turnip\" = 1", ProblemKind::UnknownFitting),
        ("inlet_invert = \"93.9 ft\"", "inlet_invert = \"90.9 ft\"", ProblemKind::LevelOrder),
        ("\"5 min\" = \"0.55 in\"\n", "", ProblemKind::RainTooLong),
        ("\"15 min\" = \"1.04 in\"", "\"15 min\" = \"0.50 in\"", ProblemKind::BadRain),
        ("return_period = \"10 yr\"", "return_period = \"25 yr\"", ProblemKind::UnknownReturnPeriod),
        ("return_period = \"10 yr\"\n", "", ProblemKind::MissingKey),
        ("level = \"100.4 ft\"", "level = \"40000 ft\"", ProblemKind::OutOfRange),
        ("count = 1", "count = 0", ProblemKind::OutOfRange),
        ("size = \"2 in\"", "size = \"2 in\"\ninside_diameter = \"3 in\"", ProblemKind::Conflict),
        ("{ rod = \"8.20 ft\" }", "{ rod = \"8.20 ft\", setup = \"back\" }", ProblemKind::UnknownName),
        ("origin = \"invented\"", "intensity = \"4 in/h\"", ProblemKind::Conflict),
    ];
    for (from, to, kind) in cases {
        let problem = only(from, to);
        assert_eq!((problem.kind, problem.severity), (kind, Severity::Error), "{to}: {problem:#?}");
        assert!(problem.span.is_some(), "{to}");
    }
}

#[test]
fn oddities_are_warnings_and_leave_a_site() {
    let cases = [
        ("up_invert = \"94.4 ft\"", "up_invert = \"93.4 ft\"", ProblemKind::LevelOrder),
        ("level = \"97.1 ft\"", "level = \"197.1 ft\"", ProblemKind::OddLevel),
        ("size = \"2 in\"", "size = \"2 in\"\ninside_diameter = \"2 in\"", ProblemKind::NominalBore),
        ("area = \"900 ft2\"", "area = \"9 acre\"", ProblemKind::OddValue),
    ];
    for (from, to, kind) in cases {
        let reading = read(&with(&[(from, to)]), &NoFiles);
        assert!(reading.site.is_some(), "{to}");
        let [problem] = reading.problems.as_slice() else { panic!("{to}: {:#?}", reading.problems) };
        assert_eq!((problem.kind, problem.severity), (kind, Severity::Warning), "{to}");
    }
}

#[test]
fn a_curve_of_one_point_asks_for_head() {
    let curve =
        "curve = [[\"0 gpm\", \"31 ft\"], [\"20 gpm\", \"27 ft\"], [\"20.5 ft\", \"40 gpm\"], [\"60 gpm\", \"10 ft\"]]";
    for wrong in ["curve = [[\"3000 gph\", \"0 ft\"]]", "curve = [\"3000 gph\", \"0 ft\"]"] {
        let problem = only(curve, wrong);
        assert!(problem.help.expect("help").contains("head at that flow"), "{wrong}");
    }
}

#[test]
fn heads_in_psi_are_read() {
    let site = read(&with(&[("\"31 ft\"", "\"14 psi\"")]), &NoFiles).site.expect("a site");
    // 1 psi is about 2.31 ft of water
    assert!((site.pumps[0].curve.shut_off_head().expect("at no flow").ft() - 32.3).abs() < 0.1);
}

#[test]
fn a_valve_can_be_left_out() {
    let valve = "check_valve = { kind = \"swing\", above_floor = \"20 in\" }";
    let site = read(&with(&[(valve, "check_valve = false")]), &NoFiles).site.expect("a site");
    assert_eq!(site.discharge.check_valve, None);
}

#[test]
fn rain_has_other_forms() {
    let start = GOOD.find("[rain]").expect("rain");
    let end = GOOD.find("[soil]").expect("soil");
    let rain = |rain: &str| format!("{}{rain}\n{}", &GOOD[..start], &GOOD[end..]);
    let site = read(&rain("[rain]\nintensity = \"4.5 in/h\""), &NoFiles).site.expect("a site");
    assert!(matches!(site.rain.storms[0].1, Rain::Constant(_)));
    let formula = "[rain]\nformula = { a = \"49.7 in/h\", b = \"7.2 min\", c = 0.743 }";
    let site = read(&rain(formula), &NoFiles).site.expect("a site");
    assert!(matches!(site.rain.storms[0].1, Rain::Formula { .. }));
    let found = read(&rain("[rain]\nfile = \"rain.csv\""), &NoFiles).problems;
    assert_eq!(kinds(&found), ["rain-file"]);
    let found = read(&rain(""), &NoFiles).problems;
    assert_eq!(kinds(&found), ["missing-key"]);
    let found = read(&rain("[rain]"), &NoFiles).problems;
    assert_eq!(kinds(&found), ["missing-key"]);
}

struct OneFile(&'static str);

impl Files for OneFile {
    fn read(&self, path: &str) -> Result<String, String> {
        if path == "rain.csv" { Ok(self.0.to_owned()) } else { Err("not found".to_owned()) }
    }
}

#[test]
fn a_rain_file_that_is_none_says_so() {
    let start = GOOD.find("[rain]").expect("rain");
    let end = GOOD.find("[soil]").expect("soil");
    let text = format!("{}[rain]\nfile = \"rain.csv\"\n{}", &GOOD[..start], &GOOD[end..]);
    let found = read(&text, &OneFile("a,b,c\n1,2,3\n")).problems;
    assert_eq!(kinds(&found), ["rain-file"]);
    assert!(found[0].message.contains("line"), "{}", found[0].message);
}

#[test]
fn what_is_no_site_file_gets_one_plain_sentence() {
    for text in
        ["", " \n\n", "a,b,c\n1,2,3\n4,5,6\n", "{\"basin\": {}}", "<html></html>", "\u{0}\u{1}\u{2}", "dear sir\n"]
    {
        let found = read(text, &NoFiles).problems;
        assert_eq!(kinds(&found), ["not-a-site-file"], "{text:?}");
    }
}

#[test]
fn problems_are_rendered_with_their_line() {
    let text = with(&[("on = \"24 in\"", "on = \"24 gpm\"")]);
    let found = read(&text, &NoFiles).problems;
    let shown = render(&found, "yard.toml", &text, Look::default());
    let line = text.lines().position(|line| line.starts_with("on = ")).expect("the line") + 1;
    assert!(shown.contains("error[bad-quantity]"), "{shown}");
    assert!(shown.contains(&format!("yard.toml:{line}:10")), "{shown}");
    assert!(shown.contains("on = \"24 gpm\"") && shown.contains("^^^"), "{shown}");
    assert!(shown.ends_with("yard.toml: 1 error\n"), "{shown}");
}

#[test]
fn long_and_wild_lines_are_cut() {
    let text = format!("format = 1\ntitle = 3 \t\u{202e}{}\nrim = 日本語 ft\n", "é".repeat(5000));
    let found = read(&text, &NoFiles).problems;
    let shown = render(&found, "yard.toml", &text, Look::default());
    assert!(!shown.contains('\u{202e}') && !shown.contains('\t'));
    assert!(shown.lines().all(|line| line.chars().count() < 400), "{shown}");
}

#[test]
fn a_large_file_does_not_take_for_ever() {
    // Each of these was once, or could be, quadratic. There is no clock here: the test would not end.
    let many = |count: usize, line: fn(usize) -> String| (0..count).map(line).collect::<Vec<_>>().concat();
    let unknown = many(20_000, |n| format!("key{n} = 1\n"));
    assert!(read(&unknown, &NoFiles).problems.len() <= 1100);
    let broken = "rim = 96.3 ft ft\n[[\n".repeat(40_000);
    assert!(read(&broken, &NoFiles).site.is_none());
    let names = many(10_000, |n| format!("[[drain]]\nname = \"d{n}\"\nto = \"d{}\"\nlength = \"1 ft\"\n", n + 1));
    assert!(read(&names, &NoFiles).site.is_none());
    let nested = format!("format = 1\nx = {}", "[".repeat(50_000));
    assert!(read(&nested, &NoFiles).site.is_none());
}

#[test]
fn the_reference_page_is_fresh() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/docs/site-file.md");
    let page = reference();
    if std::env::var_os("SUMPWRIGHT_BLESS").is_some() {
        std::fs::create_dir_all(concat!(env!("CARGO_MANIFEST_DIR"), "/docs")).expect("a folder");
        std::fs::write(path, &page).expect("written");
    }
    let kept = std::fs::read_to_string(path).unwrap_or_default();
    assert!(kept == page, "docs/site-file.md is stale: run the tests with SUMPWRIGHT_BLESS=1");
}

/// What holds of any reading: places lie in the text, a site comes without errors, and the problems can be shown.
fn holds(text: &str) {
    let Reading { site, problems } = read(text, &NoFiles);
    assert_eq!(site.is_none(), problems.iter().any(Problem::is_error));
    for problem in &problems {
        assert_ne!(problem.kind, ProblemKind::Internal, "{text}");
        for place in problem.span.iter().chain(problem.also.iter().map(|(place, _)| place)) {
            assert!(text.get(place.clone()).is_some(), "{place:?} is not in the text: {problem:?}");
        }
    }
    assert!(!render(&problems, "yard.toml", text, Look { width: 80, color: true }).is_empty());
}

proptest! {
    #[test]
    fn any_text_is_read(text in "\\PC{0,200}") {
        holds(&text);
    }

    #[test]
    fn any_text_of_signs_is_read(text in "[\\[\\]{}=\",.'#:a-z0-9 \n\r\t“é-]{0,200}") {
        holds(&text);
        holds(&format!("{GOOD}\n{text}"));
    }

    #[test]
    fn lines_taken_out_and_doubled_are_read(changes in prop::collection::vec((0_usize..150, any::<bool>()), 1..6)) {
        let mut lines: Vec<&str> = GOOD.lines().collect();
        for (at, double) in changes {
            let at = at % lines.len();
            if double {
                lines.insert(at, lines[at]);
            } else {
                lines.remove(at);
            }
        }
        holds(&lines.join("\n"));
    }

    #[test]
    fn bytes_changed_are_read(changes in prop::collection::vec((0_usize..10_000, any::<u8>()), 1..8)) {
        let mut bytes = GOOD.as_bytes().to_vec();
        for (at, byte) in changes {
            let at = at % bytes.len();
            bytes[at] = byte;
        }
        holds(&String::from_utf8_lossy(&bytes));
    }

    #[test]
    fn signs_put_in_are_read(changes in prop::collection::vec((0_usize..10_000, "[\\[\\]{}=\",.'#:\n-]"), 1..6)) {
        let mut text = GOOD.to_owned();
        for (at, sign) in changes {
            let at = (at % text.len()..text.len()).find(|at| text.is_char_boundary(*at)).unwrap_or(0);
            text.insert_str(at, &sign);
        }
        holds(&text);
    }
}
