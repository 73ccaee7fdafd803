//! Matching what a user calls a thing to what a table calls it.

use super::text::Record;
use std::sync::OnceLock;

/// The name under `heading` with the other names of the row.
#[derive(Debug)]
pub(super) struct Names {
    pub(super) name: &'static str,
    /// The other names, between bars.
    others: &'static str,
    /// The keys of all names, made when a name is looked for that is not the table's own.
    keys: OnceLock<Vec<String>>,
}

impl Names {
    /// From the cell under `heading` and the cell `also called`, whose names stand between bars.
    pub(super) fn of(record: &Record<'_>, heading: &str) -> Option<Self> {
        let (name, others) = (record.text(heading)?, record.cell("also called")?);
        Some(Self { name, others, keys: OnceLock::new() })
    }

    fn keys(&self) -> &[String] {
        self.keys.get_or_init(|| {
            let others = self.others.split('|').map(key).filter(|key| !key.is_empty());
            std::iter::once(key(self.name)).chain(others).collect()
        })
    }

    /// Whether a key made with [`key`] is one of the names.
    pub(super) fn has(&self, key: &str) -> bool {
        self.keys().iter().any(|known| known == key)
    }

    /// How alike a key and the most alike of the names are, 0 to 1.
    pub(super) fn likeness(&self, key: &str) -> f64 {
        self.keys().iter().map(|known| strsim::normalized_damerau_levenshtein(known, key)).fold(0.0, f64::max)
    }
}

/// The entry of a name: the one that is called just so, or else the first that has a name with the same [`key`].
pub(super) fn find<'all, T>(
    mut all: impl Iterator<Item = &'all T> + Clone,
    names: impl Fn(&T) -> &Names,
    asked: &str,
) -> Option<&'all T> {
    all.clone().find(|entry| names(entry).name == asked).or_else(|| {
        let key = key(asked);
        all.find(|entry| names(entry).has(&key))
    })
}

/// A name without case, punctuation, order of words, plurals and usual abbreviations: `Sch. 40 PVC` and
/// `PVC schedule 40` have the same key.
pub(super) fn key(name: &str) -> String {
    let lower = name.to_lowercase();
    let mut words: Vec<&str> = Vec::with_capacity(8);
    let (mut begin, mut last) = (0, None::<char>);
    for (at, c) in lower.char_indices() {
        let in_word = c.is_alphanumeric();
        // A word also ends between letters and digits: `sdr35`.
        let joins = last.is_none_or(|last| last.is_ascii_digit() == c.is_ascii_digit());
        if !in_word || !joins {
            keep(&mut words, lower.get(begin..at).unwrap_or_default());
            begin = at;
        }
        if in_word {
            last = Some(c);
        } else {
            begin = at + c.len_utf8();
            last = None;
        }
    }
    keep(&mut words, lower.get(begin..).unwrap_or_default());
    words.sort_unstable();
    words.dedup();
    words.join(" ")
}

/// Adds a word in its usual form.
fn keep<'w>(words: &mut Vec<&'w str>, word: &'w str) {
    let singular = word.strip_suffix('s').filter(|stem| stem.len() > 2 && !stem.ends_with('s')).unwrap_or(word);
    match singular {
        "" | "deg" | "degree" | "the" | "of" => {}
        "sch" | "sched" | "schd" => words.push("schedule"),
        "ell" | "elb" | "el" => words.push("elbow"),
        "perf" => words.push("perforated"),
        "upvc" => words.extend(["pvc", "u"]),
        other => words.push(other),
    }
}

/// The longest name worth comparing with the tables' for likeness.
const LONGEST: usize = 80;
/// How alike two names must be for one to be offered for the other.
const LIKE_ENOUGH: f64 = 0.6;

/// The name most like a key, where one is like enough.
pub(super) fn nearest<'names>(key: &str, all: impl Iterator<Item = &'names Names>) -> Option<&'static str> {
    if key.len() > LONGEST {
        return None;
    }
    all.map(|names| (names.likeness(key), names.name))
        .filter(|(likeness, _)| *likeness >= LIKE_ENOUGH)
        .reduce(|best, next| if next.0 > best.0 { next } else { best })
        .map(|(_, name)| name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_key_forgets_what_does_not_matter() {
        for same in ["PVC schedule 40", "schedule 40 PVC", "PVC sch 40", "PVC Sch. 40", "pvc  SCH40", "PVC, Sched. 40"]
        {
            assert_eq!(key(same), "40 pvc schedule", "{same}");
        }
        assert_eq!(key("SDR-35"), key("sdr 35"));
        assert_eq!(key("90° ells"), key("elbow 90"));
        assert_eq!(key("uPVC sewer"), key("PVC-U sewer"));
        assert_eq!(key("dense grass"), "dense grass");
        assert_eq!(key("  "), "");
    }

    #[test]
    fn a_key_keeps_what_matters() {
        assert_ne!(key("PVC SDR 21"), key("PVC-U SDR 21"));
        assert_ne!(key("PVC schedule 40"), key("PVC schedule 80"));
        assert_ne!(key("elbow 90"), key("elbow 45"));
    }
}
