//! The one table of units: what each is called, how large it is, and which dimensions are written in it.

use super::factor::{
    ACRE, DAY, FOOT, GALLON, GRAVITY, HECTARE, HORSEPOWER, HOUR, INCH, LITRE, MINUTE, POUND, POUND_FORCE, PSI,
};
use super::types::{Dimension, Head, Measure, Pressure, Temperature};

/// A unit: its home dimension, its symbol, its other spellings in lower case, and its size in SI.
pub(super) struct Unit {
    pub(super) home: Dimension,
    pub(super) symbol: &'static str,
    pub(super) spellings: &'static [&'static str],
    size: f64,
}

impl Unit {
    /// The SI number of `value` in this unit, read as a `dimension`.
    pub(super) fn to_si(&self, value: f64, dimension: Dimension) -> f64 {
        let own =
            if self.symbol == FAHRENHEIT { Temperature::from_fahrenheit(value).celsius() } else { value * self.size };
        match (self.home, dimension) {
            (Dimension::Pressure, Dimension::Head) => Pressure::from_pa(own).head().si(),
            (Dimension::Head, Dimension::Pressure) => Pressure::of_head(Head::from_m(own)).si(),
            _ => own,
        }
    }

    /// The number in this unit of a quantity of its own dimension.
    pub(super) fn of_si(&self, si: f64) -> f64 {
        if self.symbol == FAHRENHEIT { Temperature::from_celsius(si).fahrenheit() } else { si / self.size }
    }
}

const FAHRENHEIT: &str = "F";
const FT2: f64 = FOOT * FOOT;
const FT3: f64 = FOOT * FOOT * FOOT;
const IN2: f64 = INCH * INCH;
const YARD: f64 = 3.0 * FOOT;

