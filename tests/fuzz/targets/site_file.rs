//! Any text as a site file, and as a price list.
#![no_main]

use libfuzzer_sys::{fuzz_mutator, fuzz_target};
use sumpwright::quantity::UnitSystem;
use sumpwright::report::problems::{Look, render};
use sumpwright::site::{Problem, price_list, read};
use sumpwright_fuzz::{assert_numbers, assert_plain, mutate, site_files, whole_job, within_limits};

/// Problems lie in the text, on whole letters, and are shown without anything a terminal would obey.
fn look(problems: &[Problem], text: &str, name: &str, input: &str) {
    for problem in problems {
        for place in problem.span.iter().chain(problem.also.iter().map(|(place, _)| place)) {
            assert!(text.get(place.clone()).is_some(), "{problem:?} lies outside the text of {} bytes", text.len());
        }
        assert!(!problem.message.is_empty(), "{problem:?}");
    }
    assert!(problems.iter().all(|problem| problem.kind.id() != "internal"), "{problems:#?}");
    let shown = render(problems, name, text, Look::default());
    assert_plain(&shown, "a list of problems");
    assert_numbers(&shown, input, "a list of problems");
}

fuzz_target!(|data: &[u8]| {
    let input = String::from_utf8_lossy(data);
    within_limits(|| {
        let (text, files) = site_files::parts(&input);
        let reading = read(text, &files);
        assert_eq!(reading.site.is_some(), !reading.problems.iter().any(Problem::is_error));
        look(&reading.problems, text, "yard.toml", &input);
        // one more reading of each input, so that what one takes is seen
        if text.len() % 2 == 0 {
            let again = read(text, &files);
            assert_eq!(reading.problems, again.problems);
            assert_eq!(format!("{:?}", reading.site), format!("{:?}", again.site));
        } else {
            let list = price_list(text, UnitSystem::Metric);
            look(&list.problems, text, "prices.toml", &input);
        }
    });
});

fuzz_mutator!(|data: &mut [u8], size: usize, max_size: usize, seed: u32| {
    mutate::site(data, size, max_size, seed, whole_job::EXAMPLES)
});
