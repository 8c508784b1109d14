//! The whole advice for a state, in the form that is printed as JSON.

use serde::{Deserialize, Serialize};

use crate::cube::{Colour, Cube, Held, Hold, Moves};
use crate::solve::{self, Slot, SlotSet, Stage};

use super::pairs::{self, PairAdvice};
use super::route::{Route, Style};
use super::solution::{self, Part};
use super::{cross, easiest, last_layer, words};
use easiest::Easiest;

/// Whether there is something to advise.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Outcome {
    Advice,
    Solved,
}

/// What to do next with a cube.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Advice {
    /// Version of this form.
    pub schema: u32,
    pub outcome: Outcome,
    /// The advice in a sentence or two.
    pub say: String,
    pub stage: Stage,
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
    /// The slot of the pair to do now.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub next: Option<String>,
    /// Which pieces; what to see in them; the idea; the turns.
    pub hints: [String; 4],
    /// A legal cube has none.
    pub faults: [(); 0],
    /// When the stage is the last layer.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub last_layer: Option<Routes>,
    /// The whole solve from here, when it was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub solution: Option<Vec<Part>>,
}

/// Routes to one goal.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Routes {
    pub routes: Vec<Route>,
}

impl Advice {
    /// The routes of what is to be done next; none where nothing is.
    pub fn routes(&self) -> &[Route] {
        let next = |pair: &&PairAdvice| Some(&pair.slot) == self.next.as_ref();
        if let Some(pair) = self.pairs.iter().flatten().find(next) {
            return &pair.routes;
        }
        let stage = self.cross.as_ref().or(self.last_layer.as_ref());
        stage.map_or(&[], |stage| &stage.routes)
    }

    /// The moves that the last rung of hints tells, from the hold: the ones to follow along.
    pub fn hinted(&self) -> Moves {
        match &self.last_layer {
            Some(last) => last_layer::hinted(&last.routes),
            None => self
                .routes()
                .first()
                .map_or_else(Moves::default, |route| route.moves.clone()),
        }
    }

    /// The shortest way to the next pair, where it takes fewer turns than the hinted one, or as many and fewer of the
    /// whole cube.
    pub fn shorter(&self) -> Option<&Route> {
        self.next.as_ref()?;
        let (hinted, others) = self.routes().split_first()?;
        let cost = |route: &Route| (route.turns, route.rotations);
        others
            .iter()
            .find(|route| route.style == Style::Short && cost(route) < cost(hinted))
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
    let cross = cross.unwrap_or_else(|| cross_colour(cube, Colour::White));
    advise_in(cube, cross, &pairs::holds(cross), None, whole)
}

/// Advice for a cube on the cross of a colour, as [`advise`], but the pair of `slot` is the one to do now while it is open.
pub fn advise_pair(cube: &Cube, cross: Colour, slot: Slot) -> Advice {
    advise_in(cube, cross, &pairs::holds(cross), Some(slot), false)
}

/// Advice for a cube that is in hand with its cross down: as [`advise`], but the hold stays.
pub fn advise_held(held: &Held, whole: bool) -> Advice {
    advise_in(&held.cube, held.hold.down(), &[held.hold], None, whole)
}

fn advise_in(
    cube: &Cube,
    cross: Colour,
    holds: &[Hold],
    wanted: Option<Slot>,
    whole: bool,
) -> Advice {
    let stage = solve::stage(cube, cross);
    let mut held = Held {
        cube: *cube,
        hold: holds.first().copied().unwrap_or_default(),
    };
    let mut advice = Advice {
        schema: 1,
        outcome: Outcome::Advice,
        say: String::new(),
        stage,
        hold: held.hold,
        cross: None,
        easiest_cross: None,
        pairs: None,
        next: None,
        hints: Default::default(),
        faults: [],
        last_layer: None,
        solution: None,
    };
    let down = cross.name();
    match stage {
        Stage::Cross => {
            held.hold = cross::choose_hold(cube, holds);
            let routes = cross::routes(&held);
            advice.hints = cross::hints(&held, &routes);
            let easiest = Easiest::of(cube, cross);
            advice.say = format!(
                "Next comes the {down} cross. {} {}",
                easiest.say, advice.hints[0]
            );
            advice.easiest_cross = Some(easiest);
            advice.cross = Some(Routes { routes });
        }
        Stage::Pairs => {
            let solved = solve::pairs_solved(cube, cross);
            if let Some(choice) = pairs::choose(&held, holds, wanted) {
                held.hold = choice.hold;
                let name = choice.slot.name(cross);
                advice.hints = pairs::hints(&held, &choice);
                advice.say = format!(
                    "The {down} cross is done{}. Next comes the {name} pair: {}.",
                    done(solved),
                    choice.reason
                );
                advice.next = Some(name);
            }
            let pairs = Slot::ALL.map(|slot| pairs::advise(&held, slot));
            advice.pairs = Some(pairs.to_vec());
        }
        Stage::LastLayer => {
            let routes = last_layer::routes(&held);
            advice.hints = last_layer::hints(&held, &routes);
            advice.say = format!("The first two layers are done. {}", advice.hints[0]);
            advice.last_layer = Some(Routes { routes });
        }
        Stage::Solved => {
            advice.outcome = Outcome::Solved;
            advice.say = "The cube is solved.".into();
            advice.hints = [
                "There is nothing left to look for: the cube is solved.",
                "Every side shows one colour only.",
                "To practise, mix the cube with some twenty turns, and show it again.",
                "No turns are needed: the cube is solved.",
            ]
            .map(Into::into);
        }
    }
    advice.hold = held.hold;
    if whole {
        advice.solution = Some(solution::parts(&held));
    }
    advice
}

fn done(solved: SlotSet) -> String {
    match solved.len() {
        0 => String::new(),
        1 => ", and so is one pair".into(),
        n => format!(", and so are {} pairs", words::count(n)),
    }
}
