//! What is known of the cube in hand, the hint given for it, and what a learner may have done since.

use std::collections::HashMap;

use crate::coach::follow::{self, Likely, Slip, SlipKind};
use crate::coach::saying::{FollowSaying, say};
use crate::coach::{self, Advice, Level, Marks, Progress, Rung, Text};
use crate::cube::{Amount, Colour, Corner, Cube, Face, Held, Hold, Move, Moves, Turn};
use crate::read::{Arrangement, Ask, CandidateScore, Reader, show_corner};
use crate::sight::Look;
use crate::solve::{self, Slot, SlotSet, Stage};

/// The highest rung of the ladder of hints. On the lowest, 0, nothing is told: a question is asked.
pub const RUNGS: u8 = coach::RUNGS as u8;

/// Natural log-odds by which the best of the states that may be next must lead the second, and any state that nobody foresees.
const LEAD: f64 = 9.0;

/// Log-chance (natural) of any one state that nobody foresees: about one time in ten something else was done, and some 10^8
/// states lie within a handful of turns. A judgement. With it one of 60 simulated slips (`tests/reading/following.rs`) needs a
/// second look, and none of 6,248 states that nobody foresees passes for another one.
const UNFORESEEN: f64 = -21.0;

/// Shortfall (nats a look) from which a state does not explain what is seen, though no legal state may do so better.
const SHORTFALL: f64 = 10.0;

/// Log-chance (natural) of a state that another route of the advice leads to: the learner knew better.
const OWN_WAY: f64 = -3.0;

/// The same with the top turned after it.
const TOP_TURNED: f64 = -6.0;

/// What a sticker counts that is asked for a second time.
const AGAIN: f64 = 0.25;

/// Log-chance of the very state shown before, after a slip: shown again for more help.
const SHOWN_AGAIN: f64 = -1.0;

/// What is to be coached, and how.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Plan {
    /// The cross to build; the one that suits the cube without it.
    pub cross: Option<Colour>,
    pub level: Level,
    /// The slot whose pair is the one to do now, while it is open.
    pub slot: Option<Slot>,
}

/// A known state, and the hint that starts from it.
#[derive(Clone, Debug)]
pub struct Known {
    plan: Plan,
    start: Held,
    advice: Advice,
    likely: Vec<Likely>,
    /// Where the learner is on the way or off it, as far as that was told, when that is not the start.
    now: Option<Likely>,
    /// The way back from there was told, not only what is different.
    back_told: bool,
    /// It was told that all is right so far.
    confirmed: bool,
    /// The state by now, told or not.
    at: Cube,
    /// How the learner holds the cube by now.
    hold: Hold,
    /// How likely hands make each turn in the states along the routes.
    course: HashMap<Cube, [f64; 18]>,
    rung: u8,
}

/// What a state means that was just seen.
#[derive(Clone, Debug, PartialEq)]
pub enum Meaning {
    /// Nothing was done since the state was last shown.
    Same(Cube),
    /// The hint's goal is reached.
    Done(Cube),
    /// On the route, or back on it: what is left to do is known.
    OnTheWay(Likely),
    /// Another thing was done.
    Slip(Likely),
}

/// A state that may be seen next.
#[derive(Clone, Debug)]
pub struct Candidate {
    pub cube: Cube,
    pub meaning: Meaning,
    /// Natural logarithm of its chance before anything is seen.
    pub prior: f64,
}

impl Known {
    /// What is known once a state is: the advice for it in the hold that suits it, on the lowest rung.
    pub fn new(cube: Cube, cross: Option<Colour>) -> Known {
        let plan = Plan {
            cross,
            ..Plan::default()
        };
        Known::planned(cube, None, plan)
    }

    /// The same by a plan, in the hold that the learner has, where that is known and has the cross down.
    pub fn planned(cube: Cube, hold: Option<Hold>, plan: Plan) -> Known {
        let cross = plan
            .cross
            .unwrap_or_else(|| coach::cross_colour(&cube, Colour::White));
        let hold = hold
            .filter(|hold| hold.down() == cross)
            .or(plan.slot.map(|slot| slot.hold(cross)));
        let advice = match hold {
            Some(hold) => coach::advise_held(&Held { cube, hold }, plan.level, plan.slot),
            None => coach::advise_at(&cube, Some(cross), plan.level, false),
        };
        let start = Held {
            cube,
            hold: advice.hold,
        };
        let likely = follow::likely(&start, &advice.hinted());
        let course = course(&start, &advice, &likely);
        Known {
            plan,
            start,
            advice,
            likely,
            now: None,
            back_told: false,
            confirmed: false,
            at: cube,
            hold: start.hold,
            course,
            rung: 0,
        }
    }

