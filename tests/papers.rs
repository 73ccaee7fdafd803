//! The papers of a job as the built program prints and writes them.
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
use sumpwright::design::{Design, RuleOutcome, design};
use sumpwright::report::papers::PAPERS;
use sumpwright::site::{self, Files};

const EXAMPLES: [&str; 8] = [
    "bid-orchard-wall",
    "courtyard-metric",
    "cut-bank",
    "heavy-clay",
    "long-run",
    "over-the-bank",
    "two-pumps",
    "wet-meadow",
];

fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_sumpwright"))
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .env("NO_COLOR", "1")
        .args(arguments)
        .output()
        .unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

fn out(arguments: &[&str]) -> String {
    let output = run(arguments);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    text(&output.stdout)
}

fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A folder of this test run that is not there yet.
fn no_folder(name: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = fs::remove_dir_all(&folder);
    folder
}

struct NoFiles;
impl Files for NoFiles {
    fn read(&self, _: &str) -> Result<String, String> {
        Err("no files beside it".to_owned())
    }
}

fn example(name: &str) -> String {
    fs::read_to_string(format!("{}/examples/{name}.toml", env!("CARGO_MANIFEST_DIR"))).unwrap()
}

/// The main example with some of its text changed.
fn changed(changes: &[(&str, &str)]) -> String {
    let mut site = example("cut-bank");
    for (from, to) in changes {
        assert!(site.contains(from), "{from}");
        site = site.replacen(from, to, 1);
    }
    site
}

fn designed(text: &str) -> Design {
    design(&site::read(text, &NoFiles).site.unwrap()).unwrap()
}

fn outcome(design: &Design, id: &str) -> RuleOutcome {
    design.local_rules.iter().find(|rule| rule.id == id).unwrap().outcome
}

#[test]
fn regress_papers_of_a_us_and_a_metric_yard() {
    for name in ["cut-bank", "courtyard-metric"] {
        for paper in ["visit", "town", "owner"] {
            let file = format!("examples/{name}.toml");
            insta::assert_snapshot!(format!("{name}-{paper}"), out(&["papers", &file, paper]));
        }
    }
    insta::assert_snapshot!("blank-visit", out(&["papers", "--blank"]));
    insta::assert_snapshot!("town-html", out(&["papers", "examples/cut-bank.toml", "town", "--format", "html"]));
}

#[test]
fn identity_every_paper_of_every_example_fits_the_page_and_is_whole_html() {
    for name in EXAMPLES {
        let file = format!("examples/{name}.toml");
        for paper in PAPERS {
            let said = out(&["papers", &file, paper.name()]);
            for line in said.lines() {
                assert!(line.chars().count() <= 80, "{name} {}: {line}", paper.name());
            }
            for wrong in ["NaN", "inf ", "None)", "Some("] {
                assert!(!said.contains(wrong), "{name} {}: {wrong}", paper.name());
            }
            let html = out(&["papers", &file, paper.name(), "--format", "html"]);
            assert!(html.starts_with("<!DOCTYPE html>") && html.ends_with("</html>"), "{name} {}", paper.name());
            assert!(html.len() < 300_000);
            // an address that names what SVG is, and is never asked for anything
            let html = html.replace("http://www.w3.org/2000/svg", "");
            for outside in ["<script", "http://", "https://", "@import", "url("] {
                assert!(!html.contains(outside), "{name} {}: {outside}", paper.name());
            }
            assert_eq!(html.matches("<h1>").count(), 1);
        }
    }
}

#[test]
fn identity_names_with_markup_are_words() {
    let site = changed(&[
        (
            "title = \"Lower lawn, house on the cut bank (invented)\"",
            "title = \"<script>alert('x')</script> & \\\"yard\\\"\"",
        ),
        ("office = \"public works counter\"", "office = \"<b>counter</b>\""),
    ]);
    let file = no_folder("papers-markup");
    fs::create_dir_all(&file).unwrap();
    let file = file.join("yard.toml");
    fs::write(&file, site).unwrap();
    for paper in PAPERS {
        let html = out(&["papers", file.to_str().unwrap(), paper.name(), "--format", "html"]);
        assert!(!html.contains("<script") && !html.contains("<b>counter"), "{}", paper.name());
        assert!(html.contains("&lt;script&gt;alert"), "{}", paper.name());
    }
}

