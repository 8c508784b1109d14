//! Following along: from a known state and the route that was given, the states that a learner is likely to be in next,
//! each with what was done and the way back. What is then seen decides among them.

use crate::cube::{Amount, Axis, Cube, Face, Held, Hold, Move, Moves, Turn, inverse, simplified};

use super::saying::{Difference, FollowSaying, Text, say, say_all};

/// Turns that are told at once on the way: one sentence.
pub const MOST_AT_ONCE: usize = 3;

/// A state that the learner may be in.
#[derive(Clone, Debug, PartialEq)]
pub struct Likely {
    pub cube: Cube,
    /// How the cube is held if every whole-cube turn was made as taken here.
    pub hold: Hold,
    /// All moves made, from the hint's hold.
    pub made: Moves,
    /// The slip, or none along the route.
    pub slip: Option<Slip>,
    /// Turns that lead back to the last right state, from the hint's hold and without turning the whole cube. Empty along
    /// the route.
    pub undo: Moves,
    /// The moves of the route that are left after that, from the hint's hold and without turning the whole cube.
    pub then: Moves,
    /// Natural logarithm of the chance before anything is seen. All chances add up to 1.
    pub prior: f64,
}

/// One thing done otherwise than the route has it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Slip {
    pub kind: SlipKind,
    /// Which move of the route, counted from 1, whole-cube turns included; 0 for the hold at the start.
    pub at: usize,
    /// What was done in its place; empty when it was left out.
    pub did: Moves,
    /// What was to be done; empty for a turn too many and for the wrong hold.
    pub meant: Moves,
}

/// Kinds of slips.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum SlipKind {
    /// The right layer, the wrong way.
    Direction,
    /// Another layer in place of the right one, that turn only.
    Face,
    /// The layer across, here and in all turns that follow.
    MirrorSide,
    /// A half turn for a quarter turn, or the other way round.
    Amount,
    LeftOut,
    /// The top turned once more, before this move or, one past the last, at the end.
    Extra,
    /// Two moves in the other order.
    Order,
    /// The whole cube turned otherwise than meant, or held otherwise from the start.
    Rotation,
}

impl SlipKind {
    pub const ALL: [SlipKind; 8] = [
        SlipKind::Direction,
        SlipKind::Face,
        SlipKind::MirrorSide,
        SlipKind::Amount,
        SlipKind::LeftOut,
        SlipKind::Extra,
        SlipKind::Order,
        SlipKind::Rotation,
    ];
}

impl Likely {
    /// Whether nothing but moves of the route was made.
    pub fn along(&self) -> bool {
        self.slip.is_none()
    }

    /// What went otherwise and the way back, or how to go on, in two sentences at most where the way is short.
    pub fn say(&self) -> Text {
        match &self.slip {
            Some(slip) if self.undo.is_empty() => say(slip.said()),
            Some(slip) => say(slip.said()).and(self.way_back()),
            None if self.then.is_empty() => say(FollowSaying::Right),
            None if self.made.is_empty() => say(FollowSaying::NothingTurned),
            None => {
                let next = &self.then[..self.then.len().min(MOST_AT_ONCE)];
                say_all([FollowSaying::RightSoFar, FollowSaying::GoOn(next.to_vec())])
            }
        }
    }

    /// The same with the ways on and back as turns from another hold than the hint's.
    pub fn in_hold(&self, hint: Hold, to: Hold) -> Likely {
        let told = |moves: &Moves| {
            let (turns, _) = hint.follow(moves);
            Moves(
                turns
                    .into_iter()
                    .map(|t| to.turn_in_hand(t).into())
                    .collect(),
            )
        };
        Likely {
            undo: told(&self.undo),
            then: told(&self.then),
            ..self.clone()
        }
    }

    /// The first word on it: what is different, not yet the way back; or only that it is right so far.
    pub fn first_word(&self) -> Text {
        match &self.slip {
            Some(slip) => say_all([slip.said(), FollowSaying::LookAgain]),
            None if self.then.is_empty() => say(FollowSaying::Right),
            None if self.made.is_empty() => say(FollowSaying::NothingTurned),
            None => say(FollowSaying::RightSoFar),
        }
    }

    /// The way back alone, for the second word; all of it where there is none.
    pub fn way_back(&self) -> Text {
        match self.undo.is_empty() {
            true => self.say(),
            false => say(FollowSaying::GoBack(self.undo.to_vec())),
        }
    }

