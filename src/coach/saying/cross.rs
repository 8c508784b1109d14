//! The cross, edge by edge, and which cross is the easiest.

use crate::cube::{Colour, Edge, Face};

#[derive(Clone, Debug, PartialEq, Eq)]
pub enum CrossSaying {
    /// All of it planned together, in so many turns.
    PlannedTogether {
        cross: Colour,
        turns: usize,
    },
    FindAllFour(Colour),
    OneAfterTheOther(Colour),
    LookForNearest(Colour),
    EachComesToItsCentre,
    BringDown(CrossEdges),
    MoveHome(CrossEdges),
    /// Where an edge is; by its side colour, where several are told of.
    EdgeAt {
        side: Option<Colour>,
        at: Edge,
        cross: Colour,
        looks: Face,
    },
    TurnBottom,
    /// How the turns for an edge are found; half a turn or a quarter takes it down.
    TakeDown {
        lead: Lead,
        half: bool,
    },
    DownInTwo,
    WhereAreTheFour(Colour),
    FindAllFirst,
    LookFor(CrossEdges),
    HomeAlready(usize),
    AllDown,
    BeginWith(CrossEdges),
    TurnOnlyBottom,
    EachMustMeet,
    OrderCounts,
    CheckEach,
    /// No cross takes fewer turns than so many.
    Fewest(usize),
    /// Another cross would take so few turns.
    Easier {
        cross: Colour,
        turns: usize,
        than: usize,
    },
    /// So many edges are in the right order, of four.
    InOrder(usize),
    /// So many can come down with one turn; `more` than those in the right order.
    OneTurnAway {
        count: usize,
        more: bool,
    },
}

/// Some edges of a cross, by their side colours.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CrossEdges {
    pub cross: Colour,
    pub sides: Vec<Colour>,
}

/// Where an edge is to its place, before it is taken down.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lead {
    BringPlaceBelow,
    BringOver,
    PlaceIsBelow,
}
