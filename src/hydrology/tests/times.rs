use super::super::{
    Rain, RainError, Reach, SheetMethod, TimeOfConcentration, TimeWarning, faa, kirpich, manning_velocity, nrcs_lag,
    nrcs_lag_time_of_concentration, potential_retention, shallow_velocity, sheet_flow_kinematic, sheet_flow_limit,
    sheet_flow_nrcs, time_of_concentration, travel_time,
};
use super::{HOSTILE, champaign_rain, close, table};
use crate::quantity::{Area, Duration, Intensity, Length, RainDepth, Slope, Velocity};

fn m(value: f64) -> Length {
    Length::from_m(value)
}
fn ft(value: f64) -> Length {
    Length::from_ft(value)
}
fn slope(value: f64) -> Slope {
    Slope::from_ratio(value)
}
/// A rain that no path depends on.
const ANY: Rain = Rain::Constant(Intensity::from_inh(4.0));

#[test]
fn published_velocities_before_development() {
    // FHWA HDS-2 (2002) example 2.1, p. 2-25; V = 10 k sqrt(S) m/s
    let v1 = shallow_velocity(Velocity::from_ms(0.76), slope(0.010));
    let v2 = shallow_velocity(Velocity::from_ms(4.57), slope(0.008));
    let v3 = manning_velocity(0.15, m(0.3), slope(0.008));
    close(v1.ms(), 0.076, 0.0005);
    close(v2.ms(), 0.409, 0.0005);
    close(v3.ms(), 0.27, 0.005);
    close(travel_time(m(43.0), v1).s(), 566.0, 1.0);
    close(travel_time(m(79.0), v2).s(), 193.0, 1.0);
    // the book rounds V3 to 0.270 before dividing
    close(travel_time(m(146.0), Velocity::from_ms(0.270)).s(), 541.0, 1.0);
    let path = [
        Reach::Shallow { length: m(43.0), slope: slope(0.010), coefficient: Velocity::from_ms(0.76) },
        Reach::Shallow { length: m(79.0), slope: slope(0.008), coefficient: Velocity::from_ms(4.57) },
        Reach::Channel { length: m(146.0), slope: slope(0.008), roughness: 0.15, hydraulic_radius: m(0.3) },
    ];
    let found = time_of_concentration(&path, SheetMethod::Kinematic, &ANY, Duration::ZERO).unwrap();
    close(found.time.minutes(), 22.0, 0.5);
    assert_eq!((found.iterations, found.minimum_governs, found.reaches.len()), (0, false, 3));
}

#[test]
fn published_velocities_after_development() {
    // FHWA HDS-2 (2002) example 2.1, p. 2-26
    let shallow = |length, s, k: f64| Reach::Shallow {
        length: m(length),
        slope: slope(s),
        coefficient: Velocity::from_ms(10.0 * k),
    };
    let path = [
        shallow(15.0, 0.010, 0.213),
        shallow(15.0, 0.010, 0.619),
        shallow(91.0, 0.008, 0.457),
        Reach::Pipe { length: m(128.0), slope: slope(0.009), roughness: 0.011, bore: m(0.38) },
    ];
    let found = time_of_concentration(&path, SheetMethod::Kinematic, &ANY, Duration::ZERO).unwrap();
    close(found.time.s(), 387.0, 4.0);
    close(128.0 / found.reaches[3].s(), 1.8, 0.05);
}

#[test]
fn published_kinematic_passes() {
    // FHWA HDS-2 (2002) example 2.2, p. 2-26, with the constant 6.9 (min, m, mm/h): compared through its
    // ratio to the exact one, 6.99
    let exact = 1.0 / 60.0 * libm::pow(3.6e6, 0.4);
    close(exact, 6.99, 0.005);
    for (intensity, printed) in [(116.0, 17.0), (78.0, 20.0), (72.0, 20.0)] {
        let time = sheet_flow_kinematic(0.15, m(50.0), slope(0.005), Intensity::from_mmh(intensity));
        close(time.minutes() * 6.9 / exact, printed, 0.5);
    }
}

