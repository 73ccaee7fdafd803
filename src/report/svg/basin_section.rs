//! The basin in section, to scale: floats, inverts, pump, water outside, and what it holds.

use super::canvas::{ACCENT, Anchor, Canvas, EARTH, FAINT, INK, Pen, SMALL, TINT, text_width};
use super::labels::spread;
use super::{WIDTH, listed};
use crate::basin::Plan;
use crate::design::{Design, WaterOutside};
use crate::quantity::{Amount, Length, Level};
use crate::report::papers::Drawing;
use crate::site::Site;

const EDGE: Pen = Pen::solid(1.2, INK);
const FLOAT: Pen = Pen::dashed(1.0, "4 3", INK);
const LEADER: Pen = Pen::solid(0.7, FAINT);
const WATER: Pen = Pen::dashed(1.6, "9 3", ACCENT);
const PIPE: Pen = Pen::solid(2.4, INK);

/// Wall, floor and pump.
const SOLID: &str = "#666";
const CONCRETE: &str = "#c8c8c8";
/// Water that the pump leaves.
const DEAD: &str = "#a9c3ce";

/// The greatest room for the basin itself.
const TALLEST: f64 = 330.0;
const WIDEST: f64 = 112.0;
/// From the left of the drawing to the middle of the basin.
const MIDDLE: f64 = 108.0;
/// Where across the basin the riser stands.
const RISER: f64 = 0.74;
/// Where the ground at the right ends and words begin.
const WORDS: f64 = 214.0;
/// From one line of words to the next.
const APART: f64 = SMALL + 3.5;

/// Where things lie on the page.
struct Places {
    top: f64,
    highest: Level,
    scale: f64,
    left: f64,
    right: f64,
    wall: f64,
    /// The underside of the floor.
    under: f64,
    /// Where the ground ends below.
    end: f64,
}

impl Places {
    fn y(&self, level: Level) -> f64 {
        self.top + (self.highest - level).m() * self.scale
    }
    /// Where the riser stands: to the right, so that there is room for words beside it.
    fn riser(&self) -> f64 {
        self.left + (self.right - self.left) * RISER
    }
}

/// Left and right end of the ground.
const FAR_LEFT: f64 = 2.0;
const FAR_RIGHT: f64 = WORDS - 16.0;

/// The chart. A basin is always entered.
pub(crate) fn basin_section(site: &Site, design: &Design) -> Drawing {
    let places = places(site, design);
    let mut canvas = Canvas::default();
    ground(&mut canvas, site, &places);
    vessel(&mut canvas, site, &places);
    let bottom = heights(&mut canvas, site, design, &places);
    pump(&mut canvas, site, design, &places);
    pipes(&mut canvas, site, &places);
    volumes(&mut canvas, site, design, &places);
    let caption = "The basin in section, to scale. Dark is dead water below the off level, light what is pumped between the floats; P is the pump. Heights above the floor stand in the table of the basin.";
    Drawing {
        svg: canvas.finish(places.end.max(bottom) + 6.0),
        caption: caption.to_owned(),
        in_words: in_words(site, design),
    }
}

fn places(site: &Site, design: &Design) -> Places {
    let basin = &site.basin;
    let across = match basin.plan {
        Plan::Round(diameter) => diameter,
        Plan::Rectangular(length, width) => length.max(width),
    };
    let fits = (TALLEST / (basin.depth() + basin.base).m()).min(WIDEST / (across + basin.wall * 2.0).m());
    let scale = if fits.is_finite() && fits > 0.0 { fits } else { 1.0 };
    let top_of_ground = basin.ground.unwrap_or(basin.rim).max(basin.rim);
    let highest = marks(site, design).iter().map(|(_, level, _)| *level).fold(top_of_ground, Level::max);
    let half = across.m() * scale / 2.0;
    let top = 16.0;
    let floor = top + (highest - basin.floor).m() * scale;
    let under = floor + (basin.base.m() * scale).max(2.5);
    Places {
        top,
        highest,
        scale,
        left: MIDDLE - half,
        right: MIDDLE + half,
        wall: (basin.wall.m() * scale).max(2.5),
        under,
        end: under + 14.0,
    }
}

