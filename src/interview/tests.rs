//! The questions by themselves, and the way through them.

use super::reading::{Heights, level, row};
use super::*;
use crate::quantity::{Dimension, Level, read_si};
use proptest::prelude::*;

/// Answers of an invented yard to what nothing is usual for.
const SKETCH: &[(&str, &str)] = &[
    ("low-level", "8.4 in below"),
    ("spill-level", "3 in below"),
    ("spill-building", "no"),
    ("spill-opening", "2 in below"),
    ("dry-level", "0"),
    ("pond", "4 in, 10 ft x 15 ft; 5.4 in, 420 ft2"),
    ("areas", "480 ft2, roof; 20 ft x 30 ft, concrete, court; 350 ft2, lawn"),
    ("rain", "5 min 0.50 in; 15 min 0.97 in; 60 min 1.75 in; 24 h 4.1 in"),
    ("soil", "silt loam"),
    ("groundwater-level", "4 ft below"),
    ("drain-length", "10 ft"),
    ("french-length", "30 ft"),
    ("french-end", "3 ft below"),
    ("basin-rim", "3 in below"),
    ("basin-weight", "60 lb"),
    ("outlet-level", "2 ft 6 in above"),
    ("outlet-full", "2 ft above"),
    ("run", "85 ft"),
    ("hill-level", "4 ft above"),
    ("hill-at", "40 ft"),
    ("frost-depth", "30 in"),
    ("curve", "0 gpm 23 ft; 15 gpm 20 ft; 30 gpm 14.5 ft; 40 gpm 8.5 ft"),
    ("pump-outlet", "1-1/2 in"),
];

fn given(answers: &[(&str, &str)]) -> Interview {
    let mut interview = Interview::new();
    for (_, question) in questions() {
        for (_, text) in answers.iter().filter(|(name, _)| *name == question.name) {
            interview.give(question, text).unwrap_or_else(|refusal| panic!("{}: {text}: {refusal:?}", question.name));
        }
    }
    interview
}

fn problems(interview: &Interview) -> Vec<Problem> {
    let text = interview.site_file();
    let mut problems = site::read(&text, &NoFiles).problems;
    problems.retain(|problem| problem.kind != ProblemKind::ToBeMeasured);
    problems
}

#[test]
fn identity_names_keys_and_examples_are_sound() {
    let mut seen = std::collections::BTreeSet::new();
    for (chapter, question) in questions() {
        assert!(seen.insert(question.name), "{} twice", question.name);
        assert!(
            question
                .name
                .bytes()
                .all(|letter| letter.is_ascii_lowercase() || letter == b'-' || letter.is_ascii_digit())
        );
        assert!(question.ask.contains('?'), "{}", question.name);
        assert!(question.why.ends_with('.'), "{}", question.name);
        if !question.key.is_empty() {
            let key = site::keys::at_path(question.key.split('.'));
            assert!(key.is_some(), "{}: there is no key {}", question.name, question.key);
        }
        for example in question.example {
            assert!(!example.is_empty(), "{}", question.name);
        }
        assert!(!chapter.title.is_empty() && chapter.says.ends_with('.'));
    }
}

/// What is asked for in the words of a key is measured as that key is: one kind, one place that says how.
#[test]
fn identity_a_question_takes_what_its_key_takes() {
    use site::keys::Kind;
    for (_, question) in questions().filter(|(_, question)| !question.key.is_empty()) {
        let key = site::keys::at_path(question.key.split('.')).unwrap();
        let agrees = match question.takes {
            // of a depth the file has a level
            Takes::Quantity(Dimension::Length) => matches!(key.kind, Kind::Quantity(Dimension::Length) | Kind::Level),
            Takes::Quantity(dimension) => matches!(key.kind, Kind::Quantity(other) if other == dimension),
            Takes::Level => matches!(key.kind, Kind::Level | Kind::Surface),
            Takes::Size => matches!(key.kind, Kind::PipeSize),
            Takes::Pair => matches!(key.kind, Kind::Pair),
            Takes::Words | Takes::Known(..) => matches!(key.kind, Kind::Text | Kind::Name),
            Takes::Choice(_) => matches!(key.kind, Kind::Choice(_)),
            Takes::YesNo => true,
            Takes::Count => matches!(key.kind, Kind::Fittings),
            Takes::Lines(Lines::Pond) => matches!(key.kind, Kind::Surface),
            Takes::Lines(Lines::Areas) => matches!(key.kind, Kind::Quantity(Dimension::Area)),
            Takes::Lines(Lines::Rain) => matches!(key.kind, Kind::RainTable),
            Takes::Lines(Lines::Curve) => matches!(key.kind, Kind::Curve),
        };
        assert!(agrees, "{}: {:?} for {:?}", question.name, question.takes, key.kind);
        // a gap is told how to be measured
        if question.may_be_unknown && !matches!(question.takes, Takes::YesNo | Takes::Words) {
            assert!(site::keys::how(question.key).is_some(), "{}: how is {} measured?", question.name, question.key);
        }
    }
}

#[test]
fn identity_drawings_fit_and_are_plain() {
    let (wide, high) = drawings::ROOM;
    for chapter in CHAPTERS.iter().filter(|chapter| !chapter.drawing.is_empty()) {
        let lines: Vec<&str> = chapter.drawing.trim_matches('\n').lines().collect();
        assert!(lines.len() <= high, "{}: {} lines", chapter.title, lines.len());
        for line in lines {
            assert!(line.is_ascii() && line.len() <= wide, "{}: {line}", chapter.title);
        }
        // a letter that a question points at stands in the drawing
        for question in chapter.questions {
            if let Some((letter, _)) = question.ask.split_once(": ").filter(|(letter, _)| letter.len() == 1) {
                assert!(chapter.drawing.contains(letter), "{}: no {letter}", question.name);
            }
        }
    }
}

