//! Which state the cube is in by now: a forward filter over the last sure state and what a few turns make of it.
//!
//! # The model
//! Hidden is the state `x`, one of those that up to [`REACH`] turns make of the last sure one, or more along the way that is
//! expected, or any other (`*`). Over a time `dt`
//! a turn is made with chance `r = 1 - exp(-rate dt)`, where the rate is [`TURNING`] a second while hands move or nothing is
//! seen, and [`RESTING`] while all that is seen lies still. Which turn it is, is the hands' tendency `q(m | x)`: mostly the turn that
//! is to come next, else any of the eighteen. With that, before a frame is looked at,
//!
//! `b'(x) = (1 - r) b(x) + r sum_m q(m | x m^-1) b(x m^-1)`,
//!
//! and what leaves the states that are known goes to `*`. A frame `f` then gives `b(x) ~ b'(x) L(f | x)^w`, where
//!
//! - `L(f | x)` is the product of its stickers' likelihoods in the way of taking its faces that suits `x` best
//!   ([`crate::read::Glance`]), and never below `e L(f | *)`, as any frame may show a layer part way, a hand or a blur: `e` is
//!   [`JUNK`] for a frame that lies still and 1 for one that does not, which so speaks for nothing that it does not show;
//! - `L(f | *)` has each sticker of any colour;
//! - `w = min(1, dt / `[`APART`]`)`, since frames that follow each other closely share their errors: sixty frames a second say no
//!   more than ten.
//!
//! After an absence some of the belief jumps to the states that a hint may have led to meanwhile ([`Belief::jump`]).
//!
//! A state is believed once it leads every rival that would look different by [`LEAD`] nats and those that would look the same (a layer
//! out of sight was turned, too) by [`UNSEEN_LEAD`], and once the last frames, two at least over [`super::motion::REST`] seconds, lie still
//! and each says so by itself.

use std::collections::HashMap;

use crate::cube::{Cube, Turn};
use crate::read::{Glance, Painted, painted};

/// Turns from the last sure state that are followed, whichever they are.
const REACH: usize = 3;

/// Chance from which a turn is one that is to come next, on one of the ways that may be taken: hands that know of none make each turn
/// half as often. It is followed beyond the reach.
pub const EXPECTED: f64 = 0.1;

/// Turns a second while hands move or nothing is seen. Common practice: learners make one or two.
const TURNING: f64 = 1.5;

/// Turns a second while all that is seen lies still: a layer can turn beside a face that does not move.
const RESTING: f64 = 0.02;

/// Share of moving seconds in which the cube comes into a state that is not followed: more turns than are, another cube.
const LOST: f64 = 0.01;

/// Chance of a still frame that shows nothing of the state.
const JUNK: f64 = 0.1;

/// Seconds between two frames from which each counts in full.
const APART: f64 = 0.1;

/// Longest step of the filter, seconds.
const STEP: f64 = 0.15;

/// Most steps over one gap: after some seconds all is possible anyway.
const STEPS: usize = 14;

/// Natural log-odds by which a state must lead each rival that would look different before it is believed.
pub const LEAD: f64 = 9.0;

/// The same against rivals that look the same: only the hands' tendency tells them apart.
pub const UNSEEN_LEAD: f64 = 4.5;

/// Share of the belief that jumps, after an absence, to the states that the hint may have led to.
const JUMP: f64 = 0.5;

/// Log-chance (natural) of each turn of a way that nobody foresaw: each makes about thirteen times as many states, and few are made
/// unseen. A judgement.
const PER_TURN: f64 = -6.0;

/// States of two turns or three that another look is held against.
const MOST_RIVALS: usize = 12;

/// Chance of a state that is left where it is.
const NEGLIGIBLE: f64 = 1e-14;

/// A state out of reach.
const BEYOND: u16 = u16::MAX;

/// One state that the cube may be in.
#[derive(Clone, Debug)]
struct State {
    cube: Cube,
    painted: Painted,
    /// Whence it is reached in the fewest turns, and by which; none for the first and for those jumped to.
    from: Option<(u16, Turn)>,
    /// Where each turn leads.
    next: [u16; 18],
    chance: f64,
    /// Log-likelihood of the last frame.
    seen: f64,
}

/// What is believed of the state.
#[derive(Clone, Debug)]
pub struct Belief {
    states: Vec<State>,
    /// Where each of them is.
    index: HashMap<Cube, u16>,
    other: f64,
    /// Log-likelihood of the last frame for a state of which nothing is known.
    any: f64,
}

/// A state that may be told.
#[derive(Clone, Debug, PartialEq)]
pub struct Leader {
    pub cube: Cube,
    /// The turns from the last sure state, when they are known.
    pub turns: Option<Vec<Turn>>,
    /// Natural log-odds over the next state that would look different, the unknown ones included.
    pub lead: f64,
    /// The same over those that would look the same.
    pub unseen_lead: f64,
}

/// How likely hands in a state make each turn, in the order of [`Turn::ALL`]; adds up to 1.
pub type Tendency<'a> = &'a dyn Fn(&Cube) -> [f64; 18];