const fn unit(home: Dimension, symbol: &'static str, size: f64, spellings: &'static [&'static str]) -> Unit {
    Unit { home, symbol, spellings, size }
}

/// Every unit. A unit with `/` in its symbol is also found by any spelling of its two parts (`gallons per minute`).
pub(super) static UNITS: &[Unit] = {
    use Dimension::{
        Area, Density, Duration, Flow, Head, Intensity, Length, Power, Pressure, ReturnPeriod, Slope, Temperature,
        Velocity, Viscosity, Volume, Weight,
    };
    &[
        unit(Length, "ft", FOOT, &["foot", "feet", "'", "lf", "lin ft", "linear foot", "linear feet"]),
        unit(Length, "in", INCH, &["inch", "inches", "ins", "\""]),
        unit(Length, "m", 1.0, &["metre", "metres", "meter", "meters"]),
        unit(Length, "mm", 1e-3, &["millimetre", "millimetres", "millimeter", "millimeters"]),
        unit(Length, "cm", 1e-2, &["centimetre", "centimetres", "centimeter", "centimeters"]),
        unit(Length, "yd", YARD, &["yds", "yard", "yards"]),
        unit(Area, "ft2", FT2, &["sq ft", "sqft", "sf", "square foot", "square feet"]),
        unit(Area, "m2", 1.0, &["sq m", "sqm", "square metre", "square metres", "square meter", "square meters"]),
        unit(Area, "acre", ACRE, &["acres", "ac"]),
        unit(Area, "ha", HECTARE, &["hectare", "hectares"]),
        unit(Area, "in2", IN2, &["sq in", "sqin", "square inch", "square inches"]),
        unit(Area, "yd2", YARD * YARD, &["sq yd", "sqyd", "sy", "square yard", "square yards"]),
        unit(Area, "cm2", 1e-4, &["sq cm", "square centimetres", "square centimeters"]),
        unit(Area, "mm2", 1e-6, &["sq mm", "square millimetres", "square millimeters"]),
        unit(Volume, "gal", GALLON, &["gals", "gallon", "gallons", "us gal", "us gallon", "us gallons"]),
        unit(Volume, "L", LITRE, &["litre", "litres", "liter", "liters"]),
        unit(Volume, "ft3", FT3, &["cu ft", "cuft", "cf", "cubic foot", "cubic feet"]),
        unit(Volume, "m3", 1.0, &["cu m", "cubic metre", "cubic metres", "cubic meter", "cubic meters"]),
        unit(Volume, "yd3", YARD * YARD * YARD, &["cu yd", "cuyd", "cy", "cubic yard", "cubic yards"]),
        unit(Volume, "in3", INCH * INCH * INCH, &["cu in", "cubic inch", "cubic inches"]),
        unit(Flow, "gpm", GALLON / MINUTE, &["gal/min", "us gpm", "usgpm"]),
        unit(Flow, "L/s", LITRE, &["lps"]),
        unit(Flow, "L/min", LITRE / MINUTE, &["lpm"]),
        unit(Flow, "L/h", LITRE / HOUR, &["lph"]),
        unit(Flow, "m3/h", 1.0 / HOUR, &[]),
        unit(Flow, "m3/s", 1.0, &[]),
        unit(Flow, "m3/day", 1.0 / DAY, &[]),
        unit(Flow, "ft3/s", FT3, &["cfs"]),
        unit(Flow, "ft3/min", FT3 / MINUTE, &["cfm"]),
        unit(Flow, "gph", GALLON / HOUR, &["gal/h"]),
        unit(Flow, "gpd", GALLON / DAY, &["gal/day"]),
        unit(Velocity, "ft/s", FOOT, &["fps"]),
        unit(Velocity, "m/s", 1.0, &[]),
        unit(Velocity, "ft/min", FOOT / MINUTE, &["fpm"]),
        unit(Velocity, "cm/s", 1e-2, &[]),
        unit(Velocity, "mm/s", 1e-3, &[]),
        // the micro sign and the Greek letter are two characters
        unit(
            Velocity,
            "um/s",
            1e-6,
            &["µm/s", "μm/s", "micrometres/second", "micrometers/second", "micron/s", "microns/s"],
        ),
        unit(Velocity, "ft/day", FOOT / DAY, &[]),
        unit(Velocity, "m/day", 1.0 / DAY, &[]),
        unit(Intensity, "in/h", INCH / HOUR, &["iph"]),
        unit(Intensity, "mm/h", 1e-3 / HOUR, &[]),
        unit(Intensity, "cm/h", 1e-2 / HOUR, &[]),
        unit(Intensity, "in/day", INCH / DAY, &[]),
        unit(Intensity, "mm/day", 1e-3 / DAY, &[]),
        unit(Intensity, "cm/day", 1e-2 / DAY, &[]),
        unit(Head, "ft of water", FOOT, &[]),
        unit(Head, "in of water", INCH, &[]),
        unit(Head, "m of water", 1.0, &[]),
        unit(Head, "mm of water", 1e-3, &[]),
        unit(Pressure, "psi", PSI, &["psig", "lb/in2"]),
        unit(Pressure, "kPa", 1e3, &["kilopascal", "kilopascals"]),
        unit(Pressure, "bar", 1e5, &["bars"]),
        unit(Pressure, "Pa", 1.0, &["pascal", "pascals"]),
        unit(Duration, "s", 1.0, &["sec", "secs", "second", "seconds"]),
        unit(Duration, "min", MINUTE, &["mins", "minute", "minutes"]),
        unit(Duration, "h", HOUR, &["hr", "hrs", "hour", "hours"]),
        unit(Duration, "day", DAY, &["d", "days"]),
        unit(ReturnPeriod, "yr", 1.0, &["y", "yrs", "year", "years"]),
        unit(Temperature, FAHRENHEIT, 1.0, &["fahrenheit"]),
        unit(Temperature, "C", 1.0, &["celsius", "centigrade"]),
        unit(Slope, "%", 1e-2, &["percent", "per cent", "pct"]),
        unit(Slope, "in/ft", 1.0 / 12.0, &[]),
        unit(Slope, "ft/ft", 1.0, &[]),
        unit(Slope, "mm/m", 1e-3, &[]),
        unit(Slope, "cm/m", 1e-2, &[]),
        unit(Slope, "m/m", 1.0, &[]),
        unit(Slope, "in/in", 1.0, &[]),
        unit(Weight, "lb", POUND_FORCE, &["lbs", "lbf", "pound", "pounds"]),
        unit(Weight, "kg", GRAVITY, &["kgs", "kgf", "kilogram", "kilograms"]),
        unit(Weight, "N", 1.0, &["newton", "newtons"]),
        unit(Weight, "kN", 1e3, &[]),
        unit(Power, "W", 1.0, &["watt", "watts"]),
        unit(Power, "kW", 1e3, &["kilowatt", "kilowatts"]),
        unit(Power, "hp", HORSEPOWER, &["horsepower"]),
        unit(Density, "kg/m3", 1.0, &[]),
        unit(Density, "lb/ft3", POUND / FT3, &["pcf"]),
        unit(Viscosity, "m2/s", 1.0, &[]),
        unit(Viscosity, "mm2/s", 1e-6, &[]),
        unit(Viscosity, "ft2/s", FT2, &[]),
        unit(Viscosity, "cSt", 1e-6, &["centistoke", "centistokes"]),
    ]
};

/// What reading has to know of what it was asked for.
#[derive(Clone, Copy, Debug)]
pub(super) struct Asked {
    pub(super) dimension: Dimension,
    /// With its article.
    pub(super) described: &'static str,
    /// Something that would be read.
    pub(super) example: &'static str,
    /// The symbols of the units it is written in, best first.
    pub(super) accepted: &'static [&'static str],
    /// The units to propose for a bare number.
    pub(super) propose: &'static [&'static str],
}

