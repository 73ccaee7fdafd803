//! The storms through the yard as wire types.

use super::Maker;
use super::wire::yard::{
    BatteryOut, GoalOut, HollowOut, OtherPumpsOut, PowerCutOut, ProtectedOut, RisenOut, ShedsMoreOut, SoilTakesLessOut,
    SteadyRain, StormRun, YardInStorm, YardInStorms,
};
use crate::design::{Cure, Design, PeriodOutcome, StormOutcome, StormsResult};
use crate::quantity::Amount;

impl Maker {
    pub(super) fn groundwater_risen(&self, outcome: &StormOutcome) -> Option<RisenOut> {
        outcome.groundwater_risen.map(|(level, flow)| RisenOut { level: self.of(level), flow: self.of(flow) })
    }

    pub(super) fn in_storms(&self, design: &Design) -> YardInStorms {
        match &design.in_storms {
            Ok(storms) => YardInStorms { not_followed: None, followed: Some(self.followed(storms)) },
            Err(why) => YardInStorms { not_followed: Some(why.to_string()), followed: None },
        }
    }
    fn followed(&self, storms: &StormsResult) -> super::wire::yard::Followed {
        super::wire::yard::Followed {
            storms: storms.periods.iter().map(|period| self.period(period)).collect(),
            design: storms.design,
            goal: storms.goal.as_ref().map(|goal| GoalOut {
                met: goal.met(),
                standing_water: goal.depth.map(|(most, _)| self.of(Amount::small(most))),
                standing_water_met: goal.depth.map(|(_, met)| met),
                clear_within: goal.clear.map(|(most, _)| self.of(most)),
                clear_within_met: goal.clear.map(|(_, met)| met),
                pump_flow_that_would: goal.cures.iter().find_map(|cure| match cure {
                    Cure::PumpFlow(flow) => Some(self.of(*flow)),
                    Cure::Storage(_) => None,
                }),
                room_that_would: goal.cures.iter().find_map(|cure| match cure {
                    Cure::Storage(room) => Some(self.of(*room)),
                    Cure::PumpFlow(_) => None,
                }),
                held_back_by_grates_and_pipes: goal.held_back,
            }),
            power_cut: PowerCutOut {
                worst_moment: self.of(storms.power_cut.cut_at),
                stands_with_power_too: storms.power_cut.stands_anyway,
                stands_after: storms.power_cut.stands_after.map(|after| self.of(after)),
                protected: storms
                    .power_cut
                    .protected
                    .iter()
                    .map(|(name, level, after)| ProtectedOut {
                        name: name.clone(),
                        level: self.of(*level),
                        reached_after: after.map(|after| self.of(after)),
                    })
                    .collect(),
                all_storm: self.run(&storms.power_cut.all_storm),
                battery: storms.power_cut.battery.as_ref().map(|battery| BatteryOut {
                    runs_without_stopping: self.of(battery.without_stopping),
                    run_time_needed: self.of(battery.needed),
                    flat_after: battery.flat_at.map(|at| self.of(at)),
                    storm: self.run(&battery.outcome),
                }),
            },
            other_pumps: storms.other_pumps.as_ref().map(|other| OtherPumpsOut {
                count: other.count,
                flow: self.of(other.flow),
                storm: self.run(&other.outcome),
            }),
            stone_full: storms.stone_full.as_ref().map(|full| self.run(full)),
            soil_not_known: storms.soil_not_known.clone(),
            soil_takes_less: storms
                .soil_takes_less
                .iter()
                .map(|run| SoilTakesLessOut {
                    surfaces: run
                        .surfaces
                        .iter()
                        .map(|surface| ShedsMoreOut {
                            name: surface.name.clone(),
                            by: surface.by.name(),
                            share: surface.share,
                            share_counted: surface.counted,
                        })
                        .collect(),
                    storm: self.run(&run.outcome),
                    goal_met: run.goal_met,
                })
                .collect(),
        }
    }
    fn period(&self, period: &PeriodOutcome) -> YardInStorm {
        YardInStorm {
            return_period: period.period.map(|period| self.of(period)),
            nested: self.run(&period.nested),
            worst_steady_rain_for_depth: SteadyRain {
                duration: self.of(period.block_depth.0),
                depth: Some(self.of(Amount::small(period.block_depth.1))),
                stands: None,
            },
            worst_steady_rain_for_time: SteadyRain {
                duration: self.of(period.block_stands.lasts),
                depth: None,
                stands: Some(self.of(period.block_stands.stands())),
            },
            asked_for: period.asked.as_ref().map(|outcome| self.run(outcome)),
        }
    }
    pub(super) fn run(&self, outcome: &StormOutcome) -> StormRun {
        StormRun {
            shape: outcome.shape.name(),
            rain_lasts: self.of(outcome.lasts),
            rain: self.of(outcome.rain),
            runoff: self.of(outcome.runoff),
            peak_inflow: self.of(outcome.peak_inflow),
            came: self.of(outcome.came),
            pumped: self.of(outcome.pumped),
            pumped_share: outcome.pumped_share(),
            ran_over: self.of(outcome.spilled),
            deepest: self.of(Amount::small(outcome.depth())),
            stands: self.of(outcome.stands()),
            still_stands: outcome.still_stands(),
            starts: outcome.starts,
            runs: self.of(outcome.runs),
            second_pump_runs: self.of(outcome.second_runs),
            highest_in_basin: self.of(outcome.highest_in_basin),
            alarm_after: outcome.alarm_at.map(|at| self.of(at)),
            places: outcome
                .hollows
                .iter()
                .map(|hollow| HollowOut {
                    name: hollow.name.clone(),
                    surface_assumed: hollow.assumed,
                    rim: self.of(hollow.rim),
                    stays: self.of(Amount::small(hollow.stays)),
                    deepest: self.of(Amount::small(hollow.deepest)),
                    deepest_after: self.of(hollow.deepest_at),
                    volume: self.of(hollow.volume),
                    stands: self.of(hollow.stands),
                    stands_from: hollow.stands_from.map(|at| self.of(at)),
                    still_stands: hollow.still_stands,
                    runs_over: self.of(hollow.spilled),
                    runs_to: hollow.spills_to.clone(),
                })
                .collect(),
            protected: outcome
                .protected
                .iter()
                .map(|(name, level, at)| ProtectedOut {
                    name: name.clone(),
                    level: self.of(*level),
                    reached_after: at.map(|at| self.of(at)),
                })
                .collect(),
            groundwater_risen: self.groundwater_risen(outcome),
            followed: self.of(outcome.followed),
            imbalance_share: outcome.imbalance,
        }
    }
}
