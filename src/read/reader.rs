//! From looks to a reading: explains them, decides, and says what it means.

use super::ask::{ask, show_face};
use super::describe::{look_reading, look_readings};
use super::explain::{Explained, Explaining, Explanation, Judge, explain, explain_as_expected};
use super::frame::{Frame, Known};
use super::margin::{SURE, margin};
use super::outliers::{Outlier, Suspect, at_odds, faults_as_seen, net_as_seen, outliers, suspect};
use super::reading::{Ask, Light, Outcome, Reading};
use super::turned::turned_between;
use super::views::{
    View, clutter, of_some_cube, sure_of_clutter, sure_without, unconfirmed, weighed_without,
    without,
};
use super::work::Work;
use crate::colour::{Model, Profile};
use crate::cube::{Colour, Face, Fault, FaultKind, Net, Scheme};
use crate::sight::Look;

/// What is said of pictures that show the cube as in a mirror.
pub const MIRRORED: &str = "the pictures are mirrored, which I have set right";

/// What is said where a profile's colours explain less than general ones.
const GENERAL: &str = "the profile's colours do not fit this light or this cube, so I went by general ones; calibrate anew";

/// Looks of which a reading makes use at most, evenly chosen of more: what they do not show, more of the same do not.
const MOST_LOOKS: usize = 32;

/// Reads a cube from looks that come one after another.
#[derive(Clone, Debug)]
pub struct Reader {
    judge: Judge,
    /// General colours, for where a profile does not fit.
    general: Judge,
    calibrated: bool,
    looks: Vec<Look>,
}

/// What was decided, before it is put into words and fields.
struct Decision {
    outcome: Outcome,
    say: String,
    ask: Option<Ask>,
    faults: Vec<Fault>,
}

/// What the looks show, less what is no face of the cube.
struct Weighed {
    looks: Vec<Look>,
    explained: Explained,
    /// Log-odds (natural) at least that the best state does not hang on a face that is none of the cube's.
    sure_of_views: f64,
    /// Judged by general colours in spite of a profile.
    general: bool,
}

/// A profile that is of another cube or light than it is read by, as log-odds (natural): one in 20. A judgement.
const FOREIGN: f64 = -3.0;

/// Nats by which the profile's colours or general ones must explain the looks better for the others not to be gone into.
const FAR: f64 = 20.0;

impl Weighed {
    /// What is likelier by a profile's colours and by general ones, each held against the rivals of both.
    fn likelier(own: Option<Weighed>, general: Option<Weighed>) -> Option<Weighed> {
        let (mut own, mut general) = match (own, general) {
            (Some(own), Some(general)) => (own, general),
            (own, general) => return own.or(general.map(Weighed::by_general_colours)),
        };
        match own.views().cmp(&general.views()) {
            // Colours by which fewer views are faces of the cube are the worse ones.
            std::cmp::Ordering::Less => return Some(general.by_general_colours()),
            std::cmp::Ordering::Greater => return Some(own),
            std::cmp::Ordering::Equal => {}
        }
        general.explained.lessen(FOREIGN);
        let best = |weighed: &Weighed| {
            let best = weighed.explained.explanations.first();
            best.map_or(f64::NEG_INFINITY, |e| e.score)
        };
        match best(&own) >= best(&general) {
            true => {
                own.explained.join(general.explained);
                Some(own)
            }
            false => {
                general.explained.join(own.explained);
                Some(general.by_general_colours())
            }
        }
    }

    /// The number of views that are made use of.
    fn views(&self) -> usize {
        self.looks.iter().map(|look| look.faces.len()).sum()
    }

    /// Whether the very same views are made use of.
    fn has_views_of(&self, other: &Weighed) -> bool {
        let mut looks = self.looks.iter().zip(&other.looks);
        looks.all(|(a, b)| has_same_faces(a, b))
    }

    fn by_general_colours(self) -> Weighed {
        Weighed {
            general: true,
            ..self
        }
    }

    /// Log-odds (natural) of the best legal state over all else.
    fn margin(&self) -> f64 {
        let margin = margin(&self.explained);
        margin.signum() * margin.abs().min(self.sure_of_views)
    }
}

