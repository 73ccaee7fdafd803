//! How what a site file asks for is found out on the spot, in words for somebody with a tape and a level; and which keys
//! a site stands on though each of them alone may be left out.

/// How the value of a key is found out, by its path; common practice, no source.
const HOW: &[(&str, &str)] = &[
    (
        "low_spot.surface",
        "the level of the lowest ground, and how wide water stands at two or three heights above it: mark its edge after a rain, or level round the hollow, and pace the size inside",
    ),
    (
        "low_spot.spills_at",
        "the lowest point of the rim of the hollow, where the water would run on: walk round it with the level",
    ),
    (
        "low_spot.spills_to",
        "walk the way that water takes over the edge, downhill to its end: see whether it comes to a building, yours or a neighbour's",
    ),
    ("protect.level", "the level of the lowest sill, vent or cellar window that water must not reach"),
    (
        "catchment.area",
        "length by width with a tape or in paces, seen from above; of a roof the part whose gutters lead here",
    ),
    ("catchment.surface", "what covers it: `sumpwright tables runoff-coefficients` lists the surfaces"),
    ("catchment.slope", "with a board and a level: how far it falls in 100 of the same"),
    (
        "rain.depth",
        "from the national weather service's table of rain by return period and duration, for the address: the lines for 5, 15 and 60 minutes and 24 hours at least",
    ),
    ("goal.return_period", "how rare a storm the yard has to stand; 10 years is common for a yard"),
    ("goal.standing_water", "how deep water may stand over the lowest ground without harm"),
    ("goal.clear_within", "how long it may stand"),
    (
        "soil.texture",
        "shake a handful of soil in a jar of water and let it stand for a day: sand settles within a minute, silt within hours, clay last; or ask the county's soil survey",
    ),
    (
        "groundwater.seasonal_high",
        "the level at which water comes to stand in an auger hole in the wet season, after some days; mark the hole, cover it and fill it again",
    ),
    ("inlet.rim", "with the level, on the grate or where it will lie"),
    ("inlet.grate", "with a tape across the grate, both ways"),
    ("inlet.outlet_invert", "from the level of the grate down to the lowest point inside its outlet pipe"),
    ("drain.size", "it is printed on the pipe"),
    ("drain.length", "with a tape along the trench"),
    ("drain.up_invert", "from the level of the ground down to the lowest point inside the pipe, at its upper end"),
    ("drain.down_invert", "from the level of the ground down to the lowest point inside the pipe, at its lower end"),
    ("drain.trench.cover", "look at the ground over the trench"),
    ("basin.inside_diameter", "from the basin's data sheet, or with a tape across it inside"),
    (
        "basin.rim",
        "the level of the finished ground where the basin will stand; its lid lies even with it or a little higher",
    ),
    ("basin.floor", "the level of the rim less the depth of the basin inside"),
    ("basin.inlet_invert", "the lowest point inside the pipe that comes in, from the rim down"),
    ("basin.off", "the lowest float, from the floor up: the pump's data sheet says how much water it needs"),
    ("basin.on", "the float that starts the pump, from the floor up, below the pipe that comes in"),
    ("basin.alarm", "the alarm's float, from the floor up, above the one that starts the pump"),
    ("basin.weight", "from the basin's data sheet"),
    ("basin.outside_diameter", "from the basin's data sheet"),
    ("discharge.riser.size", "it is printed on the pipe; not thinner than the pump's outlet"),
    ("discharge.riser.material", "it is printed on the pipe"),
    ("discharge.run.material", "it is printed on the pipe"),
    ("discharge.run.size", "it is printed on the pipe"),
    ("discharge.run.length", "with a tape along the way that the pipe will take, from the basin to the outlet"),
    ("discharge.run.fittings", "count the bends along the way"),
    (
        "discharge.check_valve",
        "look at the pipe over the pump, or at the box: a valve with an arrow on it; `false` for none",
    ),
    ("discharge.outlet.level", "with the level, where the water will come out"),
    ("discharge.outlet.ditch_full", "with the level, the mark that high water left, or the top of the ditch or curb"),
    ("discharge.outlet.ends_in", "look, and ask the town and the neighbour whether water may go there"),
    (
        "discharge.profile",
        "whether the ground anywhere along the run is higher than at the outlet: walk it with the level",
    ),
    (
        "discharge.profile.invert",
        "the lowest point inside the pipe where the ground is highest: that ground less the depth of the trench",
    ),
    ("discharge.profile.ground", "with the level, on the highest ground along the run"),
    ("discharge.profile.at", "with a tape along the run, from the basin"),
    ("discharge.frost.depth", "the building office knows how deep the ground freezes"),
    ("discharge.frost.plan", "by the depth of the trench, and which way the pipe slopes"),
    (
        "pump.curve",
        "from the chart or the table on the pump's box: at each flow, how high it lifts; three points at least",
    ),
    ("pump.outlet_size", "from the pump's data sheet"),
    ("pump.volts", "from the plate on the pump"),
    ("pump.running_amps", "from the plate on the pump"),
];

/// Keys of which one or another must stand, so that none of them is simply left out.
const STOOD_ON: &[&str] = &[
    "rain.depth",
    "rain.intensity",
    "rain.formula",
    "rain.file",
    "catchment.surface",
    "catchment.runoff_coefficient",
    "basin.inside_diameter",
    "basin.inside_length",
    "basin.inside_width",
    "discharge.frost.depth",
];

/// How the value of a key is found out, where that is told.
pub fn how(path: &str) -> Option<&'static str> {
    HOW.iter().find(|(known, _)| *known == path).map(|(_, how)| *how)
}

/// Whether a site stands on a key that may be left out where another stands in its place.
pub(in crate::site) fn stood_on(path: &str) -> bool {
    STOOD_ON.contains(&path)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::site::keys::at_path;

    #[test]
    fn every_path_is_that_of_a_key_and_stands_once() {
        for path in HOW.iter().map(|(path, _)| path).chain(STOOD_ON) {
            let key = at_path(path.split('.')).unwrap_or_else(|| panic!("there is no key {path}"));
            assert!(!STOOD_ON.contains(path) || !key.required, "{path} is required anyway");
        }
        for (path, how) in HOW {
            assert_eq!(HOW.iter().filter(|(other, _)| other == path).count(), 1, "{path}");
            assert!(!how.ends_with('.') && how.starts_with(|letter: char| letter.is_lowercase()), "{path}: {how}");
        }
    }
}
