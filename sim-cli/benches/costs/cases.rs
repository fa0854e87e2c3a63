//! What is measured: shipped work, and one boom in many sizes.

use sim_cli::Streams;
use sim_core::fluids::water;
use sim_core::hydraulics::Solver;
use sim_core::scenario::{Files, Scenario, read};
use sim_core::simulation::run;
use std::ffi::OsString;
use std::hint::black_box;
use std::path::{Path, PathBuf};

/// Work that can be done again and again.
pub(crate) type Work = Box<dyn FnMut()>;

/// Cases of shipped work, each with what it does.
pub(crate) const SHIPPED: [(&str, &str); 7] = [
    ("steady", "first solve of the 36 m boom, 72 tips, pressure held"),
    ("priming", "`heron-36m-prime-centre`: 62 s of priming by spraying"),
    ("circulating", "`heron-36m-prime-one-end`: 45 s of circulating, 20 s of spraying"),
    ("purging", "`heron-36m-purge-together`: 90 s of purging"),
    ("sweep", "`compare --vary` of the tube's bore, five values, priming"),
    ("report", "`run --out` of `heron-36m-prime-centre`: tables, pictures, `report.html`"),
    ("diagnosis", "`diagnose` of `heron-left-end-short`"),
];

/// Numbers of tips of the boom that grows, sections of 12.
pub(crate) const TIPS: [usize; 6] = [12, 48, 120, 300, 768, 2016];
/// Numbers of tips of its purges, which cost most.
pub(crate) const PURGED_TIPS: [usize; 5] = [12, 48, 120, 300, 768];
/// Simulated seconds of the boom of 72 tips.
pub(crate) const SECONDS: [usize; 6] = [5, 10, 30, 100, 300, 1000];
/// Simulated seconds of its purge.
pub(crate) const PURGED_SECONDS: [usize; 5] = [5, 10, 30, 100, 300];

/// The work named `name`: one of [`SHIPPED`], or kind and size as `steady/720`.
pub(crate) fn work(name: &str) -> Work {
    let (kind, size) = name.split_once('/').unwrap_or((name, ""));
    let size: usize = size.parse().unwrap_or(72);
    match (kind, name.contains('/')) {
        ("steady", _) => steady(&boom(size, "spray", 0)),
        ("circulating", true) => through_time(boom(size, "circulate", 20)),
        ("circulating for", true) => through_time(boom(72, "circulate", size)),
        ("purging for", true) => through_time(boom(72, "purge", size)),
        ("purging", true) => through_time(boom(size, "purge", 10)),
        ("priming", _) => through_time(shipped("heron-36m-prime-centre")),
        ("circulating", _) => through_time(shipped("heron-36m-prime-one-end")),
        ("purging", _) => through_time(shipped("heron-36m-purge-together")),
        ("sweep", _) => {
            let vary = "boom.tube.bore=16 mm,19 mm,22 mm,25 mm,28 mm";
            command(&["compare", &scenario("heron-36m-prime-centre"), "--vary", vary])
        }
        ("report", _) => {
            let out = std::env::temp_dir().join("millstream-bench");
            command(&["run", &scenario("heron-36m-prime-centre"), "--out", &out.to_string_lossy()])
        }
        ("diagnosis", _) => {
            let readings = root().join("demo-data/readings/heron-left-end-short.toml");
            command(&["diagnose", &scenario("heron-36m-centre"), &readings.to_string_lossy()])
        }
        _ => panic!("no case is named {name}"),
    }
}

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().unwrap().to_path_buf()
}

fn scenario(name: &str) -> String {
    root().join(format!("scenarios/{name}.toml")).to_string_lossy().into_owned()
}

struct Beside(PathBuf);

impl Files for Beside {
    fn read(&self, path: &str) -> Result<String, String> {
        std::fs::read_to_string(self.0.join(path)).map_err(|error| error.to_string())
    }
}

fn shipped(name: &str) -> Scenario {
    let text = std::fs::read_to_string(scenario(name)).unwrap();
    read(&text, &Beside(root().join("scenarios"))).unwrap()
}