#[test]
fn identity_rules_that_were_entered_are_held_against_the_site() {
    let here = designed(&example("cut-bank"));
    assert_eq!(outcome(&here, "ends-in"), RuleOutcome::Kept);
    assert_eq!(outcome(&here, "lot-line"), RuleOutcome::Kept);
    assert_eq!(outcome(&here, "walk"), RuleOutcome::RuleNotSaid);
    assert_eq!(outcome(&here, "permit"), RuleOutcome::RuleNotSaid);
    assert_eq!(outcome(&here, "winter"), RuleOutcome::ToRead);
    assert!(here.findings.iter().all(|finding| finding.id != "local-rule-broken"));

    // exactly at the distance it is kept, an inch nearer it is not
    let at = designed(&changed(&[("to_lot_line = \"12 ft\"", "to_lot_line = \"10 ft\"")]));
    assert_eq!(outcome(&at, "lot-line"), RuleOutcome::Kept);
    let near = designed(&changed(&[("to_lot_line = \"12 ft\"", "to_lot_line = \"9 ft 11 in\"")]));
    assert_eq!(outcome(&near, "lot-line"), RuleOutcome::Broken);
    let found = near.findings.iter().find(|finding| finding.id == "local-rule-broken").unwrap();
    let said = found.message.say(near.units);
    assert!(said.contains("outlet to lot line is 9 ft") && said.contains("at least 10 ft"), "{said}");
    // it warns; the design is no worse for it
    assert_eq!(near.holds(), here.holds());

    let street = designed(&changed(&[("ends_in = \"swale\"", "ends_in = \"street\"")]));
    assert_eq!(outcome(&street, "ends-in"), RuleOutcome::Broken);
    let unsaid = designed(&changed(&[(", ends_in = \"swale\", to_lot_line = \"12 ft\"", "")]));
    assert_eq!(outcome(&unsaid, "ends-in"), RuleOutcome::SiteNotSaid);
    assert_eq!(outcome(&unsaid, "lot-line"), RuleOutcome::SiteNotSaid);
    // the outlet's kind says where it ends, where it does
    let by_kind = designed(&changed(&[(
        "kind = \"grate\", level = \"100.40 ft\", ditch_full = \"100.10 ft\", ends_in = \"swale\"",
        "kind = \"curb\", level = \"100.40 ft\", ditch_full = \"100.10 ft\"",
    )]));
    assert_eq!(outcome(&by_kind, "ends-in"), RuleOutcome::Broken);
}

#[test]
fn identity_what_is_not_known_of_the_town_is_asked() {
    let said = flat(&out(&["papers", "examples/wet-meadow.toml", "town"]));
    assert!(said.contains("all of it is still to be asked"), "{said}");
    for ask in
        ["Where may pumped rain", "How far from the lot line", "How far from a house", "Which permits", "in frost"]
    {
        assert!(said.contains(ask), "{ask}");
    }
    // what was answered is not asked again
    let said = flat(&out(&["papers", "examples/cut-bank.toml", "town"]));
    assert!(!said.contains("How far from the lot line must"), "{said}");
    assert!(said.contains("How far from a public walk"), "{said}");
}

#[test]
fn identity_the_owners_page_has_this_yards_times() {
    let said = flat(&out(&["papers", "examples/cut-bank.toml", "owner"]));
    let report = flat(&out(&["size", "examples/cut-bank.toml"]));
    for (paper, sized) in [
        // as deep as in the nested storm, as long as in the longer steady rain
        ("10 yr 3 in 1.8 h 98 2.7 h", "10 yr 2.6 in 15 min 1.8 h 1.9 h"),
        (
            "water stands 3.2 h after the rain began, up to 7.6 in deep",
            "water stands 3.2 h after the rain began, up to 7.6 in deep",
        ),
        ("water stands up to 7.4 in deep in the storm of the design, for 1.9 h", "up to 7.4 in deep, for 1.9 h"),
    ] {
        assert!(said.contains(paper) && report.contains(sized), "{paper}");
    }
    for (paper, sized) in [
        ("draw that down in about 65 s", "one run, no water coming in 65 s"),
        ("the basin is full to the yard 35 s later", "without a pump: water shows after 35 s"),
    ] {
        assert!(said.contains(paper) && report.contains(sized), "{paper}");
    }
    // a yard without an alarm is told so
    let quiet = changed(&[("alarm = \"30 in\"\n", "")]);
    let folder = no_folder("papers-quiet");
    fs::create_dir_all(&folder).unwrap();
    fs::write(folder.join("yard.toml"), quiet).unwrap();
    let said = flat(&out(&["papers", folder.join("yard.toml").to_str().unwrap(), "owner"]));
    assert!(said.contains("There is none. Somebody has to look in a storm"), "{said}");
}

