//! The cube as the learner holds it, seen from the front and a little above, with the next turn as an arrow on it.

use std::fmt::Write;

use super::geometry::{Flat, Solid, View, outward, reading, sticker_corners};
use super::{Stickers, ink};
use crate::cube::{Amount, Face, Move};

/// Page units for one sticker.
const UNIT: f32 = 60.0;
/// How far the far faces stand off the cube, in stickers.
const STAND_OFF: f32 = 2.3;

/// What to draw.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Drawn<'a> {
    /// As held: the front face is the one towards the learner.
    pub stickers: &'a Stickers,
    /// The next move, as made from this hold.
    pub arrow: Option<Move>,
    /// The viewer sees the left face in place of the right one.
    pub from_left: bool,
    /// Also shows the far two side faces, standing off behind the cube as if seen through it.
    pub far_faces: bool,
}

/// An SVG of the cube as held.
pub fn held(drawn: &Drawn) -> String {
    let turn = if drawn.from_left { -36.0 } else { 36.0 };
    let view = View::new(turn, 30.0, UNIT);
    let mut body = String::new();
    let (near, far): (Vec<Face>, Vec<Face>) =
        Face::ALL.into_iter().partition(|f| view.sees(outward(*f)));
    if drawn.far_faces {
        for face in far.into_iter().filter(|f| *f != Face::D) {
            draw_face(&mut body, drawn.stickers, face, &view, STAND_OFF);
        }
    }
    if let Some(Move::Rotation(axis, amount)) = drawn.arrow {
        whole_arrow(&mut body, axis.like(), amount, &view, Half::Behind);
    }
    for &face in &near {
        draw_face(&mut body, drawn.stickers, face, &view, 0.0);
    }
    match drawn.arrow {
        Some(Move::Rotation(axis, amount)) => {
            whole_arrow(&mut body, axis.like(), amount, &view, Half::InFront)
        }
        Some(turn) => layer_arrow(&mut body, turn, &view, &near),
        None => {}
    }
    let (side, top) = if drawn.far_faces {
        (5.0, 4.6)
    } else {
        (3.4, 3.1)
    };
    let box_ = [-side, -top, 2.0 * side, top + 3.0].map(|v| v * UNIT);
    ink::document(box_, "the cube as you hold it", &body)
}

fn draw_face(out: &mut String, stickers: &Stickers, face: Face, view: &View, lift: f32) {
    let first = sticker_corners(face, 0, lift);
    let plate = [
        first[0],
        sticker_corners(face, 2, lift)[1],
        sticker_corners(face, 8, lift)[2],
        sticker_corners(face, 6, lift)[3],
    ];
    let _ = write!(
        out,
        "<polygon points=\"{}\" fill=\"{1}\" stroke=\"{1}\" stroke-width=\"6\" stroke-linejoin=\"round\"/>",
        ink::points(&plate.map(|p| view.project(p))),
        ink::BODY
    );
    // A far face is seen from inside: its letters would be mirrored, so they are turned to read from the left.
    let upright = (!view.sees(outward(face))).then(|| {
        let (right, down) = reading(face);
        let zero = view.project(Solid::default());
        (view.project(right * -1.0) - zero, view.project(down) - zero)
    });
    let mut frames = String::new();
    for (i, sticker) in stickers.face(face).iter().enumerate() {
        let corners = sticker_corners(face, i, lift).map(|p| view.project(p));
        ink::sticker(out, sticker, corners, upright);
        ink::frame(&mut frames, sticker, corners);
    }
    out.push_str(&frames);
}

