//! `drill --seeing`: pairs are shown in letters, and what is typed says what their two pieces are to each other.

use std::io::{self, BufRead, Read};

use serde::Serialize;

use crate::coach::words;
use crate::cube::{Colour, Face, Scheme};
use crate::draw::{Sticker, Stickers};
use crate::front::clock::milliseconds;
use crate::front::outcome::{
    Ended, Exit, Failure, SCHEMA, print_aside, print_document, print_prose,
};
use crate::front::seeing::{ANSWERS, Seeing, Tally};

/// Pairs in one run.
const RUN: usize = 12;

/// The letter for each of [`ANSWERS`].
const KEYS: [char; ANSWERS.len()] = ['j', 'r', 'a', 't'];

/// What is printed with `--json`, once the run has ended.
#[derive(Serialize)]
struct SeeingDocument {
    schema: u32,
    outcome: &'static str,
    say: String,
    #[serde(flatten)]
    tally: Tally,
}

/// Shows pairs until there were enough, or the input ends.
pub fn run(cross: Colour, scheme: Scheme, json: bool) -> Ended {
    let mut keys = io::stdin().lock();
    let none = || Failure::failed("there is no pair to show");
    let mut seeing = Seeing::new(cross, scheme, milliseconds()).ok_or_else(none)?;
    // With --json the one document is all that stands on stdout.
    let tell = |text: &str| match json {
        true => {
            print_aside(text);
            Ok(())
        }
        false => print_prose(text),
    };
    tell(&opening(cross))?;
    while seeing.tally().answered < RUN {
        tell(&from_above(&seeing.stickers()))?;
        let Some(choice) = chosen(&mut keys, tell)? else {
            break;
        };
        seeing.answer(choice, milliseconds());
        tell(&format!("{} {}", seeing.sentence(), seeing.why()))?;
        seeing.next(milliseconds());
    }
    let tally = seeing.tally();
    let say = tally
        .say()
        .unwrap_or_else(|| "Nothing was answered.".into());
    if !json {
        print_prose(&say)?;
        return Ok(Exit::Done);
    }
    print_document(&SeeingDocument {
        schema: SCHEMA,
        outcome: "seeing",
        say,
        tally,
    })?;
    Ok(Exit::Done)
}

fn opening(cross: Colour) -> String {
    let answers = ANSWERS.iter().zip(KEYS);
    let answers: Vec<String> = answers
        .map(|((name, _), key)| format!("{key}: {}", words::within(name)))
        .collect();
    format!(
        "You look at the top, {} down; around it is what its sides show. The pair is in capitals, centres are small.\n\
         What are its two pieces to each other? Type a letter and press Enter. {}; q: stop.",
        cross.name(),
        answers.join("; ")
    )
}

/// The answer that is typed next; none where the input ends, or where it is enough.
fn chosen(
    keys: &mut impl BufRead,
    tell: impl Fn(&str) -> io::Result<()>,
) -> io::Result<Option<usize>> {
    while let Some(key) = first_letter(keys)? {
        if key == 'q' {
            break;
        }
        if let Some(choice) = KEYS.iter().position(|known| *known == key) {
            return Ok(Some(choice));
        }
        tell("Type j, r, a or t, and press Enter.")?;
    }
    Ok(None)
}

/// The first letter of the next line, small; a space for an empty line. However long the line is, no more of it is kept.
fn first_letter(keys: &mut impl BufRead) -> io::Result<Option<char>> {
    let mut first = None;
    for byte in keys.bytes() {
        match byte? {
            b'\n' => return Ok(Some(first.unwrap_or(' '))),
            byte if first.is_none() && !byte.is_ascii_whitespace() => {
                first = Some(char::from(byte.to_ascii_lowercase()));
            }
            _ => {}
        }
    }
    Ok(first)
}

/// The top in letters, with the row of each side that touches it, as seen from above; the front is below.
fn from_above(stickers: &Stickers) -> String {
    let at = |face: Face, index: usize| letter(&stickers.face(face)[index], index);
    let row = |face: Face, from: usize| [0, 1, 2].map(|k| at(face, from + k)).join(" ");
    let back = [2, 1, 0].map(|k| at(Face::B, k)).join(" ");
    let rows = [0, 1, 2].map(|k| {
        let (left, right) = (at(Face::L, k), at(Face::R, 2 - k));
        format!("  {left} | {} | {right}", row(Face::U, 3 * k))
    });
    let front = row(Face::F, 0);
    let sides = [Face::F, Face::R, Face::B, Face::L]
        .map(|face| stickers.face(face)[4].colour.map_or("", Colour::name));
    let [f, r, b, l] = sides;
    format!(
        "\n      {back}\n{}\n      {front}\n  centres: {f} in front, {r} on the right, {b} at the back, {l} on the left",
        rows.join("\n")
    )
}

/// A sticker of the pair in a capital, a centre in a small letter, any other as a dot.
fn letter(sticker: &Sticker, index: usize) -> String {
    let colour = sticker.colour.map(Colour::letter);
    match colour {
        Some(colour) if sticker.pair => colour.to_ascii_uppercase().to_string(),
        Some(colour) if index == 4 => colour.to_string(),
        _ => "·".into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::coach::{Hand, example};
    use crate::draw::{Others, marked};
    use crate::solve::Slot;

    #[test]
    fn a_joined_pair_is_seen_side_by_side_with_its_colours() {
        let slot = Slot::ALL[0];
        let held = example(1, Hand::Right, Colour::White, slot).expect("a sight");
        let text = from_above(&marked(&held, slot, Others::FirstLayersAtHome));
        let capitals: String = text.chars().filter(char::is_ascii_uppercase).collect();
        let mut sorted: Vec<char> = capitals.chars().collect();
        sorted.sort_unstable();
        assert_eq!(sorted, ['G', 'G', 'R', 'R', 'W'], "{text}");
        assert!(text.contains("red in front, green on the right"), "{text}");
    }

    #[test]
    fn lines_are_read_by_their_first_letter_until_the_input_ends() {
        let mut typed: &[u8] = b"  J\n\nnonsense\nT later\nq\nj";
        let mut next = || chosen(&mut typed, |_| Ok(())).expect("bytes");
        assert_eq!(
            [next(), next(), next(), next(), next()],
            [Some(0), Some(3), None, Some(0), None]
        );
        let mut no_text: &[u8] = b"\xff\xfe\0\nr";
        assert_eq!(chosen(&mut no_text, |_| Ok(())).expect("bytes"), Some(1));
    }
}
