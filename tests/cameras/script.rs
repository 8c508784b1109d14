//! A camera that does what a script says, frame by frame: each fault at several moments of coaching and following, and all of
//! them in one film. The state is kept, what is told is told once, and the loop goes on where it was.

use std::collections::VecDeque;
use std::time::Duration;

use image::{Rgb, RgbImage, imageops};
use pairsight::camera::{Feed, Frame, FrameSource, Trouble, TroubleKind};
use pairsight::live::{Event, Kind, Timed};

use super::faults::{CLEAN, gists};
use super::film::{Film, heard_from};

/// What a camera does with one frame.
#[derive(Clone, Copy, Debug)]
enum Fault {
    /// It cannot be decoded, and is left out.
    Broken,
    /// Its lower third was not sent.
    Short,
    /// The frame before comes once more.
    Repeated,
    /// It comes when the next but two is due, and those between are never seen.
    Late,
    /// Its lower half is that of the frame before.
    Torn,
    /// Nothing in it is lit.
    Black,
    /// The camera is unplugged before it, and comes back after so many seconds.
    Gone(f64),
    /// From here on the camera sends another size.
    Smaller,
    /// The camera's clock is so many seconds ahead from here on, or behind.
    Jump(f64),
    /// From here on, for two seconds, the camera sends a frame a second; what goes on before it takes as much longer.
    Slow,
}

/// What comes from the camera, in order.
enum Sent {
    Picture(f64, RgbImage),
    Unplugged,
    Nothing,
}

struct Camera(VecDeque<Sent>);

impl FrameSource for Camera {
    fn next(&mut self, _: Duration) -> Feed {
        match self.0.pop_front() {
            Some(Sent::Picture(at, image)) => Feed::Frame(Frame {
                image,
                at: Duration::from_secs_f64(at),
                number: 0,
                name: None,
            }),
            Some(Sent::Unplugged) => Feed::Trouble(Trouble {
                kind: TroubleKind::Unplugged,
                say: "the camera was unplugged".into(),
                remedy: "plug it in again".into(),
            }),
            Some(Sent::Nothing) => Feed::Quiet,
            None => Feed::End,
        }
    }
}

/// The film as a camera with these faults gives it, each at the frame of that number.
fn camera(film: &Film, script: &[(usize, Fault)]) -> Camera {
    // Frames stay at times at which they can be, whatever the clock says of them.
    const START: f64 = 10.0;
    let mut sent = VecDeque::new();
    let (mut later, mut smaller, mut skip) = (START, false, 0_usize);
    for (number, (at, image)) in film.iter().enumerate() {
        let before = &film[number.saturating_sub(1)].1;
        let mut image = image.clone();
        let mut lost = skip > 0;
        skip = skip.saturating_sub(1);
        for (_, fault) in script.iter().filter(|(at, _)| *at == number) {
            match *fault {
                Fault::Broken => lost = true,
                Fault::Short => fill(&mut image, 2, 3, |_, _| Rgb([128; 3])),
                Fault::Repeated => image = before.clone(),
                Fault::Late => (lost, skip) = (true, 2),
                Fault::Torn => fill(&mut image, 1, 2, |x, y| *before.get_pixel(x, y)),
                Fault::Black => image = RgbImage::new(image.width(), image.height()),
                Fault::Gone(seconds) => {
                    sent.push_back(Sent::Unplugged);
                    sent.extend((0..5).map(|_| Sent::Nothing));
                    later += seconds;
                }
                Fault::Smaller => smaller = true,
                Fault::Jump(seconds) => later += seconds,
                Fault::Slow => {
                    // The hand waits for the camera, as a person's does.
                    for second in 1..=2 {
                        sent.push_back(Sent::Picture(
                            later + at + f64::from(second),
                            image.clone(),
                        ));
                    }
                    later += 2.0;
                }
            }
        }
        if smaller {
            let (width, height) = (image.width() * 3 / 4, image.height() * 3 / 4);
            image = imageops::thumbnail(&image, width, height);
        }
        sent.push_back(match lost {
            true => Sent::Nothing,
            false => Sent::Picture(later + at, image),
        });
    }
    Camera(sent)
}

