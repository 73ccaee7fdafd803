use super::super::{
    GreenAmpt, Hydrograph, Loss, RainBlock, SurfaceLoss, block_storm, excess_blocks, nested_storm, rain_excess,
    runoff_depth, split_blocks, split_for_losses,
};
use super::{HOSTILE, champaign_rain, close};
use crate::quantity::{Area, Duration, Flow, Intensity, Length, RainDepth};

fn steps(minutes: f64, inh: &[f64]) -> Vec<RainBlock> {
    let block = |rate: &f64| RainBlock { duration: Duration::from_min(minutes), intensity: Intensity::from_inh(*rate) };
    inh.iter().map(block).collect()
}

/// Silty clay loam half wet, Rawls et al. (1983).
fn clay() -> SurfaceLoss {
    let soil =
        GreenAmpt { conductivity: Intensity::from_mmh(1.0), suction: Length::from_cm(27.3), moisture_deficit: 0.216 };
    SurfaceLoss::Infiltration { loss: Loss::GreenAmpt(soil), depression_storage: RainDepth::from_inch(0.1) }
}

fn total(blocks: &[RainBlock]) -> RainDepth {
    blocks.iter().map(RainBlock::depth).sum()
}

#[test]
fn published_cumulative_excess_by_curve_number() {
    // University course problem set in an open benchmark of atmospheric science questions, question 3: curve number 57,
    // eight steps of 10 min; the figures it prints are cumulative.
    let storm = steps(10.0, &[2.0, 4.5, 5.0, 9.0, 8.0, 7.0, 3.5, 3.0]);
    let excess = excess_blocks(&SurfaceLoss::CurveNumber(57.0), &storm);
    for (after, printed) in [(3, 0.0209), (4, 0.3851), (5, 0.9741), (6, 1.6257), (8, 2.3133)] {
        close(total(&excess[..after]).inch(), printed, 0.0002);
    }
}

#[test]
fn each_loss_by_hand() {
    let storm = steps(60.0, &[1.0, 1.0, 0.0]);
    let rates = |loss: SurfaceLoss| -> Vec<f64> {
        let excess = excess_blocks(&loss, &storm);
        assert!(excess.iter().zip(&storm).all(|(excess, rain)| excess.duration == rain.duration));
        excess.iter().map(|block| block.intensity.inh()).collect()
    };
    let near = |found: Vec<f64>, wanted: [f64; 3]| {
        found.iter().zip(wanted).for_each(|(found, wanted)| close(*found, wanted, 1e-9));
    };
    near(rates(SurfaceLoss::Coefficient(0.3)), [0.3, 0.3, 0.0]);
    near(rates(SurfaceLoss::Coefficient(0.0)), [0.0; 3]);
    near(rates(SurfaceLoss::Coefficient(1.0)), [1.0, 1.0, 0.0]);
    for share in [-1e-9, 1.0 + 1e-9] {
        assert!(rates(SurfaceLoss::Coefficient(share)).iter().all(|rate| rate.is_nan()));
    }
    // curve number 80: S 2.5 in, of which a fifth goes first: of 1 in (1 - 0.5)²/(1 + 2) = 0.083333 in run off, of 2 in
    // 1.5²/4 = 0.5625 in
    near(rates(SurfaceLoss::CurveNumber(80.0)), [0.25 / 3.0, 0.5625 - 0.25 / 3.0, 0.0]);
    // 0.4 in/h soak in and hollows of 0.2 in fill: 1 - 0.4 - 0.2, then 1 - 0.4
    let loss = Loss::Constant(Intensity::from_inh(0.4));
    let ground = SurfaceLoss::Infiltration { loss, depression_storage: RainDepth::from_inch(0.2) };
    near(rates(ground), [0.4, 0.6, 0.0]);
}

#[test]
fn identity_each_loss_keeps_its_own_total() {
    let storm = nested_storm(&champaign_rain(10.0), Duration::from_min(5.0), Duration::from_h(24.0)).unwrap();
    let rain = total(&storm);
    let by = |loss: &SurfaceLoss| total(&excess_blocks(loss, &storm));
    close(by(&SurfaceLoss::Coefficient(0.3)) / rain, 0.3, 1e-12);
    close(by(&SurfaceLoss::CurveNumber(80.0)) / runoff_depth(rain, 80.0), 1.0, 1e-12);
    let SurfaceLoss::Infiltration { loss, depression_storage } = clay() else { unreachable!() };
    close(by(&clay()) / rain_excess(&loss, depression_storage, &storm).total(), 1.0, 1e-12);
}

