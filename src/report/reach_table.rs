//! How long the run may be, as CSV: one line a case, units in the heads.

use crate::design::Delivered;
use crate::quantity::{Flow, Head, Length, UnitSystem};
use crate::questions::reach::{Case, Extent, Margin, Reach};

/// The table as CSV. An empty cell says that there is no such number; `tried` that longer runs may do.
pub fn reach_csv(reach: &Reach) -> String {
    let us = reach.units == UnitSystem::Us;
    let (length, flow) = if us { ("ft", "gpm") } else { ("m", "L/s") };
    let heads = [
        "pump".to_owned(),
        "material".to_owned(),
        "size".to_owned(),
        "as drawn".to_owned(),
        format!("lift ({length})"),
        "done".to_owned(),
        format!("from ({length})"),
        format!("longest run ({length})"),
        format!("longest run with the pump worn ({length})"),
        format!("flow half-way ({flow})"),
        format!("flow at the off level ({flow})"),
        format!("to spare ({length})"),
        format!("outlet over the off level ({length})"),
    ];
    let lengths = |value: Length| format!("{:.2}", if us { value.ft() } else { value.m() });
    let heights = |value: Head| format!("{:.3}", if us { value.ft() } else { value.m() });
    let flows = |value: Flow| format!("{:.4}", if us { value.gpm() } else { value.ls() });
    let delivered = |value: Option<Delivered>| match value {
        Some(Delivered::NotKnown) | None => String::new(),
        Some(known) => flows(known.at_least()),
    };
    let cells = |case: &Case| {
        let words = |value: Option<Length>| value.map_or_else(String::new, lengths);
        vec![
            case.pump.clone(),
            case.material.clone(),
            case.size.clone(),
            if case.pipe_as_drawn && case.lift_as_drawn { "1" } else { "0" }.to_owned(),
            heights(case.lift),
            match case.extent {
                Extent::Never { .. } => "never",
                Extent::UpTo { .. } => "up to",
                Extent::AnyLength { .. } => "tried",
            }
            .to_owned(),
            words(case.extent.from()),
            words(case.extent.longest()),
            words(case.worn.as_ref().and_then(Extent::longest)),
            delivered(case.half_way),
            delivered(case.off),
            match case.margin {
                Some(Margin::Spare(length) | Margin::AtLeast(length)) => lengths(length),
                Some(Margin::Short(length)) => format!("-{}", lengths(length)),
                Some(Margin::Never | Margin::TooShort) | None => String::new(),
            },
            case.outlet.map_or_else(String::new, |outlet| heights(Head::from_m(outlet.m()))),
        ]
    };
    let mut writer = csv::Writer::from_writer(Vec::new());
    // writing to memory cannot fail, and all lines have as many cells as there are heads
    let _ = writer.write_record(&heads);
    for case in &reach.cases {
        let _ = writer.write_record(cells(case));
    }
    writer.into_inner().map_or_else(|_| String::new(), |bytes| String::from_utf8_lossy(&bytes).into_owned())
}
