//! What the reader of site files cannot say of an answer: that it contradicts an earlier one, or is odd beside it.

use super::chapters::{Lines, Question};
use super::reading::{Refusal, Row, row};
use super::sketch::Sketch;
use crate::quantity::{Length, Level};

/// Levels that differ by less are the same: so much is lost where the file writes them.
const SAME: Length = Length::from_inch(0.1);

/// Why an answer cannot stand beside the earlier ones.
pub(super) fn contradiction(question: &Question, sketch: &Sketch<'_>) -> Option<Refusal> {
    if question.name != "frost-plan" {
        return None;
    }
    let plan = sketch.text(question.name)?;
    match (plan.as_str(), sketch.text("check-valve")?.as_str()) {
        ("drains back", "yes") => Some(Refusal::new(
            "the check valve over the pump would not let the line run back: the two contradict each other",
            "`drain hole` has a small hole drilled above the valve, through which the line runs empty; without a valve \
             answer `no` to `check-valve`, and then `drains back` here",
        )),
        ("drain hole", "no") => Some(Refusal::new(
            "without a check valve the line runs back by itself, and a hole would only leak",
            "`drains back` is what is meant; with a valve answer `yes` to `check-valve`",
        )),
        _ => None,
    }
}

/// The level of the highest standing water that was told of.
fn highest_pond(sketch: &Sketch<'_>) -> Option<Level> {
    let depths = sketch.lines("pond").into_iter().filter_map(|line| match row(sketch, Lines::Pond, &line) {
        Ok(Row::Pond { depth, .. }) => Some(depth),
        _ => None,
    });
    Some(sketch.level("low-level")? + depths.reduce(Length::max)?)
}

/// What is odd about an answer beside the earlier ones.
pub(super) fn odd(question: &Question, sketch: &Sketch<'_>) -> Option<String> {
    match question.name {
        "low-level" => {
            let lowest = sketch.level("low-level")?;
            (lowest - sketch.heights().zero() > SAME).then(|| {
                format!(
                    "{} lies above {}: is above meant for below? Where it is so, water that stands there runs to it",
                    sketch.level_text(lowest),
                    sketch.zero()
                )
            })
        }
        "basin-rim" => {
            let (rim, lowest) = sketch.level("basin-rim").zip(sketch.level("low-level"))?;
            (lowest - rim > SAME).then(|| {
                format!(
                    "the rim at {} lies below the lowest ground that you entered, at {}: one of the two is not right, or a \
                     lower place is not entered. When the power is out, water would well out of the basin's lid before it \
                     stands in the low place",
                    sketch.level_text(rim),
                    sketch.level_text(lowest)
                )
            })
        }
        "areas" => {
            let lines = sketch.lines("areas");
            let (last, before) = lines.split_last()?;
            let last = row(sketch, Lines::Areas, last).ok()?;
            let same = |other: &Row| match (other, &last) {
                (
                    Row::Area { area, surface, name, .. },
                    Row::Area { area: last_area, surface: last_surface, name: last_name, .. },
                ) => area == last_area && (name == last_name && (name.is_some() || surface == last_surface)),
                _ => false,
            };
            let twice = before.iter().any(|line| row(sketch, Lines::Areas, line).is_ok_and(|other| same(&other)));
            twice.then(|| {
                "that is the same surface as one before it, with the same size and name: is it there twice? `clear` empties \
                 the list"
                    .to_owned()
            })
        }
        "spill-opening" => {
            let (opening, edge) = sketch.level("spill-opening").zip(sketch.level("spill-level"))?;
            (edge - opening > SAME).then(|| {
                format!(
                    "it lies below B, the edge of the low place: water gets in as soon as it runs over, and the file \
                     has {} as the level of harm",
                    sketch.level_text(edge)
                )
            })
        }
        "dry-level" => {
            let opening = sketch.level("dry-level")?;
            if let Some(edge) = sketch.level("spill-level").filter(|edge| *edge - opening > SAME) {
                return Some(format!(
                    "it lies below B, the edge of the low place at {}: when the pump stops, water gets in there before it runs \
                     over. An edge dug lower than the opening is the surest help",
                    sketch.level_text(edge)
                ));
            }
            if let Some(stood) = highest_pond(sketch).filter(|stood| *stood - opening > SAME) {
                return Some(format!(
                    "it lies lower than the highest standing water that you told of, at {}: does water get in there now? If \
                     not, one of the heights is not right",
                    sketch.level_text(stood)
                ));
            }
            (opening - sketch.heights().zero() > SAME).then(|| {
                format!(
                    "{} lies above {}, which water must not reach either if it is an opening: is there none so low?",
                    sketch.level_text(opening),
                    sketch.zero()
                )
            })
        }
        "spill-level" => {
            let edge = sketch.level("spill-level")?;
            (edge - sketch.heights().zero() > SAME).then(|| {
                format!(
                    "{} lies above {}: water would come to that before it runs on. Is above meant for below?",
                    sketch.level_text(edge),
                    sketch.zero()
                )
            })
        }
        "outlet-level" => {
            let (outlet, lowest) = sketch.level("outlet-level").zip(sketch.level("low-level"))?;
            (lowest - outlet > SAME).then(|| {
                format!(
                    "{} lies below the lowest ground at {}: water would run there by itself, without a pump. Is below meant \
                     for above?",
                    sketch.level_text(outlet),
                    sketch.level_text(lowest)
                )
            })
        }
        "outlet-full" => {
            let (full, outlet) = sketch.level("outlet-full").zip(sketch.level("outlet-level"))?;
            (full - outlet > SAME).then(|| {
                "the end of the pipe then lies under water: the pump lifts higher, and the water runs back unless a valve holds \
                 it. A higher outlet is the surest help"
                    .to_owned()
            })
        }
        "frost-plan" => (sketch.text("frost-plan").as_deref() == Some("below frost")).then(|| {
            "an end above ground comes up through the frost, and water that stands there freezes: only a line that ends below \
             the frost, as in a storm drain, is safe so. The report looks where the ground over the line is entered"
                .to_owned()
        }),
        "hill-level" => {
            let (hill, outlet) = sketch.level("hill-level").zip(sketch.level("outlet-level"))?;
            (outlet - hill > SAME).then(|| {
                format!(
                    "{} is no higher than the outlet at {}: is one of the two wrong, or above meant for below?",
                    sketch.level_text(hill),
                    sketch.level_text(outlet)
                )
            })
        }
        "standing-water" => {
            let (lowest, opening) = sketch.level("low-level").zip(sketch.level("dry-level"))?;
            let allowed = sketch.length("standing-water")?;
            (lowest + allowed - opening > SAME).then(|| {
                format!(
                    "so deep over the lowest ground it stands at {}, above the opening that water must not reach, at {}",
                    sketch.level_text(lowest + allowed),
                    sketch.level_text(opening)
                )
            })
        }
        _ => None,
    }
}
