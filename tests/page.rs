//! The page's server, spoken to directly: who is refused, what it answers, and how it treats slow tabs.

use std::io::{ErrorKind, Read, Write};
use std::net::{TcpListener, TcpStream};
use std::process::{Command, Stdio};
use std::sync::Arc;
use std::time::{Duration, Instant};

use pairsight::page::{Choice, Options, Pace, Page, PageError, Paper, Request, Shown};
use serde_json::{Value, json};
use tungstenite::client::IntoClientRequest;
use tungstenite::protocol::WebSocketConfig;
use tungstenite::{Message, WebSocket};

const PATIENCE: Duration = Duration::from_secs(20);

fn start() -> Page {
    Page::start(Options::default()).unwrap()
}

/// Host with port, and the path with the token.
fn parts(page: &Page) -> (String, String) {
    let (host, path) = page.address()["http://".len()..].split_once('/').unwrap();
    (host.to_owned(), format!("/{path}"))
}

/// Sends a request as it stands and gives back all of the answer.
fn raw(host: &str, request: &str) -> String {
    let mut stream = TcpStream::connect(host).unwrap();
    stream.set_read_timeout(Some(PATIENCE)).unwrap();
    stream.write_all(request.as_bytes()).unwrap();
    let mut answer = Vec::new();
    stream.read_to_end(&mut answer).unwrap();
    String::from_utf8_lossy(&answer).into_owned()
}

fn get(page: &Page, path: &str, headers: &str) -> String {
    let request = format!("GET {path} HTTP/1.1\r\n{headers}Connection: close\r\n\r\n");
    raw(&parts(page).0, &request)
}

fn status(answer: &str) -> u16 {
    answer.split(' ').nth(1).unwrap().parse().unwrap()
}

const ROUTES: [&str; 14] = [
    "",
    "page.css",
    "main.js",
    "view.js",
    "picture.js",
    "speech.js",
    "camera.js",
    "choices.js",
    "clock.js",
    "lexicon.js",
    "seeing.js",
    "words.js",
    "icon.svg",
    "nothing",
];

#[test]
fn every_route_answers_its_own_address_only_and_closes_the_page_to_the_outside() {
    let page = start();
    let (host, path) = parts(&page);
    for route in ROUTES {
        let at = format!("{path}{route}");
        let answer = get(&page, &at, &format!("Host: {host}\r\n"));
        assert_eq!(
            status(&answer),
            if route == "nothing" { 404 } else { 200 },
            "{route}"
        );
        let (head, body) = answer.split_once("\r\n\r\n").unwrap();
        assert!(
            !body.contains("http://") || body.contains("http://www.w3.org/2000/svg"),
            "{route}"
        );

        let port = host.split_once(':').unwrap().1;
        for wrong in [
            "Host: cube.example\r\n".to_owned(),
            format!("Host: cube.example:{port}\r\n"),
            "Host: 127.0.0.1\r\n".to_owned(),
            format!("Host: {host}\r\nHost: {host}\r\n"),
            format!("Host: {host}\r\nOrigin: http://cube.example\r\n"),
            format!("Host: {host}\r\nOrigin: null\r\n"),
            format!("Host: {host}\r\nOrigin: http://localhost:{port}\r\n"),
        ] {
            let refused = get(&page, &at, &wrong);
            assert!(
                [400, 403].contains(&status(&refused)),
                "{route} {wrong:?}: {refused}"
            );
            assert!(!refused.contains("<html"), "{wrong:?}");
        }
        let mut other = path.clone().into_bytes();
        other[10] = if other[10] == b'0' { b'1' } else { b'0' };
        let other = String::from_utf8(other).unwrap();
        for no_token in [
            format!("/{route}"),
            format!("{other}{route}"),
            format!("/../{path}{route}"),
        ] {
            let refused = get(&page, &no_token, &format!("Host: {host}\r\n"));
            assert_eq!(status(&refused), 403, "{no_token}");
            has_closed_headers(refused.split_once("\r\n\r\n").unwrap().0);
        }
        has_closed_headers(head);
    }
    let absolute = format!(
        "GET http://cube.example{path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n"
    );
    assert_eq!(status(&raw(&host, &absolute)), 403);
    let post = format!(
        "POST {path} HTTP/1.1\r\nHost: {host}\r\nContent-Length: 0\r\nConnection: close\r\n\r\n"
    );
    assert_eq!(status(&raw(&host, &post)), 405);
}

