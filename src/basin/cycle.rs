//! How often the pump starts, and how long it runs.
//!
//! With live volume V between the floats, drain-back Vb at each stop, pump flow Qp that leaves for good and inflow
//! Qin, the rest lasts (V - Vb)/Qin and the run V/(Qp - Qin). Starts are most frequent at
//! Qin = Qp √(V - Vb)/(√V + √(V - Vb)), where the cycle is (√V + √(V - Vb))²/Qp; with Vb = 0 that is half of Qp and
//! 4V/Qp (the storage rule V = tQ/4 of the US Army's engineering instruction EI 11C201, 1997, and its derivation).

use crate::numeric::bracketed_root;
use crate::quantity::{Duration, Flow, Real, Volume};

/// Where the cycle formulas are from.
pub const CYCLE_SOURCE: &str = "mass balance; with no drain-back the storage rule V = tQ/4 of USACE EI 11C201 (1997)";

/// One cycle of a pump at a steady inflow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Cycle {
    /// No inflow: the pump does not start.
    Idle,
    /// The inflow is as large as the pump's flow or larger: it runs without stopping.
    Continuous,
    /// What runs back fills the floats' span: the pump restarts at once, for ever.
    RestartsItself,
    /// It starts and stops.
    Cycles {
        /// Time at rest.
        rest: Duration,
        /// Time running.
        run: Duration,
    },
}

impl Cycle {
    /// The cycle at an inflow. Volumes and flows that are not above zero count as none.
    pub fn at(live: Volume, drain_back: Volume, pump_flow: Flow, inflow: Flow) -> Self {
        if drain_back >= live {
            return Self::RestartsItself;
        }
        if inflow <= Flow::ZERO {
            return Self::Idle;
        }
        if inflow >= pump_flow {
            return Self::Continuous;
        }
        Self::Cycles { rest: rest_time(live, drain_back, inflow), run: run_time(live, pump_flow, inflow) }
    }
    /// Starts in an hour.
    pub fn starts_per_hour(&self) -> f64 {
        match self {
            Self::Cycles { rest, run } => Duration::from_h(1.0) / (*rest + *run),
            Self::Idle | Self::Continuous => 0.0,
            Self::RestartsItself => f64::INFINITY,
        }
    }
}

/// The time at rest: (V - Vb)/Qin.
pub fn rest_time<N: Real>(live: Volume<N>, drain_back: Volume<N>, inflow: Flow<N>) -> Duration<N> {
    (live - drain_back) / inflow
}

/// The time of a run: V/(Qp - Qin).
pub fn run_time<N: Real>(live: Volume<N>, pump_flow: Flow<N>, inflow: Flow<N>) -> Duration<N> {
    live / (pump_flow - inflow)
}

/// The inflow at which starts are most frequent. Needs V > Vb.
pub fn worst_inflow<N: Real>(live: Volume<N>, drain_back: Volume<N>, pump_flow: Flow<N>) -> Flow<N> {
    let (full, rest) = (live.m3().sqrt(), (live - drain_back).m3().sqrt());
    Flow::from_m3s(pump_flow.m3s() * rest / (full + rest))
}

/// The shortest cycle, at the worst inflow. Needs V > Vb.
pub fn shortest_cycle<N: Real>(live: Volume<N>, drain_back: Volume<N>, pump_flow: Flow<N>) -> Duration<N> {
    let sum = live.m3().sqrt() + (live - drain_back).m3().sqrt();
    Duration::from_s(sum * sum / pump_flow.m3s())
}

/// The live volume at which the shortest cycle is just as long as asked for: with s = √(Qp T), V = ((s² + Vb)/2s)².
pub fn live_volume_for(cycle: Duration, drain_back: Volume, pump_flow: Flow) -> Volume {
    let square = (pump_flow * cycle).m3();
    if square <= 0.0 {
        return drain_back;
    }
    // below that, the rest would have to be negative: the drain-back alone is the least
    if square <= drain_back.m3() {
        return drain_back;
    }
    let half = (square + drain_back.m3()) / (2.0 * square.sqrt());
    Volume::from_m3(half * half)
}

/// The live volume that a step in pumping rate needs for the shortest cycle to be as long as asked for: V = tQ/4.
pub fn live_volume_for_increment(cycle: Duration, increment: Flow) -> Volume {
    increment * cycle / 4.0
}

