//! A machine that several examples use, and how they tell its reader's faults.

use sim_core::scenario::InputFault;

/// Three sections of eight tips, fed in their middle.
pub(crate) const MACHINE: &str = r#"
    title = "Three sections"
    [tank]
    holds = "600 L"
    [pump]
    points = [["0 L/min", "6 bar"], ["80 L/min", "5 bar"], ["160 L/min", "3 bar"]]
    suction = { bore = "38 mm", length = "2 m" }
    [boom]
    width = "12 m"
    sections = 3
    tips_per_section = 8
    feed = "centre"
    tube = { bore = "20 mm", material = "stainless" }
    [supply]
    main = { bore = "25 mm", length = "3 m" }
    hose = { bore = "19 mm", losses = ["elbow 90", "barb"] }
    section_valve = { kv = "6 m3/h" }
    [tips]
    size = "03"
    [control]
    hold = "2.5 bar"
"#;

/// All of `faults` in a line.
pub(crate) fn said(faults: Vec<InputFault>) -> String {
    faults.into_iter().map(|fault| fault.message).collect::<Vec<_>>().join("; ")
}
