//! `inspect`: what state a cube is in, and whether it can be solved.

use std::collections::BTreeMap;

use serde::Serialize;

use super::args::InspectArgs;
use super::state::{self, print_in};
use crate::coach::cross_colour;
use crate::cube::{Colour, Cube, Fault, Net};
use crate::front::outcome::{Ended, Exit, SCHEMA, print_prose};
use crate::solve::{self, Stage};

#[derive(Serialize)]
struct StateDocument {
    schema: u32,
    outcome: &'static str,
    say: String,
    net: Net,
    #[serde(flatten)]
    progress: Option<Progress>,
    faults: Vec<Fault>,
}

#[derive(Serialize)]
struct Progress {
    stage: Stage,
    cross: BTreeMap<Colour, Cross>,
    cross_colour: Colour,
    pairs_solved: Vec<String>,
}

#[derive(Serialize)]
struct Cross {
    solved: bool,
    /// The fewest turns, half-turn metric.
    turns: u8,
}

/// Says what state a cube is in. A cube that cannot be is an answer too, with all its faults.
pub fn run(args: &InspectArgs) -> Ended {
    let given = state::given(args.state.net.as_deref(), args.state.scramble.as_deref())?;
    let cross = args.cross.map(|colour| given.scheme.usual(colour));
    let (exit, document) = match given.net.to_cube() {
        Ok(cube) => (Exit::Done, legal(&cube, cross)),
        Err(faults) => (Exit::Impossible, impossible(given.net, faults)),
    };
    if args.json {
        print_in(given.scheme, &document)?;
    } else {
        print_prose(&given.scheme.in_words(&document.say))?;
    }
    Ok(exit)
}

fn legal(cube: &Cube, cross: Option<Colour>) -> StateDocument {
    let cross_colour = cross.unwrap_or_else(|| cross_colour(cube, Colour::White));
    let progress = Progress {
        stage: solve::stage(cube, cross_colour),
        cross: Colour::ALL
            .into_iter()
            .map(|colour| {
                let turns = solve::cross_turns(cube, colour);
                (
                    colour,
                    Cross {
                        solved: turns == 0,
                        turns,
                    },
                )
            })
            .collect(),
        cross_colour,
        pairs_solved: solve::pairs_solved(cube, cross_colour)
            .iter()
            .map(|slot| slot.name(cross_colour))
            .collect(),
    };
    StateDocument {
        schema: SCHEMA,
        outcome: "legal",
        say: say(&progress),
        net: Net::of(cube),
        progress: Some(progress),
        faults: vec![],
    }
}

fn impossible(net: Net, faults: Vec<Fault>) -> StateDocument {
    StateDocument {
        schema: SCHEMA,
        outcome: "impossible",
        say: state::told(&faults),
        net: net.normalised().unwrap_or(net),
        progress: None,
        faults,
    }
}

fn say(progress: &Progress) -> String {
    let cross = progress.cross_colour.name();
    let pairs = match progress.pairs_solved.as_slice() {
        [] => "no pair is in its slot yet".to_owned(),
        [one] => format!("the {one} pair is in its slot"),
        [most @ .., last] => format!(
            "the pairs {} and {last} are in their slots",
            most.join(", ")
        ),
    };
    match progress.stage {
        Stage::Solved => "The cube is solved.".into(),
        Stage::LastLayer => {
            format!("The first two layers on the {cross} cross are done; the last layer is next.")
        }
        Stage::Pairs => format!("The {cross} cross is done; {pairs}."),
        Stage::Cross => {
            let turns = progress.cross[&progress.cross_colour].turns;
            let (easiest, fewest) = progress
                .cross
                .iter()
                .min_by_key(|(_, cross)| cross.turns)
                .map_or((cross, turns), |(colour, cross)| {
                    (colour.name(), cross.turns)
                });
            let shorter = if fewest < turns {
                format!(" The {easiest} cross would take {}.", turn_count(fewest))
            } else {
                String::new()
            };
            format!(
                "The {cross} cross is {} from done; {pairs}.{shorter}",
                turn_count(turns)
            )
        }
    }
}

fn turn_count(turns: u8) -> String {
    if turns == 1 {
        "1 turn".into()
    } else {
        format!("{turns} turns")
    }
}
