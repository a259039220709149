//! A small PDF reader: lines and words with their places on the paper.
//!
//! It reads files, not the scene: what it finds is what a printer gets.

use std::collections::BTreeMap;

use lopdf::content::Content;
use lopdf::{Dictionary, Document, Object};
use markwright::scene::{Face, Weight};
use markwright::units::Length;

/// Millimetres in a PDF point (ISO 32000-1, 8.3.2.3: 1/72 in).
const POINT: f64 = 25.4 / 72.0;

/// A straight line, in millimetres from the top left corner, y down.
#[derive(Clone, Copy, Debug)]
pub struct Line {
    pub from: (f64, f64),
    pub to: (f64, f64),
    pub width: f64,
    pub dashed: bool,
}

/// A line of words, with the corners of its advance by its figures' height.
#[derive(Clone, Debug)]
pub struct Words {
    pub text: String,
    /// Where its baseline begins.
    pub at: (f64, f64),
    /// Where its baseline ends.
    pub end: (f64, f64),
    /// The type size in millimetres.
    pub size: f64,
    /// Whether it is set in the heavy face.
    pub bold: bool,
}

/// An upright rectangle in millimetres.
#[derive(Clone, Copy, Debug)]
pub struct Box {
    pub low: (f64, f64),
    pub high: (f64, f64),
}

impl Box {
    /// From its left and top to its right and bottom.
    pub const fn between(low: (f64, f64), high: (f64, f64)) -> Self {
        Self { low, high }
    }

    /// Whether the other lies within, to a hundredth of a millimetre.
    pub fn contains(&self, other: &Self) -> bool {
        self.low.0 <= other.low.0 + 0.01
            && self.low.1 <= other.low.1 + 0.01
            && self.high.0 >= other.high.0 - 0.01
            && self.high.1 >= other.high.1 - 0.01
    }

    /// Whether the two share more than a hundredth of a millimetre.
    pub fn overlaps(&self, other: &Self) -> bool {
        let share = |low: f64, high: f64| high - low > 0.01;
        share(self.low.0.max(other.low.0), self.high.0.min(other.high.0))
            && share(self.low.1.max(other.low.1), self.high.1.min(other.high.1))
    }
}

impl Words {
    /// How high its figures are.
    pub fn height(&self) -> f64 {
        self.size * 1493.0 / 2048.0
    }

    /// The rectangle around its ink, by the outlines of the face (for lines
    /// read to the right or upward).
    pub fn ink(&self) -> Option<Box> {
        let weight = if self.bold {
            Weight::Bold
        } else {
            Weight::Regular
        };
        let own = Face::of(weight).ink(&self.text, Length::mm(self.height()))?;
        let sides = [own.left(), own.top(), own.right(), own.bottom()];
        let [left, top, right, bottom] = sides.map(Length::to_mm);
        let (x, y) = self.at;
        let upright = self.end.1 - y > -1e-3;
        Some(if upright {
            Box::between((x + left, y + top), (x + right, y + bottom))
        } else {
            Box::between((x + top, y - right), (x + bottom, y - left))
        })
    }

    /// The rectangle over its advance from the baseline to the height of its
    /// figures (lines read to the right, upward or downward).
    pub fn figures(&self) -> Box {
        let (dx, dy) = (self.end.0 - self.at.0, self.end.1 - self.at.1);
        let length = (dx * dx + dy * dy).sqrt().max(1e-9);
        let up = self.size * 1493.0 / 2048.0 / length;
        let head = (self.at.0 + dy * up, self.at.1 - dx * up);
        let xs = [self.at.0, self.end.0, head.0];
        let ys = [self.at.1, self.end.1, head.1];
        let low = |all: [f64; 3]| all.into_iter().fold(f64::MAX, f64::min);
        let high = |all: [f64; 3]| all.into_iter().fold(f64::MIN, f64::max);
        Box {
            low: (low(xs), low(ys)),
            high: (high(xs), high(ys)),
        }
    }
}

/// One page.
#[derive(Debug, Default)]
pub struct Read {
    pub width: f64,
    pub height: f64,
    pub lines: Vec<Line>,
    pub words: Vec<Words>,
    /// Corners of every filled path, in the order they were drawn.
    pub fills: Vec<Vec<(f64, f64)>>,
    pub curves: usize,
    /// Pieces of curves that were drawn as lines.
    pub bends: Vec<Bend>,
}

