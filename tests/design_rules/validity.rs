//! Methods outside the range in which they hold: told on the far side of each limit, silent on the near side.

use crate::given::{CLAY, LONG, MAIN, about, design_with, finding, message, number, says, site_with};
use approx::assert_relative_eq;
use sumpwright::design::{Design, Severity, WaterLevel, design_at_peak};
use sumpwright::hydraulics::Water;
use sumpwright::hydraulics::friction::{pipe_velocity, reynolds_number};

/// At the peak alone: what is judged here does not hang on the storm in time.
fn at_peak(text: &str, changes: &[(&str, &str)]) -> Design {
    design_at_peak(&site_with(text, changes)).unwrap()
}

/// The same example with a few fields at the lane, each of so many acres.
fn with_fields(acres: &str) -> Design {
    let fields: Vec<String> = ["north", "east", "south", "west", "far"]
        .iter()
        .map(|name| format!("[[catchment]]\nname = \"{name}\"\narea = \"{acres} acre\"\nrunoff_coefficient = 0.2\n"))
        .collect();
    let first = format!("{}\n[[catchment]]\nname = \"terrace\"", fields.concat());
    at_peak(MAIN, &[("[[catchment]]\nname = \"terrace\"", &first)])
}

#[test]
fn identity_the_rational_method_is_for_small_areas() {
    let large = with_fields("40");
    let found = finding(&large, "area-too-large-for-rational-method");
    assert_eq!(found.severity, Severity::Caution);
    // five fields of 40 acres and what the yard has beside
    let beside: f64 = [900.0, 320.0, 4200.0, 1100.0].iter().sum();
    let area = number(&large, "area-too-large-for-rational-method", "area");
    assert_relative_eq!(area, (200.0 * 43_560.0 + beside) * 0.3048 * 0.3048, max_relative = 1e-9);
    assert!(!says(&with_fields("39"), "area-too-large-for-rational-method"));
}

#[test]
fn identity_a_formula_is_not_read_below_five_minutes_in_silence() {
    let start = MAIN.find("[rain.depth.\"2 yr\"]").unwrap();
    let end = MAIN.find("# The soil decides").unwrap();
    let by_formula = |minimum: &str| {
        let rain =
            format!("minimum_time = \"{minimum}\"\nformula = {{ a = \"49.7 in/h\", b = \"7.2 min\", c = 0.743 }}\n\n");
        at_peak(&MAIN.replace(&MAIN[start..end], &rain), &[("return_period = \"10 yr\"\n", "")])
    };
    let short = by_formula("3 min");
    assert_relative_eq!(number(&short, "burst-shorter-than-rain-is-known", "burst"), 180.0);
    assert!(!says(&by_formula("5 min"), "burst-shorter-than-rain-is-known"));
}

#[test]
fn identity_no_frequency_factor_is_known_beyond_a_hundred_years() {
    let rain = "[rain.depth.\"25 yr\"]";
    let rarer = |years: &str, more: &str| {
        let table = format!("[rain.depth.\"{years} yr\"]");
        let goal = format!("return_period = \"{years} yr\"");
        let origin = format!("origin = \"invented table\"{more}");
        at_peak(MAIN, &[(rain, &table), ("return_period = \"10 yr\"", &goal), ("origin = \"invented table\"", &origin)])
    };
    assert!(message(&rarer("200", ""), "storm-rarer-than-frequency-factors").contains("100 yr"));
    assert!(!says(&rarer("100", ""), "storm-rarer-than-frequency-factors"));
    // one of the owner's own
    assert!(!says(&rarer("200", "\nfrequency_factor = 1.4"), "storm-rarer-than-frequency-factors"));
}

#[test]
fn identity_a_curve_number_says_little_of_little_runoff() {
    let of = |number: u32| {
        let entered = format!("coefficient_from = \"curve number\"\ncurve_number = {number}");
        at_peak(CLAY, &[("coefficient_from = \"infiltration\"", &entered)])
    };
    let low = of(39);
    assert_eq!(about(&low, "curve-number-too-low", "lawn").unwrap().severity, Severity::Caution);
    assert!(!says(&low, "curve-number-of-small-runoff"), "one is enough");
    assert!(!says(&of(40), "curve-number-too-low"));
    // 3.90 in of rain, TR-55 (1986) eq. 2-3: 0.53 in of runoff on curve number 56, 0.49 in on 55
    assert!(says(&of(55), "curve-number-of-small-runoff"));
    assert!(!says(&of(56), "curve-number-of-small-runoff"));
    // beside the coefficient that is used it is only shown
    let shown = at_peak(CLAY, &[("coefficient_from = \"infiltration\"", "curve_number = 39")]);
    assert!(!says(&shown, "curve-number-too-low"));
}

