//! This module's parsers as a fuzzer calls them.

use axum::http::{HeaderMap, HeaderName, HeaderValue, Uri};

use super::guard::{Guard, Pass, Token};
use super::tab;

const PORT: u16 = 4321;

/// A request as text: its target in the first line, a header a line. What is let through has the token at the start of its
/// path and names this page as its host; a socket names it as its origin, too.
pub fn guard(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    let mut lines = text.lines();
    let Some(Ok(uri)) = lines.next().map(str::parse::<Uri>) else {
        return;
    };
    let mut headers = HeaderMap::new();
    for (name, value) in lines.filter_map(|line| line.split_once(": ")) {
        if let (Ok(name), Ok(value)) = (
            HeaderName::from_bytes(name.as_bytes()),
            HeaderValue::from_str(value),
        ) {
            headers.append(name, value);
        }
    }
    let guard = Guard::new(PORT, Token::known("0123456789abcdef"));
    for socket in [false, true] {
        let passed = guard.check(&uri, &headers, socket, || false);
        assert!(!matches!(passed, Ok(Pass::Door(_))), "no door is open");
        if passed.is_err() {
            continue;
        }
        let path = uri.path();
        assert!(
            path == "/0123456789abcdef" || path.starts_with("/0123456789abcdef/"),
            "{path}"
        );
        let all = |name: &str| -> Vec<&[u8]> {
            headers
                .get_all(name)
                .iter()
                .map(HeaderValue::as_bytes)
                .collect()
        };
        let ours = [&b"127.0.0.1:4321"[..], b"localhost:4321"];
        assert!(matches!(all("host")[..], [host] if ours.contains(&host)));
        let origin = all("origin");
        assert!(origin.is_empty() && !socket || origin.len() == 1 && origin[0].ends_with(b":4321"));
    }
}

/// A text from a tab. What is understood is within its limits.
pub fn socket(bytes: &[u8]) {
    tab::understand(&String::from_utf8_lossy(bytes));
}
