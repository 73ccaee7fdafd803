//! What is read as a quantity, with its value; and what is refused, with what the user is told.

use sumpwright::quantity::{Dimension, Length, ReadError, UnitSystem, described, read_pair, read_si, read_size};

const INCH: f64 = 0.0254;
const FOOT: f64 = 0.3048;
const GALLON: f64 = 3.785_411_784e-3;

fn same(left: f64, right: f64) -> bool {
    (left - right).abs() <= 1e-12 * left.abs().max(right.abs())
}

/// Text, dimension, value, size of the unit that the value is in.
const READ: &[(&str, Dimension, f64, f64)] = &[
    // lengths
    ("150 ft", Dimension::Length, 150.0, FOOT),
    ("150ft", Dimension::Length, 150.0, FOOT),
    ("150 feet", Dimension::Length, 150.0, FOOT),
    ("150 FT.", Dimension::Length, 150.0, FOOT),
    ("  150\u{a0}ft ", Dimension::Length, 150.0, FOOT),
    ("\u{feff}150\u{200b}ft", Dimension::Length, 150.0, FOOT),
    ("\u{a0}150\tft\u{2003}", Dimension::Length, 150.0, FOOT),
    ("150 ft .", Dimension::Length, 150.0, FOOT),
    ("150-ft", Dimension::Length, 150.0, FOOT),
    ("150 lf", Dimension::Length, 150.0, FOOT),
    ("+150 ft", Dimension::Length, 150.0, FOOT),
    (".5 in", Dimension::Length, 0.5, INCH),
    ("5. in", Dimension::Length, 5.0, INCH),
    ("1,000 ft", Dimension::Length, 1000.0, FOOT),
    ("1,234,567.5 ft", Dimension::Length, 1_234_567.5, FOOT),
    ("1e3 ft", Dimension::Length, 1000.0, FOOT),
    ("1.5E+1 ft", Dimension::Length, 15.0, FOOT),
    ("1e\u{2212}2 ft", Dimension::Length, 0.01, FOOT),
    ("45 m", Dimension::Length, 45.0, 1.0),
    ("45 metres", Dimension::Length, 45.0, 1.0),
    ("110 mm", Dimension::Length, 110.0, 1e-3),
    ("110 MM", Dimension::Length, 110.0, 1e-3),
    ("11 cm", Dimension::Length, 11.0, 1e-2),
    ("2 yd", Dimension::Length, 6.0, FOOT),
    ("1-1/2 in", Dimension::Length, 1.5, INCH),
    ("1 1/2\"", Dimension::Length, 1.5, INCH),
    ("1½ in", Dimension::Length, 1.5, INCH),
    ("1 ½ in", Dimension::Length, 1.5, INCH),
    ("1-½ in", Dimension::Length, 1.5, INCH),
    ("½in", Dimension::Length, 0.5, INCH),
    ("¼ in", Dimension::Length, 0.25, INCH),
    ("¾ in", Dimension::Length, 0.75, INCH),
    ("⅛ in", Dimension::Length, 0.125, INCH),
    ("⅜ in", Dimension::Length, 0.375, INCH),
    ("⅝ in", Dimension::Length, 0.625, INCH),
    ("2⅞ in", Dimension::Length, 2.875, INCH),
    ("3/4 in", Dimension::Length, 0.75, INCH),
    ("3\u{2044}4 in", Dimension::Length, 0.75, INCH),
    ("5/2 in", Dimension::Length, 2.5, INCH),
    ("6\u{2033}", Dimension::Length, 6.0, INCH),
    ("6\u{201d}", Dimension::Length, 6.0, INCH),
    ("6''", Dimension::Length, 6.0, INCH),
    ("3 ft 6 in", Dimension::Length, 42.0, INCH),
    ("3ft6in", Dimension::Length, 42.0, INCH),
    ("3 ft, 6 in", Dimension::Length, 42.0, INCH),
    ("3ft2in", Dimension::Length, 38.0, INCH),
    ("3ft2.5in", Dimension::Length, 38.5, INCH),
    ("3ft2-1/2in", Dimension::Length, 38.5, INCH),
    ("12 ft.6 in", Dimension::Length, 150.0, INCH),
    ("3' 6\"", Dimension::Length, 42.0, INCH),
    ("3'6\"", Dimension::Length, 42.0, INCH),
    ("3\u{2032} 6\u{2033}", Dimension::Length, 42.0, INCH),
    ("3\u{2019} 6\u{201d}", Dimension::Length, 42.0, INCH),
    ("12'-6\"", Dimension::Length, 150.0, INCH),
    ("12' - 6\"", Dimension::Length, 150.0, INCH),
    ("12'-2\"", Dimension::Length, 146.0, INCH),
    ("12 ft 6-1/2 in", Dimension::Length, 150.5, INCH),
    ("12'-6 1/2\"", Dimension::Length, 150.5, INCH),
    ("12'-6½\"", Dimension::Length, 150.5, INCH),
    ("0 ft 6 in", Dimension::Length, 6.0, INCH),
    // levels
    ("100.25 ft", Dimension::Level, 100.25, FOOT),
    ("-2 ft", Dimension::Level, -2.0, FOOT),
    ("\u{2212}2 ft", Dimension::Level, -2.0, FOOT),
    ("-2 ft 6 in", Dimension::Level, -2.5, FOOT),
    ("30.2 m", Dimension::Level, 30.2, 1.0),
    // areas
    ("5200 ft2", Dimension::Area, 5200.0, FOOT * FOOT),
    ("5200 ft²", Dimension::Area, 5200.0, FOOT * FOOT),
    ("5200 ft^2", Dimension::Area, 5200.0, FOOT * FOOT),
    ("5200ft2", Dimension::Area, 5200.0, FOOT * FOOT),
    ("1,000 sq ft", Dimension::Area, 1000.0, FOOT * FOOT),
    ("1,000 sq. ft.", Dimension::Area, 1000.0, FOOT * FOOT),
    ("5200 sf", Dimension::Area, 5200.0, FOOT * FOOT),
    ("5200 square feet", Dimension::Area, 5200.0, FOOT * FOOT),
    ("1/4 acre", Dimension::Area, 43_560.0 / 4.0, FOOT * FOOT),
    ("2 acres", Dimension::Area, 87_120.0, FOOT * FOOT),
    ("2 ac", Dimension::Area, 87_120.0, FOOT * FOOT),
    ("480 m2", Dimension::Area, 480.0, 1.0),
    ("480 m²", Dimension::Area, 480.0, 1.0),
    ("0.2 ha", Dimension::Area, 2000.0, 1.0),
    ("62 in2", Dimension::Area, 62.0, INCH * INCH),
    ("62 sq in", Dimension::Area, 62.0, INCH * INCH),
    ("10 yd2", Dimension::Area, 90.0, FOOT * FOOT),
    // volumes
    ("12,500 gal", Dimension::Volume, 12_500.0, GALLON),
    ("30 gallons", Dimension::Volume, 30.0, GALLON),
    ("30 US gal", Dimension::Volume, 30.0, GALLON),
    ("30 U.S. gallons", Dimension::Volume, 30.0, GALLON),
    ("4 ft3", Dimension::Volume, 4.0, FOOT * FOOT * FOOT),
    ("4 cu ft", Dimension::Volume, 4.0, FOOT * FOOT * FOOT),
    ("4 cu. ft.", Dimension::Volume, 4.0, FOOT * FOOT * FOOT),
    ("200 L", Dimension::Volume, 0.2, 1.0),
    ("200 l", Dimension::Volume, 0.2, 1.0),
    ("200 litres", Dimension::Volume, 0.2, 1.0),
    ("200 liter", Dimension::Volume, 0.2, 1.0),
    ("2 m³", Dimension::Volume, 2.0, 1.0),
    ("2 cu yd", Dimension::Volume, 54.0, FOOT * FOOT * FOOT),
    ("2 yd3", Dimension::Volume, 54.0, FOOT * FOOT * FOOT),
    // flows
    ("38 gpm", Dimension::Flow, 38.0, GALLON / 60.0),
    ("38 GPM", Dimension::Flow, 38.0, GALLON / 60.0),
    ("38 gal/min", Dimension::Flow, 38.0, GALLON / 60.0),
    ("38 gal / min", Dimension::Flow, 38.0, GALLON / 60.0),
    ("38 gallons per minute", Dimension::Flow, 38.0, GALLON / 60.0),
    ("38 US gallons per minute", Dimension::Flow, 38.0, GALLON / 60.0),
    ("2.1 L/s", Dimension::Flow, 2.1, 1e-3),
    ("2.1 litres per second", Dimension::Flow, 2.1, 1e-3),
    ("126 L/min", Dimension::Flow, 2.1, 1e-3),
    ("7.56 m3/h", Dimension::Flow, 2.1, 1e-3),
    ("7.56 m³/hr", Dimension::Flow, 2.1, 1e-3),
    ("0.25 ft3/s", Dimension::Flow, 0.25, FOOT * FOOT * FOOT),
    ("0.25 cfs", Dimension::Flow, 0.25, FOOT * FOOT * FOOT),
    ("0.25 cubic feet per second", Dimension::Flow, 0.25, FOOT * FOOT * FOOT),
    ("2280 gph", Dimension::Flow, 38.0, GALLON / 60.0),
    ("2280 gal/h", Dimension::Flow, 38.0, GALLON / 60.0),
    // speeds and rain
    ("5 ft/s", Dimension::Velocity, 5.0, FOOT),
    ("5 fps", Dimension::Velocity, 5.0, FOOT),
    ("1.5 m/s", Dimension::Velocity, 1.5, 1.0),
    ("4.5 in/h", Dimension::Intensity, 4.5, INCH / 3600.0),
    ("4.5 in/hr", Dimension::Intensity, 4.5, INCH / 3600.0),
    ("4.5 in./hr.", Dimension::Intensity, 4.5, INCH / 3600.0),
    ("4.5 inches per hour", Dimension::Intensity, 4.5, INCH / 3600.0),
    ("4.5 iph", Dimension::Intensity, 4.5, INCH / 3600.0),
    ("114.3 mm/h", Dimension::Intensity, 4.5, INCH / 3600.0),
    ("1.87 in", Dimension::RainDepth, 1.87, INCH),
    ("1.87 inch", Dimension::RainDepth, 1.87, INCH),
    ("47 mm", Dimension::RainDepth, 0.047, 1.0),
    ("4.7 cm", Dimension::RainDepth, 0.047, 1.0),
    // heads and pressures; 1 psi = 6894.757 293 168 361 Pa; water of 60 F at 999.02 kg/m3 (IAPWS-95)
    ("18 ft", Dimension::Head, 18.0, FOOT),
    ("18 ft of water", Dimension::Head, 18.0, FOOT),
    ("18 ft H2O", Dimension::Head, 18.0, FOOT),
    ("18 feet of head", Dimension::Head, 18.0, FOOT),
    ("5.5 m", Dimension::Head, 5.5, 1.0),
    ("10 psi", Dimension::Head, 68_947.572_931_683_61, 1.0 / (999.02 * 9.806_65)),
    ("10 kPa", Dimension::Head, 10_000.0, 1.0 / (999.02 * 9.806_65)),
    ("0.1 bar", Dimension::Head, 10_000.0, 1.0 / (999.02 * 9.806_65)),
    ("12 psi", Dimension::Pressure, 12.0, 6_894.757_293_168_361),
    ("12 lb/in2", Dimension::Pressure, 12.0, 6_894.757_293_168_361),
    ("83 kPa", Dimension::Pressure, 83_000.0, 1.0),
    ("0.83 bar", Dimension::Pressure, 83_000.0, 1.0),
    ("1 m of water", Dimension::Pressure, 999.02, 9.806_65),
    // times
    ("20 min", Dimension::Duration, 20.0, 60.0),
    ("20 Minutes", Dimension::Duration, 20.0, 60.0),
    ("90 s", Dimension::Duration, 90.0, 1.0),
    ("6 h", Dimension::Duration, 6.0, 3600.0),
    ("6 hr", Dimension::Duration, 6.0, 3600.0),
    ("2 days", Dimension::Duration, 48.0, 3600.0),
    ("1 h 30 min", Dimension::Duration, 90.0, 60.0),
    ("1h20min", Dimension::Duration, 80.0, 60.0),
    ("10 yr", Dimension::ReturnPeriod, 10.0, 1.0),
    ("10 years", Dimension::ReturnPeriod, 10.0, 1.0),
    ("10-yr", Dimension::ReturnPeriod, 10.0, 1.0),
    ("10-year", Dimension::ReturnPeriod, 10.0, 1.0),
    // temperatures
    ("68 F", Dimension::Temperature, 20.0, 1.0),
    ("68 °F", Dimension::Temperature, 20.0, 1.0),
    ("68°f", Dimension::Temperature, 20.0, 1.0),
    ("68 deg F", Dimension::Temperature, 20.0, 1.0),
    ("-40 F", Dimension::Temperature, -40.0, 1.0),
    ("20 C", Dimension::Temperature, 20.0, 1.0),
    ("20 degrees Celsius", Dimension::Temperature, 20.0, 1.0),
    // slopes
    ("2 %", Dimension::Slope, 0.02, 1.0),
    ("2%", Dimension::Slope, 0.02, 1.0),
    ("2 percent", Dimension::Slope, 0.02, 1.0),
    ("1:100", Dimension::Slope, 0.01, 1.0),
    ("1 : 100", Dimension::Slope, 0.01, 1.0),
    ("1:1", Dimension::Slope, 1.0, 1.0),
    ("2:100", Dimension::Slope, 0.02, 1.0),
    ("-2:100", Dimension::Slope, -0.02, 1.0),
    ("1/4 in per ft", Dimension::Slope, 1.0 / 48.0, 1.0),
    ("1/4 in/ft", Dimension::Slope, 1.0 / 48.0, 1.0),
    ("¼\" per foot", Dimension::Slope, 1.0 / 48.0, 1.0),
    ("10 mm/m", Dimension::Slope, 0.01, 1.0),
    ("0.02 ft/ft", Dimension::Slope, 0.02, 1.0),
    ("0.02 m/m", Dimension::Slope, 0.02, 1.0),
    ("2 in per 10 ft", Dimension::Slope, 1.0 / 60.0, 1.0),
    // the rest; 1 lbf = 4.448 221 615 260 5 N, 1 hp = 745.699 871 582 270 22 W
    ("60 lb", Dimension::Weight, 60.0, 4.448_221_615_260_5),
    ("60 lbs", Dimension::Weight, 60.0, 4.448_221_615_260_5),
    ("60 lbf", Dimension::Weight, 60.0, 4.448_221_615_260_5),
    ("27 kg", Dimension::Weight, 27.0, 9.806_65),
    ("27 N", Dimension::Weight, 27.0, 1.0),
    ("620 W", Dimension::Power, 620.0, 1.0),
    ("0.62 kW", Dimension::Power, 620.0, 1.0),
    ("1/2 hp", Dimension::Power, 0.5, 745.699_871_582_270_2),
    ("999 kg/m3", Dimension::Density, 999.0, 1.0),
    ("1.12e-6 m2/s", Dimension::Viscosity, 1.12e-6, 1.0),
    ("0.5", Dimension::Number, 0.5, 1.0),
    ("-3", Dimension::Number, -3.0, 1.0),
    ("50 %", Dimension::Number, 0.5, 1.0),
];

