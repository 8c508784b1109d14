//! Writing files whole or not at all.

use std::io::Write;
use std::path::Path;

use super::outcome::Failure;
use crate::input::shown;

/// Writes a file beside its place and moves it there, so that nobody ever sees half of it. Makes its folder.
pub fn write_whole(path: &Path, content: &[u8]) -> Result<(), Failure> {
    let failed = |error: std::io::Error| {
        Failure::failed(format!("{}: {error}", shown(path)))
            .remedy("give a place that can be written")
    };
    let folder = path
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    std::fs::create_dir_all(folder).map_err(failed)?;
    let mut beside = ordinary().tempfile_in(folder).map_err(failed)?;
    beside.write_all(content).map_err(failed)?;
    beside.persist(path).map_err(|error| failed(error.error))?;
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
        builder.permissions(std::fs::Permissions::from_mode(0o666));
    }
    builder
}
