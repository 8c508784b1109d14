//! The best states for given centres: the dynamic programme inside a best-first search over unknown rolls.

use super::evidence::Alternatives;
use super::hypothesis::{FAULT_PRIOR, Flaw, Hypothesis};
use super::places::{Arrangement, PLACES};
use super::subsets::{Corners, Edges, ROUNDING, Scores, most};
use super::work::Work;
use std::cmp::Reverse;

/// Margins are not told apart above this (nats): what is further below the best state is not looked for.
pub const MARGIN_CAP: f32 = 30.0;

/// At most so many roll choices are decoded in full. What is left undone lowers the margin, so it is never wrong.
const MOST_TRELLISES: usize = 40;

/// Legal states that a wide search keeps, and how far (nats) below the best at most. Of 2,000 cubes shown by six faces of a scan with glare
/// and read without a profile (`tests/reading/margin.rs`) 26 were wrong by a margin above 2 when two states were kept, one of them above
/// 9; 14 with 8 states, 13 with 16 and 11 with 48.
const WIDE: Breadth = Breadth {
    states: 16,
    within: 20.0,
};

/// The best legal state and the next: enough to tell how sure the best is.
const NARROW: Breadth = Breadth {
    states: 2,
    within: 0.0,
};

/// How many legal states are looked for, the best included, and how far (nats) below it those after its nearest rival.
#[derive(Clone, Copy, Debug)]
struct Breadth {
    states: usize,
    within: f32,
}

/// The best hypotheses under one association of centres and mirroring.
#[derive(Clone, Debug)]
pub struct Found {
    /// The best legal states, different ones, the best first.
    pub legal: Vec<Hypothesis>,
    /// The best state that is not legal.
    pub flawed: Option<Hypothesis>,
    /// No state that was not looked at scores more than this.
    pub unexplored: f32,
}

/// Scores of places for each choice of alternatives of the faces they touch.
struct Tables {
    counts: [usize; 6],
    corner: [PlaceTable; 8],
    edge: [PlaceTable; 12],
    /// Scores of the centres, by face and alternative.
    centre: [Vec<f32>; 6],
}

/// One place: its faces, the last one first, and for each choice of their alternatives the 24 scores. Those of the alternatives of the
/// last face lie side by side.
struct PlaceTable {
    faces: Vec<usize>,
    rows: Vec<[f32; 24]>,
    top: Vec<f32>,
}

/// One alternative for each face.
type AlternativeIndices = [u8; 6];

impl PlaceTable {
    fn new<const K: usize>(
        alternatives: &Alternatives,
        cells: &[usize; K],
        ways: &[[usize; K]; 24],
    ) -> Self {
        let mut order: [usize; K] = std::array::from_fn(|k| k);
        order.sort_unstable_by_key(|&k| Reverse(cells[k]));
        let faces: Vec<usize> = order.iter().map(|&k| cells[k] / 9).collect();
        let choices = faces.iter().map(|&f| alternatives[f].len()).product();
        let mut rows = Vec::with_capacity(choices);
        for index in 0..choices {
            let mut left = index;
            let mut weights = [[0.0; 6]; K];
            for (&k, &face) in order.iter().zip(&faces) {
                let tables = &alternatives[face];
                weights[k] = tables[left % tables.len()][cells[k] % 9];
                left /= tables.len();
            }
            rows.push(ways.map(|colours| (0..K).map(|k| weights[k][colours[k]]).sum::<f32>()));
        }
        let top = rows.iter().map(|row| most(row)).collect();
        PlaceTable { faces, rows, top }
    }

    #[inline]
    fn index(&self, choice: &AlternativeIndices, counts: &[usize; 6]) -> usize {
        let step = |index, &face: &usize| index * counts[face] + usize::from(choice[face]);
        self.faces.iter().rev().fold(0, step)
    }
}

impl Tables {
    fn new(alternatives: &Alternatives) -> Self {
        let p = &*PLACES;
        Tables {
            counts: std::array::from_fn(|f| alternatives[f].len()),
            corner: std::array::from_fn(|i| {
                PlaceTable::new(alternatives, &p.corner[i], &p.corner_way)
            }),
            edge: std::array::from_fn(|i| PlaceTable::new(alternatives, &p.edge[i], &p.edge_way)),
            centre: std::array::from_fn(|f| alternatives[f].iter().map(|t| t[4][f]).collect()),
        }
    }

