//! The page in a real browser: what it shows and says, keys, tabs, cameras, and how it looks.
//!
//! Needs Debian's `chromium` and `chromium-driver`. Screen pictures are written to `target/tmp/screens`.

mod browser;
mod camera;
mod coaching;
mod dead_ends;
mod hindered;
mod looks;
mod scene;
mod speech;
mod words;
