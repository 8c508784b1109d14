//! Finding the cube: a small sample that must be as promised. `cargo run --release --features lab --example lab -- seeing` counts over whole folders.

mod carried;
mod following;
mod nothing;

use std::path::Path;

use pairsight::sight::Finder;

use crate::harness::outlines::outlines;
use crate::harness::shots::{Shot, shots};

/// The pictures that the project carries.
fn carried_shots() -> Vec<Shot> {
    shots(&Path::new(env!("CARGO_MANIFEST_DIR")).join("test_images/scans"))
}

#[test]
fn a_look_depends_on_nothing_but_the_picture() {
    let shots = carried_shots();
    let [picture, other] = [&shots[7], &shots[40]].map(Shot::picture);
    let mut finder = Finder::new();
    let first = outlines(&finder.look(&picture));
    assert!(!first.is_empty());
    finder.look(&other);
    assert_eq!(first, outlines(&finder.look(&picture)));
    assert_eq!(first, outlines(&Finder::new().look(&picture)));
}
