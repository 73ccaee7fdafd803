//! Conversion factors to SI, each built from its definition so that it stands once and is exact.
//!
//! Inch, pound and standard gravity are exact by definition (international yard and pound agreement of 1959;
//! CGPM 1901); the US gallon is 231 cubic inches. All other factors are products of these.

/// Metres in an inch.
pub const INCH: f64 = 0.0254;
/// Metres in a foot.
pub const FOOT: f64 = 12.0 * INCH;
/// Cubic metres in a US gallon.
pub const GALLON: f64 = 231.0 * INCH * INCH * INCH;
/// Cubic metres in a litre.
pub const LITRE: f64 = 1e-3;
/// Square metres in an acre.
pub const ACRE: f64 = 43_560.0 * FOOT * FOOT;
/// Square metres in a hectare.
pub const HECTARE: f64 = 1e4;
/// Seconds in a minute.
pub const MINUTE: f64 = 60.0;
/// Seconds in an hour.
pub const HOUR: f64 = 3_600.0;
/// Seconds in a day.
pub const DAY: f64 = 86_400.0;
/// Standard gravity, m/s².
pub const GRAVITY: f64 = 9.806_65;
/// Kilograms in a pound.
pub const POUND: f64 = 0.453_592_37;
/// Newtons in a pound-force.
pub const POUND_FORCE: f64 = POUND * GRAVITY;
/// Pascals in a pound-force per square inch.
pub const PSI: f64 = POUND_FORCE / (INCH * INCH);
/// Watts in a horsepower (550 ft·lbf/s).
pub const HORSEPOWER: f64 = 550.0 * FOOT * POUND_FORCE;
