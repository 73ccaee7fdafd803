//! The sentences that a person would say.

use super::result::{Margin, Margins};
use super::sampling::{Input, Sampling};
use super::search::WITHIN;
use crate::design::likely::{Assumption, Counted};
use crate::quantity::{Amount, Length, UnitSystem};

/// So many margins are said in a sentence.
const SAID: usize = 3;

/// A share in percent, rounded towards nothing: what is said must hold.
pub(super) fn percent_down(share: f64) -> String {
    let percent = share.abs() * 100.0;
    // 11.999999999 is 12 that lost a digit on the way
    if percent < 9.95 {
        format!("{:.1} %", libm::floor(percent * 10.0 + 1e-6) / 10.0)
    } else {
        format!("{:.0} %", libm::floor(percent + 1e-6))
    }
}

/// The same rounded away from nothing: what must be reached.
fn percent_up(share: f64) -> String {
    let percent = share.abs() * 100.0;
    if percent < 9.95 {
        format!("{:.1} %", libm::ceil(percent * 10.0 - 1e-6) / 10.0)
    } else {
        format!("{:.0} %", libm::ceil(percent - 1e-6))
    }
}

impl Margin {
    /// The change in words: `12 % more rain`, rounded so that it may be relied on.
    pub fn change_words(&self, holds: bool, units: UnitSystem) -> String {
        // of coefficients what they rise by together, since none goes above its end
        let together = matches!(self.assumption, Assumption::RunoffCoefficient | Assumption::CurveNumber);
        let change = if together { self.reached.slack.copysign(self.reached.change) } else { self.reached.change };
        let change = self.relied_on(holds, change);
        let percent = if holds { percent_down(change) } else { percent_up(change) };
        let length = |length: Length| {
            let length = length.abs();
            let small = length < Length::from_ft(2.0);
            match (small, holds) {
                (true, true) => Amount::small_at_most(length),
                (true, false) => Amount::small_at_least(length),
                (false, true) => Amount::at_most(length),
                (false, false) => Amount::length_at_least(length),
            }
            .show(units)
        };
        let more = change > 0.0;
        let by = |plus: &str, minus: &str| if more { plus.to_owned() } else { minus.to_owned() };
        let part = |now: &Amount| Length::from_m(now.si * change);
        match self.assumption {
            Assumption::Rain => format!("{percent} {} rain", by("more", "less")),
            Assumption::CatchmentArea => format!("{percent} {} catchment", by("more", "less")),
            Assumption::RunoffCoefficient => format!("runoff coefficients {percent} {}", by("higher", "lower")),
            Assumption::CurveNumber => format!("curve numbers {percent} {}", by("higher", "lower")),
            Assumption::Infiltration => format!("{percent} {} soaking in", by("more", "less")),
            Assumption::Inflow => format!("{percent} {} of the other inflow", by("more", "less")),
            Assumption::GroundwaterInflow => format!("{percent} {} groundwater", by("more", "less")),
            Assumption::GroundwaterLevel => {
                format!("groundwater {} {}", length(Length::from_m(change)), by("higher", "lower"))
            }
            Assumption::GrateArea => format!("{percent} {} of the grates open", by("more", "less")),
            Assumption::LowSpotArea => format!("{percent} {} room in the low spots", by("more", "less")),
            Assumption::PipeC => format!("a pipe with {percent} {} C", by("more", "less")),
            Assumption::Bore => format!("a bore {percent} {}", by("wider", "narrower")),
            Assumption::Fittings => format!("{percent} {} loss in fittings", by("more", "less")),
            Assumption::RunLength => format!("{} {} run", length(part(&self.now)), by("more", "less")),
            Assumption::Lift => format!("{} {} lift", length(Length::from_m(change)), by("more", "less")),
            Assumption::PumpWear => format!("{percent} of the pump's head worn off"),
            Assumption::FloatOn => format!("the on float {} {}", length(part(&self.now)), by("higher", "lower")),
            Assumption::FloatOff => format!("the off float {} {}", length(part(&self.now)), by("higher", "lower")),
            Assumption::BetweenFloats => {
                format!("the floats {} {}", length(part(&self.now)), by("further apart", "closer together"))
            }
            Assumption::BasinWidth => format!("a basin {percent} {}", by("wider", "narrower")),
        }
    }
    /// The slack as it is printed.
    pub fn slack_words(&self, holds: bool) -> String {
        let slack = self.relied_on(holds, self.reached.slack);
        if holds { percent_down(slack) } else { percent_up(slack) }
    }
    /// What was tried on the side where the design holds; where the verdict turns lies within this and as much beyond.
    fn relied_on(&self, holds: bool, amount: f64) -> f64 {
        match (self.stop.is_some(), holds) {
            (false, _) => amount,
            (true, true) => amount * (1.0 - WITHIN),
            (true, false) => amount * (1.0 + WITHIN),
        }
    }
}

