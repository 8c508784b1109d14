//! Routes as they are told: steps of moves with what to do and why.

use serde::Serialize;

use crate::cube::{Moves, htm, rotations};
use crate::solve::Style;

use super::saying::{Deed, Text, Use};

/// A way to a goal.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Route {
    pub style: Style,
    /// From the advice's hold.
    pub moves: Moves,
    /// Half-turn metric.
    pub turns: usize,
    /// Turns of the whole cube.
    pub rotations: usize,
    /// Ideas that have names in the trade.
    pub uses: Vec<Use>,
    /// The idea of the whole route in one sentence.
    pub idea: Text,
    /// What to look for to see this route next time.
    pub look_for: Text,
    pub steps: Vec<Step>,
}

/// One step of a route.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Step {
    /// What it is.
    pub idea: Deed,
    /// What to do.
    pub say: Text,
    /// Why it works or what it is good for.
    pub why: Text,
    pub moves: Moves,
}

impl Route {
    /// The same with more ideas named.
    pub fn using(mut self, uses: impl IntoIterator<Item = Use>) -> Route {
        self.uses.extend(uses);
        self
    }

    /// Whether a learner who knows the plain route gains by this one: it rests on an idea that has a name, and saves two
    /// turns, or the turning of the cube at no more turns.
    pub fn is_worth_offering(&self, plain: &Route) -> bool {
        const IDEAS: [Use; 3] = [Use::EmptySlot, Use::Keyhole, Use::Sledgehammer];
        let named = self.uses.iter().any(|one| IDEAS.contains(one));
        let still = self.rotations < plain.rotations && self.turns <= plain.turns;
        self.style == Style::Short && named && (self.turns + 2 <= plain.turns || still)
    }

    /// A route from its steps; moves and counts follow from them.
    pub fn new(
        style: Style,
        steps: Vec<Step>,
        uses: Vec<Use>,
        idea: Text,
        look_for: Text,
    ) -> Route {
        let moves = Moves(steps.iter().flat_map(|s| s.moves.iter().copied()).collect());
        Route {
            style,
            turns: htm(&moves),
            rotations: rotations(&moves),
            moves,
            uses,
            idea,
            look_for,
            steps,
        }
    }
}
