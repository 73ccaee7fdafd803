//! What the name of a column says.

use crate::hydrology::rain_record::options::{RainKind, RainUnit};
use crate::hydrology::rain_record::words::said;

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
