//! What the loop tells: one event a line with `--events`, and the source of every sentence on page and terminal.

use std::fmt;

use serde::{Serialize, Serializer};

use super::impairment::Impairment;
use crate::camera::TroubleKind;
use crate::cube::{Colour, Hold, Moves, Net, Scheme};
use crate::solve::{Slot, SlotSet};

/// An event and when it happened.
#[derive(Clone, Debug, Serialize)]
pub struct Timed {
    /// Seconds of the stream, to a hundredth.
    pub t: f64,
    #[serde(flatten)]
    pub event: Event,
}

/// Something the learner, or a script, should know.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "event", rename_all = "lowercase")]
pub enum Event {
    /// Faces seen so far in this track, by their centres.
    Saw { faces: Vec<Colour> },
    /// The whole state is known.
    Read { net: Net, text: String },
    /// What to do next; `moves` are the route's, from `hold`.
    Hint {
        level: u8,
        text: String,
        moves: Moves,
        slot: Option<PairColours>,
        hold: Holding,
    },
    /// A layer was turned.
    Turn {
        /// The one move, in the hint's hold.
        #[serde(rename = "move")]
        made: Moves,
        /// The layer, by its centre.
        layer: Colour,
        /// Seen by itself, not only inferred with others from what they led to.
        sure: bool,
        /// The cube as it is seen now, after all turns that are told together.
        net: Net,
    },
    /// The whole cube was turned.
    Rotated { hold: Holding },
    /// The cube came to rest.
    Still {},
    /// The hint was followed; the net is the cube now.
    Followed {
        net: Net,
        /// Crosses and pairs that are solved now and were not before.
        gained: Vec<Part>,
        /// Those that were.
        lost: Vec<Part>,
        text: String,
        /// The shorter way that there was, for a learner who needed no turns told.
        #[serde(skip_serializing_if = "Option::is_none")]
        shorter: Option<String>,
    },
    /// Something else was done; `undo` leads back, from the hint's hold.
    Slip {
        net: Net,
        did: Moves,
        meant: Moves,
        undo: Moves,
        /// The text tells the way back; else only what is different.
        way_back: bool,
        text: String,
    },
    /// More must be shown.
    Ask { show: Vec<Colour>, text: String },
    /// The camera, the light or the cube needs attention.
    Trouble { kind: Kind, text: String },
    /// The stream is over.
    End {},
}

/// What kind of trouble there is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(untagged)]
pub enum Kind {
    /// With the camera or the frames in its place.
    Camera(TroubleKind),
    /// With the picture: the cube is hard to see in it.
    Impaired(Impairment),
    /// With the cube, or with how it is shown.
    Seen(Seen),
    /// With the journal.
    Kept(Kept),
}

/// How it stands with the journal.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Kept {
    /// What is told now is not kept yet, and is tried again.
    NotKeptYet,
    /// All that was not kept is kept now.
    KeptNow,
    /// What is told now will not be kept.
    NotKept,
}

/// Trouble with what is seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Seen {
    /// The feed is mirrored; it is read the right way round.
    Mirrored,
    /// The cube was put together wrongly, or a sticker was moved.
    ImpossibleCube,
}

/// A pair by its two side colours; in JSON as in `green-red`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PairColours(pub [Colour; 2]);

/// What of a cube is solved or not: a cross by its colour, or a pair.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    Cross(Colour),
    Pair(PairColours),
}

impl PairColours {
    /// The pair of a slot of a cross.
    pub fn of(slot: Slot, cross: Colour) -> PairColours {
        PairColours(slot.colours(cross))
    }

    fn in_scheme(self, scheme: Scheme) -> PairColours {
        PairColours(self.0.map(|colour| scheme.colour(colour)))
    }
}

impl Part {
    /// A cross, if it is there, and the pairs of slots of it.
    pub fn all(cross: Colour, with_cross: bool, slots: SlotSet) -> Vec<Part> {
        let pairs = slots
            .iter()
            .map(|slot| Part::Pair(PairColours::of(slot, cross)));
        let cross = with_cross.then_some(Part::Cross(cross));
        cross.into_iter().chain(pairs).collect()
    }

    fn in_scheme(self, scheme: Scheme) -> Part {
        match self {
            Part::Cross(colour) => Part::Cross(scheme.colour(colour)),
            Part::Pair(pair) => Part::Pair(pair.in_scheme(scheme)),
        }
    }
}

impl fmt::Display for PairColours {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [a, b] = self.0.map(Colour::name);
        write!(f, "{a}-{b}")
    }
}

impl fmt::Display for Part {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Part::Cross(colour) => f.write_str(colour.name()),
            Part::Pair(pair) => pair.fmt(f),
        }
    }
}

impl Serialize for PairColours {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}

impl Serialize for Part {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}

/// How the cube is to be held.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Holding {
    pub down: Colour,
    pub front: Colour,
}

impl From<Hold> for Holding {
    fn from(hold: Hold) -> Holding {
        Holding {
            down: hold.down(),
            front: hold.front(),
        }
    }
}

impl Holding {
    /// The same of a cube of a scheme.
    fn in_scheme(self, scheme: Scheme) -> Holding {
        Holding {
            down: scheme.colour(self.down),
            front: scheme.colour(self.front),
        }
    }
}

impl Event {
    /// What is told of a cube by the places of its colours in the usual scheme, as it is told of one of this scheme. Texts are in the
    /// cube's own colours already.
    pub fn in_scheme(self, scheme: Scheme) -> Event {
        let each = |parts: Vec<Part>| parts.iter().map(|part| part.in_scheme(scheme)).collect();
        match self {
            Event::Saw { faces } => Event::Saw {
                faces: faces.into_iter().map(|c| scheme.colour(c)).collect(),
            },
            Event::Read { net, text } => Event::Read {
                net: scheme.painted(&net),
                text,
            },
            Event::Hint {
                level,
                text,
                moves,
                slot,
                hold,
            } => Event::Hint {
                level,
                text,
                moves,
                slot: slot.map(|pair| pair.in_scheme(scheme)),
                hold: hold.in_scheme(scheme),
            },
            Event::Turn {
                made,
                layer,
                sure,
                net,
            } => Event::Turn {
                made,
                layer: scheme.colour(layer),
                sure,
                net: scheme.painted(&net),
            },
            Event::Rotated { hold } => Event::Rotated {
                hold: hold.in_scheme(scheme),
            },
            Event::Followed {
                net,
                gained,
                lost,
                text,
                shorter,
            } => Event::Followed {
                net: scheme.painted(&net),
                gained: each(gained),
                lost: each(lost),
                text,
                shorter,
            },
            Event::Slip {
                net,
                did,
                meant,
                undo,
                way_back,
                text,
            } => Event::Slip {
                net: scheme.painted(&net),
                did,
                meant,
                undo,
                way_back,
                text,
            },
            Event::Ask { show, text } => Event::Ask {
                show: show.into_iter().map(|c| scheme.colour(c)).collect(),
                text,
            },
            told @ (Event::Still {} | Event::Trouble { .. } | Event::End {}) => told,
        }
    }
}

impl Timed {
    /// An event at a time in seconds, rounded to a hundredth.
    pub fn new(t: f64, event: Event) -> Self {
        Timed {
            t: (t * 100.0).round() / 100.0,
            event,
        }
    }
}
