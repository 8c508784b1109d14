//! Fourth stage: neighbouring quads vote for lattices, and each lattice proposes places for a 3x3 face.

use super::plane::Homography;
use super::quads::Quad;

/// Fewest quads that make a proposal.
const FEWEST: usize = 2;

/// A place where a face may be, before it is measured.
#[derive(Clone, Copy, Debug)]
pub struct Proposal {
    pub plane: Homography,
    /// Quads of the lattice inside the nine cells.
    pub votes: usize,
}

/// A quad's place in a lattice that is being grown.
#[derive(Clone, Copy)]
struct Node {
    quad: usize,
    column: i32,
    row: i32,
    /// The quad's sides, turned to run along the lattice's columns and rows.
    u: [f32; 2],
    v: [f32; 2],
}

/// `d` in units of `u` and `v`.
pub fn coordinates(d: [f32; 2], u: [f32; 2], v: [f32; 2]) -> [f32; 2] {
    let area = u[0] * v[1] - u[1] * v[0];
    [
        (d[0] * v[1] - d[1] * v[0]) / area,
        (u[0] * d[1] - u[1] * d[0]) / area,
    ]
}

/// The step from a cell with sides `u`, `v` to another whose middle is `d` away, if that is a neighbour across a groove.
fn step(d: [f32; 2], u: [f32; 2], v: [f32; 2], pixel: f32) -> Option<(i32, i32)> {
    let [p, q] = coordinates(d, u, v);
    let (along, across, length) = if p.abs() > q.abs() {
        (p.abs(), q.abs(), u[0].hypot(u[1]))
    } else {
        (q.abs(), p.abs(), v[0].hypot(v[1]))
    };
    // The region's rim is eaten by the edge, so the gap is a part of the side and some pixels.
    if across > 0.32
        || along < 1.0
        || (along - 1.0) * length > (0.35 * length + 5.0 * pixel).min(length)
    {
        return None;
    }
    Some(if p.abs() > q.abs() {
        (p.signum() as i32, 0)
    } else {
        (0, q.signum() as i32)
    })
}

/// The sides of `quad`, turned by quarter turns to be nearest to `u` and `v`; `None` if they differ too much for neighbours.
fn aligned(quad: &Quad, u: [f32; 2], v: [f32; 2]) -> Option<([f32; 2], [f32; 2])> {
    let (mut a, mut b) = (quad.u, quad.v);
    for _ in 0..4 {
        let [p, q] = coordinates(a, u, v);
        let [r, s] = coordinates(b, u, v);
        if p > 0.0 && p > q.abs() {
            let fits = (0.6..1.6).contains(&p)
                && (0.6..1.6).contains(&s)
                && q.abs() < 0.4
                && r.abs() < 0.4;
            return fits.then_some((a, b));
        }
        (a, b) = (b, [-a[0], -a[1]]);
    }
    None
}

/// Grows lattices over `quads`, which were found in a picture whose pixels have sides of `pixel`, and proposes every 3x3 place with
/// enough quads in it.
pub fn propose(quads: &[Quad], pixel: f32, out: &mut Vec<Proposal>) {
    let mut taken = vec![false; quads.len()];
    for seed in 0..quads.len() {
        if taken[seed] {
            continue;
        }
        let nodes = grow(quads, pixel, seed, &mut taken);
        if nodes.len() >= FEWEST {
            windows(quads, &nodes, out);
        }
    }
}

fn grow(quads: &[Quad], pixel: f32, seed: usize, taken: &mut [bool]) -> Vec<Node> {
    taken[seed] = true;
    let mut nodes = vec![Node {
        quad: seed,
        column: 0,
        row: 0,
        u: quads[seed].u,
        v: quads[seed].v,
    }];
    let mut at = 0;
    while at < nodes.len() {
        let node = nodes[at];
        let from = &quads[node.quad];
        let reach = 2.0 * (node.u[0].hypot(node.u[1]) + node.v[0].hypot(node.v[1]));
        for (i, to) in quads.iter().enumerate() {
            let d = [to.x - from.x, to.y - from.y];
            if taken[i] || d[0].abs() > reach || d[1].abs() > reach {
                continue;
            }
            let Some((dx, dy)) = step(d, node.u, node.v, pixel) else {
                continue;
            };
            let ratio = to.area / from.area;
            if !(0.4..2.5).contains(&ratio) {
                continue;
            }
            let Some((u, v)) = aligned(to, node.u, node.v) else {
                continue;
            };
            // The step must look the same from the other side.
            if step([-d[0], -d[1]], u, v, pixel) != Some((-dx, -dy)) {
                continue;
            }
            let (column, row) = (node.column + dx, node.row + dy);
            if nodes
                .iter()
                .any(|node| node.column == column && node.row == row)
            {
                continue;
            }
            taken[i] = true;
            nodes.push(Node {
                quad: i,
                column,
                row,
                u,
                v,
            });
        }
        at += 1;
    }
    nodes
}

