//! Depth steps down a lens: marks one depth limit apart.

use super::hold::no_limit;
use super::{Premises, Unanswerable};
use crate::formula::Record;
use crate::gear::{Assumption, DepthSetup};
use crate::optics::{AnyLens, Branch, Chain, DepthStep, DepthSteps, Focus, Limits};
use crate::units::FocusDistance;

/// A chain of depth steps, from far to near.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct StepsAnswer {
    /// What it was worked out from.
    #[cfg_attr(feature = "serde", serde(flatten))]
    pub premises: Premises,
    /// `touching` or `overlapping`.
    pub chain: &'static str,
    /// Where the steps begin.
    #[cfg_attr(feature = "serde", serde(rename = "from_mm"))]
    pub from: FocusDistance,
    /// How near they were to go.
    #[cfg_attr(feature = "serde", serde(rename = "to_mm"))]
    pub to: FocusDistance,
    /// One row a step.
    pub rows: Vec<StepRow>,
    /// The steps of the shallowest plausible lens, where pupils are unknown and
    /// it needs a quarter more of them.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub cautious: Option<Vec<StepRow>>,
    /// What the answer rests on that nobody said.
    pub assumptions: Vec<Assumption>,
}

/// One depth step.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct StepRow {
    /// Where to focus.
    #[cfg_attr(feature = "serde", serde(rename = "focus_mm"))]
    pub focus: FocusDistance,
    /// Near limit.
    #[cfg_attr(feature = "serde", serde(rename = "near_mm"))]
    pub near: FocusDistance,
    /// Far limit.
    #[cfg_attr(feature = "serde", serde(rename = "far_mm"))]
    pub far: FocusDistance,
}

impl StepRow {
    const fn new(focus: FocusDistance, limits: Limits) -> Self {
        Self {
            focus,
            near: limits.near,
            far: limits.far,
        }
    }
}

/// The most steps one asks for: a chain longer than this helps nobody.
pub const MOST_STEPS: usize = 10_000;

/// From where to where, and how neighbouring steps meet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Walk {
    /// The far end.
    pub from: FocusDistance,
    /// The near end to be covered.
    pub to: FocusDistance,
    /// The nearest the lens may be focused.
    pub close_focus: FocusDistance,
    /// How they meet.
    pub chain: Chain,
}

impl StepsAnswer {
    /// The steps to act on: the cautious ones where there are any.
    #[must_use]
    pub fn to_trust(&self) -> &[StepRow] {
        self.cautious.as_ref().unwrap_or(&self.rows)
    }
}

/// The steps that cover a walk; they end where the lens goes no nearer.
///
/// Where the last of touching steps would stand inside close focus, it stands at
/// close focus and overlaps the one before.
///
/// # Errors
/// [`Unanswerable`] where not even one step can be set, or where there are more
/// than [`MOST_STEPS`].
pub fn steps(
    setup: &DepthSetup,
    walk: Walk,
    rec: &mut impl Record,
) -> Result<StepsAnswer, Unanswerable> {
    let rows = chain(&setup.setup.lens, setup, walk, rec)?;
    let cautious = setup
        .setup
        .plausible()
        .iter()
        .filter_map(|build| chain(build, setup, walk, &mut ()).ok())
        .max_by_key(Vec::len)
        .filter(|most| most.len() * 4 > rows.len() * 5);
    let mut assumptions = setup.setup.assumptions.clone();
    if walk.chain == Chain::Touching
        && rows.len() > 1
        && rows.last().map(|last| last.focus) == Some(walk.close_focus)
    {
        assumptions.push(Assumption::new(
            "last_step_at_close_focus",
            "the last step stands at close focus and overlaps the one before",
        ));
    }
    if let Some(last) = rows.last()
        && walk.to.is_nearer_than(last.near)
    {
        assumptions.push(Assumption::new(
            "steps_end_early",
            "the last step does not reach as near as was wanted: the lens focuses no nearer",
        ));
    }
    Ok(StepsAnswer {
        premises: Premises::of(setup, setup.circle.circle, rec),
        chain: match walk.chain {
            Chain::Overlapping => "overlapping",
            Chain::Touching => "touching",
        },
        from: walk.from,
        to: walk.to,
        rows,
        cautious,
        assumptions,
    })
}

fn chain(
    lens: &AnyLens,
    setup: &DepthSetup,
    walk: Walk,
    rec: &mut impl Record,
) -> Result<Vec<StepRow>, Unanswerable> {
    let (n, circle) = (setup.exposure.f_number, setup.circle.circle);
    let mut chain = DepthSteps::new(lens, n, circle, walk.chain, walk.from);
    let mut rows: Vec<StepRow> = Vec::new();
    let mut begin = walk.from;
    loop {
        // A step that is not taken is not told.
        let next = chain.clone().next_step(&mut ());
        let is_set = next.is_ok_and(|step| !step.focus.is_nearer_than(walk.close_focus));
        let last = match (next, walk.chain) {
            _ if is_set => None,
            (_, Chain::Touching) if !begin.is_nearer_than(walk.close_focus) => {
                Some(walk.close_focus)
            }
            (Ok(step), _) if rows.is_empty() => {
                return Err(Unanswerable::InsideCloseFocus {
                    asked: step.focus,
                    close_focus: walk.close_focus,
                });
            }
            (Err(reason), _) if rows.is_empty() => return Err(no_limit(reason, begin)),
            _ => return Ok(rows),
        };
        let row = match last {
            None => match chain.next_step(rec) {
                Ok(DepthStep { focus, limits }) => StepRow::new(focus, limits),
                Err(reason) => return Err(no_limit(reason, begin)),
            },
            Some(focus) => {
                let set = lens.at(focus, Branch::Far, n, rec)?;
                StepRow::new(focus, set.limits(circle, rec))
            }
        };
        rows.push(row);
        begin = row.near;
        if last.is_some() || !walk.to.is_nearer_than(begin) {
            return Ok(rows);
        }
        if rows.len() == MOST_STEPS {
            return Err(Unanswerable::TooManySteps { most: MOST_STEPS });
        }
    }
}
