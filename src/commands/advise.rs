//! `advise`: what to do next with a cube, and why.

use std::io::{self, BufWriter, Write};
use std::path::Path;

use serde::Serialize;

use super::args::AdviseArgs;
use super::outcome::{Ended, ErrorDocument, Exit, Failure, SCHEMA, print_document, print_prose};
use super::state;
use crate::coach::{self, Advice};
use crate::cube::{Colour, Net};

#[derive(Serialize)]
struct Document {
    schema: u32,
    #[serde(flatten)]
    advice: Advice,
}

/// Advises on one cube, or on a file of them.
pub fn run(args: &AdviseArgs) -> Ended {
    if let Some(file) = &args.batch {
        return batch(file, args.cross, args.whole);
    }
    let net = state::net(args.net.as_deref(), args.scramble.as_deref())?;
    let (exit, document) = advise(&net, args.cross, args.whole);
    if args.json {
        print_document(&document)?;
    } else {
        print_prose(&coach::prose(&document.advice))?;
    }
    Ok(exit)
}

fn advise(net: &Net, cross: Option<Colour>, whole: bool) -> (Exit, Document) {
    let (exit, advice) = match net.to_cube() {
        Ok(cube) => (Exit::Done, coach::advise(&cube, cross, whole)),
        Err(faults) => (Exit::Impossible, coach::impossible(faults)),
    };
    (exit, Document { schema: SCHEMA, advice })
}

/// One net a line in, one document a line out. A bad line does not stop the run; the exit code remembers it.
fn batch(file: &Path, cross: Option<Colour>, whole: bool) -> Ended {
    let text = state::text(file)?;
    let mut out = BufWriter::new(io::stdout().lock());
    let mut bad = 0usize;
    let mut impossible = false;
    for (number, line) in text.lines().enumerate().filter(|(_, line)| !line.trim().is_empty()) {
        let name = format!("{} line {}", file.display(), number + 1);
        match state::parse(line, &name) {
            Ok(net) => {
                let (exit, document) = advise(&net, cross, whole);
                impossible |= exit == Exit::Impossible;
                write_line(&mut out, &document)?;
            }
            Err(failure) => {
                bad += 1;
                eprintln!("pairsight: {failure}");
                write_line(&mut out, &ErrorDocument::from(&failure))?;
            }
        }
    }
    out.flush()?;
    Ok(match (bad, impossible) {
        (0, false) => Exit::Done,
        (0, true) => Exit::Impossible,
        _ => Exit::Usage,
    })
}

fn write_line(out: &mut impl Write, document: &impl Serialize) -> Result<(), Failure> {
    serde_json::to_writer(&mut *out, document).map_err(io::Error::other)?;
    out.write_all(b"\n")?;
    Ok(())
}
