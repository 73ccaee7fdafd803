use super::super::{DepthDuration, Rain, RainError, annual_maximum_period, partial_duration_period};
use super::{HOSTILE, champaign_rain, close, table};
use crate::quantity::{Duration, Intensity, RainDepth, ReturnPeriod};

fn minutes(value: f64) -> Duration {
    Duration::from_min(value)
}

#[test]
fn published_depth_from_intensity() {
    // FHWA HDS-2 (2002) example 6.5, p. 6-32: Baltimore 10-yr 15-min, 140 mm/h (5.5 in/h) make 35 mm (1.375 in)
    let depth = |intensity| Rain::Constant(intensity).depth(minutes(15.0)).unwrap();
    close(depth(Intensity::from_mmh(140.0)).mm(), 35.0, 0.01);
    close(depth(Intensity::from_inh(5.5)).inch(), 1.375, 0.0005);
}

#[test]
fn crosscheck_log_log_interpolation() {
    // values NOAA Atlas 14 (Champaign, 10-yr), straight in ln P against ln D; computed apart in double precision
    let rain = champaign_rain(10.0);
    for (at, expected) in [(7.0, 6.8476), (12.0, 5.4848), (20.0, 4.2307), (45.0, 2.6209), (90.0, 1.5972)] {
        close(rain.intensity(minutes(at)).unwrap().inh(), expected, 0.005);
    }
    // on the points themselves the table's own numbers come back: 0.647 in and 2.17 in
    close(rain.intensity(minutes(5.0)).unwrap().inh(), 7.764, 1e-12);
    close(rain.depth(Duration::from_h(1.0)).unwrap().inch(), 2.17, 1e-12);
    close(champaign_rain(100.0).intensity(minutes(60.0)).unwrap().inh(), 3.19, 1e-12);
    close(champaign_rain(25.0).intensity(minutes(15.0)).unwrap().inh(), 5.6, 1e-12);
}

#[test]
fn identity_depth_and_intensity_interpolate_alike() {
    let rain = champaign_rain(25.0);
    let (i1, i2) = (rain.intensity(minutes(10.0)).unwrap(), rain.intensity(minutes(15.0)).unwrap());
    let share = libm::log(12.5 / 10.0) / libm::log(15.0 / 10.0);
    let between = libm::exp(libm::log(i1.ms()) * (1.0 - share) + libm::log(i2.ms()) * share);
    close(rain.intensity(minutes(12.5)).unwrap().ms() / between, 1.0, 1e-13);
}

#[test]
fn crosscheck_formula_fitted_to_published_rain() {
    // least squares on ln i over the Champaign 10-yr points, computed apart (method: HDS-2 p. 2-10). Largest relative
    // residual over 5 to 60 min 1.1203 %, over 5 to 1440 min 2.0126 %.
    let rain = champaign_rain(10.0);
    let worst = |a: f64, b: f64, c: f64, until: f64| {
        let fit = Rain::formula(Intensity::from_inh(a), minutes(b), c).unwrap();
        [5.0, 10.0, 15.0, 30.0, 60.0, 120.0, 180.0, 360.0, 720.0, 1440.0]
            .into_iter()
            .filter(|&t| t <= until)
            .map(|t| {
                let ratio = fit.intensity(minutes(t)).unwrap() / rain.intensity(minutes(t)).unwrap();
                (ratio - 1.0).abs()
            })
            .fold(0.0, f64::max)
    };
    close(worst(49.720_759, 7.202_145, 0.743_301, 60.0), 0.011_203, 0.000_002);
    close(worst(67.520_649, 9.325_429, 0.815_470, 1440.0), 0.020_126, 0.000_002);
}

#[test]
fn crosscheck_partial_duration_and_annual_maximum() {
    // Langbein relation (from memory), computed apart; for 2 years it is 1/ln 2 = 1.4427
    for (annual, partial) in [(2.0, std::f64::consts::LOG2_E), (5.0, 4.4814), (10.0, 9.4912)] {
        let found = partial_duration_period(ReturnPeriod::from_years(annual)).unwrap();
        close(found.years(), partial, 0.00005);
        close(annual_maximum_period(found).unwrap().years(), annual, 1e-9);
    }
    assert_eq!(partial_duration_period(ReturnPeriod::from_years(1.0)), None);
    assert_eq!(annual_maximum_period(ReturnPeriod::from_years(0.0)), None);
}

#[test]
fn never_extrapolates() {
    let rain = champaign_rain(10.0);
    let refusal = rain.intensity(minutes(4.9)).unwrap_err();
    assert_eq!(refusal.to_string(), "the rain is not known for 4.9 min: its table runs from 5 min to 60 days");
    assert!(matches!(rain.depth(Duration::from_day(61.0)), Err(RainError::OutsideTable { .. })));
    // 5 min reached by way of hours is still 5 min
    assert!(rain.intensity(Duration::from_h(5.0 / 60.0)).is_ok());
    assert_eq!((rain.shortest(), rain.longest()), (Some(minutes(5.0)), Some(Duration::from_day(60.0))));
    // a constant has no ends
    let constant = Rain::Constant(Intensity::from_inh(4.5));
    assert_eq!(constant.intensity(Duration::from_day(9.0)), Ok(Intensity::from_inh(4.5)));
    assert_eq!((constant.shortest(), constant.longest()), (None, None));
}

