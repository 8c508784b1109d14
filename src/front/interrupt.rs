//! Ending cleanly when the person asks for it.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use super::outcome::Failure;

/// A flag that an interrupt (Ctrl-C) or a request to end sets, so that the loop ends cleanly.
pub fn stop_on_interrupt() -> Result<Arc<AtomicBool>, Failure> {
    let stop = Arc::new(AtomicBool::new(false));
    let flag = Arc::clone(&stop);
    ctrlc::set_handler(move || flag.store(true, Ordering::Relaxed))
        .map_err(|error| Failure::failed(format!("interrupts: {error}")))?;
    Ok(stop)
}
