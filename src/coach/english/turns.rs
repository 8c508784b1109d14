//! Turns to be made.

use crate::cube::{Axis, Move, Moves};

use super::super::saying::TurnSaying;
use super::words;

pub fn sentence(saying: &TurnSaying) -> String {
    match saying {
        TurnSaying::Written(moves) => format!("{}.", words::turns(moves)),
        TurnSaying::Spoken(moves) => format!("{}.", words::spoken(moves)),
        TurnSaying::ThenSpoken(moves) => format!("Then {}.", words::within(&words::spoken(moves))),
        TurnSaying::First(of) => format!("First {}.", order(*of)),
        TurnSaying::Letters(moves) => {
            format!("Here they are in letters ({}).", Moves(moves.clone()))
        }
        TurnSaying::MakeThese { count, then } => {
            let make = if *then { "Then make" } else { "Make" };
            format!("{make} these {}.", words::turn_count(*count))
        }
        TurnSaying::CubeWritten(axis, amount) => format!(
            "Turn the cube {} ({}).",
            words::rotation(*axis, *amount),
            Move::Rotation(*axis, *amount)
        ),
        TurnSaying::Cube(amount) => {
            format!("Turn the cube {}.", words::rotation(Axis::Y, *amount))
        }
        TurnSaying::CubeThenTop(amount, top) => {
            let cube = words::rotation(Axis::Y, *amount);
            let cube = cube.trim_start_matches("so that ").replace("comes ", "");
            let top = words::within(&words::spoken(top));
            format!("Turn the cube, {cube}, then the {top}.")
        }
        TurnSaying::LookAgain => "Then look again.".into(),
    }
}

/// One move as an order without its first capital.
fn order(of: Move) -> String {
    match of {
        Move::Outer(_) => format!("turn the {}", words::turn(of)),
        _ => words::turn(of),
    }
}