/// A pipe size: a label that looks like a length.
pub(super) const SIZE: Asked = Asked {
    dimension: Dimension::Length,
    described: "a pipe size",
    example: "1-1/2 in",
    accepted: &["in", "mm"],
    propose: &["in", "mm"],
};

/// How a dimension is written.
pub(super) const fn asked(dimension: Dimension) -> Asked {
    let (described, example, accepted, propose): (_, _, &'static [&'static str], &'static [&'static str]) =
        match dimension {
            Dimension::Number => ("a plain number", "0.5", &["%"], &[]),
            Dimension::Length => ("a length", "150 ft", &["ft", "in", "m", "mm", "cm", "yd"], &["ft", "in", "m"]),
            Dimension::Level => ("a level", "100.25 ft", &["ft", "m", "in", "mm", "cm"], &["ft", "m"]),
            Dimension::Area => {
                ("an area", "5200 ft2", &["ft2", "m2", "acre", "ha", "in2", "yd2", "cm2", "mm2"], &["ft2", "m2"])
            }
            Dimension::Volume => ("a volume", "120 gal", &["gal", "L", "ft3", "m3", "yd3", "in3"], &["gal", "L"]),
            Dimension::Flow => (
                "a flow",
                "38 gpm",
                &["gpm", "L/s", "L/min", "m3/h", "ft3/s", "gph", "gpd", "ft3/min", "L/h", "m3/s", "m3/day"],
                &["gpm", "L/s"],
            ),
            Dimension::Velocity => (
                "a velocity",
                "5 ft/s",
                &[
                    "ft/s", "m/s", "ft/min", "cm/s", "mm/s", "um/s", "ft/day", "m/day", "in/h", "mm/h", "cm/h",
                    "in/day", "mm/day", "cm/day",
                ],
                &["ft/s", "m/s"],
            ),
            Dimension::Intensity => (
                "a rainfall intensity",
                "4.5 in/h",
                &["in/h", "mm/h", "cm/h", "in/day", "mm/day", "cm/day", "ft/day", "m/day", "cm/s", "m/s", "um/s"],
                &["in/h", "mm/h"],
            ),
            Dimension::RainDepth => ("a rain depth", "1.5 in", &["in", "mm", "cm"], &["in", "mm"]),
            Dimension::Head => (
                "a head",
                "18 ft",
                &[
                    "ft",
                    "m",
                    "psi",
                    "kPa",
                    "bar",
                    "in",
                    "mm",
                    "ft of water",
                    "m of water",
                    "in of water",
                    "mm of water",
                ],
                &["ft", "m"],
            ),
            Dimension::Pressure => {
                ("a pressure", "12 psi", &["psi", "kPa", "bar", "Pa", "ft of water", "m of water"], &["psi", "kPa"])
            }
            Dimension::Duration => ("a time", "20 min", &["min", "h", "s", "day"], &["min", "h", "s"]),
            Dimension::ReturnPeriod => ("a return period", "10 yr", &["yr"], &["yr"]),
            Dimension::Temperature => ("a temperature", "60 F", &["F", "C"], &["F", "C"]),
            Dimension::Slope => {
                ("a slope", "2 %", &["%", "in/ft", "ft/ft", "mm/m", "cm/m", "m/m", "in/in"], &["%", "ft/ft"])
            }
            Dimension::Weight => ("a weight", "60 lb", &["lb", "kg", "N", "kN"], &["lb", "kg"]),
            Dimension::Power => ("a power", "620 W", &["W", "kW", "hp"], &["W", "hp"]),
            Dimension::Density => ("a density", "999 kg/m3", &["kg/m3", "lb/ft3"], &["kg/m3", "lb/ft3"]),
            Dimension::Viscosity => {
                ("a viscosity", "1.12e-6 m2/s", &["m2/s", "mm2/s", "ft2/s", "cSt"], &["m2/s", "ft2/s"])
            }
        };
    Asked { dimension, described, example, accepted, propose }
}

/// A unit that is written as two numbers with the next smaller one, and how many of that make one. What is written in
/// the larger is written in the smaller too.
pub(super) const COMPOUNDS: &[(&str, &str, f64)] =
    &[("ft", "in", 12.0), ("h", "min", 60.0), ("min", "s", 60.0), ("day", "h", 24.0)];

