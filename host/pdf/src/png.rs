//! A drawing as SVG in, the same as a PNG out.

use std::sync::{Arc, LazyLock};

use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{Options, Tree, fontdb};

use crate::world::FONTS;

/// Why there is no PNG.
#[derive(Debug, thiserror::Error)]
pub enum PngError {
    /// The drawing is no SVG that can be drawn.
    #[error("the figure could not be drawn as PNG: {0}\nThe SVG is not affected")]
    Refused(String),
    /// So many dots are not made.
    #[error("a PNG may be {least} to {most} dots wide, not {asked}")]
    Wide {
        /// Asked for.
        asked: u32,
        /// At least.
        least: u32,
        /// At most.
        most: u32,
    },
}

/// The narrowest picture in which a figure's words can be read.
pub const LEAST_DOTS: u32 = 400;
/// A figure of 170 mm at 1,200 dots an inch, with room.
pub const MOST_DOTS: u32 = 10_000;

static FONT_BOOK: LazyLock<Arc<fontdb::Database>> = LazyLock::new(|| {
    let mut book = fontdb::Database::new();
    for font in FONTS {
        book.load_font_data(font.to_vec());
    }
    Arc::new(book)
});

/// Draws an SVG as a picture so many dots wide, in our own fonts: nothing of the computer's is used,
/// and the same drawing gives the same bytes.
///
/// # Errors
/// [`PngError`].
pub fn png(svg: &str, wide: u32) -> Result<Vec<u8>, PngError> {
    if !(LEAST_DOTS..=MOST_DOTS).contains(&wide) {
        return Err(PngError::Wide { asked: wide, least: LEAST_DOTS, most: MOST_DOTS });
    }
    let options = Options {
        font_family: "Inter".to_owned(),
        fontdb: Arc::clone(&FONT_BOOK),
        ..Options::default()
    };
    let tree = Tree::from_str(svg, &options).map_err(|why| PngError::Refused(why.to_string()))?;
    let scale = wide as f32 / tree.size().width();
    let high = (tree.size().height() * scale).ceil() as u32;
    let mut picture = Pixmap::new(wide, high)
        .ok_or_else(|| PngError::Refused(format!("{wide} by {high} dots do not fit in memory")))?;
    resvg::render(&tree, Transform::from_scale(scale, scale), &mut picture.as_mut());
    picture.encode_png().map_err(|why| PngError::Refused(why.to_string()))
}
