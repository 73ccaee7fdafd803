//! The reach of a pump against the formula written out by hand, and against the design itself.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test fails by panicking"
)]

use super::*;
use crate::design::FittingsStay;
use crate::quantity::{Flow, Length};
use crate::site::{self, NoFiles, Site};

fn quick() -> Quick {
    Quick {
        lift: Some(Length::from_ft(12.0)),
        pipe: Some("1-1/2 in".to_owned()),
        curve: Some("0 gpm 31 ft, 20 gpm 27 ft, 40 gpm 20.5 ft".to_owned()),
        run: Some(Length::from_ft(180.0)),
        flow: Some(Flow::from_gpm(20.0)),
        flow_needed: true,
        ..Quick::default()
    }
}

fn asked(flow_gpm: f64) -> ReachAsked {
    ReachAsked {
        flow: Some(Flow::from_gpm(flow_gpm)),
        pump: Some(QUICK_PUMP.to_owned()),
        pipes: PipesAsked::OnlyDrawn,
        quick: true,
        ..ReachAsked::default()
    }
}

fn longest_ft(reach: &Reach) -> f64 {
    reach.drawn().unwrap().extent.longest().unwrap().ft()
}

/// Friction by the US form of Hazen-Williams, ft in a foot of pipe: 4.52 Q^1.852 / (C^1.852 d^4.87) psi, as fire codes
/// print it (NFPA 13, from memory), with 2.307 ft to the psi.
fn friction_in_a_foot(flow_gpm: f64, c: f64, bore_in: f64) -> f64 {
    2.307 * 4.52 * libm::pow(flow_gpm, 1.852) / (libm::pow(c, 1.852) * libm::pow(bore_in, 4.87))
}

#[test]
fn published_hazen_williams_by_hand_gives_the_longest_run() {
    // At a point of the curve the head needs no interpolation: 27 ft at 20 gpm. Of these 12 ft are lift and one velocity
    // head goes at the open end; the rest is friction. 1-1/2 in schedule 40: outside 1.900 in, wall 0.145 in (ASTM D1785).
    let bore_in = 1.900 - 2.0 * 0.145;
    let velocity = 0.4085 * 20.0 / (bore_in * bore_in);
    let left = 27.0 - 12.0 - velocity * velocity / 64.35;
    let by_hand = left / friction_in_a_foot(20.0, 150.0, bore_in);
    let site = quick_site(&quick()).unwrap();
    let found = longest_ft(&reach(&site, &asked(20.0)).unwrap());
    // the exponent printed as 4.87 is 4.8704, and the answer is a whole foot
    assert!((found - by_hand).abs() < 1.0 + by_hand * 0.003, "{found} {by_hand}");
}

#[test]
fn identity_more_flow_more_lift_more_fittings_never_reach_further() {
    let site = quick_site(&quick()).unwrap();
    let mut before = f64::INFINITY;
    for gpm in [5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0] {
        let found = longest_ft(&reach(&site, &asked(gpm)).unwrap());
        assert!(found <= before);
        before = found;
    }
    let by_lift = reach(&site, &ReachAsked { by_lift: true, ..asked(20.0) }).unwrap();
    let ends: Vec<f64> = by_lift.cases.iter().map(|case| case.extent.longest().unwrap().ft()).collect();
    assert!(ends.windows(2).all(|pair| pair[0] >= pair[1]), "{ends:?}");
    let fitted = Quick { fittings: Some("elbow 90 = 4".to_owned()), check_valve: true, ..quick() };
    let fitted = quick_site(&fitted).unwrap();
    let plain = longest_ft(&reach(&site, &asked(20.0)).unwrap());
    let stays = longest_ft(&reach(&fitted, &asked(20.0)).unwrap());
    assert!(stays < plain);
    // beyond the run drawn, fittings that come with the run cost more
    let with = ReachAsked { fittings: FittingsStay::WithTheRun, ..asked(20.0) };
    assert!(longest_ft(&reach(&fitted, &with).unwrap()) < stays);
}

#[test]
fn identity_what_is_out_of_reach_says_why() {
    let site = quick_site(&Quick { lift: Some(Length::from_ft(40.0)), ..quick() }).unwrap();
    let found = reach(&site, &asked(20.0)).unwrap();
    let said = sentences(&found).join(" ");
    assert!(said.contains("it cannot lift the water 40.0 ft: 9.0 ft of head are missing"), "{said}");
    assert!(!found.within());
    let site = quick_site(&quick()).unwrap();
    let found = reach(&site, &asked(80.0)).unwrap();
    let said = sentences(&found).join(" ");
    assert!(said.contains("its curve ends where 40 gpm come out of the line"), "{said}");
    let site = quick_site(&Quick { lift: Some(Length::from_ft(24.0)), ..quick() }).unwrap();
    let said = sentences(&reach(&site, &asked(35.0)).unwrap()).join(" ");
    assert!(said.contains("less than asked"), "{said}");
}

fn example(text: &str) -> Site {
    site::read(text, &NoFiles).site.unwrap()
}

