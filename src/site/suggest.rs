//! What someone who mistyped a word probably meant.

/// Words longer than this are not compared.
const LONGEST: usize = 60;
/// More words than this are not compared.
const MOST_WORDS: usize = 300;

/// The nearest of some words, if one is near enough to be meant.
pub(crate) fn nearest<'w>(typed: &str, words: impl IntoIterator<Item = &'w str>) -> Option<&'w str> {
    if typed.chars().count() > LONGEST {
        return None;
    }
    let plain = simple(typed);
    let allowed = (plain.chars().count() / 3).clamp(1, 3);
    let mut best: Option<(usize, f64, &str)> = None;
    for word in words.into_iter().take(MOST_WORDS) {
        if word.chars().count() > LONGEST {
            continue;
        }
        let other = simple(word);
        let distance = strsim::damerau_levenshtein(&plain, &other);
        if distance > allowed {
            continue;
        }
        // Of words equally far the one that begins alike is meant.
        let likeness = strsim::jaro_winkler(&plain, &other);
        if best.is_none_or(|(least, most, _)| distance < least || distance == least && likeness > most) {
            best = Some((distance, likeness, word));
        }
    }
    best.map(|(_, _, word)| word)
}

/// Lower case, with one kind of separator.
fn simple(word: &str) -> String {
    word.trim()
        .chars()
        .map(|letter| if matches!(letter, '_' | '-' | ' ') { '_' } else { letter.to_ascii_lowercase() })
        .collect()
}

/// Some words in back-ticks: `` `a`, `b` or `c` ``.
pub(super) fn listed<'w>(words: impl IntoIterator<Item = &'w str>, joint: &str) -> String {
    let quoted: Vec<String> = words.into_iter().map(|word| format!("`{}`", echo(word))).collect();
    match quoted.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} {joint} {last}", rest.join(", ")),
        _ => quoted.concat(),
    }
}

/// A text from the file, cut when it is long, without line breaks and control characters.
pub(super) fn echo(text: &str) -> String {
    const SHOWN: usize = 48;
    let mut shown: String =
        text.chars().take(SHOWN).map(|letter| if letter.is_control() { ' ' } else { letter }).collect();
    if text.chars().nth(SHOWN).is_some() {
        shown.push('…');
    }
    shown
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn near_words_are_found_and_far_ones_are_not() {
        let words = ["inside_diameter", "length", "size", "on", "off"];
        assert_eq!(nearest("lenght", words), Some("length"));
        assert_eq!(nearest("Inside-Diameter", words), Some("inside_diameter"));
        assert_eq!(nearest("of", words), Some("off"));
        assert_eq!(nearest("colour", words), None);
        assert_eq!(nearest(&"length".repeat(100), words), None);
    }

    #[test]
    fn long_and_wild_texts_are_cut() {
        assert_eq!(echo("a\nb\u{7}c"), "a b c");
        assert_eq!(echo(&"x".repeat(500)).chars().count(), 49);
    }
}