/// Where the centres fit no cube at all, the view that is least likely a face: of a look that by itself fits none, if there is one.
fn unlikeliest(judge: &Judge, looks: &[Look], work: &Work) -> Option<View> {
    let fits_none = |i: &usize| {
        let look = std::slice::from_ref(&looks[*i]);
        explain(judge, look, work).explanations.is_empty()
    };
    let shown = (0..looks.len()).filter(|&i| !looks[i].faces.is_empty());
    let shown: Vec<usize> = shown.collect();
    let mut among: Vec<usize> = shown.iter().copied().filter(fits_none).collect();
    if among.is_empty() {
        among = shown;
    }
    let views = among
        .into_iter()
        .flat_map(|i| (0..looks[i].faces.len()).map(move |j| (i, j)));
    views.min_by(|&(i, j), &(k, l)| {
        let [a, b] = [&looks[i].faces[j], &looks[k].faces[l]].map(|face| face.score);
        a.total_cmp(&b)
    })
}

/// The best explanation, with what is no face of the cube left out; none where nothing is left. It goes on from what was begun with all
/// looks.
fn weighed(judge: &Judge, all: &[Look], begun: Explaining, work: &Work) -> Option<Weighed> {
    let mut looks = all.to_vec();
    let mut begun = Some(begun);
    // Of the views left out, the log-odds that they were faces of some cube.
    let mut left_out: Vec<f64> = Vec::new();
    while looks.iter().any(|look| !look.faces.is_empty()) {
        let begun = begun.take();
        let begun = begun.unwrap_or_else(|| Explaining::begin(judge, &looks, work));
        let explained = begun.with_rivals(judge, &looks, work);
        let Some(best) = explained.explanations.first() else {
            let (i, j) = unlikeliest(judge, &looks, work)?;
            left_out.push(f64::from(looks[i].faces[j].score));
            looks = without(&looks, &[(i, j)]);
            continue;
        };
        let clutter = clutter(best, &looks);
        if !clutter.is_empty() && !work.is_done() {
            let odds = clutter.iter().map(|&view| of_some_cube(best, &looks, view));
            left_out.extend(odds);
            looks = without(&looks, &clutter);
            continue;
        }
        let sure = match left_out[..] {
            [] => f64::INFINITY,
            _ => sure_of_clutter(&left_out).max(0.0),
        };
        let sure_of_views = sure.min(sure_of_views(judge, &looks, &explained, work));
        return Some(Weighed {
            looks,
            explained,
            sure_of_views,
            general: false,
        });
    }
    None
}

/// How sure the best state is where the views of one of its faces are none of the cube's: the least of all faces.
fn sure_of_views(judge: &Judge, looks: &[Look], explained: &Explained, work: &Work) -> f64 {
    let best = &explained.explanations[0];
    let sure = margin(explained).abs();
    let mut least = f64::INFINITY;
    for unconfirmed in unconfirmed(best, looks, SURE, work) {
        if sure.min(least) < SURE || work.is_done() {
            break;
        }
        let less = without(looks, &unconfirmed.views);
        let others = explain_as_expected(judge, &less, work);
        let own = weighed_without(judge, best, &less, &unconfirmed.views, work);
        let lead = lead_of(&own, &others);
        least = least.min(sure_without(&unconfirmed, lead).max(0.0));
    }
    least
}

impl Reader {
    /// A reader for a calibrated cube or, without a profile, for any cube.
    pub fn new(profile: Option<&Profile>) -> Reader {
        let known = Known {
            scheme: profile.and_then(Profile::scheme),
            mirrored: None,
        };
        let general = Judge {
            model: Model::generic(),
            adapts: true,
            known,
        };
        Reader {
            judge: Judge {
                model: profile.map_or_else(Model::generic, Model::from_profile),
                ..general.clone()
            },
            general,
            calibrated: profile.is_some(),
            looks: Vec::new(),
        }
    }

    /// The same where it is known whether the pictures are mirrored.
    pub fn mirrored(mut self, mirrored: bool) -> Reader {
        self.take_mirrored(Some(mirrored));
        self
    }

    /// Takes it as known from now on whether the pictures are mirrored, or as not known.
    pub fn take_mirrored(&mut self, mirrored: Option<bool>) {
        self.judge.known.mirrored = mirrored;
        self.general.known.mirrored = mirrored;
    }

    /// How the colours of the cube are taken to lie before it is seen.
    pub fn scheme(&self) -> Scheme {
        self.judge.known.scheme.unwrap_or(Scheme::USUAL)
    }

    /// Takes the cube to be of this scheme from now on.
    pub fn take_scheme(&mut self, scheme: Scheme) {
        self.judge.known.scheme = Some(scheme);
        self.general.known.scheme = Some(scheme);
    }

