//! What to practise next: spaced repetition (FSRS, by the crate `rs-fsrs`) over the situations, one card each.
//!
//! Cards are not stored: they follow from the attempts, so that journal and schedule cannot disagree.

use std::collections::HashMap;

use chrono::{DateTime, Utc};
use rs_fsrs::{FSRS, Parameters, Rating};

use super::{Attempt, Placed, Situation};

/// Attempts at a situation that count for how well it is known; older ones are forgotten. Fewer: one bad day counts
/// much; more: what was learnt since shows late.
const RECENT: usize = 8;

/// How well one situation is known.
#[derive(Clone, Debug)]
pub struct Card(rs_fsrs::Card);

impl Card {
    /// When it should be practised again, in seconds since 1970, UTC.
    pub fn due(&self) -> i64 {
        self.0.due.timestamp()
    }

    /// The chance that it is still known, 0 to 1.
    pub fn known(&self, now: i64) -> f64 {
        self.0.get_retrievability(time(now))
    }
}

/// The cards of all situations that were practised.
pub fn cards(attempts: &[Attempt]) -> HashMap<Placed, Card> {
    let scheduler = FSRS::new(Parameters {
        enable_fuzz: false,
        ..Parameters::default()
    });
    let mut rated: Vec<(i64, Placed, Rating)> = attempts
        .iter()
        .filter_map(|attempt| Some((attempt.start.when, placed(attempt)?, rating(attempt)?)))
        .collect();
    // A clock that was set back leaves them out of order.
    rated.sort_by_key(|&(when, ..)| when);
    let mut cards: HashMap<Placed, Card> = HashMap::new();
    for (when, placed, rating) in rated {
        let now = time(when);
        let card = cards.get(&placed).map_or_else(
            || rs_fsrs::Card {
                due: now,
                last_review: now,
                ..rs_fsrs::Card::default()
            },
            |card| card.0.clone(),
        );
        cards.insert(placed, Card(scheduler.next(card, now, rating).card));
    }
    cards
}

/// The situation to practise now: the one due that is most likely forgotten; with none due the first that is new; else
/// the one due first. None only when there are none to choose among.
pub fn next_due(attempts: &[Attempt], among: &[Placed], now: i64) -> Option<Placed> {
    let cards = cards(attempts);
    let card = |placed: &Placed| cards.get(placed);
    let due = among
        .iter()
        .filter_map(|placed| Some((placed, card(placed)?)))
        .filter(|(_, card)| card.due() <= now)
        .min_by(|(_, a), (_, b)| {
            let known = a.known(now).total_cmp(&b.known(now));
            known.then(a.due().cmp(&b.due()))
        })
        .map(|(placed, _)| *placed);
    due.or_else(|| among.iter().copied().find(|placed| card(placed).is_none()))
        .or_else(|| {
            among
                .iter()
                .copied()
                .min_by_key(|placed| card(placed).map(Card::due))
        })
}

/// The situation that goes worst: most of the last attempts needed help or were given up; among equals the one with most
/// turns over the best, then with most slips. None when nothing among them was practised.
pub fn worst(attempts: &[Attempt], among: &[Placed]) -> Option<Placed> {
    let trouble = |wanted: &Placed| {
        let own = attempts.iter().rev().filter(|a| placed(a) == Some(*wanted));
        let recent: Vec<&Attempt> = own.take(RECENT).collect();
        let helped = recent.iter().filter(|a| !a.unhelped()).count() as f64;
        let count = recent.len() as f64;
        let over: Vec<f64> = recent
            .iter()
            .filter_map(|a| Some(f64::from(a.ended?.turns?) - f64::from(a.start.best)))
            .collect();
        let over = over.iter().sum::<f64>() / over.len().max(1) as f64;
        let slips: u32 = recent.iter().map(|a| a.slips).sum();
        // Laplace's rule of succession: one bad attempt says less than eight.
        (count > 0.0).then_some((
            (helped + 1.0) / (count + 2.0),
            over,
            f64::from(slips) / count,
        ))
    };
    let ranked = among
        .iter()
        .filter_map(|placed| Some((placed, trouble(placed)?)));
    // `reduce` keeps the first of equals.
    ranked
        .reduce(|most, next| if next.1 > most.1 { next } else { most })
        .map(|(placed, _)| *placed)
}