#[test]
fn identity_examples_and_what_is_usual_are_taken() {
    for metric in [false, true] {
        let mut interview = given(SKETCH);
        let units = question("units").unwrap();
        if metric {
            interview = Interview::new();
        }
        interview.give(units, if metric { "metric" } else { "us" }).unwrap();
        for (_, question) in questions().filter(|(_, question)| question.name != "units") {
            // each by itself, so that the rest stays as it was
            let mut alone = interview.clone();
            alone.give(question, question.example_in(metric)).unwrap_or_else(|refusal| {
                // a list of one line is not whole
                let short = matches!(question.takes, Takes::Lines(Lines::Curve | Lines::Rain));
                assert!(short, "{}: `{}`: {refusal:?}", question.name, question.example_in(metric));
            });
            if let Some(usual) = interview.usual(question) {
                let mut alone = interview.clone();
                alone.due = Some(question.name);
                alone.answers.remove(question.name);
                assert!(matches!(alone.say(""), Reply::Taken { .. }), "{}: `{usual}` is not taken", question.name);
            }
        }
    }
}

#[test]
fn identity_all_answered_nothing_is_said_of_the_file() {
    for (name, text) in [
        ("way-in", "grate"),
        ("way-in", "both"),
        ("way-in", "french drain"),
        ("hill", "yes"),
        ("freezing", "yes"),
        ("check-valve", "no"),
        ("groundwater", "yes"),
        ("spill-building", "yes"),
    ] {
        let mut answers = SKETCH.to_vec();
        answers.push((name, text));
        let interview = given(&answers);
        let text = interview.site_file();
        let reading = site::read(&text, &NoFiles);
        assert_eq!(reading.problems, [], "{name}\n{text}");
        assert!(crate::design::design(&reading.site.unwrap()).is_ok(), "{name}");
    }
}

#[test]
fn identity_a_height_is_above_or_below_or_as_in_the_file() {
    let us = Heights { metric: false, rod_at_zero: None };
    let read = |text: &str| level(text, us, "the sill").map(Level::ft);
    // 100 ft − 8.4/12 ft = 99.3 ft; 100 ft + 2.5 ft
    for (text, feet) in [
        ("8.4 in below", 99.3),
        ("8.4 in below the door sill", 99.3),
        ("-8.4 in", 99.3),
        ("− 8.4 in", 99.3),
        ("8.4\" lower", 99.3),
        ("2 ft 6 in above", 102.5),
        ("2'6\" higher", 102.5),
        ("+2.5 ft", 102.5),
        ("0", 100.0),
        ("same", 100.0),
        ("99.3 ft", 99.3),
    ] {
        assert!((read(text).unwrap_or_else(|refusal| panic!("{text}: {refusal:?}")) - feet).abs() < 1e-9, "{text}");
    }
    for text in ["8.4 in", "2 ft", "8.4 below", "below", "-2 ft below", "high", ""] {
        assert!(read(text).is_err(), "{text}");
    }
    assert_eq!(read("8 in").unwrap_err().help, "type `8 in below` or `8 in above`; read off a rod, type `rod 8 in`");
    let remarks = ["8.4 in below the door sill", "-8.4 in", "8.4 in under"].map(super::reading::from_zero);
    assert!(remarks.iter().all(|remark| remark.as_deref() == Some("8.4 in below")), "{remarks:?}");
    assert_eq!(super::reading::from_zero("99.3 ft"), None);
    // whatever else follows is not what heights count from
    for (text, other) in [
        ("8 in above the paving", "the paving"),
        ("30 in below grass", "grass"),
        ("2 ft higher than the lane", "than the lane"),
    ] {
        let refusal = read(text).unwrap_err();
        assert!(refusal.reason.contains(&format!("not from `{other}`")), "{refusal:?}");
    }
    for same in ["8.4 in below it", "8.4 in lower than the sill", "8.4 in below the sill of the door"] {
        assert!((read(same).unwrap() - 99.3).abs() < 1e-9, "{same}");
    }
    // the rod reads more where it stands lower: 67.5 in - 51 in = 16.5 in, 100 ft - 16.5/12 ft
    let lower = read("Rod 5 ft 7-1/2 in, zero 4 ft 3 in").unwrap();
    assert!((lower - (100.0 - 16.5 / 12.0)).abs() < 1e-9, "{lower}");
    let higher = read("rod: 13 in zero 51 in").unwrap();
    assert!((higher - (100.0 + 38.0 / 12.0)).abs() < 1e-9, "{higher}");
    assert!(read("rod 13 in").unwrap_err().help.contains("zero 4 ft 3 in"));
    assert!(read("rod 13, zero 51").unwrap_err().unit_missing.is_none());
    assert!(read("rodeo").is_err());
    let metric = level("21 cm below", Heights { metric: true, rod_at_zero: None }, "the sill").unwrap();
    assert!((metric.m() - 9.79).abs() < 1e-9);
}

