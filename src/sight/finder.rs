//! Finds the faces of a cube in a picture: runs the stages.

use image::RgbImage;

use super::foretell::third_faces;
use super::frame::{lit_badly, shown_badly};
use super::group::{Group, group};
use super::judge::{Judged, judge};
use super::look::{FaceView, FrameFault, Look, Point};
use super::nets::Nets;
use super::peaks::{Peak, STRIDE, peaks};
use super::plane::Homography;
use super::problems::problems;
use super::pyramid::{Pyramid, Region, Source};
use super::quad::Quad;
use super::sample::sample;
use super::shrink::Shrunk;
use super::trace::{Stage, Trace};

/// Most places that are judged. More costs time in cluttered pictures, a quarter of a millisecond each.
const MOST: usize = 12;

/// Log-odds from which a face is given. One in eight of those just above it is a face: `read` makes of it what it is worth.
const LEAST: f32 = -2.0;

/// Log-odds, by the finder's map or by the judge, from which something looks so much like a face that it is worth a word when none is
/// given.
const LIKELY: f32 = 0.0;

/// Peaks that are looked at in a picture seen from twice as far: one word needs no more.
const MOST_FROM_AFAR: usize = 3;

/// Most times that an outline is judged and moved. Nearly all rest after two; what starts far from its face needs more.
const STEPS: usize = 4;

/// The same for a face that is followed: it starts from where it was.
const STEPS_FOLLOWING: usize = 2;

/// Finds the faces of a cube in pictures. Keeps its buffers, so use one for many pictures. The same picture always gives the same look.
#[derive(Debug, Default)]
pub struct Finder {
    nets: Nets,
    pyramid: Pyramid,
    shrunk: Shrunk,
    patches: Vec<f32>,
}

impl Finder {
    pub fn new() -> Self {
        Self::default()
    }

    /// Finds and samples the faces in a decoded sRGB picture.
    pub fn look(&mut self, picture: &RgbImage) -> Look {
        self.look_traced(picture).0
    }

    /// The same, also telling what each stage found and how long it took.
    pub fn look_traced(&mut self, picture: &RgbImage) -> (Look, Trace) {
        let mut trace = Trace::new();
        let (width, height) = picture.dimensions();
        if width == 0 || height == 0 {
            return (empty(picture), trace);
        }
        self.pyramid.fill(picture, [0, 0, width, height]);
        self.shrunk.fill(picture, &self.pyramid);
        trace.lap(Stage::Shrink);

        let (wide, high) = (self.shrunk.width, self.shrunk.height);
        let map = self.nets.find(&self.shrunk.values, high, wide);
        let peaks = peaks(&map, wide / STRIDE, high / STRIDE, MOST);
        let in_picture = |peak: &Peak| peak.quad.scaled(1.0 / self.shrunk.scale);
        let proposals: Vec<Quad> = peaks.iter().map(in_picture).collect();
        let heats = peaks.iter().map(|peak| peak.heat);
        trace.proposals = proposals.iter().map(|quad| quad.0).zip(heats).collect();
        trace.lap(Stage::Find);

        let judged = self.judge_all(picture, &proposals, STEPS);
        trace.judged = judged.iter().map(|one| (one.quad.0, one.score)).collect();
        trace.lap(Stage::Judge);

        let group = group(likely(&judged));
        trace.lap(Stage::Group);

        let mut look = self.view(picture, &group);
        if look.faces.is_empty() {
            let is_likely = peaks.first().is_some_and(|peak| peak.heat > LIKELY);
            let guess = judged.first().filter(|_| is_likely);
            look.frame = self.fault(picture, guess.map(|one| one.quad));
        }
        trace.lap(Stage::Sample);
        (look, trace)
    }

    /// Looks again where the faces of an earlier look were, or are foretold to be, and nowhere else: several times faster. Finds a
    /// face that has moved by up to half a sticker; gives none where it is lost.
    pub fn follow(&mut self, picture: &RgbImage, before: &Look) -> Look {
        let quads: Vec<Quad> = before
            .faces
            .iter()
            .map(|face| Quad(face.outline()))
            .collect();
        let Some(region) = around(&quads, picture) else {
            return empty(picture);
        };
        self.pyramid.fill(picture, region);
        let judged = self.judge_all(picture, &quads, STEPS_FOLLOWING);
        self.view(picture, &group(likely(&judged)))
    }