/// How an attempt went, for the scheduler; nothing for one that was left without asking for anything.
fn rating(attempt: &Attempt) -> Option<Rating> {
    let asked = attempt.rung > 1 || attempt.slips > 0;
    let best = |turns: u32| turns <= attempt.start.best;
    match attempt.ended {
        None => asked.then_some(Rating::Again),
        Some(_) if attempt.rung >= super::attempt::RUNGS || attempt.slips > 1 => {
            Some(Rating::Again)
        }
        Some(_) if asked => Some(Rating::Hard),
        Some(ended) if ended.turns.is_some_and(best) => Some(Rating::Easy),
        Some(_) => Some(Rating::Good),
    }
}

fn placed(attempt: &Attempt) -> Option<Placed> {
    match attempt.start.situation {
        Situation::Placed(placed) => Some(placed),
        Situation::Trapped(_) => None,
    }
}

/// A time beyond what a calendar holds is taken for 1970.
fn time(seconds: i64) -> DateTime<Utc> {
    DateTime::from_timestamp(seconds, 0).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::journal::Event;
    use crate::journal::testing::{attempt, placed};

    const DAY: i64 = 86_400;
    const CLEAN: Event = Event::Solved { turns: Some(9) };

    #[test]
    fn what_went_badly_comes_back_sooner() {
        let attempts = [
            attempt(placed(0), 0, &[CLEAN]),
            attempt(placed(1), 0, &[Event::Rung(2), CLEAN]),
            attempt(placed(2), 0, &[Event::Rung(4), CLEAN]),
            attempt(placed(3), 0, &[Event::Solved { turns: Some(7) }]),
        ];
        let cards = cards(&attempts);
        let due = [2, 1, 0, 3].map(|i| cards[&placed(i)].due());
        assert!(due.is_sorted(), "{due:?}");
        assert!(due[0] < DAY && due[3] > DAY);
    }

    #[test]
    fn practice_that_goes_well_spreads_out() {
        let mut attempts = Vec::new();
        let mut gaps = Vec::new();
        let mut now = 0;
        for _ in 0..6 {
            attempts.push(attempt(placed(0), now, &[CLEAN]));
            let due = cards(&attempts)[&placed(0)].due();
            gaps.push(due - now);
            now = due;
        }
        assert!(gaps.is_sorted() && gaps[5] > 30 * DAY, "{gaps:?}");
    }

    #[test]
    fn due_comes_before_new_and_new_before_early() {
        let among: Vec<Placed> = Placed::all().collect();
        assert_eq!(next_due(&[], &among, 0), Some(placed(0)));
        let attempts = [
            attempt(placed(0), 0, &[Event::Solved { turns: Some(7) }]),
            attempt(placed(5), 0, &[Event::Rung(4), CLEAN]),
        ];
        assert_eq!(next_due(&attempts, &among, 1), Some(placed(1)));
        assert_eq!(next_due(&attempts, &among, DAY), Some(placed(5)));
        let only = [placed(0)];
        assert_eq!(next_due(&attempts, &only, 1), Some(placed(0)));
        assert_eq!(next_due(&attempts, &[], 1), None);
    }

    #[test]
    fn an_attempt_left_at_once_says_nothing() {
        assert!(cards(&[attempt(placed(0), 0, &[])]).is_empty());
        assert_eq!(cards(&[attempt(placed(0), 0, &[Event::Rung(2)])]).len(), 1);
    }

    #[test]
    fn the_worst_needs_most_help_and_then_most_turns() {
        let among: Vec<Placed> = Placed::all().collect();
        assert_eq!(worst(&[], &among), None);
        let mut attempts = vec![
            attempt(placed(0), 0, &[CLEAN]),
            attempt(placed(1), 0, &[Event::Solved { turns: Some(12) }]),
        ];
        assert_eq!(worst(&attempts, &among), Some(placed(1)));
        attempts.push(attempt(placed(2), 0, &[Event::Rung(3), CLEAN]));
        assert_eq!(worst(&attempts, &among), Some(placed(2)));
        for when in 1..=RECENT as i64 {
            attempts.push(attempt(placed(2), when, &[CLEAN]));
        }
        assert_eq!(worst(&attempts, &among), Some(placed(1)));
    }
}
