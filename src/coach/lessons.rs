//! The 22 sights with an example of each, to be looked at and practised. A piece trapped in another slot leads to one of
//! them once it is freed.

use crate::cube::{Amount, Colour, Cube, Face, Held, inverse};
use crate::solve::{Slot, SlotSet};

use super::describe;
use super::ideas;
use super::level::Level;
use super::method::{self, Hand, Holding};
use super::pairs;
use super::route::Route;
use super::saying::{SightName, Text, say};
use super::spot::{Relation, Spot};

/// One sight with its routes.
#[derive(Clone, Debug)]
pub struct Lesson {
    /// 1 to 22, in the order of teaching.
    pub number: usize,
    pub name: SightName,
    /// A state with the pair so and in place, its slot at the front right, the three other pairs and the cross solved.
    pub held: Held,
    /// The mirrored sight, the slot at the front left.
    pub mirrored: Held,
    pub slot: Slot,
    pub relation: Relation,
    /// How corner and edge lie to each other, and where they are.
    pub see: Text,
    /// The plain route first, then the short one, then others.
    pub routes: Vec<Route>,
    /// The plain route of the mirrored sight; none for a sight that is its own mirror, which has one hand.
    pub mirrored_route: Option<Route>,
}

/// All 22.
pub fn lessons(cross: Colour, slot: Slot) -> Vec<Lesson> {
    let others = SlotSet::ALL.without(slot);
    let pair = pairs::pair(cross, slot);
    let lesson = |number: usize| {
        let held = example(number, Hand::Right, cross, slot)?;
        let mirrored = example(number, Hand::Left, cross, slot)?;
        let spot = pairs::spot(&held, slot);
        let own_mirror = method::number(&pairs::spot(&mirrored, slot))
            .is_none_or(|(_, hand)| hand == Hand::Right);
        let routes = |held: &Held| pairs::routes(held, slot, others, Level::Front);
        Some(Lesson {
            number,
            name: SightName { number, cross },
            held,
            mirrored,
            slot,
            relation: spot.relation(),
            see: describe::look_for(&spot, pair),
            routes: routes(&held),
            mirrored_route: routes(&mirrored).into_iter().next().filter(|_| !own_mirror),
        })
    };
    (1..=method::COUNT).filter_map(lesson).collect()
}

/// What the two pieces of a pair are to each other as they lie.
pub fn seen(held: &Held, slot: Slot) -> Text {
    let pair = pairs::pair(held.hold.down(), slot);
    say(describe::relation(&pairs::spot(held, slot), pair))
}

/// A state with a pair as a sight has it, in place, the slot at the front right or, for the left hand, at the front left;
/// the cross and the three other pairs are solved. None for a number that there is not.
pub fn example(number: usize, hand: Hand, cross: Colour, slot: Slot) -> Option<Held> {
    let spot = method::example(number)?;
    let hold = slot.hold(cross);
    Some(match hand {
        Hand::Right => lying(
            spot,
            Held {
                cube: Cube::solved(),
                hold,
            },
        ),
        Hand::Left => lying(
            spot.reflected().rotated(Amount::Quarter),
            Held {
                cube: Cube::solved(),
                hold: hold.rotated(Face::U, 1),
            },
        ),
    })
}

/// The solved cube in hand with a pair brought to where it lies so.
fn lying(spot: Spot, solved: Held) -> Held {
    let moves = ideas::moves(&method::acts(spot, Holding::Still));
    solved.after(&inverse(&moves))
}