impl Margins {
    /// What a person would say first.
    pub fn sentence(&self) -> String {
        let turning: Vec<&Margin> = self.turning().collect();
        if !self.holds {
            let by = self.stops.first().map_or_else(String::new, |stop| {
                let more = match self.stops.len() {
                    0 | 1 => String::new(),
                    2 => " and 1 more stop".to_owned(),
                    more => format!(" and {} more stops", more - 1),
                };
                format!(": {}{more}", stop.id)
            });
            let fails = format!("It fails as it is entered{by}");
            return match self.cures().as_slice() {
                [] => format!("{fails}. No one of these changed alone, within what is asked here, makes it hold."),
                some => format!("{fails}. It would hold with {}.", listed(some, "or")),
            };
        }
        let said: Vec<String> = turning.iter().take(SAID).map(|margin| margin.change_words(true, self.units)).collect();
        match turning.first() {
            None => "It holds, and nothing that it rests on stops it within what is asked here.".to_owned(),
            Some(least) if at_once(least) => {
                format!("It holds, but only just: {} is on the brink.", least.assumption.words())
            }
            Some(least) => {
                let each = if said.len() > 1 { ", each by itself" } else { "" };
                let closest = least.assumption.words();
                format!(
                    "It still holds with {}{each}, and not much beyond: {closest} is the closest.",
                    listed(&said, "or")
                )
            }
        }
    }
    /// What would make a failing design hold, the least first.
    fn cures(&self) -> Vec<String> {
        self.turning().take(SAID).map(|margin| margin.change_words(self.holds, self.units)).collect()
    }
    /// The least slack as one sentence, for the verdict of a whole report.
    pub fn least_words(&self) -> String {
        let Some(least) = self.least() else { return self.sentence() };
        if !self.holds {
            return format!("Nearest to holding: it would hold with {}.", least.change_words(self.holds, self.units));
        }
        let stop = least.stop.as_ref().map_or("", |stop| stop.id);
        let of_goal = |margin: &&Margin| margin.stop.as_ref().is_some_and(|stop| stop.id == "goal-missed");
        let goal = match self.margins.iter().find(of_goal) {
            Some(next) if stop != "goal-missed" => {
                format!(" Your goal is first missed with more than {}.", next.change_words(true, self.units))
            }
            _ => String::new(),
        };
        format!(
            "Least slack: {}. It still holds with {}, and not much beyond (then {stop}).{goal}",
            least.assumption.words(),
            least.change_words(true, self.units)
        )
    }
    /// What could not be judged, or is not asked for, and what to enter.
    pub fn remarks(&self) -> Vec<String> {
        let mut said = Vec::new();
        if !self.goal_given {
            said.push(
                "No goal is entered, so standing water stops nothing here, however deep: write `standing_water` or `clear_within` in [goal], or `flow` where only pump and line are asked for."
                    .to_owned(),
            );
        }
        if let Some(more) = self.soil_may_take_less {
            said.push(format!(
                "If the soil takes less, {more:.1} times as much comes at the peak{}. `sumpwright size` follows that storm.",
                if self.sampling.is_some() { ": far more than any range below reckons with" } else { "" }
            ));
        }
        if self.hangs_on_stone {
            said.push(
                "With the stone of the French drain full of water or silt it does not hold: the slack below is that with its room free."
                    .to_owned(),
            );
        }
        if let Some(why) = &self.not_followed {
            said.push(format!("Its storm is not followed in time: {why}. What needs that is not judged."));
        }
        said
    }
}

/// Whether the least change turns the verdict.
fn at_once(margin: &Margin) -> bool {
    let least = match margin.assumption.counted() {
        Counted::Length => 1e-3,
        Counted::OfValue | Counted::OfHead => 5e-4,
    };
    margin.reached.change.abs() < least
}

fn listed(words: &[String], and: &str) -> String {
    match words.split_last() {
        Some((last, [])) => last.clone(),
        Some((last, rest)) => format!("{} {and} {last}", rest.join(", ")),
        None => String::new(),
    }
}

impl Input {
    /// Its range: `rain -20 to 20 %`.
    pub fn range_words(&self, units: UnitSystem) -> String {
        let (low, high) = (self.spread.low, self.spread.high);
        let name = self.assumption.words();
        match self.assumption.counted() {
            Counted::Length => {
                let show = |m: f64| Amount::small(Length::from_m(m)).show(units);
                if (low + high).abs() < 1e-9 {
                    return format!("{name} +-{}", show(high));
                }
                format!("{name} {} to {}", signed(&show(low)), signed(&show(high)))
            }
            Counted::OfValue | Counted::OfHead => {
                let show = |share: f64| {
                    let rounded = libm::round(share * 1000.0) / 10.0;
                    // no minus before nothing
                    format!("{}", if rounded == 0.0 { 0.0 } else { rounded })
                };
                if (low + high).abs() < 1e-9 {
                    return format!("{name} +-{} %", show(high));
                }
                format!("{name} {} to {} %", signed(&show(low)), signed(&show(high)))
            }
        }
    }
}

/// With a plus where it is more than nothing.
fn signed(number: &str) -> String {
    let nothing = number.starts_with('-') || number.starts_with("0 ") || number == "0";
    if nothing { number.to_owned() } else { format!("+{number}") }
}

impl Sampling {
    /// In how many it holds.
    pub fn words(&self) -> String {
        let runs = self.runs;
        let lost = match self.not_worked_out {
            0 => String::new(),
            some => format!(" {some} could not be worked out and count as failing."),
        };
        if self.holds == runs || self.holds == 0 {
            // the rule of three: none in n runs leaves at most 3/n with 95 % confidence
            let most = 300.0 / runs as f64;
            let (all, other) = if self.holds == runs { ("all", "fail") } else { ("none", "hold") };
            return format!(
                "It holds in {all} of {runs} sites drawn at random (seed {}); fewer than {most:.2} % of such sites {other}, at 95 % confidence.{lost}",
                self.seed
            );
        }
        format!(
            "It holds in {:.1} % of {runs} sites drawn at random (standard error {:.1} points, seed {}): a share of what may be wrong with the figures, no chance in a year.{lost}",
            self.share * 100.0,
            self.standard_error * 100.0,
            self.seed
        )
    }
}
