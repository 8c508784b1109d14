use pairsight::camera::*;
use pairsight::live::steady::movement;
use pairsight::sight::Finder;
use std::time::Duration;
#[test]
fn look() {
    let p = std::env::var("P").unwrap();
    let mut s = open_frames(std::path::Path::new(&p), 5.0, Pace::AsFast).unwrap();
    let mut f = Finder::new();
    let mut last = None;
    while let Feed::Frame(fr) = s.next(Duration::ZERO) {
        let l = f.look(&fr.image);
        let m = last.as_ref().and_then(|o| movement(o, &l));
        println!(
            "{:?} faces {} move {:?} fit {:?}",
            fr.at.as_secs_f64(),
            l.faces.len(),
            m,
            l.faces.iter().map(|f| f.fit).collect::<Vec<_>>()
        );
        last = Some(l);
    }
}
