//! Where scans lie, and how their truth is told in tables.

use std::path::{Path, PathBuf};

use serde_json::Value;

/// The scans that the project carries.
pub fn carried() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("test_images/scans")
}

/// What a setup's cube is made of, in plain words: "black plastic", "white plastic", "stickerless".
pub fn finish(setup: &Value) -> String {
    let name = setup["finish"].as_str().unwrap_or_default();
    name.replace("-body", " plastic")
}
