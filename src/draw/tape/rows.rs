//! How the height of a tape is shared out.
//!
//! Heights are counted from the edge that meets the witness mark.

use crate::units::Length;

/// Height of a tape where the ring's free width is not known.
pub(super) const USUAL: Length = Length::mm(16.0);
/// A tape is no higher than this (1 in, the widest cloth tape), however much is free.
const HIGHEST: Length = Length::mm(25.4);
/// Under this, ticks and figures of 2 mm have no room.
pub(super) const LEAST: Length = Length::mm(4.8);

/// A row of words or figures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Row {
    /// Where its foot is.
    pub(super) foot: Length,
    /// Height of its figures.
    pub(super) height: Length,
}

/// The rows of a tape.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Rows {
    /// The whole height.
    pub(super) height: Length,
    /// Where long ticks end.
    pub(super) long: Length,
    /// Where shorter ones end, and leaders begin.
    pub(super) short: Length,
    /// Where ticks without a figure end.
    pub(super) bare: Length,
    /// Large figures of long ticks; those of others stand on the same foot.
    pub(super) large: Row,
    /// Height of the large figures of shorter ticks.
    pub(super) minor: Length,
    /// For the sharp dimension and words.
    pub(super) middle: Option<Row>,
    /// Small figures in the other unit.
    pub(super) small: Option<Row>,
    /// Length of their ticks.
    pub(super) small_tick: Length,
}

impl Rows {
    /// The rows of a tape on a free width; `words` when there is no other place
    /// for words, which then come before the other unit. `None` below 4.8 mm.
    pub(super) fn of(free: Length, words: bool) -> Option<Self> {
        let height = free.min(HIGHEST);
        let rows = match height.to_mm() {
            mm if mm < LEAST.to_mm() => return None,
            mm if mm >= 15.0 => Self::scaled(
                height,
                16.0,
                [4.3, 4.8, 3.4, 2.8],
                Some(9.1),
                Some((12.1, 1.5)),
            ),
            mm if mm >= 11.5 && words => {
                Self::scaled(height, 12.0, [3.6, 4.0, 3.0, 2.6], Some(8.6), None)
            }
            mm if mm >= 11.5 => {
                Self::scaled(height, 12.0, [3.6, 4.0, 3.0, 2.6], None, Some((7.9, 1.4)))
            }
            mm if mm >= 7.8 => Self::scaled(height, 8.0, [2.35, 2.6, 2.4, 2.2], Some(5.5), None),
            _ => Self::scaled(height, 4.8, [1.9, 2.2, 2.0, 2.0], None, None),
        };
        Some(rows)
    }

    /// Rows drawn up for one height (long ticks, foot and two heights of the
    /// large figures, foot of the middle row, foot and ticks of the small one),
    /// stretched to another; no figures under 2 mm.
    fn scaled(
        height: Length,
        drawn: f64,
        [long, foot, major, minor]: [f64; 4],
        middle: Option<f64>,
        small: Option<(f64, f64)>,
    ) -> Self {
        let by = height.to_mm() / drawn;
        let mm = |value: f64| Length::mm(value * by);
        let words = |foot: f64| Row {
            foot: mm(foot),
            height: Length::mm(2.0).max(mm(2.0).min(Length::mm(2.6))),
        };
        Self {
            height,
            long: mm(long),
            short: mm(long * 0.68),
            bare: mm(long * 0.42),
            large: Row {
                foot: mm(foot),
                height: mm(major).max(Length::mm(2.0)),
            },
            minor: mm(minor).max(Length::mm(2.0)),
            middle: middle.map(words),
            small: small.map(|(foot, _)| words(foot)),
            small_tick: mm(small.map_or(0.0, |(_, tick)| tick)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_never_touch_and_figures_are_never_under_2_mm() {
        for tenths in 48..300 {
            for words in [false, true] {
                let free = Length::mm(f64::from(tenths) / 10.0);
                let rows = Rows::of(free, words).expect("high enough");
                let gap = Length::mm(0.2);
                let mut edge = rows.long;
                let all = [Some(rows.large), rows.middle, rows.small];
                for row in all.into_iter().flatten() {
                    assert!(row.foot >= edge + gap, "{tenths} {row:?}");
                    assert!(row.height.to_mm() >= 2.0);
                    edge = row.foot + row.height;
                }
                assert!(edge + rows.small_tick <= rows.height, "{tenths}");
                assert!(rows.minor.to_mm() >= 2.0 && rows.minor <= rows.large.height);
                assert!(rows.height <= free);
            }
        }
    }

    #[test]
    fn from_15_mm_the_smallest_large_figure_has_2_and_a_half() {
        for tenths in 150..300 {
            let rows = Rows::of(Length::mm(f64::from(tenths) / 10.0), false).expect("high");
            assert!(rows.minor.to_mm() >= 2.5 && rows.small.is_some());
        }
    }
}
