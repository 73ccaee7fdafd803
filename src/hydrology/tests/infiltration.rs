use super::super::{GreenAmpt, Horton, coefficient_from_infiltration};
use super::{HOSTILE, close};
use crate::quantity::factor::HOUR;
use crate::quantity::{Duration, Intensity, Length, RainDepth};

/// Centimetres per hour.
fn cmh(value: f64) -> Intensity {
    Intensity::from_mmh(10.0 * value)
}
fn cm(depth: RainDepth) -> f64 {
    depth.mm() / 10.0
}
fn rate(intensity: Intensity) -> f64 {
    intensity.mmh() / 10.0
}
fn hours(value: f64) -> Duration {
    Duration::from_h(value)
}

fn silt_loam() -> GreenAmpt {
    GreenAmpt { conductivity: cmh(0.65), suction: Length::from_cm(16.7), moisture_deficit: (1.0 - 0.30) * 0.486 }
}

#[test]
fn published_green_ampt_under_a_pond() {
    // Chow, Maidment and Mays, Applied Hydrology (1988), example 4.3.1 (from memory)
    let soil = silt_loam();
    close(soil.moisture_deficit, 0.340, 0.0005);
    close(soil.suction.cm() * soil.moisture_deficit, 5.68, 0.005);
    let soaked = soil.cumulative_ponded(hours(1.0));
    close(cm(soaked), 3.17, 0.01);
    close(rate(soil.rate_at(soaked)), 1.81, 0.01);
}

#[test]
fn published_green_ampt_ponding() {
    // Chow, Maidment and Mays (1988), example 4.4.1 (from memory)
    for (intensity, time, depth, tolerance) in [(1.0, 10.5, 10.5, 0.06), (5.0, 0.17, 0.85, 0.005)] {
        let (ponding, soaked) = silt_loam().ponding(cmh(intensity)).unwrap();
        close(ponding.h(), time, tolerance);
        close(cm(soaked), depth, tolerance);
    }
    assert_eq!(silt_loam().ponding(cmh(0.65)), None);
    // below the conductivity all of it soaks in, for ever
    close(cm(silt_loam().cumulative(cmh(0.6), hours(100.0))), 60.0, 1e-9);
    close(rate(silt_loam().capacity(cmh(0.6), hours(100.0))), 0.6, 1e-12);
}

#[test]
fn crosscheck_green_ampt_with_pond_depth() {
    // inputs: Ochsner, Rain or Shine (Oklahoma State University), 6.5 problem set; results computed apart. A pond of
    // depth h0 adds to the suction.
    let ponded = GreenAmpt { conductivity: cmh(0.65), suction: Length::from_cm(17.0 + 2.5), moisture_deficit: 0.34 };
    close(cm(ponded.cumulative_ponded(hours(6.1904))), 10.2, 0.002);
    close(rate(ponded.rate_at(RainDepth::from_mm(102.0))), 1.0725, 0.002);
    let dry = GreenAmpt { suction: Length::from_cm(17.0), ..ponded };
    let (ponding, soaked) = dry.ponding(cmh(1.5)).unwrap();
    close(cm(soaked) / 0.34, 13.0, 0.01);
    close(ponding.h(), 2.9467, 0.005);
}

#[test]
fn identity_green_ampt() {
    let soil = silt_loam();
    let suction = soil.suction.cm() * soil.moisture_deficit;
    let intensity = cmh(5.0);
    let (ponding, soaked) = soil.ponding(intensity).unwrap();
    for t in [0.2, 0.5, 1.0, 3.0, 30.0, 3000.0] {
        let depth = cm(soil.cumulative(intensity, hours(t)));
        // the equation between ponding and t
        let fp = cm(soaked);
        let balance = depth - fp - suction * libm::log((suction + depth) / (suction + fp));
        close(balance, 0.65 * (t - ponding.h()), 1e-9 * depth.max(1.0));
        close(rate(soil.capacity(intensity, hours(t))), 0.65 * (1.0 + suction / depth), 1e-9);
        assert!(depth <= 5.0 * t);
    }
    // continuous at ponding; a thousandth of a second under a pond follows sqrt(2 K suction t)
    close(cm(soil.cumulative(intensity, ponding)), cm(soaked), 1e-12);
    let instant = 1e-3 / HOUR;
    let early = cm(soil.cumulative_ponded(hours(instant)));
    close(early / (2.0 * 0.65 * suction * instant).sqrt(), 1.0, 1e-4);
    // without suction it is a constant loss (Cleveland, notes on the Green-Ampt loss model (2014), section 2.1)
    let none = GreenAmpt { suction: Length::ZERO, ..soil };
    assert_eq!(none.ponding(cmh(1.0)), Some((Duration::ZERO, RainDepth::ZERO)));
    close(cm(none.cumulative(cmh(1.0), hours(4.0))), 2.6, 1e-12);
    close(rate(none.capacity(cmh(1.0), hours(4.0))), 0.65, 1e-12);
}

