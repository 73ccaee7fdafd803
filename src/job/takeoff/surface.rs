//! The surface that trenches and holes spoil, and what is made good of it.

use super::reckoning::Reckoning;
use super::{Basis, Part};
use crate::hydraulics::Surface;
use crate::quantity::{Area, Length};
use crate::site::{Good, Task};

/// Surface that is spoilt.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Spoilt {
    pub(super) lawn: Area,
    /// Walk and drive.
    pub(super) paved: Area,
    /// What it is over of which nobody said what lies there.
    pub(super) unknown: Vec<String>,
}

impl Spoilt {
    pub(super) const NONE: Self = Self { lawn: Area::ZERO, paved: Area::ZERO, unknown: Vec::new() };

    /// Adds a place: a lawn is spoilt beside a trench as well, paving is cut no wider than it.
    pub(super) fn add(&mut self, place: impl Into<String>, over: Option<Surface>, as_lawn: Area, as_paving: Area) {
        match over {
            Some(Surface::Lawn) => self.lawn += as_lawn,
            Some(Surface::Walk | Surface::Drive) => self.paved += as_paving,
            None if as_lawn > Area::ZERO => self.unknown.push(place.into()),
            // bare ground is raked level with the filling in
            Some(Surface::Bare) | None => {}
        }
    }
}

/// Width of lawn that a trench spoils.
pub(super) fn strip(r: &Reckoning<'_>, width: Length) -> Length {
    width + r.site.takeoff.spoilt_beside.value * 2.0
}

/// Lawn and paving to make good.
pub(super) fn surface(r: &mut Reckoning<'_>) {
    let beside = &r.site.takeoff.spoilt_beside;
    let shown = r.small(beside.value);
    let Spoilt { lawn, paved, unknown } = r.spoilt.clone();
    if lawn > Area::ZERO {
        let how = format!("trenches and holes with {shown} on each side, less what stays open");
        let basis = Basis::entered().with("spoilt beside", &shown, beside);
        r.good(Part::Ground, Good::Sod, "lawn to make good", lawn.m2(), how, basis);
    }
    if paved > Area::ZERO {
        let how = "trenches and holes as wide as they are dug, under walk and drive".to_owned();
        let width = &r.site.takeoff.trench_width;
        let basis = Basis::entered().with("width", &r.small(width.value), width);
        r.good(Part::Ground, Good::Paving, "paving to make good", paved.m2(), how, basis);
    }
    if !unknown.is_empty() {
        r.not_measured(
            format!("lawn or paving to make good over {}", unknown.join(", ")),
            "what lies there is not entered: `[crew] surface` for all of it, or the `under` of a profile's point or a drain, the `around` of an inlet or the basin",
        );
    }
    r.works(Task::Restore, (lawn + paved).m2());
}