#[test]
fn formula_above_one_ends_where_its_depth_is_largest() {
    let rain = Rain::formula(Intensity::from_inh(400.0), minutes(20.0), 1.25).unwrap();
    let longest = rain.longest().unwrap();
    close(longest.minutes(), 80.0, 1e-9);
    let depth = |t| rain.depth(minutes(t)).unwrap();
    assert!(depth(80.0) > depth(79.0) && depth(79.0) > depth(10.0));
    assert!(matches!(rain.intensity(minutes(81.0)), Err(RainError::OutsideTable { .. })));
}

#[test]
fn refuses_tables_that_are_no_rain() {
    let build = |points: &[(f64, f64)]| {
        DepthDuration::new(points.iter().map(|&(t, p)| (minutes(t), RainDepth::from_inch(p))).collect())
    };
    assert_eq!(build(&[(5.0, 0.5)]), Err(RainError::TooFewPoints { count: 1 }));
    assert_eq!(build(&[(5.0, 0.5), (5.0, 0.6)]), Err(RainError::Duplicate { duration: minutes(5.0) }));
    let (shorter, longer) = (minutes(5.0), minutes(10.0));
    assert_eq!(build(&[(5.0, 0.5), (10.0, 0.4)]), Err(RainError::DepthFalls { shorter, longer }));
    assert_eq!(build(&[(5.0, 0.5), (10.0, 1.1)]), Err(RainError::IntensityRises { shorter, longer }));
    assert_eq!(build(&[(5.0, 0.5), (10.0, 0.0)]), Err(RainError::NotPositive { duration: longer }));
    // any order; equal depth and equal intensity are the limits
    let table = build(&[(20.0, 1.0), (5.0, 0.5), (10.0, 1.0)]).unwrap();
    assert_eq!(table.points().iter().map(|point| point.0.minutes()).collect::<Vec<_>>(), [5.0, 10.0, 20.0]);
    assert_eq!(
        build(&[(5.0, 0.5), (10.0, 0.4)]).unwrap_err().to_string(),
        "less rain falls in 10 min than in 5 min: depth can only grow with duration"
    );
}

#[test]
fn refuses_formulas_that_are_no_rain() {
    for (a, b, c) in [(0.0, 5.0, 0.8), (40.0, -1.0, 0.8), (40.0, 5.0, 0.0), (40.0, 0.0, 1.1), (f64::NAN, 5.0, 0.8)] {
        assert_eq!(Rain::formula(Intensity::from_inh(a), minutes(b), c), Err(RainError::BadFormula));
        let unchecked = Rain::Formula { a: Intensity::from_inh(a), b: minutes(b), c };
        assert_eq!(unchecked.intensity(minutes(10.0)), Err(RainError::BadFormula));
    }
}

#[test]
fn durations_are_spoken_as_people_say_them() {
    let refusal = |duration, shortest, longest| RainError::OutsideTable { duration, shortest, longest }.to_string();
    let hours = Duration::from_h;
    // minutes below two hours, hours up to two days, days above
    for (duration, spoken) in [
        (minutes(7.5), "7.5 min"),
        (minutes(119.0), "119 min"),
        (hours(2.0), "2 h"),
        (hours(48.0), "48 h"),
        (hours(48.1), "2 days"),
        (hours(60.0), "2.5 days"),
    ] {
        assert_eq!(refusal(duration, None, None), format!("the rain is not known for {spoken}: it has no table"));
    }
    let known = |shortest, longest| refusal(minutes(3.0), shortest, longest);
    let said = "the rain is not known for 3 min: ";
    assert_eq!(known(Some(minutes(5.0)), None), format!("{said}it starts at 5 min"));
    assert_eq!(known(None, Some(hours(24.0))), format!("{said}its formula holds up to 24 h"));
    assert_eq!(known(Some(minutes(5.0)), Some(hours(24.0))), format!("{said}its table runs from 5 min to 24 h"));
}

#[test]
fn each_refusal_says_what_is_wrong() {
    let (shorter, longer) = (minutes(5.0), minutes(10.0));
    for (error, said) in [
        (RainError::TooFewPoints { count: 1 }, "a rain table needs at least two durations; this one has 1"),
        (
            RainError::NotPositive { duration: shorter },
            "at 5 min the duration and the depth must both be numbers above zero",
        ),
        (RainError::Duplicate { duration: longer }, "10 min stands twice in the rain table"),
        (
            RainError::IntensityRises { shorter, longer },
            "the average intensity over 10 min is higher than over 5 min: it can only fall with duration",
        ),
        (RainError::BadDuration { duration: -shorter }, "the duration must be a number above zero, not -5 min"),
        (
            RainError::Contribution { part: 2 },
            "contributing surface 2: coefficient, area and time must be numbers, zero or above",
        ),
        (
            RainError::Reach { reach: 3 },
            "piece 3 of the flow path: length must be zero or above; slope, roughness and rain above zero",
        ),
    ] {
        assert_eq!(error.to_string(), said);
    }
}

