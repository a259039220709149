//! How far an answer may be off, in words.

use super::head::apart;
use super::table::{Words, plain_table};
use crate::answers::AssumedRange;
use crate::units::{FocusDistance, Length, Reach};

/// The ranges of an answer for people, a table for each thing assumed.
#[must_use]
pub fn ranges(all: &[AssumedRange], words: Words) -> String {
    let mut out = String::new();
    for range in all {
        out.push_str(&format!(
            "\nhow far the limits may be off: {} assumed, {}\n\n",
            range.assumed, range.between
        ));
        let both = |[least, most]: [FocusDistance; 2], depth: Reach<Length>| {
            format!(
                "{} … {}",
                words.down(least.reach(), depth),
                words.up(most.reach(), depth)
            )
        };
        let rows = range.rows.iter().map(|row| {
            let depth = apart(row.near[1].reach(), row.far[0].reach());
            vec![
                both(row.near, depth),
                words.exact(row.focus.reach()),
                both(row.far, depth),
            ]
        });
        let header = ["near", "FOCUS", "far"];
        out.push_str(&plain_table(&header, &[], rows.collect()));
    }
    out
}
