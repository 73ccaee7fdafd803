//! The months of a rain record as rows for spreadsheets.

use crate::quantity::UnitSystem;
use crate::questions::record::RecordResult;

/// Months as rows of CSV; units stand in the names of the columns and are the same in every row.
pub fn record_csv(result: &RecordResult) -> String {
    let us = result.units == UnitSystem::Us;
    let names = if us {
        "year,month,hours,missing_h,rain_in,runoff_gal,came_gal,pumped_gal,spilled_gal,starts,run_h,energy_kwh,events,\
         events_with_standing_water,stood_h,deepest_in\n"
    } else {
        "year,month,hours,missing_h,rain_mm,runoff_m3,came_m3,pumped_m3,spilled_m3,starts,run_h,energy_kwh,events,\
         events_with_standing_water,stood_h,deepest_mm\n"
    };
    let mut text = names.to_owned();
    for month in &result.months {
        let tally = &month.tally;
        let rain = if us { tally.rain.inch() } else { tally.rain.mm() };
        let deepest = if us { tally.deepest.inch() } else { tally.deepest.mm() };
        let volumes = [tally.runoff, tally.came, tally.pumped, tally.spilled]
            .map(|volume| if us { format!("{:.1}", volume.gal()) } else { format!("{:.4}", volume.m3()) })
            .join(",");
        let energy = tally.energy_kwh().map_or_else(String::new, |energy| format!("{energy:.3}"));
        let row = format!(
            "{},{},{:.3},{:.3},{rain:.4},{volumes},{},{:.3},{energy},{},{},{:.3},{deepest:.2}\n",
            month.year,
            month.month,
            tally.time.h(),
            tally.missing.h(),
            tally.starts,
            tally.runs.h(),
            tally.events,
            tally.events_stood,
            tally.stood.h(),
        );
        text.push_str(&row);
    }
    text
}
