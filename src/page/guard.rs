//! Who may talk to the page: only a browser that was given its address, and only pages of that very address.
//!
//! A page of another site can make the learner's browser send requests here, by a link, a script or a name that it
//! makes resolve to 127.0.0.1. The token, the exact `Host` and the exact `Origin` each stop that by themselves.

use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use axum::http::header::{HOST, ORIGIN};
use axum::http::{HeaderMap, Uri};
use subtle::ConstantTimeEq;

/// The part of the address that cannot be guessed: 32 random bytes as hexadecimal digits.
pub struct Token(String);

impl Token {
    /// A fresh one from the system's random numbers.
    pub fn random() -> Result<Token, getrandom::Error> {
        let mut bytes = [0_u8; 32];
        getrandom::fill(&mut bytes)?;
        Ok(Token(bytes.iter().map(|b| format!("{b:02x}")).collect()))
    }

    /// One that is known, to be looked for.
    #[cfg(any(test, fuzzing))]
    pub fn known(text: &str) -> Token {
        Token(text.into())
    }

    /// The path of the page, or of a door to it.
    pub fn path(&self) -> String {
        format!("/{}/", self.0)
    }

    /// Compares in a time that does not tell how many of the leading digits are right.
    fn matches(&self, given: &str) -> bool {
        self.0.as_bytes().ct_eq(given.as_bytes()).into()
    }
}

/// Why a request is refused. The words go to the browser as the answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Refusal {
    Host,
    Origin,
    Token,
    /// The door was used, or is too old.
    Shut,
    /// Another user of this machine came to the door.
    Stranger,
}

impl Refusal {
    pub fn say(self) -> &'static str {
        match self {
            Refusal::Host => "refused: this page answers only to its own address",
            Refusal::Origin => "refused: asked for by another page",
            Refusal::Token => {
                "refused: not the whole address\nopen the address that pairsight printed when it started"
            }
            Refusal::Shut => {
                "refused: this address leads to the page once, and was used or is too old\nopen the address that \
                 pairsight printed when it started; if nobody here used this one, end pairsight and start it again"
            }
            Refusal::Stranger => {
                "refused: this address is for the user who started pairsight\nopen the address that it printed"
            }
        }
    }
}

/// Where a request may go.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Pass {
    /// To the page.
    Page,
    /// Through the door, to this path of the page.
    Door(String),
}

/// How long a door stays open. Starting a browser can take half of that.
const OPEN: Duration = Duration::from_secs(60);

/// A way to the page that can be used once: its address may be read by others where the page's must not.
struct Door {
    token: Token,
    until: Instant,
    used: bool,
}

/// Checks requests against the address being served.
pub struct Guard {
    hosts: [String; 2],
    token: Token,
    door: Mutex<Option<Door>>,
}

impl Guard {
    pub fn new(port: u16, token: Token) -> Guard {
        Guard {
            hosts: [format!("127.0.0.1:{port}"), format!("localhost:{port}")],
            token,
            door: Mutex::new(None),
        }
    }

    /// Opens a door, in place of the one before; gives its path.
    pub fn open_door(&self) -> Result<String, getrandom::Error> {
        let token = Token::random()?;
        let path = token.path();
        *self.door() = Some(Door {
            token,
            until: Instant::now() + OPEN,
            used: false,
        });
        Ok(path)
    }

    /// Lets a request through, or says why not. A socket must carry an `Origin`; for the rest a browser may leave
    /// it out, but one that is there must be right. `stranger` says whether it comes from another user of this machine.
    pub fn check(
        &self,
        uri: &Uri,
        headers: &HeaderMap,
        socket: bool,
        stranger: impl FnOnce() -> bool,
    ) -> Result<Pass, Refusal> {
        let host = single(headers, &HOST)
            .and_then(|given| self.hosts.iter().find(|ours| ours.as_str() == given))
            .ok_or(Refusal::Host)?;
        // A request line may name a host of its own, which then counts for more than the header.
        if uri.authority().is_some_and(|named| named.as_str() != host) {
            return Err(Refusal::Host);
        }
        if (socket || headers.contains_key(ORIGIN))
            && single(headers, &ORIGIN) != Some(&format!("http://{host}"))
        {
            return Err(Refusal::Origin);
        }
        let given = uri.path().split('/').nth(1).unwrap_or("");
        if self.token.matches(given) {
            return Ok(Pass::Page);
        }
        let mut door = self.door();
        let door = door.as_mut().filter(|door| door.token.matches(given));
        let door = door.ok_or(Refusal::Token)?;
        if socket || door.used || Instant::now() > door.until {
            return Err(Refusal::Shut);
        }
        if stranger() {
            return Err(Refusal::Stranger);
        }
        door.used = true;
        Ok(Pass::Door(self.token.path()))
    }

    /// The page's addresses for sockets, as a source list of a Content-Security-Policy.
    pub fn socket_sources(&self) -> String {
        format!("ws://{} ws://{}", self.hosts[0], self.hosts[1])
    }

