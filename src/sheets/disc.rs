//! A disc: what goes on the knob of a follow focus.

use super::code::Code;
use super::names::Names;
use super::surface::{Knob, Surface};
use super::tape::{NoTape, Tape, TapeWish};
use crate::gear::{
    Assumption, DepthSetup, Follow, Gearing, GearingKnownBy, Lens, Marks, Sense, Side, gearings,
    knob_turn,
};
use crate::scale::LensLaw;
use crate::units::{Angle, Length, Unit};

/// Outer diameter where none is given; common practice, no source.
const USUAL_OUTER: Length = Length::mm(92.0);
/// Hole where none is given; common practice, no source.
const USUAL_INNER: Length = Length::mm(38.0);

/// A disc for a lens, at one speed of the knob.
#[derive(Clone, Debug, PartialEq)]
pub struct Disc {
    /// What stands on it, in arcs along its rim; its code is the disc's.
    pub scale: Tape,
    /// The knob, whose radius is the rim's.
    pub knob: Knob,
    /// Diameter of the hole.
    pub inner: Length,
    /// How it turns from infinity to close focus, seen from the knob's side.
    pub sense: Sense,
    /// How the ring turns, seen from behind the camera.
    pub ring: Sense,
    /// The side of the camera the knob is on.
    pub side: Side,
    /// How the knob drives the ring; `None` where the knob's turn over the scale
    /// is all that is known.
    pub gearing: Option<Gearing>,
    /// Which of the knob's speeds it is for, from 1, and of how many.
    pub speed: (usize, usize),
}

/// Why there is no disc.
#[derive(Clone, Debug, PartialEq)]
pub enum NoDisc {
    /// Nothing tells how the knob drives the ring.
    NoGearing {
        /// What is wanting to know it by the teeth.
        wanting: Vec<&'static str>,
    },
    /// The lens has no scale to lay on anything.
    NoScale(NoTape),
}

impl From<NoTape> for NoDisc {
    fn from(reason: NoTape) -> Self {
        Self::NoScale(reason)
    }
}

/// The knob's turn over the whole scale with its gearing, one a speed.
fn turns(
    lens: &Lens,
    law: &LensLaw<'_>,
    follow: Option<&Follow>,
) -> Result<Vec<(Angle, Option<Gearing>)>, NoDisc> {
    let law = &law.law;
    let off = |_| NoDisc::NoScale(NoTape::NoRing);
    let whole = law.whole().map_err(off)?;
    let (far, near) = law.reach();
    // Of the ring's own scale, whatever a correction makes of it.
    let own = law.clone().uncorrected().whole().map_err(off)?;
    let is_whole = far.is_infinite() && near == lens.close_focus();
    let corrected = law.correction().is_some();
    let of_scale = own.turn().filter(|_| is_whole || corrected);
    let travel = lens.ring().travel().or(law.travel()).or(of_scale);
    let silent = &mut ();
    if let Some(turn) = whole.turn() {
        let known = gearings(lens, follow, travel, silent);
        if known.is_empty() {
            return Err(no_gearing(lens, follow));
        }
        let each = known.into_iter();
        return Ok(each
            .map(|gearing| (knob_turn(turn, gearing, silent), Some(gearing)))
            .collect());
    }
    // A ring of unknown size: the knob's turn over its whole scale is enough.
    if lens.knob_travel().is_none() || !is_whole {
        return Err(match no_gearing(lens, follow) {
            NoDisc::NoGearing { wanting } if wanting.is_empty() => NoTape::NoRing.into(),
            other => other,
        });
    }
    let once = Angle::deg(360.0);
    let known = gearings(lens, follow, Some(once), silent);
    Ok(known
        .into_iter()
        .map(|gearing| (knob_turn(once, gearing, silent), None))
        .collect())
}

fn no_gearing(lens: &Lens, follow: Option<&Follow>) -> NoDisc {
    let wanting = [
        ("ring_teeth", lens.ring_teeth().is_none()),
        (
            "drive_teeth",
            follow.is_none_or(|follow| follow.drive_teeth.is_none()),
        ),
        (
            "knob_ratio",
            follow.is_none_or(|follow| follow.knob_ratios.is_empty()),
        ),
    ];
    NoDisc::NoGearing {
        wanting: wanting
            .into_iter()
            .filter(|key| key.1)
            .map(|key| key.0)
            .collect(),
    }
}

