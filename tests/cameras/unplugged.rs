//! A camera that is pulled out and comes back: the session goes on where it was.

use image::RgbImage;
use pairsight::cube::Net;
use pairsight::live::{Event, Timed};

use super::faults::{CLEAN, gists, true_states};
use super::film::{FPS, Film, heard_unplugged};

/// Seconds until a camera that was plugged in again gives frames.
const GONE: f64 = 8.0;

/// The film whose camera is gone after a frame, and comes back for frame `on`. Its first pictures then are of no use: for half
/// a second no face is found in them, as while the exposure settles or a hand is still at the plug.
fn interrupted(film: &Film, after: usize, gone: f64, on: usize) -> Film {
    let (width, height) = film[0].1.dimensions();
    let washed_out = RgbImage::from_pixel(width, height, image::Rgb([250; 3]));
    let useless = std::iter::repeat_n(washed_out, 4);
    let later = useless.chain(film[on..].iter().map(|(_, image)| image.clone()));
    let back = film[after].0 + gone;
    let mut out = film[..=after].to_vec();
    out.extend((0..).map(|i| back + f64::from(i) / FPS).zip(later));
    out
}

fn heard(film: &Film, after: usize, gone: f64, on: usize) -> Vec<Timed> {
    heard_unplugged(interrupted(film, after, gone, on), film[after].0)
}

/// The cube is held as before when the camera is back. Half read: one corner of the two was seen (24 and 28), the cube is
/// being turned over (35); known: the hint has been given (50); the route has been followed out of the picture (62), and the cube
/// comes back (73); half seen again (84).
#[test]
fn the_session_goes_on_where_it_was() {
    let (film, told) = &CLEAN[0];
    for after in [24, 28, 35, 50, 62, 73, 84] {
        let heard = heard(film, after, GONE, after + 1);
        assert_eq!(gists(&heard), *told, "gone after frame {after}");
    }
}

/// Half read before (frame 28, one corner), the cube comes back in another state (frame 69 on): no state is made up of both, and
/// no fault of the cube is told.
#[test]
fn a_cube_that_was_turned_meanwhile_is_read_anew() {
    let (film, _) = &CLEAN[0];
    let (_, state) = &true_states("followed")[1];
    let heard = heard(film, 28, GONE, 69);
    let read: Vec<_> = heard
        .iter()
        .filter_map(|timed| match &timed.event {
            Event::Read { net, .. } => Some(serde_json::to_value::<&Net>(net).expect("a net")),
            _ => None,
        })
        .collect();
    assert_eq!(read, std::slice::from_ref(state), "{:?}", gists(&heard));
    assert!(
        !heard
            .iter()
            .any(|timed| matches!(timed.event, Event::Trouble { .. })),
        "{:?}",
        gists(&heard)
    );
}

/// What was seen before a long absence is not taken for what the cube is now.
#[test]
fn after_a_minute_half_a_cube_is_forgotten() {
    let (film, _) = &CLEAN[0];
    // The second corner alone: with the first one it would be read.
    let known = |gone| {
        let cut = &film[..53].to_vec();
        let heard = heard(cut, 28, gone, 39);
        heard
            .iter()
            .any(|timed| matches!(timed.event, Event::Read { .. }))
    };
    assert!(known(GONE));
    assert!(!known(90.0));
}