/// The unit text in the form that the table is written in: lower case, plain ASCII, `/` for "per".
pub(super) fn normal(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '.' | '^' => {}
            '²' => plain.push('2'),
            '³' => plain.push('3'),
            'º' => plain.push('°'),
            _ => plain.extend(letter.to_lowercase()),
        }
    }
    let words: Vec<&str> = plain.split_whitespace().collect();
    let spaced = words.join(" ").replace(" per ", "/").replace("''", "\"");
    let parts: Vec<&str> = spaced.split('/').map(str::trim).collect();
    parts.join("/")
}

/// The unit that is printed with a symbol, letter for letter.
pub(super) fn printed(symbol: &str) -> Option<&'static Unit> {
    UNITS.iter().find(|unit| unit.symbol == symbol)
}

/// The unit of a text already in its [`normal`] form.
pub(super) fn find(normal: &str) -> Option<&'static Unit> {
    if let Some(degrees) = ["°", "degrees ", "degree ", "deg ", "deg"].iter().find_map(|sign| normal.strip_prefix(sign))
    {
        return named(degrees.trim_start()).filter(|unit| unit.home == Dimension::Temperature);
    }
    if let Some(unit) = named(normal) {
        return Some(unit);
    }
    if let Some((over, under)) = normal.split_once('/') {
        return named(&format!("{}/{}", named(over)?.symbol, named(under)?.symbol).to_lowercase());
    }
    let column = [" of water", " of head", " of h2o", " h2o", " head", " wc"];
    let length = column.iter().find_map(|suffix| normal.strip_suffix(suffix))?;
    named(&format!("{} of water", named(length)?.symbol))
}

fn named(spelling: &str) -> Option<&'static Unit> {
    UNITS.iter().find(|unit| unit.symbol.eq_ignore_ascii_case(spelling) || unit.spellings.contains(&spelling))
}

/// Whether a unit is of those countries where a comma is the decimal point.
pub(super) fn metric(symbol: &str) -> bool {
    let known = ["m", "mm", "cm", "um", "L", "kPa", "bar", "Pa", "kg", "N", "kN", "W", "kW"];
    symbol.split(|letter: char| !letter.is_ascii_alphabetic()).any(|part| known.contains(&part))
}

/// Whether capitals make another unit of it: `M` may be a thousand, `Mm` a million metres. `MM` on a drawing is not.
pub(super) fn capital_matters(text: &str) -> bool {
    let mut letters = text.chars();
    match (letters.next(), letters.next(), letters.next()) {
        (Some('M'), Some('m'), third) => !third.is_some_and(char::is_alphabetic),
        (Some('M'), second, _) => !second.is_some_and(char::is_alphabetic),
        _ => false,
    }
}

/// Whether the text speaks of imperial gallons.
pub(super) fn imperial(normal: &str) -> bool {
    normal
        .split(|letter: char| !letter.is_alphanumeric())
        .any(|word| matches!(word, "imp" | "imperial" | "uk" | "igpm" | "igph" | "impgal"))
}

/// The accepted unit that an unknown text was probably meant to be.
pub(super) fn nearest(normal: &str, accepted: &[&'static str]) -> Option<&'static str> {
    let known = |text: &str| find(text).map(|unit| unit.symbol).filter(|symbol| accepted.contains(symbol));
    // `ft deep`, `in sch 40`: the unit with something after it
    if let Some(symbol) = normal.split_once(' ').and_then(|(first, _)| known(first)) {
        return Some(symbol);
    }
    let length = normal.chars().count();
    // two letters are near too many; and of known parts put together as nothing is, a guess would only mislead
    if !(3..=40).contains(&length)
        || normal.split_once('/').is_some_and(|(over, under)| named(over).is_some() && named(under).is_some())
    {
        return None;
    }
    let allowed = if length <= 4 { 1 } else { 2 };
    UNITS
        .iter()
        .filter(|unit| accepted.contains(&unit.symbol))
        .flat_map(|unit| {
            let symbol = unit.symbol;
            std::iter::once(symbol).chain(unit.spellings.iter().copied()).map(move |name| (symbol, name))
        })
        .map(|(symbol, name)| (symbol, name.to_lowercase()))
        .filter(|(_, name)| name.chars().next() == normal.chars().next())
        .map(|(symbol, name)| (strsim::osa_distance(normal, &name), symbol))
        .filter(|(distance, _)| *distance <= allowed)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, symbol)| symbol)
}
