//! Whether stated doubts are true: of the stickers of one look or two, the share that is wrong by the doubt that was told.

use super::stage::{any_cube, colours, stages};
use crate::harness::amount::amount;
use crate::harness::each::each;
use pairsight::cube::{Colour, Net};
use pairsight::read::{Outcome, Reader};
use rand::{Rng, SeedableRng, seq::SliceRandom};
use rand_chacha::ChaCha8Rng;

const BINS: [f32; 6] = [0.02, 0.05, 0.1, 0.2, 0.5, 1.01];

#[test]
fn doubts_of_single_looks_are_true() {
    let stages = stages();
    for calibrated in [true, false] {
        let told = each(
            amount("PAIRSIGHT_CUBES", 150),
            || (),
            |(), n| {
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
            },
        );
        let told: Vec<(f32, bool)> = told.concat();
        println!(
            "single looks, profile {calibrated}: {} stickers",
            told.len()
        );
        let mut from = 0.0;
        for to in BINS {
            let of_bin = || told.iter().filter(|(doubt, _)| (from..to).contains(doubt));
            let wrong = of_bin().filter(|(_, right)| !right).count();
            let mean =
                of_bin().map(|(doubt, _)| doubt).sum::<f32>() / of_bin().count().max(1) as f32;
            println!(
                "doubt {from:.2} to {to:.2}: {:>6} stickers, mean doubt {mean:.3}, wrong {wrong} ({:.3})",
                of_bin().count(),
                wrong as f32 / of_bin().count().max(1) as f32
            );
            from = to;
        }
        let wrong = || told.iter().filter(|(_, right)| !right);
        let sure = wrong().filter(|(doubt, _)| *doubt < 0.1).count();
        println!(
            "wrong {}, of which with a doubt below 0.1: {sure}",
            wrong().count()
        );
        assert!(sure * 200 <= told.len(), "{sure} of {}", told.len());
    }
}
