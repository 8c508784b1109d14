//! Plain words for turns, places and pieces, right for how the cube is held.

use crate::cube::{Amount, Axis, Colour, Corner, Edge, Face, Move, Slice, Turn};

/// What the words for turns mean; to be told once.
pub const TURN_WORDS: &str = "Every turn is a quarter turn unless it says half a turn. The right and the left side turn \
upwards or downwards, and the top and the bottom to the left or to the right, as the stickers that face you move. The \
front turns clockwise or anticlockwise as you see it. The back layer turns to the left or to the right as its top row moves. \
The middle column is the layer between the right and the left side, the middle row the one between the top and the bottom.";

/// A move in words, without a verb: "right side upwards", "top to the left".
pub fn turn(of: Move) -> String {
    match of {
        Move::Outer(Turn { face, amount }) => format!("{} {}", layer(face), way(face, amount)),
        Move::Wide(Turn { face, amount }) => {
            let layers = match face {
                Face::U => "top two layers",
                Face::D => "bottom two layers",
                Face::R => "right two layers",
                Face::L => "left two layers",
                Face::F => "front two layers",
                Face::B => "back two layers",
            };
            format!("{layers} {}", way(face, amount))
        }
        Move::Slice(slice, amount) => {
            let layer = match slice {
                Slice::M => "middle column",
                Slice::E => "middle row",
                Slice::S => "middle slice between front and back",
            };
            format!("{layer} {}", way(slice.like(), amount))
        }
        Move::Rotation(axis, amount) => format!("turn the cube {}", rotation(axis, amount)),
    }
}

/// Several moves in words, as they are spoken, three to a sentence: "Right side upwards, top to the left, right side
/// downwards. Top to the right". The last sentence has no full stop yet.
pub fn spoken(moves: &[Move]) -> String {
    let sentences: Vec<String> = moves
        .chunks(3)
        .map(|few| {
            let words: Vec<String> = few.iter().map(|m| turn(*m)).collect();
            sentence(&words.join(", "))
        })
        .collect();
    sentences.join(". ")
}

/// The same with the notation beside them: "Right side upwards, top to the left (R U)".
pub fn turns(moves: &[Move]) -> String {
    let notation: Vec<String> = moves.iter().map(|m| m.to_string()).collect();
    format!("{} ({})", spoken(moves), notation.join(" "))
}

/// The layer that turns. The back is called a layer, so that it is not heard as going back.
fn layer(face: Face) -> &'static str {
    match face {
        Face::B => "back layer",
        _ => side(face),
    }
}

/// A layer: "right side", "top".
pub fn side(face: Face) -> &'static str {
    match face {
        Face::U => "top",
        Face::D => "bottom",
        Face::R => "right side",
        Face::L => "left side",
        Face::F => "front",
        Face::B => "back",
    }
}

fn way(face: Face, amount: Amount) -> &'static str {
    match (face, amount) {
        (_, Amount::Half) => "half a turn",
        (Face::U, Amount::Quarter) | (Face::D, Amount::Counter) => "to the left",
        (Face::U, Amount::Counter) | (Face::D, Amount::Quarter) => "to the right",
        (Face::R, Amount::Quarter) | (Face::L, Amount::Counter) => "upwards",
        (Face::R, Amount::Counter) | (Face::L, Amount::Quarter) => "downwards",
        (Face::F, Amount::Quarter) => "clockwise",
        (Face::F, Amount::Counter) => "anticlockwise",
        (Face::B, Amount::Quarter) => "to the left",
        (Face::B, Amount::Counter) => "to the right",
    }
}

/// What turning the whole cube brings where: "so that the right side comes to the front".
pub fn rotation(axis: Axis, amount: Amount) -> &'static str {
    match (axis, amount) {
        (Axis::Y, Amount::Quarter) => "so that the right side comes to the front",
        (Axis::Y, Amount::Counter) => "so that the left side comes to the front",
        (Axis::Y, Amount::Half) => "so that the back comes to the front",
        (Axis::X, Amount::Quarter) => "so that the front goes to the top",
        (Axis::X, Amount::Counter) => "so that the top comes to the front",
        (Axis::X, Amount::Half) => "so that the bottom comes to the top and the back to the front",
        (Axis::Z, Amount::Quarter) => "so that the left side goes to the top",
        (Axis::Z, Amount::Counter) => "so that the right side goes to the top",
        (Axis::Z, Amount::Half) => {
            "so that the bottom comes to the top, the front staying in front"
        }
    }
}

