//! What is kept or printed: whole HTML documents that need nothing from outside.

mod guide;
mod journal;
mod review;

use maud::{DOCTYPE, Markup, PreEscaped, html};

pub use guide::guide;
pub use journal::{Learner, journal};
pub use review::{Slowest, Solve, review};

/// A document with this title, style sheet and content.
fn document(title: &str, style: &str, content: &Markup) -> String {
    let whole = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width";
                title { (title) }
                style { (PreEscaped(style)) }
            }
            body { main { (content) } }
        }
    };
    whole.into_string() + "\n"
}
