//! Cubes of every colour scheme are coached in their own colours, by simulation.

use pairsight::coach::words;
use pairsight::cube::{Colour, Cube, Net, Scheme, Turn};
use pairsight::live::{Event, Session, drawing};
use pairsight::read::Reader;
use rand::SeedableRng;
use rand::seq::IndexedRandom;
use rand_chacha::ChaCha8Rng;
use serde_json::{Value, json};

use crate::hands::{Act, Eye, Scene, eye, mid_solve};
use crate::harness::each::each;
use crate::harness::program::Place;

/// Pieces in a text, as "white-green-red" or "white and red", that no cube of a scheme has.
fn strange_pieces(text: &str, scheme: Scheme) -> Vec<String> {
    let named = |word: &str| Colour::ALL.into_iter().find(|c| c.name() == word);
    let is_strange = |word: &&str| {
        let colours: Vec<Colour> = word.split('-').filter_map(named).collect();
        let meets = |a: &Colour, b: &Colour| a != b && scheme.opposite(*a) != *b;
        (0..colours.len()).any(|b| (0..b).any(|a| !meets(&colours[a], &colours[b])))
    };
    text.split(|c: char| !c.is_alphabetic() && c != '-')
        .filter(is_strange)
        .map(String::from)
        .collect()
}

/// What is told of a cube of a scheme, checked against where its colours lie.
fn check(event: &Event, scheme: Scheme) {
    let texts: Vec<String> = match event {
        Event::Read { text, .. } | Event::Slip { text, .. } => vec![text.clone()],
        Event::Hint {
            text, slot, hold, ..
        } => {
            assert_ne!(scheme.opposite(hold.down), hold.front, "{event:?}");
            let slot = slot.map(|pair| pair.to_string());
            std::iter::once(text.clone()).chain(slot).collect()
        }
        Event::Followed {
            text, gained, lost, ..
        } => {
            let parts = gained.iter().chain(lost).map(ToString::to_string);
            parts.chain([text.clone()]).collect()
        }
        _ => Vec::new(),
    };
    for text in texts {
        assert_eq!(
            strange_pieces(&text, scheme),
            [""; 0],
            "{scheme}: {event:?}"
        );
    }
}

/// A slip and then the rest of the route, on a cube of this scheme.
fn coached(scheme: Scheme, mirrored: bool, seed: u64) {
    let rng = &mut ChaCha8Rng::seed_from_u64(seed);
    let cube = mid_solve(rng);
    let eye = Eye {
        scheme,
        mirrored,
        ..eye(rng)
    };
    let mut scene = Scene::new(cube, eye, 15.0, 4, seed);
    let read = scene.told.iter().find_map(|timed| match &timed.event {
        Event::Read { net, text } => Some((*net, text.clone())),
        _ => None,
    });
    let (net, text) = read.unwrap_or_else(|| panic!("{scheme}, {seed}: {:?}", scene.told));
    assert_eq!(net, scheme.painted(&Net::of(&cube)));
    if let Some(unlike) = scheme.say() {
        assert!(text.starts_with(&words::sentence(&unlike)), "{text}");
    }
    assert_eq!(scene.session.scheme(), scheme);
    let known = scene.session.known().expect("it was read").clone();
    let drawn = drawing(&known, scheme);
    let usual = drawing(&known, Scheme::USUAL);
    assert_eq!(drawn == usual, scheme.is_usual(), "{scheme}");

    let moves = known.moves();
    let at = moves.iter().position(|m| m.htm() > 0).expect("a turn");
    let (right, _) = moves[at].as_turns();
    let others: Vec<Turn> = { Turn::ALL.into_iter() }
        .filter(|turn| turn.face != right[0].face)
        .collect();
    let wrong = *others.choose(rng).expect("others");
    scene.make(&moves[..at], 0.3, 0.5);
    let layer = scheme.colour(scene.hands.held.hold.colour_at(wrong.face));
    scene.make(&[wrong.into()], 0.3, 1.0);
    let slip = scene.told.iter().find_map(|timed| match &timed.event {
        Event::Slip { net, undo, .. } => Some((*net, undo.clone())),
        _ => None,
    });
    if let Some((net, undo)) = slip {
        assert_eq!(net, scheme.painted(&Net::of(&scene.hands.held.cube)));
        assert!(!undo.is_empty());
        let tick = scene
            .told
            .iter()
            .any(|timed| matches!(&timed.event, Event::Turn { layer: told, .. } if *told == layer));
        assert!(tick, "{scheme}: {:?}", scene.told);
    }
    scene.make(&[wrong.inverse().into()], 0.3, 0.6);
    scene.make(&moves[at..], 0.3, 0.5);
    assert_eq!(scene.wrong(), [""; 0], "{scheme}, {seed}");
    let followed = scene.count(|event| matches!(event, Event::Followed { .. }));
    assert_eq!(followed, 1, "{scheme}, {seed}: {:?}", scene.told);
    scene
        .told
        .iter()
        .for_each(|timed| check(&timed.event, scheme));
    let told = |event: &Event| match (event, scheme.say()) {
        (Event::Read { text, .. }, Some(unlike)) => text.contains(&unlike[5..]),
        _ => false,
    };
    assert_eq!(scene.count(told), usize::from(!scheme.is_usual()));
}

