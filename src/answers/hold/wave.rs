//! The stop that holds a pair: to a circle, or to a wanted contrast.

use crate::answers::Unanswerable;
use crate::formula::{How, Record, Told};
use crate::gear::{HoldSetup, Waves};
use crate::numerics::root_between;
use crate::optics::{AnyLens, Branch, Detail, Focus, NoOptimum, Pair, Split, one_cycle, split};
use crate::units::{Contrast, FNumber, Length};

/// What waves have to say of the stop that holds a pair.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Needed {
    /// The stop at which both are sharpest.
    pub optimum: Option<FNumber>,
    /// The darkest stop that leaves the wanted contrast.
    pub darkest: Option<FNumber>,
    /// The wanted contrast, and the working f-number for each unit of f-number.
    contrast: Option<(Contrast, Detail, f64)>,
}

impl Needed {
    /// Whether a contrast was wanted in place of a circle.
    pub const fn by_contrast(&self) -> bool {
        self.contrast.is_some()
    }

    /// The circle at a stop: the chosen one, or the blur that leaves the wanted
    /// contrast there; at a stop that leaves it nowhere, at the one that just
    /// holds.
    pub fn circle_at(&self, wanted: &HoldSetup, found: &Split, n: FNumber) -> Length {
        let Some((contrast, detail, each)) = &self.contrast else {
            return wanted.circle.circle.diameter();
        };
        let n_w = FNumber::computed(n.value() * each);
        match detail.circle_at(*contrast, n_w, &mut ()) {
            Ok(circle) => circle.diameter(),
            Err(_) => found.circle_at(found.f_number, &mut ()),
        }
    }
}

/// The split of a pair with the f-number that just holds it.
pub(super) fn needed(
    lens: &AnyLens,
    wanted: &HoldSetup,
    pair: Pair,
    rec: &mut impl Record,
) -> Result<(Split, Needed), Unanswerable> {
    let begin = wanted.waves.as_ref().and_then(Waves::wanted);
    let circle = match &begin {
        None => wanted.circle.circle,
        Some((_, detail)) => one_cycle(detail.frequency, rec),
    };
    let found = split(lens, pair.near, pair.far, circle, rec)?;
    let mut needed = Needed {
        optimum: None,
        darkest: None,
        contrast: None,
    };
    let Some(waves) = &wanted.waves else {
        return Ok((found, needed));
    };
    let setting = lens.setting(found.focus(), Branch::Far, rec)?;
    let n = found.f_number;
    let set = lens.set(setting, n, rec);
    let ends = (pair.near, pair.far);
    let Some((contrast, detail)) = begin else {
        let best = set.stop_of_equal_blurs(n, ends, &waves.light, rec);
        needed.optimum = there_is(best)?;
        return Ok((found, needed));
    };
    let Some(best) = there_is(set.sharpest_stop(n, ends, &detail, rec))? else {
        return Ok((found, needed));
    };
    if best.contrast.value() < contrast.value() {
        return Err(Unanswerable::NoStopHolds {
            best: best.contrast,
            at: best.f_number,
        });
    }
    let each = set.working_f_number(&mut ()).value() / n.value();
    let search = Search {
        found: &found,
        contrast,
        detail: &detail,
        each,
    };
    let (widest, how) = search.edge(best.f_number, 0.8);
    let (darkest, _) = search.edge(best.f_number, 1.25);
    let found = found.needing(widest, &mut Told { rec, how });
    Ok((
        found,
        Needed {
            optimum: Some(best.f_number),
            darkest: Some(darkest),
            contrast: Some((contrast, detail, each)),
        },
    ))
}

/// The best stop, if there is one: where nothing is blurred every stop will do.
fn there_is<T>(best: Result<T, NoOptimum>) -> Result<Option<T>, Unanswerable> {
    match best {
        Ok(best) => Ok(Some(best)),
        Err(NoOptimum::InFocus) => Ok(None),
        Err(NoOptimum::BehindPupil { object, pupil }) => {
            Err(Unanswerable::BehindPupil { object, pupil })
        }
    }
}

/// The stops at which just the wanted contrast is left.
struct Search<'a> {
    found: &'a Split,
    contrast: Contrast,
    detail: &'a Detail,
    each: f64,
}

impl Search<'_> {
    /// Contrast left over at a stop.
    fn over(&self, n: f64) -> f64 {
        let n = FNumber::computed(n);
        let blur = self.found.circle_at(n, &mut ());
        let n_w = FNumber::computed(n.value() * self.each);
        self.detail.contrast(blur, n_w).value() - self.contrast.value()
    }

    /// The widest or the darkest stop about the best one, going from it by steps
    /// of a factor, and how it was found.
    fn edge(&self, best: FNumber, by: f64) -> (FNumber, How) {
        let best = best.value();
        let (mut beyond, mut left) = (best * by, 60);
        while self.over(beyond) >= 0.0 && left > 0 {
            beyond *= by;
            left -= 1;
        }
        let found = root_between(|n| self.over(n), best, beyond).unwrap_or(best);
        let how = How::Solved {
            bracket: (best.min(beyond), best.max(beyond)),
            residual: self.over(found),
        };
        (FNumber::computed(found), how)
    }
}
