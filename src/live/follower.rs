//! Follows the cube in the hands from frame to frame: what was turned, when it lies still, when it can no longer be told.

use std::collections::{HashSet, VecDeque};

use super::belief::{Belief, EXPECTED, LEAD, Leader, Tendency, UNSEEN_LEAD, shortest_way};
use super::motion::{Motion, Tracker};
use super::steady::{ANNOUNCED, overlaid, with_faces};
use crate::cube::{Cube, Face, Turn};
use crate::read::{CandidateScore, Glance, Reader, painted};
use crate::sight::Look;

/// By how much (nats) each frame by itself must be likelier for a state than for one of which nothing is known, and than for the state before.
const BY_ITSELF: f64 = 3.0;

/// Log-chance that a face which stays where it is is another one, or the same turned: the whole cube moves through places between.
const REPLACED: f64 = -5.0;

/// A face that moved by less than this share of its side from one frame to the next stays where it is.
const STAYS: f32 = 0.4;

/// Seconds between two frames beyond which a face may be another one.
const UNWATCHED: f64 = 0.35;

/// Seconds without any face after which the states that the hint may have led to are as likely as those near by.
const AWAY: f64 = 0.45;

/// Natural log-odds of states that are not followed from which it is no longer known which it is.
const NOT_KNOWN: f64 = 4.0;

/// Seconds of rest in a state that is not known before it is to be read anew.
const PUZZLED: f64 = 0.5;

/// Shortfall (nats a look) from which a state does not explain what is seen, though no other may do so better.
const SHORTFALL: f64 = 10.0;

/// Stickers a look that may clearly show another colour than the state has there: a fingertip, a highlight.
const AT_ODDS: usize = 1;

/// Nats between two states that look the same.
const LIKE: f64 = 0.5;

/// Most glances kept of one rest.
const MOST_GLANCES: usize = 8;

/// What became of the cube, by one frame.
#[derive(Clone, Debug, PartialEq)]
pub enum Verdict {
    /// Nothing can be said.
    Unclear,
    /// It rests in the last sure state.
    Same,
    /// It is in another state for sure; the turns that led there, where they are known, and whether each was seen.
    Turned {
        cube: Cube,
        turns: Vec<Turn>,
        seen: bool,
    },
    /// It rests, and no state that could be foreseen shows what is seen.
    Strange,
}

/// A cube whose state was known for sure.
#[derive(Debug)]
pub struct Follower {
    belief: Belief,
    tracker: Tracker,
    /// The pictures show the cube as in a mirror.
    mirrored: bool,
    now: f64,
    /// When a face was last seen, seconds.
    seen: f64,
    /// How the faces of the last frame were taken.
    placed: Vec<(Face, u8)>,
    last: Option<(f64, Look)>,
    /// Of the frames that rest now, oldest first.
    rest: VecDeque<(Glance, Look)>,
    /// Since when it rests, seconds.
    resting_since: Option<f64>,
    /// The shortest way was looked for in this rest.
    searched: bool,
    /// The state that an earlier rest showed alone, and that several turns lead to which nobody foresaw.
    suspect: Option<Cube>,
}

impl Follower {
    /// Follows from a sure state on; the last face was seen at `t`.
    pub fn new(cube: Cube, mirrored: bool, t: f64) -> Follower {
        Follower {
            belief: Belief::sure(cube),
            tracker: Tracker::default(),
            mirrored,
            now: t,
            seen: t,
            placed: Vec::new(),
            last: None,
            rest: VecDeque::new(),
            resting_since: None,
            searched: false,
            suspect: None,
        }
    }

    /// Sure of another state, told by something else.
    pub fn set(&mut self, cube: Cube) {
        self.belief = Belief::sure(cube);
        self.rest.clear();
        self.searched = false;
        self.suspect = None;
    }

    /// For how long the cube has rested, seconds.
    pub fn rested(&self) -> f64 {
        self.resting_since.map_or(0.0, |since| self.now - since)
    }

