//! The rules, each a function from one source file to its faults.

use crate::source::{Source, paths_under, stripped};

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

/// Who may be known: the arrows of the house.
pub fn arrows(file: &Source) -> Vec<String> {
    let Some((_, allowed)) = MAY_USE.iter().find(|(name, _)| *name == file.folder) else {
        return vec![format!("{} is no folder of the house", file.folder)];
    };
    let text = stripped(&file.text);
    let mut used = paths_under("crate", &text);
    // The binary and the tests know the library by its name.
    used.extend(paths_under("markwright", &text));
    // From a file of a folder two steps up are the top, from one below it three.
    let depth = file.path.matches('/').count() - usize::from(file.path.ends_with("/mod.rs"));
    used.extend(paths_under(&vec!["super"; depth].join("::"), &text));
    used.retain(|used| *used != file.folder && !allowed.contains(&used.as_str()));
    used.retain(|used| MAY_USE.iter().any(|(name, _)| name == used));
    used.dedup();
    used
}

/// Only `cli/world.rs` touches files, environment, clock and terminal.
pub fn outside_world(file: &Source) -> Vec<String> {
    if file.path == "src/cli/world.rs" {
        return Vec::new();
    }
    // The command gives its exit code; main hands over its arguments.
    let allowed: &[&str] = match (file.folder.as_str(), file.path.as_str()) {
        (_, "src/main.rs") => &["env", "process"],
        ("cli", _) => &["process"],
        _ => &[],
    };
    let text = stripped(&file.text);
    let modules = ["fs", "env", "process", "time", "net", "thread"];
    let mut out = paths_under("std", &text);
    out.retain(|name| modules.contains(&name.as_str()) && !allowed.contains(&name.as_str()));
    out.extend(holds(
        &text,
        &[
            "stdout",
            "stderr()",
            "stdin",
            "println!",
            "eprintln!",
            "print!(",
            "dbg!(",
            "SystemTime",
            "Instant",
        ],
    ));
    out
}

/// The core has no hash order and no files; the same input gives the same bytes.
pub fn core_only(file: &Source) -> Vec<String> {
    if !CORE.contains(&file.folder.as_str()) {
        return Vec::new();
    }
    let text = stripped(&file.text);
    let mut out = paths_under("std", &text);
    out.retain(|name| ["io", "path", "ffi", "os"].contains(&name.as_str()));
    out.extend(holds(
        &text,
        &[
            "HashMap",
            "HashSet",
            "RandomState",
            "thread_local!",
            "todo!",
            "unimplemented!",
        ],
    ));
    out
}

/// Transcendental functions have one door, `numerics/math.rs`.
pub fn one_door_to_libm(file: &Source) -> Vec<String> {
    if file.path == "src/numerics/math.rs" {
        return Vec::new();
    }
    // Rounding and the square root are exact on every machine (IEEE 754), so no
    // door is needed for them; std's are missing where there is no std.
    const EXACT: [&str; 5] = ["round", "floor", "ceil", "fabs", "sqrt"];
    let mut out = paths_under("libm", &stripped(&file.text));
    out.retain(|name| !EXACT.contains(&name.as_str()));
    out
}

/// At 600 lines a file is to be split.
pub fn length(file: &Source) -> Vec<String> {
    let lines = file.text.lines().count();
    let fault = (lines > 600).then(|| format!("{lines} lines"));
    fault.into_iter().collect()
}

/// Whether a file lifts the ban on unsafe code.
pub fn lifts_the_ban(file: &Source) -> bool {
    let text = stripped(&file.text);
    text.contains("unsafe_code") || text.contains("unsafe ")
}

fn holds(text: &str, words: &[&str]) -> Vec<String> {
    let found = words.iter().filter(|word| text.contains(**word));
    found.map(|word| (*word).to_owned()).collect()
}