/// A piece of a curve: where it begins, two control points, where it ends.
#[derive(Clone, Copy, Debug)]
pub struct Bend {
    pub points: [(f64, f64); 4],
    pub dashed: bool,
}

impl Bend {
    /// A point of it, from 0 to 1.
    pub fn at(&self, t: f64) -> (f64, f64) {
        let u = 1.0 - t;
        let weights = [u * u * u, 3.0 * u * u * t, 3.0 * u * t * t, t * t * t];
        let sum = |axis: fn(&(f64, f64)) -> f64| {
            let terms = self.points.iter().zip(weights);
            terms.map(|(point, weight)| axis(point) * weight).sum()
        };
        (sum(|point| point.0), sum(|point| point.1))
    }
}

struct Font {
    meanings: BTreeMap<u16, char>,
    widths: BTreeMap<u16, f64>,
}

/// Every page of a file.
pub fn read(bytes: &[u8]) -> Vec<Read> {
    let document = Document::load_mem(bytes).expect("our PDF opens");
    let fonts = fonts(&document);
    document
        .page_iter()
        .map(|page| {
            let leaf = document.get_dictionary(page).expect("a page");
            let corners = numbers(
                leaf.get(b"MediaBox")
                    .and_then(Object::as_array)
                    .expect("a box"),
            );
            assert_eq!(corners[..2], [0.0, 0.0], "the box begins at the origin");
            let content = document.get_page_content(page);
            let mut read = Read {
                width: corners[2] * POINT,
                height: corners[3] * POINT,
                ..Read::default()
            };
            read.follow(&Content::decode(&content).expect("content"), &fonts);
            read
        })
        .collect()
}

fn numbers(objects: &[Object]) -> Vec<f64> {
    objects
        .iter()
        .filter_map(|object| object.as_float().ok().map(f64::from))
        .collect()
}

fn fonts(document: &Document) -> BTreeMap<Vec<u8>, Font> {
    let root = document.catalog().expect("a catalog");
    let tree = root
        .get(b"Pages")
        .and_then(Object::as_reference)
        .expect("pages");
    let tree = document.get_dictionary(tree).expect("the page tree");
    let resources = tree
        .get(b"Resources")
        .and_then(Object::as_dict)
        .expect("resources");
    let Ok(listed) = resources.get(b"Font") else {
        return BTreeMap::new();
    };
    let (_, listed) = document.dereference(listed).expect("fonts");
    let listed = listed.as_dict().expect("a dictionary of fonts");
    let each = listed.iter().map(|(name, font)| {
        let font = document.dereference(font).expect("a font").1;
        (
            name.clone(),
            font_of(document, font.as_dict().expect("a font")),
        )
    });
    each.collect()
}

fn font_of(document: &Document, font: &Dictionary) -> Font {
    let map = font
        .get(b"ToUnicode")
        .and_then(Object::as_reference)
        .expect("ToUnicode");
    let map = document
        .get_object(map)
        .and_then(Object::as_stream)
        .expect("a stream");
    let map = map
        .decompressed_content()
        .unwrap_or_else(|_| map.content.clone());
    let map = String::from_utf8(map).expect("a CMap is ASCII");
    let mut meanings = BTreeMap::new();
    for line in map.lines() {
        let Some((code, meaning)) = line
            .strip_prefix('<')
            .and_then(|line| line.strip_suffix('>'))
            .and_then(|line| line.split_once("> <"))
        else {
            continue;
        };
        if (code, meaning) != ("0000", "FFFF") {
            let code = u16::from_str_radix(code, 16).expect("a code");
            meanings.insert(code, utf_16(meaning));
        }
    }
    let inner = font
        .get(b"DescendantFonts")
        .and_then(Object::as_array)
        .expect("an inner font");
    let inner = inner[0].as_dict().expect("a dictionary");
    let listed = inner.get(b"W").and_then(Object::as_array).expect("widths");
    let widths = listed.chunks(2).map(|pair| {
        let code = pair[0].as_i64().expect("a code") as u16;
        (
            code,
            numbers(pair[1].as_array().expect("a width"))[0] / 1000.0,
        )
    });
    Font {
        meanings,
        widths: widths.collect(),
    }
}