    /// A reader by a profile for the same camera: what was said of its pictures stays.
    pub fn by_profile(&self, profile: &Profile) -> Reader {
        let reader = Reader::new(Some(profile));
        match self.judge.known.mirrored {
            Some(mirrored) => reader.mirrored(mirrored),
            None => reader,
        }
    }

    /// Adds a look at the same cube in the same state, in the order of showing.
    pub fn add(&mut self, look: Look) {
        self.looks.push(look);
    }

    /// Forgets all looks.
    pub fn clear(&mut self) {
        self.looks.clear();
    }

    /// The looks so far.
    pub fn looks(&self) -> &[Look] {
        &self.looks
    }

    /// The colours that looks are judged by, and whether they come from a profile.
    pub fn model(&self) -> (&Model, bool) {
        (&self.judge.model, self.calibrated)
    }

    /// What looks are judged by.
    pub fn judge(&self) -> &Judge {
        &self.judge
    }

    /// What the looks so far show. A picture that is given twice counts once.
    pub fn read(&self) -> Reading {
        let all = &self.looks;
        let first = |i: usize| (0..i).find(|&j| is_same_picture(&all[j], &all[i]));
        let different: Vec<usize> = (0..all.len()).filter(|&i| first(i).is_none()).collect();
        let chosen = evenly(&different, MOST_LOOKS);
        let mut looks = all.clone();
        for (i, look) in looks.iter_mut().enumerate() {
            if !chosen.contains(&i) {
                look.faces.clear();
                look.joints.clear();
            }
        }
        let mut reading = self.read_different(&looks);
        for i in 0..all.len() {
            if let Some(first) = first(i) {
                reading.looks[i] = reading.looks[first].clone();
            }
        }
        reading
    }

    fn read_different(&self, all: &[Look]) -> Reading {
        let work = Work::new();
        let own = Explaining::begin(&self.judge, all, &work);
        let weighed = match self.calibrated {
            true => self.by_either(own, all, &work),
            false => weighed(&self.judge, all, own, &work),
        };
        match weighed {
            Some(weighed) => self.tell(&weighed, &work),
            None => self.nothing_seen(),
        }
    }

    /// What is likelier by the profile's colours and by general ones. Those that are far behind are not gone into.
    fn by_either(&self, own: Explaining, all: &[Look], work: &Work) -> Option<Weighed> {
        let general = Explaining::begin(&self.general, all, work);
        let by_general = |general| weighed(&self.general, all, general, work);
        if general.best() + FOREIGN > own.best() + FAR {
            return by_general(general).map(Weighed::by_general_colours);
        }
        let Some(mut own) = weighed(&self.judge, all, own, work) else {
            return by_general(general).map(Weighed::by_general_colours);
        };
        let best = own.explained.explanations[0].score;
        let near = match own.views() == all.iter().map(|look| look.faces.len()).sum::<usize>() {
            true => general.clone(),
            false => Explaining::begin(&self.general, &own.looks, work),
        };
        if own.sure_of_views.is_infinite() && near.best() + FOREIGN < best {
            let mut near = near.done(work);
            near.lessen(FOREIGN);
            own.explained.join(near);
            return Some(own);
        }
        let general = by_general(general).map(|general| self.comparable(&own, general, work));
        Weighed::likelier(Some(own), general)
    }

    /// What general colours make of the views that the profile's colours make use of, where by themselves they make use of as many
    /// others: only what explains the same views can be compared.
    fn comparable(&self, own: &Weighed, general: Weighed, work: &Work) -> Weighed {
        if own.views() != general.views() || own.has_views_of(&general) {
            return general;
        }
        Weighed {
            looks: own.looks.clone(),
            explained: explain(&self.general, &own.looks, work),
            sure_of_views: own.sure_of_views.min(general.sure_of_views),
            general: false,
        }
    }

    fn nothing_seen(&self) -> Reading {
        let shown = self.looks.iter().any(|look| !look.faces.is_empty());
        let say = match (self.looks.is_empty(), shown) {
            (true, _) => "nothing was shown yet",
            (false, false) => "no cube was found in any picture",
            (false, true) => "the centres that were found belong to no cube that can be",
        };
        Reading {
            schema: 1,
            outcome: Outcome::Incomplete,
            say: say.into(),
            net: None,
            margin: 0.0,
            looks: self
                .looks
                .iter()
                .map(|look| look_reading(look, false, Vec::new()))
                .collect(),
            ask: Some(Ask {
                show: [Colour::White, Colour::Red, Colour::Green].into(),
                say: "show me any corner of the cube, with three faces at once".into(),
            }),
            missing: Colour::ALL.into(),
            scheme: self.scheme(),
            faults: Vec::new(),
            light: None,
            either_way: false,
            cube: None,
            impossible: None,
        }
    }

