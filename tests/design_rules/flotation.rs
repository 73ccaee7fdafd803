//! Whether the empty basin stays down.

use crate::given::{MEADOW, cure_with, cures, design_with, finding, first_number, message, number_after, says};
use approx::assert_relative_eq;
use sumpwright::design::{Design, Severity};

const COLLAR: &str = "collar = { width = \"8 in\", thickness = \"12 in\" }\n";

fn with(weight: &str, collar: &str) -> Design {
    design_with(MEADOW, &[("weight = \"95 lb\"\n", weight), (COLLAR, collar)])
}

#[test]
fn identity_a_basin_without_weight_is_not_judged() {
    let bare = [("weight = \"95 lb\"\n", ""), (COLLAR, ""), ("outside_diameter = \"31 in\"\n", "")];
    let design = design_with(MEADOW, &bare);
    // it stands in groundwater every wet season
    assert_eq!(finding(&design, "flotation-not-judged").severity, Severity::Stop);
    assert!(!says(&design, "basin-floats"));
    // where it does not, the verdict says that it is not judged
    let table = ("seasonal_high = \"48.3 ft\"\ntight_layer = \"41.0 ft\"", "seasonal_high = \"43.2 ft\"");
    let lower = design_with(MEADOW, &[bare[0], bare[1], bare[2], table]);
    assert_eq!(finding(&lower, "flotation-not-judged").severity, Severity::Caution);
    let said = |design: &Design| {
        let mut sentences = design.verdict.sentences.iter().map(|sentence| sentence.say(design.units));
        sentences.any(|sentence| sentence.contains("stays in the ground is not judged"))
    };
    assert!(said(&lower) && !said(&design_with(MEADOW, &[table])));
    // holes in its wall let the water in
    let holes = ("floor = \"44.00 ft\"", "floor = \"44.00 ft\"\nperforated = true");
    assert!(!says(&design_with(MEADOW, &[bare[0], bare[1], bare[2], holes]), "flotation-not-judged"));
    assert!(!says(&design_with(MEADOW, &[bare[1], holes]), "basin-floats"));
    assert!(says(&design_with(MEADOW, &[bare[1]]), "basin-floats"));
    // what it is told to enter, one by one
    let entered =
        |more: &'static str| design_with(MEADOW, &[bare[0], bare[1], ("outside_diameter = \"31 in\"\n", more)]);
    for more in ["weight = \"95 lb\"\n", "outside_diameter = \"31 in\"\n", "flange = \"40 in\"\n", COLLAR] {
        assert!(!says(&entered(more), "flotation-not-judged"), "{more}");
    }
    // ground that never fills, where groundwater stands lower too
    let low = ("seasonal_high = \"48.3 ft\"\ntight_layer = \"41.0 ft\"", "seasonal_high = \"43.2 ft\"");
    let dry = ("outside_diameter = \"31 in\"\n", "water_outside = \"43.3 ft\"\n");
    assert!(!says(&design_with(MEADOW, &[bare[0], bare[1], dry, low]), "flotation-not-judged"));
    assert!(says(&entered("water_outside = \"43.3 ft\"\n"), "flotation-not-judged"));
    // the ring that it names holds it
    let cure = cure_with(&design, "flotation-not-judged", "ring of concrete");
    let ring = format!("collar = {{ width = \"{} in\", thickness = \"12 in\" }}\n", number_after(&cure, "level, "));
    let cured = design_with(MEADOW, &[bare[0], bare[1], ("outside_diameter = \"31 in\"\n", &ring)]);
    for id in ["flotation-not-judged", "basin-floats", "flotation-margin-small"] {
        assert!(!says(&cured, id), "{id}: {cure}");
    }
}

