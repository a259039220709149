//! The rows of an answer as CSV, under the names of the JSON contract.

use serde::Serialize;
use serde_json::Value;

/// Rows as CSV: a header of the JSON names, infinity as the word; lists and
/// tables inside a row are left out.
#[must_use]
pub fn csv<R: Serialize>(rows: &[R]) -> String {
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
    String::from_utf8(out.into_inner().unwrap_or_default()).unwrap_or_default()
}
