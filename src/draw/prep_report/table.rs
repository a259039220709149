//! Tables whose rows run on from page to page.

use super::flow::{LEADING, Line, Slab};
use crate::scene::{Face, Item, Pen, Point, printable};
use crate::units::Length;

/// Beside the words of a cell, in millimetres, in a ruled table and in one without
/// rules.
const BESIDE: [f64; 2] = [1.1, 1.8];
/// Above and below them, in a ruled table and in one without rules.
const ABOVE: [f64; 2] = [1.3, 0.9];
/// Heads of columns.
const HEAD: f64 = 2.5;
/// A name longer than this is cut, if need be.
const LONGEST_NAME: f64 = 17.0;

/// Where the words of a column stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Side {
    Left,
    Right,
}

/// A column.
#[derive(Clone, Debug)]
pub(super) struct Column {
    pub(super) head: String,
    pub(super) side: Side,
    /// Whether its words may be cut: names that anyone may have written.
    pub(super) names: bool,
    /// What is left blank to be written in, at least, in millimetres.
    pub(super) blank: f64,
}

impl Column {
    pub(super) fn left(head: &str) -> Self {
        Self {
            head: head.to_owned(),
            side: Side::Left,
            names: false,
            blank: 0.0,
        }
    }

    pub(super) fn right(head: &str) -> Self {
        Self {
            side: Side::Right,
            ..Self::left(head)
        }
    }
}

/// Rows of cells, each of some lines.
#[derive(Clone, Debug)]
pub(super) struct Table {
    pub(super) columns: Vec<Column>,
    pub(super) rows: Vec<Vec<Vec<Line>>>,
    /// Whether every cell is framed.
    pub(super) ruled: bool,
    /// The height of a row, at least.
    pub(super) row: f64,
}

impl Table {
    /// Its head and its rows; `None` where the width is too small for them.
    pub(super) fn slabs(&self, width: f64) -> Option<(Slab, Vec<Slab>)> {
        let widths = self.widths(width)?;
        let heads = self.columns.iter();
        let heads = heads.map(|column| vec![Line::regular(&column.head, HEAD)]);
        let mut head = self.row(&heads.collect::<Vec<_>>(), &widths, 0.0);
        if !self.ruled {
            let end: f64 = widths.iter().sum();
            let at = |x| Point::mm(x, head.height);
            head.items.push(Item::line(at(0.0), at(end), Pen::FINE));
        }
        let rows = self.rows.iter();
        let rows = rows.map(|row| self.row(row, &widths, self.row));
        Some((head, rows.collect()))
    }

    const fn beside(&self) -> f64 {
        let [ruled, plain] = BESIDE;
        if self.ruled { ruled } else { plain }
    }

    /// Widths of the columns, what is beside their words included.
    fn widths(&self, width: f64) -> Option<Vec<f64>> {
        let beside = 2.0 * self.beside();
        let cells = |at: usize| self.rows.iter().filter_map(move |row| row.get(at));
        let wished: Vec<(f64, f64)> = self
            .columns
            .iter()
            .enumerate()
            .map(|(at, column)| {
                let head = Line::regular(&column.head, HEAD);
                let lines = || cells(at).flatten();
                let most = if column.names { LONGEST_NAME } else { f64::MAX };
                let word = |line| widest_word(line).min(most);
                let least = lines().map(word).fold(widest_word(&head), f64::max);
                let whole = lines().map(|line| advance(line, &line.text));
                let whole = whole.fold(least.max(column.blank), f64::max);
                (least.max(column.blank) + beside, whole + beside)
            })
            .collect();
        let sum = |of: fn(&(f64, f64)) -> f64| wished.iter().map(of).sum::<f64>();
        let (least, whole) = (sum(|one| one.0), sum(|one| one.1));
        if least > width {
            return None;
        }
        if whole > width {
            let part = (width - least) / (whole - least);
            let between = wished.iter().map(|one| one.0 + (one.1 - one.0) * part);
            return Some(between.collect());
        }
        // What is over goes to what is to be written in, else to all alike.
        let blank: Vec<bool> = self.columns.iter().map(|one| one.blank > 0.0).collect();
        let any = blank.contains(&true);
        let count = blank.iter().filter(|one| **one || !any).count();
        let over = (width - whole) / count as f64;
        let each = wished.iter().zip(blank);
        let each = each.map(|(one, blank)| one.1 + if blank || !any { over } else { 0.0 });
        Some(each.collect())
    }

    /// A row of cells.
    fn row(&self, cells: &[Vec<Line>], widths: &[f64], least: f64) -> Slab {
        let (above, beside) = (ABOVE[usize::from(!self.ruled)], self.beside());
        // First lines stand on one foot, whatever their sizes.
        let firsts = cells.iter().filter_map(|cell| cell.first());
        let tallest = firsts.map(|line| line.height).fold(0.0, f64::max);
        let (mut items, mut deepest, mut left) = (Vec::new(), 0.0_f64, 0.0);
        for ((cell, column), width) in cells.iter().zip(&self.columns).zip(widths) {
            let first = cell.first().map_or(tallest, |line| line.height);
            let mut down = above + tallest - first;
            for line in cell {
                for text in line.broken(width - 2.0 * beside) {
                    let foot = down + line.height;
                    let run = match column.side {
                        Side::Left => line.run(&text, Point::mm(left + beside, foot)),
                        Side::Right => line
                            .run(&text, Point::mm(left + width - beside, foot))
                            .end(),
                    };
                    items.push(run.into());
                    down = foot + line.height * (LEADING - 1.0);
                }
            }
            deepest = deepest.max(down);
            left += width;
        }
        let height = (deepest + above / 2.0).max(least);
        if self.ruled {
            items.extend(rules(widths, height));
        }
        Slab { items, height }
    }
}

/// The lines round cells.
fn rules(widths: &[f64], height: f64) -> Vec<Item> {
    let line = |from: (f64, f64), to: (f64, f64)| {
        Item::line(Point::mm(from.0, from.1), Point::mm(to.0, to.1), Pen::FINE)
    };
    let mut left = 0.0;
    let mut items = vec![line((0.0, 0.0), (0.0, height))];
    for width in widths {
        left += width;
        items.push(line((left, 0.0), (left, height)));
    }
    items.extend([0.0, height].map(|down| line((0.0, down), (left, down))));
    items
}

fn advance(line: &Line, text: &str) -> f64 {
    let wide = Face::of(line.weight).advance(&printable(text), Length::mm(line.height));
    // Sums of the same widths in another order differ in the last digits.
    wide.to_mm() + 1e-6
}

fn widest_word(line: &Line) -> f64 {
    let parts = line.breaks.parts(&line.text).into_iter();
    parts.map(|word| advance(line, word)).fold(0.0, f64::max)
}