impl Disc {
    /// The discs of a kit's lens, one for each speed of the knob.
    ///
    /// # Errors
    /// [`NoDisc`] where nothing tells how the knob drives the ring, or the lens
    /// has no scale.
    pub fn all(
        (lens, marks): (&Lens, Option<&Marks>),
        law: &LensLaw<'_>,
        setup: &DepthSetup,
        follow: Option<&Follow>,
        (names, unit): (&Names, Unit),
    ) -> Result<Vec<Self>, NoDisc> {
        let ring = lens.ring().sense().ok_or(NoTape::NoSense)?;
        let turns = turns(lens, law, follow)?;
        let count = turns.len();
        let nothing = Follow::default();
        let given = follow.unwrap_or(&nothing);
        let (outer, inner, mut notes) = sizes(given);
        if given.knob_side.is_none() {
            notes.push(Assumption::new(
                "knob_side_assumed",
                "on which side of the camera the knob is was not said: left",
            ));
        }
        let measured = |known: &Option<Gearing>| {
            matches!(
                known,
                None | Some(Gearing {
                    known_by: GearingKnownBy::Travel { .. },
                    ..
                })
            )
        };
        if count > 1 && turns.iter().any(|turn| measured(&turn.1)) {
            notes.push(Assumption::new(
                "measured_at_the_first_speed",
                "knob_travel_deg counts as measured at the first speed of knob_ratio",
            ));
        }
        let radius = outer / 2.0;
        let whole = law
            .law
            .whole()
            .map_err(|_| NoDisc::NoScale(NoTape::NoRing))?;
        let each = turns.into_iter().enumerate();
        each.map(|(index, (turn, gearing))| {
            let knob = Knob {
                radius,
                turn,
                whole,
            };
            let surface = Surface::Knob(knob);
            let sense = given.disc_sense(ring);
            let with_marks = (lens, marks);
            let wish = TapeWish::on((&surface, sense), with_marks, law, names.clone(), unit);
            let mut scale = Tape::on(&surface, &law.law, setup, wish)?;
            scale.assumptions.extend(notes.iter().cloned());
            let mut disc = Self {
                scale,
                knob,
                inner,
                sense,
                ring,
                side: given.knob_side.unwrap_or_default(),
                gearing,
                speed: (index + 1, count),
            };
            disc.scale.code = Code::of(&format!("{disc:?}"));
            Ok(disc)
        })
        .collect()
    }

    /// The turn of the knob to a place, from the zero of the scale toward close
    /// focus.
    #[must_use]
    pub fn angle(&self, along: Length) -> Angle {
        self.knob.angle(along)
    }
}

/// Outer diameter and hole, with what is to be said where they were not given.
fn sizes(follow: &Follow) -> (Length, Length, Vec<Assumption>) {
    let outer = follow.disc_outer.unwrap_or_else(|| {
        // A hole that is given must go in.
        let hole = follow.disc_inner.unwrap_or(USUAL_INNER);
        USUAL_OUTER.max(hole * (USUAL_OUTER.to_mm() / USUAL_INNER.to_mm()))
    });
    let inner = follow.disc_inner.unwrap_or_else(|| {
        let share = USUAL_INNER.to_mm() / USUAL_OUTER.to_mm();
        USUAL_INNER.min(outer * share)
    });
    let assumed = match (follow.disc_outer, follow.disc_inner) {
        (Some(_), Some(_)) => None,
        (Some(_), None) => Some(format!(
            "the hole of the disc was not said: ⌀ {:.0} mm assumed",
            inner.to_mm()
        )),
        (None, Some(_)) => Some(format!(
            "the outer diameter of the disc was not said: {:.0} mm assumed",
            outer.to_mm()
        )),
        (None, None) => Some(format!(
            "the size of the disc was not said: ⌀ {:.0} mm with a hole of {:.0} mm assumed",
            outer.to_mm(),
            inner.to_mm()
        )),
    };
    let note = assumed.map(|words| Assumption::new("disc_size_assumed", words));
    (outer, inner, note.into_iter().collect())
}