    /// The same, on this rung of the ladder.
    pub fn on_rung(self, rung: u8) -> Known {
        Known {
            rung: rung.min(RUNGS),
            ..self
        }
    }

    /// What is coached.
    pub fn plan(&self) -> Plan {
        self.plan
    }

    /// What is known of the state as it is now, in the hold that the learner has: the same pair, on the same rung.
    fn afresh(&self) -> Known {
        let plan = Plan {
            cross: Some(self.start.hold.down()),
            slot: self.slot().or(self.plan.slot),
            ..self.plan
        };
        let afresh = Known::planned(self.at, Some(self.hold_by_now()), plan);
        Known {
            plan: self.plan,
            ..afresh.on_rung(self.rung)
        }
    }

    /// On the way the pair is looked at afresh, but not while a slot stands open, nor where that shows another way than the rest of the
    /// one that was told.
    pub fn look_again(&mut self) {
        let cross = self.start.hold.down();
        if self.advice.stage == Stage::Pairs && !solve::cross_solved(&self.at, cross) {
            return;
        }
        let afresh = self.afresh();
        let turns = |known: &Known| known.start.hold.follow(&known.advice.hinted()).0;
        if turns(self).ends_with(&turns(&afresh)) {
            *self = afresh;
        }
    }

    /// Whether all the turns are made that were told at once, and more are to follow.
    pub fn has_made_what_was_told(&self) -> bool {
        let told = self.advice.next_turns().len();
        self.now.as_ref().is_some_and(|now| {
            let more = now.made.len().checked_sub(told);
            let is_due = more.is_some_and(|more| more.is_multiple_of(follow::MOST_AT_ONCE));
            now.along() && is_due && !now.then.is_empty() && told > 0
        })
    }

    /// How the learner holds the cube by now: as was seen, else as the route leaves it.
    pub fn hold_by_now(&self) -> Hold {
        if self.hold != self.start.hold {
            return self.hold;
        }
        self.hold_on_route(&self.at).unwrap_or(self.hold)
    }

    /// The state as it was last seen.
    pub fn cube(&self) -> Cube {
        self.at
    }

    /// The cube as it is to be held for the hint, or as the learner has turned the whole of it since.
    pub fn held(&self) -> Held {
        Held {
            cube: self.at,
            hold: self.hold,
        }
    }

    /// The hold that the hint's turns start from.
    pub fn hint_hold(&self) -> Hold {
        self.start.hold
    }

    /// The whole cube was turned to another hold. One with another colour down is on the way to somewhere: the cross stays where the hint
    /// has it. Where nothing was turned yet the hint speaks of the new hold.
    pub fn turned_to(&mut self, hold: Hold) {
        if hold.down() != self.start.hold.down() || hold == self.hold {
            return;
        }
        self.hold = hold;
        if self.at == self.start.cube {
            *self = self.afresh();
        }
    }

    /// How likely hands make each turn in a state, in the order of [`Turn::ALL`]: mostly the route's next, or back to it.
    pub fn tendency(&self, cube: &Cube) -> [f64; 18] {
        self.course.get(cube).copied().unwrap_or([1.0 / 18.0; 18])
    }

    /// The hold in which the learner, who is on the route, makes its next turn; none off the route.
    pub fn hold_on_route(&self, cube: &Cube) -> Option<Hold> {
        let along = |likely: &&Likely| likely.along() && likely.cube == *cube;
        self.likely.iter().find(along).map(|likely| likely.hold)
    }

    /// The advice that the hint is taken from.
    pub fn advice(&self) -> &Advice {
        &self.advice
    }

    /// The rung, 0 to [`RUNGS`].
    pub fn level(&self) -> u8 {
        self.rung
    }

