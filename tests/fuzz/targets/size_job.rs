//! A site file through the whole of `size`, `papers` and `takeoff`, in every form.
#![no_main]

use libfuzzer_sys::{fuzz_mutator, fuzz_target};
use sumpwright_fuzz::{mutate, site_files, whole_job, within_limits};

fuzz_target!(|data: &[u8]| {
    let text = String::from_utf8_lossy(data);
    within_limits(|| {
        let (site, files) = site_files::parts(&text);
        whole_job::run(site, &files, &text);
    });
});

fuzz_mutator!(|data: &mut [u8], size: usize, max_size: usize, seed: u32| {
    mutate::site(data, size, max_size, seed, whole_job::EXAMPLES)
});
