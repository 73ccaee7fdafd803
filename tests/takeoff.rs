//! The takeoff: one example worked out by hand, and what must hold of any.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test fails by panicking"
)]

#[path = "support/figures.rs"]
mod figures;

use figures::{numbers, with_figures};
use proptest::prelude::*;
use std::f64::consts::FRAC_PI_4;
use sumpwright::design::design;
use sumpwright::job::takeoff::{Bounds, Cost, Item, SumOf, Takeoff, takeoff};
use sumpwright::quantity::UnitSystem;
use sumpwright::site::{self, NoFiles, Site, Task};

const EXAMPLE: &str = include_str!("../examples/cut-bank.toml");
const EXAMPLES: [&str; 5] = [
    EXAMPLE,
    include_str!("../examples/courtyard-metric.toml"),
    include_str!("../examples/two-pumps.toml"),
    include_str!("../examples/wet-meadow.toml"),
    include_str!("../examples/bid-orchard-wall.toml"),
];

fn site_of(text: &str) -> Site {
    let reading = site::read(text, &NoFiles);
    reading.site.unwrap_or_else(|| panic!("{:#?}", reading.problems))
}

fn taken(text: &str) -> Takeoff {
    let site = site_of(text);
    takeoff(&site, &design(&site).unwrap())
}

/// The example without its prices and rates.
fn bare() -> String {
    let start = EXAMPLE.find("# Prices in your money").unwrap();
    EXAMPLE[..start].to_owned()
}

fn item<'t>(takeoff: &'t Takeoff, name: &str) -> &'t Item {
    takeoff.items.iter().find(|item| item.name == name).unwrap_or_else(|| panic!("no `{name}`: {takeoff:#?}"))
}

fn close(found: f64, wanted: f64, what: &str) {
    assert!((found - wanted).abs() <= 1e-6 * wanted.abs(), "{what}: {found}, and by hand {wanted}");
}

/// Square feet of a circle, by inches across.
fn circle_ft2(inches: f64) -> f64 {
    FRAC_PI_4 * (inches / 12.0) * (inches / 12.0)
}

