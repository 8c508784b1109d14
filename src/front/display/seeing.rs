//! The practice of seeing as the page shows it.

use crate::front::seeing::{ANSWERS, Seeing};
use crate::page::{self, Drawing};

/// The pair that is to be seen.
pub fn drawing(seeing: &Seeing) -> Drawing {
    Drawing {
        stickers: seeing.stickers(),
        from_left: seeing.is_from_left(),
        description: seeing.hold().into(),
    }
}

/// What can be answered.
pub fn answers(seeing: &Seeing) -> page::Seeing {
    page::Seeing {
        answers: ANSWERS.map(|(name, _)| name),
        chosen: seeing.answers().map(|(chosen, _)| chosen),
        right: seeing.answers().map(|(_, right)| right),
    }
}

/// How it goes so far, or how to answer.
pub fn waiting(seeing: &Seeing) -> String {
    let how = || "Say it without turning: by a key from 1 to 4, or a button.".into();
    seeing.tally().say().unwrap_or_else(how)
}
