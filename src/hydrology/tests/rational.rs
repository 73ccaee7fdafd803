use super::super::{
    Contribution, PeakFlow, Rain, RainError, adjusted_coefficient, composite_coefficient, frequency_factor, peak_flow,
};
use super::{HOSTILE, champaign_rain, close, table};
use crate::quantity::factor::{ACRE, FOOT, HOUR, INCH};
use crate::quantity::{Area, Duration, Flow, Intensity, RainDepth, ReturnPeriod};
use proptest::prelude::*;

/// The exact factor of Q = k C i A in ft³/s, in/h and acres, which US examples take as 1.
const FACTOR: f64 = INCH / HOUR * ACRE / (FOOT * FOOT * FOOT);

fn part(coefficient: f64, area: Area, minutes: f64) -> Contribution {
    Contribution { coefficient, area, time: Duration::from_min(minutes) }
}

fn steady(intensity: Intensity, coefficient: f64, area: Area) -> Flow {
    peak_flow(&[part(coefficient, area, 10.0)], &Rain::Constant(intensity)).unwrap().flow
}

#[test]
fn published_unit_factors() {
    // Dhakal et al. (2014), section 2: 1.008 and 1/360; gal/min rows by unit arithmetic
    close(FACTOR, 1.008, 0.0005);
    let one = Intensity::from_inh(1.0);
    close(steady(one, 1.0, Area::from_acre(1.0)).ft3s(), 1.008, 0.0005);
    close(steady(Intensity::from_mmh(1.0), 1.0, Area::from_ha(1.0)).m3s(), 0.002_777_78, 5e-9);
    close(steady(one, 1.0, Area::from_acre(1.0)).gpm(), 452.57, 0.1);
    close(steady(one, 1.0, Area::from_ft2(1000.0)).gpm(), 10.39, 0.005);
}

#[test]
fn published_composite_and_peak_of_a_rural_culvert() {
    // FHWA HDS-2 (2002) example 5.5, pp. 5-34, 5-35; the book rounds C to 0.32 in US units
    let ha = [(0.20, Area::from_ha(21.8)), (0.95, Area::from_ha(1.5)), (0.40, Area::from_ha(20.4))];
    let c = composite_coefficient(&ha).unwrap();
    close(c, 0.32, 0.005);
    close(steady(Intensity::from_mmh(85.0), c, Area::from_ha(43.7)).m3s(), 3.3, 0.05);
    let total = Area::from_acre(53.9 + 3.7 + 50.4);
    close(steady(Intensity::from_inh(3.35), 0.32, total).ft3s() / FACTOR, 116.0, 0.5);
    let acres = [(0.20, Area::from_acre(53.9)), (0.95, Area::from_acre(3.7)), (0.40, Area::from_acre(50.4))];
    let flow = steady(Intensity::from_inh(3.35), composite_coefficient(&acres).unwrap(), total);
    close(flow.ft3s(), 116.39, 0.2);
}

#[test]
fn published_peaks_before_and_after_building() {
    // FHWA HDS-2 (2002) example 8.1, pp. 8-5, 8-6
    let (ha, acre) = (Area::from_ha(2.3), Area::from_acre(5.7));
    close(steady(Intensity::from_mmh(79.0), 0.20, ha).m3s(), 0.10, 0.005);
    close(steady(Intensity::from_mmh(102.0), 0.45, ha).m3s(), 0.29, 0.005);
    close(steady(Intensity::from_inh(3.1), 0.20, acre).ft3s() / FACTOR, 3.5, 0.05);
    close(steady(Intensity::from_inh(4.0), 0.45, acre).ft3s() / FACTOR, 10.3, 0.05);
    // depth of runoff Q tc / A from the rounded peaks, as printed
    let depth =
        |flow: Flow, minutes: f64, area: Area| RainDepth::from_m((flow * Duration::from_min(minutes) / area).m());
    close(depth(Flow::from_m3s(0.10), 18.0, ha).mm(), 4.7, 0.05);
    close(depth(Flow::from_m3s(0.29), 11.0, ha).mm(), 8.3, 0.05);
    close(depth(Flow::from_ft3s(3.5), 18.0, acre).inch(), 0.18, 0.005);
    close(depth(Flow::from_ft3s(10.3), 11.0, acre).inch(), 0.33, 0.005);
}

fn denver() -> Vec<(ReturnPeriod, f64)> {
    // Dhakal et al. (2013), table 3, column "design manuals and textbooks"
    [(2.0, 1.0), (5.0, 1.0), (10.0, 1.0), (25.0, 1.1), (50.0, 1.2), (100.0, 1.25)]
        .map(|(years, factor)| (ReturnPeriod::from_years(years), factor))
        .to_vec()
}

