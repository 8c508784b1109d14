//! The films that come with the program, and what is true of them.

use std::path::{Path, PathBuf};

use pairsight::cube::{Colour, Cube, Net};
use pairsight::journal::Situation;
use pairsight::solve::Slot;
use serde_json::Value;

/// A file that comes with the films.
pub fn carried(file: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("test_images/films")
        .join(file)
}

/// What is true of a film, by a truth file.
pub fn truth(file: &Path, film: &str) -> Value {
    let text = std::fs::read_to_string(file).expect("the films have a truth file");
    let all: Value = serde_json::from_str(&text).expect("the truth is JSON");
    let films = all["sequences"].as_array().expect("a list");
    let one = films.iter().find(|one| one["sequence"] == film);
    one.cloned()
        .unwrap_or_else(|| panic!("no truth for {film}"))
}

/// The cube of a carried film in one of its showings.
pub fn cube_of(film: &str, showing: usize) -> Cube {
    let truth = truth(&carried("truth.json"), film);
    let net = Net::from_json(&truth["showings"][showing]["state"]).expect("a net");
    net.to_cube().expect("legal")
}

/// The situation of the one pair that is left at the start of a carried film, on a white cross.
pub fn first_of(film: &str) -> String {
    let cube = cube_of(film, 0);
    let open: Vec<String> = Slot::ALL
        .into_iter()
        .filter_map(|slot| Situation::of(&cube, Colour::White, slot))
        .filter_map(|situation| match situation {
            Situation::Placed(placed) => Some(placed.to_string()),
            Situation::Trapped(_) => None,
        })
        .collect();
    assert_eq!(open.len(), 1, "one pair is left");
    open[0].clone()
}
