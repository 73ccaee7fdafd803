//! Whether an empty basin floats up when the ground round it is full of water.
//!
//! Safety is weight over uplift (USACE EM 1110-2-2100, par. 3-8): the basin and what is in it in air, a concrete collar
//! and the soil over a flange or collar under water, over the weight of the water that the basin takes the place of.
//! The soil stands straight up from the edge of flange or ring; friction on the basin's wall is not counted, since
//! backfill round a narrow basin is loose. Soil and collar count as under water even where the water stands lower,
//! which is on the safe side.

use crate::quantity::factor::{FOOT, GRAVITY, POUND};
use crate::quantity::{Area, Density, Length, Real, Volume, Weight};

/// Where the factor of safety is from.
pub const FLOTATION_SOURCE: &str = "flotation safety, weight over uplift: USACE EM 1110-2-2100 (2005), par. 3-8";

/// The density of water in flotation, kg/m³: 62.4 lb/ft³, the figure of the engineering manuals.
const WATER_KGM3: f64 = 62.4 * POUND / (FOOT * FOOT * FOOT);

/// The density of water that flotation reckons with: 62.4 lb/ft³.
pub fn water_density() -> Density {
    Density::from_kgm3(WATER_KGM3)
}

/// The uplift on a basin: the weight of the water that it takes the place of, up to the water's level.
pub fn uplift<N: Real>(outside: Area<N>, water: Length<N>) -> Weight<N> {
    Weight::from_n((outside * water).m3() * (WATER_KGM3 * GRAVITY))
}

/// The weight of a body in air.
pub fn weight_in_air<N: Real>(volume: Volume<N>, density: Density<N>) -> Weight<N> {
    Weight::from_n(volume.m3() * density.kgm3() * GRAVITY)
}

/// The weight of a body under water: V (γ - γw). Less than nothing where it is lighter than water.
pub fn submerged_weight<N: Real>(volume: Volume<N>, density: Density<N>) -> Weight<N> {
    Weight::from_n(volume.m3() * (density.kgm3() - WATER_KGM3) * GRAVITY)
}

/// The volume of a ring on a basin: π/4 ((D + 2w)² - D²) t, D the basin's outside diameter.
pub fn ring_volume<N: Real>(outside_diameter: Length<N>, width: Length<N>, thickness: Length<N>) -> Volume<N> {
    (outside_diameter + width + width).circle() * thickness - outside_diameter.circle() * thickness
}

/// The density of soil full of water from that of the dry soil and the specific gravity of its grains: γ (1 - 1/G) + γw.
pub fn saturated_from_dry<N: Real>(dry: Density<N>, grains: N) -> Density<N> {
    Density::from_kgm3(dry.kgm3() * (N::from(1.0) - N::from(1.0) / grains) + WATER_KGM3)
}

/// Concrete that holds a basin down.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Collar {
    /// Of the concrete.
    pub volume: Volume,
    /// Width beyond the basin's wall and thickness, of a ring that stands on the floor's level. Soil above it counts.
    /// Without these the concrete is taken as poured where no soil that counts gives way, and no soil counts over it.
    pub ring: Option<(Length, Length)>,
    /// Of the concrete, where its weight is not known.
    pub density: Density,
    /// Weight in air, where known.
    pub weight_in_air: Option<Weight>,
}

impl Collar {
    /// A ring on the floor's level round a basin.
    pub fn ring(outside_diameter: Length, width: Length, thickness: Length, density: Density) -> Self {
        let volume = ring_volume(outside_diameter, width, thickness);
        Self { volume, ring: Some((width, thickness)), density, weight_in_air: None }
    }
    /// Its weight under water.
    pub fn submerged_weight(&self) -> Weight {
        match self.weight_in_air {
            Some(weight) => weight - weight_in_air(self.volume, water_density()),
            None => submerged_weight(self.volume, self.density),
        }
    }
}

/// An empty basin in wet ground.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Flotation {
    /// Outside plan area.
    pub outside: Area,
    /// Outside diameter; of a circle of the same area where the basin is not round.
    pub outside_diameter: Length,
    /// From the floor's underside to the ground.
    pub depth: Length,
    /// Water in the ground above the floor's underside: normally the depth. No more than that counts.
    pub water: Length,
    /// The basin with lid and pump, empty, in air.
    pub basin_weight: Weight,
    /// Diameter of a flange at the floor.
    pub flange: Option<Length>,
    /// Concrete round it.
    pub collar: Option<Collar>,
    /// Density of the soil full of water.
    pub soil_saturated: Density,
    /// Density of concrete that would be added.
    pub concrete: Density,
}

/// What came of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FlotationResult {
    /// Weight of the water that the basin takes the place of.
    pub uplift: Weight,
    /// The basin in air.
    pub basin: Weight,
    /// The collar under water.
    pub collar: Weight,
    /// The soil over flange and collar, under water.
    pub soil: Weight,
    /// What holds down over what lifts; infinite where nothing lifts.
    pub safety: f64,
    /// The weight missing for the factor wanted, never negative.
    pub missing: Weight,
    /// Concrete to add for it where no soil that counts gives way. Infinite where concrete is no heavier than water.
    pub concrete: Volume,
    /// Concrete to add for it where it takes the place of soil that counts. Infinite where concrete is no heavier than
    /// the soil.
    pub concrete_in_soil: Volume,
    /// The height of the water above the floor's underside at which the basin just lifts; none where it does not with
    /// the water up to the ground.
    pub lifts_at: Option<Length>,
}

