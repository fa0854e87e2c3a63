//! A browser without a window, driven over a pair of pipes by its debugging protocol: messages in JSON, each ended by a zero
//! byte.

use serde_json::{Value, json};
use std::io::{BufRead as _, BufReader, Write as _};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdin, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::{Duration, Instant};

/// Names under which the browser is found on a machine's path.
const NAMES: [&str; 4] = ["chromium", "chromium-browser", "google-chrome", "google-chrome-stable"];
/// Longest that one answer may take: the machine may be busy with other tests.
const PATIENCE: Duration = Duration::from_secs(120);
/// The protocol is spoken on the third and fourth file of the process.
const ON_ITS_PIPES: &str = "exec \"$0\" \"$@\" 3<&0 4>&1 </dev/null >/dev/null 2>&1";

/// The browser of this machine, if there is one.
fn found() -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    let folders: Vec<PathBuf> = std::env::split_paths(&path).collect();
    NAMES
        .iter()
        .flat_map(|name| folders.iter().map(move |folder| folder.join(name)))
        .find(|p| p.is_file())
}

/// A browser that runs, with one page.
pub(crate) struct Wire {
    process: Child,
    /// Where messages go; nothing once the browser is to end.
    to: Option<ChildStdin>,
    from: Receiver<Value>,
    last_id: u64,
    session: Option<String>,
    events: Vec<Value>,
    /// What the browser keeps on the disk while it runs.
    _profile: tempfile::TempDir,
}

impl Wire {
    /// Starts the browser; `None`, with a word why, without one.
    pub(crate) fn start() -> Option<Self> {
        let Some(program) = found() else {
            eprintln!("skipped: no browser on this machine (one of {})", NAMES.join(", "));
            return None;
        };
        let profile = tempfile::tempdir().unwrap();
        let mut process = launch(&program, profile.path());
        let to = process.stdin.take();
        let (send, from) = channel();
        let mut answers = BufReader::new(process.stdout.take().unwrap());
        std::thread::spawn(move || {
            let mut bytes = Vec::new();
            while answers.read_until(0, &mut bytes).is_ok_and(|count| count > 0) {
                let message = serde_json::from_slice(&bytes[..bytes.len() - 1]).unwrap();
                if send.send(message).is_err() {
                    return;
                }
                bytes.clear();
            }
        });
        let events = Vec::new();
        let mut wire =
            Self { process, to, from, last_id: 0, session: None, events, _profile: profile };
        let page = wire.call("Target.createTarget", json!({ "url": "about:blank" }));
        let page = json!({ "targetId": page["targetId"], "flatten": true });
        let session = wire.call("Target.attachToTarget", page);
        wire.session = session["sessionId"].as_str().map(str::to_owned);
        Some(wire)
    }

    /// What `method` of the protocol answers; events on the way are kept.
    ///
    /// # Panics
    /// If the browser refuses, ends or does not answer.
    pub(crate) fn call(&mut self, method: &str, params: Value) -> Value {
        self.last_id += 1;
        let mut message = json!({ "id": self.last_id, "method": method, "params": params });
        if let Some(session) = &self.session {
            message["sessionId"] = session.as_str().into();
        }
        let text = message.to_string() + "\0";
        self.to.as_mut().unwrap().write_all(text.as_bytes()).unwrap();
        loop {
            let message = self.next(method);
            if message["id"] == self.last_id {
                assert!(message["error"].is_null(), "{method}: {}", message["error"]);
                return message["result"].clone();
            }
            self.events.push(message);
        }
    }

    /// Waits for the event called `name`.
    ///
    /// # Panics
    /// If it does not come.
    pub(crate) fn wait_for(&mut self, name: &str) {
        while !self.events.iter().any(|event| event["method"] == name) {
            let event = self.next(name);
            self.events.push(event);
        }
    }

    /// Everything that the page has reported so far.
    pub(crate) fn events(&self) -> &[Value] {
        &self.events
    }

    fn next(&self, awaited: &str) -> Value {
        let message = self.from.recv_timeout(PATIENCE);
        message.unwrap_or_else(|why| panic!("{awaited}: the browser gives no answer, {why}"))
    }
}

fn launch(program: &Path, profile: &Path) -> Child {
    Command::new("sh")
        .args(["-c", ON_ITS_PIPES])
        .arg(program)
        .arg(format!("--user-data-dir={}", profile.display()))
        .args(["--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars"])
        .args(["--no-first-run", "--disable-extensions", "--disable-background-networking"])
        .args(["--disable-dev-shm-usage", "--remote-debugging-pipe"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap()
}

impl Drop for Wire {
    /// A browser whose pipe is closed ends by itself; one that does not is ended.
    fn drop(&mut self) {
        self.to = None;
        let until = Instant::now() + Duration::from_secs(10);
        while self.process.try_wait().is_ok_and(|code| code.is_none()) {
            if Instant::now() > until {
                let _ = self.process.kill();
            }
            std::thread::sleep(Duration::from_millis(20));
        }
    }
}
