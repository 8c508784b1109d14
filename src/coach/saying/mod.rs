//! What the coach says, typed: every saying has terms of the cube in its fields, and no words. `english` makes sentences of them;
//! another language is another file beside it.

mod cross;
mod deed;
mod follow;
mod last_layer;
mod pair;
mod progress;
mod stage;
mod turns;

pub use cross::{CrossEdges, CrossSaying, Lead};
pub use deed::{Deed, PairName, SightName, Use};
pub use follow::{Difference, FollowSaying};
pub use last_layer::{Few, TopSaying};
pub use pair::{
    Carry, CornerThere, Elsewhere, Hiding, LiftAim, LiftReason, Mechanism, Order, PairReason,
    PairSaying, Pieces, ShortGain, Standing, Whereabouts,
};
pub use progress::{Pairs, Praise, ProgressSaying};
pub use stage::StageSaying;
pub use turns::TurnSaying;

/// One sentence.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Saying {
    Turns(TurnSaying),
    Pair(PairSaying),
    Cross(CrossSaying),
    Top(TopSaying),
    Stage(StageSaying),
    Follow(FollowSaying),
    Progress(ProgressSaying),
    Praise(Praise),
    /// What is so after something else.
    Then(Box<Saying>),
}

/// What is said at once, sentence after sentence; it may be nothing.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Text(Vec<Saying>);

impl Text {
    pub const NOTHING: Text = Text(Vec::new());

    pub fn is_nothing(&self) -> bool {
        self.0.is_empty()
    }

    pub fn sayings(&self) -> &[Saying] {
        &self.0
    }

    /// This, and more after it.
    pub fn and(mut self, more: Text) -> Text {
        self.0.extend(more.0);
        self
    }

    /// As what is so after something else.
    pub fn then(self) -> Text {
        let mut sayings = self.0.into_iter();
        let first = sayings.next().map(|saying| Saying::Then(Box::new(saying)));
        first.into_iter().chain(sayings).collect()
    }
}

impl FromIterator<Saying> for Text {
    fn from_iter<I: IntoIterator<Item = Saying>>(sayings: I) -> Text {
        Text(sayings.into_iter().collect())
    }
}

/// One saying by itself.
pub fn say(saying: impl Into<Saying>) -> Text {
    Text(vec![saying.into()])
}

/// Several of one concern.
pub fn say_all<S: Into<Saying>>(sayings: impl IntoIterator<Item = S>) -> Text {
    sayings.into_iter().map(Into::into).collect()
}

impl From<TurnSaying> for Saying {
    fn from(saying: TurnSaying) -> Saying {
        Saying::Turns(saying)
    }
}

impl From<PairSaying> for Saying {
    fn from(saying: PairSaying) -> Saying {
        Saying::Pair(saying)
    }
}

impl From<CrossSaying> for Saying {
    fn from(saying: CrossSaying) -> Saying {
        Saying::Cross(saying)
    }
}

impl From<TopSaying> for Saying {
    fn from(saying: TopSaying) -> Saying {
        Saying::Top(saying)
    }
}

impl From<StageSaying> for Saying {
    fn from(saying: StageSaying) -> Saying {
        Saying::Stage(saying)
    }
}

impl From<FollowSaying> for Saying {
    fn from(saying: FollowSaying) -> Saying {
        Saying::Follow(saying)
    }
}

impl From<ProgressSaying> for Saying {
    fn from(saying: ProgressSaying) -> Saying {
        Saying::Progress(saying)
    }
}

impl From<Praise> for Saying {
    fn from(saying: Praise) -> Saying {
        Saying::Praise(saying)
    }
}
