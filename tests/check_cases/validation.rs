//! The validation page, made from the same run as the tests.

use crate::check;
use crate::check::Checked;
use crate::data::{Case, Check, Part, Status, Topic};
use std::fmt::Write as _;

const INTRODUCTION: &str = "\
This page sets what the library computes beside what publications print. It is made by the tests: each row is run
against the library every time they run, and the tests fail when a row disagrees or when this page is stale.

**Status** says how a value is known. *Found*: read in the publication named. *From memory*: recalled from it; the
numbers hang together, but nobody looked at the page again. *Derived*: worked out from stated inputs by independent
arithmetic or by another program, because nobody printed it. *Common practice*: a figure that the trade uses, with no
publication behind it.

**Expected** is the value as the source prints it. **Got** is the library's value in the same unit with two digits
more. **Tolerance** is half a unit of the last digit that the source prints, or what its own rounding or chart reading
explains; where it is more than half a unit, a note says why. It is never widened to make a row agree.

**Conventions.** Some sources use other constants: a factor 1 in place of 1.00833 in the rational method, 1.49 in
place of 1.4859 in Manning's equation, 6.9 in place of 6.99 in the kinematic wave, the 1.318 form of Hazen-Williams in
place of 10.67. The library keeps the exact or the stated form; such rows are compared through the constant ratio of
the two, which is printed, and not through a wider tolerance.
";

/// Examples that were looked at and are no case, and why.
const SET_ASIDE: &str = "\
## Looked at and left out

What no part of the program computes, so that a case would prove nothing: unit hydrographs and their convolution (HDS-2
Examples 6.1 and 6.10, NEH 630 Example 16-1; runoff in time is by the modified rational method, ST), the graphical peak of
TR-55 (Example 4-1, only its rain before runoff is used, CN-13), pumps at other speeds and trimmed impellers (affinity laws),
suction lift and the submergence of open intakes (the pumps stand in the water), fittings by Reynolds number (Hooper,
Darby), pressure gained in an enlargement, part-full pipes by Darcy, Ernst's resistances, friction on the wall of a basin, mass curves of water
supply.

Printed figures that do not hang together, and are no case for that: HDS-2 Example 8.3 (553 ft3/s/mi2/in printed, 599 by its
equation), Gupta problem 4.16 (phi 50.25 printed, 50.33 once the interval of 50 mm/h is left out as it must be), problem 4.7(b)
(fits a curve number of 95, not the 94 of the table), Subramanya Example 12.28(c) (critical depth 1.504 m in the copy read, 0.660 by arithmetic), a
worksheet on Ernst's equation (L 54.06 m printed, which leaves 0.11 m of head and not 1 m), and two tables of equivalent
length in which an elbow of 45 degrees is longer than one of 90.
";

/// What else was run to find mistakes, with what came of it last.
const ELSE: &str = "\
## What else is tried

| what | command | last figures | on |
|---|---|---|---|
| Formulas and whole yards against numpy, scipy, mpmath and fluids, made anew | `tests/crosscheck/check.sh` | 15 tables with 9874 values and 10 yards followed in time: all agree | 2026-11-28 |
| Random files: site files, rain tables, rain records, the whole job in every form | `tests/fuzz/run.sh 900` | 57 minutes beside other work, 1,124,000 inputs, on the code as it is but for twelve lines: no panic, at most 0.5 s of the processor for one input in a build with checks and counters, and 3 MB. Before that an hour of twenty digits in a rain record overflowed, in builds with checks alone: mended, and kept as a test; so is a list left open that took 40 s to read, found by hand | 2026-11-29 |
| The physics changed one operator at a time | `tests/mutants.sh PART` | caught by the unit tests of the library alone, of those that compile: hydraulics 798 of 825 (97 %), pump_selection 244 of 257 (95 %), collection 1022 of 1081 (95 %), hydrology without the rain records 935 of 984 (95 %), the reader of rain records 1218 of 1230 (99 %), quantity 870 of 880 (99 %), basin 213 of 234 (91 %); all others are explained in `tests/mutants_left.txt`. Of routing the step, the router, timelines, sums and the system 904 of 972 (93 %), a whole storm's tests included where the quick ones let one through; its ways, stores, ratings and rates, and what looks on, 591 of 598 of those that compile (99 %), the other seven explained | 2026-11-30 |
| Lines of the physics that its tests reach | `tests/coverage.sh` | quantity 99.7 %, hydrology 99.0, collection 99.8, hydraulics 100, basin 99.4, pump_selection 98.3, routing 98.2: 6327 of 6384 lines | 2026-11-29 |
";

/// The whole page.
pub(crate) fn page(topics: &[Topic]) -> String {
    let cases: Vec<&Case> = topics.iter().flat_map(|topic| &topic.cases).collect();
    let checks: usize = cases.iter().map(|case| case.checks.len()).sum();
    let mut page = format!("# Validation\n\n{INTRODUCTION}\n{} cases, {checks} values.\n\n", cases.len());
    page.push_str("| status | cases | values |\n|---|---:|---:|\n");
    for status in [Status::Found, Status::FromMemory, Status::Derived, Status::CommonPractice] {
        let of = || cases.iter().filter(|case| case.status == status);
        let values: usize = of().map(|case| case.checks.len()).sum();
        let _ = writeln!(page, "| {} | {} | {values} |", status.word(), of().count());
    }
    page.push('\n');
    page.push_str(ELSE);
    contents(&mut page, topics);
    disputes(&mut page, &cases);
    page.push('\n');
    page.push_str(SET_ASIDE);
    for topic in in_order(topics) {
        let _ = write!(page, "\n## {}\n\n{}\n", topic.title, topic.about);
        for case in &topic.cases {
            section(&mut page, case);
        }
    }
    page
}

