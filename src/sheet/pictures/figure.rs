//! What a picture is asked for by the page and by a terminal.

use std::fmt::Debug;

use super::canvas::Canvas;

/// How much of a part a picture shows.
pub struct Extent {
    /// The width of the part, in millimetres.
    pub width: f64,
    /// Its height.
    pub height: f64,
    /// What it may take of the paper.
    pub room: (f64, f64),
}

impl Extent {
    /// Returns the extent of a part, and what it may take of the paper.
    pub const fn new(width: f64, height: f64, room: (f64, f64)) -> Self {
        Self {
            width,
            height,
            room,
        }
    }
}

/// What can be drawn.
pub trait Figure: Debug + Send + Sync {
    /// Returns how much of a part is shown; nothing for what is not drawn to scale.
    fn extent(&self) -> Option<Extent> {
        None
    }

    /// Returns what stands under the picture, behind its scale.
    fn words(&self) -> String {
        String::new()
    }

    /// Draws it at the scale of a canvas.
    fn draw(&self, canvas: &mut Canvas);

    /// Returns its form in characters for a terminal, where it has one.
    fn plain(&self, _width: usize) -> Option<String> {
        None
    }

    /// Returns a table that belongs beside the picture: headings and rows.
    fn table(&self) -> Option<(Vec<String>, Vec<Vec<String>>)> {
        None
    }
}
