//! Calibration with a cube in any state, held to the profile that the same cube gives when it is solved.

use std::path::{Path, PathBuf};

use crate::harness::program::Place;
use pairsight::colour::{LightEstimate, Model, Profile, hue_difference};
use pairsight::cube::Colour;

fn scans() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("test_images/scans")
}

/// The profile from a folder of pictures.
fn calibrated(place: &Place, name: &str, frames: &Path) -> Profile {
    let frames = frames.to_str().expect("the path is text");
    let ran = place.run(&["calibrate", name, "--frames", frames, "--json"]);
    assert_eq!(ran.code, Some(0), "{frames}: {}", ran.stderr);
    let document = ran.document();
    assert_eq!(document["outcome"], "calibrated");
    Profile::load(
        &place
            .path()
            .join("calibration")
            .join(format!("{name}.json")),
    )
    .expect("the profile is kept")
}

#[test]
fn a_scrambled_cube_gives_the_colours_that_it_gives_when_solved() {
    let place = Place::new();
    // One light for both; blur, fingers, a logo, clutter, a layer out of line, a mirrored feed.
    for (setup, scan) in [
        ("setup-01", "scan-02"),
        ("setup-01", "scan-03"),
        ("setup-04", "scan-02"),
        ("setup-06", "scan-01"),
        ("setup-08", "scan-02"),
    ] {
        let folder = scans().join(setup);
        let solved =
            Model::from_profile(&calibrated(&place, "solved", &folder.join("calibration")));
        let mixed = Model::from_profile(&calibrated(&place, "mixed", &folder.join(scan)));
        let apart = |a: Colour, b: Colour| {
            let none = LightEstimate::none();
            hue_difference(mixed.colour(a, &none), solved.colour(b, &none))
        };
        let own = Colour::ALL.map(|colour| apart(colour, colour));
        println!("{setup} {scan}: {own:.1?}");
        let is_nearest = |(colour, own): &(Colour, f64)| {
            let mut others = Colour::ALL.into_iter().filter(|other| other != colour);
            others.all(|other| *own < apart(*colour, other))
        };
        let nearest = Colour::ALL.into_iter().zip(own).filter(is_nearest).count();
        // Each picture of a solved face has a white balance of its own, which can carry one colour off.
        assert!(nearest >= 5, "{setup} {scan}: {own:.1?}");
        // Solved, each colour is known in the light of its own face only; two faces of one cube in one room differ by
        // about 6 (see `LIKE` in `colour::judge`).
        let mean = own.iter().sum::<f64>() / 6.0;
        assert!(mean < 6.0, "{setup} {scan}: {mean:.1}");
        let doubtful =
            [&solved, &mixed].map(|model| model.judge_light(&LightEstimate::none()).doubtful);
        println!("{setup} {scan}: doubtful {doubtful:?}");
    }
}

#[test]
fn a_cube_that_cannot_be_makes_no_profile() {
    let place = Place::new();
    let frames = scans().join("setup-03/scan-03");
    let ran = place.run(&[
        "calibrate",
        "twisted",
        "--frames",
        frames.to_str().expect("text"),
    ]);
    assert_eq!(ran.code, Some(3), "{}", ran.stderr);
    assert!(ran.stderr.contains("twisted"), "{}", ran.stderr);
    assert!(!place.path().join("calibration").exists());
}

#[test]
fn too_few_faces_make_no_profile() {
    let place = Place::new();
    let frames = scans().join("setup-01/scan-03/c1.jpg");
    let ran = place.run(&[
        "calibrate",
        "half",
        "--frames",
        frames.to_str().expect("text"),
    ]);
    assert_eq!(ran.code, Some(3), "{}", ran.stderr);
    assert!(ran.stderr.contains("3 of 6 faces"), "{}", ran.stderr);
}

#[test]
fn profiles_stand_side_by_side_and_are_renewed_by_name() {
    let place = Place::new();
    let setup = scans().join("setup-01");
    let file = |name: &str| {
        let path = place.path().join("calibration").join(name);
        std::fs::read_to_string(path).expect("the profile is kept")
    };
    calibrated(&place, "desk-lamp", &setup.join("calibration"));
    let desk = file("desk-lamp.json");
    calibrated(&place, "kitchen", &setup.join("scan-03"));
    assert_eq!(file("desk-lamp.json"), desk);
    calibrated(&place, "desk-lamp", &setup.join("scan-03"));
    assert_ne!(file("desk-lamp.json"), desk);
    let count = std::fs::read_dir(place.path().join("calibration"))
        .expect("the folder is there")
        .count();
    assert_eq!(count, 2);
}

#[test]
fn names_that_are_no_file_names_are_refused() {
    let place = Place::new();
    let frames = scans().join("setup-01/calibration");
    let long = "x".repeat(65);
    for name in [
        "",
        "..",
        "../up",
        "a/b",
        "a\\b",
        "desk lamp",
        "a.json",
        &long,
    ] {
        let ran = place.run(&[
            "calibrate",
            name,
            "--frames",
            frames.to_str().expect("text"),
        ]);
        assert_eq!(ran.code, Some(2), "{name:?}: {}", ran.stderr);
        assert!(
            ran.stderr.contains("use letters, digits, '-' and '_'"),
            "{name:?}: {}",
            ran.stderr
        );
        assert!(!place.path().join("calibration").exists(), "{name:?}");
    }
}