    /// The hint.
    pub fn text(&self) -> Text {
        match &self.now_in_hand() {
            Some(now) if now.along() && self.rung < RUNGS => now.first_word(),
            Some(now) if now.along() => now.say(),
            Some(now) if self.back_told => now.way_back(),
            Some(now) => now.first_word(),
            None => self.hint().text(),
        }
    }

    fn hint(&self) -> &Rung {
        &self.advice.rungs[usize::from(self.rung)]
    }

    /// The rung that is told; none once the learner is under way, when there is more to say than it does.
    pub fn rung(&self) -> Option<&Rung> {
        self.now.is_none().then(|| self.hint())
    }

    /// What may be marked on a drawing of the cube as it is now.
    pub fn marks(&self) -> Marks {
        match self.gives_turns() {
            true => Marks::TURNS,
            false => self.hint().marks,
        }
    }

    /// Where the learner is, told for the hold that the learner has.
    fn now_in_hand(&self) -> Option<Likely> {
        let now = self.now.as_ref()?;
        Some(now.in_hold(self.start.hold, self.hold))
    }

    /// The turns that lead on from here, from the hold of [`Known::held`]: back to the route first, where it was left.
    pub fn moves(&self) -> Moves {
        match self.now_in_hand() {
            Some(now) if !now.undo.is_empty() => now.undo,
            Some(now) => now.then,
            None if self.hold == self.start.hold => self.advice.hinted(),
            None => self.hinted_in_hand(),
        }
    }

    fn hinted_in_hand(&self) -> Moves {
        let (turns, _) = self.start.hold.follow(&self.advice.hinted());
        let in_hand = turns.into_iter().map(|t| self.hold.turn_in_hand(t).into());
        Moves(in_hand.collect())
    }

    /// The slot of the pair that the hint is about.
    pub fn slot(&self) -> Option<Slot> {
        self.advice.next.map(|pair| pair.slot)
    }

    /// Whether the hint gives the turns themselves: on the top rung, and where the way back was told.
    pub fn gives_turns(&self) -> bool {
        self.rung == RUNGS || (self.slipped() && self.back_told)
    }

    /// Whether a slip was told, and it has not been put right.
    pub fn slipped(&self) -> bool {
        self.now.as_ref().is_some_and(|now| !now.along())
    }

    /// What is gained and lost since the hint was given.
    pub fn progress(&self, cube: &Cube) -> Progress {
        Progress::between(&self.start.cube, cube, self.start.hold.down())
    }

    /// What to say when something is done in this state, whichever way.
    pub fn done(&self, cube: &Cube) -> Text {
        match solve::stage(cube, self.start.hold.down()) {
            Stage::Solved => say(FollowSaying::SolvedWell),
            _ => {
                let progress = self.progress(cube).say(self.slot());
                match progress.is_nothing() {
                    true => say(FollowSaying::Right),
                    false => progress,
                }
            }
        }
    }

    /// The shorter way that there was to the pair that is solved in this state, for a learner who did it without being told
    /// the turns and, as far as its end tells, not by that way.
    pub fn shorter(&self, cube: &Cube) -> Option<Text> {
        let gained = self.progress(cube).gained;
        let is_hinted = self.slot().is_some_and(|slot| gained.contains(slot));
        let route = self
            .advice
            .shorter()
            .filter(|_| is_hinted && !self.gives_turns())?;
        let ends_here = |moves: &Moves| self.start.after(moves).cube == *cube;
        if ends_here(&route.moves) && !ends_here(&self.advice.hinted()) {
            return None;
        }
        let hold = self.start.hold;
        let had_shorter = FollowSaying::HadShorter {
            moves: route.moves.clone(),
            down: hold.down(),
            front: hold.front(),
        };
        Some(say(had_shorter).and(route.idea.clone()))
    }

    /// More help, for the same state shown again: the way back where only the slip was told, else the next rung.
    pub fn climb(&mut self) {
        let on_the_way = self.now.as_ref().is_some_and(Likely::along);
        if self.slipped() && !self.back_told {
            self.back_told = true;
        } else if on_the_way && self.rung < RUNGS {
            // Half way there is nothing to see that a rung could speak of: that it is right so far, then how to go on.
            if std::mem::replace(&mut self.confirmed, true) {
                self.rung = RUNGS;
            }
        } else {
            self.rung = (self.rung + 1).min(RUNGS);
        }
    }