/// Documents are made when they are asked for, have their style inside and no scripts, and are as closed as the page.
#[test]
fn papers_are_served_to_their_own_address_only() {
    let page = start();
    let (host, path) = parts(&page);
    let asked = |paper: &str, host: &str| {
        get(
            &page,
            &format!("{path}{paper}"),
            &format!("Host: {host}\r\n"),
        )
    };
    assert_eq!(status(&asked("guide", &host)), 404, "nobody makes any");
    page.keep_papers(Box::new(|paper| match paper {
        Paper::Guide => Ok("<!DOCTYPE html><title>Guide</title>".into()),
        Paper::Journal => Err("it cannot be read".into()),
    }));
    let guide = asked("guide", &host);
    let (head, body) = guide.split_once("\r\n\r\n").unwrap();
    assert_eq!(
        (status(&guide), body),
        (200, "<!DOCTYPE html><title>Guide</title>")
    );
    let head = head.to_lowercase();
    let policies: Vec<&str> = head
        .lines()
        .filter(|line| line.starts_with("content-security-policy: "))
        .collect();
    assert_eq!(policies.len(), 1, "{head}");
    assert!(policies[0].contains("default-src 'none'") && !policies[0].contains("script-src"));
    for line in [
        "cache-control: no-store",
        "x-frame-options: deny",
        "referrer-policy: no-referrer",
    ] {
        assert!(head.contains(line), "{line}");
    }
    let journal = asked("journal", &host);
    assert_eq!(status(&journal), 503);
    assert!(journal.ends_with("it cannot be read\n"), "{journal}");
    assert_eq!(status(&asked("guide", "cube.example")), 403);
}

fn has_closed_headers(head: &str) {
    let head = head.to_lowercase();
    for line in [
        "cache-control: no-store",
        "x-content-type-options: nosniff",
        "x-frame-options: deny",
        "referrer-policy: no-referrer",
        "cross-origin-resource-policy: same-origin",
    ] {
        assert!(head.contains(line), "{line} is missing from {head}");
    }
    let policy = head
        .lines()
        .find(|l| l.starts_with("content-security-policy: "))
        .unwrap();
    for part in [
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "frame-ancestors 'none'",
        "base-uri 'none'",
        "form-action 'none'",
    ] {
        assert!(policy.contains(part), "{part} is missing from {policy}");
    }
    assert!(
        !policy.contains("unsafe") && !policy.contains('*'),
        "{policy}"
    );
    assert!(!head.contains("access-control-allow"), "{head}");
}

type Socket = WebSocket<TcpStream>;

fn connect(page: &Page, origin: Option<&str>, path: &str) -> Result<Socket, u16> {
    let (host, _) = parts(page);
    let mut request = format!("ws://{host}{path}").into_client_request().unwrap();
    if let Some(origin) = origin {
        request
            .headers_mut()
            .insert("origin", origin.parse().unwrap());
    }
    let stream = TcpStream::connect(&host).unwrap();
    stream.set_read_timeout(Some(PATIENCE)).unwrap();
    let limits = WebSocketConfig::default();
    match tungstenite::client::client_with_config(request, stream, Some(limits)) {
        Ok((socket, _)) => Ok(socket),
        Err(tungstenite::HandshakeError::Failure(tungstenite::Error::Http(answer))) => {
            Err(answer.status().as_u16())
        }
        Err(other) => panic!("{other}"),
    }
}

fn tab(page: &Page) -> Socket {
    let (host, path) = parts(page);
    connect(
        page,
        Some(&format!("http://{host}")),
        &format!("{path}socket"),
    )
    .unwrap()
}

fn tell(socket: &mut Socket, message: Value) {
    socket.send(Message::text(message.to_string())).unwrap();
}

