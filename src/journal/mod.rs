//! What a learner has practised: the situations of a slot by name, the journal on disk, and what it tells.
//!
//! A [`Keeper`] writes a [`Journal`] while coaching goes on, one transaction an event. [`tally`] sums attempts up, [`schedule`]
//! says what to practise next. A coach reads the journals of several learners.

mod attempt;
mod habits;
mod keeper;
mod level;
mod pace;
mod schedule;
mod situation;
mod store;
mod tally;
#[cfg(test)]
pub(crate) mod testing;

pub use attempt::{Attempt, Event, Start};
pub use habits::habits;
pub use keeper::{Keeper, Ticket};
pub use level::{opened, opens};
pub use pace::{CROSS, Pace, last_solve};
pub use schedule::{Card, cards, next_due, worst};
pub use situation::{Placed, Situation, Trapped, matching};
pub use store::{AttemptId, Cause, Journal, JournalError, default_path};
pub use tally::{Tally, tally};
