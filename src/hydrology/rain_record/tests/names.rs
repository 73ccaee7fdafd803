//! What the name of a column says.

use crate::hydrology::rain_record::options::{RainKind, RainUnit};
use crate::hydrology::rain_record::words::{is_rain, may_be_rain, said, words};

#[test]
fn regress_what_a_column_name_says() {
    use RainKind::{Cumulative, Intensity};
    use RainUnit::{HundredthInch, Inch, Millimetre, TenthMillimetre};
    for (name, kind, unit) in [
        ("rain", None, None),
        ("depth_in", None, Some(Inch)),
        ("rain_mm", None, Some(Millimetre)),
        ("precip (in)", None, Some(Inch)),
        ("Precipitation [mm]", None, Some(Millimetre)),
        ("Rainfall, inches", None, Some(Inch)),
        ("rain in mm", None, Some(Millimetre)),
        ("rain in last hour", None, None),
        ("rain (in/h)", Some(Intensity), Some(Inch)),
        ("rain [mm/h]", Some(Intensity), Some(Millimetre)),
        ("rain (mm h-1)", Some(Intensity), Some(Millimetre)),
        ("intensity_mm_h", Some(Intensity), Some(Millimetre)),
        ("precip rate in/hr", Some(Intensity), Some(Inch)),
        ("rain (mm/day)", None, None),
        ("rain (in/min)", None, None),
        ("rain (cm)", None, None),
        ("rain (0.01 in)", None, Some(HundredthInch)),
        ("precip, hundredths of an inch", None, Some(HundredthInch)),
        ("prcp (0.1 mm)", None, Some(TenthMillimetre)),
        ("prcp tenths of mm", None, Some(TenthMillimetre)),
        ("rain (0.25 mm)", None, None),
        ("rain in inches and mm", None, None),
        ("cumulative rain (in)", Some(Cumulative), Some(Inch)),
        ("rain_mm (gauge 2)", None, Some(Millimetre)),
    ] {
        let said = said(name);
        assert_eq!((said.kind, said.unit), (kind, unit), "{name}");
    }
    assert!(said("total rain (mm)").total);
    assert!(!said("rain (mm)").total);
}

