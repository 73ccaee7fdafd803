//! The questions of `sumpwright new` as text: chapters with their drawings, questions, help, what was answered so far.

use super::layout::{Page, clean, paragraph, wrap};
use crate::interview::{Answer, CHAPTERS, Chapter, EXAMPLES, Empty, Interview, Lines, Question, Refusal, Takes};
use crate::quantity::{Dimension, accepted};
use crate::site::keys;
use std::fmt::Write as _;

/// The width of the page.
const WIDTH: usize = 78;

/// What always helps.
const WORDS: &[(&str, &str)] = &[
    ("?", "help with the question"),
    ("??", "all answers so far"),
    ("back", "to the question before; `back NAME` to the one that ?? calls so"),
    ("unknown", "I don't know yet: the file keeps a marked place for it"),
    ("quit", "leave the rest for another time; nothing is lost"),
];

/// The first words.
pub fn opening(file: &str, questions: usize) -> String {
    let mut page = Page::default();
    page.paragraph(&format!(
        "About {questions} questions about your yard, in the order of a walk through it; out comes {file}, a text file \
         that you can read and change. A paper sketch with sizes and heights is all you need; what you do not know yet \
         stays open."
    ));
    page.gap();
    page.paragraph("An empty line takes what is usual, where anything is. These words always work:");
    for (word, does) in WORDS {
        page.line(&format!("  {word:<9}{does}"));
    }
    page.finish()
}

/// The first words where answers were kept from before.
pub fn resuming(kept: &str, answers: usize) -> String {
    let many = if answers == 1 { "1 answer".to_owned() } else { format!("{answers} answers") };
    paragraph(&format!(
        "{kept} holds {many} from before. Go on with them? An empty line or `yes` goes on, `no` begins anew."
    ))
}

/// The beginning of a chapter: heading, what it is about, the drawing, what can hurt.
pub fn chapter(chapter: &Chapter) -> String {
    let mut text = heading(chapter);
    text.push_str(&paragraph(chapter.says));
    text.push_str(&drawing(chapter));
    if !chapter.drawing.is_empty() && !chapter.caution.is_empty() {
        text.push('\n');
    }
    if !chapter.caution.is_empty() {
        text.push_str(&paragraph(&format!("Caution: {}", chapter.caution)));
    }
    text
}

/// The heading of a chapter.
pub fn heading(chapter: &Chapter) -> String {
    format!("\n{}\n{}\n", chapter.title, "-".repeat(chapter.title.chars().count()))
}

fn drawing(chapter: &Chapter) -> String {
    chapter.drawing.to_owned()
}

/// A text under a mark: the first line begins with the mark, the others as far in.
fn marked(mark: &str, text: &str) -> String {
    let mut out = String::new();
    for (index, line) in wrap(&clean(text), WIDTH - mark.chars().count()).iter().enumerate() {
        let begin = if index == 0 { mark.to_owned() } else { " ".repeat(mark.chars().count()) };
        let _ = writeln!(out, "{begin}{line}");
    }
    out
}

/// The question that is due, with its choices, and what an empty line does.
pub fn question(interview: &Interview) -> String {
    let Some((_, question)) = interview.due() else { return String::new() };
    let (number, all) = interview.place();
    let mut out = String::from("\n");
    out.push_str(&marked(&format!("{number} of {all}. "), question.ask));
    if let Takes::Choice(choices) = question.takes {
        let widest = choices.iter().map(|(word, _)| word.chars().count()).max().unwrap_or(0);
        for (word, says) in choices {
            out.push_str(&marked(&format!("   {word:<widest$}  "), says));
        }
    }
    let mut hints = Vec::new();
    let words = question.words();
    if !matches!(question.takes, Takes::Choice(_) | Takes::YesNo) && (1..=FEW).contains(&words.len()) {
        out.push_str(&marked("   ", &format!("Known are {}.", words.join(", "))));
    }
    let example = question.example_in(interview.sketch().metric());
    let same = interview.usual(question).is_some_and(|usual| usual == example);
    if !matches!(question.takes, Takes::Choice(_) | Takes::YesNo) && !same {
        hints.push(format!("Such as `{example}`."));
    }
    let empty = interview.empty_line(question);
    if let (Takes::Lines(_), Empty::Keeps(lines)) = (question.takes, &empty) {
        hints.push("These lines stand; more may follow, an empty line keeps them, `clear` takes them away:".to_owned());
        out.push_str(&marked("   ", &hints.join(" ")));
        for line in lines {
            let _ = writeln!(out, "   | {}", clean(line));
        }
        return out;
    }
    hints.push(match empty {
        Empty::Keeps(lines) => format!("An empty line keeps `{}`.", lines.join("; ")),
        Empty::LeavesOpen => match interview.usual(question) {
            Some(usual) => format!(
                "You do not know it yet: an empty line leaves it open. Usual is {}.",
                usual_words(question, &usual)
            ),
            None => "You do not know it yet: an empty line leaves it open.".to_owned(),
        },
        Empty::Takes(usual) => format!("An empty line takes {}.", usual_words(question, &usual)),
        Empty::Nothing if matches!(question.takes, Takes::Lines(_)) => {
            "An empty line after the last one ends the list.".to_owned()
        }
        Empty::Nothing => String::new(),
    });
    hints.retain(|hint| !hint.is_empty());
    if !hints.is_empty() {
        out.push_str(&marked("   ", &hints.join(" ")));
    }
    out
}

