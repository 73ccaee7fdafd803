//! A new site file: by question and answer, by flags alone, or from an example.

use super::commands;
use super::input::{self, shown};
use super::interrupt;
use super::output;
use super::{Ending, Said, print};
use crate::interview::{EXAMPLES, Example, Interview, Reply, question, questions};
use crate::report::asking;
use crate::report::layout::paragraph;
use crate::site::{self, nearest};
use clap::Args;
use rustyline::completion::Completer;
use rustyline::error::ReadlineError;
use rustyline::highlight::Highlighter;
use rustyline::hint::Hinter;
use rustyline::history::MemHistory;
use rustyline::validate::Validator;
use rustyline::{CompletionType, Config, Context, Editor, Helper};
use std::ffi::OsString;
use std::fmt::Write as _;
use std::io::IsTerminal as _;
use std::path::{Path, PathBuf};

pub(super) const HELP: &str = "\
Examples:
  sumpwright new yard.toml
  sumpwright new yard.toml --from cut-bank
  sumpwright new --questions
  sumpwright new yard.toml --no-questions --answer \"low-level=8 in below\" --answer \"run=85 ft\"

Answers are kept in FILE.answers after each question, until the site file is written; the same command goes on there.

Exit codes:
    0  the file is written, or the rest was left for another time
    2  the command or an answer is wrong
    3  a file could not be read or written, or would be overwritten
  130  interrupted: the answers so far are kept";

#[derive(Debug, Args)]
pub(super) struct NewOptions {
    /// The site file to write, or - for the screen where nothing is asked
    #[arg(required_unless_present = "questions")]
    file: Option<PathBuf>,
    /// Begin as a copy of an example, and ask nothing
    #[arg(long, value_name = "NAME", conflicts_with_all = ["answer", "no_questions", "questions"])]
    from: Option<String>,
    /// Answer a question without being asked; several times. Lines of a list are parted by ;
    #[arg(long, value_name = "NAME=TEXT", value_parser = answer)]
    answer: Vec<(String, String)>,
    /// Ask nothing: what has no answer takes what is usual, or stands as a gap
    #[arg(long)]
    no_questions: bool,
    /// List all questions: name, what it takes, what is taken without an answer
    #[arg(long, conflicts_with_all = ["answer", "no_questions", "force"])]
    questions: bool,
    /// Replace the file if it is there already
    #[arg(long)]
    force: bool,
}

fn answer(text: &str) -> Result<(String, String), String> {
    let (name, text) = text.split_once('=').ok_or("write a question and its answer, as run=\"85 ft\"")?;
    Ok((name.trim().to_owned(), text.trim().to_owned()))
}

pub(super) fn new(options: &NewOptions) -> Said {
    let Some(file) = options.file.as_deref().filter(|_| !options.questions) else {
        return Said::out(asking::list(), Ending::Fine);
    };
    if let Err(refused) = output::asked(Some(file), options.force, &[]) {
        return refused;
    }
    if let Some(name) = &options.from {
        return match example(name) {
            Ok(example) => finished(file, &example.site_file(), options.force),
            Err(said) => said,
        };
    }
    let terminal = std::io::stdin().is_terminal() && std::io::stdout().is_terminal();
    let asks = !options.no_questions && terminal;
    if !asks && options.answer.is_empty() && !options.no_questions {
        let help = "help: answer by `--answer NAME=TEXT` (`sumpwright new --questions` lists the names), begin as an example \
                    by `--from NAME`, or write `--no-questions` for a file of what is usual, with gaps";
        return Said::err(format!("error: there is no terminal to ask in\n{}", paragraph(help)), Ending::BadInput);
    }
    if asks && file.as_os_str() == "-" {
        let help = "help: name the file to write";
        return Said::err(
            format!("error: questions and the file cannot both go to the screen\n{help}\n"),
            Ending::BadInput,
        );
    }
    if !asks {
        let mut interview = Interview::new();
        return match give(&mut interview, &options.answer) {
            Ok(()) => {
                let mut said = finished(file, &interview.site_file(), options.force);
                if said.ending == Ending::Fine {
                    said.err.push_str(&asking::odd(&interview));
                    said.err.push_str(&asking::last_caution(&interview));
                }
                said
            }
            Err(said) => said,
        };
    }
    Dialogue::new(file, options.force).map_or_else(|said| said, |mut dialogue| dialogue.run(&options.answer))
}

