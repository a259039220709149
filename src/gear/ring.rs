//! The focus ring: which way it turns, how far, and what is round it.

use crate::units::{Angle, Length, Unreadable, range};

/// Thickness of office paper of 80 g/m², of which tapes and strips are printed.
pub const OFFICE_PAPER: Length = Length::mm(0.10);

/// The way a ring TURNS from infinity to close focus, seen from behind the
/// camera.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sense {
    /// The ring's top moves to the right.
    Clockwise,
    /// The ring's top moves to the left.
    CounterClockwise,
}

impl Sense {
    /// As kits and sheets write it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Clockwise => "clockwise",
            Self::CounterClockwise => "counter-clockwise",
        }
    }

    /// The other way round.
    #[must_use]
    pub const fn reversed(self) -> Self {
        match self {
            Self::Clockwise => Self::CounterClockwise,
            Self::CounterClockwise => Self::Clockwise,
        }
    }

    /// What it means, so that nobody has to guess.
    #[must_use]
    pub const fn in_words(self) -> &'static str {
        match self {
            Self::Clockwise => {
                "turned from infinity to close focus, the ring goes clockwise seen from behind \
                 the camera: its top moves to the right"
            }
            Self::CounterClockwise => {
                "turned from infinity to close focus, the ring goes counter-clockwise seen from \
                 behind the camera: its top moves to the left"
            }
        }
    }
}

/// Which edge of a tape meets the witness mark.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum WitnessEdge {
    /// The edge toward the camera.
    #[default]
    Rear,
    /// The edge toward the front of the lens.
    Front,
}

/// From which side of the camera a tape is read, seen from behind it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Side {
    /// From the camera's left.
    #[default]
    Left,
    /// From the camera's right.
    Right,
}

/// From which sides of the camera tapes are wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sides {
    /// The camera's left, looking where the lens looks.
    Left,
    /// The camera's right.
    Right,
    /// One for either.
    Both,
}

impl Sides {
    /// Each side wanted.
    #[must_use]
    pub const fn each(self) -> &'static [Side] {
        match self {
            Self::Left => &[Side::Left],
            Self::Right => &[Side::Right],
            Self::Both => &[Side::Left, Side::Right],
        }
    }
}

/// Where the ring comes up against something.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HardStops {
    /// At both ends.
    Both,
    /// Beyond infinity only.
    Infinity,
    /// Beyond close focus only.
    Near,
    /// Nowhere: it turns on.
    None,
}

/// How the way round the bare ring was measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Round {
    /// By a strip wrapped over what is stuck on already.
    Circumference(Length),
    /// Across.
    Diameter(Length),
}

impl Round {
    /// The way round.
    #[must_use]
    pub fn circumference(self) -> Length {
        match self {
            Self::Circumference(length) => length,
            Self::Diameter(across) => across * core::f64::consts::PI,
        }
    }
}

/// How the ring's travel from the infinity to the close-focus mark was measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Travel {
    /// As a turn.
    Turn(Angle),
    /// As an arc along the ring, on the same surface as its way round.
    Arc(Length),
}

/// What is written down of a ring; what is `None` is not known.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct RingWritten {
    /// The way it turns.
    pub sense: Option<Sense>,
    /// The way round it, 20 to 2000 mm.
    pub round: Option<Round>,
    /// From the infinity mark to the close-focus mark.
    pub travel: Option<Travel>,
    /// How far it turns beyond the infinity mark, 0 to 3600°.
    pub beyond_infinity: Option<Angle>,
    /// How far it turns beyond the close-focus mark, 0 to 3600°.
    pub beyond_near: Option<Angle>,
    /// Where it comes up against something.
    pub stops: Option<HardStops>,
    /// Which edge of a tape meets the witness mark; the rear one unless said.
    pub witness: Option<WitnessEdge>,
    /// The free width for a tape.
    pub band: Option<Length>,
    /// The diameter of the surface marks were read on.
    pub marks_diameter: Option<Length>,
    /// Thickness of the tape; 0.10 mm, office paper, unless said.
    pub tape_thickness: Option<Length>,
}

