//! How a cube's colours lie and how the pictures show it: what must be supposed before a sticker means anything.
//!
//! Stickers are judged by their true colours and decoded by their *roles*, the colours of the usual scheme in the same places.
//! A frame translates between the two, so that the search need not know of schemes.

use super::evidence::Weights;
use crate::cube::{Colour, Face, Scheme};

/// A colour scheme, the centres in it, and whether the pictures are mirrored.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Frame {
    /// By which the pieces are coloured.
    pub scheme: Scheme,
    /// By [`Face::index`], the colours of the centres: the scheme's, unless two have been exchanged.
    centres: [Colour; 6],
    pub mirrored: bool,
}

/// What is known of cube and camera before anything is seen.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Known {
    /// The cube's scheme; the usual one is only likely where this is none.
    pub scheme: Option<Scheme>,
    /// Whether the pictures are mirrored.
    pub mirrored: Option<bool>,
}

/// A mirrored feed, as log-odds (natural) against a straight one: about one in 20. A judgement, no source.
const MIRRORED: f64 = -3.0;

/// Another scheme than the usual or the known one, each: about one cube in 400. A judgement, no source. It is below
/// [`SURE`](super::SURE), so that no scheme is ever taken for granted.
const OTHER_SCHEME: f64 = -6.0;

/// Two centres that somebody exchanged, each pair: as another scheme.
const EXCHANGED: f64 = -6.0;

/// The colours of a common scheme running the other way round: somewhat rarer than other schemes where nothing is known.
const OTHER_WAY_ROUND: f64 = -7.0;

/// The same where the cube's scheme is known.
const KNOWN_OTHERWISE: f64 = -14.0;

impl Frame {
    /// The usual colours, not mirrored.
    pub const USUAL: Frame = Frame::of(Scheme::USUAL, false);

    /// A cube whose centres are those of its scheme.
    pub const fn of(scheme: Scheme, mirrored: bool) -> Frame {
        Frame {
            centres: scheme.colours(),
            scheme,
            mirrored,
        }
    }

    /// The frames in which a cube is expected to be seen, the likeliest first.
    pub fn expected(known: Known) -> Vec<Frame> {
        let scheme = known.scheme.unwrap_or(Scheme::USUAL);
        let ways = match known.mirrored {
            Some(mirrored) => vec![mirrored],
            None => vec![false, true],
        };
        let frames = ways.into_iter();
        frames.map(|mirrored| Frame::of(scheme, mirrored)).collect()
    }

    /// The frames in which a cube may be seen all the same: of another scheme, or with two centres exchanged. How the colours
    /// run in a mirror is not among them: no picture can tell a cube seen in a mirror from one whose colours run the other way
    /// round (see [`Frame::twin`]).
    pub fn rivals(known: Known) -> Vec<Frame> {
        let expected = Frame::expected(known);
        let own = expected[0].scheme;
        let seen_as = expected[0].mirrored;
        let schemes = Scheme::all().filter(|&scheme| scheme != own);
        // Straight pictures of the mirrored scheme are mirrored ones of the expected scheme.
        let schemes =
            schemes.filter(|&scheme| known.mirrored.is_some() || scheme != own.mirrored());
        // Of the two frames that look the same, the likelier one.
        let seen = |scheme: Scheme| {
            let straight = Frame::of(scheme, seen_as);
            match straight.over_twin(known) < 0.0 {
                true => Frame::of(scheme.mirrored(), !seen_as),
                false => straight,
            }
        };
        let mut rivals: Vec<Frame> = schemes.map(seen).collect();
        for frame in expected {
            for (a, b) in (0..6).flat_map(|b| (0..b).map(move |a| (a, b))) {
                let mut centres = frame.centres;
                centres.swap(a, b);
                rivals.push(Frame { centres, ..frame });
            }
        }
        rivals
    }

    /// How likely the frame is before anything is seen, as log-odds (natural) against the likeliest.
    pub fn prior(&self, known: Known) -> f64 {
        let scheme = match known.scheme.unwrap_or(Scheme::USUAL) == self.scheme {
            true => 0.0,
            false => OTHER_SCHEME,
        };
        let mirrored = match (known.mirrored, self.mirrored) {
            (None, true) => MIRRORED,
            _ => 0.0,
        };
        let exchanged = if self.exchanged().is_some() {
            EXCHANGED
        } else {
            0.0
        };
        scheme + mirrored + exchanged
    }

    /// How much likelier (nats) this frame is than the one in which everything looks just the same: the mirrored scheme, and
    /// pictures that are mirrored where these are not. No picture tells the two apart, so this alone is what keeps a state from being
    /// told in the wrong one. Cubes of the schemes that are made in numbers are known by the way round that those run; of any other
    /// scheme only the camera can be asked.
    pub fn over_twin(&self, known: Known) -> f64 {
        if known.mirrored.is_some() {
            return f64::INFINITY;
        }
        let likely = |scheme: Scheme, mirrored: bool| {
            let seen = if mirrored { MIRRORED } else { 0.0 };
            let made = match known.scheme {
                Some(known) if known.mirrored() == scheme => KNOWN_OTHERWISE,
                Some(known) if known == scheme => 0.0,
                _ if scheme.mirrored().is_common() => OTHER_WAY_ROUND,
                _ => 0.0,
            };
            seen + made
        };
        likely(self.scheme, self.mirrored) - likely(self.scheme.mirrored(), !self.mirrored)
    }

