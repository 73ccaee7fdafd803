//! The sheets of examples with their figures changed at random: no panic, nothing that is no number, and every printed
//! depth still that of the design.

use crate::figures::{numbers, with_figures};
use crate::read_back::check_crew;
use crate::{Made, text_of};
use proptest::prelude::*;
use sumpwright::design::design;
use sumpwright::job::job;
use sumpwright::quantity::UnitSystem;
use sumpwright::report::papers::Paper;
use sumpwright::site::{self, NoFiles};

fn sheets(text: &str) -> Result<(), TestCaseError> {
    let Some(mut site) = site::read(text, &NoFiles).site else { return Ok(()) };
    for units in [UnitSystem::Us, UnitSystem::Metric] {
        site.units = units;
        let Ok(design) = design(&site) else { return Ok(()) };
        let job = job(&site, &design);
        let made = Made { site: site.clone(), design, job };
        for paper in [Paper::Crew, Paper::StartUp, Paper::Electrical] {
            let said = made.paper(paper);
            for bad in ["NaN", "\u{2014}", " inf ", "inf s"] {
                prop_assert!(!said.contains(bad), "{bad:?} in\n{said}\nof\n{text}");
            }
        }
        check_crew(&made);
        if let Some(expected) = &made.design.start_up {
            let time = expected.run.time;
            prop_assert!(
                time.low.is_none_or(|low| low <= time.value) && time.high.is_none_or(|high| high >= time.value)
            );
            prop_assert!(time.value.s() > 0.0);
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn identity_sheets_of_any_yard(
        pick in 0_usize..4,
        changes in prop::collection::vec((0_usize..1000, 0.5..2.0_f64), 1..4),
    ) {
        let text = text_of(["cut-bank", "courtyard-metric", "two-pumps", "heavy-clay"][pick]);
        prop_assert!(!numbers(&text, true).is_empty());
        sheets(&with_figures(&text, &changes, true))?;
    }
}