    fn centres(&self, choice: &AlternativeIndices) -> f32 {
        (0..6).map(|f| self.centre[f][usize::from(choice[f])]).sum()
    }

    /// Every choice with its upper bound (each place filled at its best) above a score, highest first, and the highest bound of
    /// those left out because there were too many.
    fn bounded(&self, above: f32) -> (Vec<(f32, AlternativeIndices)>, f32) {
        // A place counts at the last of its faces to be chosen.
        let mut due: [Vec<&PlaceTable>; 6] = Default::default();
        for place in self.corner.iter().chain(&self.edge) {
            due[place.faces[0]].push(place);
        }
        let mut partial: Vec<(f32, AlternativeIndices)> = vec![(0.0, [0; 6])];
        let mut left_out = f32::NEG_INFINITY;
        for face in 0..6 {
            let picks = self.counts[face];
            let mut next = Vec::with_capacity(partial.len() * picks);
            let mut more = vec![0.0; picks];
            for (bound, mut choice) in partial {
                more.fill(0.0);
                for place in &due[face] {
                    let first = place.index(&choice, &self.counts);
                    let tops = &place.top[first..][..picks];
                    more.iter_mut().zip(tops).for_each(|(sum, top)| *sum += top);
                }
                for (pick, (more, centre)) in more.iter().zip(&self.centre[face]).enumerate() {
                    let bound = bound + more + centre;
                    // Scores are never above 0, so a bound only falls as it grows complete.
                    if bound > above {
                        choice[face] = pick as u8;
                        next.push((bound, choice));
                    }
                }
            }
            if next.len() > MOST_CHOICES {
                next.select_nth_unstable_by(MOST_CHOICES, |a, b| b.0.total_cmp(&a.0));
                left_out = left_out.max(next[MOST_CHOICES].0);
                next.truncate(MOST_CHOICES);
            }
            partial = next;
        }
        let best = partial
            .iter()
            .map(|p| p.0)
            .fold(f32::NEG_INFINITY, f32::max);
        partial.retain(|p| p.0 >= best - 2.0 * MARGIN_CAP || p.0 == best);
        partial.sort_unstable_by(|a, b| b.0.total_cmp(&a.0));
        let left_out = left_out.max(best - 2.0 * MARGIN_CAP).max(above);
        (partial, left_out)
    }

    /// Scores of one choice, ready for decoding.
    fn scores(&self, choice: &AlternativeIndices) -> (Scores<8>, Scores<12>) {
        (
            std::array::from_fn(|i| {
                self.corner[i].rows[self.corner[i].index(choice, &self.counts)]
            }),
            std::array::from_fn(|i| self.edge[i].rows[self.edge[i].index(choice, &self.counts)]),
        )
    }
}

/// A state to compare with: its score at every choice, and a bound on all other states there.
struct Reference {
    corner: [Vec<Standing>; 8],
    edge: [Vec<Standing>; 12],
}

/// How a way stands in a row: its score, and what filling the place otherwise costs at least against the row's best.
#[derive(Clone, Copy)]
struct Standing {
    score: f32,
    other: f32,
}

impl Standing {
    fn new(row: &[f32; 24], top: f32, way: u8) -> Self {
        let others = row
            .iter()
            .enumerate()
            .filter(|&(i, _)| i != usize::from(way))
            .map(|(_, &s)| s);
        Standing {
            score: row[usize::from(way)],
            other: others.fold(f32::NEG_INFINITY, f32::max) - top,
        }
    }
}

impl Reference {
    fn new(tables: &Tables, state: &Arrangement) -> Self {
        let stand = |place: &PlaceTable, way: u8| {
            place
                .rows
                .iter()
                .zip(&place.top)
                .map(|(row, &top)| Standing::new(row, top, way))
                .collect()
        };
        Reference {
            corner: std::array::from_fn(|i| stand(&tables.corner[i], state.corners[i])),
            edge: std::array::from_fn(|i| stand(&tables.edge[i], state.edges[i])),
        }
    }

