//! Reads the source as text.

use std::fs;
use std::path::Path;

/// One source file.
#[derive(Clone, Debug)]
pub struct Source {
    /// From the project's root.
    pub path: String,
    /// The folder below `src`, or the file's own name at the top.
    pub folder: String,
    /// What stands in it.
    pub text: String,
}

/// Every Rust file below `src`.
pub fn files() -> Vec<Source> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut out = Vec::new();
    walk(&root.join("src"), root, &mut out);
    out.sort_by(|a, b| a.path.cmp(&b.path));
    assert!(out.len() > 30, "only {} files found", out.len());
    out
}

fn walk(folder: &Path, root: &Path, out: &mut Vec<Source>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            walk(&path, root, out);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            let relative = path.strip_prefix(root).unwrap();
            let first = relative
                .components()
                .nth(1)
                .unwrap()
                .as_os_str()
                .to_string_lossy();
            out.push(Source {
                path: relative.to_string_lossy().replace('\\', "/"),
                folder: first.trim_end_matches(".rs").to_owned(),
                text: fs::read_to_string(&path).unwrap(),
            });
        }
    }
}

/// The code alone: comments and tests at the foot of a file left out.
pub fn stripped(text: &str) -> String {
    let code = match text.find("#[cfg(test)]\nmod ") {
        // A test module inside the file runs to its end; `mod tests;` is one line.
        Some(at)
            if text[at..]
                .lines()
                .nth(1)
                .is_some_and(|line| line.ends_with('{')) =>
        {
            &text[..at]
        }
        _ => text,
    };
    code.lines()
        .map(|line| line.split("//").next().unwrap_or(""))
        .collect::<Vec<_>>()
        .join("\n")
}

/// The first name after each `root::`, braces opened: `crate`, `super::super`.
pub fn paths_under(root: &str, text: &str) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    let start = format!("{root}::");
    for (at, _) in text.match_indices(&start) {
        // `my_crate::` and `super::super::` seen from its second half are others.
        let before = text[..at].chars().next_back();
        if before.is_some_and(|c| c.is_alphanumeric() || c == '_' || c == ':') {
            continue;
        }
        let rest = text[at + start.len()..].trim_start();
        let names: Vec<String> = match rest.strip_prefix('{') {
            None => vec![first_name(rest)],
            Some(list) => top_level(list)
                .iter()
                .map(|name| first_name(name))
                .collect(),
        };
        for name in names {
            if !name.is_empty() && !out.contains(&name) {
                out.push(name);
            }
        }
    }
    out
}

fn first_name(text: &str) -> String {
    text.trim()
        .chars()
        .take_while(|c| c.is_alphanumeric() || *c == '_')
        .collect()
}

/// The parts of a braced list at its own level.
fn top_level(list: &str) -> Vec<String> {
    let (mut depth, mut out) = (0, vec![String::new()]);
    for c in list.chars() {
        match c {
            '{' => depth += 1,
            '}' if depth == 0 => break,
            '}' => depth -= 1,
            ',' if depth == 0 => out.push(String::new()),
            _ => out.last_mut().unwrap().push(c),
        }
    }
    out
}
