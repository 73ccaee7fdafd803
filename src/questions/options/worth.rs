//! Which sets are worth choosing between.

use super::lists::Lists;
use super::result::Tried;
use super::{Costing, Priced};
use crate::basin::Plan;
use crate::quantity::Length;

/// So many rows are shown at most.
pub const MOST_SHOWN: usize = 8;

/// What a set is judged by, each the less the better, in whole numbers as they are printed.
pub(super) type Judged = Vec<i64>;

/// What sets are judged by: the cost where there is one, the size of each part that has no price, and what there is to
/// spare.
pub(super) fn judged(tried: &Tried, lists: &Lists, costing: &Costing) -> Judged {
    let [pump, pipe, basin, _] = tried.places;
    let mut judged = Vec::with_capacity(5);
    if costing.counts_money() {
        judged.push(tried.cost().map_or(i64::MAX, cents));
    }
    if matches!(costing.pumps, Priced::No(_)) {
        // a tenth of a watt
        judged.push(lists.pumps.get(pump).map_or(i64::MAX, |pump| whole(pump.strength_w * 10.0)));
    }
    if matches!(costing.pipes, Priced::No(_)) {
        judged.push(lists.pipes.get(pipe).map_or(i64::MAX, |pipe| micrometres(pipe.bore)));
    }
    if matches!(costing.basins, Priced::No(_)) {
        judged.push(lists.basins.get(basin).map_or(i64::MAX, |basin| micrometres(diameter(basin.plan))));
    }
    judged.push(-whole(to_spare(tried)));
    judged
}

/// What there is to spare as one number: the share of the goal, and where that is the same, the share of the peak.
pub(super) fn to_spare(tried: &Tried) -> f64 {
    let share = tried.spare.map_or(-100, |spare| spare.percent());
    let pumped = tried.pumped_share.map_or(0, super::spare::percent);
    // percent are small whole numbers
    #[allow(clippy::cast_precision_loss)]
    let both = (share * 1000 + pumped) as f64;
    both
}

pub(super) fn diameter(plan: Plan) -> Length {
    match plan {
        Plan::Round(across) => across,
        plan @ Plan::Rectangular(..) => plan.area().diameter(),
    }
}

fn micrometres(length: Length) -> i64 {
    whole(length.m() * 1e6)
}

/// Hundredths of the money's unit, as money is printed: what differs by less than anybody reads is alike.
pub(super) fn cents(money: f64) -> i64 {
    whole(as_printed(money) * 100.0)
}

/// An amount of money as it is printed: from a hundred on without decimals.
pub fn as_printed(money: f64) -> f64 {
    if money.abs() >= 100.0 { libm::round(money) } else { libm::round(money * 100.0) / 100.0 }
}

/// To the nearest whole number.
fn whole(value: f64) -> i64 {
    // far below the greatest whole number
    #[allow(clippy::cast_possible_truncation)]
    let whole = libm::round(value.clamp(-1e17, 1e17)) as i64;
    whole
}

/// Whether one is at least as good as another in all that they are judged by.
pub fn better_or_as_good(one: &[i64], other: &[i64]) -> bool {
    one.len() == other.len() && one.iter().zip(other).all(|(one, other)| one <= other)
}

/// A set by its number, what it is judged by, and in how many parts it is not as drawn.
pub(super) type Holding = (usize, Judged, usize);

/// Those that no other is better than, best first: by cost and then by the size of what has no price, or where nothing has
/// a price by what they have to spare, the goal's to the percent and then the peak's, and of equal ones the smaller. Of those that are alike in everything that with the fewest changes stays, and of
/// these the first in order.
pub(super) fn undominated(holding: &[Holding], by_money: bool) -> Vec<usize> {
    let mut order: Vec<&Holding> = holding.iter().collect();
    // with money the order of the parts themselves; without, what there is to spare, and of equal ones the smaller
    let key = |judged: &Judged| if by_money { 0 } else { judged.last().copied().unwrap_or(0) };
    order.sort_by(|one, other| {
        key(&one.1).cmp(&key(&other.1)).then_with(|| one.1.cmp(&other.1)).then((one.2, one.0).cmp(&(other.2, other.0)))
    });
    // in this order nothing is better than what stands before it
    let mut kept: Vec<&Holding> = Vec::new();
    for next in order {
        if !kept.iter().any(|kept| better_or_as_good(&kept.1, &next.1)) {
            kept.push(next);
        }
    }
    kept.into_iter().map(|(index, ..)| *index).collect()
}

/// The places of those shown: all, or the first, the last and some evenly between.
pub(super) fn shown(choices: usize) -> Vec<usize> {
    if choices <= MOST_SHOWN {
        return (0..choices).collect();
    }
    (0..MOST_SHOWN).map(|row| (row * (choices - 1) + (MOST_SHOWN - 1) / 2) / (MOST_SHOWN - 1)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Bore and what there is to spare: of the goal in percent times 1000, and of the peak.
    fn set(index: usize, bore: i64, goal: i64, peak: i64) -> Holding {
        (index, vec![bore, -(goal * 1000 + peak)], 0)
    }

    #[test]
    fn identity_of_sets_alike_to_the_percent_the_one_that_pumps_more_goes_first() {
        let thin = set(0, 40_000, 12, 55);
        let wide = set(1, 52_000, 12, 70);
        assert_eq!(undominated(&[thin.clone(), wide.clone()], false), [1, 0]);
        // alike in that too the wide one is no better, and is left out
        assert_eq!(undominated(&[thin.clone(), set(1, 52_000, 12, 55)], false), [0]);
        // more of the goal goes before more of the peak
        assert_eq!(undominated(&[set(0, 52_000, 13, 0), set(1, 40_000, 12, 70)], false), [0, 1]);
        // with money the parts go in their order
        assert_eq!(undominated(&[thin, wide], true), [0, 1]);
    }
}
