//! `docs/kit.md` is made from the definitions that read a kit. It is written anew
//! by `UPDATE=1 cargo test --test readme kit`.

use std::fmt::Write;
use std::fs;
use std::path::Path;

use markwright::data::keys::{self, Form, Key, Need, Section, Waits, most};
use markwright::units::range::{self, Range};

const INTRO: &str = "\
# A kit, key by key

Made from the definitions that read a kit, by `UPDATE=1 cargo test --test readme kit`:
change `src/data/keys.rs`, not this page.

A kit is a folder of plain text files in UTF-8. `kit.toml` and `lenses.csv` must be there,
all else may; `markwright new DIR` writes one to begin with, and `markwright check` says
back what it has understood. An unknown key or column is an error that names the nearest
known one.

- **Distances** carry their unit: `8'6\"`, `8ft6 1/2in`, `102in`, `2.6m`, `260cm`,
  `2600mm`, and `inf` where it can be. A bare number is refused, except on a lens whose
  column `engraved` gives the unit of its own scale; a decimal number of feet is refused
  always. `8-6` is taken where `units` is feet.
- **Numbers** may have an exponent: `2.67e2` is 267. In a column ending in `_mm` or
  `_deg` they stand without a unit.
- **Stops** are `f/2.8`, `T2.9`, `T2.8 1/3` (a third closed), `T2.8/4` (midway). In
  `prep.csv` and `shots.csv` a bare number is of the lens's own kind.
- **Tables** (`.csv`) name their columns in the first line that does not begin with `#`.
  `;` or a tab between cells is taken where that line shows it, with decimal commas then.
  An empty cell is one that is left out.
- **Lists** stand in brackets in `kit.toml`, and with spaces between in a cell.
";

/// What one writes.
fn form(key: &Key) -> String {
    match key.form {
        Form::Words => "words".into(),
        Form::Name => "a name".into(),
        Form::Number(range) => format!("number{}", bounds(range)),
        Form::Whole(range) => format!("whole number{}", bounds(range)),
        Form::Numbers(range) => format!("number or list{}", bounds(range)),
        Form::Pair(range) => format!("list of two numbers{}", bounds(range)),
        Form::Length(range) => format!("length with its unit{}", bounds(range)),
        Form::Angle(range) => format!("angle with its unit{}", bounds(range)),
        Form::Distance => format!("distance{}", bounds(&range::DISTANCE)),
        Form::Stop => format!("stop{}", bounds(&range::F_NUMBER)),
        Form::OneOf(words) => {
            let words: Vec<String> = words.iter().map(|word| format!("`{word}`")).collect();
            words.join(", ")
        }
        Form::Other(words) => words.into(),
    }
}

fn bounds(range: &Range) -> String {
    format!(", {}", range.in_words())
}

/// What happens where the key is left out.
fn left_out(key: &Key) -> String {
    match key.need {
        Need::Needed => "**required**".into(),
        Need::Free => "optional".into(),
        Need::Or(usual) => format!("optional; then {usual}"),
    }
}

/// The example as it stands in the file.
fn example(section: &Section, key: &Key) -> String {
    if section.file != "kit.toml" {
        return format!("`{}`", key.example);
    }
    let bare = key.example.starts_with('[')
        || key.example.parse::<f64>().is_ok()
        || matches!(key.example, "true" | "false");
    if bare {
        format!("`{}`", key.example)
    } else {
        format!("`\"{}\"`", key.example)
    }
}

fn waits(section: &Section) -> Option<String> {
    match section.waits {
        Waits::Nothing => None,
        Waits::All => Some("Read and checked; no sheet and no answer uses it yet.".into()),
        Waits::These(keys) => {
            let keys: Vec<String> = keys.iter().map(|key| format!("`{key}`")).collect();
            Some(format!(
                "Read and checked, but not used yet: {}.",
                keys.join(", ")
            ))
        }
    }
}

fn reference() -> String {
    let mut out = String::from(INTRO);
    // Writing to a String cannot fail.
    let _ = writeln!(
        out,
        "- **At most** {} lenses, {} cameras, {} marks a lens, {} MiB a file.",
        most::LENSES,
        most::CAMERAS,
        most::MARKS,
        most::BYTES / (1024 * 1024)
    );
    let mut file = "";
    for section in keys::ALL {
        if section.file != file {
            file = section.file;
            let _ = writeln!(out, "\n## `{file}`");
        }
        if !section.heading.is_empty() {
            let _ = writeln!(out, "\n### `[{}]`", section.heading);
        }
        let mut about: Vec<char> = section.meaning.chars().collect();
        about[0] = about[0].to_ascii_uppercase();
        let _ = writeln!(out, "\n{}.", about.iter().collect::<String>());
        if let Some(waits) = waits(section) {
            let _ = writeln!(out, "{waits}");
        }
        let what = if section.file == "kit.toml" {
            "key"
        } else {
            "column"
        };
        let _ = writeln!(
            out,
            "\n| {what} | what it means | what one writes | required? | for example |\n\
             |---|---|---|---|---|"
        );
        for key in section.keys {
            let _ = writeln!(
                out,
                "| `{}` | {} | {} | {} | {} |",
                key.name,
                key.meaning,
                form(key),
                left_out(key),
                example(section, key)
            );
        }
    }
    out
}

#[test]
fn the_kit_reference_is_the_one_of_these_definitions() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/kit.md");
    let wanted = reference();
    if std::env::var_os("UPDATE").is_some() {
        fs::write(&path, &wanted).unwrap();
    }
    let written = fs::read_to_string(&path).unwrap_or_default();
    assert!(
        written == wanted,
        "docs/kit.md is stale: UPDATE=1 cargo test --test readme kit"
    );
}

#[test]
fn no_key_waits_that_is_not_there() {
    for section in keys::ALL {
        if let Waits::These(waiting) = section.waits {
            for name in waiting {
                assert!(section.key(name).is_some(), "{}: {name}", section.file);
            }
        }
    }
}

#[test]
fn no_cell_of_the_reference_breaks_its_table() {
    for line in reference().lines().filter(|line| line.starts_with('|')) {
        assert_eq!(line.matches('|').count(), 6, "{line}");
    }
}

#[test]
fn every_key_and_word_of_a_layout_is_explained_beside_the_layouts() {
    let words = super::read("charts/README.md");
    for section in keys::LAYOUTS {
        let file = super::read(&format!("charts/{}", section.file));
        for key in section.keys {
            assert!(words.contains(&format!("`{}`", key.name)), "{}", key.name);
            // What is embedded says everything it may say.
            let told = file
                .lines()
                .any(|line| line.starts_with(&format!("{} = ", key.name)));
            assert!(told, "{} of {}", key.name, section.file);
            if let Some(range) = key.form.range() {
                let said = format!("{} to {}", range.min, range.max);
                assert!(words.contains(&said), "{said} of {}", key.name);
            }
            for word in section.words_of(key.name) {
                assert!(words.contains(&format!("`{word}`")), "{word}");
                assert!(
                    file.contains(&format!("\"{word}\"")),
                    "{word} of {}",
                    section.file
                );
            }
        }
    }
}
