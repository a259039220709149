//! The house's rules, read from the source: who may know whom, and who may touch
//! what lies outside.

mod package;
mod rules;
mod source;

use source::{Source, files};

fn nobody_breaks(rule: fn(&Source) -> Vec<String>) {
    let mut faults = Vec::new();
    for file in files() {
        let found = rule(&file);
        if !found.is_empty() {
            faults.push(format!("{}: {found:?}", file.path));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn nobody_knows_what_stands_above_him() {
    nobody_breaks(rules::arrows);
}

#[test]
fn only_the_world_touches_files_environment_clock_and_terminal() {
    nobody_breaks(rules::outside_world);
}

#[test]
fn the_core_knows_no_hash_order_and_no_bytes_of_files() {
    nobody_breaks(rules::core_only);
}

#[test]
fn libm_has_one_door() {
    nobody_breaks(rules::one_door_to_libm);
}

#[test]
fn no_file_is_too_long() {
    nobody_breaks(rules::length);
}

#[test]
fn at_most_two_files_may_hold_unsafe_code() {
    let unsafe_files: Vec<String> = files()
        .into_iter()
        .filter(rules::lifts_the_ban)
        .map(|file| file.path)
        .collect();
    assert!(unsafe_files.len() <= 2, "{unsafe_files:?}");
}

/// A file that is not there.
fn planted(path: &str, text: &str) -> Source {
    let folder = path.split('/').nth(1).unwrap();
    Source {
        path: path.to_owned(),
        folder: folder.trim_end_matches(".rs").to_owned(),
        text: text.to_owned(),
    }
}

#[test]
fn a_planted_arrow_is_caught() {
    let found = |path, text| rules::arrows(&planted(path, text));
    let two = "use crate::{units::{Length, show}, cli::run};\nfn f() { crate::answers::depth() }";
    assert_eq!(found("src/optics/limits.rs", two), ["cli", "answers"]);
    assert_eq!(
        found("src/units/angle.rs", "use crate::formula::Record;"),
        ["formula"]
    );
    assert_eq!(
        found("src/gear/kit.rs", "use crate::data::Fault;"),
        ["data"]
    );
    // Climbing out of the folder is the same arrow.
    let climbed = "use super::super::answers::depth;";
    assert_eq!(found("src/optics/limits.rs", climbed), ["answers"]);
    assert_eq!(
        found("src/optics/mod.rs", "use super::answers;"),
        ["answers"]
    );
    let deeper = "use super::super::super::cli;";
    assert_eq!(found("src/draw/card/fit.rs", deeper), ["cli"]);
    assert_eq!(
        found("src/main.rs", "use markwright::optics::Gate;"),
        ["optics"]
    );
    assert_eq!(
        found("src/shop/mod.rs", ""),
        ["shop is no folder of the house"]
    );
}

#[test]
fn an_allowed_arrow_and_a_remark_are_not_caught() {
    let found = |path, text| rules::arrows(&planted(path, text));
    let none: [&str; 0] = [];
    assert_eq!(
        found("src/answers/depth.rs", "use crate::optics::{Circle, Gate};"),
        none
    );
    assert_eq!(
        found("src/optics/limits.rs", "// crate::cli is not meant\n"),
        none
    );
    assert_eq!(
        found("src/draw/card/fit.rs", "use super::super::sheets;"),
        none
    );
    let test = "fn f() {}\n#[cfg(test)]\nmod tests {\n use crate::answers::depth;\n}\n";
    assert_eq!(found("src/optics/limits.rs", test), none);
}

#[test]
fn a_planted_touch_of_the_world_is_caught() {
    let found = |path, text| rules::outside_world(&planted(path, text));
    assert_eq!(found("src/data/text.rs", "use std::{fs, io};"), ["fs"]);
    assert_eq!(
        found("src/cli/depth.rs", "let home = std::env::var(\"HOME\");"),
        ["env"]
    );
    assert_eq!(found("src/export/svg.rs", "println!(\"\");").len(), 1);
    assert_eq!(
        found("src/sheets/code.rs", "std::time::SystemTime::now()").len(),
        2
    );
    assert!(found("src/cli/world.rs", "use std::fs;").is_empty());
    assert!(found("src/cli/mod.rs", "use std::process::ExitCode;").is_empty());
}

#[test]
fn other_planted_faults_are_caught() {
    let order = planted("src/scale/law.rs", "use std::collections::HashMap;");
    assert_eq!(rules::core_only(&order), ["HashMap"]);
    let elsewhere = planted("src/export/pdf.rs", "use std::io::Write;");
    assert!(rules::core_only(&elsewhere).is_empty());
    let door = planted("src/optics/field.rs", "libm::atan(x) + libm::floor(y)");
    assert_eq!(rules::one_door_to_libm(&door), ["atan"]);
    let long = planted("src/optics/field.rs", &"//\n".repeat(601));
    assert_eq!(rules::length(&long), ["601 lines"]);
    let banned = planted("src/optics/field.rs", "#[allow(unsafe_code)]\nfn f() {}");
    assert!(rules::lifts_the_ban(&banned));
}