#[test]
fn identity_clean_gravel_leaves_darcys_law() {
    let of =
        |feet: &str| at_peak(MAIN, &[("conductivity = \"15 ft/day\"", &format!("conductivity = \"{feet} ft/day\""))]);
    // 1 cm/s is 2835 ft a day
    assert!(says(&of("2840"), "ground-too-open-for-darcy"));
    assert!(!says(&of("2830"), "ground-too-open-for-darcy"));
}

#[test]
fn identity_water_warmer_than_its_properties_is_told() {
    let of = |fahrenheit: &str| {
        let water = format!("temperature = \"{fahrenheit} F\"");
        at_peak(MAIN, &[("temperature = \"50 F\"", &water)])
    };
    let warm = of("105");
    assert!(message(&warm, "water-warmer-than-properties").contains("reckoned with as at 104 F"));
    assert!(!says(&of("104"), "water-warmer-than-properties"));
    // and so it is reckoned
    let darcy = |design: &Design| {
        let medium = design.pumps.iter().find(|pump| pump.name == "medium").unwrap();
        medium.duty(WaterLevel::Off).unwrap().darcy.unwrap().point().unwrap().line_flow
    };
    assert_relative_eq!(darcy(&of("130")).m3s(), darcy(&of("104")).m3s(), max_relative = 1e-12);
}

#[test]
fn identity_a_drain_too_steep_for_manning_is_told() {
    let falls_to = |invert: &str| {
        let end = format!("size = \"6 in\"\nlength = \"16 ft\"\ndown_invert = \"{invert} ft\"");
        at_peak(CLAY, &[("size = \"6 in\"\nlength = \"16 ft\"\ndown_invert = \"85.95 ft\"", &end)])
    };
    let steep = falls_to("83.00");
    let main = steep.way_in.drains.iter().find(|drain| drain.name == "main").unwrap();
    assert!(main.slope.unwrap().ratio() > 0.1 && main.runs.unwrap().1.fts() > 10.0, "{:?}", main.runs);
    assert!(about(&steep, "drain-too-steep-for-manning", "main").is_some());
    // 1.6 ft in 16 ft are one in ten
    let gentle = falls_to("84.62");
    assert!(gentle.way_in.drains.iter().any(|drain| drain.name == "main" && drain.slope.unwrap().ratio() < 0.1));
    assert!(!says(&gentle, "drain-too-steep-for-manning"));
}

#[test]
fn identity_water_that_creeps_is_told() {
    let hole = ("relief_hole = { diameter = \"3/16 in\", above_floor = \"15 in\" }\n", "");
    let lifted_to = |feet: f64| {
        let outlet = format!("level = \"{feet} ft\"");
        at_peak(LONG, &[hole, ("level = \"58.2 ft\"", &outlet)])
    };
    let reynolds = |design: &Design| {
        let flow = design.pump().unwrap().point(WaterLevel::Off).unwrap().line_flow;
        let bore = sumpwright::quantity::Length::from_inch(1.610);
        // water at 50 F, as the file leaves it out
        let water = Water::at(sumpwright::quantity::Temperature::from_fahrenheit(50.0));
        reynolds_number(pipe_velocity(flow, bore), bore, water.viscosity())
    };
    let creeps = lifted_to(75.3);
    assert!(reynolds(&creeps) < 4000.0 && reynolds(&creeps) > 0.0, "{}", reynolds(&creeps));
    assert_relative_eq!(
        number(&creeps, "flow-not-turbulent", "reynolds_number"),
        reynolds(&creeps),
        max_relative = 1e-9
    );
    let runs = lifted_to(74.9);
    assert!(reynolds(&runs) > 4000.0, "{}", reynolds(&runs));
    assert!(!says(&runs, "flow-not-turbulent"));
}

