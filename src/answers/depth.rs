//! How much is sharp: hyperfocal, near, far, in front and behind.

mod row;

use super::{AssumedRange, Premises, Unanswerable};
use crate::formula::Record;
use crate::gear::{Assumption, DepthSetup, Waves};
use crate::optics::{AnyLens, Focus, Magnification, NoHyperfocal, hyperfocal_at_contrast};
use crate::units::{FocusDistance, Length};
use row::{Asides, bare_half, cautious, row};

pub(super) use row::blurs;
pub use row::{BareHalf, Cautious, DepthRow, FromCloseUp, Horizontal, ObjectBlur, WaveRow};

/// Depth of field at one or several focus distances.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct DepthAnswer {
    /// What it was worked out from.
    #[cfg_attr(feature = "serde", serde(flatten))]
    pub premises: Premises,
    /// The focus distance whose far limit is infinity; none where no setting of
    /// the whole reaches so far.
    #[cfg_attr(feature = "serde", serde(rename = "hyperfocal_mm"))]
    pub hyperfocal: Option<Length>,
    /// Where pupils are unknown and a plausible lens needs a distance farther by
    /// more than a figure's last step: the distance to trust.
    #[cfg_attr(
        feature = "serde",
        serde(
            rename = "cautious_hyperfocal_mm",
            skip_serializing_if = "Option::is_none"
        )
    )]
    pub cautious_hyperfocal: Option<Length>,
    /// The same from the other reference points.
    pub hyperfocal_from: HyperfocalFrom,
    /// One row a focus distance.
    pub rows: Vec<DepthRow>,
    /// How far the limits may be off where something was assumed, if that was
    /// asked for.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Vec::is_empty"))]
    pub ranges: Vec<AssumedRange>,
    /// What the answer rests on that nobody said.
    pub assumptions: Vec<Assumption>,
}

/// The hyperfocal distance from the lens's own reference points.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct HyperfocalFrom {
    /// From the front focal point, of a plain lens.
    #[cfg_attr(feature = "serde", serde(rename = "front_focal_point_mm"))]
    pub front_focal_point: Option<Length>,
    /// From the front principal plane, of a plain lens.
    #[cfg_attr(feature = "serde", serde(rename = "front_principal_plane_mm"))]
    pub front_principal_plane: Option<Length>,
    /// From the entrance pupil.
    #[cfg_attr(feature = "serde", serde(rename = "entrance_pupil_mm"))]
    pub entrance_pupil: Option<Length>,
    /// Under a wanted contrast, the circle that stands for it at that focus.
    #[cfg_attr(
        feature = "serde",
        serde(rename = "circle_mm", skip_serializing_if = "Option::is_none")
    )]
    pub circle: Option<Length>,
}

impl DepthAnswer {
    /// The hyperfocal distance to act on: the cautious one where there is one.
    #[must_use]
    pub fn hyperfocal_to_trust(&self) -> Option<Length> {
        self.cautious_hyperfocal.or(self.hyperfocal)
    }
}

/// Depth of field of a setup at each focus distance, and the blur of each
/// object there.
///
/// # Errors
/// [`Unanswerable`] when a distance cannot be focused, an object stands behind
/// the entrance pupil, or there is no hyperfocal distance.
pub fn depth(
    wanted: &DepthSetup,
    at: &[FocusDistance],
    objects: &[FocusDistance],
    rec: &mut impl Record,
) -> Result<DepthAnswer, Unanswerable> {
    let head = head(wanted, rec)?;
    let (n, branch) = (wanted.exposure.f_number, wanted.setup.branch);
    let lens = &wanted.setup.lens;
    let rows = at.iter().map(|&focus| {
        let set = lens.at(focus, branch, n, rec)?;
        let beside = |rec: &mut _| {
            let setting = lens.setting(focus, branch, &mut ()).ok()?;
            bare_half(wanted, setting, rec)
        };
        let asides = Asides {
            bare_half: beside(rec),
            cautious: cautious(wanted, &set),
        };
        row(wanted, &set, objects, asides, rec)
    });
    let rows = rows.collect::<Result<Vec<_>, Unanswerable>>()?;
    Ok(DepthAnswer { rows, ..head })
}

