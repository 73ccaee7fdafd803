//! Records through example yards. All rain here is invented.
use super::*;
use crate::design::design;
use crate::design::storm::{Coming, Yard};
use crate::hydrology::{Hydrograph, RainBlock, RecordOptions, Span, SpanRain, StormShape, excess_blocks, nested_storm};
use crate::quantity::{Flow, Length, Volume};
use crate::routing::{Change, Forcing, Timeline};
use crate::site;
use approx::assert_relative_eq;
use std::fmt::Write as _;

struct NoFiles;
impl site::Files for NoFiles {
    fn read(&self, _: &str) -> Result<String, String> {
        Err("no files beside it".to_owned())
    }
}

const CUT_BANK: &str = include_str!("../../../examples/cut-bank.toml");
const MEADOW: &str = include_str!("../../../examples/wet-meadow.toml");
const CLAY: &str = include_str!("../../../examples/heavy-clay.toml");
const TWO: &str = include_str!("../../../examples/two-pumps.toml");

fn site_of(text: &str) -> Site {
    site::read(text, &NoFiles).site.unwrap()
}

fn day(day: i64) -> Moment {
    Moment::from_seconds(Moment::from_civil(2001, 1, 1, 0, 0, 0).unwrap().seconds() + day * 86_400)
}

/// Rows every ten minutes over so many days; wet ones by the minute of the record that they end at, in hundredths.
fn csv(days: i64, wet: &[(i64, u32)]) -> String {
    let mut text = String::from("time,rain_in\n");
    let mut wet = wet.iter().peekable();
    for minute in (10..=days * 1440).step_by(10) {
        let hundredths = wet.next_if(|(at, _)| *at == minute).map_or(0, |(_, hundredths)| *hundredths);
        let at = Moment::from_seconds(day(0).seconds() + minute * 60);
        let _ = writeln!(text, "{at},{}.{:02}", hundredths / 100, hundredths % 100);
    }
    assert!(wet.peek().is_none());
    text
}

fn run(site: &Site, text: &str) -> RecordResult {
    let design = design(site).unwrap();
    let record = RainRecord::new(text.as_bytes(), &RecordOptions::default()).unwrap();
    run_record(site, &design, record, &RecordSettings::default(), &mut |_| true).unwrap()
}

/// A storm with a hard middle, another two hours later, and one days after.
fn storms() -> Vec<(i64, u32)> {
    let mut wet = Vec::new();
    for (from, rain) in [
        (2_000, vec![5, 10, 30, 85, 60, 25, 10, 5]),
        (2_200, vec![3, 3, 2]),
        (9_000, vec![1, 2, 1]),
        (30_000, vec![20, 40, 75, 90, 45, 20, 10, 10, 5, 5]),
        (43_000, vec![8; 30]),
    ] {
        wet.extend(rain.into_iter().zip(1..).map(|(rain, row)| (from + 10 * row, rain)));
    }
    wet
}