#[test]
fn regress_units_and_kinds_in_a_column_name() {
    use RainKind::{Cumulative, Intensity};
    use RainUnit::{HundredthInch, Inch, Millimetre, TenthMillimetre};
    for (name, kind, unit) in [
        ("RAIN_IN", None, Some(Inch)),
        ("rain (inches)", None, Some(Inch)),
        ("rain, inch", None, Some(Inch)),
        ("rain (millimetres)", None, Some(Millimetre)),
        ("rain millimeter", None, Some(Millimetre)),
        ("precipmm", None, Some(Millimetre)),
        ("rainmm", None, Some(Millimetre)),
        ("precipin", None, Some(Inch)),
        ("rainin", None, Some(Inch)),
        ("rain mmh", Some(Intensity), Some(Millimetre)),
        ("rain mmhr", Some(Intensity), Some(Millimetre)),
        ("rain inh", Some(Intensity), Some(Inch)),
        ("rain inhr", Some(Intensity), Some(Inch)),
        ("rain (iph)", Some(Intensity), Some(Inch)),
        ("rain (mm per hour)", Some(Intensity), Some(Millimetre)),
        ("rain (in per hrs)", Some(Intensity), Some(Inch)),
        ("rain inches per hour", Some(Intensity), Some(Inch)),
        ("rain in/h", Some(Intensity), Some(Inch)),
        ("rain in per hour", Some(Intensity), Some(Inch)),
        ("intensity", Some(Intensity), None),
        ("rain rate", Some(Intensity), None),
        // per anything else is no unit known here
        ("rain (in/d)", None, None),
        ("rain (mm per minute)", None, None),
        ("rain (mm/s)", None, None),
        ("rain mm/month", None, None),
        ("rain (in/15min)", None, None),
        ("rain mm 24h", None, None),
        ("rain mm 2", None, Some(Millimetre)),
        // nor are other lengths, other parts, or both units at once
        ("rain (centimeters)", None, None),
        ("rain (m)", None, None),
        ("rain feet", None, None),
        ("rain ft", None, None),
        ("rain (in, mm)", None, None),
        ("rain (in/mm)", None, None),
        ("rain (mm or in)", None, None),
        ("rain (in mm)", None, Some(Millimetre)),
        ("rain (in millimetres)", None, Some(Millimetre)),
        ("rain inches mm", None, None),
        ("rain (0.2 mm)", None, None),
        ("rain (1/16 in)", None, None),
        ("rain tenths of inches", None, None),
        ("rain thousandths of an inch", None, None),
        ("rain mm/100", None, None),
        ("rain (in/1000)", None, None),
        ("hundredths of mm", None, None),
        ("tenths of mm, inches", None, None),
        ("rain 0.01in", None, Some(HundredthInch)),
        ("rain (0.01\")", None, Some(HundredthInch)),
        ("rain (1/100 in)", None, Some(HundredthInch)),
        ("rain (in/100)", None, Some(HundredthInch)),
        ("rain 100ths in", None, Some(HundredthInch)),
        ("rain (0.01 in/h)", Some(Intensity), Some(HundredthInch)),
        ("rain (0.1mm)", None, Some(TenthMillimetre)),
        ("rain (1/10 mm)", None, Some(TenthMillimetre)),
        ("rain (mm/10)", None, Some(TenthMillimetre)),
        ("rain tenth mm per hour", Some(Intensity), Some(TenthMillimetre)),
        // `in` is a word of language where more follows
        ("rain in the yard", None, None),
        ("rain in yard in", None, Some(Inch)),
        ("in rain", None, None),
        // brackets come first, unless they speak of something else
        ("rain mm (in)", None, Some(Inch)),
        ("rain mm(in)", None, Some(Inch)),
        ("(in) rain", None, Some(Inch)),
        ("rain [in]", None, Some(Inch)),
        ("rain (in", None, Some(Inch)),
        ("rain_in (north gauge)", None, Some(Inch)),
        ("rain in (in 15 min)", None, None),
        ("rain mm (cm)", None, None),
        ("rain_in (7/h)", None, None),
        // a running total, and what contradicts itself
        ("accumulated rain (mm)", Some(Cumulative), Some(Millimetre)),
        ("cum rain in", Some(Cumulative), Some(Inch)),
        ("rain cumul mm", Some(Cumulative), Some(Millimetre)),
        ("running rain (in)", Some(Cumulative), Some(Inch)),
        ("cumulative rain (in/h)", None, Some(Inch)),
    ] {
        let said = said(name);
        assert_eq!((said.kind, said.unit), (kind, unit), "{name}");
    }
    for (name, total) in [
        ("total rain", true),
        ("rain accumulation (in)", true),
        ("rain accum", true),
        ("rain sum", true),
        // what is surely one is not asked about, what contradicts itself is
        ("cumulative rain", false),
        ("total rain rate", false),
        ("cumulative rain rate", true),
        ("rain", false),
    ] {
        assert_eq!(said(name).total, total, "{name}");
    }
}

#[test]
fn regress_names_that_speak_of_rain() {
    let list = |name: &str| words(name);
    for name in [
        "rain",
        "Rainfall",
        "rains",
        "precip",
        "precipitation (mm)",
        "PRCP",
        "hpcp",
        "QPCP",
        "rainmm",
        "rain_in",
        "precipin",
    ] {
        assert!(is_rain(&list(name)), "{name}");
    }
    for name in [
        "rainy",
        "terrain",
        "depth",
        "in",
        "time",
        "rain flag",
        "rain flags",
        "rain quality",
        "rain qc",
        "rain code",
        "precip type",
        "precip probability",
        "precip prob",
        "chance of rain",
        "snow precip",
        "snowfall precip",
        "rain units",
        "rain unit",
        "prcp attributes",
        "rain measurement",
        "rain status",
    ] {
        assert!(!is_rain(&list(name)), "{name}");
    }
    for (name, may) in [
        ("depth_in", true),
        ("Intensity (mm/h)", true),
        ("rain", false),
        ("water depth", false),
        ("soil depth", false),
        ("flow depth", false),
        ("stage depth", false),
        ("depth flag", false),
    ] {
        assert_eq!(may_be_rain(&list(name)), may, "{name}");
    }
    assert_eq!(words("Rain_fall (0.01 In)"), ["rain", "fall", "0", "01", "in"]);
}
