//! What stands twice in a text.

use super::keys::{self, Kind};
use super::problem::{Problem, ProblemKind};
use super::repair::header_name;
use super::suggest::echo;
use super::syntax::{MOST_PROBLEMS, Parsed, key_of};
use super::tree::Place;
use std::ops::Range;

impl Parsed {
    /// Says what stands twice. TOML keeps the first.
    pub(super) fn twice(&mut self, errors: &[toml::de::Error]) {
        if errors.is_empty() {
            return;
        }
        if self.lines.is_empty() {
            self.split();
        }
        let mut list_headers: Vec<String> = Vec::new();
        let mut repeated: Option<Range<usize>> = None;
        for error in errors.iter().take(MOST_PROBLEMS) {
            let place = error.span().unwrap_or(0..0);
            let at = self.line_at(place.start);
            let Some(line) = self.lines.get(at) else { continue };
            if let Some(name) = header_name(&line.current) {
                let end = (at + 1..self.lines.len())
                    .find(|index| self.lines.get(*index).is_some_and(|line| header_name(&line.current).is_some()));
                repeated = Some(at..end.unwrap_or(self.lines.len()));
                if keys::at_path(name.split('.')).is_some_and(|key| matches!(key.kind, Kind::Tables(_))) {
                    if !list_headers.contains(&name) {
                        list_headers.push(name);
                    }
                    continue;
                }
                let earlier = (0..at).find(|index| {
                    self.lines.get(*index).and_then(|line| header_name(&line.current)).as_deref() == Some(&name)
                });
                self.say_twice(&format!("table `[{name}]`"), place, earlier);
            } else if repeated.as_ref().is_none_or(|lines| !lines.contains(&at)) {
                let key = self.text.get(place.clone()).unwrap_or("").to_owned();
                let first = self.lines.iter().take(at).enumerate().rev();
                let earlier = first
                    .take_while(|(_, line)| header_name(&line.current).is_none())
                    .find(|(_, line)| key_of(&line.current).as_deref() == Some(key.trim_matches('"')))
                    .map(|(index, _)| index);
                self.say_twice(&format!("key `{}`", echo(&key)), place, earlier);
            }
        }
        for name in list_headers {
            self.make_list(&name);
        }
    }

    fn say_twice(&mut self, what: &str, place: Place, earlier: Option<usize>) {
        let place = self.original(place);
        let mut problem = Problem::error(ProblemKind::DuplicateKey, place, format!("the {what} stands twice"))
            .label("the second time")
            .help("keep one of them");
        if let Some(line) = earlier.and_then(|index| self.lines.get(index)) {
            let body = line.current.trim_end().len().min(line.original.end - line.original.start);
            problem = problem.also(line.original.start..line.original.start + body, "the first");
        }
        self.problems.push(problem);
    }

    /// `[pump]` twice means `[[pump]]`.
    fn make_list(&mut self, name: &str) {
        for line in &mut self.lines {
            let trimmed = line.current.trim_start();
            if line.changed || trimmed.starts_with("[[") || header_name(trimmed).as_deref() != Some(name) {
                continue;
            }
            let indent = line.current.len() - trimmed.len();
            let end = trimmed.find(']').map_or(trimmed.len(), |at| at + 1);
            let (Some(before), Some(header), Some(after)) =
                (line.current.get(..indent), line.current.get(indent..indent + end), line.current.get(indent + end..))
            else {
                continue;
            };
            let place = line.original.start + indent..line.original.start + indent + end;
            self.problems.push(
                Problem::error(
                    ProblemKind::WrongType,
                    place,
                    format!("there are several `[{name}]`, so each is one of a list"),
                )
                .label("single brackets")
                .help(format!("write `[[{name}]]`"))
                .replacement(format!("[{header}]")),
            );
            line.current = format!("{before}[{header}]{after}");
            line.changed = true;
        }
        self.join();
    }
}
