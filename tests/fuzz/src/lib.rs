//! What the fuzz targets share: limits of time and memory, what no output may hold, and changes that leave a file
//! much as people write it.

pub mod mutate;
pub mod site_files;
pub mod whole_job;

use cap::Cap;
use cpu_time::ProcessTime;
use std::alloc::System;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::Duration;

#[global_allocator]
static MEMORY: Cap<System> = Cap::new(System, usize::MAX);

/// The most memory that one input may take.
const MOST_MEMORY: usize = 200 * 1024 * 1024;
/// The longest that one input may take, of the processor: what else runs on the machine does not count. The counters of
/// coverage and the checks of this build make it at least three times as slow as the program, which is held to one second.
const LONGEST: Duration = Duration::from_secs(3);

static SLOWEST_MS: AtomicU64 = AtomicU64::new(1);
static HIGHEST_KB: AtomicU64 = AtomicU64::new(1);

/// Does some work; a panic where it takes too long, the end of the program where it takes too much memory.
pub fn within_limits<T>(work: impl FnOnce() -> T) -> T {
    let before = MEMORY.allocated();
    MEMORY.set_limit(before.saturating_add(MOST_MEMORY)).expect("a limit above what is taken");
    let begun = ProcessTime::now();
    let done = work();
    let taken = begun.elapsed();
    MEMORY.set_limit(usize::MAX).expect("no limit");
    grew(&SLOWEST_MS, taken.as_millis() as u64, "slowest input so far: ", "ms");
    grew(&HIGHEST_KB, MEMORY.max_allocated() as u64 / 1024, "most memory so far: ", "KB");
    assert!(taken <= LONGEST, "this input took {taken:?}");
    done
}

/// Says so where a number has grown by a tenth.
fn grew(known: &AtomicU64, now: u64, what: &str, unit: &str) {
    if now > known.load(Ordering::Relaxed) * 11 / 10 {
        known.store(now, Ordering::Relaxed);
        eprintln!("{what}{now} {unit}");
    }
}

/// Nothing a terminal would obey, and nothing that hides what a line says, may come through.
pub fn assert_plain(text: &str, what: &str) {
    let hidden = |letter: char| matches!(letter, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{2069}' | '\u{feff}');
    if let Some(at) = text.find(|letter: char| letter.is_control() && letter != '\n' || hidden(letter)) {
        let line = text[..at].lines().count();
        panic!("{what} has {:?} in line {line}: {:?}", text[at..].chars().next(), text.lines().nth(line.max(1) - 1));
    }
}

/// Nothing that is no number may be printed, unless the input has that word itself.
pub fn assert_numbers(text: &str, input: &str, what: &str) {
    for word in ["NaN", "inf", "-inf", "infinity"] {
        if has_word(text, word) && !has_word(&input.to_lowercase(), &word.to_lowercase()) {
            let line = text.lines().find(|line| has_word(line, word));
            panic!("{what} has {word}: {line:?}");
        }
    }
}

fn has_word(text: &str, word: &str) -> bool {
    text.contains(word) && text.split(|letter: char| !letter.is_alphanumeric()).any(|part| part == word)
}

/// A page in which every tag is one that the program writes, so that no name in a file became a tag.
pub fn assert_page(page: &str, what: &str) {
    const TAGS: &str = " !DOCTYPE html head meta title style body main header footer section article address h1 h2 h3 h4 h5 p ul ol li dl dt \
        dd div span table caption colgroup col thead tbody tfoot tr th td figure figcaption strong em b i small code br hr \
        aside nav a pre input label details summary svg g path rect line circle ellipse polygon polyline text tspan title \
        desc defs marker pattern clipPath use ";
    for part in page.split('<').skip(1) {
        let name = part.trim_start_matches('/').split(|letter: char| !letter.is_alphanumeric() && letter != '!').next();
        let name = name.unwrap_or_default();
        assert!(!name.is_empty() && TAGS.contains(&format!(" {name} ")), "{what} has the tag `<{part:.80}`");
        let inside = part.split('>').next().unwrap_or_default();
        for bad in [" on", "href=\"j", "src=", "javascript"] {
            let outside_quotes: String = inside.split('"').step_by(2).collect::<Vec<_>>().join("\"\"");
            assert!(!outside_quotes.to_lowercase().contains(bad), "{what} has `<{inside:.200}`");
        }
    }
}

/// Cells that no spreadsheet takes for a formula.
pub fn assert_cells(csv: &str, what: &str) {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(csv.as_bytes());
    for row in reader.records() {
        for cell in &row.expect("rows of equal length") {
            let number = cell.parse::<f64>().is_ok();
            assert!(number || !cell.trim_start().starts_with(['=', '+', '-', '@']), "{what} has the cell {cell:?}");
        }
    }
}

/// JSON that can be read, in which no quantity lacks its number.
pub fn assert_json(json: &str, what: &str) {
    fn walk(value: &serde_json::Value, what: &str) {
        match value {
            serde_json::Value::Array(items) => items.iter().for_each(|item| walk(item, what)),
            serde_json::Value::Object(fields) => {
                if fields.contains_key("unit") && fields.get("value").is_some_and(serde_json::Value::is_null) {
                    panic!("{what} has a quantity without a number: {fields:?}");
                }
                fields.values().for_each(|item| walk(item, what));
            }
            _ => {}
        }
    }
    walk(&serde_json::from_str(json).expect("JSON"), what);
}
