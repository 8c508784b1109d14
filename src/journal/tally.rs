//! Attempts summed up, situation by situation.

use std::collections::HashMap;

use serde::Serialize;

use super::{Attempt, Situation};
use crate::journal::attempt::RUNGS;

/// What became of all attempts at one situation.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Tally {
    #[serde(serialize_with = "name")]
    pub situation: Situation,
    pub seen: u32,
    pub solved: u32,
    pub solved_without_help: u32,
    /// How often the first, second, third and fourth rung was the highest.
    pub rungs: [u32; RUNGS as usize],
    pub turns: Turns,
    pub slips: u32,
    /// Mean time of those solved, from the first hint.
    pub seconds: Option<f64>,
    /// How many of them were drills.
    pub drills: u32,
    /// The last time, in seconds since 1970, UTC.
    pub last: i64,
}

/// Turns made against the fewest, over the attempts whose turns are known.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Turns {
    pub made: u32,
    pub best: u32,
    pub attempts: u32,
}

impl Turns {
    /// The same in words.
    pub fn told(&self) -> String {
        match self.over().map(|over| (over * 10.0).round() / 10.0) {
            None => "turns not known".into(),
            Some(over) if over > 0.0 => {
                let s = if over == 1.0 { "" } else { "s" };
                format!("{over} turn{s} more than the fewest")
            }
            Some(_) => "in the fewest turns".into(),
        }
    }

    /// Turns more than the fewest, on average.
    pub fn over(&self) -> Option<f64> {
        let over = f64::from(self.made) - f64::from(self.best);
        (self.attempts > 0).then(|| over / f64::from(self.attempts))
    }
}

impl Tally {
    /// How many hints were needed, in words: "one hint 3 times, two hints once".
    pub fn hints_told(&self) -> String {
        let times = |n: u32| match n {
            1 => "once".into(),
            2 => "twice".into(),
            n => format!("{n} times"),
        };
        let hints = ["one hint", "two hints", "three hints", "all four hints"];
        let rungs = self.rungs.iter().zip(hints).filter(|(n, _)| **n > 0);
        let told: Vec<String> = rungs
            .map(|(n, hints)| format!("{hints} {}", times(*n)))
            .collect();
        match told.is_empty() {
            true => "no hint".into(),
            false => told.join(", "),
        }
    }

    /// "no slip", "one slip", "3 slips".
    pub fn slips_told(&self) -> String {
        match self.slips {
            0 => "no slip".into(),
            1 => "one slip".into(),
            n => format!("{n} slips"),
        }
    }
}

/// One tally for each situation that was met, in the order of [`Situation::all`].
pub fn tally(attempts: &[Attempt]) -> Vec<Tally> {
    let mut by: HashMap<Situation, Vec<&Attempt>> = HashMap::new();
    for attempt in attempts {
        by.entry(attempt.start.situation).or_default().push(attempt);
    }
    Situation::all()
        .filter_map(|situation| Some(sum(situation, by.get(&situation)?)))
        .collect()
}

fn sum(situation: Situation, attempts: &[&Attempt]) -> Tally {
    let count =
        |fits: &dyn Fn(&Attempt) -> bool| attempts.iter().filter(|a| fits(a)).count() as u32;
    let solved = count(&|a| a.ended.is_some());
    let mut turns = Turns::default();
    for attempt in attempts {
        if let Some(made) = attempt.ended.and_then(|ended| ended.turns) {
            turns.made += made;
            turns.best += attempt.start.best;
            turns.attempts += 1;
        }
    }
    let seconds: f64 = attempts
        .iter()
        .filter_map(|a| a.ended)
        .map(|e| e.seconds)
        .sum();
    Tally {
        situation,
        seen: attempts.len() as u32,
        solved,
        solved_without_help: count(&Attempt::unhelped),
        rungs: std::array::from_fn(|i| count(&|a| usize::from(a.rung) == i + 1)),
        turns,
        slips: attempts.iter().map(|a| a.slips).sum(),
        seconds: (solved > 0).then(|| (seconds / f64::from(solved) * 10.0).round() / 10.0),
        drills: count(&|a| a.start.drill),
        last: attempts.iter().map(|a| a.start.when).max().unwrap_or(0),
    }
}

fn name<S: serde::Serializer>(situation: &Situation, s: S) -> Result<S::Ok, S::Error> {
    s.collect_str(situation)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::journal::Event;
    use crate::journal::testing::{attempt, placed};

    #[test]
    fn sums_add_up() {
        let (one, other) = (placed(3), placed(0));
        let solved = |turns| Event::Solved { turns };
        let attempts = [
            attempt(one, 10, &[solved(Some(7))]),
            attempt(
                one,
                20,
                &[
                    Event::Rung(2),
                    Event::Slip(None),
                    Event::Rung(4),
                    solved(Some(12)),
                ],
            ),
            attempt(one, 30, &[Event::Rung(3)]),
            attempt(one, 40, &[solved(None), Event::Slip(None)]),
            attempt(other, 5, &[]),
        ];
        let all = tally(&attempts);
        assert_eq!(
            all.iter().map(|t| t.situation).collect::<Vec<_>>(),
            [other, one].map(Situation::Placed)
        );
        let one = &all[1];
        assert_eq!((one.seen, one.solved, one.solved_without_help), (4, 3, 2));
        assert_eq!(one.rungs, [0, 0, 1, 1]);
        // Each best is 7.
        assert_eq!(
            one.turns,
            Turns {
                made: 19,
                best: 14,
                attempts: 2
            }
        );
        assert_eq!(one.turns.over(), Some(2.5));
        assert_eq!((one.slips, one.last), (1, 40));
        assert_eq!(all[0].seconds, None);
        assert_eq!(all[0].turns.over(), None);
    }
}
