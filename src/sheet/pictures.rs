//! Pictures of a sheet as inline SVG, to scale and dimensioned as a drawing is.
//!
//! A [`Picture`] is plain data: sizes in millimetres with the text each is
//! written with. `canvas.rs` has lines and text on paper, `dimension.rs` what
//! ISO 129-1 draws with them; each picture has a file of its own. All lengths on
//! paper are millimetres, y downwards; printed at full size the stated scale is
//! true.

mod area;
mod canvas;
mod dimension;
mod fit;
mod graph;
mod hatch;
mod holes;
mod leaders;
mod lever;
mod measure;
mod profile;
mod profile_notes;
mod rotary_table;
mod running;
mod scale;
mod spread;
mod taper;

pub use canvas::FONT;
pub use fit::Fit;
pub use graph::{Graph, Limit, Series};
pub use holes::Holes;
pub use lever::Lever;
pub use measure::trimmed;
pub use profile::Profile;
pub use rotary_table::RotaryTable;
pub use taper::Taper;

use crate::language::{Record, Value};
use crate::sheet::Writer;

/// A picture's numbers, ready to be drawn.
#[allow(clippy::large_enum_variant)] // a page has a handful, each in a box
#[derive(Clone, Debug)]
pub enum Picture {
    /// A pattern of holes.
    Holes(Holes),
    /// Rounded ends with tangent flanks.
    Lever(Lever),
    /// A turned part.
    Profile(Profile),
    /// A taper and its set-up.
    Taper(Taper),
    /// An arc on the rotary table.
    RotaryTable(RotaryTable),
    /// The tolerance zones of a fit.
    Fit(Fit),
    /// A what-if table as a graph.
    Graph(Graph),
}

/// Whether everything in a drawing has a place: no number of its tags is beyond all
/// bounds.
fn has_place(svg: &str) -> bool {
    let tags = svg.split('<').filter_map(|rest| rest.split('>').next());
    let mut words = tags.flat_map(|tag| tag.split(|c: char| !c.is_alphanumeric()));
    !words.any(|word| matches!(word, "NaN" | "inf"))
}

impl Picture {
    /// The picture of what a `draw` statement came to; nothing for a graph, whose
    /// numbers come from its what-if table.
    #[must_use]
    pub fn of(record: &Record, writer: &Writer) -> Option<Self> {
        let fields = measure::Fields::new(record, writer);
        let Some(Value::Text(kind)) = record.get("picture") else {
            return None;
        };
        match &**kind {
            "holes" => Holes::of(&fields).map(Self::Holes),
            "lever" => Lever::of(&fields).map(Self::Lever),
            "turned profile" => Profile::of(&fields).map(Self::Profile),
            "taper" => Taper::of(&fields).map(Self::Taper),
            "rotary table" => RotaryTable::of(&fields).map(Self::RotaryTable),
            "fit" => Fit::of(&fields).map(Self::Fit),
            _ => None,
        }
    }

    /// The picture as an `svg` element; `title` says what it shows to those who
    /// can't see it.
    #[must_use]
    pub fn svg(&self, title: &str) -> String {
        let svg = self.drawn(title);
        if has_place(&svg) {
            return svg;
        }
        "<p>The sizes of this picture are too large, or too unlike one another, to be drawn.</p>"
            .to_owned()
    }

    fn drawn(&self, title: &str) -> String {
        match self {
            Self::Holes(picture) => picture.draw().svg(title),
            Self::Lever(picture) => picture.draw().svg(title),
            Self::Profile(picture) => picture.draw().svg(title),
            Self::Taper(picture) => picture.draw().svg(title),
            Self::RotaryTable(picture) => picture.draw().svg(title),
            Self::Fit(picture) => picture.draw().svg(title),
            Self::Graph(picture) => picture.draw().svg(title),
        }
    }

    /// The picture in characters for a terminal, where it has such a form.
    #[must_use]
    pub fn plain(&self, width: usize) -> Option<String> {
        match self {
            Self::Fit(picture) => Some(picture.plain()),
            Self::Graph(picture) => Some(picture.plain(width)),
            _ => None,
        }
    }

    /// What stands under the picture: its scale, its unit, and what found no room.
    #[must_use]
    pub fn caption(&self) -> String {
        match self {
            Self::Holes(picture) => picture.caption(),
            Self::Lever(picture) => picture.caption(),
            Self::Profile(picture) => picture.caption(),
            Self::Taper(picture) => picture.caption(),
            Self::RotaryTable(picture) => picture.caption(),
            Self::Fit(picture) => picture.caption(),
            Self::Graph(_) => String::new(),
        }
    }
}
