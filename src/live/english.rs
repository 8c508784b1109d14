//! What the loop itself says, in English.

use super::impairment::Impairment;
use crate::coach::words;

/// What is said first of a cube.
pub const KNOWN: &str = "I know your cube now.";

/// What is said first of a cube that was known and is another now, where nothing was gained or lost.
pub const GOING_ON: &str = "I go on from how it is now.";

pub const MIRRORED: &str = "The camera's picture is mirrored. I read it the right way round.";

/// What makes the cube hard to see, and what to do about it.
pub fn impairment(impairment: Impairment) -> &'static str {
    match impairment {
        Impairment::Dark => {
            "It is too dark to tell the colours. Turn a lamp on, or hold the cube nearer to the lamp."
        }
        Impairment::Bright => {
            "The stickers are too bright to tell the colours. Move the lamp away a little, or hold the cube further from it."
        }
        Impairment::Glare => "The lamp shines back from the cube. Tilt the cube a little.",
        Impairment::Blur => {
            "The cube is blurred. Rest your elbows on the table, and hold it a little further from the camera."
        }
        Impairment::Hidden => "Something hides stickers. Hold the cube by its edges.",
        Impairment::Small => "The cube is small in the picture. Bring it nearer to the camera.",
        Impairment::CutOff => "Part of the cube is outside the picture. Hold it in the middle.",
        Impairment::Moving => "The cube is moving. Hold it still for a moment.",
        Impairment::Near => {
            "The cube is too near. Hold it further from the camera, so that a whole side is in the picture."
        }
    }
}

/// More must be shown of a cube that is followed: a layer part way looks as if something hid stickers.
pub fn line_up(ask: &str) -> String {
    format!("line all layers up. {}", words::sentence(ask))
}

/// What a cube of an unusual scheme is greeted with.
pub fn unlike(unlike: &str) -> String {
    format!("{}.", words::sentence(unlike))
}
