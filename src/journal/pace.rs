//! Where the time of a solve went: for each part of it the seconds of looking and of turning. Kept beside the journal, one JSON
//! document a line, so that a program that is killed loses a part at most.

use std::fs::{File, OpenOptions};
use std::io::{self, BufRead, BufReader, Write};
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use crate::cube::Net;

/// Longest line that is read, bytes; one part takes some five hundred.
const LONGEST: usize = 1 << 16;

/// One part of a solve: the cross, a pair, or the last layer.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Pace {
    /// When the solve began, seconds since 1970, UTC.
    pub solve: i64,
    /// `cross`, the slots by name, or `last layer`.
    pub part: String,
    /// Seconds from the part's beginning to its first turn, and of pauses between turns.
    pub looking: f64,
    /// Seconds of turning.
    pub turning: f64,
    pub turns: u32,
    /// The fewest that would do, where the coach knew.
    pub fewest: Option<u32>,
    /// Turns of the whole cube.
    pub rotations: u32,
    /// Pauses between turns.
    pub pauses: u32,
    /// The longest time without a turn, seconds, and the cube as it was then.
    pub longest_look: f64,
    pub looked_at: Option<Net>,
    /// When that look began, seconds of the stream.
    pub look_began: f64,
    /// Every turn was seen; else the parts of the time are a guess.
    pub watched: bool,
}

/// Where the times of a journal are kept.
pub fn paces_of(journal: &Path) -> PathBuf {
    journal.with_extension("solves.jsonl")
}

/// Adds a part to those that are kept.
///
/// # Errors
/// Where the file cannot be written.
pub fn keep_pace(file: &Path, pace: &Pace) -> io::Result<()> {
    let line = serde_json::to_string(pace)? + "\n";
    let mut out = OpenOptions::new().create(true).append(true).open(file)?;
    out.write_all(line.as_bytes())
}

/// All parts that are kept, oldest first; none where there is no file. A line that cannot be read, such as one cut short, is left out.
///
/// # Errors
/// Where the file is there and cannot be read.
pub fn read_paces(file: &Path) -> io::Result<Vec<Pace>> {
    let file = match File::open(file) {
        Ok(file) => file,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(error) => return Err(error),
    };
    let lines = BufReader::new(file).lines().map_while(Result::ok);
    let short = lines.filter(|line| line.len() < LONGEST);
    Ok(short
        .filter_map(|line| serde_json::from_str(&line).ok())
        .collect())
}

/// The parts of the last solve.
pub fn last_solve(paces: &[Pace]) -> &[Pace] {
    let Some(last) = paces.last() else { return &[] };
    let first = paces.iter().rposition(|pace| pace.solve != last.solve);
    &paces[first.map_or(0, |at| at + 1)..]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pace(solve: i64, part: &str) -> Pace {
        Pace {
            solve,
            part: part.into(),
            looking: 2.5,
            turning: 3.0,
            turns: 7,
            fewest: Some(6),
            rotations: 1,
            pauses: 1,
            longest_look: 1.5,
            looked_at: None,
            look_began: 0.0,
            watched: true,
        }
    }

    #[test]
    fn a_line_cut_short_costs_no_other() {
        let folder = tempfile::tempdir().expect("a folder");
        let file = paces_of(&folder.path().join("journal.sqlite"));
        assert_eq!(read_paces(&file).expect("nothing yet"), []);
        let all = [pace(1, "cross"), pace(2, "cross"), pace(2, "green-red")];
        all.iter()
            .for_each(|one| keep_pace(&file, one).expect("room"));
        let mut text = std::fs::read_to_string(&file).expect("kept");
        text.push_str("{\"solve\":3,\"pa");
        std::fs::write(&file, text).expect("room");
        let read = read_paces(&file).expect("kept");
        assert_eq!(read, all);
        assert_eq!(last_solve(&read), &all[1..]);
    }
}
