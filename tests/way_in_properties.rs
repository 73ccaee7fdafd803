//! What must hold for any tree of grates and drains: no water is lost on the way, and nothing that makes the way harder
//! ever brings more.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test fails by panicking"
)]

use approx::assert_relative_eq;
use proptest::prelude::*;
use std::fmt::Write as _;
use sumpwright::design::{Design, DrainResult, InletResult, design};
use sumpwright::quantity::Flow;
use sumpwright::site::{self, NoFiles};

/// An inlet with the pipe that leaves it.
#[derive(Clone, Debug)]
struct Grated {
    /// Which of the low spots it stands in; beyond their number in none.
    spot: usize,
    rim_in: f64,
    side_in: f64,
    clogged: f64,
    /// Where its pipe leads: the basin, the inlet or the pipe of an earlier one.
    leads: usize,
    into_pipe: bool,
    length_ft: f64,
    wide: bool,
    /// Further down than it must be.
    steeper_ft: f64,
}

#[derive(Clone, Debug)]
struct FrenchDrain {
    into_inlet: bool,
    length_ft: f64,
    invert_ft: f64,
    trench: bool,
}

#[derive(Clone, Debug)]
struct Surface {
    area_ft2: f64,
    coefficient: f64,
    minutes: f64,
    /// What it drains to, among all the places.
    to: usize,
}

#[derive(Clone, Debug)]
struct Yard {
    spots: usize,
    grated: Vec<Grated>,
    french: Vec<FrenchDrain>,
    surfaces: Vec<Surface>,
    inflow_gpm: f64,
    inflow_to: usize,
    table_ft: f64,
    conductivity_ft_day: f64,
    on_in: f64,
}

fn grated() -> impl Strategy<Value = Grated> {
    (
        (0..4_usize, 0.0..4.0_f64, 3.0..24.0_f64, 0.0..0.95_f64),
        (any::<usize>(), any::<bool>(), 3.0..60.0_f64, any::<bool>(), 0.0..0.5_f64),
    )
        .prop_map(|((spot, rim_in, side_in, clogged), (leads, into_pipe, length_ft, wide, steeper_ft))| Grated {
            spot,
            rim_in,
            side_in,
            clogged,
            leads,
            into_pipe,
            length_ft,
            wide,
            steeper_ft,
        })
}

fn yards() -> impl Strategy<Value = Yard> {
    let french = (any::<bool>(), 10.0..120.0_f64, 91.8..93.5_f64, any::<bool>()).prop_map(
        |(into_inlet, length_ft, invert_ft, trench)| FrenchDrain { into_inlet, length_ft, invert_ft, trench },
    );
    let surface = (30.0..6000.0_f64, 0.02..0.98_f64, 5.0..25.0_f64, any::<usize>())
        .prop_map(|(area_ft2, coefficient, minutes, to)| Surface { area_ft2, coefficient, minutes, to });
    (
        (1..4_usize, prop::collection::vec(grated(), 2..8), prop::collection::vec(french, 0..3)),
        (prop::collection::vec(surface, 1..9), 0.0..5.0_f64, any::<usize>()),
        (91.0..95.5_f64, 0.01..100.0_f64, 20.0..70.0_f64),
    )
        .prop_map(
            |((spots, grated, french), (surfaces, inflow_gpm, inflow_to), (table_ft, conductivity_ft_day, on_in))| {
                Yard { spots, grated, french, surfaces, inflow_gpm, inflow_to, table_ft, conductivity_ft_day, on_in }
            },
        )
}

