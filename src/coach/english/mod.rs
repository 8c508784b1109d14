//! The coach's sayings in English.

mod colours;
mod cross;
mod follow;
mod last_layer;
mod names;
mod pair;
mod progress;
mod stage;
mod turns;
pub mod words;

use serde::{Serialize, Serializer};

use super::saying::{Saying, Text};
use crate::cube::Scheme;
use colours::Colours;

pub use names::{deed, deed_of, idea, level, sight, slip, used};

/// All that is said at once of a cube of the usual scheme.
pub fn text(text: &Text) -> String {
    text_of(text, Scheme::USUAL)
}

/// All that is said at once of a cube of a scheme, in its own colours.
pub fn text_of(text: &Text, scheme: Scheme) -> String {
    let sayings = text.sayings().iter();
    let sentences: Vec<String> = sayings
        .map(|saying| said(saying, Colours(scheme)))
        .collect();
    sentences.join(" ")
}

/// One sentence of a cube of the usual scheme.
pub fn sentence(saying: &Saying) -> String {
    said(saying, Colours(Scheme::USUAL))
}

fn said(saying: &Saying, colours: Colours) -> String {
    match saying {
        Saying::Turns(saying) => turns::sentence(saying),
        Saying::Pair(saying) => pair::sentence(saying, colours),
        Saying::Cross(saying) => cross::sentence(saying, colours),
        Saying::Top(saying) => last_layer::sentence(saying, colours),
        Saying::Stage(saying) => stage::sentence(*saying, colours),
        Saying::Follow(saying) => follow::sentence(saying, colours),
        Saying::Progress(saying) => progress::sentence(saying, colours),
        Saying::Praise(praise) => progress::praise(*praise),
        Saying::Then(saying) => format!("Then {}", words::within(&said(saying, colours))),
    }
}

/// JSON has it in English.
impl Serialize for Text {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(&text(self))
    }
}
