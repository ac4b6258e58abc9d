//! Pictures of a sheet as inline SVG, to scale and dimensioned as a drawing is.
//!
//! A [`Figure`](figure::Figure) is plain data: sizes in millimetres with the text each is
//! written with. `canvas.rs` has lines and text on paper, `dimension.rs` what
//! ISO 129-1 draws with them; each picture has a file of its own. All lengths on
//! paper are millimetres, y downwards; printed at full size the stated scale is
//! true.

mod area;
mod canvas;
mod chain;
mod change_gears;
mod dimension;
mod dividing_plate;
mod end_view;
mod figure;
mod fit;
mod gear;
mod graph;
mod hatch;
mod hole_numbers;
mod hole_sizes;
mod holes;
mod leaders;
mod length_stack;
mod lettering;
mod lever;
mod listed;
mod measure;
mod profile;
mod profile_notes;
mod rolls;
mod rotary_table;
mod running;
mod scale;
mod set_over;
mod sine_bar;
mod spread;
mod taper;
mod thread;

use std::sync::Arc;

pub use graph::{Graph, Limit, Series};
pub use lettering::FONT;
pub use measure::{cut, trimmed};

use canvas::Canvas;
use figure::Figure;
use measure::Fields;
use scale::{in_words, scale_for, scales};

use crate::language::{Record, Value};
use crate::sheet::Writer;

/// A picture's numbers, ready to be drawn.
#[derive(Clone, Debug)]
pub struct Picture {
    figure: Arc<dyn Figure>,
    /// What it shows, with its figures: `lever`, then `big 26`.
    figures: Vec<(String, String)>,
    /// The unit of its lengths, in words.
    unit: &'static str,
}

/// A picture as it stands on a page.
#[derive(Clone, Debug)]
pub struct Drawing {
    /// The `svg` element; words where the picture can't be drawn.
    pub svg: Result<String, String>,
    /// Its width in whole centimetres, rounded up.
    pub centimetres: u32,
    /// Whether it is so tall that little of a sheet is left beside it: on paper its
    /// section begins on a sheet that has room for it.
    pub tall: bool,
    /// Its scale in words.
    pub scale: Option<String>,
    /// What stands under it behind the scale: its unit, and what it says itself.
    pub caption: String,
    /// A table that belongs beside it: headings and rows.
    pub table: Option<(Vec<String>, Vec<Vec<String>>)>,
}

/// The height of a tall picture, in millimetres.
const TALL: f64 = 110.0;

/// How many smaller scales are tried where a picture is too large for a sheet.
const SMALLER: usize = 5;

impl Picture {
    /// Returns the picture of what a `draw` statement came to; nothing for a graph,
    /// whose numbers come from its what-if table.
    #[must_use]
    pub fn of(record: &Record, writer: &Writer) -> Option<Self> {
        let fields = Fields::new(record, writer);
        let Some(Value::Text(kind)) = record.get("picture") else {
            return None;
        };
        let figure = figure(kind, &fields)?;
        Some(Self {
            figure,
            figures: fields.listed(),
            unit: if fields.symbol == "in" {
                "inches"
            } else {
                fields.symbol
            },
        })
    }

    /// Returns the picture of a graph; `figures` are what it says in words.
    #[must_use]
    pub fn of_graph(graph: Graph, figures: Vec<(String, String)>) -> Self {
        Self {
            figure: Arc::new(graph),
            figures,
            unit: "",
        }
    }