impl Yard {
    fn spot_of(&self, inlet: usize) -> Option<usize> {
        Some(self.grated[inlet].spot).filter(|spot| *spot < self.spots)
    }
    /// The names of all that water can be led to.
    fn places(&self) -> Vec<String> {
        let inlets = (0..self.grated.len()).flat_map(|index| [format!("inlet {index}"), format!("line {index}")]);
        let french = (0..self.french.len()).map(|index| format!("french {index}"));
        let spots = (0..self.spots).map(|index| format!("spot {index}"));
        inlets.chain(french).chain(spots).chain(["basin".to_owned()]).collect()
    }
    fn place(&self, to: usize) -> String {
        let places = self.places();
        places[to % places.len()].clone()
    }
    /// Where the pipe of an inlet leads.
    fn to(&self, inlet: usize) -> String {
        match self.grated[inlet].leads % (inlet + 1) {
            0 => "basin".to_owned(),
            earlier if self.grated[inlet].into_pipe => format!("line {}", earlier - 1),
            earlier => format!("inlet {}", earlier - 1),
        }
    }
    /// Later ones lie higher, so that every pipe falls.
    fn outlet_ft(inlet: usize) -> f64 {
        93.0 + 0.2 * inlet as f64
    }
    fn inlet_block(&self, index: usize) -> String {
        let inlet = &self.grated[index];
        let spot = self.spot_of(index).map_or_else(String::new, |spot| format!("low_spot = \"spot {spot}\"\n"));
        format!(
            "[[inlet]]\nname = \"inlet {index}\"\n{spot}rim = \"{} ft\"\ngrate = \"{} in x {} in\"\nclogged = {}\noutlet_invert = \"{} ft\"\n",
            96.0 + inlet.rim_in / 12.0,
            inlet.side_in,
            inlet.side_in,
            inlet.clogged,
            Self::outlet_ft(index)
        )
    }
    fn line_block(&self, index: usize) -> String {
        let inlet = &self.grated[index];
        let to = self.to(index);
        let end = match to.split_once(' ') {
            Some((_, other)) => Self::outlet_ft(other.parse().unwrap()) + 0.15,
            None => 92.95 - inlet.steeper_ft,
        };
        format!(
            "[[drain]]\nname = \"line {index}\"\nfrom = \"inlet {index}\"\nto = \"{to}\"\nsize = \"{} in\"\nlength = \"{} ft\"\ndown_invert = \"{end} ft\"\n",
            if inlet.wide { 6 } else { 4 },
            inlet.length_ft
        )
    }
    fn french_block(&self, index: usize) -> String {
        let french = &self.french[index];
        let (to, above) = if french.into_inlet { ("inlet 0", 1.4) } else { ("basin", 0.0) };
        let down = french.invert_ft + above;
        let trench =
            if french.trench { "trench = { width = \"12 in\", porosity = 0.4, cover = \"stone\" }\n" } else { "" };
        format!(
            "[[drain]]\nname = \"french {index}\"\nto = \"{to}\"\nkind = \"french\"\nsize = \"4 in\"\nlength = \"{} ft\"\nup_invert = \"{} ft\"\ndown_invert = \"{down} ft\"\n{trench}",
            french.length_ft,
            down + 0.3
        )
    }
    fn surface_block(&self, index: usize) -> String {
        let surface = &self.surfaces[index];
        format!(
            "[[catchment]]\nname = \"surface {index}\"\narea = \"{} ft2\"\nrunoff_coefficient = {}\ntime_of_concentration = \"{} min\"\ndrains_to = \"{}\"\n",
            surface.area_ft2,
            surface.coefficient,
            surface.minutes,
            self.place(surface.to)
        )
    }
    fn text(&self, backwards: bool, units: &str) -> String {
        let ordered = |count: usize, block: &dyn Fn(usize) -> String| -> String {
            let mut blocks: Vec<String> = (0..count).map(block).collect();
            if backwards {
                blocks.reverse();
            }
            blocks.concat()
        };
        let mut text = format!(
            "format = 1\nunits = \"{units}\"\n\n[goal]\nreturn_period = \"10 yr\"\nstanding_water = \"2 in\"\n\n[rain]\norigin = \"invented\"\n[rain.depth.\"10 yr\"]\n\"5 min\" = \"0.5 in\"\n\"15 min\" = \"0.95 in\"\n\"60 min\" = \"1.65 in\"\n\"24 h\" = \"3.8 in\"\n\n[groundwater]\nseasonal_high = \"{} ft\"\nconductivity = \"{} ft/day\"\n\n",
            self.table_ft, self.conductivity_ft_day
        );
        text += &ordered(self.surfaces.len(), &|index| self.surface_block(index));
        text += &ordered(self.spots, &|index| {
            format!(
                "[[low_spot]]\nname = \"spot {index}\"\nsurface = [[\"96.0 ft\", \"0 ft2\"], [\"96.5 ft\", \"900 ft2\"]]\n"
            )
        });
        text += &ordered(self.grated.len(), &|index| self.inlet_block(index));
        let (lines, french) = (self.grated.len(), self.french.len());
        text += &ordered(lines + french, &|index| {
            if index < lines { self.line_block(index) } else { self.french_block(index - lines) }
        });
        write!(
            text,
            "[[inflow]]\nname = \"spring\"\nflow = \"{} gpm\"\ndrains_to = \"{}\"\n",
            self.inflow_gpm,
            self.place(self.inflow_to)
        )
        .unwrap();
        write!(
            text,
            "[basin]\ninside_diameter = \"36 in\"\noutside_diameter = \"38 in\"\nweight = \"200 lb\"\nrim = \"97.0 ft\"\nfloor = \"88.0 ft\"\noff = \"8 in\"\non = \"{} in\"\n",
            self.on_in
        )
        .unwrap();
        text + "[discharge]\nriser = { material = \"PVC schedule 40\", size = \"2 in\", length = \"8 ft\" }\ncheck_valve = { kind = \"swing\" }\noutlet = { kind = \"open end\", level = \"99 ft\" }\n[[discharge.run]]\nmaterial = \"PVC schedule 40\"\nsize = \"2 in\"\nlength = \"80 ft\"\n[[pump]]\nname = \"pump\"\ncurve = [[\"0 gpm\", \"40 ft\"], [\"40 gpm\", \"30 ft\"], [\"80 gpm\", \"10 ft\"]]\n"
    }
    fn design(&self) -> Design {
        design_of(&self.text(false, "us"))
    }
}

