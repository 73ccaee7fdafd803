use super::*;
use crate::catalog::text::Sheet;
use approx::assert_relative_eq;

fn get(material: &str, size: &str) -> &'static PipeEntry {
    pipe(material, size).unwrap()
}

/// Material, size and least wall of each row, in inches or millimetres.
fn walls() -> Vec<(&'static str, &'static str, f64, bool)> {
    let of = |text, heading: &'static str, metric| {
        load(text, move |record| {
            Some((record.text("material")?, record.text("size")?, record.number(heading)?, metric))
        })
    };
    let mut all = of(include_str!("../data/pipes.csv"), "least wall (in)", false);
    all.extend(of(include_str!("../data/pipes-metric.csv"), "least wall (mm)", true));
    all
}

#[test]
fn no_row_is_left_out() {
    assert_eq!(entries().len(), 61);
    assert_eq!(materials().len(), 16);
    let sizes: usize = pipe_materials().iter().map(|material| pipe_sizes(material).len()).sum();
    assert_eq!(sizes, 61);
    for entry in entries() {
        assert!(!entry.source.is_empty() && !entry.friction_source.is_empty() && !entry.manning_source.is_empty());
    }
}

#[test]
fn every_name_of_a_material_finds_it_and_no_other() {
    let table = Sheet::read(include_str!("../data/pipe-materials.csv"));
    let mut seen = 0;
    for row in &table.rows {
        let (name, others) = (row[0], row[1]);
        for called in others.split('|').map(str::trim).filter(|called| !called.is_empty()).chain([name]) {
            let found: Vec<_> = materials().iter().filter(|material| material.names.has(&key(called))).collect();
            assert_eq!(found.len(), 1, "{called}");
            assert_eq!(found[0].names.name, name, "{called}");
            seen += 1;
        }
    }
    assert!(seen > 50);
}

#[test]
fn trade_names_are_understood() {
    for (called, name) in [
        ("schedule 40 PVC", "PVC schedule 40"),
        ("PVC sch 40", "PVC schedule 40"),
        ("PVC Sch. 40", "PVC schedule 40"),
        ("sch40 pvc", "PVC schedule 40"),
        ("SDR 35", "PVC SDR 35"),
        ("sdr-35", "PVC SDR 35"),
        ("corrugated HDPE perforated", "corrugated HDPE"),
        ("perforated corrugated HDPE", "corrugated HDPE"),
    ] {
        assert_eq!(known_material(called).unwrap().names.name, name, "{called}");
    }
    assert_eq!(get("schedule 40 pvc", "1.5 in").pipe.size, "1-1/2 in");
}

#[test]
fn what_is_not_in_the_table_is_told() {
    assert_eq!(pipe("PVC shedule 40", "2 in"), Err(PipeLookup::UnknownMaterial { nearest: Some("PVC schedule 40") }));
    assert_eq!(pipe("bamboo", "2 in"), Err(PipeLookup::UnknownMaterial { nearest: None }));
    assert_eq!(pipe("", ""), Err(PipeLookup::UnknownMaterial { nearest: None }));
    assert_eq!(pipe(&"x".repeat(100_000), "2 in"), Err(PipeLookup::UnknownMaterial { nearest: None }));
    assert_eq!(
        pipe("SDR 35", "2 in"),
        Err(PipeLookup::SizeNotMade { material: "PVC SDR 35", sizes: vec!["4 in", "6 in"] })
    );
    assert_eq!(
        pipe("SDR 35", "2 in").unwrap_err().to_string(),
        "no such size of PVC SDR 35 in the table; it has 4 in, 6 in"
    );
    assert_eq!(
        pipe("PVC shedule 40", "2 in").unwrap_err().to_string(),
        "no such pipe material in the table; perhaps `PVC schedule 40`"
    );
    assert!(pipe_sizes("bamboo").is_empty());
}

#[test]
fn the_bore_is_the_outside_less_two_walls() {
    let walls = walls();
    // All but the five corrugated ones, which have no wall to measure.
    assert_eq!(walls.len(), 56);
    for (material, size, wall, metric) in walls {
        let pipe = &get(material, size).pipe;
        let bore = if metric {
            (pipe.outside_diameter.mm(), pipe.bore.mm())
        } else {
            (pipe.outside_diameter.inch(), pipe.bore.inch())
        };
        assert_relative_eq!(bore.1, bore.0 - 2.0 * wall, epsilon = 0.0006);
    }
}

