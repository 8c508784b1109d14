//! The method proved by going through all of it: every way that a pair can lie, in every slot, with every set of solved
//! neighbours, for a cross of every colour.

use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};

use super::said::placements::placements;
use crate::coach::lifts::Act;
use crate::coach::method::{self, Holding};
use crate::coach::{Level, Relation, Route, SIGHTS, Spot, ideas, pairs, short};
use crate::cube::{Amount, Colour, Cube, Face, Held, Hold, Move, Turn, htm, rotations};
use crate::solve::{self, Slot, SlotSet};

const BOTH: [Holding; 2] = [Holding::InFront, Holding::Still];

/// Every way that a pair can lie with its slot at each of the four places, its side colours named in either order: 8
/// places and 3 ways for the corner, 8 places and 2 ways for the edge.
fn spots() -> Vec<Spot> {
    let turned = |spot: Spot| {
        let more = Amount::ALL.map(|amount| spot.rotated(amount));
        [spot].into_iter().chain(more)
    };
    method::all()
        .flat_map(turned)
        .flat_map(|spot| [spot, spot.swapped()])
        .collect()
}

fn neighbours(slot: Slot) -> impl Iterator<Item = SlotSet> {
    SlotSet::subsets().filter(move |set| !set.contains(slot))
}

/// The pair with its slot at the front right, the front colour first.
fn facing(spot: Spot) -> Spot {
    let turned = Amount::ALL.map(|amount| spot.rotated(amount));
    let mut all = [spot].into_iter().chain(turned);
    let all = all.by_ref().flat_map(|spot| [spot, spot.swapped()]);
    let mut at_front_right = all.filter(|spot| spot.home == [Face::F, Face::R]);
    at_front_right
        .next()
        .expect("one of four turns of the cube")
}

fn tops(spot: Spot) -> [Spot; 4] {
    [0, 1, 2, 3].map(|quarters| match Amount::of_quarters(quarters) {
        Some(amount) => spot.turned(Turn::new(Face::U, amount)),
        None => spot,
    })
}

/// The same for all pairs that lie alike but for turns of the top and of the cube.
fn sight(spot: Spot) -> usize {
    let all = tops(facing(spot)).map(|spot| spot.index());
    all.into_iter().min().expect("four")
}

/// A route as turns at the slot at the front right, without the turn of the top that brings the pair into place.
fn core(spot: Spot) -> Vec<Move> {
    let acts = method::acts(facing(spot), Holding::Still);
    match acts.split_first() {
        Some((Act::Top(_), rest)) => ideas::moves(rest),
        _ => ideas::moves(&acts),
    }
}

/// A turn in the mirror between front and right, by the turn's own words.
fn in_the_mirror(m: &Move) -> Move {
    let Move::Outer(turn) = m else {
        panic!("{m} is no turn of a layer")
    };
    let face = match turn.face {
        Face::F => Face::R,
        Face::R => Face::F,
        Face::B => Face::L,
        Face::L => Face::B,
        other => other,
    };
    Turn::new(face, turn.amount.inverse()).into()
}

/// Both pieces on top or in their own slot.
fn is_placed(spot: &Spot) -> bool {
    let own = |at: Option<_>| at.is_none_or(|slot| slot == spot.slot());
    own(spot.corner_slot()) && own(spot.edge_slot())
}

#[test]
fn there_are_384_ways_to_lie_and_22_sights() {
    let all: HashSet<Spot> = method::all().collect();
    assert_eq!(all.len(), 384);
    assert_eq!(
        placements(Colour::Red, Slot::ALL[1], SlotSet::EMPTY).len(),
        384
    );
    let sights: HashSet<usize> = all
        .iter()
        .filter(|spot| is_placed(spot) && !spot.is_solved())
        .map(|spot| sight(*spot).min(sight(spot.reflected())))
        .collect();
    assert_eq!((sights.len(), SIGHTS), (22, 22));
}

#[test]
fn every_plain_route_keeps_its_promise_with_every_set_of_solved_neighbours() {
    let mut told = 0;
    for cross in Colour::ALL {
        for slot in Slot::ALL {
            for keep in neighbours(slot) {
                for cube in placements(cross, slot, keep) {
                    for hold in pairs::holds(cross) {
                        for holding in BOTH {
                            let held = Held { cube, hold };
                            let acts = method::acts(pairs::spot(&held, slot), holding);
                            check(&held, slot, keep, &ideas::moves(&acts));
                            told += 1;
                        }
                    }
                }
            }
        }
    }
    println!("{told} plain routes kept the cross and all that was solved");
}

