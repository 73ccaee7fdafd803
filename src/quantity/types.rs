//! The quantity types and the products between them.

use super::factor::{ACRE, DAY, FOOT, GALLON, HECTARE, HORSEPOWER, HOUR, INCH, LITRE, MINUTE, POUND_FORCE, PSI};
use super::real::Real;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub};

/// What a number measures. Each quantity type has one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Dimension {
    /// A pure number.
    Number,
    /// Distance.
    Length,
    /// Elevation above a datum.
    Level,
    /// Surface.
    Area,
    /// Volume of water or of a hollow.
    Volume,
    /// Volume per time.
    Flow,
    /// Distance per time.
    Velocity,
    /// Depth of rain per time.
    Intensity,
    /// Depth of rain.
    RainDepth,
    /// Energy of water per weight, as the height of a column of it.
    Head,
    /// Force per surface.
    Pressure,
    /// Time that passes.
    Duration,
    /// Average time between storms of a size.
    ReturnPeriod,
    /// Temperature.
    Temperature,
    /// Fall over distance.
    Slope,
    /// Weight (a force).
    Weight,
    /// Power.
    Power,
    /// Mass per volume.
    Density,
    /// Kinematic viscosity.
    Viscosity,
}

/// A quantity over numbers of kind `N`, seen from code that handles any of them.
pub trait Measure<N: Real>: Copy {
    /// What it measures.
    const DIMENSION: Dimension;
    /// The same quantity over numbers of another kind.
    type With<M: Real>: Measure<M>;
    /// From the SI number (metres, cubic metres per second, degrees Celsius …).
    fn from_si(si: N) -> Self;
    /// The SI number.
    fn si(self) -> N;
    /// The same quantity over plain numbers.
    fn plain(self) -> Self::With<f64> {
        Self::With::<f64>::from_si(self.si().value())
    }
}

