//! What makes a cube hard to see, in words that a learner can act on.

use super::event::Seen;
use crate::sight::{Look, Problem};

/// Gravest first: what to say when most faces have the problem.
const WORDS: [(Problem, Seen, &str); 7] = [
    (
        Problem::Dark,
        Seen::Dark,
        "It is too dark to tell the colours. Turn a lamp on, or hold the cube nearer to the lamp.",
    ),
    (
        Problem::Bright,
        Seen::Bright,
        "The stickers are too bright to tell the colours. Move the lamp away a little, or hold the cube further from it.",
    ),
    (
        Problem::Glare,
        Seen::Glare,
        "The lamp shines back from the cube. Tilt the cube a little.",
    ),
    (
        Problem::Blur,
        Seen::Blur,
        "The cube is blurred. Rest your elbows on the table, and hold it a little further from the camera.",
    ),
    (
        Problem::Hidden,
        Seen::Hidden,
        "Something hides stickers. Hold the cube by its edges.",
    ),
    (
        Problem::Small,
        Seen::Small,
        "The cube is small in the picture. Bring it nearer to the camera.",
    ),
    (
        Problem::CutOff,
        Seen::CutOff,
        "Part of the cube is outside the picture. Hold it in the middle.",
    ),
];

/// What to say of a face alone that is seen too much from the side to be read.
pub const STEEP: (Seen, &str) = (
    Seen::Steep,
    "I see a side of the cube, but too much from the side. Turn it towards the camera, or show a corner with three sides.",
);

/// The gravest problem that more than half of the faces have.
pub fn hindrance(looks: &[Look]) -> Option<(Seen, &'static str)> {
    let faces = || looks.iter().flat_map(|look| &look.faces);
    let most = |problem: &Problem| {
        2 * faces()
            .filter(|face| face.problems.contains(problem))
            .count()
            > faces().count()
    };
    WORDS
        .iter()
        .find(|(problem, ..)| most(problem))
        .map(|(_, seen, words)| (*seen, *words))
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
