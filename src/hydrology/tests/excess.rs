use super::super::{Excess, GreenAmpt, Horton, Loss, RainBlock, rain_excess};
use super::{HOSTILE, close};
use crate::quantity::{Duration, Intensity, Length, RainDepth};
use proptest::prelude::*;

/// Blocks of so many minutes each, in millimetres per hour.
fn storm(minutes: f64, intensities: &[f64]) -> Vec<RainBlock> {
    intensities.iter().map(|&intensity| block(minutes, intensity)).collect()
}
fn block(minutes: f64, intensity: f64) -> RainBlock {
    RainBlock { duration: Duration::from_min(minutes), intensity: Intensity::from_mmh(intensity) }
}
fn constant(rate: f64) -> Loss {
    Loss::Constant(Intensity::from_mmh(rate))
}
fn green_ampt(conductivity: f64, suction_mm: f64, moisture_deficit: f64) -> Loss {
    let (conductivity, suction) = (Intensity::from_mmh(conductivity), Length::from_mm(suction_mm));
    Loss::GreenAmpt(GreenAmpt { conductivity, suction, moisture_deficit })
}
fn horton(initial: f64, ultimate: f64, decay_h: f64) -> Loss {
    let (initial, ultimate) = (Intensity::from_mmh(initial), Intensity::from_mmh(ultimate));
    Loss::Horton(Horton { initial, ultimate, decay_time: Duration::from_h(decay_h) })
}
fn run(loss: &Loss, hollows_mm: f64, blocks: &[RainBlock]) -> Excess {
    rain_excess(loss, RainDepth::from_mm(hollows_mm), blocks)
}
fn total(excess: &Excess) -> f64 {
    excess.total().mm()
}

#[test]
fn published_green_ampt_with_a_dry_gap() {
    // Gupta, Hydrology and Hydraulic Systems, problem 4.7(a), answer list: six half hours, printed to one decimal
    let conductivity = Intensity::from_inh(3.3e-4 * 3600.0);
    let loss = Loss::GreenAmpt(GreenAmpt { conductivity, suction: Length::from_inch(6.5), moisture_deficit: 0.44 });
    let blocks = storm(30.0, &[0.5, 0.0, 0.0, 4.5, 5.0, 3.0].map(|rate| rate * 25.4));
    let found = rain_excess(&loss, RainDepth::ZERO, &blocks);
    close(found.ponds_at.unwrap().minutes(), 100.5, 0.3);
    let inches: Vec<f64> = found.blocks.iter().map(|depth| depth.inch()).collect();
    assert_eq!(inches[..3], [0.0; 3]);
    // and computed apart
    for (found, printed, tolerance, apart) in
        [(inches[3], 0.3, 0.1, 0.369_31), (inches[4], 1.3, 0.05, 1.281), (inches[5], 0.4, 0.1, 0.465_18)]
    {
        close(found, printed, tolerance);
        close(found, apart, 5e-5);
    }
}

#[test]
fn hollows_fill_overflow_drain_and_fill_again() {
    // by hand, a loss of 6 mm/h under hollows of 2 mm: 30 mm/h for 10 min brings 5, loses 1, holds 2, sheds 2; ten dry
    // minutes take 1 of the 2; 30 mm/h for 5 min brings 2.5, loses 0.5, fills 1, sheds 1; a dry hour empties them
    let blocks = [block(10.0, 30.0), block(10.0, 0.0), block(5.0, 30.0), block(60.0, 0.0)];
    let found = run(&constant(6.0), 2.0, &blocks);
    for (found, by_hand) in found.blocks.iter().zip([2.0, 0.0, 1.0, 0.0]) {
        close(found.mm(), by_hand, 1e-12);
    }
    close(found.soaked.mm(), 4.5, 1e-12);
    assert_eq!(found.held, RainDepth::ZERO);
    assert_eq!(found.ponds_at, Some(Duration::ZERO));
    // and half way through the gap
    let found = run(&constant(6.0), 2.0, &blocks[..2]);
    close(found.held.mm(), 1.0, 1e-12);
}

