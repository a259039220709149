//! A subject that goes round on a circle, the camera outside of it.
//!
//! With phi counted at the centre from the nearest point, and h = tan(phi/2), sine and
//! cosine are 2h/(1 + h²) and (1 − h²)/(1 + h²).

use super::path::Seen;
use crate::formula::{Record, formula};

formula! {
    /// Half the angle at which a place of the circle stands, by its straight distance.
    half_tangent_of_taped(taped: mm, C: mm, R: mm) -> h: ratio
        = sqrt((taped - (C - R)) * (taped + (C - R)) / ((C + R - taped) * (C + R + taped)));
    source "law of cosines: taped^2 = C^2 + R^2 - 2 C R cos phi; h = tan(phi/2), h^2 = (1 - cos phi)/(1 + cos phi)"
}

formula! {
    /// From the nearest point to that place, round the circle.
    arc_of_half_tangent(R: mm, h: ratio) -> side: mm = R * 2.0 * atan(h);
    source "an arc is radius times angle; h = tan(phi/2)"
}

formula! {
    /// From the nearest point to the farthest, round the circle.
    half_the_circle(R: mm) -> side: mm = pi * R;
    source "half the circumference"
}

formula! {
    /// Half the angle of an arc from the nearest point.
    half_tangent_of_arc(x: mm, R: mm) -> h: ratio = tan(x / R / 2.0);
    source "an angle is arc over radius; h = tan(phi/2)"
}

formula! {
    /// The straight distance to the subject.
    circled_distance(C: mm, R: mm, h: ratio) -> D: mm
        = sqrt((C - R) * (C - R) + 4.0 * C * R * h * h / (1.0 + h * h));
    source "law of cosines: D^2 = (C - R)^2 + 2 C R (1 - cos phi); h = tan(phi/2)"
}

formula! {
    /// How fast the straight distance shrinks.
    approach_circled(v: mm_per_s, C: mm, h: ratio, D: mm) -> approach: mm_per_s
        = -v * C * 2.0 * h / (1.0 + h * h) / D;
    source "derivative of the law of cosines, phi growing by v/R a second: D dD = C R sin phi dphi; sin phi = 2 h/(1 + h^2)"
}

formula! {
    /// The distance along an axis aimed at the centre.
    centred_distance(C: mm, R: mm, h: ratio) -> D: mm = C - R + 2.0 * R * h * h / (1.0 + h * h);
    source "C - R cos phi; cos phi = (1 - h^2)/(1 + h^2)"
}

formula! {
    /// How fast that distance shrinks.
    approach_centred(v: mm_per_s, h: ratio) -> approach: mm_per_s = -v * 2.0 * h / (1.0 + h * h);
    source "derivative of C - R cos phi, phi growing by v/R a second; sin phi = 2 h/(1 + h^2)"
}

formula! {
    /// How far beside that axis the subject is, positive where it has passed it.
    aside_centred(R: mm, h: ratio) -> aside: mm = R * 2.0 * h / (1.0 + h * h);
    source "R sin phi; sin phi = 2 h/(1 + h^2)"
}

/// From the nearest point to the place so far from the camera, round the circle.
pub(super) fn arc_to(taped: f64, (c, r): (f64, f64), rec: &mut impl Record) -> f64 {
    if taped < c + r {
        let h = half_tangent_of_taped(taped, c, r, rec);
        arc_of_half_tangent(r, h, rec)
    } else {
        half_the_circle(r, rec)
    }
}

/// The subject at a place, from a camera that pans or one that stands aimed at the
/// centre.
pub(super) fn seen(
    (c, r): (f64, f64),
    on_centre: bool,
    x: f64,
    v: f64,
    rec: &mut impl Record,
) -> Seen {
    let h = half_tangent_of_arc(x, r, rec);
    let taped = circled_distance(c, r, h, rec);
    if on_centre {
        Seen {
            focus: centred_distance(c, r, h, rec),
            taped,
            approach: approach_centred(v, h, rec),
            aside: Some(aside_centred(r, h, rec)),
        }
    } else {
        Seen {
            focus: taped,
            taped,
            approach: approach_circled(v, c, h, taped, rec),
            aside: None,
        }
    }
}