    /// On the way, half of the half turn that is meant made: the other half is what comes next. None where it is no such slip, or
    /// more was turned after it.
    pub fn half_way(&self) -> Option<Likely> {
        let slip = self.slip.as_ref()?;
        let meant = slip.meant.first()?;
        let is_half = slip.kind == SlipKind::Amount && meant.amount() == Amount::Half;
        let [back] = self.undo[..] else { return None };
        let rest = self.then.iter().skip(1).copied();
        (is_half && self.made.len() == slip.at).then(|| Likely {
            slip: None,
            undo: Moves::default(),
            then: Moves([back.inverse()].into_iter().chain(rest).collect()),
            ..self.clone()
        })
    }
}

impl Slip {
    /// What went otherwise, without the turns.
    pub fn difference(&self) -> Difference {
        let at = self.at;
        let half = |moves: &Moves| moves.iter().any(|m| m.amount() == Amount::Half);
        match self.kind {
            SlipKind::Direction => Difference::WrongWay(at),
            SlipKind::Face => Difference::AnotherLayer(at),
            SlipKind::MirrorSide => Difference::OppositeSideFrom(at),
            SlipKind::Amount if half(&self.did) => Difference::TooFar(at),
            SlipKind::Amount => Difference::NotFarEnough(at),
            SlipKind::LeftOut => Difference::LeftOut(at),
            SlipKind::Extra => Difference::OneTooMany,
            SlipKind::Order => Difference::WrongOrder,
            SlipKind::Rotation if at == 0 => Difference::HeldOtherwise,
            SlipKind::Rotation => Difference::CubeNotTurned,
        }
    }

    fn said(&self) -> FollowSaying {
        FollowSaying::Otherwise(self.difference())
    }
}

// Chances before anything is seen; common practice, no source. Most showings come after the whole route or before any
// of it; of slips, the wrong way is the commonest.
const NO_SLIP: f64 = 0.9;
const ALL_DONE: f64 = 0.65;
const NOTHING_DONE: f64 = 0.2;
/// Share of slips after which the route was carried on to its end.
const CARRIED_ON: f64 = 0.6;

fn weight(kind: SlipKind) -> f64 {
    match kind {
        SlipKind::Direction => 0.36,
        SlipKind::MirrorSide | SlipKind::Face => 0.11,
        SlipKind::Amount | SlipKind::LeftOut => 0.13,
        SlipKind::Rotation => 0.06,
        SlipKind::Extra => 0.07,
        SlipKind::Order => 0.03,
    }
}

/// The states that the learner may be in after `route` was given for `start`, most likely first, all different. The
/// states along the route come with no slip.
pub fn likely(start: &Held, route: &[Move]) -> Vec<Likely> {
    let mut all = along(start, route);
    for at in 0..=route.len() {
        for slip in slips(route, at) {
            all.extend(carried_on(start, route, at, &slip));
        }
    }
    let mut kept: Vec<Likely> = Vec::new();
    for one in all {
        match kept.iter_mut().find(|k| k.cube == one.cube) {
            // The same state reached in two ways: it is as likely as both, and told as the likelier one.
            Some(k) => {
                let both = (k.prior.exp() + one.prior.exp()).ln();
                if one.prior > k.prior && k.slip.is_some() {
                    *k = one;
                }
                k.prior = both;
            }
            None => kept.push(one),
        }
    }
    let total: f64 = kept.iter().map(|k| k.prior.exp()).sum();
    for one in &mut kept {
        one.prior -= total.ln();
    }
    kept.sort_by(|a, b| b.prior.total_cmp(&a.prior));
    kept
}

fn along(start: &Held, route: &[Move]) -> Vec<Likely> {
    let turns = |moves: &[Move]| moves.iter().filter(|m| m.htm() > 0).count();
    let partly = (turns(route) as f64 - 1.0).max(1.0);
    (0..=route.len())
        .map(|done| {
            let at = start.after(&route[..done]);
            let chance = match done {
                n if n == route.len() => ALL_DONE,
                0 => NOTHING_DONE,
                _ => (1.0 - ALL_DONE - NOTHING_DONE) / partly,
            };
            Likely {
                cube: at.cube,
                hold: at.hold,
                made: Moves(route[..done].to_vec()),
                slip: None,
                undo: Moves::default(),
                then: still(start.hold, &route[..done], &route[done..]),
                prior: (NO_SLIP * chance).ln(),
            }
        })
        .collect()
}

/// What may be done in place of moves of the route: what stands for how many of them, and the moves after it.
struct Slipped {
    kind: SlipKind,
    did: Vec<Move>,
    meant: usize,
    after: Vec<Move>,
}

/// Whole-cube turns that a wrong hold at the start amounts to: another side in front, or the cross on top.
fn wrong_holds() -> impl Iterator<Item = Move> {
    let upright = Amount::ALL.map(|amount| Move::Rotation(Axis::Y, amount));
    let over = [Axis::X, Axis::Z].map(|axis| Move::Rotation(axis, Amount::Half));
    upright.into_iter().chain(over)
}

