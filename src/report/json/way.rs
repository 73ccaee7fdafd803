//! The way in and off, the ground, flotation, as wire types.

use super::Maker;
use super::wire::way::{
    CurveNumberOut, DrainOut, FallingOut, FlotationOut, FrenchOut, FromGrateOut, GrateOut, GravityWayOut,
    GroundwaterOut, MeasuredOut, RangedOut, SeepOut, SoaksOut, WayInOut, WayOffOut,
};
use super::{AmountOf, Quantity};
use crate::collection::GrateRegime;
use crate::design::{
    CurveNumberRunoff, Design, DrainResult, FlotationOutcome, FrenchResult, FromGrate, GravityWay, InflowBasis,
    InletResult, MeasuredResult, Ranged, Seep, WayIn, WayOffResult,
};
use crate::quantity::{Amount, Length, Level};
use crate::site::TrenchCover;

impl Maker {
    fn small(&self, length: Length) -> Quantity {
        self.of(Amount::small(length))
    }

    fn level(&self, level: Option<Level>) -> Option<Quantity> {
        level.map(|level| self.of(level))
    }

    fn ranged<Q: Copy + Into<AmountOf>>(&self, range: Ranged<Q>) -> RangedOut {
        RangedOut { taken: self.of(range.taken), low: self.of(range.low), high: self.of(range.high) }
    }

    pub(super) fn way_in(&self, way_in: &WayIn) -> WayInOut {
        WayInOut {
            area_times_coefficient: self.of(way_in.to_basin),
            grates: way_in.inlets.iter().map(|inlet| self.grate(inlet)).collect(),
            drains: way_in.drains.iter().map(|drain| self.drain(drain)).collect(),
            french_drains: way_in.french.iter().map(|french| self.french(french)).collect(),
            soaks_away: way_in
                .soaks_away
                .iter()
                .map(|(name, area, flow)| SoaksOut {
                    low_spot: name.clone(),
                    surface: self.of(*area),
                    flow: self.of(*flow),
                })
                .collect(),
        }
    }

    fn grate(&self, inlet: &InletResult) -> GrateOut {
        GrateOut {
            name: inlet.name.clone(),
            low_spot: inlet.low_spot.clone(),
            rim: self.of(inlet.rim),
            flow: self.of(inlet.flow),
            open_area: inlet.grate.map(|grate| self.of(Amount::opening(grate.open_area))),
            perimeter: inlet.grate.map(|grate| self.small(grate.perimeter)),
            clogged: inlet.grate.map(|grate| grate.clogged),
            depth: inlet.depth.map(|depth| self.small(depth)),
            regime: inlet.regime.map(GrateRegime::words),
            depth_allowed: inlet.allowed.map(|depth| self.small(depth)),
            takes: inlet.takes.map(|flow| self.of(flow)),
            larger: inlet.larger.map(|entry| entry.label),
            smaller: inlet.smaller.map(|entry| entry.label),
            to_outlet: inlet.to_outlet.map(|depth| self.small(depth)),
            silt_trap: self.small(inlet.silt_trap),
        }
    }

    fn drain(&self, drain: &DrainResult) -> DrainOut {
        DrainOut {
            name: drain.name.clone(),
            to: drain.to.clone(),
            french: drain.french,
            material: drain.pipe.as_ref().map(|(material, _)| material.clone()),
            size: drain.pipe.as_ref().map(|(_, size)| size.clone()),
            length: self.of(drain.length),
            slope: drain.slope.map(|slope| self.of(slope)),
            up_invert: self.level(drain.inverts.0),
            down_invert: self.level(drain.inverts.1),
            up_cover: drain.covers.0.map(|cover| self.small(cover)),
            down_cover: drain.covers.1.map(|cover| self.small(cover)),
            area_times_coefficient: self.of(drain.weighted_area),
            flow: self.of(drain.flow),
            steady: self.of(drain.steady),
            capacity: drain.capacity.map(|flow| self.of(flow)),
            full_velocity: drain.full_velocity.map(|velocity| self.of(velocity)),
            depth: drain.runs.map(|(depth, _)| self.small(depth)),
            velocity: drain.runs.map(|(_, velocity)| self.of(velocity)),
            grade_lower: self.level(drain.backed.map(|backed| backed.lower)),
            grade_upper: self.level(drain.backed.map(|backed| backed.upper)),
            pool: self.level(drain.backed.map(|backed| backed.pool)),
            full_length: drain.backed.map(|backed| self.of(backed.full_length)),
            grate_above: drain.grate_above.as_ref().map(|(name, _)| name.clone()),
            most: drain.most.map(|flow| self.of(flow)),
            standing_length: drain.standing_at_on.map(|(length, _)| self.of(length)),
            standing_volume: drain.standing_at_on.map(|(_, volume)| self.of(volume)),
            too_small: drain.too_small,
            next_size: drain.next_size.map(|entry| entry.pipe.size.clone()),
        }
    }

    fn french(&self, french: &FrenchResult) -> FrenchOut {
        FrenchOut {
            name: french.name.clone(),
            cover: french.cover.map(|cover| match cover {
                TrenchCover::Sod => "sod",
                TrenchCover::Stone => "stone",
            }),
            holds: french.holds.map(|volume| self.of(volume)),
            room: french.room.map(|volume| self.of(volume)),
            counted: self.of(french.counted),
            seep: french.seep.as_ref().map(|seep| self.seep(seep)),
            carries: french.carries.map(|flow| self.of(flow)),
            lets_in: self.of(french.lets_in),
            runoff_from: french.runoff_from.clone(),
        }
    }

