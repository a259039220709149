//! PNG: one page as dots, with its density written in.

use std::io;

use tiny_skia::{FillRule, Mask, Paint, PathBuilder, Pixmap, Stroke, StrokeDash, Transform};

use crate::scene::{Affine, Dash, Ink, Item, Page, Path, Pen, Segment, Shape};

/// Dots per inch of a picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Resolution(u16);

impl Resolution {
    /// What office printers do, 300 dots per inch.
    pub const PRINT: Self = Self(300);

    /// A resolution of 36 to 1200 dots per inch; `None` outside.
    #[must_use]
    pub const fn dots_per_inch(dots: u16) -> Option<Self> {
        if dots >= 36 && dots <= 1200 {
            Some(Self(dots))
        } else {
            None
        }
    }

    fn dots_per_mm(self) -> f64 {
        f64::from(self.0) / 25.4
    }
}

/// A page as a PNG file: grey levels, and how many dots make a metre, without
/// which it would print at a wrong size.
///
/// # Errors
/// When the page at this resolution has more dots than memory can hold.
pub fn to_png(page: &Page, resolution: Resolution) -> io::Result<Vec<u8>> {
    let scale = resolution.dots_per_mm();
    let dots = |side: f64| (side * scale).round().max(1.0) as u32;
    let (width, height) = (dots(page.width().to_mm()), dots(page.height().to_mm()));
    let mut picture = Pixmap::new(width, height)
        .ok_or_else(|| io::Error::other("the picture has too many dots"))?;
    let ground = match page.background() {
        Ink::White => tiny_skia::Color::WHITE,
        Ink::Black => tiny_skia::Color::BLACK,
    };
    picture.fill(ground);
    let mut canvas = Canvas { picture, scale };
    canvas.items(page.items(), &page.to_paper());
    let grey: Vec<u8> = canvas
        .picture
        .pixels()
        .iter()
        .map(|dot| dot.red())
        .collect();
    encoded(&grey, width, height, scale)
}

fn encoded(grey: &[u8], width: u32, height: u32, scale: f64) -> io::Result<Vec<u8>> {
    let per_metre = (scale * 1000.0).round() as u32;
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, width, height);
    encoder.set_color(png::ColorType::Grayscale);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_pixel_dims(Some(png::PixelDimensions {
        xppu: per_metre,
        yppu: per_metre,
        unit: png::Unit::Meter,
    }));
    encoder
        .add_text_chunk("Software".to_owned(), super::MAKER.to_owned())
        .map_err(io::Error::other)?;
    let mut writer = encoder.write_header().map_err(io::Error::other)?;
    writer.write_image_data(grey).map_err(io::Error::other)?;
    writer.finish().map_err(io::Error::other)?;
    Ok(bytes)
}

struct Canvas {
    picture: Pixmap,
    scale: f64,
}

impl Canvas {
    fn items(&mut self, items: &[Item], map: &Affine) {
        for item in items {
            match item {
                Item::Shape(shape) => self.shape(shape, map),
                Item::Text(run) => {
                    let outline = run.face().outline(run.words(), run.height());
                    let letters = Shape {
                        path: outline,
                        fill: Some(run.ink()),
                        stroke: None,
                    };
                    self.shape(&letters, &map.after(&run.placement()));
                }
                Item::Group(group) => self.items(&group.items, &map.after(&group.placement())),
            }
        }
    }

    fn shape(&mut self, shape: &Shape, map: &Affine) {
        // An empty or degenerate path draws nothing.
        let Some(path) = self.path(&shape.path.mapped(map)) else {
            return;
        };
        let whole: Option<&Mask> = None;
        if let Some(ink) = shape.fill {
            self.picture.fill_path(
                &path,
                &paint(ink),
                FillRule::Winding,
                Transform::identity(),
                whole,
            );
        }
        if let Some(pen) = shape.stroke {
            let stroke = self.stroke(pen, map);
            self.picture.stroke_path(
                &path,
                &paint(pen.ink),
                &stroke,
                Transform::identity(),
                whole,
            );
        }
    }

    fn stroke(&self, pen: Pen, map: &Affine) -> Stroke {
        let scale = self.scale * map.mean_stretch();
        let dash = match pen.dash {
            Dash::Solid => None,
            Dash::Broken { mark, gap } => {
                let parts = [mark, gap].map(|part| (part.to_mm() * scale) as f32);
                StrokeDash::new(parts.to_vec(), 0.0)
            }
        };
        Stroke {
            width: (pen.width.to_mm() * scale) as f32,
            dash,
            ..Stroke::default()
        }
    }

    fn path(&self, path: &Path) -> Option<tiny_skia::Path> {
        let dots = |length: crate::units::Length| (length.to_mm() * self.scale) as f32;
        let mut builder = PathBuilder::new();
        for step in path.segments() {
            match *step {
                Segment::Move(to) => builder.move_to(dots(to.x), dots(to.y)),
                Segment::Line(to) => builder.line_to(dots(to.x), dots(to.y)),
                Segment::Cubic(one, two, to) => builder.cubic_to(
                    dots(one.x),
                    dots(one.y),
                    dots(two.x),
                    dots(two.y),
                    dots(to.x),
                    dots(to.y),
                ),
                Segment::Close => builder.close(),
            }
        }
        builder.finish()
    }
}

fn paint(ink: Ink) -> Paint<'static> {
    let mut paint = Paint::default();
    match ink {
        Ink::Black => paint.set_color_rgba8(0, 0, 0, 255),
        Ink::White => paint.set_color_rgba8(255, 255, 255, 255),
    }
    paint.anti_alias = true;
    paint
}
