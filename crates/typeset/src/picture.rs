//! Scenes as PNG: the same SVG as beside it, drawn with the embedded faces on white paper.

use crate::faces::{FILES, settable};
use documents::{scene::Scene, svg};
use resvg::{tiny_skia, usvg};
use std::sync::{Arc, LazyLock};

/// The face of all text, and what stands in for it; quoted, for a name that ends in a number is no word of CSS.
const FACE: &str = "'Source Sans 3', 'DejaVu Sans'";
/// The first of them.
const FIRST: &str = "Source Sans 3";
/// Pixels for a scene unit: a picture of 720 units fills half a page at 200 dots an inch.
const PIXELS: f32 = 2.0;
/// Most pixels across and down.
const MOST: u32 = 10_000;

/// The embedded faces alone: what a machine has installed does not change a picture.
static FACES: LazyLock<Arc<usvg::fontdb::Database>> = LazyLock::new(|| {
    let mut faces = usvg::fontdb::Database::new();
    FILES.iter().for_each(|file| faces.load_font_data(file.to_vec()));
    Arc::new(faces)
});

/// Why a picture could not be drawn. Always a fault of ours.
#[derive(Debug, thiserror::Error)]
pub enum PictureError {
    /// The SVG is not one.
    #[error("the picture could not be read: {0}")]
    Svg(#[from] usvg::Error),
    /// No pixels, or too many.
    #[error("a picture of {0} by {1} pixels")]
    Size(u32, u32),
    /// The pixels could not be written.
    #[error("the picture could not be written: {0}")]
    Png(String),
}

/// Draws a scene. The same scene gives the same bytes; no file is opened.
///
/// # Errors
/// See [`PictureError`].
pub fn png(scene: &Scene) -> Result<Vec<u8>, PictureError> {
    let images = usvg::ImageHrefResolver {
        resolve_data: usvg::ImageHrefResolver::default_data_resolver(),
        resolve_string: Box::new(|_, _| None),
    };
    let options = usvg::Options {
        font_family: FIRST.into(),
        fontdb: Arc::clone(&FACES),
        image_href_resolver: images,
        // Cells of a map keep their edges.
        image_rendering: usvg::ImageRendering::OptimizeSpeed,
        ..usvg::Options::default()
    };
    let tree = usvg::Tree::from_str(&settable(&svg::write_in(scene, "p", FACE)), &options)?;
    let pixels = |units: f32| (PIXELS * units).ceil() as u32;
    let (width, height) = (pixels(tree.size().width()), pixels(tree.size().height()));
    let drawable = width.max(height) <= MOST;
    let mut paper =
        drawable.then(|| tiny_skia::Pixmap::new(width, height)).flatten().ok_or(PictureError::Size(width, height))?;
    paper.fill(tiny_skia::Color::WHITE);
    resvg::render(&tree, tiny_skia::Transform::from_scale(PIXELS, PIXELS), &mut paper.as_mut());
    paper.encode_png().map_err(|error| PictureError::Png(error.to_string()))
}

#[cfg(test)]
mod tests {
    use super::png;
    use documents::plot::{Axis, Plot};

    /// A picture with words has more ink than the same without: a face that is not found leaves the words out silently.
    #[test]
    fn words_are_drawn() {
        let drawn = |label: &str| {
            let axis = || Axis::numbers(label, 0.0, 1.0);
            let mut plot = Plot::new(label, 400.0, 300.0, axis(), axis());
            plot.describe = String::new();
            let bytes = png(&plot.scene()).unwrap_or_else(|e| panic!("{e}"));
            let picture = resvg::tiny_skia::Pixmap::decode_png(&bytes).unwrap_or_else(|e| panic!("{e}"));
            picture.pixels().iter().filter(|pixel| pixel.red() < 128).count()
        };
        assert!(drawn("moisture of the grain") > drawn("") + 200);
    }
}
