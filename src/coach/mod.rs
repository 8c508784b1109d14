//! What a person is told: the situation of a pair, routes with reasons, hints, the next pair, following along.
//!
//! [`advise`] is the way in. Everything is said for one [`Hold`](crate::cube::Hold), the cross down.

mod advice;
mod chains;
mod cross;
mod describe;
mod drill;
mod easiest;
mod edges;
pub mod follow;
mod last_layer;
mod lessons;
mod lifts;
mod pairs;
mod plan;
mod route;
mod short;
mod solution;
mod spot;
mod tell;
#[cfg(test)]
mod tests;
pub mod words;

pub use advice::{Advice, Outcome, Routes, advise, advise_held, advise_pair, cross_colour};
pub use drill::situation_name;
pub use easiest::Easiest;
pub use lessons::{Lesson, lessons, situations};
pub use pairs::{Case, PairAdvice};
pub use route::{Route, Step, Style};
pub use solution::Part;
pub use spot::{Relation, Spot};
