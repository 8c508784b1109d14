//! Following along, by simulation: a hint is given, something is done, and a corner is shown by stickers measured in a
//! scan's picture of one. What was done must be told, or another corner asked for, which is then shown. Some of what is
//! done is nothing that was foreseen. The laboratory shows more (`slips`).

use super::stage::{Stage, mid_solve, stages};
use crate::harness::each::each;
use pairsight::cube::{Amount, Colour, Corner, Cube, Face, Turn};
use pairsight::live::{Known, Meaning};
use pairsight::read::Reader;
use rand::{Rng, SeedableRng, seq::IndexedRandom};
use rand_chacha::ChaCha8Rng;

/// Shows what was done after a hint, something foreseen or something else; nothing where a cube needs no hint. `seed` draws others.
pub fn shown(stages: &[Stage], seed: u64, number: u64, is_foreseen: bool) -> Option<Told> {
    let mut rng = ChaCha8Rng::seed_from_u64(seed << 32 | number << 1 | u64::from(is_foreseen));
    let known = Known::new(mid_solve(&mut rng), Some(Colour::Yellow));
    if known.moves().is_empty() {
        return None;
    }
    let cube = match is_foreseen {
        true => done(&known, &mut rng),
        false => unforeseen(&known, &mut rng),
    };
    let stage = stages.choose(&mut rng).expect("there are stages");
    let told = follow(&known, &cube, stage, &mut rng);
    if told == Told::Wrong {
        println!(
            "{number}, foreseen {is_foreseen}: wrong, from {}",
            stage.name
        );
    }
    Some(told)
}

/// What comes of so many showings.
pub fn tally(stages: &[Stage], seed: u64, count: u64, is_foreseen: bool) -> Tally {
    let told = each(count, || (), |(), n| shown(stages, seed, n, is_foreseen));
    let mut tally = Tally::default();
    told.into_iter().flatten().for_each(|told| tally.add(told));
    tally
}

#[test]
fn slips_are_told_right_or_asked_about() {
    let stages: Vec<Stage> = { stages().iter() }
        .filter(|stage| stage.has_corners())
        .cloned()
        .collect();
    assert!(!stages.is_empty());
    // A sample of what the laboratory's table `slips` counts.
    let slips = tally(&stages, 7, 60, true);
    let strange = tally(&stages, 7, 8, false);
    println!("foreseen {slips:?}");
    println!("not foreseen {strange:?}");
    assert_eq!(slips.wrong + strange.wrong, 0);
    let told = slips.at_once + slips.after_asking;
    assert!(told * 100 >= slips.count() * 98, "{slips:?}");
}

/// What came of showings.
#[derive(Debug, Default)]
pub struct Tally {
    pub at_once: usize,
    pub after_asking: usize,
    pub asks_still: usize,
    pub wrong: usize,
}

impl Tally {
    pub fn count(&self) -> usize {
        self.at_once + self.after_asking + self.asks_still + self.wrong
    }

    fn add(&mut self, told: Told) {
        *match told {
            Told::AtOnce => &mut self.at_once,
            Told::AfterAsking => &mut self.after_asking,
            Told::AsksStill => &mut self.asks_still,
            Told::Wrong => &mut self.wrong,
        } += 1;
    }
}

/// What came of one showing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Told {
    AtOnce,
    AfterAsking,
    AsksStill,
    Wrong,
}

/// Something that may be done after the hint, mostly slips.
fn done(known: &Known, rng: &mut ChaCha8Rng) -> Cube {
    let candidates = known.candidates();
    let right = rng.random_range(0..6) == 0;
    let slip = |meaning: &Meaning| matches!(meaning, Meaning::Slip(_));
    let some: Vec<_> = candidates
        .iter()
        .filter(|c| slip(&c.meaning) != right)
        .collect();
    some.choose_weighted(rng, |c| c.prior.exp())
        .expect("a route has slips")
        .cube
}

/// Something else: a few turns more after something foreseen.
fn unforeseen(known: &Known, rng: &mut ChaCha8Rng) -> Cube {
    let candidates = known.candidates();
    loop {
        let mut cube = candidates.choose(rng).expect("a route has slips").cube;
        for _ in 0..rng.random_range(1..4) {
            let face = *Face::ALL.choose(rng).expect("a face");
            let amount = *Amount::ALL.choose(rng).expect("an amount");
            cube = cube.apply(Turn::new(face, amount));
        }
        if candidates.iter().all(|c| c.cube != cube) {
            return cube;
        }
    }
}

/// Shows a corner and, where that is asked for, another; with both, all may be read anew.
fn follow(known: &Known, cube: &Cube, stage: &Stage, rng: &mut ChaCha8Rng) -> Told {
    let reader = Reader::new(Some(&stage.profile));
    let right = |seen: &Cube, told| if seen == cube { told } else { Told::Wrong };
    let first = *Corner::ALL.choose(&mut *rng).expect("a corner");
    let mut show = |corner| {
        let look = stage.show_corner(cube, corner, rng);
        look.expect("the stage has corners")
    };
    let mut looks = vec![show(first)];
    if let Some(seen) = known.seen(&reader, &looks) {
        return right(&seen.cube, Told::AtOnce);
    }
    let asked = known.ask(&reader, &looks, &first.colours());
    let across = || {
        first
            .faces()
            .map(|face| face.opposite().home_colour())
            .to_vec()
    };
    let asked = asked.map_or_else(across, |ask| ask.show);
    let [a, b, c] = asked[..] else {
        panic!("{asked:?} is no corner")
    };
    let second = Corner::with_colours([a, b, c]).expect("a corner");
    looks.push(show(second));
    let seen = known.seen(&reader, &looks).map(|c| c.cube);
    let mut reader = reader;
    looks.into_iter().for_each(|look| reader.add(look));
    match (seen, reader.read().cube) {
        (Some(seen), Some(read)) if seen != read => Told::AsksStill,
        (Some(seen), _) | (None, Some(seen)) => right(&seen, Told::AfterAsking),
        (None, None) => Told::AsksStill,
    }
}
