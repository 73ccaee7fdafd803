use super::*;
use crate::catalog::pipe;
use crate::hydraulics::friction::hazen_williams_loss;
use crate::quantity::Flow;
use approx::assert_relative_eq;

const SIZES: [&str; 5] = ["1-1/4 in", "1-1/2 in", "2 in", "2-1/2 in", "3 in"];

fn pvc(size: &str) -> &'static Pipe {
    &pipe("PVC schedule 40", size).unwrap().pipe
}

/// Steel pipe as the sprinkler table takes it.
fn steel(size: &str) -> Pipe {
    Pipe { hazen_williams_c: 120.0, ..pvc(size).clone() }
}

/// Each size by a table in feet, in pipe of C 120.
fn feet(table: &str, fitting: &str) -> [Option<f64>; 5] {
    SIZES.map(|size| equivalent_length(table, fitting, &steel(size)).map(|found| found.length.ft()))
}

fn assert_row(table: &str, fitting: &str, printed: [Option<f64>; 5]) {
    for ((size, found), printed) in SIZES.iter().zip(feet(table, fitting)).zip(printed) {
        assert_eq!(found.is_some(), printed.is_some(), "{table}, {fitting}, {size}");
        if let (Some(found), Some(printed)) = (found, printed) {
            assert_relative_eq!(found, printed, max_relative = 1e-12);
        }
    }
}

#[test]
fn no_row_is_left_out() {
    assert_eq!((cells().len(), lengths_tables().len()), (81, 4));
    assert_eq!(equivalent_length_tables(), ["screwed code", "wrought code", "cast code", "sprinkler"]);
    for cell in cells() {
        let found = equivalent_length(cell.table, cell.fitting, pvc(cell.size)).unwrap();
        assert_eq!((found.table, found.fitting, found.status), (cell.table, cell.fitting, cell.status));
        assert!(found.source.contains(cell.source) && found.source.starts_with(&format!("table `{}`, ", cell.table)));
    }
}

#[test]
fn no_cell_stands_twice() {
    let mut all: Vec<_> = cells().iter().map(|cell| (cell.table, cell.fitting, cell.size)).collect();
    all.sort_unstable();
    all.dedup();
    assert_eq!(all.len(), cells().len());
}

#[test]
fn every_other_name_of_a_table_finds_it() {
    for (called, name) in [
        ("screwed", "screwed code"),
        ("code, screwed", "screwed code"),
        ("Wrought", "wrought code"),
        ("cast", "cast code"),
        ("sprinklers", "sprinkler"),
        ("sprinkler code", "sprinkler"),
    ] {
        assert_eq!(equivalent_length(called, "elbow 90", pvc("2 in")).unwrap().table, name, "{called}");
    }
    assert_eq!(equivalent_length("", "elbow 90", pvc("2 in")), None);
    assert_eq!(equivalent_length("code", "elbow 90", pvc("2 in")), None);
}

#[test]
fn lengths_of_screwed_fittings_are_bores() {
    // International Residential Code 2018, Table A.2.2: 30, 14 and 60 diameters, printed to three figures.
    for (fitting, diameters) in [("elbow 90", 30.0), ("elbow 45", 14.0), ("tee branch", 60.0)] {
        for size in SIZES {
            let length = equivalent_length("screwed code", fitting, pvc(size)).unwrap().length;
            assert_relative_eq!(length / pvc(size).bore, diameters, max_relative = 0.005);
        }
    }
    assert_row("screwed code", "elbow 90", [3.45, 4.02, 5.17, 6.16, 7.67].map(Some));
    assert_row("screwed code", "gate valve", [None; 5]);
}

