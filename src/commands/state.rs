//! A cube's state from a net file or from a scramble.

use std::io::{self, Write};
use std::path::Path;

use serde::Serialize;
use serde_json::{Value, to_value};

use crate::coach::words;
use crate::cube::{Cube, Face, Fault, Hold, Moves, Net, Scheme};
use crate::front::outcome::{Failure, write_document};
use crate::input::{self, Kind, shown};

/// A cube that is given: as the usual cube with the same pieces, and how its own colours lie. Where that is said, as in what `read`
/// prints, its centres tell it; of a bare net with other centres than usual nobody knows whether they are so.
pub struct Given {
    pub net: Net,
    pub scheme: Scheme,
}

impl Given {
    fn usual(net: Net) -> Given {
        Given {
            net,
            scheme: Scheme::USUAL,
        }
    }
}

/// Writes a document about the usual cube as one about a cube of a scheme, as one line of JSON.
pub fn write_in(scheme: Scheme, out: &mut impl Write, document: &impl Serialize) -> io::Result<()> {
    match scheme.is_usual() {
        true => write_document(out, document),
        false => write_document(out, &painted(to_value(document)?, scheme)),
    }
}

/// The same on stdout.
pub fn print_in(scheme: Scheme, document: &impl Serialize) -> io::Result<()> {
    let mut out = io::stdout().lock();
    write_in(scheme, &mut out, document)?;
    out.flush()
}

/// A document with a scheme's colours in all its words, the names of fields that are colours included, and in its nets.
fn painted(value: Value, scheme: Scheme) -> Value {
    let field = |(name, value): (String, Value)| {
        let net = Net::from_json(&value).ok().filter(|_| name == "net");
        let net = net.and_then(|net| to_value(scheme.painted(&net)).ok());
        let value = net.unwrap_or_else(|| painted(value, scheme));
        (scheme.in_words(&name), value)
    };
    match value {
        Value::String(text) => scheme.in_words(&text).into(),
        Value::Array(all) => all.into_iter().map(|one| painted(one, scheme)).collect(),
        Value::Object(fields) => fields.into_iter().map(field).collect(),
        other => other,
    }
}

/// A net file's cube, or what a scramble gives. A net need not be legal.
pub fn given(file: Option<&Path>, scramble: Option<&str>) -> Result<Given, Failure> {
    match (file, scramble) {
        (Some(path), _) => {
            let name = shown(path);
            parse(decoded(&bytes(path)?, &name)?, &name)
        }
        (None, Some(moves)) => scrambled(moves).map(Given::usual),
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
pub fn parse(text: &str, name: &str) -> Result<Given, Failure> {
    let value: Value = serde_json::from_str(text).map_err(|error| {
        Failure::usage(format!("{name}: not JSON: {error}"))
            .remedy("give a net such as {\"up\":[\"www\",\"www\",\"www\"],\"left\":[..],\"front\":[..],\"right\":[..],\"back\":[..],\"down\":[..]}")
    })?;
    let net = value
        .get("net")
        .filter(|_| value.get("up").is_none())
        .unwrap_or(&value);
    let is_unusual = value.get("scheme").is_some_and(|told| told != "usual");
    let net = Net::from_json(net).map_err(|error| Failure::usage(format!("{name}: {error}")))?;
    let usual = Scheme::in_usual_colours(&net).filter(|_| is_unusual);
    Ok(usual.map_or(Given::usual(net), |(scheme, net)| Given { net, scheme }))
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
pub fn net_text(net: &Net) -> String {
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
