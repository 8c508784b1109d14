//! The arrow of the next turn: over the layer's stickers, or around the whole cube.

use std::fmt::Write;

use super::geometry::{Flat, View, outward};
use super::ink;
use crate::cube::{Amount, Face, Move};

/// The arrow of a layer runs over the faces in view, along the centre of the layer's stickers.
pub fn layer(out: &mut String, turn: Move, view: &View, near: &[Face]) {
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
    arrow(
        out,
        &rounded(line),
        view.scale() * 0.22,
        amount == Amount::Half,
    );
}

/// Which half of the ring around the cube.
#[derive(Clone, Copy, PartialEq)]
pub enum Half {
    Behind,
    InFront,
}

/// The arrow of the whole cube runs along a ring around it; the far half lies behind the cube.
pub fn whole(out: &mut String, face: Face, amount: Amount, view: &View, half: Half) {
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
                ink::BODY,
                view.scale() * 0.16
            );
        }
        Half::InFront => arrow(
            out,
            &path(-75.0, 70.0),
            view.scale() * 0.28,
            amount == Amount::Half,
        ),
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

/// A line with a head at its end, dark with a light edge and a dark one around that, so that it shows on every sticker and in
/// grey. A half turn has two heads.
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
    for (colour, extra) in [
        (ink::BODY, width * 0.75),
        (ink::PAPER, width * 0.4),
        (ink::BODY, 0.0),
    ] {
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
