//! A face that was seen is followed from picture to picture.

use pairsight::sight::{Finder, Look};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::carried_shots;
use crate::harness::outlines::{IN_PLACE, apart, outlines};
use crate::harness::retake::moved_by;

#[test]
fn a_face_that_moves_a_little_is_followed_to_where_it_is_found() {
    let mut finder = Finder::new();
    let rng = &mut ChaCha8Rng::seed_from_u64(27);
    let (mut seen, mut followed) = (0, 0);
    for shot in carried_shots() {
        let picture = shot.picture();
        let before = finder.look(&picture);
        // By about a tenth of a sticker, as between two frames of a hand that holds still.
        let (scale, turn) = (
            rng.random_range(0.985..1.015),
            rng.random_range(-0.01..0.01),
        );
        let (after, _) = moved_by(&picture, scale, turn);
        let found = outlines(&finder.look(&after));
        let own = outlines(&finder.follow(&after, &before));
        seen += found.len();
        let is_followed = |face| own.iter().any(|one| apart(one, face) < IN_PLACE / 2.0);
        followed += found.iter().filter(|face| is_followed(face)).count();
    }
    assert!(100 * followed >= 98 * seen, "{followed} of {seen} faces");
}

#[test]
fn a_face_that_is_gone_is_not_followed() {
    let mut finder = Finder::new();
    let shots = carried_shots();
    for (shot, other) in shots.iter().zip(&shots[30..]).step_by(11) {
        let (picture, other) = (shot.picture(), other.picture());
        let before = finder.look(&other);
        let elsewhere = outlines(&finder.look(&picture));
        // Whatever is followed there is a face of this picture.
        for own in outlines(&finder.follow(&picture, &before)) {
            assert!(elsewhere.iter().any(|face| apart(&own, face) < IN_PLACE));
        }
    }
    let nothing = Look::default();
    assert!(
        finder
            .follow(&shots[0].picture(), &nothing)
            .faces
            .is_empty()
    );
}