    /// Whether a cube has the same colours in both.
    pub fn is_coloured_as(&self, other: &Frame) -> bool {
        self.scheme == other.scheme && self.centres == other.centres
    }

    /// The two colours whose centres are exchanged.
    pub fn exchanged(&self) -> Option<[Colour; 2]> {
        let own = self.scheme.colours();
        let mut moved = own
            .into_iter()
            .zip(self.centres)
            .filter(|(a, b)| a != b)
            .map(|(a, _)| a);
        Some([moved.next()?, moved.next()?])
    }

    /// The true colour of a role, as an index, on a centre or on another sticker.
    pub fn shows(&self, role: usize, is_centre: bool) -> usize {
        match is_centre {
            true => self.centres[role].index(),
            false => self.scheme.colours()[role].index(),
        }
    }

    /// The face whose centre has this colour.
    pub fn face_of(&self, centre: Colour) -> Face {
        let at = self.centres.iter().position(|&colour| colour == centre);
        Face::ALL[at.unwrap_or(0)]
    }

    /// The colour of a face's centre.
    pub fn centre(&self, face: Face) -> Colour {
        self.centres[face.index()]
    }

    /// Nine stickers' weights of true colours as those of roles.
    pub fn roles(&self, table: &[Weights; 9]) -> [Weights; 9] {
        std::array::from_fn(|i| std::array::from_fn(|role| table[i][self.shows(role, i == 4)]))
    }

    /// Nine stickers' weights of roles as those of true colours.
    pub fn colours(&self, table: &[Weights; 9]) -> [Weights; 9] {
        let mut colours = *table;
        for (i, (colours, roles)) in colours.iter_mut().zip(table).enumerate() {
            for (role, &weight) in roles.iter().enumerate() {
                colours[self.shows(role, i == 4)] = weight;
            }
        }
        colours
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_scheme_is_a_rival_but_the_one_that_a_mirror_makes() {
        let rivals = Frame::rivals(Known::default());
        let schemes = rivals.iter().filter(|f| f.exchanged().is_none());
        assert_eq!(schemes.count(), 28);
        assert_eq!(
            rivals.iter().filter(|f| f.exchanged().is_some()).count(),
            30
        );
        let told = Known {
            mirrored: Some(false),
            ..Known::default()
        };
        let schemes = Frame::rivals(told).into_iter();
        assert_eq!(schemes.filter(|f| f.exchanged().is_none()).count(), 29);
    }

    #[test]
    fn colours_and_roles_are_each_others_inverse() {
        for frame in Frame::rivals(Known::default()) {
            let mut table = [[0.0; 6]; 9];
            for (i, weights) in table.iter_mut().enumerate() {
                weights
                    .iter_mut()
                    .enumerate()
                    .for_each(|(c, w)| *w = (10 * i + c) as f32);
            }
            let roles = frame.roles(&table);
            assert_eq!(frame.colours(&roles), table);
            for role in 0..6 {
                assert_eq!(roles[4][role], table[4][frame.shows(role, true)]);
                assert_eq!(roles[0][role], table[0][frame.shows(role, false)]);
                let face = Face::ALL[role];
                assert_eq!(frame.face_of(frame.centre(face)), face);
            }
        }
    }

    #[test]
    fn a_mirror_is_told_only_where_the_cube_or_the_camera_is_known() {
        let sure = |scheme, mirrored, known| {
            Frame::of(scheme, mirrored).over_twin(known) >= crate::read::SURE
        };
        let known = |scheme, mirrored| Known { scheme, mirrored };
        for scheme in Scheme::all() {
            for mirrored in [false, true] {
                let common = scheme.is_common() && !mirrored;
                assert_eq!(
                    sure(scheme, mirrored, known(None, None)),
                    common,
                    "{scheme}"
                );
                assert!(sure(scheme, mirrored, known(Some(scheme), None)));
                assert!(sure(scheme, mirrored, known(None, Some(mirrored))));
            }
        }
    }

    #[test]
    fn of_two_frames_that_look_the_same_the_likelier_is_supposed() {
        for known in [
            Known::default(),
            Known {
                scheme: Scheme::all().nth(7),
                mirrored: None,
            },
        ] {
            let frames = Frame::rivals(known)
                .into_iter()
                .chain(Frame::expected(known));
            for frame in frames.filter(|frame| frame.exchanged().is_none()) {
                let told = known.scheme.unwrap_or(Scheme::USUAL) == frame.scheme;
                assert!(told || frame.over_twin(known) > 0.0, "{frame:?}");
            }
        }
    }
}
