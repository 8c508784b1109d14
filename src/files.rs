//! Files that are written whole or not at all.

use std::fs;
use std::io::{self, Write};
use std::path::Path;

/// Writes a file beside its place, waits until the disk has it, and moves it there: whoever reads it, even after the
/// power failed, sees the old one or the new one and never a half. Makes its folder.
pub fn save(path: &Path, content: &[u8]) -> io::Result<()> {
    let folder = match path.parent() {
        Some(folder) if folder != Path::new("") => folder,
        _ => Path::new("."),
    };
    fs::create_dir_all(folder)?;
    let mut beside = ordinary().tempfile_in(folder)?;
    beside.write_all(content)?;
    beside.as_file().sync_all()?;
    beside.persist(path)?;
    Ok(())
}

/// A temporary file with the rights of an ordinary one, since it becomes one that others may read.
fn ordinary() -> tempfile::Builder<'static, 'static> {
    #[allow(unused_mut, reason = "rights are set where the system has them")]
    let mut builder = tempfile::Builder::new();
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // The system takes off what the user's mask forbids.
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    builder
}
