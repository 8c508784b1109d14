//! Cubes with a sticker of a colour that belongs elsewhere: named where nothing else comes near, else asked about, and hardly
//! ever read as a legal cube. The laboratory draws more (`rivals`).

use super::rivals::{Verdict, summed};
use super::stage::{Stage, colours, stages};
use crate::harness::each::each;
use pairsight::cube::{Colour, Cube, FaultKind, Net};
use pairsight::read::{Outcome, Reader};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

/// A cube with a sticker of a colour that belongs elsewhere, every other one seen twice: right where it is named, wrong where it is read
/// as a legal cube, or called faulty for another cause.
pub fn wrong_sticker(stages: &[Stage], n: u64) -> Verdict {
    let stage = &stages[n as usize % stages.len()];
    let twice = n / stages.len() as u64 % 2 == 1;
    let mut rng = ChaCha8Rng::seed_from_u64(n);
    let mut cube = colours(&Net::of(&Cube::random(rng.random())));
    let cell = 9 * rng.random_range(0..6) + [0, 1, 2, 3, 5, 6, 7, 8][rng.random_range(0..8)];
    // In poor light one sticker alone does not tell red from orange, and rather was misjudged.
    let alike = [Colour::Red, Colour::Orange].map(Colour::index);
    let own = cube[cell];
    while cube[cell] == own || (alike.contains(&own) && alike.contains(&cube[cell])) {
        cube[cell] = rng.random_range(0..6);
    }
    let mut pictures = stage.pictures(false);
    if twice {
        pictures.extend(stage.pictures(true));
    }
    let mut reader = Reader::new(Some(&stage.profile));
    for picture in pictures {
        reader.add(stage.show(&cube, picture, &mut rng));
    }
    let reading = reader.read();
    let is_named = reading
        .faults
        .iter()
        .any(|fault| matches!(fault.kind, FaultKind::ColourCount | FaultKind::NoSuchPiece));
    match reading.outcome {
        Outcome::Impossible if is_named => Verdict::Right,
        Outcome::Read | Outcome::Impossible => Verdict::Wrong(format!(
            "{n} {}, cell {cell}, twice {twice}: {:.1} {}",
            stage.name, reading.margin, reading.say
        )),
        Outcome::Unsure | Outcome::Incomplete => Verdict::Asked,
    }
}

#[test]
fn a_sticker_of_a_wrong_colour_is_hardly_ever_read_away() {
    let stages = stages();
    let all = each(
        // A sample of what the laboratory's table `rivals` counts: each stage seen once and twice.
        2 * stages.len() as u64,
        || (),
        |(), n| wrong_sticker(stages, n),
    );
    let counts = summed(&all, "a wrong sticker");
    // Of a sticker that a finger or a lamp's mirror image all but hides nobody can tell whether it is the right one.
    assert!(counts.wrong * 100 <= counts.right + counts.asked);
}
