//! What the town's rules say, and what to ask it.

use super::Sources;
use super::document::{Document, Part};

pub(super) fn town(sources: Sources<'_>) -> Document {
    Document {
        title: "Questions to the town".to_owned(),
        about: Some(sources.site.title.clone()),
        lead:
            "What you entered of your town's rules, held against this site, and what only the town can answer. No rule \
               is built in, and nothing here is the law."
                .to_owned(),
        parts: vec![Part::Ticks(vec!["May the water end where it is planned to?".to_owned()])],
    }
}
