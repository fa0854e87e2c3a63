//! A page in a browser without a window.

use checks::command::millstream;
use checks::root;
use headless_chrome::browser::tab::point::Point;
use headless_chrome::protocol::cdp::types::Event;
use headless_chrome::{Browser, LaunchOptions, Tab};
use serde_json::Value;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};
use std::time::Duration;

/// Names under which the browser is found on a machine's path.
const NAMES: [&str; 4] = ["chromium", "chromium-browser", "google-chrome", "google-chrome-stable"];

/// The browser of this machine, if there is one.
fn found() -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    let folders: Vec<PathBuf> = std::env::split_paths(&path).collect();
    NAMES
        .iter()
        .flat_map(|name| folders.iter().map(move |folder| folder.join(name)))
        .find(|p| p.is_file())
}

/// A page that is open.
pub(crate) struct Page {
    /// Kept for as long as the page is looked at.
    _browser: Browser,
    pub(crate) tab: Arc<Tab>,
    troubles: Arc<Mutex<Vec<String>>>,
}

impl Page {
    /// Opens the file at `path`, whose script must run, in a window of `size`; `None`, with a word why, without a browser.
    pub(crate) fn open(path: &Path, size: (u32, u32)) -> Option<Self> {
        let page = Self::open_still(path, size)?;
        let ready = page.ask("document.documentElement.dataset.ready");
        assert_eq!(ready, "true", "{:?}", page.troubles());
        Some(page)
    }

    /// The same for a page without a script.
    pub(crate) fn open_still(path: &Path, size: (u32, u32)) -> Option<Self> {
        let Some(program) = found() else {
            eprintln!("skipped: no browser on this machine (one of {})", NAMES.join(", "));
            return None;
        };
        let options = LaunchOptions {
            path: Some(program),
            sandbox: false,
            window_size: Some(size),
            idle_browser_timeout: Duration::from_secs(120),
            ..LaunchOptions::default()
        };
        let browser = Browser::new(options).unwrap();
        let tab = browser.new_tab().unwrap();
        let troubles = Arc::new(Mutex::new(Vec::new()));
        let heard = troubles.clone();
        tab.enable_log().unwrap();
        tab.enable_runtime().unwrap();
        tab.add_event_listener(Arc::new(move |event: &Event| {
            let trouble = match event {
                Event::RuntimeExceptionThrown(thrown) => {
                    format!("{:?}", thrown.params.exception_details)
                }
                Event::LogEntryAdded(entry) => entry.params.entry.text.clone(),
                Event::RuntimeConsoleAPICalled(call) => format!("{:?}", call.params.args),
                Event::NetworkRequestWillBeSent(sent) => sent.params.request.url.clone(),
                _ => return,
            };
            heard.lock().unwrap().push(trouble);
        }))
        .unwrap();
        tab.navigate_to(&format!("file://{}", path.display())).unwrap();
        tab.wait_until_navigated().unwrap();
        Some(Self { _browser: browser, tab, troubles })
    }

    /// What the page's console said.
    pub(crate) fn troubles(&self) -> Vec<String> {
        self.troubles.lock().unwrap().clone()
    }

    /// The value of `expression` on the page.
    pub(crate) fn ask(&self, expression: &str) -> Value {
        let result = self.tab.evaluate(expression, false).unwrap();
        result.value.unwrap_or(Value::Null)
    }

    pub(crate) fn number(&self, expression: &str) -> f64 {
        self.ask(expression).as_f64().unwrap_or_else(|| panic!("{expression} is no number"))
    }

    pub(crate) fn text(&self, expression: &str) -> String {
        let value = self.ask(expression);
        value.as_str().unwrap_or_else(|| panic!("{expression} gives {value}")).to_owned()
    }

    /// Puts the slider of time at `share` of its way, as a hand does.
    pub(crate) fn slide_to(&self, share: f64) {
        self.ask(&format!(
            "(() => {{ const s = document.querySelector('input.time'); s.value = {share} * s.max; \
             s.dispatchEvent(new Event('input', {{ bubbles: true }})); return true; }})()"
        ));
    }

    /// Moves the pointer over the element that `selector` finds, a line on a third of its way, anything else in
    /// its middle; returns the figures told there.
    pub(crate) fn point_at(&self, selector: &str) -> Value {
        let at = self.text(&format!(
            "(() => {{ const e = document.querySelector('{selector}'); e.scrollIntoView({{ block: 'center' }}); \
             const b = e.getBoundingClientRect(); \
             if (!e.classList.contains('hit')) return `${{b.left + b.width / 2}} ${{b.top + b.height / 2}}`; \
             const p = e.getPointAtLength(e.getTotalLength() / 3).matrixTransform(e.getScreenCTM()); \
             return `${{p.x}} ${{p.y}}`; }})()"
        ));
        let (x, y) = at.split_once(' ').unwrap();
        let point = Point { x: x.parse().unwrap(), y: y.parse().unwrap() };
        self.tab.move_mouse_to_point(point).unwrap();
        let told = self.text(
            "JSON.stringify(Object.fromEntries([...document.querySelectorAll('.pointer dd')].map((d) => \
             [d.dataset.figure, d.textContent]).concat([['name', \
             document.querySelector('.pointer b')?.textContent ?? '']])))",
        );
        serde_json::from_str(&told).unwrap()
    }
}

/// A run of a shipped scenario: the folder with its files, and its summary.
pub(crate) struct Run {
    pub(crate) folder: tempfile::TempDir,
    pub(crate) summary: Value,
}

impl Run {
    pub(crate) fn of(scenario: &str) -> Self {
        Self::of_file(&root().join(format!("scenarios/{scenario}.toml")))
    }

    pub(crate) fn of_file(path: &Path) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let out = folder.path().to_string_lossy().into_owned();
        let printed = millstream(&["run", &path.to_string_lossy(), "--out", &out]);
        assert_eq!(printed.code, 0, "{}", printed.err);
        let text = std::fs::read_to_string(folder.path().join("summary.json")).unwrap();
        Self { folder, summary: serde_json::from_str(&text).unwrap() }
    }

    pub(crate) fn page(&self) -> PathBuf {
        self.folder.path().join("report.html")
    }
}
