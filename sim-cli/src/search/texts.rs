//! Layouts as scenarios that run where they are written.

use super::called;
use super::tables::aims_in_words;
use crate::output::OutputFile;
use crate::results::Searched;

/// A scenario for each layout that is put forward, and the files that it names beside it.
pub(crate) fn layout_files(of: &Searched<'_>) -> Vec<OutputFile> {
    let mut files: Vec<OutputFile> = of
        .named_files
        .iter()
        .map(|(path, text)| OutputFile::text(beside(path), text.clone()))
        .collect();
    for (place, named) in of.found.named.iter().enumerate() {
        let design = &of.found.judged[named.index].0;
        let Some(mut text) = of.layouts.text(design) else { continue };
        for (path, _) in &of.named_files {
            text = text.replace(&format!("\"{path}\""), &format!("\"{}\"", beside(path)));
        }
        // The schema that the base names is not beside this file.
        let text: String = text
            .lines()
            .filter(|line| !line.starts_with("#:schema"))
            .flat_map(|line| [line, "\n"])
            .collect();
        let name = called(named);
        let name = if name.is_empty() { String::new() } else { format!(" ({name})") };
        let mut head = format!(
            "# Layout {}{name} of the study \"{}\": {}\n",
            place + 1,
            of.study.title,
            aims_in_words(of, named.index)
        );
        for (at, variable) in of.study.goals.variables.iter().enumerate() {
            head.push_str(&format!("# {}: {}\n", variable.name, of.layouts.words(design, at)));
        }
        files.push(OutputFile::text(of.file_name(place), head + &text));
    }
    files
}

/// The name under which the file at `path` is beside the layouts.
fn beside(path: &str) -> String {
    path.replace(['/', '\\'], "-").trim_start_matches(['.', '-']).to_owned()
}
