//! Following along, by simulation: a hint is given, something is done, and a corner is shown whose stickers are patches
//! measured in the scans. What was done must be told, or another corner asked for, which is then shown. Some of what is
//! done is nothing that was foreseen. `PAIRSIGHT_SLIPS=50000 cargo test --release --test reading slips -- --nocapture`
//! prints the shares.

use super::amount::amount;
use super::scan_folder::folder;
use super::scans::{self, Scan, Setup};
use super::stage::mid_solve;
use pairsight::cube::{Amount, Colour, Corner, Cube, Face, Net, Turn};
use pairsight::live::{Known, Meaning};
use pairsight::read::{Outcome, Reader};
use pairsight::sight::{FaceView, Joint, Look, Patch, Side};
use rand::{Rng, SeedableRng, seq::IndexedRandom};
use rand_chacha::ChaCha8Rng;

/// One lamp, camera and cube: the patches of each colour, and a face to put them into.
struct Stage {
    reader: Reader,
    patches: [Vec<Patch>; 6],
    face: FaceView,
}

fn stage(setup: &Setup, scan: &Scan) -> Option<Stage> {
    let mut reader = Reader::new(Some(&setup.profile));
    scan.looks
        .iter()
        .for_each(|(_, look)| reader.add(look.clone()));
    let reading = reader.read();
    // The grids must lie as the net does, which they do not in mirrored pictures.
    let straight = reading.looks.iter().all(|look| !look.mirrored);
    if reading.outcome != Outcome::Read || reading.net != Some(scan.state) || !straight {
        return None;
    }
    let mut patches: [Vec<Patch>; 6] = Default::default();
    for ((_, look), told) in scan.looks.iter().zip(&reading.looks) {
        for (face, read) in look.faces.iter().zip(&told.faces) {
            for (row, letters) in read.stickers.iter().enumerate() {
                for (column, letter) in letters.chars().enumerate() {
                    let colour = Colour::from_letter(letter)?;
                    patches[colour.index()].push(face.patches[row][column]);
                }
            }
        }
    }
    let face = scan.looks.iter().find_map(|(_, look)| look.faces.first());
    let face = face?.clone();
    reader.clear();
    Some(Stage {
        reader,
        patches,
        face,
    })
}

impl Stage {
    /// A view of a cube's corner, each sticker with a patch measured on one of its colour. The faces lie as in the net.
    fn show(&self, cube: &Cube, corner: Corner, rng: &mut ChaCha8Rng) -> Look {
        let net = Net::of(cube);
        let faces = corner.faces();
        let face = |face: Face| {
            let mut view = self.face.clone();
            for (patches, colours) in view.patches.iter_mut().zip(net.face(face)) {
                for (patch, colour) in patches.iter_mut().zip(colours) {
                    let of_colour = &self.patches[colour.index()];
                    *patch = *of_colour.choose(rng).expect("every colour was seen");
                }
            }
            view
        };
        let side = |at: usize, other: usize| {
            let around = faces[at].around();
            let k = around.iter().position(|f| *f == faces[other]);
            let sides = [Side::Top, Side::Right, Side::Bottom, Side::Left];
            (at, sides[k.expect("the faces touch")])
        };
        Look {
            size: (1280, 720),
            faces: faces.map(face).to_vec(),
            joints: [(0, 1), (1, 2), (0, 2)]
                .map(|(a, b)| Joint {
                    a: side(a, b),
                    b: side(b, a),
                })
                .to_vec(),
            too_steep: false,
            doubtful: None,
        }
    }
}

#[test]
fn slips_are_told_right_or_asked_about() {
    let count = amount("PAIRSIGHT_SLIPS", 120);
    let setups = scans::load(&folder(), &mut |image, picture| {
        scans::true_look(image, picture)
    });
    let stages: Vec<Stage> = setups
        .iter()
        .flat_map(|setup| {
            setup
                .scans
                .iter()
                .filter(|scan| scan.legal)
                .filter_map(|scan| stage(setup, scan))
        })
        .collect();
    assert!(!stages.is_empty());
    let mut rng = ChaCha8Rng::seed_from_u64(amount("PAIRSIGHT_FIRST", 7));
    let (mut slips, mut strange) = (Tally::default(), Tally::default());
    for number in 0..count {
        let known = Known::new(mid_solve(&mut rng), Some(Colour::Yellow));
        if known.moves().is_empty() {
            continue;
        }
        let stage = stages.choose(&mut rng).expect("there are stages");
        let cube = done(&known, &mut rng);
        slips.add(follow(&known, &cube, stage, &mut rng));
        if number % 8 == 0 {
            let cube = unforeseen(&known, &mut rng);
            strange.add(follow(&known, &cube, stage, &mut rng));
        }
    }
    println!("foreseen {slips:?}");
    println!("not foreseen {strange:?}");
    let wrong = slips.wrong + strange.wrong;
    assert!(wrong * 1000 <= count, "{wrong} of {count} wrong");
    let told = slips.at_once + slips.after_asking;
    assert!(told * 100 >= slips.count() * 98, "{slips:?}");
}

/// What came of showings.
#[derive(Debug, Default)]
struct Tally {
    at_once: usize,
    after_asking: usize,
    asks_still: usize,
    wrong: usize,
}

impl Tally {
    fn count(&self) -> usize {
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

#[derive(Clone, Copy, Debug, PartialEq)]
enum Told {
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
    let right = |seen: &Cube, told| if seen == cube { told } else { Told::Wrong };
    let first = *Corner::ALL.choose(rng).expect("a corner");
    let mut looks = vec![stage.show(cube, first, rng)];
    if let Some(seen) = known.seen(&stage.reader, &looks) {
        return right(&seen.cube, Told::AtOnce);
    }
    let asked = known.ask(&stage.reader, &looks, &first.colours());
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
    looks.push(stage.show(cube, second, rng));
    let seen = known.seen(&stage.reader, &looks).map(|c| c.cube);
    let mut reader = stage.reader.clone();
    looks.into_iter().for_each(|look| reader.add(look));
    match (seen, reader.read().cube) {
        (Some(seen), Some(read)) if seen != read => Told::AsksStill,
        (Some(seen), _) | (None, Some(seen)) => right(&seen, Told::AfterAsking),
        (None, None) => Told::AsksStill,
    }
}
