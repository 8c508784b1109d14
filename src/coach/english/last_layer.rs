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
        TopSaying::EdgesUp { top, sides } => edges_up(colours.name(*top), sides),
        TopSaying::CornersUp { top, columns } => corners_up(colours.name(*top), columns),
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

fn edges_up(top: &str, sides: &[Face]) -> String {
    let capital = words::sentence(top);
    let at: Vec<String> = sides.iter().map(|s| words::at_side(*s).into()).collect();
    match sides.len() {
        0 => format!("{capital} is up on none of the four edges."),
        4 => format!("{capital} is up on all four edges."),
        n => format!(
            "{capital} is up on the edge{} {}.",
            plural(n),
            words::list(&at)
        ),
    }
}

fn corners_up(top: &str, columns: &[[Face; 2]]) -> String {
    let capital = words::sentence(top);
    let at: Vec<String> = columns.iter().map(|c| words::column(*c).into()).collect();
    match columns.len() {
        0 => format!("{capital} is up on none of the four corners."),
        4 => format!("{capital} is up on all four corners."),
        n => format!(
            "{capital} is up on the corner{} at the {}.",
            plural(n),
            words::list(&at)
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