    /// The state's score at a choice, and a bound on every other state's given the choice's own bound.
    fn stands(&self, tables: &Tables, choice: &AlternativeIndices, bound: f32) -> (f32, f32) {
        let standing =
            |rows: &Vec<Standing>, place: &PlaceTable| rows[place.index(choice, &tables.counts)];
        let corners: [_; 8] = std::array::from_fn(|i| standing(&self.corner[i], &tables.corner[i]));
        let edges: [_; 12] = std::array::from_fn(|i| standing(&self.edge[i], &tables.edge[i]));
        let score =
            corners.iter().chain(&edges).map(|s| s.score).sum::<f32>() + tables.centres(choice);
        (score, bound + cheapest_change(&corners, &edges))
    }
}

/// What it costs at least to change a state: two corners, two edges, or one place and a flaw.
fn cheapest_change(corners: &[Standing], edges: &[Standing]) -> f32 {
    let two = |standings: &[Standing]| {
        standings
            .iter()
            .fold([f32::NEG_INFINITY; 2], |[a, b], s| match s.other {
                x if x > a => [x, a],
                x => [a, x.max(b)],
            })
    };
    let ([c1, c2], [e1, e2]) = (two(corners), two(edges));
    (c1 + c2).max(e1 + e2).max(c1.max(e1) + FAULT_PRIOR)
}

/// Roll choices considered at once.
const MOST_CHOICES: usize = 16_384;

/// The best hypotheses for what was seen: two legal states and one that is not.
pub fn search(alternatives: &Alternatives, work: &Work) -> Found {
    search_for(alternatives, NARROW, f32::NEG_INFINITY, work)
}

/// The same, but only what scores more than `above`; nothing where no state does.
pub fn search_above(alternatives: &Alternatives, above: f32, work: &Work) -> Found {
    search_for(alternatives, NARROW, above, work)
}

/// The same with more legal states: those that may lead where each is judged in a light of its own.
pub fn search_wide(alternatives: &Alternatives, work: &Work) -> Found {
    search_for(alternatives, WIDE, f32::NEG_INFINITY, work)
}

/// Choices that are bounded, and pieces that are put into places, for a unit of work; units of decoding a choice at least, and of finding
/// one arrangement more.
const BOUNDED: u64 = 16;
const STEPS: u64 = 40;
const DECODED: u64 = 10;
const OTHER: u64 = 60;

fn search_for(alternatives: &Alternatives, breadth: Breadth, above: f32, work: &Work) -> Found {
    let tables = Tables::new(alternatives);
    let (choices, left_out) = tables.bounded(above);
    work.spend(choices.len() as u64 / BOUNDED);
    let mut found = Found {
        legal: Vec::new(),
        flawed: None,
        unexplored: left_out,
    };
    let mut reference: Option<(Arrangement, Reference)> = None;
    let mut trellises = 0;
    for (bound, choice) in &choices {
        if *bound <= found.worth_finding(breadth) {
            found.unexplored = found.unexplored.max(found.best() - MARGIN_CAP);
            break;
        }
        if trellises > 0 && work.is_done() {
            found.unexplored = found.unexplored.max(*bound);
            break;
        }
        if let Some((state, reference)) = &reference {
            let (score, others) = reference.stands(&tables, choice, *bound);
            found.offer_legal(*state, score, breadth);
            if others <= found.worth_finding(breadth) {
                continue;
            }
            if trellises == MOST_TRELLISES {
                found.unexplored = found.unexplored.max(others);
                continue;
            }
        }
        trellises += 1;
        decode_choice(&tables, choice, breadth, above, work, &mut found);
        let Some(best) = found.legal.first().map(|best| best.state) else {
            continue;
        };
        if reference.as_ref().is_none_or(|(state, _)| *state != best) {
            reference = Some((best, Reference::new(&tables, &best)));
        }
    }
    found
}

impl Found {
    /// The best legal score.
    pub fn best(&self) -> f32 {
        self.legal.first().map_or(f32::NEG_INFINITY, |h| h.score)
    }

