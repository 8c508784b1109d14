//! Frames of films: in an empty picture nothing is found, and what is found elsewhere is a face of the cube.

use std::path::PathBuf;

use pairsight::sight::Finder;

use super::judge::{judge, outline};

/// The folder of films is `sequences` in the one that `PAIRSIGHT_SCANS` names.
#[test]
fn films_give_no_false_face() {
    let Some(folder) = std::env::var_os("PAIRSIGHT_SCANS").map(PathBuf::from) else {
        return;
    };
    let folder = folder.join("sequences");
    let list = |value: &serde_json::Value| value.as_array().cloned().unwrap_or_default();
    let mut finder = Finder::new();
    let (mut frames, mut without, mut main, mut found) = (0, 0, 0, 0);
    let mut wrong = Vec::new();
    for name in ["truth.json", "truth-follow.json"] {
        let Ok(text) = std::fs::read_to_string(folder.join(name)) else {
            println!("{name} is not there, left out");
            continue;
        };
        let truth: serde_json::Value = serde_json::from_str(&text).expect("truth is JSON");
        for film in list(&truth["sequences"]) {
            let film_name = film["sequence"].as_str().unwrap_or_default().to_owned();
            for frame in list(&film["frames"]) {
                let phase = frame["phase"].as_str().unwrap_or_default();
                let empty = matches!(phase, "empty" | "away") || frame["in_picture"] == "out";
                if !empty && !frame["faces"].is_array() {
                    continue;
                }
                let path = folder
                    .join(&film_name)
                    .join(frame["file"].as_str().unwrap_or_default());
                let picture = image::open(&path)
                    .expect("a frame that the truth names")
                    .to_rgb8();
                let faces = list(&frame["faces"]);
                let truths: Vec<_> = faces
                    .iter()
                    .map(|face| {
                        let points: Vec<[f64; 2]> = list(&face["lattice"])
                            .iter()
                            .map(|p| [0, 1].map(|k| p[k].as_f64().unwrap_or(0.0) + 0.5))
                            .collect();
                        outline(&points)
                    })
                    .collect();
                let (best, false_faces) = judge(&finder.look(&picture), &truths);
                frames += 1;
                without += usize::from(empty);
                for (face, best) in faces.iter().zip(best) {
                    if face["main"] == true && phase.starts_with("hold") {
                        main += 1;
                        found += usize::from(best > 0.8);
                    }
                }
                if false_faces > 0 {
                    wrong.push(format!("{} ({phase})", path.display()));
                }
            }
        }
    }
    println!(
        "{frames} frames, {without} of them without a cube; while it is held still {found} of {main} faces found"
    );
    assert!(without > 0, "no film in {}", folder.display());
    assert!(wrong.is_empty(), "false faces: {wrong:#?}");
}
