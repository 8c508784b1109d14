//! What makes a cube hard to see.

use serde::Serialize;

use crate::sight::{FrameFault, Look, Problem};

/// What makes a cube hard to see.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Impairment {
    Dark,
    Bright,
    Glare,
    Blur,
    Hidden,
    Small,
    CutOff,
    Moving,
    Near,
}

/// Seconds for which pictures must show no face, and the same kind of fault or another, before that is said: hands that turn the cube
/// blur it and hide it for a second or two. Judgement.
const LASTS: f64 = 3.0;

/// Seconds without it after which what was said is past, and is said again if it comes back.
const PAST: f64 = 1.5;

/// Gravest first: what it is when most faces have the problem.
const IMPAIRMENTS: [(Problem, Impairment); 7] = [
    (Problem::Dark, Impairment::Dark),
    (Problem::Bright, Impairment::Bright),
    (Problem::Glare, Impairment::Glare),
    (Problem::Blur, Impairment::Blur),
    // What is cut off hides stickers, too.
    (Problem::CutOff, Impairment::CutOff),
    (Problem::Hidden, Impairment::Hidden),
    (Problem::Small, Impairment::Small),
];

/// What it is where no face is found, by what the picture shows instead.
pub fn undetected(fault: FrameFault) -> Impairment {
    match fault {
        FrameFault::Dark => Impairment::Dark,
        FrameFault::Bright => Impairment::Bright,
        FrameFault::Moving => Impairment::Moving,
        FrameFault::Blurred => Impairment::Blur,
        FrameFault::Far => Impairment::Small,
        FrameFault::Near => Impairment::Near,
        FrameFault::CutOff => Impairment::CutOff,
    }
}

/// The gravest problem that more than half of the faces have.
pub fn impairment(looks: &[Look]) -> Option<Impairment> {
    let faces = || looks.iter().flat_map(|look| &look.faces);
    let most = |problem: &Problem| {
        2 * faces()
            .filter(|face| face.problems.contains(problem))
            .count()
            > faces().count()
    };
    IMPAIRMENTS
        .iter()
        .find(|(problem, _)| most(problem))
        .map(|(_, kind)| *kind)
}

/// Seconds between two pictures beyond which nobody knows what was there meanwhile.
const UNWATCHED: f64 = 2.0;

/// What pictures show instead of a cube, and since when.
#[derive(Debug, Default)]
pub struct Undetected {
    /// When the last picture came, seconds.
    now: f64,
    since: Option<f64>,
    /// The kind that was shown last, and since when it alone.
    shown: Option<(Impairment, f64)>,
    /// The kind that was told, and when it or another was last there.
    told: Option<(Impairment, f64)>,
}

impl Undetected {
    /// The newest picture shows no cube, or hardly one.
    pub fn is_impaired(&self) -> bool {
        self.since.is_some()
    }

    /// Takes what impairs in the newest picture, at a time in seconds; gives what is to be said of it now. A fault that looks now like
    /// one kind, now like another, is told once.
    pub fn see(&mut self, kind: Option<Impairment>, now: f64) -> Option<Impairment> {
        if now - std::mem::replace(&mut self.now, now) > UNWATCHED {
            (self.since, self.shown) = (None, None);
        }
        let Some(kind) = kind else {
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
        Some(kind)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::live::testing::look;

    /// What is told of pictures ten a second.
    fn told(pictures: &[(usize, Option<Impairment>)]) -> Vec<(f64, Impairment)> {
        let mut undetected = Undetected::default();
        let pictures = pictures.iter().flat_map(|(n, kind)| vec![*kind; *n]);
        let tell = |(n, kind)| {
            let now = n as f64 / 10.0;
            Some((now, undetected.see(kind, now)?))
        };
        pictures.enumerate().filter_map(tell).collect()
    }

    #[test]
    fn what_hides_the_cube_is_told_after_a_while_and_again_when_it_comes_back() {
        let (dark, near) = (Some(Impairment::Dark), Some(Impairment::Near));
        assert_eq!(told(&[(60, dark)]), [(3.0, Impairment::Dark)]);
        assert_eq!(told(&[(29, dark), (1, None), (29, dark)]), []);
        // Another kind has to hold by itself.
        let both = told(&[(40, dark), (40, near)]);
        assert_eq!(both, [(3.0, Impairment::Dark), (7.0, Impairment::Near)]);
        // For a moment it is gone, and then for good.
        assert_eq!(told(&[(40, dark), (5, None), (40, dark)]).len(), 1);
        assert_eq!(told(&[(40, dark), (20, None), (40, dark)]).len(), 2);
    }

    /// A cube that is shaken looks blurred and moved by turns: both were said, again and again.
    #[test]
    fn a_fault_that_is_now_one_kind_now_another_is_told_once() {
        let shaken = [(3, Some(Impairment::Blur)), (2, Some(Impairment::Moving))].repeat(30);
        assert_eq!(told(&shaken).len(), 1);
    }

    /// Two pictures, one before a camera was gone and one after, were told as seconds of it.
    #[test]
    fn what_nobody_saw_does_not_last() {
        let mut undetected = Undetected::default();
        assert_eq!(undetected.see(Some(Impairment::Bright), 2.0), None);
        assert_eq!(undetected.see(Some(Impairment::Bright), 10.0), None);
        assert_eq!(undetected.see(Some(Impairment::Bright), 11.0), None);
        let told = (12..14).find_map(|t| undetected.see(Some(Impairment::Bright), f64::from(t)));
        assert_eq!(told, Some(Impairment::Bright));
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
        assert_eq!(
            impairment(&[dark.clone(), glare.clone(), clear.clone()]),
            Some(Impairment::Glare)
        );
        assert_eq!(
            impairment(&[dark.clone(), dark.clone(), clear.clone()]),
            Some(Impairment::Dark)
        );
        assert_eq!(impairment(&[dark, clear]), None);
        assert_eq!(impairment(&[]), None);
    }
}