/// Each quantity of `examples/cut-bank.toml` by hand, in feet; 27 cubic feet are a cubic yard.
#[test]
fn identity_quantities_of_the_example_by_hand() {
    let takeoff = taken(EXAMPLE);
    let count = |name: &str| item(&takeoff, name).count.value;
    // 135 ft of run + 3 ft of riser = 138 ft; 5 % waste: 144.9 ft; sticks of 20 ft: 7.245, so 8
    close(count("2 in PVC schedule 40"), 8.0, "sticks");
    // the run of 135 ft takes 7 sticks of 20 ft: 6 joints; the file has 6 couplings too
    close(count("2 in coupling"), 6.0, "couplings");
    // one in the riser, one in the run
    close(count("2 in elbow 90"), 2.0, "elbows");
    // 24 ft with 5 %: 25.2 ft, 3 sticks of 10 ft; 60 ft with 5 %: 63 ft, one coil of 100 ft
    close(count("4 in PVC SDR 35"), 3.0, "drain sticks");
    close(count("4 in corrugated HDPE"), 1.0, "coils");
    // glued: 6 couplings x 2, 2 elbows x 2, 2 elbows 45 x 2, a union x 2, valve x 2, riser at the pump 1, outlet 1,
    // 2 bells between 3 drain sticks: 28, so one can of 30
    assert!(item(&takeoff, "cement, cans").how.starts_with("28 glued joints"));
    close(count("cement, cans"), 1.0, "cement");
    // Discharge trench, 1 ft wide. Ground less invert: 1.30, 1.60, 1.60, 0.90 ft at 0, 40, 90, 135 ft:
    // 40 x 1.45 + 50 x 1.60 + 45 x 1.25 = 194.25 ft2; and the pipe's wall, (2.375 - 2.067) / 2 = 0.154 in, all along
    let line = 194.25 + 135.0 * 0.154 / 12.0;
    close(count("trench of the discharge line"), line / 27.0, "discharge trench");
    // corner line, 24 ft: 96.00 - 94.40 = 1.60 and 96.40 - 94.10 = 2.30 ft, and a wall of 0.120 in
    let corner = 24.0 * (f64::midpoint(1.60, 2.30) + 0.120 / 12.0);
    close(count("trench of `corner line`"), corner / 27.0, "corner trench");
    // bank drain, 60 ft, 1 ft wide: 96.60 - 94.60 = 2.00 and 96.40 - 94.10 = 2.30 ft, and 4 in below the pipe
    let bank = 60.0 * (f64::midpoint(2.0, 2.3) + 4.0 / 12.0);
    close(count("trench of `bank drain`"), bank / 27.0, "bank trench");
    // basin hole: 31.5 in outside + 2 x 12 in of room; 96.40 - 91.40 = 5 ft + 0.75 in of base (as the wall) + 6 in of bed
    let hole = circle_ft2(55.5) * (5.0 + 0.75 / 12.0 + 0.5);
    close(count("hole of the basin"), hole / 27.0, "basin hole");
    // grate: a box of 12 in (the grate's edge) + 2 x 12 in; 96.00 - 94.40 + 0.50 of silt trap = 2.10 ft
    close(count("hole of `corner grate`"), 9.0 * 2.1 / 27.0, "grate hole");
    // stone: from 4 in below the middle invert of 94.35 up to 95.60, 1 ft wide, less a pipe of 4.6 in; 10 % lost
    let high = 95.60 - 94.35 + 4.0 / 12.0;
    let stone = (high - circle_ft2(4.6)) * 60.0;
    close(count("stone of `bank drain`"), stone * 1.1 / 27.0, "stone");
    // fabric: round the stone and 12 in of lap; 10 % lost
    close(count("fabric of `bank drain`"), (2.0 * (1.0 + high) + 1.0) * 60.0 * 1.1, "fabric");
    // bed: the hole's plan x 6 in; collar: 8 in round 31.5 in, 12 in thick; 10 % lost of both
    let bed = circle_ft2(55.5) * 0.5;
    close(count("stone under the basin"), bed * 1.1 / 27.0, "bed");
    let collar = circle_ft2(47.5) - circle_ft2(31.5);
    close(count("concrete collar"), collar * 1.1 / 27.0, "collar");
    // what is not filled in again: pipes, the stone with its pipe, bed, basin, collar, box
    let dug = line + corner + bank + hole + 18.9;
    let stays = circle_ft2(2.375) * 135.0
        + circle_ft2(4.215) * 24.0
        + high * 60.0
        + bed
        + circle_ft2(31.5) * (5.0 + 0.75 / 12.0)
        + collar
        + 2.1;
    close(count("fill in again"), (dug - stays) / 27.0, "backfill");
    close(count("soil to take away, loose"), stays * 1.25 / 27.0, "spoil");
    // lawn: strips of 1 ft + 2 x 1 ft over 219 ft; a ring of 79.5 in less the basin; 5 ft x 5 ft less the box
    let lawn = 3.0 * (135.0 + 24.0 + 60.0) + circle_ft2(79.5) - circle_ft2(31.5) + 24.0;
    close(count("lawn to make good"), lawn, "lawn");
    let work = |task: Task| takeoff.work.iter().find(|work| work.task == task).unwrap().count.value;
    close(work(Task::Dig), dug / 27.0, "dig");
    close(work(Task::LayPipe), 138.0 + 24.0 + 60.0, "lay");
    close(work(Task::PlaceStone), (stone + bed) / 27.0, "place stone");
    assert_eq!(takeoff.not_measured, []);
    assert_eq!(takeoff.missing, []);
}

