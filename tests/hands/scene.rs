//! A learner before the coach, by simulation: hands, the session that looks at them, and what it told.

use pairsight::coach;
use pairsight::cube::{Amount, Colour, Cube, Held, Move, Net, Scheme, Turn};
use pairsight::live::{Event, Session, Timed};
use pairsight::read::Reader;
use pairsight::sight::Look;
use pairsight::solve::cross_routes;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::{Act, Eye, Frame, Hands, act_of, opposite};

/// A learner before the coach.
pub struct Scene {
    pub hands: Hands,
    pub session: Session,
    pub told: Vec<Timed>,
    /// When the cube came into each of its states, seconds, for as long as no layer was part way.
    pub states: Vec<(f64, Cube)>,
    /// Half turns: when their first half was done, when they were, and the state between.
    pub passed: Vec<(f64, f64, Cube)>,
    /// When each turn was done, and whether the cube rested after it for so long that it can be told.
    pub turns: Vec<(f64, Turn)>,
    /// Who else looks at each frame, and hears what was told of it.
    pub watcher: Option<Watcher>,
}

type Watcher = Box<dyn FnMut(&Session, &Look, &[Timed])>;

impl Scene {
    /// A cube that was shown by two opposite corners, read, and taken into the hint's hold.
    pub fn new(cube: Cube, eye: Eye, fps: f64, rung: u8, seed: u64) -> Scene {
        let rng = ChaCha8Rng::seed_from_u64(seed);
        let advice = coach::advise(&cube, None, false);
        let held = Held {
            cube,
            hold: advice.hold,
        };
        // Of a mirrored camera, and with a rare cube, the learner says whether it mirrors: nothing in the pictures tells a mirror from a
        // cube that runs the other way round.
        let reader = match eye.mirrored || !eye.scheme.is_common() {
            true => Reader::new(None).mirrored(eye.mirrored),
            false => Reader::new(None),
        };
        let mut scene = Scene {
            hands: Hands::new(held, eye, fps, rng),
            session: Session::new(reader, None).on_rung(rung),
            told: Vec::new(),
            states: vec![(0.0, cube)],
            passed: Vec::new(),
            turns: Vec::new(),
            watcher: None,
        };
        scene.show();
        scene
    }

    /// Shows the cube by two opposite corners, and takes it into the hold that it had.
    pub fn show(&mut self) {
        let hold = self.hands.held.hold;
        // Shown with care. A sticker that looks like another colour in the one view that was had of it is asked about, as it should be;
        // here nobody would answer.
        let careful = Eye {
            missed: 0.0,
            stray: 0.0,
            fingers: 0.0,
            shade: 0.05,
            tint: 0.015,
            ..self.hands.eye.clone()
        };
        let eye = std::mem::replace(&mut self.hands.eye, careful);
        self.act(Act::Rest(0.8));
        self.act(Act::Away(opposite(hold), 0.3));
        self.act(Act::Rest(1.2));
        self.hands.eye = eye;
        self.act(Act::Away(hold, 0.3));
        self.act(Act::Rest(0.6));
    }

    pub fn act(&mut self, act: Act) {
        if let Act::Turn(turn, seconds) = act
            && turn.amount == Amount::Half
        {
            let half = Turn::new(turn.face, Amount::Quarter);
            let began = self.hands.now();
            let between = self.hands.held.apply(&half.into()).cube;
            self.passed
                .push((began + 0.5 * seconds, began + seconds, between));
        }
        let frames = self.hands.act(act);
        for Frame { t, look, .. } in frames {
            let told = self.session.see(t, &look);
            if let Some(watcher) = &mut self.watcher {
                watcher(&self.session, &look, &told);
            }
            self.told.extend(told);
        }
        let now = self.hands.now();
        let cube = self.hands.held.cube;
        if self.states.last().is_none_or(|(_, last)| *last != cube) {
            self.states.push((now, cube));
        }
        if let Act::Turn(turn, _) = act {
            self.turns.push((now, turn));
        }
    }

    /// Moves from the present hold, each in so many seconds with a pause after it.
    pub fn make(&mut self, moves: &[Move], seconds: f64, pause: f64) {
        for m in moves {
            self.act(act_of(*m, seconds));
            if pause > 0.0 {
                self.act(Act::Rest(pause));
            }
        }
    }

    /// What was told of a state that the cube was not in then, nor had been within the last two seconds. Of a half turn the first half may
    /// be told while the second is under way.
    pub fn wrong(&self) -> Vec<String> {
        let net = |event: &Event| match event {
            Event::Read { net, .. }
            | Event::Turn { net, .. }
            | Event::Followed { net, .. }
            | Event::Slip { net, .. } => Some(Scheme::state(net)),
            _ => None,
        };
        let was = |t: f64, told: Option<(Scheme, Cube)>| {
            let Some((scheme, cube)) = told else {
                return false;
            };
            scheme == self.hands.eye.scheme
                && self
                    .states
                    .windows(2)
                    .any(|w| w[0].1 == cube && w[0].0 <= t + 0.25 && t < w[1].0 + 2.0)
                || self
                    .states
                    .last()
                    .is_some_and(|(from, last)| *last == cube && *from <= t + 0.25)
                || self
                    .passed
                    .iter()
                    .any(|(from, to, between)| *between == cube && *from <= t && t < to + 0.25)
        };
        let wrong = self
            .told
            .iter()
            .filter(|timed| net(&timed.event).is_some_and(|told| !was(timed.t, told)));
        wrong.map(|timed| format!("{timed:?}")).collect()
    }

    pub fn count(&self, is: impl Fn(&Event) -> bool) -> usize {
        self.told.iter().filter(|timed| is(&timed.event)).count()
    }

    /// Seconds from the end of each turn to its tick; none where it never came.
    pub fn delays(&self) -> Vec<Option<f64>> {
        let mut ticks: Vec<(f64, Net)> = self
            .told
            .iter()
            .filter_map(|timed| match &timed.event {
                Event::Turn { net, .. } => Some((timed.t, *net)),
                _ => None,
            })
            .collect();
        let after = |at: usize| self.states.get(at + 1).map(|(_, cube)| Net::of(cube));
        (0..self.turns.len())
            .map(|at| {
                let state = after(at)?;
                let tick = ticks.iter().position(|(_, net)| *net == state)?;
                let (t, _) = ticks.remove(tick);
                Some(t - self.turns[at].0)
            })
            .collect()
    }
}

/// A cube with a white cross and some pairs solved, by the coach's own routes.
pub fn mid_solve(rng: &mut ChaCha8Rng) -> Cube {
    let cross = Colour::White;
    let scrambled = Cube::random(rng.random());
    let route = cross_routes(&scrambled, cross, 1).remove(0);
    let mut cube = route.into_iter().fold(scrambled, Cube::apply);
    for _ in 0..rng.random_range(0..3) {
        let advice = coach::advise(&cube, Some(cross), false);
        cube = Held {
            cube,
            hold: advice.hold,
        }
        .after(&advice.hinted())
        .cube;
    }
    cube
}

/// A camera somewhere before the learner.
pub fn eye(rng: &mut ChaCha8Rng) -> Eye {
    Eye {
        yaw: rng.random_range(-52.0..-27.0),
        tilt: rng.random_range(23.0..45.0),
        ..Eye::default()
    }
}
