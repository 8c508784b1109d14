//! Following along, by simulation: a hint is given, something is done, and a corner is shown whose stickers are patches
//! measured in the scans. What was done must be told, or another corner asked for. `PAIRSIGHT_SLIPS=50000 cargo test
//! --release --test reading slips -- --nocapture` prints the shares.

use super::scans::{self, Scan, Setup};
use pairsight::cube::{Colour, Cube, Net, parse_moves};
use pairsight::live::{Known, Meaning};
use pairsight::read::{Outcome, Reader};
use pairsight::sight::{Look, Patch};
use rand::{Rng, SeedableRng, seq::IndexedRandom};
use rand_chacha::ChaCha8Rng;

/// Turns that take a pair out of its slot or put one in, and keep the cross that is down.
const LIFTS: [&str; 8] = [
    "R U R'", "R U' R'", "F' U F", "F' U2 F", "L' U L", "L U2 L'", "B U' B'", "B' U B",
];

/// One lamp, camera and cube: the patches of each colour, and corner views to put them into.
struct Stage {
    reader: Reader,
    patches: [Vec<Patch>; 6],
    corners: Vec<(Look, Vec<Colour>)>,
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
    let mut corners = Vec::new();
    for ((_, look), told) in scan.looks.iter().zip(&reading.looks) {
        for (face, read) in look.faces.iter().zip(&told.faces) {
            for (row, letters) in read.stickers.iter().enumerate() {
                for (column, letter) in letters.chars().enumerate() {
                    let colour = Colour::from_letter(letter)?;
                    patches[colour.index()].push(face.patches[row][column]);
                }
            }
        }
        if look.faces.len() == 3 {
            corners.push((
                look.clone(),
                told.faces.iter().map(|face| face.centre).collect(),
            ));
        }
    }
    reader.clear();
    (corners.len() == 2).then_some(Stage {
        reader,
        patches,
        corners,
    })
}

impl Stage {
    /// A corner view of a cube, each sticker with a patch measured on one of its colour.
    fn show(&self, cube: &Cube, corner: usize, rng: &mut ChaCha8Rng) -> Look {
        let net = Net::of(cube);
        let (look, centres) = &self.corners[corner];
        let mut look = look.clone();
        for (face, centre) in look.faces.iter_mut().zip(centres) {
            let colours = net.face(centre.home_face());
            for (patches, colours) in face.patches.iter_mut().zip(colours) {
                for (patch, colour) in patches.iter_mut().zip(colours) {
                    *patch = *self.patches[colour.index()]
                        .choose(rng)
                        .expect("every colour was seen");
                }
            }
        }
        look
    }
}

/// A cube on a yellow cross with some pairs out.
fn mixed(rng: &mut ChaCha8Rng) -> Cube {
    (0..rng.random_range(2..7)).fold(Cube::solved(), |cube, _| {
        let lift = LIFTS.choose(rng).expect("there are lifts");
        let top = ["", "U", "U'", "U2"].choose(rng).expect("there are turns");
        cube.after(&parse_moves(&format!("{lift} {top}")).expect("they are moves"))
    })
}

#[test]
fn slips_are_told_right_or_asked_about() {
    let count = std::env::var("PAIRSIGHT_SLIPS")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(120);
    let setups = scans::load(&scans::folder(), &mut |image, picture| {
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
    let mut rng = ChaCha8Rng::seed_from_u64(7);
    let (mut at_once, mut after_asking, mut asks, mut wrong) = (0, 0, 0, 0);
    let mut done = 0;
    while done < count {
        let known = Known::new(mixed(&mut rng), Some(Colour::Yellow));
        let slips: Vec<_> = known
            .candidates()
            .into_iter()
            .filter(|c| matches!(c.meaning, Meaning::Slip(_)))
            .collect();
        let Ok(slip) = slips.choose_weighted(&mut rng, |c| c.prior.exp()) else {
            continue;
        };
        done += 1;
        let stage = stages.choose(&mut rng).expect("there are stages");
        let first = rng.random_range(0..2);
        let mut looks = vec![stage.show(&slip.cube, first, &mut rng)];
        let mut told = known.seen(&stage.reader, &looks);
        let asked = told.is_none();
        if asked {
            looks.push(stage.show(&slip.cube, 1 - first, &mut rng));
            told = known.seen(&stage.reader, &looks);
        }
        match told {
            Some(candidate) if candidate.cube != slip.cube => wrong += 1,
            Some(_) if asked => after_asking += 1,
            Some(_) => at_once += 1,
            None => asks += 1,
        }
    }
    println!(
        "{count} slips: {at_once} told at once, {after_asking} after a second corner, {asks} not told, {wrong} wrong"
    );
    assert!(wrong * 1000 <= count, "{wrong} of {count} wrong");
    assert!(
        (at_once + after_asking) * 100 >= count * 98,
        "{asks} of {count} not told"
    );
}
