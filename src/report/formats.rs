//! The recording formats in words.

use super::table::plain_table;
use crate::data::formats::Format;

/// The formats as a table, those from memory marked.
#[must_use]
pub fn formats(all: &[Format]) -> String {
    let header = [
        "id", "width", "height", "squeeze", "aperture", "circle", "name",
    ];
    let rows = all.iter().map(|format| {
        vec![
            format.id.clone(),
            format!("{:.2} mm", format.width.to_mm()),
            format!("{:.2} mm", format.height.to_mm()),
            format!("{}", format.squeeze),
            format.aperture.clone(),
            format.circle.clone(),
            format!(
                "{}{}",
                format.name,
                if format.verified {
                    ""
                } else {
                    " (from memory)"
                }
            ),
        ]
    });
    let table = plain_table(
        &header,
        &["id", "aperture", "circle", "name"],
        rows.collect(),
    );
    format!(
        "{table}\nsources: add --as json or --as csv; a gate of your own: --format 24.89x18.66mm\n"
    )
}
