//! Black-box tests of `calibrate` and `read` on the pictures that the project carries, and on what is no picture of a cube.

use std::path::{Path, PathBuf};

use crate::harness::program::{Place, Ran};
use serde_json::{Value, json};

fn scans() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("test_images/scans")
}

fn setups() -> Vec<Value> {
    let text =
        std::fs::read_to_string(scans().join("truth.json")).expect("the scans have a truth file");
    let truth: Value = serde_json::from_str(&text).expect("the truth is JSON");
    truth["setups"].as_array().expect("setups").clone()
}

fn words(parts: &[&str], pictures: &[PathBuf]) -> Vec<String> {
    let pictures = pictures
        .iter()
        .map(|p| p.to_str().expect("the path is text").to_owned());
    parts
        .iter()
        .map(|part| (*part).to_owned())
        .chain(pictures)
        .collect()
}

fn run(place: &Place, words: &[String]) -> Ran {
    place.run(&words.iter().map(String::as_str).collect::<Vec<_>>())
}

/// Every scan: calibrate on its setup, read the eight pictures, and hold the answer against the truth.
#[test]
fn scans_are_read_right_or_not_at_all() {
    for setup in setups() {
        let name = setup["setup"].as_str().expect("a name");
        let place = Place::new();
        let frames = scans().join(name).join("calibration");
        let made = run(
            &place,
            &words(&["calibrate", "lamp", "--json", "--frames"], &[frames]),
        );
        assert_eq!(made.code, Some(0), "{name}: {}", made.stderr);
        assert_eq!(made.document()["outcome"], "calibrated", "{name}");
        for scan in setup["scans"].as_array().expect("scans") {
            let pictures: Vec<PathBuf> = scan["images"]
                .as_array()
                .expect("images")
                .iter()
                .map(|image| {
                    scans()
                        .join(name)
                        .join(scan["scan"].as_str().unwrap())
                        .join(image["file"].as_str().unwrap())
                })
                .collect();
            let ran = run(
                &place,
                &words(&["read", "--profile", "lamp", "--json"], &pictures),
            );
            let document = ran.document();
            let legal = scan["legal"].as_bool().expect("legal or not");
            let what = format!("{name} {}: {}", scan["scan"], document["say"]);
            match document["outcome"].as_str() {
                Some("read") => {
                    assert!(legal, "an illegal cube was read as a legal one: {what}");
                    assert_eq!(document["net"], scan["state"], "{what}");
                    assert_eq!(ran.code, Some(0));
                }
                Some("impossible") => {
                    assert!(!legal, "a legal cube was called impossible: {what}");
                    assert_eq!(ran.code, Some(4));
                    assert!(!document["faults"].as_array().unwrap().is_empty(), "{what}");
                }
                Some("unsure" | "incomplete") => {
                    assert_eq!(ran.code, Some(3));
                    assert!(document["ask"]["say"].is_string(), "{what}");
                    assert_eq!(scan["difficulty"], "hard", "not settled: {what}");
                }
                other => panic!("{other:?}: {what}"),
            }
        }
    }
}

#[test]
fn one_face_is_not_a_cube_and_the_rest_is_asked_for() {
    let picture = scans().join("setup-01/scan-03/01.jpg");
    let ran = run(&Place::new(), &words(&["read", "--json"], &[picture]));
    assert_eq!(ran.code, Some(3), "{}", ran.stderr);
    let document = ran.document();
    assert_eq!(document["outcome"], "incomplete");
    assert_eq!(
        document["missing"].as_array().unwrap().len(),
        5,
        "{document}"
    );
    assert!(document.get("net").is_none());
}

#[test]
fn annotated_pictures_are_whole_and_of_the_same_size() {
    let place = Place::new();
    let picture = scans().join("setup-01/scan-03/c1.jpg");
    let ran = run(
        &place,
        &words(
            &["read", "--annotate", "seen"],
            std::slice::from_ref(&picture),
        ),
    );
    assert_eq!(ran.code, Some(3), "{}", ran.stderr);
    let annotated = image::open(place.path().join("seen/01-c1.png")).expect("an annotated picture");
    let original = image::open(picture).expect("the picture");
    assert_eq!(
        (annotated.width(), annotated.height()),
        (original.width(), original.height())
    );
    assert_ne!(annotated.to_rgb8(), original.to_rgb8(), "nothing was drawn");
}

#[test]
fn a_picture_without_a_cube_is_no_answer_and_no_error() {
    let place = Place::new();
    let plain = image::RgbImage::from_pixel(320, 240, image::Rgb([90, 120, 90]));
    plain
        .save(place.path().join("plain.png"))
        .expect("a picture");
    let ran = place.run(&["read", "plain.png", "--json"]);
    assert_eq!(ran.code, Some(3), "{}", ran.stderr);
    assert_eq!(ran.document()["outcome"], "incomplete");
}

#[test]
fn what_is_no_picture_is_refused_by_name() {
    let place = Place::new();
    place.file("text.jpg", "hello");
    place.file("empty.png", "");
    let whole = std::fs::read(scans().join("setup-01/scan-03/01.jpg")).expect("a picture");
    place.file("cut.jpg", &whole[..whole.len() / 2]);
    for name in ["text.jpg", "empty.png", "cut.jpg", "missing.jpg", "."] {
        let ran = place.run(&["read", name, "--json"]);
        assert_eq!(ran.code, Some(2), "{name}: {}", ran.stderr);
        assert_eq!(ran.document()["outcome"], "error", "{name}");
        assert!(ran.stderr.contains(name), "{name}: {}", ran.stderr);
    }
}

#[test]
fn bad_profiles_are_refused_and_never_overwritten_by_halves() {
    let place = Place::new();
    let picture = scans().join("setup-01/scan-03/01.jpg");
    place.file("broken.json", "{\"schema\":1");
    place.file("newer.json", "{\"schema\":99}");
    place.file("other.json", "[]");
    for profile in [
        "broken.json",
        "newer.json",
        "other.json",
        "nobody",
        "../escape",
    ] {
        let ran = run(
            &place,
            &words(
                &["read", "--profile", profile, "--json"],
                std::slice::from_ref(&picture),
            ),
        );
        assert_eq!(ran.code, Some(2), "{profile}: {}", ran.stderr);
        assert_eq!(ran.document()["outcome"], "error", "{profile}");
    }
    // Too few faces: the old profile stays as it was.
    std::fs::create_dir(place.path().join("calibration")).expect("a folder");
    place.file("calibration/lamp.json", "kept");
    let ran = run(
        &place,
        &words(&["calibrate", "lamp", "--json", "--frames"], &[picture]),
    );
    assert_eq!(ran.code, Some(3), "{}", ran.stderr);
    assert_eq!(ran.document()["outcome"], json!("error"));
    let kept =
        std::fs::read_to_string(place.path().join("calibration/lamp.json")).expect("the profile");
    assert_eq!(kept, "kept");
}
