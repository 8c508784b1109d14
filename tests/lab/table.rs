//! Tables of what was counted, with all that is needed to count it again.

use std::fmt::Write;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::{Instant, SystemTime, UNIX_EPOCH};

use chrono::DateTime;

/// What was counted.
#[derive(Debug, Default)]
pub struct Table {
    /// A short name for its file, such as `solves`.
    pub name: &'static str,
    /// What the numbers are, in a sentence or two.
    pub about: String,
    pub columns: Vec<String>,
    pub rows: Vec<Vec<String>>,
}

impl Table {
    /// A table without rows yet.
    pub fn new(name: &'static str, about: impl Into<String>, columns: &[&str]) -> Table {
        Table {
            name,
            about: about.into(),
            columns: columns.iter().map(ToString::to_string).collect(),
            rows: Vec::new(),
        }
    }

    /// Adds a row; one value a column.
    pub fn row<V: ToString>(&mut self, values: impl IntoIterator<Item = V>) {
        let row: Vec<String> = values.into_iter().map(|v| v.to_string()).collect();
        assert_eq!(row.len(), self.columns.len(), "{row:?}");
        self.rows.push(row);
    }

    /// As Markdown, its columns aligned.
    fn markdown(&self) -> String {
        let width = |at: usize| {
            let cells = self.rows.iter().map(|row| &row[at]);
            let widths = cells.chain([&self.columns[at]]).map(|c| c.chars().count());
            widths.max().unwrap_or(0).max(3)
        };
        let widths: Vec<usize> = (0..self.columns.len()).map(width).collect();
        let line = |cells: &[String]| {
            let padded = cells.iter().zip(&widths).map(|(c, w)| format!("{c:<w$}"));
            format!("| {} |\n", padded.collect::<Vec<_>>().join(" | "))
        };
        let rule: Vec<String> = widths.iter().map(|w| "-".repeat(*w)).collect();
        let rows = self.rows.iter().map(|row| line(row));
        line(&self.columns) + &line(&rule) + &rows.collect::<String>()
    }
}

/// One run of the laboratory.
pub struct Run {
    began: Instant,
    /// Seconds since 1970, UTC.
    when: i64,
}

impl Run {
    pub fn begin() -> Run {
        let since = SystemTime::now().duration_since(UNIX_EPOCH);
        Run {
            began: Instant::now(),
            when: since.map_or(0, |since| since.as_secs() as i64),
        }
    }

    /// The table with when, of what, where and how it was counted.
    pub fn describe(&self, table: &Table) -> String {
        let mut text = format!(
            "# {}: {}\n\n{}\n\n",
            table.name,
            self.date("%Y-%m-%d"),
            table.about
        );
        let facts = [
            ("commit", commit()),
            ("machine", machine()),
            ("command", format!("`{}`", command())),
            (
                "took",
                format!("{:.0} s", self.began.elapsed().as_secs_f64()),
            ),
        ];
        for (name, fact) in facts {
            // Writing to a string cannot fail.
            let _ = writeln!(text, "- {name}: {fact}");
        }
        text + "\n" + &table.markdown()
    }

    /// Keeps a described table in a folder; nothing that is kept there is replaced.
    pub fn keep(&self, table: &Table, text: &str, folder: &Path) -> io::Result<PathBuf> {
        fs::create_dir_all(folder)?;
        let path = folder.join(format!(
            "{}-{}.md",
            self.date("%Y-%m-%d-%H%M%S"),
            table.name
        ));
        fs::write(&path, text)?;
        Ok(path)
    }

    fn date(&self, format: &str) -> String {
        let when = DateTime::from_timestamp(self.when, 0).unwrap_or_default();
        when.format(format).to_string()
    }
}

/// The commit that was built, and whether files differ from it.
fn commit() -> String {
    let git = |words: &[&str]| {
        let ran = Command::new("git").args(words).output().ok()?;
        ran.status
            .success()
            .then(|| String::from_utf8_lossy(&ran.stdout).trim().to_owned())
    };
    let Some(commit) = git(&["rev-parse", "--short=12", "HEAD"]) else {
        return "unknown".into();
    };
    match git(&["status", "--porcelain", "--untracked-files=no"]) {
        Some(changes) if changes.is_empty() => commit,
        _ => format!("{commit}, with changes"),
    }
}

fn machine() -> String {
    let threads = std::thread::available_parallelism().map_or(1, |n| n.get());
    let cpus = fs::read_to_string("/proc/cpuinfo").unwrap_or_default();
    let model = cpus
        .lines()
        .find_map(|line| line.strip_prefix("model name")?.split_once(": "));
    let build = if cfg!(debug_assertions) {
        "development"
    } else {
        "release"
    };
    let model = model.map_or("processor unknown", |(_, name)| name);
    format!("{threads} threads, {model}, {} build", build)
}

/// The words that ran this, less where the program lies.
fn command() -> String {
    let words = std::env::args().skip(1).collect::<Vec<_>>().join(" ");
    format!("cargo run --release --features lab --example lab -- {words}")
}
