//! Trenches with their stone, what is filled in and taken away.

use super::reckoning::{Reckoning, percent};
use super::surface::strip;
use super::{Basis, Cost, Count, Part};
use crate::hydraulics::ProfilePoint;
use crate::quantity::{Area, Length, Volume};
use crate::site::{By, Drain, FrenchTrench, Good, Limit, Task, TrenchCover};

/// A trench that is nowhere deeper than this needs no trench: the pipe lies on the ground.
const NO_TRENCH: Length = Length::from_mm(1.0);

/// All trenches.
pub(super) fn trenches(r: &mut Reckoning<'_>) {
    discharge(r);
    for drain in &r.site.drains {
        match drain.french.as_ref() {
            None => solid(r, drain),
            Some(french) => match french.trench.as_ref() {
                Some(trench) => stone_drain(r, drain, trench, french.fabric),
                None if r.site.takeoff.wrapped_pipe => solid(r, drain),
                None => {
                    let why = "the drain's `trench` is not entered (or `takeoff.wrapped_pipe`, if it has no stone)";
                    r.not_dug(format!("trench, stone and fabric of `{}`", drain.name), why);
                }
            },
        }
    }
}

/// The area between two depths over a length, where what lies above the ground is not dug.
fn section(from: Length, to: Length, over: Length) -> Area {
    match (from > Length::ZERO, to > Length::ZERO) {
        (true, true) => over * ((from + to) / 2.0),
        (false, false) => Area::ZERO,
        (true, false) => over * (from / (from - to)) * (from / 2.0),
        (false, true) => over * (to / (to - from)) * (to / 2.0),
    }
}

/// Keeps a trench that was measured: its volume, what stays in it.
fn dig(r: &mut Reckoning<'_>, name: String, how: String, basis: Basis, volume: Volume, stays: Volume) {
    r.dug += volume;
    r.displaced += stays.min(volume);
    r.works(Task::Dig, volume.m3());
    let count = Count::of(By::Volume, volume.m3(), r.site);
    r.item(Part::Ground, name, count, how, basis, Cost::Within("in the hours"));
}

fn discharge(r: &mut Reckoning<'_>) {
    let (site, terms) = (r.site, &r.site.takeoff);
    let line = &site.discharge;
    let (width, bed) = (terms.trench_width.value, r.site.crew.bedding);
    surface_over_the_line(r, width);
    bedding(r, Part::Discharge, "discharge line", line.length());
    let bottom = |point: &ProfilePoint| {
        let pipe = line.pipe_at(point.at);
        Some(point.ground? - point.invert + pipe.wall() + bed)
    };
    let (mut cut, mut measured, mut pipe) = (Area::ZERO, Length::ZERO, Volume::ZERO);
    for (from, to) in line.profile.iter().zip(line.profile.iter().skip(1)) {
        let Some((first, last)) = bottom(from).zip(bottom(to)) else { continue };
        let over = to.at - from.at;
        cut += section(first, last, over);
        measured += over;
        r.deepest = r.deepest.max(first).max(last);
        pipe += line.pipe_at(from.at + over / 2.0).outside_diameter.circle() * over;
    }
    let whole = line.length();
    let missing = whole - measured;
    // the last point may miss the end by what tape and pipe never agree on
    if missing > whole * 0.01 {
        let why = if line.profile.is_empty() {
            "no `profile` is entered"
        } else {
            "its `profile` has no ground there, or ends before"
        };
        r.not_dug(format!("trench of {} of the discharge line", r.show(missing)), why);
    }
    if measured <= Length::ZERO {
        return;
    }
    let how = format!(
        "{} x {} wide x {} mean depth, from the ground to below the pipe",
        r.show(measured),
        r.small(width),
        r.small(cut / measured)
    );
    let stays = pipe + width * bed * measured;
    dig(r, "trench of the discharge line".to_owned(), how, of_width(r), cut * width, stays);
}

fn of_width(r: &Reckoning<'_>) -> Basis {
    let terms = &r.site.takeoff;
    let basis = Basis::entered().with("width", &r.small(terms.trench_width.value), &terms.trench_width);
    if r.site.crew.bedding > Length::ZERO { basis } else { basis.taking("no bed of stone under the pipe") }
}

