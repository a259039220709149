//! Which marks get a figure, and where it stands.
//!
//! Marks crowd toward infinity, so not all can have a figure. Each candidate
//! has at most three places: straight at its tick, or moved aside on a leader
//! to the left or the right. Figures keep the order of their ticks, so leaders
//! never cross. Of all choices in which no two figures come closer than the
//! gap and none leaves the range, the one is taken that has, in this order,
//!
//! 1. every required figure, else there is no choice at all;
//! 2. the greatest sum of worth;
//! 3. the fewest leaders;
//! 4. the fewest figures;
//! 5. its figures nearest close focus (greatest sum of their positions, which
//!    grow toward it).
//!
//! The answer is exact. Ticks are taken in order; the best that can stand left
//! of a place is the best over all earlier figures whose right edge leaves the
//! gap, a prefix maximum over right edges kept in a tree: O(n log n).

use core::cmp::Reverse;
use core::fmt;

use crate::sheets::{Duty, Worth};
use crate::units::Length;

/// A mark that would like a figure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Candidate {
    /// Where its tick stands, growing toward close focus.
    pub tick: Length,
    /// Width of its figure.
    pub width: Length,
    /// What the figure is worth.
    pub worth: Worth,
    /// Whether it may be left out.
    pub duty: Duty,
    /// Whether it may stand aside on a leader.
    pub leads: bool,
}

/// What all figures of one scale must keep to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rule {
    /// No figure reaches below this.
    pub from: Length,
    /// No figure reaches above this.
    pub to: Length,
    /// Least distance between two figures.
    pub gap: Length,
    /// How far a leader moves the middle of a figure aside; with zero (or
    /// less) there are no leaders.
    pub leader: Length,
}

/// Where a figure stands in relation to its tick.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// Its middle at the tick.
    Straight,
    /// Moved toward infinity, with a line to its tick.
    LeaderLeft,
    /// Moved toward close focus, with a line to its tick.
    LeaderRight,
}

/// A figure that is printed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Chosen {
    /// Which candidate it is, by its index in what was given.
    pub candidate: usize,
    /// Where it stands in relation to its tick.
    pub place: Place,
    /// Where its middle stands.
    pub middle: Length,
}

/// Required figures that cannot all be printed, by their indices in what was given.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DoesNotFit {
    /// These two collide wherever they are put.
    Pair {
        /// The one nearer infinity.
        first: usize,
        /// The one nearer close focus.
        second: usize,
    },
    /// This one alone has no place within the range.
    Alone {
        /// The one.
        candidate: usize,
    },
}

impl fmt::Display for DoesNotFit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Pair { first, second } => {
                write!(
                    f,
                    "required figures {first} and {second} do not fit beside each other"
                )
            }
            Self::Alone { candidate } => {
                write!(f, "required figure {candidate} does not fit on the scale")
            }
        }
    }
}

impl core::error::Error for DoesNotFit {}

/// What a choice is judged by, the first difference deciding.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Score {
    required: u32,
    worth: u64,
    leaders: Reverse<u32>,
    figures: Reverse<u32>,
    /// Sum of the middles in whole nanometres, exact so that sums do not
    /// depend on their order.
    nearness: i64,
}

impl Score {
    const NOTHING: Self = Self {
        required: 0,
        worth: 0,
        leaders: Reverse(0),
        figures: Reverse(0),
        nearness: 0,
    };

    fn with(self, candidate: &Candidate, spot: &Spot) -> Self {
        let leads = u32::from(spot.place != Place::Straight);
        Self {
            required: self.required + u32::from(candidate.duty == Duty::Required),
            worth: self.worth + u64::from(candidate.worth.points()),
            leaders: Reverse(self.leaders.0 + leads),
            figures: Reverse(self.figures.0 + 1),
            nearness: self
                .nearness
                .saturating_add((spot.middle.to_mm() * 1e6) as i64),
        }
    }
}

/// One of the places a candidate may stand in.
#[derive(Clone, Copy, Debug)]
struct Spot {
    candidate: usize,
    place: Place,
    middle: Length,
    left: Length,
    right: Length,
}

impl Rule {
    /// The places of a candidate that lie within the range.
    fn spots(&self, index: usize, candidate: &Candidate) -> impl Iterator<Item = Spot> {
        let half = candidate.width.abs() / 2.0;
        let aside = self.leader;
        let places = [
            (Place::Straight, Length::ZERO),
            (Place::LeaderLeft, -aside),
            (Place::LeaderRight, aside),
        ];
        let (from, to, tick) = (self.from, self.to, candidate.tick);
        let leads = candidate.leads && aside.is_positive();
        places
            .into_iter()
            .filter(move |(place, _)| leads || *place == Place::Straight)
            .map(move |(place, shift)| Spot {
                candidate: index,
                place,
                middle: tick + shift,
                left: tick + shift - half,
                right: tick + shift + half,
            })
            .filter(move |spot| spot.left >= from && spot.right <= to)
    }
}

