//! Where practice is kept, and what was kept there before.

use std::path::PathBuf;

use super::args::KeepArgs;
use crate::journal::{self, Attempt, Journal, JournalError};

/// The file asked for, or the user's own; none where nothing is to be kept or there is no place for it.
pub fn place(keep: &KeepArgs) -> Option<PathBuf> {
    match &keep.journal {
        _ if keep.no_journal => None,
        Some(path) => Some(path.clone()),
        None => journal::default_path(),
    }
}

/// The same for what is watched now. A replay is nobody's practice: it is kept only in a journal that was named.
pub fn place_of(keep: &KeepArgs, replay: bool) -> Option<PathBuf> {
    place(keep).filter(|_| !replay || keep.journal.is_some())
}

/// What was practised before; nothing where there is no journal yet.
///
/// # Errors
/// Where it cannot be read.
pub fn practised(keep: &KeepArgs) -> Result<Vec<Attempt>, JournalError> {
    let path = place(keep).filter(|path| path.exists());
    path.map_or_else(|| Ok(Vec::new()), |path| Journal::read(&path))
}
