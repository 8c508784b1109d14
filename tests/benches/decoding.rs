//! How long a 1280 x 720 frame takes from bytes to pixels: as JPEG, as most webcams and films give it, and as Y4M.
//!
//! The picture is made up: smooth shades with fine noise, which at quality 90 gives about as many bytes as a webcam
//! sends. Each frame that comes back is counted, so that a fast failure does not pass for speed.

use std::fs;
use std::hint::black_box;
use std::path::Path;
use std::time::Duration;

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use image::codecs::jpeg::JpegEncoder;
use image::{Rgb, RgbImage};
use pairsight::camera::{Feed, Pace, open_frames};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

const FRAMES: usize = 8;

fn picture() -> RgbImage {
    let mut rng = ChaCha8Rng::seed_from_u64(7);
    RgbImage::from_fn(1280, 720, |x, y| {
        let noise = rng.random_range(0..12);
        let step = if (x / 90 + y / 90) % 2 == 0 { 60 } else { 0 };
        let shade = |scale: u32| ((x + y) * scale / 12 % 160 + step + noise) as u8;
        Rgb([shade(1), shade(2), 190 - shade(1) / 2])
    })
}

fn film(path: &Path) {
    let mut frame = Vec::new();
    JpegEncoder::new_with_quality(&mut frame, 90)
        .encode_image(&picture())
        .expect("a picture in memory can be encoded");
    fs::write(path, frame.repeat(FRAMES)).expect("the temporary folder takes files");
}

fn y4m(path: &Path) {
    let planes = vec![120; 1280 * 720 * 3 / 2];
    let frame = [b"FRAME\n", planes.as_slice()].concat();
    let film = [
        b"YUV4MPEG2 W1280 H720 F15:1 C420jpeg\n",
        frame.repeat(FRAMES).as_slice(),
    ]
    .concat();
    fs::write(path, film).expect("the temporary folder takes files");
}

fn play(path: &Path) -> usize {
    let mut source = open_frames(path, 15.0, Pace::AsFast).expect("the film was just made");
    let mut count = 0;
    while let Feed::Frame(frame) = source.next(Duration::ZERO) {
        black_box(frame);
        count += 1;
    }
    count
}

fn decoding(c: &mut Criterion) {
    let folder = tempfile::tempdir().expect("there is a temporary folder");
    let mut group = c.benchmark_group("1280x720 film");
    group.throughput(Throughput::Elements(FRAMES as u64));
    for (name, make) in [("film.mjpg", film as fn(&Path)), ("film.y4m", y4m)] {
        let path = folder.path().join(name);
        make(&path);
        let bytes = fs::metadata(&path).map_or(0, |m| m.len());
        println!("{name}: {} KB a frame", bytes / FRAMES as u64 / 1000);
        group.bench_function(name, |b| b.iter(|| assert_eq!(play(&path), FRAMES)));
    }
    group.finish();
}

criterion_group!(benches, decoding);
criterion_main!(benches);