/// Chooses the figures to print, in the order of their ticks.
///
/// # Errors
/// [`DoesNotFit`] when the required figures alone already collide.
pub fn choose(candidates: &[Candidate], rule: &Rule) -> Result<Vec<Chosen>, DoesNotFit> {
    let mut order: Vec<usize> = (0..candidates.len()).collect();
    order.sort_by(|&one, &other| {
        let (one, other) = (candidates[one].tick, candidates[other].tick);
        one.to_mm().total_cmp(&other.to_mm())
    });
    required_fit(candidates, &order, rule)?;

    let spots: Vec<Spot> = order
        .iter()
        .flat_map(|&index| rule.spots(index, &candidates[index]))
        .collect();
    let mut edges: Vec<Length> = spots.iter().map(|spot| spot.right).collect();
    edges.sort_by(|one, other| one.to_mm().total_cmp(&other.to_mm()));

    // For each spot, the best score of a choice that ends with it, and the spot
    // before it in that choice.
    let mut best: Vec<(Score, Option<usize>)> = Vec::with_capacity(spots.len());
    let mut tree = PrefixMaxima::new(edges.len());
    let mut settled = 0;
    for spot in &spots {
        // Spots of one tick must not follow each other: they enter together.
        while spots[settled].candidate != spot.candidate {
            let edge = edges.partition_point(|&edge| edge < spots[settled].right);
            tree.raise(edge, best[settled].0, settled);
            settled += 1;
        }
        let clear = edges.partition_point(|&edge| edge + rule.gap <= spot.left);
        let before = tree.best_below(clear);
        let (score, link) = match before {
            Some((score, link)) if score > Score::NOTHING => (score, Some(link)),
            _ => (Score::NOTHING, None),
        };
        best.push((score.with(&candidates[spot.candidate], spot), link));
    }

    let last = (0..best.len()).max_by_key(|&index| best[index].0);
    let mut next = last.filter(|&index| best[index].0 > Score::NOTHING);
    let mut chosen = Vec::new();
    while let Some(index) = next {
        let spot = &spots[index];
        chosen.push(Chosen {
            candidate: spot.candidate,
            place: spot.place,
            middle: spot.middle,
        });
        next = best[index].1;
    }
    chosen.reverse();
    Ok(chosen)
}

/// Whether the required figures fit by themselves: each in turn as far toward
/// infinity as the one before allows, which leaves the most room for the rest.
fn required_fit(candidates: &[Candidate], order: &[usize], rule: &Rule) -> Result<(), DoesNotFit> {
    let mut before: Option<(usize, Length)> = None;
    for &index in order {
        let candidate = &candidates[index];
        if candidate.duty == Duty::Wanted {
            continue;
        }
        let mut spots = rule.spots(index, candidate).peekable();
        if spots.peek().is_none() {
            return Err(DoesNotFit::Alone { candidate: index });
        }
        let farthest = spots
            .filter(|spot| before.is_none_or(|(_, edge)| edge + rule.gap <= spot.left))
            .map(|spot| spot.right)
            .reduce(Length::min);
        before = match (farthest, before) {
            (Some(edge), _) => Some((index, edge)),
            (None, Some((first, _))) => {
                return Err(DoesNotFit::Pair {
                    first,
                    second: index,
                });
            }
            (None, None) => return Err(DoesNotFit::Alone { candidate: index }),
        };
    }
    Ok(())
}

/// Best scores by right edge; asks for the best below an edge in O(log n).
struct PrefixMaxima(Vec<Option<(Score, usize)>>);

impl PrefixMaxima {
    fn new(edges: usize) -> Self {
        Self(vec![None; edges + 1])
    }

    /// Enters a score at an edge.
    fn raise(&mut self, edge: usize, score: Score, spot: usize) {
        let mut node = edge + 1;
        while node < self.0.len() {
            if self.0[node].is_none_or(|(known, _)| score > known) {
                self.0[node] = Some((score, spot));
            }
            node += node & node.wrapping_neg();
        }
    }

    /// The best score entered at any of the first `count` edges.
    fn best_below(&self, count: usize) -> Option<(Score, usize)> {
        let mut node = count;
        let mut best: Option<(Score, usize)> = None;
        while node > 0 {
            if let Some(here) = self.0[node]
                && best.is_none_or(|(known, _)| here.0 > known)
            {
                best = Some(here);
            }
            node -= node & node.wrapping_neg();
        }
        best
    }
}

#[cfg(test)]
#[path = "labels_tests.rs"]
mod tests;