#[test]
fn average_bores_are_those_of_a_wall_6_percent_over_the_least() {
    // ASTM D1785 and D2241, from memory: the wall may be 12 % over the least, so 6 % on average.
    let mut checked = 0;
    for (material, size, wall, _) in walls() {
        let pipe = &get(material, size).pipe;
        if let Some(average) = pipe.average_bore {
            assert_relative_eq!(average.inch(), pipe.outside_diameter.inch() - 2.12 * wall, epsilon = 0.001);
            checked += 1;
        }
    }
    assert_eq!(checked, 47);
    // 2 in schedule 40: 2.049 in, as trade tables of ASTM D1785 pipe print it, from memory.
    assert_relative_eq!(get("PVC schedule 40", "2 in").pipe.average_bore.unwrap().inch(), 2.049, epsilon = 0.0006);
}

#[test]
fn schedule_40_bores_are_those_of_the_residential_code() {
    // International Residential Code 2018, Table A.2.2: a 90 degree elbow is 30 bores long, in ft.
    for (size, feet) in [("1-1/4 in", 3.45), ("1-1/2 in", 4.02), ("2 in", 5.17), ("2-1/2 in", 6.16), ("3 in", 7.67)] {
        let bore = get("PVC schedule 40", size).pipe.bore;
        assert_relative_eq!(bore.inch(), feet * 12.0 / 30.0, epsilon = 0.0051);
    }
}

#[test]
fn a_foot_of_pipe_holds_what_is_published() {
    // Gallons per foot, schedule 40 with the least wall: bore² x 0.0408, a trade constant, common practice.
    for (size, gallons) in
        [("1-1/4 in", 0.0777), ("1-1/2 in", 0.1058), ("2 in", 0.1743), ("3 in", 0.3840), ("4 in", 0.6613)]
    {
        let volume = get("PVC schedule 40", size).pipe.area() * Length::from_ft(1.0);
        assert_relative_eq!(volume.gal(), gallons, epsilon = 0.00006);
    }
}

#[test]
fn ratings_follow_from_the_wall() {
    // P = 2 S t/(D - t) with S = 2000 psi (ASTM D1785); ratings printed in Machinery's Handbook, 31st ed.,
    // p. 2770, Table 13, rounded to 10 psi.
    let mut checked = 0;
    for (material, size, wall, _) in walls() {
        let pipe = &get(material, size).pipe;
        let Some(rating) = pipe.rating else { continue };
        let outside = pipe.outside_diameter.inch();
        let by_wall = 2.0 * 2_000.0 * wall / (outside - wall);
        match material {
            "PVC schedule 40" | "PVC schedule 80" => assert_relative_eq!(rating.psi(), by_wall, epsilon = 5.5),
            // ASTM D2241, from memory: 2 S/(SDR - 1).
            "PVC SDR 21" => assert_relative_eq!(rating.psi(), 4_000.0 / 20.0, epsilon = 1e-9),
            "PVC SDR 26" => assert_relative_eq!(rating.psi(), 4_000.0 / 25.0, epsilon = 1e-9),
            _ => continue,
        }
        checked += 1;
    }
    assert_eq!(checked, 31);
}

#[test]
fn standard_dimension_ratios_give_the_walls() {
    // Least wall = outside diameter/SDR: to 0.001 in by ASTM D2241 and D3034, rounded up to 0.1 mm by ISO 4065;
    // all from memory.
    let mut checked = 0;
    for (material, size, wall, metric) in walls() {
        let ratio = match material {
            "PVC SDR 21" | "PVC-U SDR 21" => 21.0,
            "PVC SDR 26" => 26.0,
            "PVC SDR 35" | "PVC SDR 35 perforated" => 35.0,
            "PE100 SDR 11" => 11.0,
            "PE100 SDR 17" => 17.0,
            _ => continue,
        };
        let outside = get(material, size).pipe.outside_diameter;
        if metric {
            let least = outside.mm() / ratio;
            assert!(wall >= least - 1e-9 && wall < least + 0.1, "{material} {size}");
        } else {
            assert_relative_eq!(wall, outside.inch() / ratio, epsilon = 0.001);
        }
        checked += 1;
    }
    assert_eq!(checked, 24);
}

#[test]
fn pipe_that_shares_its_dimensions_is_the_same_pipe() {
    // ASTM D2665 takes the dimensions of ASTM D1785 schedule 40; holes change no dimension.
    for (one, other) in [
        ("PVC schedule 40", "PVC schedule 40 DWV"),
        ("PVC SDR 35", "PVC SDR 35 perforated"),
        ("PVC D2729", "PVC D2729 perforated"),
    ] {
        assert!(!pipe_sizes(other).is_empty());
        for size in pipe_sizes(other) {
            let (one, other) = (&get(one, size).pipe, &get(other, size).pipe);
            assert_eq!(
                (one.outside_diameter, one.bore, one.average_bore),
                (other.outside_diameter, other.bore, other.average_bore)
            );
            assert_eq!((other.rating, other.made_for), (None, PipeUse::Drain));
        }
    }
}

