//! How the cube is held before the camera: which centre is up, and which in front.
//!
//! Whether the whole cube was turned is told by where its axes lie in the picture, beside where they lay: it is held as it was, or as
//! the one of the 24 holds has it that brings them nearest to there. Which faces are found, and which of them is the largest, changes with
//! every finger.

use crate::cube::{Face, Hold};
use crate::sight::{FaceView, Look, Point};

/// By how much (share of a side) a face must lie above another to be the upper one.
const ABOVE: f32 = 0.35;

/// Mean square distance (of an axis' end, in sides of a face) up to which the cube lies as it lay. An axis is half a side long; a whole
/// quarter turn moves two of them by 0.7 of a side or less, as they are seen from.
const AS_IT_LAY: f32 = 0.02;

/// A new hold must lie so many times nearer than the one of before.
const NEARER: f32 = 3.0;

/// Follows how the cube is held.
#[derive(Debug, Default)]
pub struct Posture {
    before: Option<Before>,
}

/// How it was held when two of its faces were last seen.
#[derive(Debug)]
struct Before {
    hold: Hold,
    /// Where the centre of each face in hand lies from the centre of the cube, in sides of a face.
    axes: [Point; 6],
    /// The faces in hand that looked at the camera.
    seen: Vec<Face>,
}

/// Where the axes of the cube's own faces lie, as far as a look tells.
type Axes = [Option<Point>; 6];

impl Posture {
    /// The hold: the uppermost face up, and the one that looked at the camera in front when it was first seen.
    pub fn hold(&self) -> Option<Hold> {
        self.before.as_ref().map(|before| before.hold)
    }

    /// Takes a look at a cube at rest. `placed` says which face of the cube each is, and by how many quarter turns clockwise its rows
    /// come to the net's.
    pub fn see(&mut self, look: &Look, placed: &[(Face, u8)], mirrored: bool) {
        let axes = axes(look, placed, mirrored);
        let hold = match &self.before {
            Some(before) => before.nearest(&axes, placed),
            None => first(look, placed, mirrored),
        };
        let Some(hold) = hold else { return };
        let in_hand = Face::ALL.map(|face| axes[hold.home_face(face).index()]);
        match &mut self.before {
            before if in_hand.iter().all(Option::is_some) => {
                *before = Some(Before {
                    hold,
                    axes: in_hand.map(Option::unwrap_or_default),
                    seen: placed
                        .iter()
                        .map(|(face, _)| hold.face_in_hand(*face))
                        .collect(),
                });
            }
            // One face alone says nothing of the third axis.
            Some(before) => before.hold = hold,
            None => {}
        }
    }
}

impl Before {
    fn nearest(&self, axes: &Axes, placed: &[(Face, u8)]) -> Option<Hold> {
        let apart = |hold: &Hold| self.apart(*hold, axes, placed);
        let best = Hold::all().min_by(|a, b| apart(a).total_cmp(&apart(b)))?;
        let stays = apart(&self.hold);
        match stays < AS_IT_LAY || stays < NEARER * apart(&best) {
            true => Some(self.hold),
            false => Some(best),
        }
    }

    /// Mean square distance of the axes from where they lay, were the cube held so.
    fn apart(&self, hold: Hold, axes: &Axes, placed: &[(Face, u8)]) -> f32 {
        let looks_away = |face: Face| self.seen.contains(&hold.face_in_hand(face).opposite());
        if placed.iter().any(|(face, _)| looks_away(*face)) {
            return f32::INFINITY;
        }
        let known = Face::ALL.into_iter().filter_map(|face| {
            let (now, then) = (
                axes[face.index()]?,
                self.axes[hold.face_in_hand(face).index()],
            );
            Some((now.x - then.x).powi(2) + (now.y - then.y).powi(2))
        });
        let known: Vec<f32> = known.collect();
        known.iter().sum::<f32>() / known.len().max(1) as f32
    }
}