#[test]
fn identity_one_nested_storm_does_what_it_does_in_the_design() {
    for text in [CUT_BANK, TWO] {
        let site = site_of(text);
        let design = design(&site).unwrap();
        let Ready { network, station } = ready_for(&site, &design).unwrap();
        let rain = &site.rain.storms[site.rain.design].1;
        let day_s = Duration::from_h(24.0);
        // a record has whole seconds
        let blocks: Vec<RainBlock> = nested_storm(rain, rain.shortest().unwrap(), day_s)
            .unwrap()
            .into_iter()
            .map(|block| RainBlock { duration: Duration::from_s(block.duration.s().round()), ..block })
            .collect();
        let mut changes = Vec::new();
        let mut hydrographs = Vec::new();
        for (index, result) in design.storm.catchments.iter().enumerate() {
            let loss = crate::design::surface_loss(&site, &design.storm, index).unwrap();
            assert!(matches!(loss, crate::hydrology::SurfaceLoss::Coefficient(_)));
            let time = Duration::from_s(keeping::on_grid(result.time.time.s()));
            let one = Hydrograph::of_surface(&excess_blocks(&loss, &blocks), result.area, time).unwrap();
            let store = network.catchment_stores[index];
            changes.extend(one.slope_changes().into_iter().map(|(at_s, by)| (at_s, Change::Ramp { store, by })));
            hydrographs.push(one);
        }
        let mut start = Forcing::none(&network.system);
        for (store, flow) in &network.steady {
            start.inflow[*store].0 += flow.m3s();
        }
        for (inflow, store) in site.inflows.iter().zip(&network.inflow_stores) {
            assert!(inflow.pulses.is_none());
            start.inflow[*store].0 += inflow.flow.m3s();
        }
        if let Some(table) = network.table {
            start.table.fill((table.m(), 0.0));
        }
        let coming = Coming {
            shape: StormShape::Nested,
            blocks: blocks.clone(),
            runoff: Hydrograph::sum(&hydrographs),
            timeline: Timeline::new(start, changes),
        };
        let outcome = Yard::new(&site, &network, Some(station.clone())).follow(&coming).unwrap();

        let mut system = network.system.clone();
        system.station = Some(station);
        let yard = yard::RecordYard::new(&site, &design, &network, &system).unwrap();
        let origin = day(0);
        let fine = RecordSettings { tolerance: crate::design::storm::TOLERANCE, ..RecordSettings::default() };
        let mut following = Following::new(&yard, origin, &fine).unwrap();
        let mut begin = origin;
        for block in blocks.iter().copied().chain([RainBlock {
            duration: Duration::from_s((outcome.followed.s() - coming.lasts().s()).ceil()),
            intensity: crate::quantity::Intensity::ZERO,
        }]) {
            #[expect(clippy::cast_possible_truncation, reason = "whole seconds of a day")]
            let end = Moment::from_seconds(begin.seconds() + block.duration.s() as i64);
            following.span(&Span { start: begin, end, rain: SpanRain::Fell(block.intensity) }).unwrap();
            begin = end;
        }
        let text = csv(2, &[]);
        let notes = RainRecord::new(text.as_bytes(), &RecordOptions::default()).unwrap().notes().clone();
        let result = following.finish(notes);
        let event = &result.largest[0];
        assert_eq!(result.largest.len(), 1);
        assert_relative_eq!(event.deepest.m(), outcome.depth().m(), epsilon = 2e-5);
        assert!(outcome.depth().m() > 0.01);
        assert_relative_eq!(event.stands.s(), outcome.stands().s(), epsilon = 5.0, max_relative = 2e-3);
        assert_relative_eq!(event.runoff.m3(), outcome.runoff.m3(), max_relative = 1e-9);
        assert_relative_eq!(event.rain.m(), outcome.rain.m(), max_relative = 1e-9);
        assert_relative_eq!(event.spilled.m3(), outcome.spilled.m3(), epsilon = 1e-3, max_relative = 1e-3);
        assert!(result.whole.starts.abs_diff(outcome.starts) <= 1, "{} {}", result.whole.starts, outcome.starts);
        assert_relative_eq!(result.whole.runs.s(), outcome.runs.s(), epsilon = 5.0, max_relative = 2e-3);
    }
}

#[test]
fn identity_a_finer_tolerance_tells_the_same() {
    for text in [CUT_BANK, MEADOW, CLAY, TWO] {
        let site = site_of(text);
        let rows = csv(60, &storms());
        let with = |tolerance| {
            let design = design(&site).unwrap();
            let record = RainRecord::new(rows.as_bytes(), &RecordOptions::default()).unwrap();
            let settings = RecordSettings { tolerance, ..RecordSettings::default() };
            run_record(&site, &design, record, &settings, &mut |_| true).unwrap()
        };
        let (usual, fine) = (with(RecordSettings::default().tolerance), with(Length::from_mm(0.001)));
        let (one, other) = (&usual.whole, &fine.whole);
        assert!(one.starts.abs_diff(other.starts) <= 2, "{} {}", one.starts, other.starts);
        assert_relative_eq!(one.runs.s(), other.runs.s(), max_relative = 1e-4, epsilon = 10.0);
        assert_eq!(one.events_stood, other.events_stood);
        for (one, other) in usual.largest.iter().zip(&fine.largest) {
            assert!((one.deepest - other.deepest).abs() < Length::from_mm(0.3), "{one:?} {other:?}");
        }
    }
}

