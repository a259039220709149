//! The house's arrows, read from the source: who may know whom.

mod source;

use source::{crate_paths, files, stripped};

/// What each folder of `src` may use beside itself.
const MAY_USE: [(&str, &[&str]); 16] = [
    ("numerics", &[]),
    ("units", &["numerics"]),
    ("formula", &["numerics", "units"]),
    ("optics", &["numerics", "units", "formula"]),
    ("gear", &["numerics", "units", "formula", "optics"]),
    ("scale", &["numerics", "units", "formula", "optics", "gear"]),
    (
        "answers",
        &["numerics", "units", "formula", "optics", "gear", "scale"],
    ),
    (
        "sheets",
        &[
            "numerics", "units", "formula", "optics", "gear", "scale", "answers",
        ],
    ),
    // `report` lists formats too, which `data` reads.
    (
        "report",
        &[
            "numerics", "units", "formula", "optics", "gear", "scale", "answers", "data",
        ],
    ),
    ("scene", &["numerics", "units"]),
    (
        "draw",
        &["numerics", "units", "gear", "scale", "sheets", "scene"],
    ),
    ("export", &["units", "scene"]),
    (
        "data",
        &[
            "numerics", "units", "formula", "optics", "gear", "scale", "answers", "sheets", "draw",
        ],
    ),
    (
        "cli",
        &[
            "numerics", "units", "formula", "optics", "gear", "scale", "answers", "sheets",
            "report", "scene", "draw", "export", "data",
        ],
    ),
    ("main", &["cli"]),
    ("lib", &[]),
];

/// Folders of the core: no files, clock, terminal, hash order or printing.
const CORE: [&str; 8] = [
    "numerics", "units", "formula", "optics", "gear", "scale", "answers", "sheets",
];

fn forbidden_arrows(folder: &str, text: &str) -> Vec<String> {
    let Some((_, allowed)) = MAY_USE.iter().find(|(name, _)| *name == folder) else {
        return vec![format!("{folder} is no folder of the house")];
    };
    crate_paths(text)
        .into_iter()
        .filter(|used| used != folder && !allowed.contains(&used.as_str()))
        .filter(|used| MAY_USE.iter().any(|(name, _)| name == used))
        .collect()
}

#[test]
fn nobody_knows_what_stands_above_him() {
    for file in files() {
        let wrong = forbidden_arrows(&file.folder, &stripped(&file.text));
        assert!(wrong.is_empty(), "{}: uses {wrong:?}", file.path);
    }
}

#[test]
fn a_planted_arrow_is_caught() {
    let planted = "use crate::{units::Length, cli::run};\nfn f() { crate::answers::depth() }";
    assert_eq!(forbidden_arrows("optics", planted), ["cli", "answers"]);
    assert!(forbidden_arrows("answers", "use crate::optics::{Circle, Gate};").is_empty());
    assert!(forbidden_arrows("optics", &stripped("// crate::cli is not meant\n")).is_empty());
}

#[test]
fn only_the_world_touches_files_environment_and_terminal() {
    let outside = [
        "std::fs",
        "std::env",
        "std::process",
        "std::time",
        "std::net",
        "std::thread",
        "io::stdout",
        "io::stderr",
        "io::stdin",
        "println!",
        "eprintln!",
        "print!(",
        "dbg!(",
        "SystemTime",
    ];
    for file in files() {
        if file.path.ends_with("cli/world.rs") {
            continue;
        }
        // The command gives its exit code; main hands over its arguments.
        let allowed: &[&str] = match file.path.as_str() {
            path if path.ends_with("main.rs") => &["std::env", "std::process"],
            path if path.contains("src/cli/") => &["std::process"],
            _ => &[],
        };
        let text = stripped(&file.text);
        for word in outside.iter().filter(|word| !allowed.contains(word)) {
            assert!(!text.contains(word), "{}: {word}", file.path);
        }
    }
}

#[test]
fn the_core_knows_no_hash_order_and_no_bytes_of_files() {
    for file in files()
        .into_iter()
        .filter(|file| CORE.contains(&file.folder.as_str()))
    {
        let text = stripped(&file.text);
        for word in ["HashMap", "HashSet", "std::io", "std::path", "Instant"] {
            assert!(!text.contains(word), "{}: {word}", file.path);
        }
    }
}

#[test]
fn libm_has_one_door() {
    // Rounding is exact on every machine, so it may be called where it is needed.
    let exact = [
        "libm::round",
        "libm::floor",
        "libm::ceil",
        "libm::fabs",
        "libm::sqrt",
    ];
    for file in files()
        .into_iter()
        .filter(|file| !file.path.ends_with("numerics/math.rs"))
    {
        let mut text = stripped(&file.text);
        for name in exact {
            text = text.replace(name, "");
        }
        assert!(
            !text.contains("libm::"),
            "{}: go through numerics::math",
            file.path
        );
    }
}

#[test]
fn no_file_is_too_long_and_none_is_unsafe() {
    for file in files() {
        let lines = file.text.lines().count();
        assert!(lines <= 600, "{} has {lines} lines", file.path);
        let text = stripped(&file.text);
        assert!(
            !text.contains("unsafe_code"),
            "{}: allows unsafe code",
            file.path
        );
        assert!(!text.contains("unsafe "), "{}: unsafe", file.path);
    }
}

#[test]
fn the_bare_library_needs_libm_and_num_traits_alone() {
    let manifest = include_str!("../../Cargo.toml");
    let section = manifest
        .split("[dependencies]")
        .nth(1)
        .unwrap()
        .split("\n[")
        .next()
        .unwrap();
    let bare: Vec<&str> = section
        .lines()
        .filter(|line| line.contains('=') && !line.contains("optional = true"))
        .map(|line| line.split('=').next().unwrap().trim())
        .collect();
    assert_eq!(bare, ["libm", "num-traits"]);
}

#[test]
fn every_embedded_file_is_in_the_package() {
    let manifest = include_str!("../../Cargo.toml");
    let include = manifest
        .split("include = [")
        .nth(1)
        .unwrap()
        .split(']')
        .next()
        .unwrap();
    let listed: Vec<&str> = include.split('"').skip(1).step_by(2).collect();
    let mut embedded = 0;
    for file in files() {
        for part in file.text.split("include_str!(\"").skip(1) {
            let name = part.split('"').next().unwrap().trim_start_matches("../");
            embedded += 1;
            let known = listed.iter().any(|pattern| {
                let pattern = pattern.trim_start_matches('/');
                match pattern.split_once('*') {
                    None => pattern == name,
                    Some((start, end)) => {
                        name.starts_with(start) && name.ends_with(end.trim_start_matches('*'))
                    }
                }
            });
            assert!(
                known,
                "{name} of {} is not in Cargo.toml's include",
                file.path
            );
        }
    }
    assert!(embedded > 2, "the search finds embedded files");
}