#[test]
fn one_block_drains_the_hollows_dry_ponds_anew_and_overflows() {
    // against small steps: hollows half full, then rain that is weaker than the capacity, later stronger
    for (loss, rate) in [(green_ampt(2.0, 110.0, 0.3), 8.0), (horton(40.0, 3.0, 0.5), 15.0)] {
        let blocks = [block(4.0, 80.0), block(240.0, rate)];
        let wet = run(&loss, 1.5, &blocks[..1]);
        let found = run(&loss, 1.5, &blocks);
        let (mut soaked, mut held, mut over) = (wet.soaked.m(), wet.held.m(), wet.total().m());
        assert!(held > 0.0);
        let (mut ran_dry, intensity, steps) = (false, blocks[1].intensity.ms(), 40_000);
        let step = blocks[1].duration.s() / f64::from(steps);
        for _ in 0..steps {
            let capacity = match &loss {
                Loss::GreenAmpt(soil) => soil.rate_at(RainDepth::from_m(soaked)).ms(),
                // straight down the curve by its own clock: f = f0 - k (F - fc t)
                Loss::Horton(soil) => {
                    let mut clock = soaked / soil.initial.ms();
                    for _ in 0..30 {
                        let depth = soil.cumulative_ponded(Duration::from_s(clock)).m();
                        clock += (soaked - depth) / soil.rate(Duration::from_s(clock)).ms();
                    }
                    soil.rate(Duration::from_s(clock)).ms()
                }
                Loss::Constant(rate) => rate.ms(),
            };
            let sunk = (capacity * step).min(held + intensity * step);
            let water = held + intensity * step - sunk;
            soaked += sunk;
            held = water.min(0.0015);
            over += water - held;
            ran_dry |= held <= 0.0;
        }
        assert!(ran_dry && over > wet.total().m() && held >= 0.0015 * 0.999, "{loss:?}");
        close(found.total().m() / over, 1.0, 1e-3);
        close(found.soaked.m() / soaked, 1.0, 1e-3);
    }
}

#[test]
fn vanishing_suction_is_a_constant_loss() {
    let blocks = storm(60.0, &[3.0, 20.0, 0.0, 50.0, 4.0]);
    let steady = run(&constant(12.0), 1.0, &blocks);
    for suction in [0.0, 1e-300, 1e-200, 1e-12] {
        let found = run(&green_ampt(12.0, suction, 0.3), 1.0, &blocks);
        close(total(&found), total(&steady), 1e-9);
        close(found.soaked.mm(), steady.soaked.mm(), 1e-9);
    }
    for decay in [1e-9, 1.0] {
        close(total(&run(&horton(12.0, 12.0, decay), 1.0, &blocks)), total(&steady), 1e-9);
    }
}

#[test]
fn hortons_clock_stands_while_no_rain_falls() {
    // a gap changes nothing where no water stands, and a capacity that ends at nothing takes no more than its store
    let loss = horton(60.0, 0.0, 0.5);
    let split = run(&loss, 0.0, &[block(10.0, 20.0), block(600.0, 0.0), block(200.0, 50.0)]);
    let joined = run(&loss, 0.0, &[block(10.0, 20.0), block(200.0, 50.0)]);
    close(total(&split), total(&joined), 1e-12);
    close(run(&loss, 0.0, &storm(3000.0, &[50.0])).soaked.mm(), 30.0, 1e-9);
}

#[test]
fn names_and_settled_rates() {
    let all = [constant(4.0), green_ampt(4.0, 100.0, 0.3), horton(9.0, 4.0, 1.0)];
    assert_eq!(all.map(|loss| loss.name()), ["steady infiltration", "Green-Ampt", "Horton"]);
    for loss in all {
        close(loss.settled().mmh(), 4.0, 1e-12);
        close(loss.capacity(Intensity::from_mmh(30.0), Duration::from_h(1e6)).mmh(), 4.0, 1e-3);
        close(loss.capacity(Intensity::from_mmh(3.0), Duration::from_h(2.0)).mmh(), 3.0, 1e-12);
        close(loss.cumulative(Intensity::from_mmh(3.0), Duration::from_h(2.0)).mm(), 6.0, 1e-12);
        assert!(loss.cumulative(Intensity::from_ms(f64::NAN), Duration::from_h(2.0)).m().is_nan());
        assert!(loss.capacity(Intensity::from_mmh(3.0), Duration::from_s(f64::NAN)).ms().is_nan());
        assert_eq!(run(&loss, 1.0, &[]).ponds_at, None);
        assert_eq!(run(&loss, 1.0, &[]).soaked, RainDepth::ZERO);
    }
    assert!(constant(-1.0).cumulative(Intensity::from_mmh(3.0), Duration::from_h(2.0)).m().is_nan());
}

