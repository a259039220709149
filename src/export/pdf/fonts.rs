//! The letters used, and printpdf's document around them.

use std::collections::BTreeMap;
use std::io;

use lopdf::{Dictionary, Document, Object};
use printpdf::{
    Codepoint, FontId, Layer, LayerIntent, LayerInternalId, LayerSubtype, Mm, Op, ParsedFont,
    PdfDocument, PdfFont, PdfFontHandle, PdfPage, PdfSaveOptions, Pt, TextItem, to_lopdf_doc,
};
use subsetter::GlyphRemapper;

use crate::export::MAKER;
use crate::scene::{Face, Weight};

/// Name in pages, and name with the tag that marks a subset, of each weight.
const NAMES: [(Weight, &str, &str); 2] = [
    (Weight::Regular, "F0", "MRKWRA+DejaVuSansCondensed"),
    (Weight::Bold, "F1", "MRKWRB+DejaVuSansCondensed-Bold"),
];

/// The letters used so far, in both weights.
#[derive(Default)]
pub(super) struct Fonts {
    regular: Used,
    bold: Used,
}

/// The letters used of one weight: their numbers in the subset, and what each means.
#[derive(Default)]
struct Used {
    numbers: GlyphRemapper,
    meanings: BTreeMap<u16, char>,
}

impl Fonts {
    fn used(&self, weight: Weight) -> &Used {
        match weight {
            Weight::Regular => &self.regular,
            Weight::Bold => &self.bold,
        }
    }

    /// The code of a character in the content of pages.
    pub(super) fn code(&mut self, weight: Weight, character: char) -> u16 {
        let used = match weight {
            Weight::Regular => &mut self.regular,
            Weight::Bold => &mut self.bold,
        };
        let code = used
            .numbers
            .remap(Face::of(weight).glyph(character).number());
        used.meanings.entry(code).or_insert(character);
        code
    }

    /// The name of a weight in the content of pages.
    pub(super) const fn name(weight: Weight) -> &'static str {
        match weight {
            Weight::Regular => NAMES[0].1,
            Weight::Bold => NAMES[1].1,
        }
    }

    /// printpdf's document: title, layers, fonts, and one sample page that uses
    /// every letter and every layer, for printpdf writes only what is used.
    pub(super) fn document(&self, title: &str, layers: &[&'static str]) -> io::Result<Document> {
        let mut document = PdfDocument::new(title);
        document.metadata.info.creator = MAKER.to_owned();
        document.metadata.info.producer = MAKER.to_owned();
        let mut sample = Vec::new();
        for (index, &name) in layers.iter().enumerate() {
            let id = LayerInternalId(layer_name(index));
            let layer = Layer {
                name: name.to_owned(),
                creator: MAKER.to_owned(),
                intent: LayerIntent::View,
                usage: LayerSubtype::Artwork,
            };
            document.resources.layers.map.insert(id.clone(), layer);
            sample.push(Op::BeginLayer { layer_id: id });
            sample.push(Op::EndLayer);
        }
        for (weight, name, tagged) in NAMES {
            let used = self.used(weight);
            if used.meanings.is_empty() {
                continue;
            }
            let id = FontId(name.to_owned());
            let font = PdfFont::new(used.subset(weight, tagged)?);
            document.resources.fonts.map.insert(id.clone(), font);
            let letters = used.meanings.iter().map(|(&code, meaning)| Codepoint {
                gid: code,
                offset: 0.0,
                cid: Some(meaning.to_string()),
            });
            sample.push(Op::SetFont {
                font: PdfFontHandle::External(id),
                size: Pt(1.0),
            });
            sample.push(Op::ShowText {
                items: vec![TextItem::GlyphIds(letters.collect())],
            });
        }
        document.pages = vec![PdfPage::new(Mm(1.0), Mm(1.0), sample)];
        let mut head = to_lopdf_doc(&document, &PdfSaveOptions::default(), &mut Vec::new());
        self.set_exact_widths(&mut head)?;
        head.compress();
        Ok(head)
    }

    /// printpdf cuts widths to whole thousandths of the em, which moves the end
    /// of a long line by tenths of a millimetre; these are exact.
    fn set_exact_widths(&self, head: &mut Document) -> io::Result<()> {
        for (weight, _, tagged) in NAMES {
            let is_this = |font: &Dictionary| {
                font.get(b"BaseFont").and_then(Object::as_name).ok() == Some(tagged.as_bytes())
            };
            let fonts = head.objects.values_mut().filter_map(|object| {
                let font = object.as_dict_mut().ok()?;
                let whole = is_this(font) && font.has(b"DescendantFonts");
                whole.then_some(font)
            });
            for font in fonts {
                let descendants = font
                    .get_mut(b"DescendantFonts")
                    .and_then(Object::as_array_mut)
                    .map_err(io::Error::other)?;
                for descendant in descendants.iter_mut().flat_map(Object::as_dict_mut) {
                    descendant.set("W", self.used(weight).widths(weight));
                }
            }
        }
        Ok(())
    }
}

impl Used {
    /// The face with only the letters used.
    fn subset(&self, weight: Weight, tagged: &str) -> io::Result<ParsedFont> {
        let bytes = Face::of(weight).bytes();
        let subset = subsetter::subset(bytes, 0, &self.numbers).map_err(io::Error::other)?;
        let mut font = ParsedFont::from_bytes(&subset, 0, &mut Vec::new())
            .ok_or_else(|| io::Error::other("the subset of the face does not open"))?;
        font.font_name = Some(tagged.to_owned());
        for (&code, &meaning) in &self.meanings {
            font.set_codepoint_mapping(meaning.into(), code);
        }
        Ok(font)
    }

    /// The widths of all codes, from 0 on, in thousandths of the em.
    fn widths(&self, weight: Weight) -> Vec<Object> {
        let face = Face::of(weight);
        let widths = self.meanings.iter().flat_map(|(&code, &meaning)| {
            let ems = face.advance_per_em(face.glyph(meaning));
            [
                Object::Integer(code.into()),
                Object::Array(vec![Object::Real((ems * 1000.0) as f32)]),
            ]
        });
        widths.collect()
    }
}

/// The name of a layer in the content of pages.
pub(super) fn layer_name(index: usize) -> String {
    format!("L{index}")
}
