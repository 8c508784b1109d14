//! Looks that show too little, two cubes or two states: what is missing is asked for, and nothing is read from a muddle.

use super::scans::{is_corner, load_carried as load, read};
use pairsight::cube::{Colour, Cube, FaultKind, Turn};
use pairsight::read::{Outcome, Reader};

#[test]
fn looks_at_two_cubes_are_never_read_as_one() {
    let setups = load();
    let (mut named, mut unsure) = (0, 0);
    for setup in setups {
        for pair in setup
            .scans
            .windows(2)
            .filter(|pair| pair[0].state != pair[1].state)
        {
            let first = pair[0].shown(false).chain(pair[0].shown(true).take(1));
            let then = pair[1].shown(true).take(2);
            let reading = read(setup, true, None, first.chain(then));
            assert_ne!(
                reading.outcome,
                Outcome::Read,
                "{} and {}",
                pair[0].name,
                pair[1].name
            );
            match reading.outcome {
                Outcome::Impossible => named += 1,
                _ => unsure += 1,
            }
        }
    }
    println!("two cubes: {named} named, {unsure} unsure, 0 read");
}

#[test]
fn a_missing_face_is_asked_for_or_not_needed() {
    let setups = load();
    let (mut right, mut asked) = (0, 0);
    for setup in setups {
        for scan in setup.scans.iter().filter(|scan| scan.legal) {
            for left_out in 0..6 {
                let faces = scan.shown(false).enumerate();
                let looks = faces.filter(|(i, _)| *i != left_out).map(|(_, look)| look);
                let reading = read(setup, true, None, looks);
                match reading.outcome {
                    Outcome::Read => {
                        assert_eq!(
                            reading.net,
                            Some(scan.state),
                            "{} without face {left_out}",
                            scan.name
                        );
                        right += 1;
                    }
                    _ => {
                        let ask = reading
                            .ask
                            .expect("a reading that is not sure asks for more");
                        assert!(
                            !ask.show.is_empty()
                                && ask.show.iter().all(|c| Colour::ALL.contains(c))
                        );
                        asked += 1;
                    }
                }
            }
        }
    }
    println!("five faces: {right} right, {asked} asked for more, 0 wrong");
}

#[test]
fn a_corner_tells_which_of_the_likely_states_it_shows() {
    let setups = load();
    let (mut told, mut all) = (0, 0);
    for setup in setups {
        let reader = Reader::new(setup.profile.as_ref());
        for scan in setup.scans.iter().filter(|scan| scan.legal) {
            let truth = scan.state.to_cube().expect("a legal cube");
            let states: Vec<Cube> = [truth]
                .into_iter()
                .chain(Turn::ALL.map(|turn| truth.apply(turn)))
                .chain((0..20).map(Cube::random))
                .collect();
            for (file, look) in scan.looks.iter().filter(|(file, _)| is_corner(file)) {
                let scores = reader.score_candidates(&states, std::slice::from_ref(look));
                let Some(first) = scores.first() else {
                    continue;
                };
                let rival = scores[1..]
                    .iter()
                    .map(|s| s.log_likelihood)
                    .fold(f64::NEG_INFINITY, f64::max);
                assert!(
                    first.log_likelihood > rival - 4.0,
                    "{}/{file}: {first:?} against {rival}",
                    scan.name
                );
                all += 1;
                told += usize::from(first.log_likelihood > rival + 4.0 && first.contradictions < 2);
            }
        }
    }
    println!("likely states: {told} of {all} corners tell the right one");
}

#[test]
fn a_cube_turned_between_looks_is_noticed() {
    // Two scans of one cube stand in for its two states; the same corner is shown in both.
    let setups = load();
    let mut noticed = 0;
    for setup in setups {
        for pair in setup
            .scans
            .windows(2)
            .filter(|pair| pair.iter().all(|s| s.legal))
        {
            let looks = pair.iter().flat_map(|scan| scan.shown(true));
            let reading = read(setup, true, None, looks);
            assert_ne!(
                reading.outcome,
                Outcome::Read,
                "{} and {}",
                pair[0].name,
                pair[1].name
            );
            noticed += usize::from(
                reading
                    .faults
                    .iter()
                    .any(|f| f.kind == FaultKind::TurnedBetweenLooks),
            );
        }
    }
    println!("turned between looks: {noticed} named");
    assert!(noticed > 0);
}
