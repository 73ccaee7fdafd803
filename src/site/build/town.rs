//! What the town allows, and where the outlet lies.

use crate::catalog;
use crate::site::model::ENDS;
use crate::site::tree::{Node, Value};
use crate::site::{LocalRules, OutletPlace};

pub(super) fn local_rules(root: &Node) -> LocalRules {
    let Some(node) = root.node("local_rules") else { return LocalRules::default() };
    let words = |value: &Value| match value {
        Value::Words(words) => Some(words.clone()),
        _ => None,
    };
    let said = |name: &str| node.text(name).filter(|text| !text.trim().is_empty());
    LocalRules {
        lot_line_distance: node.quantity("lot_line_distance"),
        house_distance: node.quantity("house_distance"),
        walk_distance: node.quantity("walk_distance"),
        allowed_outlets: node.several("allowed_outlets").iter().filter_map(|(value, _)| words(value)).collect(),
        permit: said("permit"),
        winter: said("winter"),
        read_in: said("read_in"),
        office: said("office"),
    }
}

pub(super) fn outlet_place(root: &Node) -> OutletPlace {
    let outlet = root.node("discharge").and_then(|discharge| discharge.node("outlet"));
    let Some(node) = outlet else { return OutletPlace::default() };
    OutletPlace {
        ends_in: node.text("ends_in").or_else(|| by_kind(node.words("kind")?)),
        to_lot_line: node.quantity("to_lot_line"),
        to_house: node.quantity("to_house"),
        to_walk: node.quantity("to_walk"),
    }
}

/// Where an outlet of a kind ends, where the kind says so.
fn by_kind(kind: &str) -> Option<String> {
    let word = kind.trim().to_lowercase();
    let of_table = catalog::outlet(kind).map(|known| known.kind);
    ENDS.iter().find(|end| **end == word || of_table == Some(**end)).map(|end| (*end).to_owned())
}
