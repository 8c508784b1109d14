//! The search for chains: every way a pair can lie, joined by the actions that lead from one to another.

use std::cmp::Reverse;
use std::collections::BinaryHeap;
use std::sync::LazyLock;

use crate::cube::{Amount, Face};

use super::lifts::{Act, Lift, OUT, Ways, cost, lifted_slot, offset};
use super::spot::Spot;

/// All actions: three turns of the cube, three of the top, three lifts for each of the turns in [`OUT`].
const ACTS: usize = 6 + 3 * OUT.len();

fn act(number: usize) -> Act {
    let amount = Amount::ALL[number % 3];
    match number / 3 {
        0 => Act::Rotate(amount),
        1 => Act::Top(amount),
        lift => Act::Lift(Lift {
            out: OUT[lift - 2],
            top: amount,
        }),
    }
}

/// The ways a pair can lie, and where each action leads.
struct Graph {
    nodes: Vec<Node>,
    /// The node of a spot, by [`Spot::index`].
    of_spot: Vec<u16>,
}

struct Node {
    spot: Spot,
    solved: bool,
    next: [u16; ACTS],
    /// By turn of [`OUT`]: what the slot is that it lifts.
    lifts: [Lifted; OUT.len()],
    /// Whether a piece is in a slot that is not the pair's own.
    trapped: bool,
}

#[derive(Clone, Copy, Default)]
struct Lifted {
    /// The pair's own slot.
    own: bool,
    /// It holds a piece of the pair.
    holds: bool,
    front: bool,
    /// Clockwise quarter turns from the pair's own slot.
    offset: usize,
}

impl Graph {
    /// The graph for pairs whose side colours run as those of `like`.
    fn of(like: Spot) -> &'static Graph {
        static GRAPHS: LazyLock<[Graph; 2]> =
            LazyLock::new(|| [Graph::new(Spot::SOLVED), Graph::new(Spot::SOLVED.swapped())]);
        &GRAPHS[usize::from(mirrored(like))]
    }

    fn new(solved: Spot) -> Graph {
        let mut of_spot = vec![u16::MAX; Spot::COUNT];
        let mut nodes = vec![Node::new(solved)];
        of_spot[solved.index()] = 0;
        let mut i = 0;
        while i < nodes.len() {
            let spot = nodes[i].spot;
            for number in 0..ACTS {
                let to = act(number).on(spot);
                let known = &mut of_spot[to.index()];
                if *known == u16::MAX {
                    *known = nodes.len() as u16;
                    nodes.push(Node::new(to));
                }
                nodes[i].next[number] = *known;
            }
            i += 1;
        }
        Graph { nodes, of_spot }
    }

    fn node(&self, spot: &Spot) -> usize {
        usize::from(self.of_spot[spot.index()])
    }
}

impl Node {
    fn new(spot: Spot) -> Node {
        let own = spot.slot();
        let in_slots = [spot.corner_slot(), spot.edge_slot()];
        let lifts = OUT.map(|out| {
            let slot = lifted_slot(out);
            Lifted {
                own: slot == own,
                holds: in_slots.contains(&Some(slot)),
                front: slot.faces().contains(&Face::F),
                offset: offset(&spot, slot),
            }
        });
        Node {
            spot,
            solved: spot.is_solved(),
            next: [0; ACTS],
            lifts,
            trapped: in_slots.iter().flatten().any(|&slot| slot != own),
        }
    }

    /// Whether an action may be done here.
    fn may(&self, number: usize, ways: &Ways) -> bool {
        match number / 3 {
            0 => ways.rotate,
            1 => true,
            lift => {
                let lifted = self.lifts[lift - 2];
                let worth = if lifted.own {
                    lifted.holds || !(ways.free_first && self.trapped)
                } else {
                    lifted.holds || ways.free[lifted.offset]
                };
                worth && (lifted.front || ways.back)
            }
        }
    }
}

fn mirrored(spot: Spot) -> bool {
    spot.home[0].carried(Face::U, 1) != spot.home[1]
}

