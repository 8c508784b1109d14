//! One track of the cube: from its coming into the picture to its leaving, and the evidence seen meanwhile.

use super::steady::{Still, movement, overlaid, quality};
use crate::sight::{FaceView, Look};

/// Looks kept of one track. More add little, since the same view errs in the same way, and cost time to decode.
const MOST: usize = 8;

/// Below this movement (share of a face's side) two still looks may be the same view.
const SAME_PLACE: f32 = 0.35;

/// Below this mean difference of stickers (linear light, share of the brighter one) they are the same view. Another side
/// of the cube in the same place differs by several times as much.
const SAME_COLOURS: f32 = 0.12;

/// The evidence of one track.
#[derive(Debug, Default)]
pub struct Track {
    looks: Vec<Look>,
    /// Of each, how likely its faces are such.
    odds: Vec<Vec<f32>>,
    /// Of these, so many at the front were seen before frames failed to come.
    before: usize,
    /// When the last face was seen, seconds.
    pub seen: f64,
    /// When a view was last seen that was not seen before, seconds.
    pub new_view_at: f64,
    /// When a face was last seen that was not seen before, seconds.
    pub gained_at: f64,
    /// The state has been told in this track.
    pub told: bool,
    /// When more was last asked for, seconds.
    pub asked_at: f64,
    /// A fault of the cube has been told in this track.
    pub faulted: bool,
}

impl Track {
    /// A track that begins now.
    pub fn from(t: f64) -> Self {
        Track {
            seen: t,
            new_view_at: t,
            gained_at: t,
            asked_at: f64::NEG_INFINITY,
            ..Track::default()
        }
    }

    /// The looks so far, oldest first.
    pub fn looks(&self) -> &[Look] {
        &self.looks
    }

    /// How likely the faces of each are such, as log-odds (nats).
    pub fn odds(&self) -> &[Vec<f32>] {
        &self.odds
    }

    /// Takes a still look, and says where it is kept. One of the same view is kept once, the better of the two.
    pub fn add(&mut self, t: f64, still: Still) -> usize {
        let Still { look, odds } = still;
        if let Some(at) = self.looks.iter().position(|held| same_view(held, &look)) {
            if quality(&look) > quality(&self.looks[at]) {
                (self.looks[at], self.odds[at]) = (look, odds);
            }
            if at < self.before {
                // It is seen now as well, so it goes with what is seen now.
                self.before -= 1;
                self.looks[at..].rotate_left(1);
                self.odds[at..].rotate_left(1);
                return self.looks.len() - 1;
            }
            return at;
        }
        self.new_view_at = t;
        if self.looks.len() == MOST {
            self.looks.remove(0);
            self.odds.remove(0);
            self.before = self.before.saturating_sub(1);
        }
        self.looks.push(look);
        self.odds.push(odds);
        self.looks.len() - 1
    }

    /// For so many seconds no frames came. They count neither as absence nor as patience.
    pub fn interrupt(&mut self, seconds: f64) {
        self.before = self.looks.len();
        self.seen += seconds;
        self.new_view_at += seconds;
        self.gained_at += seconds;
        self.asked_at += seconds;
    }

    /// Forgets the looks of before frames failed to come, where there are any since, and says how many those were.
    pub fn forget_before(&mut self, t: f64) -> Option<usize> {
        let before = self.before;
        if before == 0 || before == self.looks.len() {
            return None;
        }
        let since = (self.looks.split_off(before), self.odds.split_off(before));
        *self = Track::from(t);
        (self.looks, self.odds) = since;
        Some(before)
    }

    /// Forgets all but the newest look: what was seen before is another state.
    pub fn restart(&mut self, t: f64) {
        let newest = (self.looks.pop(), self.odds.pop());
        self.clear(t);
        self.looks.extend(newest.0);
        self.odds.extend(newest.1);
    }

    /// Forgets all looks.
    pub fn clear(&mut self, t: f64) {
        *self = Track::from(t);
    }
}

/// Whether two looks show the same sides in the same place, so that the second adds nothing new.
pub fn same_view(a: &Look, b: &Look) -> bool {
    a.faces.len() == b.faces.len()
        && movement(a, b).is_some_and(|by| by < SAME_PLACE)
        && b.faces.iter().all(|face| {
            a.faces.iter().any(|old| {
                let (by, roll) = overlaid(old, face);
                by < SAME_PLACE && colour_difference(old, face, roll) < SAME_COLOURS
            })
        })
}

/// Mean difference of the stickers of two faces, the first rolled by so many quarter turns.
fn colour_difference(a: &FaceView, b: &FaceView, roll: usize) -> f32 {
    let mut sum = 0.0;
    for row in 0..3 {
        for column in 0..3 {
            let (mut r, mut c) = (row, column);
            for _ in 0..roll {
                (r, c) = (c, 2 - r);
            }
            let (p, q) = (a.patches[r][c].rgb, b.patches[row][column].rgb);
            let brighter = p
                .red
                .max(p.green)
                .max(p.blue)
                .max(q.red.max(q.green).max(q.blue))
                .max(0.02);
            let apart = (p.red - q.red).abs() + (p.green - q.green).abs() + (p.blue - q.blue).abs();
            sum += apart / (3.0 * brighter);
        }
    }
    sum / 9.0
}
