//! Outlines of faces: four corners.

use super::look::Point;

/// The outer corners of a face's stickers, clockwise in the picture (x right, y down). Which corner is first says nothing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Quad(pub [Point; 4]);

impl Quad {
    /// Whether it is convex and runs clockwise, as every face that is seen from outside does.
    pub fn is_outline(&self) -> bool {
        (0..4).all(|i| {
            let [a, b, c] = [0, 1, 2].map(|k| self.0[(i + k) % 4]);
            let turn = (b.x - a.x) * (c.y - b.y) - (b.y - a.y) * (c.x - b.x);
            turn > 0.0 && turn.is_finite()
        })
    }

    /// The area, square pixels.
    pub fn area(&self) -> f32 {
        let [a, b, c, d] = self.0;
        ((c.x - a.x) * (d.y - b.y) - (c.y - a.y) * (d.x - b.x)).abs() / 2.0
    }

    /// The side of a sticker, pixels, of a square of the same area.
    pub fn cell(&self) -> f32 {
        self.area().sqrt() / 3.0
    }

    #[cfg(test)]
    pub fn centre(&self) -> Point {
        Point {
            x: self.0.iter().map(|p| p.x).sum::<f32>() / 4.0,
            y: self.0.iter().map(|p| p.y).sum::<f32>() / 4.0,
        }
    }

    /// The mean distance of the corners of both, in cells of this one, under the quarter turn that brings them nearest.
    pub fn apart(&self, other: &Quad) -> f32 {
        let at = |turn: usize| -> f32 {
            (0..4)
                .map(|i| distance(self.0[i], other.0[(i + turn) % 4]))
                .sum()
        };
        let least = (0..4).map(at).fold(f32::INFINITY, f32::min);
        least / 4.0 / self.cell().max(f32::MIN_POSITIVE)
    }

    /// Whether a point lies inside.
    pub fn holds(&self, at: Point) -> bool {
        (0..4).all(|i| {
            let (a, b) = (self.0[i], self.0[(i + 1) % 4]);
            (b.x - a.x) * (at.y - a.y) - (b.y - a.y) * (at.x - a.x) > 0.0
        })
    }

    /// The same outline where all distances from the picture's corner are so many times as long.
    pub fn scaled(&self, factor: f32) -> Quad {
        Quad(self.0.map(|p| Point {
            x: p.x * factor,
            y: p.y * factor,
        }))
    }

    /// The least upright box around it: left, top, right, bottom.
    pub fn span(&self) -> [f32; 4] {
        let fold = |pick: fn(&Point) -> f32, start: f32, keep: fn(f32, f32) -> f32| {
            self.0.iter().map(pick).fold(start, keep)
        };
        [
            fold(|p| p.x, f32::INFINITY, f32::min),
            fold(|p| p.y, f32::INFINITY, f32::min),
            fold(|p| p.x, f32::NEG_INFINITY, f32::max),
            fold(|p| p.y, f32::NEG_INFINITY, f32::max),
        ]
    }

    /// The length of the side from corner `i` to the next.
    pub fn side(&self, i: usize) -> f32 {
        distance(self.0[i % 4], self.0[(i + 1) % 4])
    }

    #[cfg(test)]
    pub fn turned(&self, by: usize) -> Quad {
        Quad(std::array::from_fn(|i| self.0[(i + by) % 4]))
    }
}

pub fn distance(a: Point, b: Point) -> f32 {
    (a.x - b.x).hypot(a.y - b.y)
}
