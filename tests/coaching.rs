//! Black-box tests of `coach` and `demo` on films with truth: the right events, in order, and no wrong word between.

use std::path::Path;

use crate::harness::films::{carried, truth};
use crate::harness::program::Place;
use serde_json::{Value, json};

/// What `coach` says of a film, less what is only counted.
fn told(film: &str) -> Vec<Value> {
    let path = carried(&format!("{film}.mjpeg"));
    let path = path.to_str().expect("the path is text");
    let ran = Place::new().run(&[
        "coach",
        "--frames",
        path,
        "--fps",
        "10",
        "--events",
        "--no-page",
    ]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    let events = ran.lines();
    assert_eq!(
        events.last().map(|e| e["event"].clone()),
        Some(json!("end"))
    );
    events
        .into_iter()
        .filter(|e| {
            let silent = ["saw", "still", "turn", "rotated", "end"];
            !silent.iter().any(|kind| e["event"] == *kind)
        })
        .collect()
}

fn kinds(events: &[Value]) -> Vec<&str> {
    events.iter().filter_map(|e| e["event"].as_str()).collect()
}

#[test]
fn a_followed_hint_is_seen() {
    let (events, truth) = (told("followed"), truth(&carried("truth.json"), "followed"));
    assert_eq!(
        kinds(&events),
        ["read", "hint", "followed", "hint"],
        "{events:#?}"
    );
    assert_eq!(events[0]["net"], truth["showings"][0]["state"]);
    assert_eq!(events[1]["level"], 0);
    let asked = events[1]["text"].as_str().expect("text");
    assert!(asked.starts_with("Which pair do you see?"), "{asked}");
    assert_eq!(events[1]["slot"], truth["showings"][0]["next"]["slot"]);
    assert_eq!(events[2]["net"], truth["showings"][1]["state"]);
}

#[test]
fn a_turn_in_the_wrong_direction_is_named_and_undone() {
    let (events, truth) = (told("slip"), truth(&carried("truth.json"), "slip"));
    assert_eq!(
        kinds(&events),
        ["read", "hint", "slip", "followed", "hint"],
        "{events:#?}"
    );
    let (slip, done) = (&events[2], &truth["between"][0]);
    assert_eq!(slip["net"], truth["showings"][1]["state"]);
    for field in ["did", "meant"] {
        assert_eq!(slip[field], done["slip"][field]);
    }
    assert_eq!(slip["undo"], truth["between"][1]["undo"]);
    // What is different first; the way back when it is shown again.
    assert_eq!(slip["way_back"], false);
    assert_eq!(events[3]["net"], truth["showings"][2]["state"]);
}

#[test]
fn the_demo_tells_and_draws_and_leaves_only_its_folder() {
    let place = Place::new();
    let ran = place.run(&["demo"]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    assert!(ran.stdout.contains("Orange-green is in."), "{}", ran.stdout);
    let names = |folder: &Path| -> Vec<String> {
        let mut names: Vec<String> = std::fs::read_dir(folder)
            .expect("the folder is there")
            .map(|entry| {
                entry
                    .expect("an entry")
                    .file_name()
                    .to_string_lossy()
                    .into_owned()
            })
            .collect();
        names.sort();
        names
    };
    let out = names(&place.path().join("out"));
    assert!(out.iter().any(|name| name.ends_with("read.png")), "{out:?}");
    assert!(out.iter().any(|name| name.ends_with("hint.svg")), "{out:?}");
    for name in out.iter().filter(|name| name.ends_with(".png")) {
        image::open(place.path().join("out").join(name)).expect("a whole picture");
    }
}

#[test]
fn what_cannot_be_watched_is_refused_at_once() {
    let place = Place::new();
    std::fs::create_dir(place.path().join("empty")).expect("a folder");
    place.file("text.jpg", "not a picture");
    for frames in ["no-such-film.mjpeg", "empty", "text.jpg"] {
        let ran = place.run(&["coach", "--frames", frames, "--events", "--no-page"]);
        assert_eq!(ran.code, Some(2), "{frames}: {}", ran.stderr);
        assert!(ran.stderr.contains(frames), "{frames}: {}", ran.stderr);
    }
    let ran = place.run(&["coach", "--frames", "empty", "--fps", "0", "--events"]);
    assert_eq!(ran.code, Some(2), "{}", ran.stderr);
    let ran = place.run(&[
        "coach",
        "--frames",
        "empty",
        "--profile",
        "nobody",
        "--events",
        "--no-page",
    ]);
    assert_eq!(ran.code, Some(2), "{}", ran.stderr);
    assert!(ran.stderr.contains("nobody"), "{}", ran.stderr);
}
