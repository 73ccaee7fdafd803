//! The case files.

use serde::Deserialize;
use std::collections::BTreeSet;
use std::path::Path;
use toml::{Table, Value};

/// A file of cases.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Topic {
    /// Its heading.
    pub(crate) title: String,
    /// The part of the job that it belongs to.
    pub(crate) part: Part,
    /// A sentence on what it covers.
    pub(crate) about: String,
    /// Its cases.
    #[serde(rename = "case")]
    pub(crate) cases: Vec<Case>,
}

/// The parts of the job, in the order of the page.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Part {
    /// How much water comes.
    #[serde(rename = "rain and runoff")]
    Rain,
    /// From the yard to the basin.
    #[serde(rename = "the way in")]
    WayIn,
    /// From the basin to the outlet.
    #[serde(rename = "the discharge line")]
    Line,
    /// What drives it.
    #[serde(rename = "pumps and power")]
    Pumps,
    /// What holds it.
    #[serde(rename = "basin and cycle")]
    Basin,
    /// All of it in time.
    #[serde(rename = "storms followed in time")]
    InTime,
    /// What all of it stands on.
    #[serde(rename = "units, water and tables")]
    Ground,
}

impl Part {
    /// Every part.
    pub(crate) const ALL: [Self; 7] =
        [Self::Rain, Self::WayIn, Self::Line, Self::Pumps, Self::Basin, Self::InTime, Self::Ground];
    /// The words for it.
    pub(crate) fn words(self) -> &'static str {
        match self {
            Self::Rain => "Rain and runoff",
            Self::WayIn => "The way in",
            Self::Line => "The discharge line",
            Self::Pumps => "Pumps and power",
            Self::Basin => "Basin and cycle",
            Self::InTime => "Storms followed in time",
            Self::Ground => "Units, water and tables",
        }
    }
}

/// How a case is known.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq)]
pub(crate) enum Status {
    /// Read in the publication named.
    #[serde(rename = "found")]
    Found,
    /// Recalled from the publication named.
    #[serde(rename = "from memory")]
    FromMemory,
    /// Worked out from stated inputs.
    #[serde(rename = "derived")]
    Derived,
    /// A figure that the trade uses.
    #[serde(rename = "common practice")]
    CommonPractice,
}

impl Status {
    /// The word for it.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Found => "found",
            Self::FromMemory => "from memory",
            Self::Derived => "derived",
            Self::CommonPractice => "common practice",
        }
    }
}

/// One published example, table or figure.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Case {
    pub(crate) id: String,
    pub(crate) title: String,
    pub(crate) source: String,
    pub(crate) status: Status,
    /// How the source differs from this project.
    pub(crate) convention: Option<String>,
    pub(crate) note: Option<String>,
    /// Where the print and arithmetic part, and which of them is wrong.
    pub(crate) differs: Option<String>,
    /// The function under test, unless a check names its own.
    computes: String,
    /// Published over computed, where the source uses another constant.
    ratio: Option<f64>,
    ratio_why: Option<String>,
    /// Inputs common to the checks.
    #[serde(default)]
    pub(crate) given: Table,
    #[serde(rename = "check")]
    pub(crate) checks: Vec<Check>,
}

/// One value.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Check {
    what: Option<String>,
    computes: Option<String>,
    #[serde(default)]
    pub(crate) given: Table,
    /// As the source prints it.
    pub(crate) expected: String,
    pub(crate) unit: String,
    /// In that unit, or in percent of the expected value.
    pub(crate) tolerance: String,
    pub(crate) tolerance_why: Option<String>,
    ratio: Option<f64>,
    ratio_why: Option<String>,
}

impl Check {
    /// The function under test.
    pub(crate) fn function<'a>(&'a self, case: &'a Case) -> &'a str {
        self.computes.as_deref().unwrap_or(&case.computes)
    }
    /// Published over computed.
    pub(crate) fn ratio(&self, case: &Case) -> f64 {
        self.ratio.or(case.ratio).unwrap_or(1.0)
    }
    /// Why there is a ratio of this check's own.
    pub(crate) fn own_ratio(&self) -> Option<(f64, &str)> {
        self.ratio.zip(self.ratio_why.as_deref())
    }
    /// The expected value as a number.
    pub(crate) fn expected_value(&self) -> Result<f64, String> {
        self.expected.parse().map_err(|_| format!("`{}` is not a number", self.expected))
    }
    /// The tolerance in the unit of the value.
    pub(crate) fn tolerance_value(&self) -> Result<f64, String> {
        let number =
            |text: &str| text.trim().parse::<f64>().map_err(|_| format!("`{}` is not a tolerance", self.tolerance));
        match self.tolerance.strip_suffix('%') {
            Some(percent) => Ok(number(percent)? / 100.0 * self.expected_value()?.abs()),
            None => number(&self.tolerance),
        }
    }
    /// Digits printed after the point, and the exponent.
    pub(crate) fn printed(&self) -> (usize, i32) {
        let (mantissa, exponent) = self.expected.split_once(['e', 'E']).unwrap_or((&self.expected, "0"));
        (mantissa.split_once('.').map_or(0, |(_, digits)| digits.len()), exponent.parse().unwrap_or(0))
    }
    /// Half a unit of the last digit printed.
    fn half_digit(&self) -> f64 {
        let (digits, exponent) = self.printed();
        0.5 * libm::pow(10.0, f64::from(exponent) - digits as f64)
    }
    /// What is checked, in words.
    pub(crate) fn label(&self, case: &Case) -> String {
        let mut parts: Vec<String> = self.what.iter().cloned().collect();
        if parts.is_empty() {
            parts.extend(self.given.iter().map(|(key, value)| spoken(key, value)));
        }
        let differs = self.computes.as_ref().is_some_and(|own| *own != case.computes);
        match (parts.is_empty(), differs) {
            (true, _) => self.function(case).replace('_', " "),
            (false, true) => format!("{}: {}", self.function(case).replace('_', " "), parts.join(", ")),
            (false, false) => parts.join(", "),
        }
    }
}