#[test]
fn what_is_read() {
    for (text, dimension, value, size) in READ {
        match read_si(text, *dimension) {
            Ok(si) => assert!(same(si, value * size), "{text:?}: {si} is not {}", value * size),
            Err(error) => panic!("{text:?} as {}: {error}; {:?}", described(*dimension), error.hint()),
        }
    }
}

/// Text, dimension, part of the message, part of the hint, the text at fault.
const REFUSED: &[(&str, Dimension, &str, &str, &str)] = &[
    ("", Dimension::Length, "a length is missing", "write it like `150 ft`", ""),
    ("  ", Dimension::Flow, "a flow is missing", "`38 gpm`", "  "),
    ("150", Dimension::Length, "`150` has no unit, and a length needs one", "write `150 ft`", "150"),
    ("-2", Dimension::Level, "`-2` has no unit", "write `-2 ft` or `-2 m`", "2"),
    ("68", Dimension::Temperature, "a temperature needs one", "write `68 F` or `68 C`", "68"),
    ("10", Dimension::ReturnPeriod, "a return period needs one", "write `10 yr`", "10"),
    ("0.02", Dimension::Slope, "a slope needs one", "write `0.02 %` or `0.02 ft/ft`, whichever", "0.02"),
    ("20", Dimension::Duration, "a time needs one", "write `20 min`, `20 h` or `20 s`", "20"),
    ("5 m", Dimension::Duration, "`m` is metres", "write `5 min`", "m"),
    ("5 M", Dimension::Duration, "capital `M`", "write `5 min`", "M"),
    ("5 m", Dimension::ReturnPeriod, "`m` is metres", "write `5 yr`", "m"),
    ("5 M", Dimension::Length, "capital `M`", "write `5 m`", "M"),
    ("5 M3/h", Dimension::Flow, "capital `M3/h`", "write `5 m3/h`", "M3/h"),
    ("5 Mm", Dimension::Length, "capital `Mm`", "write `5 mm`", "Mm"),
    ("3 in", Dimension::Flow, "`in` is a unit of length, not of flow", "use one of `gpm`, `L/s`", "in"),
    ("9 gpm", Dimension::Length, "`gpm` is a unit of flow, not of length", "`ft`, `in`, `m`, `mm`", "gpm"),
    ("9 gallons per minute", Dimension::Volume, "is a unit of flow, not of volume", "`gal`", "gallons per minute"),
    ("2 h", Dimension::ReturnPeriod, "`h` is a unit of time, not of return period", "use `yr`", "h"),
    ("5 ft", Dimension::Duration, "`ft` is a unit of length, not of time", "`min`", "ft"),
    ("5 ft", Dimension::ReturnPeriod, "`ft` is a unit of length, not of return period", "use `yr`", "ft"),
    ("2 yr", Dimension::Duration, "`yr` is a unit of return period, not of time", "`min`", "yr"),
    ("9 yd", Dimension::RainDepth, "`yd` is not used for a rain depth", "`in`, `mm`, `cm`", "yd"),
    ("5 ft/s", Dimension::Length, "`ft/s` is a unit of velocity, not of length", "`ft`", "ft/s"),
    ("4 in/h", Dimension::Length, "`in/h` is a unit of rainfall intensity, not of length", "`ft`", "in/h"),
    ("3 in", Dimension::Intensity, "`in` is a unit of length, not of rainfall intensity", "`in/h`", "in"),
    ("3 in", Dimension::Velocity, "`in` is a unit of length, not of velocity", "`ft/s`", "in"),
    ("4 ft/s", Dimension::Intensity, "`ft/s` is not used for a rainfall intensity", "`in/h`", "ft/s"),
    ("40 ft of water", Dimension::Length, "is a unit of head, not of length", "`ft`", "ft of water"),
    ("3 ft 6 in", Dimension::Flow, "`ft` is a unit of length, not of flow", "`gpm`", "ft"),
    ("9 gpn", Dimension::Flow, "`gpn` is not a unit of flow", "did you mean `9 gpm`?", "gpn"),
    ("9 inchs", Dimension::Length, "`inchs` is not a unit of length", "did you mean `9 in`?", "inchs"),
    ("9 ft deep", Dimension::Length, "`ft deep` is not a unit of length", "did you mean `9 ft`?", "ft deep"),
    ("9 ft-", Dimension::Length, "`ft-` is not a unit of length", "did you mean `9 ft`?", "ft-"),
    ("9 ft,", Dimension::Length, "`ft,` is not a unit of length", "did you mean `9 ft`?", "ft,"),
    ("9oz", Dimension::Volume, "`oz` is not a unit of volume", "use one of `gal`", "oz"),
    ("9 parsecs", Dimension::Length, "`parsecs` is not a unit of length", "use one of `ft`", "parsecs"),
    ("9 gpm/ft", Dimension::Flow, "`gpm/ft` is not a unit of flow", "use one of `gpm`", "gpm/ft"),
    ("20 K", Dimension::Temperature, "`K` is not a unit of temperature", "use one of `F`, `C`", "K"),
    ("ft", Dimension::Length, "no number in `ft`", "write it like `150 ft`", "ft"),
    ("three feet", Dimension::Length, "no number", "`150 ft`", "three feet"),
    ("m2", Dimension::Area, "no number", "`5200 ft2`", "m2"),
    (
        "about 3 ft",
        Dimension::Length,
        "a single number is needed, and `about` stands before it",
        "write `3 ft`",
        "about ",
    ),
    ("about -3 ft", Dimension::Level, "`about` stands before it", "write `-3 ft`", "about "),
    ("--3 ft", Dimension::Level, "`--3` is not a number", "write the digits", "--3"),
    (",5 ft", Dimension::Level, "`,5` is not a number", "one decimal point", ",5"),
    ("5 ml", Dimension::Volume, "`ml` is not a unit of volume", "use one of `gal`", "ml"),
    ("10 yr storm", Dimension::ReturnPeriod, "`yr storm` is not a unit", "did you mean `10 yr`?", "yr storm"),
    ("~3 ft", Dimension::Length, "a single number is needed", "write `3 ft`", "~"),
    ("<3 ft", Dimension::Length, "a single number is needed", "write `3 ft`", "<"),
    ("3-4 ft", Dimension::Length, "`3-4` is more than one number", "a mixed number is written `3-1/4 in`", "3-4"),
    ("3\u{2013}4 ft", Dimension::Length, "`3-4` is more than one number", "of a range, write one end", "3\u{2013}4"),
    ("3 - 4 ft", Dimension::Length, "more than one number", "of a range", "3 - 4"),
    ("3 to 4 ft", Dimension::Length, "`3 to 4 ft` is more than one number", "of a range", "3 to 4 ft"),
    (
        "1 ft 2 ft 3 ft 4 ft 5/0 ft",
        Dimension::Length,
        "more than one number",
        "such as `150 ft`",
        "1 ft 2 ft 3 ft 4 ft 5/0 ft",
    ),
    ("3 ft or 4 ft", Dimension::Length, "more than one number", "of a range", "3 ft or 4 ft"),
    ("3 ft 4 ft", Dimension::Length, "more than one number", "of a range", "3 ft 4 ft"),
    ("3 ft -6 in", Dimension::Length, "more than one number", "of a range", "3 ft -6 in"),
    ("1 ft 2 in 3 in", Dimension::Length, "more than one number", "such as `150 ft`", "1 ft 2 in 3 in"),
    ("1 000 ft", Dimension::Length, "more than one number", "write `1000 ft`", "1 000 ft"),
    ("3, 600 ft", Dimension::Length, "more than one number", "such as `150 ft`", "3, 600 ft"),
    ("3-.5 ft", Dimension::Length, "more than one number", "of a range, write one end", "3-.5 ft"),
    ("1 /2 in", Dimension::Length, "more than one number", "a mixed number is written", "1 /2 in"),
    ("1 2/ in", Dimension::Length, "more than one number", "a mixed number is written", "1 2/ in"),
    ("1 2.5 in", Dimension::Length, "more than one number", "of a range", "1 2.5 in"),
    ("3/ in", Dimension::Length, "`/ in` is not a unit of length", "use one of `ft`", "/ in"),
    ("1/2-3/4 in", Dimension::Length, "more than one number", "of a range", "1/2-3"),
    ("1 in 100", Dimension::Length, "more than one number", "such as `150 ft`", "1 in 100"),
    ("3 4 ft", Dimension::Length, "more than one number", "such as `150 ft`", "3 4 ft"),
    ("1.5 000 ft", Dimension::Length, "more than one number", "such as `150 ft`", "1.5 000 ft"),
    ("1:100 ft", Dimension::Slope, "more than one number", "such as `2 %`", "1:100 ft"),
    ("1 in 100", Dimension::Slope, "more than one number", "write `1:100`", "1 in 100"),
    ("1:100", Dimension::Length, "more than one number", "such as `150 ft`", "1:100"),
    ("inf ft", Dimension::Length, "`inf` is not a number", "write it like `150 ft`", "inf"),
    ("-inf ft", Dimension::Length, "`inf` is not a number", "write it like `150 ft`", "inf"),
    ("NaN ft", Dimension::Length, "`NaN` is not a number", "`150 ft`", "NaN"),
    ("1e999 ft", Dimension::Length, "`1e999` is not a number that can be worked with", "`150 ft`", "1e999"),
    ("1e308 acre", Dimension::Area, "`1e308 acre` is not a number that", "`5200 ft2`", "1e308 acre"),
    ("1/0 in", Dimension::Length, "`1/0` divides by zero", "`3/4`", "1/0"),
    ("1-1/0 in", Dimension::Length, "`1-1/0` divides by zero", "`3/4`", "1-1/0"),
    ("1:0", Dimension::Slope, "divides by zero", "`3/4`", "1:0"),
    ("2 in per 0 ft", Dimension::Slope, "divides by zero", "`3/4`", "2 in per 0 ft"),
    ("3-4/4 in", Dimension::Length, "the fraction in `3-4/4` is not less than one", "`3-1/4 in`", "3-4/4"),
    ("3-5/4 in", Dimension::Length, "the fraction in `3-5/4` is not less than one", "`3-1/4 in`", "3-5/4"),
    ("1.5½ in", Dimension::Length, "`1.5½` is not a number", "one decimal point", "1.5½"),
    ("1.2.3 ft", Dimension::Length, "`1.2.3` is not a number", "one decimal point", "1.2.3"),
    ("1,5 ft", Dimension::Length, "the comma in `1,5`", "write `1.5 ft`", "1,5"),
    ("1.5, ft", Dimension::Length, "`, ft` is not a unit of length", "use one of `ft`", ", ft"),
    ("0,500 ft", Dimension::Length, "the comma in `0,500`", "write `0.500 ft`", "0,500"),
    ("1.000,5 m", Dimension::Length, "the comma in `1.000,5`", "write `1000.5 m`", "1.000,5"),
    ("1,00,000 ft", Dimension::Length, "`1,00,000` is not a number", "decimal point", "1,00,000"),
    ("3 ft 14 in", Dimension::Length, "12 make one `ft`", "write `4 ft 2 in`", "14 in"),
    ("3 ft 12 in", Dimension::Length, "too many `in`", "write `4 ft`", "12 in"),
    ("3.5 ft 6 in", Dimension::Length, "the `ft` in `3.5 ft 6 in` are not a whole number", "write `4 ft`", "3.5"),
    ("3 in 2 ft", Dimension::Length, "the smaller unit first", "write `2 ft 3 in`", "3 in 2 ft"),
    ("12' 6", Dimension::Length, "the `6` in `12' 6` has no unit", "write `12 ft 6 in`", "6"),
    ("12'-6", Dimension::Level, "has no unit", "write `12 ft 6 in`", "6"),
    (
        "1:30",
        Dimension::Duration,
        "may be hours and minutes or minutes and seconds",
        "write `90 min` or `90 s`",
        "1:30",
    ),
    ("2 in", Dimension::Slope, "a slope is a fall over a distance", "write `2 in per ft`", "in"),
    ("3 ft", Dimension::Slope, "a slope is a fall over a distance", "3 ft in 100 ft is `3 %`", "ft"),
    ("1.5 m", Dimension::Slope, "a slope is a fall over a distance", "1.5 m in 100 m is `1.5 %`", "m"),
    ("10 mm", Dimension::Slope, "a slope is a fall over a distance", "write `10 mm per m`", "mm"),
    ("3:1", Dimension::Slope, "flat if the run does", "write the fall first: `1:3`", "3:1"),
    (
        "12 psi",
        Dimension::Length,
        "`psi` is a unit of pressure, not of length",
        "that is a pressure; 1 psi is 2.31 ft of water: write `27.7 ft`",
        "psi",
    ),
    ("10 kPa", Dimension::Level, "not of level", "1 kPa is 0.102 m of water: write `1.02 m`", "kPa"),
    ("12 imp gal", Dimension::Volume, "only US gallons are read", "231 cubic inches", "imp gal"),
    ("12 imperial gallons", Dimension::Volume, "only US gallons are read", "write `gal` or `gpm`", "imperial gallons"),
    ("12 imp. gal/min", Dimension::Flow, "imperial measure", "litres", "imp. gal/min"),
    ("0.5 ft", Dimension::Number, "without `ft`", "write `0.5`", "ft"),
];

