//! The words and marks of Rust code, without comments, texts and what only tests compile.

/// Words, numbers, `::` and single marks of `code`, in their order. Comments are left out, texts and letters in quotes
/// are one `"` each.
pub(super) fn tokens(code: &str) -> Vec<&str> {
    let mut found = Vec::new();
    let mut rest = code;
    while let Some(first) = rest.chars().next() {
        let length = match first {
            _ if rest.starts_with("//") => rest.find('\n').unwrap_or(rest.len()),
            _ if rest.starts_with("/*") => comment(rest),
            _ if raw(rest).is_some() || first == '"' => {
                found.push("\"");
                raw(rest).unwrap_or_else(|| quoted(rest, '"'))
            }
            '\'' if is_letter(rest) => {
                found.push("\"");
                quoted(rest, '\'')
            }
            _ if first.is_whitespace() => first.len_utf8(),
            _ => {
                let word = rest.find(|c: char| !(c.is_alphanumeric() || c == '_'));
                let length = match word.unwrap_or(rest.len()) {
                    0 if rest.starts_with("::") => 2,
                    0 => first.len_utf8(),
                    word => word,
                };
                found.push(&rest[..length]);
                length
            }
        };
        rest = &rest[length..];
    }
    found
}

/// Length of the comment between marks that opens `rest`; such comments nest.
fn comment(rest: &str) -> usize {
    let (mut depth, mut at) = (0, 0);
    while at < rest.len() {
        match rest.as_bytes()[at..] {
            [b'/', b'*', ..] => (depth, at) = (depth + 1, at + 2),
            [b'*', b'/', ..] => (depth, at) = (depth - 1, at + 2),
            _ => at += 1,
        }
        if depth == 0 {
            break;
        }
    }
    at
}

/// Length of what stands between quotes at the start of `rest`.
fn quoted(rest: &str, quote: char) -> usize {
    let mut escaped = false;
    for (at, c) in rest.char_indices().skip(1) {
        match c {
            _ if escaped => escaped = false,
            '\\' => escaped = true,
            c if c == quote => return at + 1,
            _ => {}
        }
    }
    rest.len()
}

/// Length of the raw text that opens `rest`, if one does.
fn raw(rest: &str) -> Option<usize> {
    let body = rest.strip_prefix("br").or_else(|| rest.strip_prefix('r'))?;
    let hashes = body.len() - body.trim_start_matches('#').len();
    let text = body[hashes..].strip_prefix('"')?;
    let end = format!("\"{}", "#".repeat(hashes));
    Some(rest.len() - text.len() + text.find(&end)? + end.len())
}

/// Whether the quote that opens `rest` holds a letter rather than names a lifetime.
fn is_letter(rest: &str) -> bool {
    let mut letters = rest.chars().skip(1);
    letters.next() == Some('\\') || letters.next() == Some('\'')
}

/// `tokens` without the items that only tests compile.
pub(super) fn outside_tests(tokens: &[&str]) -> Vec<String> {
    const MARK: [&str; 7] = ["#", "[", "cfg", "(", "test", ")", "]"];
    let (mut kept, mut at) = (Vec::new(), 0);
    while at < tokens.len() {
        if tokens[at..].starts_with(&MARK) {
            at += MARK.len() + item(&tokens[at + MARK.len()..]);
        } else {
            kept.push(tokens[at].to_owned());
            at += 1;
        }
    }
    kept
}

/// How many of `tokens` the item takes that opens them.
fn item(tokens: &[&str]) -> usize {
    let mut depth = 0;
    for (at, token) in tokens.iter().enumerate() {
        match *token {
            "{" => depth += 1,
            "}" => depth -= 1,
            _ => {}
        }
        let ends = *token == ";" || (*token == "}" && tokens[0] != "use");
        if depth == 0 && ends {
            return at + 1;
        }
    }
    tokens.len()
}

#[test]
fn comments_texts_and_tests_are_no_code() {
    let code = "/* a::b /* c */ */ let x = \"d::e \\\" f\"; // g::h\n let y = ['\\'', 'i']; fn z<'a>() {}\n\
        let r = r#\"j \" k\"#;\n#[cfg(test)]\nmod tests { use m::n; }\nl::o()";
    let found = outside_tests(&tokens(code)).join(" ");
    assert_eq!(
        found,
        "let x = \" ; let y = [ \" , \" ] ; fn z < ' a > ( ) { } let r = \" ; l :: o ( )"
    );
}
