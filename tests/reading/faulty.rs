//! Cubes with a sticker of a colour that belongs elsewhere: named where nothing else comes near, else asked about, and hardly
//! ever read as a legal cube. `PAIRSIGHT_ROUNDS` draws more than four of each scan.

use super::stage::{colours, stages};
use crate::harness::amount::amount;
use pairsight::cube::{Colour, Cube, FaultKind, Net};
use pairsight::read::{Outcome, Reader};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

#[test]
fn a_sticker_of_a_wrong_colour_is_hardly_ever_read_away() {
    let rounds = amount("PAIRSIGHT_ROUNDS", 4);
    let [mut named, mut unsure, mut read] = [0; 3];
    for (at, stage) in stages().iter().enumerate() {
        for seed in 0..rounds {
            let mut rng = ChaCha8Rng::seed_from_u64(seed << 8 | at as u64);
            let mut cube = colours(&Net::of(&Cube::random(rng.random())));
            let cell =
                9 * rng.random_range(0..6) + [0, 1, 2, 3, 5, 6, 7, 8][rng.random_range(0..8)];
            // In poor light one sticker alone does not tell red from orange, and rather was misjudged.
            let alike = [Colour::Red, Colour::Orange].map(Colour::index);
            let own = cube[cell];
            while cube[cell] == own || (alike.contains(&own) && alike.contains(&cube[cell])) {
                cube[cell] = rng.random_range(0..6);
            }
            let twice = seed % 2 == 1;
            let mut pictures = stage.pictures(false);
            if twice {
                pictures.extend(stage.pictures(true));
            }
            let mut reader = Reader::new(Some(&stage.profile));
            for picture in pictures {
                reader.add(stage.show(&cube, picture, &mut rng));
            }
            let reading = reader.read();
            let what = format!(
                "{}, cell {cell}, twice {twice}: {:.1} {}",
                stage.name, reading.margin, reading.say
            );
            match reading.outcome {
                Outcome::Read => {
                    println!("read away: {what}");
                    read += 1;
                }
                Outcome::Impossible => {
                    let fits =
                        |kind| matches!(kind, FaultKind::ColourCount | FaultKind::NoSuchPiece);
                    assert!(
                        reading.faults.iter().any(|fault| fits(fault.kind)),
                        "{what}"
                    );
                    named += 1;
                }
                _ => {
                    assert!(reading.ask.is_some(), "{what}");
                    unsure += 1;
                }
            }
        }
    }
    println!("a wrong sticker: {named} named, {unsure} asked about, {read} read away");
    // Of a sticker that a finger or a lamp's mirror image all but hides nobody can tell whether it is the right one.
    assert!(read * 100 <= named + unsure);
}
