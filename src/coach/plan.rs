//! The five ideas of the plain route, and the plan of a chain in a sentence.

use crate::cube::Colour;

use super::describe::{Pair, held_in};
use super::lifts::{Act, Lift};
use super::spot::{Relation, Spot};

/// What a lift is good for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Idea {
    Free,
    Part,
    Bring,
    Insert,
}

impl Idea {
    /// What a lift does for the pair as it lies.
    pub fn of(before: &Spot, lift: Lift) -> Idea {
        let slot = Some(lift.slot());
        if before.after(&lift.moves()).is_solved() {
            Idea::Insert
        } else if before.corner_slot() == slot || before.edge_slot() == slot {
            Idea::Free
        } else if before.relation() == Relation::Misjoined {
            Idea::Part
        } else {
            Idea::Bring
        }
    }
}

/// The lifts of a chain, each with its idea and with how the pair lies before it.
pub fn ideas(acts: &[Act], start: Spot) -> Vec<(Idea, Spot, Lift)> {
    let mut at = start;
    let mut ideas = Vec::new();
    for act in acts {
        if let Act::Lift(lift) = act {
            ideas.push((Idea::of(&at, *lift), at, *lift));
        }
        at = at.after(&act.moves());
    }
    ideas
}

/// The plan of a chain in one sentence without its end: "first free the edge from its slot, then insert ..".
pub fn plan(ideas: &[(Idea, Spot, Lift)]) -> String {
    let parts: Vec<String> = ideas
        .iter()
        .map(|(idea, before, lift)| plan_part(*idea, before, *lift))
        .collect();
    match &parts[..] {
        [] => "nothing is left to do".into(),
        [one] => one.clone(),
        [first, rest @ ..] => format!("first {first}, then {}", rest.join(", then ")),
    }
}

fn plan_part(idea: Idea, before: &Spot, lift: Lift) -> String {
    let after = before.after(&lift.moves());
    let joins = after.relation() == Relation::Joined;
    match idea {
        Idea::Free => {
            let pieces = held_in(before, lift.slot()).unwrap_or("pieces");
            let whose = if lift.slot() == before.slot() {
                "its own slot"
            } else {
                "the slot it is trapped in"
            };
            let whose = if pieces == "corner and edge" {
                whose
                    .replace("its own", "their own")
                    .replace("it is", "they are")
            } else {
                whose.into()
            };
            let so = if joins {
                " so that it comes out joined to its partner"
            } else {
                ""
            };
            let so = if pieces == "corner and edge" && joins {
                " so that they come out joined"
            } else {
                so
            };
            format!("free the {pieces} from {whose}{so}")
        }
        Idea::Part if joins => "part the two so that they join again the right way".into(),
        Idea::Part => "part the two, which touch the wrong way".into(),
        Idea::Bring if joins => "bring the two together so that they join".into(),
        Idea::Bring => "turn the corner round so that an insert fits".into(),
        Idea::Insert if before.relation() == Relation::Joined => {
            "insert the joined pair with three turns".into()
        }
        Idea::Insert => "insert with three turns that join the two on the way".into(),
    }
}

/// What makes the plan work.
pub fn why_plan(ideas: &[(Idea, Spot, Lift)], pair: Pair) -> String {
    let [a, b] = pair.sides.map(Colour::name);
    match ideas.last() {
        Some((_, before, _)) if before.relation() == Relation::Joined => format!(
            "A joined pair goes in as one: open the slot between {a} and {b}, slide the pair over it, close it."
        ),
        Some(_) => format!(
            "With the corner over its slot, {} looking sideways, and the edge on the far side, opening the slot between {a} and {b} carries \
             the corner to its edge.",
            pair.cross.name()
        ),
        None => String::new(),
    }
}