/// A character written as one or two UTF-16 units in hexadecimal (ISO 32000-1,
/// 9.10.3).
fn utf_16(digits: &str) -> char {
    let units = digits.as_bytes().chunks(4).map(|four| {
        let four = std::str::from_utf8(four).expect("digits");
        u16::from_str_radix(four, 16).expect("hexadecimal")
    });
    let all: Result<String, _> = char::decode_utf16(units).collect();
    let all = all.expect("UTF-16");
    all.chars().next().expect("a character")
}

impl Read {
    fn place(&self, x: f64, y: f64) -> (f64, f64) {
        (x * POINT, self.height - y * POINT)
    }

    fn follow(&mut self, content: &Content, fonts: &BTreeMap<Vec<u8>, Font>) {
        let (mut here, mut begun) = ((0.0, 0.0), (0.0, 0.0));
        let (mut pending, mut width, mut dashed) = (Vec::new(), 0.0, false);
        let (mut font, mut size, mut matrix): (Option<&Font>, f64, Vec<f64>) =
            (None, 0.0, Vec::new());
        let mut bold = false;
        let mut bent: Vec<[(f64, f64); 4]> = Vec::new();
        for operation in &content.operations {
            let at = numbers(&operation.operands);
            match operation.operator.as_str() {
                "w" => width = at[0] * POINT,
                "d" => dashed = !operation.operands[0].as_array().expect("dashes").is_empty(),
                "m" => (here, begun) = ((at[0], at[1]), (at[0], at[1])),
                "l" => {
                    pending.push((here, (at[0], at[1])));
                    here = (at[0], at[1]);
                }
                "c" => {
                    self.curves += 1;
                    let points = [here, (at[0], at[1]), (at[2], at[3]), (at[4], at[5])];
                    bent.push(points.map(|(x, y)| self.place(x, y)));
                    here = (at[4], at[5]);
                }
                "h" => pending.push((here, begun)),
                "f" => {
                    bent.clear();
                    let corners = pending.drain(..).map(|(from, _)| from);
                    let corners: Vec<(f64, f64)> = corners.collect();
                    let placed = corners.into_iter().map(|(x, y)| self.place(x, y));
                    self.fills.push(placed.collect());
                }
                "S" | "B" => {
                    let bends = bent.drain(..).map(|points| Bend { points, dashed });
                    self.bends.extend(bends);
                    for (from, to) in pending.drain(..) {
                        self.lines.push(Line {
                            from: self.place(from.0, from.1),
                            to: self.place(to.0, to.1),
                            width,
                            dashed,
                        });
                    }
                }
                "Tf" => {
                    let name = operation.operands[0].as_name().expect("a font's name");
                    font = fonts.get(name);
                    bold = name == b"F1";
                    size = at[0];
                }
                "Tm" => matrix = at,
                "Tj" => {
                    let font = font.expect("a font is set");
                    let codes = operation.operands[0].as_str().expect("a string");
                    self.show(codes, font, size, &matrix);
                    self.words.last_mut().expect("just shown").bold = bold;
                }
                "g" | "G" | "BT" | "ET" | "BDC" | "EMC" => {}
                other => panic!("our pages do not use {other}"),
            }
        }
    }

    fn show(&mut self, codes: &[u8], font: &Font, size: f64, matrix: &[f64]) {
        let codes = codes
            .chunks(2)
            .map(|pair| u16::from_be_bytes([pair[0], pair[1]]));
        let codes: Vec<u16> = codes.collect();
        let advance: f64 = codes.iter().map(|code| font.widths[code]).sum::<f64>() * size;
        let end = (
            matrix[4] + matrix[0] * advance,
            matrix[5] + matrix[1] * advance,
        );
        self.words.push(Words {
            text: codes.iter().map(|code| font.meanings[code]).collect(),
            at: self.place(matrix[4], matrix[5]),
            end: self.place(end.0, end.1),
            size: size * POINT,
            bold: false,
        });
    }
}
