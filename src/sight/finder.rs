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
use super::verify::{Evidence, beyond, framed, is_face, may_be_face, weigh};

/// Faces that the camera sees at a steeper angle than this are left out, degrees.
const MOST_TILTED: f64 = 72.0;

/// Furthest that a face's cells may be from squares on their own, in angle or in the ratio of the sides.
const LEAST_SQUARE: f64 = 0.5;

/// Largest root mean square distance of a group's corners from those of one cube, in cells.
const MOST_APART: f64 = 0.2;

/// Lowest score of a face that is tied to another.
const FAINTEST: f64 = 18.0;

/// Fewest pixels of a region that can be a sticker.
const SMALLEST: u32 = 16;

/// Finds the faces of a cube in pictures. Keeps its buffers, so use one for many pictures. The same picture always gives the same look.
#[derive(Debug, Default)]
pub struct Finder {
    shrunk: Shrunk,
    halved: Shrunk,
    regions: Regions,
    quads: [Vec<Quad>; 2],
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
    /// How much the grid seems to go on beyond each side, most first.
    beyond: [u32; 4],
    pose: Pose,
}

impl Candidate {
    fn score(&self) -> f64 {
        let e = &self.evidence;
        f64::from(e.inner + e.outer)
            - 400.0 * f64::from(e.error)
            - 2.0 * f64::from(self.beyond[0].saturating_sub(3))
            - f64::from(self.beyond[1].saturating_sub(3))
    }

    /// Whether the face can be believed without another face of the same cube.
    fn stands_alone(&self) -> bool {
        let limit = if self.pose.tilt() < 40.0 { 0.1 } else { 0.15 };
        self.pose.error < limit
            && self.pose.tilt() < 55.0
            && self.beyond[0] + self.beyond[1] < 8
            && self.evidence.even >= 6
            && self.evidence.rims.iter().filter(|&&rim| rim == 0).count() <= 1
    }

    /// Mean side of a cell, pixels.
    fn cell(&self) -> f64 {
        let o = self.plane.outline();
        (0..4)
            .map(|i| (o[i].0 - o[(i + 1) % 4].0).hypot(o[i].1 - o[(i + 1) % 4].1))
            .sum::<f64>()
            / 12.0
    }

