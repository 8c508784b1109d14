//! What was gained and lost, and praise for it.

use super::super::saying::{Pairs, Praise, ProgressSaying};
use super::colours::Colours;
use super::words;

pub fn sentence(saying: &ProgressSaying, colours: Colours) -> String {
    match saying {
        ProgressSaying::In(parts) => format!("{}.", are_in(parts, colours)),
        ProgressSaying::InInstead(parts) => format!(
            "{}: another pair than I had in mind, and right.",
            are_in(parts, colours)
        ),
        ProgressSaying::CrossWhole(cross) => {
            format!("The {} cross is whole.", colours.name(*cross))
        }
        ProgressSaying::CrossWholeAnd(pairs) => format!(
            "The {} cross is whole, and {} {} in.",
            colours.name(pairs.cross),
            names(pairs, colours),
            is(pairs)
        ),
        ProgressSaying::CrossApart(cross) => {
            format!("The {} cross came apart.", colours.name(*cross))
        }
        ProgressSaying::CrossApartAnd(pairs) => format!(
            "The {} cross came apart, and {} came out.",
            colours.name(pairs.cross),
            names(pairs, colours)
        ),
        ProgressSaying::CameOut(pairs) => {
            format!("{} came out.", words::sentence(&names(pairs, colours)))
        }
    }
}

fn are_in(pairs: &Pairs, colours: Colours) -> String {
    let names = words::sentence(&names(pairs, colours));
    format!("{names} {} in", is(pairs))
}

fn names(pairs: &Pairs, colours: Colours) -> String {
    let name = |slot| colours.pair(slot, pairs.cross);
    words::list(&pairs.slots.iter().map(name).collect::<Vec<_>>())
}

fn is(pairs: &Pairs) -> &'static str {
    match pairs.slots.len() {
        1 => "is",
        _ => "are",
    }
}

pub fn praise(praise: Praise) -> String {
    match praise {
        Praise::UnaidedAndFewer(n) => format!(
            "Without help, and {} fewer than last time.",
            words::turn_count(n)
        ),
        Praise::Unaided => "All by yourself.".into(),
        Praise::Fewer(n) => format!(
            "{} fewer than last time.",
            words::sentence(&words::turn_count(n))
        ),
        Praise::FoundTheTurns => "And you found the turns yourself.".into(),
    }
}