    /// It was told that all is right so far.
    pub fn confirm(&mut self) {
        self.confirmed = true;
    }

    /// Takes note of where the learner is on the way, or off it, which is told.
    pub fn moved_to(&mut self, likely: Likely) {
        self.at = likely.cube;
        self.back_told &= !likely.along();
        self.confirmed = false;
        self.now = (likely.cube != self.start.cube).then_some(likely);
    }

    /// The way back is told with the slip.
    pub fn tell_back(&mut self) {
        self.back_told = true;
    }

    /// Whether a state is on the way back from the slip that was told, with less to undo.
    pub fn goes_back(&self, undo: &[Move]) -> bool {
        self.now
            .as_ref()
            .is_some_and(|now| !now.along() && undo.len() < now.undo.len())
    }

    /// What is said of a slip at first: what is different, and the way back where that is told.
    pub fn slip_text(&self) -> Text {
        match self.now_in_hand() {
            Some(now) if self.gives_turns() => now.say(),
            Some(now) => now.first_word(),
            None => self.text(),
        }
    }

    /// Whether the cube is in a state of the last layer that the hint did not lead to.
    pub fn is_elsewhere_on_top(&self) -> bool {
        let is_on_top =
            |cube: &Cube| solve::stage(cube, self.start.hold.down()) == Stage::LastLayer;
        let foreseen = || self.likely.iter().any(|likely| likely.cube == self.at);
        self.now.is_none()
            && self.at != self.start.cube
            && is_on_top(&self.start.cube)
            && is_on_top(&self.at)
            && !foreseen()
    }

    /// The slot of another pair than the one that is hinted at.
    pub fn another_slot(&self) -> Option<Slot> {
        let (own, cross) = (self.slot()?, self.start.hold.down());
        let solved = solve::pairs_solved(&self.at, cross);
        let at = Slot::ALL.iter().position(|slot| *slot == own)?;
        let others = (1..4).map(|step| Slot::ALL[(at + step) % 4]);
        others.into_iter().find(|slot| !solved.contains(*slot))
    }

    /// Whether the learner was last on the route, beyond the turn that a slip takes for wrong.
    pub fn was_past(&self, likely: &Likely) -> bool {
        let right = self.now.as_ref().filter(|now| now.along());
        let done = right.map_or(0, |now| now.made.len());
        likely.slip.as_ref().is_some_and(|slip| slip.at <= done)
    }

    /// Whether the last turn of the route that was seen to be right is taken back in a state along it.
    pub fn was_taken_back(&self, likely: &Likely) -> bool {
        let was_right = |now: &Likely| now.along() && likely.made.len() < now.made.len();
        likely.along() && self.now.as_ref().is_some_and(was_right)
    }

    /// The kind of the slip that was told, while it is not put right.
    pub fn slip_kind(&self) -> Option<SlipKind> {
        Some(self.now.as_ref()?.slip.as_ref()?.kind)
    }

    /// A state off the route that nobody foresaw: the turns made since the last right one, and back, from the hint's hold.
    pub fn astray_by(&self, cube: Cube, did: Moves, undo: Moves) -> Likely {
        let (last, then, at) = match &self.now {
            Some(now) if now.along() => (now.made.clone(), now.then.clone(), now.made.len() + 1),
            _ => (Moves::default(), self.advice.hinted(), 1),
        };
        let next = then.iter().find(|m| m.htm() > 0).copied();
        Likely {
            cube,
            hold: self.hold,
            made: Moves([&last[..], &did[..]].concat()),
            slip: Some(Slip {
                kind: SlipKind::Face,
                at,
                did,
                meant: Moves(next.into_iter().collect()),
            }),
            undo,
            then,
            prior: 0.0,
        }
    }

    /// Takes note of a state of which nothing is told.
    pub fn counted_to(&mut self, cube: Cube) {
        self.at = cube;
    }

    /// The last state of which something was told.
    fn told(&self) -> Cube {
        self.now.as_ref().map_or(self.start.cube, |now| now.cube)
    }

    /// Whether nothing was told yet of the state as it is now.
    pub fn is_untold(&self) -> bool {
        self.at != self.told()
    }

