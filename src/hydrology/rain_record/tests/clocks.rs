//! A clock that is set back, stamp by stamp.

use crate::hydrology::rain_record::clock_back::{ClockBack, Place};

/// Seconds of a time of day.
fn at(text: &str) -> i64 {
    let parts: Vec<i64> = text.split(':').map(|part| part.parse().unwrap()).collect();
    parts[0] * 3_600 + parts[1] * 60 + parts.get(2).copied().unwrap_or(0)
}

/// Stamps one after the other, each after where the one before was put.
#[track_caller]
fn places(step: i64, longest: Option<i64>, first: &str, stamps: &[(&str, Place)]) {
    let mut clock = ClockBack::new(step, longest);
    let mut before = at(first);
    for (stamp, want) in stamps {
        let place = clock.place(at(stamp), before);
        assert_eq!(place, *want, "{stamp} of {stamps:?}");
        if let Place::After(placed) | Place::SetBack(placed) = place {
            assert_eq!(clock.at(at(stamp)), placed, "{stamp} of {stamps:?}");
            before = placed;
        }
    }
}

#[test]
fn identity_a_time_that_is_one_interval_or_two() {
    for (step, longest, jump) in
        [(300, Some(450), 450), (300, None, 300), (300, Some(60), 300), (3_600, Some(5_400), 5_400)]
    {
        let clock = ClockBack::new(step, longest);
        assert!(!clock.is_jump(jump), "{jump}");
        assert!(clock.is_jump(jump + 1), "{jump}");
    }
    // two and a half of 300 s are 750 s; of 61 s, whose half is cut to 30 s, 152 s
    for (step, most) in [(300, 750), (61, 152)] {
        let clock = ClockBack::new(step, Some(10_000));
        assert!(clock.is_two_steps(most), "{most}");
        assert!(!clock.is_two_steps(most + 1), "{most}");
    }
}

#[test]
fn identity_where_rows_go_when_the_clock_is_set_back() {
    use Place::{After, Back, Same, SetBack};
    let five = |stamps: &[(&str, Place)]| places(300, Some(450), "10:00", stamps);
    five(&[("10:05", After(at("10:05"))), ("12:00", After(at("12:00"))), ("12:00", Same)]);
    // by an hour where the row is then the next one: no more than 7.5 min later, and later at all
    five(&[("9:05", SetBack(at("10:05"))), ("9:10", After(at("10:10"))), ("9:10", Same)]);
    five(&[("9:07:30", SetBack(at("10:07:30")))]);
    five(&[("9:00:01", SetBack(at("10:00:01")))]);
    // else by what makes it the next one
    five(&[("9:07:31", SetBack(at("10:05"))), ("9:12:31", After(at("10:10")))]);
    five(&[("9:00", SetBack(at("10:05"))), ("9:05", After(at("10:10")))]);
    five(&[("9:58", SetBack(at("10:05"))), ("10:03", After(at("10:10")))]);
    // by two hours at most
    five(&[("8:00", SetBack(at("10:05"))), ("8:05", After(at("10:10")))]);
    five(&[("7:59:59", Back), ("10:05", After(at("10:05")))]);
    // what was added before counts: 9:00 would be put at 11:05, two hours and a step ahead, 8:59 more than that
    let wide = |stamps: &[(&str, Place)]| places(300, Some(7_200), "10:00", stamps);
    wide(&[("9:05", SetBack(at("10:05"))), ("10:00", After(at("11:00"))), ("9:00", SetBack(at("11:05")))]);
    wide(&[("9:05", SetBack(at("10:05"))), ("10:00", After(at("11:00"))), ("8:59", Back)]);
    // rows of an hour: half an hour back is half an hour on, an hour back an hour on
    places(3_600, Some(5_400), "10:00", &[("9:30", SetBack(at("10:30")))]);
    places(3_600, Some(5_400), "10:00", &[("9:00", SetBack(at("11:00"))), ("10:00", After(at("12:00")))]);
    places(3_600, Some(5_400), "10:00", &[("8:00", SetBack(at("11:00")))]);
    places(3_600, Some(5_400), "10:00", &[("7:59", Back)]);
    // of rows of two hours the next one is put an hour on
    places(7_200, Some(10_800), "10:00", &[("9:00", SetBack(at("11:00")))]);
}

#[test]
fn identity_the_hour_is_given_back_when_the_clock_is_set_forward() {
    use Place::{After, SetBack};
    let autumn = ("9:05", SetBack(at("10:05")));
    let five = |stamps: &[(&str, Place)]| {
        let all: Vec<_> = std::iter::once(autumn).chain(stamps.iter().copied()).collect();
        places(300, Some(450), "10:00", &all);
    };
    // 9:10 becomes 10:10: on the record's own clock again
    five(&[("10:10", After(at("10:10"))), ("10:15", After(at("10:15")))]);
    // later than that, there is a gap beside
    five(&[("10:40", After(at("10:40"))), ("10:45", After(at("10:45")))]);
    // a pause is given back as far as the rows stay in order
    five(&[("9:30", After(at("10:10"))), ("9:35", After(at("10:15"))), ("10:20", After(at("10:20")))]);
    // no pause, nothing given back
    five(&[("9:12:30", After(at("10:12:30"))), ("9:17:30", After(at("10:17:30")))]);
    five(&[("9:12:31", After(at("10:10"))), ("9:17:31", After(at("10:15")))]);
}
