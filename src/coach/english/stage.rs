//! Where a solve is, and what comes next.

use super::super::saying::StageSaying;
use super::colours::Colours;
use super::words;

pub fn sentence(saying: StageSaying, colours: Colours) -> String {
    match saying {
        StageSaying::NextCross(cross) => format!("Next comes the {} cross.", colours.name(cross)),
        StageSaying::CrossDone(cross, pairs) => {
            format!(
                "The {} cross is done{}.",
                colours.name(cross),
                and_so(pairs)
            )
        }
        StageSaying::NextPair(slot, cross) => {
            format!("Next comes the {} pair.", colours.pair(slot, cross))
        }
        StageSaying::Meanwhile(slot, cross) => format!(
            "Meanwhile look for the next: the {} and its edge.",
            words::corner(colours.at([cross])[0], colours.at(slot.colours(cross)))
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