    /// What a state means that was seen or read, after the last of which something was told; none when nobody foresaw it.
    pub fn meaning_of(&self, cube: &Cube) -> Option<Meaning> {
        if *cube == self.told() {
            return Some(Meaning::Same(*cube));
        }
        let found = self.next_states().into_iter().find(|c| c.cube == *cube);
        match found.map(|c| c.meaning) {
            None if *cube != self.start.cube && self.is_done(cube) => Some(Meaning::Done(*cube)),
            known => known,
        }
    }

    /// What the looks mean, where one of the states that may be seen next explains them and leads all others, those that nobody
    /// foresees included. The looks all show one state.
    pub fn seen(&self, reader: &Reader, looks: &[Look]) -> Option<Candidate> {
        let rated = self.rated(reader, looks);
        let (best, score) = rated.first()?;
        let leads = |rival: f64| score.log_likelihood - rival > LEAD;
        let sure = explains(score, looks)
            && rated
                .get(1)
                .is_none_or(|(_, second)| leads(second.log_likelihood))
            && leads(reader.best_log_likelihood(looks) + UNFORESEEN);
        sure.then(|| best.clone())
    }

    /// The corner that would settle which of the states that may be next it is, when one of them explains the looks;
    /// `seen` are the centres of the faces that were seen.
    pub fn ask(&self, reader: &Reader, looks: &[Look], seen: &[Colour]) -> Option<Ask> {
        let rated = self.rated(reader, looks);
        let ((best, score), rivals) = rated.split_first()?;
        if !explains(score, looks) {
            return None;
        }
        let shown = Arrangement::of(&best.cube).colours();
        let differing = |corner: Corner| -> f64 {
            let cells = |rival: &Cube| -> f64 {
                let other = Arrangement::of(rival).colours();
                let differs = |face: &Face| {
                    let at = 9 * face.index();
                    let count = (at..at + 9)
                        .filter(|cell| shown[*cell] != other[*cell])
                        .count();
                    let again = seen.contains(&face.home_colour());
                    count as f64 * if again { AGAIN } else { 1.0 }
                };
                corner.faces().iter().map(differs).sum()
            };
            let weight =
                |rival: &CandidateScore| (rival.log_likelihood - score.log_likelihood).exp();
            rivals
                .iter()
                .map(|(rival, rated)| weight(rated) * cells(&rival.cube))
                .sum()
        };
        Corner::ALL
            .into_iter()
            .max_by(|a, b| differing(*a).total_cmp(&differing(*b)))
            .map(show_corner)
    }

    /// The states that may be seen next with how well each explains the looks, what was expected before included; the best
    /// first.
    fn rated(&self, reader: &Reader, looks: &[Look]) -> Vec<(Candidate, CandidateScore)> {
        let candidates = self.candidates();
        let cubes: Vec<Cube> = candidates.iter().map(|c| c.cube).collect();
        let scores = reader.score_candidates(&cubes, looks);
        let mut rated: Vec<(Candidate, CandidateScore)> =
            candidates.into_iter().zip(scores).collect();
        for (candidate, score) in &mut rated {
            score.log_likelihood += candidate.prior;
        }
        rated.sort_by(|(_, a), (_, b)| b.log_likelihood.total_cmp(&a.log_likelihood));
        rated
    }

    /// The states that the hint may have led to while nobody looked, with the logarithms of their chances.
    pub fn foreseen(&self) -> Vec<(Cube, f64)> {
        let all = self.candidates().into_iter();
        all.map(|candidate| (candidate.cube, candidate.prior))
            .collect()
    }

    /// The states that may be seen next, all different.
    pub fn candidates(&self) -> Vec<Candidate> {
        let same = Candidate {
            cube: self.at,
            meaning: Meaning::Same(self.at),
            prior: SHOWN_AGAIN,
        };
        let others = self.next_states().into_iter();
        [same]
            .into_iter()
            .chain(others.filter(|c| c.cube != self.at))
            .collect()
    }

