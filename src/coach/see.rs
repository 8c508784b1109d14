//! What is to be seen in a pair, wherever its slot is and however the top is turned.

use crate::cube::Face;

use super::method;
use super::spot::{Relation, Spot};

/// What a learner looks for in a pair that is on top or in its own slot.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Sight {
    /// Both on top.
    OnTop {
        tops: Tops,
        touching: bool,
        /// What the corner shows on the edge's side where they touch, or on the side across from it.
        beside: Beside,
    },
    /// The corner in its slot, the edge on top.
    CornerIn(CornerIn),
    /// The edge in its slot, the corner on top.
    EdgeIn { flipped: bool, up: bool },
    /// Both in their slot, not solved.
    BothIn {
        corner_wrong: bool,
        edge_wrong: bool,
    },
}

/// The two colours on top.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Tops {
    /// The cross colour is on top of the corner.
    Cross,
    Same,
    Different,
}

/// What a corner shows, seen beside an edge.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Beside {
    /// The cross colour.
    Cross,
    /// The colour that the edge shows on its side.
    Same,
    /// The other side colour.
    Other,
}

/// How a corner is in its own slot without its edge.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum CornerIn {
    /// The cross colour down.
    Down,
    /// The cross colour on the side that the edge's side colour belongs to.
    Below,
    /// The cross colour on the other side.
    Aside,
}

impl Sight {
    /// What is seen; none for a solved pair, and while a piece is in another slot.
    pub fn of(spot: &Spot) -> Option<Sight> {
        if spot.is_solved() || !method::trapped(spot).is_empty() {
            return None;
        }
        Some(match spot.relation() {
            Relation::Joined | Relation::Misjoined | Relation::Apart => on_top(spot),
            Relation::CornerInSlot => Sight::CornerIn(corner_in(spot)),
            Relation::EdgeInSlot => Sight::EdgeIn {
                flipped: spot.edge != spot.home,
                up: spot.looks() == Face::U,
            },
            Relation::BothInSlots => Sight::BothIn {
                corner_wrong: spot.looks() != Face::D,
                edge_wrong: spot.edge != spot.home,
            },
        })
    }
}

/// The face beside the top on which an edge on top is.
pub fn edge_side(spot: &Spot) -> Face {
    let side = spot.edge.into_iter().find(|face| *face != Face::U);
    side.unwrap_or(Face::F)
}

fn on_top(spot: &Spot) -> Sight {
    let side = edge_side(spot);
    let touching = spot.corner.contains(&side);
    let at = if touching { side } else { side.opposite() };
    let up = |faces: &[Face]| faces.iter().position(|f| *f == Face::U);
    let tops = match (up(&spot.corner[1..]), up(&spot.edge)) {
        (None, _) => Tops::Cross,
        (corner, edge) if corner == edge => Tops::Same,
        _ => Tops::Different,
    };
    let on_side = spot.edge.iter().position(|f| *f == side);
    let beside = match spot.corner.iter().position(|f| *f == at) {
        Some(0) => Beside::Cross,
        shown if shown == on_side.map(|k| k + 1) => Beside::Same,
        _ => Beside::Other,
    };
    Sight::OnTop {
        tops,
        touching,
        beside,
    }
}

fn corner_in(spot: &Spot) -> CornerIn {
    let on_side = spot.edge.iter().position(|f| *f != Face::U).unwrap_or(0);
    match spot.looks() {
        Face::D => CornerIn::Down,
        looks if looks == spot.home[on_side] => CornerIn::Below,
        _ => CornerIn::Aside,
    }
}

/// Whether the two are on top and one insert takes them in, though they are not joined, once the top is turned.
pub fn is_ready(spot: &Spot) -> bool {
    let ready = Sight::OnTop {
        tops: Tops::Different,
        touching: false,
        beside: Beside::Other,
    };
    Sight::of(spot) == Some(ready)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::{BTreeMap, HashSet};

    #[test]
    fn what_is_seen_tells_the_sights_apart_and_no_more() {
        let mut seen: BTreeMap<usize, HashSet<Sight>> = BTreeMap::new();
        let mut numbers: std::collections::HashMap<Sight, HashSet<usize>> = Default::default();
        for spot in method::all() {
            let number = method::number(&spot).map(|(number, _)| number);
            let sight = Sight::of(&spot);
            assert_eq!(number.is_some(), sight.is_some(), "{spot:?}");
            if let (Some(number), Some(sight)) = (number, sight) {
                seen.entry(number).or_default().insert(sight);
                numbers.entry(sight).or_default().insert(number);
            }
        }
        assert_eq!(seen.len(), method::COUNT);
        assert!(seen.values().all(|sights| sights.len() == 1), "{seen:#?}");
        assert!(numbers.values().all(|n| n.len() == 1), "{numbers:#?}");
    }
}
