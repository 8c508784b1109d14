//! Finds the faces of a cube in a picture: runs the stages and settles which faces make one cube.

use image::RgbImage;

use super::candidate::{Candidate, settle};
use super::grooves::{View, Views};
use super::group::{ALL_IN_SIGHT, Group, Member, complete};
use super::lattice::{Proposal, propose};
use super::look::{FaceView, Look, Patch};
use super::plane::Homography;
use super::problems::problems;
use super::quads::{Quad, fit, keep};
use super::regions::{Regions, STEPS};
use super::sample::sample;
use super::shrink::Shrunk;
use super::trace::{Stage, Trace};

/// Fewest pixels of a region that can be a sticker.
const SMALLEST: u32 = 16;

/// Faces that are tried as the first of a cube, best first.
const MOST_TIED: usize = 6;

/// Share of the pixels of a sticker that agree on its colour where no hand covers a part of it.
const UNCOVERED: f32 = 0.9;

/// Which of the two shrunk pictures.
#[derive(Clone, Copy)]
enum Size {
    Larger,
    Halved,
}

/// The passes of a search.
#[derive(Clone, Copy, PartialEq)]
enum Pass {
    Halved,
    Larger,
    Pairs,
}

/// Finds the faces of a cube in pictures. Keeps its buffers, so use one for many pictures. The same picture always gives the same look.
#[derive(Debug, Default)]
pub struct Finder {
    shrunk: Shrunk,
    halved: Shrunk,
    regions: Regions,
    quads: Vec<Quad>,
    /// The quads of both sizes; many a shape is in it twice.
    seen: Vec<Quad>,
}

/// What a search found.
struct Search {
    group: Option<Group>,
    /// Where there is no group: whether a face was seen too much from the side, and what most looks like one.
    too_steep: bool,
    doubtful: Option<Candidate>,
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
        let size = picture.dimensions();
        self.shrunk.fill(picture);
        self.halved.halve(&self.shrunk);
        trace.lap(Stage::Shrink);
        let found = self.search(picture, &mut trace);
        let view = |face: &Candidate, hidden: &[[bool; 3]; 3]| {
            let lattice = face.plane.lattice();
            let mut patches = sample(picture, &lattice);
            leave_out(&mut patches, hidden);
            FaceView {
                lattice,
                problems: problems(face, &lattice, &patches, size),
                patches,
                // Faces that pass every check make one false face in some thousands of pictures.
                score: (face.score() / 4.0).clamp(0.0, 9.0) as f32,
            }
        };
        let mut look = Look {
            size,
            too_steep: found.too_steep,
            doubtful: found.doubtful.map(|face| view(&face, &ALL_IN_SIGHT)),
            ..Look::default()
        };
        if let Some(group) = &found.group {
            for Member { face, hidden, .. } in &group.faces {
                look.faces.push(view(face, hidden));
            }
            look.joints = group.joints();
        }
        trace.lap(Stage::Sample);
        (look, trace)
    }

    /// Searches the halved picture first, where near cubes show and little is to be read, then the larger one, and at last the places that only two
    /// quads speak for. Stops at a cube that leaves no doubt.
    fn search(&mut self, picture: &RgbImage, trace: &mut Trace) -> Search {
        let size = picture.dimensions();
        let mut faces: Vec<Candidate> = Vec::new();
        let mut tried: Vec<Homography> = Vec::new();
        let mut best: Option<Group> = None;
        let mut too_steep = false;
        self.seen.clear();
        let mut left: Vec<Proposal> = Vec::new();
        for pass in [Pass::Halved, Pass::Larger, Pass::Pairs] {
            let mut proposals = match pass {
                Pass::Halved => self.proposals(Size::Halved, trace),
                Pass::Larger => self.proposals(Size::Larger, trace),
                Pass::Pairs => std::mem::take(&mut left),
            };
            if !matches!(pass, Pass::Pairs) {
                left.extend(proposals.extract_if(.., |proposal| proposal.votes < 3));
            }
            proposals.sort_by_key(|proposal| std::cmp::Reverse(proposal.votes));
            trace.propose(&proposals);
            let views = Views {
                small: self.shrunk.view(),
                full: full_view(picture),
            };
            let known = faces.len();
            for Proposal { plane, .. } in &proposals {
                if tried.iter().any(|other| same_place(other, plane)) {
                    continue;
                }
                tried.push(*plane);
                let Some(face) = settle(&views, plane, size) else {
                    continue;
                };
                tried.push(face.plane);
                match faces
                    .iter_mut()
                    .find(|other| overlaps(&other.plane, &face.plane))
                {
                    Some(other) if other.score() < face.score() => *other = face,
                    Some(_) => {}
                    None => faces.push(face),
                }
            }
            trace.lap(Stage::Lattice);
            if pass == Pass::Pairs && faces.len() == known {
                break;
            }
            faces.sort_by(|a, b| b.score().total_cmp(&a.score()));
            let mut groups: Vec<Group> = faces
                .iter()
                .take(MOST_TIED)
                .map(|face| complete(face, &faces, &views, size))
                .collect();
            groups.sort_by(|a, b| b.score().total_cmp(&a.score()));
            let seen = &self.seen;
            let cube = groups.iter().position(|group| group.is_cube(&views, seen));
            too_steep =
                cube.is_none() && groups.iter().any(|group| group.is_steep_face(&views, seen));
            best = cube.map(|at| groups.swap_remove(at));
            trace.lap(Stage::Pose);
            if best
                .as_ref()
                .is_some_and(|group| group.is_certain() || pass == Pass::Larger)
            {
                break;
            }
        }
        trace.faces = faces.iter().map(|face| face.plane.lattice()).collect();
        Search {
            doubtful: faces.first().copied().filter(|_| best.is_none()),
            group: best,
            too_steep,
        }
    }

    /// The lattices of one size of the picture. They grow from quads of one size only, as both see a sticker's rim differently.
    fn proposals(&mut self, size: Size, trace: &mut Trace) -> Vec<Proposal> {
        let picture = match size {
            Size::Larger => &self.shrunk,
            Size::Halved => &self.halved,
        };
        self.regions.measure(picture);
        self.quads.clear();
        let largest = (picture.width * picture.height / 12) as u32;
        for step in STEPS {
            let quads = &mut self.quads;
            self.regions
                .find(picture.width, step, SMALLEST, largest, |area, runs| {
                    if let Some(quad) = fit(area, runs) {
                        keep(quads, quad.scaled(picture.factor as f32));
                    }
                });
        }
        trace.see(&self.quads);
        self.seen.extend_from_slice(&self.quads);
        trace.lap(Stage::Quads);
        let mut proposals = Vec::new();
        propose(&self.quads, picture.factor as f32, &mut proposals);
        trace.lap(Stage::Lattice);
        proposals
    }
}