/// The slips at the move before which `at` moves are made rightly. At 0 the wrong hold is one, too.
fn slips(route: &[Move], at: usize) -> Vec<Slipped> {
    let mut slips = Vec::new();
    let mut add = |kind, did: Vec<Move>, meant: usize| {
        let after = route[at + meant..].to_vec();
        slips.push(Slipped {
            kind,
            did,
            meant,
            after,
        });
    };
    for amount in Amount::ALL {
        add(SlipKind::Extra, vec![Turn::new(Face::U, amount).into()], 0);
    }
    let Some(&meant) = route.get(at) else {
        return slips;
    };
    if at == 0 {
        for wrong in wrong_holds() {
            add(SlipKind::Rotation, vec![wrong], 0);
        }
    }
    if let Some(&next) = route.get(at + 1) {
        add(SlipKind::Order, vec![next, meant], 2);
    }
    if let Move::Rotation(..) = meant {
        let others = Amount::ALL.into_iter().filter(|a| *a != meant.amount());
        for amount in others {
            add(SlipKind::Rotation, vec![meant.with_amount(amount)], 1);
        }
        add(SlipKind::Rotation, Vec::new(), 1);
        return slips;
    }
    if meant.amount() == Amount::Half {
        for amount in [Amount::Quarter, Amount::Counter] {
            add(SlipKind::Amount, vec![meant.with_amount(amount)], 1);
        }
    } else {
        add(SlipKind::Direction, vec![meant.inverse()], 1);
        add(SlipKind::Amount, vec![meant.with_amount(Amount::Half)], 1);
    }
    add(SlipKind::LeftOut, Vec::new(), 1);
    if let Move::Outer(turn) = meant {
        for face in Face::ALL.into_iter().filter(|f| *f != turn.face) {
            for amount in [turn.amount, turn.amount.inverse()] {
                let did = vec![Turn::new(face, amount).into()];
                add(SlipKind::Face, did, 1);
                if turn.amount == Amount::Half {
                    break;
                }
            }
        }
        let across = |m: &Move| match m {
            Move::Outer(t) if t.face == turn.face => {
                Turn::new(t.face.opposite(), t.amount.inverse()).into()
            }
            other => *other,
        };
        let after = &route[at + 1..];
        let mirrored: Vec<Move> = after.iter().map(across).collect();
        if mirrored != after {
            slips.push(Slipped {
                kind: SlipKind::MirrorSide,
                did: vec![across(&meant)],
                meant: 1,
                after: mirrored,
            });
        }
    }
    slips
}

/// The states after a slip, by how far the route was carried on.
fn carried_on<'a>(
    start: &'a Held,
    route: &'a [Move],
    at: usize,
    slip: &'a Slipped,
) -> impl Iterator<Item = Likely> + 'a {
    let Slipped {
        kind, did, after, ..
    } = slip;
    let share = weight(*kind) / route.len() as f64 / in_place(*kind);
    let held_wrong = *kind == SlipKind::Rotation && slip.meant == 0;
    (0..=after.len()).map(move |carried| {
        let wrong: Vec<Move> = did.iter().chain(&after[..carried]).copied().collect();
        let made: Vec<Move> = route[..at].iter().chain(&wrong).copied().collect();
        let end = start.after(&made);
        let chance = if carried == after.len() {
            CARRIED_ON
        } else {
            (1.0 - CARRIED_ON) / after.len() as f64
        };
        Likely {
            cube: end.cube,
            hold: end.hold,
            undo: still(start.hold, &made, &inverse(&wrong)),
            then: still(start.hold, &route[..at], &route[at..]),
            slip: Some(Slip {
                kind: *kind,
                at: if held_wrong { 0 } else { at + 1 },
                did: Moves(did.clone()),
                meant: Moves(route[at..at + slip.meant].to_vec()),
            }),
            made: Moves(made),
            prior: ((1.0 - NO_SLIP) * share * chance).ln(),
        }
    })
}

/// About how many slips of a kind one move allows: they share the kind's chance.
fn in_place(kind: SlipKind) -> f64 {
    match kind {
        SlipKind::Direction | SlipKind::LeftOut | SlipKind::MirrorSide => 1.0,
        SlipKind::Amount | SlipKind::Order => 1.0,
        SlipKind::Face => 10.0,
        SlipKind::Rotation | SlipKind::Extra => 3.0,
    }
}

/// `moves`, which are made after `before`, as turns from `hold` without turning the whole cube.
fn still(hold: Hold, before: &[Move], moves: &[Move]) -> Moves {
    let (_, from) = hold.follow(before);
    let (home, _) = from.follow(moves);
    let turns: Vec<Move> = home
        .into_iter()
        .map(|t| hold.turn_in_hand(t).into())
        .collect();
    Moves(simplified(&turns))
}