fn example(name: &str) -> Result<&'static Example, Said> {
    let plain = name.trim().to_lowercase();
    let plain = plain.strip_suffix(".toml").unwrap_or(&plain);
    let plain = plain.strip_prefix("examples/").unwrap_or(plain);
    EXAMPLES.iter().find(|example| example.name == plain).ok_or_else(|| {
        let near = nearest(plain, EXAMPLES.iter().map(|example| example.name));
        let near = near.map_or_else(String::new, |near| format!("help: did you mean `{near}`?\n"));
        let name = crate::report::layout::clean(name);
        Said::err(
            format!("error: there is no example `{name}`\n{near}the examples are\n{}", asking::examples()),
            Ending::BadInput,
        )
    })
}

/// Takes the answers of the command line, in the order of the questions; all that is wrong with them is said together.
fn give(interview: &mut Interview, answers: &[(String, String)]) -> Result<(), Said> {
    let mut wrong = String::new();
    for (name, _) in answers {
        if question(name).is_none() {
            let near = nearest(name, questions().map(|(_, question)| question.name));
            let near = near.map_or_else(String::new, |near| format!("did you mean `{near}`? "));
            let name = crate::report::layout::clean(name);
            let _ = writeln!(wrong, "error: there is no question `{name}`");
            wrong.push_str(&paragraph(&format!("help: {near}`sumpwright new --questions` lists them")));
        }
    }
    let mut refused = Vec::new();
    for (_, question) in questions() {
        // the last one counts
        let Some((_, text)) = answers.iter().rev().find(|(name, _)| name == question.name) else { continue };
        if let Err(refusal) = interview.give(question, text) {
            refused.push(question.name);
            wrong.push_str(&paragraph(&format!("error: `{}`: {}", question.name, refusal.reason)));
            if !refusal.help.is_empty() {
                wrong.push_str(&paragraph(&format!("help: {}", refusal.help)));
            }
        }
    }
    for (name, _) in answers {
        // what it hangs on may be what was not taken
        if refused.is_empty() && question(name).is_some_and(|question| !interview.matters(question)) {
            wrong.push_str(&paragraph(&format!("error: `{name}` says nothing here: it hangs on another answer")));
            let help = "help: give that as well, such as `hill=yes` for the height of a hill or `way-in=both` for a French drain; `--questions` lists all in their order";
            wrong.push_str(&paragraph(help));
        }
    }
    if wrong.is_empty() {
        return Ok(());
    }
    wrong.push_str("nothing was written\n");
    Err(Said::err(wrong, Ending::BadInput))
}

/// Writes the file, and says what `check` finds in it.
fn finished(file: &Path, text: &str, force: bool) -> Said {
    if file.as_os_str() == "-" {
        return Said::out(text.to_owned(), Ending::Fine);
    }
    if let Err(error) = output::write(file, text, force) {
        return Said::err(format!("error: {error}\n"), Ending::BadFile);
    }
    let problems = site::read(text, &input::Beside::new(file)).problems;
    Said::err(format!("written: {}\n{}", shown(file), commands::render(&problems, file, text)), Ending::Fine)
}

/// Completes the words of the question that is due.
#[derive(Default)]
struct Words(Vec<&'static str>);

impl Completer for Words {
    type Candidate = String;
    fn complete(&self, line: &str, at: usize, _: &Context<'_>) -> rustyline::Result<(usize, Vec<String>)> {
        let typed = line.get(..at).unwrap_or(line);
        // of `20 ft x 24 ft, ro` the word after the comma
        let start = typed.rfind(',').map_or(0, |comma| comma + 1);
        let start = start + typed.get(start..).map_or(0, |rest| rest.len() - rest.trim_start().len());
        let begun = typed.get(start..).unwrap_or("").to_lowercase();
        let always = ["back", "unknown", "quit"];
        let words = self.0.iter().copied().chain(always.into_iter().filter(|_| start == 0 && !begun.is_empty()));
        Ok((start, words.filter(|word| word.starts_with(&begun)).map(str::to_owned).collect()))
    }
}

impl Hinter for Words {
    type Hint = String;
}
impl Highlighter for Words {}
impl Validator for Words {}
impl Helper for Words {}

/// What came of asking for a line.
enum Line {
    Typed(String),
    /// The end of the input, or a terminal that is gone.
    Ended,
    Interrupted,
}

/// Questions and answers in a terminal.
struct Dialogue<'f> {
    file: &'f Path,
    /// Where the answers are kept.
    kept: PathBuf,
    force: bool,
    editor: Editor<Words, MemHistory>,
    interview: Interview,
}

const PROMPT: &str = "> ";

/// The name of a file with something behind it.
fn beside(file: &Path, end: &str) -> PathBuf {
    let mut name = OsString::from(file);
    name.push(end);
    PathBuf::from(name)
}

