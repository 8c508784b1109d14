//! How the pair lies, and what turns do to it.

use crate::cube::{Colour, Corner, Edge, Face};
use crate::solve::Slot;

use super::super::see::Sight;

#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PairSaying {
    /// What corner and edge are to each other.
    Seen(Sight, Colour),
    /// The same, where a piece is in a slot that is not the pair's.
    Elsewhere(Elsewhere),
    CornerAt {
        at: Corner,
        cross: Colour,
        looks: Face,
    },
    /// Where the edge is, and where it shows a colour that tells which way round it is.
    EdgeAt {
        at: Edge,
        colour: Colour,
        looks: Face,
    },
    /// Where they stand when the top was turned; an edge by its side.
    InPlace {
        corner: Option<CornerThere>,
        edge: Option<Face>,
    },
    /// A slot that holds a piece comes to be there.
    SlotWithComes(Pieces, Edge),
    /// The slot between two colours comes to be there.
    SlotComes([Colour; 2], Edge),
    Order(Order),
    Aim(LiftAim),
    LiftReason(LiftReason),
    Mechanism(Mechanism),
    /// What one turn of a layer does to them; it moves one at least.
    Carried {
        layer: Face,
        corner: Option<Carry>,
        edge: Option<Carry>,
    },
    Now(Standing),
    BothHome,
    /// Each at the centre of its colour.
    CheckCentres([Colour; 2]),
    CheckBoth,
    WhichPair,
    LookForCornerWith(Colour),
    LookForPieces(Slot, Colour),
    Reason(PairReason),
    PlainIsShortest,
    /// What a short route gains: its turns, those of the plain one where these are more, and by what.
    Shorter {
        turns: usize,
        than: Option<usize>,
        by: ShortGain,
    },
    /// A short way needs an empty slot.
    NeedsEmptySlot,
    /// These slots must be empty.
    MustBeEmpty(Vec<Edge>),
}

/// A pair with a piece in a slot that is not its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Elsewhere {
    BothInOneSlot,
    CornerAndEdgeOnTop,
    EdgeAndCornerOnTop,
    EdgeAndCornerHome,
    CornerAndEdgeHome,
    EachInItsOwn,
}

/// Which pieces of a pair.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pieces {
    Corner,
    Edge,
    Both,
}

/// A corner on top.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CornerThere {
    pub column: [Face; 2],
    pub cross: Colour,
    pub looks: Face,
}

/// What a lift is for, as an order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Order {
    InsertBoth,
    Join,
    MakeReady,
    ChangeOver,
    PutCornerAside,
    Free(Pieces),
    Move,
}

/// What a lift is for, with what it leads to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LiftAim {
    FreeJoined(Pieces),
    FreeReady(Pieces),
    FreeFirst(Pieces),
    Join(Hiding),
    MakeReady(Hiding),
    ChangeOver,
    /// The corner goes into the slot, the edge comes out of it.
    CornerForEdge,
    CornerAside,
    Move,
    InsertJoined,
    InsertReady,
}

/// Which piece hides below while the other is moved.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hiding {
    Corner,
    Edge,
    Neither,
}

/// Why a lift is the right one for what is seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LiftReason {
    Joined,
    Ready,
    /// The cross colour is beside the edge.
    MustPart(Colour),
    CanJoin(Colour),
    CanBeReady(Colour),
    CrossUp(Colour),
    CornerIn,
    EdgeIn,
    BothIn,
    Trapped,
}

/// What the three turns of a lift do to the two pieces.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mechanism {
    /// The joined pair goes in as one.
    SlideOver,
    /// A side brings the corner to its edge, and both go in.
    CornerToEdge(Face),
    CornerHidesEdgeMoves,
    EdgeHidesCornerMoves,
    CornerHidesEdgeComesUp,
    EdgeHidesCornerComesUp,
    BothComeUp(Face),
    CornerComesUp(Face),
    EdgeComesUp(Face),
    /// The edge comes up; closing turns the corner.
    EdgeComesUpCornerTurns,
    EdgeOutCornerIn,
    CornerIn,
    /// The top moves both; closing turns the corner.
    BothMoveCornerTurns,
}

/// What a turn does to one piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Carry {
    Up,
    Down,
    /// About the top.
    OnTop(Whereabouts),
    /// From place to place below it.
    Below(Whereabouts),
}

/// Where a piece comes to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Whereabouts {
    Column([Face; 2]),
    LowerColumn([Face; 2]),
    Side(Face),
    LowerSide(Face),
    Slot([Face; 2]),
}

/// How things stand after a step that is not the last.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    Joined,
    Ready,
    BothOnTop,
    CornerHome,
    CornerLeft,
    EdgeHome,
    EdgeLeft,
    BothInSlots,
}

/// Why a pair comes now.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PairReason {
    /// All others are solved.
    Last,
    /// It is the one that was asked for.
    Wanted,
    /// No pair left takes fewer turns than its so many.
    Fewest(usize),
    /// Others take fewer turns than its so many, but more work with turns of the whole cube counted.
    LeastWork(usize),
}

/// By what a short route gains.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ShortGain {
    Keyhole,
    EmptySlot,
    Sledgehammer,
    BackSlot,
    NoRotation,
    /// One side stays open while the two join.
    OpensAround,
    /// One side turns while another is open.
    Overlaps,
    Unnamed,
}
