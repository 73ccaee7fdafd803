//! A site file with some of its values changed, everything else as it stands: comments, order, blanks.

use super::error::OptionsError;
use crate::basin::Plan;
use crate::basin::flotation::ring_volume;
use crate::quantity::factor::GRAVITY;
use crate::quantity::{Length, UnitSystem, Volume, Weight};
use crate::site::Site;
use toml_edit::{DocumentMut, Item, Table, TableLike, Value};

/// What is changed; nothing where it stays as drawn.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Change {
    /// The pump used.
    pub(super) pump: Option<String>,
    /// The size of all runs.
    pub(super) pipe: Option<String>,
    /// The inside diameter of the basin.
    pub(super) basin: Option<Length>,
    /// The heights at which the pump stops and starts.
    pub(super) floats: Option<(Length, Length)>,
}

/// A site file that can be edited.
#[derive(Clone, Debug)]
pub(super) struct Draft {
    document: DocumentMut,
    carriage_returns: bool,
}

impl Draft {
    /// Of a text that was read as a site.
    pub(super) fn new(text: &str) -> Result<Self, OptionsError> {
        let document = text.parse::<DocumentMut>().map_err(|error| {
            OptionsError::NotRewritten(error.message().lines().next().unwrap_or_default().to_owned())
        })?;
        Ok(Self { document, carriage_returns: text.contains("\r\n") })
    }

    /// The text with a change made to the site that was read from it.
    pub(super) fn text(&self, site: &Site, change: &Change) -> String {
        let mut document = self.document.clone();
        if let Some(pump) = &change.pump {
            within(&mut document, "pumping", |pumping| set(pumping, "use", pump));
        }
        if let Some(size) = &change.pipe {
            runs(&mut document, |run| {
                set(run, "size", size);
                // that of another size
                run.remove("inside_diameter");
            });
        }
        if let Some(across) = change.basin {
            basin(&mut document, site, across);
        }
        if let Some((off, on)) = change.floats {
            within(&mut document, "basin", |basin| {
                set(basin, "off", &length(off, site.units));
                set(basin, "on", &length(on, site.units));
            });
        }
        let text = document.to_string();
        // an editor that ends lines so has to find them so
        if self.carriage_returns { text.replace("\r\n", "\n").replace('\n', "\r\n") } else { text }
    }
}

/// The basin's inside diameter, with what goes with it: wall, flange and collar stand out as far as before, and weights
/// that were entered follow its surface.
fn basin(document: &mut DocumentMut, site: &Site, across: Length) {
    let Plan::Round(before) = site.basin.plan else { return };
    // a pit without a size of its own was the basin as drawn
    if site.measured.rise.is_some() {
        within(document, "measured", |measured| {
            if !measured.contains_key("pit_diameter") {
                set(measured, "pit_diameter", &length(before, site.units));
            }
        });
    }
    within(document, "basin", |basin| rebuilt(basin, site, (before, across)));
}

/// The basin's table with another inside diameter.
fn rebuilt(basin: &mut dyn TableLike, site: &Site, (before, after): (Length, Length)) {
    let (units, wider) = (site.units, after - before);
    set(basin, "inside_diameter", &length(after, units));
    if basin.contains_key("outside_diameter") {
        set(basin, "outside_diameter", &length(after + site.basin.wall * 2.0, units));
    }
    if let (true, Some(weight)) = (basin.contains_key("weight"), site.basin.weight) {
        set(basin, "weight", &weighs(weight * surface_ratio(site, before, after), units));
    }
    if let (true, Some(flange)) = (basin.contains_key("flange"), site.ballast.flange) {
        set(basin, "flange", &length(flange + wider, units));
    }
    let Some(collar) = site.ballast.collar else { return };
    let Some((width, thickness)) = collar.ring else { return };
    let outside = site.basin.outside_across();
    let ratio = ring_volume(outside + wider, width, thickness) / ring_volume(outside, width, thickness);
    let Some(entered) = basin.get_mut("collar").and_then(Item::as_table_like_mut) else { return };
    if entered.contains_key("volume") {
        set(entered, "volume", &room(collar.volume * ratio, units));
    }
    if let (true, Some(weight)) = (entered.contains_key("weight"), collar.weight_in_air) {
        set(entered, "weight", &weighs(weight * ratio, units));
    }
}

/// How much more surface a basin has that is as deep and wider: wall, floor and lid.
pub(super) fn surface_ratio(site: &Site, before: Length, after: Length) -> f64 {
    let surface = |across: Length| {
        let middle = across + site.basin.wall;
        // the circumference times the depth, and two circles; the factor pi drops out
        middle.m() * site.basin.depth().m() + middle.m() * middle.m() / 2.0
    };
    if surface(before) > 0.0 { surface(after) / surface(before) } else { 1.0 }
}

/// Changes the table of a name, made where there is none.
fn within(document: &mut DocumentMut, name: &str, change: impl FnOnce(&mut dyn TableLike)) {
    let entry = document.entry(name).or_insert_with(|| Item::Table(Table::new()));
    if let Some(table) = entry.as_table_like_mut() {
        change(table);
    }
}

/// Changes every run of the discharge line.
fn runs(document: &mut DocumentMut, change: impl Fn(&mut dyn TableLike)) {
    within(document, "discharge", |discharge| match discharge.get_mut("run") {
        Some(Item::ArrayOfTables(runs)) => runs.iter_mut().for_each(|run| change(run)),
        Some(Item::Value(Value::Array(runs))) => {
            runs.iter_mut().filter_map(Value::as_inline_table_mut).for_each(|run| change(run));
        }
        _ => {}
    });
}

/// Gives a key its value; what stands before and after the old one stays.
fn set(table: &mut dyn TableLike, key: &str, text: &str) {
    if let Some(Item::Value(old)) = table.get_mut(key) {
        let decor = old.decor().clone();
        *old = Value::from(text);
        *old.decor_mut() = decor;
    } else {
        table.insert(key, toml_edit::value(text));
    }
}

/// A number with its decimals, none that say nothing.
fn figure(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

/// A length as the file writes it, so that it is read back as it was.
pub(super) fn length(length: Length, units: UnitSystem) -> String {
    match units {
        UnitSystem::Us => format!("{} in", figure(length.inch(), 4)),
        UnitSystem::Metric => format!("{} mm", figure(length.m() * 1e3, 3)),
    }
}

fn weighs(weight: Weight, units: UnitSystem) -> String {
    match units {
        UnitSystem::Us => format!("{} lb", figure(weight.lb(), 1)),
        UnitSystem::Metric => format!("{} kg", figure(weight.n() / GRAVITY, 1)),
    }
}

fn room(volume: Volume, units: UnitSystem) -> String {
    match units {
        UnitSystem::Us => format!("{} ft3", figure(volume.ft3(), 2)),
        UnitSystem::Metric => format!("{} m3", figure(volume.m3(), 4)),
    }
}