#[test]
fn published_kinematic_parking_lot() {
    // Gupta, Hydrology and Hydraulic Systems, problem 12.16 (answer list); exact constant
    let (n, s, i) = (0.023, slope(0.01), Intensity::from_mmh(25.0));
    let time = sheet_flow_kinematic(n, m(50.0), s, i);
    close(time.minutes(), 8.37, 0.03);
    // unit discharge on the rising limb, q = (sqrt S / n)(i t)^(5/3): Manning's velocity at depth i t, times that depth
    for (minutes, printed) in [(1.0, 1.010e-5), (3.0, 6.320e-5), (5.0, 1.482e-4), (time.minutes(), 3.495e-4)] {
        let depth = Length::from(i * Duration::from_min(minutes));
        close(manning_velocity(n, depth, s).ms() * depth.m(), printed, 0.01 * printed);
    }
    // at the time of concentration all that falls leaves: q = i L
    let depth = Length::from(i * time);
    close(manning_velocity(n, depth, s).ms() * depth.m() / (i.ms() * 50.0), 1.0, 1e-12);
}

#[test]
fn published_nrcs_path() {
    // NRCS TR-55 (1986) example 3-1 and figure 3-2, pp. 3-4, 3-5
    let p2 = RainDepth::from_inch(3.6);
    let sheet = sheet_flow_nrcs(0.24, ft(100.0), slope(0.01), p2);
    close(sheet.h(), 0.30, 0.005);
    let unpaved = Velocity::from_fts(16.1345);
    close(shallow_velocity(unpaved, slope(0.01)).fts(), 1.6, 0.05);
    let radius = Area::from_ft2(27.0) / ft(28.2);
    close(radius.ft(), 0.957, 0.0006);
    // the source rounds Manning's 1.4859 to 1.49
    let velocity = manning_velocity(0.05, radius, slope(0.005));
    close(velocity.fts() * 1.49 / libm::pow(1.0 / 0.3048, 1.0 / 3.0), 2.05, 0.005);
    let path = [
        Reach::Sheet { length: ft(100.0), slope: slope(0.01), roughness: 0.24 },
        Reach::Shallow { length: ft(1400.0), slope: slope(0.01), coefficient: unpaved },
        Reach::Channel { length: ft(7300.0), slope: slope(0.005), roughness: 0.05, hydraulic_radius: radius },
    ];
    let method = SheetMethod::Nrcs { two_year_24_hour: p2 };
    let found = time_of_concentration(&path, method, &ANY, Duration::from_min(6.0)).unwrap();
    close(found.reaches[0].h(), 0.30, 0.005);
    close(found.reaches[1].h(), 0.24, 0.005);
    close(found.reaches[2].h() * libm::pow(1.0 / 0.3048, 1.0 / 3.0) / 1.49, 0.99, 0.005);
    close(found.time.h(), 1.53, 0.01);
    // 0.42 in minutes (FHWA HDS-2 eq. 2.6): same inputs, computed apart; its constant is 0.007 x 60
    close(sheet.minutes(), 17.753, 0.05);
    // exact SI constant (min, m, mm), computed apart: 5.4759; HDS-2 prints 5.5
    let constant = sheet_flow_nrcs(1.0, m(1.0), slope(1.0), RainDepth::from_mm(1.0)).minutes();
    close(constant, 5.4759, 0.00005);
}

#[test]
fn published_sheet_flow_limits() {
    // NRCS NEH 630 chapter 15 (2010), eq. 15-9 and table 15-2, p. 15-7
    for (n, s, printed, tolerance) in [
        (0.13, 0.01, 77.0, 0.5),
        (0.41, 0.01, 24.0, 0.5),
        (0.80, 0.01, 12.5, 0.05),
        (0.13, 0.05, 172.0, 0.5),
        (0.41, 0.05, 55.0, 0.5),
        (0.80, 0.05, 28.0, 0.5),
    ] {
        close(sheet_flow_limit(n, slope(s)).ft(), printed, tolerance);
    }
}