impl Flotation {
    /// Weighs what lifts against what holds, for a factor of safety that is wanted.
    ///
    /// The factor must be zero or above, as all lengths and weights. Not a number where an input is not.
    pub fn judge(&self, wanted: f64) -> FlotationResult {
        let water = if self.water > self.depth { self.depth } else { self.water };
        let uplift = uplift(self.outside, water);
        let basin = self.basin_weight;
        let collar = self.collar.map_or(Weight::ZERO, |collar| collar.submerged_weight());
        let soil = self.soil_weight(self.soil_volume());
        let held = basin + collar + soil;
        let short = uplift * wanted - held;
        let missing = if short < Weight::ZERO { Weight::ZERO } else { short };
        let lifts_at = held / uplift_per_height(self.outside);
        FlotationResult {
            uplift,
            basin,
            collar,
            soil,
            safety: if uplift <= Weight::ZERO && !held.n().is_nan() { f64::INFINITY } else { held / uplift },
            missing,
            concrete: filling(missing, self.concrete.kgm3() - WATER_KGM3),
            concrete_in_soil: filling(missing, self.gain_over_soil_kgm3()),
            lifts_at: (lifts_at <= self.depth.m()).then(|| Length::from_m(lifts_at.max(0.0))),
        }
    }

    /// The width of a ring of concrete of a thickness, on the floor's level and in place of any collar, that with the
    /// soil above it just gives a factor of safety; nothing where the basin has it without.
    ///
    /// None where the thickness is not above zero or more than the depth, or no width gives it.
    pub fn collar_for(&self, wanted: f64, thickness: Length) -> Option<Length> {
        if !(thickness > Length::ZERO && thickness <= self.depth) {
            return None;
        }
        let bare = Self { collar: None, ..*self }.judge(wanted);
        if bare.missing <= Weight::ZERO {
            return Some(Length::ZERO);
        }
        let flange = self.beyond(self.flange.unwrap_or(Length::ZERO));
        let weight_n = |area: Area, height: Length, kgm3: f64| (area * height).m3() * kgm3 * GRAVITY;
        // under the flange's soil the ring only takes the place of soil
        let one = Area::from_m2(1.0);
        let inside = weight_n(one, thickness, self.gain_over_soil_kgm3());
        let within = bare.missing.n() / inside;
        let area = if inside > 0.0 && within <= flange.m2() {
            within
        } else {
            let lifted = bare.missing + bare.soil;
            let above = weight_n(one, self.depth - thickness, self.soil_submerged_kgm3());
            lifted.n() / (weight_n(one, thickness, self.concrete.kgm3() - WATER_KGM3) + above)
        };
        let across = (self.outside_diameter.circle() + Area::from_m2(area)).diameter();
        let width = (across - self.outside_diameter) / 2.0;
        (width.is_finite() && width > Length::ZERO).then_some(width)
    }

    /// The area of a circle beyond the basin's own, less than nothing where it is the smaller.
    fn beyond(&self, diameter: Length) -> Area {
        diameter.circle() - self.outside_diameter.circle()
    }
    /// The soil over the wider of flange and ring, less the ring itself.
    fn soil_volume(&self) -> Volume {
        let ring = self.collar.and_then(|collar| collar.ring);
        let (width, thickness) = ring.unwrap_or((Length::ZERO, Length::ZERO));
        let over_ring = self.beyond(self.outside_diameter + width * 2.0);
        let over_flange = self.beyond(self.flange.unwrap_or(Length::ZERO));
        // a flange that does not reach beyond the wall carries nothing, as the ring of no width
        let over = if over_ring > over_flange { over_ring } else { over_flange };
        let ring_height = if thickness > self.depth { self.depth } else { thickness };
        over * self.depth - over_ring * ring_height
    }
    /// Soil that is lighter than water holds nothing.
    fn soil_submerged_kgm3(&self) -> f64 {
        let submerged = self.soil_saturated.kgm3() - WATER_KGM3;
        if submerged < 0.0 { 0.0 } else { submerged }
    }
    fn soil_weight(&self, volume: Volume) -> Weight {
        submerged_weight(volume, Density::from_kgm3(self.soil_submerged_kgm3() + WATER_KGM3))
    }
    /// What concrete weighs more than the soil that it takes the place of.
    fn gain_over_soil_kgm3(&self) -> f64 {
        self.concrete.kgm3() - WATER_KGM3 - self.soil_submerged_kgm3()
    }
}

/// The uplift on each metre of an outside area.
fn uplift_per_height(outside: Area) -> Weight {
    uplift(outside, Length::from_m(1.0))
}

/// The volume that makes up a weight, each cubic metre counting with a density; infinite where that is nothing.
fn filling(missing: Weight, kgm3: f64) -> Volume {
    if missing <= Weight::ZERO {
        return Volume::ZERO;
    }
    Volume::from_m3(if kgm3 > 0.0 { missing.n() / (kgm3 * GRAVITY) } else { f64::INFINITY })
}

#[cfg(test)]
mod tests;
