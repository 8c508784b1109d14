//! Steps told: what to do, and why it works. One saying of each is short enough to be heard once.

use crate::cube::{Axis, Move, Moves};

use super::describe::{self, Pair, held_in, in_place, standing};
use super::ideas::{Fate, Idea, Way};
use super::lifts::{Act, Lift};
use super::route::Step;
use super::saying::{
    Deed, Hiding, LiftAim, LiftReason, Mechanism, Order, PairSaying, Pieces, Text, TurnSaying, say,
    say_all,
};
use super::see::{Beside, Sight, Tops, is_ready};
use super::spot::{Relation, Spot};

/// The steps of a route from where the pair lies.
pub fn steps(acts: &[Act], start: Spot, pair: Pair) -> Vec<Step> {
    let mut at = start;
    let mut steps = Vec::with_capacity(acts.len());
    for (i, &act) in acts.iter().enumerate() {
        steps.push(step(act, &at, next_lift(&acts[i + 1..]), pair));
        at = act.on(at);
    }
    steps
}

/// One action told, with the lift that it makes ready for.
pub fn step(act: Act, before: &Spot, next: Option<Lift>, pair: Pair) -> Step {
    let moves = act.moves();
    let after = act.on(*before);
    let turns = say(TurnSaying::Written(moves.clone()));
    let (idea, told, why) = match act {
        Act::Rotate(amount) => (
            Deed::TurnTheCube,
            say(TurnSaying::CubeWritten(Axis::Y, amount)),
            say(why_rotate(&after, next, pair)),
        ),
        Act::Top(_) => (Deed::IntoPlace, turns, in_place(&after, pair)),
        Act::Lift(lift) => {
            let idea = Idea::of(before, lift);
            (
                Deed::Idea(idea),
                say(PairSaying::Order(order(idea, before, lift))).and(turns),
                does(before, lift).and(say(result(idea, &after, pair))),
            )
        }
    };
    Step {
        idea,
        say: told,
        why,
        moves: Moves(moves),
    }
}

/// The lift that comes next, wherever the cube or the top is turned before it.
fn next_lift(acts: &[Act]) -> Option<Lift> {
    acts.iter().find_map(|act| match act {
        Act::Lift(lift) => Some(*lift),
        _ => None,
    })
}

fn why_rotate(after: &Spot, next: Option<Lift>, pair: Pair) -> PairSaying {
    let trapped = next.filter(|lift| lift.slot() != after.slot());
    match trapped.and_then(|lift| Some((lift, held_in(after, lift.slot())?))) {
        Some((lift, pieces)) => PairSaying::SlotWithComes(pieces, lift.slot()),
        None => PairSaying::SlotComes(pair.sides, after.slot()),
    }
}

/// What a lift is for, as an order.
fn order(idea: Idea, before: &Spot, lift: Lift) -> Order {
    match (idea, held_in(before, lift.slot())) {
        (Idea::Insert, _) => Order::InsertBoth,
        (Idea::Join, _) => Order::Join,
        (Idea::Ready, _) => Order::MakeReady,
        (Idea::Park, Some(_)) => Order::ChangeOver,
        (Idea::Park, None) => Order::PutCornerAside,
        (Idea::Free, pieces) => Order::Free(pieces.unwrap_or(Pieces::Both)),
        (Idea::Move, _) => Order::Move,
    }
}

/// The idea of a lift with what it leads to.
pub fn aim(idea: Idea, before: &Spot, lift: Lift) -> LiftAim {
    let after = before.after(&lift.moves());
    let held = held_in(before, lift.slot());
    let pieces = held.unwrap_or(Pieces::Both);
    match idea {
        Idea::Free if after.relation() == Relation::Joined => LiftAim::FreeJoined(pieces),
        Idea::Free if is_ready(&after) => LiftAim::FreeReady(pieces),
        Idea::Free => LiftAim::FreeFirst(pieces),
        Idea::Join => LiftAim::Join(hiding(before, lift)),
        Idea::Ready => LiftAim::MakeReady(hiding(before, lift)),
        Idea::Park => match held {
            Some(Pieces::Both) => LiftAim::ChangeOver,
            Some(_) => LiftAim::CornerForEdge,
            None => LiftAim::CornerAside,
        },
        Idea::Move => LiftAim::Move,
        Idea::Insert if before.relation() == Relation::Joined => LiftAim::InsertJoined,
        Idea::Insert => LiftAim::InsertReady,
    }
}

/// Which piece hides while the other is moved.
fn hiding(before: &Spot, lift: Lift) -> Hiding {
    let way = Way::of(before, lift);
    match (way.corner, way.edge) {
        (Fate::Hides, _) => Hiding::Corner,
        (_, Fate::Hides) => Hiding::Edge,
        _ => Hiding::Neither,
    }
}

