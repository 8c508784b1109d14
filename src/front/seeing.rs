//! Seeing without turning: a pair is shown, and the learner says what its two pieces are to each other.

use std::ops::RangeInclusive;

use serde::Serialize;

use crate::coach::{Hand, english, example, seen, words};
use crate::cube::{Colour, Held, Move, Scheme, parse_moves};
use crate::draw::{Others, Stickers, marked};
use crate::solve::Slot;

/// What can be answered, each with the numbers of the sights that it is right for.
pub const ANSWERS: [(&str, RangeInclusive<usize>); 4] = [
    ("Joined", 1..=1),
    ("Ready", 2..=2),
    ("Apart", 3..=7),
    ("Touching wrongly", 8..=12),
];

/// Turns of the top, so that a sight is known wherever it lies.
const TOPS: [&str; 4] = ["", "U", "U2", "U'"];

/// A run of pairs to be seen.
pub struct Seeing {
    /// By its place in the usual scheme.
    cross: Colour,
    scheme: Scheme,
    seed: u64,
    card: Card,
    /// When the card was shown, milliseconds.
    since: u64,
    chosen: Option<usize>,
    tally: Tally,
}

/// How it went with the pairs that were answered.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Tally {
    pub answered: usize,
    pub right: usize,
    /// Of all of them together.
    pub seconds: f64,
}

/// One pair to be seen.
struct Card {
    /// The place of the right answer.
    answer: usize,
    held: Held,
    slot: Slot,
    /// It is better seen from the front left.
    from_left: bool,
}

impl Seeing {
    /// Begins a run on a cross of a cube of a scheme, now, in milliseconds; which pairs come follows from that.
    pub fn new(cross: Colour, scheme: Scheme, now: u64) -> Option<Seeing> {
        let cross = scheme.usual(cross);
        Some(Seeing {
            cross,
            scheme,
            seed: now,
            card: card(cross, now)?,
            since: now,
            chosen: None,
            tally: Tally::default(),
        })
    }

    /// Takes an answer, at a time in milliseconds; the first one counts.
    pub fn answer(&mut self, choice: usize, now: u64) {
        if choice >= ANSWERS.len() || self.chosen.is_some() {
            return;
        }
        self.chosen = Some(choice);
        self.tally.answered += 1;
        self.tally.right += usize::from(choice == self.card.answer);
        self.tally.seconds += now.saturating_sub(self.since) as f64 / 1000.0;
    }

    /// The next pair, once this one is answered.
    pub fn next(&mut self, now: u64) {
        if self.chosen.is_none() {
            return;
        }
        self.seed = mixed(self.seed);
        if let Some(card) = card(self.cross, self.seed) {
            (self.card, self.chosen, self.since) = (card, None, now);
        }
    }

    /// The one thing to do or to know now.
    pub fn sentence(&self) -> &'static str {
        match self.chosen {
            None => "What are the two framed pieces to each other?",
            Some(choice) if choice == self.card.answer => "Right.",
            Some(_) => "Look again.",
        }
    }

    /// What is to be seen, once it is answered.
    pub fn why(&self) -> String {
        let seen = self.chosen.map(|_| seen(&self.card.held, self.card.slot));
        english::text_of(&seen.unwrap_or_default(), self.scheme)
    }

    pub fn tally(&self) -> Tally {
        self.tally
    }

    /// What is shown: the pair framed, and of the others those that are at home.
    pub fn stickers(&self) -> Stickers {
        marked(&self.card.held, self.card.slot, Others::FirstLayersAtHome).painted(self.scheme)
    }

    pub fn is_from_left(&self) -> bool {
        self.card.from_left
    }

    /// How the cube is held, in a sentence.
    pub fn hold(&self) -> String {
        let hold = self.card.held.hold;
        words::hold(
            self.scheme.colour(hold.down()),
            self.scheme.colour(hold.front()),
        )
    }

    /// What was answered; then which answer is right.
    pub fn answers(&self) -> Option<(usize, usize)> {
        self.chosen.map(|chosen| (chosen, self.card.answer))
    }
}