#[test]
fn what_is_refused_and_with_which_words() {
    for (text, dimension, message, hint, at) in REFUSED {
        match read_si(text, *dimension) {
            Ok(si) => panic!("{text:?} as {} was read as {si}", described(*dimension)),
            Err(error) => {
                let (said, hinted) = (error.to_string(), error.hint().unwrap_or_default());
                assert!(said.contains(message), "{text:?}: {said:?} lacks {message:?}");
                assert!(hinted.contains(hint), "{text:?}: {hinted:?} lacks {hint:?}");
                assert_eq!(error.span().and_then(|span| text.get(span)), Some(*at), "{text:?}: {error:?}");
            }
        }
    }
}

/// Where there is one unit only, there is nothing to choose from.
#[test]
fn a_hint_names_a_choice_where_there_is_one() {
    for (text, dimension, hint) in [
        ("10", Dimension::ReturnPeriod, "write `10 yr`"),
        ("2", Dimension::Level, "write `2 ft` or `2 m`, whichever it is"),
        ("10 yr storm", Dimension::ReturnPeriod, "did you mean `10 yr`?"),
        ("60 F or so", Dimension::Temperature, "did you mean `60 F`? The units are `F`, `C`"),
        ("9 in", Dimension::ReturnPeriod, "use `yr`"),
        ("9 in", Dimension::Temperature, "use one of `F`, `C`"),
    ] {
        assert_eq!(read_si(text, dimension).expect_err(text).hint().as_deref(), Some(hint), "{text}");
    }
}

