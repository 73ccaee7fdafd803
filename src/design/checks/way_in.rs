//! How the water gets to the basin and whether it needs a pump: only what the levels say at once.

use crate::design::finding::Finding;
use crate::design::phrase::phrase;
use crate::design::storage::lowest_inlet;
use crate::quantity::{Amount, Length, Level, Slope};
use crate::site::Site;

/// The least fall at which a gravity line is worth a thought: common practice, no source (half a percent).
const GRAVITY_FALL: Slope = Slope::from_percent(0.5);

pub(super) fn findings(site: &Site) -> Vec<Finding> {
    let mut findings = uphill(site);
    // a doubt about a drain that a stop already names is not said twice
    let named = |doubt: &&crate::site::Doubt| {
        !findings
            .iter()
            .filter_map(|finding| finding.about.as_ref())
            .any(|name| doubt.message.contains(&format!("`{name}`")))
    };
    let doubts: Vec<Finding> = site.doubts.iter().filter(named).map(doubt).collect();
    findings.extend(doubts);
    findings.extend(end_above_outlet(site));
    findings.extend(gravity_first(site));
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
                        "`{}` does not fall: its lower end at {} is not below its upper end at {}",
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

/// Where the outlet lies well below what comes in, a pipe may do without a pump; where it lies no higher than the water
/// that starts the pump, water passes the idle pump by itself.
fn gravity_first(site: &Site) -> Option<Finding> {
    let outlet = site.discharge.outlet.working_level();
    let on = site.basin.level(site.basin.on);
    if outlet <= on {
        // over a hill nothing runs by itself; the siphon has a rule of its own
        if site.discharge.points_on_the_way().iter().any(|point| point.invert > on) {
            return None;
        }
        return Some(
            Finding::caution(
                "outlet-below-on-level",
                phrase!(
                    "the outlet at {} is no higher than the on level at {}: water passes the idle pump by itself, or the line siphons; or a digit is wrong",
                    outlet,
                    on
                ),
            )
            .cure(phrase!("measure both levels again from one benchmark; if they are right, look for a way by gravity")),
        );
    }
    let inlets = site.inlets.iter().filter_map(|inlet| inlet.outlet_invert);
    let lowest = inlets.chain(lowest_inlet(site).map(|(level, _)| level)).reduce(Level::min)?;
    let fall: Length = lowest - outlet;
    let length = site.discharge.length();
    (fall > GRAVITY_FALL * length).then(|| {
        Finding::note(
            "gravity-may-do",
            phrase!(
                "the outlet lies {} below the pipes that come in, over {} of line: a gravity pipe may do without any pump",
                Amount::small(fall),
                length
            ),
        )
        .number("fall", Amount::small(fall))
        .cure(phrase!("look for a way by gravity first"))
    })
}

/// How far the line's end may stand above the outlet's level before one of them must be wrong: common practice, no source.
const END_ABOVE_OUTLET: Length = Length::from_ft(3.0);

fn end_above_outlet(site: &Site) -> Option<Finding> {
    let end = site.discharge.end_point()?;
    let above = end.invert - site.discharge.outlet.level;
    (above > END_ABOVE_OUTLET).then(|| {
        Finding::stop(
            "end-above-outlet",
            phrase!(
                "the profile ends at {}, {} above the outlet's level of {}: one of them is wrong",
                end.invert,
                above,
                site.discharge.outlet.level
            ),
        )
        .cure(phrase!("measure outlet and profile again from one benchmark"))
    })
}
