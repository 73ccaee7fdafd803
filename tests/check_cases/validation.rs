//! The validation page, made from the same run as the tests.

use crate::check;
use crate::data::{Case, Status, Topic};
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
    for topic in topics {
        let _ = write!(page, "\n## {}\n\n{}\n", topic.title, topic.about);
        for case in &topic.cases {
            section(&mut page, case);
        }
    }
    page
}

fn section(page: &mut String, case: &Case) {
    let _ = write!(page, "\n### {} {}\n\n", case.id, case.title);
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
