//! Drills: names tell situations apart, and setting one up really does.

use std::collections::HashSet;

use super::fixture::placements;
use crate::coach::{bring_about, lessons, pairs, situation_name};
use crate::cube::{Amount, Colour, Cube, Face, Held, Turn, htm};
use crate::solve::{self, Slot, SlotSet};

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

#[test]
fn a_situation_is_brought_about_with_all_else_kept() {
    let cross = Colour::Yellow;
    let slot = Slot::ALL[1];
    let wanted = lessons(cross, slot);
    let names: HashSet<&str> = wanted.iter().map(|l| l.name.as_str()).collect();
    assert_eq!(names.len(), 41);
    // Solved pairs of a solved cube, and of one with another pair and the last layer in disorder.
    let other = Slot::ALL[3];
    let mixed = placements(cross, other, SlotSet::ALL.without(other))[77];
    for cube in [Cube::solved(), mixed] {
        let held = Held {
            cube,
            hold: pairs::holds(cross)[3],
        };
        let keep = solve::pairs_solved(&cube, cross).without(slot);
        for lesson in &wanted {
            let moves = bring_about(&held, slot, &lesson.held).expect("a way");
            let after = held.after(&moves);
            assert!(solve::cross_solved(&after.cube, cross));
            assert!(keep.is_subset(solve::pairs_solved(&after.cube, cross)));
            assert_eq!(situation_name(&after, slot), lesson.name);
            // The way there is a route for the situation gone backwards, but for turns of the top.
            let short = lesson
                .routes
                .iter()
                .map(|r| r.turns)
                .min()
                .expect("a route");
            assert!(htm(&moves) <= short);
            if keep.len() == 3 {
                assert!(
                    htm(&moves) + 1 >= short,
                    "{}: {moves} against {short}",
                    lesson.name
                );
            }
        }
        let open = Held {
            cube: lesson_state(&wanted),
            ..held
        };
        assert_eq!(
            bring_about(&open, slot, &wanted[0].held),
            None,
            "the pair is not solved"
        );
    }
}

fn lesson_state(lessons: &[crate::coach::Lesson]) -> Cube {
    lessons[5].held.cube
}
