//! A price list: `[prices]` and `[takeoff]` in a file of their own, that serves many sites.

use super::build;
use super::foreign;
use super::keys::PRICE_LIST;
use super::problem::Problem;
use super::syntax::Parsed;
use super::walk::Reader;
use super::{Prices, TakeoffTerms, placed};
use crate::quantity::UnitSystem;
use toml::de::DeTable;

/// What came of reading a price list.
#[derive(Clone, Debug)]
pub struct PriceList {
    /// Its `[prices]`, where it has them and no error stands.
    pub prices: Option<Prices>,
    /// Its `[takeoff]`, likewise.
    pub takeoff: Option<TakeoffTerms>,
    /// Every problem, in the order of the text.
    pub problems: Vec<Problem>,
}

/// Reads a price list, whose messages and usual sizes go by a system of units.
///
/// Any text gives a list. All problems are found in one run.
pub fn price_list(text: &str, units: UnitSystem) -> PriceList {
    if let Some(problem) = foreign::foreign(text) {
        return PriceList { prices: None, takeoff: None, problems: vec![problem] };
    }
    let (table, errors) = DeTable::parse_recoverable(text);
    let parsed = if errors.is_empty() { Parsed::clean() } else { Parsed::of(text) };
    let table = if parsed.is_clean() { table } else { DeTable::parse_recoverable(&parsed.text).0 };
    let mut reader = Reader::new(if parsed.is_clean() { text } else { &parsed.text }, &parsed.lost);
    reader.units = units;
    let root = reader.table("", PRICE_LIST, table.get_ref(), 0..0);
    build::format(&mut reader, &root);
    let prices = root.node("prices").map(|node| build::prices(&mut reader, node));
    let takeoff = root.node("takeoff").map(|node| build::terms(&mut reader, Some(node)));
    let problems = placed(text, &parsed, reader.problems);
    let failed = problems.iter().any(Problem::is_error);
    PriceList { prices: prices.filter(|_| !failed), takeoff: takeoff.filter(|_| !failed), problems }
}