#[test]
fn published_shallow_velocities() {
    // TR-55 (1986) appendix F, p. F-1 (unpaved, paved); NEH 630 chapter 15 (2010) table 15-3 (short-grass pasture)
    for (coefficient, printed) in [(16.1345, 1.61345), (20.3282, 2.03282), (6.962, 0.6962)] {
        close(shallow_velocity(Velocity::from_fts(coefficient), slope(0.01)).fts(), printed, 0.0005);
    }
    // the same from Manning with the depths that appendix F assumes, to 1 %
    close(manning_velocity(0.05, ft(0.4), slope(0.01)).fts(), 1.61345, 0.01 * 1.61345);
    close(manning_velocity(0.025, ft(0.2), slope(0.01)).fts(), 2.03282, 0.01 * 2.03282);
}

#[test]
fn published_lag_equation() {
    // NRCS NEH 630 chapter 15 (2010), example 630.1504(a), p. 15-12
    close(potential_retention(63.0).inch(), 5.87, 0.005);
    let land = Slope::from_percent(4.79);
    let time = nrcs_lag_time_of_concentration(ft(3865.0), 63.0, land).unwrap();
    close(time.h(), 1.14, 0.005);
    close(nrcs_lag(ft(3865.0), 63.0, land).unwrap().h(), 0.68675, 0.00005);
    assert_eq!(nrcs_lag(ft(3865.0), 49.0, land), None);
    assert_eq!(nrcs_lag(ft(3865.0), f64::NAN, land), None);
}

#[test]
fn crosscheck_kirpich_and_airfield() {
    // constants from Chow, Maidment and Mays (1988) table 15.1.2 (from memory), computed apart
    close(kirpich(ft(1000.0), slope(0.01)).minutes(), 9.3777, 0.0001);
    close(faa(0.30, ft(200.0), Slope::from_percent(2.0)).minutes(), 16.163, 0.001);
    close(faa(0.90, ft(200.0), Slope::from_percent(2.0)).minutes(), 4.0409, 0.0001);
    // metric form 0.0195 (from memory): 9.3913 min, the two constants agree to 0.2 %
    close(kirpich(m(304.8), slope(0.01)).minutes(), 9.3913, 0.02);
}

fn lawn(length: f64) -> Reach {
    Reach::Sheet { length: ft(length), slope: slope(0.02), roughness: 0.24 }
}

#[test]
fn identity_kinematic_time_equals_its_rain() {
    let rain = champaign_rain(10.0);
    let path =
        [lawn(60.0), Reach::Shallow { length: ft(90.0), slope: slope(0.01), coefficient: Velocity::from_fts(16.1345) }];
    let found = time_of_concentration(&path, SheetMethod::Kinematic, &rain, Duration::from_min(5.0)).unwrap();
    let intensity = rain.intensity(found.time).unwrap();
    let sheet = sheet_flow_kinematic(0.24, ft(60.0), slope(0.02), intensity);
    let shallow = travel_time(ft(90.0), shallow_velocity(Velocity::from_fts(16.1345), slope(0.01)));
    close((sheet + shallow).s(), found.time.s(), 1e-9);
    close(found.residual.s(), 0.0, 1e-9);
    assert!(found.iterations > 1 && found.iterations < 40 && !found.minimum_governs);
    // under a constant rain there is nothing to iterate
    let constant =
        time_of_concentration(&[lawn(60.0)], SheetMethod::Kinematic, &Rain::Constant(intensity), Duration::ZERO);
    let alone = constant.unwrap();
    close(alone.time.s(), sheet.s(), 1e-9);
    assert_eq!(alone.iterations, 2);
    // doubling the roughness lengthens it
    let rough = [Reach::Sheet { length: ft(60.0), slope: slope(0.02), roughness: 0.48 }, path[1]];
    let rougher = time_of_concentration(&rough, SheetMethod::Kinematic, &rain, Duration::from_min(5.0)).unwrap();
    assert!(rougher.time > found.time);
}