/// The arrow of a layer runs over the faces in view, along the middle of the layer's stickers.
fn layer_arrow(out: &mut String, turn: Move, view: &View, near: &[Face]) {
    // How far out along the axis the arrow lies: near an outer layer's rim, so that the letters under it can still
    // be read; between the two layers of a wide turn; in the middle of a slice.
    let (face, out_by) = match turn {
        Move::Outer(turn) => (turn.face, 1.34),
        Move::Wide(turn) => (turn.face, 0.5),
        Move::Slice(slice, _) => (slice.like(), 0.0),
        Move::Rotation(axis, _) => (axis.like(), 0.0),
    };
    let amount = turn.amount();
    let axis = outward(face);
    let band: Vec<Face> = near
        .iter()
        .copied()
        .filter(|f| outward(*f).dot(axis) == 0.0)
        .collect();
    let [a, b] = band[..] else { return };
    // Seen from outside, a clockwise turn carries what faces `way` to what faces `way x axis`.
    let clockwise_from_a = outward(a).cross(axis).dot(outward(b)) > 0.0;
    let forward = clockwise_from_a == (amount != Amount::Counter);
    let (from, to) = if forward { (a, b) } else { (b, a) };
    let (from, to) = (outward(from), outward(to));
    let (lift, rim) = (1.56, axis * out_by);
    let line = [
        rim + from * lift + to * -1.05,
        rim + from * lift + to * lift,
        rim + to * lift + from * -1.0,
    ]
    .map(|p| view.project(p));
    arrow(out, &rounded(line), UNIT * 0.2, amount == Amount::Half);
}

/// Which half of the ring around the cube.
#[derive(Clone, Copy, PartialEq)]
enum Half {
    Behind,
    InFront,
}

/// The arrow of the whole cube runs along a ring around it; the far half lies behind the cube.
fn whole_arrow(out: &mut String, face: Face, amount: Amount, view: &View, half: Half) {
    let axis = outward(face);
    let toward = view.toward();
    let facing = (toward + axis * -toward.dot(axis)).unit();
    let side = facing.cross(axis);
    let radius = 2.75;
    let ring = |degrees: f32| {
        let t = degrees.to_radians();
        view.project((facing * t.cos() + side * t.sin()) * radius + axis * -0.4)
    };
    let sign = if amount == Amount::Counter { -1.0 } else { 1.0 };
    let path = |from: f32, to: f32| -> Vec<Flat> {
        (0..=24)
            .map(|i| ring(sign * (from + (to - from) * i as f32 / 24.0)))
            .collect()
    };
    match half {
        Half::Behind => {
            let _ = write!(
                out,
                "<polyline points=\"{}\" fill=\"none\" stroke=\"{}\" stroke-opacity=\"0.35\" stroke-width=\"{:.1}\" \
                 stroke-linecap=\"round\"/>",
                ink::points(&path(115.0, 245.0)),
                ink::ARROW,
                UNIT * 0.16
            );
        }
        Half::InFront => arrow(out, &path(-75.0, 70.0), UNIT * 0.26, amount == Amount::Half),
    }
}

/// A bent line with its corner rounded off.
fn rounded(line: [Flat; 3]) -> Vec<Flat> {
    let [a, b, c] = line;
    let (before, after) = (b + (a - b) * 0.3, b + (c - b) * 0.3);
    let mut path = vec![a];
    path.extend((0..=8).map(|i| {
        let t = i as f32 / 8.0;
        before * ((1.0 - t) * (1.0 - t)) + b * (2.0 * t * (1.0 - t)) + after * (t * t)
    }));
    path.push(c);
    path
}

/// A line with a head at its end, edged in paper white so that it shows on every sticker. A half turn has two heads.
fn arrow(out: &mut String, path: &[Flat], width: f32, double: bool) {
    let [.., before, end] = path else { return };
    let way = (*end - *before) * (1.0 / (*end - *before).length().max(1e-3));
    let across = Flat::new(-way.y, way.x);
    let head = |tip: Flat| {
        [
            tip,
            tip - way * (width * 2.0) + across * (width * 1.35),
            tip - way * (width * 2.0) - across * (width * 1.35),
        ]
    };
    let mut heads = vec![head(*end + way * width)];
    if double {
        heads.push(head(*end - way * (width * 1.1)));
    }
    let line = ink::points(&[&path[..path.len() - 1], &[*end - way * (width * 0.6)]].concat());
    for (colour, extra) in [(ink::PAPER, width * 0.5), (ink::ARROW, 0.0)] {
        let _ = write!(
            out,
            "<polyline points=\"{line}\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"{:.1}\" \
             stroke-linejoin=\"round\" stroke-linecap=\"round\"/>",
            width + extra
        );
        for head in &heads {
            let _ = write!(
                out,
                "<polygon points=\"{}\" fill=\"{colour}\" stroke=\"{colour}\" stroke-width=\"{:.1}\" \
                 stroke-linejoin=\"round\"/>",
                ink::points(head),
                extra + width * 0.2
            );
        }
    }
}
