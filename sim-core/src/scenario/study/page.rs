//! The format of studies for editors and readers.

use super::super::reference::tables;
use super::super::schema::titled;
use super::spec::STUDY;
use serde_json::Value;

/// The format of studies as a JSON Schema (draft 2020-12).
pub fn study_schema() -> Value {
    titled(&STUDY, "Millstream study")
}

/// The format of studies as a page of Markdown: every table and key.
pub fn study_reference() -> String {
    let mut page = String::from(INTRODUCTION);
    tables(&mut page, &STUDY);
    page
}

const INTRODUCTION: &str = "# The study file

This page is written by `millstream reference study`, the [JSON Schema](study.schema.json) by `millstream schema study`; a test keeps
them in step with the program.

A study is one TOML file beside a scenario: it says what of the machine is uncertain (`run --uncertain --study FILE`), and what a search
may vary, aims at and must keep (`search FILE`). Values are written as in [scenarios](scenario.md). A setting goes by its names from the top of the scenario down, joined by dots, a step by its name or
number: `supply.hose.bore`, `step.spray.pump`. Unknown keys are errors.
";
