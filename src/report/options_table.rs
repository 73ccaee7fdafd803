//! The sets tried as CSV, and figures as text and CSV print them.

use super::storm_table::ColumnUnits;
use crate::quantity::{Length, UnitSystem};
use crate::questions::options::{Options, Tried, across, as_printed};

/// An amount of money, without decimals where it has none or is large.
pub(crate) fn money(amount: f64) -> String {
    let amount = as_printed(amount);
    if (amount - libm::round(amount)).abs() < 0.005 { format!("{amount:.0}") } else { format!("{amount:.2}") }
}

/// A whole percentage.
pub(crate) fn percent(whole: i64) -> String {
    format!("{whole} %")
}

/// Every set tried: one line a set, units in the heads.
pub fn options_csv(options: &Options) -> String {
    let units = ColumnUnits::new(options.units);
    let depth = units.depth(Length::ZERO).unit;
    let mut writer = csv::Writer::from_writer(Vec::new());
    let heads = [
        "choice".to_owned(),
        "as drawn".to_owned(),
        "holds".to_owned(),
        "pump".to_owned(),
        "runs".to_owned(),
        "basin".to_owned(),
        format!("off ({depth})"),
        format!("on ({depth})"),
        "materials that differ".to_owned(),
        format!("energy of {} years", options.costing.years),
        "cost".to_owned(),
        "to spare (%)".to_owned(),
        "to spare of".to_owned(),
        "share of peak pumped (%)".to_owned(),
        "starts an hour".to_owned(),
        format!("deepest water ({depth})"),
        "stands (min)".to_owned(),
        "stops".to_owned(),
    ];
    // writing to memory cannot fail, and all lines have as many cells as there are heads
    let _ = writer.write_record(&heads);
    for set in &options.tried {
        let _ = writer.write_record(cells(set, units, options.units));
    }
    writer.into_inner().map_or_else(|_| String::new(), |bytes| String::from_utf8_lossy(&bytes).into_owned())
}

fn cells(set: &Tried, units: ColumnUnits, system: UnitSystem) -> Vec<String> {
    let yes = |is_so: bool| if is_so { "yes" } else { "no" }.to_owned();
    let two = |value: Option<f64>| value.map_or_else(String::new, |value| format!("{value:.2}"));
    let stops: Vec<&str> = match &set.cannot {
        Some(_) => vec!["cannot-be-built"],
        None => set.against().map(|(id, _)| id).collect(),
    };
    vec![
        set.choice.map_or_else(String::new, |choice| choice.to_string()),
        yes(set.drawn),
        yes(set.holds()),
        set.pump.clone(),
        set.pipe.clone(),
        across(set.basin, system),
        units.depth(set.off).long(),
        units.depth(set.on).long(),
        two(set.materials),
        two(set.energy),
        two(set.cost()),
        set.spare.map_or_else(String::new, |spare| spare.percent().to_string()),
        set.spare.map_or_else(String::new, |spare| spare.of.words().to_owned()),
        two(set.pumped_share.map(|share| share * 100.0)),
        two(set.starts_per_hour),
        set.depth.map_or_else(String::new, |depth| units.depth(depth).long()),
        set.stands.map_or_else(String::new, |time| units.minutes(time).long()),
        stops.join("; "),
    ]
}