/// The next message, or `None` when none comes within `patience`.
fn hear(socket: &mut Socket, patience: Duration) -> Option<Message> {
    socket.get_ref().set_read_timeout(Some(patience)).unwrap();
    match socket.read() {
        Ok(message) => Some(message),
        Err(tungstenite::Error::Io(cause))
            if [std::io::ErrorKind::WouldBlock, std::io::ErrorKind::TimedOut]
                .contains(&cause.kind()) =>
        {
            None
        }
        Err(other) => panic!("{other}"),
    }
}

fn fields(message: Message) -> Value {
    let mut value: Value = serde_json::from_str(message.to_text().unwrap()).unwrap();
    assert_eq!(value["kind"], "show");
    value["fields"].take()
}

fn saying(sentence: &str) -> Shown {
    Shown {
        sentence: sentence.into(),
        ..Shown::default()
    }
}

#[test]
fn sockets_are_refused_to_other_pages_and_without_the_token() {
    let page = start();
    let (host, path) = parts(&page);
    let socket = format!("{path}socket");
    let ours = format!("http://{host}");
    for origin in [
        None,
        Some("null"),
        Some("http://cube.example"),
        Some("https://127.0.0.1"),
    ] {
        assert_eq!(
            connect(&page, origin, &socket).err(),
            Some(403),
            "{origin:?}"
        );
    }
    for no_token in ["/socket", "/00/socket", "//socket"] {
        assert_eq!(
            connect(&page, Some(&ours), no_token).err(),
            Some(403),
            "{no_token}"
        );
    }
    let foreign = format!(
        "GET {socket} HTTP/1.1\r\nHost: cube.example\r\nOrigin: http://cube.example\r\nConnection: Upgrade\r\n\
         Upgrade: websocket\r\nSec-WebSocket-Version: 13\r\nSec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\n\r\n"
    );
    let mut stream = TcpStream::connect(&host).unwrap();
    stream.write_all(foreign.as_bytes()).unwrap();
    let mut start = [0; 12];
    stream.read_exact(&mut start).unwrap();
    assert_eq!(&start, b"HTTP/1.1 403");
    assert_eq!(page.tabs(), 0);
    assert!(connect(&page, Some(&ours), &socket).is_ok());
}

#[test]
fn a_tab_gets_all_at_first_and_then_what_changed() {
    let page = start();
    page.show(&saying("First."));
    let mut tab = tab(&page);
    let first = fields(hear(&mut tab, PATIENCE).unwrap());
    assert_eq!(first["sentence"], "First.");
    assert_eq!(first["browser_camera"], "idle");
    tell(&mut tab, json!({"kind": "shown"}));
    page.show(&saying("First."));
    page.show(&Shown {
        rung: 2,
        ..saying("First.")
    });
    assert_eq!(
        fields(hear(&mut tab, PATIENCE).unwrap()),
        json!({"rung": 2})
    );
}

#[test]
fn a_tab_that_shows_nothing_is_sent_nothing_more_and_holds_nobody_up() {
    let page = start();
    let mut stalled = tab(&page);
    let mut quick = tab(&page);
    // Pictures far larger than what the system's own buffers hold.
    let began = Instant::now();
    for n in 0..200_u32 {
        let mut jpeg = vec![0_u8; 1 << 20];
        jpeg[..2].copy_from_slice(&[0xff, 0xd8]);
        jpeg[2..6].copy_from_slice(&n.to_be_bytes());
        page.picture(Arc::from(jpeg));
        page.show(&saying(&n.to_string()));
    }
    assert!(
        began.elapsed() < PATIENCE,
        "the loop was held up: {:?}",
        began.elapsed()
    );

    // The one that answers comes to the newest.
    let (mut sentence, mut picture) = (String::new(), 0);
    while sentence != "199" || picture != 199 {
        match hear(&mut quick, PATIENCE).expect("more is due") {
            Message::Binary(jpeg) => {
                picture = u32::from_be_bytes(jpeg[2..6].try_into().unwrap());
                tell(&mut quick, json!({"kind": "drawn"}));
            }
            text => {
                sentence = fields(text)["sentence"].as_str().unwrap().to_owned();
                tell(&mut quick, json!({"kind": "shown"}));
            }
        }
    }
    // The one that never answers was sent one of each kind, and after its answer the newest.
    let kinds = [hear(&mut stalled, PATIENCE), hear(&mut stalled, PATIENCE)]
        .map(|m| m.unwrap().is_binary());
    assert_ne!(kinds[0], kinds[1]);
    assert_eq!(hear(&mut stalled, Duration::from_millis(300)), None);
    tell(&mut stalled, json!({"kind": "shown"}));
    assert_eq!(
        fields(hear(&mut stalled, PATIENCE).unwrap())["sentence"],
        "199"
    );
    assert_eq!(hear(&mut stalled, Duration::from_millis(300)), None);
    tell(&mut stalled, json!({"kind": "drawn"}));
    let Some(Message::Binary(jpeg)) = hear(&mut stalled, PATIENCE) else {
        panic!("the newest picture was due");
    };
    assert_eq!(jpeg[2..6], 199_u32.to_be_bytes());
}

