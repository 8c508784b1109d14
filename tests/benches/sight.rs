//! Finding, following and sampling, with the count of faces found right beside the time.

use std::hint::black_box;
use std::path::Path;

use criterion::{Criterion, criterion_group, criterion_main};
use pairsight::sight::Finder;

fn bench(c: &mut Criterion) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("test_images/scans");
    let mut finder = Finder::new();
    for (name, file, faces) in [
        ("face, plain", "setup-01/scan-03/01.jpg", 1),
        ("corner, plain", "setup-01/scan-03/c1.jpg", 3),
        ("face, clutter", "setup-06/scan-01/02.jpg", 1),
        ("corner, clutter", "setup-06/scan-01/c1.jpg", 3),
        ("corner, stickerless", "setup-08/scan-02/c2.jpg", 3),
    ] {
        let Ok(picture) = image::open(folder.join(file)) else {
            eprintln!("{file}: not there, left out");
            continue;
        };
        let picture = picture.to_rgb8();
        let (width, height) = picture.dimensions();
        let found = finder.look(&picture).faces.len();
        c.bench_function(
            &format!("find and sample: {name}, {width}x{height}, {found} of {faces} faces"),
            |b| b.iter(|| finder.look(black_box(&picture))),
        );
        let before = finder.look(&picture);
        let found = finder.follow(&picture, &before).faces.len();
        c.bench_function(
            &format!("follow and sample: {name}, {width}x{height}, {found} of {faces} faces"),
            |b| b.iter(|| finder.follow(black_box(&picture), &before)),
        );
    }
}

criterion_group! {
    name = benches;
    config = Criterion::default().sample_size(30);
    targets = bench
}
criterion_main!(benches);
