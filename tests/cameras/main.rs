//! The live loop on films: with cameras that behave badly, and how soon it answers.

mod faults;
mod film;
#[path = "../harness/films.rs"]
mod films;
mod quick;
mod unplugged;