fn design_of(text: &str) -> Design {
    let reading = site::read(text, &NoFiles);
    let site = reading.site.unwrap_or_else(|| panic!("{:#?}\n{text}", reading.problems));
    design(&site).unwrap()
}

fn inlet<'a>(design: &'a Design, name: &str) -> &'a InletResult {
    design.way_in.inlets.iter().find(|inlet| inlet.name == name).unwrap()
}

fn drain<'a>(design: &'a Design, name: &str) -> &'a DrainResult {
    design.way_in.drains.iter().find(|drain| drain.name == name).unwrap()
}

/// All that the way in comes to, by name, in SI.
fn numbers(design: &Design) -> Vec<(String, f64)> {
    let mut found = Vec::new();
    for inlet in &design.way_in.inlets {
        let mut put = |what: &str, value: f64| found.push((format!("{} {what}", inlet.name), value));
        put("flow", inlet.flow.m3s());
        put("depth", inlet.depth.unwrap().m());
        put("takes", inlet.takes.unwrap().m3s());
    }
    for drain in &design.way_in.drains {
        let mut put = |what: &str, value: f64| found.push((format!("{} {what}", drain.name), value));
        put("area", drain.weighted_area.m2());
        put("flow", drain.flow.m3s());
        put("steady", drain.steady.m3s());
        put("capacity", drain.capacity.unwrap().m3s());
        put("pool", drain.backed.unwrap().pool.m());
        put("most", drain.most.map_or(-1.0, Flow::m3s));
        put("too small", f64::from(u8::from(drain.too_small)));
        put("slope", drain.least_slope.map_or(-1.0, |slope| slope.ratio()));
    }
    for french in &design.way_in.french {
        let mut put = |what: &str, value: f64| found.push((format!("{} {what}", french.name), value));
        put("counted", french.counted.m3s());
        put("holds", french.holds.map_or(-1.0, |volume| volume.m3()));
    }
    let mut put = |what: &str, value: f64| found.push((what.to_owned(), value));
    put("to the basin", design.way_in.to_basin.m2());
    put("peak", design.storm.peak_inflow.m3s());
    put("groundwater", design.storm.groundwater.flow.m3s());
    put("groundwater at most", design.storm.groundwater.high.m3s());
    put("safety", design.flotation.result.safety);
    found.sort_by(|one, other| one.0.cmp(&other.0));
    found
}

