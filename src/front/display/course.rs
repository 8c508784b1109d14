//! The turns that were given, and how many of them are made.

use super::drawing;
use crate::coach::Group;
use crate::cube::{Move, Moves, Scheme};
use crate::page::Turns;

/// Turns that were given, idea by idea, at the head of all that lead to the goal.
#[derive(Clone, Debug, Default)]
pub struct Course {
    given: Vec<Turns>,
    count: usize,
    all: Moves,
}

impl Course {
    /// The turns of a hint for a cube of a scheme; `all` are those that lead to its goal.
    pub fn new(groups: &[Group], all: &Moves, scheme: Scheme) -> Course {
        let given: Vec<Move> = groups
            .iter()
            .flat_map(|group| group.moves.to_vec())
            .collect();
        if given.is_empty() || !all.starts_with(&given) {
            return Course::default();
        }
        Course {
            given: drawing::grouped(groups, scheme),
            count: given.len(),
            all: all.clone(),
        }
    }

    /// The turns that were given with the number of those that are made, where `left` are the ones that are left to the goal;
    /// none where others lead there now, or the given ones are all made and more follow.
    pub fn after(&self, left: &Moves) -> Option<(Vec<Turns>, usize)> {
        let made = self.all.len().checked_sub(left.len())?;
        let (first, rest) = left.split_first()?;
        if made >= self.count || self.all[made + 1..] != *rest {
            return None;
        }
        let mut given = self.given.clone();
        // A half turn may be half made.
        if self.all[made] != *first {
            let (group, at) = place(&given, made)?;
            given[group].moves[at] = first.to_string();
            given[group].words[at] = crate::coach::words::turn(*first);
        }
        Some((given, made))
    }
}

/// The group that a turn is in, and its place there.
fn place(groups: &[Turns], mut index: usize) -> Option<(usize, usize)> {
    for (group, turns) in groups.iter().enumerate() {
        if index < turns.moves.len() {
            return Some((group, index));
        }
        index -= turns.moves.len();
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::coach::Idea;
    use crate::coach::saying::Deed;

    fn moves(text: &str) -> Moves {
        text.parse().expect("turns")
    }

    fn course() -> Course {
        let group = |idea, text| Group {
            name: Some(Deed::Idea(idea)),
            moves: moves(text),
        };
        Course::new(
            &[group(Idea::Free, "U2 R"), group(Idea::Insert, "U R'")],
            &moves("U2 R U R' F"),
            Scheme::USUAL,
        )
    }

    #[test]
    fn each_turn_that_is_made_is_counted_and_the_ideas_stay() {
        for (left, made) in [("U2 R U R' F", 0), ("R U R' F", 1), ("R' F", 3)] {
            let (turns, present) = course().after(&moves(left)).expect("on the way");
            assert_eq!(present, made, "{left}");
            assert_eq!(turns.len(), 2);
            assert_eq!(turns[0].moves, ["U2", "R"]);
        }
    }

    #[test]
    fn of_a_half_turn_that_is_half_made_a_quarter_is_left() {
        let (turns, present) = course().after(&moves("U R U R' F")).expect("on the way");
        assert_eq!((present, turns[0].moves[0].as_str()), (0, "U"));
    }

    #[test]
    fn other_turns_and_those_after_the_given_ones_are_another_course() {
        for left in ["F", "R U' R' F", "L U2 R U R' F", ""] {
            assert_eq!(course().after(&moves(left)), None, "{left}");
        }
        assert_eq!(Course::default().after(&moves("R")), None);
    }
}