    fn tell(&self, weighed: &Weighed, work: &Work) -> Reading {
        let Weighed {
            looks, explained, ..
        } = weighed;
        let margin = weighed.margin();
        let best = &explained.explanations[0];
        let missing = missing(best);
        let frame = best.association.frame;
        let decision = self.decide(weighed, margin, &missing, work);
        let outcome = decision.outcome;
        let cube = (outcome == Outcome::Read)
            .then(|| best.state.cube())
            .flatten();
        let scheme = frame.scheme;
        let decision = decision.in_scheme(scheme);
        let known = self.scheme();
        let unlike = scheme.say().filter(|_| {
            (outcome == Outcome::Read || scheme != known) && outcome != Outcome::Incomplete
        });
        Reading {
            schema: 1,
            outcome,
            say: say(
                &decision,
                frame.mirrored && outcome != Outcome::Incomplete,
                unlike,
                weighed.general && outcome != Outcome::Incomplete,
            ),
            net: cube.as_ref().map(|cube| scheme.painted(&Net::of(cube))),
            scheme,
            margin,
            looks: look_readings(looks, explained, best, outcome),
            ask: decision.ask,
            missing: missing.into_iter().map(|c| scheme.colour(c)).collect(),
            faults: decision.faults,
            light: self.calibrated.then(|| Light {
                like_profile: !weighed.general && self.judge.model.is_like(best.lights.room()),
                distance: self.judge.model.light_distance(best.lights.room()),
            }),
            either_way: outcome == Outcome::Unsure && self.is_either_way(best, margin),
            cube,
            impossible: (outcome == Outcome::Impossible)
                .then(|| net_as_seen(best, &outliers(best)))
                .flatten()
                .map(|net| scheme.painted(&net)),
        }
    }

    fn decide(&self, weighed: &Weighed, margin: f64, missing: &[Colour], work: &Work) -> Decision {
        let explained = &weighed.explained;
        let best = &explained.explanations[0];
        let outliers = outliers(best);
        let frame = &best.association.frame;
        // Without a profile a colour is known by its centre: where that was not seen, a shade of another may pass for it.
        let calibrated = self.calibrated && !weighed.general;
        let known = calibrated || missing.is_empty();
        let sure = is_sure(best, margin);
        if explained.unfinished {
            unfinished(explained, missing)
        } else if at_odds(best) {
            self.decide_unsure(weighed, missing, work)
        } else if !known {
            undecided(explained, missing)
        } else if let Some(centres) = frame.exchanged() {
            decide_exchanged(explained, centres, missing, margin)
        } else if !outliers.is_empty() {
            decide_outliers(best, &outliers, margin)
        } else if self.is_either_way(best, margin) {
            decide_mirrored(explained, frame)
        } else if sure {
            decide_sure(best)
        } else {
            undecided(explained, missing)
        }
    }

    /// Whether a state is sure but for its twin in a mirror.
    fn is_either_way(&self, best: &Explanation, margin: f64) -> bool {
        is_sure(best, margin) && best.association.frame.over_twin(self.judge.known) < SURE
    }

    /// No one state fits: the cube was turned, or something is wrong with what was seen.
    fn decide_unsure(&self, weighed: &Weighed, missing: &[Colour], work: &Work) -> Decision {
        let judge = match weighed.general {
            true => &self.general,
            false => &self.judge,
        };
        let fault = turned_between(judge, &weighed.looks, work);
        let sure = fault.is_some();
        Decision {
            outcome: if sure { Outcome::Impossible } else { Outcome::Unsure },
            say: match sure {
                true => String::new(),
                false => "what I saw does not fit one cube; it may have been turned in between, or glare or fingers hide \
                          too much"
                    .into(),
            },
            ask: Some(ask(&weighed.explained, missing)),
            faults: fault.into_iter().collect(),
        }
    }
}

/// Whether a state, legal or not, leads all of the other kind by enough.
fn is_sure(best: &Explanation, margin: f64) -> bool {
    match best.flaw.none() {
        true => margin >= SURE,
        false => margin <= -SURE,
    }
}