#[test]
fn a_formula_by_hand() {
    // 60 in/h with b 5 min and c 0.5: after 4 min 60/√9 = 20 in/h, which is 20 x 4/60 in
    let rain = Rain::formula(Intensity::from_inh(60.0), minutes(5.0), 0.5).unwrap();
    close(rain.intensity(minutes(4.0)).unwrap().inh(), 20.0, 1e-12);
    close(rain.depth(minutes(4.0)).unwrap().inch(), 80.0 / 60.0, 1e-12);
    assert_eq!((rain.shortest(), rain.longest()), (None, None));
    // with c of one depth grows for ever
    assert_eq!(Rain::formula(Intensity::from_inh(60.0), minutes(5.0), 1.0).unwrap().longest(), None);
    // b of nothing will do as long as c is not above one
    for (b, c, good) in [
        (0.0, 1.0, true),
        (0.0, 1.0 + 1e-12, false),
        (1e-9, 1.0 + 1e-12, true),
        (5.0, f64::INFINITY, false),
        (f64::INFINITY, 0.5, false),
    ] {
        assert_eq!(Rain::formula(Intensity::from_inh(60.0), minutes(b), c).is_ok(), good, "{b} {c}");
    }
    for a in [0.0, -1.0, f64::INFINITY] {
        assert_eq!(Rain::formula(Intensity::from_inh(a), minutes(5.0), 0.5), Err(RainError::BadFormula), "{a}");
    }
}

#[test]
fn what_is_asked_of_a_rain_is_checked() {
    let rains =
        [table(&[(5.0, 0.5), (60.0, 2.0)]), Rain::formula(Intensity::from_inh(60.0), minutes(5.0), 0.5).unwrap()];
    for duration in [0.0, -5.0, f64::NAN, f64::INFINITY].map(minutes) {
        for rain in &rains {
            assert!(matches!(rain.check(duration), Err(RainError::BadDuration { .. })), "{duration:?}");
            assert!(matches!(rain.depth(duration), Err(RainError::BadDuration { .. })), "{duration:?}");
        }
        // one intensity holds for any duration, a depth needs one all the same
        let constant = Rain::Constant(Intensity::from_inh(1.0));
        assert_eq!(constant.check(duration), Ok(()));
        assert!(matches!(constant.depth(duration), Err(RainError::BadDuration { .. })), "{duration:?}");
    }
    for odd in [-1.0, f64::NAN, f64::INFINITY] {
        assert_eq!(Rain::Constant(Intensity::from_inh(odd)).check(minutes(5.0)), Err(RainError::BadIntensity), "{odd}");
    }
    assert_eq!(Rain::Constant(Intensity::ZERO).check(minutes(5.0)), Ok(()));
    // both ends of a table belong to it, with room for the rounding of conversions
    let rain = &rains[0];
    for (at, good) in
        [(5.0, true), (60.0, true), (5.0 - 1e-9, true), (60.0 + 1e-8, true), (5.0 - 1e-7, false), (60.0 + 1e-6, false)]
    {
        let outside = matches!(
            rain.intensity(minutes(at)),
            Err(RainError::OutsideTable { shortest: Some(_), longest: Some(_), .. })
        );
        assert_eq!((rain.check(minutes(at)).is_ok(), outside), (good, !good), "{at}");
    }
}

#[test]
fn periods_that_are_none() {
    for odd in [f64::NAN, f64::INFINITY, -2.0, 0.0, 1.0] {
        assert_eq!(partial_duration_period(ReturnPeriod::from_years(odd)), None, "{odd}");
    }
    assert!(partial_duration_period(ReturnPeriod::from_years(1.0 + 1e-9)).is_some());
    for odd in [f64::NAN, f64::INFINITY, -2.0, 0.0] {
        assert_eq!(annual_maximum_period(ReturnPeriod::from_years(odd)), None, "{odd}");
    }
    assert!(annual_maximum_period(ReturnPeriod::from_years(0.1)).is_some());
}

#[test]
fn hostile_numbers_end_in_errors_or_numbers() {
    for one in HOSTILE {
        for other in HOSTILE {
            let point = (Duration::from_s(one), RainDepth::from_m(other));
            if let Ok(table) = DepthDuration::new(vec![point, (minutes(5.0), RainDepth::from_inch(0.5))]) {
                assert!(Rain::Table(table).intensity(minutes(5.0)).unwrap().ms() > 0.0);
            }
            for rain in [
                table(&[(5.0, 0.5), (60.0, 2.0)]),
                Rain::Formula { a: Intensity::from_ms(one), b: Duration::from_s(other), c: 0.8 },
                Rain::Constant(Intensity::from_ms(one)),
            ] {
                if let Ok(found) = rain.intensity(Duration::from_s(other)) {
                    assert!(found.is_finite() && found >= Intensity::ZERO, "{rain:?} gave {found:?}");
                }
            }
        }
    }
}
