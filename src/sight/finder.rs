//! Finds the faces of a cube in a picture: runs the stages and settles which faces make one cube.

use std::time::{Duration, Instant};

use image::RgbImage;

use super::grooves::{View, improve, measure};
use super::lattice::{Proposal, propose};
use super::look::{FaceView, Joint, Look, Point, Side};
use super::plane::Homography;
use super::pose::Pose;
use super::quads::{Quad, fit};
use super::regions::{Regions, STEPS};
use super::sample::sample;
use super::shrink::Shrunk;
use super::verify::{Evidence, goes_on, is_face, weigh};

/// Finds the faces of a cube in pictures. Keeps its buffers, so use one for many pictures. The same picture always gives the same look.
#[derive(Debug, Default)]
pub struct Finder {
    shrunk: Shrunk,
    regions: Regions,
    quads: Vec<Quad>,
}

/// What the stages made of a picture, for debugging and for timing.
#[derive(Debug, Default)]
pub struct Trace {
    /// Stage names and the time each took.
    pub times: Vec<(&'static str, Duration)>,
    /// Corners of the quads, in full-size pixels.
    pub quads: Vec<[Point; 4]>,
    /// Outlines of the proposed faces.
    pub proposals: Vec<[Point; 4]>,
    /// Lattices of the faces that passed on their own.
    pub faces: Vec<[[Point; 4]; 4]>,
    pub notes: Vec<String>,
}

/// A face that has been measured.
#[derive(Clone, Copy, Debug)]
struct Candidate {
    plane: Homography,
    margin: f64,
    evidence: Evidence,
    pose: Pose,
}

impl Candidate {
    fn score(&self) -> f64 {
        f64::from(self.evidence.inner) + 0.5 * f64::from(self.evidence.outer)
            - 40.0 * f64::from(self.evidence.error)
    }
}

impl Finder {
    pub fn new() -> Self {
        Self::default()
    }

    /// Finds and samples the faces in a decoded sRGB picture.
    pub fn look(&mut self, picture: &RgbImage) -> Look {
        self.run(picture, None)
    }

    /// The same, also telling what each stage found and how long it took.
    pub fn look_traced(&mut self, picture: &RgbImage) -> (Look, Trace) {
        let mut trace = Trace::default();
        let look = self.run(picture, Some(&mut trace));
        (look, trace)
    }

    fn run(&mut self, picture: &RgbImage, mut trace: Option<&mut Trace>) -> Look {
        let mut clock = Instant::now();
        let mut lap = |trace: &mut Option<&mut Trace>, name: &'static str| {
            if let Some(trace) = trace {
                trace.times.push((name, clock.elapsed()));
                clock = Instant::now();
            }
        };
        let size = picture.dimensions();
        let mut look = Look {
            size,
            ..Look::default()
        };
        self.shrunk.fill(picture);
        lap(&mut trace, "shrink");
        self.regions.measure(&self.shrunk);
        self.find_quads();
        lap(&mut trace, "quads");
        let mut proposals = Vec::new();
        propose(&self.quads, 3, &mut proposals);
        proposals.sort_by_key(|proposal| std::cmp::Reverse(proposal.votes));
        lap(&mut trace, "lattice");
        if let Some(trace) = &mut trace {
            let factor = self.shrunk.factor as f32;
            trace.quads = self
                .quads
                .iter()
                .map(|quad| corners(quad, factor))
                .collect();
            trace.proposals = proposals
                .iter()
                .map(|p| {
                    p.plane
                        .scaled(f64::from(factor))
                        .outline()
                        .map(|(x, y)| Point {
                            x: x as f32,
                            y: y as f32,
                        })
                })
                .collect();
        }
        let full = View {
            rgb: picture.as_raw(),
            width: size.0 as usize,
            height: size.1 as usize,
            factor: 1,
        };
        let small = View {
            rgb: &self.shrunk.rgb,
            width: self.shrunk.width,
            height: self.shrunk.height,
            factor: self.shrunk.factor,
        };
        let mut faces: Vec<Candidate> = Vec::new();
        for Proposal { plane, .. } in &proposals {
            let plane = plane.scaled(self.shrunk.factor as f64);
            let view = choose(&plane, small, full);
            if let Some(face) = settle(&view, &plane, size, trace.as_deref_mut()) {
                let same = faces
                    .iter_mut()
                    .find(|other| overlaps(&other.plane, &face.plane));
                match same {
                    Some(other) if other.score() < face.score() => *other = face,
                    Some(_) => {}
                    None => faces.push(face),
                }
            }
        }
        faces.sort_by(|a, b| b.score().total_cmp(&a.score()));
        lap(&mut trace, "refine");
        if let Some(trace) = &mut trace {
            trace.faces = faces.iter().map(|face| face.plane.lattice()).collect();
        }
        let mut best: Vec<Candidate> = Vec::new();
        for face in faces.iter().take(6) {
            let group = complete(face, &small, &full, size, trace.as_deref_mut());
            let total = |faces: &[Candidate]| faces.iter().map(Candidate::score).sum::<f64>();
            if total(&group) > total(&best) {
                best = group;
            }
        }
        lap(&mut trace, "pose");
        for face in &best {
            let lattice = face.plane.lattice();
            look.faces.push(FaceView {
                lattice,
                patches: sample(picture, &lattice),
                fit: (face.score() / 30.0).clamp(0.0, 1.0) as f32,
                tilt: face.pose.tilt() as f32,
                problems: Vec::new(),
            });
        }
        look.joints = joints(&look.faces);
        lap(&mut trace, "sample");
        look
    }