#[test]
fn rates_of_a_flooded_surface_by_hand() {
    let after = |loss: Loss, mm: f64| loss.rate_after(RainDepth::from_mm(mm)).mmh();
    close(after(constant(4.0), 0.0), 4.0, 1e-12);
    close(after(constant(4.0), 70.0), 4.0, 1e-12);
    // Green and Ampt: 10 x (1 + 100 x 0.3/15) = 30 mm/h, without end where nothing has soaked in
    let soil = green_ampt(10.0, 100.0, 0.3);
    close(after(soil, 15.0), 30.0, 1e-9);
    assert!(after(soil, 0.0).is_infinite() && after(soil, -1.0).is_infinite() && after(soil, 0.0) > 0.0);
    // Horton: after half an hour under a pond 10/2 + 50/2 (1 - 1/e) = 20.803014 mm are in, and 10 + 50/e = 28.393972 mm/h go
    // on; the dry ground takes 60
    let soil = horton(60.0, 10.0, 0.5);
    close(after(soil, 20.803_013_97), 28.393_972_06, 1e-6);
    close(after(soil, 0.0), 60.0, 1e-12);
    close(after(soil, -1.0), 60.0, 1e-12);
    // no number, or no ground
    for loss in [constant(4.0), green_ampt(10.0, 100.0, 0.3), horton(60.0, 10.0, 0.5)] {
        assert!(after(loss, f64::NAN).is_nan(), "{loss:?}");
    }
    for loss in [
        constant(-1.0),
        constant(f64::INFINITY),
        green_ampt(-1.0, 100.0, 0.3),
        green_ampt(1.0, -1.0, 0.3),
        horton(5.0, 10.0, 0.5),
    ] {
        assert!(after(loss, 15.0).is_nan(), "{loss:?}");
    }
}

#[test]
fn hollows_run_dry_within_a_block_by_hand() {
    // 2 mm stand; rain of 2 mm/h under a loss of 6 sinks by 4 mm/h: gone after half an hour, and all of the rain soaks in
    // from there: in two hours 2 + 2 x 2 = 6 mm are in
    let blocks = [block(10.0, 30.0), block(120.0, 2.0)];
    let found = run(&constant(6.0), 2.0, &blocks);
    close(found.blocks[0].mm(), 2.0, 1e-12);
    close(found.blocks[1].mm(), 0.0, 0.0);
    close(found.soaked.mm(), 1.0 + 6.0, 1e-9);
    close(found.held.mm(), 0.0, 0.0);
    // just before it is gone: after 29 min 2 - 4 x 29/60 = 0.066667 mm stand
    let found = run(&constant(6.0), 2.0, &[block(10.0, 30.0), block(29.0, 2.0)]);
    close(found.held.mm(), 2.0 - 4.0 * 29.0 / 60.0, 1e-9);
    close(found.soaked.mm(), 1.0 + 2.9, 1e-9);
    // rain as strong as the loss holds the water where it is, and does not make it stand
    let found = run(&constant(6.0), 2.0, &[block(10.0, 30.0), block(60.0, 6.0)]);
    close(found.held.mm(), 2.0, 1e-9);
    let found = run(&constant(6.0), 2.0, &[block(60.0, 6.0)]);
    assert_eq!((found.ponds_at, found.held), (None, RainDepth::ZERO));
    close(found.soaked.mm(), 6.0, 1e-12);
    // water first stands in the third block, 20 min after the start; the second time does not count
    let found = run(
        &constant(6.0),
        2.0,
        &[block(10.0, 3.0), block(10.0, 0.0), block(10.0, 30.0), block(600.0, 0.0), block(5.0, 30.0)],
    );
    close(found.ponds_at.unwrap().minutes(), 20.0, 1e-9);
}

