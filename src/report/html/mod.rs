//! The sizing report as one HTML file, and the page that every HTML file here is written on: nothing is fetched and
//! nothing runs, so that it opens anywhere and prints as it is.

mod blocks;
mod report;

pub(crate) use blocks::words;
pub use report::{Sources, sizing_html};

use crate::report::layout::clean;
use crate::report::papers::Drawing;
use maud::{DOCTYPE, Markup, PreEscaped, html};

/// How every page looks, on the screen and in print.
const STYLE: &str = include_str!("../papers/style.css");

/// A whole file around what it says.
pub(super) fn page(name: &str, body: &Markup) -> String {
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                // nothing is fetched and nothing runs, whatever a name in the file says
                meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'";
                title { (clean(name)) }
                style { (PreEscaped(STYLE)) }
            }
            body { main { (body) } }
        }
    };
    page.into_string()
}

/// A drawing with what it shows, and what somebody is told who cannot see it.
pub(super) fn figure(drawing: &Drawing) -> Markup {
    html! {
        figure {
            div role="img" aria-label=(clean(&drawing.in_words.replace('`', ""))) { (PreEscaped(&drawing.svg)) }
            figcaption { (blocks::words(&drawing.caption)) }
        }
    }
}
