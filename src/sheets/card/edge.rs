//! What a card says of the frame's edge.

use super::figure::near_at_edge;
use crate::answers::{DepthRow, EdgeDepth, edge_depth};
use crate::gear::DepthSetup;
use crate::units::{Unit, show};

/// So much of the depth in front may go to the slant unmentioned.
const SHARE: f64 = 1.0 / 3.0;

/// What the frame's edge costs each row, where that is worth a sign.
pub(super) fn of_rows(setup: &DepthSetup, rows: &[DepthRow]) -> Vec<Option<EdgeDepth>> {
    let costly = |edge: &EdgeDepth| edge.nearer_by > edge.in_front * SHARE;
    rows.iter()
        .map(|row| edge_depth(setup, row, &mut ()).filter(costly))
        .collect()
}

/// What the sign means, and what it comes to on the line that has it worst.
pub(super) fn words(rows: &[DepthRow], edges: &[Option<EdgeDepth>], unit: Unit) -> Option<String> {
    let share = |edge: &EdgeDepth| {
        let ratio = edge.nearer_by.ratio_to(edge.in_front);
        ratio.map_or(f64::MAX, |ratio| ratio.value())
    };
    let costly = rows
        .iter()
        .zip(edges)
        .filter_map(|(row, edge)| Some((row, edge.as_ref()?)));
    let (row, edge) = costly.max_by(|one, other| share(one.1).total_cmp(&share(other.1)))?;
    Some(format!(
        "frame edge («, worst at {}): sharp from {} instead; a flat field is assumed",
        show::exact_distance(row.focus, unit),
        near_at_edge(row, edge.near, unit)
    ))
}
