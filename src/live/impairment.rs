//! What makes a cube hard to see, in words that a learner can act on.

use super::event::Seen;
use crate::sight::{FrameFault, Look, Problem};

/// An impairment, and what to say of it.
pub type Words = (Seen, &'static str);

/// Seconds for which pictures must show no face, and the same kind of fault or another, before that is said: hands that turn the cube
/// blur it and hide it for a second or two. Judgement.
const LASTS: f64 = 3.0;

/// Seconds without it after which what was said is past, and is said again if it comes back.
const PAST: f64 = 1.5;

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
pub fn undetected(fault: FrameFault) -> Words {
    match fault {
        FrameFault::Dark => DARK,
        FrameFault::Bright => BRIGHT,
        FrameFault::Moving => MOVING,
        FrameFault::Blurred => BLUR,
        FrameFault::Far => SMALL,
        FrameFault::Near => NEAR,
        FrameFault::CutOff => CUT_OFF,
    }
}

/// The gravest problem that more than half of the faces have.
pub fn impairment(looks: &[Look]) -> Option<Words> {
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

/// What pictures show instead of a cube, and since when.
#[derive(Debug, Default)]
pub struct Undetected {
    since: Option<f64>,
    /// The kind that was shown last, and since when it alone.
    shown: Option<(Seen, f64)>,
    /// The kind that was told, and when it or another was last there.
    told: Option<(Seen, f64)>,
}

impl Undetected {
    /// The newest picture shows no cube, or hardly one.
    pub fn is_impaired(&self) -> bool {
        self.since.is_some()
    }

    /// Takes what impairs in the newest picture, at a time in seconds; gives what is to be said of it now. A fault that looks now like
    /// one kind, now like another, is told once.
    pub fn see(&mut self, words: Option<Words>, now: f64) -> Option<Words> {
        let Some((kind, _)) = words else {
            (self.since, self.shown) = (None, None);
            self.told = self.told.filter(|(_, last)| now - last <= PAST);
            return None;
        };
        let since = *self.since.get_or_insert(now);
        let lasting = self.shown.filter(|(shown, _)| *shown == kind);
        let (_, lasting) = *self.shown.insert(lasting.unwrap_or((kind, now)));
        let (since, is_news) = match &mut self.told {
            Some((told, last)) => {
                *last = now;
                (lasting, *told != kind)
            }
            None => (since, true),
        };
        if !is_news || now - since < LASTS {
            return None;
        }
        self.told = Some((kind, now));
        words
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::live::testing::look;

    /// What is told of pictures ten a second.
    fn told(pictures: &[(usize, Option<Words>)]) -> Vec<(f64, Seen)> {
        let mut undetected = Undetected::default();
        let pictures = pictures.iter().flat_map(|(n, words)| vec![*words; *n]);
        let tell = |(n, words)| {
            let now = n as f64 / 10.0;
            Some((now, undetected.see(words, now)?.0))
        };
        pictures.enumerate().filter_map(tell).collect()
    }

    #[test]
    fn what_hides_the_cube_is_told_after_a_while_and_again_when_it_comes_back() {
        let (dark, near) = (Some(DARK), Some(NEAR));
        assert_eq!(told(&[(60, dark)]), [(3.0, Seen::Dark)]);
        assert_eq!(told(&[(29, dark), (1, None), (29, dark)]), []);
        // Another kind has to hold by itself.
        let both = told(&[(40, dark), (40, near)]);
        assert_eq!(both, [(3.0, Seen::Dark), (7.0, Seen::Near)]);
        // For a moment it is gone, and then for good.
        assert_eq!(told(&[(40, dark), (5, None), (40, dark)]).len(), 1);
        assert_eq!(told(&[(40, dark), (20, None), (40, dark)]).len(), 2);
    }

    /// A cube that is shaken looks blurred and moved by turns: both were said, again and again.
    #[test]
    fn a_fault_that_is_now_one_kind_now_another_is_told_once() {
        let shaken = [(3, Some(BLUR)), (2, Some(MOVING))].repeat(30);
        assert_eq!(told(&shaken).len(), 1);
    }

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
        let kind = |looks: &[Look]| impairment(looks).map(|(seen, _)| seen);
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
