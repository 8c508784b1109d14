//! Names of situations tell them apart.

use std::collections::HashSet;

use super::fixture::placements;
use crate::coach::{pairs, situation_name};
use crate::cube::{Amount, Colour, Face, Held, Turn};
use crate::solve::{Slot, SlotSet};

#[test]
fn names_tell_all_situations_of_every_slot_apart_and_no_more() {
    let mut names = HashSet::new();
    for (cross, hold) in [(Colour::White, 0), (Colour::Orange, 2)] {
        for slot in Slot::ALL {
            let mut here = HashSet::new();
            for cube in placements(cross, slot, SlotSet::EMPTY) {
                let held = Held {
                    cube,
                    hold: pairs::holds(cross)[hold],
                };
                let name = situation_name(&held, slot);
                let top = cube.apply(Turn::new(held.hold.home_face(Face::U), Amount::Quarter));
                assert_eq!(
                    name,
                    situation_name(&Held { cube: top, ..held }, slot),
                    "a turn of the top"
                );
                here.insert(name);
            }
            // 24 with both on top; 12 times 6 and 6 times 4 with one; 12 corners in slots times 8 edges in slots.
            assert_eq!(here.len(), 24 + 12 * 2 + 8 * 3 + 12 * 8);
            names.extend(here);
        }
    }
    assert_eq!(
        names.len(),
        24 + 12 * 2 + 8 * 3 + 12 * 8,
        "the same names for every slot and colour"
    );
}