/// Why a ring cannot be as written.
#[derive(Clone, Debug, PartialEq)]
pub enum RingProblem {
    /// A travel in mm on a ring whose way round nobody wrote down.
    ArcOnUnknownRing,
    /// The way round is out of range.
    Round(Unreadable),
    /// The travel is out of range.
    Travel(Unreadable),
    /// The turn beyond the infinity mark is below zero or out of range.
    BeyondInfinity(Unreadable),
    /// The turn beyond the close-focus mark is below zero or out of range.
    BeyondNear(Unreadable),
    /// The free width is out of range.
    Band(Unreadable),
    /// The diameter marks were read on is out of range.
    MarksDiameter(Unreadable),
    /// The tape's thickness is out of range.
    TapeThickness(Unreadable),
}

/// A focus ring.
///
/// Get one from [`Ring::new`]; a ring of which nothing is known is
/// `Ring::default()`.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Ring {
    written: RingWritten,
    circumference: Option<Length>,
    travel: Option<Angle>,
}

impl Ring {
    /// A ring from what is written down.
    ///
    /// # Errors
    /// Every [`RingProblem`] there is.
    pub fn new(written: RingWritten) -> Result<Self, Vec<RingProblem>> {
        let mut problems = Vec::new();
        let circumference = written.round.map(Round::circumference);
        let travel = match (written.travel, circumference) {
            (None, _) => None,
            (Some(Travel::Turn(turn)), _) => Some(turn),
            (Some(Travel::Arc(arc)), Some(round)) => arc
                .ratio_to(round)
                .map(|part| Angle::deg(360.0 * part.value())),
            (Some(Travel::Arc(_)), None) => {
                problems.push(RingProblem::ArcOnUnknownRing);
                None
            }
        };
        let mut check = |figure: Option<f64>,
                         range: &'static range::Range,
                         problem: fn(Unreadable) -> RingProblem| {
            if let Some(Err(reason)) = figure.map(|figure| range.check(figure)) {
                problems.push(problem(reason));
            }
        };
        let mm = |length: Option<Length>| length.map(Length::to_mm);
        let deg = |angle: Option<Angle>| angle.map(Angle::to_deg);
        check(mm(circumference), &range::CIRCUMFERENCE, RingProblem::Round);
        check(deg(travel), &range::TRAVEL_ANGLE, RingProblem::Travel);
        check(
            deg(written.beyond_infinity),
            &range::TURN_BEYOND,
            RingProblem::BeyondInfinity,
        );
        check(
            deg(written.beyond_near),
            &range::TURN_BEYOND,
            RingProblem::BeyondNear,
        );
        check(mm(written.band), &range::BAND, RingProblem::Band);
        check(
            mm(written.marks_diameter),
            &range::DIAMETER,
            RingProblem::MarksDiameter,
        );
        check(
            mm(written.tape_thickness),
            &range::TAPE_THICKNESS,
            RingProblem::TapeThickness,
        );
        if problems.is_empty() {
            Ok(Self {
                written,
                circumference,
                travel,
            })
        } else {
            Err(problems)
        }
    }

    /// The way it turns from infinity to close focus.
    #[must_use]
    pub const fn sense(&self) -> Option<Sense> {
        self.written.sense
    }

    /// The way round the ring, over what is stuck on already.
    #[must_use]
    pub const fn circumference(&self) -> Option<Length> {
        self.circumference
    }

    /// Its turn from the infinity mark to the close-focus mark.
    #[must_use]
    pub const fn travel(&self) -> Option<Angle> {
        self.travel
    }

    /// Its turn beyond the infinity mark.
    #[must_use]
    pub const fn beyond_infinity(&self) -> Option<Angle> {
        self.written.beyond_infinity
    }

    /// Its turn beyond the close-focus mark.
    #[must_use]
    pub const fn beyond_near(&self) -> Option<Angle> {
        self.written.beyond_near
    }

    /// Where it comes up against something; `None`: nobody said.
    #[must_use]
    pub const fn stops(&self) -> Option<HardStops> {
        self.written.stops
    }

    /// Which edge of a tape meets the witness mark.
    #[must_use]
    pub fn witness(&self) -> WitnessEdge {
        self.written.witness.unwrap_or_default()
    }

    /// The free width for a tape.
    #[must_use]
    pub const fn band(&self) -> Option<Length> {
        self.written.band
    }

    /// The diameter of the surface the marks were read on.
    #[must_use]
    pub const fn marks_diameter(&self) -> Option<Length> {
        self.written.marks_diameter
    }

    /// Thickness of the tape: as written, else 0.10 mm (office paper).
    #[must_use]
    pub fn tape_thickness(&self) -> Length {
        self.written.tape_thickness.unwrap_or(OFFICE_PAPER)
    }
}
