//! A sentence with amounts in it, whose units are chosen when it is printed.

use crate::quantity::{
    Amount, Area, Duration, Flow, Head, Intensity, Length, Level, Power, Pressure, RainDepth, ReturnPeriod, Slope,
    Temperature, UnitSystem, Velocity, Volume, Weight,
};

/// What stands in a sentence's gaps.
#[derive(Clone, Debug, PartialEq)]
pub enum Filling {
    /// Words.
    Text(String),
    /// An amount.
    Amount(Amount),
}

impl Filling {
    /// As it is printed in a system of units.
    pub fn say(&self, system: UnitSystem) -> String {
        match self {
            Self::Text(words) => words.clone(),
            Self::Amount(amount) => amount.show(system),
        }
    }
}

/// A sentence: a template with `{}` gaps, and what fills them.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Phrase {
    template: &'static str,
    fillings: Vec<Filling>,
}

impl Phrase {
    /// A sentence whose gaps are filled in order.
    pub fn new(template: &'static str, fillings: Vec<Filling>) -> Self {
        debug_assert_eq!(template.matches("{}").count(), fillings.len(), "gaps and fillings of {template:?}");
        Self { template, fillings }
    }
    /// The sentence in a system of units.
    pub fn say(&self, system: UnitSystem) -> String {
        let mut text = String::new();
        let mut fillings = self.fillings.iter();
        for (index, piece) in self.template.split("{}").enumerate() {
            if index > 0
                && let Some(filling) = fillings.next()
            {
                text.push_str(&filling.say(system));
            }
            text.push_str(piece);
        }
        text
    }
}

/// Builds a [`Phrase`]: `phrase!("{} of head at {}", head, flow)`.
macro_rules! phrase {
    ($template:literal $(, $filling:expr)* $(,)?) => {
        $crate::design::Phrase::new($template, vec![$($crate::design::Filling::from($filling)),*])
    };
}
pub(crate) use phrase;

impl From<Amount> for Filling {
    fn from(amount: Amount) -> Self {
        Self::Amount(amount)
    }
}
impl From<&str> for Filling {
    fn from(words: &str) -> Self {
        Self::Text(words.to_owned())
    }
}
impl From<&String> for Filling {
    fn from(words: &String) -> Self {
        Self::Text(words.clone())
    }
}
impl From<String> for Filling {
    fn from(words: String) -> Self {
        Self::Text(words)
    }
}
macro_rules! filling_from {
    ($($name:ident)*) => { $(
        impl From<$name> for Filling {
            fn from(quantity: $name) -> Self {
                Self::Amount(Amount::of(quantity))
            }
        }
    )* };
}
filling_from!(Area Duration Flow Head Intensity Length Level Power Pressure RainDepth ReturnPeriod Slope Temperature Velocity Volume Weight);
impl From<f64> for Filling {
    fn from(number: f64) -> Self {
        Self::Amount(Amount::of(number))
    }
}
impl From<u32> for Filling {
    fn from(count: u32) -> Self {
        Self::Text(count.to_string())
    }
}
impl From<usize> for Filling {
    fn from(count: usize) -> Self {
        Self::Text(count.to_string())
    }
}

/// A share as whole percent in words.
pub(crate) fn percent(share: f64) -> String {
    let percent = share * 100.0;
    if percent.abs() < 9.95 { format!("{percent:.1} %") } else { format!("{percent:.0} %") }
}

/// A share as an amount that prints in percent.
pub(crate) fn share(ratio: f64) -> Amount {
    Amount::of(Slope::from_ratio(ratio))
}
