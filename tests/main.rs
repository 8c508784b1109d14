//! All tests that stand outside the library, in one program, since each program would be linked by itself.
//! Run a part of them by its path: `cargo test --test all reading::`.

mod hands;
mod harness;

mod calibration;
mod cameras;
mod coaching;
mod colours;
mod cube_faults;
mod cube_group;
mod cube_laws;
mod decoding;
mod drills;
mod files;
mod finding;
mod journal;
mod last_layer;
mod page;
mod page_browser;
mod pair_search;
mod pictures;
mod reading;
mod schemes;
mod setups;
mod shortest;
mod states;
mod turning;
mod unread;
mod whole;
