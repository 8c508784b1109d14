//! The live loop on films: with cameras that behave badly, and how soon it answers.

mod faults;
mod film;
mod quick;
mod script;
mod unplugged;