#[test]
fn identity_all_papers_are_written_and_none_over_another() {
    let folder = no_folder("papers-all");
    let name = folder.to_str().unwrap();
    let all = ["papers", "examples/cut-bank.toml", "--all", name];
    assert_eq!(run(&all).status.code(), Some(0));
    for paper in PAPERS {
        let html = fs::read_to_string(folder.join(format!("{}.html", paper.name()))).unwrap();
        assert_eq!(html, out(&["papers", "examples/cut-bank.toml", paper.name(), "--format", "html"]));
    }
    // one that is there keeps all from being written
    fs::remove_file(folder.join("visit.html")).unwrap();
    fs::write(folder.join("owner.html"), "mine").unwrap();
    let refused = run(&all);
    assert_eq!(refused.status.code(), Some(3));
    assert!(text(&refused.stderr).contains("--force"), "{}", text(&refused.stderr));
    assert_eq!(fs::read_to_string(folder.join("owner.html")).unwrap(), "mine");
    assert!(!folder.join("visit.html").exists());
    assert_eq!(run(&[&all[..], &["--force"]].concat()).status.code(), Some(0));
    assert!(fs::read_to_string(folder.join("owner.html")).unwrap().starts_with("<!DOCTYPE"));
    // a file is no folder
    let file = folder.join("owner.html");
    assert_eq!(run(&["papers", "examples/cut-bank.toml", "--all", file.to_str().unwrap()]).status.code(), Some(3));
}

