//! Everything that the screen needs at one moment.

use std::sync::Arc;

use serde::Serialize;

use crate::cube::Colour;
use crate::draw::Stickers;

use super::choices::{Choices, LevelChoice};

/// What the page shows at one moment. The default is an empty page that waits for its first words.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Shown {
    pub scene: Scene,
    /// One line above the sentence: what has just happened, such as praise or what a slip was; may be empty.
    pub passed: String,
    /// The one large sentence: what to do now.
    pub sentence: String,
    /// One line of reason below it; may be empty.
    pub why: String,
    /// The shorter way that there was to the pair just solved; may be empty. It has room while no turns are given.
    pub shorter: String,
    /// How much help has been given, 0 (none yet) to 4 (the turns themselves).
    pub rung: u8,
    /// Centres of the faces that the reading in progress has seen, in any order.
    pub seen: Vec<Colour>,
    /// Centres of the faces that are asked for, whether they were seen before or not.
    pub asked: Vec<Colour>,
    /// What was found in the live picture.
    pub found: Option<Arc<Found>>,
    /// The camera's driver mirrors its pictures already, so the page must not mirror them once more.
    pub mirrored_feed: bool,
    /// The cube as the learner is to hold it.
    pub drawing: Option<Drawing>,
    /// The pieces that are told of, corner and edge, by their colours; empty where none are or they are marked on the cube.
    pub pieces: Vec<Vec<Colour>>,
    /// The turns of the present hint, idea by idea; empty when none are given.
    pub turns: Vec<Turns>,
    /// How many of all those turns are made, so that the next is the one to make now.
    pub present: usize,
    /// How far the solve is, once the cube is known.
    pub progress: Option<Progress>,
    /// What the coach waits for, as a sentence; may be empty.
    pub waiting: String,
    /// What is wrong and what to do about it.
    pub trouble: Option<String>,
    /// The newest words to speak.
    pub say: Say,
    /// The newest moment that has a tone of its own.
    pub cue: Cue,
    /// No speech in any tab.
    pub quiet: bool,
    /// Whether this machine speaks where the browser cannot.
    pub speaker: SpeakerState,
    /// The profile in use and how the present light compares with it.
    pub light: Option<Light>,
    /// Names of the profiles that can be chosen.
    pub profiles: Vec<String>,
    /// Set while a calibration is under way.
    pub calibration: Option<Calibration>,
    /// The cameras of this machine.
    pub cameras: Vec<CameraName>,
    /// What the browser's own camera is to do.
    pub browser_camera: BrowserCamera,
    /// What is chosen on the page.
    pub choices: Choices,
    /// The levels that can be chosen, or will be.
    pub levels: Vec<LevelChoice>,
    /// The time of the solve, once one has begun.
    pub clock: Option<Clock>,
    /// What a word means that comes up for the first time; may be empty. It has room while no turns are given.
    pub term: String,
    /// The words that the coach uses, each with a cube that shows it.
    pub lexicon: Arc<[Term]>,
    /// Something is being practised, not a whole cube solved.
    pub practising: bool,
    /// Pairs are to be seen without turning.
    pub seeing: Option<Seeing>,
    /// The one thing that the solve just ended says to practise.
    pub weakest: Option<Exercise>,
}

/// When a solve began and ended, by this machine's clock: milliseconds since 1970, UTC.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Clock {
    pub began: u64,
    pub ended: Option<u64>,
}

/// A word with what it means.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Term {
    pub name: String,
    /// In a sentence.
    pub say: String,
    pub stickers: Stickers,
    /// The turn that it names, in the notation of the WCA Regulations.
    pub turn: Option<String>,
    /// The cube is better seen from the left.
    pub from_left: bool,
}

/// What can be said of the pair that is drawn.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Seeing {
    pub answers: [&'static str; 4],
    /// What the learner said.
    pub chosen: Option<usize>,
    /// What is right, once it was said.
    pub right: Option<usize>,
}

/// A situation to practise.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Exercise {
    /// As [`Request::Practise`](super::Request::Practise) takes it.
    pub number: u8,
    pub name: String,
}

/// Words to speak. Each serial number is spoken at most once in a tab, and a newer one silences an older.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Say {
    /// Grows with each thing said; 0 means that nothing has been said yet.
    pub serial: u64,
    pub text: Arc<str>,
}

/// What the page is for at this moment: it says which of picture and cube has the large place.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Scene {
    /// The cube is not known yet: the live picture is large.
    #[default]
    Looking,
    /// The cube is known: it is large, and the live picture small.
    Coaching,
}

