//! Formats that hold one page a file.

use std::io::{self, Write};

use super::{Exporter, Letters, to_svg};
use crate::scene::Page;

/// A format that holds one page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PageFormat {
    /// Lines and words in millimetres.
    Svg(Letters),
    /// Dots.
    #[cfg(feature = "png")]
    Png(super::Resolution),
}

impl PageFormat {
    fn render(self, page: &Page) -> io::Result<Vec<u8>> {
        match self {
            Self::Svg(letters) => Ok(to_svg(page, letters).into_bytes()),
            #[cfg(feature = "png")]
            Self::Png(resolution) => super::to_png(page, resolution),
        }
    }
}

/// Writes each page to a writer of its own.
pub struct Separate<W: Write, F: FnMut(usize) -> io::Result<W>> {
    format: PageFormat,
    open: F,
    count: usize,
}

impl<W: Write, F: FnMut(usize) -> io::Result<W>> Separate<W, F> {
    /// Pages in a format; `open` gives the writer for a page by its number, from 1.
    pub const fn new(format: PageFormat, open: F) -> Self {
        Self {
            format,
            open,
            count: 0,
        }
    }
}

impl<W: Write, F: FnMut(usize) -> io::Result<W>> Exporter for Separate<W, F> {
    fn page(&mut self, page: &Page) -> io::Result<()> {
        let bytes = self.format.render(page)?;
        self.count += 1;
        let mut out = (self.open)(self.count)?;
        out.write_all(&bytes)?;
        out.flush()
    }

    fn finish(self) -> io::Result<()> {
        Ok(())
    }
}
