//! What keeps pieces from making a legal cube, said in colours and places, with honest advice on repair.
//!
//! The three laws are common knowledge of the trade: the twists of the corners add up to a whole turn, the flips of the edges
//! to an even number, and corners and edges are shuffled by permutations of one parity. One reassembly in twelve
//! keeps all three.

use super::{Colour, Corner, Cube, Edge, Turn};
use serde::{Deserialize, Serialize};

/// What sort of thing is wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub enum FaultKind {
    #[serde(rename = "twisted corner")]
    TwistedCorner,
    #[serde(rename = "flipped edge")]
    FlippedEdge,
    #[serde(rename = "swapped pieces")]
    SwappedPieces,
    #[serde(rename = "colour count")]
    ColourCount,
    #[serde(rename = "no such piece")]
    NoSuchPiece,
    #[serde(rename = "turned between looks")]
    TurnedBetweenLooks,
    #[serde(rename = "mirrored")]
    Mirrored,
}

/// One thing that is wrong, and what to do about it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Fault {
    pub kind: FaultKind,
    /// What is wrong, naming pieces by their colours and places by their centres.
    pub say: String,
    /// What to do about it, the deed in the first sentence.
    pub repair: String,
    /// Where the pieces are that it is about, by the colours of the centres there; empty where nobody can tell.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub places: Vec<Vec<Colour>>,
}

impl Fault {
    pub(super) fn new(kind: FaultKind, say: impl Into<String>, repair: impl Into<String>) -> Fault {
        Fault {
            kind,
            say: say.into(),
            repair: repair.into(),
            places: Vec::new(),
        }
    }

    fn at(self, places: Vec<Vec<Colour>>) -> Fault {
        Fault { places, ..self }
    }
}

const READ_AGAIN: &str = "show those stickers again; if they really are so, the cube was put together from two \
                          cubes or a sticker was moved";

/// "white-green-red corner".
pub(super) fn corner_words(piece: Corner) -> String {
    format!("{} corner", joined(&piece.colours()))
}

/// "white-green edge".
pub(super) fn edge_words(piece: Edge) -> String {
    format!("{} edge", joined(&piece.colours()))
}

/// "where the white, green and red centres meet": right for any hold.
pub(super) fn corner_place_words(place: Corner) -> String {
    let [a, b, c] = place.colours().map(Colour::name);
    format!("where the {a}, {b} and {c} centres meet")
}

/// "between the white and green centres": right for any hold.
pub(super) fn edge_place_words(place: Edge) -> String {
    let [a, b] = place.colours().map(Colour::name);
    format!("between the {a} and {b} centres")
}

pub(super) fn joined(colours: &[Colour]) -> String {
    colours
        .iter()
        .map(|c| c.name())
        .collect::<Vec<_>>()
        .join("-")
}

/// All that keeps these pieces, by place, from being a legal cube. Empty when they are one.
pub(super) fn of_pieces(corners: &[(Corner, u8); 8], edges: &[(Edge, u8); 12]) -> Vec<Fault> {
    let mut faults = repeated(&corners.map(|c| Some(c.0)), &edges.map(|e| Some(e.0)));
    if !faults.is_empty() {
        return faults;
    }
    let near = nearly_solved(corners, edges);
    match corners.iter().map(|c| u32::from(c.1)).sum::<u32>() % 3 {
        0 => {}
        // Orientations count thirds of a turn counter-clockwise.
        1 => faults.push(twisted("counter-clockwise", "clockwise", &near)),
        _ => faults.push(twisted("clockwise", "counter-clockwise", &near)),
    }
    if edges.iter().map(|e| u32::from(e.1)).sum::<u32>() % 2 == 1 {
        faults.push(flipped(&near));
    }
    if is_odd(&corners.map(|c| c.0 as u8)) != is_odd(&edges.map(|e| e.0 as u8)) {
        faults.push(swapped(&near));
    }
    faults
}

/// Whether a permutation is an odd one.
pub(crate) fn is_odd(permutation: &[impl Ord]) -> bool {
    let pairs = (0..permutation.len()).flat_map(|i| (0..i).map(move |j| (j, i)));
    pairs
        .filter(|&(j, i)| permutation[j] > permutation[i])
        .count()
        % 2
        == 1
}

/// The pieces that are there more than once, by place; none stands for a place that shows no piece.
pub(super) fn repeated(corners: &[Option<Corner>; 8], edges: &[Option<Edge>; 12]) -> Vec<Fault> {
    let mut faults = Vec::new();
    repeated_kind(
        &Corner::ALL,
        corners,
        corner_words,
        corner_place_words,
        &mut faults,
    );
    repeated_kind(&Edge::ALL, edges, edge_words, edge_place_words, &mut faults);
    faults
}

