//! What may be chosen between, and what it costs.

use super::takeoff::{goods, one_of_two};
use crate::quantity::{Length, read};
use crate::site::tree::{Node, Value};
use crate::site::walk::Reader;
use crate::site::{Prices, ToChooseFrom};

pub(super) fn to_choose_from(reader: &mut Reader<'_>, root: &Node) -> ToChooseFrom {
    let prices = root.node("prices").map(|node| prices(reader, node)).unwrap_or_default();
    let Some(node) = root.node("options") else { return ToChooseFrom { prices, ..ToChooseFrom::default() } };
    let words = |value: &Value| match value {
        Value::Words(words) => Some(words.clone()),
        _ => None,
    };
    let lengths = |name: &str| {
        let length = |value: &Value| match value {
            Value::Si(metres) => Some(Length::from_m(*metres)),
            _ => None,
        };
        node.several(name).iter().filter_map(|(value, _)| length(value)).collect()
    };
    ToChooseFrom {
        pipes: node.several("pipes").iter().filter_map(|(value, _)| words(value)).collect(),
        basins: lengths("basins"),
        off: lengths("off"),
        on: lengths("on"),
        prices,
    }
}

/// The prices.
pub(in crate::site) fn prices(reader: &mut Reader<'_>, node: &Node) -> Prices {
    let by_size = |reader: &mut Reader<'_>, foot: &str, metre: &str, what: &str| -> Vec<(String, f64)> {
        one_of_two(reader, node, (foot, metre), &format!("{what} has prices by the foot and by the metre"));
        let (money, unit) = match node.money(foot) {
            [] => (node.money(metre), Length::from_m(1.0)),
            money => (money, Length::from_ft(1.0)),
        };
        money.iter().map(|(size, price, _)| (size.clone(), price / unit.m())).collect()
    };
    let named = |key: &str| node.money(key).iter().map(|(name, price, _)| (name.clone(), *price)).collect();
    Prices {
        pipe_per_m: by_size(reader, "pipe_per_ft", "pipe_per_m", "the pipe"),
        drain_pipe_per_m: by_size(reader, "drain_pipe_per_ft", "drain_pipe_per_m", "the drain pipe"),
        french_pipe_per_m: by_size(reader, "french_pipe_per_ft", "french_pipe_per_m", "the French-drain pipe"),
        // the names were read once to be checked
        basin: node
            .money("basin")
            .iter()
            .filter_map(|(across, price, _)| Some((read::<Length>(across).ok()?, *price)))
            .collect(),
        energy_per_kwh: node.number("energy_per_kWh"),
        rain_per_year: node.quantity("rain_per_year"),
        wet_months: node.number("wet_months"),
        fittings: named("fittings"),
        pumps: named("pumps"),
        goods: goods(reader, node),
        lump_sums: named("lump_sums"),
        currency: node.text("currency").filter(|currency| !currency.is_empty()),
    }
}
