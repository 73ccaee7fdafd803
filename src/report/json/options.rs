//! The sets tried, for programs.

use super::Maker;
use super::wire::FORMAT;
use super::wire::options::{FloatsOut, ListsOut, OptionsOut, PricedOut, ReasonOut, SetOut, StopOut};
use crate::quantity::{Amount, UnitSystem};
use crate::questions::options::{Options, Tried, across, said};

/// The sets tried as text, two spaces of indent, a line break at its end.
pub fn options_json(options: &Options) -> String {
    // wire types hold nothing that JSON cannot
    let mut text = serde_json::to_string_pretty(&options_answer(options)).unwrap_or_default();
    text.push('\n');
    text
}

/// The sets tried.
pub fn options_answer(options: &Options) -> OptionsOut {
    let to = Maker { units: options.units };
    let lists = &options.lists;
    let priced = |name: &str, price: Option<f64>| PricedOut { name: name.to_owned(), price };
    let set = |index: &usize| options.tried.get(*index).map(|set| to.set(set));
    let holding = |set: &&Tried| set.listed && set.holds();
    OptionsOut {
        format: FORMAT,
        kind: "options",
        program: env!("CARGO_PKG_NAME"),
        version: env!("CARGO_PKG_VERSION"),
        title: options.title.clone(),
        units: match options.units {
            UnitSystem::Us => "us",
            UnitSystem::Metric => "metric",
        },
        tried: options.asked,
        holding: options.holding,
        years: options.costing.years,
        lists: ListsOut {
            pumps: lists.pumps.iter().map(|pump| priced(&pump.name, pump.price)).collect(),
            pipes: lists.pipes.iter().map(|pipe| priced(&pipe.size, pipe.price)).collect(),
            basins: lists.basins.iter().map(|basin| priced(&across(basin.plan, options.units), basin.price)).collect(),
            floats: lists
                .floats
                .iter()
                .map(|floats| FloatsOut { off: to.of(Amount::small(floats.off)), on: to.of(Amount::small(floats.on)) })
                .collect(),
        },
        drawn: set(&options.drawn),
        choices: options.choices.iter().filter_map(set).collect(),
        nearest: options.nearest.as_ref().and_then(set),
        reasons: options
            .reasons
            .iter()
            .map(|reason| ReasonOut { id: reason.id, sets: reason.sets, example: reason.example.clone() })
            .collect(),
        in_every_set: options.in_every_set.as_ref().map_or_else(Vec::new, |all| all.ids.clone()),
        sets_that_hold: options.tried.iter().filter(holding).map(|set| to.set(set)).collect(),
        reckoned: said(options),
    }
}

impl Maker {
    fn set(&self, set: &Tried) -> SetOut {
        SetOut {
            choice: set.choice,
            as_drawn: set.drawn,
            holds: set.holds(),
            pump: set.pump.clone(),
            runs: set.pipe.clone(),
            basin: across(set.basin, self.units),
            off: self.of(Amount::small(set.off)),
            on: self.of(Amount::small(set.on)),
            materials: set.materials,
            energy: set.energy,
            cost: set.cost(),
            to_spare: set.spare.map(|spare| spare.share),
            to_spare_of: set.spare.map(|spare| spare.of.words()),
            share_of_peak: set.pumped_share,
            starts_per_hour: set.starts_per_hour,
            deepest: set.depth.map(|depth| self.of(Amount::small(depth))),
            stands: set.stands.map(|time| self.of(time)),
            still_stands: set.still_stands,
            cannot_be_built: set.cannot.clone(),
            stops: set.against().map(|(id, message)| StopOut { id, message: message.say(self.units) }).collect(),
        }
    }
}
