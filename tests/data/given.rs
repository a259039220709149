//! A small kit that is right, to be damaged one place at a time.

use markwright::data::{Fault, Kind, MemoryFiles, Severity, kit};
use markwright::gear::Kit;

pub const KIT: &str = "\
title = \"Test\"
units = \"feet\"
[recording]
format = \"s35-3perf\"
extraction = 2.39
[sharpness]
circle = \"0.025 mm\"
working_stop = \"T2.8\"
";

pub const LENSES: &str = "\
id,focal_mm,t_number,close_focus,engraved
40,40,2.1,1'3\",feet
75,75,2.1,2'3\",feet
";

pub const MARKS: &str = "\
distance,position_mm,kind
inf,10,eye
10',30,eye
5',50.5,eye
2',150,eye
3',90,engraved
6',45,engraved
";

/// The kit with `content` in the file `name`, which may be a new one.
pub fn with(name: &str, content: impl Into<Vec<u8>>) -> MemoryFiles {
    MemoryFiles::new()
        .with("kit.toml", KIT)
        .with("lenses.csv", LENSES)
        .with("marks/40.csv", MARKS)
        .with(name, content)
}

/// The kit, which must be without error.
#[track_caller]
pub fn good(files: &MemoryFiles) -> (Kit, Vec<Fault>) {
    match kit::read(files) {
        Ok(read) => read,
        Err(faults) => panic!("faults in a good kit: {faults:#?}"),
    }
}

/// The errors of a kit that has some.
#[track_caller]
pub fn errors(files: &MemoryFiles) -> Vec<Fault> {
    match kit::read(files) {
        Ok(_) => panic!("no fault was found"),
        Err(mut faults) => {
            faults.retain(|fault| fault.severity == Severity::Error);
            faults
        }
    }
}

/// Kind, file, line, column and key of a fault, to compare at once.
pub type Told = (Kind, String, Option<usize>, Option<usize>, Option<String>);

pub fn told(fault: &Fault) -> Told {
    let place = fault.place.clone().unwrap_or_default();
    (
        fault.kind,
        place.file.unwrap_or_default(),
        place.line,
        place.column,
        place.key,
    )
}

/// The one error of a kit must be this one, here.
#[track_caller]
pub fn the_error(
    files: &MemoryFiles,
    kind: Kind,
    file: &str,
    spot: (usize, usize),
    key: &str,
) -> Fault {
    let mut errors = errors(files);
    assert_eq!(errors.len(), 1, "{errors:#?}");
    let error = errors.remove(0);
    let key = (!key.is_empty()).then(|| key.to_owned());
    let wanted = (kind, file.to_owned(), Some(spot.0), Some(spot.1), key);
    assert_eq!(told(&error), wanted, "{error:#?}");
    error
}
