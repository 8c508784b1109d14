//! How much a test does.

use std::str::FromStr;

/// How many of something: what the variable says, else as many as is usual.
pub fn amount<N: FromStr>(variable: &str, usual: N) -> N {
    std::env::var(variable)
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(usual)
}
