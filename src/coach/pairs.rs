//! The pairs stage: the case of each pair, its routes, and which pair to do now.

use serde::{Deserialize, Serialize};

use crate::cube::{Colour, Face, Held, Hold, htm};
use crate::solve::{self, Slot, SlotSet};

use super::chains;
use super::describe::{self, Pair};
use super::lifts::{Act, Ways};
use super::plan::{self, Idea};
use super::route::{Route, Style};
use super::short;
use super::spot::{Relation, Spot};
use super::tell;
use super::words;

/// How a pair lies, in the hold of the advice.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Case {
    /// Place of the corner, such as `UFR`.
    pub corner_at: String,
    /// Place of the edge, such as `UB`.
    pub edge_at: String,
    /// Where the corner's cross-colour sticker looks, such as `up`.
    pub corner_faces: String,
    pub relation: Relation,
}

/// What is said of one pair.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PairAdvice {
    /// Its two side colours, such as `green-red`.
    pub slot: String,
    pub solved: bool,
    /// Such as `white-green-red`.
    pub corner: String,
    /// Such as `green-red`.
    pub edge: String,
    pub case: Case,
    /// The plain one first, then the short one, then others; none for a solved pair.
    pub routes: Vec<Route>,
}

/// The pair to do now, how to hold the cube for it, and why this one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Choice {
    pub slot: Slot,
    pub hold: Hold,
    /// Ends a sentence that begins "Why this pair now: ".
    pub reason: String,
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

/// Which pair to do now, in one of these holds (the first wins among equals): the one that is `wanted`, if it is open,
/// else the one that costs a learner least by the plain route. None when all are solved.
pub fn choose(held: &Held, holds: &[Hold], wanted: Option<Slot>) -> Option<Choice> {
    let cross = held.hold.down();
    let solved = solve::pairs_solved(&held.cube, cross);
    let open: Vec<Slot> = Slot::ALL
        .into_iter()
        .filter(|s| !solved.contains(*s))
        .collect();
    let wanted = wanted.filter(|slot| open.contains(slot));
    let among = wanted.map_or_else(|| open.clone(), |slot| vec![slot]);
    let priced = holds.iter().flat_map(|&hold| {
        let held = Held {
            cube: held.cube,
            hold,
        };
        among.iter().filter_map(move |&slot| {
            let (acts, cost) = chains::plain(spot(&held, slot))?;
            Some((cost, slot, hold, acts))
        })
    });
    let (_, slot, hold, acts) = priced.min_by_key(|(cost, ..)| *cost)?;
    let seen = Held {
        cube: held.cube,
        hold,
    };
    let reason = match wanted {
        Some(_) => format!("it is the one to practise, and takes {}", turns_of(&acts)),
        None => reason(&seen, slot, &acts, open.len()),
    };
    Some(Choice { slot, hold, reason })
}

fn turns_of(acts: &[Act]) -> String {
    words::turn_count(acts.iter().map(|a| htm(&a.moves())).sum())
}

fn reason(held: &Held, slot: Slot, acts: &[Act], open: usize) -> String {
    let spot = spot(held, slot);
    let turns = turns_of(acts);
    if open == 1 {
        return format!("it is the last one, and takes {turns}");
    }
    match spot.relation() {
        Relation::Joined => {
            format!("its corner and edge are joined already, so it takes only {turns}")
        }
        Relation::Apart if describe::one_insert_away(&spot) => {
            format!("one insert can take it in as it lies, in {turns}")
        }
        Relation::Apart | Relation::Misjoined => {
            format!(
                "both of its pieces are on top, so nothing has to be freed, and it takes {turns}"
            )
        }
        _ => format!("it takes the fewest turns of the pairs left, {turns}"),
    }
}

/// What is said of one pair from the hold.
pub fn advise(held: &Held, slot: Slot) -> PairAdvice {
    let cross = held.hold.down();
    let solved = solve::pairs_solved(&held.cube, cross);
    let spot = spot(held, slot);
    let name = slot.name(cross);
    PairAdvice {
        solved: solved.contains(slot),
        corner: format!("{}-{name}", cross.name()),
        edge: name.clone(),
        slot: name,
        case: Case {
            corner_at: spot.corner_at().to_string(),
            edge_at: spot.edge_at().to_string(),
            corner_faces: spot.looks().name().into(),
            relation: spot.relation(),
        },
        routes: if solved.contains(slot) {
            Vec::new()
        } else {
            routes(held, slot, solved)
        },
    }
}

