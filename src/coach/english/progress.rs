//! What was gained and lost, and praise for it.

use super::super::saying::{Praise, ProgressSaying, SolvedParts};
use super::words;

pub fn sentence(saying: &ProgressSaying) -> String {
    match saying {
        ProgressSaying::In(parts) => format!("{}.", are_in(parts)),
        ProgressSaying::InInstead(parts) => format!(
            "{}: another pair than I had in mind, and right.",
            are_in(parts)
        ),
        ProgressSaying::CrossWhole(cross) => format!("The {} cross is whole.", cross.name()),
        ProgressSaying::CrossWholeAnd(pairs) => format!(
            "The {} cross is whole, and {} {} in.",
            pairs.cross.name(),
            words::list(&pairs.names()),
            is(pairs)
        ),
        ProgressSaying::CrossApart(cross) => format!("The {} cross came apart.", cross.name()),
        ProgressSaying::CrossApartAnd(pairs) => format!(
            "The {} cross came apart, and {} came out.",
            pairs.cross.name(),
            words::list(&pairs.names())
        ),
        ProgressSaying::CameOut(pairs) => {
            format!(
                "{} came out.",
                words::sentence(&words::list(&pairs.names()))
            )
        }
    }
}

fn are_in(parts: &SolvedParts) -> String {
    let names = words::sentence(&words::list(&parts.names()));
    format!("{names} {} in", is(parts))
}

fn is(parts: &SolvedParts) -> &'static str {
    match parts.names().len() {
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
