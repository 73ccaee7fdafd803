use super::*;
use crate::catalog::names::key;
use crate::catalog::text::Sheet;
use approx::assert_relative_eq;

#[test]
fn no_row_is_left_out() {
    assert_eq!((coefficients().len(), sheets().len(), shallow().len()), (15, 10, 8));
    assert_eq!(surfaces().len(), 10);
    for surface in surfaces() {
        let entry = runoff_coefficient(surface, None, None).unwrap();
        assert!(0.0 < entry.low && entry.low <= entry.mid && entry.mid <= entry.high && entry.high <= 1.0);
        assert!(!entry.source.is_empty());
    }
    for surface in sheet_surfaces() {
        assert!(sheet_roughness(surface).is_some(), "{surface}");
    }
    for surface in shallow_surfaces() {
        assert!(shallow_coefficient(surface).is_some(), "{surface}");
    }
}

#[test]
fn every_other_name_finds_its_own_and_no_other() {
    let sheet_names = sheets().iter().map(|(names, _)| names).collect::<Vec<_>>();
    let shallow_names = shallow().iter().map(|(names, _)| names).collect();
    let coefficient_names = coefficients().iter().map(|coefficient| &coefficient.names).collect();
    for (text, all) in [
        (include_str!("../data/sheet-roughness.csv"), sheet_names),
        (include_str!("../data/shallow-flow.csv"), shallow_names),
        (include_str!("../data/runoff-coefficients.csv"), coefficient_names),
    ] {
        for row in &Sheet::read(text).rows {
            for called in row[1].split('|').map(str::trim).filter(|called| !called.is_empty()).chain([row[0]]) {
                let found: Vec<_> = all.iter().filter(|names| names.has(&key(called))).collect();
                assert!(!found.is_empty() && found.iter().all(|names| names.name == row[0]), "{called}");
            }
        }
    }
}

#[test]
fn coefficients_of_hard_surfaces_are_the_published_ranges() {
    // FHWA HDS-2, 2nd ed. (2002), Table 5.7.
    for (surface, low, high) in [
        ("roof", 0.75, 0.95),
        ("asphalt", 0.70, 0.95),
        ("concrete", 0.80, 0.95),
        ("brick", 0.70, 0.85),
        ("driveway", 0.75, 0.85),
        ("walks", 0.75, 0.85),
    ] {
        let entry = runoff_coefficient(surface, None, None).unwrap();
        assert_eq!((entry.low, entry.high, entry.pervious, entry.assumed), (low, high, false, None), "{surface}");
        assert_relative_eq!(entry.mid, low + 0.5 * (high - low), max_relative = 1e-12);
    }
    for (surface, low, high) in [("park", 0.10, 0.25), ("playground", 0.20, 0.40), ("unimproved", 0.10, 0.30)] {
        let entry = runoff_coefficient(surface, None, None).unwrap();
        assert_eq!((entry.low, entry.high, entry.pervious), (low, high, true), "{surface}");
    }
}

#[test]
fn a_lawn_goes_by_soil_and_slope() {
    // FHWA HDS-2, 2nd ed. (2002), Table 5.7: sandy, then heavy soil; slope under 2 %, 2 to 7 %, over 7 %.
    for (sandy, slope, low, high) in [
        (true, 1.0, 0.05, 0.10),
        (true, 2.0, 0.10, 0.15),
        (true, 8.0, 0.15, 0.20),
        (false, 1.9, 0.13, 0.17),
        (false, 7.0, 0.18, 0.22),
        (false, -7.1, 0.25, 0.35),
    ] {
        let entry = runoff_coefficient("Lawn", Some(sandy), Some(Slope::from_percent(slope))).unwrap();
        assert_eq!((entry.low, entry.high, entry.assumed), (low, high, None), "{sandy} {slope}");
        assert!(entry.pervious);
    }
}

#[test]
fn what_is_not_known_of_a_lawn_is_assumed_and_told() {
    let lawn = |sandy, slope| {
        let entry = runoff_coefficient("lawn", sandy, slope).unwrap();
        (entry.row, entry.assumed)
    };
    let heavy = "lawn, heavy (clayey) soil, average, slope 2-7%";
    assert_eq!(lawn(None, None), (heavy, Some("heavy soil and a slope of 2 to 7 %")));
    assert_eq!(lawn(None, Some(Slope::from_percent(3.0))), (heavy, Some("heavy soil")));
    assert_eq!(lawn(Some(false), None), (heavy, Some("a slope of 2 to 7 %")));
    assert_eq!(lawn(Some(false), Some(Slope::from_percent(f64::NAN))), (heavy, Some("a slope of 2 to 7 %")));
}

#[test]
fn sheet_flow_has_the_published_roughness() {
    // TR-55 (1986), Table 3-1.
    for (surface, n) in [
        ("smooth", 0.011),
        ("gravel", 0.011),
        ("bare soil", 0.011),
        ("fallow", 0.05),
        ("cultivated", 0.06),
        ("cultivated residue", 0.17),
        ("short grass", 0.15),
        ("dense grass", 0.24),
        ("lawn", 0.24),
        ("Bermudagrass", 0.41),
        ("range", 0.13),
        ("woods light", 0.40),
        ("woods, dense", 0.80),
    ] {
        assert_relative_eq!(sheet_roughness(surface).unwrap().value, n);
    }
}

#[test]
fn shallow_flow_has_the_published_coefficients() {
    // NEH 630 ch. 15 (2010), Table 15-3; TR-55 (1986), Appendix F for unpaved; ft/s.
    for (surface, c) in [
        ("paved", 20.328),
        ("unpaved", 16.1345),
        ("grassed waterway", 16.135),
        ("short-grass pasture", 6.962),
        ("woodland", 5.032),
    ] {
        assert_relative_eq!(shallow_coefficient(surface).unwrap().value.fts(), c, max_relative = 1e-12);
    }
}

#[test]
fn what_is_not_in_a_table_gives_nothing() {
    for surface in ["", "water", "gravel", "moon dust"] {
        assert_eq!(runoff_coefficient(surface, Some(true), Some(Slope::from_percent(1.0))), None, "{surface}");
    }
    assert_eq!(sheet_roughness("lava"), None);
    assert_eq!(shallow_coefficient("lava"), None);
}

#[test]
fn identity_what_comes_nearest_is_in_the_table() {
    let all = [surfaces(), sheet_surfaces(), shallow_surfaces()];
    for (names, near) in ALIKE {
        for name in *names {
            // what has a row of its own needs none that is like it
            assert_eq!(runoff_coefficient(name, None, None), None, "{name}");
            for table in &all {
                let found = surfaces_alike(name, table);
                assert!(!found.is_empty() || table.iter().all(|known| !near.contains(known)), "{name}");
            }
            assert!(!surfaces_alike(name, &surfaces()).is_empty(), "{name}");
        }
        for near in *near {
            assert!(all.iter().any(|table| table.contains(near)), "{near}");
        }
    }
    assert_eq!(surfaces_alike("Setts", &surfaces()), ["brick", "drive"]);
    assert_eq!(surfaces_alike("gravel", &surfaces()), ["drive", "unimproved"]);
    assert_eq!(surfaces_alike("cobbles", &surfaces()), ["brick", "drive"]);
    assert!(surfaces_alike("moon dust", &surfaces()).is_empty());
}