    /// The states that the hint may lead to, all different.
    fn next_states(&self) -> Vec<Candidate> {
        let mut all: Vec<Candidate> = Vec::new();
        let mut add = |cube: Cube, meaning: Meaning, prior: f64| {
            if all.iter().all(|c| c.cube != cube) {
                all.push(Candidate {
                    cube,
                    meaning,
                    prior,
                });
            }
        };
        for likely in &self.likely {
            let meaning = if self.reaches_goal(&likely.cube) {
                Meaning::Done(likely.cube)
            } else if likely.along() {
                Meaning::OnTheWay(likely.clone())
            } else if self.is_done(&likely.cube) && self.progress(&likely.cube).lost.is_empty() {
                Meaning::Done(likely.cube)
            } else {
                Meaning::Slip(likely.clone())
            };
            add(likely.cube, meaning, likely.prior);
        }
        let others = self
            .advice
            .pairs
            .iter()
            .flatten()
            .flat_map(|pair| &pair.routes);
        let routes = [&self.advice.cross, &self.advice.last_layer]
            .into_iter()
            .flatten()
            .flat_map(|r| &r.routes);
        for route in others.chain(routes) {
            let end = self.start.after(&route.moves);
            add(end.cube, Meaning::Done(end.cube), OWN_WAY);
            for amount in Amount::ALL {
                let cube = end.apply(&Turn::new(Face::U, amount).into()).cube;
                if self.reaches_goal(&cube) {
                    add(cube, Meaning::Done(cube), TOP_TURNED);
                }
            }
        }
        all
    }

    /// Whether a cube has what the hint leads to, and all that was done before; the top may be turned.
    fn reaches_goal(&self, cube: &Cube) -> bool {
        let cross = self.start.hold.down();
        let goal = self.start.after(&self.advice.hinted()).cube;
        if solve::stage(&goal, cross) == Stage::Solved || self.advice.stage == Stage::LastLayer {
            return *cube == goal;
        }
        let pairs = |cube: &Cube| -> SlotSet { solve::pairs_solved(cube, cross) };
        solve::cross_solved(cube, cross) && pairs(&goal).is_subset(pairs(cube))
    }

    /// Whether something is done in this state, whichever way: the cross, a pair, or the whole cube.
    fn is_done(&self, cube: &Cube) -> bool {
        let progress = self.progress(cube);
        let whole = solve::cross_solved(cube, self.start.hold.down());
        let solved = *cube == Cube::solved();
        self.reaches_goal(cube)
            || solved
            || whole && (progress.cross_gained || !progress.gained.is_empty())
    }
}

/// Share of turns that are the next of a route, where the cube is on one; and the undoing of a slip, after one.
const NEXT: f64 = 0.75;

/// Of these, the share that goes half way of a half turn.
const HALF_WAY: f64 = 0.3;

/// How likely hands make each turn, in the states along the routes and off them by a slip.
fn course(start: &Held, advice: &Advice, likely: &[Likely]) -> HashMap<Cube, [f64; 18]> {
    let mut course = HashMap::new();
    let mut add = |cube: Cube, next: Turn| {
        let made = course.entry(cube).or_insert([(1.0 - NEXT) / 18.0; 18]);
        if next.amount != Amount::Half {
            made[next.index()] += NEXT;
            return;
        }
        made[next.index()] += NEXT * (1.0 - HALF_WAY);
        for amount in [Amount::Quarter, Amount::Counter] {
            made[Turn::new(next.face, amount).index()] += NEXT * HALF_WAY / 2.0;
        }
    };
    let hinted = advice.hinted();
    let routes = advice.routes().iter().map(|route| &route.moves);
    for moves in routes.chain([&hinted]) {
        let mut cube = start.cube;
        for turn in start.hold.follow(moves).0 {
            add(cube, turn);
            if turn.amount == Amount::Half {
                for amount in [Amount::Quarter, Amount::Counter] {
                    let quarter = Turn::new(turn.face, amount);
                    add(cube.apply(quarter), quarter);
                }
            }
            cube = cube.apply(turn);
        }
    }
    for slip in likely.iter().filter(|likely| !likely.undo.is_empty()) {
        if let Some(back) = start.hold.follow(&slip.undo).0.first() {
            add(slip.cube, *back);
        }
    }
    for made in course.values_mut() {
        let total: f64 = made.iter().sum();
        made.iter_mut().for_each(|share| *share /= total);
    }
    course
}

