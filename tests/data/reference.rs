//! The table of keys against the readers: what it gives as example is taken, and
//! every word it offers is one.

use markwright::data::keys::{self, Form, Key, Section};
use markwright::data::{Kind, MemoryFiles, kit};

use crate::given::{KIT, LENSES, MARKS};

/// The small kit with one key of a section set.
fn with_key(section: &Section, key: &Key, text: &str) -> MemoryFiles {
    let files = MemoryFiles::new();
    let good = |name: &str| name != section.file;
    let files = match good("kit.toml") {
        true => files.with("kit.toml", KIT),
        false => files.with("kit.toml", toml(section, key, text)),
    };
    let files = match good("lenses.csv") {
        true => files.with("lenses.csv", LENSES.replace("75,75,", "Z,25..250,")),
        false => files.with("lenses.csv", csv(section, key, text)),
    };
    match section.file {
        "marks/ID.csv" => {
            let marks = match key.name {
                "distance" | "position_mm" => MARKS.replace("inf,10,eye", &marks_row(key, text)),
                name if name.starts_with("position_") => {
                    let other = text.parse::<f64>().unwrap() + 0.1;
                    format!("distance,{name}\ninf,{text}\n3',{other}\n")
                }
                name => format!("distance,position_mm,{name}\ninf,1,{text}\n3',9,{text}\n"),
            };
            files.with("marks/40.csv", marks)
        }
        "zoom/ID.csv" => files.with("zoom/Z.csv", csv(section, key, text)),
        "breathing/ID.csv" => files.with("breathing/40.csv", csv(section, key, text)),
        "prep.csv" | "shots.csv" => files.with(section.file, csv(section, key, text)),
        _ => files,
    }
}

fn marks_row(key: &Key, text: &str) -> String {
    match key.name {
        "distance" => format!("{text},49,read"),
        _ => format!("inf,{text},read"),
    }
}

/// A header and a row: what is needed, and the key.
fn csv(section: &Section, key: &Key, text: &str) -> String {
    let mut cells: Vec<(&str, String)> = Vec::new();
    for known in section.keys {
        if known.name == key.name {
            cells.push((known.name, text.to_owned()));
        } else if known.is_needed() {
            let cell = match known.name {
                "lens" => "40",
                "focal_mm" if key.name == "card_focals" => "25..250",
                other => section.key(other).unwrap().example,
            };
            cells.push((known.name, cell.to_owned()));
        }
    }
    let quoted = |(_, text): &(&str, String)| format!("\"{}\"", text.replace('"', "\"\""));
    let names: Vec<&str> = cells.iter().map(|(name, _)| *name).collect();
    let cells: Vec<String> = cells.iter().map(quoted).collect();
    format!("{}\n{}\n", names.join(","), cells.join(","))
}

fn toml(section: &Section, key: &Key, text: &str) -> String {
    let value = if text.starts_with('[') {
        text.to_owned()
    } else {
        format!("\"{text}\"")
    };
    let line = format!("{} = {value}\n", key.name);
    match section.heading {
        "" => format!("{line}[recording]\nformat = \"s35-3perf\"\n"),
        "recording" if matches!(key.name, "format" | "gate") => format!("[recording]\n{line}"),
        "recording" => format!("[recording]\nformat = \"s35-3perf\"\n{line}"),
        "[hand_unit]" => format!("{KIT}[[hand_unit]]\n{line}"),
        "sharpness" => format!("[recording]\nformat = \"s35-3perf\"\n[sharpness]\n{line}"),
        other => format!("{KIT}[{other}]\n{line}"),
    }
}

/// What is told of the key itself, but for what it lacks beside it.
fn told(section: &Section, key: &Key, text: &str) -> Vec<String> {
    let faults = match kit::read(&with_key(section, key, text)) {
        Ok((_, warnings)) => warnings,
        Err(faults) => faults,
    };
    let own = faults.iter().filter(|fault| {
        let at = fault.place.as_ref().and_then(|place| place.key.as_deref());
        at == Some(key.name) && !matches!(fault.kind, Kind::Missing)
    });
    own.map(|fault| format!("{}: {}", key.name, fault.message))
        .collect()
}

#[test]
fn every_example_of_the_table_is_taken() {
    for section in keys::ALL {
        for key in section.keys {
            let said = told(section, key, key.example);
            // The small kit's only camera has no name, which is told.
            let said: Vec<_> = said
                .iter()
                .filter(|said| !said.starts_with("camera: camera"))
                .collect();
            assert!(
                said.is_empty(),
                "{} {}: {said:?}",
                section.file,
                section.heading
            );
        }
    }
}

#[test]
fn every_word_a_key_offers_is_one_and_no_other() {
    for section in keys::ALL {
        for key in section.keys {
            let Form::OneOf(words) = key.form else {
                continue;
            };
            for word in words {
                let said = told(section, key, word);
                assert!(said.is_empty(), "{word}: {said:?}");
            }
            assert!(!told(section, key, "nonsense").is_empty(), "{}", key.name);
        }
    }
}

#[test]
fn every_range_of_the_table_is_kept() {
    for section in keys::ALL {
        for key in section.keys {
            let (Form::Number(range) | Form::Whole(range)) = key.form else {
                continue;
            };
            for beyond in [range.max * 2.0 + 1.0, range.min - range.max - 1.0] {
                let said = told(section, key, &beyond.to_string());
                assert!(!said.is_empty(), "{} {beyond}", key.name);
            }
        }
    }
}