/// Stone under a solid pipe, where there is any.
fn bedding(r: &mut Reckoning<'_>, part: Part, name: &str, length: Length) {
    let terms = &r.site.takeoff;
    let (width, bed) = (terms.trench_width.value, r.site.crew.bedding);
    if bed > Length::ZERO {
        let how = format!("{} x {} x {}", r.show(length), r.small(width), r.small(bed));
        let basis = of_width(r);
        stone(r, part, format!("bed of the {name}"), width * bed * length, &how, basis);
    }
}

/// Stone, with what of it is lost.
fn stone(r: &mut Reckoning<'_>, part: Part, name: String, volume: Volume, how: &str, basis: Basis) {
    let lost: &Limit<f64> = &r.site.takeoff.stone_waste;
    let share = percent(lost.value);
    let how = format!("{how} = {}, with {share} lost", r.solid(volume));
    let basis = basis.with("lost", &share, lost);
    r.good(part, Good::Stone, name, volume.m3() * (1.0 + lost.value), how, basis);
    r.works(Task::PlaceStone, volume.m3());
}

/// The depths of a drain's trench at its two ends, or what is missing for them.
fn ends(drain: &Drain, below_invert: Length) -> Result<(Length, Length), String> {
    let known = [
        ("up_invert", drain.up_invert),
        ("down_invert", drain.down_invert),
        ("up_ground", drain.up_ground),
        ("down_ground", drain.down_ground),
    ];
    if let [(_, Some(up)), (_, Some(down)), (_, Some(up_ground)), (_, Some(down_ground))] = known {
        return Ok((up_ground - up + below_invert, down_ground - down + below_invert));
    }
    let missing: Vec<String> =
        known.iter().filter(|(_, level)| level.is_none()).map(|(key, _)| format!("`{key}`")).collect();
    Err(format!("the drain's {} {} not known", missing.join(", "), if missing.len() == 1 { "is" } else { "are" }))
}

/// Keeps a drain's trench, or that it cannot be measured.
fn drain_trench(
    r: &mut Reckoning<'_>,
    drain: &Drain,
    width: Length,
    below_invert: Length,
    stays: Volume,
    basis: Basis,
) {
    let name = format!("trench of `{}`", drain.name);
    let (up, down) = match ends(drain, below_invert) {
        Ok(depths) => depths,
        Err(why) => {
            r.not_dug(name, why);
            return;
        }
    };
    r.deepest = r.deepest.max(up).max(down);
    let cut = section(up, down, drain.length);
    let mean = cut / drain.length;
    let how = format!(
        "{} x {} wide x {} mean depth ({} at its upper end, {} at its lower)",
        r.show(drain.length),
        r.small(width),
        r.small(mean),
        r.small(up.max(Length::ZERO)),
        r.small(down.max(Length::ZERO))
    );
    if mean > NO_TRENCH {
        dig(r, name, how, basis, cut * width, stays);
    }
}

fn solid(r: &mut Reckoning<'_>, drain: &Drain) {
    let terms = &r.site.takeoff;
    let (width, bed) = (terms.trench_width.value, r.site.crew.bedding);
    let part = if drain.french.is_some() { Part::French } else { Part::Drains };
    bedding(r, part, &format!("`{}`", drain.name), drain.length);
    let wall = drain.pipe.as_ref().map_or(Length::ZERO, crate::hydraulics::Pipe::wall);
    let outside = drain.pipe.as_ref().map_or(Area::ZERO, |pipe| pipe.outside_diameter.circle());
    let stays = (outside + width * bed) * drain.length;
    let basis = of_width(r);
    drain_trench(r, drain, width, wall + bed, stays, basis);
    let (as_lawn, as_paving) = (strip(r, width) * drain.length, width * drain.length);
    r.spoilt.add(format!("`{}`", drain.name), drain.under, as_lawn, as_paving);
}