    /// The faces of the last look that showed any, with which face of the cube each is, and by how many quarter turns clockwise its rows
    /// come to the net's.
    pub fn placed(&self) -> Option<(&Look, &[(Face, u8)])> {
        let (_, look) = self.last.as_ref()?;
        Some((look, &self.placed))
    }

    /// Takes a frame's look, `t` seconds into the stream. `tendency`: which turns are likely; `foreseen`: the states that may have been
    /// reached while the cube was away.
    pub fn step(
        &mut self,
        t: f64,
        look: &Look,
        reader: &Reader,
        tendency: Tendency,
        foreseen: &dyn Fn() -> Vec<(Cube, f64)>,
    ) -> Verdict {
        let seconds = (t - self.now).max(0.0);
        self.now = t;
        // A hand before the cube may look a little like a face: each counts in full here, so only those count that hardly can be none.
        let look = &with_faces(look, |face| face.score >= ANNOUNCED);
        let motion = self.tracker.step(t, look);
        let before = self.tracker.count().saturating_sub(1);
        while self.rest.len() > before.min(MOST_GLANCES - 1) {
            self.rest.pop_front();
        }
        if motion == Motion::Still {
            self.resting_since.get_or_insert(t);
        } else {
            self.resting_since = None;
            self.searched = false;
        }
        self.belief.pass(seconds, motion == Motion::Still, tendency);
        let expected = self.belief.likeliest();
        let glance = match motion {
            Motion::Unseen => None,
            _ => reader.glance(look, self.mirrored, &expected),
        };
        let Some(mut glance) = glance else {
            return Verdict::Unclear;
        };
        if t - self.seen > AWAY {
            self.belief.jump(foreseen());
        }
        self.seen = t;
        self.expect_faces(t, look, &mut glance);
        self.belief.see(&glance, seconds, motion == Motion::Still);
        self.take_faces(t, look, &glance);
        self.rest.push_back((glance, look.clone()));
        self.judge(t, reader, tendency)
    }

    /// Faces that stay where they are stay what they are.
    fn expect_faces(&self, t: f64, look: &Look, glance: &mut Glance) {
        let Some((at, last)) = &self.last else { return };
        if t - at > UNWATCHED {
            return;
        }
        for way in glance.ways_mut() {
            let is_replaced = look.faces.iter().zip(&way.assigned).any(|(face, placed)| {
                let before = last.faces.iter().zip(&self.placed);
                let (nearest, was) = match before
                    .map(|(old, was)| (overlaid(old, face), *was))
                    .min_by(|a, b| a.0.0.total_cmp(&b.0.0))
                {
                    Some(nearest) => nearest,
                    None => return false,
                };
                nearest.0 < STAYS && *placed != self.carried(was, nearest.1)
            });
            if is_replaced {
                way.prior += REPLACED;
            }
        }
    }

    /// How a face is placed whose first corner in the picture is now the one that was so many further on.
    fn carried(&self, (face, roll): (Face, u8), by: usize) -> (Face, u8) {
        let by = if self.mirrored {
            4 - by as u8
        } else {
            by as u8
        };
        (face, (roll + by) % 4)
    }

    /// Settles how the faces are taken: as suits the likeliest state, where that is what they show.
    fn take_faces(&mut self, t: f64, look: &Look, glance: &Glance) {
        let (score, at) = glance.score(&painted(&self.belief.likeliest()));
        if score > glance.score_of_any() {
            self.placed = glance.ways()[at].assigned.clone();
            self.last = Some((t, look.clone()));
        }
    }

