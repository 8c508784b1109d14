//! The exact dynamic programme over subsets of pieces.
//!
//! Places are filled one after another. What matters for the rest is only which pieces are used up, the sum of their
//! orientations, and the parity of their order: a *class*. One pass finds the best arrangement in every class at
//! once, so illegal families (one twist, one flip, one swap) cost nothing extra.

use crate::cube::is_odd;

/// Sums of the same scores in another order differ by less than this.
pub const ROUNDING: f32 = 1e-2;

/// Score of each of the 24 ways (`piece * orientations + orientation`) to fill each of `N` places.
pub type Scores<const N: usize> = [[f32; 24]; N];

/// `N` pieces of `O` orientations in `C = 2 * O` classes. Class `sum + O * parity`.
///
/// The places that tell most clearly which piece they hold are filled first, so that few sets of used pieces need be gone into.
pub struct Trellis<const N: usize, const O: usize, const C: usize> {
    /// The places in the order in which they are filled.
    order: [usize; N],
    /// By position in that order.
    scores: Scores<N>,
    /// By set of used pieces: the best score with them in the first places, by class.
    begun: Vec<[f32; C]>,
    /// Pieces that were put into a place while it was filled: what it cost.
    pub steps: u32,
}

/// Eight corners in six classes.
pub type Corners = Trellis<8, 3, 6>;
/// Twelve edges in four classes.
pub type Edges = Trellis<12, 2, 4>;

impl<const N: usize, const O: usize, const C: usize> Trellis<N, O, C> {
    /// Fills the trellis. Arrangements that score less than `floor` may be left out, as if they could not be; the nearer
    /// the floor is to the best, the less there is to do.
    pub fn new(by_place: &Scores<N>, floor: f32) -> Self {
        let pieces = by_place.each_ref().map(by_piece::<N, O>);
        let order = clearest_first(&pieces);
        let (scores, pieces) = (order.map(|p| by_place[p]), order.map(|p| pieces[p]));
        let to_come = to_come(&scores);
        let mut begun = vec![[f32::NEG_INFINITY; C]; 1 << N];
        // The order of the places counts towards the parity as that of the pieces does.
        begun[0][O * usize::from(is_odd(&order))] = 0.0;
        let mut steps = 0;
        // Few sets are reached above the floor: those are listed, place by place, and not sought among all.
        let mut sets = vec![0usize];
        let mut is_listed = vec![false; 1 << N];
        for place in 0..N {
            let mut next = Vec::new();
            for used in sets {
                let from = begun[used];
                let needed = floor - to_come[place + 1] - most(&from);
                let fit = members(!used & ((1 << N) - 1)).filter(|p| pieces[place][*p] >= needed);
                for piece in fit {
                    steps += 1;
                    let reached = used | 1 << piece;
                    if !std::mem::replace(&mut is_listed[reached], true) {
                        next.push(reached);
                    }
                    let ways = &scores[place][piece * O..][..O];
                    let odd = inversions(used, piece);
                    add_piece::<O, C>(&mut begun[reached], &from, ways, odd);
                }
            }
            sets = next;
        }
        Trellis {
            order,
            scores,
            begun,
            steps,
        }
    }

    /// The best score in each class.
    pub fn best(&self) -> [f32; C] {
        self.begun[(1 << N) - 1]
    }

    /// The best arrangement in a class: by place, the way it is filled.
    pub fn arrangement(&self, class: usize) -> [u8; N] {
        let mut ways = [0; N];
        self.fill_first((1 << N) - 1, class, &mut ways);
        ways
    }

    /// Fills the first places as it is best to reach a class with these pieces.
    fn fill_first(&self, mut used: usize, mut class: usize, ways: &mut [u8; N]) {
        for place in (0..used.count_ones() as usize).rev() {
            let (way, before, from) = self.step_back(used, class, place);
            (ways[self.order[place]], used, class) = (way, before, from);
        }
    }

