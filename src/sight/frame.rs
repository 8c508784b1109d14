//! The frame of a board: between its outer cells and where it ends it goes on in one colour, further than a cube's rim does.

use std::ops::Range;

use super::candidate::Candidate;
use super::grooves::{OUTWARD, View, apart, middle, neighbours, sum, tap, units};

/// Where across a side it is looked for, in cells from the side's middle: at the cells and between them, where another face of a cube has
/// grooves.
const PLACES: [f32; 5] = [-1.0, -0.5, 0.0, 0.5, 1.0];

/// Distance between looks outward, in cells, and how many there are.
const STEP: f32 = 0.025;
const STEPS: usize = 29;

/// These looks tell its colour: at those before, even a sharp picture still changes from the sticker to what is beyond it.
const NEAR: Range<usize> = 2..5;

/// Least rise of a sticker's side, in cells: see [`super::verify::Evidence::rise`].
const LEAST_RISE: f32 = 0.04;

/// Least width of a frame, in cells, and how much wider it is than a sticker's margin. A cube's rim is as wide as that: half a groove.
const NARROWEST: f32 = 0.15;
const WIDER: f32 = 0.05;

/// Signs of a frame at a side where so many places agree on where it ends, in cells; the other places may be hidden.
const SIGNS: [(usize, f32, u32); 2] = [(4, 0.06, 2), (3, 0.04, 1)];

/// How bright it may be, in brightnesses of what is between the cells: that is of the same stuff, and lies deeper. Blur brightens it
/// between cells where the stuff is dark.
const SHADED: Range<f32> = 0.8..1.8;
const SHADED_DARK: Range<f32> = 0.4..1.8;

/// Sum of the channels up to which stuff is dark, and what is added to sums before they are compared, so that noise in the dark counts
/// little; 8-bit levels.
const DARK: f32 = 150.0;
const NOISE: f32 = 30.0;

/// The colour has ended where it has changed by half of what it changes at all, within these bounds; 8-bit levels summed over the channels.
const CHANGE: [f32; 2] = [22.0, 60.0];

/// Signs that a frame is around the face, up to two a side. Something straight behind a cube may seem to be one at a side, but hardly at two.
pub fn framed(view: &View, face: &Candidate) -> u32 {
    let plane = units(view, &face.plane);
    let Some(groove) = between(view, &plane).map(sum) else {
        return 0;
    };
    let margin = face.margin as f32;
    let blur = 0.5 * face.evidence.rise.max(LEAST_RISE);
    let narrowest = NARROWEST.max(margin + blur + WIDER);
    let width = |step: usize| 0.01 + blur + STEP * step as f32;
    let signs = |direction: (f32, f32)| {
        let colour = |place: f32, step: usize| {
            let at = (
                direction.0 - direction.1 * place,
                direction.1 + direction.0 * place,
            );
            tap(view, &plane, at, direction, 0.5 - margin + width(step))
        };
        let near: Vec<[f32; 3]> = PLACES
            .into_iter()
            .flat_map(|place| NEAR.filter_map(move |step| colour(place, step)))
            .collect();
        if near.is_empty() {
            return 0;
        }
        let own = middle(&near);
        let shaded = if sum(own) < DARK { SHADED_DARK } else { SHADED };
        if !shaded.contains(&((sum(own) + NOISE) / (groove + NOISE))) {
            return 0;
        }
        let mut ends: Vec<f32> = PLACES
            .into_iter()
            .filter_map(|place| end(own, |step| colour(place, step)))
            .map(width)
            .filter(|&width| width > narrowest)
            .collect();
        ends.sort_by(f32::total_cmp);
        let agree = |places: usize, straight: f32| {
            ends.windows(places)
                .any(|ends| ends[places - 1] - ends[0] < straight)
        };
        let found = SIGNS
            .into_iter()
            .find(|&(places, straight, _)| agree(places, straight));
        found.map_or(0, |(.., signs)| signs)
    };
    OUTWARD.into_iter().map(signs).sum()
}

/// The colour between the cells; `None` where they leave the picture.
fn between(view: &View, plane: &[[f32; 3]; 3]) -> Option<[f32; 3]> {
    let colours: Vec<[f32; 3]> = neighbours()
        .filter_map(|(at, direction)| tap(view, plane, at, direction, 0.5))
        .collect();
    (!colours.is_empty()).then(|| middle(&colours))
}

/// The step at which `colour` is no longer the frame's `own`; `None` if that is not in sight, or where it is so from the first.
fn end(own: [f32; 3], colour: impl Fn(usize) -> Option<[f32; 3]>) -> Option<usize> {
    let first = NEAR.end - 2;
    let change: Vec<Option<f32>> = (first..STEPS)
        .map(|step| colour(step).map(|colour| apart(colour, own)))
        .collect();
    let largest = change.iter().flatten().copied().fold(0.0, f32::max);
    let limit = (0.5 * largest).clamp(CHANGE[0], CHANGE[1]);
    let at = change
        .iter()
        .position(|change| change.is_none_or(|change| change > limit))?;
    let ended = first + at;
    (ended >= NEAR.end && change[at].is_some()).then_some(ended)
}

#[cfg(test)]
mod tests {
    use super::super::testing::{CELL, Front, sticker};
    use super::*;

    const MARGIN: f64 = 0.06;

    /// Signs around nine red cells on `stuff` that goes on this many cells beyond them, before `wall`; `hidden` are columns of
    /// the picture, from its middle, that something is in front of.
    fn signs(rim: f64, stuff: u8, wall: u8, hidden: Range<i32>) -> u32 {
        let front = Front::painted(|u, v| {
            if hidden.contains(&((u * CELL).floor() as i32)) {
                [190, 140, 115]
            } else if sticker(u, v, MARGIN).is_some() {
                [200, 30, 40]
            } else if u.abs().max(v.abs()) < 1.5 - MARGIN + rim {
                [stuff; 3]
            } else {
                [wall; 3]
            }
        });
        framed(&front.view(), &front.face(MARGIN))
    }

    #[test]
    fn a_board_has_a_frame_at_each_side_in_sight() {
        for (stuff, wall) in [(20, 150), (230, 150), (230, 20), (60, 230)] {
            for rim in [0.2, 0.3, 0.45] {
                assert_eq!(signs(rim, stuff, wall, 0..0), 8, "{rim} {stuff} {wall}");
            }
        }
        // The left column of cells is hidden, with the left side and two places of two others.
        assert_eq!(signs(0.3, 20, 150, -120..-35), 4);
    }

    #[test]
    fn the_rim_of_a_cube_is_none() {
        for (stuff, wall) in [(20, 150), (230, 150), (230, 20), (60, 230)] {
            for rim in [0.0, MARGIN, 0.1] {
                assert_eq!(signs(rim, stuff, wall, 0..0), 0, "{rim} {stuff} {wall}");
            }
        }
        // A wall like the plastic that goes on.
        assert_eq!(signs(0.06, 20, 25, 0..0), 0);
    }
}