/// The water that stands in the ground outside, where anything says so: groundwater in a wet season, and what was
/// entered for flotation.
fn outside_water(site: &Site, design: &Design) -> Vec<(&'static str, Level)> {
    let groundwater = site.groundwater.seasonal_high.map(|level| ("groundwater", level));
    let entered =
        (design.flotation.water_from == WaterOutside::Entered).then_some(("water outside", design.flotation.water));
    groundwater
        .into_iter()
        .chain(entered.filter(|(_, level)| groundwater.is_none_or(|(_, high)| high != *level)))
        .collect()
}

/// What is named at the right, from the top down, with its height above the floor.
fn marks(site: &Site, design: &Design) -> Vec<(&'static str, Level, Option<Length>)> {
    let mut all: Vec<_> =
        design.basin_marks.iter().map(|mark| (mark.name, mark.level, Some(mark.above_floor))).collect();
    all.extend(outside_water(site, design).into_iter().map(|(name, level)| (name, level, None)));
    all.sort_by(|a, b| b.1.m().total_cmp(&a.1.m()));
    all
}

fn ground(canvas: &mut Canvas, site: &Site, at: &Places) {
    let surface = at.y(site.basin.ground.unwrap_or(site.basin.rim));
    canvas.rectangle((FAR_LEFT, surface), (FAR_RIGHT, at.end), EARTH, None);
    canvas.line((FAR_LEFT, surface), (FAR_RIGHT, surface), EDGE);
    if let Some((width, thickness)) = site.ballast.collar.as_ref().and_then(|collar| collar.ring) {
        for side in [-1.0, 1.0] {
            let inner = if side < 0.0 { at.left - at.wall } else { at.right + at.wall };
            let outer = (inner + side * width.m() * at.scale).clamp(FAR_LEFT, FAR_RIGHT);
            canvas.rectangle(
                (inner, at.under),
                (outer, at.under - thickness.m() * at.scale),
                CONCRETE,
                Some(Pen::solid(0.8, INK)),
            );
        }
    }
}

fn vessel(canvas: &mut Canvas, site: &Site, at: &Places) {
    let basin = &site.basin;
    let (rim, floor) = (at.y(basin.rim), at.y(basin.floor));
    canvas.rectangle((at.left - at.wall, rim), (at.right + at.wall, at.under), SOLID, None);
    canvas.rectangle((at.left, rim), (at.right, floor), "#fff", None);
    let (off, on) = (at.y(basin.level(basin.off)), at.y(basin.level(basin.on)));
    canvas.rectangle((at.left, on), (at.right, off), TINT, None);
    canvas.rectangle((at.left, off), (at.right, floor), DEAD, None);
}

/// The pump on the floor, as high as entered, and the pipe that leaves.
fn pump(canvas: &mut Canvas, site: &Site, design: &Design, at: &Places) {
    let basin = &site.basin;
    let entered = design.pump().and_then(|pump| site.pumps.iter().find(|entered| entered.name == pump.name));
    let floor = at.y(basin.floor);
    let top = floor - entered.and_then(|pump| pump.height).map_or(14.0, |height| height.m() * at.scale);
    let wide = ((at.right - at.left) / 5.0).min(11.0);
    let middle = at.riser();
    let on_riser: Vec<f64> = design
        .basin_marks
        .iter()
        .filter(|mark| mark.name.ends_with("hole") || mark.name == "check valve")
        .map(|mark| at.y(mark.level))
        .collect();
    if let Some(first) = site.discharge.profile.first() {
        let leaves = at.y(first.invert);
        canvas.path(&[(middle, top), (middle, leaves), (FAR_RIGHT, leaves)], PIPE);
    } else if let Some(highest) = on_riser.iter().copied().reduce(f64::min) {
        // where it leaves is not known
        canvas.line((middle, top), (middle, highest - 10.0), PIPE);
    }
    for y in on_riser {
        canvas.line((middle - 6.0, y), (middle + 6.0, y), Pen::solid(1.6, INK));
    }
    canvas.rectangle((middle - wide, top), (middle + wide, floor), "#fff", Some(EDGE));
    canvas.text((middle, f64::midpoint(top, floor) + SMALL * 0.35), "P", SMALL, Anchor::Middle, INK);
}