    /// The way `place` was filled to reach a class with these pieces used, and where that came from.
    fn step_back(&self, used: usize, class: usize, place: usize) -> (u8, usize, usize) {
        let aim = self.begun[used][class];
        let mut found = (0, used & (used - 1), 0, f32::INFINITY);
        for piece in members(used) {
            let before = used & !(1 << piece);
            for o in 0..O {
                let from = less::<O>(class, o, inversions(used, piece));
                let way = piece * O + o;
                let miss = (self.begun[before][from] + self.scores[place][way] - aim).abs();
                // Where nothing is reachable the difference is not a number and never the least.
                if miss < found.3 {
                    found = (way as u8, before, from, miss);
                }
            }
        }
        (found.0, found.1, found.2)
    }

    /// For each way to fill each place, the best of the arrangements of a class that fill it so. Scores below `floor`, which is not
    /// below the trellis's, need not be exact.
    fn through(&self, class: usize, floor: f32) -> Through<N, C> {
        let full = (1usize << N) - 1;
        let mut rest = vec![[f32::NEG_INFINITY; C]; 1 << N];
        let mut best = [[Split::NONE; 24]; N];
        rest[full][0] = 0.0;
        for used in (0..full).rev() {
            let place = used.count_ones() as usize;
            let begun = &self.begun[used];
            let reached = most(begun);
            if reached == f32::NEG_INFINITY {
                continue;
            }
            let needed = floor - reached;
            for piece in members(full & !used) {
                let ways = &self.scores[place][piece * O..][..O];
                let after = rest[used | 1 << piece];
                if most(ways) + most(&after) < needed {
                    continue;
                }
                let odd = inversions(used, piece);
                add_piece::<O, C>(&mut rest[used], &after, ways, odd);
                for (o, score) in ways.iter().enumerate() {
                    let aim = less::<O>(class, o, odd);
                    let best = &mut best[self.order[place]][piece * O + o];
                    for (reached, begun) in begun.iter().enumerate() {
                        let left = less::<O>(aim, reached % O, reached / O);
                        let score = begun + after[left] + score;
                        if score > best.score {
                            *best = Split {
                                score,
                                used,
                                reached,
                                left,
                            };
                        }
                    }
                }
            }
        }
        Through { best, rest }
    }

    /// Arrangements of a class that fill some place in another way than the best one, each the best that fills a place so, with their scores:
    /// at most `most` of those above `floor`, which is not below the trellis's, the best first.
    pub fn others(&self, class: usize, floor: f32, most: usize) -> Vec<(f32, [u8; N])> {
        let mut others: Vec<(f32, [u8; N])> = Vec::new();
        if self.best()[class] <= floor {
            return others;
        }
        let best = self.arrangement(class);
        let through = self.through(class, floor);
        let mut ways: Vec<(f32, usize, u8)> = Vec::new();
        for (place, row) in through.best.iter().enumerate() {
            let row = row.iter().zip(0u8..);
            let row = row.map(|(split, way)| (split.score, place, way));
            ways.extend(row.filter(|&(score, _, way)| way != best[place] && score > floor));
        }
        ways.sort_by(|a, b| b.0.total_cmp(&a.0));
        for (score, place, way) in ways {
            if others.len() == most {
                break;
            }
            if !others.iter().any(|(_, filled)| filled[place] == way) {
                others.push((score, self.filled_so(place, way, &through)));
            }
        }
        others
    }

    /// The best arrangement that fills a place in this way.
    fn filled_so(&self, place: usize, way: u8, through: &Through<N, C>) -> [u8; N] {
        let split = through.best[place][usize::from(way)];
        let mut ways = [0; N];
        self.fill_first(split.used, split.reached, &mut ways);
        ways[place] = way;
        let (mut used, mut class) = (split.used | 1 << (usize::from(way) / O), split.left);
        for place in split.used.count_ones() as usize + 1..N {
            let (way, after, left) = self.step_on(used, class, place, &through.rest);
            (ways[self.order[place]], used, class) = (way, after, left);
        }
        ways
    }

    /// The way `place` is filled after these pieces, where a class is left, and where that leads.
    fn step_on(
        &self,
        used: usize,
        class: usize,
        place: usize,
        rest: &[[f32; C]],
    ) -> (u8, usize, usize) {
        let aim = rest[used][class];
        let mut found = (0, used | (used + 1), 0, f32::INFINITY);
        for piece in members(!used & ((1 << N) - 1)) {
            let after = used | 1 << piece;
            for o in 0..O {
                let left = less::<O>(class, o, inversions(used, piece));
                let way = piece * O + o;
                let miss = (rest[after][left] + self.scores[place][way] - aim).abs();
                if miss < found.3 {
                    found = (way as u8, after, left, miss);
                }
            }
        }
        (found.0, found.1, found.2)
    }
}

