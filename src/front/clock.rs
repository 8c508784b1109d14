//! The system's clock.

use chrono::Utc;

/// Now, in seconds since 1970, UTC.
pub fn now() -> i64 {
    Utc::now().timestamp()
}

/// Now, in milliseconds since 1970, UTC.
pub fn milliseconds() -> u64 {
    Utc::now().timestamp_millis().try_into().unwrap_or(0)
}

/// Today's date, UTC, as in 2026-03-14.
pub fn today() -> String {
    Utc::now().date_naive().to_string()
}