/// The topics part by part, each part by the names of its files.
fn in_order(topics: &[Topic]) -> Vec<&Topic> {
    let mut ordered: Vec<&Topic> = topics.iter().collect();
    ordered.sort_by_key(|topic| topic.part);
    ordered
}

/// What a heading is called in a link.
fn anchor(heading: &str) -> String {
    let letters = heading.chars().filter(|letter| letter.is_alphanumeric() || matches!(letter, ' ' | '-'));
    letters.collect::<String>().to_lowercase().replace(' ', "-")
}

fn link(words: &str, heading: &str) -> String {
    format!("[{words}](#{})", anchor(heading))
}

/// The heading of a case.
fn heading(case: &Case) -> String {
    format!("{} {}", case.id, case.title)
}

fn to_case(case: &Case) -> String {
    link(&case.id, &heading(case))
}

/// Topics with their counts and what lies furthest from its print.
fn contents(page: &mut String, topics: &[Topic]) {
    page.push_str(
        "\n## Contents\n\nThe worst difference of a topic is the largest share of its value by which the library lies off a \
         print, whatever the print is rounded to; beside it, the largest share of a tolerance that is used up.\n",
    );
    for part in Part::ALL {
        let _ = write!(
            page,
            "\n**{}**\n\n| topic | cases | values | worst difference | most of a tolerance |\n|---|---:|---:|---:|---:|\n",
            part.words()
        );
        for topic in topics.iter().filter(|topic| topic.part == part) {
            let values: usize = topic.cases.iter().map(|case| case.checks.len()).sum();
            let (off, used) = worst(topic);
            let _ = writeln!(
                page,
                "| {} | {} | {values} | {off} | {used} |",
                link(&topic.title, &topic.title),
                topic.cases.len()
            );
        }
    }
}

/// The worst of a topic: as a share of the value, and of the tolerance.
fn worst(topic: &Topic) -> (String, String) {
    let of = |measure: fn(&Checked) -> Option<f64>| {
        let all = topic.cases.iter().flat_map(|case| case.checks.iter().map(move |check| (case, check)));
        all.filter_map(|(case, check): (&Case, &Check)| Some((measure(&check::checked(case, check).ok()?)?, case)))
            .max_by(|a, b| a.0.total_cmp(&b.0))
            .map_or_else(String::new, |(share, case)| format!("{} in {}", percent(share), to_case(case)))
    };
    (of(|checked| checked.relative), of(|checked| Some(checked.share)))
}

/// A share in percent, so that small ones can still be told.
fn percent(share: f64) -> String {
    let percent = share * 100.0;
    match percent {
        _ if percent >= 10.0 => format!("{percent:.0} %"),
        _ if percent >= 0.1 => format!("{percent:.1} %"),
        _ if percent >= 0.0001 => format!("{percent:.4} %"),
        _ => "below 0.0001 %".to_owned(),
    }
}

/// Where a print and arithmetic part.
fn disputes(page: &mut String, cases: &[&Case]) {
    page.push_str("\n## Where a print and arithmetic part\n\n| case | what, and which side is wrong |\n|---|---|\n");
    for (case, text) in cases.iter().filter_map(|case| Some((case, case.differs.as_ref()?))) {
        let _ = writeln!(page, "| {} | {text} |", to_case(case));
    }
}

fn section(page: &mut String, case: &Case) {
    let _ = write!(page, "\n### {}\n\n", heading(case));
    let mut lines = vec![
        format!("Source: {}", case.source),
        format!("Status: {}", case.status.word()),
        format!("Computes: {}", case.computed()),
    ];
    if !case.given.is_empty() {
        lines.push(format!("Given: {}", case.inputs()));
    }
    lines.extend(case.convention.iter().map(|text| format!("Convention: {text}")));
    lines.extend(case.common_ratio().map(|(ratio, why)| format!("Compared through the ratio {ratio}: {why}")));
    lines.extend(case.differs.iter().map(|text| format!("Differs: {text}")));
    lines.extend(case.note.iter().map(|text| format!("Note: {text}")));
    for line in lines {
        let _ = writeln!(page, "- {line}");
    }
    page.push_str("\n| what | expected | got | difference | tolerance |\n|---|---:|---:|---:|---:|\n");
    let mut notes: Vec<String> = Vec::new();
    for check in &case.checks {
        let reasons = [
            check.own_ratio().map(|(ratio, why)| format!("compared through the ratio {ratio}: {why}")),
            check.tolerance_why.as_ref().map(|why| format!("tolerance: {why}")),
        ];
        let mut marks = String::new();
        for reason in reasons.into_iter().flatten() {
            let at = notes.iter().position(|note| *note == reason).unwrap_or(notes.len());
            if at == notes.len() {
                notes.push(reason);
            }
            let _ = write!(marks, " ({})", at + 1);
        }
        let unit = if check.unit == "1" { String::new() } else { format!(" {}", check.unit) };
        let (got, difference) = match check::checked(case, check) {
            Ok(checked) if checked.agrees => (checked.got, checked.difference),
            Ok(checked) => (checked.got, format!("**{}**", checked.difference)),
            Err(problem) => (format!("**{problem}**"), String::new()),
        };
        let label = check.label(case).replace('|', "/");
        let _ = writeln!(
            page,
            "| {label} | {}{unit} | {got} | {difference} | {}{marks} |",
            check.expected, check.tolerance
        );
    }
    if !notes.is_empty() {
        page.push('\n');
        for (index, note) in notes.iter().enumerate() {
            let _ = writeln!(page, "({}) {note}  ", index + 1);
        }
    }
}
