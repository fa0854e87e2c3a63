//! A page in a browser without a window.

use crate::wire::Wire;
use checks::command::millstream;
use checks::root;
use serde_json::{Value, json};
use std::cell::RefCell;
use std::path::{Path, PathBuf};

/// A page that is open.
pub(crate) struct Page {
    wire: RefCell<Wire>,
    address: String,
}

impl Page {
    /// Opens the file at `path`, whose script must run, in a window of `size`, px; `None`, with a word why, without a browser.
    pub(crate) fn open(path: &Path, size: (u32, u32)) -> Option<Self> {
        let page = Self::open_still(path, size)?;
        let ready = page.ask("document.documentElement.dataset.ready");
        assert_eq!(ready, "true", "{:?}", page.troubles());
        Some(page)
    }

    /// The same for a page without a script.
    pub(crate) fn open_still(path: &Path, size: (u32, u32)) -> Option<Self> {
        let wire = RefCell::new(Wire::start()?);
        let page = Self { wire, address: format!("file://{}", path.display()) };
        for part in ["Page", "Runtime", "Log", "Network"] {
            page.call(&format!("{part}.enable"), json!({}));
        }
        page.resize(size);
        page.call("Page.navigate", json!({ "url": page.address }));
        page.wire.borrow_mut().wait_for("Page.loadEventFired");
        Some(page)
    }

    /// Makes the window as large as this, px.
    pub(crate) fn resize(&self, (width, height): (u32, u32)) {
        let metrics =
            json!({ "width": width, "height": height, "deviceScaleFactor": 1, "mobile": false });
        self.call("Emulation.setDeviceMetricsOverride", metrics);
    }

    /// What `method` of the debugging protocol answers.
    pub(crate) fn call(&self, method: &str, params: Value) -> Value {
        self.wire.borrow_mut().call(method, params)
    }

    /// What the page's console said, what it threw, and what it asked for besides itself.
    pub(crate) fn troubles(&self) -> Vec<String> {
        // The answer comes after every event before it.
        self.ask("true");
        let wire = self.wire.borrow();
        let trouble = |event: &Value| {
            let params = &event["params"];
            let trouble = match event["method"].as_str()? {
                "Runtime.exceptionThrown" => &params["exceptionDetails"],
                "Log.entryAdded" => &params["entry"]["text"],
                "Runtime.consoleAPICalled" => &params["args"],
                "Network.requestWillBeSent" => &params["request"]["url"],
                _ => return None,
            };
            (*trouble != *self.address).then(|| trouble.to_string())
        };
        wire.events().iter().filter_map(trouble).collect()
    }

    /// Has the page see `feature` of its medium at `value`.
    pub(crate) fn emulate(&self, feature: &str, value: &str) {
        let features = json!([{ "name": feature, "value": value }]);
        self.call("Emulation.setEmulatedMedia", json!({ "features": features }));
    }

    /// Presses a key that has the number `code` and writes `text`.
    pub(crate) fn press(&self, key: &str, code: u32, text: &str) {
        for kind in ["keyDown", "keyUp"] {
            let text = if kind == "keyDown" { text } else { "" };
            let key = json!({ "type": kind, "key": key, "code": key,
                "windowsVirtualKeyCode": code, "text": text });
            self.call("Input.dispatchKeyEvent", key);
        }
    }

    /// Presses the pointer's button in the middle of the element that `selector` finds, in the window as it is scrolled.
    pub(crate) fn click(&self, selector: &str) {
        let (x, y) = self.place(&format!(
            "(() => {{ const b = document.querySelector('{selector}').getBoundingClientRect(); \
             return `${{b.left + b.width / 2}} ${{b.top + b.height / 2}}`; }})()"
        ));
        for kind in ["mouseMoved", "mousePressed", "mouseReleased"] {
            let button = if kind == "mouseMoved" { "none" } else { "left" };
            let event = json!({ "type": kind, "x": x, "y": y, "button": button, "clickCount": 1 });
            self.call("Input.dispatchMouseEvent", event);
        }
    }

    /// Two numbers that `expression` gives as text.
    fn place(&self, expression: &str) -> (f64, f64) {
        let text = self.text(expression);
        let (x, y) = text.split_once(' ').unwrap();
        (x.parse().unwrap(), y.parse().unwrap())
    }

    /// The value of `expression` on the page.
    pub(crate) fn ask(&self, expression: &str) -> Value {
        let answer = self.call(
            "Runtime.evaluate",
            json!({ "expression": expression, "returnByValue": true, "userGesture": true }),
        );
        assert!(
            answer["exceptionDetails"].is_null(),
            "{expression}: {}",
            answer["exceptionDetails"]
        );
        answer["result"]["value"].clone()
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
        let (x, y) = self.place(&format!(
            "(() => {{ const e = document.querySelector('{selector}'); e.scrollIntoView({{ block: 'center' }}); \
             const b = e.getBoundingClientRect(); \
             if (!e.classList.contains('hit')) return `${{b.left + b.width / 2}} ${{b.top + b.height / 2}}`; \
             const p = e.getPointAtLength(e.getTotalLength() / 3).matrixTransform(e.getScreenCTM()); \
             return `${{p.x}} ${{p.y}}`; }})()"
        ));
        let event = json!({ "type": "mouseMoved", "x": x, "y": y });
        self.call("Input.dispatchMouseEvent", event);
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
