//! States for tests: every placement of a pair, with chosen neighbours solved.

use crate::cube::{Colour, Corner, Cube, Edge};
use crate::solve::{Slot, SlotSet};

/// A state with the cross solved, the pair of `slot` at every place in turn, and the pairs of `keep` solved, the other
/// pieces in no particular order; placements inside a solved slot cannot be and are left out.
pub fn placements(cross: Colour, slot: Slot, keep: SlotSet) -> Vec<Cube> {
    let corners: Vec<Corner> = free_corners(cross, keep);
    let edges: Vec<Edge> = free_edges(cross, keep);
    let mut cubes = Vec::new();
    for &corner in &corners {
        for twist in 0..3 {
            for &edge in &edges {
                for flip in 0..2 {
                    cubes.push(place(cross, slot, keep, (corner, twist), (edge, flip)));
                }
            }
        }
    }
    cubes
}

fn free_corners(cross: Colour, keep: SlotSet) -> Vec<Corner> {
    let solved: Vec<Corner> = keep.iter().map(|s| s.corner(cross)).collect();
    Corner::ALL
        .into_iter()
        .filter(|c| !solved.contains(c))
        .collect()
}

fn free_edges(cross: Colour, keep: SlotSet) -> Vec<Edge> {
    let solved: Vec<Edge> = keep.iter().map(|s| s.edge(cross)).collect();
    let free = |e: &Edge| !solved.contains(e) && !e.colours().contains(&cross);
    Edge::ALL.into_iter().filter(free).collect()
}

fn place(cross: Colour, slot: Slot, keep: SlotSet, corner: (Corner, u8), edge: (Edge, u8)) -> Cube {
    let mut corners = Corner::ALL.map(|c| (c, 0));
    let mut edges = Edge::ALL.map(|e| (e, 0));
    let (c, e) = (slot.corner(cross).index(), slot.edge(cross).index());
    corners.swap(c, corner.0.index());
    corners[corner.0.index()].1 = corner.1;
    edges.swap(e, edge.0.index());
    edges[edge.0.index()].1 = edge.1;
    // What is left of twist, flip and parity goes to other free pieces.
    let others: Vec<usize> = free_corners(cross, keep)
        .iter()
        .map(|c| c.index())
        .filter(|i| *i != corner.0.index())
        .collect();
    let other_edges: Vec<usize> = free_edges(cross, keep)
        .iter()
        .map(|e| e.index())
        .filter(|i| *i != edge.0.index())
        .collect();
    corners[others[0]].1 = (3 - corner.1) % 3;
    edges[other_edges[0]].1 = edge.1;
    let odd = (c != corner.0.index()) != (e != edge.0.index());
    if odd {
        edges.swap(other_edges[1], other_edges[2]);
    }
    Cube::from_pieces(corners, edges).expect("a legal state")
}
