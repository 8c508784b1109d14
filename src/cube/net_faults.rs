//! From stickers to a state, or to all that is wrong with them.

use super::faults::{corner_place_words, edge_place_words, joined, repeated};
use super::{Colour, Corner, Cube, Edge, Face, Fault, FaultKind, Net};

/// The state that a net shows, or its faults.
pub(super) fn cube_of(net: &Net) -> Result<Cube, Vec<Fault>> {
    match net.normalised() {
        Some(home) => home_cube(&home).map_err(|faults| {
            // Each face read as in a mirror, but put in its right place.
            let flipped = Net::new(net.faces().map(|face| face.map(|[a, b, c]| [c, b, a])));
            let legal = flipped
                .ok()
                .and_then(|net| net.normalised())
                .map(|net| home_cube(&net));
            if matches!(legal, Some(Ok(_))) {
                vec![seen_in_a_mirror()]
            } else {
                faults
            }
        }),
        None => {
            // The whole cube reflected has left and right exchanged.
            let reflected = net.seen_through(|face| match face {
                Face::L => Face::R,
                Face::R => Face::L,
                other => other,
            });
            match reflected.normalised().map(|home| home_cube(&home)) {
                Some(Ok(_)) => Err(vec![seen_in_a_mirror()]),
                Some(Err(_)) => Err([mirrored_scheme()]
                    .into_iter()
                    .chain(miscounted(net))
                    .collect()),
                None => Err([moved_centres(net)]
                    .into_iter()
                    .chain(miscounted(net))
                    .collect()),
            }
        }
    }
}

fn home_cube(net: &Net) -> Result<Cube, Vec<Fault>> {
    let mut faults: Vec<Fault> = miscounted(net).collect();
    let corners = Corner::ALL.map(|place| Corner::of_colours(net.corner(place)));
    let edges = Edge::ALL.map(|place| Edge::of_colours(net.edge(place)));
    for place in Corner::ALL
        .into_iter()
        .filter(|p| corners[p.index()].is_none())
    {
        faults.push(no_such_corner(net.corner(place), place));
    }
    for place in Edge::ALL.into_iter().filter(|p| edges[p.index()].is_none()) {
        faults.push(no_such_edge(net.edge(place), place));
    }
    match (whole(corners), whole(edges)) {
        (Some(corners), Some(edges)) => Cube::from_pieces(corners, edges)
            .map_err(|more| faults.into_iter().chain(more).collect()),
        _ => {
            let pieces = (
                corners.map(|c| c.map(|c| c.0)),
                edges.map(|e| e.map(|e| e.0)),
            );
            faults.extend(repeated(&pieces.0, &pieces.1));
            Err(faults)
        }
    }
}

/// The array when none is missing.
fn whole<T: Copy, const N: usize>(items: [Option<T>; N]) -> Option<[T; N]> {
    items
        .into_iter()
        .collect::<Option<Vec<T>>>()?
        .try_into()
        .ok()
}

fn miscounted(net: &Net) -> impl Iterator<Item = Fault> {
    let stickers: Vec<Colour> = net.faces().iter().flatten().flatten().copied().collect();
    Colour::ALL.into_iter().filter_map(move |colour| {
        let count = stickers.iter().filter(|&&c| c == colour).count();
        let stickers = if count == 1 { "sticker" } else { "stickers" };
        let name = colour.name();
        (count != 9).then(|| {
            Fault::new(
                FaultKind::ColourCount,
                format!("{count} {name} {stickers} instead of 9"),
                format!("look again at the {name} stickers and at those that look like them"),
            )
        })
    })
}

fn no_such_corner(colours: [Colour; 3], place: Corner) -> Fault {
    let (shown, place) = (joined(&colours), corner_place_words(place));
    let (say, repair) = match Corner::with_colours(colours) {
        Some(_) => (
            format!(
                "the corner {place} shows {shown}, which run the wrong way round for such a corner"
            ),
            "look again at its three stickers; two of them may have been taken for each other, or seen in a mirror",
        ),
        None => (
            format!("the corner {place} shows {shown}, and no corner has these three colours"),
            "look again at its three stickers; if they really are so, a sticker was moved",
        ),
    };
    Fault::new(FaultKind::NoSuchPiece, say, repair)
}

fn no_such_edge(colours: [Colour; 2], place: Edge) -> Fault {
    let (shown, place) = (joined(&colours), edge_place_words(place));
    Fault::new(
        FaultKind::NoSuchPiece,
        format!("the edge {place} shows {shown}, and no edge has these two colours"),
        "look again at its two stickers; if they really are so, a sticker was moved",
    )
}

fn seen_in_a_mirror() -> Fault {
    Fault::new(
        FaultKind::Mirrored,
        "this is a cube seen in a mirror: its colours run the other way round",
        "turn off mirroring in the camera's settings, or write each row from left to right as seen on the cube itself",
    )
}

fn mirrored_scheme() -> Fault {
    Fault::new(
        FaultKind::Mirrored,
        "the centres run the other way round than on a cube with white opposite yellow, red opposite orange and green \
         opposite blue",
        "if they were seen in a mirror, look at the cube itself; a cube that is really coloured so is not one that \
         can be coached here",
    )
}

fn moved_centres(net: &Net) -> Fault {
    let centre = |face: Face| net.sticker(face, &[]);
    let odd: Vec<String> = [Face::U, Face::F, Face::R]
        .into_iter()
        .map(|face| (centre(face), centre(face.opposite())))
        .filter(|(a, b)| a.opposite() != *b)
        .map(|(a, b)| format!("{} is opposite {}", a.name(), b.name()))
        .collect();
    Fault::new(
        FaultKind::SwappedPieces,
        format!("the centres are not where they belong: {}", odd.join(", ")),
        "white belongs opposite yellow, red opposite orange and green opposite blue: look at the centres again; if they \
         really are so, their caps were put back on the wrong faces",
    )
}
