//! What makes a found face hard to trust.

use super::look::{Patch, Problem};
use super::plane::Homography;
use super::pyramid::Source;
use super::quad::Quad;

/// Share of a sticker's pixels that a highlight may clip before it is told, and the share that must then agree on its colour: a bright
/// sticker clips all over and agrees, a highlight covers a part.
const GLARING: f32 = 0.15;
const UNGLARED: f32 = 0.85;
/// Linear value from which a channel is as good as clipped.
const FULL: f32 = 0.95;
/// Stickers with two full channels, whose hue is lost, from which the whole face is too bright.
const ALL_BRIGHT: usize = 5;
/// Brightest channel of the centre sticker, linear, under which the face is too dark.
const DARK: f32 = 0.05;
/// Chance that something lies on a sticker from which it is told.
const COVERED: f32 = 0.5;
/// Distance in which a sharp sticker's colour ends, in cells, and in pixels: no camera and no codec does better.
const SHARP: f32 = 0.15;
const SHARP_PIXELS: f32 = 3.5;
/// Side of a cell, in pixels, under which little is left to sample.
const SMALL: f32 = 14.0;

/// The problems of one face.
pub fn problems(source: &Source, quad: &Quad, patches: &[[Patch; 3]; 3]) -> Vec<Problem> {
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
    let (width, height) = source.picture.dimensions();
    let [left, top, right, bottom] = quad.span();
    let cut = left < 0.0 || top < 0.0 || right > width as f32 || bottom > height as f32;
    let blurred = rises(source, quad).is_some_and(|[a, b]| a.max(b) > sharp(quad));
    let covered = patches.iter().any(|patch| patch.covered > COVERED);
    [
        (Problem::Glare, !bright && patches.iter().any(glared)),
        (Problem::Bright, bright),
        (Problem::Dark, brightest[brightest.len() / 2] < DARK),
        (Problem::Blur, blurred),
        (Problem::Hidden, covered),
        (Problem::Small, quad.cell() < SMALL),
        (Problem::CutOff, cut),
    ]
    .into_iter()
    .filter_map(|(problem, present)| present.then_some(problem))
    .collect()
}

/// In what distance, in cells, a sharp sticker's colour ends on this face at most.
pub fn sharp(quad: &Quad) -> f32 {
    SHARP.max(SHARP_PIXELS / quad.cell())
}

/// Places to a cell at which a side is read, and how many there are to either hand of it.
const FINE: f32 = 24.0;
const BESIDE: usize = 10;

/// Least difference across a side, in 8-bit levels, from which its sharpness can be told from noise.
const CONTRAST: f32 = 30.0;

/// In what distance, in cells, the colour changes across the lines of the grid: across those between columns, and across those between
/// rows, at the sharpest quarter of each. Soft rims and worn stickers are wide on a sharp face, too; blur leaves nothing sharp.
/// `None` where too few lines stand out.
pub fn rises(source: &Source, quad: &Quad) -> Option<[f32; 2]> {
    let plane = Homography::onto(quad);
    let level = source.level((quad.cell() / FINE).log2().round().max(0.0) as usize);
    let sharpest = |is_row: bool| {
        let mut rises: Vec<f32> = Vec::new();
        for line in 0..4 {
            for place in 0..9 {
                let (line, along) = (line as f32 - 1.5, (place as f32 - 4.0) / 3.0);
                let profile: Vec<[f32; 3]> = (0..=2 * BESIDE)
                    .map(|i| line + (i as f32 - BESIDE as f32) / FINE)
                    .map(|across| match is_row {
                        true => plane.map_cells(along, across),
                        false => plane.map_cells(across, along),
                    })
                    .filter_map(|at| level.read(at))
                    .collect();
                rises.extend(rise(&profile));
            }
        }
        let quarter = rises.len() / 4;
        (rises.len() >= 6).then(|| *rises.select_nth_unstable_by(quarter, f32::total_cmp).1)
    };
    Some([sharpest(false)?, sharpest(true)?])
}

/// In what distance the channel that changes most goes from its least to its most at its steepest.
fn rise(profile: &[[f32; 3]]) -> Option<f32> {
    (0..3)
        .map(|k| {
            let values = || profile.iter().map(move |p| p[k]);
            let range = values().fold(f32::MIN, f32::max) - values().fold(f32::MAX, f32::min);
            let steps = profile.windows(3).map(|w| (w[2][k] - w[0][k]).abs() / 2.0);
            (range, steps.fold(0.0, f32::max))
        })
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .filter(|&(range, steepest)| range > CONTRAST && steepest > 0.0)
        .map(|(range, steepest)| range / steepest / FINE)
}
