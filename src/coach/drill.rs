//! Names for the situations of a pair that hold for any slot and colour.

use crate::cube::{Amount, Face, Held, Turn};
use crate::solve::Slot;

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