/// This process's resident memory in MiB.
#[cfg(target_os = "linux")]
fn resident() -> usize {
    let status = std::fs::read_to_string("/proc/self/status").unwrap();
    let line = status.lines().find(|l| l.starts_with("VmRSS:")).unwrap();
    let kib: usize = line.split_whitespace().nth(1).unwrap().parse().unwrap();
    kib / 1024
}

#[cfg(target_os = "linux")]
#[test]
fn tabs_that_read_nothing_grow_no_memory() {
    let page = start();
    let _stalled: Vec<Socket> = (0..8).map(|_| tab(&page)).collect();
    let send = |count: usize| {
        for n in 0..count {
            let mut jpeg = vec![n as u8; 1 << 20];
            jpeg[..2].copy_from_slice(&[0xff, 0xd8]);
            page.picture(Arc::from(jpeg));
            page.show(&saying(&"word ".repeat(1000 + n)));
            std::thread::sleep(Duration::from_micros(200));
        }
    };
    send(50);
    let before = resident();
    send(1000);
    let after = resident();
    // A queue would hold a thousand pictures of a megabyte for each tab.
    assert!(after < before + 64, "{before} MiB grew to {after} MiB");
}

#[test]
fn requests_arrive_and_nonsense_closes_the_tab() {
    let page = start();
    let requests = page.requests();
    let mut tab = tab(&page);
    for (message, expected) in [
        (
            json!({"kind": "start-calibration"}),
            Request::StartCalibration,
        ),
        (
            json!({"kind": "keep-profile", "name": " lamp "}),
            Request::KeepProfile("lamp".into()),
        ),
        (
            json!({"kind": "use-camera", "id": "2"}),
            Request::UseCamera("2".into()),
        ),
        (json!({"kind": "relight"}), Request::Relight),
        (
            json!({"kind": "choose", "choice": {"level": 2}}),
            Request::Choose(Choice::Level(Some(2))),
        ),
        (
            json!({"kind": "choose", "choice": {"cross": null}}),
            Request::Choose(Choice::Cross(None)),
        ),
        (
            json!({"kind": "choose", "choice": {"pace": "calm"}}),
            Request::Choose(Choice::Pace(Pace::Calm)),
        ),
        (
            json!({"kind": "choose", "choice": {"mirrored": false}}),
            Request::Choose(Choice::Mirrored(Some(false))),
        ),
        (
            json!({"kind": "practise", "number": null}),
            Request::Practise(None),
        ),
        (json!({"kind": "answer", "choice": 3}), Request::Answer(3)),
        (
            json!({"kind": "use-browser-camera"}),
            Request::UseBrowserCamera,
        ),
    ] {
        tell(&mut tab, message);
        assert_eq!(requests.next(PATIENCE), Some(expected));
    }
    tab.send(Message::binary(vec![0xff, 0xd8, 7])).unwrap();
    assert_eq!(
        requests.next(PATIENCE),
        Some(Request::Frame(Arc::from([0xff, 0xd8, 7])))
    );
    hear(&mut tab, PATIENCE); // what is shown at first, or that the frame was taken

    for nonsense in [
        Message::text("{}"),
        Message::text(json!({"kind": "keep-profile", "name": " "}).to_string()),
        Message::text(json!({"kind": "keep-profile", "name": "a\nb"}).to_string()),
        Message::text(json!({"kind": "keep-profile", "name": "x".repeat(65)}).to_string()),
        Message::text(json!({"kind": "choose", "choice": {"level": 9}}).to_string()),
        Message::text(json!({"kind": "choose", "choice": {"cross": "pink"}}).to_string()),
        Message::text("x".repeat(5000)),
        Message::binary(b"GIF89a".to_vec()),
    ] {
        let mut tab = self::tab(&page);
        tab.send(nonsense.clone()).unwrap();
        let closed = loop {
            match hear(&mut tab, PATIENCE) {
                Some(Message::Close(frame)) => break frame.unwrap(),
                Some(_) => {}
                None => panic!("{nonsense} was let through"),
            }
        };
        assert_eq!(u16::from(closed.code), 1008);
    }
    assert_eq!(requests.try_next(), None);
}

