//! How the water gets to the basin and whether it needs a pump: only what the levels say at once.

use crate::design::finding::Finding;
use crate::design::phrase::phrase;
use crate::quantity::{Amount, Length, Level, Slope};
use crate::site::Site;

/// The least fall at which a gravity line is worth a thought: common practice, no source (half a percent).
const GRAVITY_FALL: Slope = Slope::from_percent(0.5);

pub(super) fn findings(site: &Site) -> Vec<Finding> {
    let mut findings: Vec<Finding> = site.doubts.iter().map(doubt).collect();
    findings.extend(uphill(site));
    findings.extend(gravity_first(site));
    findings.extend(one_pump(site));
    findings
}

/// What the reader warned of stands in the report too: a saved report has no error stream.
fn doubt(doubt: &crate::site::Doubt) -> Finding {
    let place = doubt.line.map_or_else(String::new, |line| format!(" (line {line} of the site file)"));
    let finding = Finding::caution("doubt-about-the-file", phrase!("{}{}", doubt.message.as_str(), place));
    match &doubt.help {
        Some(help) => finding.cure(phrase!("{}", help.as_str())),
        None => finding,
    }
}

fn uphill(site: &Site) -> Vec<Finding> {
    site.drains
        .iter()
        .filter_map(|drain| {
            let (up, down) = (drain.up_invert?, drain.down_invert?);
            (down >= up).then(|| {
                Finding::stop(
                    "drain-uphill",
                    phrase!(
                        "`{}` falls nowhere: its lower end at {} is not below its upper end at {}",
                        drain.name.as_str(),
                        down,
                        up
                    ),
                )
                .about(&drain.name)
                .number("rise", Amount::small(down - up))
                .cure(phrase!("a lower end at {} or lower (half a percent of fall)", up - GRAVITY_FALL * drain.length))
            })
        })
        .collect()
}

/// Where the outlet lies well below what comes in, a pipe may do without a pump.
fn gravity_first(site: &Site) -> Option<Finding> {
    let inverts = site.inlets.iter().filter_map(|inlet| inlet.outlet_invert);
    let lowest = inverts.reduce(Level::min)?;
    let outlet = site.discharge.outlet.working_level();
    let fall: Length = lowest - outlet;
    let length = site.discharge.length();
    (fall > GRAVITY_FALL * length).then(|| {
        Finding::note(
            "gravity-may-do",
            phrase!(
                "the outlet lies {} below the pipe that leaves the lowest grate, over {} of line: a gravity pipe may do without any pump",
                Amount::small(fall),
                length
            ),
        )
        .number("fall", Amount::small(fall))
        .cure(phrase!("look for a way by gravity first"))
    })
}

fn one_pump(site: &Site) -> Option<Finding> {
    (site.pumping.count > 1).then(|| {
        Finding::caution(
            "one-pump-judged",
            phrase!(
                "{} pumps are entered, but one alone is judged here: two in one line deliver less than twice as much, and each needs its own check valve",
                site.pumping.count
            ),
        )
    })
}