#[test]
fn published_frequency_factors_and_cap() {
    // factors and cap: Dhakal et al. (2013), table 3 and p. 481; products by arithmetic
    let adjusted = |c, years| adjusted_coefficient(c, frequency_factor(&denver(), ReturnPeriod::from_years(years)));
    close(adjusted(0.30, 25.0), 0.33, 1e-9);
    close(adjusted(0.30, 100.0), 0.375, 1e-9);
    close(adjusted(0.85, 100.0), 1.0, 1e-9);
    close(adjusted(0.80, 100.0), 1.0, 1e-9);
    // own rules outside and between the rows
    let factor = |years| frequency_factor(&denver(), ReturnPeriod::from_years(years));
    close(factor(1.0), 1.0, 0.0);
    close(factor(1000.0), 1.25, 0.0);
    close(factor(libm::sqrt(25.0 * 50.0)), 1.15, 1e-12);
    close(frequency_factor(&[], ReturnPeriod::from_years(25.0)), 1.0, 0.0);
    let mut backwards = denver();
    backwards.reverse();
    close(frequency_factor(&backwards, ReturnPeriod::from_years(35.0)), factor(35.0), 0.0);
    assert!(factor(f64::NAN).is_nan() && adjusted_coefficient(f64::NAN, 1.0).is_nan());
}

#[test]
fn published_composite_of_a_large_site() {
    // FHWA HEC-22, example 3-1 (from memory)
    let composite = |parts: &[(f64, f64)]| {
        composite_coefficient(&parts.iter().map(|&(c, a)| (c, Area::from_ha(a))).collect::<Vec<_>>()).unwrap()
    };
    close(composite(&[(0.25, 8.95), (0.22, 8.60)]), 0.235, 0.0006);
    close(composite(&[(0.90, 2.20), (0.15, 0.66), (0.25, 7.52), (0.22, 7.17)]), 0.315, 0.0006);
    assert_eq!(composite_coefficient(&[]), None);
    assert_eq!(composite_coefficient(&[(0.5, Area::ZERO)]), None);
    assert_eq!(composite_coefficient(&[(f64::NAN, Area::from_ha(1.0))]), None);
    assert_eq!(composite_coefficient(&[(0.5, Area::from_ha(1.0)), (0.5, Area::from_ha(-0.5))]), None);
}

#[test]
fn published_roof_flow() {
    // National Standard Plumbing Code (2015) appendix A: 0.0104 gal/min on 1 ft² in 1 in/h
    close(steady(Intensity::from_inh(1.0), 1.0, Area::from_ft2(1.0)).gpm(), 0.0104, 0.00005);
    // Uniform Plumbing Code appendix D: a pipe for 21,400 ft² in 1 in/h serves 6688 ft² in 3.2 in/h
    let rated = steady(Intensity::from_inh(1.0), 1.0, Area::from_ft2(21_400.0));
    close(Area::from_m2(rated.m3s() / Intensity::from_inh(3.2).ms()).ft2(), 6688.0, 1.0);
    close(rated.gpm(), 222.32, 0.2);
}

#[test]
fn crosscheck_yard() {
    // C: Marshall County (Indiana) Code 153.06; i: NOAA Atlas 14, Champaign 10-yr 5-min, 7.764 in/h; computed apart
    let parts = [
        part(0.85, Area::from_ft2(1500.0), 5.0),
        part(0.85, Area::from_ft2(800.0), 5.0),
        part(0.16, Area::from_ft2(7000.0), 5.0),
    ];
    let peak = peak_flow(&parts, &champaign_rain(10.0)).unwrap();
    close(peak.contributing.ft2(), 3075.0, 0.5);
    close(peak.flow.ft3s(), 0.55265, 0.0005);
    close(peak.flow.gpm(), 248.04, 0.3);
    close(peak.flow.ft3s() / FACTOR, 0.54808, 0.0005);
    close(peak.flow.gpm() / FACTOR, 245.99, 0.3);
    assert_eq!((peak.duration, peak.early_part_governs), (Duration::from_min(5.0), false));
    let composite: Vec<_> = parts.iter().map(|part| (part.coefficient, part.area)).collect();
    close(composite_coefficient(&composite).unwrap(), 0.33065, 0.0005);
}

