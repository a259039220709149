//! What the package holds and needs, as cargo says.

use std::collections::BTreeSet;
use std::path::Path;
use std::process::Command;

use crate::source::files;

/// What cargo prints, without going to the network.
fn cargo(arguments: &[&str]) -> String {
    let run = Command::new(env!("CARGO"))
        .args(arguments)
        .arg("--offline")
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap();
    let talk = String::from_utf8_lossy(&run.stderr);
    assert!(run.status.success(), "cargo {arguments:?}: {talk}");
    String::from_utf8(run.stdout).unwrap()
}

#[test]
fn the_bare_library_needs_libm_and_num_traits_alone() {
    let tree = cargo(&[
        "tree",
        "-e",
        "normal",
        "--no-default-features",
        "--prefix",
        "none",
    ]);
    let names: BTreeSet<&str> = tree
        .lines()
        .filter_map(|line| line.split(' ').next())
        .collect();
    let wanted = BTreeSet::from(["libm", "markwright", "num-traits"]);
    assert_eq!(names, wanted);
}

/// The argument of each macro that takes a file into the program.
fn embedded(text: &str) -> Vec<&str> {
    let mut out = Vec::new();
    for name in ["include_str!(", "include_bytes!(", "include!("] {
        out.extend(text.split(name).skip(1));
    }
    out
}

/// Where a literal at the head of an argument leads, seen from its file: a file,
/// or with `concat!` what begins the names of several.
fn leads_to(file: &str, argument: &str) -> (String, bool) {
    let whole = argument.trim_start();
    let part = whole.strip_prefix("concat!(");
    let text = part.unwrap_or(whole).trim_start();
    let text = text
        .strip_prefix('"')
        .and_then(|text| text.split('"').next())
        .unwrap_or_else(|| panic!("{file}: {whole} begins with no literal"));
    let mut folder: Vec<&str> = file.split('/').collect();
    folder.pop();
    let mut rest = text;
    while let Some(above) = rest.strip_prefix("../") {
        folder.pop();
        rest = above;
    }
    folder.push(rest);
    (folder.join("/"), part.is_some())
}

fn below(folder: &Path, out: &mut Vec<String>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            below(&path, out);
        } else {
            let root = Path::new(env!("CARGO_MANIFEST_DIR"));
            let name = path.strip_prefix(root).unwrap().to_string_lossy();
            out.push(name.replace('\\', "/"));
        }
    }
}

#[test]
fn every_embedded_file_is_in_the_package() {
    let list = cargo(&["package", "--list", "--allow-dirty"]);
    let packaged: BTreeSet<&str> = list.lines().collect();
    assert!(packaged.contains("src/lib.rs"));
    let mut checked = 0;
    for file in files() {
        for argument in embedded(&file.text) {
            let (path, several) = leads_to(&file.path, argument);
            let mut names = vec![path.clone()];
            if several {
                names.clear();
                let folder = path.rsplit_once('/').map_or("", |(folder, _)| folder);
                below(
                    &Path::new(env!("CARGO_MANIFEST_DIR")).join(folder),
                    &mut names,
                );
                names.retain(|name| name.starts_with(&path));
            }
            assert!(!names.is_empty(), "{}: {path} leads nowhere", file.path);
            for name in names {
                assert!(
                    packaged.contains(name.as_str()),
                    "{name} of {} is not in the package",
                    file.path
                );
                checked += 1;
            }
        }
    }
    assert!(checked > 10, "only {checked} embedded files found");
}

#[test]
fn an_embedded_file_is_found_from_where_it_is_named() {
    let found = |argument| leads_to("src/data/formats.rs", argument);
    let one = found("\"../../sensors/formats.csv\");");
    assert_eq!(one, ("sensors/formats.csv".to_owned(), false));
    let several = found("concat!(\"../../charts/starter/\", $path))");
    assert_eq!(several, ("charts/starter/".to_owned(), true));
    assert_eq!(
        embedded("const A: &[u8] = include_bytes!(\"a.bin\");").len(),
        1
    );
}
