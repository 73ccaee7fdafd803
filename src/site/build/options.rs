//! What may be chosen between, and what it costs.

use crate::quantity::{Length, read};
use crate::site::problem::{Problem, ProblemKind};
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

fn prices(reader: &mut Reader<'_>, node: &Node) -> Prices {
    let (foot, metre) = (node.money("pipe_per_ft"), node.money("pipe_per_m"));
    if !foot.is_empty() && !metre.is_empty() {
        let problem = Problem::error(
            ProblemKind::Conflict,
            node.place_of("pipe_per_m"),
            "the pipe has prices by the foot and by the metre".to_owned(),
        )
        .label("one of the two is enough")
        .also(node.at("pipe_per_ft"), "the other")
        .help("keep one of them");
        reader.say(problem);
    }
    let pipe = |money: &[(String, f64, _)], unit: Length| -> Vec<(String, f64)> {
        money.iter().map(|(size, price, _)| (size.clone(), price / unit.m())).collect()
    };
    Prices {
        pipe_per_m: if foot.is_empty() { pipe(metre, Length::from_m(1.0)) } else { pipe(foot, Length::from_ft(1.0)) },
        // the names were read once to be checked
        basin: node
            .money("basin")
            .iter()
            .filter_map(|(across, price, _)| Some((read::<Length>(across).ok()?, *price)))
            .collect(),
        energy_per_kwh: node.number("energy_per_kWh"),
        rain_per_year: node.quantity("rain_per_year"),
        wet_months: node.number("wet_months"),
    }
}
