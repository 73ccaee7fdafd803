//! The schemas of the site file and of the price list against the reader: what the reader takes they take, and what is
//! wrong with a value by itself they refuse.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test fails by panicking"
)]

#[path = "support/folder.rs"]
mod support;

use jsonschema::Validator;
use serde_json::{Value, json};
use std::fs;
use std::path::{Path, PathBuf};
use sumpwright::quantity::UnitSystem;
use sumpwright::site::{self, Problem, ProblemKind};
use support::{Folder, toml_files};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn validator(schema: &str) -> Validator {
    jsonschema::draft7::new(&serde_json::from_str(schema).unwrap()).unwrap()
}

/// A TOML text as JSON, where it is one.
fn as_json(text: &str) -> Option<Value> {
    let table: toml::Table = toml::from_str(text).ok()?;
    serde_json::to_value(table).ok()
}

fn problems(text: &str, folder: &Path) -> Vec<Problem> {
    site::read(text, &Folder(folder.to_owned())).problems.into_iter().filter(Problem::is_error).collect()
}

fn files(folder: &str) -> Vec<PathBuf> {
    toml_files(&root().join(folder))
}

/// Whether a problem is one of a value by itself, which the schema has to see as well.
fn is_of_one_value(problem: &Problem) -> bool {
    match problem.kind {
        ProblemKind::WrongType | ProblemKind::BareNumber => true,
        // prices have names of one's own, and the reader guesses which of them are slips
        ProblemKind::UnknownKey => !problem.message.contains("`prices.\""),
        // a word of the few that the key declares, not a name in a table
        ProblemKind::UnknownChoice => problem.message.contains(" cannot be "),
        // a key that is always needed, not one of several that would do, as rain or an inflow
        ProblemKind::MissingKey => {
            problem.message.ends_with(" is missing") && problem.message != "the table `[rain]` is missing"
        }
        _ => false,
    }
}

/// How the schema and the reader differ over a file, where they do.
fn disagreement(valid: bool, found: &[Problem]) -> Option<String> {
    match found.iter().find(|problem| is_of_one_value(problem)) {
        Some(problem) if valid => Some(format!("the schema takes it, the reader says: {}", problem.message)),
        _ if !valid && found.is_empty() => Some("the schema alone refuses it".to_owned()),
        _ => None,
    }
}

fn fresh(name: &str, made: &str) {
    let path = root().join("docs").join(name);
    if std::env::var_os("SUMPWRIGHT_BLESS").is_some() {
        fs::write(&path, made).unwrap();
    }
    let kept = fs::read_to_string(&path).unwrap_or_default();
    assert!(kept == made, "docs/{name} is stale: run the tests with SUMPWRIGHT_BLESS=1");
}

#[test]
fn identity_the_shipped_schemas_are_fresh() {
    fresh("site-file.schema.json", &site::schema());
    fresh("price-list.schema.json", &site::price_list_schema());
}

/// The schema of schemas, draft 7 of JSON Schema, is shipped with the validator.
#[test]
fn published_the_schemas_are_schemas() {
    for schema in [site::schema(), site::price_list_schema()] {
        let schema: Value = serde_json::from_str(&schema).unwrap();
        if let Err(error) = jsonschema::draft7::meta::validate(&schema) {
            panic!("{error} at {}", error.instance_path());
        }
    }
}

#[test]
fn identity_what_the_reader_takes_the_schema_takes() {
    let validator = validator(&site::schema());
    let mut seen = 0;
    for path in ["examples", "tests/bad", "tests/cases"].iter().flat_map(|folder| files(folder)) {
        let text = String::from_utf8_lossy(&fs::read(&path).unwrap()).into_owned();
        let Some(json) = as_json(&text).filter(|_| problems(&text, path.parent().unwrap()).is_empty()) else {
            continue;
        };
        seen += 1;
        if let Err(error) = validator.validate(&json) {
            panic!("{}: {error} at {}", path.display(), error.instance_path());
        }
    }
    assert!(seen > 30, "only {seen} files");
}