#[test]
fn identity_the_ring_printed_holds_a_floating_basin() {
    let design = with("weight = \"95 lb\"\n", "");
    assert_eq!(finding(&design, "basin-floats").severity, Severity::Stop);
    assert!(!says(&design, "flotation-margin-small") && !design.holds());
    let cure = cure_with(&design, "basin-floats", "ring of concrete");
    assert!(cure.starts_with("a ring"), "{cure}");
    let width = number_after(&cure, "level, ");
    let ring = |width: f64| {
        with("weight = \"95 lb\"\n", &format!("collar = {{ width = \"{width} in\", thickness = \"12 in\" }}\n"))
    };
    assert!(!says(&ring(width), "basin-floats") && !says(&ring(width), "flotation-margin-small"), "{cure}");
    assert!(says(&ring(width - 0.15), "flotation-margin-small"), "{cure}");
    // as much concrete as it says
    let volume =
        std::f64::consts::PI / 4.0 * ((31.0 + 2.0 * width) * (31.0 + 2.0 * width) - 31.0 * 31.0) * 12.0 / 1728.0;
    assert_relative_eq!(number_after(&cure, "thick ("), volume, max_relative = 0.06);
    // a narrow one is replaced, not added to
    let narrow = with("weight = \"95 lb\"\n", "collar = { width = \"1 in\", thickness = \"3 in\" }\n");
    let cure = cures(&narrow, "basin-floats").into_iter().find(|cure| cure.contains("ring of concrete")).unwrap();
    assert!(cure.starts_with("in place of the collar"), "{cure}");
    assert_relative_eq!(number_after(&cure, "level, "), width, epsilon = 1e-9);
}

#[test]
fn identity_the_concrete_printed_holds_a_floating_basin() {
    for weight in ["weight = \"95 lb\"\n", "weight = \"400 lb\"\n", "weight = \"1100 lb\"\n", "weight = \"1190 lb\"\n"]
    {
        let design = with(weight, "");
        let id = if says(&design, "basin-floats") { "basin-floats" } else { "flotation-margin-small" };
        let cure = cure_with(&design, id, "fast to the basin");
        let volume = first_number(&cure);
        let poured = |volume: f64| with(weight, &format!("collar = {{ volume = \"{volume} ft3\" }}\n"));
        for id in ["basin-floats", "flotation-margin-small"] {
            assert!(!says(&poured(volume), id), "{id}: {cure}");
        }
        // it is rounded up in its second figure
        assert!(
            says(&poured(volume * 0.89), "flotation-margin-small") || says(&poured(volume * 0.89), "basin-floats"),
            "{cure}"
        );
        // bags of 0.6 ft3
        let bags = number_after(&cure, "basin, ");
        assert!(bags * 0.6 >= volume - 1e-9 && bags * 0.6 < volume + 0.6, "{cure}");
        assert_eq!(cure.contains(" bags of "), bags > 1.0, "{cure}");
    }
}

#[test]
fn identity_more_concrete_adds_to_what_is_there() {
    let with_volume =
        |volume: f64| with("weight = \"95 lb\"\n", &format!("collar = {{ volume = \"{volume} ft3\" }}\n"));
    let design = with_volume(3.0);
    let more = first_number(&cure_with(&design, "basin-floats", "more of concrete"));
    assert!(
        !says(&with_volume(3.0 + more), "basin-floats") && !says(&with_volume(3.0 + more), "flotation-margin-small")
    );
    // no ring is offered in place of concrete poured another way
    assert!(!cures(&design, "basin-floats").iter().any(|cure| cure.contains("ring")));
}

#[test]
fn identity_a_small_margin_is_a_caution_with_the_same_cures() {
    let design = with("weight = \"2000 lb\"\n", "");
    assert_eq!(finding(&design, "flotation-margin-small").severity, Severity::Caution);
    assert!(!says(&design, "basin-floats"));
    let width = number_after(&cure_with(&design, "flotation-margin-small", "ring of concrete"), "level, ");
    let ring = |width: f64| {
        with("weight = \"2000 lb\"\n", &format!("collar = {{ width = \"{width} in\", thickness = \"12 in\" }}\n"))
    };
    assert!(!says(&ring(width), "flotation-margin-small"));
    // a narrower one would do, but nobody pours it
    assert_relative_eq!(width, 3.0, epsilon = 1e-9);
    assert!(says(&ring(1.0), "flotation-margin-small"));
    // it does not lift, so nothing is said of water to be kept in it
    assert!(!cures(&design, "flotation-margin-small").iter().any(|cure| cure.contains("keep water in it")));
}