#[test]
fn identity_lines_are_read_with_and_without_commas() {
    let interview = Interview::new();
    let sketch = interview.sketch();
    let same = |lines: Lines, forms: &[&str]| {
        let read: Vec<_> = forms
            .iter()
            .map(|form| row(&sketch, lines, form).unwrap_or_else(|refusal| panic!("{form}: {refusal:?}")))
            .collect();
        assert!(read.windows(2).all(|two| two[0] == two[1]), "{read:?}");
        format!("{:?}", read[0])
    };
    assert!(
        same(Lines::Pond, &["4 in, 12 ft x 10 ft", "4 in 12 ft x 10 ft", "4 in deep: 12 x 10 ft"]).contains("120 ft2")
    );
    let thousands = same(Lines::Areas, &["1,000 ft2, lawn", "1,000 ft2 lawn", "1,000 ft2,Lawn"]);
    assert!(thousands.contains("\"1,000 ft2\"") && thousands.contains("\"lawn\""), "{thousands}");
    same(Lines::Rain, &["1 h 30 min 2.1 in", "1 h 30 min, 2.1 in", "1 h 30 min = 2.1 in"]);
    same(Lines::Curve, &["20 gpm 18 ft", "20 gpm, 18 ft", "20 gpm at 18 ft", "18 ft 20 gpm"]);
    for (lines, wrong) in [
        (Lines::Pond, "4 in"),
        (Lines::Pond, "12 ft x 10 ft"),
        (Lines::Areas, "lawn 1000 ft2"),
        (Lines::Areas, "1000 ft2"),
        (Lines::Areas, "1000, lawn"),
        (Lines::Rain, "5 min"),
        (Lines::Rain, "5 m 0.5 in"),
        (Lines::Curve, "20 18"),
        (Lines::Curve, "20 gpm 30 gpm"),
        (Lines::Curve, "20 gpm"),
    ] {
        assert!(row(&sketch, lines, wrong).is_err(), "{wrong}");
    }
    let refusal = row(&sketch, Lines::Curve, "0 26").unwrap_err();
    assert!(refusal.help.contains("both with their units") && refusal.unit_missing.is_none(), "{refusal:?}");
}

#[test]
fn identity_a_unit_by_itself_completes_the_number_before() {
    let mut interview = given(SKETCH);
    interview.due = Some("standing-water");
    let Reply::Refused(refusal) = interview.say("3") else { panic!("taken") };
    assert_eq!(refusal.unit_missing.as_deref(), Some("3"));
    assert!(matches!(interview.say("in"), Reply::Taken { .. }));
    assert_eq!(interview.sketch().text("standing-water").as_deref(), Some("3 in"));
    // and only right after it
    interview.due = Some("standing-water");
    assert!(matches!(interview.say("3"), Reply::Refused(_)));
    assert_eq!(interview.say("?"), Reply::Help);
    assert!(matches!(interview.say("in"), Reply::Refused(_)));
}

#[test]
fn identity_a_wrong_answer_is_told_and_changes_nothing() {
    let mut interview = given(&[("low-level", "8.4 in below"), ("pond", "4 in, 150 ft2")]);
    let before = interview.site_file();
    for (name, text, reason) in [
        ("spill-level", "9 in below", "not above its lowest point"),
        ("spill-level", "9 psi", "unit"),
        ("standing-water", "48 ft", "cannot be meant"),
        ("outlet", "swail", "not known here"),
        ("outlet", "septic tank", "must not go"),
        ("pipe", "PVC schedul 40", "not known here"),
        ("pipe-size", "1-7/16 in", "1-7/16 in"),
        ("curve", "0 gpm 20 ft; 10 gpm 25 ft; 20 gpm 15 ft", "rises"),
        ("rain", "15 min 1 in; 60 min 2 in", "bursts of 5 min"),
        ("rain", "5 min 1 in; 10 min 0.5 in", "less"),
        ("float-on", "6 in", "not below"),
        ("bends-90", "some", "whole number"),
        ("groundwater", "perhaps", "yes or a no"),
        ("units", "unknown", "nothing to measure"),
    ] {
        let question = question(name).unwrap();
        let refusal = interview.give(question, text).expect_err(name);
        assert!(refusal.reason.contains(reason), "{name}: {text}: {refusal:?}");
        assert!(!refusal.reason.contains(question.key) || question.key.is_empty(), "{refusal:?}");
        assert_eq!(interview.site_file(), before);
    }
}

#[test]
fn identity_going_back_reaches_the_first_question_and_forth_keeps_every_answer() {
    let mut interview = given(SKETCH);
    while interview.due().is_some() {
        assert!(matches!(interview.say(""), Reply::Taken { .. }), "{:?}", interview.due());
    }
    let file = interview.site_file();
    interview.due = Some("pump-outlet");
    let mut steps = 0;
    while interview.say("back") == Reply::Back(true) {
        steps += 1;
        assert!(steps < 200);
    }
    assert_eq!(interview.due().unwrap().1.name, "title");
    while interview.due().is_some() {
        assert!(matches!(interview.say(""), Reply::Taken { .. }));
    }
    assert_eq!(interview.site_file(), file);
}

#[test]
fn identity_an_answer_that_an_earlier_one_made_wrong_is_asked_again() {
    let mut interview = given(SKETCH);
    interview.due = Some("low-level");
    assert!(matches!(interview.say("2 in below"), Reply::Taken { .. }));
    assert_eq!(interview.due().unwrap().1.name, "pond");
    assert!(matches!(interview.say(""), Reply::Taken { .. }));
    // the water would run on 3 in below the sill, below the lowest ground now
    assert_eq!(interview.due().unwrap().1.name, "spill-level");
    assert!(matches!(interview.say(""), Reply::Refused(_)));
    assert!(matches!(interview.say("1 in below"), Reply::Taken { .. }));
}

#[test]
fn identity_questions_that_do_not_matter_are_not_asked() {
    let asked = |answers: &[(&str, &str)]| {
        let mut interview = given(answers);
        let mut names = Vec::new();
        while let Some((_, question)) = interview.due() {
            names.push(question.name);
            if !matches!(interview.say(""), Reply::Taken { .. }) {
                assert!(matches!(interview.say("unknown"), Reply::Taken { .. }), "{}", question.name);
            }
        }
        names
    };
    let plain = asked(&[]);
    for name in ["groundwater-level", "french-length", "hill-level", "frost-depth", "spill-opening"] {
        assert!(!plain.contains(&name), "{name}");
    }
    let all = asked(&[
        ("spill-building", "yes"),
        ("groundwater", "yes"),
        ("way-in", "both"),
        ("hill", "yes"),
        ("freezing", "yes"),
    ]);
    for name in ["spill-opening", "groundwater-level", "french-length", "hill-level", "frost-depth", "grate-level"] {
        assert!(all.contains(&name), "{name}");
    }
    assert!(!asked(&[("way-in", "french drain")]).contains(&"grate-level"));
}

