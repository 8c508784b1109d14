//! The level of coaching that practice has opened.

use std::collections::HashMap;

use super::{Attempt, Placed, Situation};
use crate::coach::Level;

/// Pairs of late that count. Fewer: one bad day closes a level; more: it opens late.
const RECENT: usize = 10;

/// What opens a level: how many of the last ten pairs were solved without help, and how many of the 22 sights went so the last time
/// that they came. Common practice, no source.
const OPENS: [(Level, usize, usize); 3] = [
    (Level::Still, 8, 8),
    (Level::Short, 9, 16),
    (Level::Ahead, 9, 20),
];

/// What opens a level: how many of the last ten pairs and of all sights without help; none for the one that is always open.
pub fn opens(level: Level) -> Option<(usize, usize)> {
    let own = OPENS.iter().find(|(of, ..)| *of == level);
    own.map(|(_, pairs, sights)| (*pairs, *sights))
}

/// The highest level that attempts, oldest first, have opened.
pub fn opened(attempts: &[Attempt]) -> Level {
    let recent = attempts.iter().rev().take(RECENT);
    let unhelped = recent.filter(|attempt| attempt.unhelped()).count();
    let mut last: HashMap<Placed, bool> = HashMap::new();
    for attempt in attempts {
        if let Situation::Placed(placed) = attempt.start.situation {
            last.insert(placed, attempt.unhelped());
        }
    }
    let known = last.values().filter(|unhelped| **unhelped).count();
    let open = |(_, pairs, sights): &&(Level, usize, usize)| unhelped >= *pairs && known >= *sights;
    let highest = OPENS.iter().take_while(open).last();
    highest.map_or(Level::Front, |(level, ..)| *level)
}

#[cfg(test)]
mod tests {
    use super::super::Event;
    use super::super::testing::{attempt, placed};
    use super::*;

    /// Attempts at so many sights, one after the other, solved without help.
    fn unhelped(sights: usize) -> Vec<Attempt> {
        let solved = [Event::Solved { turns: Some(7) }];
        let times = (0..3 * sights).map(|i| (i % sights, i as i64));
        times
            .map(|(sight, when)| attempt(placed(sight), when, &solved))
            .collect()
    }

    #[test]
    fn levels_open_one_after_the_other_and_close_again() {
        assert_eq!(opened(&[]), Level::Front);
        let levels = [4, 8, 16, 20, 22].map(|sights| opened(&unhelped(sights)));
        assert_eq!(
            levels,
            [
                Level::Front,
                Level::Still,
                Level::Short,
                Level::Ahead,
                Level::Ahead
            ]
        );
        let mut attempts = unhelped(22);
        let helped = [Event::Rung(4), Event::Solved { turns: Some(7) }];
        attempts.extend((0..5).map(|i| attempt(placed(i), 1000, &helped)));
        assert_eq!(opened(&attempts), Level::Front);
    }
}
