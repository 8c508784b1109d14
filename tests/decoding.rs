//! Decoding of made-up evidence whose truth is known: any rolls, errors, mirrors, cubes put together wrongly. The laboratory
//! tries more errors (`doubles`).

use pairsight::cube::{Cube, Face, Net, Scheme, Turn};
use pairsight::read::{
    Found, Frame, LookEvidence, Table, Work, alternatives, associations, search,
};
use proptest::prelude::*;
use rand::{Rng, SeedableRng, seq::SliceRandom};
use rand_chacha::ChaCha8Rng;

use crate::harness::each::each;

/// How much (nats) a clearly seen sticker speaks for its colour.
const CLEAR: f32 = 12.0;

/// A margin that decides, in nats.
const SURE: f32 = 10.0;

type Stickers = [[usize; 9]; 6];

fn stickers(net: &Net) -> Stickers {
    Face::ALL.map(|face| {
        let rows = net.face(face);
        std::array::from_fn(|i| rows[i / 3][i % 3].index())
    })
}

fn clear(colour: usize) -> [f32; 6] {
    std::array::from_fn(|c| if c == colour { 0.0 } else { -CLEAR })
}

fn turned(face: &[usize; 9], quarters: usize) -> [usize; 9] {
    (0..quarters).fold(*face, |f, _| {
        std::array::from_fn(|i| f[(2 - i % 3) * 3 + i / 3])
    })
}

/// One picture a face, each turned as told.
fn singles(stickers: &Stickers, rolls: [usize; 6]) -> Vec<LookEvidence> {
    stickers
        .iter()
        .zip(rolls)
        .map(|(face, roll)| LookEvidence {
            faces: vec![turned(face, roll).map(clear)],
            joints: Vec::new(),
        })
        .collect()
}

/// The best over all readings of the centres.
fn decode(looks: &[LookEvidence], mirrored: bool) -> Option<Found> {
    associations(looks, &Frame::of(Scheme::USUAL, mirrored), 4)
        .iter()
        .map(|s| search(&alternatives(looks, &s.assigned, mirrored), &Work::new()))
        .max_by(|a, b| a.best().total_cmp(&b.best()))
}

/// What is read, when the margin over every rival decides.
fn sure(found: &Found) -> Option<Cube> {
    let second = found.legal.get(1).map_or(f32::NEG_INFINITY, |h| h.score);
    let flawed = found.flawed.map_or(f32::NEG_INFINITY, |h| h.score);
    let rival = second.max(flawed).max(found.unexplored);
    let best = found.legal.first()?;
    if best.score - rival > SURE {
        best.state.cube()
    } else {
        None
    }
}

/// Whether another arrangement shows the very six faces that were seen, each turned in its own way. With one picture a
/// face nobody can tell the two apart, but that cubes put together wrongly are rare.
fn has_a_fellow(found: &Found) -> bool {
    let rivals = found.legal[1..].iter().chain(&found.flawed);
    let as_seen = |score: f32, prior: f32| score - prior > found.best() - 1e-2;
    rivals.into_iter().any(|h| as_seen(h.score, h.flaw.prior()))
}

fn random_rolls(rng: &mut ChaCha8Rng) -> [usize; 6] {
    std::array::from_fn(|_| rng.random_range(0..4))
}

#[test]
fn scrambled_cubes_are_read_from_six_faces_any_way_up() {
    let mut rng = ChaCha8Rng::seed_from_u64(1);
    for seed in 0..200 {
        let cube = Cube::random(seed);
        let mut looks = singles(&stickers(&Net::of(&cube)), random_rolls(&mut rng));
        looks.shuffle(&mut rng);
        let found = decode(&looks, false).unwrap();
        match sure(&found) {
            Some(read) => assert_eq!(read, cube, "state {seed}"),
            None => assert!(has_a_fellow(&found), "state {seed}: {found:?}"),
        }
    }
}