    /// The same face with its grid turned by quarter turns.
    fn turned(&self, turns: usize) -> Candidate {
        let (sin, cos) = [(0.0, 1.0), (1.0, 0.0), (0.0, -1.0), (-1.0, 0.0)][turns];
        Candidate {
            plane: self
                .plane
                .after(&[[cos, -sin, 0.0], [sin, cos, 0.0], [0.0, 0.0, 1.0]]),
            ..*self
        }
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
        self.halved.halve(&self.shrunk);
        lap(&mut trace, "shrink");
        self.find_quads();
        lap(&mut trace, "quads");
        let mut proposals = Vec::new();
        for (quads, picture) in self.quads.iter().zip([&self.shrunk, &self.halved]) {
            propose(quads, picture.factor as f32, &mut proposals);
        }
        proposals.sort_by_key(|proposal| std::cmp::Reverse(proposal.votes));
        lap(&mut trace, "lattice");
        if let Some(trace) = &mut trace {
            trace.quads = self.quads.iter().flatten().map(corners).collect();
            trace.proposals = proposals
                .iter()
                .map(|p| {
                    p.plane.outline().map(|(x, y)| Point {
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
        let mut tried: Vec<Homography> = Vec::new();
        for Proposal { plane, .. } in &proposals {
            if tried.iter().any(|other| same_place(other, plane)) {
                continue;
            }
            tried.push(*plane);
            let view = choose(plane, small, full);
            if let Some(face) = settle(&view, plane, size, trace.as_deref_mut()) {
                tried.push(face.plane);
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
        let best = faces
            .iter()
            .take(6)
            .map(|face| complete(face, &faces, [small, full], size, trace.as_deref_mut()))
            .filter(|group| group.faces.len() > 1 || group.faces[0].1.stands_alone())
            .max_by(|a, b| a.score().total_cmp(&b.score()));
        lap(&mut trace, "pose");
        for (side, face) in best.iter().flat_map(|group| &group.faces) {
            let lattice = face.plane.lattice();
            let pose = best.as_ref().map_or(face.pose, |group| {
                side.map_or(group.pose, |side| group.pose.face(side))
            });
            look.faces.push(FaceView {
                lattice,
                patches: sample(picture, &lattice),
                fit: (face.score() / 36.0).clamp(0.0, 1.0) as f32,
                tilt: pose.tilt() as f32,
                problems: Vec::new(),
            });
        }
        look.joints = joints(&look.faces);
        lap(&mut trace, "sample");
        look
    }

    /// Collects the quads of both sizes of the picture, in full-size pixels. The smaller picture shows blurred stickers with
    /// steeper edges, and with less noise. Lattices grow from quads of one size only, as both see a sticker's rim differently.
    fn find_quads(&mut self) {
        for (picture, quads) in [&self.shrunk, &self.halved]
            .into_iter()
            .zip(&mut self.quads)
        {
            quads.clear();
            self.regions.measure(picture);
            let largest = (picture.width * picture.height / 12) as u32;
            for step in STEPS {
                self.regions
                    .find(picture.width, step, SMALLEST, largest, |area, runs| {
                        if let Some(quad) = fit(area, runs) {
                            keep(quads, quad.scaled(picture.factor as f32));
                        }
                    });
            }
        }
    }
}

/// Adds a quad, unless a better one of much the same place and size is there; replaces a worse one.
fn keep(quads: &mut Vec<Quad>, quad: Quad) {
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
}

fn corners(quad: &Quad) -> [Point; 4] {
    [(-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)].map(|(a, b)| Point {
        x: quad.x + a * quad.u[0] + b * quad.v[0],
        y: quad.y + a * quad.u[1] + b * quad.v[1],
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

/// Whether the whole face lies in the picture, but for a tenth of a cell: of a grid that the picture's rim cuts nobody can tell how it
/// goes on.
fn inside(plane: &Homography, size: (u32, u32)) -> bool {
    let over = |x: f64, y: f64| {
        let (x, y) = plane.map(x, y);
        x < 0.0 || y < 0.0 || x > f64::from(size.0) || y > f64::from(size.1)
    };
    ![(-1.4, -1.4), (1.4, -1.4), (1.4, 1.4), (-1.4, 1.4)]
        .into_iter()
        .any(|(x, y)| over(x, y))
}

/// Moves a proposed lattice onto the stickers, and accepts it if they make a face.
fn settle(
    view: &View,
    plane: &Homography,
    size: (u32, u32),
    trace: Option<&mut Trace>,
) -> Option<Candidate> {
    let mut face = refine(view, plane, size)?;
    if !is_face(&face.evidence)
        || !inside(&face.plane, size)
        || face.pose.error > LEAST_SQUARE
        || face.pose.tilt() > MOST_TILTED
    {
        return None;
    }
    let borders = measure(view, &face.plane);
    face.beyond = beyond(view, &face.plane, &borders, face.margin as f32);
    face.beyond.sort_unstable_by(|a, b| b.cmp(a));
    let on = face.beyond;
    let framed = framed(view, &face.plane, &borders);
    let good = face.beyond[0] < 6 && !framed;
    if let Some(trace) = trace {
        let o = face.plane.outline();
        let e = &face.evidence;
        trace.notes.push(format!(
            "settle;{};{};{};{};{};{};{:.4};{};{:.3};{:.0};{:.3};{};{:.0?}",
            u8::from(good),
            e.inner,
            e.outer,
            e.lines.iter().min().unwrap(),
            e.rims.iter().min().unwrap(),
            e.even,
            e.error,
            { on[0] * 100 + on[1] * 10 + on[2] },
            face.pose.error,
            face.pose.tilt(),
            face.margin,
            u8::from(framed),
            o
        ));
    }
    good.then_some(face)
}

fn refine(view: &View, plane: &Homography, size: (u32, u32)) -> Option<Candidate> {
    let mut plane = *plane;
    let mut margin = 0.05;
    for round in 0..4 {
        let borders = measure(view, &plane);
        // Most proposals are none: leave those early that could hardly get better.
        let evidence = weigh(&borders, margin as f32);
        if evidence.seen < 12 || evidence.inner < [0, 6, 10, 13][round] {
            return None;
        }
        (plane, margin) = improve(&plane, &borders)?;
    }
    let evidence = weigh(&measure(view, &plane), margin as f32);
    let pose = Pose::of(&plane, size)?;
    Some(Candidate {
        plane,
        margin,
        evidence,
        beyond: [0; 4],
        pose,
    })
}

/// A cube as it is being put together: faces with the side of the first that they lie beyond (`None` for the first itself).
#[derive(Clone, Debug)]
struct Group {
    faces: Vec<(Option<usize>, Candidate)>,
    pose: Pose,
    /// Root mean square distance of the faces' corners from those of one cube, in cells.
    error: f64,
}

impl Group {
    fn score(&self) -> f64 {
        let faces = self
            .faces
            .iter()
            .map(|(_, face)| face.score() - 8.0)
            .sum::<f64>();
        // The cube is held towards the camera, so of two likely ones the larger is meant.
        let size = self
            .faces
            .iter()
            .map(|(_, face)| face.cell())
            .fold(1.0, f64::max);
        faces - 20.0 * (self.error - 0.05).max(0.0) + 14.0 * size.log10()
    }
}

/// A face together with the other faces of its cube that can be seen. `others` are faces found on their own.
fn complete(
    face: &Candidate,
    others: &[Candidate],
    [small, full]: [View; 2],
    size: (u32, u32),
    mut trace: Option<&mut Trace>,
) -> Group {
    let mut group = Group {
        faces: vec![(None, *face)],
        pose: face.pose,
        error: face.pose.error,
    };
    for _ in 0..2 {
        for side in 0..4 {
            let expected = group.pose.face(side);
            if expected.tilt() > MOST_TILTED
                || group.faces.iter().any(|&(other, _)| other == Some(side))
            {
                continue;
            }
            let plane = expected.plane();
            let view = choose(&plane, small, full);
            let predicted = refine(&view, &plane, size);
            let turned = others
                .iter()
                .flat_map(|other| (0..4).map(|turns| other.turned(turns)));
            let found = predicted
                .into_iter()
                .chain(turned)
                .filter(|found| touch(face, found, side))
                .max_by(|a, b| a.score().total_cmp(&b.score()));
            let good = |found: &Candidate| is_face(&found.evidence) && found.score() > FAINTEST;
            let found = match found.filter(good) {
                None if group.faces.len() > 1 => faint(&view, &plane, face.margin, size),
                found => found,
            };
            let Some(found) = found else { continue };
            let mut faces = group.faces.clone();
            faces.push((Some(side), found));
            let seen: Vec<_> = faces
                .iter()
                .map(|(side, face)| (*side, face.plane.outline()))
                .collect();
            let Some((pose, apart)) = group.pose.settle(&seen) else {
                continue;
            };
            let error = apart / face.cell();
            let good = error < MOST_APART;
            if let Some(trace) = &mut trace {
                trace.notes.push(format!(
                    "side {side} {good} {:?} score {:.1} apart {error:.3} focal {:.2} tilt {:.0}",
                    found.evidence,
                    found.score(),
                    pose.focal / f64::from(size.0),
                    expected.tilt()
                ));
            }
            if good {
                group = Group { faces, pose, error };
            }
        }
    }
    group
}

/// A face just where the others' pose has it, if nothing speaks against it.
fn faint(view: &View, plane: &Homography, margin: f64, size: (u32, u32)) -> Option<Candidate> {
    let evidence = weigh(&measure(view, plane), margin as f32);
    let pose = Pose::of(plane, size)?;
    may_be_face(&evidence).then_some(Candidate {
        plane: *plane,
        margin,
        evidence,
        beyond: [0; 4],
        pose,
    })
}

/// Whether `found` shares the edge at `side` of `face`.
fn touch(face: &Candidate, found: &Candidate, side: usize) -> bool {
    let (a, b) = (face.plane.outline(), found.plane.outline());
    let pairs = [
        [(1, 0), (2, 3)],
        [(3, 0), (2, 1)],
        [(0, 1), (3, 2)],
        [(0, 3), (1, 2)],
    ][side];
    pairs
        .iter()
        .all(|&(i, k)| (a[i].0 - b[k].0).hypot(a[i].1 - b[k].1) < 0.4 * face.cell())
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
