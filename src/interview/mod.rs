//! A site file by question and answer: what is asked, in which order, what is taken for an answer and why not, and the
//! file that comes of it. No terminal and no file is touched here.
//!
//! Every question is declared once, in [`CHAPTERS`]. An answer is judged as the file would be: the file is written as far
//! as it was answered, gaps for the rest, and read by the site file's own reader; what that finds new is what is wrong
//! with the answer.

mod chapters;
mod doubts;
mod drawings;
mod examples;
mod kept;
mod reading;
mod sketch;
mod writing;

#[cfg(test)]
mod tests;

pub use chapters::{CHAPTERS, Chapter, Lines, Question, Takes, Usual, question, questions};
pub use examples::{EXAMPLES, Example};
pub use kept::NotKept;
pub use reading::Refusal;
pub use sketch::{Answer, Sketch};

use crate::site::{self, NoFiles, Problem, ProblemKind, nearest};
use sketch::Answers;

/// The version that the file says it was written by.
const VERSION: &str = env!("CARGO_PKG_VERSION");

/// What came of a line that was typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Reply {
    /// The answer is kept, and the next question is due.
    Taken {
        /// How it was understood, where it is not kept as it was typed.
        understood: Option<String>,
        /// What is odd about it.
        doubts: Vec<String>,
    },
    /// The line is kept; another may follow.
    Line {
        /// What is odd about it.
        doubts: Vec<String>,
    },
    /// The list is empty again.
    Emptied,
    /// It is not taken, and the question is due again.
    Refused(Refusal),
    /// Help is wanted.
    Help,
    /// All answers so far are wanted.
    SoFar,
    /// The question before is due again; not so at the first.
    Back(bool),
    /// The rest is left for another time.
    Quit,
}

/// What an empty line does at a question.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Empty {
    /// It keeps the answer that stands; of a list it keeps the lines.
    Keeps(Vec<String>),
    /// It leaves open what is not known yet.
    LeavesOpen,
    /// It takes what is usual.
    Takes(String),
    /// It is no answer.
    Nothing,
}

/// What is said of an answer that nobody knows yet.
const STILL_OPEN: &str = "still to be found out; the file keeps a place for it";

/// Advice where two answers contradict each other.
const EARLIER: &str =
    "if an earlier answer is the wrong one, `??` shows all with their names, and `back NAME` goes to it";

/// Questions and answers under way.
#[derive(Clone, Debug, Default)]
pub struct Interview {
    answers: Answers,
    /// The question that is due; none when all were asked.
    due: Option<&'static str>,
    /// A number that was typed without its unit.
    number: Option<String>,
    /// Whether the line before was one of a list, and not taken.
    line_refused: bool,
}

impl Interview {
    /// From the first question on.
    pub fn new() -> Self {
        Self { due: questions().next().map(|(_, question)| question.name), ..Self::default() }
    }