#[test]
fn ponding_inside_a_block_by_hand() {
    // Green and Ampt, K 10 mm/h, ψΔθ 30 mm: 40 mm/h stand once 30 x 10/(40 - 10) = 10 mm are in, after a quarter of an hour;
    // by 10 mm/h nothing stands, so after half an hour of that, 5 mm in, it takes 5 mm more: 7.5 min
    let soil = green_ampt(10.0, 100.0, 0.3);
    close(run(&soil, 0.0, &[block(60.0, 40.0)]).ponds_at.unwrap().minutes(), 15.0, 1e-9);
    close(run(&soil, 0.0, &[block(30.0, 10.0), block(60.0, 40.0)]).ponds_at.unwrap().minutes(), 37.5, 1e-9);
    assert_eq!(run(&soil, 0.0, &[block(600.0, 10.0)]).ponds_at, None);
    // ponded for 45 min more: F - 10 - 30 ln((30 + F)/40) = 7.5 has F = 29.324 mm, by halving: 40 - 29.324 mm run off
    let found = run(&soil, 0.0, &[block(60.0, 40.0)]);
    close(found.soaked.mm(), 29.324_070_3, 1e-6);
    close(found.blocks[0].mm(), 40.0 - 29.324_070_3, 1e-6);
}

#[test]
fn what_is_no_storm_or_ground_is_no_number() {
    let good = [block(10.0, 5.0)];
    let nan = |found: Excess| {
        let depths = [found.soaked, found.held];
        depths.iter().chain(&found.blocks).all(|depth| depth.m().is_nan()) && found.ponds_at.is_none()
    };
    for odd in [-1.0, f64::NAN, f64::INFINITY] {
        assert!(nan(run(&constant(odd), 0.0, &good)), "{odd}");
        assert!(nan(run(&constant(1.0), odd, &good)), "{odd}");
        assert!(nan(run(&constant(1.0), 0.0, &[block(10.0, 5.0), block(odd, 5.0)])), "{odd}");
        assert!(nan(run(&constant(1.0), 0.0, &[block(10.0, 5.0), block(10.0, odd)])), "{odd}");
    }
    // as many blocks as were given
    assert_eq!(run(&constant(-1.0), 0.0, &[block(1.0, 1.0); 3]).blocks.len(), 3);
}

#[test]
fn hostile_storms_neither_panic_nor_lose_water() {
    for a in HOSTILE {
        for b in HOSTILE {
            for c in HOSTILE {
                let (rate, length) = (Intensity::from_ms(a), Length::from_m(b));
                let losses = [
                    Loss::Constant(rate),
                    Loss::GreenAmpt(GreenAmpt { conductivity: rate, suction: length, moisture_deficit: c }),
                    Loss::Horton(Horton {
                        initial: rate,
                        ultimate: Intensity::from_ms(b),
                        decay_time: Duration::from_s(c),
                    }),
                ];
                for i in HOSTILE {
                    for (t, hollows) in [(1.0, 0.0), (1.0, 1e-3), (1e-300, 1.0), (1e300, 1e300), (c, a)] {
                        let rain = |i, t| RainBlock { duration: Duration::from_s(t), intensity: Intensity::from_ms(i) };
                        let blocks = [rain(i, t), rain(0.0, 1.0), rain(1.0, t), rain(i, 1.0)];
                        for loss in &losses {
                            let found = rain_excess(loss, RainDepth::from_m(hollows), &blocks);
                            assert_eq!(found.blocks.len(), 4);
                            let parts = [found.soaked.m(), found.held.m(), found.total().m()];
                            let all: f64 = parts.iter().sum();
                            if all.is_nan() {
                                assert!(parts.iter().all(|part| part.is_nan()), "{loss:?} {blocks:?}");
                                continue;
                            }
                            let fallen: f64 = blocks.iter().map(|block| block.depth().m()).sum();
                            assert!(parts.iter().all(|&part| part >= 0.0), "{loss:?} {blocks:?} {found:?}");
                            close(all, fallen, 1e-12 * fallen);
                        }
                    }
                }
            }
        }
    }
}