#[test]
fn identity_answers_outlive_the_program() {
    let mut interview = given(SKETCH);
    interview.give(question("title").unwrap(), "The \"low\" lawn \\ court").unwrap();
    interview.give(question("soil").unwrap(), "unknown").unwrap();
    interview.due = Some("run");
    let again = Interview::resumed(&interview.kept()).unwrap();
    assert_eq!(again.answers, interview.answers);
    assert_eq!(again.due, interview.due);
    assert_eq!(again.kept(), interview.kept());
    for text in ["", "format = 1", "answers_to_sumpwright_new = 2", "%PDF", "answers_to_sumpwright_new = 1\nother = 3"]
    {
        assert_eq!(Interview::resumed(text).err(), Some(NotKept), "{text}");
    }
    // of answers that somebody changed by hand those that are none are left out
    let changed = interview.kept().replace("\"85 ft\"", "\"85 parsecs\"");
    let again = Interview::resumed(&changed).unwrap();
    assert!(!again.answers.contains_key("run") && again.answers.contains_key("curve"));
}

/// What may be typed at any question.
fn typed() -> impl Strategy<Value = String> {
    let words = [
        "",
        "?",
        "??",
        "back",
        "unknown",
        "quit",
        "clear",
        "yes",
        "no",
        "48",
        "in",
        "ft",
        "1-1/2 in",
        "8 in below",
        "3 in below",
        "2 ft above",
        "0",
        "4 in",
        "4 in, 150 ft2",
        "12 in 30 ft x 20 ft",
        "480 ft2 roof",
        "900 ft2, lawn, the lawn",
        "5 min 0.5 in",
        "60 min 1.8 in",
        "24 h 4 in",
        "0 gpm 23 ft",
        "30 gpm 14 ft",
        "40 gpm 20 ft",
        "both",
        "metric",
        "us",
        "french drain",
        "clay",
        "12 in x 12 in",
        "25 ft",
        "swale",
        "drains back",
        "drain hole",
        "back spill-level",
        "back run",
        "a \"name\" \\ with marks",
        "-5 ft",
        "1e9 ft",
        "2",
    ];
    prop_oneof![9 => proptest::sample::select(words.to_vec()).prop_map(str::to_owned), 1 => any::<String>()]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    /// Whatever is typed, the file parses and has nothing wrong in it but gaps: no answer is taken that the reader refuses.
    #[test]
    fn identity_whatever_is_typed_the_file_has_gaps_and_no_mistakes(lines in proptest::collection::vec(typed(), 0..120)) {
        let mut interview = Interview::new();
        for line in &lines {
            if interview.due().is_none() {
                break;
            }
            // so that the walk gets on
            if let Reply::Refused(_) = interview.say(line) {
                interview.say("unknown");
            }
        }
        let text = interview.site_file();
        // a list that was not ended may lack lines, and an answer may have been changed behind a later one
        if interview.due().is_none() {
            let wrong: Vec<Problem> = problems(&interview).into_iter().filter(Problem::is_error).collect();
            prop_assert_eq!(&wrong, &[], "{}", text);
        }
        prop_assert!(toml::from_str::<toml::Table>(&text).is_ok(), "{}", text);
        prop_assert_eq!(Interview::resumed(&interview.kept()).is_ok(), true);
    }

    /// Any of the answers left out: the file has gaps, and nothing is wrong with it.
    #[test]
    fn identity_any_of_the_answers_leaves_gaps_and_no_mistakes(
        kept in proptest::collection::vec(any::<bool>(), SKETCH.len()),
        more in proptest::sample::subsequence(vec![("way-in", "both"), ("hill", "yes"), ("freezing", "yes"), ("check-valve", "no"), ("groundwater", "yes"), ("spill-building", "yes"), ("units", "metric")], 0..7),
    ) {
        let mut answers: Vec<(&str, &str)> = SKETCH.iter().zip(&kept).filter(|(_, kept)| **kept).map(|(answer, _)| *answer).collect();
        answers.extend(more);
        let interview = given(&answers);
        let wrong: Vec<Problem> = problems(&interview).into_iter().filter(Problem::is_error).collect();
        prop_assert_eq!(wrong, vec![], "{}", interview.site_file());
    }
}

#[test]
fn identity_the_units_of_examples_are_those_of_the_units_asked_for() {
    for (_, question) in questions() {
        if let Takes::Quantity(dimension) = question.takes {
            for example in question.example {
                assert!(read_si(example, dimension).is_ok(), "{}: {example}", question.name);
            }
        }
    }
}

/// The level of the second place that must stay dry, in feet.
fn second_place(answers: &[(&str, &str)]) -> Option<f64> {
    let interview = given(answers);
    let reading = site::read(&interview.site_file(), &NoFiles);
    let site = reading.site.unwrap_or_else(|| panic!("{:?}", reading.problems));
    site.protected.get(1).map(|place| place.level.ft())
}

#[test]
fn identity_water_that_runs_to_a_building_does_harm_from_edge_and_opening_on() {
    let with = |more: &[(&'static str, &'static str)]| {
        let mut answers = SKETCH.to_vec();
        answers.extend(more);
        second_place(&answers)
    };
    assert_eq!(with(&[]), None);
    // B at 100 ft - 3/12 ft = 99.75 ft; the opening at 100 ft - 2/12 ft = 99.83 ft, as the file writes it
    let above = with(&[("spill-building", "yes")]).unwrap();
    assert!((above - 99.83).abs() < 1e-9, "{above}");
    // the opening at 98 ft, below B: water gets in as soon as it runs over
    let below = with(&[("spill-building", "yes"), ("spill-opening", "2 ft below")]).unwrap();
    assert!((below - 99.75).abs() < 1e-9, "{below}");
    let mut interview = given(SKETCH);
    interview.give(question("spill-building").unwrap(), "yes").unwrap();
    interview.due = Some("spill-opening");
    let Reply::Taken { doubts, .. } = interview.say("2 ft below") else { panic!("not taken") };
    assert!(doubts.len() == 1 && doubts[0].contains("99.75 ft"), "{doubts:?}");
    assert_eq!(interview.runs_to_building(), Some((None, Some("99.75 ft".to_owned()))));
    // nobody measured the edge: an opening below the lowest ground says nothing of the low place
    interview.give(question("spill-level").unwrap(), "unknown").unwrap();
    assert_eq!(interview.runs_to_building(), Some((None, None)));
    interview.give(question("spill-opening").unwrap(), "2 in below").unwrap();
    assert_eq!(interview.runs_to_building(), Some((None, Some("99.83 ft".to_owned()))));
}