/// A moment that has a tone of its own; each serial number sounds at most once in a tab.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Cue {
    /// 0 means that nothing has sounded yet.
    pub serial: u64,
    pub kind: CueKind,
}

/// What a tone tells.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum CueKind {
    /// A face was seen that was not seen before.
    #[default]
    Seen,
    /// The cube is known.
    Read,
    /// What was asked for is done.
    Right,
    Slip,
    Solved,
}

/// Speech by this machine in place of the browser.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum SpeakerState {
    /// No tab has asked for it.
    #[default]
    Idle,
    Speaks,
    /// No synthesizer is installed, or it does not speak.
    Missing,
}

/// A drawn cube.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Drawing {
    /// As held when the present turn is to be made.
    pub stickers: Stickers,
    /// It is seen from the front left in place of the front right.
    pub from_left: bool,
    /// How the cube is held in it, in a few words; shown beside it, and what a screen reader says in its place.
    pub description: Arc<str>,
}

/// Turns that carry out one idea.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Turns {
    /// Its name in a word or two; may be empty.
    pub idea: String,
    /// In the notation of the WCA Regulations.
    pub moves: Vec<String>,
    /// The same in words, such as "right side upwards".
    pub words: Vec<String>,
}

/// How far a solve is.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Progress {
    pub cross: bool,
    pub cross_colour: Colour,
    pub slots: [SlotState; 4],
    /// The last layer, and with it the cube, is solved.
    pub last: bool,
}

/// One slot of the first two layers.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct SlotState {
    /// As the cube is held, such as "front right".
    pub place: &'static str,
    /// Of the front or the back, then of the side.
    pub colours: [Colour; 2],
    pub solved: bool,
    /// Its pair is the one to do now.
    pub now: bool,
}

/// The faces found in the live picture.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Found {
    /// Width and height in pixels of the picture that `faces` speaks of.
    pub size: (u32, u32),
    pub faces: Vec<FoundFace>,
}

/// One face found in the live picture.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FoundFace {
    /// The four outer corners in pixels of the picture as the camera gave it, x right, y down.
    pub outline: [[f32; 2]; 4],
    /// Row 0 runs from the first to the second point of the outline. `None` until something can be said of them: the
    /// face is outlined only.
    pub stickers: Option<[[Sticker; 3]; 3]>,
}

/// One sticker of a found face.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Sticker {
    /// The likeliest colour; `None` where nothing can be said.
    pub colour: Option<Colour>,
    /// The colour may well be wrong, so it is marked as such.
    pub doubtful: bool,
}

/// The profile in use and how the present light compares with it.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Light {
    /// The profile's name.
    pub profile: String,
    /// The light is near enough to that of the profile.
    pub like_profile: bool,
    /// The colours were taken from the cube as the present light shows it.
    pub relit: bool,
    /// Mean CIEDE2000 between this light and the profile's, if the cube has been seen under it.
    pub distance: Option<f32>,
    /// The two colours that are hardest to tell apart in this light.
    pub closest: Option<Closest>,
    /// What to change about the light; empty when it is good.
    pub advice: String,
    /// Expected share of doubtful stickers, 0 to 1, with the colours in use in their own light.
    pub doubtful_after: Option<f32>,
}

/// The two colours of a calibration that lie closest.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Closest {
    pub a: Colour,
    pub b: Colour,
    /// How well they are told apart, in a sentence.
    pub say: String,
}

/// How far a calibration has come.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Calibration {
    /// What to show next, or that all is seen.
    pub ask: String,
    /// The colours sampled so far.
    pub swatches: Vec<Swatch>,
    pub closest: Option<Closest>,
    /// What to change about the light; empty when it is good.
    pub advice: String,
    /// Expected share of doubtful stickers, 0 to 1, with the profile in use.
    pub doubtful_before: Option<f32>,
    /// The same with the profile being made.
    pub doubtful_after: Option<f32>,
    /// All six colours are known, so the profile can be kept.
    pub complete: bool,
    /// A name to offer for it.
    pub name: String,
}

/// One colour as the camera sees it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Swatch {
    pub colour: Colour,
    /// Display colour, sRGB, 0 to 255.
    pub rgb: [u8; 3],
}

/// A camera of this machine.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CameraName {
    /// What [`Request::UseCamera`](super::Request::UseCamera) gives back.
    pub id: String,
    pub name: String,
    /// This one is in use.
    pub used: bool,
}

/// What the browser's own camera is to do.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum BrowserCamera {
    /// It may be chosen from the list, no more.
    #[default]
    Idle,
    /// The machine's camera cannot be opened: the page offers this one in large letters.
    Offered,
    /// Frames come from it.
    Used,
}
