//! Where scans lie, and how their truth is told in tables.

use std::path::{Path, PathBuf};

use serde_json::Value;

/// The folder that `PAIRSIGHT_SCANS` names, else the scans that the project carries.
pub fn folder() -> PathBuf {
    let carried = || Path::new(env!("CARGO_MANIFEST_DIR")).join("test_images/scans");
    std::env::var_os("PAIRSIGHT_SCANS").map_or_else(carried, PathBuf::from)
}

/// What a setup's cube is made of, in plain words: "black plastic", "white plastic", "stickerless".
pub fn finish(setup: &Value) -> String {
    let name = setup["finish"].as_str().unwrap_or_default();
    name.replace("-body", " plastic")
}
