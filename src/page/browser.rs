//! Opens the page in the learner's own browser.

use std::io;
use std::process::{Command, Stdio};
use std::thread;

/// Asks the system to open an address in the usual browser. Success means that the system took the request, not that
/// a page is on the screen, so the address is to be printed as well.
///
/// # Errors
/// When the system has no program for it, as on a machine without a desktop.
pub fn open(address: &str) -> io::Result<()> {
    let (program, arguments): (&str, &[&str]) = if cfg!(target_os = "windows") {
        ("rundll32", &["url.dll,FileProtocolHandler"])
    } else if cfg!(target_os = "macos") {
        ("open", &[])
    } else {
        ("xdg-open", &[])
    };
    let mut child = Command::new(program)
        .args(arguments)
        .arg(address)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()?;
    // Some systems keep it running as long as the browser; waiting elsewhere leaves no dead process behind.
    thread::spawn(move || child.wait());
    Ok(())
}