#[test]
fn minimum_and_ends_of_the_table() {
    let rain = champaign_rain(10.0);
    let drive = [Reach::Sheet { length: ft(20.0), slope: slope(0.02), roughness: 0.011 }];
    let at = |path: &[Reach], minimum| {
        time_of_concentration(path, SheetMethod::Kinematic, &rain, Duration::from_min(minimum))
    };
    let found = at(&drive, 6.0).unwrap();
    assert_eq!((found.time, found.minimum_governs), (Duration::from_min(6.0), true));
    assert!(found.reaches[0] < Duration::from_min(2.0) && found.residual == Duration::ZERO);
    // without a minimum that reaches the table, the rain is not known
    assert!(matches!(at(&drive, 4.0), Err(RainError::OutsideTable { .. })));
    assert!(matches!(at(&[], 4.0), Err(RainError::OutsideTable { .. })));
    assert_eq!(at(&[], 5.0).unwrap().time, Duration::from_min(5.0));
    assert!(matches!(at(&[], 0.0), Err(RainError::BadDuration { .. })));
    assert!(matches!(at(&drive, f64::NAN), Err(RainError::BadDuration { .. })));
    // a time beyond the table
    let short = table(&[(5.0, 0.647), (10.0, 0.999)]);
    let refusal = time_of_concentration(&[lawn(300.0)], SheetMethod::Kinematic, &short, Duration::from_min(5.0));
    assert!(matches!(refusal, Err(RainError::OutsideTable { duration, .. }) if duration > Duration::from_min(10.0)));
    // nothing of the table is needed where a piece has no sheet, but the answer must lie in it
    let channel = [Reach::Channel { length: ft(1.0), slope: slope(0.1), roughness: 0.02, hydraulic_radius: ft(1.0) }];
    assert!(matches!(at(&channel, 0.0), Err(RainError::OutsideTable { .. })));
    // a piece that cannot flow is named
    let flat =
        [lawn(60.0), Reach::Shallow { length: ft(9.0), slope: slope(0.0), coefficient: Velocity::from_fts(16.0) }];
    assert_eq!(at(&flat, 5.0), Err(RainError::Reach { reach: 2 }));
}

#[test]
fn a_time_that_was_entered_is_held_to_the_minimum() {
    let minutes = Duration::from_min;
    for (time, minimum, found, governs) in [(12.0, 5.0, 12.0, false), (3.0, 5.0, 5.0, true), (5.0, 5.0, 5.0, false)] {
        let entered = TimeOfConcentration::entered(minutes(time), minutes(minimum));
        assert_eq!((entered.time, entered.minimum_governs), (minutes(found), governs));
        assert_eq!((entered.reaches, entered.iterations, entered.warnings), (vec![], 0, vec![]));
        assert_eq!(entered.residual, Duration::ZERO);
    }
}

#[test]
fn a_path_that_takes_just_the_minimum_governs_itself() {
    // 60 m at a metre a second
    let path = [Reach::Shallow { length: m(60.0), slope: slope(1.0), coefficient: Velocity::from_ms(1.0) }];
    let at = |minimum: f64| time_of_concentration(&path, SheetMethod::Kinematic, &ANY, Duration::from_s(minimum));
    for (minimum, time, governs) in [(59.0, 60.0, false), (60.0, 60.0, false), (61.0, 61.0, true), (0.0, 60.0, false)] {
        let found = at(minimum).unwrap();
        assert_eq!((found.time, found.minimum_governs), (Duration::from_s(time), governs), "{minimum}");
        assert_eq!((found.reaches, found.residual), (vec![Duration::from_s(60.0)], Duration::ZERO));
    }
    for odd in [-1.0, f64::NAN, f64::INFINITY] {
        assert!(matches!(at(odd), Err(RainError::BadDuration { .. })), "{odd}");
    }
}