#[test]
fn identity_whether_a_building_stands_in_the_way_is_a_gap_until_it_is_answered() {
    let mut answers = SKETCH.to_vec();
    answers.extend([("spill-to", "the lane"), ("spill-building", "unknown")]);
    let text = given(&answers).site_file();
    assert!(text.contains("\nspills_to = \"?\"\n") && text.contains("the lane"), "{text}");
    answers.push(("spill-building", "no"));
    let text = given(&answers).site_file();
    assert!(text.contains("\nspills_to = \"the lane\"\n"), "{text}");
    // a name that the file has already is refused where it is typed
    let refusal = given(SKETCH).give(question("spill-to").unwrap(), "low place").unwrap_err();
    assert!(refusal.reason.contains("low place"), "{refusal:?}");
}

#[test]
fn identity_a_line_that_a_check_valve_holds_does_not_drain_back() {
    let winter = |valve: &'static str| {
        let mut answers = SKETCH.to_vec();
        answers.extend([("freezing", "yes"), ("check-valve", valve)]);
        given(&answers)
    };
    let designed = |text: &str| {
        let site = site::read(text, &NoFiles).site.unwrap();
        let report = crate::design::design(&site).unwrap();
        let holds = report.findings.iter().any(|finding| finding.id == "valve-holds-line-in-frost");
        (site, holds)
    };
    let plan = question("frost-plan").unwrap();
    let refusal = winter("yes").give(plan, "drains back").unwrap_err();
    assert!(refusal.reason.contains("check valve") && refusal.help.contains("`drain hole`"), "{refusal:?}");
    let refusal = winter("no").give(plan, "drain hole").unwrap_err();
    assert!(refusal.help.contains("`drains back`"), "{refusal:?}");
    for (valve, text, hole) in
        [("no", "drains back", false), ("yes", "drain hole", true), ("yes", "below frost", false)]
    {
        let mut interview = winter(valve);
        interview.give(plan, text).unwrap();
        let text = interview.site_file();
        let (site, holds) = designed(&text);
        assert_eq!(site.discharge.drain_hole.is_some(), hole, "{valve} {text}");
        assert!(!holds, "{text}");
        // without the hole the report would say it
        if hole {
            let closed: String = text.split_inclusive('\n').filter(|line| !line.starts_with("drain_hole")).collect();
            assert!(designed(&closed).1, "{closed}");
        }
    }
    // a valve that is put in later is held against the plan when that is asked again
    let mut interview = winter("no");
    interview.give(plan, "drains back").unwrap();
    interview.due = Some("check-valve");
    assert!(matches!(interview.say("yes"), Reply::Taken { .. }));
    while interview.due().unwrap().1.name != "frost-plan" {
        assert!(matches!(interview.say(""), Reply::Taken { .. }));
    }
    assert!(matches!(interview.say(""), Reply::Refused(_)));
}

#[test]
fn identity_a_rim_below_the_lowest_ground_is_taken_with_a_doubt() {
    // the lowest ground lies 8.4 in below
    for (rim, odd) in [("8.9 in below", true), ("8.4 in below", false), ("99.30 ft", false), ("3 in below", false)] {
        let mut interview = given(SKETCH);
        interview.due = Some("basin-rim");
        let Reply::Taken { doubts, .. } = interview.say(rim) else { panic!("{rim} is not taken") };
        assert_eq!(doubts.iter().any(|doubt| doubt.contains("below the lowest ground")), odd, "{rim}: {doubts:?}");
        assert_eq!(interview.odd().iter().any(|(name, _)| *name == "basin-rim"), odd);
        // it is said again as long as it is so
        interview.due = Some("basin-rim");
        let Reply::Taken { doubts, .. } = interview.say("") else { panic!("{rim} is not kept") };
        assert_eq!(doubts.iter().any(|doubt| doubt.contains("below the lowest ground")), odd, "{rim}: {doubts:?}");
    }
}

#[test]
fn identity_an_empty_line_does_what_is_said_of_it() {
    let sketch = given(SKETCH);
    for (_, question) in questions() {
        for state in ["none", "given", "usual", "unknown"] {
            let mut interview = sketch.clone();
            interview.due = Some(question.name);
            match state {
                "given" => {
                    if interview.give(question, question.example_in(false)).is_err() {
                        continue;
                    }
                }
                "unknown" if !question.may_be_unknown => continue,
                "unknown" => {
                    if matches!(question.takes, Takes::Lines(_)) {
                        interview.say("clear");
                    }
                    assert!(matches!(interview.say("unknown"), Reply::Taken { .. }));
                }
                "usual" => {
                    interview.answers.insert(question.name, Answer::Usual);
                }
                _ => {
                    interview.answers.remove(question.name);
                }
            }
            interview.due = Some(question.name);
            let said = interview.empty_line(question);
            let before = interview.answers.clone();
            let reply = interview.say("");
            let at = format!("{}, {state}: {said:?}, {reply:?}", question.name);
            let answer = interview.answers.get(question.name).cloned();
            match said {
                Empty::Keeps(lines) => assert_eq!(answer, Some(Answer::Given(lines)), "{at}"),
                Empty::LeavesOpen => {
                    assert_eq!((state, answer), ("unknown", Some(Answer::Unknown)), "{at}");
                    assert!(
                        matches!(reply, Reply::Taken { understood: Some(words), .. } if words == STILL_OPEN),
                        "{at}"
                    );
                }
                Empty::Takes(_) => assert_eq!(answer, Some(Answer::Usual), "{at}"),
                Empty::Nothing => {
                    assert!(matches!(reply, Reply::Refused(_)), "{at}");
                    assert_eq!(interview.answers, before, "{at}");
                }
            }
        }
    }
}

