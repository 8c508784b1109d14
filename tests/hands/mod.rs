//! Hands that turn a cube before the camera, as looks without pictures: what is seen of each frame is drawn from where the stickers
//! are, with noise, stickers and faces that a hand covers, layers part way, and the truth beside it.

mod scene;
mod view;

use pairsight::cube::{Colour, Cube, Face, Held, Hold, Move, Turn};
use pairsight::sight::Look;
use rand::Rng;
use rand_chacha::ChaCha8Rng;

pub use scene::{Scene, eye, mid_solve};
pub use view::Eye;

/// What hands do, each for some seconds.
#[derive(Clone, Copy, Debug)]
pub enum Act {
    /// Turn a layer, in the present hold.
    Turn(Turn, f64),
    /// Turn the whole cube.
    Rotate(Face, usize, f64),
    /// Hold still.
    Rest(f64),
    /// Leave a layer so many degrees out of line.
    PartWay(Turn, f64, f64),
    /// Out of the picture; it comes back in this hold.
    Away(Hold, f64),
    /// A hand over all of it.
    Cover(f64),
    /// Another cube in its place.
    Swap(Cube, f64),
    /// Held up close.
    Close(f64),
}

/// One frame.
pub struct Frame {
    pub t: f64,
    pub look: Look,
}

/// A cube in hands, and a clock.
pub struct Hands {
    pub held: Held,
    pub eye: Eye,
    /// Frames a second.
    pub fps: f64,
    /// Share of frames that are lost.
    pub lost: f64,
    t: f64,
    /// The next frame is due.
    due: f64,
    rng: ChaCha8Rng,
}

impl Hands {
    pub fn new(held: Held, eye: Eye, fps: f64, rng: ChaCha8Rng) -> Hands {
        Hands {
            held,
            eye,
            fps,
            lost: 0.0,
            t: 0.0,
            due: 0.0,
            rng,
        }
    }

    /// Seconds so far.
    pub fn now(&self) -> f64 {
        self.t
    }

    /// The frames of an act.
    pub fn act(&mut self, act: Act) -> Vec<Frame> {
        let (Act::Turn(_, seconds)
        | Act::Rotate(_, _, seconds)
        | Act::Rest(seconds)
        | Act::PartWay(_, _, seconds)
        | Act::Away(_, seconds)
        | Act::Cover(seconds)
        | Act::Swap(_, seconds)
        | Act::Close(seconds)) = act;
        if let Act::Swap(cube, _) = act {
            self.held.cube = cube;
        }
        let began = self.t;
        let mut frames = Vec::new();
        while self.due < began + seconds {
            let t = self.due;
            self.due += 1.0 / self.fps;
            if self.rng.random_bool(self.lost) {
                continue;
            }
            let done = ((t - began) / seconds).clamp(0.0, 1.0);
            frames.push(self.frame(t, act, done));
        }
        self.t = began + seconds;
        match act {
            Act::Turn(turn, _) => self.held = self.held.apply(&turn.into()),
            Act::Rotate(face, quarters, _) => {
                self.held.hold = self.held.hold.rotated(face, quarters);
            }
            Act::Away(hold, _) => self.held.hold = hold,
            _ => {}
        }
        frames
    }

    fn frame(&mut self, t: f64, act: Act, done: f64) -> Frame {
        let rng = &mut self.rng;
        let held = &self.held;
        let look = match act {
            Act::Turn(turn, _) => {
                let quarters = match turn.amount.quarters() {
                    3 => -1.0,
                    n => n as f64,
                };
                let angle = 90.0 * quarters * smooth(done);
                self.eye.turning(held, turn, angle, rng)
            }
            Act::Rotate(face, quarters, _) => {
                let quarters = if quarters == 3 { -1.0 } else { quarters as f64 };
                let angle = 90.0 * quarters * smooth(done);
                self.eye.rotated(held, face, angle, rng)
            }
            Act::Rest(_) | Act::Swap(..) => self.eye.still(held, 1.0, rng),
            Act::Close(_) => self.eye.still(held, 1.8, rng),
            Act::PartWay(turn, angle, _) => self.eye.turning(held, turn, angle, rng),
            Act::Away(..) if done < LEAVING => {
                let aside = self.eye.aside + 220.0 * done / LEAVING;
                let eye = Eye {
                    aside,
                    ..self.eye.clone()
                };
                eye.still(held, 1.0, rng)
            }
            Act::Away(..) | Act::Cover(_) => self.eye.nothing(),
        };
        Frame { t, look }
    }
}

/// Share of the time away in which the cube is on its way out, downwards.
const LEAVING: f64 = 0.15;

/// Slow, fast, slow.
fn smooth(done: f64) -> f64 {
    done * done * (3.0 - 2.0 * done)
}

/// The hold that shows the corner across from the one that `hold` shows.
pub fn opposite(hold: Hold) -> Hold {
    let down = hold.colour_at(Face::U);
    let across = |face: Face| hold.colour_at(face.opposite());
    let shows = |front: Colour| {
        Hold::new(down, front).filter(|new| {
            let seen = [Face::F, Face::R].map(|face| new.colour_at(face));
            [across(Face::F), across(Face::R)]
                .iter()
                .all(|colour| seen.contains(colour))
        })
    };
    [across(Face::F), across(Face::R)]
        .into_iter()
        .find_map(shows)
        .expect("every corner can be shown")
}

/// A move as an act: a turn in so many seconds, a rotation in twice as many.
pub fn act_of(m: Move, seconds: f64) -> Act {
    let (turns, rotation) = m.as_turns();
    match (turns.first(), rotation) {
        (Some(turn), _) => Act::Turn(
            *turn,
            seconds
                * if turn.amount.quarters() == 2 {
                    1.6
                } else {
                    1.0
                },
        ),
        (None, Some((face, quarters))) => Act::Rotate(face, quarters, 2.0 * seconds),
        (None, None) => Act::Rest(seconds),
    }
}
