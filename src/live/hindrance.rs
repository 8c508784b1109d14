//! What makes a cube hard to see, in words that a learner can act on.

use super::event::Seen;
use crate::sight::{FrameFault, Look, Problem};

/// A hindrance, and what to say of it.
type Words = (Seen, &'static str);

const DARK: Words = (
    Seen::Dark,
    "It is too dark to tell the colours. Turn a lamp on, or hold the cube nearer to the lamp.",
);
const BRIGHT: Words = (
    Seen::Bright,
    "The stickers are too bright to tell the colours. Move the lamp away a little, or hold the cube further from it.",
);
const GLARE: Words = (
    Seen::Glare,
    "The lamp shines back from the cube. Tilt the cube a little.",
);
const BLUR: Words = (
    Seen::Blur,
    "The cube is blurred. Rest your elbows on the table, and hold it a little further from the camera.",
);
const HIDDEN: Words = (
    Seen::Hidden,
    "Something hides stickers. Hold the cube by its edges.",
);
const SMALL: Words = (
    Seen::Small,
    "The cube is small in the picture. Bring it nearer to the camera.",
);
const CUT_OFF: Words = (
    Seen::CutOff,
    "Part of the cube is outside the picture. Hold it in the middle.",
);
const MOVING: Words = (
    Seen::Moving,
    "The cube is moving. Hold it still for a moment.",
);
const NEAR: Words = (
    Seen::Near,
    "The cube is too near. Hold it further from the camera, so that a whole side is in the picture.",
);

/// Gravest first: what to say when most faces have the problem.
const WORDS: [(Problem, Words); 7] = [
    (Problem::Dark, DARK),
    (Problem::Bright, BRIGHT),
    (Problem::Glare, GLARE),
    (Problem::Blur, BLUR),
    // What is cut off hides stickers, too.
    (Problem::CutOff, CUT_OFF),
    (Problem::Hidden, HIDDEN),
    (Problem::Small, SMALL),
];

/// What to say where no face is found, by what the picture shows instead.
pub fn unfound(fault: FrameFault) -> Words {
    match fault {
        FrameFault::Dark => DARK,
        FrameFault::Bright => BRIGHT,
        FrameFault::Moving => MOVING,
        FrameFault::Blurred => BLUR,
        FrameFault::Far => SMALL,
        FrameFault::Near => NEAR,
    }
}

/// The gravest problem that more than half of the faces have.
pub fn hindrance(looks: &[Look]) -> Option<Words> {
    let faces = || looks.iter().flat_map(|look| &look.faces);
    let most = |problem: &Problem| {
        2 * faces()
            .filter(|face| face.problems.contains(problem))
            .count()
            > faces().count()
    };
    WORDS
        .iter()
        .find(|(problem, _)| most(problem))
        .map(|(_, words)| *words)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::live::testing::look;

    #[test]
    fn what_most_faces_have_is_said_and_no_more() {
        let with = |problems: &[Problem]| {
            let mut look = look(100.0, 0);
            look.faces[0].problems = problems.into();
            look
        };
        let (dark, glare, clear) = (
            with(&[Problem::Dark, Problem::Glare]),
            with(&[Problem::Glare]),
            with(&[]),
        );
        let kind = |looks: &[Look]| hindrance(looks).map(|(seen, _)| seen);
        assert_eq!(
            kind(&[dark.clone(), glare.clone(), clear.clone()]),
            Some(Seen::Glare)
        );
        assert_eq!(
            kind(&[dark.clone(), dark.clone(), clear.clone()]),
            Some(Seen::Dark)
        );
        assert_eq!(kind(&[dark, clear]), None);
        assert_eq!(kind(&[]), None);
    }
}