/// Any kind of ground.
fn any_loss() -> impl Strategy<Value = Loss> {
    prop_oneof![
        (0.0f64..40.0).prop_map(constant),
        (0.0f64..40.0, 0.0f64..300.0, 0.0f64..0.5).prop_map(|(k, suction, deficit)| green_ampt(k, suction, deficit)),
        (0.0f64..20.0, 0.0f64..80.0, 0.02f64..4.0).prop_map(|(end, more, decay)| horton(end + more, end, decay)),
    ]
}
/// Blocks with dry gaps among them.
fn any_storm() -> impl Strategy<Value = Vec<RainBlock>> {
    let intensity = prop_oneof![1 => Just(0.0), 3 => 0.0f64..20.0, 2 => 20.0f64..200.0];
    let one = (0.0f64..90.0, intensity).prop_map(|(minutes, intensity)| block(minutes, intensity));
    prop::collection::vec(one, 1..14)
}
/// None, or some.
fn any_hollows() -> impl Strategy<Value = f64> {
    prop_oneof![Just(0.0), 0.0f64..6.0]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1000, failure_persistence: None, ..ProptestConfig::default() })]

    /// The rain is all there, and every part of it is zero or above.
    #[test]
    fn identity_the_balance_closes(loss in any_loss(), hollows in any_hollows(), blocks in any_storm()) {
        let found = run(&loss, hollows, &blocks);
        let rain: f64 = blocks.iter().map(|block| block.depth().mm()).sum();
        let all = found.soaked.mm() + found.held.mm() + total(&found);
        prop_assert!((all - rain).abs() <= 1e-12 * rain, "{all} of {rain}: {found:?}");
        prop_assert!(found.blocks.iter().all(|depth| *depth >= RainDepth::ZERO));
        prop_assert!(found.soaked >= RainDepth::ZERO && found.held >= RainDepth::ZERO);
        prop_assert!(found.held.mm() <= hollows * (1.0 + 1e-12));
        prop_assert!(total(&found) <= 0.0 || found.ponds_at.is_some());
    }

    /// Steady rain on level ground is what the method says of steady rain.
    #[test]
    fn identity_one_steady_block(loss in any_loss(), minutes in 0.0f64..600.0, intensity in 0.0f64..200.0) {
        let rain = block(minutes, intensity);
        let expected = (rain.depth() - loss.cumulative(rain.intensity, rain.duration)).mm();
        let found = run(&loss, 0.0, &[rain]);
        prop_assert!((total(&found) - expected).abs() <= 1e-12 * rain.depth().mm(), "{} {expected}", total(&found));
        prop_assert!(total(&found) <= 0.0 || loss.capacity(rain.intensity, rain.duration) < rain.intensity);
    }

    /// Where a block is cut makes no difference.
    #[test]
    fn identity_blocks_may_be_cut(
        loss in any_loss(), hollows in any_hollows(), blocks in any_storm(), part in 0.0f64..1.0,
    ) {
        let cut: Vec<_> = blocks.iter().flat_map(|whole| {
            let first = RainBlock { duration: whole.duration * part, ..*whole };
            [first, RainBlock { duration: whole.duration - first.duration, ..*whole }]
        }).collect();
        let (one, other) = (run(&loss, hollows, &blocks), run(&loss, hollows, &cut));
        let rain: f64 = blocks.iter().map(|block| block.depth().mm()).sum();
        prop_assert!((total(&one) - total(&other)).abs() <= 1e-9 * rain, "{one:?} {other:?}");
        prop_assert!((one.held - other.held).mm().abs() <= 1e-9 * rain, "{one:?} {other:?}");
    }

    /// More rain in a block never leaves less excess, larger hollows never more.
    #[test]
    fn identity_more_rain_more_excess(
        loss in any_loss(), hollows in any_hollows(), blocks in any_storm(), at in 0usize..14, more in 0.0f64..50.0,
    ) {
        let mut wetter = blocks.clone();
        let changed = at % blocks.len();
        wetter[changed].intensity += Intensity::from_mmh(more);
        let (less, greater) = (run(&loss, hollows, &blocks), run(&loss, hollows, &wetter));
        let rounding = 1e-12 * wetter.iter().map(|block| block.depth().mm()).sum::<f64>();
        prop_assert!(total(&greater) >= total(&less) - rounding, "{} {}", total(&less), total(&greater));
        prop_assert!(greater.soaked.mm() >= less.soaked.mm() - rounding);
        prop_assert!(total(&run(&loss, hollows + 1.0, &blocks)) <= total(&less) + rounding);
    }
}
