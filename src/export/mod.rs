//! Pages → bytes, one page at a time.
//!
//! A back end knows the scene and lengths, nothing else. Each begins with
//! [`Page::to_paper`] and matches [`Item`](crate::scene::Item) without a
//! wildcard. No clock, no random id, no hash order: the same pages give the
//! same bytes, also twice in one process.

#[cfg(feature = "pdf")]
mod pdf;
#[cfg(feature = "png")]
mod png;
mod separate;
mod svg;

use std::io;

use crate::scene::Page;

#[cfg(feature = "pdf")]
pub use pdf::Pdf;
#[cfg(feature = "png")]
pub use png::{Resolution, to_png};
pub use separate::{PageFormat, Separate};
pub use svg::{Letters, to_svg};

/// What every file says made it, so that our own files can be told from others.
pub const MAKER: &str = concat!("markwright ", env!("CARGO_PKG_VERSION"));

/// Takes pages one by one and writes them out as it goes.
pub trait Exporter {
    /// Writes one page.
    ///
    /// # Errors
    /// What the writer beneath reports, or that the page cannot be encoded.
    fn page(&mut self, page: &Page) -> io::Result<()>;

    /// Writes what must come last; without it the output is not whole.
    ///
    /// # Errors
    /// What the writer beneath reports, or that there was no page.
    fn finish(self) -> io::Result<()>;
}
