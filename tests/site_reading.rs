//! Reading site files: a good one, the slips that people make, all problems in one run, any text at all.

// Helpers of tests fail as tests do.
#![allow(clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

use proptest::prelude::*;
use sumpwright::hydrology::Rain;
use sumpwright::pump_selection::Interpolation;
use sumpwright::quantity::{Area, Duration, Flow, Head, Length, Level, RainDepth, ReturnPeriod, Slope, Velocity};
use sumpwright::report::problems::{Look, render};
use sumpwright::site::{
    CoefficientBasis, Files, NoFiles, Problem, ProblemKind, Reading, Severity, Site, TrenchCover, read, reference,
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
    assert_eq!(site.low_spots[0].spills_to.as_deref(), Some("street"));
    let unused = site.not_used.first().expect("named as not used");
    let key = unused.key.rsplit('.').next().expect("the key itself").split('\"').next().unwrap_or_default();
    assert!(GOOD.lines().nth(unused.line - 1).expect("its line").contains(key), "{unused:?}");
}

#[test]
fn a_good_file_is_read_with_its_ground() {
    let site = good();
    let soil = site.soil.as_ref().expect("a soil");
    assert_eq!(soil.hydrologic_group, Some('C'));
    // 40 % of the effective porosity 0.432 of silty clay loam (Rawls and others, 1983)
    assert!(close(soil.green_ampt.expect("by the texture").moisture_deficit, 0.4 * 0.432));
    assert!(close(site.catchments[0].curve_number.as_ref().expect("entered").value, 74.0));
    let water = &site.groundwater;
    assert_eq!(water.seasonal_high, Some(Level::from_ft(95.2)));
    // benchmark 100.00 + rod on it 4.20 - rod 16.2
    assert!(close(water.tight_layer.expect("a rod reading").ft(), 88.0));
    assert_eq!((water.reach, water.drawdown), (Some(Length::from_ft(40.0)), Some(Length::from_inch(18.0))));
    assert!(water.basin_perforated);
    let ground = water.ground.as_ref().expect("a conductivity");
    assert!(close(ground.conductivity.ms(), 1.2e-6), "that of [groundwater] goes before that of [soil]");
    assert_eq!(ground.drainable, Some((0.06, 0.06, 0.06)));
    let rise = site.measured.rise.expect("measured");
    assert!(close(rise.plan.in2(), std::f64::consts::PI / 4.0 * 18.0 * 18.0));
    assert!(close(rise.rise.inch(), 3.0) && close(rise.over.s(), 90.0));
    assert_eq!(rise.pump_down, Some(Duration::from_s(20.0)));
    let pump = site.measured.pump_times.expect("measured");
    assert!(close(pump.flow.gpm(), 30.0) && close(pump.runs.s(), 20.0) && close(pump.rests.s(), 90.0));
    let hole = site.measured.test_hole.expect("measured");
    assert!(close(hole.diameter.inch(), 8.0) && close(hole.from.inch(), 16.0) && close(hole.to.inch(), 10.0));
    assert!(close(hole.over.s(), 45.0 * 60.0));
    let puddle = site.measured.puddle.as_ref().expect("measured");
    assert_eq!((puddle.low_spot.as_deref(), puddle.area), (Some("lawn"), Area::from_ft2(420.0)));
    assert_eq!((puddle.depth, puddle.rain), (Length::from_inch(3.0), RainDepth::from_inch(0.8)));
    let ballast = &site.ballast;
    // NIST SP 811 (2008), appendix B.8: 1 lb/ft3 is 1.601 846 E+01 kg/m3
    assert!((ballast.soil_saturated.kgm3() / 125.0 - 16.018_46).abs() < 1e-4);
    assert_eq!((ballast.flange, ballast.water), (Some(Length::from_inch(30.0)), Some(Level::from_ft(95.9))));
    let collar = ballast.collar.as_ref().expect("a collar");
    assert_eq!(collar.ring, Some((Length::from_inch(6.0), Length::from_inch(8.0))));
    // a ring of 25 and 37 in, 8 in thick
    assert!(close(collar.volume.ft3(), std::f64::consts::PI / 4.0 * (37.0 * 37.0 - 25.0 * 25.0) * 8.0 / 1728.0));
    assert!(close(collar.weight_in_air.expect("entered").lb(), 450.0));
    assert!(close(site.basin.wall.inch(), 0.5) && close(site.basin.base.inch(), 0.75));
    assert!(close(site.limits.flotation_safety.value, 1.3));
    assert!(close(site.limits.least_drain_velocity.value.fts(), 2.2));
}

