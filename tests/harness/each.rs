//! Work that is spread over all processors.

use std::thread;

/// Works through `0..count` on all processors, each with its own of what `start` makes; results come in order.
pub fn each<S, T: Send>(
    count: u64,
    start: impl Fn() -> S + Sync,
    work: impl Fn(&mut S, u64) -> T + Sync,
) -> Vec<T> {
    let threads = thread::available_parallelism().map_or(1, |n| n.get() as u64);
    let mut parts: Vec<(u64, T)> = thread::scope(|scope| {
        let running: Vec<_> = (0..threads)
            .map(|first| {
                let (start, work) = (&start, &work);
                scope.spawn(move || {
                    let mut own = start();
                    (first..count)
                        .step_by(threads as usize)
                        .map(|number| (number, work(&mut own, number)))
                        .collect::<Vec<_>>()
                })
            })
            .collect();
        running
            .into_iter()
            .flat_map(|thread| thread.join().expect("the work does not panic"))
            .collect()
    });
    parts.sort_by_key(|(number, _)| *number);
    parts.into_iter().map(|(_, part)| part).collect()
}