    fn seep(&self, seep: &Seep) -> SeepOut {
        SeepOut {
            flow: self.ranged(seep.flow),
            wet_length: self.of(seep.wet_length),
            held: self.of(seep.held),
            head: self.small(seep.head),
            reach: self.ranged(seep.reach),
            tight_layer_below: self.ranged(seep.tight_layer_below),
            equivalent_depth: self.of(seep.equivalent_depth),
            falling: seep
                .falling
                .iter()
                .map(|(after, flow)| FallingOut { after: self.of(*after), flow: self.of(*flow) })
                .collect(),
            half_down_after: seep.half_down_after.map(|time| self.of(time)),
            felt_at: self.of(seep.felt.at),
            after_a_day: self.small(seep.felt.after_a_day),
            after_a_week: self.small(seep.felt.after_a_week),
        }
    }

    pub(super) fn groundwater(&self, design: &Design) -> GroundwaterOut {
        let ground = &design.storm.groundwater;
        GroundwaterOut {
            seasonal_high: self.level(ground.seasonal_high),
            conductivity: ground.ground.as_ref().map(|soil| RangedOut {
                taken: self.of(Amount::seepage(soil.conductivity)),
                low: self.of(Amount::seepage(soil.conductivity_low)),
                high: self.of(Amount::seepage(soil.conductivity_high)),
            }),
            conductivity_basis: ground.ground.as_ref().map(|soil| soil.basis.clone()),
            calculated: ground.calculated.map(|flow| self.ranged(flow)),
            measured: ground.measured.map(|flow| self.of(flow)),
            counted: self.of(ground.flow),
            basis: match ground.basis {
                InflowBasis::Entered => "entered",
                InflowBasis::Measured => "measured",
                InflowBasis::Calculated => "calculated",
            },
            runs_a_day: design.groundwater_run.map(|run| self.of(run.runs_a_day)),
            starts_a_day: design.groundwater_run.map(|run| run.starts_a_day),
            kwh_a_day: design.groundwater_run.and_then(|run| run.kwh_a_day),
        }
    }

    pub(super) fn flotation(&self, outcome: &FlotationOutcome) -> FlotationOut {
        let result = &outcome.result;
        FlotationOut {
            judged: outcome.judged,
            lets_water_in: outcome.lets_water_in,
            water: self.of(outcome.water),
            uplift: self.of(result.uplift),
            basin: self.of(result.basin),
            collar: self.of(result.collar),
            soil: self.of(result.soil),
            safety: Some(result.safety).filter(|safety| safety.is_finite()),
            wanted: outcome.wanted,
            missing: self.of(result.missing),
            concrete: Some(result.concrete)
                .filter(|volume| volume.is_finite())
                .map(|volume| self.of(Amount::solid(volume))),
            lifts_at: self.level(outcome.lifts_at),
        }
    }

    pub(super) fn way_off(&self, result: &WayOffResult) -> WayOffOut {
        WayOffOut {
            flow: self.of(result.flow),
            over_grate: result.over_grate.map(|depth| self.small(depth)),
            swale_depth: result.swale.map(|swale| self.small(swale.depth)),
            swale_velocity: result.swale.map(|swale| self.of(swale.velocity)),
            permissible_velocity: result.swale.and_then(|swale| swale.permissible).map(|velocity| self.of(velocity)),
            freeboard: result.swale.map(|swale| self.small(swale.freeboard)),
            water: self.of(result.water),
            ground_between: self.level(result.ground_between.map(|(ground, _)| ground)),
            can_return: result.can_return(),
        }
    }

    pub(super) fn gravity_way(&self, way: &GravityWay) -> GravityWayOut {
        GravityWayOut {
            from: self.of(way.from),
            fall: self.small(way.fall),
            length: self.of(way.length),
            slope: self.of(way.slope),
            size: way.pipe.map(|(entry, _)| format!("{} {}", entry.pipe.size, entry.pipe.material)),
            capacity: way.pipe.map(|(_, flow)| self.of(flow)),
            deepest: way.deepest.map(|depth| self.of(depth)),
        }
    }

    pub(super) fn measured(&self, result: &MeasuredResult) -> MeasuredOut {
        MeasuredOut {
            id: result.id,
            what: result.what,
            measured: self.of(result.measured),
            calculated: result.calculated.map(|amount| self.of(amount)),
            ratio: result.ratio,
        }
    }

    pub(super) fn way_down(&self, way: &FromGrate) -> FromGrateOut {
        FromGrateOut {
            name: way.name.clone(),
            to_outlet: self.small(way.to_outlet),
            silt_trap: self.small(way.silt_trap),
            fall: self.small(way.fall),
            arrives: self.of(way.arrives),
        }
    }

    pub(super) fn curve_number(&self, runoff: &CurveNumberRunoff) -> CurveNumberOut {
        CurveNumberOut {
            curve_number: runoff.curve_number.value,
            source: runoff.curve_number.source.clone(),
            rain: self.of(runoff.rain),
            duration: self.of(runoff.duration),
            runoff: self.of(runoff.runoff),
            runoff_by_infiltration: runoff.by_infiltration.map(|depth| self.of(depth)),
        }
    }
}