#[test]
fn a_good_file_is_read_with_its_grates_and_drains() {
    let site = good();
    let grate = site.inlets[0].grate.expect("a grate");
    assert!(close(grate.open_area.in2(), 62.0) && close(grate.perimeter.inch(), 36.0) && close(grate.clogged, 0.5));
    assert!(close(site.inlets[0].silt_trap.inch(), 6.0));
    let (line, bank) = (&site.drains[0], &site.drains[1]);
    assert_eq!((line.up_ground, line.down_ground), (Some(Level::from_ft(96.1)), Some(Level::from_ft(96.2))));
    // 0.5 ft over 48 ft
    assert!(close(line.slope.expect("two inverts").percent(), 50.0 / 48.0));
    // 1 % of 60 ft below 94.6 ft
    assert!(close(bank.down_invert.expect("by its slope").ft(), 94.0));
    assert_eq!(bank.slope.map(|slope| close(slope.percent(), Slope::from_percent(1.0).percent())), Some(true));
    let french = bank.french.as_ref().expect("a French drain");
    assert_eq!((french.sides, french.fabric, french.perimeter), (1, Some(true), Some(Length::from_inch(30.0))));
    let trench = french.trench.as_ref().expect("a trench");
    assert!(close(trench.width.inch(), 12.0) && close(trench.below_pipe.inch(), 4.0));
    assert_eq!((trench.top, trench.cover), (Some(Level::from_ft(95.6)), TrenchCover::Sod));
    let stone = trench.stone.as_ref().expect("stone");
    // from 4 in below the pipe to 95.6 ft, the pipe's middle at 94.3 ft
    assert!(close(stone.porosity, 0.4) && close(stone.stone_depth.ft(), 95.6 - 94.3 + 4.0 / 12.0));
    let outlet = site.way_off.grate.expect("a grate");
    assert!(close(outlet.open_area.in2(), 50.0) && close(outlet.perimeter.inch(), 30.0) && close(outlet.clogged, 0.3));
    assert_eq!(site.way_off.ground_between, Some(Level::from_ft(101.2)));
    let swale = site.way_off.swale.as_ref().expect("a swale");
    assert_eq!((swale.cover.as_str(), swale.depth), ("mown grass", Length::from_inch(8.0)));
    let channel = &swale.channel;
    assert!(close(channel.bottom_width.ft(), 1.0) && close(channel.side_slope, 4.0));
    assert!(close(channel.slope.percent(), 2.0) && close(channel.manning_n, 0.06));
    // all round where no edge is entered; the edge entered goes before, whatever the shape
    let site = read(&with(&[("perimeter = \"36 in\"\n", "")]), &NoFiles).site.expect("a site");
    assert!(close(site.inlets[0].grate.expect("a grate").perimeter.inch(), 48.0));
    let sized = |size: &str| {
        let grate = format!("grate = \"{size}\"");
        let site = read(&with(&[("grate = \"12 in x 12 in\"", grate.as_str())]), &NoFiles).site.expect("a site");
        site.inlets[0].grate.expect("a grate")
    };
    assert_eq!(sized("12 in square"), sized("12 in x 12 in"));
    assert_eq!(sized("12 in round"), sized("12 in"));
    let site = read(&with(&[("grate = \"12 in x 12 in\"", "grate = \"12 in\"")]), &NoFiles).site.expect("a site");
    assert!(close(site.inlets[0].grate.expect("a grate").perimeter.inch(), 36.0));
}

