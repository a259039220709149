//! Marks: where, on one ring, distances stand.

use crate::units::{Angle, FocusDistance, NotFinite, Reach};

/// A place on the ring, counted in its marks' [`PositionUnit`] from any zero and
/// in either direction.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct MarkPosition(f64);

impl MarkPosition {
    /// A position from a number of the marks' unit.
    ///
    /// # Errors
    /// [`NotFinite`] for infinities, for what is not a number and beyond 10⁹.
    pub const fn new(value: f64) -> Result<Self, NotFinite> {
        if value >= -1e9 && value <= 1e9 {
            Ok(Self(value))
        } else {
            Err(NotFinite)
        }
    }

    /// The mean of several settings; `None` of none.
    #[must_use]
    pub fn mean(settings: &[Self]) -> Option<Self> {
        let sum: f64 = settings.iter().map(|setting| setting.0).sum();
        Self::new(sum / settings.len() as f64).ok()
    }

    /// The number, in the marks' unit.
    #[must_use]
    pub const fn value(self) -> f64 {
        self.0
    }
}

/// What positions are counted in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PositionUnit {
    /// Millimetres along the surface they were read on.
    Mm,
    /// Degrees of ring.
    Deg,
    /// Parts of the whole travel.
    Fraction,
    /// Steps of an encoder.
    Counts,
}

impl PositionUnit {
    /// Its name in the JSON contract.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Mm => "mm",
            Self::Deg => "deg",
            Self::Fraction => "fraction",
            Self::Counts => "counts",
        }
    }
}

/// Where a mark's truth comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MarkKind {
    /// Read off, nobody said how; taken as measured.
    Read,
    /// The maker's engraving.
    Engraved,
    /// Found by eye on a focus chart at a taped distance.
    Eye,
}

impl MarkKind {
    /// In words, for sheets and messages.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Read => "read",
            Self::Engraved => "engraved",
            Self::Eye => "eye",
        }
    }
}

/// One mark.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// From the image plane.
    pub distance: FocusDistance,
    /// The distance as it was written: an engraved mark is called by it.
    pub written: String,
    /// Where it stands on the ring: the mean of its settings.
    pub position: MarkPosition,
    /// Its settings, where the ring was set to it more than once; else none.
    pub settings: Vec<MarkPosition>,
    /// Where its truth comes from.
    pub kind: MarkKind,
    /// Standard deviation of its position, where known.
    pub sd: Option<Angle>,
    /// The camera it was taken on, where said.
    pub camera: Option<String>,
}

/// Why marks are none; rows count from 0 in the order they were given.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MarksProblem {
    /// No kind has two rows.
    TooFew {
        /// The most rows any kind has.
        rows: usize,
    },
    /// A distance stands twice within one kind and camera.
    Duplicate {
        /// The later row.
        row: usize,
        /// The earlier one.
        first: usize,
    },
    /// A position does not go on from its neighbour's the way the others do.
    OutOfOrder {
        /// The row that stands wrong: the later one in the file.
        row: usize,
        /// Its neighbour in distance.
        neighbour: usize,
    },
}

/// The marks of one lens: per kind and camera strictly monotone in distance and
/// position, all in one direction.
#[derive(Clone, Debug, PartialEq)]
pub struct Marks {
    unit: PositionUnit,
    rows: Vec<Mark>,
    skipped: usize,
}

/// Marks of one kind and camera, from the farthest to the nearest; at least two.
#[derive(Clone, Debug, PartialEq)]
pub struct MarkSet<'a> {
    /// Their kind.
    pub kind: MarkKind,
    /// The camera they were taken on, where said.
    pub camera: Option<&'a str>,
    /// The marks.
    pub rows: Vec<&'a Mark>,
}

impl Marks {
    /// Marks from rows in any order; `skipped` says how many rows had no
    /// position yet.
    ///
    /// # Errors
    /// Every [`MarksProblem`] there is.
    pub fn new(
        unit: PositionUnit,
        rows: Vec<Mark>,
        skipped: usize,
    ) -> Result<Self, Vec<MarksProblem>> {
        let mut problems = Vec::new();
        let groups = groups(&rows);
        let most = groups.iter().map(Vec::len).max().unwrap_or(0);
        if most < 2 {
            problems.push(MarksProblem::TooFew { rows: most });
        }
        let mut direction = None;
        for group in &groups {
            check_group(&rows, group, &mut direction, &mut problems);
        }
        if problems.is_empty() {
            Ok(Self {
                unit,
                rows,
                skipped,
            })
        } else {
            Err(problems)
        }
    }

    /// What positions are counted in.
    #[must_use]
    pub const fn unit(&self) -> PositionUnit {
        self.unit
    }

    /// Every mark, in the order of the file.
    #[must_use]
    pub fn rows(&self) -> &[Mark] {
        &self.rows
    }

    /// How many rows had no position yet.
    #[must_use]
    pub const fn skipped(&self) -> usize {
        self.skipped
    }

    /// Marks of one kind taken on `camera` (`None`: nobody said on which), from
    /// the farthest to the nearest.
    #[must_use]
    pub fn of(&self, kind: MarkKind, camera: Option<&str>) -> Vec<&Mark> {
        let mut rows: Vec<&Mark> = self
            .rows
            .iter()
            .filter(|mark| mark.kind == kind && mark.camera.as_deref() == camera)
            .collect();
        rows.sort_by(|a, b| far_first(a, b));
        rows
    }