    /// The yard as far as it was answered; what was not answered is usual, or a gap.
    pub fn sketch(&self) -> Sketch<'_> {
        Sketch { answers: &self.answers, up_to: None }
    }

    /// The yard up to a question, all after it gaps.
    fn before(&self, question: &Question) -> Sketch<'_> {
        Sketch { answers: &self.answers, up_to: Some(question.name) }
    }

    /// The question that is due, with its chapter; none when all were asked.
    pub fn due(&self) -> Option<(&'static Chapter, &'static Question)> {
        let name = self.due?;
        questions().find(|(_, question)| question.name == name)
    }

    /// The number of the question that is due, and of all that are asked as far as it is known.
    pub fn place(&self) -> (usize, usize) {
        let sketch = self.sketch();
        let asked = questions().map(|(_, question)| question).filter(|question| (question.asked)(&sketch));
        let names: Vec<&str> = asked.map(|question| question.name).collect();
        let at = names.iter().position(|name| Some(*name) == self.due).unwrap_or(names.len());
        (at + 1, names.len())
    }

    /// The answer that a question has, if any.
    pub fn answer(&self, question: &Question) -> Option<&Answer> {
        self.answers.get(question.name)
    }

    /// What is usual for a question, by the answers before it.
    pub fn usual(&self, question: &Question) -> Option<String> {
        (question.usual)(&self.before(question))
    }

    /// What an empty line does at a question: what is said of it beside the question, and what it then does.
    pub fn empty_line(&self, question: &Question) -> Empty {
        match (self.answers.get(question.name), self.usual(question)) {
            (Some(Answer::Given(lines)), _) => Empty::Keeps(lines.clone()),
            (Some(Answer::Unknown), _) => Empty::LeavesOpen,
            (_, Some(usual)) => Empty::Takes(usual),
            // what was usual hung on an answer that is gone
            (_, None) => Empty::Nothing,
        }
    }

    /// Answers the question that is due, or does what is typed in place of an answer.
    pub fn say(&mut self, line: &str) -> Reply {
        let Some((_, question)) = self.due() else { return Reply::Quit };
        let line = line.trim();
        let number = self.number.take();
        let line_refused = std::mem::take(&mut self.line_refused);
        let lower = line.to_lowercase();
        if let Some(reply) = lower.strip_prefix("back ").and_then(|name| self.back_to(question, name.trim())) {
            return reply;
        }
        match lower.as_str() {
            "?" | "help" => return Reply::Help,
            "??" => return Reply::SoFar,
            "back" => return self.back(),
            "quit" | "exit" => return Reply::Quit,
            "unknown" | "don't know" | "dont know" | "i don't know" | "i don't know yet" | "don't know yet"
            | "not known" => {
                return self.unknown(question);
            }
            "" => {
                let has_lines = self.answers.contains_key(question.name);
                if line_refused && has_lines && matches!(question.takes, Takes::Lines(_)) {
                    return Reply::Refused(Refusal::new(
                        "the line before was not taken, so the list goes without it",
                        "type it in another way, or an empty line once more to end the list",
                    ));
                }
                return self.nothing(question);
            }
            _ => {}
        }
        // the unit of the number before
        let joined = number
            .filter(|_| line.chars().all(|letter| letter.is_alphabetic() || matches!(letter, '\'' | '"' | '%' | '²')));
        let line = joined.map_or_else(|| line.to_owned(), |number| format!("{number} {line}"));
        let reply = match question.takes {
            Takes::Lines(lines) => self.list_line(question, lines, &line),
            _ => self.single(question, &line),
        };
        if let Reply::Refused(refusal) = &reply {
            self.number.clone_from(&refusal.unit_missing);
            self.line_refused = matches!(question.takes, Takes::Lines(_));
        }
        reply
    }

    /// Answers a question by its name, as the command line does.
    ///
    /// # Errors
    /// It is not taken.
    pub fn give(&mut self, question: &'static Question, text: &str) -> Result<(), Refusal> {
        let is_list = matches!(question.takes, Takes::Lines(_));
        let lines: Vec<&str> =
            if is_list { text.split([';', '\n']).map(str::trim).collect() } else { vec![text.trim()] };
        let due = self.due.replace(question.name);
        self.answers.remove(question.name);
        let mut refused = None;
        let lines = lines.into_iter().filter(|line| !line.is_empty()).chain(is_list.then_some(""));
        for line in lines {
            // the end of a list that was ended already
            if self.due != Some(question.name) {
                break;
            }
            match self.say(if line == site::GAP { "unknown" } else { line }) {
                Reply::Refused(refusal) => refused = Some(refusal),
                Reply::Taken { .. } | Reply::Line { .. } => {}
                _ => {
                    let reason = format!("`{line}` is no answer");
                    refused = Some(Refusal::new(reason, "give what the question takes, or `unknown`"));
                }
            }
            if refused.is_some() {
                break;
            }
        }
        self.due = due;
        self.number = None;
        self.line_refused = false;
        if refused.is_none() && !self.answers.contains_key(question.name) {
            refused = Some(Refusal::new("there is no answer in that", "give what the question takes, or `unknown`"));
        }
        refused.map_or(Ok(()), |refusal| {
            self.answers.remove(question.name);
            Err(refusal)
        })
    }

    /// Whether a question is asked at all, by the other answers.
    pub fn matters(&self, question: &Question) -> bool {
        (question.asked)(&self.sketch())
    }

    /// Goes on to the first question that has no answer yet.
    pub fn go_on(&mut self) {
        let sketch = self.sketch();
        let open = questions()
            .map(|(_, question)| question)
            .find(|question| (question.asked)(&sketch) && !self.answers.contains_key(question.name));
        self.due = open.map(|question| question.name);
    }

    /// Sets the next question that is asked.
    fn forth(&mut self) {
        let sketch = self.sketch();
        let mut after =
            questions().map(|(_, question)| question).skip_while(|question| Some(question.name) != self.due).skip(1);
        self.due = after.find(|question| (question.asked)(&sketch)).map(|question| question.name);
    }

    fn back(&mut self) -> Reply {
        let sketch = self.sketch();
        let before = questions().map(|(_, question)| question).take_while(|question| Some(question.name) != self.due);
        match before.filter(|question| (question.asked)(&sketch)).last() {
            Some(question) => {
                self.due = Some(question.name);
                Reply::Back(true)
            }
            None => Reply::Back(false),
        }
    }

    /// Back to a question by its name; none where the line is an answer in words, such as `back step`.
    fn back_to(&mut self, due: &Question, name: &str) -> Option<Reply> {
        let Some(wanted) = question(name) else {
            if matches!(due.takes, Takes::Words) {
                return None;
            }
            let near = nearest(name, questions().map(|(_, question)| question.name));
            let help = near.map_or_else(
                || "`??` lists the questions answered so far by their names".to_owned(),
                |near| format!("did you mean `back {near}`?"),
            );
            return Some(Reply::Refused(Refusal::new(format!("there is no question `{name}`"), help)));
        };
        if !self.matters(wanted) {
            return Some(Reply::Refused(Refusal::new(
                format!("`{name}` is not asked here"),
                "it hangs on another answer; `??` lists the answers so far",
            )));
        }
        let mut before = questions().map(|(_, question)| question.name).take_while(|other| *other != due.name);
        if !before.any(|other| other == wanted.name) && !self.answers.contains_key(wanted.name) {
            let reason = if wanted.name == due.name { "that is this question" } else { "that question comes later" };
            return Some(Reply::Refused(Refusal::new(reason, "`back` by itself goes to the question before this one")));
        }
        self.due = Some(wanted.name);
        Some(Reply::Back(true))
    }

    fn unknown(&mut self, question: &'static Question) -> Reply {
        if !question.may_be_unknown {
            let usual = self.usual(question).unwrap_or_default();
            return Reply::Refused(Refusal::new(
                "there is nothing to measure about that",
                format!("an empty line takes `{usual}`; the file can be changed at any time"),
            ));
        }
        // what was typed already is not thrown away by the way
        if let (Takes::Lines(_), Some(Answer::Given(lines))) = (question.takes, self.answers.get(question.name)) {
            return Reply::Refused(Refusal::new(
                format!("the list has {} already", if lines.len() == 1 { "a line" } else { "lines" }),
                "an empty line ends it with what there is; `clear` empties it, and then `unknown` leaves it open",
            ));
        }
        self.answers.insert(question.name, Answer::Unknown);
        self.forth();
        Reply::Taken { understood: Some(STILL_OPEN.to_owned()), doubts: Vec::new() }
    }

    /// An empty line: the answer that stands, the end of a list, or what is usual.
    fn nothing(&mut self, question: &'static Question) -> Reply {
        let (answer, understood) = match self.empty_line(question) {
            Empty::Keeps(lines) => (Answer::Given(lines), None),
            Empty::LeavesOpen => (Answer::Unknown, Some(STILL_OPEN.to_owned())),
            Empty::Takes(_) => (Answer::Usual, None),
            Empty::Nothing => {
                let reason = if matches!(question.takes, Takes::Lines(_)) {
                    "there is no line in the list yet"
                } else {
                    "nothing is usual here"
                };
                let help = if question.may_be_unknown { "type an answer, or `unknown`" } else { "type an answer" };
                return Reply::Refused(Refusal::new(reason, help));
            }
        };
        // an earlier answer may have changed since
        let doubts = match self.judged(question, &answer, true) {
            Ok(doubts) => doubts,
            Err(refusal) => return Reply::Refused(refusal),
        };
        let said = match (&answer, question.takes) {
            // of each line by itself
            (Answer::Given(_), Takes::Lines(_)) => self.judged(question, &answer, false).unwrap_or_default(),
            _ => Vec::new(),
        };
        let doubts = doubts.into_iter().filter(|doubt| !said.contains(doubt)).collect();
        self.answers.insert(question.name, answer);
        let usual = self.usual(question).filter(|_| self.answers.get(question.name) == Some(&Answer::Usual));
        let understood = understood.or_else(|| self.understood(question, "", &usual?));
        self.forth();
        Reply::Taken { understood, doubts }
    }

    fn single(&mut self, question: &'static Question, line: &str) -> Reply {
        let sketch = self.before(question);
        let text = match reading::single(&sketch, question, line) {
            Ok(text) => text,
            Err(refusal) => return Reply::Refused(refusal),
        };
        let answer = Answer::Given(vec![text.clone()]);
        match self.judged(question, &answer, true) {
            Ok(doubts) => {
                self.answers.insert(question.name, answer);
                let understood = self.understood(question, line, &text);
                self.forth();
                Reply::Taken { understood, doubts }
            }
            Err(refusal) => Reply::Refused(refusal),
        }
    }

    /// How an answer was understood, where that is not how it was typed.
    fn understood(&self, question: &Question, line: &str, text: &str) -> Option<String> {
        let sketch = self.before(question);
        match question.takes {
            Takes::Level => {
                let shown = sketch.level(question.name).map(|level| sketch.level_text(level))?;
                (shown != line).then(|| format!("{shown}, where {} is {}", sketch.zero(), sketch.heights().zero_text()))
            }
            _ => (text != line).then(|| text.to_owned()),
        }
    }

    fn list_line(&mut self, question: &'static Question, lines: Lines, line: &str) -> Reply {
        if line.eq_ignore_ascii_case("clear") {
            self.answers.remove(question.name);
            return Reply::Emptied;
        }
        let sketch = self.before(question);
        if let Err(refusal) = reading::row(&sketch, lines, line) {
            return Reply::Refused(refusal);
        }
        let mut all = match self.answers.get(question.name) {
            Some(Answer::Given(lines)) => lines.clone(),
            _ => Vec::new(),
        };
        all.push(line.to_owned());
        let answer = Answer::Given(all);
        match self.judged(question, &answer, false) {
            Ok(doubts) => {
                self.answers.insert(question.name, answer);
                Reply::Line { doubts }
            }
            Err(refusal) => Reply::Refused(refusal),
        }
    }

    /// Whether an answer contradicts an earlier one; then what the reader of site files says of the file with it that it
    /// does not say of the file without: an error refuses it, a warning is a doubt. Of a list that is not whole yet, what
    /// more lines would mend is not said.
    fn judged(&self, question: &'static Question, answer: &Answer, whole: bool) -> Result<Vec<String>, Refusal> {
        let put = |answer: &Answer| {
            let mut answers = self.answers.clone();
            answers.insert(question.name, answer.clone());
            answers
        };
        let answered = put(answer);
        let sketch = Sketch { answers: &answered, up_to: Some(question.name) };
        if let Some(refusal) = doubts::contradiction(question, &sketch) {
            return Err(refusal);
        }
        let with = |answer: &Answer| {
            let answers = put(answer);
            let sketch = Sketch { answers: &answers, up_to: Some(question.name) };
            site::read(&writing::site_file(&sketch, VERSION), &NoFiles).problems
        };
        let known = with(&Answer::Unknown);
        let lines = match answer {
            Answer::Given(lines) => lines.len(),
            _ => 1,
        };
        let is_new = |problem: &&Problem| {
            problem.kind != ProblemKind::ToBeMeasured
                && !known.iter().any(|other| other.kind == problem.kind && other.message == problem.message)
                && (whole || concerns_one_line(problem.kind, lines))
        };
        let found = with(answer);
        let mut new: Vec<&Problem> = found.iter().filter(is_new).collect();
        new.sort_by_key(|problem| !problem.is_error());
        if let Some(error) = new.iter().find(|problem| problem.is_error()) {
            let help = error.help.as_deref().map_or_else(String::new, advice);
            let help = if error.kind == ProblemKind::LevelOrder && help.is_empty() { EARLIER.to_owned() } else { help };
            return Err(Refusal::new(spoken(question, &error.message), help));
        }
        Ok(new.iter().map(|problem| doubt(question, problem)).chain(doubts::odd(question, &sketch)).collect())
    }

    /// What is odd about the answers that the reader of site files does not say of the file: the question, and what.
    pub fn odd(&self) -> Vec<(&'static str, String)> {
        let sketch = self.sketch();
        questions().filter_map(|(_, question)| Some((question.name, doubts::odd(question, &sketch)?))).collect()
    }

    /// Water over the edge of the low place comes to a building: where it runs to, and from which level on it gets in, as
    /// far as that is known.
    pub fn runs_to_building(&self) -> Option<(Option<String>, Option<String>)> {
        let sketch = self.sketch();
        let to = sketch.text("spill-to").filter(|_| !sketch.is_usual("spill-to"));
        let at = sketch.gets_in().map(|level| sketch.level_text(level));
        sketch.is("spill-building", "yes").then_some((to, at))
    }

    /// The site file as far as it was answered; what was not is usual, or a gap.
    pub fn site_file(&self) -> String {
        writing::site_file(&self.sketch(), VERSION)
    }
}

