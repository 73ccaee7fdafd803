//! The cases of `routing.json`, and the systems and timelines they stand for.

use serde::Deserialize;
use sumpwright::collection::Grate;
use sumpwright::quantity::{Area, Flow, Length, Level, Volume};
use sumpwright::routing::{
    Change, Floats, Forcing, FullPipe, Mark, Path, PathKind, Rating, Seep, StageStorage, Station, System, Timeline,
};

#[derive(Deserialize)]
pub(crate) struct Case {
    pub(crate) name: String,
    stores: Vec<StoreEntry>,
    paths: Vec<PathEntry>,
    station: StationEntry,
    seeps: Vec<SeepEntry>,
    marks: Vec<(usize, f64)>,
    start: Vec<f64>,
    pub(crate) inflow: Vec<Vec<(f64, f64)>>,
    tables: Vec<Vec<(f64, f64)>>,
    pub(crate) power_off_s: Option<f64>,
    pub(crate) samples: Vec<f64>,
    pub(crate) end_s: f64,
    pub(crate) results: Results,
}

#[derive(Deserialize)]
pub(crate) struct Results {
    pub(crate) switches: Vec<SwitchEntry>,
    pub(crate) highest: Vec<HighestEntry>,
    pub(crate) marks: Vec<MarkEntry>,
    pub(crate) paths_m3: Vec<f64>,
    pub(crate) seeps_m3: Vec<f64>,
    pub(crate) pumped_m3: f64,
    pub(crate) ran_back_m3: f64,
    pub(crate) samples: Vec<Vec<f64>>,
    pub(crate) end: Vec<f64>,
}

#[derive(Deserialize)]
pub(crate) struct SwitchEntry {
    pub(crate) at_s: f64,
    pub(crate) pump: u8,
    pub(crate) on: bool,
    /// How fast the water rises there, m/s.
    pub(crate) rate: f64,
}

#[derive(Deserialize)]
pub(crate) struct HighestEntry {
    pub(crate) level: f64,
    /// When it stands so high, and how long before and after it does but for what may miss.
    pub(crate) at: Vec<(f64, f64)>,
}

#[derive(Deserialize)]
pub(crate) struct MarkEntry {
    pub(crate) first_s: Option<f64>,
    pub(crate) first_rate: f64,
    pub(crate) longest_s: f64,
    /// The slowest rise or fall through it, m/s.
    pub(crate) slowest_rate: f64,
    pub(crate) times: u64,
}

#[derive(Deserialize)]
struct StoreEntry {
    surface: Vec<(f64, f64)>,
    least: f64,
}

#[derive(Deserialize)]
struct PipeEntry {
    bore: f64,
    length: f64,
    n: f64,
    up: f64,
    down: f64,
}

#[derive(Deserialize)]
struct PathEntry {
    from: usize,
    to: Option<usize>,
    #[serde(flatten)]
    kind: KindEntry,
}

#[derive(Deserialize)]
#[serde(tag = "kind", rename_all = "lowercase")]
enum KindEntry {
    Crest { level: f64, width: f64, coefficient: f64 },
    Grate { rim: f64, perimeter: f64, open_area: f64, clogged: f64, pipes: Vec<PipeEntry> },
    Pipe(PipeEntry),
}

#[derive(Deserialize)]
struct RatingEntry {
    lowest: f64,
    highest: f64,
    flows: Vec<f64>,
}

#[derive(Deserialize)]
struct StationEntry {
    store: usize,
    lead: (f64, f64),
    lag: Option<(f64, f64)>,
    first: RatingEntry,
    second: RatingEntry,
    both: RatingEntry,
    drain_back: f64,
}

#[derive(Deserialize)]
struct SeepEntry {
    store: usize,
    per_metre: f64,
    from: f64,
}