    /// Scores up to this change neither the answer nor its margin, nor add a state that is looked for.
    fn worth_finding(&self, breadth: Breadth) -> f32 {
        let second = self.legal.get(1).map_or(f32::NEG_INFINITY, |h| h.score);
        let flawed = self.flawed.map_or(f32::NEG_INFINITY, |h| h.score);
        let rival = second.max(flawed);
        rival
            .min(self.best() - breadth.within)
            .max(self.last(breadth))
            .min(self.best())
            .max(self.best() - MARGIN_CAP)
    }

    /// The score of the last legal state to be kept, if there are so many.
    fn last(&self, breadth: Breadth) -> f32 {
        let last = self.legal.get(breadth.states - 1);
        last.map_or(f32::NEG_INFINITY, |h| h.score)
    }

    fn offer_legal(&mut self, state: Arrangement, score: f32, breadth: Breadth) {
        match self.legal.iter_mut().find(|h| h.state == state) {
            Some(known) => known.score = known.score.max(score),
            None => self.legal.push(Hypothesis {
                state,
                flaw: Flaw::default(),
                score,
            }),
        }
        self.legal.sort_by(|a, b| b.score.total_cmp(&a.score));
        self.legal.truncate(breadth.states);
    }
}

/// Decodes one choice exactly and keeps what is better than what is known.
fn decode_choice(
    tables: &Tables,
    choice: &AlternativeIndices,
    breadth: Breadth,
    above: f32,
    work: &Work,
    found: &mut Found,
) {
    let (corner_scores, edge_scores) = tables.scores(choice);
    let centres = tables.centres(choice);
    let floor = found.worth_finding(breadth).max(above) - ROUNDING - centres;
    let edges_at_most: f32 = edge_scores.iter().map(|row| most(row)).sum();
    let corners = Corners::new(&corner_scores, floor - edges_at_most);
    let c = corners.best();
    let edges = Edges::new(&edge_scores, floor - most(&c));
    let e = edges.best();
    work.spend(DECODED + u64::from(corners.steps + edges.steps) / STEPS);
    for flaw in Flaw::all() {
        let (twist, flip, swap) = (
            usize::from(flaw.twist),
            usize::from(flaw.flip),
            usize::from(flaw.swap),
        );
        for parity in 0..2 {
            let classes = (twist + 3 * parity, flip + 2 * (parity ^ swap));
            let score = c[classes.0] + e[classes.1] + centres + flaw.prior();
            let known = match flaw.none() {
                true => found.last(breadth),
                false => found.flawed.map_or(f32::NEG_INFINITY, |h| h.score),
            };
            if score <= known.max(above) {
                continue;
            }
            let state = Arrangement {
                corners: corners.arrangement(classes.0),
                edges: edges.arrangement(classes.1),
            };
            match flaw.none() {
                true => found.offer_legal(state, score, breadth),
                false => found.flawed = Some(Hypothesis { state, flaw, score }),
            }
        }
    }
    if !found.legal.is_empty() {
        offer_others(&corners, &edges, centres, breadth, work, found);
    }
}