#[test]
fn identity_cutting_the_storm_changes_no_total() {
    let storm = nested_storm(&champaign_rain(10.0), Duration::from_min(5.0), Duration::from_h(24.0)).unwrap();
    let cut = split_blocks(&storm, Duration::from_min(3.0));
    for loss in [SurfaceLoss::Coefficient(0.3), SurfaceLoss::CurveNumber(74.0), clay()] {
        close(total(&excess_blocks(&loss, &cut)) / total(&excess_blocks(&loss, &storm)), 1.0, 1e-9);
    }
}

/// What [`split_for_losses`] says of itself.
#[test]
fn identity_the_storm_is_cut_finely_enough() {
    let minutes = Duration::from_min;
    let rain = champaign_rain(10.0);
    let mut storms = vec![block_storm(&rain, minutes(60.0)).unwrap(), block_storm(&rain, minutes(360.0)).unwrap()];
    storms.extend([5.0, 10.0, 30.0].map(|shortest| nested_storm(&rain, minutes(shortest), minutes(1440.0)).unwrap()));
    let mut worst = 0.0_f64;
    for storm in storms {
        let fine = split_blocks(&split_for_losses(&storm), Duration::from_s(2.0));
        assert!(split_for_losses(&storm).len() < 400);
        for loss in [60.0, 74.0, 90.0].map(SurfaceLoss::CurveNumber).into_iter().chain([clay()]) {
            for tc in [5.0, 12.0, 30.0, 60.0].map(minutes) {
                let peak = |storm: &[RainBlock]| {
                    let excess = excess_blocks(&loss, storm);
                    Hydrograph::of_surface(&excess, Area::from_ft2(5000.0), tc).unwrap().peak().1
                };
                let fine = peak(&fine);
                if fine > Flow::ZERO {
                    worst = worst.max((peak(&split_for_losses(&storm)) / fine - 1.0).abs());
                }
            }
        }
    }
    assert!(worst < 5e-4 && worst > 0.0, "{worst}");
}

/// A limit of time alone leaves a burst whole that the ground does not take evenly.
#[test]
fn ten_minutes_alone_are_too_long() {
    let rain = champaign_rain(10.0);
    let storm = nested_storm(&rain, Duration::from_min(10.0), Duration::from_h(24.0)).unwrap();
    let peak = |storm: &[RainBlock]| {
        let excess = excess_blocks(&SurfaceLoss::CurveNumber(60.0), storm);
        Hydrograph::of_surface(&excess, Area::from_ft2(5000.0), Duration::from_min(5.0)).unwrap().peak().1
    };
    assert!(peak(&split_blocks(&storm, Duration::from_min(10.0))) < peak(&split_for_losses(&storm)) * 0.85);
}

#[test]
fn hostile_losses_are_no_number() {
    let storm = steps(10.0, &[1.0, 2.0]);
    for value in [f64::NAN, f64::INFINITY, -1.0, 1e300] {
        for loss in [
            SurfaceLoss::Coefficient(value),
            SurfaceLoss::CurveNumber(value),
            SurfaceLoss::Infiltration {
                loss: Loss::Constant(Intensity::from_ms(-1.0)),
                depression_storage: RainDepth::from_m(value),
            },
        ] {
            let excess = excess_blocks(&loss, &storm);
            assert_eq!(excess.len(), 2);
            assert!(excess.iter().all(|block| block.intensity.ms().is_nan()), "{loss:?} {excess:?}");
        }
    }
    // 1e300 in/h is more than a number can hold once it has fallen
    for rate in HOSTILE.into_iter().filter(|rate| !(1.1..f64::INFINITY).contains(rate)) {
        for loss in [SurfaceLoss::Coefficient(0.5), SurfaceLoss::CurveNumber(80.0), clay()] {
            let excess = excess_blocks(&loss, &steps(10.0, &[rate, 1.0]));
            let is_rain = rate.is_finite() && rate >= 0.0;
            assert!(excess.iter().all(|block| block.intensity.ms().is_nan() != is_rain), "{rate} {excess:?}");
        }
    }
}

#[test]
fn a_block_of_no_length_brings_nothing() {
    let storm = [steps(10.0, &[2.0]), steps(0.0, &[2.0]), steps(10.0, &[2.0])].concat();
    for loss in [SurfaceLoss::CurveNumber(90.0), clay()] {
        let excess = excess_blocks(&loss, &storm);
        assert_eq!(excess[1].intensity, Intensity::ZERO);
        assert!(total(&excess) > RainDepth::ZERO);
    }
}
