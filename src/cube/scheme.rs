//! Colour schemes: which colour lies on which face of a solved cube. There are thirty; one is usual.

use super::{Colour, Cube, Face, Hold, Net};
use std::fmt;
use std::sync::LazyLock;

/// Where the six colours of a cube lie, held white up and with the first of green, red, blue, orange and yellow that is not
/// opposite white in front.
///
/// All else in the program speaks of colours by their places in the usual scheme: a [`Cube`](super::Cube) is a state against
/// its own centres, whatever their colours are. A scheme says which colours those are.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Scheme {
    /// By [`Face::index`].
    colours: [Colour; 6],
}

/// Which colour comes in front, white being up.
const FRONT: [Colour; 5] = [
    Colour::Green,
    Colour::Red,
    Colour::Blue,
    Colour::Orange,
    Colour::Yellow,
];

static ALL: LazyLock<Vec<Scheme>> = LazyLock::new(|| {
    let mut all = vec![Scheme::USUAL];
    let mut colours = Colour::ALL;
    orders(&mut colours, 1, &mut |colours| {
        let scheme = Scheme { colours: *colours };
        if scheme.is_held_so() && scheme != Scheme::USUAL {
            all.push(scheme);
        }
    });
    all
});

/// Calls for each order of the colours from a place on.
fn orders(colours: &mut [Colour; 6], from: usize, found: &mut impl FnMut(&[Colour; 6])) {
    if from == colours.len() {
        return found(colours);
    }
    for i in from..colours.len() {
        colours.swap(from, i);
        orders(colours, from + 1, found);
        colours.swap(from, i);
    }
}

impl Scheme {
    /// White opposite yellow, red opposite orange, green opposite blue; white up and green in front, red is on the right.
    pub const USUAL: Scheme = Scheme {
        colours: Colour::ALL,
    };

    /// The other one that is made in numbers: as the usual one, but blue and yellow exchanged. Common practice, no source.
    pub const BLUE_BELOW: Scheme = Scheme {
        colours: [
            Colour::White,
            Colour::Red,
            Colour::Green,
            Colour::Blue,
            Colour::Orange,
            Colour::Yellow,
        ],
    };

    /// Whether cubes of this scheme are made in numbers; none of a common scheme is of one in a mirror.
    pub fn is_common(self) -> bool {
        [Scheme::USUAL, Scheme::BLUE_BELOW].contains(&self)
    }

    /// All thirty, the usual one first.
    pub fn all() -> impl Iterator<Item = Scheme> {
        ALL.iter().copied()
    }

    /// The scheme of a cube whose centres, held any way, are these by [`Face::index`]; none where two are the same.
    pub fn of_centres(centres: [Colour; 6]) -> Option<Scheme> {
        let held = |hold: Hold| Scheme {
            colours: Face::ALL.map(|face| centres[hold.home_face(face).index()]),
        };
        let differ = Colour::ALL.iter().all(|colour| centres.contains(colour));
        differ.then(|| Hold::all().map(held).find(|scheme| scheme.is_held_so()))?
    }

    fn is_held_so(&self) -> bool {
        let [up, _, front, down, ..] = self.colours;
        let first = FRONT.into_iter().find(|colour| *colour != down);
        up == Colour::White && Some(front) == first
    }

    /// The same seen in a mirror: the same colours lie opposite each other, and they run the other way round.
    pub fn mirrored(self) -> Scheme {
        let [up, right, front, down, left, back] = self.colours;
        Scheme {
            colours: [up, left, front, down, right, back],
        }
    }

    /// Whether it is the usual one.
    pub fn is_usual(self) -> bool {
        self == Scheme::USUAL
    }

    /// By [`Face::index`], the colour of the centre.
    pub const fn colours(self) -> [Colour; 6] {
        self.colours
    }

    /// The colour that lies where one does in the usual scheme.
    pub fn colour(self, usual: Colour) -> Colour {
        self.colours[usual.index()]
    }

    /// The colour that lies in the usual scheme where this one does: undoes [`Scheme::colour`].
    pub fn usual(self, colour: Colour) -> Colour {
        self.face_of(colour).home_colour()
    }

    /// The face on which a colour is at home.
    pub fn face_of(self, colour: Colour) -> Face {
        Face::ALL[self.colours.iter().position(|&c| c == colour).unwrap_or(0)]
    }

    /// The colour of the opposite centre.
    pub fn opposite(self, colour: Colour) -> Colour {
        self.colours[self.face_of(colour).opposite().index()]
    }

    /// A net in the usual colours as a cube of this scheme shows it.
    pub fn painted(self, net: &Net) -> Net {
        let painted = net
            .faces()
            .map(|face| face.map(|row| row.map(|c| self.colour(c))));
        Net::new(painted).unwrap_or(*net)
    }

    /// The state that a net shows against its own centres, and their scheme; none where it shows no cube that can be.
    pub fn state(net: &Net) -> Option<(Scheme, Cube)> {
        let (scheme, usual) = Scheme::in_usual_colours(net)?;
        Some((scheme, usual.to_cube().ok()?))
    }

    /// A net in the usual colours, and the scheme that its centres have: undoes [`Scheme::painted`]. None where its centres are no
    /// scheme's.
    pub fn in_usual_colours(net: &Net) -> Option<(Scheme, Net)> {
        let scheme = Scheme::of_centres(net.faces().map(|face| face[1][1]))?;
        let usual = net
            .faces()
            .map(|face| face.map(|row| row.map(|c| scheme.usual(c))));
        Some((scheme, Net::new(usual).ok()?))
    }

