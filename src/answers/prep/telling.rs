//! The telling table: where each engraved mark really focuses.

use crate::gear::{DepthSetup, Lens, Marks};
use crate::optics::{UnitFocus, t_number_of};
use crate::scale::{blur_at_mark, real_focus};
use crate::units::{Division, FocusDistance, Length, MarkedStop, StopKind, Unit};

/// One engraved mark: where it really focuses on this camera.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct MarkTold {
    /// What is engraved.
    #[cfg_attr(feature = "serde", serde(rename = "mark_mm"))]
    pub mark: FocusDistance,
    /// Where that focuses; `None`: beyond infinity.
    #[cfg_attr(feature = "serde", serde(rename = "real_focus_mm"))]
    pub real_focus: Option<FocusDistance>,
    /// How soft a subject at the mark is at the stop worked at, positive where
    /// it stands behind the focus.
    #[cfg_attr(feature = "serde", serde(rename = "blur_mm"))]
    pub blur: Length,
    /// Whether that is more than the circle.
    pub shows: bool,
    /// The stop, in the kind of the lens's stop ring, from which on to wider
    /// ones it shows.
    pub shows_wider_than: f64,
    /// The same as it is marked: at this mark it no longer shows. `None`: it
    /// does not even at the lens's widest stop.
    pub no_longer_shows_at: Option<String>,
}

/// Distances on scales in feet and in metres, where the lens's own marks are
/// not written down: in sixths of a foot, and in centimetres.
const FEET: [i64; 12] = [6, 9, 12, 18, 24, 30, 36, 48, 60, 90, 120, 180];
const METRES: [i64; 12] = [30, 40, 50, 70, 100, 120, 150, 200, 300, 400, 600, 1000];

/// The engraved marks of a lens, from the farthest; where none is written down,
/// distances as they are usual on scales of its unit.
fn engraved(lens: &Lens, marks: Option<&Marks>, unit: Unit) -> Vec<FocusDistance> {
    let written: Vec<FocusDistance> = marks
        .map(|marks| marks.engraved().iter().map(|mark| mark.distance).collect())
        .unwrap_or_default();
    if written.len() >= 3 {
        return written;
    }
    let usual = (0..FEET.len()).rev().filter_map(|at| {
        let length = match unit {
            Unit::Feet => Length::from_inch_64ths(FEET[at] * 2 * 64),
            Unit::Metres => Length::mm(METRES[at] as f64 * 10.0),
        };
        FocusDistance::at(length).ok()
    });
    let reached = usual.filter(|distance| !distance.is_nearer_than(lens.close_focus()));
    let mut out = vec![FocusDistance::INFINITY];
    out.extend(reached);
    out
}

/// Each mark of a lens, with the image plane off by `error`.
pub(super) fn tell(
    lens: &Lens,
    marks: Option<&Marks>,
    unit: Unit,
    setup: &DepthSetup,
    error: Length,
) -> Vec<MarkTold> {
    let optics: UnitFocus = lens.figures().unit_focus(&mut ());
    let n = setup.exposure.f_number;
    let circle = setup.circle.circle.diameter();
    let told = engraved(lens, marks, unit).into_iter().filter_map(|mark| {
        let blur = blur_at_mark(optics, mark, error, n, &mut ())?;
        // Blur goes as the pupil's width, one over the f-number.
        let circles = blur.abs().to_mm() / circle.to_mm();
        let just = n.times(circles);
        let (kind, number) = match (lens.stop_kind(), setup.exposure.transmittance) {
            (StopKind::T, Some(tau)) => (StopKind::T, t_number_of(just, tau, &mut ()).value()),
            _ => (StopKind::F, just.value()),
        };
        Some(MarkTold {
            mark,
            real_focus: real_focus(optics, mark, error, &mut ()),
            blur,
            shows: circles > 1.0,
            shows_wider_than: number,
            no_longer_shows_at: no_longer(lens, kind, number),
        })
    });
    told.collect()
}

/// The first mark of the stop ring at which an error that shows wider than
/// `number` no longer does; `None` where it never does.
fn no_longer(lens: &Lens, kind: StopKind, number: f64) -> Option<String> {
    let widest = lens.widest();
    let never = widest.kind() == kind && number <= widest.number();
    (!never).then(|| MarkedStop::at_least(kind, number, Division::Third).to_string())
}
