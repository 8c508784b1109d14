//! A cube that no turns can solve, as the page shows it: what is wrong, what to do, and where.
//!
//! Going on as it is is not offered: only legal states are followed, so nothing that was told of one of these would be sure.

use crate::coach::words;
use crate::cube::{Colour, Fault, FaultKind};
use crate::draw::marked_places;
use crate::page::Drawing;
use crate::read::Reading;

/// What follows the deed where pieces are to be moved by hand.
const MENDED_BY_HAND: &str =
    ". As it is, no turns can solve it. Keep loose parts from small children";

/// What to show of such a cube.
pub struct Told {
    /// What is wrong.
    pub passed: String,
    /// What to do about it.
    pub todo: String,
    /// The cube with the piece framed; none where it was not seen whole.
    pub drawing: Option<Drawing>,
}

/// What the first fault of a reading comes to.
pub fn told(reading: &Reading) -> Option<Told> {
    let fault = reading.faults.first()?;
    let then = match fault.kind {
        FaultKind::TwistedCorner | FaultKind::FlippedEdge | FaultKind::SwappedPieces => {
            MENDED_BY_HAND
        }
        _ => "",
    };
    Some(Told {
        passed: fault.say.clone(),
        todo: format!("{}{then}", fault.repair),
        drawing: drawing(reading, fault),
    })
}

fn drawing(reading: &Reading, fault: &Fault) -> Option<Drawing> {
    let net = reading.impossible.as_ref()?;
    // Places are named by the centres that they lie between, and drawn where those lie on the usual cube.
    let usual = |place: &Vec<Colour>| -> Vec<Colour> {
        place.iter().map(|c| reading.scheme.usual(*c)).collect()
    };
    let known: Vec<Vec<Colour>> = fault.places.iter().map(usual).collect();
    let any = any_will_do(fault.kind);
    let (places, framed) = match (&known[..], &any[..]) {
        ([], []) => return None,
        ([], any) => (any, "one that will do is framed"),
        (known, _) => (known, "the framed one is meant"),
    };
    let is_left = places
        .iter()
        .flatten()
        .any(|colour| *colour == Colour::Orange);
    let hold = words::hold(Colour::Yellow, Colour::Green);
    let hold = reading.scheme.in_words(&hold);
    Some(Drawing {
        stickers: marked_places(net, places),
        from_left: is_left,
        description: format!("{hold} {}.", words::sentence(framed)).into(),
    })
}

/// Places whose pieces can be mended where nobody can tell which are wrong: those that are seen best.
fn any_will_do(kind: FaultKind) -> Vec<Vec<Colour>> {
    use Colour::{Green, Red, White};
    match kind {
        FaultKind::TwistedCorner => vec![vec![White, Red, Green]],
        FaultKind::FlippedEdge => vec![vec![White, Green]],
        FaultKind::SwappedPieces => vec![vec![White, Green], vec![White, Red]],
        _ => Vec::new(),
    }
}
