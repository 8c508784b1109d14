//! Tests of what the coach says, over all cases of a pair and many whole states.

mod follow;
mod method;
mod said;
mod stages;
mod truth;
mod uses;