/// Runs a route from a hold and looks whether the cross, the pair and what is to be kept are solved after it.
fn check(held: &Held, slot: Slot, keep: SlotSet, moves: &[Move]) {
    let cross = held.hold.down();
    let after = held.after(moves);
    let so = solve::cross_solved(&after.cube, cross)
        && after.hold.down() == cross
        && keep
            .with(slot)
            .is_subset(solve::pairs_solved(&after.cube, cross));
    assert!(
        so,
        "{slot:?} keeping {keep:?}: {moves:?} on {:?}",
        held.cube
    );
}

#[test]
fn a_plain_route_depends_on_the_sight_alone_and_is_mirrored_for_its_mirror() {
    let mut cores: HashMap<usize, Vec<Move>> = HashMap::new();
    for spot in spots() {
        let core = core(spot);
        let known = cores.entry(sight(spot)).or_insert_with(|| core.clone());
        assert_eq!(*known, core, "{spot:?}");
    }
    let (mut alike, mut own_mirror) = (BTreeSet::new(), 0);
    for spot in spots() {
        let (here, there) = (sight(spot), sight(facing(spot).reflected()));
        if here == there {
            own_mirror += 1;
        } else {
            let mirrored: Vec<Move> = cores[&there].iter().map(in_the_mirror).collect();
            assert_eq!(cores[&here], mirrored, "{spot:?}");
        }
        if is_placed(&spot) && !spot.is_solved() {
            let mirrored: Vec<Move> = cores[&here].iter().map(in_the_mirror).collect();
            alike.insert(cores[&here].clone().min(mirrored));
        }
    }
    println!(
        "{} cores on top and in the own slot, mirror images counted once; {own_mirror} ways to lie are their own mirror",
        alike.len()
    );
    assert!(alike.len() <= 22, "{} cores", alike.len());
}

#[test]
fn plain_routes_are_short_and_the_same_where_the_cube_is_turned() {
    let (mut placed, mut all) = (BTreeMap::new(), BTreeMap::new());
    for spot in spots().into_iter().filter(|spot| !spot.is_solved()) {
        let [front, still] = BOTH.map(|holding| ideas::moves(&method::acts(spot, holding)));
        let turns = htm(&still);
        assert_eq!(turns, htm(&front));
        assert_eq!(rotations(&still), 0);
        assert!(
            rotations(&front) <= 2 + usize::from(!is_placed(&spot)),
            "{spot:?}"
        );
        if is_placed(&spot) {
            assert!(rotations(&front) <= 1, "{spot:?}");
            *placed.entry(turns).or_insert(0_usize) += 1;
        }
        *all.entry(turns).or_insert(0_usize) += 1;
    }
    let mean = |counts: &BTreeMap<usize, usize>| {
        let sum: usize = counts.iter().map(|(turns, n)| turns * n).sum();
        sum as f64 / counts.values().sum::<usize>() as f64
    };
    println!(
        "on top and in the own slot: mean {:.3} turns, {placed:?}",
        mean(&placed)
    );
    println!(
        "with pieces in other slots too: mean {:.3} turns, {all:?}",
        mean(&all)
    );
    assert!(mean(&placed) <= 7.45);
    assert!(all.keys().all(|turns| *turns <= 11));
}

#[test]
fn no_layer_turns_twice_in_a_row() {
    let hold = Hold::new(Colour::White, Colour::Green).expect("a hold");
    for spot in spots() {
        for holding in BOTH {
            let moves = ideas::moves(&method::acts(spot, holding));
            // By the centres, so that turning the cube between hides nothing.
            let (turns, _) = hold.follow(&moves);
            let twice = turns.windows(2).any(|two| two[0].face == two[1].face);
            assert!(!twice, "{moves:?}");
        }
    }
}

#[test]
fn whoever_looks_again_after_a_lift_is_told_the_same() {
    let (mut same, mut at_once) = (0, 0);
    for spot in spots() {
        let acts = method::acts(spot, Holding::Still);
        let mut at = spot;
        for (i, act) in acts.iter().enumerate() {
            at = act.on(at);
            if !matches!(act, Act::Lift(_)) || i + 1 == acts.len() {
                continue;
            }
            let anew = method::acts(at, Holding::Still);
            if anew == acts[i + 1..] {
                same += 1;
            } else {
                // The one exception: a pair that comes out joined and goes in at once, without a turn of the top.
                assert_eq!((at.relation(), acts.len() - i), (Relation::Joined, 2));
                at_once += 1;
            }
        }
    }
    println!("{same} times the rest is told again, {at_once} times a joined pair goes in at once");
    assert!(at_once * 10 < same);
}

