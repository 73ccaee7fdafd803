//! What the design is held to: entered, or built in.

use crate::catalog::{Row, default_limits};
use crate::quantity::Measure;
use crate::site::tree::Node;
use crate::site::{Conditions, Limit, Limits};

const ENTERED: &str = "entered in [limits]";

pub(super) fn limits(node: &Node) -> Limits {
    let built_in = default_limits();
    Limits {
        least_velocity: quantity(node, "least_velocity", &built_in.least_velocity),
        greatest_velocity: quantity(node, "greatest_velocity", &built_in.greatest_velocity),
        least_run: quantity(node, "least_run", &built_in.least_run),
        most_starts_per_hour: number(node, "most_starts_per_hour", &built_in.most_starts_per_hour),
        greatest_leak: number(node, "greatest_leak", &built_in.greatest_leak),
        greatest_loss_share: number(node, "greatest_loss_share", &built_in.greatest_loss_share),
        shut_off_margin: number(node, "shut_off_margin", &built_in.shut_off_margin),
        least_cover: quantity(node, "least_cover", &built_in.least_cover),
        least_cover_walk: quantity(node, "least_cover_walk", &built_in.least_cover_walk),
        least_cover_drive: quantity(node, "least_cover_drive", &built_in.least_cover_drive),
        greatest_vacuum: quantity(node, "greatest_vacuum", &built_in.greatest_vacuum),
        greatest_voltage_drop: number(node, "greatest_voltage_drop", &built_in.greatest_voltage_drop),
        greatest_starting_drop: number(node, "greatest_starting_drop", &built_in.greatest_starting_drop),
        flotation_safety: number(node, "flotation_safety", &built_in.flotation_safety),
        least_drain_velocity: quantity(node, "least_drain_velocity", &built_in.least_drain_velocity),
        film: quantity(node, "film", &built_in.film),
    }
}

/// What the table of other conditions takes: entered, or built in.
pub(super) fn conditions(node: &Node) -> Conditions {
    let built_in = default_limits();
    let mut conditions = Conditions {
        cold_water: quantity(node, "cold_water", &built_in.cold_water),
        aged_friction: number(node, "aged_friction", &built_in.aged_friction),
        aged_roughness: quantity(node, "aged_roughness", &built_in.aged_roughness),
    };
    let in_conditions = |source: &mut String| {
        if source == ENTERED {
            "entered in [conditions]".clone_into(source);
        }
    };
    in_conditions(&mut conditions.cold_water.source);
    in_conditions(&mut conditions.aged_friction.source);
    in_conditions(&mut conditions.aged_roughness.source);
    conditions
}

fn quantity<Q: Measure<f64>>(node: &Node, name: &str, built_in: &Row<Q>) -> Limit<Q> {
    limit(node.quantity(name), built_in)
}

fn number(node: &Node, name: &str, built_in: &Row<f64>) -> Limit<f64> {
    limit(node.number(name), built_in)
}

fn limit<Q: Copy>(entered: Option<Q>, built_in: &Row<Q>) -> Limit<Q> {
    entered.map_or_else(
        || Limit { value: built_in.value, source: built_in.source.to_owned() },
        |value| Limit { value, source: ENTERED.to_owned() },
    )
}