impl Belief {
    /// Sure of a state.
    pub fn sure(cube: Cube) -> Belief {
        let mut belief = Belief {
            states: Vec::new(),
            index: HashMap::new(),
            other: 0.0,
            any: 0.0,
        };
        belief.push(State::new(cube, None, 1.0));
        let (mut from, mut to) = (0, 1);
        for _ in 0..REACH {
            for at in from..to {
                belief.add_next(at, |_| true);
            }
            (from, to) = (to, belief.states.len());
        }
        belief
    }

    /// The last sure state.
    pub fn last_sure(&self) -> Cube {
        self.states[0].cube
    }

    /// The likeliest of the states that are followed.
    pub fn likeliest(&self) -> Cube {
        let best = self
            .states
            .iter()
            .max_by(|a, b| a.chance.total_cmp(&b.chance));
        best.map_or(self.states[0].cube, |state| state.cube)
    }

    /// Lets time pass in which turns may have been made.
    pub fn pass(&mut self, seconds: f64, still: bool, tendency: Tendency) {
        self.reach_on(tendency);
        let steps = ((seconds / STEP).ceil() as usize).clamp(1, STEPS);
        let dt = (seconds / steps as f64).min(STEP);
        let rate = if still { RESTING } else { TURNING };
        let turned = 1.0 - (-rate * dt).exp();
        let lost = if still { 0.0 } else { LOST * dt };
        for _ in 0..steps {
            let mut arrived = vec![0.0; self.states.len()];
            let mut other = self.other;
            for (at, state) in self.states.iter().enumerate() {
                if state.chance < NEGLIGIBLE {
                    arrived[at] += state.chance;
                    continue;
                }
                other += lost * state.chance;
                let stays = (1.0 - lost) * state.chance;
                arrived[at] += stays * (1.0 - turned);
                let made = tendency(&state.cube);
                for (next, share) in state.next.iter().zip(made) {
                    let moved = stays * turned * share;
                    match *next {
                        BEYOND => other += moved,
                        next => arrived[usize::from(next)] += moved,
                    }
                }
            }
            for (state, chance) in self.states.iter_mut().zip(arrived) {
                state.chance = chance;
            }
            self.other = other;
        }
    }

    /// Follows what is expected of the states at the edge, one turn further.
    fn reach_on(&mut self, tendency: Tendency) {
        for at in 0..self.states.len() {
            let state = &self.states[at];
            if state.chance >= NEGLIGIBLE && state.next.contains(&BEYOND) {
                let made = tendency(&state.cube);
                self.add_next(at, |turn| made[turn.index()] > EXPECTED);
            }
        }
    }

    /// Adds the states that some turns make of a state, and that are not there yet.
    fn add_next(&mut self, from: usize, is_followed: impl Fn(Turn) -> bool) {
        let cube = self.states[from].cube;
        for turn in Turn::ALL {
            if self.states[from].next[turn.index()] == BEYOND && is_followed(turn) {
                let from = Some((from as u16, turn));
                let at = self.push(State::new(cube.apply(turn), from, 0.0));
                self.link(at);
            }
        }
    }

    fn push(&mut self, state: State) -> u16 {
        let at = self.states.len() as u16;
        self.index.insert(state.cube, at);
        self.states.push(state);
        at
    }

    /// Notes which of the others a turn leads to from a new state, and from which to it.
    fn link(&mut self, at: u16) {
        let cube = self.states[usize::from(at)].cube;
        for turn in Turn::ALL {
            if let Some(&known) = self.index.get(&cube.apply(turn)) {
                self.states[usize::from(at)].next[turn.index()] = known;
                self.states[usize::from(known)].next[turn.inverse().index()] = at;
            }
        }
    }

    /// After an absence: the states that may have been reached meanwhile, each with the logarithm of its chance.
    pub fn jump(&mut self, to: impl IntoIterator<Item = (Cube, f64)>) {
        let to: Vec<(Cube, f64)> = to.into_iter().collect();
        let total: f64 = to.iter().map(|(_, prior)| prior.exp()).sum();
        if total <= 0.0 {
            return;
        }
        for state in &mut self.states {
            state.chance *= 1.0 - JUMP;
        }
        for (cube, prior) in to {
            let chance = JUMP * prior.exp() / total;
            match self.index.get(&cube) {
                Some(at) => self.states[usize::from(*at)].chance += chance,
                None => {
                    self.push(State::new(cube, None, chance));
                }
            }
        }
    }

