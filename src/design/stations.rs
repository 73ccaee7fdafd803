//! The line station by station: what lies over it, how much it presses, what happens there.

use super::line::LineAtRest;
use super::pump::PumpResult;
use crate::hydraulics::Surface;
use crate::quantity::{Head, Length, Level};
use crate::site::Site;

/// A point of the line.
#[derive(Clone, Debug, PartialEq)]
pub struct Station {
    /// Distance along the runs.
    pub at: Length,
    /// Lowest inside point of the pipe.
    pub invert: Level,
    /// The ground above it.
    pub ground: Option<Level>,
    /// Ground less the top of the pipe.
    pub cover: Option<Length>,
    /// The head on the pipe at the on level, all pumps running, air let in where it can.
    pub head: Option<Head>,
    /// What is to be said of it, in a few words.
    pub remarks: Vec<&'static str>,
}

pub(super) fn stations(site: &Site, pump: Option<&PumpResult>, rest: &LineAtRest) -> Vec<Station> {
    let line = &site.discharge;
    // the point that governs with all pumps running, where it is not the outlet
    let grade = pump.map_or(&[][..], |pump| &pump.grade);
    let governing = grade.iter().position(|point| point.beyond).and_then(|index| grade.get(index.checked_sub(1)?));
    let last = line.profile.len().saturating_sub(1);
    line.profile
        .iter()
        .enumerate()
        .map(|(index, point)| {
            let mut remarks = Vec::new();
            let mut remark = |holds: bool, words: &'static str| {
                if holds {
                    remarks.push(words);
                }
            };
            let near = |at: Length| (at - point.at).abs() < Length::from_mm(1.0);
            remark(governing.is_some_and(|point| near(point.station)), "governs");
            remark(rest.summits.iter().any(|summit| near(summit.at)), "high point");
            remark(line.vented_at(point.at), "vent");
            // a line that stays full all the way has no sag worth a name
            let sag = |at: Length| near(at) && index > 0;
            remark(!rest.held && rest.stays.iter().any(|pocket| sag(pocket.lowest_at)), "holds water");
            remark(rest.freezes.iter().any(|part| part.from < point.at && point.at < part.to), "freezes");
            remark(
                pump.is_some_and(|pump| pump.slack.iter().any(|slack| point.at > slack.from && point.at < slack.to)),
                "part full",
            );
            remark(point.under == Some(Surface::Drive), "drive");
            remark(point.under == Some(Surface::Walk), "walk");
            remark(index == last && line.end_point().is_some(), "end");
            Station {
                at: point.at,
                invert: point.invert,
                ground: point.ground,
                cover: rest.covers.get(index).copied().flatten().map(|cover| cover.cover),
                head: grade
                    .iter()
                    .find(|grade| near(grade.station))
                    .map(|grade| Head::from(grade.grade - (point.invert + line.pipe_at(point.at).bore))),
                remarks,
            }
        })
        .collect()
}
