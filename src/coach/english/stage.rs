//! Where a solve is, and what comes next.

use super::super::saying::StageSaying;
use super::words;

pub fn sentence(saying: StageSaying) -> String {
    match saying {
        StageSaying::NextCross(cross) => format!("Next comes the {} cross.", cross.name()),
        StageSaying::CrossDone(cross, pairs) => {
            format!("The {} cross is done{}.", cross.name(), and_so(pairs))
        }
        StageSaying::NextPair(slot, cross) => {
            format!("Next comes the {} pair.", slot.name(cross))
        }
        StageSaying::Meanwhile(slot, cross) => format!(
            "Meanwhile look for the next: the {} and its edge.",
            words::corner(cross, slot.colours(cross))
        ),
        StageSaying::TwoLayersDone => "The first two layers are done.".into(),
        StageSaying::Solved => "The cube is solved.".into(),
        StageSaying::MixAgain => "To practise again, mix the cube, and show it.".into(),
        StageSaying::NothingLeft => "There is nothing left to look for: the cube is solved.".into(),
        StageSaying::EverySideWhole => "Every side shows one colour only.".into(),
        StageSaying::TwentyTurnsMix => "Some twenty turns mix it well.".into(),
        StageSaying::NoTurnsNeeded => "No turns are needed: the cube is solved.".into(),
    }
}

fn and_so(pairs: usize) -> String {
    match pairs {
        0 => String::new(),
        1 => ", and so is one pair".into(),
        n => format!(", and so are {} pairs", words::count(n)),
    }
}
