//! Tables of figures as they stand on the cards of a set.

use super::fit::widest;
use crate::scene::{Face, Item, Pen, Point, TextRun, Weight};
use crate::units::Length;

/// The height of a line, in heights of its figures.
const LEADING: f64 = 1.42;
/// Above and below the lines of a row, and between columns at least.
const PAD: Length = Length::mm(0.9);
const BETWEEN: Length = Length::mm(1.8);
/// No column is wider than this many times what stands in it.
const LOOSE: f64 = 2.4;

/// What stands on one line of a cell.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Figure {
    pub(super) text: String,
    pub(super) height: Length,
    pub(super) weight: Weight,
}

impl Figure {
    pub(super) fn new(text: impl Into<String>, height: Length, weight: Weight) -> Self {
        Self {
            text: text.into(),
            height,
            weight,
        }
    }

    fn width(&self, scale: f64) -> Length {
        Face::of(self.weight).advance(&self.text, self.height * scale)
    }
}

/// The lines of one cell, from above.
pub(super) type Cell = Vec<Figure>;

/// A table: names of columns, then rows of as many cells.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Grid {
    /// Over the columns, each of one or two lines.
    pub(super) head: Vec<Cell>,
    pub(super) rows: Vec<Vec<Cell>>,
    /// Columns before which a heavy line stands.
    pub(super) parted: Vec<usize>,
}

impl Grid {
    /// With the columns kept that are named.
    pub(super) fn with_columns(&self, kept: &[usize]) -> Self {
        let of = |cells: &Vec<Cell>| -> Vec<Cell> {
            kept.iter()
                .filter_map(|&at| cells.get(at).cloned())
                .collect()
        };
        let place = |column: &usize| kept.iter().position(|at| at == column);
        Self {
            head: of(&self.head),
            rows: self.rows.iter().map(of).collect(),
            parted: self.parted.iter().filter_map(place).collect(),
        }
    }

    /// With the rows kept that are wanted.
    pub(super) fn with_rows(self, wanted: impl Fn(usize) -> bool) -> Self {
        let rows = (0..).zip(self.rows).filter(|(at, _)| wanted(*at));
        Self {
            rows: rows.map(|(_, row)| row).collect(),
            ..self
        }
    }

    fn lines(cells: &[Cell]) -> Vec<Length> {
        let count = cells.iter().map(Vec::len).max().unwrap_or(0);
        let tallest = |line: usize| {
            let all = cells.iter().filter_map(|cell| cell.get(line));
            all.map(|figure| figure.height)
                .fold(Length::ZERO, Length::max)
        };
        (0..count).map(tallest).collect()
    }

    fn height_of(lines: &[Length], scale: f64) -> Length {
        let sum = lines.iter().fold(Length::ZERO, |sum, line| sum + *line);
        sum * (LEADING * scale) + PAD
    }

    /// The height of its head.
    pub(super) fn head_height(&self, scale: f64) -> Length {
        Self::height_of(&Self::lines(&self.head), scale)
    }

    /// The height of a row, the tallest of all.
    pub(super) fn row_height(&self, scale: f64) -> Length {
        let rows = self.rows.iter().map(|row| Self::lines(row));
        let heights = rows.map(|lines| Self::height_of(&lines, scale));
        heights.fold(Length::ZERO, Length::max)
    }

    /// The least widths of its columns.
    fn widths(&self, scale: f64) -> Vec<Length> {
        (0..self.head.len())
            .map(|at| {
                let cells = self.rows.iter().chain([&self.head]);
                let figures = cells.filter_map(|cells| cells.get(at)).flatten();
                figures
                    .map(|figure| figure.width(scale))
                    .fold(Length::ZERO, Length::max)
                    + BETWEEN
            })
            .collect()
    }

    /// Whether its columns fit in a width.
    pub(super) fn fits(&self, scale: f64, width: Length) -> bool {
        let widths = self.widths(scale).into_iter();
        widths.fold(Length::ZERO, |sum, width| sum + width) <= width
    }

    /// Where its columns begin, and the end of the last.
    fn columns(&self, scale: f64, (left, right): (Length, Length)) -> Vec<Length> {
        let widths = self.widths(scale);
        let sum = widths.iter().fold(Length::ZERO, |sum, width| sum + *width);
        let free = ((right - left) - sum).max(Length::ZERO);
        let spare = (free / widths.len().max(1) as f64).min(sum * (LOOSE - 1.0));
        let mut at = left;
        let mut columns = vec![left];
        for width in &widths {
            at = at + *width + spare;
            columns.push(at);
        }
        columns
    }

    /// The head and some of the rows, so many millimetres each, from a top down;
    /// the first column stands at its left edge, all others about their middle.
    pub(super) fn items(
        &self,
        rows: core::ops::Range<usize>,
        scale: f64,
        (top, pitch): (Length, Length),
        ends: (Length, Length),
    ) -> Vec<Item> {
        let columns = self.columns(scale, ends);
        let mut items = Vec::new();
        let shown = self.rows.get(rows).unwrap_or_default();
        let head = self.head_height(scale);
        items.extend(self.cells(&self.head, shown, &columns, (top, head), scale));
        let mut down = top + head;
        let right = columns.last().copied().unwrap_or(ends.1).max(ends.1);
        let rule = |y| Item::line(Point::new(ends.0, y), Point::new(right, y), Pen::FINE);
        items.push(rule(down));
        for row in shown {
            items.extend(self.cells(row, shown, &columns, (down, pitch), scale));
            down = down + pitch;
            items.push(rule(down));
        }
        for x in self.parted.iter().filter_map(|&at| columns.get(at)) {
            items.push(Item::line(
                Point::new(*x, top + PAD),
                Point::new(*x, down),
                Pen::FINE,
            ));
        }
        items
    }

    fn cells(
        &self,
        cells: &[Cell],
        rows: &[Vec<Cell>],
        columns: &[Length],
        (top, pitch): (Length, Length),
        scale: f64,
    ) -> Vec<Item> {
        let lines = Self::lines(cells);
        let sum = lines.iter().fold(Length::ZERO, |sum, line| sum + *line);
        let first = top + (pitch - sum * (LEADING * scale)) / 2.0;
        let mut items = Vec::new();
        for (at, cell) in cells.iter().enumerate() {
            let (Some(&left), Some(&right)) = (columns.get(at), columns.get(at + 1)) else {
                continue;
            };
            let mut down = first;
            for (line, figure) in cell.iter().enumerate() {
                let tallest = lines.get(line).copied().unwrap_or(figure.height) * scale;
                let height = figure.height * scale;
                let baseline = down + tallest * ((LEADING + 1.0) / 2.0);
                down = down + tallest * LEADING;
                if figure.text.is_empty() {
                    continue;
                }
                let run = |x| {
                    let run = TextRun::new(&figure.text, height, Point::new(x, baseline));
                    match figure.weight {
                        Weight::Regular => run,
                        Weight::Bold => run.bold(),
                    }
                };
                items.push(if at == 0 {
                    run(left).into()
                } else if core::ptr::eq(cells, self.head.as_slice()) {
                    run((left + right) / 2.0).middle().into()
                } else {
                    // Figures of a column end where the widest of them does.
                    let same = rows.iter().filter_map(|row| row.get(at)?.get(line));
                    let same = same.filter(|other| other.weight == figure.weight);
                    let texts = same.map(|other| other.text.as_str());
                    let widest = widest(texts, figure.weight, height);
                    run((left + right + widest) / 2.0).end().into()
                });
            }
        }
        items
    }
}