/// Why the lift is the right one for what is seen.
pub fn reason(spot: &Spot, pair: Pair) -> LiftReason {
    let cross = pair.cross;
    match Sight::of(spot) {
        Some(Sight::OnTop {
            tops,
            touching,
            beside,
        }) => match (tops, touching, beside) {
            (Tops::Same, true, Beside::Same) => LiftReason::Joined,
            (Tops::Different, false, Beside::Other) => LiftReason::Ready,
            (Tops::Same, true, _) => LiftReason::MustPart(cross),
            (Tops::Same, false, _) => LiftReason::CanJoin(cross),
            (Tops::Different, ..) => LiftReason::CanBeReady(cross),
            (Tops::Cross, ..) => LiftReason::CrossUp(cross),
        },
        Some(Sight::CornerIn(_)) => LiftReason::CornerIn,
        Some(Sight::EdgeIn { .. }) => LiftReason::EdgeIn,
        Some(Sight::BothIn { .. }) => LiftReason::BothIn,
        None => LiftReason::Trapped,
    }
}

/// How things stand after a lift.
fn result(idea: Idea, after: &Spot, pair: Pair) -> PairSaying {
    match idea {
        Idea::Insert => PairSaying::CheckCentres(pair.sides),
        _ => PairSaying::Now(standing(after)),
    }
}

/// What the three turns of a lift do to the two pieces: at once, or turn by turn where there is no shorter way to say it.
fn does(before: &Spot, lift: Lift) -> Text {
    match mechanism(before, lift) {
        Some(mechanism) => say(PairSaying::Mechanism(mechanism)),
        None => turn_by_turn(before, &lift.moves()),
    }
}

fn mechanism(before: &Spot, lift: Lift) -> Option<Mechanism> {
    let met = before.turned(lift.out);
    let side = lift.out.face;
    let Way { corner, edge } = Way::of(before, lift);
    Some(match (corner, edge) {
        (Fate::GoesIn, Fate::GoesIn) if before.relation() == Relation::Joined => {
            Mechanism::SlideOver
        }
        (_, _) if Idea::of(before, lift) == Idea::Insert && met.relation() == Relation::Joined => {
            Mechanism::CornerToEdge(side)
        }
        (Fate::Hides, Fate::Moved) => Mechanism::CornerHidesEdgeMoves,
        (Fate::Moved, Fate::Hides) => Mechanism::EdgeHidesCornerMoves,
        (Fate::Hides, Fate::ComesOut) => Mechanism::CornerHidesEdgeComesUp,
        (Fate::ComesOut, Fate::Hides) => Mechanism::EdgeHidesCornerComesUp,
        (Fate::ComesOut, Fate::ComesOut) => Mechanism::BothComeUp(side),
        (Fate::ComesOut, Fate::Turned | Fate::Moved | Fate::Stays) => {
            Mechanism::CornerComesUp(side)
        }
        (Fate::Turned, Fate::ComesOut) => Mechanism::EdgeComesUpCornerTurns,
        (Fate::Moved | Fate::Stays, Fate::ComesOut) => Mechanism::EdgeComesUp(side),
        (Fate::GoesIn, Fate::ComesOut) => Mechanism::EdgeOutCornerIn,
        (Fate::GoesIn, Fate::Moved) => Mechanism::CornerIn,
        (Fate::Turned, Fate::Moved) => Mechanism::BothMoveCornerTurns,
        _ => return None,
    })
}

/// What each turn does.
pub fn turn_by_turn(before: &Spot, moves: &[Move]) -> Text {
    let mut at = *before;
    let mut told = Vec::new();
    for m in moves {
        let next = at.after(&[*m]);
        if let Move::Outer(turn) = m {
            told.extend(describe::carried(turn.face, &at, &next));
        }
        at = next;
    }
    say_all(told)
}

/// The turns of a part of a route as they are spoken, without notation: at most two sentences.
pub fn spoken(acts: &[Act]) -> Text {
    let rotation = acts.iter().find_map(|act| match act {
        Act::Rotate(amount) => Some(*amount),
        _ => None,
    });
    let moves_of = |wanted: fn(&Act) -> bool| {
        let act = acts.iter().find(|act| wanted(act));
        act.map(|act| act.moves())
    };
    let top = moves_of(|act| matches!(act, Act::Top(_)));
    let lift = moves_of(|act| matches!(act, Act::Lift(_)));
    let first = match (rotation, top) {
        (Some(amount), Some(top)) => Some(TurnSaying::CubeThenTop(amount, top)),
        (Some(amount), None) => Some(TurnSaying::Cube(amount)),
        (None, Some(top)) => Some(TurnSaying::Spoken(top)),
        (None, None) => None,
    };
    let lift = lift.map(|turns| match first {
        Some(_) => TurnSaying::ThenSpoken(turns),
        None => TurnSaying::Spoken(turns),
    });
    say_all(first.into_iter().chain(lift))
}
