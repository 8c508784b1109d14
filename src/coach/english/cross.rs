//! The cross, edge by edge.

use crate::cube::{Edge, Face};

use super::super::saying::{CrossSaying, Lead};
use super::colours::Colours;
use super::names::edges;
use super::words;

pub fn sentence(saying: &CrossSaying, colours: Colours) -> String {
    match saying {
        CrossSaying::PlannedTogether { cross, turns } => format!(
            "The {} cross in {}, the fewest there are, planned together.",
            colours.name(*cross),
            words::turn_count(*turns)
        ),
        CrossSaying::FindAllFour(cross) => format!(
            "Find the four {} edges before the first turn, and plan all of it.",
            colours.name(*cross)
        ),
        CrossSaying::OneAfterTheOther(cross) => format!(
            "One {} edge after the other comes down; the bottom turns to the centres last.",
            colours.name(*cross)
        ),
        CrossSaying::LookForNearest(cross) => format!(
            "Look for the {} edge that is nearest to its place beside the others.",
            colours.name(*cross)
        ),
        CrossSaying::EachComesToItsCentre => {
            "Now each edge comes to the centre of its side colour.".into()
        }
        CrossSaying::BringDown(some) => format!("Bring {} down.", edges(some, colours)),
        CrossSaying::MoveHome(some) if some.sides.len() == 1 => {
            format!("Move {} to its place.", edges(some, colours))
        }
        CrossSaying::MoveHome(some) => format!("Move {} to their places.", edges(some, colours)),
        CrossSaying::EdgeAt {
            side,
            at,
            cross,
            looks,
        } => {
            let who = side.map_or("It".into(), |side| words::sentence(colours.name(side)));
            let (place, looks) = (place(*at), words::looking(*looks));
            format!("{who} is {place}, {} {looks}.", colours.name(*cross))
        }
        CrossSaying::TurnBottom => "Turn the bottom until each edge meets its centre.".into(),
        CrossSaying::TakeDown { lead, half: true } => {
            format!("{}; half a turn of its side takes it down.", leading(*lead))
        }
        CrossSaying::TakeDown { lead, half: false } => {
            format!(
                "{}; a quarter turn of a side takes it down.",
                leading(*lead)
            )
        }
        CrossSaying::DownInTwo => {
            "One turn brings it to the middle; the next side takes it down.".into()
        }
        CrossSaying::WhereAreTheFour(cross) => {
            format!("Where are the four {} edges?", colours.name(*cross))
        }
        CrossSaying::FindAllFirst => "Find all four before the first turn.".into(),
        CrossSaying::LookFor(some) => format!("Look for {}.", edges(some, colours)),
        CrossSaying::HomeAlready(1) => "One edge is home already.".into(),
        CrossSaying::HomeAlready(n) => format!("{} edges are home already.", capital(*n)),
        CrossSaying::AllDown => "All four are down, in the right order.".into(),
        CrossSaying::BeginWith(some) => {
            format!(
                "Begin with {}: no other takes fewer turns.",
                edges(some, colours)
            )
        }
        CrossSaying::TurnOnlyBottom => "Turn only the bottom.".into(),
        CrossSaying::EachMustMeet => "Each edge must meet its centre.".into(),
        CrossSaying::OrderCounts => {
            "Do not mind the centres yet: only the order of the edges counts.".into()
        }
        CrossSaying::CheckEach => "Check that each edge meets its centre.".into(),
        CrossSaying::Fewest(turns) => {
            format!(
                "It takes {}, and no cross takes fewer.",
                words::turn_count(*turns)
            )
        }
        CrossSaying::Easier { cross, turns, than } => format!(
            "The {} cross would be the easiest: {} instead of {}.",
            colours.name(*cross),
            words::turn_count(*turns),
            words::count(*than)
        ),
        CrossSaying::InOrder(4) => "All its edges are in the right order.".into(),
        CrossSaying::InOrder(n) => format!("{} of its edges are in the right order.", capital(*n)),
        CrossSaying::OneTurnAway { count, more } => one_turn_away(*count, *more),
    }
}

fn capital(n: usize) -> String {
    words::sentence(&words::count(n))
}

fn one_turn_away(count: usize, more: bool) -> String {
    let who = if more { "more" } else { "of its edges" };
    match count {
        1 => format!("One {who} can come down with a single turn."),
        n => format!(
            "{} {who} can come down with a single turn each.",
            capital(n)
        ),
    }
}

fn leading(lead: Lead) -> &'static str {
    match lead {
        Lead::BringPlaceBelow => "Bring its place below it",
        Lead::BringOver => "Bring it over its place",
        Lead::PlaceIsBelow => "Its place is below it",
    }
}

fn place(at: Edge) -> String {
    match at.faces()[0] {
        Face::U | Face::D => words::edge_place(at),
        _ => format!("at the {} of the middle layer", words::slot(at)),
    }
}
