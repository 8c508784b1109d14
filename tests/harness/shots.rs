//! The pictures of a folder of scans, each with its truth.

use std::path::{Path, PathBuf};

use image::RgbImage;
use serde_json::Value;

use super::outlines::{Corners, outline};
use super::scan_folder::finish;

/// One picture of a scan or of a calibration.
pub struct Shot {
    pub path: PathBuf,
    /// The folder's name, from the truth file's: `setup-01/scan-02`.
    pub set: String,
    pub faces: Vec<Face>,
    /// Whether it shows a corner with three faces.
    pub is_corner: bool,
    /// Whether it is out of focus or smeared.
    pub is_unsharp: bool,
    /// What tables group by: conditions, difficulty, kind of cube, view.
    pub labels: Vec<String>,
}

impl Shot {
    /// The picture itself.
    ///
    /// # Panics
    /// Where the file is no picture.
    pub fn picture(&self) -> RgbImage {
        let picture = image::open(&self.path).expect("a picture of a scan");
        picture.to_rgb8()
    }
}

/// A face in sight.
#[derive(Clone)]
pub struct Face {
    /// Clockwise in the picture.
    pub outline: Corners,
    /// Clockwise on the cube, from the first corner of the face in the net.
    pub corners: Corners,
    /// Its name in the net: `up`, `left`.
    pub name: String,
    /// Whether the picture is about it. Others are in sight but need not be found.
    pub is_main: bool,
    /// The largest share of a sticker that something hides.
    pub hidden: f64,
}

/// The elements of an array; none where there is no array.
fn list(value: &Value) -> &[Value] {
    value.as_array().map_or(&[], Vec::as_slice)
}

/// All pictures that the truth file names and whose files are there. `path` is the folder with `truth.json`, or another truth file.
///
/// # Panics
/// Where there is no truth file, or it names no picture.
pub fn shots(path: &Path) -> Vec<Shot> {
    let (folder, file) = match path.parent() {
        Some(folder) if path.is_file() => (folder, path.to_owned()),
        _ => (path, path.join("truth.json")),
    };
    let text = std::fs::read_to_string(file).expect("truth.json");
    let truth: Value = serde_json::from_str(&text).expect("truth.json is JSON");
    let mut shots = Vec::new();
    for setup in list(&truth["setups"]) {
        let name = setup["setup"].as_str().unwrap_or_default();
        let about = [name.to_owned(), finish(setup)];
        let mut add = |set: &str, picture: &Value, labels: &[String]| {
            let set = format!("{name}/{set}");
            let file = picture["file"].as_str().unwrap_or_default();
            let view = picture["view"].as_str().unwrap_or_default();
            shots.push(Shot {
                path: folder.join(&set).join(file),
                set,
                faces: list(&picture["faces"]).iter().map(face).collect(),
                is_corner: view == "corner",
                is_unsharp: picture["defocus"] == true || picture["motion_px"].is_number(),
                labels: [labels, &about, &[view.to_owned()]].concat(),
            });
        };
        for picture in list(&setup["calibration"]) {
            add("calibration", picture, &["calibration".to_owned()]);
        }
        for (at, scan) in list(&setup["scans"]).iter().enumerate() {
            let set = scan["scan"]
                .as_str()
                .map_or_else(|| format!("scan-{:02}", at + 1), str::to_owned);
            let words = list(&scan["conditions"])
                .iter()
                .chain([&scan["difficulty"]]);
            let labels: Vec<String> = words
                .filter_map(|word| word.as_str().map(str::to_owned))
                .collect();
            for picture in list(&scan["images"]) {
                add(&set, picture, &labels);
            }
        }
    }
    for film in list(&truth["sequences"]) {
        let set = film["sequence"].as_str().unwrap_or_default();
        shots.extend(
            list(&film["frames"])
                .iter()
                .filter_map(|frame| shot_of_film(folder, set, frame)),
        );
    }
    shots.retain(|shot| shot.path.is_file());
    assert!(!shots.is_empty(), "no pictures in {}", folder.display());
    shots
}

/// A frame of a film. Only while it is held still must the cube be found; where it is not told what a frame shows, there is none.
fn shot_of_film(folder: &Path, set: &str, frame: &Value) -> Option<Shot> {
    let phase = frame["phase"].as_str().unwrap_or_default();
    let is_empty = matches!(phase, "empty" | "away") || frame["in_picture"] == "out";
    if !is_empty && !frame["faces"].is_array() {
        return None;
    }
    let mut faces: Vec<Face> = list(&frame["faces"]).iter().map(face).collect();
    for face in &mut faces {
        face.is_main &= phase.starts_with("hold");
    }
    Some(Shot {
        path: folder
            .join(set)
            .join(frame["file"].as_str().unwrap_or_default()),
        set: set.to_owned(),
        faces,
        is_corner: false,
        is_unsharp: frame["motion_px"].is_number(),
        labels: vec![phase.to_owned()],
    })
}

/// A face as the truth tells of it.
pub fn face(truth: &Value) -> Face {
    // The truth's origin is the middle of the first pixel.
    let points: Vec<[f64; 2]> = list(&truth["lattice"])
        .iter()
        .map(|p| [0, 1].map(|k| p[k].as_f64().unwrap_or(0.0) + 0.5))
        .collect();
    let hidden = list(&truth["occluded"])
        .iter()
        .filter_map(|part| part["share"].as_f64());
    Face {
        outline: outline(&points),
        corners: [points[0], points[3], points[15], points[12]],
        name: truth["face"].as_str().unwrap_or_default().to_owned(),
        is_main: truth["main"] == true,
        hidden: hidden.fold(0.0, f64::max),
    }
}
