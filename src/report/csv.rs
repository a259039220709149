//! The rows of an answer as CSV, under the names of the JSON contract.

use serde::Serialize;
use serde_json::Value;

/// The columns of a depth answer, where it has no row.
pub const DEPTH: &[&str] = &[
    "focus_mm",
    "near_mm",
    "far_mm",
    "in_front_mm",
    "behind_mm",
    "total_mm",
    "magnification",
    "working_f_number",
    "entrance_pupil_mm",
];
/// The same of a field answer.
pub const FIELD: &[&str] = &[
    "focus_mm",
    "plane_mm",
    "horizontal_deg",
    "vertical_deg",
    "diagonal_deg",
    "width_mm",
    "height_mm",
];
/// Rows as CSV: a header of the JSON names, infinity as the word; lists and
/// tables inside a row are left out. Without rows the header is `columns`.
#[must_use]
pub fn csv<R: Serialize>(columns: &[&str], rows: &[R]) -> String {
    let mut out = csv::Writer::from_writer(Vec::new());
    let mut header: Vec<String> = Vec::new();
    for row in rows {
        let Ok(Value::Object(map)) = serde_json::to_value(row) else {
            continue;
        };
        let cells = map
            .iter()
            .filter(|(_, value)| !value.is_array() && !value.is_object());
        if header.is_empty() {
            header = cells.clone().map(|(key, _)| key.clone()).collect();
            // Writing to memory cannot fail.
            let _ = out.write_record(&header);
        }
        let _ = out.write_record(cells.map(|(_, value)| match value {
            Value::String(text) => text.clone(),
            Value::Null => String::new(),
            other => other.to_string(),
        }));
    }
    if header.is_empty() && !columns.is_empty() {
        let _ = out.write_record(columns);
    }
    String::from_utf8(out.into_inner().unwrap_or_default()).unwrap_or_default()
}