/// Takes what a hand hides for no colour at all, and so the stickers beside it that it covers in part.
fn leave_out(patches: &mut [[Patch; 3]; 3], hidden: &[[bool; 3]; 3]) {
    if *hidden == ALL_IN_SIGHT {
        return;
    }
    let hidden = hidden.as_flattened();
    for (patch, &hidden) in patches.as_flattened_mut().iter_mut().zip(hidden) {
        if hidden || patch.agreeing < UNCOVERED {
            patch.agreeing = 0.0;
        }
    }
}

fn full_view(picture: &RgbImage) -> View<'_> {
    let (width, height) = picture.dimensions();
    View {
        rgb: picture.as_raw(),
        width: width as usize,
        height: height as usize,
        factor: 1,
    }
}

/// Whether two lattices lie so near to each other, but for quarter turns, that both lead to the same face.
fn same_place(a: &Homography, b: &Homography) -> bool {
    let (p, q) = (a.outline(), b.outline());
    let cell = (p[0].0 - p[1].0).hypot(p[0].1 - p[1].1) / 3.0;
    let near = |i: usize, k: usize| (p[i].0 - q[k].0).hypot(p[i].1 - q[k].1) < 0.2 * cell;
    (0..4).any(|turns| (0..4).all(|i| near(i, (i + turns) % 4)))
}

fn overlaps(a: &Homography, b: &Homography) -> bool {
    let (p, q) = (a.map(0.0, 0.0), b.map(0.0, 0.0));
    let (r, s) = (a.map(1.5, 1.5), a.map(1.5, -1.5));
    let half = (r.0 - p.0)
        .hypot(r.1 - p.1)
        .min((s.0 - p.0).hypot(s.1 - p.1));
    (p.0 - q.0).hypot(p.1 - q.1) < 0.5 * half
}
