//! Any text as the weather service's file for a point, by itself and behind `rain.file`.
#![no_main]

use libfuzzer_sys::{fuzz_mutator, fuzz_target};
use sumpwright::hydrology::{point_file_text, read_point_file};
use sumpwright::report::problems::{Look, render};
use sumpwright::site::{Problem, read};
use sumpwright_fuzz::{assert_numbers, assert_plain, mutate, site_files, within_limits};

const SITE: &str = include_str!("../rain-by-file.toml");

fuzz_target!(|data: &[u8]| {
    within_limits(|| {
        let text = point_file_text(data);
        if let Ok(file) = read_point_file(&text) {
            assert!(!file.columns.is_empty(), "a file without rain");
            for pair in file.columns.windows(2) {
                assert!(pair[0].0 < pair[1].0, "return periods out of order");
            }
            for (period, table) in &file.columns {
                assert!(period.years().is_finite() && period.years() > 0.0);
                for pair in table.points().windows(2) {
                    let falls = pair[1].1.m() < pair[0].1.m() * (1.0 - 1e-8);
                    assert!(pair[0].0 < pair[1].0 && !falls, "a longer rain with less water: {table:?}");
                }
                for (duration, depth) in table.points() {
                    assert!(duration.s() > 0.0 && duration.s().is_finite());
                    assert!(depth.m() > 0.0 && depth.m().is_finite());
                }
            }
            assert_eq!(Ok(file), read_point_file(&text));
        }
        let whole = format!("{SITE}{}{text}", site_files::BETWEEN);
        let (site, files) = site_files::parts(&whole);
        let reading = read(site, &files);
        assert_eq!(reading.site.is_some(), !reading.problems.iter().any(Problem::is_error));
        let shown = render(&reading.problems, "yard.toml", site, Look::default());
        assert_plain(&shown, "a list of problems");
        assert_numbers(&shown, &text, "a list of problems");
        if let Some(site) = reading.site {
            assert!(site.rain.storms.len() <= 20, "{} storms", site.rain.storms.len());
        }
    });
});

fuzz_mutator!(|data: &mut [u8], size: usize, max_size: usize, seed: u32| { mutate::cells(data, size, max_size, seed) });