#[test]
fn identity_what_is_wrong_by_itself_both_refuse() {
    let validator = validator(&site::schema());
    let mut refused = 0;
    let mut wrong = Vec::new();
    for path in files("tests/bad") {
        let text = String::from_utf8_lossy(&fs::read(&path).unwrap()).into_owned();
        let Some(json) = as_json(&text) else { continue };
        let found = problems(&text, path.parent().unwrap());
        let valid = validator.is_valid(&json);
        if found.iter().any(is_of_one_value) {
            refused += 1;
        }
        wrong.extend(disagreement(valid, &found).map(|said| format!("{}: {said}", path.display())));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(refused > 50, "only {refused} files");
}

/// The values of a file with their paths, tables and lists among them.
fn places(value: &Value, at: &str, found: &mut Vec<String>) {
    match value {
        Value::Object(members) => {
            for (name, inner) in members {
                let at = format!("{at}/{}", name.replace('~', "~0").replace('/', "~1"));
                found.push(at.clone());
                places(inner, &at, found);
            }
        }
        Value::Array(items) => {
            for (index, inner) in items.iter().enumerate() {
                let at = format!("{at}/{index}");
                found.push(at.clone());
                places(inner, &at, found);
            }
        }
        _ => {}
    }
}

/// Every value of the examples is replaced by one of every other sort.
#[test]
fn identity_a_value_of_another_sort_both_refuse_or_take() {
    let validator = validator(&site::schema());
    let others =
        [json!(true), json!(-7), json!(3.5), json!("word"), json!("12"), json!([]), json!(["word"]), json!({})];
    let mut wrong = Vec::new();
    for path in files("examples") {
        let text = fs::read_to_string(&path).unwrap();
        let whole = as_json(&text).unwrap();
        let mut all = Vec::new();
        places(&whole, "", &mut all);
        for at in all {
            for other in &others {
                let mut changed = whole.clone();
                *changed.pointer_mut(&at).unwrap() = other.clone();
                let text = toml::to_string(&changed).unwrap();
                let found = problems(&text, path.parent().unwrap());
                let valid = validator.is_valid(&changed);
                let name = path.file_name().unwrap().to_string_lossy();
                wrong.extend(disagreement(valid, &found).map(|said| format!("{name}: {at} = {other}: {said}")));
            }
        }
    }
    assert!(wrong.is_empty(), "{} of them:\n{}", wrong.len(), wrong.join("\n"));
}

/// Every example that the schema gives is one by its own part of the schema.
#[test]
fn identity_the_examples_in_the_schema_are_examples() {
    fn walk(schema: &Value, seen: &mut usize) {
        if let Some(examples) = schema.get("examples").and_then(Value::as_array) {
            let validator = jsonschema::draft7::new(schema).unwrap();
            for example in examples {
                *seen += 1;
                assert!(validator.is_valid(example), "{example} by {schema}");
            }
        }
        for (name, inner) in schema.as_object().into_iter().flatten() {
            match inner {
                Value::Object(_) => walk(inner, seen),
                Value::Array(items) if name != "examples" => items.iter().for_each(|item| walk(item, seen)),
                _ => {}
            }
        }
    }
    for (schema, least) in [(site::schema(), 300), (site::price_list_schema(), 30)] {
        let mut seen = 0;
        walk(&serde_json::from_str(&schema).unwrap(), &mut seen);
        assert!(seen > least, "only {seen} examples");
    }
}

#[test]
fn identity_price_lists_likewise() {
    let validator = validator(&site::price_list_schema());
    let list = |text: &str| -> Vec<Problem> {
        site::price_list(text, UnitSystem::Us).problems.into_iter().filter(Problem::is_error).collect()
    };
    for (text, good) in [
        ("format = 1\n", true),
        (
            "format = 1\n[prices]\nenergy_per_kWh = 0.18\nbasin = { \"24 in\" = 310 }\n\"two men and a digger\" = 900\n",
            true,
        ),
        ("[takeoff]\n", true),
        ("[prices]\nenergy_per_kWh = \"0.18\"\n", false),
        ("[prices]\nbasin = { \"24 in\" = -1 }\n", false),
        ("[prices]\n\"two men and a digger\" = true\n", false),
        ("[basin]\n", false),
        ("prices = 3\n", false),
    ] {
        assert_eq!(list(text).is_empty(), good, "{text}: {:#?}", list(text));
        assert_eq!(validator.is_valid(&as_json(text).unwrap()), good, "{text}");
    }
}
