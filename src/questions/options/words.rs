//! What is said of sets, in words that text and JSON share.

use super::cost::{Costing, Energy, Priced};
use super::lists::UnusedPrice;
use super::result::{Options, Tried};
use crate::basin::Plan;
use crate::quantity::{Amount, Length, UnitSystem, Volume};

/// A basin by its inside: `24 in`, `36 x 24 in`.
pub fn across(plan: Plan, units: UnitSystem) -> String {
    match plan {
        Plan::Round(across) => Amount::small(across).show(units),
        Plan::Rectangular(length, width) => {
            let (length, width) = (Amount::small(length).show(units), Amount::small(width).show(units));
            let number = length.split_once(' ').map_or(length.as_str(), |(number, _)| number);
            format!("{number} x {width}")
        }
    }
}

/// The floats: `off 8 in, on 26 in`.
pub fn floats_words(off: Length, on: Length, units: UnitSystem) -> String {
    format!("off {}, on {}", Amount::small(off).show(units), Amount::small(on).show(units))
}

/// A set in words.
pub fn set_words(set: &Tried, units: UnitSystem) -> String {
    format!(
        "`{}` on {} with a {} basin, {}",
        set.pump,
        set.pipe,
        across(set.basin, units),
        floats_words(set.off, set.on, units)
    )
}

/// How it is reckoned, in sentences.
pub fn said(options: &Options) -> Vec<String> {
    let mut said = vec![
        "To spare: what the design storm leaves of the depth or time allowed, or the pump of the flow asked for, whichever is least."
            .to_owned(),
        "The share of the peak: how much of the peak inflow is pumped; `--format csv` has it for each set.".to_owned(),
        "Starts: of each pump in an hour, at the inflow that makes it start most often.".to_owned(),
    ];
    if let Some(riser) = &options.riser {
        said.push(format!(
            "The riser, with valve and fittings in it, stays as drawn: {riser}, whatever the size of the runs."
        ));
    }
    if !options.costing.counts_money() {
        said.push(
            "The best is the set with most to spare; of those alike to the percent that which pumps more of the peak, and of those alike in that too the smaller."
                .to_owned(),
        );
    }
    said.extend(cost(&options.costing, options.units));
    said.extend(unused(&options.unused_prices));
    if let Some(why) = &options.not_followed {
        said.push(format!("No storm is followed: {why}."));
    }
    if !options.carried.is_empty() {
        said.push(format!("{}.", options.carried.join("; ")));
    }
    said
}

/// Prices that belong to nothing that was tried.
fn unused(prices: &[UnusedPrice]) -> Vec<String> {
    let of = |pipe: bool| -> Vec<String> {
        let these = prices.iter().filter(|price| price.of_pipe == pipe);
        these.map(|price| format!("`{}`", price.size)).collect()
    };
    let pipes = of(true);
    let basins = of(false);
    let pipes = (!pipes.is_empty()).then(|| {
        format!(
            "Prices of pipe that are not used: {}. The runs' material is not made in that size, or it is none of the sizes tried.",
            pipes.join(", ")
        )
    });
    let basins = (!basins.is_empty()).then(|| {
        format!("Prices of basins that are not used: {}. None of the basins tried is so wide.", basins.join(", "))
    });
    pipes.into_iter().chain(basins).collect()
}

fn cost(costing: &Costing, units: UnitSystem) -> Vec<String> {
    let parts =
        [("pumps", "strength", &costing.pumps), ("pipe", "bore", &costing.pipes), ("basins", "width", &costing.basins)];
    let counted: Vec<&str> =
        parts.iter().filter(|(_, _, priced)| **priced == Priced::Yes).map(|(name, ..)| *name).collect();
    let mut said = Vec::new();
    if !counted.is_empty() {
        said.push(format!("Materials: {} as priced. What all sets share is left out; digging and labour are in it where your prices hold them.", listed(&counted)));
    }
    for (name, size, priced) in parts {
        if let Priced::No(without) = priced {
            let shown: Vec<&str> = without.iter().take(4).map(String::as_str).collect();
            let more = if without.len() > shown.len() { ", …" } else { "" };
            said.push(format!("No price for {name} ({}{more}): less {size} is held to be better.", shown.join(", ")));
        }
    }
    said.push(match &costing.energy {
        Energy::LeftOut(why) => format!("Energy is left out: {why}."),
        Energy::Counted { steady, rain, wet_months, months_entered } => {
            let show = |volume: Volume| Amount::of(volume).show(units);
            let rain = rain.map_or_else(
                || "no rain, for want of `prices.rain_per_year`".to_owned(),
                |rain| format!("{} of rain by the storm's coefficients, on the high side", show(rain)),
            );
            let months = if *months_entered {
                format!("groundwater for {wet_months} months")
            } else {
                "groundwater all year, on the high side (`prices.wet_months`)".to_owned()
            };
            let steady = if steady.m3() > 0.0 {
                format!("{} of steady water ({months}) and ", show(*steady))
            } else {
                String::new()
            };
            format!("Energy of {}: {steady}{rain}, each year.", years(costing.years))
        }
    });
    said
}

/// So many years.
pub(super) fn years(years: u32) -> String {
    if years == 1 { "1 year".to_owned() } else { format!("{years} years") }
}

fn listed(words: &[&str]) -> String {
    match words.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => words.concat(),
    }
}
