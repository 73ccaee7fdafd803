//! The line as it lies, surge, power, other conditions, two pumps, as wire types.

use super::Maker;
use super::wire::line::{
    ConditionOut, DropOut, GravityOut, PairOut, PocketOut, PowerOut, RestOut, SlackOut, StationOut, SummitOut,
    SurgeInOut, SurgeOut, TogetherOut,
};
use crate::design::{Condition, GravityOption, LineAtRest, PairResult, PowerResult, Station, SurgeResult, TogetherAt};
use crate::hydraulics::{Pocket, SlackPart};
use crate::pump_selection::Together;
use crate::quantity::Amount;

impl Maker {
    pub(super) fn station(&self, station: &Station) -> StationOut {
        StationOut {
            at: self.of(station.at),
            invert: self.of(station.invert),
            ground: station.ground.map(|ground| self.of(ground)),
            cover: station.cover.map(|cover| self.of(Amount::small(cover))),
            head: station.head.map(|head| self.of(head)),
            remarks: station.remarks.clone(),
        }
    }

    fn pocket(&self, pocket: &Pocket) -> PocketOut {
        PocketOut {
            from: self.of(pocket.from),
            to: self.of(pocket.to),
            lowest_at: self.of(pocket.lowest_at),
            volume: self.of(pocket.volume),
        }
    }

    pub(super) fn rest(&self, rest: &LineAtRest) -> RestOut {
        RestOut {
            held: rest.held,
            stays: rest.stays.iter().map(|pocket| self.pocket(pocket)).collect(),
            freezes: rest.freezes.iter().map(|pocket| self.pocket(pocket)).collect(),
            summits: rest
                .summits
                .iter()
                .map(|summit| SummitOut {
                    at: self.of(summit.at),
                    invert: self.of(summit.invert),
                    rises_again: summit.rises_again,
                    vented: summit.vented,
                })
                .collect(),
            drain_time: rest.drain_time.map(|time| self.of(time)),
            lift: rest.lift.map(|lift| self.of(lift)),
            air_locked_lift: rest.air_locked_lift.map(|lift| self.of(lift)),
        }
    }

    pub(super) fn condition(&self, condition: &Condition) -> ConditionOut {
        ConditionOut {
            id: condition.id,
            what: condition.what.say(self.units),
            off_level: self.meeting(&condition.off),
            half_way: self.meeting(&condition.half_way),
        }
    }

    pub(super) fn surge(&self, surge: &SurgeResult) -> SurgeOut {
        SurgeOut {
            shut_off: self.of(surge.shut_off),
            pipes: surge
                .pipes
                .iter()
                .map(|pipe| SurgeInOut {
                    name: pipe.name.clone(),
                    pipe: pipe.pipe.clone(),
                    velocity: self.of(pipe.velocity),
                    wave_speed: pipe.wave_speed.map(|wave| self.of(wave)),
                    instant: pipe.instant.map(|surge| self.of(surge)),
                    surge: pipe.surge.map(|surge| self.of(surge)),
                    most: pipe.most.map(|most| self.of(most)),
                    rating: pipe.rating.map(|rating| self.of(rating)),
                })
                .collect(),
            critical_time: surge.critical.map(|time| self.of(time)),
            closes_in: surge.closes_in.map(|time| self.of(time)),
            closes_late: surge.closes_late,
            runs_on: surge.runs_on.map(|time| self.of(time)),
            riser_velocity: self.of(surge.riser_velocity),
            opens_at: surge.opens_at.map(|velocity| self.of(velocity)),
        }
    }

    pub(super) fn slack(&self, slack: &SlackPart) -> SlackOut {
        SlackOut {
            from: self.of(slack.from),
            to: self.of(slack.to),
            vacuum: self.of(slack.vacuum),
            deepest_at: self.of(slack.deepest_at),
        }
    }

    pub(super) fn gravity(&self, option: &GravityOption) -> GravityOut {
        GravityOut {
            from: self.of(option.from),
            length: self.of(option.length),
            fall: self.of(option.fall),
            slope: self.of(Amount::of(option.slope)),
            pipe: format!("{} {}", option.pipe.pipe.size, option.pipe.pipe.material),
            capacity: self.of(option.capacity),
            now: self.of(option.now),
            then: self.of(option.then),
        }
    }

    pub(super) fn power(&self, power: &PowerResult) -> PowerOut {
        PowerOut {
            water: self.of(Amount::of(power.water)),
            electrical: power.electrical.map(|power| self.of(Amount::of(power))),
            entered: power.entered,
            shaft: power.shaft.map(|power| self.of(Amount::of(power))),
            wire_to_water: power.wire_to_water,
            energy_kwh_per_m3: power.energy_jm3.map(|energy| energy / 3.6e6),
            voltage_drop: power.drop.as_ref().map(|drop| DropOut {
                pump: drop.pump.clone(),
                wire: drop.wire.name,
                running_v: drop.running,
                running_share: drop.running_share(),
                starting_v: drop.starting,
                starting_share: drop.starting_share(),
                starting_a: drop.starting_amps,
                starting_assumed: drop.starting_assumed,
                enough: drop.enough.map(|wire| wire.name),
            }),
        }
    }

    pub(super) fn pair(&self, pair: &PairResult) -> PairOut {
        PairOut {
            second: pair.second.clone(),
            alike: pair.alike,
            levels: pair.levels.iter().map(|level| self.together(level)).collect(),
            second_on: self.of(Amount::small(pair.lag_on)),
            second_on_entered: pair.lag_entered,
            second_off: self.of(Amount::small(pair.lag_off)),
            live_volume: self.of(pair.live),
            adds: pair.adds.map(|flow| self.of(flow)),
            both_stop_together: pair.both_stop,
            worst_starts_per_hour: pair.worst_starts,
            starts_allowed: pair.starts_limit.0,
            enough_second_on: pair.enough_lag_on.map(|on| self.of(Amount::small(on))),
        }
    }

    fn together(&self, level: &TogetherAt) -> TogetherOut {
        let (state, together, each, junction) = match &level.together {
            Together::Meets { line_flow, branches, junction, .. } => (
                "meets",
                Some(*line_flow),
                branches.iter().map(|branch| self.of(branch.line_flow)).collect(),
                Some(*junction),
            ),
            Together::CannotLift => ("cannot_lift", None, Vec::new(), None),
            Together::BeyondLastPoint { at_least, .. } => ("beyond_last_point", Some(*at_least), Vec::new(), None),
            Together::BeforeFirstPoint { .. } => ("before_first_point", None, Vec::new(), None),
        };
        TogetherOut {
            water_at: level.at,
            water_level: self.of(level.water_level),
            first_alone: level.alone.map(|flow| self.of(flow)),
            second_alone: level.other_alone.map(|flow| self.of(flow)),
            state,
            together: together.map(|flow| self.of(flow)),
            each,
            junction: junction.map(|head| self.of(head)),
        }
    }
}