fn assert_alike(one: &Design, other: &Design) {
    let (one, other) = (numbers(one), numbers(other));
    assert_eq!(one.len(), other.len());
    for ((name, value), (other_name, other_value)) in one.iter().zip(&other) {
        assert_eq!(name, other_name);
        assert!((value - other_value).abs() <= 1e-8 * value.abs().max(1e-3), "{name}: {value} {other_value}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn identity_no_water_is_lost_on_the_way(yard in yards()) {
        let design = yard.design();
        let of_surface = |index: usize| {
            let result = &design.storm.catchments[index];
            (result.area * result.coefficient).m2()
        };
        let led_to = |place: &str| -> f64 {
            (0..yard.surfaces.len()).filter(|index| yard.place(yard.surfaces[*index].to) == place).map(of_surface).sum()
        };
        let all: f64 = (0..yard.surfaces.len()).map(of_surface).sum();
        assert_relative_eq!(design.way_in.to_basin.m2(), all, max_relative = 1e-9);
        let by_drains = |place: &str| -> f64 {
            design.way_in.drains.iter().filter(|drain| drain.to == place).map(|drain| drain.weighted_area.m2()).sum()
        };
        // what goes through each grate: what its pipe carries, less what other pipes and surfaces bring to box and pipe
        let through: Vec<f64> = (0..yard.grated.len())
            .map(|index| {
                let (inlet, line) = (format!("inlet {index}"), format!("line {index}"));
                drain(&design, &line).weighted_area.m2() - by_drains(&inlet) - by_drains(&line) - led_to(&line)
            })
            .collect();
        for (index, through) in through.iter().enumerate() {
            prop_assert!(*through >= -1e-9 * all.max(1.0));
            if yard.spot_of(index).is_none() {
                let led = led_to(&format!("inlet {index}"));
                prop_assert!((through - led).abs() <= 1e-9 * all, "inlet {index}: {through} {led}");
            }
        }
        for spot in 0..yard.spots {
            let members: Vec<usize> = (0..yard.grated.len()).filter(|index| yard.spot_of(*index) == Some(spot)).collect();
            if members.is_empty() {
                continue;
            }
            let together: f64 = members.iter().map(|index| through[*index]).sum();
            let led: f64 = members.iter().map(|index| led_to(&format!("inlet {index}"))).sum::<f64>() + led_to(&format!("spot {spot}"));
            prop_assert!((together - led).abs() <= 1e-9 * all, "spot {spot}: {together} {led}");
        }
        // steady water likewise: all of it gets to the basin
        let steady = design.storm.steady;
        let at_basin: f64 = design.way_in.drains.iter().filter(|drain| drain.to == "basin").map(|drain| drain.steady.m3s()).sum();
        prop_assert!(at_basin <= steady.m3s() * (1.0 + 1e-9));
        // a peak is never more than the peaks of its parts, nor less than the largest
        for drain in &design.way_in.drains {
            prop_assert!(drain.flow <= design.storm.peak_inflow * (1.0 + 1e-9), "{}", drain.name);
            prop_assert!(drain.flow >= drain.steady);
        }
    }

    #[test]
    fn identity_what_makes_it_harder_never_brings_more(yard in yards(), which in any::<usize>(), more in 0.01..0.9_f64, feet in 0.1..3.0_f64) {
        let design = yard.design();
        let index = which % yard.grated.len();
        let line = format!("line {index}");
        // more fall, as much capacity or more, and no more water in the box
        let mut steeper = yard.clone();
        let at_basin = (0..yard.grated.len()).find(|index| yard.to(*index) == "basin").unwrap();
        steeper.grated[at_basin].steeper_ft += more;
        let steep = steeper.design();
        for drain in &design.way_in.drains {
            prop_assert!(self::drain(&steep, &drain.name).capacity >= drain.capacity, "{}", drain.name);
        }
        let name = format!("line {at_basin}");
        prop_assert!(drain(&steep, &name).capacity > drain(&design, &name).capacity);
        // with a free end: under water a pipe that lies deeper runs full for longer, and full it carries a little less
        // than nearly full
        let free = |yard: &Yard| Yard { on_in: 20.0, ..yard.clone() }.design();
        let pool = |design: &Design| drain(design, &name).backed.unwrap().pool.m();
        prop_assert!(pool(&free(&steeper)) <= pool(&free(&yard)) + 1e-6);
        // more leaves on one grate: as deep or deeper over every one
        let mut leaves = yard.clone();
        leaves.grated[index].clogged += (1.0 - leaves.grated[index].clogged) * more;
        let clogged = leaves.design();
        for inlet in &design.way_in.inlets {
            prop_assert!(self::inlet(&clogged, &inlet.name).depth.unwrap().m() >= inlet.depth.unwrap().m() - 1e-9, "{}", inlet.name);
        }
        let name = format!("inlet {index}");
        prop_assert!(inlet(&clogged, &name).flow <= inlet(&design, &name).flow * (1.0 + 1e-9));
        // a larger pipe carries more
        let mut wide = yard.clone();
        wide.grated[index].wide = true;
        prop_assert!(drain(&wide.design(), &line).capacity >= drain(&design, &line).capacity);
        // a deeper table brings no more
        let mut deep = yard.clone();
        deep.table_ft -= feet;
        let (deep, now) = (deep.design().storm.groundwater, &design.storm.groundwater);
        prop_assert!(deep.flow <= now.flow * (1.0 + 1e-9), "{:?} {:?}", deep.flow, now.flow);
        prop_assert!(deep.high <= now.high * (1.0 + 1e-9));
        // a higher float holds the water no lower
        let mut high = yard.clone();
        high.on_in += 4.0;
        let high = high.design();
        for drain in &design.way_in.drains {
            prop_assert!(self::drain(&high, &drain.name).backed.unwrap().pool.m() >= drain.backed.unwrap().pool.m() - 1e-6, "{}", drain.name);
        }
    }

    #[test]
    fn identity_neither_order_nor_units_change_a_number(yard in yards()) {
        let design = yard.design();
        assert_alike(&design, &design_of(&yard.text(true, "us")));
        assert_alike(&design, &design_of(&yard.text(false, "metric")));
    }

    #[test]
    fn identity_no_number_is_none(yard in yards()) {
        let design = yard.design();
        for (name, value) in numbers(&design) {
            prop_assert!(value.is_finite(), "{name}");
        }
        for part in [format!("{:?}", design.way_in), format!("{:?}", design.way_off), format!("{:?}", design.flotation), format!("{:?}", design.groundwater_run), format!("{:?}", design.gravity_way), format!("{:?}", design.storm.groundwater)] {
            prop_assert!(!part.contains("NaN"), "{part}");
        }
        for finding in &design.findings {
            prop_assert!(finding.numbers.iter().all(|(_, amount)| !amount.si.is_nan()), "{finding:?}");
            // nothing is said twice of one thing
            let alike = design.findings.iter().filter(|other| other.id == finding.id && other.about == finding.about && other.message == finding.message);
            prop_assert_eq!(alike.count(), 1, "{:?}", finding);
        }
        // the peak that a drain is said to be too small for is held up nowhere when it is not
        for drain in &design.way_in.drains {
            let said = design.findings.iter().any(|finding| finding.id == "drain-too-small" && finding.about.as_deref() == Some(drain.name.as_str()));
            prop_assert_eq!(said, drain.too_small);
        }
    }
}