fn usual_words(question: &Question, usual: &str) -> String {
    if matches!(question.takes, Takes::Level) && usual == "0" {
        "the same height as what heights count from".to_owned()
    } else {
        format!("`{usual}`")
    }
}

/// So many words are listed with a question; more are listed by its help.
const FEW: usize = 16;

/// What a question takes, in words.
fn takes(question: &Question) -> String {
    match question.takes {
        Takes::Words => "a few words".to_owned(),
        Takes::Choice(choices) => {
            format!("one of: {}", choices.iter().map(|(word, _)| *word).collect::<Vec<_>>().join(", "))
        }
        Takes::YesNo => "yes or no".to_owned(),
        Takes::Known(words, _) => format!("one of: {}", words().join(", ")),
        Takes::Quantity(dimension) => {
            let units: Vec<&str> = accepted(dimension).iter().copied().take(6).collect();
            let forms = if dimension == Dimension::Length { "; `3 ft 6 in` and `1-1/2 in` are read as well" } else { "" };
            format!("a number with its unit: {}{forms}", units.join(", "))
        }
        Takes::Level => "a height above or below what heights count from, as `8 in below` or `2 ft 6 in above`; `0` for the same height; a reading on a rod, as `rod 5 ft 7 in, zero 4 ft 3 in` with the reading where heights count from, told once; or a level as the file has it, as `99.3 ft`".to_owned(),
        Takes::Size => "the size that is printed on it, as `1-1/2 in` or `63 mm`".to_owned(),
        Takes::Pair => "one size for a round one, length by width for another, as `12 in x 12 in`".to_owned(),
        Takes::Count => "a whole number".to_owned(),
        Takes::Lines(Lines::Pond) => "lines of a depth over the lowest ground and a size: an area, or length by width".to_owned(),
        Takes::Lines(Lines::Areas) => format!(
            "lines of a size (an area, or length by width), a surface, and a name after a comma; the surfaces are {}",
            crate::catalog::surfaces().join(", ")
        ),
        Takes::Lines(Lines::Rain) => "lines of how long and how much, as `5 min 0.50 in`".to_owned(),
        Takes::Lines(Lines::Curve) => "lines of a flow and a height, as `20 gpm 18 ft`, in either order".to_owned(),
    }
}

/// Help with the question that is due.
pub fn help(interview: &Interview) -> String {
    let Some((chapter, question)) = interview.due() else { return String::new() };
    let mut out = drawing(chapter);
    if !out.is_empty() {
        out.push('\n');
    }
    out.push_str(&marked("   what for: ", question.why));
    let how = if question.how.is_empty() { keys::how(question.key) } else { Some(question.how) };
    if let Some(how) = how {
        // what a file would say
        let how = if matches!(question.takes, Takes::YesNo) { how.replace("`false`", "`no`") } else { how.to_owned() };
        out.push_str(&marked("   how:      ", &format!("{how}.")));
    }
    out.push_str(&marked("   takes:    ", &format!("{}.", takes(question))));
    if matches!(question.takes, Takes::Lines(_)) {
        out.push_str(&marked("   lines:    ", "an empty line ends the list, `clear` begins it anew."));
    }
    out.push_str(&marked("   words:    ", "back, unknown, quit; ?? shows all answers so far."));
    out
}

