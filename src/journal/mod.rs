//! What a learner has practised: the situations of a slot by name, the journal on disk, and what it tells.
//!
//! A [`Journal`] is written while coaching goes on, one transaction an event. [`tally`] sums attempts up, [`schedule`]
//! says what to practise next, and [`page`] shows it all. A coach reads the journals of several learners.

mod attempt;
mod pace;
mod page;
mod schedule;
mod situation;
mod store;
mod tally;
#[cfg(test)]
mod testing;

pub use attempt::{Attempt, Event, Start};
pub use pace::{Pace, keep_pace, last_solve, paces_of, read_paces};
pub use page::{Learner, page};
pub use schedule::{Card, cards, next_due, worst};
pub use situation::{Placed, Situation, Trapped, matching};
pub use store::{AttemptId, Cause, Journal, JournalError, default_path};
pub use tally::{Tally, tally};