/// The best arrangements of a class that fill each place in each way.
struct Through<const N: usize, const C: usize> {
    best: [[Split; 24]; N],
    /// By set of used pieces: the best score of filling the places that are left with the others, by class.
    rest: Vec<[f32; C]>,
}

/// An arrangement by what comes before a place and what comes after it.
#[derive(Clone, Copy)]
struct Split {
    /// Of all of it.
    score: f32,
    /// The pieces in the places before.
    used: usize,
    /// The class reached with them, and the one left for the places after.
    reached: usize,
    left: usize,
}

impl Split {
    const NONE: Split = Split {
        score: f32::NEG_INFINITY,
        used: 0,
        reached: 0,
        left: 0,
    };
}

/// The places by how far their likeliest piece leads the next, the farthest first; by place, the score of each piece.
fn clearest_first<const N: usize>(pieces: &[[f32; N]; N]) -> [usize; N] {
    let lead = pieces.map(|mut pieces| {
        pieces.sort_unstable_by(|a, b| b.total_cmp(a));
        pieces[0] - pieces[1]
    });
    let mut order = std::array::from_fn(|place| place);
    order.sort_by(|&a: &usize, &b| lead[b].total_cmp(&lead[a]));
    order
}

/// The score of each piece in its likeliest orientation.
fn by_piece<const N: usize, const O: usize>(row: &[f32; 24]) -> [f32; N] {
    std::array::from_fn(|piece| most(&row[piece * O..][..O]))
}

/// By place, the most that it and the places after it can score.
fn to_come<const N: usize>(scores: &Scores<N>) -> Vec<f32> {
    let mut sums = vec![0.0; N + 1];
    for place in (0..N).rev() {
        sums[place] = sums[place + 1] + most(&scores[place]);
    }
    sums
}

/// The highest of some scores.
pub fn most(scores: &[f32]) -> f32 {
    let higher = |a: f32, b: f32| if b > a { b } else { a };
    scores.iter().copied().fold(f32::NEG_INFINITY, higher)
}

/// Extends every class of `from` by a piece in each orientation.
#[inline]
fn add_piece<const O: usize, const C: usize>(
    best: &mut [f32; C],
    from: &[f32; C],
    ways: &[f32],
    odd: usize,
) {
    for (o, score) in ways.iter().enumerate() {
        for sum in 0..O {
            let to = (sum + o) % O;
            for parity in 0..2 {
                let slot = &mut best[to + O * (parity ^ odd)];
                let value = from[sum + O * parity] + score;
                *slot = if value > *slot { value } else { *slot };
            }
        }
    }
}

/// The class that reaches `class` when orientation `o` and parity `odd` are added.
#[inline]
fn less<const O: usize>(class: usize, o: usize, odd: usize) -> usize {
    (class % O + O - o) % O + O * ((class / O) ^ odd)
}

/// Parity of the number of used pieces that come after `piece`.
#[inline]
fn inversions(used: usize, piece: usize) -> usize {
    (used >> (piece + 1)).count_ones() as usize & 1
}