#[test]
fn conductivities_are_read_in_the_units_that_are_printed() {
    // in metres a second, from the definitions of foot, inch, hour and day
    let cases = [
        ("3 in/h", 3.0 * 0.0254 / 3600.0),
        ("0.5 ft/day", 0.5 * 0.3048 / 86400.0),
        ("0.001 cm/s", 1e-5),
        ("1e-6 m/s", 1e-6),
        ("2 um/s", 2e-6),
        ("2 µm/s", 2e-6),
        ("2 μm/s", 2e-6),
        ("1 cm/h", 0.01 / 3600.0),
        ("20 in/day", 20.0 * 0.0254 / 86400.0),
        ("60 mm/day", 0.06 / 86400.0),
    ];
    for (text, metres_a_second) in cases {
        let reading = read(&with(&[("1.2 um/s", text)]), &NoFiles);
        assert_eq!(reading.problems, [], "{text}");
        let ground = reading.site.expect(text).groundwater.ground.expect(text);
        assert!((ground.conductivity.ms() / metres_a_second - 1.0).abs() < 1e-9, "{text}");
    }
    // 231 of 1728 cubic inches
    for text in ["1 gpd/ft2", "1 gallon per day per square foot"] {
        let help = only("1.2 um/s", text).help.unwrap_or_default();
        assert!(help.ends_with("write `0.134 ft/day`"), "{text}: {help}");
    }
    assert!(only("1.2 um/s", "5 ft").help.unwrap_or_default().contains("`5 ft/day`"));
    assert_eq!(only("\"1.2 um/s\"", "0.5").kind, ProblemKind::BareNumber);
}

#[test]
fn the_bottom_of_a_trench_is_read_as_people_write_it() {
    let bottom = "bottom = \"4 in below pipe\"";
    let cases = [
        ("4\\\" below pipe", 4.0),
        ("4 in below the pipe", 4.0),
        ("4 inches beneath the pipe", 4.0),
        ("6 in under it", 6.0),
        ("1/2 ft below", 6.0),
        ("93.75 ft", 3.0),
        ("0 in below pipe", 0.0),
    ];
    for (text, inches) in cases {
        let reading = read(&with(&[(bottom, &format!("bottom = \"{text}\""))]), &NoFiles);
        assert_eq!(reading.problems, [], "{text}");
        let french = reading.site.expect(text).drains[1].french.clone().expect(text);
        assert!((french.trench.expect(text).below_pipe.inch() - inches).abs() < 1e-6, "{text}");
    }
    let meant = [
        ("4 in", "write \"4 in below pipe\""),
        ("-4 in", "write \"4 in below pipe\""),
        ("six inches", "write \"6 in below pipe\""),
        ("half a foot below pipe", "write \"6 in below pipe\""),
        ("4 in deep", "write \"4 in below pipe\""),
        ("below pipe", "write so much below the pipe"),
        ("4 below pipe", "write so much below the pipe"),
        ("94.2 ft", "write `bottom = \"4 in below pipe\"`"),
        ("about so deep", "write so much below the pipe"),
    ];
    for (text, help) in meant {
        let problem = only(bottom, &format!("bottom = \"{text}\""));
        assert!(
            problem.is_error() && problem.help.as_deref().unwrap_or_default().starts_with(help),
            "{text}: {problem:?}"
        );
    }
}

#[test]
fn a_depth_written_for_a_level_is_asked_about_in_any_yard() {
    for key in [
        "seasonal_high = \"95.2 ft\"",
        "water_outside = \"95.9 ft\"",
        "ground_between = \"101.2 ft\"",
        "top = \"95.6 ft\"",
    ] {
        let (name, _) = key.split_once(" = ").expect("a key");
        let problem = only(key, &format!("{name} = \"2 ft\""));
        assert_eq!(problem.kind, ProblemKind::OddLevel, "{key}");
        // 2 ft below the rim at 96.3 ft, which is the ground where none was entered
        assert!(problem.help.unwrap_or_default().contains("is the level `\"94.30 ft\"`"), "{key}");
    }
    // benchmarks near 30 ft, where 2 ft is no 50 ft off
    let low: String = GOOD
        .split_inclusive(" ft\"")
        .map(|piece| {
            let start = piece.rfind('"').and_then(|end| piece.get(..end)).and_then(|head| head.rfind('"')).unwrap_or(0);
            let level = piece
                .get(start + 1..)
                .and_then(|end| end.strip_suffix(" ft\""))
                .and_then(|number| number.parse::<f64>().ok());
            match level.filter(|level| (90.0..110.0).contains(level)) {
                Some(level) => format!("{}\"{:.2} ft\"", piece.get(..start).unwrap_or_default(), level - 66.0),
                None => piece.to_owned(),
            }
        })
        .collect();
    assert_eq!(read(&low, &NoFiles).problems, []);
    let found = read(&low.replace("seasonal_high = \"29.20 ft\"", "seasonal_high = \"2 ft\""), &NoFiles).problems;
    assert_eq!(kinds(&found), ["odd-level"]);
}

