//! Starts Chromium under its WebDriver on a port and with a folder of its own, lends it to one test after another, and ends both.

use std::future::Future;
use std::io::{BufRead, BufReader, Read};
use std::panic::resume_unwind;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::{LazyLock, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use serde_json::{Value, json};
use tempfile::TempDir;
use thirtyfour::{ChromiumLikeCapabilities, LoggingPrefsLogLevel, prelude::*};
use tokio::runtime::Runtime;
use tokio::task::LocalSet;

/// How long the page may take to do what a test waits for; far above what it needs on a busy machine.
const PATIENCE: Duration = Duration::from_secs(60);

/// Between two looks at what is waited for: the longer it takes, the more seldom, as each look keeps the browser from its work.
const SOON: Duration = Duration::from_millis(20);
const SELDOM: Duration = Duration::from_millis(200);

/// One running browser.
#[derive(Clone)]
pub struct Browser {
    pub driver: WebDriver,
}

/// A process that is ended when this is dropped.
struct Process(Child);

impl Drop for Process {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

/// A browser with what it lives on.
struct Running {
    browser: Browser,
    _folder: TempDir,
    _process: Process,
}

/// Browsers without arguments of their own go from test to test, as starting one takes longer than most tests.
#[derive(Default)]
struct Pool {
    /// Tests that run or wait to run; the last of them ends all browsers.
    tests: usize,
    idle: Vec<Running>,
}

static POOL: LazyLock<Mutex<Pool>> = LazyLock::new(Mutex::default);

/// One for all tests, since a connection to a browser belongs to the runtime in which it was made.
static RUNTIME: LazyLock<Runtime> = LazyLock::new(|| {
    tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .unwrap()
});

fn pool() -> MutexGuard<'static, Pool> {
    POOL.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Runs a test in a fresh tab of a browser, and ends that whether the test passes or panics.
///
/// Without Chromium this fails and says what to install, unless `PAIRSIGHT_NO_BROWSER=1` asks to skip.
pub fn with_browser<F>(arguments: &[String], test: impl FnOnce(Browser) -> F)
where
    F: Future<Output = ()> + 'static,
{
    if std::env::var("PAIRSIGHT_NO_BROWSER").is_ok_and(|v| v == "1") {
        eprintln!("SKIPPED: PAIRSIGHT_NO_BROWSER=1, so the page was not tried in a browser");
        return;
    }
    let shared = arguments.is_empty();
    let idle = {
        let mut pool = pool();
        pool.tests += 1;
        shared.then(|| pool.idle.pop()).flatten()
    };
    let (running, ended) = RUNTIME.block_on(async {
        let running = match idle {
            Some(running) => running,
            None => Running::start(arguments).await,
        };
        running.browser.fresh_tab().await;
        // A task of its own, so that a test which panics still lets the browser be closed.
        let task = LocalSet::new();
        let test = task.spawn_local(test(running.browser.clone()));
        let ended = task.run_until(test).await;
        (running, ended)
    });
    let over = {
        let mut pool = pool();
        pool.tests -= 1;
        let mut over = vec![running];
        if shared && ended.is_ok() && pool.tests > 0 {
            pool.idle.append(&mut over);
        }
        if pool.tests == 0 {
            over.append(&mut pool.idle);
        }
        over
    };
    for running in over {
        RUNTIME.block_on(running.browser.driver.quit()).unwrap();
    }
    if let Err(failure) = ended {
        resume_unwind(failure.into_panic());
    }
}

impl Running {
    async fn start(arguments: &[String]) -> Running {
        let (process, port) = start_driver();
        let folder = tempfile::tempdir().unwrap();
        Running {
            browser: Browser::start(port, folder.path(), arguments).await,
            _folder: folder,
            _process: process,
        }
    }
}

/// The WebDriver of Chromium, and the free port that it took.
fn start_driver() -> (Process, u16) {
    let mut child = Command::new("chromedriver")
            .arg("--port=0")
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap_or_else(|cause| {
                panic!(
                    "chromedriver: {cause}\ninstall it with `apt-get install chromium chromium-driver`, \
                     or set PAIRSIGHT_NO_BROWSER=1 to skip the tests in a browser"
                )
            });
    let mut said = BufReader::new(child.stdout.take().unwrap());
    let process = Process(child);
    let port: u16 = said
        .by_ref()
        .lines()
        .map_while(Result::ok)
        .find_map(|line| {
            let (_, port) = line.split_once("started successfully on port ")?;
            port.trim_end_matches('.').parse().ok()
        })
        .expect("chromedriver names its port");
    (process, port)
}

impl Browser {
    async fn start(port: u16, folder: &Path, arguments: &[String]) -> Browser {
        let mut wanted = DesiredCapabilities::chrome();
        for argument in [
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-quic",
            "--no-first-run",
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
            "--disable-dev-shm-usage",
            "--window-size=1366,768",
        ] {
            wanted.add_arg(argument).unwrap();
        }
        let profile = format!("--user-data-dir={}", folder.display());
        wanted.add_arg(&profile).unwrap();
        for argument in arguments {
            wanted.add_arg(argument).unwrap();
        }
        wanted
            .set_browser_log_level(LoggingPrefsLogLevel::All)
            .unwrap();
        let driver = WebDriver::new(format!("http://127.0.0.1:{port}"), wanted)
            .await
            .expect("chromium starts; install it with `apt-get install chromium`");
        Browser { driver }
    }

    /// Leaves all that was before.
    async fn fresh_tab(&self) {
        let before = self.driver.windows().await.unwrap();
        let tab = self.driver.new_tab().await.unwrap();
        for old in before {
            self.driver.switch_to_window(old).await.unwrap();
            self.driver.close_window().await.unwrap();
        }
        self.driver.switch_to_window(tab).await.unwrap();
        self.complaints().await;
    }

    /// One command of the DevTools protocol.
    pub async fn devtools(&self, command: &str, parameters: Value) -> Value {
        let devtools = self.driver.cdp();
        devtools.send_raw(command, parameters).await.unwrap()
    }

    /// Runs this in every page before the page's own scripts.
    pub async fn before_scripts(&self, script: &str) {
        let command = "Page.addScriptToEvaluateOnNewDocument";
        self.devtools(command, json!({ "source": script })).await;
    }

    /// The value of a JavaScript expression.
    pub async fn value(&self, expression: &str) -> Value {
        self.driver
            .execute(format!("return ({expression})"), vec![])
            .await
            .unwrap()
            .json()
            .clone()
    }

    /// Waits until an expression has this value; says what it was instead.
    pub async fn expect(&self, expression: &str, expected: impl Into<Value>) {
        let expected = expected.into();
        let began = Instant::now();
        loop {
            let value = self.value(expression).await;
            if value == expected {
                return;
            }
            assert!(
                began.elapsed() < PATIENCE,
                "{expression}\n  is       {value}\n  expected {expected}"
            );
            tokio::time::sleep((began.elapsed() / 10).clamp(SOON, SELDOM)).await;
        }
    }

    /// Waits until an element, by id, has this text.
    pub async fn expect_text(&self, id: &str, text: &str) {
        let expression = format!("document.getElementById('{id}').textContent");
        self.expect(&expression, text).await;
    }

    /// Waits until an element, by id, is to be seen or not.
    pub async fn expect_visible(&self, id: &str, visible: bool) {
        let expression = format!("document.getElementById('{id}').checkVisibility()");
        self.expect(&expression, visible).await;
    }

    pub async fn click(&self, id: &str) {
        let element = self.driver.find(By::Id(id)).await.unwrap();
        element.click().await.unwrap();
    }

    /// Presses a key wherever the focus is.
    pub async fn press(&self, key: impl Into<TypingData>) {
        let chain = self.driver.action_chain();
        chain.send_keys(key).perform().await.unwrap();
    }

    /// Sets the window's size in CSS pixels and the preferred scheme.
    pub async fn look(&self, (width, height): (u32, u32), scheme: &str) {
        let metrics = json!({
            "width": width, "height": height, "deviceScaleFactor": 1, "mobile": false
        });
        self.devtools("Emulation.setDeviceMetricsOverride", metrics)
            .await;
        let features = json!({
            "features": [
                { "name": "prefers-color-scheme", "value": scheme },
                // Nothing moves while it is measured.
                { "name": "prefers-reduced-motion", "value": "reduce" },
            ]
        });
        self.devtools("Emulation.setEmulatedMedia", features).await;
    }

    pub async fn screenshot(&self, file: &Path) {
        self.driver.screenshot(file).await.unwrap();
    }

    /// What the page's console complained about: refused resources, script errors.
    pub async fn complaints(&self) -> Vec<String> {
        let log = self.driver.handle().browser_log().await.unwrap();
        log.into_iter()
            .map(|entry| format!("{}: {}", entry.level, entry.message))
            .collect()
    }
}
