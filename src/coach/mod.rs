//! What a person is told: the situation of a pair, routes with reasons, hints, the next pair, following along.
//!
//! [`advise`] is the way in. Everything is said for one [`Hold`](crate::cube::Hold), the cross down.
//!
//! What is said is typed: a [`Saying`] has terms of the cube in its fields, and [`english`] alone makes sentences of it; another
//! language is another folder beside that. The tests' reader, which knows nothing of either, looks for all of it on the stickers. A shorter way is told after the pair: before
//! it, it would be one thing more to follow.

mod advice;
mod cross;
mod describe;
mod easiest;
mod edges;
pub mod english;
pub mod follow;
mod ideas;
mod ladder;
mod last_layer;
mod lessons;
mod level;
mod lifts;
mod method;
mod pairs;
mod practice;
mod progress;
mod route;
pub mod saying;
mod see;
mod short;
mod solution;
mod spot;
mod tell;
#[cfg(test)]
mod tests;

pub use crate::solve::Style;
pub use advice::{Advice, Ahead, Outcome, Routes, advise, advise_at, advise_held, cross_colour};
pub use easiest::Easiest;
pub use english::words;
pub use ideas::Idea;
pub use ladder::{Group, Marks, RUNGS, Rung};
pub use lessons::{Lesson, example, lessons, seen};
pub use level::Level;
pub use method::{COUNT as SIGHTS, Hand, number as sight_number, relation as sight_relation};
pub use pairs::{Case, PairAdvice};
pub use practice::blind_setup;
pub use progress::{Doing, Progress};
pub use route::{Route, Step};
pub use saying::{Saying, Text};
pub use see::Sight;
pub use solution::Part;
pub use spot::{Relation, Spot};
