//! A site changed in one thing, as the questions ask it: another pump, another length, another pipe.

use crate::catalog::{self, PipeEntry};
use crate::hydraulics::{DischargeLine, Pipe, Run};
use crate::quantity::Length;
use crate::site::Site;

/// What becomes of the fittings when the line is made longer or shorter.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum FittingsStay {
    /// They stay as drawn.
    #[default]
    AsDrawn,
    /// Their losses grow and shrink with the run, as couplings do that come with every length of pipe.
    WithTheRun,
}

/// The site with one of its pumps, which is then the one that the design is made with; a second pump of another kind
/// stays. None where there is no such pump.
pub fn with_pump(site: &Site, name: &str) -> Option<Site> {
    let mut site = site.clone();
    let second = site.pumping.lag.clone();
    site.pumps.retain(|pump| pump.name == name || second.as_ref() == Some(&pump.name));
    let there = site.pumps.iter().any(|pump| pump.name == name);
    site.pumping.chosen = Some(name.to_owned());
    there.then_some(site)
}

/// The site with runs of so much length together: each of them, and the stations along them, in proportion. A line of no
/// length stays as it is.
pub fn with_run_length(site: &Site, length: Length, fittings: FittingsStay) -> Site {
    let mut site = site.clone();
    lengthen(&mut site, length, fittings);
    site
}

/// Makes the run of a site so long.
pub(super) fn lengthen(site: &mut Site, length: Length, fittings: FittingsStay) {
    let before = site.discharge.length();
    if before <= Length::ZERO {
        return;
    }
    let factor = length / before;
    site.discharge = stretched(&site.discharge, factor);
    if fittings == FittingsStay::WithTheRun {
        for fitting in site.discharge.runs.iter_mut().flat_map(|run| &mut run.fittings) {
            fitting.k *= factor;
            fitting.equivalent = fitting.equivalent * factor;
        }
    }
    if let Some(gap) = site.frost.as_mut().and_then(|frost| frost.gap.as_mut()) {
        gap.at = gap.at * factor;
    }
}

/// The site with every run in another pipe; risers stay as they are.
pub fn with_pipe(site: &Site, entry: &PipeEntry) -> Site {
    let mut site = site.clone();
    for run in &mut site.discharge.runs {
        resize(run, entry, site.equivalent_lengths.as_deref());
    }
    site
}

/// Puts a run into another pipe: C, roughness and what was entered stay, a tabled K or length follows the size.
pub(super) fn resize(run: &mut Run, entry: &PipeEntry, table: Option<&str>) {
    let old = run.pipe.clone();
    run.pipe = entry.pipe.clone();
    if old.made_for == run.pipe.made_for {
        run.pipe.hazen_williams_c = old.hazen_williams_c;
        run.pipe.roughness = old.roughness;
    }
    for fitting in &mut run.fittings {
        let tabled = |pipe: &Pipe| table.and_then(|table| catalog::equivalent_length(table, &fitting.name, pipe));
        let k_of = |pipe: &Pipe| catalog::fitting(&fitting.name, pipe).map(|known| known.k);
        if fitting.equivalent > Length::ZERO {
            if let (Some(before), Some(after)) = (tabled(&old), tabled(&run.pipe))
                && (before.length - fitting.equivalent).abs() < Length::from_mm(0.01)
            {
                fitting.equivalent = after.length;
            }
        } else if let (Some(before), Some(after)) = (k_of(&old), k_of(&run.pipe))
            && (before - fitting.k).abs() < 1e-12
        {
            fitting.k = after;
        }
    }
}

/// A line with its runs, and the stations along them, made longer by a factor.
pub(super) fn stretched(line: &DischargeLine, factor: f64) -> DischargeLine {
    let mut line = line.clone();
    for run in &mut line.runs {
        run.length = run.length * factor;
    }
    for point in &mut line.profile {
        point.at = point.at * factor;
    }
    for vent in &mut line.vents {
        vent.at = vent.at * factor;
    }
    line
}
