//! What this process has used, where the system tells it.

use std::fs;

/// Milliseconds that processors have worked on this program's threads (Linux's schedstat, in nanoseconds): on a busy machine the
/// clock on the wall says little.
pub fn worked() -> Option<f64> {
    let tasks = fs::read_dir("/proc/self/task").ok()?;
    let times = tasks.map(|task| worked_of(&task.ok()?.path()));
    times.sum()
}

fn worked_of(task: &std::path::Path) -> Option<f64> {
    let text = fs::read_to_string(task.join("schedstat")).ok()?;
    let nanoseconds: f64 = text.split_whitespace().next()?.parse().ok()?;
    Some(nanoseconds / 1e6)
}

/// The same in hundredths of a second, of threads that ended, too.
pub fn worked_in_all() -> Option<f64> {
    let text = fs::read_to_string("/proc/self/stat").ok()?;
    // The name, in brackets, may hold spaces; user and system time are the twelfth and thirteenth words behind it (proc(5)).
    let mut words = text.rsplit_once(')')?.1.split_whitespace().skip(11);
    let mut ticks = || words.next()?.parse::<f64>().ok();
    Some(10.0 * (ticks()? + ticks()?))
}

/// Memory that is resident, MiB.
pub fn resident() -> Option<f64> {
    let status = fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|l| l.strip_prefix("VmRSS:"))?;
    let kib: f64 = line.split_whitespace().next()?.parse().ok()?;
    Some(kib / 1024.0)
}
