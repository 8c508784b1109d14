//! A cube's state from a net file or from a scramble.

use std::io;
use std::path::Path;

use serde_json::Value;

use crate::coach::words;
use crate::cube::{Cube, Face, Fault, Hold, Moves, Net};
use crate::front::outcome::Failure;
use crate::input::{self, Kind, shown};

/// A net file's net, or what a scramble gives. A net need not be legal.
pub fn net(file: Option<&Path>, scramble: Option<&str>) -> Result<Net, Failure> {
    match (file, scramble) {
        (Some(path), _) => {
            let name = shown(path);
            parse(decoded(&bytes(path)?, &name)?, &name)
        }
        (None, Some(moves)) => scrambled(moves),
        (None, None) => {
            Err(Failure::usage("no cube given").remedy("give --net FILE or --scramble \"MOVES\""))
        }
    }
}

/// The bytes of a file of nets, or of standard input for `-`.
pub fn bytes(path: &Path) -> Result<Vec<u8>, Failure> {
    let read = if path == Path::new("-") {
        input::limited(io::stdin().lock(), Kind::Nets)
    } else {
        input::read(path, Kind::Nets)
    };
    read.map_err(|fault| {
        Failure::usage(format!("{}: {fault}", shown(path)))
            .remedy("give a file with a net as JSON, as `pairsight read --json` prints it, or - for standard input")
    })
}

/// A text among the bytes of a file of nets.
pub fn decoded<'b>(bytes: &'b [u8], name: &str) -> Result<&'b str, Failure> {
    std::str::from_utf8(bytes).map_err(|_| {
        Failure::usage(format!("{name}: {}", input::Fault::NotText))
            .remedy("save the nets as JSON text in UTF-8")
    })
}

/// A net from JSON text: bare, or in the field `net` of what `read --json` printed.
pub fn parse(text: &str, name: &str) -> Result<Net, Failure> {
    let value: Value = serde_json::from_str(text).map_err(|error| {
        Failure::usage(format!("{name}: not JSON: {error}"))
            .remedy("give a net such as {\"up\":[\"www\",\"www\",\"www\"],\"left\":[..],\"front\":[..],\"right\":[..],\"back\":[..],\"down\":[..]}")
    })?;
    let net = value
        .get("net")
        .filter(|_| value.get("up").is_none())
        .unwrap_or(&value);
    Net::from_json(net).map_err(|error| Failure::usage(format!("{name}: {error}")))
}

fn scrambled(text: &str) -> Result<Net, Failure> {
    let moves: Moves = text
        .parse()
        .map_err(|error| Failure::usage(format!("--scramble: {error}")))?;
    let (turns, _) = Hold::HOME.follow(&moves.0);
    Ok(Net::of(
        &turns.into_iter().fold(Cube::solved(), Cube::apply),
    ))
}

/// All that is wrong with a cube, with what to do, in sentences a line each.
pub fn told(faults: &[Fault]) -> String {
    listed("This cube cannot be solved by turning it:", faults)
}

/// Faults with what to do, in sentences a line each, under a heading.
pub fn listed(heading: &str, faults: &[Fault]) -> String {
    let mut say = heading.to_owned();
    for fault in faults {
        say.push_str(&format!(
            "\n- {} {}",
            sentence(&fault.say),
            sentence(&fault.repair)
        ));
    }
    say
}

/// A clause as a sentence: a capital first, a full stop last.
pub fn sentence(clause: &str) -> String {
    let mut text = words::sentence(clause.trim());
    if !text.is_empty() && !text.ends_with(['.', '!', '?', ':']) {
        text.push('.');
    }
    text
}

/// A net as text, unfolded: up above front; left, front, right, back in a row; down below front.
pub fn drawn(net: &Net) -> String {
    let row = |face: Face, row: usize| {
        net.face(face)[row]
            .map(|colour| colour.letter().to_string())
            .join(" ")
    };
    let alone = |face: Face| (0..3).map(move |r| format!("       {}", row(face, r)));
    let beside = (0..3).map(|r| {
        [Face::L, Face::F, Face::R, Face::B]
            .map(|face| row(face, r))
            .join("  ")
    });
    alone(Face::U)
        .chain(beside)
        .chain(alone(Face::D))
        .collect::<Vec<_>>()
        .join("\n")
}