#[test]
fn published_horton_capacity_and_volume() {
    // university course problem set, an open benchmark: f0 8.0, fc 0.5 cm/h, k 0.4 1/h
    let soil = Horton { initial: cmh(8.0), ultimate: cmh(0.5), decay_time: hours(1.0 / 0.4) };
    close(rate(soil.rate(hours(2.0))), 3.870, 0.0006);
    close(rate(soil.rate(hours(5.0))), 1.515, 0.0006);
    close(cm(soil.cumulative_ponded(hours(5.0)) - soil.cumulative_ponded(hours(2.0))), 7.387, 0.0006);
}

#[test]
fn crosscheck_horton_ponding() {
    // f0 10, fc 4 cm/h, k 2 1/h, i 6 cm/h; computed apart: the curve passes 6 cm/h at 0.549 h, but water stands at 0.700 h
    let soil = Horton { initial: cmh(10.0), ultimate: cmh(4.0), decay_time: hours(0.5) };
    let (ponding, soaked) = soil.ponding(cmh(6.0)).unwrap();
    close(cm(soaked), 4.1972, 0.001);
    close(ponding.h(), 0.69954, 0.0005);
    close(rate(soil.rate(hours(0.54931))), 6.0, 0.0005);
    // the rate leaves the rain's at ponding and goes on from there
    close(rate(soil.capacity(cmh(6.0), ponding)), 6.0, 1e-9);
    close(rate(soil.capacity(cmh(6.0), ponding + hours(1.0))), rate(soil.rate(hours(1.54931))), 1e-4);
    close(cm(soil.cumulative(cmh(6.0), ponding)), cm(soaked), 1e-9);
    // before it all of the rain soaks in
    for share in [0.0, 0.5, 0.99] {
        close(rate(soil.capacity(cmh(6.0), ponding * share)), 6.0, 1e-12);
        close(cm(soil.cumulative(cmh(6.0), ponding * share)), 6.0 * 0.699_536 * share, 1e-4);
    }
    // from then on the depth grows as under a pond: 4.1972 cm + 4 x 1 + 6/2 (e^-1.09861 - e^-3.09861), by hand
    close(cm(soil.cumulative(cmh(6.0), ponding + hours(1.0))), 4.1972 + 4.0 + (1.0 - 0.135_335), 0.0005);
    assert_eq!(soil.ponding(cmh(4.0)), None);
    assert_eq!(soil.ponding(cmh(12.0)), Some((Duration::ZERO, RainDepth::ZERO)));
}

#[test]
fn coefficient_from_what_soaks_in() {
    let c = |f, sd, minutes, i| {
        let (f, i) = (Intensity::from_inh(f), Intensity::from_inh(i));
        coefficient_from_infiltration(f, RainDepth::from_inch(sd), Duration::from_min(minutes), i)
    };
    // by hand: 0.2 in in a quarter hour is 0.8 in/h; 1 - (0.4 + 0.8)/4 = 0.7
    close(c(0.4, 0.2, 15.0, 4.0), 0.7, 1e-12);
    close(c(5.0, 0.2, 15.0, 4.0), 0.0, 0.0);
    close(c(0.0, 0.0, 15.0, 4.0), 1.0, 0.0);
    close(c(0.4, 0.2, 0.0, 4.0), 0.0, 0.0);
    close(c(0.4, 0.2, 15.0, 0.0), 0.0, 0.0);
    assert!(c(f64::NAN, 0.2, 15.0, 4.0).is_nan());
}