fn stone_drain(r: &mut Reckoning<'_>, drain: &Drain, trench: &FrenchTrench, fabric: Option<bool>) {
    let name = format!("`{}`", drain.name);
    let width = trench.width;
    let mut stays = Volume::ZERO;
    if let Some(body) = &trench.stone {
        let pipe = body.pipe_outside.circle();
        let section = (width * body.stone_depth - pipe).max(Area::ZERO);
        let how = format!(
            "{} x ({} wide x {} high, less the pipe)",
            r.show(drain.length),
            r.small(width),
            r.small(body.stone_depth)
        );
        let basis = if trench.top.is_some() {
            Basis::entered()
        } else {
            Basis::entered().taking("the usual stone over the pipe (common practice, no source)")
        };
        stone(r, Part::French, format!("stone of {name}"), section * drain.length, &how, basis);
        stays = (section + pipe) * drain.length;
        sheet(r, &name, drain.length, (width + body.stone_depth) * 2.0, fabric);
    } else {
        r.not_measured(format!("stone and fabric of {name}"), "the drain's `size` is not entered");
    }
    drain_trench(r, drain, width, trench.below_pipe, stays, Basis::entered());
    let beside = r.site.takeoff.spoilt_beside.value * 2.0;
    let (as_lawn, as_paving) = match trench.cover {
        TrenchCover::Sod => (strip(r, width), width),
        // stone stays open
        TrenchCover::Stone => (beside, Length::ZERO),
    };
    r.spoilt.add(name, drain.under, as_lawn * drain.length, as_paving * drain.length);
}

/// Filter fabric round the stone of a trench.
fn sheet(r: &mut Reckoning<'_>, name: &str, length: Length, round: Length, fabric: Option<bool>) {
    let terms = &r.site.takeoff;
    let (lap, lost) = (&terms.fabric_overlap, &terms.stone_waste);
    match fabric {
        Some(false) => {}
        None => r.not_measured(format!("fabric of {name}"), "whether the drain has `fabric` is not said"),
        Some(true) => {
            let area = (round + lap.value) * length;
            let share = percent(lost.value);
            let how = format!(
                "{} x ({} round the stone + {} of lap), with {share} lost",
                r.show(length),
                r.small(round),
                r.small(lap.value)
            );
            let basis = Basis::entered().with("lap", &r.small(lap.value), lap).with("lost", &share, lost);
            r.good(Part::French, Good::Fabric, format!("fabric of {name}"), area.m2() * (1.0 + lost.value), how, basis);
        }
    }
}

/// What lies over the discharge line.
fn surface_over_the_line(r: &mut Reckoning<'_>, width: Length) {
    let line = &r.site.discharge;
    let lengths = line.lengths_under();
    let drawn: Length = lengths.iter().map(|(_, along)| *along).fold(Length::ZERO, |sum, along| sum + along);
    let strip = strip(r, width);
    // what the profile does not reach is told of by nobody
    let rest = (None, (line.length() - drawn).max(Length::ZERO));
    for (under, along) in lengths.into_iter().chain([rest]) {
        let over = under.or(r.site.crew.surface);
        r.spoilt.add(format!("{} of the discharge line", r.show(along)), over, strip * along, width * along);
    }
}

/// What is filled in again, and what is left over.
pub(super) fn soil(r: &mut Reckoning<'_>) {
    let only = if r.dug_unknown { ", of what is measured" } else { "" };
    let back = (r.dug - r.displaced).max(Volume::ZERO);
    let over = r.displaced.min(r.dug);
    let bulking = &r.site.takeoff.bulking;
    let how =
        format!("{} dug less {} that pipe, stone, basin and concrete take up{only}", r.solid(r.dug), r.solid(over));
    let count = Count::of(By::Volume, back.m3(), r.site);
    r.works(Task::Backfill, back.m3());
    r.item(Part::Ground, "fill in again", count, how, Basis::design(), Cost::Within("in the hours"));
    let grown = percent(bulking.value);
    let how = format!("{} in the ground, grown by {grown} as it is dug{only}", r.solid(over));
    let basis = Basis::design().with("growth", &grown, bulking);
    r.good(Part::Ground, Good::Haul, "soil to take away, loose", over.m3() * (1.0 + bulking.value), how, basis);
}