#[test]
fn wrought_and_cast_fittings_are_as_the_code_prints_them() {
    // Illinois Administrative Code, title 77 part 890, Appendix A, Table Q.
    assert_row("wrought code", "elbow 90", [2.0, 2.0, 2.0, 2.0, 3.0].map(Some));
    assert_row("wrought code", "elbow 45", [1.0, 2.0, 2.0, 3.0, 4.0].map(Some));
    assert_row("wrought code", "tee run", [Some(0.5), Some(1.0), Some(1.0), Some(2.0), None]);
    assert_row("wrought code", "tee branch", [Some(4.0), Some(5.0), Some(7.0), Some(9.0), None]);
    assert_row("wrought code", "gate valve", [1.0, 2.0, 2.0, 2.0, 2.0].map(Some));
    assert_row("cast code", "elbow 90", [5.0, 8.0, 11.0, 14.0, 18.0].map(Some));
    assert_row("cast code", "elbow 45", [2.0, 3.0, 5.0, 8.0, 11.0].map(Some));
    assert_row("cast code", "tee run", [1.5, 1.0, 2.0, 2.0, 2.0].map(Some));
    assert_row("cast code", "tee branch", [7.0, 9.0, 12.0, 16.0, 20.0].map(Some));
}

#[test]
fn the_sprinkler_table_holds_for_c_120() {
    // NFPA 13, from memory.
    assert_row("sprinkler", "elbow 90", [3.0, 4.0, 5.0, 6.0, 7.0].map(Some));
    assert_row("sprinkler", "elbow 45", [1.0, 2.0, 2.0, 3.0, 3.0].map(Some));
    assert_row("sprinkler", "tee branch", [6.0, 8.0, 10.0, 12.0, 15.0].map(Some));
    assert_row("sprinkler", "gate valve", [None, None, Some(1.0), Some(1.0), Some(1.0)]);
    assert_row("sprinkler", "swing", [7.0, 9.0, 11.0, 14.0, 16.0].map(Some));
    // NFPA 13, from memory: times 1.51 for C 150.
    let plastic = equivalent_length("sprinkler", "elbow 90", pvc("2 in")).unwrap();
    assert_relative_eq!(plastic.length.ft() / 5.0, 1.51, epsilon = 0.005);
    assert_eq!(
        plastic.source,
        "table `sprinkler`, 5 ft in 2 in, times 1.512 from C 120 to C 150; NFPA 13, table of fittings in schedule 40 \
         steel pipe of C 120, from memory"
    );
    // The fitting loses the same in both.
    let lost = |pipe: &Pipe| {
        let length = equivalent_length("sprinkler", "swing", pipe).unwrap().length;
        hazen_williams_loss(length, Flow::from_gpm(40.0), pipe.hazen_williams_c, pipe.bore).ft()
    };
    assert_relative_eq!(lost(pvc("2 in")), lost(&steel("2 in")), max_relative = 1e-9);
}

#[test]
fn tables_without_a_c_are_as_printed() {
    for table in ["screwed code", "wrought code", "cast code"] {
        let (plastic, steel) = (
            equivalent_length(table, "elbow 90", pvc("2 in")).unwrap(),
            equivalent_length(table, "elbow 90", &steel("2 in")).unwrap(),
        );
        assert_eq!(plastic, steel);
        assert!(!plastic.source.contains("times"), "{}", plastic.source);
    }
}

#[test]
fn four_tables_give_four_lengths() {
    // 2 in elbow of 90 degrees: 2.0 ft wrought, 5.2 ft screwed, 11.0 ft cast, as published.
    let feet = |table: &str| equivalent_length(table, "ell 90", pvc("2 in")).unwrap().length.ft();
    assert_relative_eq!(feet("wrought code"), 2.0, max_relative = 1e-12);
    assert_relative_eq!(feet("screwed code"), 5.2, epsilon = 0.05);
    assert_relative_eq!(feet("cast code"), 11.0, max_relative = 1e-12);
    assert_relative_eq!(feet("sprinkler"), 7.56, epsilon = 0.01);
}

