//! Bad site files, one mistake each (and one with ten): a clear message with its place, and what to write instead.
//!
//! Each file in `tests/bad/` is read, and what is said about it is a snapshot beside it in `tests/snapshots/`.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test fails by panicking"
)]

#[path = "support/folder.rs"]
mod support;

use std::fs;
use std::path::{Path, PathBuf};
use sumpwright::design::design;
use sumpwright::report::problems::{self, Look};
use sumpwright::site::{self, Severity};
use support::{Folder, toml_files};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bad")
}

fn files() -> Vec<PathBuf> {
    toml_files(&folder())
}

/// What is said of a file, and whether it can be used.
fn said(path: &Path) -> (String, bool) {
    // the program refuses what is not UTF-8 before it comes here; the reader must stand it all the same
    let text = String::from_utf8_lossy(&fs::read(path).unwrap()).into_owned();
    let reading = site::read(&text, &Folder(folder()));
    let name = path.file_name().unwrap().to_string_lossy().into_owned();
    let plain = problems::render(&reading.problems, &name, &text, Look::default());
    let errors = reading.problems.iter().any(|problem| problem.severity == Severity::Error);
    assert_eq!(reading.site.is_none(), errors, "{name}: a site if and only if there is no error");
    match &reading.site {
        Some(site) => match design(site) {
            Ok(_) => (plain, true),
            Err(error) => (format!("{plain}error: {error}\n"), false),
        },
        None => (plain, false),
    }
}

#[test]
fn regress_every_bad_file_has_its_message() {
    let files = files();
    assert!(files.len() >= 240, "only {} files", files.len());
    for path in files {
        let (text, usable) = said(&path);
        let stem = path.file_stem().unwrap().to_string_lossy().into_owned();
        let ending = if usable { "(can be used)" } else { "(cannot be used)" };
        insta::with_settings!({ prepend_module_to_snapshot => false, omit_expression => true }, {
            insta::assert_snapshot!(format!("bad/{stem}"), format!("{text}{ending}"));
        });
    }
}

#[test]
fn identity_every_bad_file_says_something_with_a_place_or_about_the_whole() {
    for path in files() {
        let text = String::from_utf8_lossy(&fs::read(&path).unwrap()).into_owned();
        let reading = site::read(&text, &Folder(folder()));
        assert!(!reading.problems.is_empty(), "{}: nothing said", path.display());
        for problem in &reading.problems {
            if let Some(span) = &problem.span {
                assert!(span.start <= span.end && span.end <= text.len(), "{}: {problem:?}", path.display());
                assert!(
                    text.is_char_boundary(span.start) && text.is_char_boundary(span.end),
                    "{}: {problem:?}",
                    path.display()
                );
            }
        }
    }
}

#[test]
fn identity_ten_mistakes_are_reported_in_one_run() {
    let text = fs::read_to_string(folder().join("ten-mistakes.toml")).unwrap();
    let reading = site::read(&text, &Folder(folder()));
    let errors = reading.problems.iter().filter(|problem| problem.severity == Severity::Error).count();
    assert_eq!(errors, 10, "{:#?}", reading.problems);
}

#[test]
fn identity_a_replacement_makes_its_problem_vanish() {
    for path in files() {
        let text = String::from_utf8_lossy(&fs::read(&path).unwrap()).into_owned();
        for problem in site::read(&text, &Folder(folder())).problems {
            let (Some(span), Some(replacement)) = (&problem.span, &problem.replacement) else { continue };
            let mut mended = text.clone();
            mended.replace_range(span.clone(), replacement);
            let left = site::read(&mended, &Folder(folder())).problems;
            assert!(
                !left.iter().any(|other| other.kind == problem.kind && other.message == problem.message),
                "{}: `{replacement}` does not mend {problem:?}",
                path.display()
            );
        }
    }
}
