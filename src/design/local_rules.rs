//! The town's rules that the user entered, held against the site. None is built in, and what was not entered is asked.

use super::finding::Finding;
use super::phrase::{Filling, phrase};
use crate::quantity::{Amount, Length};
use crate::site::Site;

/// How the site stands to a rule.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RuleOutcome {
    /// It keeps it.
    Kept,
    /// It breaks it.
    Broken,
    /// The rule was entered, the site's own figure was not.
    SiteNotSaid,
    /// The rule was not entered.
    RuleNotSaid,
    /// It was entered as words, which only a person can hold against the site.
    ToRead,
}

impl RuleOutcome {
    /// Its name in data.
    pub fn name(self) -> &'static str {
        match self {
            Self::Kept => "kept",
            Self::Broken => "broken",
            Self::SiteNotSaid => "site_not_said",
            Self::RuleNotSaid => "rule_not_said",
            Self::ToRead => "to_read",
        }
    }
}

/// A rule of the town beside the site.
#[derive(Clone, Debug, PartialEq)]
pub struct RuleResult {
    /// A stable name.
    pub id: &'static str,
    /// What it is about, in a few words.
    pub about: &'static str,
    /// What the rule says, where it was entered.
    pub rule: Option<Filling>,
    /// What the site has, where that was entered.
    pub here: Option<Filling>,
    /// How the site stands to it.
    pub outcome: RuleOutcome,
    /// What to ask the town.
    pub ask: &'static str,
}

/// All rules that a town may have about such a job, in the order of a talk with it.
pub(super) fn local_rules(site: &Site) -> Vec<RuleResult> {
    let (rules, place) = (&site.local_rules, &site.outlet_place);
    let mut all = vec![ends(site)];
    let distances = [
        (
            "lot-line",
            "outlet to lot line",
            rules.lot_line_distance,
            place.to_lot_line,
            "How far from the lot line must the outlet stay?",
        ),
        (
            "house",
            "outlet to the nearest house",
            rules.house_distance,
            place.to_house,
            "How far from a house, ours or a neighbour's, must the outlet stay?",
        ),
        (
            "walk",
            "outlet to the nearest walk",
            rules.walk_distance,
            place.to_walk,
            "How far from a public walk or drive must the outlet stay, and may water run over it?",
        ),
    ];
    all.extend(distances.map(|(id, about, rule, here, ask)| distance(id, about, (rule, here), ask)));
    let said = |words: &Option<String>| words.as_ref().map(Filling::from);
    let in_words = |id, about, rule: Option<Filling>, ask| RuleResult {
        id,
        about,
        outcome: if rule.is_some() { RuleOutcome::ToRead } else { RuleOutcome::RuleNotSaid },
        rule,
        here: None,
        ask,
    };
    all.push(in_words(
        "permit",
        "permits",
        said(&rules.permit),
        "Which permits does this need: for the curb or ditch, for digging at the street, for the wiring, for a discharge?",
    ));
    all.push(in_words(
        "winter",
        "discharge in winter",
        said(&rules.winter),
        "May water be let out in frost, where it can freeze on a walk or a street?",
    ));
    all
}

/// Where the water ends.
fn ends(site: &Site) -> RuleResult {
    let (allowed, here) = (&site.local_rules.allowed_outlets, site.outlet_place.ends_in.as_ref());
    let outcome = match (allowed.is_empty(), here) {
        (true, _) => RuleOutcome::RuleNotSaid,
        (false, None) => RuleOutcome::SiteNotSaid,
        (false, Some(here)) if allowed.contains(here) => RuleOutcome::Kept,
        (false, Some(_)) => RuleOutcome::Broken,
    };
    RuleResult {
        id: "ends-in",
        about: "where the water may end",
        rule: (!allowed.is_empty()).then(|| Filling::from(allowed.join(", "))),
        here: here.map(Filling::from),
        outcome,
        ask: "Where may pumped rain and groundwater end: in a swale, a ditch, at the curb, in the storm drain, on the lawn?",
    }
}

fn distance(
    id: &'static str,
    about: &'static str,
    (rule, here): (Option<Length>, Option<Length>),
    ask: &'static str,
) -> RuleResult {
    let outcome = match (rule, here) {
        (None, _) => RuleOutcome::RuleNotSaid,
        (Some(_), None) => RuleOutcome::SiteNotSaid,
        (Some(rule), Some(here)) if here < rule => RuleOutcome::Broken,
        (Some(_), Some(_)) => RuleOutcome::Kept,
    };
    RuleResult {
        id,
        about,
        rule: rule.map(|rule| Filling::from(Amount::length_at_least(rule))),
        here: here.map(|here| Filling::from(Amount::at_most(here))),
        outcome,
        ask,
    }
}

/// What the design says of the rules that it breaks.
pub(super) fn findings(rules: &[RuleResult]) -> Vec<Finding> {
    let broken = rules.iter().filter(|rule| rule.outcome == RuleOutcome::Broken);
    broken
        .filter_map(|rule| {
            let (says, here) = (rule.rule.clone()?, rule.here.clone()?);
            let message = match says {
                Filling::Amount(_) => phrase!(
                    "a rule of the town that you entered is not kept: {} is {}, and must be at least {}",
                    rule.about,
                    here,
                    says
                ),
                Filling::Text(_) => phrase!(
                    "a rule of the town that you entered is not kept: the water ends in a {}, and may end in: {}",
                    here,
                    says
                ),
            };
            Some(
                Finding::caution("local-rule-broken", message)
                    .about(rule.about)
                    .cure(phrase!("move the outlet, or ask the town; `sumpwright papers FILE town` has the questions")),
            )
        })
        .collect()
}