impl Case {
    /// The name of the function under test in words.
    pub(crate) fn computed(&self) -> String {
        self.computes.replace('_', " ")
    }
    /// The ratio common to its checks.
    pub(crate) fn common_ratio(&self) -> Option<(f64, &str)> {
        self.ratio.zip(self.ratio_why.as_deref())
    }
    /// The common inputs, in words.
    pub(crate) fn inputs(&self) -> String {
        self.given.iter().map(|(key, value)| spoken(key, value)).collect::<Vec<_>>().join(", ")
    }
    /// What is wrong with the data.
    pub(crate) fn problems(&self) -> Vec<String> {
        let mut problems = Vec::new();
        let empty = [&self.id, &self.title, &self.source, &self.computes].iter().any(|text| text.trim().is_empty());
        if empty || self.checks.is_empty() {
            problems.push(format!("{}: id, title, source, computes and a check are needed", self.id));
        }
        if self.ratio.is_some() != self.ratio_why.is_some() {
            problems.push(format!("{}: a ratio and its reason belong together", self.id));
        }
        for check in &self.checks {
            let label = check.label(self);
            let mut problem = |text: &str| problems.push(format!("{} {label}: {text}", self.id));
            match (check.expected_value(), check.tolerance_value()) {
                (Ok(expected), Ok(tolerance)) => {
                    if !expected.is_finite() || !tolerance.is_finite() || tolerance <= 0.0 {
                        problem("a number with a tolerance above zero is needed");
                    }
                    if tolerance > check.half_digit() * (1.0 + 1e-9) && check.tolerance_why.is_none() {
                        problem("the tolerance is wider than half of the last digit printed and says not why");
                    }
                }
                (Err(text), _) | (_, Err(text)) => problem(&text),
            }
            if check.ratio.is_some() != check.ratio_why.is_some() {
                problem("a ratio and its reason belong together");
            }
            if !(0.5..=2.0).contains(&check.ratio(self)) {
                problem("a ratio that far from 1 is no difference of constants");
            }
        }
        let read: BTreeSet<String> =
            self.checks.iter().flat_map(|check| crate::check::keys_read(self, check)).collect();
        let unread = self.given.keys().filter(|key| !read.contains(*key));
        problems.extend(unread.map(|key| format!("{}: the input `{key}` is not used", self.id)));
        problems
    }
}

/// A key and its value, in words.
fn spoken(key: &str, value: &Value) -> String {
    format!("{} {}", key.replace('_', " "), plain(value))
}

fn plain(value: &Value) -> String {
    match value {
        Value::String(text) => text.clone(),
        Value::Integer(number) => number.to_string(),
        Value::Float(number) => number.to_string(),
        Value::Boolean(true) => "yes".to_owned(),
        Value::Boolean(false) => "no".to_owned(),
        Value::Array(items) if items.iter().any(Value::is_array) => {
            items.iter().map(plain).collect::<Vec<_>>().join("; ")
        }
        Value::Array(items) => items.iter().map(plain).collect::<Vec<_>>().join(" "),
        Value::Datetime(time) => time.to_string(),
        Value::Table(table) => table.iter().map(|(key, value)| spoken(key, value)).collect::<Vec<_>>().join(" "),
    }
}

/// Every case file, in order of its name. A file that cannot be read fails the test that asked.
pub(crate) fn load() -> Vec<Topic> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases");
    let mut files: Vec<_> = std::fs::read_dir(&folder)
        .expect("tests/cases is there")
        .map(|entry| entry.expect("its entries can be listed").path())
        .filter(|path| path.extension().is_some_and(|extension| extension == "toml"))
        .collect();
    files.sort();
    assert!(!files.is_empty(), "no case file in {}", folder.display());
    files
        .iter()
        .map(|path| {
            let text = std::fs::read_to_string(path).expect("a case file can be read");
            toml::from_str(&text).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
        })
        .collect()
}