/// The shortest cycle of two pumps that stop together: the basin fills up to the first pump's start with both at rest,
/// on to the second's with the first running, and both then draw it down. At an inflow Qin between what one takes, Q1,
/// and both take, Q2, that is V1/Qin + V2/(Qin - Q1) + (V1 + V2)/(Q2 - Qin): mass balance.
///
/// `first` is the volume below the first pump's start, `second` that from there to the second's. None where the second
/// adds nothing.
pub fn shortest_joint_cycle(first: Volume, second: Volume, alone: Flow, both: Flow) -> Option<Duration> {
    let (v1, v2, q1, q2) = (first.m3(), second.m3(), alone.m3s(), both.m3s());
    if q2 <= q1 || q1 < 0.0 {
        return None;
    }
    let cycle = |q: f64| v1 / q + v2 / (q - q1) + (v1 + v2) / (q2 - q);
    // each part is convex, so the sum has one least value, where it is level
    let square = |q: f64| q * q;
    let slope = |q: f64| (v1 + v2) / square(q2 - q) - v1 / square(q) - v2 / square(q - q1);
    let step = (q2 - q1) * 1e-6;
    let (low, high) = (q1 + step, q2 - step);
    // with next to nothing between the starts the least inflow that brings on both is the worst
    let worst = bracketed_root(low, high, step * 1e-3, slope).map_or(low, |root| root.x);
    Some(Duration::from_s(cycle(worst)))
}