#[test]
fn early_part_of_the_area() {
    // a paved tenth that answers in 5 min and a slow lawn: at 5 min the paving and a twelfth of the lawn
    let rain = champaign_rain(10.0);
    let parts = [part(0.9, Area::from_ft2(5000.0), 5.0), part(0.1, Area::from_ft2(6000.0), 60.0)];
    let peak = peak_flow(&parts, &rain).unwrap();
    let early = rain.intensity(Duration::from_min(5.0)).unwrap() * Area::from_ft2(4500.0 + 50.0);
    assert!(peak.early_part_governs);
    assert_eq!(peak.duration, Duration::from_min(5.0));
    close(peak.flow / early, 1.0, 1e-12);
    let whole = rain.intensity(Duration::from_min(60.0)).unwrap() * Area::from_ft2(5100.0);
    close(peak.whole_area_flow / whole, 1.0, 1e-12);
    assert_eq!(peak.whole_area_time, Duration::from_min(60.0));
    // the slow part alone holds the whole
    assert!(!peak_flow(&parts[1..], &rain).unwrap().early_part_governs);
    // in steady rain the whole area gives most
    let steady = peak_flow(&parts, &Rain::Constant(Intensity::from_inh(3.0))).unwrap();
    assert_eq!((steady.early_part_governs, steady.duration), (false, Duration::from_min(60.0)));
}

#[test]
fn identity_inner_maximum_of_a_steep_formula() {
    // c = 1.4, b = 60 min, weighted areas 1 (in 5 min) and 3 (in 120 min): between them A = 1 + t/40, and
    // dQ/dt = 0 at (b/40 - c)/((c - 1)/40) = 10 min
    let rain = Rain::formula(Intensity::from_inh(900.0), Duration::from_min(60.0), 1.4).unwrap();
    let parts = [part(1.0, Area::from_m2(1.0), 5.0), part(0.5, Area::from_m2(6.0), 120.0)];
    let peak = peak_flow(&parts, &rain).unwrap();
    close(peak.duration.minutes(), 10.0, 1e-9);
    close(peak.contributing.m2(), 1.25, 1e-12);
    assert!(peak.early_part_governs && peak.flow > peak.whole_area_flow);
}

#[test]
fn nothing_sends_nothing() {
    let rain = champaign_rain(10.0);
    for parts in [vec![], vec![part(0.0, Area::from_ft2(100.0), 5.0)], vec![part(0.5, Area::ZERO, f64::NAN)]] {
        let peak = peak_flow(&parts, &rain).unwrap();
        assert_eq!((peak.flow, peak.early_part_governs), (Flow::ZERO, false));
    }
    // a time outside the table, and a surface that is no surface
    let short = peak_flow(&[part(0.5, Area::from_ft2(100.0), 3.0)], &rain);
    assert!(matches!(short, Err(RainError::OutsideTable { .. })));
    let mixed = [part(0.5, Area::from_ft2(100.0), 6.0), part(0.5, Area::from_ft2(100.0), 3.0)];
    assert!(matches!(peak_flow(&mixed, &rain), Err(RainError::OutsideTable { .. })));
    assert_eq!(
        peak_flow(&[mixed[0], part(f64::NAN, Area::from_ft2(1.0), 6.0)], &rain),
        Err(RainError::Contribution { part: 2 })
    );
    for a in HOSTILE {
        for b in HOSTILE {
            for c in HOSTILE {
                if let Ok(PeakFlow { flow, .. }) = peak_flow(&[mixed[0], part(a, Area::from_m2(b), c)], &rain) {
                    assert!(flow >= Flow::ZERO);
                }
            }
        }
    }
}

#[test]
fn what_is_no_surface_is_named() {
    let rain = Rain::Constant(Intensity::from_inh(1.0));
    let good = part(0.5, Area::from_ft2(1000.0), 10.0);
    let nan = f64::NAN;
    let ft2 = Area::from_ft2;
    for bad in [
        part(-0.5, ft2(1000.0), 10.0),
        part(0.5, ft2(-1000.0), 10.0),
        // two wrongs make no right
        part(-0.5, ft2(-1000.0), 10.0),
        part(-0.5, Area::ZERO, 10.0),
        part(0.0, ft2(-1000.0), 10.0),
        part(f64::INFINITY, ft2(1000.0), 10.0),
        part(0.5, ft2(f64::INFINITY), 10.0),
        part(nan, ft2(1000.0), 10.0),
        part(0.5, ft2(nan), 10.0),
        part(1e200, Area::from_m2(1e200), 10.0),
        part(0.5, ft2(1000.0), 0.0),
        part(0.5, ft2(1000.0), -5.0),
        part(0.5, ft2(1000.0), nan),
        part(0.5, ft2(1000.0), f64::INFINITY),
    ] {
        assert_eq!(peak_flow(&[bad, good], &rain), Err(RainError::Contribution { part: 1 }), "{bad:?}");
        assert_eq!(peak_flow(&[good, good, bad], &rain), Err(RainError::Contribution { part: 3 }), "{bad:?}");
    }
    // what sends nothing needs no time
    for silent in [part(0.0, ft2(1000.0), nan), part(0.5, Area::ZERO, -5.0)] {
        assert_eq!(peak_flow(&[silent], &rain), Ok(PeakFlow::none()));
        assert_eq!(peak_flow(&[silent, good], &rain), peak_flow(&[good], &rain));
    }
}