#[test]
fn identity_months_make_years_make_all_and_nothing_is_lost() {
    for text in [CUT_BANK, MEADOW, CLAY, TWO] {
        let site = site_of(text);
        let result = run(&site, &csv(420, &storms()));
        let sum = |value: &dyn Fn(&RecordTally) -> f64| -> (f64, f64, f64) {
            (
                result.months.iter().map(|month| value(&month.tally)).sum(),
                result.years.iter().map(|year| value(&year.tally)).sum(),
                value(&result.whole),
            )
        };
        let counts: [&dyn Fn(&RecordTally) -> f64; 11] = [
            &|tally| tally.time.s(),
            &|tally| tally.rain.m(),
            &|tally| tally.runoff.m3(),
            &|tally| tally.came.m3(),
            &|tally| tally.pumped.m3(),
            &|tally| tally.spilled.m3(),
            &|tally| tally.starts as f64,
            &|tally| tally.runs.s(),
            &|tally| tally.stood.s(),
            &|tally| tally.events as f64,
            &|tally| tally.events_stood as f64,
        ];
        for value in counts {
            let (months, years, all) = sum(value);
            assert_relative_eq!(months, all, max_relative = 1e-12, epsilon = 1e-12);
            assert_relative_eq!(years, all, max_relative = 1e-12, epsilon = 1e-12);
        }
        assert_eq!((result.months.len(), result.years.len()), (14, 2));
        assert_eq!(result.covers(), Duration::from_day(420.0));
        assert_relative_eq!(result.whole.time.day(), 420.0, max_relative = 1e-12);
        // by hand: the hundredths above
        let hundredths: u32 = storms().iter().map(|(_, rain)| rain).sum();
        assert_relative_eq!(result.whole.rain.inch(), f64::from(hundredths) / 100.0, max_relative = 1e-12);
        let balance = &result.balance;
        for left in [balance.left_over, balance.runoff_left_over, balance.rain_left_over] {
            assert!(left.abs() < 1e-9, "{balance:?}");
        }
        let came = balance.runoff + balance.steady + balance.seeped;
        let went = balance.pumped + balance.spilled + balance.held;
        assert_relative_eq!(came.m3(), went.m3(), max_relative = 1e-9);
        assert_relative_eq!(result.whole.came.m3(), came.m3(), max_relative = 1e-9);
        // the second storm follows two hours after the first
        assert_eq!(result.whole.events, 4);
        assert!(result.largest.len() == 4 && result.largest[0].deepest >= result.largest[1].deepest);
        let events: Volume = result.largest.iter().map(|event| event.runoff).sum();
        assert_relative_eq!(events.m3(), balance.runoff.m3(), max_relative = 1e-9);
    }
}

#[test]
fn identity_years_without_rain_are_whole_cycles_and_cost_little() {
    let mut site = site_of(CUT_BANK);
    let inflow = Flow::from_gpm(4.0);
    site.groundwater = crate::site::Groundwater { inflow: Some(inflow), ..crate::site::Groundwater::default() };
    let design = design(&site).unwrap();
    let Ready { network, station } = ready_for(&site, &design).unwrap();
    let mut system = network.system.clone();
    system.station = Some(station.clone());
    let yard = yard::RecordYard::new(&site, &design, &network, &system).unwrap();
    let mut following = Following::new(&yard, day(0), &RecordSettings::default()).unwrap();
    let dry = SpanRain::Fell(crate::quantity::Intensity::ZERO);
    following.span(&Span { start: day(0), end: day(3652), rain: dry }).unwrap();
    assert!(following.steps() < 120 * 40, "{} steps", following.steps());
    let text = csv(2, &[]);
    let notes = RainRecord::new(text.as_bytes(), &RecordOptions::default()).unwrap().notes().clone();
    let result = following.finish(notes);
    let store = &system.stores[network.basin];
    let live = store.volume_at(station.lead.on) - store.volume_at(station.lead.off);
    // between two runs the basin fills from where the line has run back to, with the pump at rest
    let rest = (live - station.drain_back) / inflow;
    let whole = &result.whole;
    let time = rest.s() * whole.starts as f64 + whole.runs.s();
    assert_relative_eq!(time, whole.time.s(), epsilon = 2.0 * rest.s(), max_relative = 1e-6);
    // run = V / (Qp - Qin), the pump half-way between its floats: section 5 of docs/method.md
    let half_way = site.basin.level((site.basin.off + site.basin.on) / 2.0);
    let cycle = rest + live / (station.first.flow(half_way) - inflow);
    assert_relative_eq!(whole.starts as f64, whole.time / cycle, max_relative = 5e-3);
    assert_relative_eq!(whole.pumped.m3(), (inflow * whole.time).m3(), max_relative = 1e-5);
    assert!(result.balance.left_over.abs() < 1e-9);
    assert_eq!((whole.events, result.since_rain), (0, None));
    assert_eq!(result.longest_dry, (whole.time, day(0)));
}

