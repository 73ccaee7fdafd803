//! Site files with some of their figures changed: for what must hold of any site.

/// Where the numbers of a text are: runs of digits and points that begin a quoted value, or, where `bare`, stand bare
/// after a space.
pub(crate) fn numbers(text: &str, bare: bool) -> Vec<std::ops::Range<usize>> {
    let bytes = text.as_bytes();
    let mut found = Vec::new();
    let mut at = 1;
    while at < bytes.len() {
        let before = bytes[at - 1];
        if !(bytes[at].is_ascii_digit() && (before == b'"' || (bare && before == b' '))) {
            at += 1;
            continue;
        }
        let end = (at..bytes.len()).find(|end| !matches!(bytes[*end], b'0'..=b'9' | b'.')).unwrap_or(bytes.len());
        found.push(at..end);
        at = end;
    }
    found
}

/// The text with some of its numbers, by index, times a factor each.
pub(crate) fn with_figures(text: &str, changes: &[(usize, f64)], bare: bool) -> String {
    let places = numbers(text, bare);
    let mut picked: Vec<(std::ops::Range<usize>, f64)> =
        changes.iter().map(|(index, factor)| (places[index % places.len()].clone(), *factor)).collect();
    picked.sort_by_key(|(place, _)| place.start);
    picked.dedup_by_key(|(place, _)| place.start);
    let mut out = text.to_owned();
    for (place, factor) in picked.into_iter().rev() {
        let Ok(number) = out[place.clone()].parse::<f64>() else { continue };
        out.replace_range(place, &format!("{:.4}", number * factor));
    }
    out
}
