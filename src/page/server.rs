//! The server: routes and headers.

use std::io::{self, Write};
use std::net::TcpListener;
use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use axum::extract::ws::WebSocketUpgrade;
use axum::extract::{Request, State};
use axum::http::StatusCode;
use axum::http::header::{self, HeaderName, HeaderValue};
use axum::middleware::{self, Next};
use axum::response::{IntoResponse, Response};
use axum::routing::get;

use super::connections;
use super::guard::Pass;
use super::hub::{Hub, Paper};
use super::peer::Peer;
use super::tab;

/// The page shrinks its camera's pictures to 1280 pixels across; such a JPEG of good quality has about 0.3 MB. All tabs
/// together can hold no more than twice this each.
const LARGEST_MESSAGE: usize = 2 << 20;
/// How long tabs may take to hear that it is over.
const FAREWELL: Duration = Duration::from_millis(500);

/// The files of the page, all inside the binary.
const ASSETS: [(&str, &str, &str); 24] = [
    (
        "",
        "text/html; charset=utf-8",
        include_str!("assets/page.html"),
    ),
    (
        "page.css",
        "text/css; charset=utf-8",
        include_str!("assets/page.css"),
    ),
    ("main.js", SCRIPT, include_str!("assets/main.js")),
    ("view.js", SCRIPT, include_str!("assets/view.js")),
    ("picture.js", SCRIPT, include_str!("assets/picture.js")),
    ("speech.js", SCRIPT, include_str!("assets/speech.js")),
    ("camera.js", SCRIPT, include_str!("assets/camera.js")),
    ("words.js", SCRIPT, include_str!("assets/words.js")),
    ("choices.js", SCRIPT, include_str!("assets/choices.js")),
    ("clock.js", SCRIPT, include_str!("assets/clock.js")),
    ("lexicon.js", SCRIPT, include_str!("assets/lexicon.js")),
    ("cube.js", SCRIPT, include_str!("assets/cube.js")),
    ("element.js", SCRIPT, include_str!("assets/element.js")),
    ("fit.js", SCRIPT, include_str!("assets/fit.js")),
    ("letters.js", SCRIPT, include_str!("assets/letters.js")),
    ("light.js", SCRIPT, include_str!("assets/light.js")),
    ("living.js", SCRIPT, include_str!("assets/living.js")),
    ("map.js", SCRIPT, include_str!("assets/map.js")),
    ("overlay.js", SCRIPT, include_str!("assets/overlay.js")),
    ("seeing.js", SCRIPT, include_str!("assets/seeing.js")),
    ("solid.js", SCRIPT, include_str!("assets/solid.js")),
    ("tones.js", SCRIPT, include_str!("assets/tones.js")),
    ("turns.js", SCRIPT, include_str!("assets/turns.js")),
    ("icon.svg", "image/svg+xml", include_str!("assets/icon.svg")),
];
const SCRIPT: &str = "text/javascript; charset=utf-8";

/// Serves until [`Hub::stop`]; then tabs get a moment to close, and all that is left is dropped.
pub async fn serve(listener: TcpListener, hub: Arc<Hub>) {
    let listener = match tokio::net::TcpListener::from_std(listener) {
        Ok(listener) => listener,
        Err(cause) => {
            let _ = writeln!(io::stderr(), "the page's server did not start: {cause}");
            return;
        }
    };
    let mut router = Router::new().route("/{token}/socket", get(socket));
    for (name, kind, text) in ASSETS {
        let answer = move || async move { ([(header::CONTENT_TYPE, kind)], text) };
        router = router.route(&format!("/{{token}}/{name}"), get(answer));
    }
    for (name, paper) in [("journal", Paper::Journal), ("guide", Paper::Guide)] {
        let answer = move |State(hub): State<Arc<Hub>>| document(hub, paper);
        router = router.route(&format!("/{{token}}/{name}"), get(answer));
    }
    let router = router
        .fallback(|| async { (StatusCode::NOT_FOUND, "there is nothing here\n") })
        .layer(middleware::from_fn_with_state(Arc::clone(&hub), guarded))
        .with_state(Arc::clone(&hub));

    let mut stopping = hub.stopping.subscribe();
    tokio::select! {
        _ = connections::answer(listener, router) => {}
        _ = stopping.wait_for(|stop| *stop) => {}
    }
    let all_left = async {
        while hub.tabs() > 0 {
            tokio::time::sleep(Duration::from_millis(5)).await;
        }
    };
    let _ = tokio::time::timeout(FAREWELL, all_left).await;
}

/// Stands before every route: refuses strangers, and gives every answer the headers that keep the page closed.
async fn guarded(State(hub): State<Arc<Hub>>, request: Request, next: Next) -> Response {
    let socket = request.uri().path().ends_with("/socket")
        || request.headers().contains_key(header::UPGRADE);
    let stranger = || {
        let peer = request.extensions().get::<Option<Peer>>();
        peer.and_then(Option::as_ref)
            .is_some_and(Peer::is_another_user)
    };
    let checked = hub
        .guard
        .check(request.uri(), request.headers(), socket, stranger);
    let mut response = match checked {
        Ok(Pass::Page) => next.run(request).await,
        Ok(Pass::Door(to)) => (StatusCode::SEE_OTHER, [(header::LOCATION, to)]).into_response(),
        Err(refusal) => (StatusCode::FORBIDDEN, format!("{}\n", refusal.say())).into_response(),
    };
    let headers = response.headers_mut();
    // A document says itself how closed it is.
    headers
        .entry(header::CONTENT_SECURITY_POLICY)
        .or_insert_with(|| hub.policy.clone());
    for (name, value) in HEADERS {
        headers.insert(name, HeaderValue::from_static(value));
    }
    response
}

const HEADERS: [(HeaderName, &str); 7] = [
    (header::CACHE_CONTROL, "no-store"),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::X_FRAME_OPTIONS, "DENY"),
    // The address holds the token.
    (header::REFERRER_POLICY, "no-referrer"),
    (
        HeaderName::from_static("cross-origin-opener-policy"),
        "same-origin",
    ),
    (
        HeaderName::from_static("cross-origin-resource-policy"),
        "same-origin",
    ),
    (
        HeaderName::from_static("permissions-policy"),
        "camera=(self), microphone=(), geolocation=()",
    ),
];

/// A document has its style and its pictures inside, and no scripts.
const DOCUMENT_POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'; \
                               frame-ancestors 'none'";

/// A document, made while the page goes on.
async fn document(hub: Arc<Hub>, paper: Paper) -> Response {
    let made = tokio::task::spawn_blocking(move || hub.paper(paper)).await;
    match made {
        Ok(Some(Ok(html))) => (
            [
                (header::CONTENT_TYPE, "text/html; charset=utf-8"),
                (header::CONTENT_SECURITY_POLICY, DOCUMENT_POLICY),
            ],
            html,
        )
            .into_response(),
        Ok(Some(Err(why))) => (StatusCode::SERVICE_UNAVAILABLE, format!("{why}\n")).into_response(),
        Ok(None) | Err(_) => (StatusCode::NOT_FOUND, "there is nothing here\n").into_response(),
    }
}

async fn socket(State(hub): State<Arc<Hub>>, upgrade: WebSocketUpgrade) -> Response {
    let Some(seat) = hub.seat() else {
        return (
            StatusCode::SERVICE_UNAVAILABLE,
            "too many tabs watch already; close one\n",
        )
            .into_response();
    };
    upgrade
        .max_message_size(LARGEST_MESSAGE)
        .max_frame_size(LARGEST_MESSAGE)
        .on_upgrade(move |socket| tab::run(socket, seat))
}
