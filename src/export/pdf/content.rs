//! One page as a PDF content stream.

use std::fmt::Write;

use super::fonts::{Fonts, layer_name};
use crate::scene::{Affine, Dash, Ink, Item, Page, Path, Pen, Point, Segment, Shape, TextRun};
use crate::units::Length;

/// The drawing instructions of a page, written from its items.
///
/// Every place is worked out in f64 on the paper and rounded to f32 points
/// once; there is no transformation in the file.
pub(super) struct Content<'a> {
    text: String,
    height: Length,
    fonts: &'a mut Fonts,
    layers: &'a mut Vec<&'static str>,
    filling: Option<Ink>,
    pen: Option<Pen>,
}

impl<'a> Content<'a> {
    /// The instructions that draw a page.
    pub(super) fn of(
        page: &Page,
        fonts: &'a mut Fonts,
        layers: &'a mut Vec<&'static str>,
    ) -> Vec<u8> {
        let mut content = Self {
            text: String::new(),
            height: page.height(),
            fonts,
            layers,
            filling: None,
            pen: None,
        };
        // A dark ground covers the paper whatever the correction.
        if page.background() == Ink::Black {
            content.shape(
                &Shape {
                    path: Path::rectangle(page.area()),
                    fill: Some(Ink::Black),
                    stroke: None,
                },
                &Affine::IDENTITY,
            );
        }
        content.items(page.items(), &page.to_paper());
        content.text.into_bytes()
    }

    fn items(&mut self, items: &[Item], map: &Affine) {
        for item in items {
            match item {
                Item::Shape(shape) => self.shape(shape, map),
                Item::Text(run) => self.run(run, map),
                Item::Group(group) => {
                    let map = map.after(&group.placement());
                    match group.layer {
                        Some(layer) => {
                            let name = self.layer(layer);
                            self.line(format_args!("/OC /{name} BDC"));
                            self.items(&group.items, &map);
                            self.line(format_args!("EMC"));
                        }
                        None => self.items(&group.items, &map),
                    }
                }
            }
        }
    }

    /// The name of a layer, given out at first use.
    fn layer(&mut self, layer: &'static str) -> String {
        let known = self.layers.iter().position(|&other| other == layer);
        layer_name(known.unwrap_or_else(|| {
            self.layers.push(layer);
            self.layers.len() - 1
        }))
    }

    fn shape(&mut self, shape: &Shape, map: &Affine) {
        let paint = match (shape.fill, shape.stroke) {
            (None, None) => return,
            (Some(_), None) => "f",
            (None, Some(_)) => "S",
            (Some(_), Some(_)) => "B",
        };
        if let Some(ink) = shape.fill {
            self.fill_with(ink);
        }
        if let Some(pen) = shape.stroke {
            let width = pen.width * map.mean_stretch();
            self.draw_with(Pen { width, ..pen });
        }
        for step in shape.path.segments() {
            match *step {
                Segment::Move(to) => self.step(&[to], map, "m"),
                Segment::Line(to) => self.step(&[to], map, "l"),
                Segment::Cubic(one, two, to) => self.step(&[one, two, to], map, "c"),
                Segment::Close => self.text.push_str("h "),
            }
        }
        self.line(format_args!("{paint}"));
    }

    fn step(&mut self, points: &[Point], map: &Affine, operator: &str) {
        for &point in points {
            let on_paper = map.apply(point);
            self.number(on_paper.x.to_points());
            self.number((self.height - on_paper.y).to_points());
        }
        self.text.push_str(operator);
        self.text.push(' ');
    }

    fn run(&mut self, run: &TextRun, map: &Affine) {
        if run.words().is_empty() {
            return;
        }
        self.fill_with(run.ink());
        // Letters stand up from the baseline, so both y axes turn over.
        let [a, b, c, d, x, y] = map.after(&run.placement()).coefficients();
        let name = Fonts::name(run.weight());
        self.text.push_str("BT /");
        self.text.push_str(name);
        self.text.push(' ');
        self.number(run.face().em(run.height()).to_points());
        self.text.push_str("Tf ");
        for part in [a, -b, -c, d] {
            self.number(part);
        }
        self.number(Length::mm(x).to_points());
        self.number((self.height - Length::mm(y)).to_points());
        self.text.push_str("Tm <");
        for character in run.words().chars() {
            let code = self.fonts.code(run.weight(), character);
            self.put(format_args!("{code:04X}"));
        }
        self.line(format_args!("> Tj ET"));
    }

    fn fill_with(&mut self, ink: Ink) {
        if self.filling != Some(ink) {
            self.filling = Some(ink);
            self.line(format_args!("{} g", level(ink)));
        }
    }

    fn draw_with(&mut self, pen: Pen) {
        if self.pen == Some(pen) {
            return;
        }
        self.pen = Some(pen);
        self.number(pen.width.to_points());
        self.text.push_str("w ");
        match pen.dash {
            Dash::Solid => self.text.push_str("[] 0 d "),
            Dash::Broken { mark, gap } => {
                self.text.push('[');
                self.number(mark.to_points());
                self.number(gap.to_points());
                self.text.push_str("] 0 d ");
            }
        }
        self.line(format_args!("{} G", level(pen.ink)));
    }

    fn number(&mut self, value: f64) {
        // Adding zero turns −0 into 0.
        self.put(format_args!("{} ", value as f32 + 0.0));
    }

    fn line(&mut self, words: std::fmt::Arguments<'_>) {
        self.put(words);
        self.text.push('\n');
    }

    fn put(&mut self, words: std::fmt::Arguments<'_>) {
        // Writing to a String cannot fail.
        let _ = self.text.write_fmt(words);
    }
}

const fn level(ink: Ink) -> u8 {
    match ink {
        Ink::Black => 0,
        Ink::White => 1,
    }
}