/// In a file in metric units those come first, and one of the foot last.
#[test]
fn a_hint_begins_with_the_units_of_the_file() {
    for (dimension, us, metric) in [
        (Dimension::Length, "write `2 ft`, `2 in` or `2 m`", "write `2 m`, `2 mm` or `2 ft`"),
        (Dimension::Level, "write `2 ft` or `2 m`", "write `2 m` or `2 ft`"),
        (Dimension::Flow, "write `2 gpm` or `2 L/s`", "write `2 L/s` or `2 gpm`"),
        (Dimension::RainDepth, "write `2 in` or `2 mm`", "write `2 mm` or `2 in`"),
        (Dimension::Duration, "write `2 min`, `2 h` or `2 s`", "write `2 min`, `2 h` or `2 s`"),
        (Dimension::Slope, "write `2 %` or `2 ft/ft`", "write `2 %` or `2 ft/ft`"),
    ] {
        let error = read_si("2", dimension).expect_err("no unit");
        for (units, expected) in [(UnitSystem::Us, us), (UnitSystem::Metric, metric)] {
            assert_eq!(error.hint_in(units), Some(format!("{expected}, whichever it is")), "{dimension:?} {units:?}");
        }
    }
}

#[test]
fn what_a_hint_says_to_write_is_read() {
    let mut tried = 0;
    for (text, dimension, ..) in REFUSED {
        let Err(error) = read_si(text, *dimension) else { continue };
        if matches!(
            error,
            ReadError::ZeroDenominator { .. }
                | ReadError::MixedNumber { .. }
                | ReadError::BadNumber { .. }
                | ReadError::Imperial { .. }
        ) {
            continue;
        }
        let hint = error.hint().unwrap_or_default();
        let example = hint.split('`').nth(1).unwrap_or_default();
        let whole = if hint.starts_with("use") { format!("1 {example}") } else { example.to_owned() };
        assert!(read_si(&whole, *dimension).is_ok(), "{text:?}: {hint:?} leads to {:?}", read_si(&whole, *dimension));
        tried += 1;
    }
    assert!(tried > 60, "{tried}");
}