fn repeated_kind<P: Copy + PartialEq>(
    all: &[P],
    pieces: &[Option<P>],
    words: fn(P) -> String,
    place_words: fn(P) -> String,
    faults: &mut Vec<Fault>,
) {
    let missing = all.iter().filter(|&&p| !pieces.contains(&Some(p)));
    let missing: Vec<String> = missing.map(|&p| words(p)).collect();
    for &piece in all {
        let shown = all.iter().zip(pieces).filter(|&(_, &p)| p == Some(piece));
        let places: Vec<String> = shown.map(|(&place, _)| place_words(place)).collect();
        if places.len() > 1 {
            let times = match places.len() {
                2 => "twice".into(),
                n => format!("{n} times"),
            };
            let say = format!(
                "the {} is there {times}, {}; missing: {}",
                words(piece),
                places.join(" and "),
                missing.join(", "),
            );
            faults.push(Fault::new(FaultKind::NoSuchPiece, say, READ_AGAIN));
        }
    }
}

/// The places that are wrong in a cube that is solved, or one turn from it, but for a few pieces.
struct Near {
    corners: Vec<Corner>,
    edges: Vec<Edge>,
}

/// The few wrong places when all but three at most are right, perhaps after one turn.
fn nearly_solved(corners: &[(Corner, u8); 8], edges: &[(Edge, u8); 12]) -> Option<Near> {
    let solved = Cube::solved();
    let turned = Turn::ALL.into_iter().map(|turn| solved.apply(turn));
    std::iter::once(solved)
        .chain(turned)
        .map(|target| Near {
            corners: differing(&Corner::ALL, corners, &target.corners()),
            edges: differing(&Edge::ALL, edges, &target.edges()),
        })
        .find(|near| near.corners.len() + near.edges.len() <= 3)
}

fn differing<P: Copy, T: PartialEq>(places: &[P], are: &[T], should: &[T]) -> Vec<P> {
    let pairs = are.iter().zip(should);
    places
        .iter()
        .zip(pairs)
        .filter(|(_, (a, b))| a != b)
        .map(|(&p, _)| p)
        .collect()
}

fn twisted(way: &str, back: &str, near: &Option<Near>) -> Fault {
    let kind = FaultKind::TwistedCorner;
    if let Some(Near { corners, .. }) = near
        && let [place] = corners[..]
    {
        return Fault::new(
            kind,
            format!(
                "the corner {} is twisted a third of a turn {way}",
                corner_place_words(place)
            ),
            format!(
                "twist that corner a third of a turn {back} in its place; if it does not give easily, take the cube apart there"
            ),
        )
        .at(vec![place.colours().to_vec()]);
    }
    Fault::new(
        kind,
        format!("a corner is twisted in its place, by a third of a turn {way}"),
        format!(
            "twist any one corner a third of a turn {back}, and the cube can be solved. While it is mixed nobody can tell which \
             corner it was; if the stickers may have been read wrongly, show them again first"
        ),
    )
}

fn flipped(near: &Option<Near>) -> Fault {
    let kind = FaultKind::FlippedEdge;
    if let Some(Near { edges, .. }) = near
        && let [place] = edges[..]
    {
        return Fault::new(
            kind,
            format!("the edge {} is flipped", edge_place_words(place)),
            "take that edge out and put it back the other way round",
        )
        .at(vec![place.colours().to_vec()]);
    }
    Fault::new(
        kind,
        "an edge is flipped in its place",
        "take any one edge out and put it back the other way round, and the cube can be solved. While it is mixed nobody can \
         tell which edge it was; if the stickers may have been read wrongly, show them again first",
    )
}

fn swapped(near: &Option<Near>) -> Fault {
    let kind = FaultKind::SwappedPieces;
    let places = near
        .as_ref()
        .and_then(|near| match (&near.corners[..], &near.edges[..]) {
            (&[a, b], _) => Some((
                "corners",
                [a, b].map(corner_place_words),
                [a, b].map(|p| p.colours().to_vec()),
            )),
            (_, &[a, b]) => Some((
                "edges",
                [a, b].map(edge_place_words),
                [a, b].map(|p| p.colours().to_vec()),
            )),
            _ => None,
        });
    match places {
        Some((pieces, [a, b], at)) => Fault::new(
            kind,
            format!("two {pieces} have changed places: the one {a} and the one {b}"),
            "take both out and put each in the other's place",
        )
        .at(at.to_vec()),
        None => Fault::new(
            kind,
            "two pieces have changed places",
            "take any two edges out and put each in the other's place, and the cube can be solved. While it is mixed nobody can \
             tell which two they were; if the stickers may have been read wrongly, show them again first",
        ),
    }
}
