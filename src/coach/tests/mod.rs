//! Tests of what the coach says, over all cases of a pair and many whole states.

mod drill;
mod exhaustive;
mod fixture;
mod follow;
mod reader;
mod stages;
mod uses;
mod words;