/// Offers the legal states of a choice that differ from its best in corners or in edges.
fn offer_others(
    corners: &Corners,
    edges: &Edges,
    centres: f32,
    breadth: Breadth,
    work: &Work,
    found: &mut Found,
) {
    let most = || {
        if work.is_done() {
            1
        } else {
            breadth.states - 1
        }
    };
    for parity in 0..2 {
        let classes = (3 * parity, 2 * parity);
        let (c, e) = (corners.best()[classes.0], edges.best()[classes.1]);
        let floor = found.worth_finding(breadth) - e - centres;
        for (score, corners) in corners.others(classes.0, floor, most()) {
            work.spend(OTHER);
            let edges = edges.arrangement(classes.1);
            found.offer_legal(Arrangement { corners, edges }, score + e + centres, breadth);
        }
        let floor = found.worth_finding(breadth) - c - centres;
        for (score, edges) in edges.others(classes.1, floor, most()) {
            work.spend(OTHER);
            let corners = corners.arrangement(classes.0);
            found.offer_legal(Arrangement { corners, edges }, score + c + centres, breadth);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cube::Cube;
    use crate::read::evidence::{Table, rolled};
    use rand::{Rng, SeedableRng};
    use rand_chacha::ChaCha8Rng;

    /// What is seen of a cube, each face in any of four rolls, every sticker about as likely to be of another colour.
    fn seen(cube: &Cube, rng: &mut ChaCha8Rng) -> Alternatives {
        let colours = Arrangement::of(cube).colours();
        std::array::from_fn(|face| {
            let table: Table = std::array::from_fn(|i| {
                let own = colours[9 * face + i];
                std::array::from_fn(|c| {
                    let clear = if c == own { 0.0 } else { -3.0 };
                    clear - rng.random_range(0.0f32..3.0)
                })
            });
            (0..4).map(|roll| rolled(&table, roll)).collect()
        })
    }

    /// The score of a state, by itself.
    fn score(state: &Arrangement, alternatives: &Alternatives) -> f32 {
        let colours = state.colours();
        let of_face = |face: usize| {
            let shown = &colours[9 * face..][..9];
            let scores = alternatives[face]
                .iter()
                .map(|table| table.iter().zip(shown).map(|(w, &c)| w[c]).sum());
            scores.fold(f32::NEG_INFINITY, f32::max)
        };
        (0..6).map(of_face).sum()
    }

    /// The state with two edges flipped or two corners twisted, all such.
    fn neighbours(state: &Arrangement) -> Vec<Arrangement> {
        let pairs = |n: usize| (0..n).flat_map(move |i| (0..i).map(move |j| (i, j)));
        let flipped = pairs(12).map(|(i, j)| {
            let mut edges = state.edges;
            edges[i] ^= 1;
            edges[j] ^= 1;
            Arrangement { edges, ..*state }
        });
        let twist = |way: u8, by: u8| way / 3 * 3 + (way + by) % 3;
        let twisted = pairs(8).flat_map(|(i, j)| [(i, j), (j, i)]).map(|(i, j)| {
            let mut corners = state.corners;
            corners[i] = twist(corners[i], 1);
            corners[j] = twist(corners[j], 2);
            Arrangement { corners, ..*state }
        });
        flipped.chain(twisted).collect()
    }

    #[test]
    fn a_wide_search_keeps_the_best_state_for_each_way_of_filling_a_place() {
        let mut rng = ChaCha8Rng::seed_from_u64(5);
        let mut near = 0;
        for seed in 0..100 {
            let alternatives = seen(&Cube::random(seed), &mut rng);
            let (narrow, wide) = (
                search(&alternatives, &Work::new()),
                search_wide(&alternatives, &Work::new()),
            );
            let best = &wide.legal[0];
            assert_eq!(narrow.legal[0].state, best.state);
            assert!((narrow.legal[1].score - wide.legal[1].score).abs() < ROUNDING);
            for (i, kept) in wide.legal.iter().enumerate() {
                assert!((score(&kept.state, &alternatives) - kept.score).abs() < ROUNDING);
                assert!(
                    wide.legal[..i]
                        .iter()
                        .all(|other| other.state != kept.state)
                );
            }
            let worst = match wide.legal.len() {
                kept if kept == WIDE.states => wide.legal[kept - 1].score,
                _ => best.score - WIDE.within,
            };
            for other in neighbours(&best.state) {
                let score = score(&other, &alternatives);
                if score < worst + ROUNDING {
                    continue;
                }
                near += 1;
                let at_least = |fills: &dyn Fn(&Arrangement) -> bool| {
                    let kept = wide.legal.iter();
                    kept.filter(|h| fills(&h.state))
                        .any(|h| h.score > score - ROUNDING)
                };
                for i in (0..12).filter(|&i| other.edges[i] != best.state.edges[i]) {
                    assert!(at_least(&|kept| kept.edges[i] == other.edges[i]));
                }
                for i in (0..8).filter(|&i| other.corners[i] != best.state.corners[i]) {
                    assert!(at_least(&|kept| kept.corners[i] == other.corners[i]));
                }
            }
        }
        assert!(near > 20, "{near}");
    }
}