#[test]
fn frames_count_only_from_the_tab_whose_camera_is_in_use() {
    let page = start();
    let requests = page.requests();
    let (mut first, mut second) = (tab(&page), tab(&page));
    let frame = |n: u8| Message::binary(vec![0xff, 0xd8, n]);
    first.send(frame(1)).unwrap();
    tell(&mut first, json!({"kind": "use-browser-camera"}));
    assert_eq!(requests.next(PATIENCE), Some(Request::UseBrowserCamera));
    tell(&mut second, json!({"kind": "use-browser-camera"}));
    assert_eq!(requests.next(PATIENCE), Some(Request::UseBrowserCamera));
    first.send(frame(2)).unwrap();
    tell(&mut first, json!({"kind": "relight"}));
    assert_eq!(requests.next(PATIENCE), Some(Request::Relight));
    second.send(frame(3)).unwrap();
    assert_eq!(
        requests.next(PATIENCE),
        Some(Request::Frame(Arc::from([0xff, 0xd8, 3])))
    );
    let told = |socket: &mut Socket, kind: &str| loop {
        let message = hear(socket, PATIENCE).unwrap_or_else(|| panic!("{kind} is due"));
        if message.is_text() && message.to_text().unwrap().contains(kind) {
            return;
        }
    };
    told(&mut first, "filmed-elsewhere");
    told(&mut second, "frame-taken");
    drop(second);
    assert!(matches!(
        requests.next(PATIENCE),
        Some(Request::BrowserCameraGone(_))
    ));
}

#[test]
fn more_tabs_than_anybody_needs_are_turned_away() {
    let page = start();
    let (host, path) = parts(&page);
    let mut tabs: Vec<Socket> = (0..16).map(|_| tab(&page)).collect();
    let one_more = || {
        connect(
            &page,
            Some(&format!("http://{host}")),
            &format!("{path}socket"),
        )
    };
    assert_eq!(one_more().err(), Some(503));
    drop(tabs.pop());
    let began = Instant::now();
    while page.tabs() == 16 && began.elapsed() < PATIENCE {
        std::thread::sleep(Duration::from_millis(5));
    }
    assert!(one_more().is_ok());
}

#[test]
fn a_port_can_be_given_and_a_taken_one_is_named() {
    let taken = TcpListener::bind("127.0.0.1:0").unwrap();
    let port = taken.local_addr().unwrap().port();
    let options = Options { port: Some(port) };
    let refusal = Page::start(options).err().unwrap();
    assert!(matches!(refusal, PageError::Taken(p) if p == port));
    let words = refusal.to_string();
    assert!(
        words.starts_with(&format!("port {port}: another program is using it\n")),
        "{words}"
    );
    drop(taken);
    let page = Page::start(options).unwrap();
    assert!(
        page.address()
            .starts_with(&format!("http://127.0.0.1:{port}/"))
    );
    page.stop();
    // The port is free again at once.
    Page::start(options).unwrap().stop();
}

