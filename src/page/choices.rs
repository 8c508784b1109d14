//! What a learner chooses on the page.

use serde::{Deserialize, Serialize};

use crate::coach::Level;
use crate::cube::Colour;

/// What is chosen on the page. Whoever runs it says what came of it with the next [`Shown`](super::Shown), and may keep it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Choices {
    /// The cross to build; none for the one that suits the cube.
    pub cross: Option<Colour>,
    /// The level of coaching, 1 to 4; none for the highest that practice has opened.
    #[serde(deserialize_with = "level")]
    pub level: Option<u8>,
    pub pace: Pace,
    /// Whether the camera's pictures are mirrored; none where nobody has said.
    pub mirrored: Option<bool>,
    /// The learner wants to hear a voice.
    pub voice: bool,
    /// Short tones for what happens.
    pub tones: bool,
    /// The time of the solve is shown.
    pub timer: bool,
    /// What the words mean is told when they come up.
    pub terms: bool,
    /// Nothing was chosen before: the learner is shown the words first.
    pub first: bool,
}

/// One of the things to choose. By itself, so that two that are chosen quickly one after the other both hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Choice {
    Cross(Option<Colour>),
    #[serde(deserialize_with = "level")]
    Level(Option<u8>),
    Pace(Pace),
    Mirrored(Option<bool>),
    Voice(bool),
    Tones(bool),
    Timer(bool),
    Terms(bool),
    First(bool),
}

impl Choices {
    /// The same but for one.
    pub fn with(mut self, choice: Choice) -> Choices {
        match choice {
            Choice::Cross(cross) => self.cross = cross,
            Choice::Level(level) => self.level = level,
            Choice::Pace(pace) => self.pace = pace,
            Choice::Mirrored(mirrored) => self.mirrored = mirrored,
            Choice::Voice(voice) => self.voice = voice,
            Choice::Tones(tones) => self.tones = tones,
            Choice::Timer(timer) => self.timer = timer,
            Choice::Terms(terms) => self.terms = terms,
            Choice::First(first) => self.first = first,
        }
        self
    }
}

impl Default for Choices {
    fn default() -> Choices {
        Choices {
            cross: None,
            level: None,
            pace: Pace::default(),
            mirrored: None,
            voice: true,
            tones: true,
            timer: false,
            terms: true,
            first: false,
        }
    }
}

/// How fast the page shows turns and speaks.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Pace {
    Calm,
    #[default]
    Usual,
    Brisk,
}

/// A level of coaching, to be chosen.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct LevelChoice {
    /// 1 to 4.
    pub number: u8,
    pub name: &'static str,
    /// What practice opens it, while it is closed; empty once it is open.
    pub opens: String,
}

fn level<'de, D: serde::Deserializer<'de>>(from: D) -> Result<Option<u8>, D::Error> {
    let number = Option::<u8>::deserialize(from)?;
    if number.is_none_or(|number| Level::numbered(number).is_some()) {
        return Ok(number);
    }
    Err(serde::de::Error::custom("a level is a number from 1 to 4"))
}