/// Whether a problem of a list that is not whole yet is one of a line in it, and not that lines are missing.
fn concerns_one_line(kind: ProblemKind, lines: usize) -> bool {
    match kind {
        ProblemKind::OutOfRange
        | ProblemKind::OddValue
        | ProblemKind::BadQuantity
        | ProblemKind::BareNumber
        | ProblemKind::DuplicateKey
        | ProblemKind::Syntax => true,
        ProblemKind::BadCurve | ProblemKind::BadRain | ProblemKind::LevelOrder => lines > 1,
        _ => false,
    }
}

/// What the reader says, in the words of somebody who sees a question and no file.
fn spoken(question: &Question, message: &str) -> String {
    let whole = format!("`{}`", question.key);
    let message = message.replace(&format!("{whole}: "), "").replace(&whole, "that");
    message.replace("\"`", "`").replace("`\"", "`")
}

/// Advice of the reader, where it is no piece of a file.
fn advice(help: &str) -> String {
    if help.contains(['[', '=', '"']) { String::new() } else { help.to_owned() }
}

fn doubt(question: &Question, problem: &Problem) -> String {
    let help = problem.help.as_deref().map(advice).filter(|help| !help.is_empty());
    let said = spoken(question, &problem.message);
    help.map_or_else(|| said.clone(), |help| format!("{said}; {help}"))
}