#[test]
fn identity_the_job_is_that_of_the_file() {
    let cut_bank = example(include_str!("../../../examples/cut-bank.toml"));
    let long_run = example(include_str!("../../../examples/long-run.toml"));
    let only = ReachAsked { pipes: PipesAsked::OnlyDrawn, pump: Some("medium".to_owned()), ..ReachAsked::default() };
    let found = reach(&cut_bank, &only).unwrap();
    assert_eq!((found.job, found.taken_from), (Job::Goal, TakenFrom::File));
    assert!(found.within());
    let found = reach(&long_run, &ReachAsked::default()).unwrap();
    assert_eq!((found.job, found.taken_from), (Job::Flow(Flow::from_gpm(30.0)), TakenFrom::FlowOfFile));
    assert!(!found.within());
    let none = ReachAsked { job: Some(JobAsked::Goal), ..ReachAsked::default() };
    assert_eq!(reach(&long_run, &none), Err(ReachError::NoGoal));
    let both = ReachAsked { job: Some(JobAsked::Scour), flow: Some(Flow::from_gpm(30.0)), ..ReachAsked::default() };
    assert_eq!(reach(&long_run, &both), Err(ReachError::FlowBeside { job: "scour" }));
}

/// The size may stand within the kind: by its pressure SDR 17 and not the thicker wall.
#[test]
fn regress_the_size_within_the_kind() {
    let quick = |words: &str| Quick { pipe: Some(words.to_owned()), ..quick() };
    for (words, material) in
        [("PE 50 PN 10", "PE100 SDR 17"), ("PE 50", "PE100 SDR 11"), ("PE100 SDR 17 50 mm", "PE100 SDR 17")]
    {
        let site = quick_site(&quick(words)).unwrap();
        let pipe = &site.discharge.runs[0].pipe;
        assert_eq!((pipe.material.as_str(), pipe.size.as_str()), (material, "50 mm"), "{words}");
    }
}

/// From the length told on the design says that its goal hangs on the pump's cycle, and a little before that not yet.
#[test]
fn identity_a_reach_that_hangs_on_the_cycle_says_from_where() {
    let text = include_str!("../../../examples/cut-bank.toml").replace("count = 1\n", "count = 1\nuse = \"medium\"\n");
    let site = site::read(&text, &NoFiles).site.unwrap();
    let found = reach(&site, &ReachAsked { pipes: PipesAsked::OnlyDrawn, ..ReachAsked::default() }).unwrap();
    let drawn = found.drawn().unwrap();
    let (from, longest) = (drawn.hangs_from.unwrap(), drawn.extent.longest().unwrap());
    assert!(site.discharge.length() < from && from <= longest, "{} {}", from.ft(), longest.ft());
    let hangs = |length: Length| {
        let design =
            crate::design::design(&crate::design::with_run_length(&site, length, FittingsStay::AsDrawn)).unwrap();
        assert!(design.holds());
        design.findings.iter().any(|finding| finding.id == "goal-hangs-on-cycle")
    };
    assert!(hangs(from) && hangs(longest));
    assert!(!hangs(from - longest / 30.0));
    let said = format!("From {:.0} ft on the goal hangs on where in its cycle the pump is", from.ft());
    assert!(sentences(&found).iter().any(|sentence| sentence.starts_with(&said)), "{said}");
    // on a lift beside the site's own nobody asks it
    let by_lift = reach(&site, &ReachAsked { by_lift: true, ..ReachAsked::default() }).unwrap();
    assert!(by_lift.cases.iter().all(|case| case.hangs_from.is_none()));
}

/// No run shorter than the longest misses the goal: where the pump starts once more before the burst, some feet of run do.
/// At 4.1 ft of lift 402 ft miss it, and from 403 to 455 ft it is kept again.
#[test]
fn regress_no_shorter_run_fails() {
    let site = example(include_str!("../../../examples/heavy-clay.toml"));
    let found = reach(&site, &ReachAsked { by_lift: true, ..ReachAsked::default() }).unwrap();
    let mut looked_at = 0;
    for (case, raise) in found.cases.iter().zip(super::lifts::raises(&site)) {
        let raised = super::lifts::raised(&site, raise);
        let done = |feet: f64| {
            let site = crate::design::with_run_length(&raised, Length::from_ft(feet), FittingsStay::AsDrawn);
            super::trying::goal_kept(&crate::design::trial_of_goal(&site).unwrap())
        };
        let longest = case.extent.longest().unwrap().ft().round();
        let mut feet = (longest - 90.0).max(site.discharge.length().ft());
        while feet <= longest {
            assert!(done(feet), "{feet} of {longest} ft, {} ft higher", raise.ft());
            feet += 1.0;
            looked_at += 1;
        }
        assert!(!done(longest + 1.0), "{longest}");
    }
    assert!(looked_at > 300, "{looked_at}");
}

/// Through 64 m at 2 m more lift a worn pump keeps the goal by luck, where the new one does not: it is told to reach no
/// further than from where it fails first, about 37 m.
#[test]
fn regress_a_worn_pump_is_not_told_to_do_by_luck() {
    let text = include_str!("../../../tests/data/loading-dip.toml")
        .replace("inside_diameter = \"600 mm\"", "inside_diameter = \"762 mm\"")
        .replace("size = \"50 mm\"\nlength = \"64 m\"", "size = \"63 mm\"\nlength = \"64 m\"");
    let site = site::read(&format!("{text}\n[pumping]\nuse = \"N\"\n"), &NoFiles).site.unwrap();
    let found = reach(&site, &ReachAsked { by_lift: true, ..ReachAsked::default() }).unwrap();
    assert_eq!(found.cases.len(), 9);
    let mut before = f64::INFINITY;
    for case in &found.cases {
        let new = case.extent.longest().unwrap().m();
        let worn = case.worn.as_ref().unwrap().longest().unwrap().m();
        assert!(worn < new && worn < before, "{worn} {new} {before}");
        before = worn;
    }
    let highest = found.cases.last().unwrap();
    assert_eq!(highest.done_as_drawn, Some(false));
    assert!(before < 40.0, "{before}");
}
