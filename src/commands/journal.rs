//! `journal`: what was practised, by one learner or by several side by side.

use std::collections::HashMap;
use std::path::{Path, PathBuf};

use serde::Serialize;

use super::args::JournalArgs;
use super::files::write_whole;
use crate::coach::words;
use crate::front::outcome::{Ended, Exit, Failure, SCHEMA, print_document, print_prose};
use crate::input::{printable, shown};
use crate::journal::{
    self, Card, Journal, JournalError, Placed, Situation, Tally, cards, habits, tally, worst,
};
use crate::paper::{self, Learner};

/// What is printed with `--json`.
#[derive(Serialize)]
struct JournalDocument {
    schema: u32,
    outcome: &'static str,
    say: String,
    learners: Vec<Record>,
}

#[derive(Serialize)]
struct Record {
    name: String,
    seen: usize,
    solved_without_help: usize,
    /// What goes worst, by name.
    worst: Option<String>,
    /// What stands out, in sentences.
    habits: Vec<String>,
    situations: Vec<Row>,
}

#[derive(Serialize)]
struct Row {
    #[serde(flatten)]
    tally: Tally,
    /// When it should be practised again, in seconds since 1970, UTC.
    due: Option<i64>,
}

/// Prints the journals, and writes the page where it is asked for.
pub fn run(args: &JournalArgs) -> Ended {
    let learners = learners(&args.journal)?;
    let records: Vec<Record> = learners.iter().map(record).collect();
    let say = say(&records);
    if let Some(path) = &args.html {
        write_whole(path, paper::journal(&learners).as_bytes())?;
    }
    if args.json {
        print_document(&JournalDocument {
            schema: SCHEMA,
            outcome: "journal",
            say,
            learners: records,
        })?;
    } else {
        print_prose(&format!("{say}{}", rows(&records)))?;
    }
    Ok(Exit::Done)
}

/// One's own journal as a page.
///
/// # Errors
/// When the file is no journal.
pub fn page(file: Option<&Path>) -> Result<String, Failure> {
    Ok(paper::journal(&[own(file.map(Path::to_owned))?]))
}

/// A journal that cannot be used, as a malformed file.
pub fn refused(error: &JournalError) -> Failure {
    Failure::usage(error.to_string()).remedy(error.remedy())
}

fn learners(files: &[PathBuf]) -> Result<Vec<Learner>, Failure> {
    if files.is_empty() {
        return Ok(vec![own(journal::default_path())?]);
    }
    let read = |(path, name): (&PathBuf, String)| learner(path, name);
    files.iter().zip(names(files)).map(read).collect()
}

/// One's own practice; the journal is not there before the first.
fn own(file: Option<PathBuf>) -> Result<Learner, Failure> {
    let name = String::from("you");
    match file.filter(|path| path.exists()) {
        Some(path) => learner(&path, name),
        None => Ok(Learner {
            name,
            attempts: Vec::new(),
            paces: Vec::new(),
        }),
    }
}

fn learner(path: &Path, name: String) -> Result<Learner, Failure> {
    Ok(Learner {
        name,
        attempts: Journal::read(path).map_err(|error| refused(&error))?,
        paces: Journal::paces(path).map_err(|error| refused(&error))?,
    })
}

/// Each file's name without its ending; the whole path where two would be the same.
fn names(files: &[PathBuf]) -> Vec<String> {
    let short = |path: &Path| {
        let stem = path.file_stem().unwrap_or(path.as_os_str());
        printable(&stem.to_string_lossy())
    };
    let mut uses: HashMap<String, usize> = HashMap::new();
    files
        .iter()
        .for_each(|path| *uses.entry(short(path)).or_default() += 1);
    files
        .iter()
        .map(|path| match uses.get(&short(path)) {
            Some(1) => short(path),
            _ => shown(path),
        })
        .collect()
}

fn record(learner: &Learner) -> Record {
    let attempts = &learner.attempts;
    let cards = cards(attempts);
    let all: Vec<Placed> = Placed::all().collect();
    let due = |situation| match situation {
        Situation::Placed(placed) => cards.get(&placed).map(Card::due),
        Situation::Trapped(_) => None,
    };
    let row = |tally: Tally| Row {
        due: due(tally.situation),
        tally,
    };
    Record {
        name: learner.name.clone(),
        seen: attempts.len(),
        solved_without_help: attempts.iter().filter(|a| a.unhelped()).count(),
        worst: worst(attempts, &all).map(|placed| placed.to_string()),
        habits: habits(attempts),
        situations: tally(attempts).into_iter().map(row).collect(),
    }
}

fn say(records: &[Record]) -> String {
    let one = |record: &Record| {
        if record.seen == 0 {
            return format!("{}: nothing was practised yet.", record.name);
        }
        let worst = record.worst.as_ref().map_or_else(String::new, |worst| {
            format!(" What goes worst is “{worst}”.")
        });
        let habits: String = record.habits.iter().map(|one| format!(" {one}")).collect();
        format!(
            "{}: {} met, {} solved without help.{worst}{habits}",
            record.name,
            match record.seen {
                1 => "one pair".into(),
                seen => format!("{seen} pairs"),
            },
            record.solved_without_help
        )
    };
    records.iter().map(one).collect::<Vec<_>>().join("\n")
}

/// Situation by situation, a line for each learner who met it.
fn rows(records: &[Record]) -> String {
    let mut text = String::new();
    for situation in Situation::all() {
        let of = |record: &Record| {
            let row = record
                .situations
                .iter()
                .find(|row| row.tally.situation == situation)?;
            Some(line(&record.name, &row.tally))
        };
        let lines: Vec<String> = records.iter().filter_map(of).collect();
        if !lines.is_empty() {
            let name = words::sentence(&situation.to_string());
            text.push_str(&format!("\n\n{name}\n{}", lines.join("\n")));
        }
    }
    text
}

fn line(name: &str, tally: &Tally) -> String {
    format!(
        "  {name}: seen {}, solved without help {}; {}; {}; {}",
        tally.seen,
        tally.solved_without_help,
        tally.turns.told(),
        tally.hints_told(),
        tally.slips_told()
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn learners_are_told_apart_by_file_or_by_folder() {
        let files = ["a/ana.sqlite", "b/journal.sqlite", "c/journal.sqlite"].map(PathBuf::from);
        assert_eq!(
            names(&files),
            ["ana", "b/journal.sqlite", "c/journal.sqlite"]
        );
    }
}