    fn find_quads(&mut self) {
        self.quads.clear();
        let pixels = (self.shrunk.width * self.shrunk.height) as u32;
        for step in STEPS {
            let quads = &mut self.quads;
            self.regions
                .find(self.shrunk.width, step, 16, pixels / 12, |area, runs| {
                    let Some(quad) = fit(area, runs) else { return };
                    let same = quads.iter_mut().find(|other| {
                        let reach = 0.2 * other.area.min(quad.area).sqrt();
                        (other.x - quad.x).abs() < reach
                            && (other.y - quad.y).abs() < reach
                            && (0.5..2.0).contains(&(other.area / quad.area))
                    });
                    match same {
                        Some(other) if other.shape < quad.shape => *other = quad,
                        Some(_) => {}
                        None => quads.push(quad),
                    }
                });
        }
    }
}

fn corners(quad: &Quad, factor: f32) -> [Point; 4] {
    [(-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)].map(|(a, b)| Point {
        x: factor * (quad.x + a * quad.u[0] + b * quad.v[0]),
        y: factor * (quad.y + a * quad.u[1] + b * quad.v[1]),
    })
}

/// The view in which a cell is large enough to be measured, and no larger than needed.
fn choose<'a>(plane: &Homography, small: View<'a>, full: View<'a>) -> View<'a> {
    let (a, b, c) = (
        plane.map(0.0, 0.0),
        plane.map(1.0, 0.0),
        plane.map(0.0, 1.0),
    );
    let side = (b.0 - a.0)
        .hypot(b.1 - a.1)
        .min((c.0 - a.0).hypot(c.1 - a.1));
    if side / small.factor as f64 >= 30.0 {
        small
    } else {
        full
    }
}

/// Moves a proposed lattice onto the stickers, and accepts it if they make a face.
fn settle(
    view: &View,
    plane: &Homography,
    size: (u32, u32),
    trace: Option<&mut Trace>,
) -> Option<Candidate> {
    let face = refine(view, plane, size)?;
    let on = goes_on(view, &face.plane, face.margin as f32);
    let good = is_face(&face.evidence) && face.pose.error < 0.2 && !on.contains(&true);
    if let Some(trace) = trace {
        let o = face.plane.outline();
        trace.notes.push(format!(
            "settle {good} {:?} on {on:?} pose {:.3} tilt {:.0} margin {:.3} at {:.0?}",
            face.evidence,
            face.pose.error,
            face.pose.tilt(),
            face.margin,
            o
        ));
    }
    good.then_some(face)
}

fn refine(view: &View, plane: &Homography, size: (u32, u32)) -> Option<Candidate> {
    let mut plane = *plane;
    let mut margin = 0.05;
    for _ in 0..4 {
        let borders = measure(view, &plane);
        (plane, margin) = improve(&plane, &borders)?;
    }
    let evidence = weigh(&measure(view, &plane), margin as f32);
    let pose = Pose::of(&plane, size)?;
    Some(Candidate {
        plane,
        margin,
        evidence,
        pose,
    })
}

/// A face together with the other faces of its cube that can be seen.
fn complete(
    face: &Candidate,
    small: &View,
    full: &View,
    size: (u32, u32),
    mut trace: Option<&mut Trace>,
) -> Vec<Candidate> {
    let mut group = vec![*face];
    for (side, pose) in face.pose.neighbours() {
        let plane = pose.plane();
        let view = choose(&plane, *small, *full);
        let Some(found) = refine(&view, &plane, size) else {
            continue;
        };
        let moved = plane
            .outline()
            .iter()
            .zip(found.plane.outline())
            .map(|(a, b)| (a.0 - b.0).hypot(a.1 - b.1))
            .fold(0.0, f64::max);
        let pitch = {
            let (a, b) = (plane.map(-1.5, -1.5), plane.map(1.5, 1.5));
            (a.0 - b.0).hypot(a.1 - b.1) / 4.2
        };
        let good = is_face(&found.evidence) && found.pose.error < 0.25 && moved < 0.6 * pitch;
        if let Some(trace) = &mut trace {
            trace.notes.push(format!(
                "side {side} {good} {:?} moved {:.2} pose {:.3} tilt {:.0}",
                found.evidence,
                moved / pitch,
                found.pose.error,
                pose.tilt()
            ));
        }
        if good {
            group.push(found);
        }
    }
    group
}

fn overlaps(a: &Homography, b: &Homography) -> bool {
    let (p, q) = (a.map(0.0, 0.0), b.map(0.0, 0.0));
    let (r, s) = (a.map(1.5, 1.5), a.map(1.5, -1.5));
    let half = (r.0 - p.0)
        .hypot(r.1 - p.1)
        .min((s.0 - p.0).hypot(s.1 - p.1));
    (p.0 - q.0).hypot(p.1 - q.1) < 0.5 * half
}

/// The sides along which faces touch.
fn joints(faces: &[FaceView]) -> Vec<Joint> {
    let sides = [Side::Top, Side::Right, Side::Bottom, Side::Left];
    let near = |a: Point, b: Point, reach: f32| (a.x - b.x).hypot(a.y - b.y) < reach;
    let mut found = Vec::new();
    for (i, a) in faces.iter().enumerate() {
        for (j, b) in faces.iter().enumerate().skip(i + 1) {
            let (p, q) = (a.outline(), b.outline());
            for s in 0..4 {
                for t in 0..4 {
                    let (p0, p1, q0, q1) = (p[s], p[(s + 1) % 4], q[t], q[(t + 1) % 4]);
                    let reach = 0.12 * (p0.x - p1.x).hypot(p0.y - p1.y);
                    if near(p0, q1, reach) && near(p1, q0, reach) {
                        found.push(Joint {
                            a: (i, sides[s]),
                            b: (j, sides[t]),
                        });
                    }
                }
            }
        }
    }
    found
}