/// The one question: with the cross colour sideways, are the top colours of corner and edge the same?
#[test]
fn the_one_question_tells_what_the_lift_leads_to() {
    let (mut joins, mut ready) = (0, 0);
    for spot in method::all() {
        let top = |faces: &[Face]| faces.iter().position(|f| *f == Face::U);
        let (Some(corner), Some(edge)) = (top(&spot.corner[1..]), top(&spot.edge)) else {
            continue;
        };
        let acts = method::acts(spot, Holding::Still);
        let lifts = acts
            .iter()
            .filter(|act| matches!(act, Act::Lift(_)))
            .count();
        let touching = spot.relation() == Relation::Misjoined;
        if lifts == 1 || (touching && corner == edge) {
            continue;
        }
        let after = ideas::first_part(&acts)
            .iter()
            .fold(spot, |at, act| act.on(at));
        if corner == edge {
            assert_eq!(after.relation(), Relation::Joined, "{spot:?}");
            joins += 1;
        } else {
            // Three turns after one of the top take it in, and it is not joined.
            let rest = method::acts(after, Holding::Still);
            let last = rest
                .iter()
                .filter(|act| matches!(act, Act::Lift(_)))
                .count();
            assert_eq!((after.relation(), last), (Relation::Apart, 1), "{spot:?}");
            ready += 1;
        }
    }
    println!(
        "same: the lift joins, {joins} of {joins}; different: it makes them ready, {ready} of {ready}"
    );
    assert!(joins > 0 && ready > 0);
}

/// The three ways to insert for each hand: joined twice, ready once.
#[test]
fn few_inserts_end_every_route() {
    let ends: HashSet<Vec<Move>> = spots()
        .into_iter()
        .filter(|spot| !spot.is_solved())
        .map(|spot| core(spot).into_iter().rev().take(3).rev().collect())
        .collect();
    assert_eq!(ends.len(), 6, "{ends:?}");
}

#[test]
fn short_routes_keep_their_promise_and_are_never_longer_than_plain_ones() {
    let (mut sum, mut longest, mut count) = (0, 0, 0);
    for (i, cross) in Colour::ALL.into_iter().enumerate() {
        let slot = Slot::ALL[i % 4];
        for keep in neighbours(slot) {
            for cube in placements(cross, slot, keep) {
                let hold = pairs::holds(cross)[0];
                let held = Held { cube, hold };
                let acts = method::acts(pairs::spot(&held, slot), Holding::Still);
                let plain = htm(&ideas::moves(&acts));
                let moves = short::moves(&held, slot, keep).expect("a short route");
                check(&held, slot, keep, &moves);
                let turns = htm(&moves);
                assert!(turns <= plain, "{slot:?} {keep:?}: {turns} against {plain}");
                sum += turns;
                count += 1;
                longest = longest.max(turns);
            }
        }
    }
    println!(
        "short routes: {count}, mean {:.3} turns, longest {longest}",
        sum as f64 / count as f64
    );
    assert!(longest <= 9);
}

/// The routes as they are told are those of the method.
#[test]
fn a_route_told_is_the_route_of_the_method() {
    for slot in Slot::ALL {
        for cube in placements(Colour::White, slot, SlotSet::EMPTY) {
            let held = Held {
                cube,
                hold: pairs::holds(Colour::White)[1],
            };
            let (cube, solved): (&Cube, _) =
                (&held.cube, solve::pairs_solved(&cube, Colour::White));
            if solved.contains(slot) {
                continue;
            }
            for level in [Level::Front, Level::Still] {
                let routes: Vec<Route> = pairs::routes(&held, slot, solved, level);
                let acts = method::acts(pairs::spot(&held, slot), level.holding());
                assert_eq!(routes[0].moves.0, ideas::moves(&acts), "{cube:?}");
                let steps = routes[0].steps.iter().flat_map(|s| s.moves.0.clone());
                assert_eq!(steps.collect::<Vec<_>>(), routes[0].moves.0);
            }
        }
    }
}