/// The routes for a pair that is not solved: plain, short, and those other reasoned ones that differ.
pub fn routes(held: &Held, slot: Slot, solved: SlotSet) -> Vec<Route> {
    let pair = pair(held.hold.down(), slot);
    let spot = spot(held, slot);
    let Some((plain_acts, _)) = chains::plain(spot) else {
        return Vec::new();
    };
    let plain = reasoned(&plain_acts, spot, pair, Vec::new());
    let mut routes = vec![plain];
    routes.extend(short::route(held, slot, solved, spot, &routes[0]));
    if routes[0].rotations > 0 {
        let still = Ways {
            back: true,
            rotate: false,
            free_first: false,
            ..Ways::PLAIN
        };
        let mut uses = vec!["no rotation".to_string()];
        if !spot.slot().faces().contains(&Face::F) {
            uses.insert(0, "back slot".into());
        }
        let chain = chains::chain(spot, &still);
        add_other(
            &mut routes,
            chain.map(|(acts, _)| reasoned(&acts, spot, pair, uses)),
        );
    }
    if let Some(route) = through_empty_slot(held, slot, solved, spot, routes[0].turns) {
        add_other(&mut routes, Some(route));
    }
    routes
}

fn add_other(routes: &mut Vec<Route>, other: Option<Route>) {
    routes.extend(other.filter(|new| routes.iter().all(|r| r.moves != new.moves)));
}

/// A reasoned route that opens a slot which holds nothing of worth, where that saves turns against `plain` turns.
fn through_empty_slot(
    held: &Held,
    slot: Slot,
    solved: SlotSet,
    spot: Spot,
    plain: usize,
) -> Option<Route> {
    let cross = held.hold.down();
    let open = |quarters: usize| {
        let faces = spot.slot().faces().map(|f| f.carried(Face::U, quarters));
        let between = Slot::between(faces.map(|f| held.hold.colour_at(f)), cross);
        between.is_some_and(|other| !solved.contains(other))
    };
    let ways = Ways {
        free: [0, 1, 2, 3].map(open),
        free_first: false,
        ..Ways::PLAIN
    };
    let (acts, _) = chains::chain(spot, &ways)?;
    let route = reasoned(&acts, spot, pair(cross, slot), vec!["empty slot".into()]);
    let used = short::touches_empty_slot(held, &route.moves, slot, solved);
    (used && route.turns < plain).then_some(route)
}

/// A chain as a plain route.
fn reasoned(acts: &[Act], start: Spot, pair: Pair, mut uses: Vec<String>) -> Route {
    let ideas = plan::ideas(acts, start);
    if ideas.iter().any(|(idea, ..)| *idea == Idea::Insert) {
        uses.push("three-turn insert".into());
    }
    let idea = words::sentence(&format!("{}.", plan::plan(&ideas)));
    let look_for = format!("Look for this: {}.", describe::places(&start, pair));
    Route::new(
        Style::Plain,
        tell::steps(acts, start, pair),
        uses,
        idea,
        look_for,
    )
}

/// The four rungs for a pair: which two pieces; what to see in them; the idea; the turns.
pub fn hints(held: &Held, choice: &Choice) -> [String; 4] {
    let cross = held.hold.down();
    let Pair { sides, .. } = pair(cross, choice.slot);
    let spot = spot(held, choice.slot);
    let who = pair(cross, choice.slot);
    let [a, b] = sides.map(Colour::name);
    let which = format!(
        "Look for the {} and the {}. They belong together in the slot between {a} and {b}, at the {}. Why this pair \
         now: {}.",
        words::corner(cross, sides),
        words::edge(sides),
        words::slot(spot.slot()),
        choice.reason
    );
    let see = format!(
        "{}. {}",
        words::sentence(&describe::places_named(&spot, who)),
        describe::relation(&spot, who)
    );
    let acts = chains::plain(spot).map_or_else(Vec::new, |(acts, _)| acts);
    let ideas = plan::ideas(&acts, spot);
    let idea = format!(
        "{}. {}",
        words::sentence(&plan::plan(&ideas)),
        plan::why_plan(&ideas, who)
    );
    let turns: Vec<String> = acts
        .iter()
        .map(|a| words::sentence(&words::turns(&a.moves())))
        .collect();
    let turns = format!(
        "{}. That is {}, and the {} corner and edge are in their slot.",
        turns.join(". "),
        turns_of(&acts),
        choice.slot.name(cross)
    );
    [which, see, idea, turns]
}
