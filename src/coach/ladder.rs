//! The ladder of hints: what each rung says, why, and what it leaves for the learner to see.
//!
//! A rung gives values to show and one sentence to say. What it does not mark must not be drawn either, else the drawing
//! answers what the rung leaves open.

use serde::{Deserialize, Serialize, Serializer};

use crate::cube::Moves;

use super::route::Step;
use super::saying::{Deed, Text};

/// The rungs above the question.
pub const RUNGS: usize = 4;

/// One rung: the thing to do now.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Rung {
    /// What to do or to look for, in one sentence, or two where the cube or the top has to be turned first.
    pub sentence: Text,
    /// Why, or what helps to find it; may be nothing.
    pub why: Text,
    /// What may be marked on a drawing.
    pub marks: Marks,
    /// The turns that it tells, one idea after the other; empty below the last rung.
    pub turns: Vec<Group>,
}

/// What a drawing of the cube may mark.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Marks {
    /// The pieces that are told of may be shown by their colours, away from the cube.
    pub pieces: bool,
    /// They may be marked where they are.
    pub places: bool,
    /// Where they belong may be marked, and the next turn may be drawn.
    pub turns: bool,
}

/// Turns that belong to one idea.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Group {
    /// The idea; none of turns that are told without one.
    #[serde(serialize_with = "named")]
    pub name: Option<Deed>,
    pub moves: Moves,
}

/// In JSON what has no name has an empty one.
fn named<S: Serializer>(name: &Option<Deed>, to: S) -> Result<S::Ok, S::Error> {
    match name {
        Some(deed) => deed.serialize(to),
        None => to.serialize_str(""),
    }
}

impl Rung {
    /// A rung without turns.
    pub fn new(sentence: Text, why: Text, marks: Marks) -> Rung {
        Rung {
            sentence,
            why,
            marks,
            turns: Vec::new(),
        }
    }

    /// The same with the turns of some steps.
    pub fn with(mut self, steps: &[Step]) -> Rung {
        let group = |step: &Step| Group {
            name: Some(step.idea.clone()),
            moves: step.moves.clone(),
        };
        self.turns = steps.iter().map(group).collect();
        self
    }

    /// All that it says.
    pub fn text(&self) -> Text {
        self.sentence.clone().and(self.why.clone())
    }
}

impl Marks {
    pub const NONE: Marks = Marks {
        pieces: false,
        places: false,
        turns: false,
    };
    pub const PIECES: Marks = Marks {
        pieces: true,
        ..Marks::NONE
    };
    pub const PLACES: Marks = Marks {
        places: true,
        ..Marks::PIECES
    };
    pub const TURNS: Marks = Marks {
        turns: true,
        ..Marks::PLACES
    };
}
