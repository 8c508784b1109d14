//! The pictures that the project carries, set by set: how many there are, and how many of their faces must be found.

use std::path::Path;

use pairsight::sight::Finder;
use serde_json::Value;

use super::judge::{Corners, judge, outline};

/// A set's folder, its pictures, the faces that they are about, and how many of those must be found. None may be found elsewhere.
const SETS: [(&str, usize, usize, usize); 13] = [
    ("setup-01/scan-02", 8, 12, 12),
    ("setup-01/scan-03", 8, 12, 12),
    ("setup-03/scan-03", 8, 12, 12),
    ("setup-04/scan-02", 8, 12, 12),
    ("setup-06/scan-01", 8, 12, 12),
    ("setup-08/scan-02", 8, 12, 12),
    // One corner view is out of focus by more than the grooves are wide.
    ("setup-10/scan-01", 8, 12, 9),
    ("setup-01/calibration", 6, 6, 6),
    ("setup-03/calibration", 6, 6, 6),
    ("setup-04/calibration", 6, 6, 6),
    ("setup-06/calibration", 6, 6, 6),
    ("setup-08/calibration", 6, 6, 6),
    ("setup-10/calibration", 6, 6, 6),
];

fn list(value: &Value) -> Vec<Value> {
    value.as_array().cloned().unwrap_or_default()
}

/// The sets that the truth file names, each with its pictures.
fn carried(folder: &Path) -> Vec<(String, Vec<Value>)> {
    let text = std::fs::read_to_string(folder.join("truth.json")).expect("the carried truth");
    let truth: Value = serde_json::from_str(&text).expect("the truth is JSON");
    let mut sets = Vec::new();
    for setup in list(&truth["setups"]) {
        let name = setup["setup"].as_str().unwrap_or_default();
        sets.push((format!("{name}/calibration"), list(&setup["calibration"])));
        for scan in list(&setup["scans"]) {
            let scan_name = scan["scan"].as_str().unwrap_or_default();
            sets.push((format!("{name}/{scan_name}"), list(&scan["images"])));
        }
    }
    sets
}

#[test]
fn each_set_of_carried_pictures_is_found_as_promised() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("test_images/scans");
    let sets = carried(&folder);
    assert_eq!(sets.len(), SETS.len(), "every carried set has its row here");
    let mut finder = Finder::new();
    let mut broken = Vec::new();
    for (name, pictures, faces, least) in SETS {
        let set = sets.iter().find(|(other, _)| other == name);
        let shots = set.map_or(&[][..], |(_, shots)| shots);
        let (mut main, mut found, mut wrong) = (0, 0, 0);
        for shot in shots {
            let path = folder
                .join(name)
                .join(shot["file"].as_str().unwrap_or_default());
            let picture = image::open(&path).expect("a carried picture").to_rgb8();
            let faces = list(&shot["faces"]);
            let truths: Vec<Corners> = faces.iter().map(corners).collect();
            let (best, elsewhere) = judge(&finder.look(&picture), &truths);
            for (_, best) in faces
                .iter()
                .zip(best)
                .filter(|(face, _)| face["main"] == true)
            {
                main += 1;
                found += usize::from(best > 0.8);
            }
            wrong += elsewhere;
        }
        let row = format!(
            "{name:20} {:>2} pictures, {found:>2} of {main:>2} faces, {least:>2} promised, {wrong} wrong",
            shots.len()
        );
        println!(
            "{row}{}",
            if found > least { ": raise the bar" } else { "" }
        );
        if (shots.len(), main) != (pictures, faces) || found < least || wrong > 0 {
            broken.push(row);
        }
    }
    assert!(broken.is_empty(), "{broken:#?}");
}

fn corners(face: &Value) -> Corners {
    let points: Vec<[f64; 2]> = list(&face["lattice"])
        .iter()
        .map(|p| [0, 1].map(|k| p[k].as_f64().unwrap_or(0.0) + 0.5))
        .collect();
    outline(&points)
}
