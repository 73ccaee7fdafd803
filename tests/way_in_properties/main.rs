//! What must hold for any tree of grates and drains: no water is lost on the way, and nothing that makes the way harder
//! ever brings more.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test fails by panicking"
)]

mod cures;
mod yard;

use approx::assert_relative_eq;
use proptest::prelude::*;
use sumpwright::design::{Design, DrainResult, InletResult};
use sumpwright::quantity::{Flow, Slope, Volume};
use yard::{Yard, design_of, yards};

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
        put("slope", drain.least_slope.map_or(-1.0, Slope::ratio));
    }
    for french in &design.way_in.french {
        let mut put = |what: &str, value: f64| found.push((format!("{} {what}", french.name), value));
        put("counted", french.counted.m3s());
        put("holds", french.holds.map_or(-1.0, Volume::m3));
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
                let twin = format!("twin {index}");
                let twin = design.way_in.drains.iter().find(|drain| drain.name == twin);
                let leaves = drain(&design, &line).weighted_area.m2() + twin.map_or(0.0, |twin| twin.weighted_area.m2());
                leaves - by_drains(&inlet) - by_drains(&line) - led_to(&line)
            })
            .collect();
        for (index, through) in through.iter().enumerate() {
            prop_assert!(*through >= -1e-9 * all.max(1.0));
            if yard.spot_of(index).is_none() {
                let led = led_to(&format!("inlet {index}"));
                prop_assert!((through - led).abs() <= 1e-9 * all, "inlet {index}: {through} {led}");
            }
        }
        // what goes through the grate on the basin comes there by no drain
        let not_caught: f64 = (0..yard.spots).filter(|spot| !yard.has_inlet(*spot)).map(|spot| led_to(&format!("spot {spot}"))).sum();
        let through_lid = design.way_in.to_basin.m2() - by_drains("basin") - led_to("basin") - not_caught;
        if yard.spot_of_lid().is_none() {
            let led = led_to("lid");
            prop_assert!((through_lid - led).abs() <= 1e-9 * all, "lid: {through_lid} {led}");
        }
        for spot in 0..yard.spots {
            let members: Vec<usize> = (0..yard.grated.len()).filter(|index| yard.spot_of(*index) == Some(spot)).collect();
            if !yard.has_inlet(spot) {
                continue;
            }
            let with_lid = yard.spot_of_lid() == Some(spot);
            let (through_lid, led_to_lid) = if with_lid { (through_lid, led_to("lid")) } else { (0.0, 0.0) };
            let together: f64 = members.iter().map(|index| through[*index]).sum::<f64>() + through_lid;
            let led: f64 = members.iter().map(|index| led_to(&format!("inlet {index}"))).sum::<f64>() + led_to(&format!("spot {spot}")) + led_to_lid;
            prop_assert!((together - led).abs() <= 1e-9 * all, "spot {spot}: {together} {led}");
        }
        // steady water likewise: all of it gets to the basin, by its drains but for what comes in over its lid, through its
        // wall or straight into it
        let steady = design.storm.steady.m3s();
        let at_basin: f64 = design.way_in.drains.iter().filter(|drain| drain.to == "basin").map(|drain| drain.steady.m3s()).sum();
        prop_assert!(at_basin <= steady * (1.0 + 1e-9));
        let all_of_it = design.way_in.steady.m3s();
        prop_assert!((all_of_it - steady).abs() <= 1e-9 * steady.max(1e-9), "{all_of_it} {steady}");
        let to = yard.place(yard.inflow_to);
        let inlet_takes = |spot: usize| to == format!("spot {spot}") && yard.has_inlet(spot);
        let to_drains = to.starts_with("inlet") || to.starts_with("line") || to.starts_with("french") || (0..yard.spots).any(inlet_takes);
        let ground = &design.storm.groundwater;
        let through_wall = ground.through_wall.map_or(Flow::ZERO, |flow| flow.taken);
        let inflow = Flow::from_gpm(yard.inflow_gpm);
        let by_drains = (ground.flow - through_wall + if to_drains { inflow } else { Flow::ZERO }).m3s();
        if yard.spot_of_lid().is_none() {
            prop_assert!((at_basin - by_drains).abs() <= 1e-9 * steady.max(1e-9), "{at_basin} {by_drains}");
        } else {
            // the lid may take part of what runs to its low spot
            prop_assert!(at_basin <= by_drains + inflow.m3s() + 1e-12 && at_basin >= by_drains - inflow.m3s() - 1e-12);
        }
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
        // groundwater stands above the tight layer
        deep.table_ft = (deep.table_ft - feet).max(deep.tight_ft.map_or(0.0, |tight| tight + 0.05));
        let (deep, now) = (deep.design().storm.groundwater, &design.storm.groundwater);
        prop_assert!(deep.flow <= now.flow * (1.0 + 1e-9), "{:?} {:?}", deep.flow, now.flow);
        prop_assert!(deep.high <= now.high * (1.0 + 1e-9));
        // a higher float holds the water of as much flow no lower; groundwater that no longer starts the pump comes no more
        let mut high = yard.clone();
        high.on_in += 4.0;
        let high = high.design();
        let as_much = |drain: &&DrainResult| self::drain(&high, &drain.name).flow >= drain.flow * (1.0 - 1e-12);
        for drain in design.way_in.drains.iter().filter(as_much) {
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
