//! A row of a tape that is filled with words wherever there is room.

use crate::units::Length;

/// Between two things in the row.
const GAP: Length = Length::mm(2.0);

/// A row from left to right, as it is read, and what is taken of it.
#[derive(Clone, Debug)]
pub(in crate::draw) struct Line {
    from: Length,
    to: Length,
    taken: Vec<(Length, Length)>,
}

impl Line {
    pub(in crate::draw) const fn new(from: Length, to: Length) -> Self {
        Self {
            from,
            to,
            taken: Vec::new(),
        }
    }

    /// Takes a stretch, whether it was free or not.
    pub(in crate::draw) fn take(&mut self, from: Length, to: Length) {
        self.taken.push((from, to));
        self.taken
            .sort_by(|one, other| one.0.to_mm().total_cmp(&other.0.to_mm()));
    }

    /// Whether a stretch lies in the row and is free.
    pub(in crate::draw) fn is_free(&self, from: Length, to: Length) -> bool {
        let clear = |&(one, other): &(Length, Length)| to + GAP <= one || other + GAP <= from;
        from >= self.from && to <= self.to && self.taken.iter().all(clear)
    }

    /// Whether a stretch is free, things that are taken from one place to another
    /// left out of account: what belongs to them may stand close to them.
    pub(in crate::draw) fn is_free_beside(
        &self,
        own: (Length, Length),
        from: Length,
        to: Length,
    ) -> bool {
        let others = Self {
            taken: self.taken.iter().copied().filter(|&it| it != own).collect(),
            ..*self
        };
        others.is_free(from, to)
    }

    /// Takes the free stretch of a width whose middle is nearest to a place and
    /// gives its left end; `None` when there is none.
    pub(in crate::draw) fn place(&mut self, width: Length, near: Length) -> Option<Length> {
        let mut left = self.from;
        let mut best: Option<Length> = None;
        let wished = near - width / 2.0;
        let off = |at: Length| (at - wished).abs();
        let ends = self.taken.iter().map(|&(from, to)| (from - GAP, to + GAP));
        for (end, next) in ends.chain([(self.to, self.to)]) {
            if left + width <= end {
                let at = wished.max(left).min(end - width);
                if best.is_none_or(|known| off(at) < off(known)) {
                    best = Some(at);
                }
            }
            left = left.max(next);
        }
        let at = best?;
        self.take(at, at + width);
        Some(at)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn things_are_put_as_near_as_can_be_and_never_on_one_another() {
        let mm = Length::mm;
        let mut line = Line::new(mm(0.0), mm(50.0));
        line.take(mm(20.0), mm(30.0));
        assert_eq!(line.place(mm(8.0), mm(25.0)), Some(mm(10.0)));
        assert_eq!(line.place(mm(8.0), mm(25.0)), Some(mm(32.0)));
        assert_eq!(line.place(mm(8.0), mm(0.0)), Some(mm(0.0)));
        assert_eq!(line.place(mm(9.0), mm(0.0)), None);
        assert!(line.is_free(mm(42.0), mm(50.0)) && !line.is_free(mm(41.0), mm(50.0)));
    }
}
