//! Pairsight looks at a puzzle cube through a camera and coaches the first two layers, pair by pair.
//!
//! Data flows one way: frame -> look -> sticker evidence -> one legal state -> advice -> telling.
//! A module may use only the modules listed above it here.

mod files;

pub mod input;

pub mod cube;

pub mod solve;

pub mod coach;

pub mod sight;

pub mod colour;

pub mod read;

pub mod camera;

pub mod draw;

pub mod journal;

pub mod paper;

pub mod live;

pub mod page;

mod front;

pub mod commands;

#[cfg(any(test, fuzzing))]
pub mod fuzz;

#[cfg(test)]
mod shape;
