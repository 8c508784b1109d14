//! `advise`: what to do next with a cube, and why.

use std::io::{self, BufWriter, Write};
use std::path::Path;

use serde::Serialize;

use super::args::AdviseArgs;
use super::state::{self, Given, print_in, write_in};
use crate::coach::{self, Advice, Level, Outcome, Route, Style, english, words};
use crate::cube::Fault;
use crate::front::outcome::{
    Ended, ErrorDocument, Exit, SCHEMA, print_aside, print_prose, write_document,
};
use crate::input::shown;

/// What is printed for one cube.
#[derive(Serialize)]
#[serde(untagged)]
enum AdviceDocument {
    Advice(Box<Advice>),
    Impossible {
        schema: u32,
        outcome: &'static str,
        say: String,
        faults: Vec<Fault>,
    },
}

/// Advises on one cube, or on a file of them.
pub fn run(args: &AdviseArgs) -> Ended {
    if let Some(file) = &args.states.batch {
        return batch(file, args);
    }
    let given = state::given(args.states.net.as_deref(), args.states.scramble.as_deref())?;
    let (exit, document) = advise(&given, args);
    if args.json {
        print_in(given.scheme, &document)?;
    } else {
        print_prose(&given.scheme.in_words(&prose(&document)))?;
    }
    Ok(exit)
}

/// Advice on the usual cube with the same pieces.
fn advise(given: &Given, args: &AdviseArgs) -> (Exit, AdviceDocument) {
    let level = Level::numbered(args.level).unwrap_or_default();
    let cross = args.cross.map(|colour| given.scheme.usual(colour));
    match given.net.to_cube() {
        Ok(cube) => (
            Exit::Done,
            AdviceDocument::Advice(Box::new(coach::advise_at(&cube, cross, level, args.whole))),
        ),
        Err(faults) => {
            let say = state::told(&faults);
            (
                Exit::Impossible,
                AdviceDocument::Impossible {
                    schema: SCHEMA,
                    outcome: "impossible",
                    say,
                    faults,
                },
            )
        }
    }
}

/// One net a line in, one document a line out. A bad line does not stop the run; the exit code remembers it.
fn batch(file: &Path, args: &AdviseArgs) -> Ended {
    let bytes = state::bytes(file)?;
    let mut out = BufWriter::new(io::stdout().lock());
    let mut bad = 0usize;
    let mut impossible = false;
    for (number, line) in bytes
        .split(|byte| *byte == b'\n')
        .enumerate()
        .filter(|(_, line)| !line.trim_ascii().is_empty())
    {
        let name = format!("{} line {}", shown(file), number + 1);
        let given = state::decoded(line, &name).and_then(|line| state::parse(line, &name));
        match given {
            Ok(given) => {
                let (exit, document) = advise(&given, args);
                impossible |= exit == Exit::Impossible;
                write_in(given.scheme, &mut out, &document)?;
            }
            Err(failure) => {
                bad += 1;
                print_aside(format_args!("pairsight: {failure}"));
                write_document(&mut out, &ErrorDocument::from(&failure))?;
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

/// The advice as a person reads it: what comes next, the question and the four hints, and the steps of each route.
fn prose(document: &AdviceDocument) -> String {
    let advice = match document {
        AdviceDocument::Impossible { say, .. } => return say.clone(),
        AdviceDocument::Advice(advice) => advice,
    };
    let mut text = english::text(&advice.say);
    if advice.outcome == Outcome::Solved {
        return text;
    }
    text.push_str(&format!(
        "\n{}\n",
        words::hold(advice.hold.down(), advice.hold.front())
    ));
    for (number, rung) in advice.rungs.iter().enumerate() {
        text.push_str(&format!("\n{number}. {}", english::text(&rung.text())));
    }
    if let Some(ahead) = &advice.ahead {
        text.push_str(&format!("\n{}", english::text(&ahead.say)));
    }
    let routes = advice.routes();
    for (i, route) in routes.iter().enumerate() {
        let same = |other: &Route| other.moves == route.moves;
        if routes[..i].iter().any(same) {
            continue;
        }
        let name = match (route.style, routes[i + 1..].iter().any(same)) {
            (Style::Plain, true) => "The plain route, which is the shortest, too",
            (Style::Plain, false) if i == 0 => "The plain route",
            (Style::Plain, false) => "Another reasoned route",
            (Style::Short, _) => "The short route",
        };
        let idea = english::text(&route.idea);
        text.push_str(&format!("\n\n{name}, {}:\n{idea}", route.moves));
        for step in &route.steps {
            let [say, why] = [&step.say, &step.why].map(english::text);
            text.push_str(&format!("\n- {say} {why}"));
        }
        text.push_str(&format!("\n{}", english::text(&route.look_for)));
    }
    for part in advice.solution.iter().flatten() {
        let slot = part
            .slot
            .as_deref()
            .map(|slot| format!(" {slot}"))
            .unwrap_or_default();
        text.push_str(&format!("\n{}{slot}: {}", part.stage, part.moves));
    }
    text
}