    /// A sentence that names colours by their places in the usual scheme, with the colours of this one.
    pub fn in_words(self, text: &str) -> String {
        let mut told = String::with_capacity(text.len());
        let mut rest = text;
        while let Some(start) = rest.find(|c: char| c.is_alphabetic()) {
            let word = &rest[start..];
            let end = word
                .find(|c: char| !c.is_alphabetic())
                .unwrap_or(word.len());
            told.push_str(&rest[..start]);
            told.push_str(&self.word(&word[..end]));
            rest = &word[end..];
        }
        told + rest
    }

    fn word(self, word: &str) -> String {
        let named = |colour: &Colour| colour.name().eq_ignore_ascii_case(word);
        match Colour::ALL.into_iter().find(named) {
            Some(colour) if word.starts_with(|c: char| c.is_uppercase()) => {
                let name = self.colour(colour).name();
                name[..1].to_uppercase() + &name[1..]
            }
            Some(colour) => self.colour(colour).name().to_owned(),
            None => word.to_owned(),
        }
    }

    /// What is unlike the usual scheme, as a sentence without a capital; nothing of the usual one.
    pub fn say(self) -> Option<String> {
        let moved: Vec<String> = [Colour::White, Colour::Red, Colour::Green, Colour::Blue]
            .into_iter()
            .map(|colour| (self.opposite(colour), colour))
            .filter(|(other, colour)| *other != colour.opposite() && other.index() > colour.index())
            .map(|(other, colour)| format!("{} opposite {}", other.name(), colour.name()))
            .collect();
        let [_, right, front, ..] = self.colours.map(Colour::name);
        match &moved[..] {
            _ if self.is_usual() => None,
            [] => Some(format!(
                "your cube has {right} on the right, with white up and {front} in front"
            )),
            moved => Some(format!("your cube has {}", moved.join(" and "))),
        }
    }
}

impl fmt::Display for Scheme {
    /// `usual`, or which colour lies opposite which and on the right.
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        if self.is_usual() {
            return write!(f, "usual");
        }
        let [up, right, front, down, left, back] = self.colours.map(Colour::name);
        write!(
            f,
            "{up} opposite {down}, {front} opposite {back}, {right} opposite {left}; with {up} up and {front} in front, {right} is on the right"
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cube::Cube;
    use std::collections::HashSet;

    #[test]
    fn there_are_thirty_and_each_is_known_however_it_is_held() {
        let all: HashSet<Scheme> = Scheme::all().collect();
        // 6! colourings over 24 ways to hold a cube.
        assert_eq!(all.len(), 30);
        for scheme in Scheme::all() {
            for hold in Hold::all() {
                let centres = Face::ALL.map(|face| scheme.colour(hold.colour_at(face)));
                assert_eq!(Scheme::of_centres(centres), Some(scheme));
            }
            assert_ne!(scheme.mirrored(), scheme);
            assert!(all.contains(&scheme.mirrored()));
            assert!(!scheme.is_common() || !scheme.mirrored().is_common());
            assert_eq!(scheme.mirrored().mirrored(), scheme);
            for colour in Colour::ALL {
                assert_eq!(scheme.mirrored().opposite(colour), scheme.opposite(colour));
                assert_eq!(scheme.colour(scheme.face_of(colour).home_colour()), colour);
            }
        }
        assert_eq!(Scheme::of_centres([Colour::Red; 6]), None);
    }

    #[test]
    fn a_painted_net_has_the_schemes_centres_and_the_same_pieces() {
        let usual = Net::of(&Cube::random(5));
        assert_eq!(Scheme::USUAL.painted(&usual), usual);
        for scheme in Scheme::all() {
            let net = scheme.painted(&usual);
            let centres = Face::ALL.map(|face| net.face(face)[1][1]);
            assert_eq!(centres, scheme.colours());
            assert_eq!(Scheme::of_centres(centres), Some(scheme));
            assert_eq!(Scheme::state(&net), Some((scheme, Cube::random(5))));
            let turned = net.seen_through(|face| Hold::all().nth(11).unwrap().home_face(face));
            assert_eq!(Scheme::state(&turned), Some((scheme, Cube::random(5))));
            for colour in Colour::ALL {
                assert_eq!(scheme.usual(scheme.colour(colour)), colour);
            }
        }
    }

    #[test]
    fn what_is_unusual_is_said() {
        let blue_below = Scheme::BLUE_BELOW;
        assert!(Scheme::all().any(|scheme| scheme == blue_below));
        let said = blue_below.say().unwrap();
        assert!(
            said.contains("blue opposite white") && said.contains("yellow opposite green"),
            "{said}"
        );
        assert!(!said.contains("orange"), "{said}");
        let other_way = Scheme::USUAL.mirrored().say().unwrap();
        assert!(other_way.contains("orange on the right"), "{other_way}");
        for said in Scheme::all().filter_map(Scheme::say) {
            assert!(said.split(' ').count() <= 15, "{said}");
        }
        assert_eq!(Scheme::USUAL.say(), None);
        assert_eq!(Scheme::USUAL.to_string(), "usual");
        assert_eq!(
            blue_below.in_words("Yellow, not redder: white-red."),
            format!("{}, not redder: white-red.", {
                let name = blue_below.colour(Colour::Yellow).name();
                name[..1].to_uppercase() + &name[1..]
            })
        );
    }
}
