//! `takeoff` as the built program runs it: text, CSV, price lists, the proposal, what is refused.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test fails by panicking"
)]

use std::fs;
use std::path::PathBuf;
use std::process::{Command, Output};

const EXAMPLE: &str = include_str!("../examples/cut-bank.toml");

fn run(arguments: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_sumpwright"));
    command.current_dir(env!("CARGO_MANIFEST_DIR")).env("NO_COLOR", "1").args(arguments).output().unwrap()
}

fn takeoff(more: &[&str]) -> Output {
    run(&[&["takeoff", "examples/cut-bank.toml"], more].concat())
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// An empty folder of this test run.
fn folder(name: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    folder
}

fn rows(csv: &str) -> Vec<csv::StringRecord> {
    csv::Reader::from_reader(csv.as_bytes()).records().map(Result::unwrap).collect()
}

#[test]
fn regress_takeoff_of_the_example() {
    insta::with_settings!({ prepend_module_to_snapshot => false, omit_expression => true }, {
        insta::assert_snapshot!("takeoff/cut-bank", out(&takeoff(&[])));
        insta::assert_snapshot!("takeoff/cut-bank-csv", out(&takeoff(&["--format", "csv"])));
        insta::assert_snapshot!("takeoff/cut-bank-proposal", out(&takeoff(&["--proposal"])));
        insta::assert_snapshot!("takeoff/long-run", out(&run(&["takeoff", "examples/long-run.toml"])));
        insta::assert_snapshot!("help/help-takeoff", out(&run(&["takeoff", "--help"])));
    });
}

#[test]
fn identity_text_fits_eighty_columns() {
    for file in ["cut-bank", "courtyard-metric", "two-pumps", "over-the-bank", "heavy-clay", "wet-meadow"] {
        let file = format!("examples/{file}.toml");
        for more in [&[][..], &["--units", "metric"], &["--proposal"]] {
            let output = run(&[&["takeoff", file.as_str()], more].concat());
            assert_eq!(output.status.code(), Some(0), "{}", err(&output));
            for line in out(&output).lines() {
                assert!(line.chars().count() <= 80, "{file}: {line}");
            }
        }
    }
}

#[test]
fn identity_the_rows_of_the_csv_add_up_to_its_total_and_to_the_text() {
    let csv = rows(&out(&takeoff(&["--format", "csv"])));
    let of = |section: &str, column: usize| -> f64 {
        let numbers = csv.iter().filter(|row| &row[0] == section && !row[column].is_empty());
        numbers.map(|row| row[column].parse::<f64>().unwrap()).sum()
    };
    for column in [6, 7, 8] {
        assert!((of("sum", column) - of("total", column)).abs() < 0.005);
        let materials =
            csv.iter().find(|row| &row[2] == "materials and hauling").unwrap()[column].parse::<f64>().unwrap();
        assert!((of("item", column) - materials).abs() < 0.005);
    }
    // numbers are bare
    for row in csv.iter().filter(|row| &row[0] == "item") {
        row[3].parse::<f64>().unwrap();
    }
    let text = flat(&out(&takeoff(&[])));
    assert!(text.contains(&format!("The job comes to ${:.2}, likely", of("total", 7))), "{text}");
}

#[test]
fn identity_no_cell_is_read_as_a_formula() {
    let folder = folder("takeoff-formula");
    let path = folder.join("yard.toml");
    let names = ["=1+2", "+1", "-1", "@SUM(A1)", "  =cmd", "\\t=1", "x\\u200b"];
    for (number, name) in names.into_iter().enumerate() {
        let text = EXAMPLE
            .replace("\"electrician\" = 780", &format!("\"{}\" = 780", name.replace("\\t", "")))
            .replace("\"corner grate\"", &format!("\"{}\"", name.replace("\\t", "")))
            .replace("name = \"medium\"", &format!("name = \"{}\"", name.replace("\\t", "")));
        fs::write(&path, text).unwrap();
        let output = run(&["takeoff", path.to_str().unwrap(), "--format", "csv"]);
        assert_eq!(output.status.code(), Some(0), "{number}: {}", err(&output));
        for row in csv::ReaderBuilder::new().has_headers(false).from_reader(output.stdout.as_slice()).records() {
            for cell in &row.unwrap() {
                let start = cell.trim_start();
                assert!(!start.starts_with(['=', '+', '-', '@']) && !cell.starts_with(['\t', '\r', '\n']), "{cell:?}");
            }
        }
    }
    assert!(out(&run(&["takeoff", path.to_str().unwrap(), "--format", "csv"])).contains("`x"));
}

#[test]
fn identity_the_proposal_shows_no_figure_from_inside() {
    for form in ["text", "html"] {
        let page = out(&takeoff(&["--proposal", "--format", form]));
        let csv = rows(&out(&takeoff(&["--format", "csv"])));
        assert!(page.contains("10500.00"), "{page}");
        let mut inside = 0;
        for row in &csv {
            for column in 5..9 {
                // whole numbers of a digit or two stand anywhere
                let cell = &row[column];
                if cell.len() >= 4 && cell.contains('.') && cell != "10500.00" {
                    assert!(!page.contains(cell), "{form}: {cell} of {row:?} in\n{page}");
                    inside += 1;
                }
            }
        }
        assert!(inside > 80, "{inside}");
        let said = flat(&page).to_lowercase();
        for word in [
            "margin",
            "contingency",
            "rounding",
            "labour",
            "labor",
            "hours",
            "waste",
            "price each",
            "likely",
            "profit",
            "markup",
            "machine",
            "sticks",
            "20 %",
            "10 %",
            "9200",
            "13450",
        ] {
            // what the style of the page says is not said to anybody
            let body = said.find("<body>").map_or(said.as_str(), |at| &said[at..]);
            assert!(!body.contains(word), "{form}: `{word}` in\n{page}");
        }
        for wanted in [
            "10 yr storm",
            "3 in deep",
            "up to 1.8 h",
            "What it does not do",
            "Not in the price",
            "For the owner",
            "Date",
            "licensed electrician",
            "Call 811",
        ] {
            assert!(flat(&page).contains(wanted), "{form}: no `{wanted}`");
        }
    }
}

#[test]
fn identity_a_price_that_is_not_whole_is_not_proposed() {
    let folder = folder("takeoff-half");
    let path = folder.join("yard.toml");
    fs::write(&path, EXAMPLE.replace("\nalarm = 120\n", "\n")).unwrap();
    let file = path.to_str().unwrap();
    let output = run(&["takeoff", file, "--proposal"]);
    let page = out(&output);
    assert!(page.contains("still to be written in") && !page.contains("00.00"), "{page}");
    // who prints it is told why, the customer is not
    let why = "note: the proposal has no price: alarm with its float has no price (`prices.alarm`).";
    assert!(flat(&err(&output)).contains(why) && !page.contains("prices.alarm"), "{}", err(&output));
    assert!(flat(&err(&run(&["papers", file, "proposal"]))).contains(why));
    assert!(err(&run(&["takeoff", "examples/cut-bank.toml", "--proposal"])).is_empty());
    let text = flat(&out(&run(&["takeoff", file])));
    assert!(text.contains("What is priced comes to") && text.contains("1 price or rate is missing"), "{text}");
    assert!(
        text.contains("total of what is priced") && text.contains("alarm with its float: `prices.alarm`"),
        "{text}"
    );
    // nor that of a design that does not hold
    let output = run(&["takeoff", "examples/long-run.toml", "--proposal"]);
    assert!(flat(&err(&output)).contains("no price: something stands against the design"), "{}", err(&output));
    let page = flat(&out(&output));
    assert!(page.contains("Not to be handed out") && page.contains("still to be written in"), "{page}");
}

#[test]
fn identity_a_price_list_goes_in_place_of_the_files_tables() {
    let folder = folder("takeoff-list");
    let (list, site) = (folder.join("prices.toml"), folder.join("yard.toml"));
    let start = EXAMPLE.find("[prices]").unwrap();
    fs::write(&list, &EXAMPLE[start..]).unwrap();
    fs::write(&site, &EXAMPLE[..start]).unwrap();
    let (list, site) = (list.to_str().unwrap(), site.to_str().unwrap());
    let both = run(&["takeoff", site, "--prices", list]);
    assert_eq!(both.status.code(), Some(0), "{}", err(&both));
    assert_eq!(out(&both), out(&takeoff(&[])));
    // one table alone leaves the other as it is
    fs::write(folder.join("rates.toml"), "[takeoff]\nlabour_per_hour = 1\n").unwrap();
    let rates = run(&["takeoff", "examples/cut-bank.toml", "--prices", folder.join("rates.toml").to_str().unwrap()]);
    assert!(flat(&out(&rates)).contains("11 prices and rates are missing"), "{}", out(&rates));
    // the lump sums are the job's: they stay where the list has none
    let sums = "lump_sums = { \"electrician\" = 780, \"permit\" = 120, \"shoring\" = 250 }\n";
    assert!(EXAMPLE.contains(sums));
    let bare = folder.join("bare.toml");
    fs::write(&bare, EXAMPLE[start..].replace(sums, "")).unwrap();
    let kept = run(&["takeoff", "examples/cut-bank.toml", "--prices", bare.to_str().unwrap()]);
    assert_eq!(out(&kept), out(&takeoff(&[])));
    fs::write(&bare, EXAMPLE[start..].replace(sums, "lump_sums = { \"permit\" = 90 }\n")).unwrap();
    let bare = bare.to_str().unwrap();
    let other = out(&run(&["takeoff", "examples/cut-bank.toml", "--prices", bare, "--format", "csv"]));
    let sums: Vec<String> =
        rows(&other).iter().flat_map(|row| row.iter().map(str::to_owned).collect::<Vec<_>>()).collect();
    assert!(sums.iter().any(|cell| cell == "permit") && !sums.iter().any(|cell| cell == "shoring"), "{other}");
    for (text, code, wanted) in [
        ("[prices]\nstone_per_yd3 = \"54\"\n", 2, "prices.stone_per_yd3"),
        ("[prices]\nstone_per_yd = 54\n", 2, "did you mean `stone_per_yd3`"),
        ("[basin]\nrim = \"96 ft\"\n", 2, "unknown key `basin`"),
        ("format = 2\n[prices]\nalarm = 3\n", 2, "format 1"),
        ("note = \"nothing\"\n", 2, "has no prices"),
    ] {
        fs::write(folder.join("bad.toml"), text).unwrap();
        let output = run(&["takeoff", "examples/cut-bank.toml", "--prices", folder.join("bad.toml").to_str().unwrap()]);
        assert_eq!(output.status.code(), Some(code), "{text}: {}", err(&output));
        assert!(flat(&err(&output)).contains(wanted), "{text}: {}", err(&output));
        assert!(output.stdout.is_empty());
    }
    assert_eq!(takeoff(&["--prices", "not-there.toml"]).status.code(), Some(3));
}

#[test]
fn identity_what_is_wrong_is_said_and_files_are_not_overwritten() {
    let output = takeoff(&["--proposal", "--format", "csv"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(err(&output).contains("a proposal is no spreadsheet"), "{}", err(&output));
    assert_eq!(takeoff(&["--force"]).status.code(), Some(2));
    let path = folder("takeoff-output").join("proposal.html");
    let file = path.to_str().unwrap();
    let html = &["--proposal", "--format", "html", "--output", file][..];
    assert_eq!(takeoff(html).status.code(), Some(0));
    let page = fs::read_to_string(&path).unwrap();
    assert!(page.starts_with("<!DOCTYPE html>") && page.contains("<h1>Proposal</h1>"), "{page}");
    assert_eq!(takeoff(html).status.code(), Some(3));
    assert_eq!(takeoff(&[html, &["--force"]].concat()).status.code(), Some(0));
    // the same paper by its name
    let paper = run(&["papers", "examples/cut-bank.toml", "estimate"]);
    assert_eq!(out(&paper), out(&takeoff(&[])));
}