#[test]
fn stopping_says_goodbye_and_waits_for_no_stalled_tab() {
    let page = start();
    let mut tab = self::tab(&page);
    let goodbye = std::thread::spawn(move || {
        loop {
            match hear(&mut tab, PATIENCE).expect("a goodbye is due") {
                Message::Close(frame) => return frame.unwrap(),
                Message::Binary(_) => tell(&mut tab, json!({"kind": "drawn"})),
                _ => tell(&mut tab, json!({"kind": "shown"})),
            }
        }
    });
    let mut idle = TcpStream::connect(parts(&page).0).unwrap();
    idle.write_all(b"GET / HTTP/1.1\r\nHo").unwrap();
    let _stalled: Vec<Socket> = (0..4)
        .map(|_| {
            let tab = self::tab(&page);
            page.picture(Arc::from(vec![0xff; 6 << 20]));
            tab
        })
        .collect();
    let began = Instant::now();
    page.stop();
    assert!(
        began.elapsed() < Duration::from_secs(5),
        "{:?}",
        began.elapsed()
    );
    assert_eq!(u16::from(goodbye.join().unwrap().code), 1001);
}

/// Connections without the token used up the program's handles; then neither a page nor a frame could be opened.
#[test]
fn connections_that_ask_for_nothing_keep_nobody_out() {
    let page = start();
    let (host, path) = parts(&page);
    let mut idle: Vec<TcpStream> = (0..200)
        .map(|_| TcpStream::connect(&host).unwrap())
        .collect();
    for _ in 0..3 {
        let answer = get(&page, &path, &format!("Host: {host}\r\n"));
        assert_eq!(status(&answer), 200);
    }
    // The oldest of them are gone by then, and a tab still comes in.
    for stream in &mut idle[..100] {
        stream.set_read_timeout(Some(PATIENCE)).unwrap();
        let ended = stream.read(&mut [0; 100]);
        assert!(
            !matches!(&ended, Err(e) if e.kind() == std::io::ErrorKind::WouldBlock),
            "{ended:?}"
        );
    }
    drop(tab(&page));
}

/// A hundred slow requests were held open for as long as they liked.
#[test]
fn a_request_that_takes_its_time_is_given_up() {
    let page = start();
    let (host, path) = parts(&page);
    let mut slow: Vec<TcpStream> = (0..100)
        .map(|_| {
            let mut stream = TcpStream::connect(&host).unwrap();
            stream
                .write_all(format!("GET {path} HTTP/1.1\r\nHost: {host}\r\n").as_bytes())
                .unwrap();
            stream
        })
        .collect();
    // Each second a little more, as a slow one does.
    let began = Instant::now();
    let mut open = slow.len();
    while open > 0 && began.elapsed() < PATIENCE {
        std::thread::sleep(Duration::from_millis(500));
        open = 0;
        for stream in &mut slow {
            stream
                .set_read_timeout(Some(Duration::from_millis(1)))
                .unwrap();
            let waits = matches!(stream.read(&mut [0; 1000]), Err(e) if e.kind() == std::io::ErrorKind::WouldBlock);
            open += usize::from(waits && stream.write_all(b"x: y\r\n").is_ok());
        }
    }
    assert_eq!(open, 0, "still open after {:?}", began.elapsed());
}

#[test]
fn a_head_larger_than_any_browser_sends_is_refused() {
    let page = start();
    let (host, path) = parts(&page);
    let mut stream = TcpStream::connect(&host).unwrap();
    stream.set_read_timeout(Some(PATIENCE)).unwrap();
    stream
        .write_all(format!("GET {path} HTTP/1.1\r\nHost: {host}\r\n").as_bytes())
        .unwrap();
    let line = format!("x: {}\r\n", "y".repeat(4000));
    // The system takes in some of it after the page has hung up.
    let _ = (0..1000)
        .take_while(|_| stream.write_all(line.as_bytes()).is_ok())
        .count();
    let mut reply = String::new();
    let ended = stream
        .read_to_string(&mut reply)
        .map_err(|error| error.kind());
    let waits = [ErrorKind::WouldBlock, ErrorKind::TimedOut];
    assert!(!ended.is_err_and(|kind| waits.contains(&kind)), "{reply}");
    assert!(
        reply.is_empty() || reply.starts_with("HTTP/1.1 431"),
        "{reply}"
    );
}

