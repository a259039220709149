//! Answers as the JSON contract has them.

use serde::Serialize;
use serde_json::Value;

use crate::formula::Steps;

/// An answer as JSON, with its steps where they were asked for.
#[must_use]
pub fn json<A: Serialize>(answer: &A, steps: Option<&Steps>) -> String {
    // Our own answers are plain structs of strings and numbers; they convert.
    let mut value = serde_json::to_value(answer).unwrap_or(Value::Null);
    if let (Some(steps), Value::Object(map)) = (steps, &mut value) {
        map.insert(
            "steps".into(),
            serde_json::to_value(steps).unwrap_or(Value::Null),
        );
    }
    let mut text = serde_json::to_string_pretty(&value).unwrap_or_default();
    text.push('\n');
    text
}
