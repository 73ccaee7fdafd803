//! Yards at random: a tree of grates and pipes, French drains, surfaces anywhere.

use proptest::prelude::*;
use std::fmt::Write as _;
use sumpwright::design::{Design, design};
use sumpwright::site::{self, NoFiles};

/// An inlet with the pipe that leaves it.
#[derive(Clone, Debug)]
pub(crate) struct Grated {
    /// Which of the low spots it stands in; beyond their number in none.
    pub(crate) spot: usize,
    pub(crate) rim_in: f64,
    pub(crate) side_in: f64,
    pub(crate) clogged: f64,
    /// Where its pipe leads: the basin, the inlet or the pipe of an earlier one.
    pub(crate) leads: usize,
    pub(crate) into_pipe: bool,
    pub(crate) length_ft: f64,
    pub(crate) wide: bool,
    /// Further down than it must be.
    pub(crate) steeper_ft: f64,
    /// Whether a second pipe leaves it, to the basin.
    pub(crate) twin: bool,
}

#[derive(Clone, Debug)]
pub(crate) struct FrenchDrain {
    pub(crate) into_inlet: bool,
    pub(crate) length_ft: f64,
    pub(crate) invert_ft: f64,
    pub(crate) trench: bool,
}

#[derive(Clone, Debug)]
pub(crate) struct Surface {
    pub(crate) area_ft2: f64,
    pub(crate) coefficient: f64,
    pub(crate) minutes: f64,
    /// What it drains to, among all the places.
    pub(crate) to: usize,
}

#[derive(Clone, Debug)]
pub(crate) struct Yard {
    pub(crate) spots: usize,
    pub(crate) grated: Vec<Grated>,
    pub(crate) french: Vec<FrenchDrain>,
    pub(crate) surfaces: Vec<Surface>,
    pub(crate) inflow_gpm: f64,
    pub(crate) inflow_to: usize,
    pub(crate) table_ft: f64,
    pub(crate) conductivity_ft_day: f64,
    pub(crate) on_in: f64,
}

pub(crate) fn grated() -> impl Strategy<Value = Grated> {
    (
        (0..4_usize, 0.0..4.0_f64, 3.0..24.0_f64, 0.0..0.95_f64),
        (any::<usize>(), any::<bool>(), 3.0..60.0_f64, any::<bool>(), 0.0..0.5_f64, any::<bool>()),
    )
        .prop_map(|((spot, rim_in, side_in, clogged), (leads, into_pipe, length_ft, wide, steeper_ft, twin))| {
            Grated { spot, rim_in, side_in, clogged, leads, into_pipe, length_ft, wide, steeper_ft, twin }
        })
}

pub(crate) fn yards() -> impl Strategy<Value = Yard> {
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
    pub(crate) fn spot_of(&self, inlet: usize) -> Option<usize> {
        Some(self.grated[inlet].spot).filter(|spot| *spot < self.spots)
    }
    /// The names of all that water can be led to.
    pub(crate) fn places(&self) -> Vec<String> {
        let inlets = (0..self.grated.len()).flat_map(|index| [format!("inlet {index}"), format!("line {index}")]);
        let french = (0..self.french.len()).map(|index| format!("french {index}"));
        let spots = (0..self.spots).map(|index| format!("spot {index}"));
        inlets.chain(french).chain(spots).chain(["basin".to_owned()]).collect()
    }
    pub(crate) fn place(&self, to: usize) -> String {
        let places = self.places();
        places[to % places.len()].clone()
    }
    /// Where the pipe of an inlet leads.
    pub(crate) fn to(&self, inlet: usize) -> String {
        match self.grated[inlet].leads % (inlet + 1) {
            0 => "basin".to_owned(),
            earlier if self.grated[inlet].into_pipe => format!("line {}", earlier - 1),
            earlier => format!("inlet {}", earlier - 1),
        }
    }
    /// Later ones lie higher, so that every pipe falls.
    pub(crate) fn outlet_ft(inlet: usize) -> f64 {
        93.0 + 0.2 * inlet as f64
    }
    pub(crate) fn inlet_block(&self, index: usize) -> String {
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
    pub(crate) fn line_block(&self, index: usize) -> String {
        let inlet = &self.grated[index];
        let to = self.to(index);
        let end = match to.split_once(' ') {
            Some((_, other)) => Self::outlet_ft(other.parse().unwrap()) + 0.15,
            None => 92.95 - inlet.steeper_ft,
        };
        let twin = format!(
            "[[drain]]\nname = \"twin {index}\"\nfrom = \"inlet {index}\"\nto = \"basin\"\nsize = \"4 in\"\nlength = \"50 ft\"\ndown_invert = \"92.4 ft\"\n"
        );
        let twin = if inlet.twin { twin.as_str() } else { "" };
        format!(
            "[[drain]]\nname = \"line {index}\"\nfrom = \"inlet {index}\"\nto = \"{to}\"\nsize = \"{} in\"\nlength = \"{} ft\"\ndown_invert = \"{end} ft\"\n{twin}",
            if inlet.wide { 6 } else { 4 },
            inlet.length_ft
        )
    }
    pub(crate) fn french_block(&self, index: usize) -> String {
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
    pub(crate) fn surface_block(&self, index: usize) -> String {
        let surface = &self.surfaces[index];
        format!(
            "[[catchment]]\nname = \"surface {index}\"\narea = \"{} ft2\"\nrunoff_coefficient = {}\ntime_of_concentration = \"{} min\"\ndrains_to = \"{}\"\n",
            surface.area_ft2,
            surface.coefficient,
            surface.minutes,
            self.place(surface.to)
        )
    }
    pub(crate) fn text(&self, backwards: bool, units: &str) -> String {
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
    pub(crate) fn design(&self) -> Design {
        design_of(&self.text(false, "us"))
    }
}

pub(crate) fn design_of(text: &str) -> Design {
    let reading = site::read(text, &NoFiles);
    let site = reading.site.unwrap_or_else(|| panic!("{:?}", reading.problems));
    design(&site).unwrap()
}