/// The surface over each part by hand, in feet: lawn with a foot on each side, paving as wide as it is dug, bare ground
/// nothing; and what nobody said is neither.
#[test]
fn identity_surfaces_are_those_of_the_file() {
    let lawn = "[crew]\nsurface = \"lawn\"\n";
    let of = |changes: &[(&str, &str)]| {
        let mut text = EXAMPLE.to_owned();
        for (from, to) in changes {
            assert!(text.contains(from), "{from}");
            text = text.replace(from, to);
        }
        taken(&text)
    };
    let area = |takeoff: &Takeoff, name: &str| {
        takeoff.items.iter().find(|item| item.name == name).map_or(0.0, |item| item.count.value)
    };
    // 219 ft of trench a foot wide; holes of 55.5 in across and 3 ft square, less basin and box
    let paved = of(&[(lawn, "[crew]\nsurface = \"walk\"\n")]);
    close(area(&paved, "paving to make good"), 219.0 + circle_ft2(55.5) - circle_ft2(31.5) + 8.0, "paving");
    close(area(&paved, "lawn to make good"), 0.0, "no lawn");
    assert!(
        paved
            .included
            .iter()
            .any(|line| line == "Making paving good over trenches and holes; no lawn is in the price.")
    );
    // the point at 40 ft stands for 20 to 65 ft of the line
    let crossing = of(&[
        ("ground = \"99.00 ft\" }", "ground = \"99.00 ft\", under = \"drive\" }"),
        ("outlet_invert = \"94.40 ft\"\n", "outlet_invert = \"94.40 ft\"\naround = \"bare\"\n"),
    ]);
    close(area(&crossing, "paving to make good"), 45.0, "the crossing");
    close(
        area(&crossing, "lawn to make good"),
        3.0 * (219.0 - 45.0) + circle_ft2(79.5) - circle_ft2(31.5),
        "the rest, less the bare ground round the grate",
    );
    let unsaid = of(&[(lawn, "[crew]\n"), ("kind = \"french\"\n", "kind = \"french\"\nunder = \"lawn\"\n")]);
    close(area(&unsaid, "lawn to make good"), 180.0, "what is said");
    let open: Vec<&str> = unsaid.not_measured.iter().map(|entry| entry.what.as_str()).collect();
    assert_eq!(
        open,
        [
            "lawn or paving to make good over 135 ft of the discharge line, `corner line`, the hole of the basin, the hole of `corner grate`"
        ]
    );
    assert!(!unsaid.complete());
    assert!(
        unsaid.excluded.iter().any(|line| line.starts_with("Making good what lies over 135 ft of the discharge line"))
    );
}

/// The likely price of the example by hand, each line to the cent.
#[test]
fn identity_the_sum_of_the_example_by_hand() {
    let takeoff = taken(EXAMPLE);
    let sum = |name: &str| {
        let line = takeoff.sums.iter().find(|sum| sum.name.starts_with(name));
        line.unwrap_or_else(|| panic!("no `{name}`")).amount.likely
    };
    // basin, pump, valve, alarm, bed, collar, outlet, 8 sticks at 20 x 2.80, can, can, grate, 3 sticks at 19, coil at
    // 105, stone, fabric, hauling, sod
    let materials = [
        440.0, 289.0, 36.0, 120.0, 18.48, 73.03, 42.0, 448.0, 9.5, 8.5, 68.0, 57.0, 105.0, 193.77, 97.68, 176.07,
        532.54,
    ];
    let materials: f64 = materials.iter().sum();
    close(sum("materials"), materials, "materials");
    // hours: 6 + 18.68 x 0.6 + 222/30 + 3.573 x 0.7 + 3 + 0.2553 x 5 + 2.5 + 1.5 + 13.26 x 0.35 + 710.06 x 0.015 + 2
    let hours = 6.0 + 11.21 + 7.40 + 2.50 + 3.0 + 1.28 + 2.5 + 1.5 + 4.64 + 10.65 + 2.0;
    close(takeoff.hours.likely, hours, "hours");
    close(sum("labour"), hours * 56.0, "labour");
    close(sum("digging machine"), (11.21 + 4.64) * 40.0, "machine");
    // 780 + 120 + 250 in lump sums; tax 6 % of what is bought; 10 % on all; the margin 20 % of the price, 25 % of the cost
    let cost = materials + hours * 56.0 + 634.0 + 1150.0 + 162.87;
    close(sum("contingency"), 761.15, "contingency");
    close(sum("margin"), 2093.17, "margin");
    assert!((cost + 761.15 + 2093.17 + sum("rounding") - 10_500.0).abs() < 0.01);
    close(takeoff.total.unwrap().likely, 10_500.0, "total");
}

