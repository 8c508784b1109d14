//! Reading is decoding: evidence from many looks, joined into one legal state with a margin, or named faults.
//!
//! Nothing is read sticker by sticker. Each look gives the likelihood of every colour for every sticker
//! ([`LookEvidence`]); centres and joints tell which face is which ([`associations`]); the best legal states, and the
//! nearly legal ones beside them, are found exactly over all rolls that the looks leave open ([`search`]).

mod ask;
mod association;
mod candidates;
mod describe;
mod evidence;
mod explain;
mod frame;
mod glance;
mod hypothesis;
mod lights;
mod margin;
mod outliers;
mod places;
mod reader;
mod reading;
mod search;
mod subsets;
mod turned;
mod views;
mod work;

pub use ask::show_corner;
pub use association::{Association, associations};
pub use candidates::CandidateScore;
pub use evidence::{Alternatives, Assignment, LookEvidence, Table, Weights, alternatives};
pub use explain::{Explained, Explanation, Judge, explain};
pub use frame::{Frame, Known};
pub use glance::{Glance, Painted, Way, painted};
pub use hypothesis::{Flaw, Hypothesis};
pub use margin::SURE;
pub use places::Arrangement;
pub use reader::{MIRRORED, Reader};
pub use reading::{Ask, FaceReading, Light, LookReading, Outcome, Reading};
pub use search::{Found, MARGIN_CAP, search};
pub use work::Work;
