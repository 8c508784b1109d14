//! The last layer, look by look.

use crate::cube::{Colour, Face};
use crate::solve::LookGoal;

use super::super::saying::{Few, TopSaying};
use super::colours::Colours;
use super::words;

pub fn sentence(saying: &TopSaying, colours: Colours) -> String {
    match saying {
        TopSaying::OnlyTopIsLeft => "Only the top is left to turn.".into(),
        TopSaying::LooksLeft(1) => "One look is left.".into(),
        TopSaying::LooksLeft(n) => {
            format!("{} looks are left.", words::sentence(&words::count(*n)))
        }
        TopSaying::EdgesUp { top, sides } => {
            let places = sides.iter().map(|side| words::at_side(*side));
            up(colours.name(*top), "edge", "", places)
        }
        TopSaying::CornersUp { top, columns } => {
            let places = columns.iter().map(|column| words::column(*column));
            up(colours.name(*top), "corner", "at the ", places)
        }
        TopSaying::CornersAside(sides) => {
            let sides: Vec<String> = sides.iter().map(|(side, few)| aside(*side, *few)).collect();
            format!("Sideways: {}.", words::list(&sides))
        }
        TopSaying::Twins(sides) => twins(sides),
        TopSaying::RowMatches { row, edge, home } => format!(
            "{} the row matches; the {} edge belongs {}.",
            words::sentence(words::at_side(*row)),
            edge.name(),
            words::at_side(*home)
        ),
        TopSaying::NoEdgeFits { home } => format!(
            "No edge fits its corners; the front edge belongs {}.",
            words::at_side(*home)
        ),
        TopSaying::Rows(rows) => {
            let [front, right, back, left] = rows.map(|(side, row)| top_row(side, colours.at(row)));
            format!("The top rows, from the left: {front}; {right}. And {back}; {left}.")
        }
        TopSaying::InOrder(home) => format!(
            "The top layer is in order; its front row belongs {}.",
            words::at_side(*home)
        ),
        TopSaying::Aim { case, goal, top } => aim(case, *goal, colours.name(*top)),
        TopSaying::WhatDoYouSee(top) => {
            format!("What do you see on the {} side?", colours.name(*top))
        }
        TopSaying::LookAt(goal, top) => look_at(*goal, colours.name(*top)),
        TopSaying::EachSideIsWhole => "Then each side is of one colour.".into(),
    }
}

fn plural(n: usize) -> &'static str {
    if n == 1 { "" } else { "s" }
}

/// Which of the four edges or corners have the top's colour up, `at` these places.
fn up<'a>(top: &str, piece: &str, at: &str, places: impl Iterator<Item = &'a str>) -> String {
    let capital = words::sentence(top);
    let places: Vec<String> = places.map(Into::into).collect();
    match places.len() {
        0 => format!("{capital} is up on none of the four {piece}s."),
        4 => format!("{capital} is up on all four {piece}s."),
        n => format!(
            "{capital} is up on the {piece}{} {at}{}.",
            plural(n),
            words::list(&places)
        ),
    }
}

fn aside(side: Face, few: Few) -> String {
    let count = match few {
        Few::One => "one",
        Few::Two => "two",
    };
    format!("{count} {}", words::at_side(side))
}

fn twins(sides: &[Face]) -> String {
    let at: Vec<String> = sides.iter().map(|s| words::at_side(*s).into()).collect();
    match sides.len() {
        0 => "On no side do the two top corners show the same colour.".into(),
        4 => "On every side the two top corners show the same colour.".into(),
        _ => format!(
            "{} both top corners show one colour.",
            words::sentence(&words::list(&at))
        ),
    }
}

fn top_row(side: Face, colours: [Colour; 3]) -> String {
    let [a, b, c] = colours.map(Colour::name);
    format!("{} {a} {b} {c}", side.name())
}

fn aim(case: &str, goal: LookGoal, top: &str) -> String {
    let case = words::sentence(case);
    match goal {
        LookGoal::EdgesTurned => format!("{case}. Its turns bring {top} up on all four edges."),
        LookGoal::CornersTurned => format!("{case}. Its turns bring {top} up everywhere on top."),
        LookGoal::CornersPlaced => {
            format!("{case}. Its turns swap two corners, and two edges with them.")
        }
        LookGoal::EdgesPlaced => format!("{case}. Its turns bring the top layer into order."),
        LookGoal::Aligned => "Only the top has to turn until each side is of one colour.".into(),
    }
}

fn look_at(goal: LookGoal, top: &str) -> String {
    match goal {
        LookGoal::EdgesTurned => format!("Look at the four top edges: where is {top} on them?"),
        LookGoal::CornersTurned => format!("Look at the four top corners: where is {top} on them?"),
        LookGoal::CornersPlaced => "Look at the top corners from the sides.".into(),
        LookGoal::EdgesPlaced => "Look at the four top edges from the sides.".into(),
        LookGoal::Aligned => "Nearly done: look at the top layer as a whole.".into(),
    }
}