#[test]
fn regress_what_was_usual_by_an_answer_that_is_gone_is_asked_again() {
    let mut interview = given(SKETCH);
    interview.due = Some("drain-fall");
    assert!(matches!(interview.say(""), Reply::Taken { .. }));
    interview.due = Some("drain-length");
    assert!(matches!(interview.say("unknown"), Reply::Taken { .. }));
    assert_eq!(interview.due().unwrap().1.name, "drain-fall");
    assert_eq!(interview.empty_line(question("drain-fall").unwrap()), Empty::Nothing);
    assert!(matches!(interview.say(""), Reply::Refused(_)));
}

#[test]
fn identity_back_to_a_question_by_its_name() {
    let mut interview = given(SKETCH);
    interview.due = Some("pipe-size");
    assert_eq!(interview.say("back soil"), Reply::Back(true));
    assert_eq!(interview.due().unwrap().1.name, "soil");
    // and forth again to one that has an answer
    assert_eq!(interview.say("BACK run"), Reply::Back(true));
    assert_eq!(interview.due().unwrap().1.name, "run");
    for (line, reason) in [
        ("back rum", "no question"),
        ("back run over there", "no question"),
        ("back hill-level", "not asked here"),
        ("back frost-plan", "not asked here"),
        ("back pump", "comes later"),
    ] {
        let Reply::Refused(refusal) = interview.say(line) else { panic!("{line} is taken") };
        assert!(refusal.reason.contains(reason), "{line}: {refusal:?}");
        assert_eq!(interview.due().unwrap().1.name, "run");
    }
    let Reply::Refused(refusal) = interview.say("back sol") else { panic!("taken") };
    assert_eq!(refusal.help, "did you mean `back soil`?");
    // where words are asked for, words are taken
    interview.due = Some("zero");
    assert!(matches!(interview.say("back step of the house"), Reply::Taken { .. }));
    assert_eq!(interview.sketch().zero(), "back step of the house");
}

/// The reading on the place that heights count from is told once.
#[test]
fn identity_readings_on_a_rod_are_heights() {
    let mut interview = given(&[("low-level", "rod 5 ft 7-1/2 in, zero 4 ft 3 in")]);
    for (name, reading, feet) in
        [("spill-level", "rod 61 in", 100.0 - 10.0 / 12.0), ("outlet-level", "rod 13 in", 100.0 + 38.0 / 12.0)]
    {
        let question = question(name).unwrap();
        interview.give(question, reading).unwrap();
        let level = interview.sketch().level(name).unwrap().ft();
        assert!((level - feet).abs() < 1e-9, "{name}: {level}");
    }
    let file = interview.site_file();
    assert!(file.contains("spills_at = \"99.17 ft\"") && file.contains("rod 61 in, against the door sill"), "{file}");
}

#[test]
fn identity_a_french_drain_beside_a_grate_falls_all_the_way() {
    let both = |far: &str| {
        let mut all: Vec<(&str, &str)> = SKETCH.iter().copied().filter(|(name, _)| *name != "french-end").collect();
        all.extend([("way-in", "both"), ("french-length", "40 ft"), ("french-level", far), ("french-cover", "sod")]);
        given(&all)
    };
    let inlet = both("1 ft below").sketch().inlet_invert().unwrap();
    // beside the grate's pipe, as the file writes that
    let beside = both("1 ft below").sketch().french_invert().unwrap();
    assert!((beside.ft() - inlet.ft()).abs() <= 0.005, "{beside:?} {inlet:?}");
    // from 3 ft below it falls 40 ft / 96 to the basin, whatever the grate's pipe does
    let low = both("3 ft below");
    let french = low.sketch().french_invert().unwrap();
    assert!((french.ft() - (97.0 - 40.0 / 96.0)).abs() < 1e-9 && french < inlet, "{french:?}");
    assert_eq!(low.sketch().lowest_inlet(), Some(french));
    assert!(low.site_file().contains("down_invert = \"96.58 ft\""), "{}", low.site_file());
    // where that is answered it counts, and the deeper of the two pipes is the basin's
    for (end, lowest) in [("1 ft 6 in below", inlet.ft()), ("4 ft below", 96.0)] {
        let mut told = both("1 ft below");
        told.give(question("french-end").unwrap(), end).unwrap();
        assert!((told.sketch().lowest_inlet().unwrap().ft() - lowest).abs() < 1e-9, "{end}");
        assert!(told.site_file().contains(&format!("# {end} the door sill")), "{}", told.site_file());
    }
}

#[test]
fn identity_a_line_that_is_to_lie_below_frost_is_drawn_there() {
    let mut all: Vec<(&str, &str)> = SKETCH.to_vec();
    all.extend([("hill", "yes"), ("hill-level", "4 ft above"), ("hill-at", "40 ft")]);
    all.extend([("freezing", "yes"), ("frost-depth", "30 in"), ("frost-plan", "below frost")]);
    let mut interview = given(&all);
    // 104 ft less 30 in and 3 in of pipe
    assert!(interview.site_file().contains("invert = \"101.25 ft\""), "{}", interview.site_file());
    interview.give(question("frost-depth").unwrap(), "6 in").unwrap();
    assert!(interview.site_file().contains("invert = \"102.50 ft\""), "{}", interview.site_file());
}