/// All answers so far.
pub fn so_far(interview: &Interview) -> String {
    let mut out = String::new();
    for chapter in CHAPTERS {
        for question in chapter.questions {
            let Some(answer) = interview.answer(question) else { continue };
            let said = match answer {
                Answer::Given(lines) => lines.join("; "),
                Answer::Usual => interview
                    .usual(question)
                    .map_or_else(|| "still open".to_owned(), |usual| format!("{usual} (usual)")),
                Answer::Unknown => "still open".to_owned(),
            };
            out.push_str(&marked(&format!("   {:<18}", question.name), &said));
        }
    }
    if out.is_empty() { "   nothing yet\n".to_owned() } else { out }
}

/// Why an answer is not taken.
pub fn refused(refusal: &Refusal) -> String {
    let mut out = marked("   not taken: ", &sentence(&refusal.reason));
    if !refusal.help.is_empty() {
        out.push_str(&marked("              ", &sentence(&capital(&refusal.help))));
    }
    out
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| format!("{}{}", first.to_uppercase(), letters.as_str()))
}

fn sentence(text: &str) -> String {
    let text = text.trim_end();
    let ended = text.ends_with(['.', '?', '!']);
    if ended { text.to_owned() } else { format!("{text}.") }
}

/// How an answer was understood.
pub fn understood(words: &str) -> String {
    marked("   = ", words)
}

/// What is odd about an answer that was taken.
pub fn doubt(words: &str) -> String {
    marked("   taken, but: ", &format!("{} `back` changes it.", sentence(words)))
}

/// Every question with its name, what it takes and what is taken without an answer.
pub fn list() -> String {
    let interview = Interview::new();
    let mut out = paragraph(
        "The questions of `sumpwright new`, each with the name that `--answer NAME=TEXT` knows it by. Lines of a list are \
         parted by `;`. `unknown` leaves a marked gap.",
    );
    for chapter in CHAPTERS {
        out.push_str(&heading(chapter));
        for question in chapter.questions {
            let _ = writeln!(out, "{}", question.name);
            out.push_str(&marked("    ", question.ask));
            out.push_str(&marked("    takes ", &format!("{}.", takes(question))));
            out.push_str(&marked("    such as ", &format!("`{}`", question.example_in(false))));
            let without = match (interview.usual(question), question.may_be_unknown) {
                (Some(usual), _) => usual_words(question, &usual),
                (None, _) => "what other answers give, or a gap".to_owned(),
            };
            out.push_str(&marked("    without an answer: ", &format!("{without}.")));
        }
    }
    out
}

/// The examples, each with a line.
pub fn examples() -> String {
    let widest = EXAMPLES.iter().map(|example| example.name.len()).max().unwrap_or(0);
    EXAMPLES.iter().fold(String::new(), |mut out, example| {
        let _ = writeln!(out, "  {:<widest$}  {}", example.name, example.about);
        out
    })
}

/// What is odd about answers that nobody was asked for.
pub fn odd(interview: &Interview) -> String {
    interview.odd().iter().map(|(name, odd)| paragraph(&format!("note: `{name}`: {}", sentence(odd)))).collect()
}

/// The caution that the answers ask for: the low place runs over to a building.
pub fn last_caution(interview: &Interview) -> String {
    let Some((to, at)) = interview.runs_to_building() else { return String::new() };
    let at = at.map_or_else(
        || "at a level that is still to be measured".to_owned(),
        |at| format!("once it stands at {at} in the low place"),
    );
    let to = to.map_or_else(String::new, |to| format!(", to `{to}`"));
    paragraph(&format!(
        "Caution: where the low place runs over{to}, the water comes to a building and gets in {at}. Do not count \
         on the pump alone: a storm often takes the power with it. Give the water a lower way that leads past the \
         building, and have an alarm and a second pump or a battery. If it is a neighbour's building, speak with the \
         neighbour and the town before anything is built. Nobody steps into a flooded room before its power is off."
    ))
}

/// What to do with the file.
pub fn what_next(file: &str) -> String {
    format!(
        "\nWhat next:\n  \
         sumpwright check {file}         what is wrong or still to be measured\n  \
         sumpwright size {file}          the sizing report\n  \
         sumpwright size {file} --watch  the same, again each time you save the file\n  \
         sumpwright papers {file}        a sheet to measure by, and other papers\n"
    )
}
