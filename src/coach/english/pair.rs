//! How a pair lies, and what turns do to it.

use crate::cube::{Colour, Edge, Face};

use super::super::saying::{
    Carry, CornerThere, Elsewhere, Hiding, LiftAim, LiftReason, Mechanism, Order, PairReason,
    PairSaying, Pieces, ShortGain, Standing, Whereabouts,
};
use super::super::see::{Beside, CornerIn, Sight, Tops};
use super::colours::Colours;
use super::words;

pub fn sentence(saying: &PairSaying, colours: Colours) -> String {
    match saying {
        PairSaying::Seen(sight, cross) => seen(*sight, colours.name(*cross)),
        PairSaying::Elsewhere(how) => elsewhere(*how).into(),
        PairSaying::CornerAt { at, cross, looks } => format!(
            "The corner is {}, {} {}.",
            words::corner_place(*at),
            colours.name(*cross),
            words::looking(*looks)
        ),
        PairSaying::EdgeAt { at, colour, looks } => format!(
            "The edge is {}, {} {}.",
            words::edge_place(*at),
            colours.name(*colour),
            edge_looking(*looks)
        ),
        PairSaying::InPlace { corner, edge } => in_place(*corner, *edge, colours),
        PairSaying::SlotWithComes(some, to) => format!(
            "The slot with the {} comes to the {}.",
            pieces(*some),
            words::slot(*to)
        ),
        PairSaying::SlotComes([a, b], to) => format!(
            "The slot between {} and {} comes to the {}.",
            colours.name(*a),
            colours.name(*b),
            words::slot(*to)
        ),
        PairSaying::Order(one) => format!("{}.", order(*one)),
        PairSaying::Aim(one) => aim(*one),
        PairSaying::LiftReason(why) => lift_reason(*why, colours),
        PairSaying::Mechanism(how) => mechanism(*how),
        PairSaying::Carried {
            layer,
            corner,
            edge,
        } => carried(words::side(*layer), *corner, *edge),
        PairSaying::Now(how) => standing(*how).into(),
        PairSaying::BothHome => "Now both are home, and the cross is whole.".into(),
        PairSaying::CheckCentres([a, b]) => {
            let [a, b] = [*a, *b].map(|colour| colours.name(colour));
            format!("Check: {a} is at the {a} centre, {b} at {b}.")
        }
        PairSaying::CheckBoth => "Check that both colours meet their centres.".into(),
        PairSaying::WhichPair => "Which pair do you see?".into(),
        PairSaying::LookForCornerWith(cross) => format!(
            "Look for a corner with {}, and the edge with its two other colours.",
            colours.name(*cross)
        ),
        PairSaying::LookForPieces(slot, cross) => {
            let sides = colours.at(slot.colours(*cross));
            let [cross] = colours.at([*cross]);
            format!(
                "Look for the {} and the {}.",
                words::corner(cross, sides),
                words::edge(sides)
            )
        }
        PairSaying::Reason(why) => reason(*why),
        PairSaying::PlainIsShortest => "The plain route is already the shortest there is.".into(),
        PairSaying::Shorter { turns, than, by } => shorter(*turns, *than, *by),
        PairSaying::NeedsEmptySlot => "Another slot must be empty for it.".into(),
        PairSaying::MustBeEmpty(slots) => must_be_empty(slots),
    }
}

fn seen(sight: Sight, cross: &str) -> String {
    match sight {
        Sight::OnTop {
            tops,
            touching,
            beside,
        } => on_top(tops, touching, beside, cross),
        Sight::CornerIn(CornerIn::Down) => {
            format!("The corner is in its slot, {cross} down, and its edge is on top.")
        }
        Sight::CornerIn(CornerIn::Below) => format!(
            "The corner is in its slot. With the edge over its own centre, {cross} is below it."
        ),
        Sight::CornerIn(CornerIn::Aside) => format!(
            "The corner is in its slot. With the edge over its own centre, {cross} is not below it."
        ),
        Sight::EdgeIn { flipped, up } => {
            let looks = if up { "looks up" } else { "looks sideways" };
            let way = if flipped { ", flipped" } else { "" };
            format!("The edge is in its slot{way}; {cross} on its corner {looks}.")
        }
        Sight::BothIn {
            corner_wrong: true,
            edge_wrong: true,
        } => "Both are in their slot, the corner twisted and the edge flipped.".into(),
        Sight::BothIn {
            corner_wrong: true, ..
        } => "Both are in their slot, and the corner is twisted.".into(),
        Sight::BothIn { .. } => "Both are in their slot, and the edge is flipped.".into(),
    }
}