/// Each side of an outline lies towards the face beyond it.
fn axes(look: &Look, placed: &[(Face, u8)], mirrored: bool) -> Axes {
    let mut sums = [(Point::default(), 0u8); 6];
    let side = look.faces.iter().map(length).fold(1.0, f32::max);
    for (view, (face, roll)) in look.faces.iter().zip(placed) {
        let (outline, centre) = (view.outline(), centre(view));
        for at in 0..4 {
            let beyond = beyond(*face, *roll, at, mirrored);
            let (a, b) = (outline[at], outline[(at + 1) % 4]);
            let x = ((a.x + b.x) / 2.0 - centre.x) / side;
            let y = ((a.y + b.y) / 2.0 - centre.y) / side;
            for (face, sign) in [(beyond, 1.0), (beyond.opposite(), -1.0)] {
                let (sum, count) = &mut sums[face.index()];
                *sum = Point {
                    x: sum.x + sign * x,
                    y: sum.y + sign * y,
                };
                *count += 1;
            }
        }
    }
    sums.map(|(sum, count)| {
        let n = f32::from(count);
        (count > 0).then_some(Point {
            x: sum.x / n,
            y: sum.y / n,
        })
    })
}

/// The face of the cube that lies beyond a side of a face's outline.
fn beyond(face: Face, roll: u8, side: usize, mirrored: bool) -> Face {
    let side = if mirrored { 3 - side } else { side };
    face.around()[(side + usize::from(roll)) % 4]
}

/// The hold that a look at two faces or three shows: in front is the largest, but for one that lies above the rest and so looks up.
fn first(look: &Look, placed: &[(Face, u8)], mirrored: bool) -> Option<Hold> {
    let faces = look.faces.iter().zip(placed);
    let mut faces: Vec<(&FaceView, Face, u8)> = faces
        .map(|(view, (face, roll))| (view, *face, *roll))
        .collect();
    let height = |view: &FaceView| centre(view).y;
    faces.sort_by(|a, b| height(a.0).total_cmp(&height(b.0)));
    let side = faces
        .iter()
        .map(|(view, ..)| length(view))
        .fold(0.0, f32::max);
    let [(upper, ..), (lower, ..), ..] = faces[..] else {
        return None;
    };
    let above = (height(lower) - height(upper) > ABOVE * side).then(|| faces.remove(0).1);
    let (view, front, roll) = faces
        .into_iter()
        .max_by(|a, b| area(a.0).total_cmp(&area(b.0)))?;
    let up = above.unwrap_or_else(|| beyond(front, roll, topmost(view), mirrored));
    Hold::new(up.opposite().home_colour(), front.home_colour())
}

/// The side of a face's outline that lies uppermost in the picture.
fn topmost(view: &FaceView) -> usize {
    let outline = view.outline();
    let height = |i: &usize| outline[*i].y + outline[(i + 1) % 4].y;
    (0..4)
        .min_by(|a, b| height(a).total_cmp(&height(b)))
        .unwrap_or(0)
}

fn centre(view: &FaceView) -> Point {
    let outline = view.outline();
    Point {
        x: outline.iter().map(|p| p.x).sum::<f32>() / 4.0,
        y: outline.iter().map(|p| p.y).sum::<f32>() / 4.0,
    }
}

/// Pixels of the longest side.
fn length(view: &FaceView) -> f32 {
    let outline = view.outline();
    let side = |i: usize| {
        let (a, b) = (outline[i], outline[(i + 1) % 4]);
        (a.x - b.x).hypot(a.y - b.y)
    };
    (0..4).map(side).fold(0.0, f32::max)
}

