//! The whole advice for a state, in the form that is printed as JSON.

use serde::{Deserialize, Serialize};

use crate::cube::{Colour, Cube, Held, Hold, Moves};
use crate::solve::{self, Slot, Stage};

use super::easiest::Easiest;
use super::ladder::{Marks, Rung};
use super::level::Level;
use super::pairs::{self, PairAdvice};
use super::route::Route;
use super::saying::{PairName, StageSaying, Text, say, say_all};
use super::solution::{self, Part};
use super::{cross, last_layer};

/// Whether there is something to advise.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Outcome {
    Advice,
    Solved,
}

/// What to do next with a cube.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Advice {
    /// Version of this form.
    pub schema: u32,
    pub outcome: Outcome,
    /// The advice in a sentence or two.
    pub say: Text,
    pub stage: Stage,
    /// The level of coaching, 1 to 4.
    pub level: u8,
    /// How to hold the cube; every move starts from this hold.
    pub hold: Hold,
    /// When the stage is the cross.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cross: Option<Routes>,
    /// The cross that takes the fewest turns, when the stage is the cross.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub easiest_cross: Option<Easiest>,
    /// When the stage is the pairs: all four.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pairs: Option<Vec<PairAdvice>>,
    /// The pair to do now.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub next: Option<PairName>,
    /// Which pieces; what to see in them; the idea; the turns.
    pub hints: [Text; 4],
    /// The question that comes before any hint, and the four hints, each with what may be marked and its turns.
    pub rungs: [Rung; 5],
    /// The pair to look for while the present one goes in, at the highest level.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ahead: Option<Ahead>,
    /// A legal cube has none.
    pub faults: [(); 0],
    /// When the stage is the last layer.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub last_layer: Option<Routes>,
    /// The whole solve from here, when it was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub solution: Option<Vec<Part>>,
}

/// The pair after the next.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Ahead {
    pub slot: PairName,
    /// In a sentence.
    pub say: Text,
}

/// Routes to one goal.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Routes {
    pub routes: Vec<Route>,
}

impl Advice {
    /// The routes of what is to be done next; none where nothing is.
    pub fn routes(&self) -> &[Route] {
        let next = |pair: &&PairAdvice| Some(pair.slot) == self.next;
        if let Some(pair) = self.pairs.iter().flatten().find(next) {
            return &pair.routes;
        }
        let stage = self.cross.as_ref().or(self.last_layer.as_ref());
        stage.map_or(&[], |stage| &stage.routes)
    }

    /// The route that the hints tell.
    pub fn told(&self) -> Option<&Route> {
        let routes = self.routes();
        let plain = routes.first()?;
        let level = Level::numbered(self.level).unwrap_or_default();
        let shorter = routes
            .iter()
            .find(|route| level >= Level::Short && route.is_worth_offering(plain));
        shorter.or(Some(plain))
    }

    /// The moves that the hints lead through, from the hold: the ones to follow along.
    pub fn hinted(&self) -> Moves {
        match &self.last_layer {
            Some(last) => last_layer::hinted(&last.routes),
            None => self
                .told()
                .map_or_else(Moves::default, |route| route.moves.clone()),
        }
    }

    /// The moves that the last rung tells, from the hold: up to where the learner is to look again.
    pub fn next_turns(&self) -> Moves {
        let groups = self.rungs.iter().flat_map(|rung| &rung.turns);
        groups.flat_map(|group| group.moves.0.clone()).collect()
    }

    /// The shortest way to the next pair, where it is not the hinted one and worth telling.
    pub fn shorter(&self) -> Option<&Route> {
        self.next.as_ref()?;
        let hinted = self.told()?;
        let mut routes = self.routes().iter();
        routes.find(|route| route.is_worth_offering(hinted))
    }
}

/// The cross colour that advice is about when none is asked for: the solved cross with most pairs solved; with no cross
/// solved, `usual`.
pub fn cross_colour(cube: &Cube, usual: Colour) -> Colour {
    let solved = |c: Colour| solve::cross_solved(cube, c);
    let pairs = |c: &Colour| solve::pairs_solved(cube, *c).len();
    // The usual colour comes first, so that it wins among equals.
    let others = Colour::ALL.into_iter().filter(|c| *c != usual);
    let mut best: Option<(usize, Colour)> = None;
    for colour in [usual].into_iter().chain(others).filter(|c| solved(*c)) {
        let count = pairs(&colour);
        if best.is_none_or(|(most, _)| count > most) {
            best = Some((count, colour));
        }
    }
    best.map_or(usual, |(_, colour)| colour)
}

/// Advice for a cube, for the cross of a colour or, without one, as [`cross_colour`] chooses with white as the usual one.
/// The hold is chosen to suit. `whole` asks for the whole solution too.
pub fn advise(cube: &Cube, cross: Option<Colour>, whole: bool) -> Advice {
    advise_at(cube, cross, Level::Front, whole)
}

/// The same at a level.
pub fn advise_at(cube: &Cube, cross: Option<Colour>, level: Level, whole: bool) -> Advice {
    let cross = cross.unwrap_or_else(|| cross_colour(cube, Colour::White));
    let holds = match level {
        Level::Front => pairs::holds(cross),
        // The cube is not turned, so there is one hold for all of the solve.
        _ => pairs::holds(cross).into_iter().take(1).collect(),
    };
    Wish {
        level,
        wanted: None,
        whole,
    }
    .advise(cube, cross, &holds)
}