fn on_top(tops: Tops, touching: bool, beside: Beside, cross: &str) -> String {
    let colours = match tops {
        Tops::Cross => format!("{cross} looks up"),
        Tops::Same => "the top colours match".into(),
        Tops::Different => "the top colours differ".into(),
    };
    match (tops, touching, beside) {
        (Tops::Same, true, Beside::Same) => {
            "They are joined: they touch, and both their colours match.".into()
        }
        (Tops::Different, false, Beside::Other) => {
            "They are ready: they are apart, and one insert takes both in.".into()
        }
        (_, true, Beside::Cross) => {
            format!("They touch wrongly: {colours}, and {cross} is beside the edge.")
        }
        (_, true, Beside::Same) => {
            format!("They touch wrongly: {colours}, and their side colours match.")
        }
        (_, true, Beside::Other) => {
            format!("They touch wrongly: {colours}, and their side colours differ.")
        }
        (_, false, Beside::Cross) => {
            format!("They are apart; {colours}, and {cross} is across from the edge.")
        }
        (_, false, Beside::Same) => {
            format!("They are apart; {colours}, and their colours across the top match.")
        }
        (_, false, Beside::Other) => {
            format!("They are apart; {colours}, and their colours across the top differ.")
        }
    }
}

fn elsewhere(how: Elsewhere) -> &'static str {
    match how {
        Elsewhere::BothInOneSlot => "Both are in one slot, which is not theirs.",
        Elsewhere::CornerAndEdgeOnTop => "The corner is in another slot, and the edge is on top.",
        Elsewhere::EdgeAndCornerOnTop => "The edge is in another slot, and the corner is on top.",
        Elsewhere::EdgeAndCornerHome => "The corner is in its slot, and the edge is in another.",
        Elsewhere::CornerAndEdgeHome => "The edge is in its slot, and the corner is in another.",
        Elsewhere::EachInItsOwn => "Both are in other slots, each in its own.",
    }
}

fn edge_looking(looks: Face) -> &'static str {
    match looks {
        Face::U => "on top",
        other => words::looking(other),
    }
}

fn in_place(corner: Option<CornerThere>, edge: Option<Face>, colours: Colours) -> String {
    let corner = corner.map(|corner| {
        format!(
            "corner at the {}, {} {}",
            words::column(corner.column),
            colours.name(corner.cross),
            words::looking(corner.looks)
        )
    });
    let edge = edge.map(|side| format!("edge {}", words::at_side(side)));
    let both: Vec<String> = corner.into_iter().chain(edge).collect();
    format!("{}.", words::sentence(&both.join("; ")))
}

fn pieces(some: Pieces) -> &'static str {
    match some {
        Pieces::Corner => "corner",
        Pieces::Edge => "edge",
        Pieces::Both => "corner and edge",
    }
}

fn order(one: Order) -> &'static str {
    match one {
        Order::InsertBoth => "Insert both",
        Order::Join => "Join them",
        Order::MakeReady => "Make them ready",
        Order::ChangeOver => "Change them over",
        Order::PutCornerAside => "Put the corner aside",
        Order::Free(Pieces::Corner) => "Free the corner",
        Order::Free(Pieces::Edge) => "Free the edge",
        Order::Free(Pieces::Both) => "Free both",
        Order::Move => "Move them",
    }
}