/// Pixels, by the shoelace formula.
fn area(view: &FaceView) -> f32 {
    let outline = view.outline();
    let twice: f32 = (0..4)
        .map(|i| {
            let (a, b) = (outline[i], outline[(i + 1) % 4]);
            a.x * b.y - b.x * a.y
        })
        .sum();
    twice.abs() / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::live::testing;

    type Vector = [f32; 3];

    /// Right, up, towards the camera.
    fn normal(face: Face) -> Vector {
        match face {
            Face::R => [1.0, 0.0, 0.0],
            Face::L => [-1.0, 0.0, 0.0],
            Face::U => [0.0, 1.0, 0.0],
            Face::D => [0.0, -1.0, 0.0],
            Face::F => [0.0, 0.0, 1.0],
            Face::B => [0.0, 0.0, -1.0],
        }
    }

    /// A look at some faces in hand, seen from above and turned aside by so many degrees, with which face each is.
    fn seen(hold: Hold, in_hand: &[Face], aside: f32) -> (Look, Vec<(Face, u8)>) {
        let faces = in_hand.iter().map(|face| hold.home_face(*face));
        let placed: Vec<(Face, u8)> = faces.map(|face| (face, 0)).collect();
        let mut look = testing::look(0.0, 0);
        let model = look.faces.remove(0);
        for (face, _) in &placed {
            let towards = |face: Face| normal(hold.face_in_hand(face));
            // Row 0 lies along the face above in the net.
            let [above, right, ..] = face.around();
            let (n, a, r) = (towards(*face), towards(above), towards(right));
            let at = |row: usize, column: usize| {
                let (down, along) = (
                    row as f32 * 2.0 / 3.0 - 1.0,
                    column as f32 * 2.0 / 3.0 - 1.0,
                );
                let v: Vector = std::array::from_fn(|i| n[i] - a[i] * down + r[i] * along);
                let (sin, cos) = aside.to_radians().sin_cos();
                let (x, z) = (v[0] * cos + v[2] * sin, v[2] * cos - v[0] * sin);
                let y = v[1] * 0.85 - z * 0.52;
                Point {
                    x: 320.0 + 50.0 * x,
                    y: 240.0 - 50.0 * y,
                }
            };
            let mut view = model.clone();
            view.lattice = std::array::from_fn(|row| std::array::from_fn(|column| at(row, column)));
            look.faces.push(view);
        }
        (look, placed)
    }

    fn see(posture: &mut Posture, hold: Hold, in_hand: &[Face], aside: f32) -> Option<Hold> {
        let (look, placed) = seen(hold, in_hand, aside);
        posture.see(&look, &placed, false);
        posture.hold()
    }

    /// Where a finger hid the larger of two sides, the whole cube was told to be turned.
    #[test]
    fn a_face_that_is_hidden_is_no_whole_cube_turn() {
        let all = [Face::U, Face::F, Face::R];
        for hold in Hold::all() {
            let mut posture = Posture::default();
            assert_eq!(see(&mut posture, hold, &all, -35.0), Some(hold));
            for (seen, aside) in [
                (&all[..2], -30.0),
                (&[Face::U, Face::R], -48.0),
                (&[Face::R], -52.0),
                (&[Face::U], -25.0),
                (&[Face::F, Face::R], -45.0),
                (&all, -50.0),
            ] {
                assert_eq!(see(&mut posture, hold, seen, aside), Some(hold), "{seen:?}");
            }
        }
    }

    #[test]
    fn each_turn_of_the_whole_cube_is_seen() {
        let all = [Face::U, Face::F, Face::R];
        for (axis, quarters) in Face::ALL
            .iter()
            .flat_map(|axis| (1..4).map(move |q| (*axis, q)))
        {
            for shown in [&all[..], &all[..2], &all[..1]] {
                let mut posture = Posture::default();
                see(&mut posture, Hold::HOME, &all, -35.0);
                let turned = Hold::HOME.rotated(axis, quarters);
                assert_eq!(
                    see(&mut posture, turned, shown, -40.0),
                    Some(turned),
                    "{axis:?} {quarters} {shown:?}"
                );
            }
        }
    }
}
