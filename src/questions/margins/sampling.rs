//! Many sites at once otherwise than entered: in how many the design holds, and what the others have in common.

use super::change::Changer;
use super::hypercube::{Stream, latin_hypercube, triangular};
use crate::design::likely::{Assumption, Spread};
use crate::design::side_by_side::side_by_side;
use crate::design::trial;

/// How many Latin hypercubes there are, each of its own: the standard error comes from how they differ.
pub const REPLICATES: usize = 10;
/// The fewest runs: ten in each replicate.
pub const FEWEST_RUNS: u32 = 100;
/// The most.
pub const MOST_RUNS: u32 = 100_000;
/// The entered value is the likeliest: the change at the peak of each triangle.
const PEAK: f64 = 0.0;

/// One input that is sampled.
#[derive(Clone, Debug, PartialEq)]
pub struct Input {
    /// Which.
    pub assumption: Assumption,
    /// Its range, as a change from what was entered.
    pub spread: Spread,
    /// Of all pairs of a run that fails and one that holds, the share in which this input is worse in the one that
    /// fails: a half where it says nothing, 1 where it alone decides. None where no run fails, or none holds.
    pub worse_in: Option<f64>,
}

/// What came of all runs.
#[derive(Clone, Debug, PartialEq)]
pub struct Sampling {
    /// The seed of the random numbers.
    pub seed: u64,
    /// How many runs.
    pub runs: usize,
    /// In how many the design holds.
    pub holds: usize,
    /// In how many it could not be worked out; they count as failing.
    pub not_worked_out: usize,
    /// The share in which it holds.
    pub share: f64,
    /// The standard error of that share, by the replicates.
    pub standard_error: f64,
    /// What stops the runs that fail first, and how often, the most frequent first.
    pub stops: Vec<(&'static str, usize)>,
    /// The inputs, those that tell most first.
    pub inputs: Vec<Input>,
}

/// What came of one run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Run {
    Holds,
    Fails(&'static str),
    NotWorkedOut,
}

/// Runs a site with all its assumptions drawn at random. `runs` is rounded down to whole replicates.
pub(super) fn sample(changer: &Changer<'_>, assumptions: &[Assumption], (runs, seed): (usize, u64)) -> Sampling {
    let each = (runs / REPLICATES).max(1);
    let inputs: Vec<(Assumption, Spread)> = assumptions
        .iter()
        .map(|assumption| {
            let spread = assumption.spread(changer.site);
            let (worst, best) = changer.furthest(*assumption);
            let (down, up) = if assumption.worse() > 0.0 { (-best, worst) } else { (-worst, best) };
            let (low, high) = (spread.low.clamp(down, up), spread.high.clamp(down, up));
            (*assumption, Spread { low, high, ..spread })
        })
        .collect();
    let mut rows: Vec<Vec<f64>> = Vec::with_capacity(each * REPLICATES);
    let mut stream = Stream::new(seed);
    for _ in 0..REPLICATES {
        let cube = latin_hypercube(&mut stream, each, inputs.len());
        rows.extend(cube.into_iter().map(|row| {
            row.iter()
                .zip(&inputs)
                .map(|(share, (_, spread))| triangular((spread.low, PEAK, spread.high), *share))
                .collect()
        }));
    }
    let came = side_by_side(&rows, |row: &Vec<f64>| run(changer, &inputs, row));
    let held = |runs: &[Run]| runs.iter().filter(|run| **run == Run::Holds).count();
    let shares: Vec<f64> = came.chunks(each).map(|replicate| held(replicate) as f64 / each as f64).collect();
    let count = shares.len() as f64;
    let share = shares.iter().sum::<f64>() / count;
    let variance = shares.iter().map(|one| (one - share) * (one - share)).sum::<f64>() / (count - 1.0);
    let mut stops: Vec<(&'static str, usize)> = Vec::new();
    for run in &came {
        let Run::Fails(id) = run else { continue };
        match stops.iter_mut().find(|(known, _)| known == id) {
            Some((_, times)) => *times += 1,
            None => stops.push((id, 1)),
        }
    }
    stops.sort_by_key(|(_, times)| std::cmp::Reverse(*times));
    let fails: Vec<bool> = came.iter().map(|run| *run != Run::Holds).collect();
    let mut inputs: Vec<Input> = inputs
        .into_iter()
        .enumerate()
        .map(|(column, (assumption, spread))| {
            let worse = |row: &Vec<f64>| row.get(column).copied().unwrap_or(0.0) * assumption.worse();
            let values: Vec<f64> = rows.iter().map(worse).collect();
            Input { assumption, spread, worse_in: higher_where(&values, &fails) }
        })
        .collect();
    let tells = |input: &Input| input.worse_in.map_or(0.0, |share| (share - 0.5).abs());
    inputs.sort_by(|one, other| tells(other).total_cmp(&tells(one)));
    Sampling {
        seed,
        runs: came.len(),
        holds: held(&came),
        not_worked_out: came.iter().filter(|run| **run == Run::NotWorkedOut).count(),
        share,
        standard_error: (variance / count).sqrt(),
        stops,
        inputs,
    }
}

fn run(changer: &Changer<'_>, inputs: &[(Assumption, Spread)], row: &[f64]) -> Run {
    let mut site = changer.site.clone();
    for ((assumption, _), change) in inputs.iter().zip(row) {
        let Some(changed) = changer.change(site, *assumption, *change) else { return Run::NotWorkedOut };
        site = changed;
    }
    match trial(&site) {
        Ok(trial) => trial.first_stop().map_or(Run::Holds, |stop| Run::Fails(stop.id)),
        Err(_) => Run::NotWorkedOut,
    }
}

/// Of all pairs of a value with a mark and one without, the share in which the one with is higher; ties count half. It is
/// the difference of their mean ranks, over the number of values, and a half.
fn higher_where(values: &[f64], marks: &[bool]) -> Option<f64> {
    let mut sorted: Vec<(f64, bool)> = values.iter().copied().zip(marks.iter().copied()).collect();
    sorted.sort_by(|one, other| one.0.total_cmp(&other.0));
    let (mut without_below, mut pairs) = (0.0, 0.0);
    for tied in sorted.chunk_by(|one, other| one.0.total_cmp(&other.0).is_eq()) {
        let with = tied.iter().filter(|(_, mark)| *mark).count() as f64;
        let without = tied.len() as f64 - with;
        pairs += with * (without_below + without / 2.0);
        without_below += without;
    }
    let with = sorted.len() as f64 - without_below;
    (with > 0.0 && without_below > 0.0).then(|| pairs / (with * without_below))
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn identity_pairs_are_counted_as_one_by_one() {
        let values = [3.0, 1.0, 2.0, 2.0, 5.0, 0.0, 2.0];
        let marks = [true, false, true, false, true, false, false];
        let (mut higher, mut all) = (0.0, 0.0);
        for (one, _) in values.iter().zip(marks).filter(|(_, mark)| *mark) {
            for (other, _) in values.iter().zip(marks).filter(|(_, mark)| !*mark) {
                all += 1.0;
                higher += if one > other {
                    1.0
                } else if one < other {
                    0.0
                } else {
                    0.5
                };
            }
        }
        assert_relative_eq!(higher_where(&values, &marks).unwrap(), higher / all);
        assert_eq!(higher_where(&values, &[true; 7]), None);
        assert_eq!(higher_where(&values, &[false; 7]), None);
    }
}
