//! Tests of what the coach says, over all cases of a pair and many whole states.

mod fixture;
mod follow;
mod method;
mod reader;
mod stages;
mod truth;
mod uses;
mod words;