    fn judge(&mut self, t: f64, reader: &Reader, tendency: Tendency) -> Verdict {
        let Some(count) = self.tracker.resting(t) else {
            return Verdict::Unclear;
        };
        let newest = self.rest.len().saturating_sub(count);
        let glances: Vec<&Glance> = self.rest.iter().skip(newest).map(|(g, _)| g).collect();
        let Some(glance) = glances.last() else {
            return Verdict::Unclear;
        };
        if self.belief.lost_by() > NOT_KNOWN {
            return self.search(reader);
        }
        let Some(leader) = self.belief.leader(glance) else {
            return Verdict::Unclear;
        };
        if leader.lead < LEAD || leader.unseen_lead < UNSEEN_LEAD || !self.agree(&leader, &glances)
        {
            return Verdict::Unclear;
        }
        let last = self.belief.last_sure();
        if leader.cube == last {
            self.suspect = None;
            return Verdict::Same;
        }
        let turns = leader.turns.filter(|turns| turns.len() == 1);
        let Some(turns) = turns.or_else(|| expected_way(last, leader.cube, tendency)) else {
            // Some of the thousands of states that several turns lead to look like the real one; so does a slip that may have been made
            // while the cube was away, where another cube comes back.
            return self.search(reader);
        };
        if !self.confirmed(reader, &leader.cube, self.belief.rivals(), AT_ODDS) {
            return Verdict::Unclear;
        }
        self.set(leader.cube);
        Verdict::Turned {
            cube: leader.cube,
            seen: turns.len() == 1,
            turns,
        }
    }

    /// Whether each of the resting frames says so by itself.
    fn agree(&self, leader: &Leader, glances: &[&Glance]) -> bool {
        let (told, before) = (painted(&leader.cube), painted(&self.belief.last_sure()));
        let is_same = leader.cube == self.belief.last_sure();
        glances.iter().all(|glance| {
            let score = glance.score(&told).0;
            score > glance.score_of_any() + BY_ITSELF
                && (is_same || score > glance.score(&before).0 + BY_ITSELF)
        })
    }

    /// Whether the resting looks say so, too, when each state is judged at the light that suits it best. Each look by itself: that two
    /// show the same faces speaks against them where a cube is shown from all around, and not here. So many stickers a look may be
    /// `at_odds`.
    fn confirmed(
        &self,
        reader: &Reader,
        cube: &Cube,
        mut rivals: Vec<Cube>,
        at_odds: usize,
    ) -> bool {
        rivals.retain(|rival| rival != cube);
        rivals.insert(0, *cube);
        let looks = self.rest.iter().rev().take(2).map(|(_, look)| look);
        let scores: Vec<Vec<CandidateScore>> = looks
            .map(|look| reader.score_candidates(&rivals, std::slice::from_ref(look)))
            .collect();
        let of_all = |at: usize| -> Option<(f64, f64, usize)> {
            let each: Option<Vec<&CandidateScore>> =
                scores.iter().map(|of_look| of_look.get(at)).collect();
            let each = each?.into_iter();
            Some(
                each.fold((0.0, 0.0, 0), |(likelihood, shortfall, against), score| {
                    (
                        likelihood + score.log_likelihood,
                        shortfall + score.shortfall,
                        against + score.contradictions,
                    )
                }),
            )
        };
        let Some((own, shortfall, contradictions)) = of_all(0) else {
            return false;
        };
        let explains =
            shortfall < SHORTFALL * scores.len() as f64 && contradictions <= at_odds * scores.len();
        explains
            && (1..rivals.len()).all(|rival| {
                let lead = of_all(rival).map_or(f64::INFINITY, |(other, ..)| own - other);
                lead > BY_ITSELF || lead.abs() < LIKE
            })
    }

