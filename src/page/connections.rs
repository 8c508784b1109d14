//! Connections: how many there are at once, and how long each may take for what it wants.
//!
//! Any program of this machine can connect, with the token or without. What it can hold is bounded: a page is asked for and
//! answered in milliseconds, so a connection that is old is nobody's, and of too many the oldest goes. Tabs' sockets are
//! counted apart, as only those who know the token have one.

use std::collections::VecDeque;
use std::time::Duration;

use axum::{Extension, Router};
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use tokio::net::{TcpListener, TcpStream};
use tokio::task::AbortHandle;

use super::peer::Peer;

/// A browser opens six at most; a few browsers and their reloads fit.
const MOST: usize = 64;

/// How long a connection lives, from its start to the end of its last answer, unless it becomes a tab's socket.
const LIFE: Duration = Duration::from_secs(10);

/// How long a request's head may take. A browser sends it in one piece.
const HEAD: Duration = Duration::from_secs(3);

/// The most bytes of a request's head that are kept: an address of 70 letters and a browser's headers.
const LARGEST_HEAD: usize = 16 << 10;

/// The rest after a connection that the system could not give, such as for lack of handles.
const BREATH: Duration = Duration::from_millis(50);

/// Answers connections for ever.
pub async fn answer(listener: TcpListener, router: Router) {
    let mut open: VecDeque<AbortHandle> = VecDeque::new();
    loop {
        let Ok((stream, from)) = listener.accept().await else {
            tokio::time::sleep(BREATH).await;
            continue;
        };
        open.retain(|connection| !connection.is_finished());
        if open.len() >= MOST
            && let Some(oldest) = open.pop_front()
        {
            oldest.abort();
        }
        let peer = listener.local_addr().ok().map(|to| Peer { from, to });
        let router = router.clone().layer(Extension(peer));
        open.push_back(tokio::spawn(serve(stream, router)).abort_handle());
    }
}

async fn serve(stream: TcpStream, router: Router) {
    let connection = http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(HEAD)
        .max_buf_size(LARGEST_HEAD)
        .serve_connection(TokioIo::new(stream), TowerToHyperService::new(router))
        .with_upgrades();
    // One that fails or is too slow is gone; there is nobody to tell.
    let _ = tokio::time::timeout(LIFE, connection).await;
}