#[test]
fn the_worst_duration_of_a_formula_by_hand() {
    // i = a/(t + 20)^1.5 with t in minutes. Between 5 and 40 min 1200 ft2 contribute whole and 12 000 ft2 in proportion, 300
    // ft2 in a minute: Q = i (1200 + 300 t) is greatest at (300 x 20 - 1.5 x 1200)/(300 x 0.5) = 28 min
    let rain = Rain::formula(Intensity::from_inh(500.0), Duration::from_min(20.0), 1.5).unwrap();
    let parts = [part(0.8, Area::from_ft2(1500.0), 5.0), part(0.6, Area::from_ft2(20_000.0), 40.0)];
    let peak = peak_flow(&parts, &rain).unwrap();
    close(peak.duration.minutes(), 28.0, 1e-9);
    close(peak.contributing.ft2(), 1200.0 + 300.0 * 28.0, 1e-6);
    close(peak.intensity.inh(), 500.0 / libm::pow(48.0, 1.5), 1e-9);
    close(peak.flow / (peak.intensity * peak.contributing), 1.0, 1e-12);
    close(peak.whole_area_time.minutes(), 40.0, 0.0);
    close(
        peak.whole_area_flow / (rain.intensity(Duration::from_min(40.0)).unwrap() * Area::from_ft2(13_200.0)),
        1.0,
        1e-12,
    );
    assert!(peak.early_part_governs);
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    /// No duration on a fine sweep brings more than the candidates do, whatever the rain.
    #[test]
    fn identity_no_duration_brings_more(
        parts in prop::collection::vec((0.05f64..1.0, 100.0f64..20_000.0, 5.0f64..90.0), 1..5),
        b in 1.0f64..60.0,
        c in 0.05f64..1.5,
        first in 0.2f64..0.8,
        growth in prop::collection::vec(0.0f64..1.0, 4),
    ) {
        let parts: Vec<_> = parts.iter().map(|&(c, a, t)| part(c, Area::from_ft2(a), t)).collect();
        let mut depth = first;
        let mut points = vec![(5.0, depth)];
        for (&power, (from, to)) in growth.iter().zip([(5.0, 11.0), (11.0, 20.0), (20.0, 55.0), (55.0, 90.0)]) {
            depth *= libm::pow(to / from, power);
            points.push((to, depth));
        }
        let formula = Rain::formula(Intensity::from_inh(50.0), Duration::from_min(b), c).unwrap();
        for rain in [table(&points), formula, Rain::Constant(Intensity::from_inh(2.0))] {
            let peak = match peak_flow(&parts, &rain) {
                Err(RainError::OutsideTable { longest: Some(longest), .. }) if longest < Duration::from_min(90.0) => continue,
                peak => peak.unwrap(),
            };
            prop_assert!(peak.flow >= peak.whole_area_flow);
            for step in 0..=400 {
                let t = Duration::from_min(5.0 + 85.0 * f64::from(step) / 400.0);
                let Ok(intensity) = rain.intensity(t) else { continue };
                let area: Area = parts.iter().map(|p| p.area * p.coefficient * (t / p.time).min(1.0)).sum();
                prop_assert!(intensity * area <= peak.flow * (1.0 + 1e-9), "{t:?} brings more in {rain:?}");
            }
        }
    }
}

#[test]
fn identity_volume_of_runoff() {
    // the contributing area times the depth is the volume that runs off while everything contributes
    let rain = champaign_rain(10.0);
    let peak = peak_flow(&[part(0.4, Area::from_acre(1.0), 15.0)], &rain).unwrap();
    let volume = peak.flow * peak.duration;
    let depth: RainDepth = rain.depth(peak.duration).unwrap();
    close(volume.m3() / (peak.contributing.m2() * depth.m()), 1.0, 1e-12);
}
