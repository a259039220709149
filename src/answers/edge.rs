//! What the frame's edge costs of the depth, when one tapes to it on the slant.

use super::DepthRow;
use crate::formula::Record;
use crate::gear::DepthSetup;
use crate::optics::Focus;
use crate::units::{Length, Reach};

/// A row's depth at the left or right edge of the picture, for a subject taped
/// straight from the image plane; a flat field is assumed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EdgeDepth {
    /// How much nearer than it was taped the subject stands along the axis.
    pub nearer_by: Length,
    /// How much is sharp in front of the focus on the axis.
    pub in_front: Length,
    /// The nearest taped distance at the edge that is sharp; more than the focus
    /// where who is taped at that is not.
    pub near: Length,
}

/// The depth of a row at the edge of the picture; `None` without a frame and at
/// infinity.
#[must_use]
pub fn edge_depth(wanted: &DepthSetup, row: &DepthRow, rec: &mut impl Record) -> Option<EdgeDepth> {
    let setup = &wanted.setup;
    let squeeze = setup.fitted.squeeze;
    let picture = setup.frame.as_ref()?.picture(squeeze, &mut ());
    let (near, _) = row.limits_to_trust();
    let (Reach::At(focus), Reach::At(near)) = (row.focus.reach(), near.reach()) else {
        return None;
    };
    let n = wanted.exposure.f_number;
    let set = setup.lens.at(row.focus, setup.branch, n, rec).ok()?;
    let across = squeeze.map_or(set, |squeeze| squeeze.horizontal(&set, rec));
    let edge = across.frame_edge(picture.width(), rec);
    Some(EdgeDepth {
        nearer_by: focus - edge.along_axis(focus, rec)?,
        in_front: focus - near,
        near: edge.on_slant(near, rec),
    })
}