#[test]
fn identity_heights_that_contradict_one_another_are_doubted() {
    let odd = |all: &[(&str, &str)]| given(all).odd().into_iter().map(|(name, _)| name).collect::<Vec<_>>();
    let hill = |height: &'static str| [("hill", "yes"), ("outlet-level", "3 ft above"), ("hill-level", height)];
    assert_eq!(odd(&hill("6 in above")), ["hill-level"]);
    assert!(odd(&hill("4 ft above")).is_empty());
    let deep =
        |depth: &'static str| [("low-level", "16.5 in below"), ("dry-level", "11 in below"), ("standing-water", depth)];
    assert_eq!(odd(&deep("6 in")), ["standing-water"]);
    assert!(odd(&deep("5 in")).is_empty());
    // low ground over the sill, and standing water over an opening
    assert_eq!(odd(&[("low-level", "8.4 in above")]), ["low-level"]);
    assert!(odd(&[("low-level", "0")]).is_empty());
    let stood = |pond: &'static str| {
        [("low-level", "16 in below"), ("pond", pond), ("spill-level", "3 in below"), ("dry-level", "2.5 in below")]
    };
    assert_eq!(odd(&stood("6 in, 200 ft2; 14 in, 420 ft2")), ["dry-level"]);
    assert!(odd(&stood("6 in, 200 ft2; 13 in, 420 ft2")).is_empty());
}

#[test]
fn identity_unknown_in_the_middle_of_a_list_drops_no_line() {
    let mut interview = given(&[("low-level", "8.4 in below")]);
    interview.due = Some("pond");
    assert!(matches!(interview.say("4 in, 10 ft x 15 ft"), Reply::Line { .. }));
    let Reply::Refused(refusal) = interview.say("unknown") else { panic!("taken") };
    assert!(refusal.reason.contains("a line already") && refusal.help.contains("`clear`"), "{refusal:?}");
    assert_eq!(interview.sketch().lines("pond"), ["4 in, 10 ft x 15 ft"]);
    assert_eq!(interview.say("clear"), Reply::Emptied);
    assert!(matches!(interview.say("unknown"), Reply::Taken { .. }));
    // from the command line it stands for the whole answer
    let mut interview = given(&[("pond", "4 in, 10 ft x 15 ft")]);
    interview.give(question("pond").unwrap(), "unknown").unwrap();
    assert!(interview.sketch().lines("pond").is_empty());
}

/// A bank sheds more than a level lawn, a roof the same: only the lawn is asked about, and only it gets a slope.
#[test]
fn identity_how_steep_a_lawn_is_goes_to_the_lawn() {
    let steepness = question("steepness").unwrap();
    let roofs = given(&[("areas", "480 ft2, roof; 20 ft x 30 ft, concrete, court")]);
    assert!(!roofs.matters(steepness));
    let mut interview = given(&[("areas", "480 ft2, roof; 350 ft2, lawn, border; 200 ft2, grass")]);
    assert!(interview.matters(steepness));
    // what is usual the tables take of themselves
    assert!(!interview.site_file().contains("slope ="), "{}", interview.site_file());
    for (word, slope) in [("flat", "1 %"), ("gentle", "4 %"), ("steep", "10 %")] {
        interview.give(steepness, word).unwrap();
        let file = interview.site_file();
        assert_eq!(file.matches(&format!("slope = \"{slope}\"")).count(), 2, "{word}: {file}");
        let lawn = file.split("[[catchment]]").nth(2).unwrap();
        assert!(lawn.contains("border") && lawn.contains("slope"), "{file}");
    }
    // its own words go before, and where all have some nothing is asked
    let own = "350 ft2, steep lawn, bank; 200 ft2, level lawn; 90 ft2, flat grass, beds";
    let mut interview = given(&[("areas", own)]);
    assert!(!interview.matters(steepness));
    let file = interview.site_file();
    let slopes: Vec<&str> = file.lines().filter(|line| line.starts_with("slope")).collect();
    assert_eq!(slopes.len(), 3, "{file}");
    assert!(slopes[0].contains("10 %") && slopes[1].contains("1 %") && slopes[2].contains("1 %"), "{slopes:?}");
    assert!(
        file.contains("surface = \"lawn\"") && file.contains("surface = \"grass\"") && !file.contains("flat grass")
    );
    // an answer that somebody gives all the same is taken, not refused
    interview.give(steepness, "gentle").unwrap();
    assert!(interview.matters(steepness));
    assert_eq!(interview.site_file().matches("slope = \"4 %\"").count(), 3);
}

/// A name proposes how steep the lawn is, and the answer decides.
#[test]
fn identity_a_name_does_not_decide_how_steep_a_lawn_is() {
    let steepness = question("steepness").unwrap();
    for areas in ["350 ft2, lawn, bank garden", "350 ft2, bank lawn", "350 ft2, lawn, Steep bank"] {
        let mut interview = given(&[("areas", areas)]);
        assert!(interview.matters(steepness), "{areas}");
        assert_eq!(interview.usual(steepness).as_deref(), Some("steep"), "{areas}");
        let file = interview.site_file();
        assert!(file.contains("slope = \"10 %\"") && file.contains("# steep, as a name proposes"), "{areas}: {file}");
        for (word, slope) in [("flat", "1 %"), ("gentle", "4 %"), ("steep", "10 %")] {
            interview.give(steepness, word).unwrap();
            let file = interview.site_file();
            assert!(file.contains(&format!("slope = \"{slope}\"")) && !file.contains("proposes"), "{word}: {file}");
        }
    }
    // a level one is taken for level only where no other is left open
    let usual = |areas| given(&[("areas", areas)]).usual(steepness);
    assert_eq!(usual("350 ft2, lawn, level yard").as_deref(), Some("flat"));
    assert_eq!(usual("350 ft2, lawn, level yard; 90 ft2, grass").as_deref(), Some("gentle"));
    // a roof at a bank is a roof
    assert!(!given(&[("areas", "350 ft2, roof, bank side")]).matters(steepness));
}

