//! The pairs stage: the case of each pair, its routes, and which pair to do now.

use serde::Serialize;

use crate::cube::{Colour, Face, Held, Hold, Move, htm, rotations};
use crate::solve::{self, Slot, SlotSet, Style};

use super::describe::{self, Pair};
use super::ideas;
use super::ladder::{Marks, Rung};
use super::level::Level;
use super::lifts::Act;
use super::method::{self, Holding};
use super::route::Route;
use super::saying::{PairName, PairReason, PairSaying, SightName, Text, TurnSaying, Use, say};
use super::short;
use super::spot::{Relation, Spot};
use super::tell;

/// How a pair lies, in the hold of the advice.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Case {
    /// Place of the corner, such as `UFR`.
    pub corner_at: String,
    /// Place of the edge, such as `UB`.
    pub edge_at: String,
    /// Where the corner's cross-colour sticker looks, such as `up`.
    pub corner_faces: String,
    pub relation: Relation,
    /// The number of the sight, 1 to 22, mirror images counted once; none for a solved pair and while a piece is in another slot.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sight: Option<usize>,
    /// Its name.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub name: Option<SightName>,
}

/// What is said of one pair.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PairAdvice {
    /// In JSON by its two side colours, such as `green-red`.
    pub slot: PairName,
    pub solved: bool,
    /// Such as `white-green-red`.
    pub corner: String,
    /// Such as `green-red`.
    pub edge: String,
    pub case: Case,
    /// The plain one first, then the short one, then others; none for a solved pair.
    pub routes: Vec<Route>,
}

/// The pair to do now, and how to hold the cube for it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PairChoice {
    pub slot: Slot,
    pub hold: Hold,
    pub reason: PairReason,
}

/// The pair's colours, as told.
pub fn pair(cross: Colour, slot: Slot) -> Pair {
    let sides = slot.colours(cross);
    Pair { cross, sides }
}

/// How a slot's pair lies in hand, the hold's down colour being the cross.
pub fn spot(held: &Held, slot: Slot) -> Spot {
    let Pair { cross, sides } = pair(held.hold.down(), slot);
    // A slot's colours always name a corner and an edge.
    Spot::of(held, cross, sides).unwrap_or(Spot::SOLVED)
}

/// The holds with the cross down, green in front first where it can be.
pub fn holds(cross: Colour) -> Vec<Hold> {
    let fronts = solve::side_colours(cross);
    fronts
        .into_iter()
        .filter_map(|front| Hold::new(cross, front))
        .collect()
}

/// The turns and the turns of the whole cube that a pair's plain route takes.
#[derive(Clone, Copy, PartialEq, Eq)]
struct Cost {
    turns: usize,
    rotations: usize,
}

impl Cost {
    fn of(held: &Held, slot: Slot, holding: Holding) -> Cost {
        let moves = ideas::moves(&method::acts(spot(held, slot), holding));
        Cost {
            turns: htm(&moves),
            rotations: rotations(&moves),
        }
    }

    /// In halves of a turn: a turn of the whole cube is a new look.
    fn effort(self) -> usize {
        2 * self.turns + 3 * self.rotations
    }
}

/// Which pair to do now, in one of these holds (the first wins among equals): the one that is `wanted`, if it is open,
/// else the one that costs a learner least by the plain route. None when all are solved.
pub fn choose(
    held: &Held,
    holds: &[Hold],
    wanted: Option<Slot>,
    level: Level,
) -> Option<PairChoice> {
    let cross = held.hold.down();
    let solved = solve::pairs_solved(&held.cube, cross);
    let open: Vec<Slot> = Slot::ALL
        .into_iter()
        .filter(|s| !solved.contains(*s))
        .collect();
    let wanted = wanted.filter(|slot| open.contains(slot));
    let priced: Vec<(Cost, Slot, Hold)> = holds
        .iter()
        .flat_map(|&hold| {
            let held = Held { hold, ..*held };
            let cost = move |&slot: &Slot| (Cost::of(&held, slot, level.holding()), slot, hold);
            open.iter().map(cost).collect::<Vec<_>>()
        })
        .collect();
    let among = priced
        .iter()
        .filter(|(_, slot, _)| wanted.is_none_or(|wanted| wanted == *slot));
    let &(cost, slot, hold) = among.min_by_key(|(cost, ..)| cost.effort())?;
    let fewest = priced.iter().all(|(other, ..)| other.turns >= cost.turns);
    let reason = match wanted {
        _ if open.len() == 1 => PairReason::Last,
        _ if fewest => PairReason::Fewest(cost.turns),
        Some(_) => PairReason::Wanted,
        None => PairReason::LeastWork(cost.turns),
    };
    Some(PairChoice { slot, hold, reason })
}

/// What is said of one pair from the hold.
pub fn advise(held: &Held, slot: Slot, level: Level) -> PairAdvice {
    let cross = held.hold.down();
    let solved = solve::pairs_solved(&held.cube, cross);
    let spot = spot(held, slot);
    let name = slot.name(cross);
    let sight = method::number(&spot).map(|(number, _)| number);
    PairAdvice {
        solved: solved.contains(slot),
        corner: format!("{}-{name}", cross.name()),
        edge: name,
        slot: PairName { slot, cross },
        case: Case {
            corner_at: spot.corner_at().to_string(),
            edge_at: spot.edge_at().to_string(),
            corner_faces: spot.looks().name().into(),
            relation: spot.relation(),
            sight,
            name: sight.map(|number| SightName { number, cross }),
        },
        routes: if solved.contains(slot) {
            Vec::new()
        } else {
            routes(held, slot, solved, level)
        },
    }
}

