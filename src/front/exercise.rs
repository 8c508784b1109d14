//! What is practised: situations in turn, each set up on the cube in hand and then solved.

use serde::Serialize;

use super::clock;
use super::outcome::Failure;
use crate::coach::{blind_setup, words};
use crate::cube::{Colour, Cube, Held, Hold, Move, Moves, Net, Scheme};
use crate::journal::{Attempt, Placed, Situation, cards, next_due};
use crate::live::{Lesson, SetUp, Task};
use crate::solve::{Slot, SlotSet, pairs_solved};

/// How many situations come in turn in one run: enough that each has to be recognised, few enough that each comes again.
const IN_TURN: usize = 6;

/// How many there are at least where none is asked for.
const AT_LEAST: usize = 4;

/// What is due, filled up with new situations.
pub fn due(attempts: &[Attempt]) -> Vec<Placed> {
    in_turn(Placed::all().collect(), attempts, false)
}

/// The situations to practise in turn among some. `all`: each of them is wanted.
pub fn in_turn(among: Vec<Placed>, attempts: &[Attempt], all: bool) -> Vec<Placed> {
    let now = clock::now();
    let cards = cards(attempts);
    let is_due = |placed: &Placed| cards.get(placed).is_some_and(|card| card.due() <= now);
    let mut left = among;
    let mut chosen = Vec::new();
    while let Some(next) = next_due(attempts, &left, now) {
        let enough = chosen.len() >= AT_LEAST && !all && !is_due(&next);
        if enough || chosen.len() == IN_TURN {
            break;
        }
        chosen.push(next);
        left.retain(|placed| *placed != next);
    }
    chosen
}

/// Situations to practise in turn, from a solved cube or the one that is shown, on a cross of a cube that is taken to be of a scheme;
/// `turn` is how much was practised before.
///
/// # Errors
/// Where no turns lead to the first of them.
pub fn lesson(
    placed: Vec<Placed>,
    cross: Colour,
    scheme: Scheme,
    turn: usize,
) -> Result<(Lesson, SetUp), Failure> {
    let drill = Drill {
        placed,
        cross,
        turn,
    };
    let cube = Cube::solved();
    let on_place = drill.of_scheme(scheme);
    let setup = on_place.setup(&cube, 0)?;
    let mut opening = on_place.set_up(&cube, &setup, 0, false).painted(scheme);
    opening.why.insert_str(0, FROM_SOLVED);
    Ok((
        Box::new(move |cube, scheme, rounds| drill.task(cube, scheme, rounds)),
        opening,
    ))
}

/// What may be done in place of solving the cube first.
pub const FROM_SOLVED: &str =
    "Start from a solved cube; or show yours as it is, and the turns for it are told. ";

/// How a cube in hand comes into the situation.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SetupMoves {
    pub slot: String,
    /// The pairs that stay solved.
    pub kept: Vec<String>,
    /// From the hold; undoing some of it does not solve the pair.
    pub setup: Moves,
    pub turns: usize,
    pub hold: Hold,
    /// The cube after it.
    pub net: Net,
}

/// What is to be practised.
#[derive(Clone)]
pub struct Drill {
    /// One after the other, again and again; never empty.
    pub placed: Vec<Placed>,
    /// In the cube's own colours, but for what follows [`Drill::of_scheme`].
    pub cross: Colour,
    /// How much was practised before: each time is set up otherwise.
    pub turn: usize,
}

impl Drill {
    /// The same on the cross that lies so in the usual scheme.
    pub fn of_scheme(&self, scheme: Scheme) -> Drill {
        Drill {
            cross: scheme.usual(self.cross),
            ..self.clone()
        }
    }

    /// The situation of a round.
    fn placed(&self, rounds: usize) -> Placed {
        self.placed[rounds % self.placed.len()]
    }