    /// Judges outlines, and the third face's where two of them foretell it.
    fn judge_all(&mut self, picture: &RgbImage, quads: &[Quad], most: usize) -> Vec<Judged> {
        let mut judged = self.judge(picture, quads, most);
        let foretold = foretold(&group(likely(&judged)));
        if !foretold.is_empty() {
            judged.extend(self.judge(picture, &foretold, STEPS));
            judged.sort_by(|a, b| b.score.total_cmp(&a.score));
        }
        judged
    }

    fn judge(&mut self, picture: &RgbImage, quads: &[Quad], most: usize) -> Vec<Judged> {
        let source = Source {
            picture,
            pyramid: &self.pyramid,
        };
        judge(&self.nets, &source, quads, most, &mut self.patches)
    }

    /// Why no face is given, as far as what most looks like one tells.
    fn fault(&mut self, picture: &RgbImage, guess: Option<Quad>) -> Option<FrameFault> {
        let fault = lit_badly(&self.shrunk).or_else(|| shown_badly(&self.source(picture), &guess?));
        fault.or_else(|| {
            let guess = self.guess_from_afar(picture)?;
            shown_badly(&self.source(picture), &guess)
        })
    }

    /// What looks like a face from twice as far, in the picture.
    fn guess_from_afar(&mut self, picture: &RgbImage) -> Option<Quad> {
        let (afar, [left, top]) = self.shrunk.at_half_size();
        let map = self.nets.find(&afar.values, afar.height, afar.width);
        let in_picture = |p: Point| Point {
            x: (p.x - left as f32) / afar.scale,
            y: (p.y - top as f32) / afar.scale,
        };
        let peaks = peaks(
            &map,
            afar.width / STRIDE,
            afar.height / STRIDE,
            MOST_FROM_AFAR,
        );
        let proposals: Vec<Quad> = peaks
            .iter()
            .map(|peak| Quad(peak.quad.0.map(in_picture)))
            .collect();
        let judged = self.judge(picture, &proposals, STEPS);
        let first = judged.first().filter(|one| one.score > LIKELY)?;
        Some(first.quad)
    }

    fn source<'a>(&'a self, picture: &'a RgbImage) -> Source<'a> {
        Source {
            picture,
            pyramid: &self.pyramid,
        }
    }

    fn view(&self, picture: &RgbImage, group: &Group) -> Look {
        let source = self.source(picture);
        let faces = group.faces.iter().map(|face| {
            let lattice = Homography::onto(&face.quad).lattice();
            let mut patches = sample(picture, &lattice);
            let covered = patches.as_flattened_mut().iter_mut().zip(face.covered);
            for (patch, covered) in covered {
                patch.covered = covered;
            }
            FaceView {
                lattice,
                problems: problems(&source, &face.quad, &patches),
                patches,
                score: face.score,
            }
        });
        Look {
            faces: faces.collect(),
            joints: group.joints.clone(),
            ..empty(picture)
        }
    }
}

/// Where a third face must be beside two.
fn foretold(group: &Group) -> Vec<Quad> {
    match (&group.faces[..], &group.joints[..]) {
        ([_, _], [joint]) => {
            let [(a, side), (b, other)] = [joint.a, joint.b];
            let [a, b] = [a, b].map(|at| &group.faces[at].quad);
            third_faces(a, b, (side as usize, other as usize)).collect()
        }
        _ => Vec::new(),
    }
}

/// The part of what was judged, likeliest first, that is given.
fn likely(judged: &[Judged]) -> &[Judged] {
    let count = judged.partition_point(|one| one.score >= LEAST);
    &judged[..count]
}

fn empty(picture: &RgbImage) -> Look {
    Look {
        size: picture.dimensions(),
        ..Look::default()
    }
}

/// The part of the picture in which these outlines and what is around them lie; `None` where nothing of it lies in the picture.
fn around(quads: &[Quad], picture: &RgbImage) -> Option<Region> {
    let (width, height) = picture.dimensions();
    let mut around = [width, height, 0, 0];
    for quad in quads {
        let [left, top, right, bottom] = quad.span();
        // A patch goes a quarter of a face beyond each side, and the face may have moved.
        let margin = 0.5 * (right - left).max(bottom - top);
        let clip = |at: f32, side: u32| at.clamp(0.0, side as f32) as u32;
        around = [
            around[0].min(clip(left - margin, width)),
            around[1].min(clip(top - margin, height)),
            around[2].max(clip(right + margin, width)),
            around[3].max(clip(bottom + margin, height)),
        ];
    }
    (around[0] < around[2] && around[1] < around[3]).then_some(around)
}
