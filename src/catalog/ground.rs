//! What the ground lets flow through it, and what it gives up when the water in it falls.

use super::names::key;
use super::text::{Record, load};
use crate::quantity::Velocity;
use std::sync::OnceLock;

/// What a soil texture says about the flow of groundwater. Both figures are soft, so each is a range.
///
/// The range of the conductivity is that of two averages, not of the ground: of sandy loam they differ by 5 %, while
/// older permeability classes of the Soil Conservation Service give it 2 to 6 in/h, three to ten times as much, and
/// they are above both averages from loamy sand to loam. A single yard may lie well outside.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GroundEntry {
    /// The texture class.
    pub texture: &'static str,
    /// Saturated conductivity, the lower of two published class averages.
    pub conductivity_low: Velocity,
    /// Saturated conductivity, the higher of the two.
    pub conductivity_high: Velocity,
    /// The share of the ground's volume that drains, at the least. It is for a water table that falls by a yard or
    /// so; the top foot gives up several times less.
    pub drainable_low: f64,
    /// The share of the ground's volume that drains, at the most.
    pub drainable_high: f64,
    /// How far it is to be trusted.
    pub status: &'static str,
    /// The publication.
    pub source: &'static str,
}

/// The ground of a texture class (`silty clay loam`); nothing for a class not in the table.
///
/// Source: class averages of ROSETTA and of Saxton; FAO Irrigation and Drainage Paper 62, Annex Table A1.1. Where
/// two rows of the latter name a texture, by its structure, the range spans both.
pub fn ground(texture: &str) -> Option<&'static GroundEntry> {
    let key = key(texture);
    all().iter().find(|(known, _)| *known == key).map(|(_, entry)| entry)
}

/// The texture classes of the ground, from coarse to fine: those of [`textures`](super::textures), and silt.
pub fn ground_textures() -> Vec<&'static str> {
    all().iter().map(|(_, entry)| entry.texture).collect()
}

fn all() -> &'static [(String, GroundEntry)] {
    static ALL: OnceLock<Vec<(String, GroundEntry)>> = OnceLock::new();
    ALL.get_or_init(|| load(include_str!("data/ground.csv"), read))
}

fn read(record: &Record<'_>) -> Option<(String, GroundEntry)> {
    let texture = record.text("texture")?;
    let centimetres_per_hour = |heading| record.number(heading).map(|number| Velocity::from_ms(number * 1e-2 / 3600.0));
    let entry = GroundEntry {
        texture,
        conductivity_low: centimetres_per_hour("conductivity low (cm/h)")?,
        conductivity_high: centimetres_per_hour("conductivity high (cm/h)")?,
        drainable_low: record.number("drainable low")?,
        drainable_high: record.number("drainable high")?,
        status: record.status()?,
        source: record.source()?,
    };
    Some((key(texture), entry))
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn every_texture_is_read() {
        assert_eq!(ground_textures().len(), 12);
        for texture in ground_textures() {
            let ground = ground(texture).unwrap();
            assert!(Velocity::ZERO < ground.conductivity_low, "{texture}");
            assert!(ground.conductivity_low < ground.conductivity_high, "{texture}");
            assert!(0.0 < ground.drainable_low && ground.drainable_low < ground.drainable_high, "{texture}");
            assert!(ground.drainable_high < 0.35, "{texture}");
        }
        assert_eq!(ground("granite"), None);
        assert_eq!(ground(""), None);
    }

    #[test]
    fn every_texture_that_infiltrates_is_there_and_drains_less_than_it_holds() {
        for texture in super::super::textures() {
            let soil = super::super::soil(texture).unwrap();
            assert!(ground(texture).unwrap().drainable_high < soil.effective_porosity, "{texture}");
        }
    }

    #[test]
    fn sand_and_clay_have_the_published_values() {
        // Class averages of ROSETTA and of Saxton, in cm/h: sand 26.779 and 5.029, clay 0.615 and 0.152.
        let per_hour = |velocity: Velocity| velocity.ms() * 3600.0 * 100.0;
        let sand = ground("SAND").unwrap();
        assert_relative_eq!(per_hour(sand.conductivity_low), 5.029, max_relative = 1e-12);
        assert_relative_eq!(per_hour(sand.conductivity_high), 26.779, max_relative = 1e-12);
        let clay = ground("clay").unwrap();
        assert_relative_eq!(per_hour(clay.conductivity_low), 0.152, max_relative = 1e-12);
        assert_relative_eq!(per_hour(clay.conductivity_high), 0.615, max_relative = 1e-12);
        // FAO Irrigation and Drainage Paper 62: clay 0.01 to 0.03 by one row, to 0.08 by the other.
        assert_relative_eq!(clay.drainable_low, 0.01);
        assert_relative_eq!(clay.drainable_high, 0.08);
        assert_eq!(clay.status, "from memory");
    }

    #[test]
    fn conductivities_add_up_to_the_published_ones() {
        // The twelve averages of ROSETTA add up to 38.684 cm/h, those of Saxton to 15.561.
        let sum: f64 =
            all().iter().map(|(_, entry)| (entry.conductivity_low + entry.conductivity_high).ms() * 3.6e5).sum();
        assert_relative_eq!(sum, 38.684 + 15.561, epsilon = 1e-9);
    }
}
