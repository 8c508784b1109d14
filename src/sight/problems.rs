//! What makes a found face hard to trust.

use super::candidate::Candidate;
use super::look::{Patch, Point, Problem};

/// Share of a sticker's pixels that a highlight may clip before it is told, and the share that must then agree on its colour: a bright
/// sticker clips all over and agrees, a highlight covers a part.
const GLARING: f32 = 0.15;
const UNGLARED: f32 = 0.85;
/// Linear value from which a channel is as good as clipped.
const FULL: f32 = 0.95;
/// Stickers with two full channels, whose hue is lost, from which the whole face is too bright.
const ALL_BRIGHT: usize = 5;
/// Brightest channel of the middle sticker, linear, under which the face is too dark.
const DARK: f32 = 0.05;
/// Share of a sticker's pixels that must agree on its colour.
const AGREEING: f32 = 0.5;
/// Distance in which a sharp sticker's colour ends, in cells.
const SHARP: f32 = 0.15;
/// Side of a cell, in pixels, under which little is left to sample.
const SMALL: f64 = 14.0;

/// The problems of one face. `size` is the picture's.
pub fn problems(
    face: &Candidate,
    lattice: &[[Point; 4]; 4],
    patches: &[[Patch; 3]; 3],
    size: (u32, u32),
) -> Vec<Problem> {
    let patches = patches.as_flattened();
    let glared = |patch: &Patch| patch.clipped > GLARING && patch.agreeing < UNGLARED;
    let washed_out = |patch: &&Patch| {
        let (red, green, blue) = patch.rgb.into_components();
        [red, green, blue].into_iter().filter(|&c| c > FULL).count() >= 2
    };
    let bright = patches.iter().filter(washed_out).count() >= ALL_BRIGHT;
    let mut brightest: Vec<f32> = patches
        .iter()
        .map(|patch| patch.rgb.red.max(patch.rgb.green).max(patch.rgb.blue))
        .collect();
    brightest.sort_by(f32::total_cmp);
    let outside = |p: &Point| p.x < 0.0 || p.y < 0.0 || p.x > size.0 as f32 || p.y > size.1 as f32;
    [
        (Problem::Glare, !bright && patches.iter().any(glared)),
        (Problem::Bright, bright),
        (Problem::Dark, brightest[brightest.len() / 2] < DARK),
        (Problem::Blur, face.evidence.rise > SHARP),
        (
            Problem::Hidden,
            patches.iter().any(|patch| patch.agreeing < AGREEING),
        ),
        (Problem::Small, face.cell() < SMALL),
        (Problem::CutOff, lattice.as_flattened().iter().any(outside)),
    ]
    .into_iter()
    .filter_map(|(problem, present)| present.then_some(problem))
    .collect()
}
