//! Plain files only, and no more of them than their kind may have.

use std::fmt;
use std::fs::{self, File, OpenOptions};
use std::io::{self, Read};
use std::path::Path;

const MIB: u64 = 1 << 20;

/// What a file is read as; it says how large it may be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// One picture. The largest of 48 megapixels have about 100 MiB.
    Picture,
    /// A colour profile. One of six faces under one light has about 20 KiB.
    Profile,
    /// Nets as JSON, one or a line each; one has about a kilobyte.
    Nets,
}

impl Kind {
    /// The most bytes that a file of this kind may have.
    pub const fn most(self) -> u64 {
        match self {
            Kind::Picture => 256 * MIB,
            Kind::Profile => 4 * MIB,
            Kind::Nets => 16 * MIB,
        }
    }
}

/// Why a file is not read.
#[derive(Debug)]
pub enum Fault {
    /// The system does not give it.
    Io(io::Error),
    /// A folder, a device, a pipe or the like.
    NotAFile,
    /// More bytes than its kind may have.
    TooLarge(Kind),
    /// Not UTF-8.
    NotText,
}

impl Fault {
    /// The system has no handle or no memory left to open it with: the same file may be opened a moment later.
    pub fn is_shortage(&self) -> bool {
        matches!(self, Fault::Io(error) if is_shortage(error))
    }

    /// What to do about it.
    pub fn remedy(&self) -> &'static str {
        match self {
            Fault::Io(e) if e.kind() == io::ErrorKind::NotFound => "check the name and the folder",
            Fault::Io(e) if e.kind() == io::ErrorKind::PermissionDenied => {
                "change the permissions, or copy it to a place of your own"
            }
            Fault::Io(e) if is_shortage(e) => "close other programs and try again",
            Fault::Io(_) => "copy it again from where it came from",
            Fault::NotAFile => "give the name of a plain file",
            Fault::TooLarge(_) | Fault::NotText => "check that it is the file that you mean",
        }
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Fault::Io(e) if e.kind() == io::ErrorKind::NotFound => {
                write!(f, "no such file or folder")
            }
            Fault::Io(e) if e.kind() == io::ErrorKind::PermissionDenied => {
                write!(f, "not allowed to read it")
            }
            Fault::Io(e) if is_shortage(e) => write!(f, "too many files are open at the moment"),
            Fault::Io(e) => write!(f, "it cannot be read ({e})"),
            Fault::NotAFile => write!(f, "not a file"),
            Fault::TooLarge(kind) => {
                write!(
                    f,
                    "larger than {} MiB, the most for its kind",
                    kind.most() / MIB
                )
            }
            Fault::NotText => write!(f, "not text in UTF-8"),
        }
    }
}

impl std::error::Error for Fault {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match self {
            Fault::Io(error) => Some(error),
            _ => None,
        }
    }
}

impl From<io::Error> for Fault {
    fn from(error: io::Error) -> Fault {
        Fault::Io(error)
    }
}

#[cfg(unix)]
fn is_shortage(error: &io::Error) -> bool {
    matches!(error.raw_os_error(), Some(libc::EMFILE | libc::ENFILE))
}

#[cfg(not(unix))]
fn is_shortage(error: &io::Error) -> bool {
    // ERROR_TOO_MANY_OPEN_FILES of Windows.
    error.raw_os_error() == Some(4)
}

/// Opens a plain file for reading. Never waits: a pipe or a device is refused, not opened.
///
/// # Errors
/// [`Fault::NotAFile`] and [`Fault::Io`].
pub fn open(path: &Path) -> Result<File, Fault> {
    // Looked at before it is opened, as opening some devices has effects; and after, as the name may mean another file by then.
    if !fs::metadata(path)?.is_file() {
        return Err(Fault::NotAFile);
    }
    let file = without_waiting().read(true).open(path)?;
    if !file.metadata()?.is_file() {
        return Err(Fault::NotAFile);
    }
    Ok(file)
}

fn without_waiting() -> OpenOptions {
    #[allow(unused_mut, reason = "only some systems wait when a pipe is opened")]
    let mut options = OpenOptions::new();
    #[cfg(unix)]
    {
        use std::os::unix::fs::OpenOptionsExt;
        options.custom_flags(libc::O_NONBLOCK);
    }
    options
}

/// All bytes of a plain file.
///
/// # Errors
/// Those of [`open`]; [`Fault::TooLarge`] before anything is read.
pub fn read(path: &Path, kind: Kind) -> Result<Vec<u8>, Fault> {
    let file = open(path)?;
    if file.metadata()?.len() > kind.most() {
        return Err(Fault::TooLarge(kind));
    }
    limited(file, kind)
}

/// All text of a plain file.
///
/// # Errors
/// Those of [`read`], and [`Fault::NotText`].
pub fn text(path: &Path, kind: Kind) -> Result<String, Fault> {
    String::from_utf8(read(path, kind)?).map_err(|_| Fault::NotText)
}

/// All bytes of a stream whose size nobody tells, such as standard input, up to what the kind may have.
///
/// # Errors
/// [`Fault::TooLarge`] and [`Fault::Io`].
pub fn limited(stream: impl Read, kind: Kind) -> Result<Vec<u8>, Fault> {
    let mut bytes = Vec::new();
    stream.take(kind.most() + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > kind.most() {
        return Err(Fault::TooLarge(kind));
    }
    Ok(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_as_large_as_its_kind_may_be_is_read_and_a_larger_one_is_not() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("profile.json");
        let file = File::create(&path).expect("room");
        // Holes: no room is taken on the disk.
        file.set_len(Kind::Profile.most()).expect("room");
        assert_eq!(
            read(&path, Kind::Profile).expect("fits").len() as u64,
            Kind::Profile.most()
        );
        file.set_len(Kind::Profile.most() + 1).expect("room");
        assert!(matches!(
            read(&path, Kind::Profile),
            Err(Fault::TooLarge(_))
        ));
        file.set_len(1 << 40).expect("room");
        assert!(matches!(
            read(&path, Kind::Profile),
            Err(Fault::TooLarge(_))
        ));
    }

    #[test]
    fn a_stream_without_end_is_given_up() {
        assert!(matches!(
            limited(io::repeat(0), Kind::Nets),
            Err(Fault::TooLarge(_))
        ));
    }

    #[test]
    fn folders_and_missing_files_are_told() {
        let folder = tempfile::tempdir().expect("a folder");
        assert!(matches!(open(folder.path()), Err(Fault::NotAFile)));
        let missing = open(&folder.path().join("none")).expect_err("none");
        assert_eq!(missing.to_string(), "no such file or folder");
    }

    #[cfg(unix)]
    #[test]
    fn a_link_to_a_device_that_never_ends_is_no_file() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("lamp.json");
        std::os::unix::fs::symlink("/dev/zero", &path).expect("a link");
        assert!(matches!(read(&path, Kind::Profile), Err(Fault::NotAFile)));
    }

    #[cfg(unix)]
    #[test]
    fn a_pipe_that_nobody_writes_keeps_nobody_waiting() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("pipe");
        let made = std::process::Command::new("mkfifo").arg(&path).status();
        assert!(made.expect("mkfifo is there").success());
        assert!(matches!(read(&path, Kind::Profile), Err(Fault::NotAFile)));
        // Where it takes the place of a file between the look and the opening, opening it does not wait either.
        let opened = without_waiting().read(true).open(&path).expect("a pipe");
        assert!(!opened.metadata().expect("open").is_file());
    }
}
