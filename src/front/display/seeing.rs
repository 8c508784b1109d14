//! Seeing without turning: a pair is drawn, and the learner says what its two pieces are to each other.

use std::ops::RangeInclusive;

use crate::coach::{Hand, example, seen, words};
use crate::cube::{Colour, Held, Move, Scheme, parse_moves};
use crate::draw::{Others, marked};
use crate::page::{self, Drawing};
use crate::solve::Slot;

/// What can be answered, each with the numbers of the sights that it is right for.
const ANSWERS: [(&str, RangeInclusive<usize>); 4] = [
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
    /// Of those that were answered: how many, how many rightly, and in how many seconds.
    answered: usize,
    right: usize,
    seconds: f64,
}

/// One pair to be seen.
struct Card {
    answer: usize,
    drawing: Drawing,
    /// What is to be seen, in a sentence.
    say: String,
}

impl Seeing {
    /// Begins a run on a cross of a cube of a scheme; the seed tells which pairs come.
    pub fn new(cross: Colour, scheme: Scheme, seed: u64) -> Option<Seeing> {
        let cross = scheme.usual(cross);
        Some(Seeing {
            cross,
            scheme,
            seed,
            card: card(cross, scheme, seed)?,
            since: seed,
            chosen: None,
            answered: 0,
            right: 0,
            seconds: 0.0,
        })
    }

    /// Takes an answer, at a time in milliseconds; the first one counts.
    pub fn answer(&mut self, choice: usize, now: u64) {
        if choice >= ANSWERS.len() || self.chosen.is_some() {
            return;
        }
        self.chosen = Some(choice);
        self.answered += 1;
        self.right += usize::from(choice == self.card.answer);
        self.seconds += now.saturating_sub(self.since) as f64 / 1000.0;
    }

    /// The next pair, once this one is answered.
    pub fn next(&mut self, now: u64) {
        if self.chosen.is_none() {
            return;
        }
        self.seed = mixed(self.seed);
        if let Some(card) = card(self.cross, self.scheme, self.seed) {
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
    pub fn why(&self) -> &str {
        self.chosen.map_or("", |_| &self.card.say)
    }

    /// How it goes so far, in a sentence; nothing before the first answer.
    pub fn say(&self) -> String {
        if self.answered == 0 {
            return "Say it without turning: by a key from 1 to 4, or a button.".into();
        }
        let each = self.seconds / self.answered as f64;
        format!(
            "{} of {} right, {each:.1} seconds each.",
            words::sentence(&words::count(self.right)),
            words::count(self.answered)
        )
    }

    pub fn drawing(&self) -> Drawing {
        self.card.drawing.clone()
    }

    /// The answers as the page shows them.
    pub fn shown(&self) -> page::Seeing {
        page::Seeing {
            answers: ANSWERS.map(|(name, _)| name),
            chosen: self.chosen,
            right: self.chosen.map(|_| self.card.answer),
        }
    }
}

/// One of a series in which each value looks unlike the one before: SplitMix64 (Steele, Lea and Flood, 2014).
fn mixed(seed: u64) -> u64 {
    let mut z = seed.wrapping_add(0x9e37_79b9_7f4a_7c15);
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

fn card(cross: Colour, scheme: Scheme, seed: u64) -> Option<Card> {
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
    let hold = words::hold(held.hold.down(), held.hold.front());
    Some(Card {
        answer,
        drawing: Drawing {
            stickers: marked(&held, slot, Others::FirstLayersAtHome).painted(scheme),
            from_left: hand == Hand::Left,
            description: scheme.in_words(&hold).into(),
        },
        say: scheme.in_words(&seen(&held, slot)),
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
        assert!(seen(&ready, Slot::ALL[0]).starts_with("They are ready"));
    }

    #[test]
    fn the_first_answer_counts_and_the_next_pair_comes_after_it() {
        let mut seeing = Seeing::new(Colour::White, Scheme::USUAL, 1_000).expect("a card");
        seeing.next(1_500);
        assert_eq!((seeing.since, seeing.why()), (1_000, ""));
        let answer = seeing.card.answer;
        seeing.answer(answer, 3_000);
        seeing.answer((answer + 1) % 4, 9_000);
        assert_eq!(seeing.sentence(), "Right.");
        assert_eq!(seeing.say(), "One of one right, 2.0 seconds each.");
        assert!(!seeing.why().is_empty());
        seeing.next(10_000);
        seeing.answer((seeing.card.answer + 1) % 4, 11_000);
        assert_eq!(seeing.sentence(), "Look again.");
        assert_eq!(seeing.say(), "One of two right, 1.5 seconds each.");
    }

    #[test]
    fn every_answer_comes_up_and_both_pieces_are_framed() {
        let mut seen = [0; 4];
        let mut seed = 7;
        for _ in 0..24 {
            seed = mixed(seed);
            let card = card(Colour::Yellow, Scheme::BLUE_BELOW, seed).expect("a card");
            seen[card.answer] += 1;
            let framed = card.drawing.stickers.0.iter().flatten().filter(|s| s.pair);
            assert_eq!(framed.count(), 5);
        }
        assert!(seen.iter().all(|count| *count > 0), "{seen:?}");
    }
}
