//! What an electrician is told and asked.

use super::Sources;
use super::document::{Cell, Document, Part, Table};
use super::tape::{station, tape};
use crate::hydraulics::Surface;
use crate::job::{COVER_SOURCE, Electrical, Motor};
use crate::quantity::{Amount, Length, UnitSystem};
use crate::report::layout::Align;

pub(super) fn electrical(sources: Sources<'_>) -> Document {
    let units = sources.site.units;
    let supply = &sources.job.electrical;
    let mut parts = vec![Part::Cautions(vec![
        "Electricity and water kill. Wire, circuit, protection, disconnect, depth and every connection are for a licensed electrician under the local code; nothing here chooses them."
            .to_owned(),
        "Unplug or lock off the pump before anybody reaches into the water: a float can start it.".to_owned(),
    ])];
    parts.push(Part::Heading("What is known".to_owned()));
    parts.push(Part::Pairs(known(supply, units)));
    for motor in &supply.motors {
        parts.extend(of_motor(supply, motor, units));
    }
    parts.extend(trench(supply, units));
    parts.push(Part::Heading("Questions to the electrician".to_owned()));
    parts.push(Part::Ticks(questions(supply)));
    Document {
        title: "Electrical page".to_owned(),
        about: Some(sources.site.title.clone()),
        lead: "For the estimate: what the pump draws, what each size of wire loses on the way to it, and what has to be asked. All else is left to the code and to a licensed electrician."
            .to_owned(),
        parts,
    }
}

fn length(length: Length, units: UnitSystem) -> String {
    Amount::of(length).show(units)
}

fn amperes(current: f64) -> String {
    if current < 99.95 { format!("{current:.1} A") } else { format!("{current:.0} A") }
}

fn known(supply: &Electrical, units: UnitSystem) -> Vec<(String, Cell)> {
    let unit = if units == UnitSystem::Us { "ft" } else { "m" };
    vec![
        (
            "one way, from the panel to the pump".to_owned(),
            Cell::or_blank(supply.distance.map(|distance| length(distance, units)), unit),
        ),
        ("wire entered".to_owned(), Cell::or_blank(supply.wire.map(|wire| wire.name.to_owned()), "")),
        ("circuit entered".to_owned(), Cell::or_blank(supply.circuit_amps.map(|amps| format!("{amps:.0} A")), "A")),
        ("pumps installed".to_owned(), Cell::said(supply.pumps.to_string())),
    ]
}

fn of_motor(supply: &Electrical, motor: &Motor, units: UnitSystem) -> Vec<Part> {
    let starting = motor.starting_amps.map(|(least, most)| {
        if motor.starting_entered {
            format!("{}, as entered", amperes(most))
        } else {
            format!(
                "{} to {}: {:.0} to {:.0} times the running current, from memory; the nameplate or data sheet goes before it",
                amperes(least),
                amperes(most),
                supply.starting_times.0,
                supply.starting_times.1
            )
        }
    });
    let mut parts = vec![
        Part::Heading(format!("Pump `{}`", motor.pump)),
        Part::Pairs(vec![
            ("voltage".to_owned(), Cell::or_blank(motor.volts.map(|volts| format!("{volts:.0} V")), "V")),
            ("running current".to_owned(), Cell::or_blank(motor.running_amps.map(amperes), "A")),
            ("starting current".to_owned(), Cell::or_blank(starting, "A")),
        ]),
    ];
    if motor.drops.is_empty() {
        parts.push(Part::Text(
            "What a wire loses cannot be said without voltage and running current: read them off the nameplate and enter `volts` and `running_amps`."
                .to_owned(),
        ));
        return parts;
    }
    let percent = |share: f64| format!("{:.1} %", share * 100.0);
    let right = |name: &str| (name.to_owned(), Align::Right);
    parts.push(Part::Table(Table {
        caption: format!(
            "Lost on the wire over {} one way{}:",
            length(supply.shown_for, units),
            if supply.distance.is_some() { "" } else { ", for want of the distance; running it grows in proportion" }
        ),
        columns: vec![
            ("copper".to_owned(), Align::Left),
            right("both wires (ohm)"),
            right("running (V)"),
            right("of the voltage"),
            right("at the start (V)"),
            right("of the voltage"),
            ("keeps to both limits".to_owned(), Align::Left),
        ],
        rows: motor
            .drops
            .iter()
            .map(|drop| {
                vec![
                    Cell::said(drop.wire.name),
                    Cell::said(format!("{:.3}", drop.both_ways_ohm)),
                    Cell::said(format!("{:.1}", drop.running_volts)),
                    Cell::said(percent(drop.running_share)),
                    Cell::said(format!("{:.1}", drop.starting_volts)),
                    Cell::said(percent(drop.starting_share)),
                    Cell::said(if drop.keeps { "yes" } else { "no" }),
                ]
            })
            .collect(),
    }));
    parts.push(Part::Text(format!(
        "Limits: {} running ({}), {} at the start ({}). Copper at 75 C, two wires, resistance only; reactance, joints and other load on the circuit are left out. A wire that loses little may still be too thin for its circuit, its insulation or the code{}.",
        percent(supply.running_limit.0),
        supply.running_limit.1,
        percent(supply.starting_limit.0),
        supply.starting_limit.1,
        if supply.together { ". Each pump is taken to have a wire of its own" } else { "" }
    )));
    parts
}