    /// The marks of one kind and camera on either side of a distance: the next one
    /// farther and the next one nearer.
    #[must_use]
    pub fn beside(
        &self,
        kind: MarkKind,
        camera: Option<&str>,
        distance: FocusDistance,
    ) -> (Option<&Mark>, Option<&Mark>) {
        let rows = self.of(kind, camera);
        let nearer = |mark: &&&Mark| mark.distance.is_nearer_than(distance);
        let farther = |mark: &&&Mark| distance.is_nearer_than(mark.distance);
        (
            rows.iter().rev().find(farther).copied(),
            rows.iter().find(nearer).copied(),
        )
    }

    /// Whether positions grow from infinity to close focus.
    #[must_use]
    pub fn grow_toward_close_focus(&self) -> bool {
        let ends = groups(&self.rows).into_iter().find_map(|group| {
            let (&far, &near) = group.first().zip(group.last())?;
            (far != near).then_some((far, near))
        });
        ends.is_some_and(|(far, near)| self.rows[far].position < self.rows[near].position)
    }

    /// The marks a ring's law goes through: found by eye before read before
    /// engraved, those of `camera` before those of no camera before another's;
    /// the first such set of at least two.
    #[must_use]
    pub fn best(&self, camera: Option<&str>) -> Option<MarkSet<'_>> {
        let kinds = [MarkKind::Eye, MarkKind::Read, MarkKind::Engraved];
        self.first_of(&kinds, camera)
    }

    /// The marks of the lens's own scale: engraved before read before found by
    /// eye, cameras in the same order as for [`best`](Self::best).
    #[must_use]
    pub fn own_scale(&self, camera: Option<&str>) -> Option<MarkSet<'_>> {
        let kinds = [MarkKind::Engraved, MarkKind::Read, MarkKind::Eye];
        self.first_of(&kinds, camera)
    }

    /// The first set of at least two marks.
    fn first_of(&self, kinds: &[MarkKind], camera: Option<&str>) -> Option<MarkSet<'_>> {
        let mut cameras: Vec<Option<&str>> = Vec::new();
        let named = self.rows.iter().map(|mark| mark.camera.as_deref());
        let asked = self
            .rows
            .iter()
            .map(|mark| mark.camera.as_deref())
            .filter(|own| *own == camera);
        for own in asked.chain([None]).chain(named) {
            if !cameras.contains(&own) {
                cameras.push(own);
            }
        }
        kinds
            .iter()
            .flat_map(|kind| cameras.iter().map(move |camera| (*kind, *camera)))
            .map(|(kind, camera)| MarkSet {
                kind,
                camera,
                rows: self.of(kind, camera),
            })
            .find(|set| set.rows.len() >= 2)
    }

    /// The engraved marks, from the farthest to the nearest: what a tape is
    /// lined up on.
    #[must_use]
    pub fn engraved(&self) -> Vec<&Mark> {
        let mut rows: Vec<&Mark> = self
            .rows
            .iter()
            .filter(|mark| mark.kind == MarkKind::Engraved)
            .collect();
        rows.sort_by(|a, b| far_first(a, b));
        rows
    }
}

/// Row numbers of each kind and camera, from the farthest to the nearest.
fn groups(rows: &[Mark]) -> Vec<Vec<usize>> {
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for (row, mark) in rows.iter().enumerate() {
        let same = |group: &&mut Vec<usize>| {
            group.first().is_some_and(|&first| {
                rows[first].kind == mark.kind && rows[first].camera == mark.camera
            })
        };
        match groups.iter_mut().find(same) {
            Some(group) => group.push(row),
            None => groups.push(vec![row]),
        }
    }
    for group in &mut groups {
        group.sort_by(|&a, &b| far_first(&rows[a], &rows[b]));
    }
    groups
}

fn far_first(a: &Mark, b: &Mark) -> core::cmp::Ordering {
    match (a.distance.reach(), b.distance.reach()) {
        (Reach::At(a), Reach::At(b)) => b.to_mm().total_cmp(&a.to_mm()),
        (Reach::Infinity, Reach::At(_)) => core::cmp::Ordering::Less,
        (Reach::At(_), Reach::Infinity) => core::cmp::Ordering::Greater,
        (Reach::Infinity, Reach::Infinity) => core::cmp::Ordering::Equal,
    }
}

/// Finds doubled distances and positions that turn back. The direction is that
/// of the first group's ends, and the same for every group after it.
fn check_group(
    rows: &[Mark],
    group: &[usize],
    direction: &mut Option<bool>,
    problems: &mut Vec<MarksProblem>,
) {
    let mut single: Vec<usize> = Vec::with_capacity(group.len());
    for &row in group {
        match single.last() {
            Some(&first) if rows[first].distance == rows[row].distance => {
                problems.push(MarksProblem::Duplicate { row, first });
            }
            _ => single.push(row),
        }
    }
    let (Some(&far), Some(&near)) = (single.first(), single.last()) else {
        return;
    };
    let position = |row: usize| rows[row].position.value();
    if far == near {
        return;
    }
    let grows = *direction.get_or_insert(position(near) > position(far));
    for pair in single.windows(2) {
        let goes_on = if grows {
            position(pair[0]) < position(pair[1])
        } else {
            position(pair[0]) > position(pair[1])
        };
        if !goes_on {
            let (row, neighbour) = (pair[0].max(pair[1]), pair[0].min(pair[1]));
            problems.push(MarksProblem::OutOfOrder { row, neighbour });
        }
    }
}
