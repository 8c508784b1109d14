//! Points of the page and of space, and how the cube lies in space: x right, y up, z to the viewer, centre at the
//! origin, each sticker one unit wide.

use std::ops::{Add, Mul, Sub};

use crate::cube::Face;

/// A point or vector of the page: x right, y down.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Flat {
    pub x: f32,
    pub y: f32,
}

/// A point or vector of space.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Solid {
    pub x: f32,
    pub y: f32,
    pub z: f32,
}

impl Flat {
    pub const fn new(x: f32, y: f32) -> Flat {
        Flat { x, y }
    }

    pub fn length(self) -> f32 {
        self.x.hypot(self.y)
    }

    pub fn mean(of: &[Flat; 4]) -> Flat {
        (of[0] + of[1] + of[2] + of[3]) * 0.25
    }
}

impl Solid {
    pub const fn new(x: f32, y: f32, z: f32) -> Solid {
        Solid { x, y, z }
    }

    pub fn dot(self, o: Solid) -> f32 {
        self.x * o.x + self.y * o.y + self.z * o.z
    }

    pub fn cross(self, o: Solid) -> Solid {
        Solid::new(
            self.y * o.z - self.z * o.y,
            self.z * o.x - self.x * o.z,
            self.x * o.y - self.y * o.x,
        )
    }

    pub fn unit(self) -> Solid {
        self * (1.0 / self.dot(self).sqrt())
    }
}

impl Add for Flat {
    type Output = Flat;
    fn add(self, o: Flat) -> Flat {
        Flat::new(self.x + o.x, self.y + o.y)
    }
}

impl Sub for Flat {
    type Output = Flat;
    fn sub(self, o: Flat) -> Flat {
        Flat::new(self.x - o.x, self.y - o.y)
    }
}

impl Mul<f32> for Flat {
    type Output = Flat;
    fn mul(self, k: f32) -> Flat {
        Flat::new(self.x * k, self.y * k)
    }
}

impl Add for Solid {
    type Output = Solid;
    fn add(self, o: Solid) -> Solid {
        Solid::new(self.x + o.x, self.y + o.y, self.z + o.z)
    }
}

impl Mul<f32> for Solid {
    type Output = Solid;
    fn mul(self, k: f32) -> Solid {
        Solid::new(self.x * k, self.y * k, self.z * k)
    }
}

/// The way out of a face.
pub fn outward(face: Face) -> Solid {
    match face {
        Face::U => Solid::new(0.0, 1.0, 0.0),
        Face::D => Solid::new(0.0, -1.0, 0.0),
        Face::R => Solid::new(1.0, 0.0, 0.0),
        Face::L => Solid::new(-1.0, 0.0, 0.0),
        Face::F => Solid::new(0.0, 0.0, 1.0),
        Face::B => Solid::new(0.0, 0.0, -1.0),
    }
}

/// Directions of reading on a face as the unfolded net has it: (along a row, down a column).
pub fn reading(face: Face) -> (Solid, Solid) {
    let (x, y, z) = (
        Solid::new(1.0, 0.0, 0.0),
        Solid::new(0.0, 1.0, 0.0),
        Solid::new(0.0, 0.0, 1.0),
    );
    match face {
        Face::U => (x, z),
        Face::D => (x, z * -1.0),
        Face::F => (x, y * -1.0),
        Face::B => (x * -1.0, y * -1.0),
        Face::R => (z * -1.0, y * -1.0),
        Face::L => (z, y * -1.0),
    }
}

/// Corners of sticker `index` (0 to 8, reading order), clockwise from the start of its row, on the cube's surface.
pub fn sticker_corners(face: Face, index: usize) -> [Solid; 4] {
    let (right, down) = reading(face);
    let (row, column) = ((index / 3) as f32, (index % 3) as f32);
    let at =
        |c: f32, r: f32| outward(face) * 1.5 + right * (column + c - 1.5) + down * (row + r - 1.5);
    [at(0.0, 0.0), at(1.0, 0.0), at(1.0, 1.0), at(0.0, 1.0)]
}

/// A viewer far away (parallel projection), looking at the cube's centre.
#[derive(Clone, Copy, Debug)]
pub struct View {
    /// Towards the viewer, unit length.
    toward: Solid,
    right: Solid,
    up: Solid,
    /// Page units for one sticker.
    scale: f32,
    /// Where the cube's centre is on the page.
    at: Flat,
}

impl View {
    /// `turn`: degrees that the viewer stands to the right of the front face (negative: to the left); `rise`: degrees above.
    pub fn new(turn: f32, rise: f32, scale: f32) -> View {
        let (t, r) = (turn.to_radians(), rise.to_radians());
        let toward = Solid::new(t.sin() * r.cos(), r.sin(), t.cos() * r.cos());
        let right = Solid::new(t.cos(), 0.0, -t.sin());
        View {
            toward,
            right,
            up: toward.cross(right),
            scale,
            at: Flat::default(),
        }
    }

    /// The same view, the cube's centre elsewhere on the page.
    pub fn moved(self, at: Flat) -> View {
        View { at, ..self }
    }

    /// Page units for one sticker.
    pub fn scale(&self) -> f32 {
        self.scale
    }

    pub fn project(&self, p: Solid) -> Flat {
        Flat::new(p.dot(self.right), -p.dot(self.up)) * self.scale + self.at
    }

    /// Whether the viewer looks at the outside of something that faces `way`.
    pub fn sees(&self, way: Solid) -> bool {
        way.dot(self.toward) > 0.0
    }

    pub fn toward(&self) -> Solid {
        self.toward
    }
}
