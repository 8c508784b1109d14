//! How far a learner has come: what the coach tells, and what it leaves out.

use super::method::Holding;

/// A level of coaching.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Level {
    /// The method, with the slot in front: the cube is turned so that all of it can be seen.
    #[default]
    Front,
    /// The same ideas where the slot is: the cube is never turned.
    Still,
    /// Other slots and shorter ways too, where they have a name and save two turns.
    Short,
    /// The next pair is named while the present one goes in.
    Ahead,
}

impl Level {
    pub const ALL: [Level; 4] = [Level::Front, Level::Still, Level::Short, Level::Ahead];

    /// The level of a number, 1 to 4.
    pub fn numbered(number: u8) -> Option<Level> {
        Level::ALL.get(usize::from(number).checked_sub(1)?).copied()
    }

    /// 1 to 4.
    pub fn number(self) -> u8 {
        self as u8 + 1
    }

    pub(super) fn holding(self) -> Holding {
        match self {
            Level::Front => Holding::InFront,
            _ => Holding::Still,
        }
    }
}
