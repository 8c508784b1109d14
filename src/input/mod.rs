//! The one way into the program for files, and for words that came from outside.
//!
//! A file is opened only if it is a plain one, and read only up to what its kind may have: a device, a pipe or a file of
//! gigabytes under the name of a profile costs neither time nor memory. Words of a stranger (a file's name, a camera's,
//! what was typed) are said only as [`printable`] makes them: none of them can steer a terminal or fill a screen.

mod file;
mod words;

pub use file::{Fault, Kind, limited, open, read, text};
pub use words::{MOST_SAID, harmless, printable, printable_within, shown, steers};
