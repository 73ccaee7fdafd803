//! The tables as text, for whoever wants to read or print them.

use super::text::{Sheet, source};

/// A built-in table as text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Table {
    /// Its name, to ask for it.
    pub name: &'static str,
    /// What it holds.
    pub title: &'static str,
    /// The headings, with units. The last two are `status` and `source`.
    pub columns: Vec<&'static str>,
    /// The rows, each with as many cells as there are headings.
    pub rows: Vec<Vec<&'static str>>,
    /// The keys in the column `source`, with the publications they stand for. A source that is not among them
    /// stands for itself.
    pub sources: Vec<(&'static str, &'static str)>,
}

/// Every built-in table.
pub fn tables() -> Vec<Table> {
    TABLES.iter().map(|(name, title, text)| table(name, title, text)).collect()
}

fn table(name: &'static str, title: &'static str, text: &'static str) -> Table {
    let Sheet { columns, rows } = Sheet::read(text);
    let mut sources: Vec<(&'static str, &'static str)> = Vec::new();
    for key in rows.iter().filter_map(|row| row.last().copied()) {
        let text = source(key);
        if text != key && !sources.iter().any(|(known, _)| *known == key) {
            sources.push((key, text));
        }
    }
    Table { name, title, columns, rows, sources }
}

const TABLES: [(&str, &str, &str); 29] = [
    ("pipes", "Pipe of inch sizes", include_str!("data/pipes.csv")),
    ("pipes-metric", "Pipe of metric sizes", include_str!("data/pipes-metric.csv")),
    ("pipe-materials", "Pipe materials and their friction", include_str!("data/pipe-materials.csv")),
    ("manning-n", "Manning's n of drain pipe", include_str!("data/manning-n.csv")),
    ("fittings", "Fittings: K, or the multiple of fT that K is", include_str!("data/fittings.csv")),
    ("fitting-friction", "Friction factor fT of fittings by size", include_str!("data/fitting-friction.csv")),
    ("check-valves", "Check valves, fully open", include_str!("data/check-valves.csv")),
    (
        "check-valve-opening",
        "N of the velocity N x square root of 1/density (SI) that holds a check valve open",
        include_str!("data/check-valve-opening.csv"),
    ),
    (
        "equivalent-lengths",
        "Fittings as lengths of pipe, by several tables",
        include_str!("data/equivalent-lengths.csv"),
    ),
    (
        "equivalent-length-tables",
        "The tables of equivalent lengths, with the C of their pipe",
        include_str!("data/equivalent-length-tables.csv"),
    ),
    ("outlets", "Outlets, beyond the velocity head", include_str!("data/outlets.csv")),
    (
        "runoff-coefficients",
        "Runoff coefficients of the rational method, storms of 2 to 10 years",
        include_str!("data/runoff-coefficients.csv"),
    ),
    ("curve-numbers", "Runoff curve numbers by hydrologic soil group", include_str!("data/curve-numbers.csv")),
    ("sheet-roughness", "Manning's n of sheet flow", include_str!("data/sheet-roughness.csv")),
    (
        "shallow-flow",
        "Shallow concentrated flow, V = c x square root of slope (NRCS)",
        include_str!("data/shallow-flow.csv"),
    ),
    (
        "frequency-factors",
        "Factor on the runoff coefficient for rarer storms",
        include_str!("data/frequency-factors.csv"),
    ),
    (
        "storm-distributions",
        "Published 24-hour storms: share of the day's rain fallen by then",
        include_str!("data/storm-distributions.csv"),
    ),
    (
        "storm-burst",
        "The hardest two hours of a type II storm by tenths of an hour",
        include_str!("data/storm-burst.csv"),
    ),
    ("soils", "Green-Ampt infiltration by soil texture", include_str!("data/soils.csv")),
    (
        "ground",
        "Flow of groundwater by soil texture: saturated conductivity, drainable porosity",
        include_str!("data/ground.csv"),
    ),
    ("depression-storage", "Rain held in hollows", include_str!("data/depression-storage.csv")),
    ("grates", "Sizes of yard grates", include_str!("data/grates.csv")),
    (
        "swale-covers",
        "Covers of swales: Manning's n, and the velocity they bear by slope",
        include_str!("data/swale-covers.csv"),
    ),
    ("least-falls", "Least fall of drains by gravity", include_str!("data/least-falls.csv")),
    ("limits", "Limits where the site file sets none", include_str!("data/limits.csv")),
    ("pvc-derating", "Share of its rating that PVC pipe keeps", include_str!("data/pvc-derating.csv")),
    ("pe-derating", "Share of its rating that polyethylene pipe keeps", include_str!("data/pe-derating.csv")),
    ("wires", "Copper wire by size", include_str!("data/wires.csv")),
    ("basins", "Sizes of basin", include_str!("data/basins.csv")),
];

#[cfg(test)]
mod tests {
    use super::super::text::{COMMON_PRACTICE, DERIVED, FOUND, FROM_MEMORY, load};
    use super::*;

    #[test]
    fn every_table_has_its_rows() {
        let counts: Vec<_> = tables().iter().map(|table| (table.name, table.rows.len())).collect();
        assert_eq!(
            counts,
            [
                ("pipes", 89),
                ("pipes-metric", 27),
                ("pipe-materials", 25),
                ("manning-n", 4),
                ("fittings", 18),
                ("fitting-friction", 8),
                ("check-valves", 5),
                ("check-valve-opening", 3),
                ("equivalent-lengths", 81),
                ("equivalent-length-tables", 4),
                ("outlets", 9),
                ("runoff-coefficients", 15),
                ("curve-numbers", 19),
                ("sheet-roughness", 10),
                ("shallow-flow", 8),
                ("frequency-factors", 6),
                ("storm-distributions", 49),
                ("storm-burst", 21),
                ("soils", 11),
                ("ground", 12),
                ("depression-storage", 2),
                ("grates", 19),
                ("swale-covers", 9),
                ("least-falls", 4),
                ("limits", 41),
                ("pvc-derating", 8),
                ("pe-derating", 3),
                ("wires", 11),
                ("basins", 15),
            ]
        );
    }

    #[test]
    fn every_row_is_whole_and_says_where_it_comes_from() {
        for table in tables() {
            assert!(table.columns.ends_with(&["status", "source"]), "{}", table.name);
            for row in &table.rows {
                assert_eq!(row.len(), table.columns.len(), "{} {row:?}", table.name);
                assert!(row.iter().all(|cell| cell.trim() == *cell && !cell.contains('"')), "{} {row:?}", table.name);
                let [.., status, key] = row.as_slice() else { panic!("{} {row:?}", table.name) };
                assert!([FOUND, FROM_MEMORY, DERIVED, COMMON_PRACTICE].contains(status), "{} {row:?}", table.name);
                // A key stands for longer words; words of a row's own stand in the limits only.
                assert!(source(key) != *key || (table.name == "limits" && key.len() > 20), "{} {row:?}", table.name);
                if *status == COMMON_PRACTICE {
                    assert!(source(key).starts_with("common practice, no source"), "{} {row:?}", table.name);
                }
            }
        }
    }

    #[test]
    fn every_source_is_used() {
        let used: Vec<_> = tables().into_iter().flat_map(|table| table.sources).map(|(key, _)| key).collect();
        let known = load(include_str!("data/sources.csv"), |record| record.text("key"));
        assert_eq!(known.len(), 86);
        for key in known {
            assert!(used.contains(&key), "{key}");
        }
    }

    #[test]
    fn names_of_tables_differ() {
        let mut names: Vec<_> = tables().iter().map(|table| table.name).collect();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), TABLES.len());
    }
}
