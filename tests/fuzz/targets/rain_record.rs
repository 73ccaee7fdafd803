//! Any bytes as a rain record: its spans, and a short one through a yard. A first line of `#` and words chooses options.
#![no_main]

use libfuzzer_sys::{fuzz_mutator, fuzz_target};
use std::io::Read;
use std::sync::OnceLock;
use sumpwright::design::{Design, design};
use sumpwright::hydrology::{DateOrder, RainKind, RainRecord, RainUnit, RecordOptions, Span, StampConvention};
use sumpwright::quantity::{Duration, Intensity};
use sumpwright::questions::record::{RecordSettings, run_record};
use sumpwright::report::{json, record_table, text};
use sumpwright::site::{NoFiles, Site, read};
use sumpwright_fuzz::{assert_cells, assert_json, assert_numbers, assert_plain, mutate, within_limits};

/// Following a record takes as long as it rains in it; longer ones are only read.
const LONGEST_FOLLOWED: Duration = Duration::from_day(30.0);
const MOST_FOLLOWED: usize = 400;

fn options(data: &[u8]) -> RecordOptions {
    let mut options = RecordOptions::default();
    let first = data.split(|byte| *byte == b'\n').next().unwrap_or_default();
    let Some(words) = std::str::from_utf8(first).ok().and_then(|line| line.strip_prefix('#')) else { return options };
    for word in words.split_whitespace().take(20) {
        match word {
            "depth" => options.kind = Some(RainKind::Depth),
            "intensity" => options.kind = Some(RainKind::Intensity),
            "total" => options.kind = Some(RainKind::Cumulative),
            "in" => options.unit = Some(RainUnit::Inch),
            "mm" => options.unit = Some(RainUnit::Millimetre),
            "0.01in" => options.unit = Some(RainUnit::HundredthInch),
            "0.1mm" => options.unit = Some(RainUnit::TenthMillimetre),
            "starts" => options.convention = Some(StampConvention::IntervalStarts),
            "ends" => options.convention = Some(StampConvention::IntervalEnds),
            "month" => options.date_order = Some(DateOrder::MonthFirst),
            "day" => options.date_order = Some(DateOrder::DayFirst),
            "wet" => options.wet_rows_only = Some(true),
            "all" => options.wet_rows_only = Some(false),
            "step" => options.step = Some(Duration::from_min(5.0)),
            "gap" => options.longest_gap = Some(Duration::from_h(3.0)),
            "high" => options.highest_intensity = Some(Intensity::from_mmh(300.0)),
            word => {
                if let Some(column) = word.strip_prefix("time=") {
                    options.time_column = Some(column.to_owned());
                } else if let Some(column) = word.strip_prefix("rain=") {
                    options.rain_column = Some(column.to_owned());
                } else if word.contains('=') {
                    options.station = word.split_once('=').map(|(name, value)| (name.to_owned(), value.to_owned()));
                }
            }
        }
    }
    options
}

/// Bytes given out few at a time.
struct Slowly<'t>(&'t [u8]);

impl Read for Slowly<'_> {
    fn read(&mut self, buffer: &mut [u8]) -> std::io::Result<usize> {
        let count = buffer.len().min(self.0.len()).min(997);
        let (given, kept) = self.0.split_at(count);
        buffer[..count].copy_from_slice(given);
        self.0 = kept;
        Ok(count)
    }
}

fn spans(reader: impl Read, options: &RecordOptions, input: &str) -> Result<(Vec<Span>, String), String> {
    let mut record = RainRecord::new(reader, options).map_err(|error| error.to_string())?;
    let mut spans = Vec::new();
    while let Some(span) = record.next_span().map_err(|error| error.to_string())? {
        assert!(span.start < span.end, "{span:?} takes no time");
        let depth = span.depth().m();
        assert!(depth.is_finite() && depth >= 0.0, "{span:?}");
        if let Some(last) = spans.last() {
            let last: &Span = last;
            assert_eq!(last.end, span.start, "spans that do not follow on each other");
        }
        spans.push(span);
    }
    let notes = record.notes();
    let skipped: u64 = notes.skipped.iter().map(|skipped| skipped.count).sum();
    assert!(notes.used + skipped <= notes.rows && notes.wet_rows <= notes.used, "{notes:?}");
    let sum: f64 = spans.iter().map(|span| span.depth().m()).sum();
    let total = notes.total_depth.m();
    assert!((sum - total).abs() <= 1e-9 * total.max(1e-3), "{sum} m in spans, {total} m in all\n{input}");
    Ok((spans, format!("{notes:?}")))
}

fn yard() -> &'static (Site, Design) {
    static YARD: OnceLock<(Site, Design)> = OnceLock::new();
    YARD.get_or_init(|| {
        let site = read(include_str!("../../../examples/courtyard-metric.toml"), &NoFiles).site.expect("a site");
        let design = design(&site).expect("a design");
        (site, design)
    })
}

fuzz_target!(|data: &[u8]| {
    let (site, design) = yard();
    within_limits(|| {
        let input = String::from_utf8_lossy(data);
        let options = options(data);
        let read = spans(data, &options, &input);
        assert_eq!(read, spans(Slowly(data), &options, &input), "what is read hangs on how the bytes come");
        let (spans, _) = match &read {
            Ok(read) => read,
            Err(error) => {
                assert_plain(error, "an error");
                assert_numbers(error, &input, "an error");
                return;
            }
        };
        let (Some(first), Some(last)) = (spans.first(), spans.last()) else { return };
        if last.end - first.start > LONGEST_FOLLOWED || spans.len() > MOST_FOLLOWED {
            return;
        }
        let record = RainRecord::new(data, &options).expect("read before");
        let Ok(result) = run_record(site, design, record, &RecordSettings::default(), &mut |_| true) else { return };
        let report = text::record_report(&result);
        assert_plain(&report, "the report of a record");
        assert_numbers(&report, &input, "the report of a record");
        assert_json(&json::record_json(&result), "the JSON of a record");
        assert_cells(&record_table::record_csv(&result), "the CSV of a record");
    });
});

fuzz_mutator!(|data: &mut [u8], size: usize, max_size: usize, seed: u32| { mutate::cells(data, size, max_size, seed) });