/// Where a sticker looks.
pub fn looking(face: Face) -> &'static str {
    match face {
        Face::U => "looking up",
        Face::D => "looking down",
        Face::F => "looking at you",
        Face::B => "looking to the back",
        Face::R => "looking right",
        Face::L => "looking left",
    }
}

/// A column of the cube: "front right".
pub fn column(faces: [Face; 2]) -> &'static str {
    let has = |f| faces.contains(&f);
    match (has(Face::F), has(Face::R)) {
        (true, true) => "front right",
        (true, false) => "front left",
        (false, true) => "back right",
        (false, false) => "back left",
    }
}

/// A slot's column, by its edge place.
pub fn slot(at: Edge) -> &'static str {
    column(at.faces())
}

/// Where an edge is: "at the back of the top", "in the front right slot".
pub fn edge_place(at: Edge) -> String {
    let [first, second] = at.faces();
    match first {
        Face::U => format!("{} of the top", at_side(second)),
        Face::D => format!("{} of the bottom", at_side(second)),
        _ => format!("in the {} slot", slot(at)),
    }
}

/// Where a corner is: "at the front right of the top", "in the back left slot".
pub fn corner_place(at: Corner) -> String {
    let [first, a, b] = at.faces();
    match first {
        Face::U => format!("at the {} of the top", column([a, b])),
        _ => format!("in the {} slot", column([a, b])),
    }
}

/// Beside a face: "at the front", "on the right".
pub fn at_side(face: Face) -> &'static str {
    match face {
        Face::F => "at the front",
        Face::B => "at the back",
        Face::R => "on the right",
        Face::L => "on the left",
        Face::U => "on top",
        Face::D => "at the bottom",
    }
}

/// The two colours of an edge: "green-red edge".
pub fn edge(sides: [Colour; 2]) -> String {
    format!("{}-{} edge", sides[0].name(), sides[1].name())
}

/// The three colours of a corner: "white-green-red corner".
pub fn corner(cross: Colour, sides: [Colour; 2]) -> String {
    let [a, b] = sides.map(Colour::name);
    format!("{}-{a}-{b} corner", cross.name())
}

/// How the cube is to be held, by the colours of two centres.
pub fn hold(down: Colour, front: Colour) -> String {
    format!(
        "Hold it with {} down and {} in front.",
        down.name(),
        front.name()
    )
}

/// The text with its first letter made a capital.
pub fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => String::new(),
    }
}

/// The text with its first letter made small.
pub fn within(text: &str) -> String {
    let mut letters = text.chars();
    match letters.next() {
        Some(first) => first.to_lowercase().chain(letters).collect(),
        None => String::new(),
    }
}

/// "one", "two", .. up to twenty, then digits.
pub fn count(n: usize) -> String {
    const WORDS: [&str; 21] = [
        "no",
        "one",
        "two",
        "three",
        "four",
        "five",
        "six",
        "seven",
        "eight",
        "nine",
        "ten",
        "eleven",
        "twelve",
        "thirteen",
        "fourteen",
        "fifteen",
        "sixteen",
        "seventeen",
        "eighteen",
        "nineteen",
        "twenty",
    ];
    WORDS.get(n).map_or_else(|| n.to_string(), |w| (*w).into())
}

/// "first", "second", .. up to twelfth, then "13th".
pub fn ordinal(n: usize) -> String {
    const WORDS: [&str; 12] = [
        "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth",
        "tenth", "eleventh", "twelfth",
    ];
    n.checked_sub(1)
        .and_then(|i| WORDS.get(i))
        .map_or_else(|| format!("{n}th"), |w| (*w).into())
}

/// "one turn", "seven turns".
pub fn turn_count(n: usize) -> String {
    let s = if n == 1 { "" } else { "s" };
    format!("{} turn{s}", count(n))
}

/// "a", "a and b", "a, b and c".
pub fn list(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}