impl<'f> Dialogue<'f> {
    fn new(file: &'f Path, force: bool) -> Result<Self, Said> {
        // several lines that are pasted are several lines of a list
        let config = Config::builder().completion_type(CompletionType::List).bracketed_paste(false).build();
        let editor = Editor::with_history(config, MemHistory::new()).map_err(|error| {
            Said::err(format!("error: nothing can be asked in this terminal: {error}\n"), Ending::BadFile)
        })?;
        Ok(Self { file, kept: beside(file, ".answers"), force, editor, interview: Interview::new() })
    }

    fn run(&mut self, answers: &[(String, String)]) -> Said {
        match self.begin(answers) {
            Ok(()) => {}
            Err(said) => return said,
        }
        let mut last = "";
        let mut opened: Vec<&str> = Vec::new();
        while let Some((chapter, due)) = self.interview.due() {
            let mut asked = String::new();
            // once is enough: `?` shows the drawing again
            if chapter.title != last && !opened.contains(&chapter.title) {
                opened.push(chapter.title);
                asked.push_str(&asking::chapter(chapter));
            } else if chapter.title != last {
                asked.push_str(&asking::heading(chapter));
            }
            last = chapter.title;
            asked.push_str(&asking::question(&self.interview));
            if print(&asked).is_err() {
                return self.left(Ending::Fine);
            }
            if let Some(said) = self.answered(due.name, due.words()) {
                return said;
            }
        }
        self.finish()
    }

    /// Reads lines until the question has its answer, or another one is due; how the dialogue ends, where it does.
    fn answered(&mut self, name: &str, words: Vec<&'static str>) -> Option<Said> {
        self.editor.set_helper(Some(Words(words)));
        loop {
            let line = match self.line() {
                Line::Typed(line) => line,
                Line::Ended => return Some(self.left(Ending::Fine)),
                Line::Interrupted => return Some(self.left(Ending::Interrupted)),
            };
            let reply = self.interview.say(&line);
            let (said, again) = match &reply {
                Reply::Taken { understood, doubts } => {
                    let mut said = understood.as_deref().map_or_else(String::new, asking::understood);
                    said.extend(doubts.iter().map(|doubt| asking::doubt(doubt)));
                    (said, false)
                }
                Reply::Line { doubts } => (doubts.iter().map(|doubt| asking::doubt(doubt)).collect(), true),
                Reply::Emptied => ("   the list is empty again\n".to_owned(), true),
                Reply::Refused(refusal) => (asking::refused(refusal), true),
                Reply::Help => (asking::help(&self.interview), true),
                Reply::SoFar => (asking::so_far(&self.interview), true),
                Reply::Back(true) => (String::new(), false),
                Reply::Back(false) => ("   this is the first question\n".to_owned(), true),
                Reply::Quit => return Some(self.left(Ending::Fine)),
            };
            let changes = !matches!(reply, Reply::Help | Reply::SoFar | Reply::Refused(_));
            if changes && let Err(said) = self.keep() {
                return Some(said);
            }
            if print(&said).is_err() {
                return Some(self.left(Ending::Fine));
            }
            if !again || self.interview.due().is_none_or(|(_, due)| due.name != name) {
                return None;
            }
        }
    }

    fn line(&mut self) -> Line {
        match self.editor.readline(PROMPT) {
            Ok(line) => Line::Typed(line),
            Err(ReadlineError::Interrupted) => Line::Interrupted,
            Err(_) => Line::Ended,
        }
    }

    /// The first words; what was kept from before is gone on with, where that is wanted.
    fn begin(&mut self, answers: &[(String, String)]) -> Result<(), Said> {
        let unread = |cause: String| {
            let kept = shown(&self.kept);
            let help = paragraph(&format!(
                "help: answers would be kept in `{kept}`: give that file another name, or take it away"
            ));
            Said::err(format!("error: {cause}\n{help}"), Ending::BadFile)
        };
        let mut resumed = None;
        match input::text(&self.kept) {
            Ok(text) => {
                let interview = Interview::resumed(&text)
                    .map_err(|error| unread(format!("`{}` is there already, but {error}", shown(&self.kept))))?;
                resumed = Some((interview, text)).filter(|(interview, _)| interview.answered() > 0);
            }
            Err(error) if self.kept.exists() => return Err(unread(error.to_string())),
            Err(_) => {}
        }
        let _ = print(&asking::opening(&shown(self.file), self.interview.place().1));
        if let Some((interview, text)) = resumed {
            let _ = print(&format!("\n{}", asking::resuming(&shown(&self.kept), interview.answered())));
            loop {
                match self.line() {
                    Line::Typed(line) => match line.trim().to_lowercase().as_str() {
                        "" | "y" | "yes" => {
                            self.interview = interview;
                            break;
                        }
                        "n" | "no" => {
                            self.put_aside(&text)?;
                            break;
                        }
                        _ => {
                            let _ = print("   type `yes` or `no`\n");
                        }
                    },
                    Line::Ended => return Err(Said::out(String::new(), Ending::Fine)),
                    Line::Interrupted => return Err(Said::err("interrupted\n".to_owned(), Ending::Interrupted)),
                }
            }
        }
        give(&mut self.interview, answers)?;
        if !answers.is_empty() {
            self.interview.go_on();
            self.keep()?;
        }
        Ok(())
    }

