//! What each look shows, sticker by sticker with its doubt, as it is told.

use super::explain::{Explained, Explanation};
use super::reading::{FaceReading, LookReading, Outcome};
use super::views::standing;
use crate::cube::Colour;
use crate::sight::{FrameFault, Look, Problem};

/// What all looks show when `best` explains them.
pub fn look_readings(
    looks: &[Look],
    explained: &Explained,
    best: &Explanation,
    outcome: Outcome,
) -> Vec<LookReading> {
    let read = outcome == Outcome::Read;
    let one = |(i, look): (usize, &Look)| {
        let face = |j: usize| face_reading(explained, best, looks, (i, j), read);
        let faces = (0..look.faces.len()).map(face).collect();
        look_reading(look, best.association.frame.mirrored, faces)
    };
    looks.iter().enumerate().map(one).collect()
}

/// What a look shows, with its faces as read.
pub fn look_reading(look: &Look, mirrored: bool, faces: Vec<FaceReading>) -> LookReading {
    let mut problems: Vec<&'static str> = Vec::new();
    for problem in look.faces.iter().flat_map(|face| &face.problems) {
        let word = problem_word(*problem);
        if !problems.contains(&word) {
            problems.push(word);
        }
    }
    problems.extend(look.frame.map(frame_word));
    LookReading {
        image: None,
        problems,
        mirrored,
        faces,
    }
}

fn problem_word(problem: Problem) -> &'static str {
    match problem {
        Problem::Glare => "glare",
        Problem::Blur => "blur",
        Problem::Dark => "dark",
        Problem::Bright => "bright",
        Problem::Hidden => "hidden",
        Problem::Small => "small",
        Problem::CutOff => "cut off",
    }
}

fn frame_word(fault: FrameFault) -> &'static str {
    match fault {
        FrameFault::Dark => "dark",
        FrameFault::Bright => "bright",
        FrameFault::Moving => "moving",
        FrameFault::Blurred => "blur",
        FrameFault::Far => "small",
        FrameFault::Near => "near",
        FrameFault::CutOff => "cut off",
    }
}

fn face_reading(
    explained: &Explained,
    best: &Explanation,
    looks: &[Look],
    (i, j): (usize, usize),
    read: bool,
) -> FaceReading {
    let mirrored = best.association.frame.mirrored;
    // A mirrored picture shows the transposed face, its outline the other way round.
    let cell = |row: usize, column: usize| {
        if mirrored {
            3 * column + row
        } else {
            3 * row + column
        }
    };
    let frame = &best.association.frame;
    let label = |k: usize| best.labels[i][j][k].unwrap_or(0);
    let shown = |k: usize| Colour::ALL[frame.shows(label(k), k == 4)];
    // Of a face that the others all but decide alone, how it lies may have been taken wrongly.
    let misassigned = 1.0 / (1.0 + standing(best, looks, (i, j)).own.exp());
    let doubt = |k: usize| {
        let joint = joint_doubt(explained, (i, j, k)).max(misassigned);
        match read {
            true => joint.max((-explained.searched.max(0.0)).exp()),
            false => joint.max(own_doubt(
                explained,
                (i, j, k),
                frame.shows(label(k), k == 4),
            )),
        }
    };
    let mut outline = looks[i].faces[j].outline().map(|p| [p.x, p.y]);
    if mirrored {
        outline.swap(1, 3);
    }
    FaceReading {
        centre: frame.centre(best.association.assigned[i][j].face),
        outline,
        stickers: [0, 1, 2].map(|r| (0..3).map(|c| shown(cell(r, c)).letter()).collect()),
        doubt: [0, 1, 2].map(|r| [0, 1, 2].map(|c| doubt(cell(r, c)) as f32)),
    }
}

/// Chance that a sticker is not what the best state makes it, by the rivals that show another colour there.
fn joint_doubt(explained: &Explained, (i, j, k): (usize, usize, usize)) -> f64 {
    let all = &explained.explanations;
    let best = all.first().map_or(0.0, |best| best.score);
    let label = |e: &Explanation| {
        let role = e.labels.get(i)?.get(j)?[k];
        Some(role.map(|role| e.association.frame.shows(role, k == 4)))
    };
    let own = all.first().and_then(label);
    let (mut sum, mut others) = (0.0, 0.0);
    for e in all {
        // One that says nothing of this view has no say in it.
        let Some(label) = label(e) else { continue };
        let weight = (e.score - best).clamp(-60.0, 0.0).exp();
        sum += weight;
        others += if Some(label) == own { 0.0 } else { weight };
    }
    others / f64::max(sum, f64::MIN_POSITIVE)
}

/// Share of what explanations and stickers tell that is believed of a sticker by itself: what troubles one troubles others, and the
/// light is not known as well as a fit says. By the reliability of doubts (`tests/reading/doubts.rs`).
const BELIEVED: f64 = 0.5;

/// Least doubt of a sticker that nothing but its colour speaks for.
const LEAST_DOUBT: f64 = 0.01;

/// Chance that a sticker has not this colour, by what each explanation's light makes of it.
fn own_doubt(explained: &Explained, (i, j, k): (usize, usize, usize), shown: usize) -> f64 {
    let all = &explained.explanations;
    let best = all.first().map_or(0.0, |best| best.score);
    let (mut sum, mut own) = (0.0, 0.0);
    for e in all {
        let seen = e.evidence.get(i).and_then(|look| look.faces.get(j));
        let Some(weights) = seen.map(|face| &face[k]) else {
            continue;
        };
        let likely = (BELIEVED * (e.score - best)).clamp(-60.0, 0.0).exp();
        let frame = &e.association.frame;
        let most = weights.iter().copied().fold(f32::NEG_INFINITY, f32::max);
        let odds = weights.map(|w| (BELIEVED * f64::from(w - most)).exp());
        let role = (0..6).find(|&role| frame.shows(role, k == 4) == shown);
        sum += likely;
        own += likely * role.map_or(0.0, |role| odds[role]) / odds.iter().sum::<f64>();
    }
    (1.0 - own / f64::max(sum, f64::MIN_POSITIVE)).max(LEAST_DOUBT)
}