/// Fills the picture below `above` parts of `of`.
fn fill(image: &mut RgbImage, above: u32, of: u32, with: impl Fn(u32, u32) -> Rgb<u8>) {
    for y in image.height() * above / of..image.height() {
        for x in 0..image.width() {
            image.put_pixel(x, y, with(x, y));
        }
    }
}

/// What is told but for questions and the news that the camera is gone, which must come as often as it goes.
fn told(film: &Film, script: &[(usize, Fault)]) -> Vec<String> {
    let mut heard: Vec<Timed> = heard_from(camera(film, script));
    let gone = |timed: &Timed| matches!(timed.event, Event::Trouble { kind, .. } if kind == Kind::Camera(TroubleKind::Unplugged));
    let times = script
        .iter()
        .filter(|(_, fault)| matches!(fault, Fault::Gone(_)));
    assert_eq!(heard.iter().filter(|t| gone(t)).count(), times.count());
    heard.retain(|timed| !gone(timed) && !matches!(timed.event, Event::Ask { .. }));
    gists(&heard)
}

/// Coming, held with one corner, turned over, held with the other, hinted, turned out of sight, back, followed.
const MOMENTS: [usize; 8] = [14, 24, 33, 46, 54, 66, 76, 88];

fn told_as_without(fault: Fault) {
    for (film, clean) in &CLEAN[1..] {
        let script: Vec<_> = MOMENTS.iter().map(|at| (*at, fault)).collect();
        assert_eq!(told(film, &script), *clean, "{fault:?}");
    }
}

#[test]
fn a_frame_that_is_broken() {
    told_as_without(Fault::Broken);
}

#[test]
fn a_frame_that_is_short() {
    told_as_without(Fault::Short);
}

#[test]
fn a_frame_that_is_repeated() {
    told_as_without(Fault::Repeated);
}

#[test]
fn a_frame_that_is_late() {
    told_as_without(Fault::Late);
}

#[test]
fn a_frame_that_is_torn() {
    told_as_without(Fault::Torn);
}

#[test]
fn a_frame_that_is_black() {
    told_as_without(Fault::Black);
}

#[test]
fn a_camera_that_vanishes_and_returns() {
    told_as_without(Fault::Gone(3.0));
}

#[test]
fn a_camera_that_sends_a_frame_a_second_for_a_while() {
    told_as_without(Fault::Slow);
}

#[test]
fn another_size_in_the_middle() {
    for (film, clean) in &CLEAN[1..] {
        for at in [28, 54, 76] {
            assert_eq!(told(film, &[(at, Fault::Smaller)]), *clean, "at {at}");
        }
    }
}

#[test]
fn a_clock_that_jumps() {
    for (film, clean) in &CLEAN[1..] {
        for script in [
            &[(54, Fault::Jump(3600.0))][..],
            &[(46, Fault::Jump(-4.0))],
            &[
                (24, Fault::Jump(-0.5)),
                (66, Fault::Jump(2.0)),
                (76, Fault::Jump(-2.0)),
            ],
        ] {
            assert_eq!(told(film, script), *clean, "{script:?}");
        }
    }
}

#[test]
fn one_fault_after_the_other() {
    let all = [
        Fault::Black,
        Fault::Torn,
        Fault::Broken,
        Fault::Short,
        Fault::Repeated,
        Fault::Late,
    ];
    for (film, clean) in &CLEAN[1..] {
        let mut script: Vec<_> = (9..film.len())
            .step_by(6)
            .zip(all.into_iter().cycle())
            .collect();
        script.extend([
            (35, Fault::Gone(2.0)),
            (62, Fault::Gone(5.0)),
            (70, Fault::Smaller),
        ]);
        assert_eq!(told(film, &script), *clean);
    }
}