/// Advice for a cube that is in hand with its cross down: the hold stays, and where the cube has to be turned it is told. The pair
/// of the `wanted` slot is the one to do now while it is open.
pub fn advise_held(held: &Held, level: Level, wanted: Option<Slot>) -> Advice {
    let wish = Wish {
        level,
        wanted,
        whole: false,
    };
    wish.advise(&held.cube, held.hold.down(), &[held.hold])
}

/// What is asked for.
#[derive(Clone, Copy)]
struct Wish {
    level: Level,
    /// The pair to do now while it is open.
    wanted: Option<Slot>,
    /// The whole solution too.
    whole: bool,
}

impl Wish {
    fn advise(self, cube: &Cube, cross: Colour, holds: &[Hold]) -> Advice {
        let held = Held {
            cube: *cube,
            hold: holds.first().copied().unwrap_or_default(),
        };
        let mut advice = match solve::stage(cube, cross) {
            Stage::Cross => self.of_cross(cube, holds),
            Stage::Pairs => self.of_pairs(held, holds),
            Stage::LastLayer => of_last_layer(held),
            Stage::Solved => solved(held),
        };
        advice.level = self.level.number();
        advice.hints = [1, 2, 3, 4].map(|rung: usize| advice.rungs[rung].text());
        if self.whole {
            let held = Held {
                hold: advice.hold,
                ..held
            };
            advice.solution = Some(solution::parts(&held));
        }
        advice
    }

    fn of_cross(self, cube: &Cube, holds: &[Hold]) -> Advice {
        let held = Held {
            cube: *cube,
            hold: cross::choose_hold(cube, holds),
        };
        let cross = held.hold.down();
        let routes = cross::routes(&held);
        let easiest = Easiest::of(cube, cross);
        let rungs = cross::rungs(&held, &routes);
        // The first pair is planned with the cross.
        let plain = routes.first().filter(|_| self.level == Level::Ahead);
        let ahead = plain.and_then(|route| ahead(&held.after(&route.moves), None));
        Advice {
            say: say(StageSaying::NextCross(cross))
                .and(easiest.say.clone())
                .and(rungs[1].text()),
            rungs,
            ahead,
            easiest_cross: Some(easiest),
            cross: Some(Routes { routes }),
            ..empty(held, Stage::Cross)
        }
    }

    fn of_pairs(self, mut held: Held, holds: &[Hold]) -> Advice {
        let cross = held.hold.down();
        let solved = solve::pairs_solved(&held.cube, cross);
        let choice = pairs::choose(&held, holds, self.wanted, self.level);
        held.hold = choice.map_or(held.hold, |choice| choice.hold);
        let mut advice = empty(held, Stage::Pairs);
        advice.level = self.level.number();
        let all = Slot::ALL.map(|slot| pairs::advise(&held, slot, self.level));
        advice.pairs = Some(all.to_vec());
        let Some(choice) = choice else { return advice };
        advice.say = say_all([
            StageSaying::CrossDone(cross, solved.len()),
            StageSaying::NextPair(choice.slot, cross),
        ]);
        advice.next = Some(PairName {
            slot: choice.slot,
            cross,
        });
        if let Some(told) = advice.told().cloned() {
            if self.level == Level::Ahead {
                advice.ahead = ahead(&held.after(&told.moves), Some(choice.slot));
            }
            let meanwhile = advice.ahead.as_ref().map(|ahead| ahead.say.clone());
            advice.rungs = pairs::rungs(&held, &choice, &told, meanwhile);
        }
        advice
    }
}

/// The pair to look for while another one, or the cross, is made, from the cube after it.
fn ahead(after: &Held, now: Option<Slot>) -> Option<Ahead> {
    let then = pairs::choose(after, &[after.hold], None, Level::Ahead)?;
    let cross = after.hold.down();
    (Some(then.slot) != now).then(|| Ahead {
        slot: PairName {
            slot: then.slot,
            cross,
        },
        say: say(StageSaying::Meanwhile(then.slot, cross)),
    })
}

fn of_last_layer(held: Held) -> Advice {
    let routes = last_layer::routes(&held);
    let rungs = last_layer::rungs(&held, &routes);
    Advice {
        say: say(StageSaying::TwoLayersDone).and(rungs[1].text()),
        rungs,
        last_layer: Some(Routes { routes }),
        ..empty(held, Stage::LastLayer)
    }
}

fn solved(held: Held) -> Advice {
    let rungs = [
        StageSaying::MixAgain,
        StageSaying::NothingLeft,
        StageSaying::EverySideWhole,
        StageSaying::TwentyTurnsMix,
        StageSaying::NoTurnsNeeded,
    ];
    Advice {
        outcome: Outcome::Solved,
        say: say(StageSaying::Solved),
        rungs: rungs.map(|saying| Rung::new(say(saying), Text::NOTHING, Marks::NONE)),
        ..empty(held, Stage::Solved)
    }
}

fn empty(held: Held, stage: Stage) -> Advice {
    Advice {
        schema: 1,
        outcome: Outcome::Advice,
        say: Text::NOTHING,
        stage,
        level: Level::Front.number(),
        hold: held.hold,
        cross: None,
        easiest_cross: None,
        pairs: None,
        next: None,
        hints: Default::default(),
        rungs: Default::default(),
        ahead: None,
        faults: [],
        last_layer: None,
        solution: None,
    }
}