/// Whether a state shows what the looks do, but for a sticker or so.
fn explains(score: &CandidateScore, looks: &[Look]) -> bool {
    score.shortfall < SHORTFALL * looks.len() as f64
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cube::parse_moves;

    fn cube(moves: &str) -> Cube {
        Cube::solved().after(&parse_moves(moves).expect("a legal sequence"))
    }

    /// A cube on a yellow cross with one pair out, and what is known of it.
    fn known() -> Known {
        Known::new(cube("L' U L U2"), Some(Colour::Yellow))
    }

    #[test]
    fn the_route_leads_to_the_goal_and_nothing_done_is_the_same() {
        let known = known();
        let goal = known.start.after(&known.moves()).cube;
        assert_eq!(known.meaning_of(&goal), Some(Meaning::Done(goal)));
        assert_eq!(
            known.meaning_of(&known.cube()),
            Some(Meaning::Same(known.cube()))
        );
    }

    #[test]
    fn after_a_slip_the_undo_leads_back_and_the_goal_still_counts() {
        let mut known = known();
        let goal = known.start.after(&known.moves()).cube;
        let slip = known
            .candidates()
            .into_iter()
            .find_map(|c| match c.meaning {
                Meaning::Slip(likely) if !likely.undo.is_empty() => Some(likely),
                _ => None,
            })
            .expect("a route has slips");
        let way_back = slip.undo.clone();
        known.moved_to(slip.clone());
        assert_eq!(known.moves(), way_back);
        assert_eq!(known.meaning_of(&slip.cube), Some(Meaning::Same(slip.cube)));
        assert_eq!(known.meaning_of(&goal), Some(Meaning::Done(goal)));
        let back = known.held().after(&way_back);
        assert!(matches!(
            known.meaning_of(&back.cube),
            Some(Meaning::OnTheWay(_))
        ));
    }

    /// Words for the hold of before, beside turns for the new one, are wrong turns.
    #[test]
    fn a_cube_turned_as_a_whole_before_the_first_turn_gets_the_hint_of_its_new_hold() {
        let mut otherwise = 0;
        for seed in 0..40 {
            let mixed = Cube::random(seed);
            let cross = coach::advise(&mixed, Some(Colour::White), false);
            let hold = cross.hold;
            let crossed = Held { cube: mixed, hold }.after(&cross.hinted()).cube;
            let plan = Plan {
                cross: Some(Colour::White),
                level: Level::ALL[seed as usize % 4],
                ..Plan::default()
            };
            for quarters in 0..4 {
                let mut known = Known::planned(crossed, None, plan).on_rung(RUNGS);
                let (before, slot) = (known.moves(), known.slot());
                let hold = known.hint_hold().rotated(Face::U, quarters);
                known.turned_to(hold);
                let own = Known::planned(crossed, Some(hold), Plan { slot, ..plan });
                assert_eq!(known.hint_hold(), hold, "{seed}");
                assert_eq!(known.text(), own.on_rung(RUNGS).text(), "{seed}");
                otherwise += usize::from(known.moves() != before);
            }
        }
        assert!(otherwise > 0);
    }

    #[test]
    fn a_shorter_way_is_told_to_whom_the_plain_one_was_not() {
        // The short way goes through a slot that is still empty, and so ends in another state than the plain one.
        let mut known = Known::new(
            cube("x2 R U2 R' U B' U2 B U2 R U2 R' U2 F U F' U R U2 R' U R' U' R U L' U2 L U'"),
            None,
        );
        let short = known.advice.shorter().expect("a shorter way").moves.clone();
        let goal = known.start.after(&known.moves()).cube;
        let told = known.shorter(&goal).expect("it is told");
        let had_shorter = FollowSaying::HadShorter {
            moves: short.clone(),
            down: known.start.hold.down(),
            front: known.start.hold.front(),
        };
        assert_eq!(told.sayings().first(), Some(&had_shorter.into()));
        let short_end = known.start.after(&short).cube;
        assert_ne!(short_end, goal);
        assert_eq!(known.shorter(&short_end), None);
        (0..RUNGS).for_each(|_| known.climb());
        assert_eq!(known.shorter(&goal), None);
    }

    #[test]
    fn the_ladder_ends_at_its_top() {
        let mut known = known();
        let mut texts = vec![known.text()];
        for _ in 0..5 {
            known.climb();
            texts.push(known.text());
        }
        assert_eq!(known.level(), RUNGS);
        assert_eq!(texts[4], texts[5]);
        assert!((0..4).all(|i| texts[i] != texts[i + 1]));
    }
}