#[test]
fn velocities_and_times_by_hand() {
    // Manning with R 1 m, n 0.05 and a slope of 0.04: 0.2/0.05 = 4 m/s; R 8 m: four times that
    close(manning_velocity(0.05, m(1.0), slope(0.04)).ms(), 4.0, 1e-12);
    close(manning_velocity(0.05, m(8.0), slope(0.04)).ms(), 16.0, 1e-12);
    // 3 m/s x √0.25
    close(shallow_velocity(Velocity::from_ms(3.0), slope(0.25)).ms(), 1.5, 1e-12);
    close(travel_time(m(30.0), Velocity::from_ms(1.5)).s(), 20.0, 1e-12);
    // (0.1 x 10/√0.25)^0.6/(1e-5)^0.4 = 2^0.6 x 100 = 151.571657 s
    close(sheet_flow_kinematic(0.1, m(10.0), slope(0.25), Intensity::from_ms(1e-5)).s(), 151.571_657, 1e-5);
    // 0.007 x (0.1 x 100)^0.8/(√4 x 0.01^0.4) = 0.007 x 6.309573/(2 x 0.158489) h
    let time = sheet_flow_nrcs(0.1, ft(100.0), slope(0.01), RainDepth::from_inch(4.0));
    close(time.h(), 0.007 * 6.309_573_445 / (2.0 * 0.158_489_319), 1e-8);
    // 100 x √0.04/0.5 ft
    close(sheet_flow_limit(0.5, slope(0.04)).ft(), 40.0, 1e-12);
}

#[test]
fn sheet_flow_that_is_too_long_by_a_hair() {
    // 100 ft in all, entered as 30.48 m, are still 100 ft; a foot in a thousand more is not. n 0.1 at a slope of 1 may go
    // 1000 ft before it gathers
    let sheet = |length: Length| Reach::Sheet { length, slope: slope(1.0), roughness: 0.1 };
    let warnings =
        |path: &[Reach]| time_of_concentration(path, SheetMethod::Kinematic, &ANY, Duration::ZERO).unwrap().warnings;
    assert_eq!(warnings(&[sheet(ft(100.0))]), []);
    assert_eq!(warnings(&[sheet(m(30.48)), sheet(ft(0.00005))]), []);
    let beyond = |length: Length| [TimeWarning::SheetBeyondPractice { length, limit: ft(100.0) }];
    assert_eq!(warnings(&[sheet(ft(100.1))]), beyond(ft(100.1)));
    // a sheet of just its own limit: 100 √0.01/0.2 = 50 ft
    let rough = |length: f64| Reach::Sheet { length: ft(length), slope: slope(0.01), roughness: 0.2 };
    let limit = sheet_flow_limit(0.2, slope(0.01));
    close(limit.ft(), 50.0, 1e-12);
    assert_eq!(warnings(&[Reach::Sheet { length: limit, slope: slope(0.01), roughness: 0.2 }]), []);
    assert_eq!(warnings(&[rough(51.0)]), [TimeWarning::SheetBeyondLimit { reach: 1, length: ft(51.0), limit }]);
}

