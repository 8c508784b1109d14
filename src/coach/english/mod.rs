//! The coach's sayings in English.

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

pub use names::{deed, idea, level, sight, slip, used};

/// All that is said at once.
pub fn text(text: &Text) -> String {
    let sentences: Vec<String> = text.sayings().iter().map(sentence).collect();
    sentences.join(" ")
}

/// One sentence.
pub fn sentence(saying: &Saying) -> String {
    match saying {
        Saying::Turns(saying) => turns::sentence(saying),
        Saying::Pair(saying) => pair::sentence(saying),
        Saying::Cross(saying) => cross::sentence(saying),
        Saying::Top(saying) => last_layer::sentence(saying),
        Saying::Stage(saying) => stage::sentence(*saying),
        Saying::Follow(saying) => follow::sentence(saying),
        Saying::Progress(saying) => progress::sentence(saying),
        Saying::Praise(praise) => progress::praise(*praise),
        Saying::Then(saying) => format!("Then {}", words::within(&sentence(saying))),
    }
}

/// JSON has it in English.
impl Serialize for Text {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(&text(self))
    }
}
