//! The pictures of a folder of scans, each with its truth.

use std::path::PathBuf;

use serde_json::Value;

use super::judge::{Corners, outline};
use crate::harness::scan_folder::folder;

/// One picture of a scan.
pub struct Shot {
    pub path: PathBuf,
    /// What the truth says of the setup, the scan and the picture.
    pub setup: Value,
    pub scan: Value,
    pub shot: Value,
}

impl Shot {
    /// The corners of the cells of each face in sight, in pixels.
    pub fn lattices(&self) -> impl Iterator<Item = Vec<[f64; 2]>> {
        list(&self.shot["faces"]).iter().map(|face| {
            list(&face["lattice"])
                .iter()
                .map(|p| [0, 1].map(|k| p[k].as_f64().unwrap_or(0.0) + 0.5))
                .collect()
        })
    }

    /// Where each face in sight is.
    pub fn outlines(&self) -> Vec<Corners> {
        self.lattices().map(|points| outline(&points)).collect()
    }
}

/// The elements of an array; none where there is no array.
pub fn list(value: &Value) -> &[Value] {
    value.as_array().map_or(&[], Vec::as_slice)
}

/// All pictures whose files are there.
pub fn shots() -> Vec<Shot> {
    let folder = folder();
    let text = std::fs::read_to_string(folder.join("truth.json")).expect("truth.json");
    let truth: Value = serde_json::from_str(&text).expect("truth.json is JSON");
    let mut shots = Vec::new();
    for setup in list(&truth["setups"]) {
        let name = setup["setup"].as_str().unwrap_or_default();
        for (at, scan) in list(&setup["scans"]).iter().enumerate() {
            let scan_name = scan["scan"]
                .as_str()
                .map_or_else(|| format!("scan-{:02}", at + 1), str::to_owned);
            for shot in list(&scan["images"]) {
                let file = shot["file"].as_str().unwrap_or_default();
                shots.push(Shot {
                    path: folder.join(name).join(&scan_name).join(file),
                    setup: setup.clone(),
                    scan: scan.clone(),
                    shot: shot.clone(),
                });
            }
        }
    }
    shots.retain(|shot| shot.path.is_file());
    assert!(!shots.is_empty(), "no pictures in {}", folder.display());
    shots
}
