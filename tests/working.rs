//! The working of the main example: every printed line, evaluated by an independent expression evaluator, gives the
//! printed result; and the numbers of the report are among the results.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test fails by panicking"
)]

use exmex::Express as _;
use std::process::Command;

/// One line of working as printed.
#[derive(Debug)]
struct Line {
    symbol: String,
    numbers: String,
    result: String,
}

fn working_of(example: &str) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_sumpwright"))
        .args(["size", example, "--working"])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap();
    let text = String::from_utf8(output.stdout).unwrap();
    let at = text.find("\nWorking\n").expect("the working");
    text[at..].to_owned()
}

/// The three lines of a formula: names, numbers, result.
fn lines(text: &str) -> Vec<Line> {
    let all: Vec<&str> = text.lines().collect();
    all.windows(3)
        .filter_map(|three| {
            let (symbol, _) = three[0].strip_prefix("  ")?.split_once(" = ")?;
            if symbol.contains(' ') || symbol.is_empty() {
                return None;
            }
            let blank = format!("  {} = ", " ".repeat(symbol.len()));
            Some(Line {
                symbol: symbol.to_owned(),
                numbers: three[1].strip_prefix(&blank)?.to_owned(),
                result: three[2].strip_prefix(&blank)?.to_owned(),
            })
        })
        .collect()
}

/// The evaluator knows no powers of ten written with an e: `9.4e-5` becomes `(9.4*10^(-5))`.
fn spelled_out(expression: &str) -> String {
    let mut out = String::new();
    let mut letters = expression.chars().peekable();
    while let Some(letter) = letters.next() {
        if !letter.is_ascii_digit() {
            out.push(letter);
            continue;
        }
        let mut mantissa = String::from(letter);
        while let Some(more) = letters.next_if(|next| next.is_ascii_digit() || *next == '.') {
            mantissa.push(more);
        }
        if letters.next_if_eq(&'e').is_none() {
            out.push_str(&mantissa);
            continue;
        }
        let mut exponent = String::new();
        while let Some(more) = letters.next_if(|next| next.is_ascii_digit() || (exponent.is_empty() && *next == '-')) {
            exponent.push(more);
        }
        out = format!("{out}({mantissa}*10^({exponent}))");
    }
    out
}

fn evaluate(expression: &str) -> f64 {
    exmex::parse::<f64>(&spelled_out(expression))
        .and_then(|parsed| parsed.eval(&[]))
        .unwrap_or_else(|error| panic!("{expression}: {error}"))
}

fn check(example: &str, at_least: usize) {
    let text = working_of(example);
    let lines = lines(&text);
    assert!(lines.len() >= at_least, "{example}: only {} lines of working", lines.len());
    let mut wrong = Vec::new();
    for line in &lines {
        let printed: f64 = line.result.split(' ').next().unwrap().parse().unwrap();
        let got = evaluate(&line.numbers);
        // numbers are printed to nine figures; a difference of nearly equal ones may lose three of them
        let tolerance = 1e-6 * printed.abs().max(1e-9);
        if (got - printed).abs() > tolerance {
            wrong.push(format!("{} = {} printed {printed}, evaluates to {got}", line.symbol, line.numbers));
        }
    }
    assert!(wrong.is_empty(), "{example}:\n{}", wrong.join("\n"));
}

#[test]
fn identity_every_line_of_the_main_example_evaluates_to_its_result() {
    check("examples/cut-bank.toml", 30);
}

#[test]
fn identity_every_line_of_the_other_examples_evaluates_to_its_result() {
    check("examples/long-run.toml", 15);
    check("examples/courtyard-metric.toml", 20);
}

#[test]
fn identity_every_line_of_a_coefficient_by_curve_number_evaluates_to_its_result() {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let example = std::fs::read_to_string(root.join("examples/heavy-clay.toml")).unwrap();
    let changed = example.replace("coefficient_from = \"infiltration\"", "coefficient_from = \"curve number\"");
    assert_ne!(example, changed);
    let path = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("heavy-clay-by-curve-number.toml");
    std::fs::write(&path, changed).unwrap();
    let path = path.to_str().unwrap();
    check(path, 30);
    let lines = lines(&working_of(path));
    for symbol in ["Sr3", "Qb3", "Qt3", "C3"] {
        assert!(lines.iter().any(|line| line.symbol == symbol), "{symbol}");
    }
}

#[test]
fn identity_the_report_prints_what_the_working_gives() {
    // a result of the working stands in brackets in the report's units
    let all = working_of("examples/cut-bank.toml");
    // what the report's numbers quote: the runoff, the duty half-way, the basin
    let half_way = all.find("[Duty point half-way between the floats, Hazen").unwrap();
    let off_level = all.find("[Duty point at the off level").unwrap();
    let text = format!("{}{}", &all[..off_level], &all[half_way..]);
    let output = Command::new(env!("CARGO_BIN_EXE_sumpwright"))
        .args(["size", "examples/cut-bank.toml"])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap();
    let report = String::from_utf8(output.stdout).unwrap();
    let value = |name: &str| {
        report
            .lines()
            .find_map(|line| line.trim_start().strip_prefix(name))
            .unwrap_or_else(|| panic!("{name} in the report"))
            .trim()
            .to_owned()
    };
    let given = |symbol: &str| {
        let lines = lines(&text);
        let line = lines.iter().find(|line| line.symbol == symbol).unwrap_or_else(|| panic!("{symbol} in the working"));
        let (_, shown) = line.result.split_once('(').unwrap();
        shown.trim_end_matches(')').to_owned()
    };
    assert_eq!(value("peak inflow, rational method"), format!("{} in the 10 yr storm", given("Qin")));
    assert_eq!(value("one run, no water coming in"), given("t0"));
    assert_eq!(value("pump-down volume"), given("V"));
    assert_eq!(value("room above the on level"), given("Vr"));
    assert_eq!(value("basin takes the peak's surplus for"), given("ts"));
    assert_eq!(value("without a pump: water shows after"), given("tn"));
    assert!(value("head, middle water level").starts_with(&format!("{} = {} lift", given("H"), given("Hs"))));
    let flat = report.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains(&format!("one in {}, with {} running in", given("T"), given("Qw"))));
    let starts: f64 = {
        let lines = lines(&text);
        lines.iter().find(|line| line.symbol == "n").unwrap().result.parse().unwrap()
    };
    assert_eq!(value("starts in an hour at the worst"), format!("{starts:.0}"));
}
