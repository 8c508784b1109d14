//! States that may explain what was seen, legal or put together wrongly.

use super::places::Arrangement;

/// How unlikely a cube put together wrongly is, as log-odds (natural) against a legal one: about one cube in 150 for
/// a single fault of each kind. A judgement, no source.
pub const FAULT_PRIOR: f32 = -5.0;

/// What keeps a wrongly assembled cube from being legal.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Default)]
pub struct Flaw {
    /// Sum of twists modulo 3, as orientations of `Corner`.
    pub twist: u8,
    pub flip: bool,
    pub swap: bool,
}

impl Flaw {
    /// Legal is no flaw.
    pub fn none(self) -> bool {
        self == Flaw::default()
    }

    /// Log-odds (natural) against a legal cube.
    pub fn prior(self) -> f32 {
        FAULT_PRIOR
            * (f32::from(self.twist.min(1))
                + f32::from(u8::from(self.flip))
                + f32::from(u8::from(self.swap)))
    }

    /// All twelve, the legal one first.
    pub fn all() -> impl Iterator<Item = Flaw> {
        (0..12).map(|i| Flaw {
            twist: i % 3,
            flip: i / 3 % 2 == 1,
            swap: i / 6 == 1,
        })
    }
}

/// A state and how well it explains the evidence at its best rolls (log-likelihood, with the prior of its flaw).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hypothesis {
    pub state: Arrangement,
    pub flaw: Flaw,
    pub score: f32,
}