#[test]
fn pairs() {
    let foot = (Length::from_ft(1.0), Length::from_ft(1.0));
    for text in [
        "12 in x 12 in",
        "12 x 12 in",
        "12x12 in",
        "12in x 12in",
        "12\" × 12\"",
        "12 in by 12 in",
        "1 ft X 12 in",
        "12×12\"",
        "12 * 12 in",
    ] {
        let (a, b) = read_pair(text).unwrap_or_else(|error| panic!("{text}: {error}"));
        assert!(same(a.m(), foot.0.m()) && same(b.m(), foot.1.m()), "{text}: {a:?} {b:?}");
    }
    let (a, b) = read_pair("300 mm x 450 mm").expect("two lengths");
    assert!(same(a.mm(), 300.0) && same(b.mm(), 450.0));
    let (a, b) = read_pair("1-1/2 x 2-1/4 in").expect("two lengths");
    assert!(same(a.inch(), 1.5) && same(b.inch(), 2.25));
    for (text, message, at) in [
        ("", "a pair of lengths is missing", ""),
        ("12 in", "two lengths are needed", "12 in"),
        ("12 x 12 x 12 in", "two lengths are needed", "12 x 12 x 12 in"),
        ("12 in x 12", "`12` has no unit", "12"),
        ("12 × 12", "`12` has no unit", "12"),
        ("12 in × 9 gpm", "`gpm` is a unit of flow", "gpm"),
        ("12 in x", "a length is missing", ""),
        ("3 x 3 ft 6 in", "`3` has no unit", "3"),
    ] {
        let error = read_pair(text).expect_err(text);
        assert!(error.to_string().contains(message), "{text}: {error}");
        assert_eq!(error.span().and_then(|span| text.get(span)), Some(at), "{text}");
        assert!(error.hint().is_some(), "{text}");
    }
}