/// The address on the browser's command line, which every user of the machine may read, leads to the page once.
#[test]
fn the_address_for_a_command_line_leads_to_the_page_once() {
    let page = start();
    let (host, path) = parts(&page);
    let door = page.one_time_address().unwrap();
    let token = path.trim_matches('/');
    assert!(!door.contains(token) && door.len() == page.address().len());
    let at = format!("/{}", door["http://".len()..].split_once('/').unwrap().1);
    let wrong = get(&page, &at, "Host: cube.example\r\n");
    assert_eq!(status(&wrong), 403);
    let first = get(&page, &at, &format!("Host: {host}\r\n"));
    assert_eq!(status(&first), 303);
    let head = first.to_lowercase();
    assert!(head.contains(&format!("location: {path}\r\n")), "{first}");
    has_closed_headers(first.split_once("\r\n\r\n").unwrap().0);
    let second = get(&page, &at, &format!("Host: {host}\r\n"));
    assert_eq!(status(&second), 403);
    assert!(second.contains("was used or is too old"), "{second}");
    // Nor does it lead anywhere else.
    for other in ["main.js", "socket"] {
        let door = page.one_time_address().unwrap();
        let at = format!(
            "/{}{other}",
            door["http://".len()..].split_once('/').unwrap().1
        );
        let answer = get(&page, &at, &format!("Host: {host}\r\n"));
        assert!([303, 403].contains(&status(&answer)), "{answer}");
        assert!(!answer.contains("import"), "{answer}");
    }
}

/// The program's children see no token, whatever they are called with.
#[cfg(unix)]
#[test]
fn the_browser_is_called_without_the_token() {
    use std::os::unix::fs::PermissionsExt;
    let place = tempfile::tempdir().unwrap();
    let seen = place.path().join("seen");
    let browser = place.path().join("xdg-open");
    std::fs::write(
        &browser,
        format!(
            "#!/bin/sh\necho \"$@\" > {}.part\nmv {0}.part {0}\n",
            seen.display()
        ),
    )
    .unwrap();
    std::fs::set_permissions(&browser, PermissionsExt::from_mode(0o755)).unwrap();
    let path = std::env::var("PATH").unwrap_or_default();
    let mut child = coach(&["--fps", "2"])
        .env("PATH", format!("{}:{path}", place.path().display()))
        .spawn()
        .unwrap();
    let (address, _said) = crate::harness::running::page_address(&mut child);
    let began = Instant::now();
    while !seen.exists() && began.elapsed() < PATIENCE {
        std::thread::sleep(Duration::from_millis(20));
    }
    child.kill().unwrap();
    child.wait().unwrap();
    let called = std::fs::read_to_string(&seen).unwrap();
    let token = address.trim_end_matches('/').rsplit('/').next().unwrap();
    assert!(
        token.len() == 64 && called.starts_with("http://127.0.0.1:"),
        "{called}"
    );
    assert!(!called.contains(token), "{called}");
}

/// Sixteen tabs could each hold eight megabytes and their copies; a picture of the page's camera has a third of one.
#[test]
fn a_message_larger_than_a_picture_of_the_page_closes_the_tab() {
    let page = start();
    let mut tab = tab(&page);
    let mut large = vec![0; 3 << 20];
    large[..2].copy_from_slice(&[0xff, 0xd8]);
    // It is refused by its head, so that sending the rest may fail already.
    let sent = tab.send(Message::binary(large));
    let closed = sent.is_err()
        || std::iter::from_fn(|| Some(tab.read()))
            .take(20)
            .any(|heard| matches!(heard, Err(_) | Ok(Message::Close(_))));
    assert!(closed);
    let began = Instant::now();
    while page.tabs() > 0 && began.elapsed() < PATIENCE {
        std::thread::sleep(Duration::from_millis(5));
    }
    assert_eq!(page.tabs(), 0);
}

