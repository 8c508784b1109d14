//! What was done beside what was told.

use crate::cube::Move;

use super::super::saying::{Difference, FollowSaying};
use super::colours::Colours;
use super::words;

pub fn sentence(saying: &FollowSaying, colours: Colours) -> String {
    match saying {
        FollowSaying::Right => "That is right.".into(),
        FollowSaying::RightSoFar => "Right so far.".into(),
        FollowSaying::NothingTurned => "Nothing has been turned yet.".into(),
        FollowSaying::GoOn(moves) => format!("Go on: {}.", told(moves)),
        FollowSaying::GoBack(moves) => format!("Go back: {}.", told(moves)),
        FollowSaying::Otherwise(what) => difference(*what),
        FollowSaying::LookAgain => "Look again.".into(),
        FollowSaying::SolvedWell => "The cube is solved. Well done!".into(),
        FollowSaying::HadShorter { moves, down, front } => format!(
            "That pair had a shorter way ({moves}, with {} down and {} in front).",
            colours.name(*down),
            colours.name(*front)
        ),
    }
}

/// Turns in words with their notation, going on in a sentence.
fn told(moves: &[Move]) -> String {
    words::within(&words::turns(moves))
}

fn difference(what: Difference) -> String {
    let turn = words::ordinal;
    match what {
        Difference::WrongWay(at) => format!("The {} turn went the wrong way.", turn(at)),
        Difference::AnotherLayer(at) => format!("The {} turn was of another layer.", turn(at)),
        Difference::OppositeSideFrom(at) => {
            format!(
                "From the {} turn on the opposite side was turned.",
                turn(at)
            )
        }
        Difference::TooFar(at) => format!("The {} turn went too far.", turn(at)),
        Difference::NotFarEnough(at) => format!("The {} turn did not go far enough.", turn(at)),
        Difference::LeftOut(at) => format!("The {} turn was left out.", turn(at)),
        Difference::OneTooMany => "There was one turn too many.".into(),
        Difference::WrongOrder => "Two turns were made in the wrong order.".into(),
        Difference::HeldOtherwise => {
            "The cube was held another way round than the hint says.".into()
        }
        Difference::CubeNotTurned => "The cube was not turned as the hint says.".into(),
    }
}