#[test]
fn pipe_sizes() {
    for (text, label) in [
        ("1-1/2 in", "1-1/2 in"),
        ("1 1/2\"", "1-1/2 in"),
        ("1.5 in", "1-1/2 in"),
        ("1½ in", "1-1/2 in"),
        ("1.50 inch", "1-1/2 in"),
        ("3/2 in", "1-1/2 in"),
        ("6/8 in", "3/4 in"),
        ("0.75 in", "3/4 in"),
        ("1-1/4 in", "1-1/4 in"),
        ("2 in", "2 in"),
        ("2.0 in", "2 in"),
        ("10 in", "10 in"),
        ("1.315 in", "1.315 in"),
        ("63 mm", "63 mm"),
        ("63MM", "63 mm"),
        ("20.5 mm", "20.5 mm"),
    ] {
        assert_eq!(read_size(text).as_deref(), Ok(label), "{text}");
        assert_eq!(read_size(label).as_deref(), Ok(label), "{label}");
    }
    for (text, message, hint) in [
        ("2", "`2` has no unit, and a pipe size needs one", "write `2 in` or `2 mm`"),
        ("2 ft", "`ft` is not used for a pipe size", "`in`, `mm`"),
        ("6 cm", "`cm` is not used for a pipe size", "`in`, `mm`"),
        ("0 in", "`0 in` is not a pipe size", "`1-1/2 in`"),
        ("-2 in", "`-2 in` is not a pipe size", "`1-1/2 in`"),
        ("1e9 in", "`1e9 in` is not a pipe size", "`63 mm`"),
        ("DN50", "a single number is needed", "write `50`"),
        ("2 in sch 40", "is more than one number", "such as `1-1/2 in`"),
        ("1 ft 6 in", "`ft` is not used for a pipe size", "`in`, `mm`"),
        ("", "a pipe size is missing", "`1-1/2 in`"),
    ] {
        let error = read_size(text).expect_err(text);
        assert!(error.to_string().contains(message), "{text}: {error}");
        assert!(error.hint().unwrap_or_default().contains(hint), "{text}: {:?}", error.hint());
    }
}