/// What is no message of the page brought memory to 600 MB: some tabs sent the largest that are let in, one after the other.
#[cfg(target_os = "linux")]
#[test]
fn wrong_messages_of_many_tabs_grow_no_memory() {
    let page = start();
    let send = |rounds: usize| {
        for round in 0..rounds {
            let mut tabs: Vec<Socket> = (0..8).map(|_| tab(&page)).collect();
            for (at, tab) in tabs.iter_mut().enumerate() {
                let wrong = vec![b'x'; (2 << 20) - at];
                // Refused halfway, sending fails; that is what is wanted.
                let _ = match (round + at) % 3 {
                    0 => tab.send(Message::binary(wrong)),
                    1 => tab.send(Message::text(String::from_utf8(wrong).unwrap())),
                    _ => tab.send(Message::text("[".repeat(4000))),
                };
            }
            let began = Instant::now();
            while page.tabs() > 0 && began.elapsed() < PATIENCE {
                for tab in &mut tabs {
                    tab.get_ref()
                        .set_read_timeout(Some(Duration::from_millis(2)))
                        .unwrap();
                    let _ = tab.read();
                }
            }
            assert_eq!(page.tabs(), 0, "round {round}");
        }
    };
    send(2);
    let before = resident();
    send(12);
    let after = resident();
    assert!(after < before + 64, "{before} MiB grew to {after} MiB");
}

/// `pairsight coach` on a carried film, with its page.
fn coach(words: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_pairsight"));
    command
        .args(["coach", "--no-journal", "--events"])
        .args(["--frames", "test_images/films/followed.mjpeg"])
        .args(words)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        // The program opens the usual browser; this one opens nothing.
        .env("BROWSER", "true")
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    command
}

#[test]
fn a_taken_port_is_told_with_what_to_do() {
    let listener = TcpListener::bind("127.0.0.1:0").unwrap();
    let port = listener.local_addr().unwrap().port().to_string();
    let ran = coach(&["--port", &port]).output().unwrap();
    assert_eq!(ran.status.code(), Some(1));
    let said = String::from_utf8(ran.stderr).unwrap();
    assert!(
        said.contains(&format!("port {port}: another program is using it"))
            && said.contains("give another port"),
        "{said}"
    );
    assert_eq!(ran.stdout, b"");
}

/// An interrupt (Ctrl-C) ends the stream, tells open tabs, and is no failure.
#[cfg(unix)]
#[test]
fn an_interrupt_ends_the_coach_in_order() {
    let mut child = coach(&["--fps", "2"]).spawn().unwrap();
    let (address, _said) = crate::harness::running::page_address(&mut child);
    let (host, path) = address["http://".len()..].split_once('/').unwrap();
    let mut request = format!("ws://{host}/{path}socket")
        .into_client_request()
        .unwrap();
    request
        .headers_mut()
        .insert("origin", format!("http://{host}").parse().unwrap());
    let stream = TcpStream::connect(host).unwrap();
    stream.set_read_timeout(Some(PATIENCE)).unwrap();
    let (mut tab, _) = tungstenite::client(request, stream).unwrap();
    // Pictures flow.
    while !hear(&mut tab, PATIENCE)
        .expect("a picture is due")
        .is_binary()
    {
        tell(&mut tab, json!({"kind": "shown"}));
    }
    let interrupted = Command::new("kill")
        .args(["-INT", &child.id().to_string()])
        .status()
        .unwrap();
    assert!(interrupted.success());
    let code = loop {
        // What is on its way must not cost the goodbye.
        let _ = tab.send(Message::text(json!({"kind": "drawn"}).to_string()));
        match hear(&mut tab, PATIENCE) {
            Some(Message::Close(frame)) => break frame.unwrap().code,
            Some(_) => {}
            None => panic!("the tab is told that it is over"),
        }
    };
    assert_eq!(u16::from(code), 1001);
    let ended = child.wait_with_output().unwrap();
    assert_eq!(ended.status.code(), Some(0));
    let events = String::from_utf8(ended.stdout).unwrap();
    let last: Value = serde_json::from_str(events.lines().last().unwrap()).unwrap();
    assert_eq!(last["event"], "end");
}
