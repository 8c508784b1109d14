//! The 41 situations of a slot: the pair in the top layer or in its own slot, but for turns of the top. A piece trapped
//! in another slot leads to one of them once it is freed.

use crate::cube::{Amount, Colour, Cube, Face, Held, Turn, htm, inverse};
use crate::solve::{Slot, SlotSet};

use super::chains;
use super::describe;
use super::drill::situation_name;
use super::pairs;
use super::route::Route;
use super::spot::{Relation, Spot};
use super::words;

/// One situation with its routes.
#[derive(Clone, Debug)]
pub struct Lesson {
    /// A state with the pair so, its slot at the front right, the three other pairs and the cross solved.
    pub held: Held,
    pub slot: Slot,
    pub relation: Relation,
    /// What the situation is called, for any slot and colours.
    pub name: String,
    /// Where corner and edge are and how they lie to each other, in words.
    pub see: String,
    /// The plain route first, then the short one, then others.
    pub routes: Vec<Route>,
}

/// All 41, in the order of [`situations`].
pub fn lessons(cross: Colour, slot: Slot) -> Vec<Lesson> {
    let others = SlotSet::ALL.without(slot);
    let pair = pairs::pair(cross, slot);
    let lesson = |held: Held| {
        let spot = pairs::spot(&held, slot);
        Lesson {
            held,
            slot,
            relation: spot.relation(),
            name: situation_name(&held, slot),
            see: format!(
                "{}. {}",
                words::sentence(&describe::places_named(&spot, pair)),
                describe::relation(&spot, pair)
            ),
            routes: pairs::routes(&held, slot, others),
        }
    };
    situations(cross, slot).into_iter().map(lesson).collect()
}

/// A state for each of the 41 situations of a slot, the slot at the front right, the cross and the three other pairs
/// solved: by relation and then by the length of the plain route. The top is turned so that the plain route begins with
/// as little as can be.
pub fn situations(cross: Colour, slot: Slot) -> Vec<Held> {
    let hold = slot.hold(cross);
    let solved = Held {
        cube: Cube::solved(),
        hold,
    };
    let state = |spot: Spot| {
        let (acts, _) = chains::plain(spot)?;
        let moves: Vec<_> = acts.iter().flat_map(|a| a.moves()).collect();
        let held = Held {
            cube: solved.after(&inverse(&moves)).cube,
            hold,
        };
        Some((spot.relation() as usize, htm(&moves), held))
    };
    let mut states: Vec<_> = spots(pairs::spot(&solved, slot))
        .into_iter()
        .filter_map(state)
        .collect();
    states.sort_by_key(|&(relation, turns, _)| (relation, turns));
    states.into_iter().map(|(.., held)| held).collect()
}

/// One spot for each situation.
fn spots(solved: Spot) -> Vec<Spot> {
    let mut seen = vec![false; Spot::COUNT];
    let mut chosen = Vec::new();
    for spot in chains::all_spots(solved) {
        let trapped = [spot.corner_slot(), spot.edge_slot()];
        let elsewhere = trapped.iter().flatten().any(|slot| *slot != spot.slot());
        if spot.home != solved.home || elsewhere || spot.is_solved() || seen[spot.index()] {
            continue;
        }
        let tops = [0, 1, 2, 3].map(|quarters| {
            let amount = Amount::of_quarters(quarters);
            amount.map_or(spot, |a| spot.turned(Turn::new(Face::U, a)))
        });
        for top in &tops {
            seen[top.index()] = true;
        }
        let cost = |s: &Spot| chains::plain(*s).map_or(u32::MAX, |(_, cost)| cost);
        chosen.extend(tops.into_iter().min_by_key(cost));
    }
    chosen
}