#[test]
fn identity_twice_the_record_is_twice_the_sums() {
    let site = site_of(CUT_BANK);
    let once = run(&site, &csv(60, &storms()));
    let later = storms().into_iter().map(|(at, rain)| (at + 60 * 1440, rain));
    let twice = run(&site, &csv(120, &storms().into_iter().chain(later).collect::<Vec<_>>()));
    let (one, two) = (&once.whole, &twice.whole);
    for (one, two) in [
        (one.rain.m(), two.rain.m()),
        (one.runoff.m3(), two.runoff.m3()),
        (one.pumped.m3(), two.pumped.m3()),
        (one.runs.s(), two.runs.s()),
        (one.starts as f64, two.starts as f64),
        (one.energy_kwh().unwrap(), two.energy_kwh().unwrap()),
        (one.stood.s(), two.stood.s()),
    ] {
        assert_relative_eq!(two, 2.0 * one, max_relative = 5e-3);
    }
    assert_eq!((two.events, two.events_stood), (2 * one.events, 2 * one.events_stood));
    assert!(one.events_stood > 0);
    assert_relative_eq!(two.deepest.m(), one.deepest.m(), epsilon = 5e-4);
    // the same bytes in, the same result out
    assert_eq!(once, run(&site, &csv(60, &storms())));
}

#[test]
fn identity_the_goal_is_counted_by_event() {
    let mut site = site_of(CUT_BANK);
    let free = run(&site, &csv(60, &storms()));
    let deepest: Vec<f64> = free.largest.iter().map(|event| event.deepest.m()).collect();
    // between the second and the third
    site.goal.standing_water = Some(Length::from_m(f64::midpoint(deepest[1], deepest[2])));
    site.goal.clear_within = Some(Duration::from_min(1.0));
    let result = run(&site, &csv(60, &storms()));
    assert_eq!(result.goal.depth_missed, 2);
    assert_eq!(result.goal.deepest.as_ref().unwrap(), &result.largest[0]);
    let long = result.largest.iter().filter(|event| event.stands > Duration::from_min(1.0)).count() as u64;
    assert_eq!(result.goal.clear_missed, long);
    assert!(long > 0);
    let settings = RecordSettings { events: 2, ..RecordSettings::default() };
    let design = design(&site).unwrap();
    let text = csv(60, &storms());
    let record = RainRecord::new(text.as_bytes(), &RecordOptions::default()).unwrap();
    let two = run_record(&site, &design, record, &settings, &mut |_| true).unwrap();
    assert_eq!(two.largest[..], result.largest[..2]);
}

#[test]
fn identity_told_to_stop_it_says_how_far_it_came() {
    let site = site_of(CUT_BANK);
    let design = design(&site).unwrap();
    let text = csv(900, &storms());
    let record = RainRecord::new(text.as_bytes(), &RecordOptions::default()).unwrap();
    let stopped = run_record(&site, &design, record, &RecordSettings::default(), &mut |_| false);
    match stopped {
        Err(RecordRunError::Interrupted { progress }) => {
            assert!(progress.bytes > 0 && progress.reached >= day(0), "{progress:?}");
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn identity_missing_time_is_dry_and_told() {
    let site = site_of(CUT_BANK);
    let whole = csv(30, &[]);
    // two days are cut out of the middle
    let kept: Vec<&str> =
        whole.lines().filter(|line| !(line.starts_with("2001-01-15") || line.starts_with("2001-01-16"))).collect();
    let result = run(&site, &(kept.join("\n") + "\n"));
    // the row after a gap falls within one step
    assert_relative_eq!(result.whole.missing.day(), 2.0, max_relative = 1e-9, epsilon = 0.0);
    assert_eq!(result.years[0].tally.missing, result.whole.missing);
    assert_eq!(result.notes.missing_time, result.whole.missing);
    assert_relative_eq!(result.whole.time.day(), 30.0, max_relative = 1e-12);
}
