//! Yards at random: a tree of grates and pipes, French drains, surfaces anywhere.

use proptest::prelude::*;
use std::fmt::Write as _;
use sumpwright::design::{Design, design_at_peak};
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

/// An inlet without a pipe: it lies on the basin.
#[derive(Clone, Debug)]
pub(crate) struct Lid {
    /// Which of the low spots it stands in; beyond their number in none.
    pub(crate) spot: usize,
    pub(crate) rim_in: f64,
    pub(crate) side_in: f64,
    pub(crate) clogged: f64,
}

#[derive(Clone, Debug)]
pub(crate) struct FrenchDrain {
    pub(crate) into_inlet: bool,
    pub(crate) length_ft: f64,
    pub(crate) invert_ft: f64,
    pub(crate) trench: bool,
    /// Whether groundwater comes from one side only.
    pub(crate) one_sided: bool,
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
    /// Above the lowest point of each low spot to where it runs over, where that is known.
    pub(crate) spills_in: Vec<Option<f64>>,
    pub(crate) spots: usize,
    pub(crate) grated: Vec<Grated>,
    pub(crate) lid: Option<Lid>,
    pub(crate) french: Vec<FrenchDrain>,
    pub(crate) surfaces: Vec<Surface>,
    pub(crate) inflow_gpm: f64,
    pub(crate) inflow_to: usize,
    pub(crate) table_ft: f64,
    pub(crate) tight_ft: Option<f64>,
    pub(crate) perforated: bool,
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
    let french = (any::<bool>(), 10.0..120.0_f64, 91.8..93.5_f64, any::<bool>(), any::<bool>()).prop_map(
        |(into_inlet, length_ft, invert_ft, trench, one_sided)| FrenchDrain {
            into_inlet,
            length_ft,
            invert_ft,
            trench,
            one_sided,
        },
    );
    let surface = (30.0..6000.0_f64, 0.02..0.98_f64, 5.0..25.0_f64, any::<usize>())
        .prop_map(|(area_ft2, coefficient, minutes, to)| Surface { area_ft2, coefficient, minutes, to });
    let lid = (0..4_usize, 0.0..4.0_f64, 3.0..24.0_f64, 0.0..0.95_f64)
        .prop_map(|(spot, rim_in, side_in, clogged)| Lid { spot, rim_in, side_in, clogged });
    // some below the goal of 2 in
    let spill = prop::option::of(0.5..6.0_f64);
    let grates = (prop::collection::vec(grated(), 2..8), prop::option::of(lid), prop::collection::vec(spill, 3));
    (
        (1..4_usize, grates, prop::collection::vec(french, 0..3)),
        (prop::collection::vec(surface, 1..9), 0.0..5.0_f64, any::<usize>()),
        // groundwater, and how far below it the tight layer lies: below and above the French drains
        (91.0..95.5_f64, prop::option::of(0.1..8.0_f64), any::<bool>(), 0.01..100.0_f64, 20.0..70.0_f64),
    )
        .prop_map(|((spots, grates, french), (surfaces, inflow_gpm, inflow_to), ground)| {
            let (grated, lid, spills_in) = grates;
            let (table_ft, tight_below_ft, perforated, conductivity_ft_day, on_in) = ground;
            let tight_ft = tight_below_ft.map(|below| table_ft - below);
            Yard {
                spills_in,
                spots,
                grated,
                lid,
                french,
                surfaces,
                inflow_gpm,
                inflow_to,
                table_ft,
                tight_ft,
                perforated,
                conductivity_ft_day,
                on_in,
            }
        })
}

