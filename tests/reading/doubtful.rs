//! A face of which its picture shows too little is read where the cube's other faces vouch for it, and nothing else is in its
//! place. Without a profile nothing is read while a face is missing. `PAIRSIGHT_ROUNDS` draws more than one cube of each scan.

use super::stage::{Colours, Stage, any_cube, colours, stages};
use crate::harness::amount::amount;
use crate::harness::each::each;
use pairsight::cube::{Net, Turn};
use pairsight::read::{Outcome, Reader, Reading};
use pairsight::sight::Look;
use rand::{SeedableRng, seq::IndexedRandom};
use rand_chacha::ChaCha8Rng;

/// The look as it were if its face were not believed.
fn doubted(mut look: Look) -> Look {
    look.doubtful = look.faces.pop();
    look
}

fn read(stage: &Stage, calibrated: bool, looks: &[Look]) -> Reading {
    let mut reader = Reader::new(calibrated.then_some(&stage.profile));
    looks.iter().for_each(|look| reader.add(look.clone()));
    reader.read()
}

fn is_right(reading: &Reading, truth: &Colours) -> bool {
    reading.net.as_ref().map(colours) == Some(*truth)
}

/// What is shown in place of one of six faces.
const INSTEAD: [&str; 4] = [
    "nothing",
    "the face, doubted",
    "the same after a turn, doubted",
    "another cube's, doubted",
];

/// Readings that are right, that tell something wrong, and that ask.
#[derive(Clone, Copy, Debug, Default)]
struct Counts {
    right: usize,
    wrong: usize,
    asked: usize,
}

impl Counts {
    fn count(&mut self, reading: &Reading, truth: &Colours, what: &str) {
        match reading.outcome {
            Outcome::Read if is_right(reading, truth) => self.right += 1,
            Outcome::Read | Outcome::Impossible => {
                println!("{what}: {:.1} {}", reading.margin, reading.say);
                self.wrong += 1;
            }
            _ => self.asked += 1,
        }
    }

    fn add(&mut self, other: &Counts) {
        self.right += other.right;
        self.wrong += other.wrong;
        self.asked += other.asked;
    }
}

/// What becomes of a cube shown by six faces, and with each of its faces shown so instead.
fn counts(stage: &Stage, calibrated: bool, number: u64) -> (Counts, [Counts; 4]) {
    let mut rng = ChaCha8Rng::seed_from_u64(number);
    let [own, other] = [(); 2].map(|()| any_cube(&mut rng));
    let turned = own.apply(*Turn::ALL.choose(&mut rng).expect("there are turns"));
    let [own, turned, other] = [own, turned, other].map(|cube| colours(&Net::of(&cube)));
    let [looks, later, others] = [&own, &turned, &other].map(|cube| -> Vec<Look> {
        let show = |picture| stage.show(cube, picture, &mut rng);
        stage.pictures(false).into_iter().map(show).collect()
    });
    let mut whole = Counts::default();
    let mut counts = [Counts::default(); 4];
    let six = read(stage, calibrated, &looks);
    whole.count(&six, &own, &stage.name);
    for at in 0..looks.len() {
        let instead = [
            Look::default(),
            doubted(looks[at].clone()),
            doubted(later[at].clone()),
            doubted(others[at].clone()),
        ];
        for ((counts, look), what) in counts.iter_mut().zip(instead).zip(INSTEAD) {
            let mut looks = looks.clone();
            looks[at] = look;
            let reading = read(stage, calibrated, &looks);
            let what = format!("cube {number} of {}, {what} at {at}", stage.name);
            // A colour is known by its centre or by a profile.
            let known = calibrated || reading.missing.is_empty();
            assert!(known || reading.outcome != Outcome::Read, "{what}");
            counts.count(&reading, &own, &what);
        }
    }
    (whole, counts)
}

#[test]
fn a_doubtful_face_is_read_only_where_the_others_vouch_for_it() {
    let stages = stages();
    let cubes = stages.len() as u64 * amount("PAIRSIGHT_ROUNDS", 1);
    for calibrated in [true, false] {
        let of_cube = |_: &mut (), number| {
            let stage = &stages[number as usize % stages.len()];
            counts(stage, calibrated, number)
        };
        let (mut whole, mut sums) = (Counts::default(), [Counts::default(); 4]);
        for (six, counts) in each(cubes, || (), of_cube) {
            whole.add(&six);
            sums.iter_mut().zip(&counts).for_each(|(sum, c)| sum.add(c));
        }
        println!(
            "{}",
            if calibrated {
                "with a profile"
            } else {
                "without"
            }
        );
        for (what, sum) in ["all six"]
            .into_iter()
            .chain(INSTEAD)
            .zip([whole].iter().chain(&sums))
        {
            let Counts {
                right,
                asked,
                wrong,
            } = sum;
            println!("{what:32} {right:>6} right {asked:>6} asked {wrong:>6} wrong");
        }
        assert!(whole.wrong == 0 && sums.iter().all(|sum| sum.wrong == 0));
        let [five, doubted, _, other] = sums;
        assert!(10 * doubted.right > 9 * 6 * whole.right);
        // A face that goes with the other five by chance shows the cube as it is.
        assert!(100 * other.right <= 100 * five.right + doubted.right);
    }
}