    /// Draws the picture at the largest scale of ISO 5455 at which it stands on a
    /// sheet with all that is written round it.
    #[must_use]
    pub fn drawn(&self) -> Drawing {
        let extent = self.figure.extent();
        let first = extent.as_ref().map_or(1.0, |extent| {
            scale_for(extent.width, extent.height, extent.room)
        });
        let mut canvas = Canvas::new(first);
        self.figure.draw(&mut canvas);
        if extent.is_some() {
            let smaller = scales().filter(|scale| *scale < first).take(SMALLER);
            for scale in smaller {
                if canvas.fits() || canvas.broken {
                    break;
                }
                canvas = Canvas::new(scale);
                self.figure.draw(&mut canvas);
            }
        }
        let scale = canvas.scale;
        let mut caption = String::new();
        if extent.is_some() {
            caption.push_str(&format!("dimensions in {}. ", self.unit));
        }
        caption.push_str(&self.figure.words());
        let (width, height) = canvas.size();
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        // a few centimetres
        let centimetres = (width / 10.0).ceil().clamp(1.0, 99.0) as u32;
        let fits = canvas.fits();
        let svg = if canvas.broken {
            Err("its sizes are too far apart, or too large, for any paper".to_owned())
        } else {
            Ok(canvas.svg(&self.words()))
        };
        Drawing {
            scale: extent
                .filter(|_| fits && svg.is_ok())
                .map(|_| in_words(scale)),
            svg,
            centimetres,
            tall: height > TALL,
            caption: caption.trim_end().to_owned(),
            table: self.figure.table(),
        }
    }

    /// Returns what the picture says, for those who can't see it: what it shows, and
    /// its figures.
    #[must_use]
    pub fn words(&self) -> String {
        let parts: Vec<String> = self
            .figures
            .iter()
            .map(|(name, text)| match (name.is_empty(), text.is_empty()) {
                (true, _) => text.clone(),
                (false, true) => name.clone(),
                (false, false) => format!("{name} {text}"),
            })
            .collect();
        match parts.split_first() {
            Some((first, rest)) if !rest.is_empty() => format!("{first}: {}", rest.join("; ")),
            Some((first, _)) => first.clone(),
            None => String::new(),
        }
    }

    /// Returns the picture for a terminal: in characters where it has such a form, else
    /// its figures as a small table.
    #[must_use]
    pub fn plain(&self, width: usize) -> String {
        if let Some(plain) = self.figure.plain(width) {
            return plain;
        }
        let rows = self.figures.get(1..).unwrap_or_default();
        let wide = |text: &str| unicode_width::UnicodeWidthStr::width(text);
        let longest = rows.iter().map(|(name, _)| wide(name)).max().unwrap_or(0);
        let lines = rows.iter().map(|(name, text)| {
            let gap = " ".repeat(longest - wide(name));
            format!("{name}{gap}  {text}")
        });
        lines.collect::<Vec<_>>().join("\n")
    }
}

/// Returns the figure that a record of this kind describes.
fn figure(kind: &str, fields: &Fields) -> Option<Arc<dyn Figure>> {
    fn shared<F: Figure + 'static>(figure: F) -> Arc<dyn Figure> {
        Arc::new(figure)
    }
    match kind {
        "holes" => holes::Holes::of(fields).map(shared),
        "lever" => lever::Lever::of(fields).map(shared),
        "turned profile" => profile::Profile::of(fields).map(shared),
        "taper" => taper::Taper::of(fields).map(shared),
        "rotary table" => rotary_table::RotaryTable::of(fields).map(shared),
        "fit" | "shrink fit" => fit::Fit::of(fields).map(shared),
        "length stack" => length_stack::LengthStack::of(fields).map(shared),
        "dovetail" => rolls::Dovetail::of(fields).map(shared),
        "vee" => rolls::Vee::of(fields).map(shared),
        "dividing plate" => dividing_plate::DividingPlate::of(fields).map(shared),
        "change gears" => change_gears::ChangeGears::of(fields).map(shared),
        "thread" => thread::Thread::of(fields).map(shared),
        "tailstock" => set_over::SetOver::of(fields).map(shared),
        "sine bar" => sine_bar::SineBar::of(fields).map(shared),
        "end view" => end_view::EndView::of(fields).map(shared),
        "gear" => gear::Gear::of(fields).map(shared),
        _ => None,
    }
}