/// The routes for a pair that is not solved: plain, short, and the plain one without turning the cube where that differs.
pub fn routes(held: &Held, slot: Slot, solved: SlotSet, level: Level) -> Vec<Route> {
    let pair = pair(held.hold.down(), slot);
    let spot = spot(held, slot);
    let plain = plain(&method::acts(spot, level.holding()), spot, pair);
    let still =
        (plain.rotations > 0).then(|| self::plain(&method::acts(spot, Holding::Still), spot, pair));
    let mut routes = vec![plain];
    routes.extend(short::route(held, slot, solved, spot, &routes[0]));
    let differs = |route: &Route| routes.iter().all(|known| known.moves != route.moves);
    let still = still.filter(differs).map(|route| {
        let back = !spot.slot().faces().contains(&Face::F);
        let back = back.then_some(Use::BackSlot);
        route.using([Use::NoRotation].into_iter().chain(back))
    });
    routes.extend(still);
    routes
}

/// A plain route told.
fn plain(acts: &[Act], start: Spot, pair: Pair) -> Route {
    let ideas = ideas::ideas(acts, start);
    let mut uses: Vec<Use> = Vec::new();
    for (idea, ..) in &ideas {
        if !uses.contains(&Use::Idea(*idea)) {
            uses.push(Use::Idea(*idea));
        }
    }
    let first = ideas.first();
    let aim = first.map(|(idea, before, lift)| PairSaying::Aim(tell::aim(*idea, before, *lift)));
    Route::new(
        Style::Plain,
        tell::steps(acts, start, pair),
        uses,
        aim.map_or(Text::NOTHING, say),
        describe::look_for(&start, pair),
    )
}

/// The question and the four rungs for a pair: which two pieces; what they are to each other, then where; the first idea,
/// with its reason; the turns up to the next look, and with them what to do `meanwhile`.
pub fn rungs(held: &Held, choice: &PairChoice, told: &Route, meanwhile: Option<Text>) -> [Rung; 5] {
    let cross = held.hold.down();
    let who = pair(cross, choice.slot);
    let spot = spot(held, choice.slot);
    let question = Rung::new(
        say(PairSaying::WhichPair),
        say(PairSaying::LookForCornerWith(cross)),
        Marks::NONE,
    );
    let which = Rung::new(
        say(PairSaying::LookForPieces(choice.slot, cross)),
        say(PairSaying::Reason(choice.reason)),
        Marks::PIECES,
    );
    let see = Rung::new(
        say(describe::relation(&spot, who)),
        describe::places(&spot, who),
        Marks::PLACES,
    );
    let [idea, turns] = match told.style {
        Style::Plain => by_the_method(told, &spot, who, meanwhile),
        Style::Short => by_a_shorter_way(told, meanwhile),
    };
    [question, which, see, idea, turns]
}

/// The first idea of a plain route, and its turns up to the next look.
fn by_the_method(route: &Route, spot: &Spot, pair: Pair, meanwhile: Option<Text>) -> [Rung; 2] {
    let acts = acts_of(&route.moves);
    let first = ideas::first_part(&acts);
    let ideas = ideas::ideas(first, *spot);
    let (idea, why) = match ideas.first() {
        Some((idea, before, lift)) => (
            say(PairSaying::Aim(tell::aim(*idea, before, *lift))),
            say(PairSaying::LiftReason(tell::reason(spot, pair))),
        ),
        None => Default::default(),
    };
    let steps = &route.steps[..first.len()];
    let after = meanwhile.unwrap_or_else(|| then(acts.len() > first.len()));
    [
        Rung::new(idea, why, Marks::PLACES),
        Rung::new(tell::spoken(first), after, Marks::TURNS).with(steps),
    ]
}

/// What to do when the turns are made.
fn then(more_follows: bool) -> Text {
    match more_follows {
        true => say(TurnSaying::LookAgain),
        false => say(PairSaying::CheckBoth),
    }
}

/// Turns that are heard at once: two sentences of three.
const MOST_AT_ONCE: usize = 6;

/// The idea of a short route, and its first turns.
fn by_a_shorter_way(route: &Route, meanwhile: Option<Text>) -> [Rung; 2] {
    let first = route.steps.iter().position(|step| step.moves.len() > 1);
    let steps = &route.steps[..first.map_or(route.steps.len(), |at| at + 1)];
    let moves: Vec<Move> = steps.iter().flat_map(|s| s.moves.0.clone()).collect();
    let (now, rest) = moves.split_at(moves.len().min(MOST_AT_ONCE));
    let more = steps.len() < route.steps.len();
    let after = match (rest, meanwhile) {
        ([], Some(meanwhile)) => meanwhile,
        ([], None) => then(more),
        // Nothing else is said before all the turns are.
        (rest, _) => say(TurnSaying::ThenSpoken(rest.to_vec())),
    };
    let needs = match route.uses.contains(&Use::EmptySlot) {
        true => say(PairSaying::NeedsEmptySlot),
        false => Text::NOTHING,
    };
    [
        Rung::new(route.idea.clone(), needs, Marks::PLACES),
        Rung::new(say(TurnSaying::Spoken(now.to_vec())), after, Marks::TURNS).with(steps),
    ]
}

/// The acts of a plain route's moves.
fn acts_of(moves: &[Move]) -> Vec<Act> {
    let mut acts = Vec::new();
    let mut rest = moves;
    while let Some((act, after)) = Act::first(rest) {
        acts.push(act);
        rest = after;
    }
    acts
}
