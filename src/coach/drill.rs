//! Drills: names for the situations of a pair that hold for any slot and colour, and the turns that bring one about.

use crate::cube::{Amount, Face, Held, Move, Moves, Turn};
use crate::solve::{self, Limits, Slot};

use super::pairs;
use super::spot::Spot;
use super::words;

/// What a pair's situation is called, for any slot and colours: as it looks with the slot at the front right and the top
/// turned so that the corner (or else the edge) stands over the slot. Two situations have one name only when a turn of the
/// top leads from one to the other.
pub fn situation_name(held: &Held, slot: Slot) -> String {
    name(&facing(pairs::spot(held, slot)))
}

/// The spot in the hold that has the slot at the front right.
fn facing(spot: Spot) -> Spot {
    let turned = |q| Amount::of_quarters(q).map_or(spot, |a| spot.rotated(a));
    let at_front_right = |s: &Spot| s.home.contains(&Face::F) && s.home.contains(&Face::R);
    [0, 1, 2, 3]
        .map(turned)
        .into_iter()
        .find(at_front_right)
        .unwrap_or(spot)
}

fn tops(spot: Spot) -> [Spot; 4] {
    [0, 1, 2, 3].map(|q| match Amount::of_quarters(q) {
        Some(amount) => spot.turned(Turn::new(Face::U, amount)),
        None => spot,
    })
}

fn name(spot: &Spot) -> String {
    let over_slot = |s: &Spot| {
        if s.corner_on_top() {
            s.corner.contains(&Face::F) && s.corner.contains(&Face::R)
        } else {
            !s.edge_on_top() || s.edge.contains(&Face::F)
        }
    };
    let spot = tops(*spot).into_iter().find(over_slot).unwrap_or(*spot);
    if spot.is_solved() {
        return "solved".into();
    }
    let corner = match spot.corner_slot() {
        None => "corner over its slot".to_string(),
        Some(at) if at == spot.slot() => "corner in its slot".into(),
        Some(at) => format!("corner in the {} slot", words::slot(at)),
    };
    let edge = match spot.edge_slot() {
        None => format!("edge {}", words::at_side(side_of(&spot))),
        Some(at) if at == spot.slot() => "edge in its slot".into(),
        Some(at) => format!("edge in the {} slot", words::slot(at)),
    };
    format!(
        "{corner}, cross colour {}; {edge}, {}",
        words::looking(spot.looks()),
        shown(&spot)
    )
}

fn side_of(spot: &Spot) -> Face {
    let side = spot.edge.iter().find(|f| **f != Face::U);
    side.copied().unwrap_or(Face::F)
}

/// How the edge lies, by the colours of the centres in front and on the right.
fn shown(spot: &Spot) -> &'static str {
    let front = usize::from(spot.home[1] == Face::F);
    let [front, right] = [spot.edge[front], spot.edge[1 - front]];
    match (front, right) {
        (Face::U, _) => "front colour on top",
        (_, Face::U) => "right colour on top",
        (Face::F, _) | (_, Face::R) => "each colour on its own side",
        (Face::B, _) | (_, Face::L) => "each colour across from its own side",
        _ => "colours on each other's sides",
    }
}

/// The fewest turns, from the hold, that bring a solved pair to lie as it does in `wanted` (but for a turn of the top),
/// with the cross and the other solved pairs kept. None when the pair or the cross is not solved, or when the pair lies
/// so only with a piece in a slot that is to be kept.
pub fn bring_about(held: &Held, slot: Slot, wanted: &Held) -> Option<Moves> {
    let cross = held.hold.down();
    let solved = |h: &Held| solve::cross_solved(&h.cube, cross);
    let pairs = solve::pairs_solved(&held.cube, cross);
    if !solved(held) || !solved(wanted) || !pairs.contains(slot) {
        return None;
    }
    let keep = pairs.without(slot);
    if !keep.is_subset(solve::pairs_solved(&wanted.cube, cross)) {
        return None;
    }
    let top = held.hold.home_face(Face::U);
    let turned =
        |q| Amount::of_quarters(q).map_or(wanted.cube, |a| wanted.cube.apply(Turn::new(top, a)));
    // All pieces that count are at home in hand, so a way from the wanted state to there, gone backwards, leads to it.
    let limits = Limits::default();
    let ways = (0..4).filter_map(|q| solve::shortest_pair(&turned(q), cross, slot, keep, &limits));
    let turns = ways.min_by_key(Vec::len)?;
    let in_hand = |t: &Turn| Move::from(held.hold.turn_in_hand(t.inverse()));
    Some(turns.iter().rev().map(in_hand).collect())
}