/// What `read` prints of a cube of another scheme can be handed to `advise`: the same turns, in its own colours.
#[test]
fn advice_on_a_cube_that_was_read_is_in_its_own_colours() {
    let place = Place::new();
    let usual = Net::of(&Cube::random(7));
    let advised = |scheme: Scheme| {
        let told = json!({"scheme": scheme.to_string(), "net": scheme.painted(&usual)});
        place.file("net.json", told.to_string());
        let run = |command: &str| place.run(&[command, "--net", "net.json", "--json"]);
        let (advised, inspected) = (run("advise"), run("inspect"));
        assert_eq!((advised.code, inspected.code), (Some(0), Some(0)));
        (advised.stdout, inspected.stdout)
    };
    let (advice, state) = advised(Scheme::USUAL);
    for scheme in [Scheme::BLUE_BELOW, Scheme::USUAL.mirrored()] {
        let (own_advice, own_state) = advised(scheme);
        let parsed = |text: &str| serde_json::from_str::<Value>(text).expect("JSON");
        let [usual_advice, own] = [&advice, &own_advice].map(|text| parsed(text));
        for field in ["down", "front"] {
            let named = usual_advice["hold"][field].as_str().expect("a colour");
            assert_eq!(own["hold"][field], scheme.in_words(named));
        }
        assert_eq!(
            own["cross"]["routes"][0]["moves"],
            usual_advice["cross"]["routes"][0]["moves"]
        );
        assert_eq!(strange_pieces(&own_advice, scheme), [""; 0]);
        let [usual_state, own] = [&state, &own_state].map(|text| parsed(text));
        assert_eq!(own["net"], json!(scheme.painted(&usual)));
        for colour in Colour::ALL {
            let turns = |state: &Value, c: Colour| state["cross"][c.name()]["turns"].clone();
            assert_eq!(
                turns(&own, scheme.colour(colour)),
                turns(&usual_state, colour)
            );
        }
    }
}

/// All thirty were coached so; each time some, the common ones and their mirror images among them.
#[test]
fn cubes_of_every_scheme_are_coached_in_their_own_colours() {
    let common = [Scheme::USUAL, Scheme::BLUE_BELOW];
    let others = Scheme::all().skip(2).step_by(7);
    let schemes: Vec<Scheme> = { common.into_iter() }
        .chain(common.map(Scheme::mirrored))
        .chain(others)
        .collect();
    each(
        schemes.len() as u64,
        || (),
        |(), n| coached(schemes[n as usize], n % 3 == 1, n),
    );
}

/// Nothing in pictures tells a rare cube from another one in a mirror: the learner is asked, and says so once.
#[test]
fn a_rare_cube_is_read_once_it_is_said_whether_the_camera_mirrors() {
    let rng = &mut ChaCha8Rng::seed_from_u64(5);
    let cube = mid_solve(rng);
    let eye = Eye {
        scheme: Scheme::USUAL.mirrored(),
        ..eye(rng)
    };
    let mut scene = Scene::new(cube, eye, 15.0, 0, 5);
    scene.session = Session::new(Reader::new(None), None);
    let read = |scene: &Scene| scene.count(|event| matches!(event, Event::Read { .. }));
    scene.told.clear();
    scene.show();
    scene.act(Act::Rest(3.0));
    assert_eq!(read(&scene), 0, "{:?}", scene.told);
    let asks =
        |event: &Event| matches!(event, Event::Ask { text, .. } if text.contains("camera mirrors"));
    assert!(scene.count(asks) > 0, "{:?}", scene.told);
    scene.session.take_mirrored(Some(false));
    scene.show();
    assert_eq!(read(&scene), 1, "{:?}", scene.told);
    assert_eq!(scene.session.scheme(), Scheme::USUAL.mirrored());
}