#[test]
fn identity_a_surface_of_no_row_has_its_nearest_named() {
    let mut interview = given(&[]);
    for (typed, near) in [("gravel", "`drive` and `unimproved`"), ("setts", "`brick` and `drive`")] {
        let refusal = interview.give(question("areas").unwrap(), &format!("40 ft2, {typed}")).unwrap_err();
        assert!(refusal.reason.contains(typed) && refusal.help.contains(near), "{refusal:?}");
    }
}

/// The crew's page has readings on the rod where the file says how the instrument stood.
#[test]
fn identity_the_instrument_of_the_visit_stands_in_the_file() {
    let mut all: Vec<(&str, &str)> = SKETCH.to_vec();
    assert!(!given(&all).site_file().contains("[levels]"));
    all.push(("low-level", "rod 5 ft 7-1/2 in, zero 4 ft 3 in"));
    let interview = given(&all);
    let file = interview.site_file();
    assert!(file.contains("{ name = \"visit\", benchmark = \"100.00 ft\", rod_on_benchmark = \"4.25 ft\" }"), "{file}");
    assert!(problems(&interview).is_empty(), "{:?}", problems(&interview));
    let site = site::read(&file, &NoFiles).site.unwrap();
    assert_eq!(site.setups.len(), 1);
}

#[test]
fn identity_the_same_surface_twice_is_doubted() {
    let odd = |areas: &str| given(&[("areas", areas)]).odd().into_iter().map(|(name, _)| name).collect::<Vec<_>>();
    assert_eq!(odd("480 ft2, roof; 350 ft2, lawn; 480 ft2, roof"), ["areas"]);
    assert!(odd("480 ft2, roof, garage; 350 ft2, lawn; 480 ft2, roof, house").is_empty());
    assert!(odd("480 ft2, roof; 470 ft2, roof").is_empty());
    // said of the line that is the second of two, and not of those after it
    let mut interview = given(&[]);
    interview.due = Some("areas");
    let doubts = ["480 ft2, roof", "480 ft2, roof", "350 ft2, lawn"].map(|line| match interview.say(line) {
        Reply::Line { doubts } => doubts.len(),
        other => panic!("{other:?}"),
    });
    assert_eq!(doubts, [0, 1, 0]);
}

/// An empty line after one that was not taken does not end the list by the way.
#[test]
fn identity_a_list_is_not_ended_in_place_of_a_line_that_was_not_taken() {
    let mut interview = given(&[("low-level", "8.4 in below")]);
    interview.due = Some("pond");
    assert!(matches!(interview.say("4 in, 10 ft x 15 ft"), Reply::Line { .. }));
    assert!(matches!(interview.say("6 in, 300"), Reply::Refused(_)));
    let Reply::Refused(refusal) = interview.say("") else { panic!("the list is ended") };
    assert!(refusal.reason.contains("not taken") && refusal.help.contains("once more"), "{refusal:?}");
    assert_eq!(interview.due().unwrap().1.name, "pond");
    assert!(matches!(interview.say(""), Reply::Taken { .. }));
    assert_eq!(interview.sketch().lines("pond"), ["4 in, 10 ft x 15 ft"]);
    // nor after a line that was taken in its place
    interview.due = Some("pond");
    interview.say("6 in, 300");
    assert!(matches!(interview.say("6 in, 20 ft x 15 ft"), Reply::Line { .. }));
    assert!(matches!(interview.say(""), Reply::Taken { .. }));
}

#[test]
fn identity_the_weight_of_the_basin_is_asked_where_water_may_lift_it() {
    let weight = question("basin-weight").unwrap();
    let mut all: Vec<(&str, &str)> = SKETCH.to_vec();
    assert!(!given(&all).matters(weight));
    all.push(("groundwater", "yes"));
    let mut interview = given(&all);
    interview.give(weight, "unknown").unwrap();
    assert!(interview.site_file().contains("weight = \"?\""));
    interview.give(weight, "60 lb").unwrap();
    assert!(interview.site_file().contains("weight = \"60 lb\""));
    assert!(problems(&interview).is_empty(), "{:?}", problems(&interview));
}

/// A letter of the drawing, another sill, and a height in place of the place itself are told from what heights count from.
#[test]
fn identity_heights_count_from_one_place_alone() {
    let mut interview = given(&[("zero", "workshop sill")]);
    let low = question("low-level").unwrap();
    for line in ["2 ft below A", "30 in below a", "30 in below sill of the kiln", "1 ft below the lowest brick"] {
        let refusal = interview.give(low, line).expect_err(line);
        assert!(refusal.reason.contains("count from workshop sill"), "{line}: {refusal:?}");
    }
    for line in
        ["2 ft below", "2 ft below the sill", "2 ft below sill of the workshop", "2 ft below the workshop's sill"]
    {
        interview.give(low, line).unwrap_or_else(|refusal| panic!("{line}: {refusal:?}"));
        assert!((interview.sketch().level("low-level").unwrap().ft() - 98.0).abs() < 1e-9, "{line}");
    }
    let zero = question("zero").unwrap();
    for line in ["5-1/2 above", "8.4 in below", "3 ft", "rod 4 ft, zero 5 ft"] {
        assert!(interview.give(zero, line).is_err(), "{line}");
    }
    for line in ["2nd step of the stair", "sill", "0 mark on the wall"] {
        interview.give(zero, line).unwrap();
    }
}

/// An opening lower than the edge is reached before anything runs over.
#[test]
fn identity_an_opening_below_the_edge_is_told() {
    let odd = |opening: &str| given(&[("spill-level", "5 in below"), ("dry-level", opening)]).odd();
    let said = odd("7 in below");
    assert_eq!(said.len(), 1);
    assert!(said[0].0 == "dry-level" && said[0].1.contains("before it runs over"), "{said:?}");
    assert!(odd("4 in below").is_empty() && odd("5 in below").is_empty());
}
