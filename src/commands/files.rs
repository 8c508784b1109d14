//! Files that the person asked for.

use std::path::Path;

use crate::files::save;
use crate::front::outcome::Failure;
use crate::input::shown;

/// Writes a file whole or not at all, and makes its folder.
pub fn write_whole(path: &Path, content: &[u8]) -> Result<(), Failure> {
    save(path, content).map_err(|error| {
        Failure::failed(format!("{}: {error}", shown(path)))
            .remedy("give a place that can be written")
    })
}