#[test]
fn what_is_no_number_or_no_soil_has_no_infiltration() {
    let nan = f64::NAN;
    let soil = GreenAmpt { conductivity: cmh(1.0), suction: Length::from_cm(10.0), moisture_deficit: 0.3 };
    let horton = Horton { initial: cmh(6.0), ultimate: cmh(1.0), decay_time: hours(0.5) };
    // weak rain, of which all soaks in, and strong rain
    for i in [0.5, 5.0] {
        for (i, t) in [(nan, hours(1.0)), (i, hours(nan)), (nan, hours(nan))] {
            let depths = [soil.cumulative(cmh(i), t), horton.cumulative(cmh(i), t)];
            let rates = [soil.capacity(cmh(i), t), horton.capacity(cmh(i), t)];
            assert!(
                depths.iter().all(|depth| depth.m().is_nan()) && rates.iter().all(|rate| rate.ms().is_nan()),
                "{i} {t:?}"
            );
        }
        for odd in [-1.0, nan, f64::INFINITY] {
            for bad in [
                GreenAmpt { conductivity: cmh(odd), ..soil },
                GreenAmpt { suction: Length::from_cm(odd), ..soil },
                GreenAmpt { moisture_deficit: odd, ..soil },
            ] {
                assert!(bad.cumulative(cmh(i), hours(1.0)).m().is_nan(), "{bad:?}");
                assert!(bad.capacity(cmh(i), hours(1.0)).ms().is_nan(), "{bad:?}");
                assert_eq!(bad.ponding(cmh(i)), None);
            }
            for bad in [
                Horton { initial: cmh(odd), ..horton },
                Horton { ultimate: cmh(odd), ..horton },
                Horton { decay_time: hours(odd), ..horton },
            ] {
                assert!(bad.cumulative(cmh(i), hours(1.0)).m().is_nan(), "{bad:?}");
                assert!(bad.capacity(cmh(i), hours(1.0)).ms().is_nan(), "{bad:?}");
                assert_eq!(bad.ponding(cmh(i)), None);
            }
        }
    }
    // no time to decay in, and a capacity that grows
    for bad in [Horton { decay_time: Duration::ZERO, ..horton }, Horton { initial: cmh(0.9), ..horton }] {
        assert!(bad.cumulative(cmh(5.0), hours(1.0)).m().is_nan() && bad.ponding(cmh(5.0)).is_none(), "{bad:?}");
    }
    // negative rain and negative time count as none
    for (i, t) in [(-1.0, 1.0), (5.0, -1.0)] {
        assert_eq!(
            (soil.cumulative(cmh(i), hours(t)), horton.cumulative(cmh(i), hours(t))),
            (RainDepth::ZERO, RainDepth::ZERO)
        );
    }
    assert_eq!(
        (soil.capacity(cmh(-1.0), hours(1.0)), horton.capacity(cmh(-1.0), hours(1.0))),
        (Intensity::ZERO, Intensity::ZERO)
    );
    assert_eq!((soil.ponding(cmh(f64::INFINITY)), horton.ponding(cmh(f64::INFINITY))), (None, None));
    assert_eq!((soil.ponding(cmh(1.0)), horton.ponding(cmh(1.0))), (None, None));
}

#[test]
fn a_share_that_soaks_in_needs_numbers() {
    let nan = f64::NAN;
    let share = |f: f64, held: f64, minutes: f64, i: f64| {
        coefficient_from_infiltration(cmh(f), RainDepth::from_mm(10.0 * held), Duration::from_min(minutes), cmh(i))
    };
    for odd in
        [share(nan, 0.1, 60.0, 2.0), share(1.0, nan, 60.0, 2.0), share(1.0, 0.1, nan, 2.0), share(1.0, 0.1, 60.0, nan)]
    {
        assert!(odd.is_nan());
    }
    // 1 - (1 + 0.1)/2 of 2 cm/h; nothing where no rain falls for any time, or less than none
    close(share(1.0, 0.1, 60.0, 2.0), 0.45, 1e-12);
    for none in [share(1.0, 0.1, -60.0, 2.0), share(1.0, 0.1, 60.0, -2.0)] {
        close(none, 0.0, 0.0);
    }
    // ground that gives water back sheds no more than all of the rain
    close(share(-1.0, 0.0, 60.0, 2.0), 1.0, 0.0);
}

#[test]
fn hostile_soils_neither_panic_nor_run_for_ever() {
    for a in HOSTILE {
        for b in HOSTILE {
            for c in HOSTILE {
                let green =
                    GreenAmpt { conductivity: Intensity::from_ms(a), suction: Length::from_m(b), moisture_deficit: c };
                let horton = Horton {
                    initial: Intensity::from_ms(a),
                    ultimate: Intensity::from_ms(b),
                    decay_time: Duration::from_s(c),
                };
                for i in HOSTILE {
                    for t in HOSTILE {
                        let (i, t) = (Intensity::from_ms(i), Duration::from_s(t));
                        let soaked = [green.cumulative(i, t), horton.cumulative(i, t), green.cumulative_ponded(t)];
                        assert!(
                            soaked.iter().all(|depth| depth.m().is_nan() || depth.m() >= 0.0),
                            "{green:?} {horton:?} {i:?} {t:?}"
                        );
                        let _ = (green.capacity(i, t), horton.capacity(i, t), green.ponding(i), horton.ponding(i));
                    }
                }
            }
        }
    }
}
