//! PDF through printpdf, with its document kept small.
//!
//! printpdf makes the document's head: information, catalog, layers and font
//! dictionaries. Around it stand what it does not offer, and this folder is the
//! only place that knows it:
//!
//! 1. fonts are subset here, with fixed six-letter tags ([`fonts`]);
//! 2. page boxes are written as corners by us (its boxes are wrong when their
//!    origin is not zero);
//! 3. names of fonts and layers, and the file's identifier, do not come from
//!    its process-wide counter;
//! 4. version 1.7, "print without scaling", no claim to a standard, no clock;
//! 5. pages leave as deflated streams as soon as they are drawn ([`objects`]),
//!    so that the length of a document does not matter.

mod content;
mod fonts;
mod objects;

use std::io::{self, Write};

use lopdf::{Dictionary, Object, ObjectId, Stream, dictionary};

use super::Exporter;
use crate::scene::Page;
use content::Content;
use fonts::Fonts;
use objects::Objects;

/// The page tree's number in the file; every page names it as its parent.
const PAGE_TREE: ObjectId = (1, 0);

/// Writes pages as one PDF file.
///
/// Coordinates are exact to f32 points (better than 0.0001 mm on any paper);
/// letters are text that can be searched and copied.
pub struct Pdf<W: Write> {
    objects: Objects<W>,
    title: String,
    fonts: Fonts,
    layers: Vec<&'static str>,
    pages: Vec<ObjectId>,
    /// Whether any page must be printed 1:1.
    true_to_scale: bool,
}

impl<W: Write> Pdf<W> {
    /// Begins a file with a title.
    ///
    /// # Errors
    /// What the writer reports.
    pub fn new(out: W, title: &str) -> io::Result<Self> {
        Ok(Self {
            objects: Objects::begin(out, PAGE_TREE.0 + 1)?,
            title: title.to_owned(),
            fonts: Fonts::default(),
            layers: Vec::new(),
            pages: Vec::new(),
            true_to_scale: false,
        })
    }
}

impl<W: Write> Exporter for Pdf<W> {
    fn page(&mut self, page: &Page) -> io::Result<()> {
        let drawn = Content::of(page, &mut self.fonts, &mut self.layers);
        let mut stream = Stream::new(Dictionary::new(), drawn);
        stream.compress().map_err(io::Error::other)?;
        let content = self.objects.put(&Object::Stream(stream))?;
        // The unrounded size: A4 is 595.2756 × 841.8898 points, not 595 × 842.
        let corners = vec![
            Object::Real(0.0),
            Object::Real(0.0),
            Object::Real(page.width().to_points() as f32),
            Object::Real(page.height().to_points() as f32),
        ];
        let leaf = dictionary! {
            "Type" => "Page",
            "Parent" => PAGE_TREE,
            "MediaBox" => corners.clone(),
            "TrimBox" => corners,
            "Contents" => content,
        };
        let id = self.objects.put(&Object::Dictionary(leaf))?;
        self.pages.push(id);
        self.true_to_scale |= page.is_true_to_scale();
        Ok(())
    }

    fn finish(mut self) -> io::Result<()> {
        if self.pages.is_empty() {
            return Err(io::Error::new(
                io::ErrorKind::InvalidInput,
                "a PDF file needs at least one page",
            ));
        }
        let mut head = self.fonts.document(&self.title, &self.layers)?;
        head.renumber_objects_with(self.objects.next());
        let mut tree = adopt(&mut head, self.true_to_scale).map_err(io::Error::other)?;
        let kids: Vec<Object> = self.pages.iter().map(|&id| id.into()).collect();
        tree.set("Count", kids.len() as i64);
        tree.set("Kids", kids);
        self.objects.put_as(PAGE_TREE, &Object::Dictionary(tree))?;
        for (&id, object) in &head.objects {
            self.objects.put_as(id, object)?;
        }
        self.objects.finish(&head.trailer)
    }
}

/// Makes printpdf's head ours: puts our page tree in place of its one sample
/// page, states how to print, and removes what is not so. Returns the tree,
/// still without pages but with the resources they all inherit.
fn adopt(head: &mut lopdf::Document, true_to_scale: bool) -> lopdf::Result<Dictionary> {
    let sample = head
        .page_iter()
        .next()
        .ok_or(lopdf::Error::PageNumberNotFound(1))?;
    let resources = head
        .get_dictionary(sample)?
        .get(b"Resources")?
        .as_reference()?;
    let resources = head.get_dictionary(resources)?;
    let mut kept = Dictionary::new();
    for key in ["Font", "Properties"] {
        if let Ok(value) = resources.get(key.as_bytes()) {
            kept.set(key, value.clone());
        }
    }
    let tree = dictionary! { "Type" => "Pages", "Resources" => kept };

    let catalog = head.catalog_mut()?;
    catalog.set("Pages", PAGE_TREE);
    catalog.set("Lang", Object::string_literal("en"));
    let mut preferences = dictionary! { "DisplayDocTitle" => true };
    if true_to_scale {
        preferences.set("PrintScaling", "None");
    }
    catalog.set("ViewerPreferences", preferences);
    let information = head.trailer.get(b"Info")?.as_reference()?;
    let information = head.get_dictionary_mut(information)?;
    for untrue in [
        "GTS_PDFXVersion",
        "CreationDate",
        "ModDate",
        "Identifier",
        "Trapped",
    ] {
        information.remove(untrue.as_bytes());
    }

    // printpdf writes names in UTF-16; a plain one is found again in the file,
    // by which a sheet of ours is known.
    for maker in ["Creator", "Producer"] {
        information.set(maker, Object::string_literal(super::MAKER));
    }

    // While the tree is in place, what it needs survives the pruning and the
    // sample page does not.
    head.objects
        .insert(PAGE_TREE, Object::Dictionary(tree.clone()));
    head.prune_objects();
    head.objects.remove(&PAGE_TREE);
    Ok(tree)
}
