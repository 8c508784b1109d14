//! Habits: at which kind of sight most time goes, and which slip is made most.

use std::collections::HashMap;

use super::{Attempt, Placed, Situation};
use crate::coach::english;
use crate::coach::follow::SlipKind;
use crate::cube::Colour;

/// Attempts of late that count.
const RECENT: usize = 60;

/// Fewest attempts at a kind of sight, and at all others, from which a habit is told; and fewest slips.
const FEWEST: usize = 4;

/// A kind of sight takes so many times as long as the others before it is told.
const LONGER: f64 = 1.3;

/// Kinds of sights, by words of their names, and when they are met.
const KINDS: [(&str, &str); 4] = [
    ("white up", "when white looks up"),
    ("touching", "when the pieces touch wrongly"),
    ("same across", "when the top colours are the same"),
    ("slot", "when a piece is in the slot"),
];

/// What stands out in attempts, oldest first: no more than two sentences.
pub fn habits(attempts: &[Attempt]) -> Vec<String> {
    let recent = &attempts[attempts.len().saturating_sub(RECENT)..];
    slowest(recent).into_iter().chain(slips(recent)).collect()
}

fn slowest(attempts: &[Attempt]) -> Option<String> {
    let timed: Vec<(String, f64)> = attempts
        .iter()
        .filter_map(|attempt| match attempt.start.situation {
            Situation::Placed(placed) => Some((name(placed), attempt.ended?.seconds)),
            Situation::Trapped(_) => None,
        })
        .collect();
    let kinds = KINDS.iter().filter_map(|(words, when)| {
        let (of, others): (Vec<_>, Vec<_>) =
            timed.iter().partition(|(name, _)| name.contains(words));
        let (own, rest) = (mean(&of)?, mean(&others)?);
        (own > LONGER * rest).then_some((own / rest, own, rest, when))
    });
    let (_, own, rest, when) = kinds.max_by(|a, b| a.0.total_cmp(&b.0))?;
    Some(format!(
        "You lose most time {when}: {own:.0} seconds a pair, {rest:.0} otherwise."
    ))
}

fn name(placed: Placed) -> String {
    placed.name(Colour::White)
}

fn mean(timed: &[&(String, f64)]) -> Option<f64> {
    let sum: f64 = timed.iter().map(|(_, seconds)| seconds).sum();
    (timed.len() >= FEWEST).then(|| sum / timed.len() as f64)
}

fn slips(attempts: &[Attempt]) -> Option<String> {
    let mut count: HashMap<SlipKind, usize> = HashMap::new();
    for kind in attempts.iter().filter_map(|attempt| attempt.slip) {
        *count.entry(kind).or_default() += 1;
    }
    let all: usize = count.values().sum();
    // In the order of the kinds, so that among equals it is always the same.
    let often = |kind: &SlipKind| count.get(kind).copied().unwrap_or(0);
    let most = SlipKind::ALL
        .into_iter()
        .rev()
        .max_by_key(|kind| often(kind))?;
    (all >= FEWEST && 2 * often(&most) > all).then(|| {
        format!(
            "Most of your slips are of one kind: {} ({} of {all}).",
            english::slip(most),
            often(&most)
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::journal::Event;
    use crate::journal::testing::attempt;

    /// Attempts at all sights, each solved after so many seconds.
    fn timed(seconds: impl Fn(&str) -> usize) -> Vec<Attempt> {
        let one = |placed: Placed| {
            // An event a second.
            let mut events = vec![Event::Turned; seconds(&name(placed))];
            events.push(Event::Solved { turns: Some(7) });
            attempt(placed, 0, &events)
        };
        Placed::all().map(one).collect()
    }

    #[test]
    fn what_takes_longest_is_named_and_nothing_where_all_is_alike() {
        assert_eq!(habits(&timed(|_| 6)), [""; 0]);
        let slow = |name: &str| if name.contains("white up") { 12 } else { 6 };
        assert_eq!(
            habits(&timed(slow)),
            ["You lose most time when white looks up: 12 seconds a pair, 6 otherwise."]
        );
        assert_eq!(habits(&timed(slow)[..3]), [""; 0]);
    }

    #[test]
    fn the_slip_that_most_are_is_named() {
        let of = |kind| Event::Slip(Some(kind));
        let sights = || Placed::all().take(5);
        let mut attempts: Vec<Attempt> = sights()
            .map(|placed| attempt(placed, 0, &[of(SlipKind::Direction)]))
            .collect();
        assert_eq!(
            habits(&attempts),
            ["Most of your slips are of one kind: turned the wrong way (5 of 5)."]
        );
        attempts.extend(sights().map(|placed| attempt(placed, 1, &[of(SlipKind::Face)])));
        assert_eq!(habits(&attempts), [""; 0]);
    }
}