pub(crate) fn cases() -> Vec<Case> {
    let path = format!("{}/tests/crosscheck/routing.json", env!("CARGO_MANIFEST_DIR"));
    serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

impl PipeEntry {
    fn build(&self) -> FullPipe {
        let (bore, length) = (Length::from_m(self.bore), Length::from_m(self.length));
        FullPipe::new(bore, length, self.n, Level::from_m(self.up), Level::from_m(self.down)).unwrap()
    }
}

impl PathEntry {
    fn build(&self) -> Path {
        let kind = match &self.kind {
            KindEntry::Crest { level, width, coefficient } => PathKind::Crest {
                level: Level::from_m(*level),
                width: Length::from_m(*width),
                coefficient: *coefficient,
            },
            KindEntry::Grate { rim, perimeter, open_area, clogged, pipes } => PathKind::Grate {
                rim: Level::from_m(*rim),
                grate: Grate {
                    perimeter: Length::from_m(*perimeter),
                    open_area: Area::from_m2(*open_area),
                    clogged: *clogged,
                },
                pipes: pipes.iter().map(PipeEntry::build).collect(),
            },
            KindEntry::Pipe(pipe) => PathKind::Pipe(pipe.build()),
        };
        Path { from: self.from, to: self.to, kind }
    }
}

impl RatingEntry {
    fn build(&self) -> Rating {
        let flows: Vec<Flow> = self.flows.iter().map(|q| Flow::from_m3s(*q)).collect();
        Rating::new(Level::from_m(self.lowest), Level::from_m(self.highest), &flows).unwrap()
    }
}

impl Case {
    pub(crate) fn system(&self) -> System {
        let store = |entry: &StoreEntry| {
            let surface: Vec<_> = entry.surface.iter().map(|(h, a)| (Level::from_m(*h), Area::from_m2(*a))).collect();
            StageStorage::new(&surface, Area::from_m2(entry.least)).unwrap()
        };
        let floats = |(on, off): (f64, f64)| Floats { on: Level::from_m(on), off: Level::from_m(off) };
        let station = &self.station;
        System {
            stores: self.stores.iter().map(store).collect(),
            paths: self.paths.iter().map(PathEntry::build).collect(),
            station: Some(Station {
                store: station.store,
                lead: floats(station.lead),
                lag: station.lag.map(floats),
                first: station.first.build(),
                second: station.second.build(),
                both: station.both.build(),
                drain_back: Volume::from_m3(station.drain_back),
            }),
            seeps: self
                .seeps
                .iter()
                .map(|seep| Seep { store: seep.store, per_metre: seep.per_metre, from: Level::from_m(seep.from) })
                .collect(),
        }
    }

    pub(crate) fn timeline(&self) -> Timeline {
        let start = |lines: &[Vec<(f64, f64)>]| lines.iter().map(|points| (points[0].1, 0.0)).collect();
        let mut changes = Vec::new();
        for (store, points) in self.inflow.iter().enumerate() {
            changes.extend(bends(points).into_iter().map(|(at_s, by)| (at_s, Change::Ramp { store, by })));
        }
        for (seep, points) in self.tables.iter().enumerate() {
            changes.extend(bends(points).into_iter().map(|(at_s, by)| (at_s, Change::Rise { seep, by })));
        }
        Timeline::new(Forcing { inflow: start(&self.inflow), table: start(&self.tables) }, changes)
    }

    pub(crate) fn start(&self) -> Vec<Level> {
        self.start.iter().map(|level| Level::from_m(*level)).collect()
    }

    pub(crate) fn marks(&self) -> Vec<Mark> {
        self.marks.iter().map(|(store, level)| Mark { store: *store, level: Level::from_m(*level) }).collect()
    }

    pub(crate) fn span_m(&self) -> f64 {
        self.station.lead.0 - self.station.lead.1
    }

    /// What comes in from outside in all, m³.
    pub(crate) fn storm_m3(&self) -> f64 {
        let line = |points: &Vec<(f64, f64)>| {
            points.windows(2).map(|pair| 0.5 * (pair[0].1 + pair[1].1) * (pair[1].0 - pair[0].0)).sum::<f64>()
        };
        self.inflow.iter().map(line).sum()
    }
}

/// Where a line through points bends, and by how much.
fn bends(points: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let mut before = 0.0;
    let mut found = Vec::new();
    for pair in points.windows(2) {
        let slope = (pair[1].1 - pair[0].1) / (pair[1].0 - pair[0].0);
        found.push((pair[0].0, slope - before));
        before = slope;
    }
    found.extend(points.last().filter(|_| before != 0.0).map(|(at_s, _)| (*at_s, -before)));
    found
}
