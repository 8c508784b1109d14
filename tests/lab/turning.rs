//! Turning in view, simulated: ticks and their delays, slips named, wrong words, rungs climbed.

use pairsight::cube::{Move, Turn};
use pairsight::live::Event;
use rand::seq::IndexedRandom;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::table::Table;
use crate::hands::{Act, Eye, Scene, eye, mid_solve};
use crate::harness::each::each;

#[derive(clap::Args)]
pub struct Args {
    /// Learners of each kind
    #[arg(long, default_value_t = 100)]
    scenes: u64,
    /// The first one's number
    #[arg(long, default_value_t = 0)]
    first: u64,
    /// One kind only
    #[arg(long)]
    kind: Option<Kind>,
}

/// What a learner does.
#[derive(Clone, Copy, Debug, PartialEq, clap::ValueEnum)]
enum Kind {
    /// The hint's turns, with pauses.
    Right,
    /// The same, quicker, with pauses of 0.2 s.
    Quick,
    /// One wrong turn, then a rest.
    Slip,
    /// Four turns without a pause.
    Fast,
    /// Nothing but fiddling.
    Idle,
}

/// What came of it.
#[derive(Default)]
struct Came {
    read: usize,
    turns: usize,
    delays: Vec<f64>,
    slips: usize,
    named: usize,
    known_after: usize,
    wrong: usize,
    climbed: usize,
}

fn play(kind: Kind, number: u64, fps: f64, eye: Eye, rng: &mut ChaCha8Rng) -> Came {
    let mut came = Came::default();
    let rung = if matches!(kind, Kind::Idle) { 1 } else { 4 };
    let mut scene = Scene::new(mid_solve(rng), eye, fps, rung, number);
    let Some(known) = scene.session.known().cloned() else {
        return came;
    };
    came.read = 1;
    let moves = known.moves();
    match kind {
        Kind::Right => {
            scene.make(&moves, 0.3, 0.5);
            scene.act(Act::Rest(1.0));
        }
        Kind::Quick => {
            scene.make(&moves, 0.25, 0.2);
            scene.act(Act::Rest(1.0));
        }
        Kind::Slip => {
            let turns: Vec<usize> = (0..moves.len()).filter(|at| moves[*at].htm() > 0).collect();
            let at = *turns.choose(rng).expect("a route has turns");
            let meant = moves[at].as_turns().0[0];
            let others: Vec<Turn> = Turn::ALL
                .into_iter()
                .filter(|t| {
                    t.face != meant.face || t.amount == meant.amount.inverse() && *t != meant
                })
                .collect();
            let wrong: Move = (*others.choose(rng).expect("others")).into();
            scene.make(&moves[..at], 0.3, 0.4);
            scene.make(&[wrong], 0.3, 1.2);
            came.slips = 1;
            came.named = usize::from(
                scene.count(|e| matches!(e, Event::Slip { .. } | Event::Followed { .. })) > 0,
            );
        }
        Kind::Fast => {
            let any: Vec<Move> = (0..4)
                .map(|_| (*Turn::ALL.choose(rng).expect("a turn")).into())
                .collect();
            scene.make(&any, 0.12, 0.0);
            scene.act(Act::Rest(1.0));
        }
        Kind::Idle => {
            for _ in 0..8 {
                scene.act(fiddling(rng));
                scene.act(Act::Rest(rng.random_range(0.2..1.0)));
            }
        }
    }
    came.turns = scene.turns.len();
    came.delays = scene.delays().into_iter().flatten().collect();
    came.known_after = usize::from(
        scene
            .session
            .known()
            .is_some_and(|k| k.cube() == scene.hands.held.cube),
    );
    let wrong = scene.wrong();
    for told in &wrong {
        eprintln!("{kind:?} {number} at {fps} frames a second: {told}");
    }
    came.wrong = wrong.len();
    if matches!(kind, Kind::Idle) {
        came.climbed = scene.count(|e| matches!(e, Event::Hint { level, .. } if *level > rung));
    }
    came
}

/// Something that ends with no layer turned.
pub fn fiddling(rng: &mut ChaCha8Rng) -> Act {
    let turn = *Turn::ALL.choose(rng).expect("a turn");
    let quarters = *[1usize, 3].choose(rng).expect("a way");
    let acts = [
        Act::Cover(rng.random_range(0.3..2.0)),
        Act::PartWay(
            turn,
            rng.random_range(10.0..50.0),
            rng.random_range(0.3..1.5),
        ),
        Act::Rotate(turn.face, quarters, rng.random_range(0.4..1.0)),
        Act::Rest(rng.random_range(0.3..2.0)),
    ];
    *acts.choose(rng).expect("an act")
}

pub fn measure(args: &Args) -> Table {
    let mut table = Table::new(
        "turning",
        "Simulated learners who turn in view (looks with noise, fingers, faces missed, layers part way; no pictures). Ticks by 0.3, 0.5 and 1 s \
         after a turn's end, of all turns; slips named (or the pair followed another way) within 1.2 s; the state known one second after the last \
         turn; told of a state that was not; rungs climbed unasked.",
        &[
            "kind",
            "frames a second",
            "read",
            "turns",
            "by 0.3 s",
            "by 0.5 s",
            "by 1 s",
            "slips",
            "named",
            "known after",
            "wrong",
            "climbed",
        ],
    );
    let all = [Kind::Right, Kind::Quick, Kind::Slip, Kind::Fast, Kind::Idle];
    let wanted = |kind: &Kind| args.kind.is_none_or(|one| one == *kind);
    for kind in all.into_iter().filter(wanted) {
        for fps in [5.0, 15.0, 60.0] {
            let all = each(
                args.scenes,
                || (),
                |(), number| {
                    let number = args.first + number;
                    let rng = &mut ChaCha8Rng::seed_from_u64(number);
                    let eye = eye(rng);
                    play(kind, number, fps, eye, rng)
                },
            );
            let sum = |of: &dyn Fn(&Came) -> usize| all.iter().map(of).sum::<usize>();
            let by = |seconds: f64| sum(&|c| c.delays.iter().filter(|d| **d <= seconds).count());
            table.row([
                format!("{kind:?}").to_lowercase(),
                fps.to_string(),
                format!("{} of {}", sum(&|c| c.read), args.scenes),
                sum(&|c| c.turns).to_string(),
                by(0.3).to_string(),
                by(0.5).to_string(),
                by(1.0).to_string(),
                sum(&|c| c.slips).to_string(),
                sum(&|c| c.named).to_string(),
                sum(&|c| c.known_after).to_string(),
                sum(&|c| c.wrong).to_string(),
                sum(&|c| c.climbed).to_string(),
            ]);
        }
    }
    table
}