fn surface(surface: Option<Surface>) -> &'static str {
    match surface {
        Some(Surface::Lawn) => "lawn",
        Some(Surface::Walk) => "a walk",
        Some(Surface::Drive) => "a drive",
        Some(Surface::Bare) => "a bed or bare ground",
        None => "what was not said",
    }
}

fn trench(supply: &Electrical, units: UnitSystem) -> Vec<Part> {
    let unit = if units == UnitSystem::Us { "ft" } else { "m" };
    let mut parts = vec![
        Part::Heading("Trench for the wire".to_owned()),
        Part::Table(Table {
            caption: format!("Least cover by the way it is laid ({COVER_SOURCE}), with the length of trench:"),
            columns: vec![
                ("laid as".to_owned(), Align::Left),
                ("least cover".to_owned(), Align::Right),
                ("trench, at the most".to_owned(), Align::Right),
            ],
            rows: supply
                .covers
                .iter()
                .map(|cover| {
                    vec![
                        Cell::said(cover.laid),
                        Cell::said(tape(cover.cover, units)),
                        Cell::or_blank(cover.length.map(|along| length(along, units)), unit),
                    ]
                })
                .collect(),
        }),
        Part::Text(
            "The trench is as long as the way at the most: what runs inside the house or along a wall is less. Under a drive, and along or across other lines, the code asks for more. Call before you dig."
                .to_owned(),
        ),
    ];
    if !supply.line_trench.is_empty() {
        let pieces: Vec<String> = supply
            .line_trench
            .iter()
            .map(|(over, along)| format!("{} {unit} under {}", station(*along, units), surface(*over)))
            .collect();
        parts.push(Part::Text(format!(
            "If the wire may lie in the trench of the discharge line, that one is there: {}. Whether it may, and how far apart, the code and the electrician say.",
            pieces.join(", ")
        )));
    }
    parts
}

fn questions(supply: &Electrical) -> Vec<String> {
    let mut ask = Vec::new();
    if supply.distance.is_none() {
        ask.push("How far is it one way, along the wire, from the panel to the pump?".to_owned());
    }
    if supply.motors.iter().any(|motor| motor.volts.is_none() || motor.running_amps.is_none()) {
        ask.push("Voltage and running current by the nameplate?".to_owned());
    }
    if supply.motors.iter().any(|motor| !motor.starting_entered) {
        ask.push("Starting current, or the letter of its code, by the nameplate?".to_owned());
    }
    ask.push(match supply.circuit_amps {
        Some(amps) => format!("Is the circuit of {amps:.0} A for the pump alone, and enough for its start?"),
        None => "A circuit of its own: what rating?".to_owned(),
    });
    ask.push(match supply.wire {
        Some(wire) => format!("Does the code allow {} for that circuit and that way of laying it?", wire.name),
        None => "What size and kind of wire, in the ground and at the basin?".to_owned(),
    });
    if supply.together {
        ask.push(
            "Two pumps: two circuits, so that one trip does not stop both? May both start at once after a power cut?"
                .to_owned(),
        );
    }
    ask.extend(
        [
            "Ground-fault protection: of what kind, so that it protects people and does not trip at each start?",
            "Disconnect within sight of the basin? Plug or hard-wired, and where, above any water that may stand?",
            "How do cords and float cables leave the basin, so that no gas or water follows them into a box?",
            "The alarm on another circuit than the pump? Where is it heard?",
            "Permit and inspection: who applies, and what does it cost?",
            "Backup: a battery, or an inlet for a generator with its transfer switch? An engine runs outdoors only, away from doors and windows.",
            "Bonding of metal near the basin, and surge protection?",
        ]
        .map(str::to_owned),
    );
    ask
}
