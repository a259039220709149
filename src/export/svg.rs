//! SVG: one page, one unit (the millimetre), words kept as words.

use std::fmt::Write;

use super::MAKER;
use crate::scene::{Affine, Dash, Ink, Item, Page, Path, Segment, Shape, TextRun, Weight};
use crate::units::Length;

/// How letters are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Letters {
    /// As text, which can be searched; a viewer without the face shows another
    /// one, squeezed to the right width.
    #[default]
    Text,
    /// As outlines, which look the same everywhere.
    Outlines,
}

/// A page as an SVG file.
#[must_use]
pub fn to_svg(page: &Page, letters: Letters) -> String {
    let (width, height) = (number(page.width()), number(page.height()));
    let mut svg = Svg {
        out: String::new(),
        letters,
    };
    svg.put(format_args!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" height=\"{height}mm\" \
         viewBox=\"0 0 {width} {height}\" font-family=\"DejaVu Sans\" font-stretch=\"condensed\" \
         font-kerning=\"none\" font-variant-ligatures=\"none\" xml:space=\"preserve\">\n"
    ));
    if !page.title().is_empty() {
        svg.put(format_args!("<title>{}</title>\n", escaped(page.title())));
    }
    svg.put(format_args!("<desc>{MAKER}</desc>\n"));
    let ground = ink(page.background());
    svg.put(format_args!(
        "<rect width=\"{width}\" height=\"{height}\" fill=\"{ground}\"/>\n"
    ));
    let map = page.to_paper();
    if map == Affine::IDENTITY {
        svg.items(page.items());
    } else {
        svg.inside(&transform(&map), |svg| svg.items(page.items()));
    }
    svg.out.push_str("</svg>\n");
    svg.out
}

struct Svg {
    out: String,
    letters: Letters,
}

impl Svg {
    fn items(&mut self, items: &[Item]) {
        for item in items {
            match item {
                Item::Shape(shape) => self.shape(shape),
                Item::Text(run) => self.run(run),
                Item::Group(group) => {
                    let mut attributes = transform(&group.placement());
                    if let Some(layer) = group.layer {
                        let _ = write!(attributes, " data-layer=\"{}\"", escaped(layer));
                    }
                    self.inside(&attributes, |svg| svg.items(&group.items));
                }
            }
        }
    }

    fn inside(&mut self, attributes: &str, draw: impl FnOnce(&mut Self)) {
        self.put(format_args!("<g{attributes}>\n"));
        draw(self);
        self.out.push_str("</g>\n");
    }

    fn shape(&mut self, shape: &Shape) {
        let fill = shape.fill.map_or("none", ink);
        self.put(format_args!(
            "<path d=\"{}\" fill=\"{fill}\"",
            data(&shape.path)
        ));
        if let Some(pen) = shape.stroke {
            self.put(format_args!(
                " stroke=\"{}\" stroke-width=\"{}\"",
                ink(pen.ink),
                number(pen.width)
            ));
            if let Dash::Broken { mark, gap } = pen.dash {
                self.put(format_args!(
                    " stroke-dasharray=\"{} {}\"",
                    number(mark),
                    number(gap)
                ));
            }
        }
        self.out.push_str("/>\n");
    }

    fn run(&mut self, run: &TextRun) {
        if run.words().is_empty() {
            return;
        }
        let place = transform(&run.placement());
        let fill = ink(run.ink());
        match self.letters {
            Letters::Text => {
                let bold = match run.weight() {
                    Weight::Regular => "",
                    Weight::Bold => " font-weight=\"bold\"",
                };
                self.put(format_args!(
                    "<text{place} font-size=\"{}\" textLength=\"{}\" \
                     lengthAdjust=\"spacingAndGlyphs\" fill=\"{fill}\"{bold}>{}</text>\n",
                    number(run.face().em(run.height())),
                    number(run.width()),
                    escaped(run.words())
                ));
            }
            Letters::Outlines => {
                let outline = run.face().outline(run.words(), run.height());
                self.put(format_args!(
                    "<path{place} d=\"{}\" fill=\"{fill}\"/>\n",
                    data(&outline)
                ));
            }
        }
    }

    fn put(&mut self, words: std::fmt::Arguments<'_>) {
        // Writing to a String cannot fail.
        let _ = self.out.write_fmt(words);
    }
}

const fn ink(ink: Ink) -> &'static str {
    match ink {
        Ink::Black => "#000",
        Ink::White => "#fff",
    }
}

/// Millimetres to a ten-thousandth, far below what any printer resolves.
fn number(length: Length) -> String {
    plain(length.to_mm(), 1e4)
}

fn plain(value: f64, parts: f64) -> String {
    // Adding zero turns −0 into 0.
    format!("{}", (value * parts).round() / parts + 0.0)
}

/// A transform attribute with a space before it; nothing for no transform.
fn transform(map: &Affine) -> String {
    let [a, b, c, d, x, y] = map.coefficients();
    let (across, down) = (plain(x, 1e4), plain(y, 1e4));
    if *map == Affine::IDENTITY {
        String::new()
    } else if [a, b, c, d] == [1.0, 0.0, 0.0, 1.0] {
        format!(" transform=\"translate({across} {down})\"")
    } else {
        let [a, b, c, d] = [a, b, c, d].map(|part| plain(part, 1e9));
        format!(" transform=\"matrix({a} {b} {c} {d} {across} {down})\"")
    }
}

fn data(path: &Path) -> String {
    let mut data = String::new();
    for step in path.segments() {
        let (letter, points) = match *step {
            Segment::Move(to) => ('M', vec![to]),
            Segment::Line(to) => ('L', vec![to]),
            Segment::Cubic(one, two, to) => ('C', vec![one, two, to]),
            Segment::Close => ('Z', vec![]),
        };
        data.push(letter);
        for (index, point) in points.iter().enumerate() {
            let gap = if index > 0 { " " } else { "" };
            let _ = write!(data, "{gap}{} {}", number(point.x), number(point.y));
        }
    }
    data
}

/// Words in which nothing can be taken for markup.
fn escaped(words: &str) -> String {
    let mut safe = String::with_capacity(words.len());
    for character in words.chars() {
        match character {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&apos;"),
            other => safe.push(other),
        }
    }
    safe
}