/// The volume from the first pump's start to the second's with which the shortest joint cycle is as long as asked for;
/// nothing where it is so with none. None where the second adds nothing.
pub fn second_volume_for(cycle: Duration, first: Volume, alone: Flow, both: Flow) -> Option<Volume> {
    let miss = |second: f64| {
        shortest_joint_cycle(first, Volume::from_m3(second), alone, both).map_or(f64::NAN, |found| (found - cycle).s())
    };
    // that much above the first one's start is enough with nothing below it
    let most = live_volume_for_increment(cycle, both - alone);
    if both <= alone || miss(0.0) >= 0.0 {
        return (both > alone).then_some(Volume::ZERO);
    }
    bracketed_root(0.0, most.m3(), most.m3() * 1e-9, miss).ok().map(|root| Volume::from_m3(root.x))
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use proptest::prelude::*;

    #[test]
    fn identity_no_cycle_without_inflow_or_with_too_much() {
        let (v, q) = (Volume::from_gal(60.0), Flow::from_gpm(40.0));
        assert_eq!(Cycle::at(v, Volume::ZERO, q, Flow::ZERO), Cycle::Idle);
        assert_eq!(Cycle::at(v, Volume::ZERO, q, q), Cycle::Continuous);
        assert_eq!(Cycle::at(v, v, q, Flow::ZERO), Cycle::RestartsItself);
    }

    #[test]
    fn identity_the_drain_back_alone_is_the_least_live_volume() {
        let back = Volume::from_gal(50.0);
        assert_eq!(live_volume_for(Duration::from_s(1.0), back, Flow::from_gpm(40.0)), back);
    }

    #[test]
    fn identity_starts_in_an_hour_by_hand() {
        // 60 gal in at 10 gal/min and out at 40 - 10: 6 and 2 minutes
        let (v, q) = (Volume::from_gal(60.0), Flow::from_gpm(40.0));
        let cycles = Cycle::at(v, Volume::ZERO, q, Flow::from_gpm(10.0));
        assert_relative_eq!(cycles.starts_per_hour(), 7.5, max_relative = 1e-12);
        assert_relative_eq!(Cycle::Idle.starts_per_hour(), 0.0);
        assert_relative_eq!(Cycle::Continuous.starts_per_hour(), 0.0);
        assert!(Cycle::RestartsItself.starts_per_hour().is_infinite());
    }

    #[test]
    fn identity_two_pumps_by_hand() {
        let (gal, gpm) = (Volume::from_gal, Flow::from_gpm);
        // nothing below the first start: 4 V / (Q2 - Q1); a first pump that takes nothing: 4 (V1 + V2) / Q2
        let apart = shortest_joint_cycle(gal(0.0), gal(30.0), gpm(20.0), gpm(60.0)).unwrap();
        assert_relative_eq!(apart.minutes(), 3.0, max_relative = 1e-9);
        let idle = shortest_joint_cycle(gal(20.0), gal(30.0), gpm(0.0), gpm(60.0)).unwrap();
        assert_relative_eq!(idle.minutes(), 200.0 / 60.0, max_relative = 1e-9);
        // 4 minutes of 40 gal/min more: V = tQ/4
        assert_relative_eq!(live_volume_for_increment(Duration::from_min(4.0), gpm(40.0)).gal(), 40.0);
        // a second pump that adds nothing, or takes away
        for both in [20.0, 15.0] {
            assert_eq!(shortest_joint_cycle(gal(20.0), gal(30.0), gpm(20.0), gpm(both)), None);
            assert_eq!(second_volume_for(Duration::from_min(1.0), gal(20.0), gpm(20.0), gpm(both)), None);
        }
        assert_eq!(shortest_joint_cycle(gal(20.0), gal(30.0), gpm(-1.0), gpm(60.0)), None);
        // between next to nothing above the first start and much: the volume asked for gives the cycle asked for
        let wanted = second_volume_for(Duration::from_min(3.0), gal(20.0), gpm(20.0), gpm(60.0)).unwrap();
        assert!(wanted > Volume::ZERO && wanted < gal(30.0), "{} gal", wanted.gal());
        let cycle = shortest_joint_cycle(gal(20.0), wanted, gpm(20.0), gpm(60.0)).unwrap();
        assert_relative_eq!(cycle.minutes(), 3.0, max_relative = 1e-6);
        let none = second_volume_for(Duration::from_s(1.0), gal(20.0), gpm(20.0), gpm(60.0));
        assert_eq!(none, Some(Volume::ZERO));
    }

    /// The least of ten thousand inflows.
    #[test]
    fn identity_the_joint_cycle_is_the_least_of_a_scan() {
        for (first, second, alone, both) in [(20.0, 30.0, 20.0, 60.0), (40.0, 8.0, 30.0, 45.0), (5.0, 60.0, 10.0, 80.0)]
        {
            let least = (1..10_000)
                .map(|i| alone + (both - alone) * f64::from(i) / 1e4)
                .map(|q| first / q + second / (q - alone) + (first + second) / (both - q))
                .fold(f64::INFINITY, f64::min);
            let (v1, v2) = (Volume::from_gal(first), Volume::from_gal(second));
            let found = shortest_joint_cycle(v1, v2, Flow::from_gpm(alone), Flow::from_gpm(both)).unwrap();
            assert_relative_eq!(found.minutes(), least, max_relative = 1e-6);
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn identity_the_worst_inflow_is_the_worst(live in 5.0..200.0_f64, share in 0.0..0.95_f64, pump in 5.0..100.0_f64, other in 0.01..0.99_f64) {
            let (live, back, pump) =
                (Volume::from_gal(live), Volume::from_gal(live * share), Flow::from_gpm(pump));
            let worst = worst_inflow(live, back, pump);
            let Cycle::Cycles { rest, run } = Cycle::at(live, back, pump, worst) else { panic!("cycles") };
            assert_relative_eq!((rest + run).s(), shortest_cycle(live, back, pump).s(), max_relative = 1e-9);
            let Cycle::Cycles { rest: r, run: n } = Cycle::at(live, back, pump, pump * other) else { panic!("cycles") };
            prop_assert!((r + n).s() >= (rest + run).s() * (1.0 - 1e-9));
        }

        #[test]
        fn identity_the_joint_cycle_is_the_shortest_of_all_inflows(first in 1.0..100.0_f64, second in 0.1..100.0_f64, alone in 5.0..60.0_f64, adds in 1.0..60.0_f64, at in 0.001..0.999_f64) {
            let (v1, v2) = (Volume::from_gal(first), Volume::from_gal(second));
            let (q1, q2) = (Flow::from_gpm(alone), Flow::from_gpm(alone + adds));
            let shortest = shortest_joint_cycle(v1, v2, q1, q2).unwrap();
            // fill to the first start, on to the second, and down with both
            let inflow = Flow::from_gpm(alone + adds * at);
            let cycle = v1 / inflow + v2 / (inflow - q1) + (v1 + v2) / (q2 - inflow);
            prop_assert!(cycle >= shortest * (1.0 - 1e-6));
            // the volume that is asked for such a cycle is this one, or the cycle needs none
            let wanted = second_volume_for(shortest, v1, q1, q2).unwrap();
            prop_assert!((wanted.gal() - second).abs() < 1e-4 * second.max(1.0) || wanted == Volume::ZERO);
            prop_assert!(shortest_joint_cycle(v1, wanted, q1, q2).unwrap() >= shortest * (1.0 - 1e-6));
            // longer than that of the second alone between the starts, and no more than with nothing below the first
            prop_assert!(shortest >= v2 * 4.0 / (q2 - q1) * (1.0 - 1e-6));
        }

        #[test]
        fn identity_live_volume_undoes_the_cycle(live in 5.0..200.0_f64, share in 0.0..0.95_f64, pump in 5.0..100.0_f64) {
            let (live, back, pump) =
                (Volume::from_gal(live), Volume::from_gal(live * share), Flow::from_gpm(pump));
            let cycle = shortest_cycle(live, back, pump);
            assert_relative_eq!(live_volume_for(cycle, back, pump).gal(), live.gal(), max_relative = 1e-9);
        }
    }
}