    /// Turns that bring a cube into the situation, in a slot that is not solved where there is one, and mix what may be
    /// mixed. `rounds`: how often something was practised since.
    pub fn setup(&self, cube: &Cube, rounds: usize) -> Result<SetupMoves, Failure> {
        let cross = self.cross;
        let solved = pairs_solved(cube, cross);
        let turn = self.turn + rounds;
        let open: Vec<Slot> = match solved {
            SlotSet::ALL => Slot::ALL.to_vec(),
            _ => Slot::ALL
                .into_iter()
                .filter(|s| !solved.contains(*s))
                .collect(),
        };
        let slot = open[turn % open.len()];
        // Every other time one more pair is let go, so that the others vary.
        let others = solved.without(slot);
        let let_go = others.iter().nth(turn / 2 % 3).filter(|_| turn % 2 == 1);
        let kept = let_go.map_or(others, |slot| others.without(slot));
        let goals = self.placed(rounds).states(cross, slot);
        let turns = blind_setup(cube, cross, slot, &goals, kept, turn as u64)
            .ok_or_else(|| Failure::failed("no turns lead to this situation"))?;
        let hold = slot.hold(cross);
        let moves = turns
            .iter()
            .map(|turn| Move::from(hold.turn_in_hand(*turn)));
        Ok(SetupMoves {
            slot: slot.name(cross),
            kept: kept.iter().map(|slot| slot.name(cross)).collect(),
            setup: Moves(moves.collect()),
            turns: turns.len(),
            hold,
            net: Net::of(&turns.iter().fold(*cube, |cube, turn| cube.apply(*turn))),
        })
    }

    /// A setup as it is told. `in_hand`: whether the cube lies so now, or would when solved.
    pub fn set_up(&self, cube: &Cube, setup: &SetupMoves, rounds: usize, in_hand: bool) -> SetUp {
        let name = in_a_sentence(self.placed(rounds), self.cross);
        SetUp {
            held: Held {
                cube: *cube,
                hold: setup.hold,
            },
            moves: setup.setup.clone(),
            sentence: setup.sentence(in_hand),
            why: format!("To practise {name}. Then {}.", setup.goal(self.cross)),
            text: format!("To practise {name}. {}", setup.say(self.cross)),
        }
    }

    /// What to do with a cube that is shown: solve the pair that lies as it is to be practised, or first come there.
    pub fn task(&self, cube: &Cube, scheme: Scheme, rounds: usize) -> Task {
        match self.of_scheme(scheme).usual_task(cube, rounds) {
            Task::SetUp(set_up) => Task::SetUp(set_up.painted(scheme)),
            pair => pair,
        }
    }

    fn usual_task(&self, cube: &Cube, rounds: usize) -> Task {
        let wanted = Some(Situation::Placed(self.placed(rounds)));
        let lies = |slot: &Slot| Situation::of(cube, self.cross, *slot) == wanted;
        if let Some(slot) = Slot::ALL.into_iter().find(lies) {
            return Task::Pair(self.cross, slot);
        }
        Task::SetUp(match self.setup(cube, rounds) {
            Ok(setup) => self.set_up(cube, &setup, rounds, true),
            Err(_) => {
                let sentence = "Solve the cube, and show it again.";
                let name = in_a_sentence(self.placed(rounds), self.cross);
                let why = format!("It cannot be brought to {name}.");
                SetUp {
                    held: Held::home(*cube),
                    moves: Moves::default(),
                    text: format!("{why} {sentence}"),
                    sentence: sentence.into(),
                    why,
                }
            }
        })
    }
}

impl SetupMoves {
    /// What is to be practised.
    fn goal(&self, cross: Colour) -> String {
        format!(
            "solve the {} pair and keep the {} cross{}",
            self.slot,
            cross.name(),
            match self.kept.len() {
                0 => "",
                1 => " and the other solved pair",
                _ => " and the other solved pairs",
            }
        )
    }

    /// The turns to make, in one sentence that stands beside them.
    fn sentence(&self, in_hand: bool) -> String {
        let these = match self.turns {
            0 => return "The cube lies as it should: show it.".into(),
            1 => "this turn".into(),
            turns => format!("these {}", words::turn_count(turns)),
        };
        if in_hand {
            format!("Make {these}, then show the cube.")
        } else {
            format!("From a solved cube make {these}, then show it.")
        }
    }

    pub fn say(&self, cross: Colour) -> String {
        let solve = words::sentence(&self.goal(cross));
        let hold = words::hold(self.hold.down(), self.hold.front());
        if self.setup.is_empty() {
            return format!("{hold} The cube lies so already. {solve}.");
        }
        format!(
            "{hold} Make {}. {}. Then show it. {solve}.",
            words::turn_count(self.turns),
            words::turns(&self.setup)
        )
    }
}

/// "number 6: white up, same across".
pub fn in_a_sentence(placed: Placed, cross: Colour) -> String {
    format!("number {}: {}", placed.number(), placed.name(cross))
}