/// What must hold of any takeoff.
fn holds(takeoff: &Takeoff, text: &str) -> Result<(), TestCaseError> {
    let rising = |bounds: Bounds, what: &str| {
        prop_assert!(bounds.low.is_finite() && bounds.high.is_finite(), "{what}: {bounds:?} of\n{text}");
        prop_assert!(
            0.0 <= bounds.low && bounds.low <= bounds.likely && bounds.likely <= bounds.high,
            "{what}: {bounds:?}"
        );
        Ok(())
    };
    let mut materials = Bounds::ZERO;
    for item in &takeoff.items {
        prop_assert!(item.count.value.is_finite() && item.count.value >= 0.0, "{item:?} of\n{text}");
        prop_assert!(!item.how.is_empty() && !item.how.contains('\u{2014}'), "{item:?} of\n{text}");
        prop_assert!(!item.basis.words().is_empty());
        match &item.cost {
            Cost::Priced { each, cost } => {
                rising(*cost, &item.name)?;
                prop_assert!(
                    (each * item.count.value - cost.likely).abs() <= 0.005_001 + 1e-9 * cost.likely,
                    "{item:?}"
                );
                materials = materials.plus(*cost);
            }
            Cost::Missing(key) => prop_assert!(takeoff.missing.iter().any(|missing| missing.key == *key), "{item:?}"),
            Cost::Within(_) => {}
        }
    }
    for work in &takeoff.work {
        if let Some(hours) = work.hours {
            rising(hours, work.task.words())?;
        }
    }
    let mut sum = Bounds::ZERO;
    for line in &takeoff.sums {
        if line.of == SumOf::Rounding {
            // a round number is a step of its own
            prop_assert!(line.amount.low >= 0.0 && line.amount.likely >= 0.0 && line.amount.high >= 0.0, "{line:?}");
        } else {
            rising(line.amount, &line.name)?;
        }
        sum = sum.plus(line.amount);
    }
    match takeoff.total {
        Some(total) => {
            rising(total, "total")?;
            for (one, other) in [(sum.low, total.low), (sum.likely, total.likely), (sum.high, total.high)] {
                prop_assert!((one - other).abs() < 0.005, "{one} and {other}: {:#?}", takeoff.sums);
            }
            let bought = takeoff.sums.iter().find(|line| line.name.starts_with("materials"));
            prop_assert!((bought.map_or(0.0, |line| line.amount.likely) - materials.likely).abs() < 0.006);
        }
        None => prop_assert!(takeoff.sums.is_empty()),
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn identity_lines_add_up_and_low_is_below_high(
        which in 0_usize..5,
        changes in prop::collection::vec((0_usize..400, prop_oneof![0.2..5.0_f64, Just(0.0)]), 0..6),
        metric in any::<bool>(),
    ) {
        let text = with_figures(EXAMPLES[which], &changes, true);
        prop_assert!(!numbers(&text, true).is_empty());
        let Some(mut site) = site::read(&text, &NoFiles).site else { return Ok(()) };
        if metric {
            site.units = UnitSystem::Metric;
        }
        let Ok(design) = design(&site) else { return Ok(()) };
        holds(&takeoff(&site, &design), &text)?;
    }
}

#[test]
fn identity_units_change_no_likely_cost() {
    let mut site = site_of(EXAMPLE);
    let us = takeoff(&site, &design(&site).unwrap());
    site.units = UnitSystem::Metric;
    let metric = takeoff(&site, &design(&site).unwrap());
    for (one, other) in us.items.iter().zip(&metric.items) {
        let cost = |item: &Item| match &item.cost {
            Cost::Priced { cost, .. } => cost.likely,
            _ => 0.0,
        };
        assert!((cost(one) - cost(other)).abs() < 0.011, "{one:?}\n{other:?}");
    }
    assert!((us.total.unwrap().likely - metric.total.unwrap().likely).abs() < 0.011);
}

fn before_rounding(takeoff: &Takeoff) -> f64 {
    takeoff.sums.iter().filter(|sum| sum.of != SumOf::Rounding).map(|sum| sum.amount.likely).sum()
}

#[test]
fn identity_a_missing_price_is_listed_and_never_counted_as_nothing() {
    let whole = taken(EXAMPLE);
    let prices = &EXAMPLE[EXAMPLE.find("[prices]").unwrap()..];
    let not_needed = ["energy_per_kWh", "rain_per_year", "wet_months", "currency", "lump_sums", "machine_per_hour"];
    let shares = ["contingency", "margin", "tax", "tax_on", "round_to"];
    let mut tried = 0;
    for line in prices.lines() {
        let Some((key, _)) = line.split_once(" = ").filter(|(key, _)| !key.starts_with('#')) else { continue };
        if not_needed.contains(&key) || shares.contains(&key) {
            continue;
        }
        let takeoff = taken(&EXAMPLE.replacen(&format!("\n{line}\n"), "\n", 1));
        let named = |missing: &sumpwright::job::takeoff::Missing| missing.key.split(['.', '"']).any(|part| part == key);
        assert!(takeoff.missing.iter().any(named), "{key}: {:?}", takeoff.missing);
        assert!(!takeoff.complete(), "{key}");
        assert!(before_rounding(&takeoff) < before_rounding(&whole) - 0.01, "{key}");
        tried += 1;
    }
    assert!(tried >= 25, "only {tried} keys");
    // with none at all there is no total
    let none = taken(&bare());
    assert_eq!(none.total.map(|_| ()), Some(()), "pumps have prices of their own");
    let none = taken(&bare().replace("price = ", "# "));
    assert_eq!(none.total, None);
    assert!(none.sums.is_empty() && none.missing.len() > 20);
    // nothing is a price too
    let free = taken(&EXAMPLE.replace("\nalarm = 120\n", "\nalarm = 0\n"));
    assert!(free.complete());
    close(item(&free, "alarm with its float").count.value, 1.0, "alarm");
}

#[test]
fn identity_what_cannot_be_measured_is_listed_and_not_counted() {
    let names = |takeoff: &Takeoff| takeoff.not_measured.iter().map(|not| not.what.clone()).collect::<Vec<_>>();
    // ground over a part of the line, and over a drain
    let text = EXAMPLE
        .replace("invert = \"100.00 ft\", ground = \"100.90 ft\"", "invert = \"100.00 ft\"")
        .replace("up_ground = \"96.60 ft\"\n", "")
        .replace("outlet_invert = \"94.40 ft\"\n", "");
    let takeoff = taken(&text);
    assert_eq!(names(&takeoff), ["trench of 45 ft of the discharge line", "trench of `bank drain`"]);
    assert!(!takeoff.items.iter().any(|item| item.name == "trench of `bank drain`"));
    // 40 x 1.45 + 50 x 1.60, and the wall
    let wanted = (138.0 + 90.0 * 0.154 / 12.0) / 27.0;
    close(item(&takeoff, "trench of the discharge line").count.value, wanted, "what is measured of it");
    assert!(!takeoff.complete());
    assert!(item(&takeoff, "fill in again").how.contains("of what is measured"));
    // no trench: no stone, unless the pipe is wrapped at the works
    let start = EXAMPLE.find("trench = {").unwrap();
    let end = start + EXAMPLE[start..].find('\n').unwrap();
    let bare_drain = format!("{}{}", &EXAMPLE[..start], &EXAMPLE[end..]);
    assert_eq!(names(&taken(&bare_drain)), ["trench, stone and fabric of `bank drain`"]);
    let wrapped = taken(&bare_drain.replace("[takeoff]\n", "[takeoff]\nwrapped_pipe = true\n"));
    assert_eq!(names(&wrapped), Vec::<String>::new());
    assert!(wrapped.items.iter().any(|item| item.name == "trench of `bank drain`"));
    // whether it floats
    let weightless = EXAMPLE.replace("weight = \"110 lb\"\n", "").replace("outside_diameter = \"31.5 in\"\n", "");
    let start = weightless.find("collar = ").unwrap();
    let end = start + weightless[start..].find('\n').unwrap();
    let takeoff = taken(&format!("{}{}", &weightless[..start], &weightless[end..]));
    assert_eq!(names(&takeoff), ["concrete against flotation"]);
}

#[test]
fn identity_fittings_are_in_the_pipe_or_have_each_a_price() {
    assert_eq!(item(&taken(EXAMPLE), "2 in union").cost, Cost::Within("in the price of the pipe"));
    let with = |fittings: &str| {
        taken(&EXAMPLE.replace("\nalarm = 120\n", &format!("\nalarm = 120\nfittings = {{ {fittings} }}\n")))
    };
    let takeoff = with("\"elbow\" = 2, \"2 in coupling\" = 1.5, \"coupling\" = 9, \"elbow 45\" = 3");
    let cost = |name: &str| match &item(&takeoff, name).cost {
        Cost::Priced { cost, .. } => cost.likely,
        other => panic!("{name}: {other:?}"),
    };
    assert_eq!((cost("2 in elbow 90"), cost("2 in coupling"), cost("2 in elbow 45")), (4.0, 9.0, 6.0));
    assert_eq!(item(&takeoff, "2 in union").cost, Cost::Missing("prices.fittings.\"union\"".to_owned()));
}