impl<N: Real> Measure<N> for N {
    const DIMENSION: Dimension = Dimension::Number;
    type With<M: Real> = M;
    fn from_si(si: N) -> N {
        si
    }
    fn si(self) -> N {
        self
    }
}

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, si $from_si:ident $si:ident; $($(#[$unit_doc:meta])* $from:ident $get:ident = $factor:expr;)*) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
        pub struct $name<N = f64>(N);

        impl<N: Real> $name<N> {
            /// From the SI number.
            pub fn $from_si(si: N) -> Self {
                Self(si)
            }
            /// The SI number.
            pub fn $si(self) -> N {
                self.0
            }
        }

        impl $name {
            /// None of it.
            pub const ZERO: Self = Self(0.0);
            $(
                $(#[$unit_doc])*
                pub const fn $from(value: f64) -> Self {
                    Self(value * $factor)
                }
                $(#[$unit_doc])*
                pub const fn $get(self) -> f64 {
                    self.0 / $factor
                }
            )*
            /// The smaller of two.
            #[must_use]
            pub const fn min(self, other: Self) -> Self {
                Self(self.0.min(other.0))
            }
            /// The larger of two.
            #[must_use]
            pub const fn max(self, other: Self) -> Self {
                Self(self.0.max(other.0))
            }
            /// Without its sign.
            #[must_use]
            pub const fn abs(self) -> Self {
                Self(self.0.abs())
            }
            /// Whether it is an ordinary number, neither infinite nor undefined.
            pub const fn is_finite(self) -> bool {
                self.0.is_finite()
            }
        }

        impl<N: Real> Measure<N> for $name<N> {
            const DIMENSION: Dimension = Dimension::$name;
            type With<M: Real> = $name<M>;
            fn from_si(si: N) -> Self {
                Self(si)
            }
            fn si(self) -> N {
                self.0
            }
        }
    };
}

/// Sums, multiples and ratios, for quantities that start at nothing.
macro_rules! additive {
    ($($name:ident)*) => { $(
        impl<N: Real> Add for $name<N> {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }
        impl<N: Real> Sub for $name<N> {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }
        impl<N: Real> Neg for $name<N> {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }
        impl<N: Real> Mul<N> for $name<N> {
            type Output = Self;
            fn mul(self, times: N) -> Self {
                Self(self.0 * times)
            }
        }
        impl<N: Real> Div<N> for $name<N> {
            type Output = Self;
            fn div(self, by: N) -> Self {
                Self(self.0 / by)
            }
        }
        impl<N: Real> Div for $name<N> {
            type Output = N;
            fn div(self, by: Self) -> N {
                self.0 / by.0
            }
        }
        impl<N: Real> AddAssign for $name<N> {
            fn add_assign(&mut self, other: Self) {
                self.0 = self.0 + other.0;
            }
        }
        impl std::iter::Sum for $name {
            fn sum<I: Iterator<Item = Self>>(items: I) -> Self {
                Self(items.map(|item| item.0).sum())
            }
        }
    )* };
}

/// `A × B = C`, and the two divisions that follow from it.
macro_rules! product {
    ($($a:ident * $b:ident = $c:ident;)*) => { $(
        impl<N: Real> Mul<$b<N>> for $a<N> {
            type Output = $c<N>;
            fn mul(self, by: $b<N>) -> $c<N> {
                $c(self.0 * by.0)
            }
        }
        impl<N: Real> Div<$a<N>> for $c<N> {
            type Output = $b<N>;
            fn div(self, by: $a<N>) -> $b<N> {
                $b(self.0 / by.0)
            }
        }
        impl<N: Real> Div<$b<N>> for $c<N> {
            type Output = $a<N>;
            fn div(self, by: $b<N>) -> $a<N> {
                $a(self.0 / by.0)
            }
        }
    )* };
}

quantity! {
    /// A distance.
    Length, si from_m m;
    /// Feet.
    from_ft ft = FOOT;
    /// Inches.
    from_inch inch = INCH;
    /// Millimetres.
    from_mm mm = 1e-3;
    /// Centimetres.
    from_cm cm = 1e-2;
}
quantity! {
    /// An elevation above the site's datum. Two levels subtract to a [`Length`].
    Level, si from_m m;
    /// Feet.
    from_ft ft = FOOT;
}
quantity! {
    /// A surface.
    Area, si from_m2 m2;
    /// Square feet.
    from_ft2 ft2 = FOOT * FOOT;
    /// Square inches.
    from_in2 in2 = INCH * INCH;
    /// Acres.
    from_acre acre = ACRE;
    /// Hectares.
    from_ha ha = HECTARE;
}
quantity! {
    /// A volume.
    Volume, si from_m3 m3;
    /// US gallons.
    from_gal gal = GALLON;
    /// Cubic feet.
    from_ft3 ft3 = FOOT * FOOT * FOOT;
    /// Litres.
    from_litre litre = LITRE;
}
quantity! {
    /// A volume of water per time.
    Flow, si from_m3s m3s;
    /// US gallons per minute.
    from_gpm gpm = GALLON / MINUTE;
    /// Cubic feet per second.
    from_ft3s ft3s = FOOT * FOOT * FOOT;
    /// Litres per second.
    from_ls ls = LITRE;
    /// Litres per minute.
    from_lmin lmin = LITRE / MINUTE;
    /// Cubic metres per hour.
    from_m3h m3h = 1.0 / HOUR;
}
quantity! {
    /// A speed of water.
    Velocity, si from_ms ms;
    /// Feet per second.
    from_fts fts = FOOT;
}
quantity! {
    /// Depth of rain (or of water soaking in) per time.
    Intensity, si from_ms ms;
    /// Inches per hour.
    from_inh inh = INCH / HOUR;
    /// Millimetres per hour.
    from_mmh mmh = 1e-3 / HOUR;
}
quantity! {
    /// A depth of rain.
    RainDepth, si from_m m;
    /// Inches.
    from_inch inch = INCH;
    /// Millimetres.
    from_mm mm = 1e-3;
}
quantity! {
    /// Energy of water per weight, as the height of a column of water.
    Head, si from_m m;
    /// Feet of water.
    from_ft ft = FOOT;
}
quantity! {
    /// A pressure.
    Pressure, si from_pa pa;
    /// Pounds per square inch.
    from_psi psi = PSI;
    /// Kilopascals.
    from_kpa kpa = 1e3;
    /// Bars.
    from_bar bar = 1e5;
}
quantity! {
    /// A time that passes.
    Duration, si from_s s;
    /// Minutes.
    from_min minutes = MINUTE;
    /// Hours.
    from_h h = HOUR;
    /// Days.
    from_day day = DAY;
}
quantity! {
    /// The average time between storms of a size, in years.
    ReturnPeriod, si from_years years;
}
quantity! {
    /// A temperature, held in degrees Celsius.
    Temperature, si from_celsius celsius;
}
quantity! {
    /// Fall over distance, as a ratio.
    Slope, si from_ratio ratio;
    /// Percent.
    from_percent percent = 1e-2;
    /// Inches per foot.
    from_in_per_ft in_per_ft = 1.0 / 12.0;
}
quantity! {
    /// A weight, as a force.
    Weight, si from_n n;
    /// Pounds.
    from_lb lb = POUND_FORCE;
}
quantity! {
    /// A power.
    Power, si from_w w;
    /// Horsepower.
    from_hp hp = HORSEPOWER;
    /// Kilowatts.
    from_kw kw = 1e3;
}
quantity! {
    /// Mass per volume.
    Density, si from_kgm3 kgm3;
}
quantity! {
    /// Kinematic viscosity.
    Viscosity, si from_m2s m2s;
}

additive!(Length Area Volume Flow Velocity Intensity RainDepth Head Pressure Duration Weight Power);

product! {
    Flow * Duration = Volume;
    Area * Length = Volume;
    Velocity * Area = Flow;
    Velocity * Duration = Length;
    Intensity * Duration = RainDepth;
}

impl<N: Real> Mul<Area<N>> for Intensity<N> {
    type Output = Flow<N>;
    fn mul(self, by: Area<N>) -> Flow<N> {
        Flow(self.0 * by.0)
    }
}
impl<N: Real> Mul for Length<N> {
    type Output = Area<N>;
    fn mul(self, by: Self) -> Area<N> {
        Area(self.0 * by.0)
    }
}
impl<N: Real> Div<Length<N>> for Area<N> {
    type Output = Length<N>;
    fn div(self, by: Length<N>) -> Length<N> {
        Length(self.0 / by.0)
    }
}
impl<N: Real> Mul<Length<N>> for Slope<N> {
    type Output = Length<N>;
    fn mul(self, by: Length<N>) -> Length<N> {
        Length(self.0 * by.0)
    }
}

impl<N: Real> Sub for Level<N> {
    type Output = Length<N>;
    fn sub(self, other: Self) -> Length<N> {
        Length(self.0 - other.0)
    }
}
impl<N: Real> Add<Length<N>> for Level<N> {
    type Output = Self;
    fn add(self, up: Length<N>) -> Self {
        Self(self.0 + up.0)
    }
}
impl<N: Real> Sub<Length<N>> for Level<N> {
    type Output = Self;
    fn sub(self, down: Length<N>) -> Self {
        Self(self.0 - down.0)
    }
}

impl<N: Real> From<Length<N>> for Head<N> {
    fn from(height: Length<N>) -> Self {
        Self(height.0)
    }
}
impl<N: Real> From<Head<N>> for Length<N> {
    fn from(head: Head<N>) -> Self {
        Self(head.0)
    }
}
impl<N: Real> From<RainDepth<N>> for Length<N> {
    fn from(depth: RainDepth<N>) -> Self {
        Self(depth.0)
    }
}

impl<N: Real> Length<N> {
    /// The area of a circle of this diameter.
    pub fn circle(self) -> Area<N> {
        Area(self.0 * self.0 * std::f64::consts::FRAC_PI_4)
    }
}

impl Area {
    /// The diameter of a circle of this area.
    pub fn diameter(self) -> Length {
        Length((self.0 / std::f64::consts::FRAC_PI_4).sqrt())
    }
}

impl Temperature {
    /// From degrees Celsius, where a constant is wanted.
    pub const fn from_celsius_const(value: f64) -> Self {
        Self(value)
    }
    /// From degrees Fahrenheit.
    pub const fn from_fahrenheit(value: f64) -> Self {
        Self((value - 32.0) / 1.8)
    }
    /// Degrees Fahrenheit.
    pub const fn fahrenheit(self) -> f64 {
        self.0 * 1.8 + 32.0
    }
}

impl Slope {
    /// Fall over length; nothing when the length is nothing.
    pub fn of(fall: Length, length: Length) -> Self {
        if length.0 > 0.0 { Self(fall.0 / length.0) } else { Self(0.0) }
    }
}

impl Pressure {
    /// The pressure under a column of water at 60 F (62.367 lbf/ft³, IAPWS-95).
    pub fn of_head(head: Head) -> Self {
        Self(head.0 * WATER_WEIGHT_60F)
    }
    /// The column of water at 60 F that makes this pressure.
    pub fn head(self) -> Head {
        Head(self.0 / WATER_WEIGHT_60F)
    }
}

/// Weight of a cubic metre of water at 60 F, N/m³: 999.02 kg/m³ (IAPWS-95) times standard gravity.
const WATER_WEIGHT_60F: f64 = 999.02 * super::factor::GRAVITY;
