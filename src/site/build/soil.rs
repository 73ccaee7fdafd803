//! The soil: texture, infiltration, hydrologic group.

use crate::catalog::{self, SoilEntry};
use crate::hydrology::{GreenAmpt, Horton};
use crate::quantity::{Amount, Intensity, Length};
use crate::site::Soil;
use crate::site::problem::{Problem, ProblemKind};
use crate::site::suggest::{echo, listed, nearest};
use crate::site::tree::Node;
use crate::site::walk::Reader;

/// How full a soil's pores are when the storm begins.
const SATURATION: f64 = 0.5;

pub(super) fn soil(reader: &mut Reader<'_>, root: &Node) -> Option<Soil> {
    let node = root.node("soil")?;
    let texture = node.text("texture");
    let entry = texture.as_deref().and_then(|name| {
        let found = catalog::soil(name);
        if found.is_none() && catalog::ground(name).is_none() {
            unknown(reader, node, name);
        }
        found
    });
    let horton = horton(reader, node);
    // a steady rate entered, or Horton's numbers, go before what the texture says
    let used = !node.has("infiltration") && horton.is_none();
    let green_ampt = green_ampt(reader, node, entry, used);
    let group = node.words("hydrologic_group").and_then(|group| group.chars().next());
    Some(Soil {
        texture,
        infiltration: node.quantity("infiltration"),
        green_ampt,
        horton,
        hydrologic_group: group.or(entry.map(|entry| entry.hydrologic_group)),
    })
}

fn unknown(reader: &mut Reader<'_>, node: &Node, name: &str) {
    // all that give a conductivity; silt gives no infiltration
    let known = catalog::ground_textures();
    let mut problem = Problem::error(
        ProblemKind::UnknownSoil,
        node.place_of("texture"),
        format!("`{}` is not a texture class in the tables", echo(name)),
    )
    .label("not known");
    problem = match nearest(name, known.iter().copied()) {
        Some(near) => problem.help(format!("did you mean `{near}`?")).replacement(format!("\"{near}\"")),
        None => problem.help(format!("the classes are {}", listed(known, "and"))),
    };
    reader.say(problem);
}

/// The numbers entered, else those of the texture.
fn green_ampt(reader: &mut Reader<'_>, node: &Node, entry: Option<&SoilEntry>, used: bool) -> Option<GreenAmpt> {
    let own = node.node("green_ampt");
    let conductivity = own.and_then(|own| own.quantity::<Intensity>("conductivity"));
    let suction = own.and_then(|own| own.quantity::<Length>("suction"));
    let deficit = own.and_then(|own| own.number("moisture_deficit"));
    let saturation = node.number("initial_saturation").unwrap_or(SATURATION);
    if own.is_some() && !used {
        not_taken(reader, node, "green_ampt", "the numbers of Green and Ampt's method");
    }
    if let Some(own) = own.filter(|own| own.has("moisture_deficit") && node.has("initial_saturation")) {
        let problem = Problem::warning(
            ProblemKind::Conflict,
            node.place_of("initial_saturation"),
            "the soil has an initial saturation and a moisture deficit, which say the same; the deficit is taken",
        )
        .label("this is not taken")
        .also(own.at("moisture_deficit"), "this is taken")
        .help("leave one of them out");
        reader.say(problem);
    }
    let Some(entry) = entry else {
        let keys = ["conductivity", "suction", "moisture_deficit"];
        let lacks = |own: &Node| keys.into_iter().filter(|key| !own.has(key)).collect::<Vec<_>>();
        // a texture that is none has been spoken of, and would give the rest
        let texture = node.words("texture");
        let mistyped = node.has("texture") && texture.is_none_or(|name| catalog::ground(name).is_none());
        if let Some(own) = own.filter(|own| !lacks(own).is_empty() && !mistyped) {
            let lacks = lacks(own);
            let gives = texture.map_or("which no `texture` gives here".to_owned(), |name| {
                format!("which the texture `{}` does not give", echo(name))
            });
            reader.error(
                ProblemKind::MissingKey,
                own.place.clone(),
                format!("Green and Ampt's method also needs {}, {gives}", listed(lacks.iter().copied(), "and")),
                &format!("has no {}", listed(lacks, "or")),
                "add what is missing, or `texture = \"silty clay loam\"` to [soil]",
            );
        }
        return Some(GreenAmpt { conductivity: conductivity?, suction: suction?, moisture_deficit: deficit? });
    };
    if used && deficit.is_none() && !node.has("initial_saturation") {
        reader.assume(
            "initial saturation of the soil",
            Amount::of(SATURATION),
            "a soil wet by earlier rain; common practice, no source",
        );
    }
    if used && conductivity.is_none() {
        reader.assume(
            "conductivity of the soil in infiltration",
            Amount::of(entry.conductivity),
            format!("{}, by its texture: {}", entry.texture, entry.source),
        );
    }
    Some(GreenAmpt {
        conductivity: conductivity.unwrap_or(entry.conductivity),
        suction: suction.unwrap_or(entry.suction),
        moisture_deficit: deficit.unwrap_or((1.0 - saturation) * entry.effective_porosity),
    })
}

fn horton(reader: &mut Reader<'_>, node: &Node) -> Option<Horton> {
    let own = node.node("horton")?;
    let horton = Horton {
        initial: own.quantity("initial")?,
        ultimate: own.quantity("ultimate")?,
        decay_time: own.quantity("decay_time")?,
    };
    if horton.initial < horton.ultimate {
        let message = format!(
            "Horton's initial rate {} is below the ultimate {}: infiltration falls as the ground gets wet",
            reader.show(horton.initial),
            reader.show(horton.ultimate)
        );
        let problem = Problem::error(ProblemKind::Conflict, own.place_of("initial"), message)
            .label("below the ultimate rate")
            .also(own.at("ultimate"), "the ultimate rate")
            .help("are the two swapped?");
        reader.say(problem);
        return None;
    }
    if node.has("infiltration") {
        not_taken(reader, node, "horton", "Horton's numbers");
    }
    Some(horton)
}

/// Warns of numbers that a steady rate, or Horton's, goes before.
fn not_taken(reader: &mut Reader<'_>, node: &Node, key: &str, what: &str) {
    let (taken, words, are) = if node.has("infiltration") {
        ("infiltration", "a steady infiltration", "the steady one is")
    } else {
        ("horton", "Horton's numbers", "Horton's are")
    };
    let message = format!("the soil has {words} and {what}; {are} taken");
    let problem = Problem::warning(ProblemKind::Conflict, node.place_of(key), message)
        .label("this is not taken")
        .also(node.at(taken), "this is taken")
        .help(format!("leave one of them out; without `{taken}` this would be taken"));
    reader.say(problem);
}