    /// It rests in a state that is not followed, or that nobody foresaw: one that a few turns lead to, the shortest way, or a strange one.
    /// Of the thousands of states that several turns lead to, one may look like the real one for as long as the fingers lie as they do,
    /// so that a second rest has to show it, too, or what one more turn makes of it.
    fn search(&mut self, reader: &Reader) -> Verdict {
        let newest = self.rest.iter().rev().take(2);
        // Of so many states some show what one face does, or two.
        let shows_enough =
            newest.len() == 2 && newest.clone().all(|(_, look)| look.faces.len() == 3);
        if !self.searched && shows_enough {
            self.searched = true;
            let glances: Vec<Glance> = newest.map(|(glance, _)| glance.clone()).collect();
            if let Some((cube, turns)) = shortest_way(self.belief.last_sure(), &glances)
                && self.confirmed(reader, &cube, self.belief.rivals(), 0)
                && (turns.len() < 2 || self.is_suspected(&cube))
            {
                self.set(cube);
                self.searched = true;
                return match turns.is_empty() {
                    true => Verdict::Same,
                    false => Verdict::Turned {
                        cube,
                        seen: turns.len() == 1,
                        turns,
                    },
                };
            }
        }
        match self.rested() > PUZZLED {
            true => Verdict::Strange,
            false => Verdict::Unclear,
        }
    }

    /// Whether an earlier rest led to this state, or to one a turn before it; if not, this rest is the first that does.
    fn is_suspected(&mut self, cube: &Cube) -> bool {
        let follows = |before: Cube| {
            before == *cube || Turn::ALL.iter().any(|turn| before.apply(*turn) == *cube)
        };
        let is_suspected = self.suspect.is_some_and(follows);
        self.suspect = Some(*cube);
        is_suspected
    }
}

/// The fewest turns from a state to another, where each is one that is to come next. Few states have one: those on the routes.
fn expected_way(from: Cube, to: Cube, tendency: Tendency) -> Option<Vec<Turn>> {
    let mut seen = HashSet::from([from]);
    let mut ways = VecDeque::from([(from, Vec::new())]);
    while let Some((cube, turns)) = ways.pop_front() {
        let made = tendency(&cube);
        for turn in { Turn::ALL.into_iter() }.filter(|turn| made[turn.index()] > EXPECTED) {
            let next = cube.apply(turn);
            let turns: Vec<Turn> = turns.iter().copied().chain([turn]).collect();
            if next == to {
                return Some(turns);
            }
            if seen.insert(next) {
                ways.push_back((next, turns));
            }
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cube::Amount;

    /// One rest alone told turns that were never made: fingers lay so that they looked like them.
    #[test]
    fn a_second_rest_has_to_show_what_one_shows_or_a_turn_more() {
        let [right, top, left] =
            [Face::R, Face::U, Face::L].map(|face| Turn::new(face, Amount::Quarter));
        let mut follower = Follower::new(Cube::solved(), false, 0.0);
        let first = Cube::solved().apply(right).apply(top);
        assert!(!follower.is_suspected(&first));
        assert!(follower.is_suspected(&first));
        let next = first.apply(left);
        assert!(follower.is_suspected(&next));
        let other = Cube::solved().apply(top).apply(left);
        assert!(!follower.is_suspected(&other));
        follower.set(Cube::solved());
        assert!(!follower.is_suspected(&other));
    }

    #[test]
    fn a_way_is_expected_where_each_turn_is_the_next_one() {
        let [right, top] = [Face::R, Face::U].map(|face| Turn::new(face, Amount::Quarter));
        let solved = Cube::solved();
        let tendency = |cube: &Cube| {
            let mut made = [0.2 / 17.0; 18];
            let next = if *cube == Cube::solved() { right } else { top };
            made[next.index()] = 0.8;
            made
        };
        let way = |turns: &[Turn]| {
            let to = turns.iter().fold(solved, |cube, turn| cube.apply(*turn));
            expected_way(solved, to, &tendency)
        };
        assert_eq!(way(&[right, top]), Some(vec![right, top]));
        assert_eq!(way(&[top, top]), None);
        assert_eq!(way(&[right, right]), None);
        let any = expected_way(solved, solved.apply(right), &|_| [1.0 / 18.0; 18]);
        assert_eq!(any, None);
    }
}