fn aim(one: LiftAim) -> String {
    match one {
        LiftAim::FreeJoined(some) => {
            let it = match some {
                Pieces::Both => "they come",
                _ => "it comes",
            };
            format!("{}, so that {it} out joined.", order(Order::Free(some)))
        }
        LiftAim::FreeReady(some) => {
            format!(
                "{}, so that one insert can follow.",
                order(Order::Free(some))
            )
        }
        LiftAim::FreeFirst(some) => format!("{} first.", order(Order::Free(some))),
        LiftAim::Join(which) => format!("{}: {}.", order(Order::Join), hiding(which)),
        LiftAim::MakeReady(which) => {
            format!(
                "{} for one insert: {}.",
                order(Order::MakeReady),
                hiding(which)
            )
        }
        LiftAim::ChangeOver => format!("{}.", order(Order::ChangeOver)),
        LiftAim::CornerForEdge => {
            "Put the corner into the slot, so that the edge comes out.".into()
        }
        LiftAim::CornerAside => "Put the corner into its slot, away from the edge.".into(),
        LiftAim::Move => format!("{}.", order(Order::Move)),
        LiftAim::InsertJoined => {
            "Insert the joined pair: open its slot, slide it over, close.".into()
        }
        LiftAim::InsertReady => {
            "Insert both: opening the slot brings the corner to its edge.".into()
        }
    }
}

fn hiding(which: Hiding) -> &'static str {
    match which {
        Hiding::Corner => "hide the corner, move the edge, come back",
        Hiding::Edge => "hide the edge, move the corner, come back",
        Hiding::Neither => "the top brings the corner over, closing turns it",
    }
}

fn lift_reason(why: LiftReason, colours: Colours) -> String {
    let capital = |cross: Colour| words::sentence(colours.name(cross));
    match why {
        LiftReason::Joined => "Joined, they go in as one.".into(),
        LiftReason::Ready => "Ready, they join while the slot opens.".into(),
        LiftReason::MustPart(cross) => format!(
            "{} is beside the edge, so first they have to part.",
            capital(cross)
        ),
        LiftReason::CanJoin(cross) => format!(
            "{} looks sideways and the top colours are the same: they can join.",
            capital(cross)
        ),
        LiftReason::CanBeReady(cross) => format!(
            "{} looks sideways and the top colours differ: one lift makes them ready.",
            capital(cross)
        ),
        LiftReason::CrossUp(cross) => {
            format!(
                "While {} looks up, no insert takes them in.",
                colours.name(cross)
            )
        }
        LiftReason::CornerIn => "A corner goes in together with its edge.".into(),
        LiftReason::EdgeIn => "An edge goes in together with its corner.".into(),
        LiftReason::BothIn => "What sits wrongly has to come out and go in anew.".into(),
        LiftReason::Trapped => "A piece in another slot comes out first.".into(),
    }
}

fn mechanism(how: Mechanism) -> String {
    match how {
        Mechanism::SlideOver => "Open the slot, slide the pair over it, close it.".into(),
        Mechanism::CornerToEdge(side) => format!(
            "The {} brings the corner to its edge; then both go in.",
            words::side(side)
        ),
        Mechanism::CornerHidesEdgeMoves => {
            "The corner hides below while the top moves the edge.".into()
        }
        Mechanism::EdgeHidesCornerMoves => {
            "The edge hides below while the top moves the corner.".into()
        }
        Mechanism::CornerHidesEdgeComesUp => {
            "The corner hides below; the edge comes up, and the top moves it.".into()
        }
        Mechanism::EdgeHidesCornerComesUp => {
            "The edge hides below; the corner comes up, and the top moves it.".into()
        }
        Mechanism::BothComeUp(side) => format!(
            "The {} brings both up, and the top moves them aside.",
            words::side(side)
        ),
        Mechanism::CornerComesUp(side) => format!(
            "The {} brings the corner up, and the top moves it aside.",
            words::side(side)
        ),
        Mechanism::EdgeComesUp(side) => format!(
            "The {} brings the edge up, and the top moves it aside.",
            words::side(side)
        ),
        Mechanism::EdgeComesUpCornerTurns => {
            "The edge comes up; the top moves both, and closing turns the corner.".into()
        }
        Mechanism::EdgeOutCornerIn => "The edge comes up and out, and the corner goes in.".into(),
        Mechanism::CornerIn => {
            "The top brings the corner over the open slot, and closing takes it in.".into()
        }
        Mechanism::BothMoveCornerTurns => {
            "The top moves both, and closing turns the corner.".into()
        }
    }
}