#[test]
fn no_single_sticker_error_is_read_wrong() {
    let mut rng = ChaCha8Rng::seed_from_u64(2);
    let (mut right, mut unsure) = (0, 0);
    for seed in 0..3 {
        let cube = Cube::random(seed);
        let truth = stickers(&Net::of(&cube));
        for cell in (0..54).filter(|cell| cell % 9 != 4) {
            for wrong in (0..6).filter(|&c| c != truth[cell / 9][cell % 9]) {
                let mut seen = truth;
                seen[cell / 9][cell % 9] = wrong;
                match sure(&decode(&singles(&seen, random_rolls(&mut rng)), false).unwrap()) {
                    Some(read) => {
                        assert_eq!(read, cube, "state {seed}, sticker {cell} seen as {wrong}");
                        right += 1;
                    }
                    None => unsure += 1,
                }
            }
        }
    }
    println!("single errors: {right} right, {unsure} unsure, 0 wrong");
    // A cube with two pieces swapped and another sticker misread is the usual rival.
    assert!(right > unsure);
}

/// Stickers that are no centre, and the ways in which two of them can be seen as other colours.
const STICKERS: usize = 48;
const DOUBLES: usize = STICKERS * (STICKERS - 1) / 2 * 25;

/// The stickers with two of them seen as other colours, by number of the way.
fn with_double_error(truth: &Stickers, number: usize) -> Stickers {
    let cells: Vec<usize> = (0..54).filter(|cell| cell % 9 != 4).collect();
    let mut pairs = (0..STICKERS).flat_map(|one| (0..one).map(move |two| (one, two)));
    let (pair, colours) = (number / 25, number % 25);
    let (one, two) = pairs.nth(pair).expect("there are as many pairs");
    let (one, two) = (cells[one], cells[two]);
    let mut seen = *truth;
    for (cell, off) in [(one, colours / 5), (two, colours % 5)] {
        let colour = &mut seen[cell / 9][cell % 9];
        *colour = (*colour + 1 + off) % 6;
    }
    seen
}

/// What becomes of double errors, by count.
#[derive(Default)]
pub struct Doubles {
    pub right: usize,
    pub unsure: usize,
    /// What is seen is another cube but for one sticker at most, nearer than the true one: six single faces of some cubes
    /// differ in no more than three.
    pub fellows: usize,
}

impl Doubles {
    /// So many double errors of one state, all with 28,200 or more.
    ///
    /// # Panics
    /// Where one is read wrong.
    pub fn of(state: u64, count: usize) -> Doubles {
        let mut rng = ChaCha8Rng::seed_from_u64(state);
        let cube = Cube::random(1000 + state);
        let truth = stickers(&Net::of(&cube));
        let mut counts = Doubles::default();
        for number in rand::seq::index::sample(&mut rng, DOUBLES, count.min(DOUBLES)) {
            let seen = with_double_error(&truth, number);
            let found = decode(&singles(&seen, random_rolls(&mut rng)), false).unwrap();
            match sure(&found) {
                Some(read) if read == cube => counts.right += 1,
                Some(_) if found.best() > -1.5 * CLEAR => counts.fellows += 1,
                Some(_) => panic!("state {state}, double error {number}: {found:?}"),
                None => counts.unsure += 1,
            }
        }
        counts
    }
}

#[test]
fn no_double_sticker_error_is_read_wrong() {
    let counts = each(3, || (), |(), state| Doubles::of(state, 200));
    let sum = |of: fn(&Doubles) -> usize| counts.iter().map(of).sum::<usize>();
    let (right, unsure, fellows) = (sum(|c| c.right), sum(|c| c.unsure), sum(|c| c.fellows));
    println!(
        "double errors: {right} right, {unsure} unsure, {fellows} nearer to another cube, 0 wrong"
    );
    assert!(fellows * 1000 <= right);
    assert!(right > 0);
}

#[test]
fn wrongly_assembled_cubes_are_never_read_as_legal() {
    let mut rng = ChaCha8Rng::seed_from_u64(4);
    for seed in 0..60 {
        let legal = stickers(&Net::of(&Cube::random(seed)));
        let [u, r, f] = [Face::U, Face::R, Face::F].map(Face::index);
        let mut flipped = legal;
        (flipped[u][7], flipped[f][1]) = (legal[f][1], legal[u][7]);
        let mut twisted = legal;
        (twisted[u][8], twisted[f][2], twisted[r][0]) = (legal[f][2], legal[r][0], legal[u][8]);
        let mut swapped = legal;
        (swapped[u][7], swapped[u][5]) = (legal[u][5], legal[u][7]);
        (swapped[f][1], swapped[r][1]) = (legal[r][1], legal[f][1]);
        for (what, seen) in [("flip", flipped), ("twist", twisted), ("swap", swapped)] {
            let found = decode(&singles(&seen, random_rolls(&mut rng)), false).unwrap();
            assert_eq!(sure(&found), None, "state {seed} with a {what}");
            let flaw = found.flawed.unwrap();
            // A legal cube may show the very same six faces.
            if found.best() > -1e-2 {
                continue;
            }
            assert!(
                flaw.score > found.best() + SURE,
                "state {seed} with a {what}: {found:?}"
            );
            let named = (flaw.flaw.flip, flaw.flaw.twist > 0, flaw.flaw.swap);
            assert_eq!(named, (what == "flip", what == "twist", what == "swap"));
        }
    }
}