#[test]
fn times_of_whole_watersheds_by_hand() {
    // Kirpich at 1000 ft and 1 %: 0.0078 x 204.17379 x 5.8884366; the airfield at 100 ft and 8 %: 1.8 x (1.1 - 0.5) x 10/2
    close(kirpich(ft(1000.0), slope(0.01)).minutes(), 0.0078 * 204.173_79 * 5.888_436_6, 1e-5);
    close(faa(0.5, ft(100.0), Slope::from_percent(8.0)).minutes(), 5.4, 1e-9);
    // NRCS lag, 1000 ft at 4 % with curve number 80, S = 2.5 in: 1000^0.8 = 251.188643, 3.5^0.7 = 2.403519:
    // 251.188643 x 2.403519/(1140 x 2) = 0.264797 h, the lag 0.6 of it
    let time = nrcs_lag_time_of_concentration(ft(1000.0), 80.0, Slope::from_percent(4.0)).unwrap();
    close(time.h(), 0.264_796_8, 1e-6);
    close(nrcs_lag(ft(1000.0), 80.0, Slope::from_percent(4.0)).unwrap().h(), 0.6 * 0.264_796_8, 1e-6);
    // made for curve numbers from 50 to 95, both among them
    for (number, made) in [(49.9, false), (50.0, true), (95.0, true), (95.1, false)] {
        assert_eq!(nrcs_lag(ft(1000.0), number, Slope::from_percent(4.0)).is_some(), made, "{number}");
    }
}

#[test]
fn formulas_of_every_steepness_settle() {
    for (a, b, c) in [(49.7, 7.2, 0.743), (30.0, 0.0, 1.0), (4000.0, 30.0, 1.6), (3.0, 0.0, 0.01)] {
        let rain = Rain::formula(Intensity::from_inh(a), Duration::from_min(b), c).unwrap();
        match time_of_concentration(&[lawn(60.0)], SheetMethod::Kinematic, &rain, Duration::ZERO) {
            Ok(found) => close(found.residual.s(), 0.0, 1e-9 * found.time.s()),
            Err(error) => panic!("{error}"),
        }
    }
}

#[test]
fn warns_of_doubtful_sheets() {
    let shallow = Reach::Shallow { length: ft(50.0), slope: slope(0.02), coefficient: Velocity::from_fts(16.1345) };
    let path = [lawn(80.0), shallow, lawn(40.0)];
    let warnings = time_of_concentration(&path, SheetMethod::Kinematic, &ANY, Duration::ZERO).unwrap().warnings;
    // 100 sqrt(0.02)/0.24 = 58.9 ft
    assert_eq!(
        warnings,
        [
            TimeWarning::SheetBeyondLimit { reach: 1, length: ft(80.0), limit: sheet_flow_limit(0.24, slope(0.02)) },
            TimeWarning::SheetAfterGathering { reach: 3 },
            TimeWarning::SheetBeyondPractice { length: ft(80.0) + ft(40.0), limit: ft(100.0) },
        ]
    );
    let good = time_of_concentration(&[lawn(50.0), shallow], SheetMethod::Kinematic, &ANY, Duration::ZERO).unwrap();
    assert_eq!(good.warnings, []);
}

#[test]
fn hostile_paths_end_in_errors_or_numbers() {
    let rains =
        [champaign_rain(10.0), Rain::formula(Intensity::from_inh(49.7), Duration::from_min(7.2), 0.743).unwrap(), ANY];
    for a in HOSTILE {
        for b in HOSTILE {
            for c in HOSTILE {
                let reaches = [
                    Reach::Sheet { length: m(a), slope: slope(b), roughness: c },
                    Reach::Shallow { length: m(a), slope: slope(b), coefficient: Velocity::from_ms(c) },
                    Reach::Channel { length: m(a), slope: slope(b), roughness: c, hydraulic_radius: m(a) },
                    Reach::Pipe { length: m(a), slope: slope(b), roughness: c, bore: m(b) },
                ];
                for rain in &rains {
                    for method in [SheetMethod::Kinematic, SheetMethod::Nrcs { two_year_24_hour: RainDepth::from_m(c) }]
                    {
                        for minimum in [Duration::ZERO, Duration::from_min(5.0), Duration::from_s(a)] {
                            for reach in reaches {
                                if let Ok(found) = time_of_concentration(&[reach], method, rain, minimum) {
                                    assert!(found.time.is_finite() && found.time > Duration::ZERO);
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}