    /// Takes in a frame, taken `seconds` after the last one.
    pub fn see(&mut self, glance: &Glance, seconds: f64, still: bool) {
        self.any = glance.score_of_any();
        let floor = self.any + if still { JUNK.ln() } else { 0.0 };
        let weight = (seconds / APART).clamp(0.0, 1.0);
        let mut most = self.other.max(f64::MIN_POSITIVE).ln() + weight * self.any;
        let mut logs = Vec::with_capacity(self.states.len());
        for state in &mut self.states {
            if state.chance < 1e-30 {
                state.seen = f64::NEG_INFINITY;
                logs.push(f64::NEG_INFINITY);
                continue;
            }
            (state.seen, _) = glance.score(&state.painted);
            let log = state.chance.ln() + weight * state.seen.max(floor);
            most = most.max(log);
            logs.push(log);
        }
        let other = (self.other.max(f64::MIN_POSITIVE).ln() + weight * self.any - most).exp();
        let total: f64 = logs.iter().map(|log| (log - most).exp()).sum::<f64>() + other;
        for (state, log) in self.states.iter_mut().zip(logs) {
            state.chance = (log - most).exp() / total;
        }
        self.other = other / total;
    }

    /// The likeliest state, with its lead.
    pub fn leader(&self, glance: &Glance) -> Option<Leader> {
        let (at, best) = self
            .states
            .iter()
            .enumerate()
            .max_by(|a, b| a.1.chance.total_cmp(&b.1.chance))?;
        let looks_same = |state: &State| (state.seen - best.seen).abs() < 1e-3;
        let (mut different, mut same) = (self.other, 0.0f64);
        for (rival, state) in self.states.iter().enumerate() {
            if rival == at {
                continue;
            }
            match looks_same(state)
                && glance.score(&state.painted).1 == glance.score(&best.painted).1
            {
                true => same = same.max(state.chance),
                false => different = different.max(state.chance),
            }
        }
        let lead = |rival: f64| (best.chance / rival.max(1e-40)).ln();
        Some(Leader {
            cube: best.cube,
            turns: self.turns(at),
            lead: lead(different),
            unseen_lead: lead(same),
        })
    }

    /// The states that another look should be held against before one is told: those one turn away, those jumped to, and the likeliest.
    pub fn rivals(&self) -> Vec<Cube> {
        let mut rest: Vec<&State> = Vec::new();
        let mut rivals: Vec<Cube> = Vec::new();
        for (at, state) in self.states.iter().enumerate() {
            match state.from {
                Some((from, _)) if from > 0 => rest.push(state),
                _ if at == 0 || state.from.is_some() || state.chance > 0.0 => {
                    rivals.push(state.cube);
                }
                _ => {}
            }
        }
        rest.sort_by(|a, b| b.chance.total_cmp(&a.chance));
        rivals.extend(rest.iter().take(MOST_RIVALS).map(|state| state.cube));
        rivals
    }

    /// How far (nats) the unknown states lead all that are known.
    pub fn lost_by(&self) -> f64 {
        let best = self.states.iter().map(|s| s.chance).fold(1e-40, f64::max);
        (self.other.max(1e-40) / best).ln()
    }

    /// The turns that lead to a state, where they are known.
    fn turns(&self, mut at: usize) -> Option<Vec<Turn>> {
        let mut turns = Vec::new();
        while at != 0 {
            let (from, turn) = self.states[at].from?;
            turns.push(turn);
            at = usize::from(from);
        }
        turns.reverse();
        Some(turns)
    }
}

impl State {
    fn new(cube: Cube, from: Option<(u16, Turn)>, chance: f64) -> State {
        State {
            cube,
            painted: painted(&cube),
            from,
            next: [BEYOND; 18],
            chance,
            seen: 0.0,
        }
    }
}

/// The shortest way from a state to one that shows what some glances do, of up to four turns: the state must explain them all, and lead each
/// other one by [`LEAD`], each turn at [`PER_TURN`]. For hands that turned faster than could be followed.
pub fn shortest_way(from: Cube, glances: &[Glance]) -> Option<(Cube, Vec<Turn>)> {
    // Glances of one rest share their errors.
    let share = 1.0 / glances.len().max(1) as f64;
    let score = |painted: &Painted| -> f64 {
        let each = glances.iter().map(|glance| glance.score(painted).0);
        share * each.sum::<f64>()
    };
    let any: f64 = share * glances.iter().map(Glance::score_of_any).sum::<f64>();
    let mut best: Option<(f64, Cube, Vec<Turn>)> = None;
    let mut second = any;
    let mut seen: HashMap<Cube, ()> = HashMap::from([(from, ())]);
    let mut frontier = vec![(from, Vec::new())];
    for depth in 0..=4usize {
        let prior = PER_TURN * depth as f64;
        for (cube, turns) in &frontier {
            let score = prior + score(&painted(cube));
            match &best {
                Some((most, ..)) if score <= *most => second = second.max(score),
                _ => {
                    if let Some((most, ..)) = best {
                        second = second.max(most);
                    }
                    best = Some((score, *cube, turns.clone()));
                }
            }
        }
        if depth == 4 {
            break;
        }
        let mut further = Vec::new();
        for (cube, turns) in frontier {
            for turn in Turn::ALL {
                let next = cube.apply(turn);
                if seen.insert(next, ()).is_none() {
                    let mut turns: Vec<Turn> = turns.clone();
                    turns.push(turn);
                    further.push((next, turns));
                }
            }
        }
        frontier = further;
    }
    let (most, cube, turns) = best?;
    (most - second > LEAD).then_some((cube, turns))
}