/// Whether two looks come from one and the same picture.
fn is_same_picture(a: &Look, b: &Look) -> bool {
    !a.faces.is_empty() && has_same_faces(a, b)
}

fn has_same_faces(a: &Look, b: &Look) -> bool {
    let mut faces = a.faces.iter().zip(&b.faces);
    a.faces.len() == b.faces.len()
        && faces.all(|(a, b)| a.lattice == b.lattice && a.patches == b.patches)
}

/// At most so many of some items, evenly chosen.
fn evenly(items: &[usize], most: usize) -> Vec<usize> {
    let kept = items.len().min(most);
    (0..kept).map(|i| items[i * items.len() / kept]).collect()
}

/// How far (nats) a state leads all others that explain the same looks; nothing where not all of them were looked for. Where a face is
/// left out, states that differ there alone explain the rest as well, too many to be all found.
fn lead_of(own: &Explanation, others: &Explained) -> f64 {
    if others.unfinished {
        return f64::NEG_INFINITY;
    }
    let all = &others.explanations;
    let (same, rivals): (Vec<_>, Vec<_>) = all.iter().partition(|e| e.state == own.state);
    let score = same.iter().fold(own.score, |most, e| most.max(e.score));
    let unexplored = all
        .first()
        .map_or(f64::NEG_INFINITY, |best| best.score - others.searched);
    score - rivals.iter().fold(unexplored, |most, e| most.max(e.score))
}

fn missing(best: &Explanation) -> Vec<Colour> {
    let seen = |face: &Face| {
        best.association
            .assigned
            .iter()
            .flatten()
            .any(|p| p.face == *face)
    };
    Face::ALL
        .into_iter()
        .filter(|face| !seen(face))
        .map(Face::home_colour)
        .collect()
}

/// A few stickers contradict the best state. The cube is to blame only where nothing else comes near that state, and
/// each sticker was seen so twice.
fn decide_outliers(best: &Explanation, outliers: &[Outlier], margin: f64) -> Decision {
    let faults = faults_as_seen(best, outliers);
    let once = outliers.iter().find(|m| m.looks < 2);
    let sure = once.is_none() && margin.abs() >= SURE && !faults.is_empty();
    match once.or(outliers.first()) {
        Some(outlier) if !sure => {
            let face = Face::ALL[outlier.cell / 9].home_colour();
            let colour = Colour::ALL[outlier.seen].name();
            Decision {
                outcome: Outcome::Unsure,
                say: format!(
                    "a sticker on the {} face looks {colour}, and no cube with the rest as I see it has it so",
                    face.name()
                ),
                ask: Some(show_face(face)),
                faults: Vec::new(),
            }
        }
        // Looks from before and after a turn can show single stickers wrong, too (3 of 3,929 that were turned meanwhile).
        _ => Decision {
            outcome: Outcome::Impossible,
            say: "if a layer was turned while you showed it, that may be all; show it once more to be sure"
                .into(),
            ask: None,
            faults,
        },
    }
}

/// One state explains the looks better than any other, unless a sticker is another one than belongs there.
fn decide_sure(best: &Explanation) -> Decision {
    match suspect(best, SURE) {
        Some(suspect) => doubt(best, suspect),
        None if best.flaw.none() => Decision {
            outcome: Outcome::Read,
            say: String::new(),
            ask: None,
            faults: Vec::new(),
        },
        None => Decision {
            outcome: Outcome::Impossible,
            say: String::new(),
            ask: None,
            faults: faults_as_seen(best, &[]),
        },
    }
}

/// A sticker may be another one than belongs there.
fn doubt(best: &Explanation, suspect: Suspect) -> Decision {
    let face = Face::ALL[suspect.cell / 9].home_colour();
    let [own, seen] =
        [best.state.colours()[suspect.cell], suspect.seen].map(|c| Colour::ALL[c].name());
    Decision {
        outcome: Outcome::Unsure,
        say: format!(
            "a sticker on the {} face should be {own} by all the others, but may be {seen} as I see it",
            face.name()
        ),
        ask: Some(show_face(face)),
        faults: Vec::new(),
    }
}