fn members(set: usize) -> impl Iterator<Item = usize> {
    let mut left = set;
    std::iter::from_fn(move || {
        let next = left.trailing_zeros() as usize;
        (left != 0).then(|| {
            left &= left - 1;
            next
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::collections::HashMap;

    /// Every arrangement with its class and score, by plain recursion.
    fn all<const N: usize, const O: usize>(scores: &Scores<N>) -> HashMap<Vec<u8>, (usize, f32)> {
        let mut arrangements = vec![Vec::new()];
        for _ in 0..N {
            arrangements = arrangements
                .into_iter()
                .flat_map(|a: Vec<u8>| {
                    (0..(N * O) as u8).filter_map(move |way| {
                        let used = a
                            .iter()
                            .any(|&w| usize::from(w) / O == usize::from(way) / O);
                        (!used).then(|| [a.clone(), vec![way]].concat())
                    })
                })
                .collect();
        }
        let measured = |a: &Vec<u8>| {
            let sum: usize = a.iter().map(|&w| usize::from(w) % O).sum::<usize>() % O;
            let odd = (0..N)
                .flat_map(|i| (0..i).map(move |j| (j, i)))
                .filter(|&(j, i)| usize::from(a[j]) / O > usize::from(a[i]) / O)
                .count()
                % 2;
            let score = a
                .iter()
                .zip(scores)
                .map(|(&w, row)| row[usize::from(w)])
                .sum();
            (sum + O * odd, score)
        };
        arrangements
            .into_iter()
            .map(|a| (a.clone(), measured(&a)))
            .collect()
    }

    fn agrees<const N: usize, const O: usize, const C: usize>(scores: Scores<N>, floor: f32) {
        let all = all::<N, O>(&scores);
        let trellis = Trellis::<N, O, C>::new(&scores, floor);
        for class in 0..C {
            let of_class = || all.iter().filter(|(_, (c, _))| *c == class);
            let best = of_class()
                .map(|(_, (_, s))| *s)
                .fold(f32::NEG_INFINITY, f32::max);
            if best < floor + 1e-3 {
                assert!(trellis.best()[class] <= best + 1e-3);
                continue;
            }
            assert!((trellis.best()[class] - best).abs() < 1e-3);
            let found = &all[&trellis.arrangement(class).to_vec()];
            assert_eq!(found.0, class);
            assert!((found.1 - best).abs() < 1e-3);
            for (place, row) in trellis.through(class, floor).best.iter().enumerate() {
                for (way, split) in row.iter().enumerate().take(N * O) {
                    let score = split.score;
                    let best = of_class()
                        .filter(|(a, _)| usize::from(a[place]) == way)
                        .map(|(_, (_, s))| *s)
                        .fold(f32::NEG_INFINITY, f32::max);
                    let exact = score == best || (score - best).abs() < 1e-3;
                    assert!(exact || (best < floor + 1e-3 && score < best));
                }
            }
            check_others(&all, &trellis, class, floor);
        }
    }

    /// The other arrangements are different ones, the best first, and for each way of filling a place the best is among them.
    fn check_others<const N: usize, const O: usize, const C: usize>(
        all: &HashMap<Vec<u8>, (usize, f32)>,
        trellis: &Trellis<N, O, C>,
        class: usize,
        floor: f32,
    ) {
        let best = trellis.arrangement(class);
        let others = trellis.others(class, floor, usize::MAX);
        assert!(others.is_sorted_by(|a, b| a.0 >= b.0));
        for (i, (score, ways)) in others.iter().enumerate() {
            assert!(*ways != best && others[..i].iter().all(|(_, other)| other != ways));
            let (own_class, exact) = all[&ways.to_vec()];
            assert!(own_class == class && (exact - score).abs() < 1e-3);
        }
        for (ways, (_, score)) in all.iter().filter(|(_, (c, _))| *c == class) {
            for place in (0..N).filter(|&place| ways[place] != best[place]) {
                let fills_so =
                    |(s, other): &(f32, [u8; N])| other[place] == ways[place] && s + 1e-3 > *score;
                assert!(*score < floor + 1e-3 || others.iter().any(fills_so));
            }
        }
        let few = trellis.others(class, floor, 3);
        assert!(few.iter().zip(&others).all(|(a, b)| a == b) && few.len() == others.len().min(3));
    }

    fn scores<const N: usize>(values: &[f32]) -> Scores<N> {
        std::array::from_fn(|place| std::array::from_fn(|way| values[24 * place + way]))
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(24))]

        #[test]
        fn four_corners_as_by_brute_force(values in prop::collection::vec(-20.0f32..0.0, 96)) {
            agrees::<4, 3, 6>(scores(&values), f32::NEG_INFINITY);
            agrees::<4, 3, 6>(scores(&values), -20.0);
        }

        #[test]
        fn five_edges_as_by_brute_force(values in prop::collection::vec(-20.0f32..0.0, 120)) {
            agrees::<5, 2, 4>(scores(&values), f32::NEG_INFINITY);
            agrees::<5, 2, 4>(scores(&values), -20.0);
        }
    }
}