    /// Keeps the answers of another time, which the next ones are written over, under a name of their own.
    fn put_aside(&self, text: &str) -> Result<(), Said> {
        let aside = beside(self.file, ".answers-before");
        let name = shown(&aside);
        if aside.exists() && input::text(&aside).ok().and_then(|text| Interview::resumed(&text).ok()).is_none() {
            let help = paragraph(&format!("help: take `{name}` away, or go on with the answers that there are"));
            return Err(Said::err(
                format!(
                    "error: the answers from before would be put aside in `{name}`, which is something else\n{help}"
                ),
                Ending::BadFile,
            ));
        }
        output::write(&aside, text, true).map_err(|error| Said::err(format!("error: {error}\n"), Ending::BadFile))?;
        let _ = print(&paragraph(&format!(
            "They are put aside in {name}; under the name {} they are gone on with again.",
            shown(&self.kept)
        )));
        Ok(())
    }

    /// Keeps the answers, so that nothing is lost whatever comes.
    fn keep(&self) -> Result<(), Said> {
        output::write(&self.kept, &self.interview.kept(), true)
            .map(|()| interrupt::last_words(self.goes_on()))
            .map_err(|error| Said::err(format!("error: the answers could not be kept: {error}\n"), Ending::BadFile))
    }

    fn goes_on(&self) -> String {
        let (kept, file) = (shown(&self.kept), shown(self.file));
        paragraph(&format!("Your answers are kept in {kept}; `sumpwright new {file}` goes on where you stopped."))
    }

    /// What is said when the rest is left for another time.
    fn left(&self, ending: Ending) -> Said {
        let first = if ending == Ending::Interrupted { "\ninterrupted\n" } else { "\n" };
        if self.interview.answered() == 0 {
            return Said::err(format!("{first}nothing was answered, and nothing is written\n"), ending);
        }
        Said::err(format!("{first}{}", self.goes_on()), ending)
    }

    /// Writes the file, says what is open, and sizes it where that is wanted.
    fn finish(&mut self) -> Said {
        let text = self.interview.site_file();
        if let Err(error) = output::write(self.file, &text, self.force) {
            return Said::err(format!("error: {error}\n{}", self.goes_on()), Ending::BadFile);
        }
        let _ = std::fs::remove_file(&self.kept);
        interrupt::last_words(String::new());
        let reading = site::read(&text, &input::Beside::new(self.file));
        let found = commands::render(&reading.problems, self.file, &text);
        let _ = print(&format!("\nwritten: {}\n", shown(self.file)));
        let _ = super::show(&Said { out: String::new(), err: found, ending: Ending::Fine });
        let caution = asking::last_caution(&self.interview);
        let part = if caution.is_empty() { "" } else { "\n" };
        let next = format!("{part}{caution}{}", asking::what_next(&shown(self.file)));
        let Some(site) = reading.site else {
            return Said::out(
                format!("It can be sized as soon as what is needed for that is measured.\n{next}"),
                Ending::Fine,
            );
        };
        let _ = print("\nSize it now? An empty line or `yes` shows the report, `no` leaves it.\n");
        self.editor.set_helper(Some(Words(vec!["yes", "no"])));
        loop {
            match self.line() {
                Line::Typed(line) => match line.trim().to_lowercase().as_str() {
                    "" | "y" | "yes" => break,
                    "n" | "no" | "quit" => return Said::out(next, Ending::Fine),
                    other => {
                        let written = "   the file is written: change an answer in it; ";
                        let first = if other == "back" || other.starts_with("back ") { written } else { "   " };
                        let _ = print(&format!("{first}type `yes` or `no`\n"));
                    }
                },
                Line::Ended | Line::Interrupted => return Said::out(next, Ending::Fine),
            }
        }
        match commands::report(&site) {
            Ok(report) => Said::out(format!("\n{report}{next}"), Ending::Fine),
            Err(error) => Said { out: next, err: format!("error: {error}\n"), ending: Ending::Fine },
        }
    }
}
