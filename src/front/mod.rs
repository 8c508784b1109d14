//! What stands between the loop and a person: the terminal, the screen, the journal's keeper, what is practised, and how it all
//! ends. The commands put these together.

pub mod clock;
pub mod display;
pub mod exercise;
pub mod interrupt;
pub mod outcome;
pub mod recorder;
pub mod seeing;
pub mod terminal;

pub use outcome::Exit;