impl Yard {
    pub(crate) fn spot_of(&self, inlet: usize) -> Option<usize> {
        Some(self.grated[inlet].spot).filter(|spot| *spot < self.spots)
    }
    /// The low spot of the inlet without a pipe.
    pub(crate) fn spot_of_lid(&self) -> Option<usize> {
        self.lid.as_ref().map(|lid| lid.spot).filter(|spot| *spot < self.spots)
    }
    /// The low spot of an inlet by its name.
    pub(crate) fn spot_of_named(&self, name: &str) -> Option<usize> {
        match name.strip_prefix("inlet ") {
            Some(index) => self.spot_of(index.parse().unwrap()),
            None => self.spot_of_lid(),
        }
    }
    /// Whether an inlet stands in a low spot.
    pub(crate) fn has_inlet(&self, spot: usize) -> bool {
        self.spot_of_lid() == Some(spot) || (0..self.grated.len()).any(|index| self.spot_of(index) == Some(spot))
    }
    /// The names of all that water can be led to.
    pub(crate) fn places(&self) -> Vec<String> {
        let inlets = (0..self.grated.len()).flat_map(|index| [format!("inlet {index}"), format!("line {index}")]);
        let french = (0..self.french.len()).map(|index| format!("french {index}"));
        let spots = (0..self.spots).map(|index| format!("spot {index}"));
        let lid = self.lid.iter().map(|_| "lid".to_owned());
        inlets.chain(french).chain(spots).chain(lid).chain(["basin".to_owned()]).collect()
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
    pub(crate) fn lid_block(&self) -> String {
        let Some(lid) = &self.lid else { return String::new() };
        let spot = self.spot_of_lid().map_or_else(String::new, |spot| format!("low_spot = \"spot {spot}\"\n"));
        format!(
            "[[inlet]]\nname = \"lid\"\n{spot}rim = \"{} ft\"\ngrate = \"{} in x {} in\"\nclogged = {}\n",
            96.0 + lid.rim_in / 12.0,
            lid.side_in,
            lid.side_in,
            lid.clogged
        )
    }
    /// The block of an inlet by its name.
    pub(crate) fn block_of_named(&self, name: &str) -> String {
        match name.strip_prefix("inlet ") {
            Some(index) => self.inlet_block(index.parse().unwrap()),
            None => self.lid_block(),
        }
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
        let sides = if french.one_sided { "sides = 1\n" } else { "" };
        let trench =
            if french.trench { "trench = { width = \"12 in\", porosity = 0.4, cover = \"stone\" }\n" } else { "" };
        format!(
            "[[drain]]\nname = \"french {index}\"\nto = \"{to}\"\nkind = \"french\"\nsize = \"4 in\"\nlength = \"{} ft\"\nup_invert = \"{} ft\"\ndown_invert = \"{down} ft\"\n{sides}{trench}",
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
        let tight = self.tight_ft.map_or_else(String::new, |tight| format!("tight_layer = \"{tight} ft\"\n"));
        let mut text = format!(
            "format = 1\nunits = \"{units}\"\n\n[goal]\nreturn_period = \"10 yr\"\nstanding_water = \"2 in\"\n\n[rain]\norigin = \"invented\"\n[rain.depth.\"10 yr\"]\n\"5 min\" = \"0.5 in\"\n\"15 min\" = \"0.95 in\"\n\"60 min\" = \"1.65 in\"\n\"24 h\" = \"3.8 in\"\n\n[groundwater]\nseasonal_high = \"{} ft\"\nconductivity = \"{} ft/day\"\n{tight}\n",
            self.table_ft, self.conductivity_ft_day
        );
        text += &ordered(self.surfaces.len(), &|index| self.surface_block(index));
        text += &ordered(self.spots, &|index| {
            let spills = self.spills_in[index]
                .map_or_else(String::new, |inches| format!("spills_at = \"{} ft\"\n", 96.0 + inches / 12.0));
            format!(
                "[[low_spot]]\nname = \"spot {index}\"\nsurface = [[\"96.0 ft\", \"0 ft2\"], [\"96.5 ft\", \"900 ft2\"]]\n{spills}"
            )
        });
        let grated = self.grated.len();
        text += &ordered(grated + 1, &|index| {
            if index < grated { self.inlet_block(index) } else { self.lid_block() }
        });
        text += &ordered(grated + self.french.len(), &|index| {
            if index < grated { self.line_block(index) } else { self.french_block(index - grated) }
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
            "[basin]\ninside_diameter = \"36 in\"\noutside_diameter = \"38 in\"\nweight = \"200 lb\"\nrim = \"97.0 ft\"\nfloor = \"88.0 ft\"\noff = \"8 in\"\non = \"{} in\"\nperforated = {}\n",
            self.on_in, self.perforated
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
    design_at_peak(&site).unwrap()
}