fn windows(quads: &[Quad], nodes: &[Node], out: &mut Vec<Proposal>) {
    let (min_column, max_column) = extent(nodes.iter().map(|node| node.column));
    let (min_row, max_row) = extent(nodes.iter().map(|node| node.row));
    let places = |min: i32, max: i32| {
        if max - min < 3 {
            (max - 2, min)
        } else {
            (min, max - 2)
        }
    };
    let (first_column, last_column) = places(min_column, max_column);
    let (first_row, last_row) = places(min_row, max_row);
    let mut pairs = Vec::with_capacity(9);
    for row in first_row..=last_row {
        for column in first_column..=last_column {
            pairs.clear();
            let (mut u, mut v) = ([0.0; 2], [0.0; 2]);
            for node in nodes {
                let (x, y) = (node.column - column, node.row - row);
                if (0..3).contains(&x) && (0..3).contains(&y) {
                    let quad = &quads[node.quad];
                    pairs.push((
                        [f64::from(x - 1), f64::from(y - 1)],
                        [f64::from(quad.x), f64::from(quad.y)],
                    ));
                    for k in 0..2 {
                        u[k] += node.u[k];
                        v[k] += node.v[k];
                    }
                }
            }
            let votes = pairs.len();
            if votes < FEWEST {
                continue;
            }
            if let Some(plane) = place(&pairs, u, v) {
                out.push(Proposal { plane, votes });
            }
        }
    }
}

/// The plane through the middles of some of the nine cells. When they lie in one line, their sides `u` and `v` (summed)
/// tell the other direction.
fn place(pairs: &[([f64; 2], [f64; 2])], u: [f32; 2], v: [f32; 2]) -> Option<Homography> {
    let one_line = |axis: usize| pairs.iter().all(|(from, _)| from[axis] == pairs[0].0[axis]);
    let (same_column, same_row) = (one_line(0), one_line(1));
    if !(same_column || same_row) {
        return Homography::fit(pairs, 6);
    }
    // Along the line the pitch is known; across it, take the side at the same share of the pitch.
    let (first, last) = (
        pairs.first()?,
        pairs
            .iter()
            .max_by(|a, b| (a.0[0] + a.0[1]).total_cmp(&(b.0[0] + b.0[1])))?,
    );
    let first = pairs
        .iter()
        .min_by(|a, b| (a.0[0] + a.0[1]).total_cmp(&(b.0[0] + b.0[1])))
        .unwrap_or(first);
    let steps = (last.0[0] - first.0[0]) + (last.0[1] - first.0[1]);
    if steps < 1.0 {
        return None;
    }
    let pitch = [
        (last.1[0] - first.1[0]) / steps,
        (last.1[1] - first.1[1]) / steps,
    ];
    let (side, other) = if same_row { (u, v) } else { (v, u) };
    let n = pairs.len() as f64;
    let ratio = pitch[0].hypot(pitch[1]) / (f64::from(side[0]).hypot(f64::from(side[1])) / n);
    let across = [
        f64::from(other[0]) / n * ratio,
        f64::from(other[1]) / n * ratio,
    ];
    let mut all = pairs.to_vec();
    for (from, to) in pairs {
        let moved = if same_row {
            [from[0], from[1] + 1.0]
        } else {
            [from[0] + 1.0, from[1]]
        };
        all.push((moved, [to[0] + across[0], to[1] + across[1]]));
    }
    Homography::fit(&all, usize::MAX)
}

fn extent(values: impl Iterator<Item = i32>) -> (i32, i32) {
    values.fold((i32::MAX, i32::MIN), |(low, high), value| {
        (low.min(value), high.max(value))
    })
}