#[test]
fn nearly_solved_cubes_are_read_or_unsure() {
    // Face by face, a turned layer of the solved cube looks like the opposite layer turned the other way.
    let mut rng = ChaCha8Rng::seed_from_u64(5);
    for first in Turn::ALL {
        let cube = Cube::solved().apply(first);
        let found = decode(
            &singles(&stickers(&Net::of(&cube)), random_rolls(&mut rng)),
            false,
        )
        .unwrap();
        assert_eq!(sure(&found), None, "after one turn: {found:?}");
        for then in Turn::ALL {
            let cube = cube.apply(then);
            let seen = singles(&stickers(&Net::of(&cube)), random_rolls(&mut rng));
            let read = sure(&decode(&seen, false).unwrap());
            assert!(read.is_none_or(|r| r == cube));
        }
    }
    let found = decode(
        &singles(&stickers(&Net::of(&Cube::solved())), [0; 6]),
        false,
    )
    .unwrap();
    assert_eq!(sure(&found), Some(Cube::solved()), "{found:?}");
}

/// Found by chance: this scrambled cube has a fellow that shows the same six faces, each turned in its own way.
#[test]
fn a_cube_that_looks_like_another_face_by_face_is_not_sure() {
    let cube = Cube::random(783_137);
    let seen = singles(&stickers(&Net::of(&cube)), [0; 6]);
    let found = decode(&seen, false).unwrap();
    assert_eq!(sure(&found), None, "{found:?}");
    assert!(
        (found.legal[0].score - found.legal[1].score).abs() < 1e-2,
        "{found:?}"
    );
}

fn noisy(table: &Table, rng: &mut ChaCha8Rng) -> Table {
    table.map(|w| w.map(|x| x + rng.random_range(-1.0f32..1.0)))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn the_answer_depends_neither_on_order_nor_on_rolls(seed in 0u64..1_000_000, shuffle in 0u64..1_000_000) {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        let truth = stickers(&Net::of(&Cube::random(seed)));
        let mut looks = singles(&truth, [0; 6]);
        for look in &mut looks {
            look.faces[0] = noisy(&look.faces[0], &mut rng);
        }
        let before = decode(&looks, false).unwrap();
        let mut rng = ChaCha8Rng::seed_from_u64(shuffle);
        for look in &mut looks {
            for _ in 0..rng.random_range(0..4) {
                let from = look.faces[0];
                look.faces[0] = std::array::from_fn(|i| from[(2 - i % 3) * 3 + i / 3]);
            }
        }
        looks.shuffle(&mut rng);
        let after = decode(&looks, false).unwrap();
        prop_assert!((before.best() - after.best()).abs() < 1e-2);
        // Some cubes look the same face by face as another one: then either may come first, and neither is sure.
        let lead = before.legal.get(1).map_or(f32::INFINITY, |second| before.best() - second.score);
        if lead > 1e-2 {
            prop_assert_eq!(before.legal[0].state, after.legal[0].state);
        } else {
            prop_assert_eq!((sure(&before), sure(&after)), (None, None));
        }
    }

    #[test]
    fn a_look_shown_twice_changes_nothing(seed in 0u64..1_000_000, again in 0usize..6) {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        let cube = Cube::random(seed);
        let truth = stickers(&Net::of(&cube));
        let mut looks = singles(&truth, random_rolls(&mut rng));
        let once = sure(&decode(&looks, false).unwrap());
        looks.push(singles(&truth, random_rolls(&mut rng))[again].clone());
        prop_assert_eq!(sure(&decode(&looks, false).unwrap()), once);
        prop_assert!(once.is_none_or(|read| read == cube));
    }
}
