//! What a picture in which no face is found shows instead.

use super::look::{FrameFault, Point};
use super::problems::{rises, sharp};
use super::pyramid::Source;
use super::quad::Quad;
use super::shrink::Shrunk;

/// Encoded value, 0 to 1, under which nine tenths of the pixels of a dark picture lie.
const DARK: f32 = 0.15;
/// Encoded value over which more than half of the pixels of a picture lie that is too bright.
const BRIGHT: f32 = 0.97;
/// Side of a face, as a share of the picture's shorter side, under which it is too far.
const FAR: f32 = 0.12;
/// The same over which it is too near, and over which one that reaches out of the picture is.
const NEAR: f32 = 0.9;
const NEAR_CUT_OFF: f32 = 0.5;
/// How many times as wide sides are blurred across a movement as along it, at least.
const ONE_WAY: f32 = 1.7;

/// Tells why an outline that looks like a face is none.
pub fn shown_badly(source: &Source, guess: &Quad) -> Option<FrameFault> {
    held_badly(source, guess).or_else(|| unsharp(source, guess))
}

/// Tells whether a picture is too dark or too bright to show a face.
pub fn lit_badly(shrunk: &Shrunk) -> Option<FrameFault> {
    let (columns, rows) = shrunk.filled;
    let plane = shrunk.width * shrunk.height;
    let brightest = |i: usize| {
        (0..3)
            .map(|k| shrunk.values[k * plane + i])
            .fold(-0.5, f32::max)
            + 0.5
    };
    let mut values: Vec<f32> = (0..rows)
        .flat_map(|y| (0..columns).map(move |x| y * shrunk.width + x))
        .map(brightest)
        .collect();
    values.sort_by(f32::total_cmp);
    let part = |share: usize| values.get(values.len() * share / 10).copied();
    if part(9)? < DARK {
        Some(FrameFault::Dark)
    } else if part(5)? > BRIGHT {
        Some(FrameFault::Bright)
    } else {
        None
    }
}

fn held_badly(source: &Source, guess: &Quad) -> Option<FrameFault> {
    let (width, height) = source.picture.dimensions();
    let (width, height) = (width as f32, height as f32);
    let side = 3.0 * guess.cell() / width.min(height);
    let is_outside = |p: &Point| p.x < 0.0 || p.y < 0.0 || p.x > width || p.y > height;
    let is_cut_off = guess.0.iter().any(is_outside);
    if side < FAR {
        Some(FrameFault::Far)
    } else if side > NEAR || (is_cut_off && side > NEAR_CUT_OFF) {
        Some(FrameFault::Near)
    } else if is_cut_off {
        Some(FrameFault::CutOff)
    } else {
        None
    }
}

fn unsharp(source: &Source, guess: &Quad) -> Option<FrameFault> {
    let [a, b] = rises(source, guess)?;
    if a.max(b) <= sharp(guess) {
        None
    } else if a.max(b) > ONE_WAY * a.min(b) {
        Some(FrameFault::Moving)
    } else {
        Some(FrameFault::Blurred)
    }
}