/// The pipes that come in, at their inverts.
fn pipes(canvas: &mut Canvas, site: &Site, at: &Places) {
    let wall = at.left - at.wall;
    let ends: Vec<(Level, f64)> = site
        .drains
        .iter()
        .filter(|drain| drain.ends_at_basin())
        .filter_map(|drain| Some((drain.down_invert?, drain.pipe.as_ref().map_or(0.0, |pipe| pipe.bore.m()))))
        .collect();
    let entered = site.basin.inlet_invert.filter(|_| ends.is_empty()).map(|invert| (invert, 0.0));
    for (invert, bore) in ends.into_iter().chain(entered) {
        let (bottom, height) = (at.y(invert), (bore * at.scale).max(3.0));
        canvas.rectangle((FAR_LEFT, bottom), (wall + at.wall, bottom - height), "#fff", Some(EDGE));
    }
}

/// Everything that has a height, named at the right; gives where the words end.
fn heights(canvas: &mut Canvas, site: &Site, design: &Design, at: &Places) -> f64 {
    let marks = marks(site, design);
    let wanted: Vec<f64> = marks.iter().map(|(_, level, _)| at.y(*level)).collect();
    let last = at.end.max(10.0 + APART * marks.len() as f64);
    let placed = spread(&wanted, APART, (10.0, last));
    let mut bottom: f64 = 0.0;
    for ((name, level, above), height) in marks.iter().zip(placed) {
        let y = at.y(*level);
        if above.is_none() {
            canvas.line((FAR_LEFT, y), (at.left - at.wall, y), WATER);
            canvas.line((at.right + at.wall, y), (FAR_RIGHT, y), WATER);
        } else if name.ends_with("float") {
            canvas.line((at.left, y), (at.right, y), FLOAT);
        }
        canvas.path(&[(at.right + at.wall + 2.0, y), (FAR_RIGHT, y), (WORDS - 4.0, height)], LEADER);
        let text = format!("{name} {}", Amount::of(*level).show(design.units));
        // the longest name a little smaller, if need be
        let size = if text_width(&text, SMALL) > WIDTH - WORDS { SMALL - 1.0 } else { SMALL };
        canvas.text((WORDS, height + SMALL * 0.35), &text, size, Anchor::Start, INK);
        bottom = bottom.max(height + SMALL * 0.5);
    }
    bottom
}

/// What it holds, within its walls.
fn volumes(canvas: &mut Canvas, site: &Site, design: &Design, at: &Places) {
    let basin = &site.basin;
    let (off, on, rim) = (at.y(basin.level(basin.off)), at.y(basin.level(basin.on)), at.y(basin.rim));
    let live = design.pump().and_then(|pump| pump.cycle.as_ref()).map(|cycle| cycle.live);
    for (volume, from, to) in [(live, off, on), (Some(design.room_above_on), on, rim)] {
        let Some(volume) = volume else { continue };
        let words = Amount::of(volume).show(design.units);
        if from - to > SMALL + 4.0 && text_width(&words, SMALL) < at.riser() - at.left {
            let floats =
                design.basin_marks.iter().filter(|mark| mark.name.ends_with("float")).map(|mark| at.y(mark.level));
            let y = widest_gap(floats, (to, from)) + SMALL * 0.35;
            canvas.text((f64::midpoint(at.left, at.riser()), y), &words, SMALL, Anchor::Middle, INK);
        }
    }
}

/// The middle of the widest room that some heights leave between two ends.
fn widest_gap(heights: impl Iterator<Item = f64>, (top, bottom): (f64, f64)) -> f64 {
    let mut edges: Vec<f64> = heights.filter(|height| top < *height && *height < bottom).chain([top, bottom]).collect();
    edges.sort_by(f64::total_cmp);
    let gaps = edges
        .windows(2)
        .filter_map(|pair| if let [from, to] = pair { Some((to - from, f64::midpoint(*from, *to))) } else { None });
    gaps.reduce(|best, next| if next.0 > best.0 { next } else { best })
        .map_or(f64::midpoint(top, bottom), |(_, middle)| middle)
}

fn in_words(site: &Site, design: &Design) -> String {
    let units = design.units;
    let said: Vec<String> = marks(site, design)
        .iter()
        .map(|(name, level, above)| {
            let above = above
                .map_or_else(String::new, |above| format!(" ({} above the floor)", Amount::small(above).show(units)));
            format!("{name} {}{above}", Amount::of(*level).show(units))
        })
        .collect();
    let live = design
        .pump()
        .and_then(|pump| pump.cycle.as_ref())
        .map_or_else(String::new, |cycle| format!("Pump-down volume {}; ", Amount::of(cycle.live).show(units)));
    format!(
        "From the top down: {}. {live}room above the on level {}.",
        listed(&said),
        Amount::of(design.room_above_on).show(units)
    )
}
