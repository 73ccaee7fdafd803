//! The `record` command: a rain record through a site.

use super::arguments::{Dates, Kind, RecordArguments, RecordFormat, Stamp, Unit};
use super::progress::Bar;
use super::{Ending, Said, commands, input, interrupt};
use crate::design::design;
use crate::hydrology::{DateOrder, RainKind, RainRecord, RainUnit, RecordError, RecordOptions, StampConvention};
use crate::questions::record::{RecordResult, RecordRunError, RecordSettings, run_record};
use crate::report::layout::paragraph;
use crate::report::{json, record_table, text};
use std::fs::File;
use std::io::Read;
use std::path::Path;

/// A record that can be read, and its size where it has one.
type Opened = (Box<dyn Read + Send>, Option<u64>);

pub(super) fn record(options: &RecordArguments) -> Said {
    let error = |text: String, ending| Said::err(format!("error: {text}\n"), ending);
    if options.file.as_os_str() == "-" && options.record.as_os_str() == "-" {
        return error("the site file and the record cannot both come from standard input".to_owned(), Ending::BadInput);
    }
    // before hours of work, not after
    if let Err(refused) = options.delivery.check(&[&options.file, &options.record]) {
        return refused;
    }
    let (mut site, said) = match commands::read(&options.file) {
        Ok(read) => read,
        Err(said) => return said,
    };
    options.delivery.units_of(&mut site);
    let failed = |text: String, ending| Said::err(format!("{said}error: {text}\n"), ending);
    let design = match design(&site) {
        Ok(design) => design,
        Err(wrong) => return failed(wrong.to_string(), Ending::BadInput),
    };
    let (reader, size) = match open(&options.record) {
        Ok(opened) => opened,
        Err((text, ending)) => return failed(text, ending),
    };
    let name = input::shown(&options.record);
    interrupt::run_begins(size);
    let record = match RainRecord::new(reader, &record_options(options)) {
        Ok(record) => record,
        Err(wrong) => return Said::err(format!("{said}{}", explained(&name, &wrong)), ending(&wrong)),
    };
    let settings =
        RecordSettings { pause: options.gap, events: usize::from(options.events), ..RecordSettings::default() };
    let mut bar = Bar::new(size);
    let run = run_record(&site, &design, record, &settings, &mut |progress| {
        bar.show(progress);
        interrupt::may_go_on(progress)
    });
    bar.clear();
    if interrupt::run_ends() {
        return Said::err(format!("{said}{}", interrupt::said()), Ending::Interrupted);
    }
    let result = match run {
        Ok(result) => result,
        Err(RecordRunError::Interrupted { .. }) => {
            return Said::err(format!("{said}{}", interrupt::said()), Ending::Interrupted);
        }
        Err(RecordRunError::Record(wrong)) => {
            return Said::err(format!("{said}{}", explained(&name, &wrong)), ending(&wrong));
        }
        Err(wrong) => return failed(wrong.to_string(), Ending::BadInput),
    };
    let out = rendered(&result, options.format);
    options.delivery.deliver(out, said, Ending::Fine)
}

fn rendered(result: &RecordResult, format: RecordFormat) -> String {
    match format {
        RecordFormat::Text => text::record_report(result),
        RecordFormat::Json => json::record_json(result),
        RecordFormat::Csv => record_table::record_csv(result),
    }
}

fn open(path: &Path) -> Result<Opened, (String, Ending)> {
    if path.as_os_str() == "-" {
        return Ok((Box::new(std::io::stdin()), None));
    }
    let unreadable = |cause: String| (format!("`{}` could not be read: {cause}", path.display()), Ending::BadFile);
    let file = File::open(path).map_err(|error| unreadable(input::plain(&error)))?;
    let data = file.metadata().map_err(|error| unreadable(input::plain(&error)))?;
    if data.is_dir() {
        return Err(unreadable("it is a directory".to_owned()));
    }
    let size = data.is_file().then_some(data.len());
    Ok((Box::new(file), size))
}

fn record_options(options: &RecordArguments) -> RecordOptions {
    RecordOptions {
        time_column: options.time.clone(),
        rain_column: options.rain.clone(),
        kind: options.kind.map(|kind| match kind {
            Kind::Depth => RainKind::Depth,
            Kind::Intensity => RainKind::Intensity,
            Kind::RunningTotal => RainKind::Cumulative,
        }),
        unit: options.unit.map(|unit| match unit {
            Unit::In => RainUnit::Inch,
            Unit::Mm => RainUnit::Millimetre,
            Unit::HundredthIn => RainUnit::HundredthInch,
            Unit::TenthMm => RainUnit::TenthMillimetre,
        }),
        step: options.step,
        longest_gap: options.longest_gap,
        convention: options.stamp.map(|stamp| match stamp {
            Stamp::Starts => StampConvention::IntervalStarts,
            Stamp::Ends => StampConvention::IntervalEnds,
        }),
        date_order: options.dates.map(|dates| match dates {
            Dates::MonthFirst => DateOrder::MonthFirst,
            Dates::DayFirst => DateOrder::DayFirst,
        }),
        station: options.station.clone(),
        wet_rows_only: options.wet_rows_only.then_some(true),
        highest_intensity: options.highest,
    }
}

fn ending(error: &RecordError) -> Ending {
    if matches!(error, RecordError::Io { .. }) { Ending::BadFile } else { Ending::BadInput }
}

/// What is wrong with a record, and the option that helps.
fn explained(name: &str, error: &RecordError) -> String {
    let help = match error {
        RecordError::NoHeader { .. } => "--time 1 --rain 2, with the columns' numbers",
        RecordError::NoTimeColumn { .. } | RecordError::SeveralTimeColumns { .. } => "--time COLUMN",
        RecordError::NoRainColumn { .. } | RecordError::SeveralRainColumns { .. } => "--rain COLUMN",
        RecordError::SeveralStations { .. } => "--station COLUMN=VALUE",
        RecordError::UnitUnknown { .. } => "--unit in, mm, 0.01in or 0.1mm",
        RecordError::KindUnclear { .. } => "--kind depth or --kind running-total",
        RecordError::DateOrderUnclear { .. } => "--dates month-first or --dates day-first",
        RecordError::StepUnknown => "--step TIME, as --step \"5 min\"",
        RecordError::ManyGaps { .. } => "--wet-rows-only, or --longest-gap TIME",
        RecordError::UnitDoubtful { .. } | RecordError::TotalDoubtful { .. } => {
            "--unit, --kind, or --highest INTENSITY if it did rain so hard"
        }
        _ => return paragraph(&format!("error: {name}: {error}")),
    };
    format!("{}{}", paragraph(&format!("error: {name}: {error}")), paragraph(&format!("help: {help}")))
}