#[test]
fn identity_hazen_williams_outside_its_range_is_told_where_it_matters() {
    let of = |size: &str, temperature: &str| {
        let run = format!("material = \"PVC schedule 40\"\nsize = \"{size}\"\nlength = \"260 ft\"");
        let water = format!("[water]\ntemperature = \"{temperature} F\"\n\n[[discharge.run]]");
        at_peak(
            LONG,
            &[
                ("material = \"PVC schedule 40\"\nsize = \"1-1/2 in\"\nlength = \"260 ft\"", &run),
                ("[[discharge.run]]", &water),
            ],
        )
    };
    let cold = of("1-1/4 in", "33");
    let by = |name: &str| number(&cold, "outside-hazen-williams", name);
    assert!(by("by_hazen_williams") > 1.05 * by("by_darcy_weisbach"));
    let said = message(&cold, "outside-hazen-williams");
    assert!(said.contains("(water at 33 F, 1-1/4 in pipe)"), "{said}");
    // near 60 F the two are closer than one in twenty, in the same pipe
    assert!(!says(&of("1-1/4 in", "60"), "outside-hazen-williams"));
    assert!(!says(&design_with(LONG, &[]), "outside-hazen-williams"));
}

#[test]
fn identity_no_friction_factor_is_known_for_very_rough_walls() {
    let of = |millimetres: &str| {
        let run = format!("length = \"260 ft\"\nroughness = \"{millimetres} mm\"");
        at_peak(LONG, &[("length = \"260 ft\"", &run)])
    };
    // a twentieth of 1.610 in is 2.04 mm
    assert!(says(&of("2.1"), "rougher-than-friction-is-known"));
    assert!(!says(&of("2.0"), "rougher-than-friction-is-known"));
}

#[test]
fn identity_a_storm_that_is_cut_short_by_its_table_is_told() {
    let day = [("\"24 h\" = \"2.90 in\"\n", ""), ("\"24 h\" = \"4.30 in\"\n", ""), ("\"24 h\" = \"5.15 in\"\n", "")];
    let hour =
        [("\"60 min\" = \"1.30 in\"\n", ""), ("\"60 min\" = \"1.87 in\"\n", ""), ("\"60 min\" = \"2.22 in\"\n", "")];
    let until = |design: &Design| {
        let nested = &design.in_storms.as_ref().unwrap().design().unwrap().nested;
        (nested.hollows[0].stands_from.unwrap() + nested.hollows[0].stands, nested.lasts)
    };
    // half an hour of rain is known, and water stands longer
    let cut = design_with(MAIN, &[day, hour].concat());
    let (stands_until, rain) = until(&cut);
    assert!(stands_until > rain, "{stands_until:?} {rain:?}");
    assert_eq!(finding(&cut, "rain-known-ends-while-water-stands").severity, Severity::Caution);
    assert_relative_eq!(number(&cut, "rain-known-ends-while-water-stands", "longest_rain"), 1800.0);
    // an hour of it, and the water is gone before: what a longer rain adds is lighter
    let gone = design_with(MAIN, &day);
    let (stands_until, rain) = until(&gone);
    assert!(stands_until < rain, "{stands_until:?} {rain:?}");
    assert!(!says(&gone, "rain-known-ends-while-water-stands"));
    assert!(!says(&design_with(MAIN, &[]), "rain-known-ends-while-water-stands"));
}

/// The page of limits names no finding that is not there, and leaves none of these rules out.
#[test]
fn identity_the_page_of_limits_names_findings_that_there_are() {
    let page = include_str!("../../docs/method.md");
    let limits = page.split("## 11. Limits of validity").nth(1).unwrap().split("\n## ").next().unwrap();
    let mut sources = String::new();
    let mut folders = vec![std::path::PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/src/design"))];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else {
                sources.push_str(&std::fs::read_to_string(path).unwrap());
            }
        }
    }
    // names of findings have a hyphen and no space
    let named: Vec<&str> = limits
        .split('`')
        .skip(1)
        .step_by(2)
        .filter(|name| name.contains('-') && name.chars().all(|letter| letter.is_ascii_lowercase() || letter == '-'))
        .collect();
    assert!(named.len() > 40, "{named:?}");
    for name in &named {
        assert!(sources.contains(&format!("\"{name}\"")), "{name}");
    }
    let rules = include_str!("../../src/design/checks/validity.rs");
    let ids = rules.split('"').skip(1).step_by(2).filter(|text| {
        text.matches('-').count() >= 2 && text.chars().all(|letter| letter.is_ascii_lowercase() || letter == '-')
    });
    for id in ids {
        assert!(named.contains(&id), "{id}");
    }
}