impl Tally {
    /// In a sentence; nothing before the first answer.
    pub fn say(&self) -> Option<String> {
        let each = self.seconds / self.answered as f64;
        (self.answered > 0).then(|| {
            format!(
                "{} of {} right, {each:.1} seconds each.",
                words::sentence(&words::count(self.right)),
                words::count(self.answered)
            )
        })
    }
}

/// One of a series in which each value looks unlike the one before: SplitMix64 (Steele, Lea and Flood, 2014).
fn mixed(seed: u64) -> u64 {
    let mut z = seed.wrapping_add(0x9e37_79b9_7f4a_7c15);
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

fn card(cross: Colour, seed: u64) -> Option<Card> {
    let mut random = mixed(seed);
    let mut below = |n: usize| {
        random = mixed(random);
        (random % n as u64) as usize
    };
    let answer = below(ANSWERS.len());
    let numbers: Vec<usize> = ANSWERS[answer].1.clone().collect();
    let number = numbers[below(numbers.len())];
    let hand = [Hand::Right, Hand::Left][below(2)];
    let slot = Slot::ALL[below(Slot::ALL.len())];
    let top: Vec<Move> = parse_moves(TOPS[below(TOPS.len())]).ok()?;
    let held: Held = example(number, hand, cross, slot)?.after(&top);
    Some(Card {
        answer,
        held,
        slot,
        from_left: hand == Hand::Left,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::coach::Relation;
    use crate::journal::Placed;

    /// An answer is right for all of its sights: what it says is how the coach itself classes them.
    #[test]
    fn the_answers_are_the_coachs_own_classes() {
        for (answer, numbers) in &ANSWERS {
            for number in numbers.clone() {
                let relation = Placed::numbered(number).expect("a sight").relation();
                let expected = match *answer {
                    "Joined" => Relation::Joined,
                    "Touching wrongly" => Relation::Misjoined,
                    _ => Relation::Apart,
                };
                assert_eq!(relation, expected, "{number}");
            }
        }
        let ready = example(2, Hand::Right, Colour::White, Slot::ALL[0]).expect("a sight");
        assert!(english::text(&seen(&ready, Slot::ALL[0])).starts_with("They are ready"));
    }

    #[test]
    fn the_first_answer_counts_and_the_next_pair_comes_after_it() {
        let mut seeing = Seeing::new(Colour::White, Scheme::USUAL, 1_000).expect("a card");
        seeing.next(1_500);
        assert_eq!((seeing.since, seeing.why()), (1_000, String::new()));
        let answer = seeing.card.answer;
        seeing.answer(answer, 3_000);
        seeing.answer((answer + 1) % 4, 9_000);
        assert_eq!(seeing.sentence(), "Right.");
        let so_far = |seeing: &Seeing| seeing.tally().say().expect("answered");
        assert_eq!(so_far(&seeing), "One of one right, 2.0 seconds each.");
        assert!(!seeing.why().is_empty());
        seeing.next(10_000);
        seeing.answer((seeing.card.answer + 1) % 4, 11_000);
        assert_eq!(seeing.sentence(), "Look again.");
        assert_eq!(so_far(&seeing), "One of two right, 1.5 seconds each.");
    }

    #[test]
    fn every_answer_comes_up_and_both_pieces_are_framed() {
        let mut seen = [0; 4];
        let mut seed = 7;
        for _ in 0..24 {
            seed = mixed(seed);
            let card = card(Colour::Yellow, seed).expect("a card");
            seen[card.answer] += 1;
            let stickers = marked(&card.held, card.slot, Others::FirstLayersAtHome);
            let framed = stickers.0.iter().flatten().filter(|s| s.pair);
            assert_eq!(framed.count(), 5);
        }
        assert!(seen.iter().all(|count| *count > 0), "{seen:?}");
    }
}
