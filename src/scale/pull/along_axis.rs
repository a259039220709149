//! A subject that comes toward the camera along the axis, or goes away.

use crate::formula::formula;

formula! {
    /// The way a subject goes along the axis.
    way_along_axis(D_from: mm, D_to: mm) -> way: mm = sqrt((D_from - D_to) * (D_from - D_to));
    source "the distance between two places on the axis"
}

formula! {
    /// Where it is, coming nearer.
    coming_nearer(D_from: mm, way: mm) -> D: mm = D_from - way;
    source "toward the camera along the axis"
}

formula! {
    /// Where it is, going away.
    going_away(D_from: mm, way: mm) -> D: mm = D_from + way;
    source "away from the camera along the axis"
}

formula! {
    /// How fast it comes nearer, going away.
    receding(v: mm_per_s) -> approach: mm_per_s = -v;
    source "away from the camera along the axis"
}
