//! What one picture shows: faces with their sampled stickers, and how those faces touch.

use palette::LinSrgb;

/// A point in the picture as stored, in pixels: x right, y down, the centre of the top-left pixel at (0.5, 0.5).
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Point {
    pub x: f32,
    pub y: f32,
}

/// One sticker's colour as the camera gave it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Patch {
    /// Robust centre colour, linear light, relative to the camera's white; 0 to 1 where nothing clips.
    pub rgb: LinSrgb<f32>,
    /// Robust standard deviation of the kept pixels, as a fraction of the brightest channel of `rgb`.
    pub spread: f32,
    /// Share of the sticker's pixels, 0 to 1, of which at least one channel is clipped at the top.
    pub clipped: f32,
    /// Share of the sticker's pixels, 0 to 1, that agree with `rgb`; low under glare, a finger or a logo.
    pub agreeing: f32,
    /// Chance, 0 to 1, that something lies on the sticker: a finger, a thing in front.
    pub covered: f32,
}

/// A side of a face's grid as it lies in the picture's grid order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Side {
    /// Row 0, from the first to the second outline point.
    Top,
    /// Column 2, from the second to the third.
    Right,
    /// Row 2, from the third to the fourth.
    Bottom,
    /// Column 0, from the fourth to the first.
    Left,
}

/// Two faces of a [`Look`] that share an edge of the cube. The stickers along it meet in opposite directions
/// (each face's outline runs clockwise in the picture).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Joint {
    /// Index into [`Look::faces`] and the side of that face's grid.
    pub a: (usize, Side),
    /// The same for the other face.
    pub b: (usize, Side),
}

/// Something that makes a face hard to trust.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Problem {
    Glare,
    Blur,
    Dark,
    Bright,
    Hidden,
    Small,
    CutOff,
}

/// One face found in a picture.
#[derive(Clone, Debug)]
pub struct FaceView {
    /// The 4x4 grid corners of the 3x3 stickers, `[row][column]`. The walk (0,0) -> (0,3) -> (3,3) -> (3,0) is
    /// clockwise in the picture (x right, y down). The roll (which corner is first) is arbitrary.
    pub lattice: [[Point; 4]; 4],
    /// `[row][column]`, between lattice rows and columns of the same index and the next.
    pub patches: [[Patch; 3]; 3],
    /// Natural log-odds that this is a face of a cube, by what the picture shows at its place. Faces of little chance are given,
    /// too: whoever reads them weighs it.
    pub score: f32,
    /// What makes this face hard to trust.
    pub problems: Vec<Problem>,
}

/// The cube that was found in one picture. Two or three faces of one corner view are tied by joints.
#[derive(Clone, Debug, Default)]
pub struct Look {
    /// Width and height of the picture in pixels.
    pub size: (u32, u32),
    pub faces: Vec<FaceView>,
    pub joints: Vec<Joint>,
    /// Where no face is given: what the frame shows instead, if that can be told.
    pub frame: Option<FrameFault>,
}

/// Why no face is found in a picture, as far as the picture itself tells.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum FrameFault {
    /// Too little light for anything to be seen.
    Dark,
    /// Most of the picture is white.
    Bright,
    /// Something like a cube, smeared in one direction.
    Moving,
    /// Something like a cube, out of focus.
    Blurred,
    /// Something like a cube, too small.
    Far,
    /// Something like a cube, so large that the picture hardly holds a side of it.
    Near,
    /// Something like a cube, partly outside of the picture.
    CutOff,
}

impl FaceView {
    /// The four outer corners, clockwise in the picture from the start of row 0.
    pub fn outline(&self) -> [Point; 4] {
        let l = &self.lattice;
        [l[0][0], l[0][3], l[3][3], l[3][0]]
    }
}
