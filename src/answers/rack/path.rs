//! The path of a rack as an answer says it.

use crate::formula::Record;
use crate::scale::{PathKind, SubjectPath};
use crate::units::{FocusDistance, Length, Unit, show};

/// The path of the subject; what does not belong to its kind is absent.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct PathAnswer {
    /// `axis`, `passing` or `circling`.
    pub kind: &'static str,
    /// `pans_with_subject`, `fixed_on_path` or `fixed_on_centre`; on the axis both are
    /// one: `on_axis`.
    pub frame: &'static str,
    /// Straight from the image-plane mark to where it begins.
    #[cfg_attr(feature = "serde", serde(rename = "from_taped_mm"))]
    pub from: FocusDistance,
    /// Straight from the image-plane mark to where it ends.
    #[cfg_attr(feature = "serde", serde(rename = "to_taped_mm"))]
    pub to: FocusDistance,
    /// How long it is; `None` where an end is infinity.
    #[cfg_attr(feature = "serde", serde(rename = "length_mm"))]
    pub length: Option<Length>,
    /// Whether it goes on beyond its closest point.
    pub passes_closest: Option<bool>,
    /// The closest distance of the line.
    #[cfg_attr(feature = "serde", serde(rename = "closest_mm"))]
    pub closest: Option<Length>,
    /// The distance of the place of the line at which the frame stands aimed.
    #[cfg_attr(feature = "serde", serde(rename = "frame_at_mm"))]
    pub frame_at: Option<Length>,
    /// The distance of the circle's centre.
    #[cfg_attr(feature = "serde", serde(rename = "centre_mm"))]
    pub centre: Option<Length>,
    /// The circle's radius.
    #[cfg_attr(feature = "serde", serde(rename = "radius_mm"))]
    pub radius: Option<Length>,
}

impl PathAnswer {
    pub(super) fn of(path: &SubjectPath, rec: &mut impl Record) -> Self {
        let (from, to) = path.ends();
        let on_axis = Self {
            kind: "axis",
            frame: "on_axis",
            from,
            to,
            length: path.length(rec),
            passes_closest: None,
            closest: None,
            frame_at: None,
            centre: None,
            radius: None,
        };
        let frame = |fixed: &'static str| {
            if path.frame_stands() {
                fixed
            } else {
                "pans_with_subject"
            }
        };
        match path.kind() {
            PathKind::Axis => on_axis,
            PathKind::Passing { closest, frame_at } => Self {
                kind: "passing",
                frame: frame("fixed_on_path"),
                passes_closest: Some(path.passes()),
                closest: Some(closest),
                frame_at,
                ..on_axis
            },
            PathKind::Circling { centre, radius, .. } => Self {
                kind: "circling",
                frame: frame("fixed_on_centre"),
                passes_closest: Some(path.passes()),
                centre: Some(centre),
                radius: Some(radius),
                ..on_axis
            },
        }
    }
}

impl PathAnswer {
    /// The path in words, without its speed.
    #[must_use]
    pub fn in_words(&self, unit: Unit) -> String {
        let distance = |at| show::exact_distance(at, unit);
        let length = |length: Option<Length>| {
            length.map_or(String::new(), |length| show::exact(length, unit))
        };
        let (from, to) = (distance(self.from), distance(self.to));
        let way = match self.kind {
            "passing" => format!("passing {} away", length(self.closest)),
            "circling" => format!(
                "on a circle of radius {} about a point {} away",
                length(self.radius),
                length(self.centre)
            ),
            _ => return format!("along the axis from {from} to {to}"),
        };
        let ends = if self.passes_closest == Some(true) {
            format!("from {from} past the closest point to {to}")
        } else if self.from.is_nearer_than(self.to) {
            format!("from {from} away to {to}")
        } else {
            format!("from {from} to {to}, not past the closest point")
        };
        let frame = match self.frame {
            "fixed_on_path" => format!(
                "the frame stands, aimed where the subject is {} away",
                length(self.frame_at)
            ),
            "fixed_on_centre" => "the frame stands, aimed at the centre".into(),
            _ => "the camera pans with the subject".into(),
        };
        format!("{way}, {ends}; {frame}")
    }
}