/// The chain that costs a learner least, and its cost; none when `ways` do not lead to the solved pair (Dijkstra 1959).
pub fn chain(start: Spot, ways: &Ways) -> Option<(Vec<Act>, u32)> {
    let graph = Graph::of(start);
    let mut best = vec![u32::MAX; graph.nodes.len()];
    let mut came = vec![(0_u16, 0_u8); graph.nodes.len()];
    let mut open = BinaryHeap::new();
    let start = graph.node(&start);
    best[start] = 0;
    open.push(Reverse((0, start)));
    while let Some(Reverse((so_far, at))) = open.pop() {
        let node = &graph.nodes[at];
        if so_far > best[at] {
            continue;
        }
        if node.solved {
            let mut acts = Vec::new();
            let mut at = at;
            while at != start {
                let (from, number) = came[at];
                acts.push(act(usize::from(number)));
                at = usize::from(from);
            }
            acts.reverse();
            return Some((ordered(acts), so_far));
        }
        for number in (0..ACTS).filter(|n| node.may(*n, ways)) {
            let next = usize::from(node.next[number]);
            let price = so_far + COSTS[number];
            if price < best[next] {
                best[next] = price;
                came[next] = (at as u16, number as u8);
                open.push(Reverse((price, next)));
            }
        }
    }
    None
}

static COSTS: LazyLock<[u32; ACTS]> = LazyLock::new(|| std::array::from_fn(|n| cost(act(n))));

/// The plain chain, from a table of all spots.
pub fn plain(start: Spot) -> Option<(Vec<Act>, u32)> {
    /// One table for each way round that a slot's first side colour can be.
    static TABLES: LazyLock<[Vec<Best>; 2]> = LazyLock::new(|| {
        [Spot::SOLVED, Spot::SOLVED.swapped()].map(|like| plain_table(Graph::of(like)))
    });
    let table = &TABLES[usize::from(mirrored(start))];
    let graph = Graph::of(start);
    let start = graph.node(&start);
    let mut at = start;
    let mut acts = Vec::new();
    while let Some(number) = table[at].act {
        acts.push(act(number));
        at = usize::from(graph.nodes[at].next[number]);
    }
    let solved = graph.nodes[at].solved;
    solved.then(|| (ordered(acts), table[start].cost))
}

/// What to do first at a spot, and what the whole chain costs.
#[derive(Clone, Copy)]
struct Best {
    cost: u32,
    act: Option<usize>,
}

fn plain_table(graph: &Graph) -> Vec<Best> {
    let first = |node: &Node| Best {
        cost: if node.solved { 0 } else { u32::MAX },
        act: None,
    };
    let mut table: Vec<Best> = graph.nodes.iter().map(first).collect();
    // Costs only fall, and each sweep settles chains of one more action.
    let mut settled = false;
    while !settled {
        settled = true;
        for (i, node) in graph.nodes.iter().enumerate() {
            for number in (0..ACTS).filter(|n| node.may(*n, &Ways::PLAIN)) {
                let onward = table[usize::from(node.next[number])].cost;
                let cost = onward.saturating_add(COSTS[number]);
                if cost < table[i].cost {
                    table[i] = Best {
                        cost,
                        act: Some(number),
                    };
                    settled = false;
                }
            }
        }
    }
    table
}

/// Every way a pair can lie: 384 for each of the four places of its slot.
pub fn all_spots(like: Spot) -> impl Iterator<Item = Spot> {
    Graph::of(like).nodes.iter().map(|node| node.spot)
}

/// The same chain with the whole cube turned before the top where one follows the other, so that a step that speaks of
/// places speaks of the hold of the step after it.
fn ordered(mut acts: Vec<Act>) -> Vec<Act> {
    for i in 1..acts.len() {
        if let (Act::Top(_), Act::Rotate(_)) = (acts[i - 1], acts[i]) {
            acts.swap(i - 1, i);
        }
    }
    acts
}
