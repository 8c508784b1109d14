//! What a reading tells: the state or what is missing, each sticker with its doubt, and what to show next.

use crate::cube::{Colour, Cube, Fault, Net, Scheme};
use crate::sight::FaceView;
use serde::Serialize;

/// How a reading ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Outcome {
    /// One legal state explains what was seen, and none other nearly as well.
    Read,
    /// Too little was seen.
    Incomplete,
    /// All was seen, but more than one state explains it, or none well.
    Unsure,
    /// What was seen is not a legal cube.
    Impossible,
}

/// The answer to the question what cube the looks show. Serialises to the document of `pairsight read --json`, less
/// the names of the pictures.
#[derive(Clone, Debug, Serialize)]
pub struct Reading {
    pub schema: u32,
    pub outcome: Outcome,
    /// The answer in one or two sentences.
    pub say: String,
    /// How the cube's colours lie.
    #[serde(serialize_with = "in_words")]
    pub scheme: Scheme,
    /// The state in the cube's own colours, white up and green in front (or, where that is opposite white, red); only when it was
    /// read.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub net: Option<Net>,
    /// Log-odds (natural) of the best legal state over the runner-up; negative when something else explains the looks
    /// better.
    pub margin: f64,
    /// One for each look, in order.
    pub looks: Vec<LookReading>,
    /// What would decide it; none when it is decided.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ask: Option<Ask>,
    /// Faces not yet seen.
    pub missing: Vec<Colour>,
    pub faults: Vec<Fault>,
    /// The light against that of the profile; none without a profile, or when nothing was seen.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub light: Option<Light>,
    /// Whether the pictures are mirrored is all that keeps a state from being told: the colours are known.
    #[serde(skip)]
    pub either_way: bool,
    /// The state against the cube's own centres, when it was read.
    #[serde(skip)]
    pub cube: Option<Cube>,
    /// The stickers as they are, held white up and green in front, when they cannot be a legal cube.
    #[serde(skip)]
    pub impossible: Option<Net>,
}

/// What one look shows.
#[derive(Clone, Debug, Serialize)]
pub struct LookReading {
    /// The picture's name, filled in by whoever knows it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub image: Option<String>,
    /// In words: glare, blur, dark, bright, hidden, small, cut off, steep.
    pub problems: Vec<&'static str>,
    /// Whether the picture shows the cube as in a mirror.
    pub mirrored: bool,
    pub faces: Vec<FaceReading>,
}

/// One face of a look, corrected for mirroring.
#[derive(Clone, Debug, Serialize)]
pub struct FaceReading {
    pub centre: Colour,
    /// Pixels of the picture as stored; clockwise on the cube. Row 0 runs from the first to the second.
    pub outline: [[f32; 2]; 4],
    /// Letters row by row.
    pub stickers: [String; 3],
    /// Chance, 0 to 1, that each sticker is wrong.
    pub doubt: [[f32; 3]; 3],
}

impl FaceReading {
    /// Whether it is of this face, in pixels of the upright picture: a reading leaves out faces that are none of the cube's.
    /// Transposing keeps the first and the third corner.
    pub fn is_of(&self, face: &FaceView) -> bool {
        let outline = face.outline();
        [0, 2]
            .into_iter()
            .all(|i| [outline[i].x, outline[i].y] == self.outline[i])
    }
}

/// A request for another look.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Ask {
    /// The centres of the face, or of the three faces of the corner, to show.
    pub show: Vec<Colour>,
    pub say: String,
}

/// The light compared with the profile's.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Light {
    pub like_profile: bool,
    /// Mean CIEDE2000 between the six colours under this light and the profile's.
    pub distance: f64,
}

fn in_words<S: serde::Serializer>(scheme: &Scheme, to: S) -> Result<S::Ok, S::Error> {
    to.collect_str(scheme)
}
