//! What a learner hears who solves the pairs before the coach, mostly by own ways: to be read aloud.

use pairsight::coach::{Advice, Style};
use pairsight::cube::{Move, Moves};
use pairsight::live::{Event, RUNGS};
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use super::table::Table;
use crate::hands::{Act, Scene, eye, mid_solve};

#[derive(clap::Args)]
pub struct Args {
    /// The learner's number
    #[arg(long, default_value_t = 1)]
    learner: u64,
    /// The rung that hints start on
    #[arg(long, default_value_t = 0)]
    rung: u8,
}

/// Another pair than the one that is hinted at, the shortest way; none where one is left.
fn another(advice: &Advice) -> Option<Moves> {
    let open = advice.pairs.iter().flatten().filter(|pair| !pair.solved);
    let other = open.filter(|pair| Some(pair.slot) != advice.next);
    let routes = other.flat_map(|pair| &pair.routes);
    let mut short = routes.filter(|route| route.style == Style::Short && route.rotations == 0);
    short.next().map(|route| route.moves.clone())
}

pub fn measure(args: &Args) -> Table {
    let rng = &mut ChaCha8Rng::seed_from_u64(args.learner);
    let cube = mid_solve(rng);
    let mut scene = Scene::new(cube, eye(rng), 15.0, args.rung, args.learner);
    for pair in 0..5 {
        let Some(known) = scene.session.known().cloned() else {
            break;
        };
        let advice = known.advice();
        match pair % 3 {
            0 => match another(advice) {
                Some(own) => scene.make(&own, 0.3, 0.5),
                None => scene.make(&known.moves(), 0.3, 0.5),
            },
            // More help, a slip that is shown, the way back, and on.
            1 => {
                let moves = known.moves();
                if moves.is_empty() {
                    continue;
                }
                let at = moves.iter().position(|m| m.htm() > 0).unwrap_or(0);
                scene.act(Act::Close(3.0));
                scene.act(Act::Rest(0.8));
                scene.make(&moves[..at], 0.3, 0.5);
                let wrong: Vec<Move> = moves[at..=at].iter().map(|m| m.inverse()).collect();
                scene.make(&wrong, 0.3, 0.8);
                for _ in 0..2 {
                    scene.act(Act::Close(3.0));
                    scene.act(Act::Rest(0.8));
                }
                scene.make(&moves[at..=at], 0.3, 0.6);
                scene.make(&moves[at..], 0.3, 0.5);
            }
            // All the help there is.
            _ => {
                for _ in 0..RUNGS {
                    scene.act(Act::Close(3.0));
                    scene.act(Act::Rest(0.8));
                }
                for _ in 0..4 {
                    let now = scene
                        .session
                        .known()
                        .map(|known| known.advice().next_turns());
                    scene.make(&now.unwrap_or_default(), 0.3, 0.6);
                }
            }
        }
        scene.act(Act::Rest(1.0));
    }
    let mut table = Table::new(
        "told",
        "What is told to one simulated learner who turns in view: another pair than the hinted one, then a slip, then with all help.",
        &["seconds", "event", "told"],
    );
    for timed in &scene.told {
        let (kind, text) = match &timed.event {
            Event::Read { text, .. } => ("read", text.clone()),
            Event::Hint { level, text, .. } => ("hint", format!("({level}) {text}")),
            Event::Followed { text, shorter, .. } => (
                "followed",
                format!("{text} {}", shorter.clone().unwrap_or_default()),
            ),
            Event::Slip { text, .. } => ("slip", text.clone()),
            Event::Ask { text, .. } => ("ask", text.clone()),
            Event::Trouble { text, .. } => ("trouble", text.clone()),
            Event::Turn { made, .. } => ("turn", made.to_string()),
            Event::Rotated { hold } => ("rotated", format!("{} in front", hold.front.name())),
            Event::Saw { .. } | Event::Still {} | Event::End {} => continue,
        };
        table.row([format!("{:.2}", timed.t), kind.into(), text]);
    }
    table
}
