//! What does the record mean to the user?

mod spraying;

pub use spraying::{
    Application, BoomFinding, HeldFinding, LossFinding, PumpDuty, SectionFinding, StepFindings,
    TipFinding, Verdict, Warning, Window,
};
