//! Gaps: `"?"` in place of a value that somebody still has to find out.

use super::keys::{self, Key};
use super::problem::{Problem, ProblemKind};
use super::tree::Place;
use super::walk::{Reader, lower_first};
use toml::de::DeValue;

/// What stands in place of a value that is not known yet.
pub const GAP: &str = "?";

/// Whether a value is a gap.
pub(super) fn is_gap(value: &DeValue<'_>) -> bool {
    matches!(value, DeValue::String(text) if text.trim() == GAP)
}

/// Whether a text of this key is anybody's own: a question mark is then all that was meant.
pub(super) fn may_be_a_remark(key: &Key) -> bool {
    key.name == "note"
}

/// The first thing that is said of a key: the rest is for whoever writes it.
fn meaning(key: &Key) -> String {
    let first = key.doc.split(['.', ':', ';']).next().unwrap_or(key.doc);
    lower_first(first)
}

/// The parts of a file that are the bidder's to know: the rest is measured on the place.
const OFFERED: &[&str] = &["`basin.", "`discharge.", "`pump.", "`pumping.", "`drain.", "`inlet."];

/// Of a bid what is not known of the work offered is a question to who offers it.
pub(super) fn ask_the_bidder(problems: &mut [Problem]) {
    let gaps = problems.iter_mut().filter(|problem| problem.kind == ProblemKind::ToBeMeasured);
    for gap in gaps.filter(|gap| OFFERED.iter().any(|part| gap.message.contains(part))) {
        gap.help = gap.help.take().map(|help| format!("ask the bidder: {help}"));
    }
}

impl Reader<'_> {
    /// Says that the value of a key is still to be measured. Whether a site cannot be built without it; else it counts
    /// as left out.
    pub(super) fn gap(&mut self, path: &str, key: &'static Key, place: Place) -> bool {
        // a place whose level is not known is no reason not to size the rest
        let unwatched = path == "protect.level";
        let needed = (key.required || keys::stood_on(path)) && !unwatched;
        let what = meaning(key);
        let how = match keys::how(path) {
            Some(how) => format!("{what}; how: {how}"),
            None if key.example.is_empty() => what,
            None => format!("{what}, such as `{}`", key.example),
        };
        let message = format!("`{path}` is still to be measured");
        let problem = if needed {
            Problem::error(ProblemKind::ToBeMeasured, place, message).label("nothing can be sized without it")
        } else {
            let until = match key.default {
                _ if unwatched => "whether water reaches the place is not looked at",
                "" => "left out",
                default => default,
            };
            Problem::warning(ProblemKind::ToBeMeasured, place, message).label(format!("until then: {until}"))
        };
        self.say(problem.help(how));
        needed
    }

    /// Says that one value of a list is still to be measured; the list is of no use without it.
    pub(super) fn gap_in_list(&mut self, path: &str, place: Place) {
        let key = keys::at_path(path.split('.'));
        let what = key.map_or_else(|| "a value of the list".to_owned(), meaning);
        let how = keys::how(path).map_or_else(String::new, |how| format!("; how: {how}"));
        let problem =
            Problem::error(ProblemKind::ToBeMeasured, place, format!("a value in `{path}` is still to be measured"))
                .label("the list is of no use without it");
        self.say(problem.help(format!("{what}{how}")));
    }

    /// Says that a depth of rain is still to be looked up; the others serve without it.
    pub(super) fn depth_gap(&mut self, path: &str, place: Place) {
        let problem = Problem::warning(ProblemKind::ToBeMeasured, place, format!("`{path}` is still to be measured"))
            .label("until then: rain between the other durations");
        self.say(problem.help(format!("a depth of rain; how: {}", keys::how("rain.depth").unwrap_or_default())));
    }
}

#[cfg(test)]
mod tests {
    use crate::site::{NoFiles, ProblemKind, read};

    /// A bid leaves out its floats and the size of a roof: the one is asked, the other measured.
    #[test]
    fn identity_what_a_bid_does_not_say_is_asked() {
        let bid = include_str!("../../examples/bid-orchard-wall.toml");
        let with_gaps =
            bid.replacen("\ncurve = [[", "\ncurve = \"?\" # [[", 1).replacen("area = \"6800 ft2\"", "area = \"?\"", 1);
        for (text, asked) in [(with_gaps.clone(), 1), (with_gaps.replace("describes = \"bid\"", ""), 0)] {
            let gaps: Vec<_> = read(&text, &NoFiles)
                .problems
                .into_iter()
                .filter(|problem| problem.kind == ProblemKind::ToBeMeasured)
                .collect();
            assert_eq!(gaps.len(), 2, "{gaps:?}");
            let said =
                gaps.iter().filter(|gap| gap.help.as_deref().is_some_and(|help| help.starts_with("ask the bidder: ")));
            assert_eq!(said.count(), asked);
        }
    }
}
