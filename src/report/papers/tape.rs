//! Lengths, levels and times as tape, rod and stopwatch show them.

use crate::quantity::{Duration, Length, Level, UnitSystem};

/// A number of so many decimals; no minus before nothing.
fn decimals(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.chars().all(|letter| matches!(letter, '0' | '.')) => rest.to_owned(),
        _ => text,
    }
}

/// A length in feet, inches and sixteenths, `1' 3-13/16"`; in millimetres in a metric paper, `453 mm`.
pub(super) fn tape(length: Length, units: UnitSystem) -> String {
    if units == UnitSystem::Metric {
        return format!("{} mm", decimals(length.mm(), 0));
    }
    let sign = if length < Length::ZERO { "-" } else { "" };
    // a hundred thousand feet are far beyond what any level in a file allows
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held between 0 and 2e7")]
    let sixteenths = libm::round(length.abs().inch() * 16.0).clamp(0.0, 2e7) as u32;
    let (feet, rest) = (sixteenths / 192, sixteenths % 192);
    let (inches, mut top) = (rest / 16, rest % 16);
    let mut bottom = 16;
    while top > 0 && top.is_multiple_of(2) {
        top /= 2;
        bottom /= 2;
    }
    let small = match (inches, top) {
        (inches, 0) => format!("{inches}\""),
        (0, top) => format!("{top}/{bottom}\""),
        (inches, top) => format!("{inches}-{top}/{bottom}\""),
    };
    let sign = if sixteenths == 0 { "" } else { sign };
    if feet > 0 { format!("{sign}{feet}' {small}") } else { format!("{sign}{small}") }
}

/// The unit of levels and stations.
pub(super) fn long_unit(units: UnitSystem) -> &'static str {
    match units {
        UnitSystem::Us => "ft",
        UnitSystem::Metric => "m",
    }
}

/// A level to the thousandth of a foot or metre, without its unit: closer than any rod.
pub(super) fn level(level: Level, units: UnitSystem) -> String {
    decimals(if units == UnitSystem::Us { level.ft() } else { level.m() }, 3)
}

/// A place along a trench, to the hundredth, without its unit.
pub(super) fn station(at: Length, units: UnitSystem) -> String {
    let text = decimals(if units == UnitSystem::Us { at.ft() } else { at.m() }, 2);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A rod reading, in decimals and, where rods also have inches, as a tape shows it.
pub(super) fn rod(reading: Length, units: UnitSystem) -> String {
    if reading <= Length::ZERO {
        return "above the instrument".to_owned();
    }
    match units {
        UnitSystem::Us => format!("{} = {}", decimals(reading.ft(), 3), tape(reading, units)),
        UnitSystem::Metric => decimals(reading.m(), 3),
    }
}

/// A time as a stopwatch shows it.
pub(super) fn stopwatch(time: Duration) -> String {
    let seconds = time.s();
    if !seconds.is_finite() {
        return "no time".to_owned();
    }
    if seconds < 9.95 {
        return format!("{seconds:.1} s");
    }
    if seconds < 119.5 {
        return format!("{seconds:.0} s");
    }
    let whole = libm::round(seconds);
    let minutes = libm::floor(whole / 60.0);
    format!("{minutes:.0} min {:.0} s", whole - minutes * 60.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_as_a_tape_shows_them() {
        for (inches, text) in [
            (0.0, "0\""),
            (0.03, "0\""),
            (0.04, "1/16\""),
            (-0.01, "0\""),
            (3.8125, "3-13/16\""),
            (11.98, "1' 0\""),
            (12.0, "1' 0\""),
            (15.8125, "1' 3-13/16\""),
            (-15.5, "-1' 3-1/2\""),
            (60.25, "5' 1/4\""),
        ] {
            assert_eq!(tape(Length::from_inch(inches), UnitSystem::Us), text, "{inches}");
        }
        assert_eq!(tape(Length::from_mm(452.6), UnitSystem::Metric), "453 mm");
        assert_eq!(tape(Length::from_mm(-0.2), UnitSystem::Metric), "0 mm");
    }

    #[test]
    fn levels_rods_and_times() {
        assert_eq!(level(Level::from_ft(97.4333), UnitSystem::Us), "97.433");
        assert_eq!(rod(Length::from_ft(6.31), UnitSystem::Us), "6.310 = 6' 3-3/4\"");
        assert_eq!(rod(Length::from_m(2.3), UnitSystem::Metric), "2.300");
        assert_eq!(rod(Length::from_m(-0.1), UnitSystem::Metric), "above the instrument");
        assert_eq!(station(Length::from_ft(41.25), UnitSystem::Us), "41.25");
        assert_eq!(station(Length::from_ft(100.0), UnitSystem::Us), "100");
        for (seconds, text) in
            [(6.04, "6.0 s"), (64.6, "65 s"), (119.4, "119 s"), (119.6, "2 min 0 s"), (203.0, "3 min 23 s")]
        {
            assert_eq!(stopwatch(Duration::from_s(seconds)), text);
        }
    }
}