#[test]
fn identity_paper_and_file_go_in_either_order_and_case() {
    let right = out(&["papers", "examples/cut-bank.toml", "crew"]);
    assert_eq!(out(&["papers", "crew", "examples/cut-bank.toml"]), right);
    assert_eq!(out(&["papers", "examples/cut-bank.toml", "CREW"]), right);
    assert_eq!(out(&["papers", "Crew", "examples/cut-bank.toml"]), right);
    let output = run(&["papers", "crew"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(text(&output.stderr).contains("write `sumpwright papers yard.toml crew`"));
}

#[test]
fn identity_a_paper_that_is_not_there_is_named_with_those_that_are() {
    let refused = run(&["papers", "examples/cut-bank.toml", "towns"]);
    assert_eq!(refused.status.code(), Some(2));
    let said = text(&refused.stderr);
    assert!(said.contains("there is no paper `towns`") && said.contains("owner"), "{said}");
    let list = out(&["papers"]);
    for paper in PAPERS {
        assert!(list.contains(paper.name()) && list.contains(paper.about()));
    }
}

/// A site file of this test run.
fn written(name: &str, text: &str) -> String {
    let folder = no_folder(name);
    fs::create_dir_all(&folder).unwrap();
    let file = folder.join("yard.toml");
    fs::write(&file, text).unwrap();
    file.to_str().unwrap().to_owned()
}

#[test]
fn identity_a_design_that_does_not_hold_is_not_to_be_built_from() {
    // the pipe comes out of the ground half-way
    let site =
        changed(&[("invert = \"99.10 ft\", ground = \"100.70 ft\"", "invert = \"99.10 ft\", ground = \"98.90 ft\"")]);
    let file = written("papers-stopped", &site);
    for paper in ["crew", "start-up"] {
        let said = flat(&out(&["papers", &file, paper]));
        assert!(said.contains("Not to be built from: something stands against this design"), "{paper}: {said}");
        let holds = flat(&out(&["papers", "examples/cut-bank.toml", paper]));
        assert!(!holds.contains("Not to be built from"), "{paper}");
    }
    assert!(flat(&out(&["papers", &file, "crew"])).contains("ABOVE GROUND at 90 ft"));
}

/// An open end on a bank lies out of the ground: that is no reason to stop.
#[test]
fn identity_the_end_of_the_line_may_come_out_of_the_ground() {
    let example = include_str!("../examples/cut-bank.toml");
    let line = example.lines().find(|line| line.contains("at = \"135 ft\"")).unwrap();
    let invert = line.split("invert = \"").nth(1).unwrap().split(" ft").next().unwrap();
    let ground: f64 = invert.parse::<f64>().unwrap() + 0.1;
    let bare = format!("    {{ at = \"135 ft\", invert = \"{invert} ft\", ground = \"{ground:.2} ft\" }},");
    let file = written("papers-open-end", &changed(&[(line, &bare)]));
    let crew = flat(&out(&["papers", &file, "crew"]));
    assert!(crew.contains("At 135 ft the pipe comes up to its outlet, out of the ground"), "{crew}");
    assert!(!crew.contains("ABOVE GROUND"));
}

/// The page that the customer signs names what must stay dry.
#[test]
fn identity_the_proposal_says_when_water_reaches_what_must_stay_dry() {
    // between the deepest water of the design storm and that of the rarest
    let file = written("papers-vent", &changed(&[("level = \"97.10 ft\"", "level = \"96.30 ft\"")]));
    for paper in ["proposal", "owner"] {
        let page = flat(&out(&["papers", &file, paper]));
        assert!(page.contains("Although the pump runs, water reaches `crawl-space vent` in the"), "{paper}: {page}");
        let dry = flat(&out(&["papers", "examples/cut-bank.toml", paper]));
        assert!(!dry.contains("Although the pump runs"), "{paper}");
    }
    let proposal = flat(&out(&["papers", &file, "proposal"]));
    assert!(proposal.contains(", and reaches `crawl-space vent`."), "{proposal}");
}

#[test]
fn identity_a_rule_that_is_not_kept_is_asked_about_and_told_the_customer() {
    let file = written("papers-broken-rule", &changed(&[("to_lot_line = \"12 ft\"", "to_lot_line = \"4 ft\"")]));
    let town = flat(&out(&["papers", &file, "town"]));
    assert!(
        town.contains("NOT KEPT") && town.contains("Outlet to lot line: it is not kept here. Is there an exception")
    );
    let proposal = flat(&out(&["papers", &file, "proposal"]));
    assert!(proposal.contains("It does not keep a rule of the town as it was entered (outlet to lot line)"));
    assert!(!flat(&out(&["papers", "examples/cut-bank.toml", "proposal"])).contains("does not keep a rule"));
}

#[test]
fn identity_crew_and_estimate_dig_the_same_hole_and_pour_the_same_collar() {
    // floor to rim 60 in, a floor of 3/4 in and 6 in of stone: 66-3/4 in, 5' 6-3/4"; 31.5 in outside and 12 in of room: 55.5 in
    let crew = flat(&out(&["papers", "examples/cut-bank.toml", "crew"]));
    let estimate = flat(&out(&["papers", "examples/cut-bank.toml", "estimate"]));
    assert!(crew.contains("5' 6-3/4\" from the rim") && crew.contains("4' 7-1/2\" across, walls upright"), "{crew}");
    assert!(
        estimate.contains("55.5 in across: 31.5 in across outside") && estimate.contains("66.8 in deep"),
        "{estimate}"
    );
    assert!(
        crew.contains("Catch basins")
            && crew.contains("Digging goes 5.6 ft deep") == estimate.contains("Digging goes 5.6 ft deep")
    );
    // a smaller collar than the basin needs: both take what it needs, and the crew's says so
    let file = written(
        "papers-collar",
        &changed(&[("width = \"8 in\", thickness = \"12 in\"", "width = \"2 in\", thickness = \"6 in\"")]),
    );
    let crew = flat(&out(&["papers", &file, "crew"]));
    assert!(crew.contains("more than the site file has, so that the empty basin does not float"), "{crew}");
    assert!(flat(&out(&["papers", &file, "estimate"])).contains("the collar that the empty basin needs"));
}

/// Water that reaches an opening goes into it: no page may tell of it as of water that stays in the yard. The vent at
/// 96.45 ft lies below the edge at 96.60 ft and is reached without power alone; at 96.15 ft with the pump running too.
#[test]
fn identity_water_that_reaches_a_place_is_said_to_go_in() {
    let folder = no_folder("goes-in");
    fs::create_dir_all(&folder).unwrap();
    let said = "Where water reaches `crawl-space vent`, it goes in from then on: depths, volumes and times told beyond that are reckoned as if it were shut.";
    let example = fs::read_to_string("examples/cut-bank.toml").unwrap();
    for (level, reached) in [("97.10 ft", false), ("96.45 ft", true), ("96.15 ft", true)] {
        let file = folder.join(format!("{}.toml", &level[..5]));
        let site = example.replace("level = \"97.10 ft\"", &format!("level = \"{level}\""));
        assert!(level == "97.10 ft" || site != example);
        fs::write(&file, site).unwrap();
        let file = file.to_str().unwrap();
        let pages: [(&[&str], usize); 5] = [
            // in the verdict and where the power cut is told
            (&["size", file], 2),
            (&["papers", file, "owner"], 1),
            (&["takeoff", file, "--proposal"], 1),
            (&["storm", file, "--without-power"], 1),
            (&["storm", file], usize::from(level == "96.15 ft")),
        ];
        for (arguments, times) in pages {
            let page = flat(&text(&run(arguments).stdout));
            assert!(page.len() > 500, "{arguments:?}: {page}");
            assert_eq!(page.matches(said).count(), if reached { times } else { 0 }, "{arguments:?}: {page}");
        }
    }
}