    fn door(&self) -> MutexGuard<'_, Option<Door>> {
        // Each change is one step, so it is whole even after a panic elsewhere.
        self.door.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// A header's value if it is there exactly once.
fn single<'h>(headers: &'h HeaderMap, name: &axum::http::HeaderName) -> Option<&'h str> {
    let mut values = headers.get_all(name).iter();
    match (values.next(), values.next()) {
        (Some(value), None) => value.to_str().ok(),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use axum::http::HeaderValue;

    fn guard() -> Guard {
        Guard::new(4321, Token::known("0123456789abcdef"))
    }

    fn check(uri: &str, headers: &[(&str, &str)], socket: bool) -> Result<Pass, Refusal> {
        check_by(&guard(), uri, headers, socket, false)
    }

    fn check_by(
        guard: &Guard,
        uri: &str,
        headers: &[(&str, &str)],
        socket: bool,
        stranger: bool,
    ) -> Result<Pass, Refusal> {
        let mut map = HeaderMap::new();
        for (name, value) in headers {
            map.append(
                axum::http::HeaderName::from_bytes(name.as_bytes()).unwrap(),
                HeaderValue::from_str(value).unwrap(),
            );
        }
        guard.check(&uri.parse().unwrap(), &map, socket, || stranger)
    }

    const OURS: (&str, &str) = ("host", "127.0.0.1:4321");
    const PATH: &str = "/0123456789abcdef/";

    #[test]
    fn only_the_exact_host_is_answered() {
        assert_eq!(check(PATH, &[OURS], false), Ok(Pass::Page));
        assert_eq!(
            check(PATH, &[("host", "localhost:4321")], false),
            Ok(Pass::Page)
        );
        for host in [
            "127.0.0.1",
            "127.0.0.1:4322",
            "127.0.0.1:43210",
            "127.0.0.1.:4321",
            "LOCALHOST:4321",
            "localhost.example:4321",
            "0.0.0.0:4321",
            "[::1]:4321",
            "cube.example:4321",
            "127.0.0.1:4321, cube.example",
            "",
        ] {
            assert_eq!(
                check(PATH, &[("host", host)], false),
                Err(Refusal::Host),
                "{host:?}"
            );
        }
        assert_eq!(check(PATH, &[], false), Err(Refusal::Host));
        assert_eq!(check(PATH, &[OURS, OURS], false), Err(Refusal::Host));
        let absolute = "http://cube.example:4321/0123456789abcdef/";
        assert_eq!(check(absolute, &[OURS], false), Err(Refusal::Host));
    }

    #[test]
    fn only_the_exact_origin_is_answered() {
        let ours = ("origin", "http://127.0.0.1:4321");
        assert_eq!(check(PATH, &[OURS, ours], true), Ok(Pass::Page));
        assert_eq!(check(PATH, &[OURS, ours], false), Ok(Pass::Page));
        assert_eq!(check(PATH, &[OURS], true), Err(Refusal::Origin));
        assert_eq!(check(PATH, &[OURS, ours, ours], true), Err(Refusal::Origin));
        for origin in [
            "null",
            "http://cube.example",
            "https://127.0.0.1:4321",
            "http://127.0.0.1",
            "http://127.0.0.1:4321/",
            "http://127.0.0.1:43210",
            "http://localhost:4321",
            "http://127.0.0.1:4321.cube.example",
        ] {
            for socket in [false, true] {
                assert_eq!(
                    check(PATH, &[OURS, ("origin", origin)], socket),
                    Err(Refusal::Origin),
                    "{origin:?}"
                );
            }
        }
    }

    #[test]
    fn only_the_exact_token_is_answered() {
        for path in [
            "/",
            "/page.js",
            "/0123456789abcde/",
            "/0123456789abcdef0/",
            "/0123456789ABCDEF/",
            "/1123456789abcdef/",
            "//0123456789abcdef/",
            "/%30123456789abcdef/",
        ] {
            assert_eq!(check(path, &[OURS], false), Err(Refusal::Token), "{path:?}");
        }
    }

    #[test]
    fn tokens_are_long_and_differ() {
        let (a, b) = (Token::random().unwrap(), Token::random().unwrap());
        assert_eq!(a.0.len(), 64);
        assert_ne!(a.0, b.0);
    }

    #[test]
    fn a_door_leads_to_the_page_once_and_no_other_user_through_it() {
        let guard = guard();
        let path = guard.open_door().unwrap();
        let at = |stranger| check_by(&guard, &path, &[OURS], false, stranger);
        assert_eq!(at(true), Err(Refusal::Stranger));
        assert_eq!(
            check_by(&guard, &path, &[("host", "cube.example")], false, false),
            Err(Refusal::Host)
        );
        assert_eq!(at(false), Ok(Pass::Door(PATH.into())));
        assert_eq!(at(false), Err(Refusal::Shut));
        // Another one takes its place.
        let next = guard.open_door().unwrap();
        assert_ne!(next, path);
        assert_eq!(at(false), Err(Refusal::Token));
        assert_eq!(
            check_by(&guard, &next, &[OURS], false, false),
            Ok(Pass::Door(PATH.into()))
        );
    }

    #[test]
    fn a_door_that_nobody_used_shuts_by_itself() {
        let guard = guard();
        let path = guard.open_door().unwrap();
        guard.door().as_mut().unwrap().until = Instant::now() - Duration::from_millis(1);
        assert_eq!(
            check_by(&guard, &path, &[OURS], false, false),
            Err(Refusal::Shut)
        );
    }
}