#[test]
fn pressure_pipe_is_rated_and_drain_pipe_is_not() {
    for entry in entries() {
        let pipe = &entry.pipe;
        assert_eq!(pipe.rating.is_some(), pipe.made_for == PipeUse::Pressure, "{} {}", pipe.material, pipe.size);
        assert!(pipe.bore > Length::ZERO && pipe.bore < pipe.outside_diameter);
        assert!(pipe.average_bore.is_none_or(|average| average < pipe.bore));
    }
}

#[test]
fn the_average_bore_costs_the_published_friction() {
    // Friction goes with bore^-4.8704 (Hazen-Williams): 2.067 and 2.049 in give 1.044.
    let pipe = &get("PVC schedule 40", "2 in").pipe;
    assert_relative_eq!(libm::pow(pipe.bore / pipe.average_bore.unwrap(), 4.8704), 1.044, epsilon = 0.002);
}

#[test]
fn plastic_pressure_pipe_has_c_150() {
    // NRCS practice standard 430; Nev. Admin. Code 444.8396.
    for entry in entries().iter().filter(|entry| entry.pipe.made_for == PipeUse::Pressure) {
        assert_relative_eq!(entry.pipe.hazen_williams_c, 150.0);
        assert_relative_eq!(entry.pipe.roughness.mm(), 0.0015, max_relative = 1e-12);
        assert_relative_eq!(entry.pipe.manning_n, 0.011);
    }
}

#[test]
fn the_friction_of_corrugated_pipe_follows_from_its_n() {
    for size in ["3 in", "4 in", "6 in"] {
        let pipe = &get("corrugated HDPE", size).pipe;
        assert_relative_eq!(pipe.manning_n, 0.020);
        let radius = pipe.bore.m() / 4.0;
        for slope in [0.005, 0.01, 0.02, 0.05, 0.10] {
            // V = 0.849 C R^0.63 S^0.54 and V = R^(2/3) S^(1/2)/n (SI) with the same V.
            let c = libm::pow(radius, 2.0 / 3.0 - 0.63) * libm::pow(slope, 0.5 - 0.54) / (0.849 * pipe.manning_n);
            assert!(c > pipe.hazen_williams_c && c < 1.3 * pipe.hazen_williams_c, "{size} {slope} {c}");
        }
    }
    // f = 8 g n²/R^(1/3) and 1/√f = -2 log10(roughness/(3.7 D)) in 4 in pipe.
    let pipe = &get("corrugated HDPE", "4 in").pipe;
    let f = 8.0 * 9.806_65 * pipe.manning_n * pipe.manning_n / libm::pow(pipe.bore.m() / 4.0, 1.0 / 3.0);
    let roughness = 3.7 * pipe.bore.mm() * libm::pow(10.0, -0.5 / f.sqrt());
    assert_relative_eq!(pipe.roughness.mm(), roughness, epsilon = 0.5);
}

#[test]
fn neighbours_are_the_next_sizes_of_the_same_material() {
    let size = |entry: Option<&'static PipeEntry>| entry.map(|entry| entry.pipe.size.as_str());
    let (smaller, larger) = neighbours(&get("PVC schedule 40", "2 in").pipe);
    assert_eq!((size(smaller), size(larger)), (Some("1-1/2 in"), Some("2-1/2 in")));
    let (smaller, larger) = neighbours(&get("PVC schedule 40", "1 in").pipe);
    assert_eq!((size(smaller), size(larger)), (None, Some("1-1/4 in")));
    let (smaller, larger) = neighbours(&get("PVC SDR 35", "6 in").pipe);
    assert_eq!((size(smaller), size(larger)), (Some("4 in"), None));
    let strange = Pipe { material: "hollow log".to_owned(), ..get("PVC SDR 35", "6 in").pipe.clone() };
    assert_eq!(neighbours(&strange), (None, None));
    let nowhere =
        Pipe { bore: Length::from_m(f64::NAN), size: "?".to_owned(), ..get("PVC SDR 35", "6 in").pipe.clone() };
    assert_eq!(neighbours(&nowhere), (None, None));
}

#[test]
fn sizes_stand_by_increasing_bore() {
    for material in pipe_materials() {
        let bores: Vec<_> = pipe_sizes(material).iter().map(|size| get(material, size).pipe.bore).collect();
        assert!(bores.windows(2).all(|pair| pair[0] < pair[1]), "{material}");
    }
}