#[test]
fn what_the_ground_and_the_drains_cannot_be_is_said_once() {
    let cases = [
        (
            "from = \"lawn grate\"\nto = \"basin\"",
            "from = \"bank drain\"\nto = \"basin\"",
            ProblemKind::Conflict,
            Severity::Error,
        ),
        ("from = \"lawn grate\"", "from = \"lawn line\"", ProblemKind::DrainCycle, Severity::Error),
        ("name = \"lawn line\"", "name = \"lawn grate\"", ProblemKind::DuplicateName, Severity::Error),
        ("down_invert = \"93.9 ft\"", "slope = \"10 %\"", ProblemKind::LevelOrder, Severity::Error),
        (
            "down_invert = \"93.9 ft\"",
            "down_invert = \"93.9 ft\"\nslope = \"3 %\"",
            ProblemKind::Conflict,
            Severity::Error,
        ),
        ("up_ground = \"96.1 ft\"", "up_ground = \"94.1 ft\"", ProblemKind::LevelOrder, Severity::Error),
        ("width = \"12 in\", bottom", "width = \"4 in\", bottom", ProblemKind::Conflict, Severity::Error),
        ("perimeter = \"36 in\"", "perimeter = \"36 ft\"", ProblemKind::Conflict, Severity::Warning),
        ("clogged = \"50 %\"", "clogged = 1", ProblemKind::OddValue, Severity::Warning),
        ("water_outside = \"95.9 ft\"", "water_outside = \"94.9 ft\"", ProblemKind::LevelOrder, Severity::Warning),
        ("drawdown = \"18 in\"", "drawdown = \"7.5 ft\"", ProblemKind::LevelOrder, Severity::Warning),
        ("flange = \"30 in\"", "flange = \"25 in\"", ProblemKind::Conflict, Severity::Warning),
        ("weight = \"450 lb\"", "weight = \"45 lb\"", ProblemKind::Conflict, Severity::Warning),
        ("weight = \"450 lb\"", "volume = \"1 ft3\"", ProblemKind::Conflict, Severity::Warning),
        (
            "area = \"420 ft2\", depth = \"3 in\"",
            "area = \"1300 ft2\", depth = \"7 in\"",
            ProblemKind::LevelOrder,
            Severity::Warning,
        ),
        ("to = \"10 in\"", "to = \"16 in\"", ProblemKind::OddValue, Severity::Warning),
        ("to = \"10 in\"", "to = \"20 in\"", ProblemKind::Conflict, Severity::Error),
        ("1.2 um/s", "1200 um/s", ProblemKind::OddValue, Severity::Warning),
        ("hydrologic_group = \"C\"", "hydrologic_group = \"c\"", ProblemKind::UnknownChoice, Severity::Error),
        ("side_slope = 4", "side_slope = \"4:1\"", ProblemKind::WrongType, Severity::Error),
        ("flotation_safety = 1.3", "flotation_safety = 0.9", ProblemKind::OutOfRange, Severity::Error),
        (
            "infiltration = \"0.06 in/h\"",
            "infiltration = \"0.06 in/h\"\nhorton = { initial = \"3 in/h\", ultimate = \"0.3 in/h\", decay_time = \"15 min\" }",
            ProblemKind::Conflict,
            Severity::Warning,
        ),
    ];
    for (from, to, kind, severity) in cases {
        let problem = only(from, to);
        assert_eq!((problem.kind, problem.severity), (kind, severity), "{to}: {problem:#?}");
        assert!(problem.span.is_some() && problem.help.is_some(), "{to}: {problem:#?}");
    }
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
fn a_decimal_comma_is_put_right_in_one_go() {
    for (right, wrong, mended) in [
        ("rim = \"96.3 ft\"", "rim = 96,30", "rim = \"96.30 ft\""),
        ("volts = 115", "volts = 115,5", "volts = 115.5"),
        ("length = \"135 ft\"", "length = 135,0 # along the hedge", "length = \"135.0 ft\" # along the hedge"),
    ] {
        let problem = only(right, wrong);
        assert_eq!(problem.kind, ProblemKind::Syntax, "{wrong}");
        assert_eq!(problem.help.as_deref(), Some(format!("write `{mended}`").as_str()));
        let mut text = with(&[(right, wrong)]);
        text.replace_range(problem.span.unwrap(), &problem.replacement.unwrap());
        assert!(text.contains(mended), "{text}");
        assert_eq!(read(&text, &NoFiles).problems, [], "{wrong}");
    }
    // 1,250 may be a thousand, and is asked about
    assert!(
        problems(&[("rim = \"96.3 ft\"", "rim = 1,250")])
            .iter()
            .all(|problem| problem.help.as_deref() != Some("write `rim = \"1.250 ft\"`"))
    );
}

#[test]
fn volts_and_amperes_may_carry_their_unit() {
    for text in ["\"115 V\"", "\"115V\"", "\"115 volts\"", "\"115 VAC\"", "115"] {
        let reading = read(&with(&[("volts = 115", &format!("volts = {text}"))]), &NoFiles);
        assert_eq!(reading.problems, [], "{text}");
        assert_eq!(reading.site.unwrap().pumps[0].volts, Some(115.0), "{text}");
    }
    for text in ["\"115 W\"", "\"115\"", "\"V\"", "\"115 V or so\"", "\".5.5 V\""] {
        let found = problems(&[("volts = 115", &format!("volts = {text}"))]);
        assert_eq!(kinds(&found), ["wrong-type"], "{text}");
    }
    assert_eq!(kinds(&problems(&[("volts = 115", "volts = \"11500 V\"")])), ["out-of-range"]);
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
        ("level = \"100.4 ft\"\nditch_full = \"100.1 ft\"", "level = \"91.5 ft\"", ProblemKind::OutletBelowOff),
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
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

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

/// What is said of more parts of a kind than are read: the good site with 100 more.
fn too_many(what: &str, part: impl Fn(usize) -> String) {
    let more: String = (0..100).map(part).collect();
    let reading = read(&format!("{GOOD}{more}"), &NoFiles);
    assert!(reading.site.is_none());
    let message = format!("{what}, more than the 100");
    let found = reading.problems.iter().find(|problem| problem.message.contains(&message)).expect("said");
    assert_eq!((found.kind, found.severity), (ProblemKind::OutOfRange, Severity::Error));
}

#[test]
fn a_tree_of_more_parts_than_any_yard_has_is_refused() {
    too_many("drains", |n| format!("\n[[drain]]\nname = \"d{n}\"\nto = \"basin\"\nlength = \"4 ft\"\n"));
    too_many("inlets", |n| format!("\n[[inlet]]\nname = \"i{n}\"\nrim = \"96 ft\"\n"));
    too_many("low spots", |n| {
        format!("\n[[low_spot]]\nname = \"s{n}\"\nsurface = [[\"96.0 ft\", \"0 ft2\"], [\"96.5 ft\", \"800 ft2\"]]\n")
    });
    too_many("inflows", |n| format!("\n[[inflow]]\nname = \"f{n}\"\nflow = \"0.1 gpm\"\n"));
}

#[test]
fn drains_in_a_ring_of_any_length_are_refused() {
    let ring = |count: usize| {
        let drain = |n: usize| {
            let to = (n + 1) % count;
            format!("\n[[drain]]\nname = \"d{n}\"\nto = \"d{to}\"\nsize = \"4 in\"\nlength = \"4 ft\"\n")
        };
        let drains: String = (0..count).map(drain).collect();
        read(&format!("{GOOD}{drains}"), &NoFiles)
    };
    for (count, kind) in [(2, ProblemKind::DrainCycle), (90, ProblemKind::DrainCycle), (1100, ProblemKind::OutOfRange)]
    {
        let reading = ring(count);
        assert!(reading.site.is_none());
        let errors: Vec<_> = reading.problems.iter().filter(|problem| problem.severity == Severity::Error).collect();
        assert!(matches!(errors[..], [only] if only.kind == kind), "{errors:?}");
    }
}