/// Two centres seem to have been exchanged: no cube is told of it.
fn decide_exchanged(
    explained: &Explained,
    [a, b]: [Colour; 2],
    missing: &[Colour],
    margin: f64,
) -> Decision {
    let sure = missing.is_empty() && margin.abs() >= SURE;
    let (a, b) = (a.name(), b.name());
    Decision {
        outcome: if sure {
            Outcome::Impossible
        } else {
            Outcome::Unsure
        },
        say: match sure {
            true => String::new(),
            false => format!(
                "the {a} and the {b} centre may have been exchanged, or more than one cube would look like this"
            ),
        },
        ask: (!sure).then(|| ask(explained, missing)),
        faults: sure
            .then(|| Fault {
                kind: FaultKind::SwappedPieces,
                say: format!("the {a} and the {b} centre are exchanged"),
                repair: format!("take the caps off the {a} and the {b} centre and exchange them"),
                places: Vec::new(),
            })
            .into_iter()
            .collect(),
    }
}

/// The pictures are mirrored or not, and the cube's colours run one way round or the other: all the same to see.
fn decide_mirrored(explained: &Explained, frame: &Frame) -> Decision {
    let say = match frame.mirrored {
        true => {
            "either these pictures are mirrored, or the colours of your cube run the other way round than usual"
        }
        false => "with the colours of your cube I cannot tell whether these pictures are mirrored",
    };
    Decision {
        outcome: Outcome::Unsure,
        say: say.into(),
        ask: Some(Ask {
            say: "tell me whether your camera mirrors its pictures: on the page under More, or with --mirrored or --mirrored=no"
                .into(),
            ..ask(explained, &[])
        }),
        faults: Vec::new(),
    }
}

/// There was more to look into than a reading may take.
fn unfinished(explained: &Explained, missing: &[Colour]) -> Decision {
    Decision {
        outcome: Outcome::Unsure,
        say: "these pictures do not go together well, and there are too many ways to take them; show one cube, in few pictures, \
              and turn no layer meanwhile"
            .into(),
        ask: Some(ask(explained, missing)),
        faults: Vec::new(),
    }
}

fn undecided(explained: &Explained, missing: &[Colour]) -> Decision {
    Decision {
        outcome: if missing.is_empty() {
            Outcome::Unsure
        } else {
            Outcome::Incomplete
        },
        say: match missing {
            [] => "more than one cube would look like this".into(),
            [one] => format!("the {} face is still missing", one.name()),
            more => {
                let names: Vec<&str> = more.iter().map(|c| c.name()).collect();
                format!("the faces {} are still missing", listed(&names))
            }
        },
        ask: Some(ask(explained, missing)),
        faults: Vec::new(),
    }
}

impl Decision {
    /// With the colours of a scheme in place of the roles that they have in the usual one.
    fn in_scheme(self, scheme: Scheme) -> Decision {
        let fault = |fault: Fault| Fault {
            say: scheme.in_words(&fault.say),
            repair: scheme.in_words(&fault.repair),
            places: fault
                .places
                .iter()
                .map(|place| place.iter().map(|c| scheme.colour(*c)).collect())
                .collect(),
            ..fault
        };
        Decision {
            say: scheme.in_words(&self.say),
            ask: self.ask.map(|ask| ask.in_scheme(scheme)),
            faults: self.faults.into_iter().map(fault).collect(),
            ..self
        }
    }
}

fn say(decision: &Decision, mirrored: bool, scheme: Option<String>, general: bool) -> String {
    let mut parts = Vec::new();
    match decision.outcome {
        Outcome::Read => {
            parts.push("the cube is read: one legal state fits all that was seen".to_owned())
        }
        Outcome::Impossible => {
            let faults: Vec<&str> = decision.faults.iter().map(|f| f.say.as_str()).collect();
            parts.push(format!(
                "this cannot be a legal cube: {}",
                faults.join("; ")
            ));
            parts.extend(Some(&decision.say).filter(|say| !say.is_empty()).cloned());
        }
        Outcome::Incomplete | Outcome::Unsure => {
            parts.push(decision.say.clone());
            parts.extend(decision.ask.as_ref().map(|a| a.say.clone()));
        }
    }
    parts.extend(scheme);
    if mirrored {
        parts.push(MIRRORED.into());
    }
    if general {
        parts.push(GENERAL.into());
    }
    parts
        .iter()
        .map(|part| sentence(part))
        .collect::<Vec<_>>()
        .join(" ")
}

fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    match letters.next() {
        Some(first) => format!("{}{}.", first.to_uppercase(), letters.as_str()),
        None => String::new(),
    }
}

fn listed(names: &[&str]) -> String {
    match names {
        [rest @ .., last] if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => names.concat(),
    }
}
