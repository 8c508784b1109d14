//! Whether stated doubts are true: of the stickers of one look or two, the share that is wrong by the doubt that was told. The laboratory counts more of them (`reading`).

use super::stage::{Stage, any_cube, colours, stages};
use crate::harness::each::each;
use pairsight::cube::{Colour, Net};
use pairsight::read::{Outcome, Reader};
use rand::{Rng, SeedableRng, seq::SliceRandom};
use rand_chacha::ChaCha8Rng;

const BINS: [f32; 7] = [0.0, 0.02, 0.05, 0.1, 0.2, 0.5, 1.01];

/// One look or two at a cube, as far as they are not read: the doubt of each sticker that is told, and whether it is right.
pub fn told(stages: &[Stage], calibrated: bool, n: u64) -> Vec<(f32, bool)> {
    let mut rng = ChaCha8Rng::seed_from_u64(n);
    let stage = &stages[n as usize % stages.len()];
    let cube = colours(&Net::of(&any_cube(&mut rng)));
    let mut pictures = [stage.pictures(false), stage.pictures(true)].concat();
    pictures.shuffle(&mut rng);
    pictures.truncate(rng.random_range(1..3));
    let mut reader = Reader::new(calibrated.then_some(&stage.profile));
    let mut truth = Vec::new();
    for picture in pictures {
        let (look, told) = stage.show_told(&cube, picture, &mut rng);
        reader.add(look);
        truth.push(told);
    }
    let reading = reader.read();
    let mut stickers: Vec<(f32, bool)> = Vec::new();
    if reading.outcome == Outcome::Read {
        return stickers;
    }
    for ((look, told), truth) in reader.looks().iter().zip(&reading.looks).zip(&truth) {
        for face in &told.faces {
            let at = look.faces.iter().position(|seen| face.is_of(seen));
            let truth = &truth[at.expect("it is a face of the look")];
            for (place, &truth) in truth.iter().enumerate() {
                let (row, column) = match told.mirrored {
                    true => (place % 3, place / 3),
                    false => (place / 3, place % 3),
                };
                let letter = face.stickers[row].chars().nth(column);
                let right = letter == Some(Colour::ALL[truth].letter());
                stickers.push((face.doubt[row][column], right));
            }
        }
    }
    stickers
}

#[test]
fn doubts_of_single_looks_are_true() {
    let stages = stages();
    for calibrated in [true, false] {
        let told = each(24, || (), |(), n| told(stages, calibrated, n)).concat();
        let share = |from: f32, to: f32| {
            let own = || told.iter().filter(|(doubt, _)| (from..to).contains(doubt));
            let wrong = own().filter(|(_, right)| !right).count();
            (
                wrong,
                own().count(),
                own().map(|(doubt, _)| doubt).sum::<f32>(),
            )
        };
        for bin in BINS.windows(2) {
            println!(
                "profile {calibrated}, doubt {bin:?}: {:?}",
                share(bin[0], bin[1])
            );
        }
        let (wrong, all, _) = share(0.0, 0.1);
        assert!(wrong * 50 <= all, "{wrong} of {all}");
        // Nor is all called doubtful that is right.
        let (.., meant) = share(0.0, 1.01);
        assert!(
            meant < 0.25 * told.len() as f32,
            "{meant} of {}",
            told.len()
        );
    }
}
