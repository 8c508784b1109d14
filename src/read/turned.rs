//! Looks that show the cube in two states: it was turned while it was shown, or two cubes were.

use super::explain::{Judge, explain_as_expected};
use super::margin::{SURE, margin};
use super::outliers::{at_odds, outliers};
use super::work::Work;
use crate::cube::{Cube, Fault, FaultKind};
use crate::sight::Look;

/// When the first looks and the last ones, each by themselves, are surely two different states, that fault.
pub fn turned_between(judge: &Judge, looks: &[Look], work: &Work) -> Option<Fault> {
    (1..looks.len()).find_map(|at| {
        let before = surely(judge, &looks[..at], work)?;
        let after = surely(judge, &looks[at..], work)?;
        (before != after).then(|| fault(&before, &after, at))
    })
}

/// The state that some of the looks show by themselves.
fn surely(judge: &Judge, looks: &[Look], work: &Work) -> Option<Cube> {
    if work.is_done() {
        return None;
    }
    let explained = explain_as_expected(judge, looks, work);
    let best = explained.explanations.first()?;
    let fits = outliers(best).is_empty() && !at_odds(best);
    (best.flaw.none() && fits && !explained.unfinished && margin(&explained) >= SURE)
        .then(|| best.state.cube())?
}

fn fault(before: &Cube, after: &Cube, at: usize) -> Fault {
    let turn = crate::cube::Turn::ALL
        .into_iter()
        .find(|&turn| before.apply(turn) == *after);
    let first = if at == 1 {
        "the first look".to_owned()
    } else {
        format!("the first {at} looks")
    };
    let say = match turn {
        Some(turn) => format!(
            "{first} and the later ones differ by a turn of the {} face",
            turn.face.home_colour().name()
        ),
        None => format!(
            "{first} and the later ones show two different cubes, or one that was turned in between"
        ),
    };
    Fault {
        kind: FaultKind::TurnedBetweenLooks,
        say,
        repair: "show the whole cube again without turning a layer".into(),
        places: Vec::new(),
    }
}
