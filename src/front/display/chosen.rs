//! What was chosen on the page, kept for the next time, and the levels that practice has opened.

use std::fs;
use std::path::{Path, PathBuf};

use crate::coach::{Level, english};
use crate::files::save;
use crate::journal::{Attempt, opened, opens};
use crate::page::{Choices, LevelChoice};

/// More than choices ever are; a larger file is something else.
const LARGEST: u64 = 4096;

/// Where choices are kept; none where this system has no folder for that.
pub fn place() -> Option<PathBuf> {
    let folders = directories::ProjectDirs::from("", "", "pairsight")?;
    Some(folders.config_dir().join("choices.json"))
}

/// The choices that were kept. Where there are none, or they cannot be read, the usual ones: nothing depends on them.
pub fn kept(file: &Path) -> Choices {
    if !file.exists() {
        return Choices {
            first: true,
            ..Choices::default()
        };
    }
    let is_small = fs::metadata(file).is_ok_and(|about| about.is_file() && about.len() <= LARGEST);
    let text = is_small.then(|| fs::read(file).ok()).flatten();
    text.and_then(|text| serde_json::from_slice(&text).ok())
        .unwrap_or_default()
}

/// Keeps them.
///
/// # Errors
/// In words, when the file cannot be written.
pub fn keep(file: &Path, choices: &Choices) -> Result<(), String> {
    let text = serde_json::to_vec_pretty(choices).map_err(|error| error.to_string())?;
    save(file, &text)
        .map_err(|error| format!("What you chose holds for now, but is not kept: {error}."))
}

/// All levels, with what opens those that these attempts have not opened.
pub fn levels(attempts: &[Attempt]) -> Vec<LevelChoice> {
    let highest = opened(attempts);
    let one = |level: Level| LevelChoice {
        number: level.number(),
        name: english::level(level),
        opens: match opens(level) {
            Some((pairs, sights)) if level > highest => format!(
                "opens after {pairs} of ten pairs and {sights} of {} sights without help",
                crate::coach::SIGHTS
            ),
            _ => String::new(),
        },
    };
    Level::ALL.map(one).to_vec()
}

/// The highest of these that is open.
pub fn highest(levels: &[LevelChoice]) -> Level {
    let open = levels.iter().rfind(|level| level.opens.is_empty());
    open.and_then(|level| Level::numbered(level.number))
        .unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cube::Colour;
    use crate::page::Pace;

    #[test]
    fn choices_come_back_as_they_were_kept_and_a_damaged_file_is_as_none() {
        let folder = tempfile::tempdir().expect("a folder");
        let file = folder.path().join("a/choices.json");
        assert!(kept(&file).first);
        let choices = Choices {
            cross: Some(Colour::Yellow),
            level: Some(2),
            pace: Pace::Calm,
            mirrored: Some(true),
            voice: false,
            ..Choices::default()
        };
        keep(&file, &choices).expect("it is kept");
        assert_eq!(kept(&file), choices);
        for damaged in ["", "{", "{\"level\":9}", "[1]", "{\"cross\":\"pink\"}"] {
            fs::write(&file, damaged).expect("room");
            assert_eq!(kept(&file), Choices::default(), "{damaged}");
        }
        fs::write(&file, "{\"timer\":true}").expect("room");
        assert!(kept(&file).timer && kept(&file).tones);
    }

    #[test]
    fn closed_levels_say_what_opens_them() {
        let levels = levels(&[]);
        assert_eq!(levels.len(), 4);
        assert_eq!(levels[0].opens, "");
        assert_eq!(highest(&levels), Level::Front);
        assert!(
            levels[1..]
                .iter()
                .all(|level| level.opens.contains("of ten pairs"))
        );
    }
}