#[test]
fn identity_below_the_level_printed_it_does_not_lift() {
    let design = with("weight = \"95 lb\"\n", "");
    let level = number_after(&cure_with(&design, "basin-floats", "keep water in it"), "stand above ");
    let low = ("seasonal_high = \"48.3 ft\"\ntight_layer = \"41.0 ft\"", "seasonal_high = \"43.2 ft\"");
    let water = |feet: f64| {
        let outside = format!("weight = \"95 lb\"\nwater_outside = \"{feet} ft\"\n");
        design_with(MEADOW, &[("weight = \"95 lb\"\n", &outside), (COLLAR, ""), low])
    };
    assert!(!says(&water(level - 0.01), "basin-floats"), "{level}");
    assert!(says(&water(level + 0.01), "basin-floats"), "{level}");
    assert!(message(&water(level + 0.01), "basin-floats").contains("(entered)"));
    assert!(message(&design, "basin-floats").contains("(water up to the ground)"));
    // what was entered does not hide the water that the ground would hold in a storm
    let rests = water(level - 0.01);
    assert_eq!(finding(&rests, "flotation-rests-on-water-level").severity, Severity::Caution);
    assert!(!says(&design_with(MEADOW, &[]), "flotation-rests-on-water-level"));
    // nor groundwater that stands higher
    let outside = format!("weight = \"95 lb\"\nwater_outside = \"{} ft\"\n", level - 0.01);
    let table = design_with(MEADOW, &[("weight = \"95 lb\"\n", &outside), (COLLAR, "")]);
    assert!(says(&table, "basin-floats"));
    assert!((table.flotation.water.ft() - 48.3).abs() < 1e-9);
    assert!(message(&table, "basin-floats").contains("(groundwater)"));
}

#[test]
fn identity_a_collar_of_another_volume_than_its_ring_is_named() {
    let collar = |volume: &str| {
        with("weight = \"95 lb\"\n", &format!("collar = {{ width = \"8 in\", thickness = \"12 in\"{volume} }}\n"))
    };
    let design = collar(", volume = \"12 ft3\"");
    assert_eq!(finding(&design, "collar-contradicts-itself").severity, Severity::Caution);
    let right = number_after(&message(&design, "collar-contradicts-itself"), "this basin has ");
    assert!(!says(&collar(&format!(", volume = \"{right} ft3\"")), "collar-contradicts-itself"));
    // left out
    assert!(!says(&collar(""), "collar-contradicts-itself"));
}

#[test]
fn identity_nothing_rests_on_a_water_level_where_it_holds_in_full_ground() {
    let low = ("seasonal_high = \"48.3 ft\"\ntight_layer = \"41.0 ft\"", "seasonal_high = \"43.2 ft\"");
    let water = ("weight = \"95 lb\"\n", "weight = \"95 lb\"\nwater_outside = \"44.2 ft\"\n");
    // with the collar it holds whatever the water does
    let held = design_with(MEADOW, &[low, water]);
    assert!(held.flotation.uplift_when_full.is_none() && held.flotation.lifts_at.is_none());
    assert!(!says(&held, "flotation-rests-on-water-level"));
    // without it the full ground lifts it with all that it lifts where no level is entered
    let light = design_with(MEADOW, &[low, water, (COLLAR, "")]);
    let full = design_with(MEADOW, &[low, (COLLAR, "")]);
    assert!(says(&light, "flotation-rests-on-water-level"));
    assert_relative_eq!(
        light.flotation.uplift_when_full.unwrap().n(),
        full.flotation.result.uplift.n(),
        max_relative = 1e-9
    );
}