#[test]
fn what_looks_like_an_error_is_told() {
    let doubtful = |cell: &&Cell| cell.source.contains("looks like an error");
    // An elbow of 45 degrees longer than that of 90, a size shorter than the next smaller one: all that there are.
    let found: Vec<_> = cells().iter().filter(doubtful).map(|cell| (cell.table, cell.fitting, cell.size)).collect();
    assert_eq!(
        found,
        [
            ("wrought code", "elbow 45", "2-1/2 in"),
            ("wrought code", "elbow 45", "3 in"),
            ("cast code", "tee run", "1-1/4 in"),
        ]
    );
    for table in equivalent_length_tables() {
        for (size, (one, other)) in SIZES.iter().zip(feet(table, "elbow 45").iter().zip(feet(table, "elbow 90"))) {
            let told = found.contains(&(table, "elbow 45", *size));
            assert_eq!(*one > other, told, "{table} {size}");
        }
        for fitting in ["elbow 90", "elbow 45", "tee run", "tee branch", "gate valve", "swing"] {
            let along: Vec<_> = SIZES.iter().zip(feet(table, fitting)).filter(|(_, feet)| feet.is_some()).collect();
            for pair in along.windows(2) {
                let told = found.contains(&(table, fitting, pair[0].0));
                assert_eq!(pair[0].1 > pair[1].1, told && fitting == "tee run", "{table} {fitting}");
            }
        }
    }
}

#[test]
fn names_are_those_of_fittings_and_check_valves() {
    for (called, name) in
        [("90° ells", "elbow 90"), ("quarter bend", "elbow 90"), ("swing check valve", "swing"), ("flapper", "swing")]
    {
        assert_eq!(equivalent_length("sprinkler", called, pvc("2 in")).unwrap().fitting, name, "{called}");
    }
    for name in ["", "tee", "union", "drain elbow 90", "spring", "swing straight", "hydrant"] {
        assert_eq!(equivalent_length("sprinkler", name, pvc("2 in")), None, "{name}");
    }
}

#[test]
fn pipe_of_another_standard_takes_the_nearest_size_and_says_so() {
    // 63 mm PVC-U has a bore of 57.0 mm: nearer 2 in (52.5 mm) than 2-1/2 in (62.7 mm) in ratio.
    let metric = equivalent_length("cast code", "elbow 90", &pipe("PVC-U SDR 21", "63 mm").unwrap().pipe).unwrap();
    assert_relative_eq!(metric.length.ft(), 11.0, max_relative = 1e-12);
    assert!(metric.source.starts_with("table `cast code`, 11 ft in 2 in, the nearest bore; "), "{}", metric.source);
    // An empty cell of the nearest size stays empty: 90 mm takes 3 in.
    let wide = &pipe("PVC-U SDR 21", "90 mm").unwrap().pipe;
    assert!(equivalent_length("wrought code", "elbow 90", wide).unwrap().source.contains(" in 3 in, the nearest bore"));
    assert_eq!(equivalent_length("wrought code", "tee run", wide), None);
}

#[test]
fn pipe_far_from_every_size_has_no_length() {
    for (material, size) in [("PVC schedule 40", "1 in"), ("PVC schedule 40", "4 in"), ("PVC-U SDR 21", "110 mm")] {
        let pipe = &pipe(material, size).unwrap().pipe;
        assert_eq!(equivalent_length("sprinkler", "elbow 90", pipe), None, "{size}");
    }
    // Between the sizes there is always one near enough.
    for tenths in 350..=780 {
        let pipe = Pipe { size: "?".to_owned(), bore: Length::from_mm(f64::from(tenths) / 10.0), ..steel("2 in") };
        assert!(equivalent_length("screwed code", "elbow 90", &pipe).is_some(), "{tenths}");
    }
    for bore in [f64::NAN, 0.0, -1.0, f64::INFINITY] {
        let strange = Pipe { size: "?".to_owned(), bore: Length::from_m(bore), ..steel("2 in") };
        assert_eq!(equivalent_length("sprinkler", "elbow 90", &strange), None);
    }
    for c in [f64::NAN, 0.0, -1.0, f64::INFINITY] {
        let strange = Pipe { hazen_williams_c: c, ..steel("2 in") };
        assert_eq!(equivalent_length("sprinkler", "elbow 90", &strange), None);
        assert!(equivalent_length("cast code", "elbow 90", &strange).is_some());
    }
}
