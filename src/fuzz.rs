//! Where strangers' bytes come in: one target for each parser that was written here by hand.
//!
//! Each takes any bytes, must not panic, and checks what must hold of whatever it makes of them. `tests/fuzz` runs them
//! under a fuzzer; the test below runs the same targets on a small corpus and on changes of it.

use std::path::Path;

use crate::camera::fuzzed as camera;
use crate::colour::Profile;
use crate::cube::{Moves, Net};
use crate::page::fuzzed as page;

/// Takes any bytes; panics where something is wrong.
pub type Target = fn(&[u8]);

/// All of them, by the names of their corpora.
pub const TARGETS: [(&str, Target); 8] = [
    ("guard", page::guard),
    ("jpeg", camera::jpeg),
    ("mjpeg", camera::mjpeg),
    ("moves", moves),
    ("net", net),
    ("profile", profile),
    ("socket", page::socket),
    ("y4m", camera::y4m),
];

/// Runs the target of that name.
pub fn run(name: &str, bytes: &[u8]) {
    let target = TARGETS.iter().find(|(known, _)| *known == name);
    target.expect("a target of that name").1(bytes);
}

/// A sequence of moves comes back from what is written of it.
fn moves(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    match text.parse::<Moves>() {
        Ok(moves) => {
            let again = moves.to_string().parse::<Moves>().expect("its own words");
            assert_eq!(again, moves);
        }
        Err(error) => is_short(&error.to_string()),
    }
}

/// A net comes back from what is written of it; one that is a cube is that cube's net.
fn net(bytes: &[u8]) {
    let Ok(value) = serde_json::from_slice::<serde_json::Value>(bytes) else {
        return;
    };
    match Net::from_json(&value) {
        Ok(net) => {
            let written = serde_json::to_value(net).expect("a net is JSON");
            assert_eq!(Net::from_json(&written).expect("its own words"), net);
            if let Ok(cube) = net.to_cube() {
                assert_eq!(Net::of(&cube).to_cube(), Ok(cube));
            }
        }
        Err(error) => is_short(&error.to_string()),
    }
}

/// A profile has samples of each colour, from 0 to 1, and comes back from what is written of it.
fn profile(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    match Profile::parse(&text, Path::new("fuzzed.json")) {
        Ok(profile) => {
            for colour in crate::cube::Colour::ALL {
                let samples = profile.samples(colour);
                let fits = |value: f32| (0.0..=1.0).contains(&value);
                assert!(!samples.is_empty());
                assert!(
                    samples
                        .iter()
                        .all(|s| fits(s.red) && fits(s.green) && fits(s.blue))
                );
            }
            let written = serde_json::to_string(&profile).expect("a profile is JSON");
            let again = Profile::parse(&written, Path::new("fuzzed.json"));
            assert_eq!(again.expect("its own words"), profile);
        }
        Err(error) => is_short(&error.to_string()),
    }
}

/// Whatever was read, what is said of it is short and steers no terminal.
fn is_short(said: &str) {
    assert!(said.chars().count() < 400, "{said}");
    assert!(
        !said.contains(|c| crate::input::steers(c) && c != '\n'),
        "{said:?}"
    );
}

#[cfg(test)]
mod tests {
    use std::fs;
    use std::path::PathBuf;

    use rand::{Rng, SeedableRng};
    use rand_chacha::ChaCha8Rng;

    use super::*;

    fn corpus(name: &str) -> Vec<Vec<u8>> {
        let folder = PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/fuzz/corpus"));
        let files = fs::read_dir(folder.join(name)).expect("a corpus");
        let mut paths: Vec<PathBuf> = files.map(|file| file.expect("a file").path()).collect();
        paths.sort();
        paths
            .iter()
            .map(|path| fs::read(path).expect("a file"))
            .collect()
    }

    /// Some bytes changed, left out, put in, doubled, or taken from another one.
    fn change(bytes: &[u8], other: &[u8], rng: &mut ChaCha8Rng) -> Vec<u8> {
        const MARKERS: [u8; 12] = [
            0, 1, 0x7f, 0x80, 0xd8, 0xd9, 0xda, 0xff, b'"', b'{', b'\n', b'2',
        ];
        let mut bytes = bytes.to_vec();
        for _ in 0..1 << rng.random_range(0..5) {
            let at = rng.random_range(0..=bytes.len());
            let end = bytes.len().min(at + (1 << rng.random_range(0..8)));
            let marker = MARKERS[rng.random_range(0..MARKERS.len())];
            match rng.random_range(0..7) {
                0 if at < bytes.len() => bytes[at] = marker,
                1 if at < bytes.len() => bytes[at] ^= 1 << rng.random_range(0..8),
                2 => drop(bytes.drain(at..end)),
                3 => bytes.insert(at, marker),
                4 => {
                    let part = bytes[at..end].to_vec();
                    let to = rng.random_range(0..=bytes.len());
                    bytes.splice(to..to, part);
                }
                5 if !other.is_empty() => {
                    let from = rng.random_range(0..other.len());
                    let to = other.len().min(from + (1 << rng.random_range(0..8)));
                    bytes.splice(at..end, other[from..to].iter().copied());
                }
                _ => bytes.truncate(at.max(bytes.len() / 2)),
            }
        }
        bytes
    }

    /// Of each target; `tests/fuzz` runs as many as one likes.
    const CHANGES: u64 = 400;

    /// A panic names its number.
    #[test]
    fn every_parser_stands_its_corpus_and_changes_of_it() {
        for (name, target) in TARGETS {
            let corpus = corpus(name);
            assert!(!corpus.is_empty(), "{name}");
            corpus.iter().for_each(|bytes| run(name, bytes));
            for round in 0..CHANGES {
                let mut rng = ChaCha8Rng::seed_from_u64(round);
                let [one, other] = [0, 1].map(|_| &corpus[rng.random_range(0..corpus.len())]);
                let bytes = change(one, other, &mut rng);
                let ran = std::panic::catch_unwind(|| target(&bytes));
                assert!(
                    ran.is_ok(),
                    "{name}, change {round}: {:?}",
                    String::from_utf8_lossy(&bytes)
                );
            }
        }
    }
}