fn steady(boom: &Scenario) -> Work {
    let (plumbing, step) = (boom.machine.plumbing.clone(), boom.course.steps[0].clone());
    let (liquid, model) = (water(15.0), boom.course.model);
    Box::new(move || {
        let mut solver = Solver::new(&plumbing, &liquid, model);
        black_box(solver.solve(&step.settings, &step.controls)).unwrap();
    })
}

fn through_time(scenario: Scenario) -> Work {
    Box::new(move || {
        black_box(run(&scenario.machine, &scenario.course)).unwrap();
    })
}

fn command(args: &[&str]) -> Work {
    let args: Vec<OsString> = ["millstream"].iter().chain(args).map(OsString::from).collect();
    Box::new(move || {
        let (mut out, mut err) = (Vec::new(), Vec::new());
        let mut streams = Streams::unwatched(&mut out, &mut err);
        assert_eq!(
            sim_cli::run(args.clone(), &mut streams),
            0,
            "{}",
            String::from_utf8_lossy(&err)
        );
    })
}

/// A boom of `tips` tips in sections of 12, fed at one end and returned, in one step of `action`. What all sections
/// share is as much larger; hoses stay as long, so that each section does what it does on the boom of 72 tips.
fn boom(tips: usize, action: &str, seconds: usize) -> Scenario {
    let scale = tips as f64 / 72.0;
    let wide = |mm: f64| format!("\"{} mm\"", mm * scale.sqrt());
    let times = |value: f64, unit: &str| format!("\"{} {unit}\"", value * scale);
    let points: Vec<String> =
        [(0.0, 67.0), (200.0, 64.0), (400.0, 53.0), (600.0, 36.0), (700.0, 24.0)]
            .iter()
            .map(|(flow, head)| format!("[{}, \"{head} m\"]", times(*flow, "L/min")))
            .collect();
    let step = match action {
        "spray" => String::new(),
        "circulate" => format!("for = \"{seconds} s\"\npump = \"80 %\""),
        _ => format!("for = \"{seconds} s\""),
    };
    let text = format!(
        "[tank]\ncapacity = {tank}\nholds = {tank}\ninlet_above_boom = \"0.9 m\"\n\
         [pump]\npoints = [{points}]\nsuction = {{ bore = {suction}, length = \"2.2 m\", losses = 2.5 }}\n\
         [control]\nhold = \"3 bar\"\n\
         [boom]\nwidth = \"{width} m\"\nfeed = \"one end\"\nreturn = true\nsections = {sections}\n\
         tips_per_section = 12\ntube = {{ bore = \"22 mm\", material = \"stainless\" }}\n\
         [supply]\nmain = {{ bore = {main}, length = \"6 m\", losses = 5 }}\n\
         hose = {{ bore = \"25 mm\", length = \"6 m\", losses = 3 }}\nsection_valve = {{ kv = \"9 m3/h\" }}\n\
         [return_path]\nhose = {{ bore = \"19 mm\", length = \"6 m\", losses = 3 }}\n\
         main = {{ bore = {back}, length = \"5 m\", losses = 5 }}\nvalve = {{ kv = {valve} }}\n\
         [tips]\nsize = \"04\"\n\
         [air]\nregulated = \"2 bar\"\ncompressor = {air}\nvalve = {{ conductance = {conductance}, critical_ratio = 0.3 }}\n\
         check = {{ kv = {check}, opens_at = \"0.05 bar\" }}\n\
         [start]\nlines_hold = \"{full} %\"\n[[step]]\ndo = \"{action}\"\n{step}\n",
        tank = times(4000.0, "L"),
        points = points.join(", "),
        suction = wide(63.0),
        width = 0.5 * tips as f64,
        sections = tips / 12,
        main = wide(50.0),
        back = wide(45.0),
        valve = times(20.0, "m3/h"),
        air = times(600.0, "L/min"),
        conductance = times(4.0, "L/(s bar)"),
        check = times(60.0, "m3/h"),
        full = if action == "purge" { 100 } else { 0 },
    );
    read(&text, &Beside(root())).unwrap_or_else(|faults| panic!("{faults:?}\n{text}"))
}