/// Depth of field where the lens's own scale reads each mark: with attachments,
/// that is not where it focuses.
///
/// # Errors
/// [`Unanswerable`] as [`depth`], and where a setting lies beyond infinity.
pub fn depth_at_marks(
    wanted: &DepthSetup,
    marks: &[FocusDistance],
    objects: &[FocusDistance],
    rec: &mut impl Record,
) -> Result<DepthAnswer, Unanswerable> {
    let head = head(wanted, rec)?;
    let (lens, n) = (&wanted.setup.lens, wanted.exposure.f_number);
    let rows = marks.iter().map(|&mark| {
        let setting = lens.setting_at_mark(mark, rec);
        let setting = setting.map_err(|reason| Unanswerable::AtMark { mark, reason })?;
        let set = lens.set(setting, n, rec);
        let asides = Asides {
            bare_half: bare_half(wanted, setting, rec),
            cautious: cautious(wanted, &set),
        };
        let row = row(wanted, &set, objects, asides, rec)?;
        Ok(DepthRow {
            mark: Some(mark),
            ..row
        })
    });
    let rows = rows.collect::<Result<Vec<_>, Unanswerable>>()?;
    Ok(DepthAnswer { rows, ..head })
}

/// The answer without its rows.
fn head(wanted: &DepthSetup, rec: &mut impl Record) -> Result<DepthAnswer, Unanswerable> {
    let lens = &wanted.setup.lens;
    let infinity = Magnification::INFINITY_FOCUS;
    let at_infinity = lens.set(infinity, wanted.exposure.f_number, &mut ());
    let circle = wanted.circle_of(&at_infinity, &mut ())?;
    let (hyperfocal, hyperfocal_from) = hyperfocal(lens, wanted, rec)?;
    let mut assumptions = wanted.setup.assumptions.clone();
    if hyperfocal.is_none() {
        assumptions.push(Assumption::new(
            "no_hyperfocal",
            "there is no hyperfocal distance: no setting has its far limit at infinity",
        ));
    }
    Ok(DepthAnswer {
        premises: Premises::of(wanted, circle, rec),
        hyperfocal,
        cautious_hyperfocal: cautious_hyperfocal(wanted, hyperfocal),
        hyperfocal_from,
        rows: Vec::new(),
        ranges: Vec::new(),
        assumptions,
    })
}

/// A hyperfocal distance that a plausible build needs so much farther is worth
/// telling: half a hundredth is an inch at 5 m, the last step of a figure there.
const FARTHER: f64 = 1.005;

/// The largest hyperfocal distance among plausible builds, where it is farther
/// than that of the lens assumed by what shows.
fn cautious_hyperfocal(wanted: &DepthSetup, assumed: Option<Length>) -> Option<Length> {
    let of_build = |lens: &AnyLens| hyperfocal(lens, wanted, &mut ()).ok()?.0;
    let builds = wanted.setup.plausible();
    let most = builds.iter().filter_map(of_build);
    let (most, assumed) = (most.reduce(Length::max)?, assumed?);
    (most > assumed * FARTHER).then_some(most)
}

/// The hyperfocal distance of a lens from the image plane, and from its own
/// points where they are known.
fn hyperfocal(
    lens: &AnyLens,
    wanted: &DepthSetup,
    rec: &mut impl Record,
) -> Result<(Option<Length>, HyperfocalFrom), Unanswerable> {
    let (n, circle) = (wanted.exposure.f_number, wanted.circle.circle);
    let waves = wanted.waves.as_ref().and_then(Waves::wanted);
    if let (Some(lens), None) = (lens.unit(), &waves) {
        let found = lens.hyperfocal(n, circle, rec)?;
        let from = HyperfocalFrom {
            front_focal_point: Some(found.from_front_focal_point),
            front_principal_plane: Some(found.from_front_principal_plane),
            entrance_pupil: Some(found.from_entrance_pupil),
            circle: None,
        };
        return Ok((Some(found.from_image_plane), from));
    }
    let (found, circle) = match &waves {
        None => (lens.hyperfocal_focus(n, circle, rec), None),
        Some((contrast, detail)) => match hyperfocal_at_contrast(lens, n, *contrast, detail, rec) {
            Ok((set, circle)) => (Some(set), Some(circle.diameter())),
            Err(NoHyperfocal::Unreachable(reason)) => return Err(reason.into()),
            Err(NoHyperfocal::NoSuchLimit(_)) => (None, None),
        },
    };
    let distance = found.and_then(|set| set.focus().reach().finite());
    let station = found.map(|set| set.pupil_station());
    let from = HyperfocalFrom {
        front_focal_point: None,
        front_principal_plane: None,
        entrance_pupil: distance.zip(station).map(|(d, t)| d - t),
        circle,
    };
    Ok((distance, from))
}
