//! What to ask about a bid or a system that is there.

use crate::design::Design;
use crate::report::layout::Page;

pub(in crate::report) fn to_ask(page: &mut Page, design: &Design) {
    if design.to_ask.is_empty() {
        return;
    }
    page.heading("To ask");
    page.paragraph("What the file does not say, and what hangs on it:");
    for question in &design.to_ask {
        page.hang("- ", &format!("{} {}", question.ask, question.why));
    }
}