/// In one or two short sentences.
fn carried(layer: &str, corner: Option<Carry>, edge: Option<Carry>) -> String {
    let [first, second] = [corner, edge].map(|carry| carry.map(carry_words));
    match (first, second) {
        (Some((verb, to)), Some(_)) if corner == edge => {
            format!("The {layer} {verb} corner and edge{to}.")
        }
        (Some((verb, to)), Some((also, at))) => {
            format!("The {layer} {verb} the corner{to}. It {also} the edge{at}.")
        }
        (Some((verb, to)), None) => format!("The {layer} {verb} the corner{to}."),
        (None, Some((verb, to))) => format!("The {layer} {verb} the edge{to}."),
        (None, None) => String::new(),
    }
}

fn carry_words(carry: Carry) -> (&'static str, String) {
    match carry {
        Carry::Up => ("brings", " up".into()),
        Carry::Down => ("takes", " down".into()),
        Carry::OnTop(to) => ("carries", format!(" to the {}", whereabouts(to))),
        Carry::Below(to) => ("moves", format!(" to the {}", whereabouts(to))),
    }
}

fn whereabouts(at: Whereabouts) -> String {
    match at {
        Whereabouts::Column(faces) => words::column(faces).into(),
        Whereabouts::LowerColumn(faces) => format!("lower {}", words::column(faces)),
        Whereabouts::Side(face) => plain_side(face).into(),
        Whereabouts::LowerSide(face) => format!("lower {}", plain_side(face)),
        Whereabouts::Slot(faces) => format!("{} slot", words::column(faces)),
    }
}

fn plain_side(face: Face) -> &'static str {
    match face {
        Face::F => "front",
        Face::B => "back",
        Face::R => "right",
        _ => "left",
    }
}

fn standing(how: Standing) -> &'static str {
    match how {
        Standing::Joined => "Now they are joined.",
        Standing::Ready => "Now they are ready: one insert takes both in.",
        Standing::BothOnTop => "Now both are on top.",
        Standing::CornerHome => "Now the corner is in its slot, and the edge is on top.",
        Standing::CornerLeft => "Now the edge is on top; the corner comes next.",
        Standing::EdgeHome => "Now the corner is on top, and the edge is in its slot.",
        Standing::EdgeLeft => "Now the corner is on top; the edge comes next.",
        Standing::BothInSlots => "Now both are in slots.",
    }
}

fn reason(why: PairReason) -> String {
    match why {
        PairReason::Last => "It is the last pair.".into(),
        PairReason::Wanted => "It is the pair to do now.".into(),
        PairReason::Fewest(turns) => format!(
            "No pair left takes fewer turns: this one takes {}.",
            words::count(turns)
        ),
        PairReason::LeastWork(turns) => format!(
            "It takes {}; pairs with fewer turn the whole cube more often.",
            words::turn_count(turns)
        ),
    }
}

fn shorter(turns: usize, than: Option<usize>, by: ShortGain) -> String {
    let turns = words::turn_count(turns);
    let gain = match than {
        Some(more) => format!("{turns} instead of {}", words::count(more)),
        None => format!("{turns}, no more"),
    };
    format!("{}: {}.", words::sentence(&gain), short_gain(by))
}

fn short_gain(by: ShortGain) -> &'static str {
    match by {
        ShortGain::Keyhole => "the bottom makes room for a moment",
        ShortGain::EmptySlot => "it uses an empty slot",
        ShortGain::Sledgehammer => "two sides turn against each other",
        ShortGain::BackSlot => "it goes straight in at the back",
        ShortGain::NoRotation => "the cube is not turned",
        ShortGain::OpensAround => "one side stays open while the two join",
        ShortGain::Overlaps => "one side turns while another is open",
        ShortGain::Unnamed => "no way is shorter",
    }
}

fn must_be_empty(slots: &[Edge]) -> String {
    let name = |slot: &Edge| format!("the {}", words::slot(*slot));
    let slots: Vec<String> = slots.iter().map(name).collect();
    format!(
        "{} slot must be empty.",
        words::sentence(&words::list(&slots))
    )
}
