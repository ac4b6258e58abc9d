//! Lines on paper.

use svg::node::Node;
use svg::node::element::Element;

use super::area::{Area, Point};
use super::lettering::{Anchor, CAPITAL};

/// What stays free round a picture.
const MARGIN: f64 = 2.0;

/// The kinds of line (ISO 128).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LineType {
    /// Continuous wide: visible outlines.
    Outline,
    /// Continuous narrow: dimension, extension and leader lines, hatching.
    Thin,
    /// Long-dashed dotted narrow: centre lines, pitch circles.
    Centre,
    /// Long-dashed double-dotted narrow: paths of movable parts.
    Path,
    /// Dashed narrow: limits in graphs.
    Dashed,
    /// Faint: the grid of a graph.
    Grid,
}

impl LineType {
    /// Returns the class that the page gives its width and dashes.
    const fn class(self) -> &'static str {
        match self {
            Self::Outline => "o",
            Self::Thin => "t",
            Self::Centre => "c",
            Self::Path => "p",
            Self::Dashed => "d",
            Self::Grid => "g",
        }
    }
}

/// A picture while it is drawn.
#[derive(Default)]
pub struct Canvas {
    elements: Vec<Element>,
    /// The texts, which stand above all lines.
    pub words: Vec<Element>,
    /// The rectangles of the texts.
    pub texts: Vec<Area>,
    /// What text should keep clear of.
    pub obstacles: Vec<Area>,
    /// What text had better keep clear of.
    pub better_not: Vec<Area>,
    bounds: Option<(Point, Point)>,
    /// Whether a place was no number, or lay beyond all paper.
    pub broken: bool,
    /// The scale, written at the element for other programs.
    pub scale: f64,
}

/// The widest and the highest picture, with its margins, that stands on a sheet of
/// A4 or US letter beside the page's own margins and under its heading.
const SHEET: (f64, f64) = (178.0, 225.0);
/// No paper is larger than this.
const BEYOND: f64 = 20_000.0;

/// Returns a number in the picture, to a thousandth of a millimetre.
pub fn short(value: f64) -> String {
    crate::quantity::short(value, 3)
}

impl Canvas {
    /// Returns an empty picture at a scale.
    pub fn new(scale: f64) -> Self {
        Self {
            scale,
            ..Self::default()
        }
    }

    pub fn cover(&mut self, point: Point) {
        // Not a number fails this comparison too.
        if !(point.x.abs() < BEYOND && point.y.abs() < BEYOND) {
            self.broken = true;
            return;
        }
        let (low, high) = self.bounds.unwrap_or((point, point));
        self.bounds = Some((
            Point::new(low.x.min(point.x), low.y.min(point.y)),
            Point::new(high.x.max(point.x), high.y.max(point.y)),
        ));
    }

    /// Returns the corners of what has been drawn so far.
    pub fn bounds(&self) -> (Point, Point) {
        self.bounds.unwrap_or_default()
    }

    /// Returns the width and height of the picture with its margins.
    pub fn size(&self) -> (f64, f64) {
        let (low, high) = self.bounds();
        (high.x - low.x + 2.0 * MARGIN, high.y - low.y + 2.0 * MARGIN)
    }

    /// Returns whether the picture stands on a sheet without being shrunk.
    pub fn fits(&self) -> bool {
        let (width, height) = self.size();
        width <= SHEET.0 && height <= SHEET.1
    }

    /// Draws an element of the classes `line` and `mark`.
    fn push<const N: usize>(
        &mut self,
        name: &str,
        (line, mark): (&str, &str),
        attributes: [(&str, String); N],
    ) {
        let mut element = Element::new(name);
        element.assign("class", format!("{line} {mark}").trim());
        for (name, value) in attributes {
            element.assign(name, value);
        }
        self.elements.push(element);
    }

    /// Draws a straight line.
    pub fn line(&mut self, from: Point, to: Point, line: LineType) {
        self.cover(from);
        self.cover(to);
        if line == LineType::Outline {
            self.obstacles.push(Area::along(from, to));
        } else {
            self.better_not.push(Area::along(from, to));
        }
        let ends = [("x1", from.x), ("y1", from.y), ("x2", to.x), ("y2", to.y)];
        let ends = ends.map(|(name, value)| (name, short(value)));
        self.push("line", (line.class(), ""), ends);
    }

    /// Draws a level line at height `y`.
    pub fn level(&mut self, y: f64, (from, to): (f64, f64), line: LineType) {
        self.line(Point::new(from, y), Point::new(to, y), line);
    }

    /// Draws an upright line at `x`.
    pub fn plumb(&mut self, x: f64, (from, to): (f64, f64), line: LineType) {
        self.line(Point::new(x, from), Point::new(x, to), line);
    }

    /// Draws a circle; `mark` is a further class.
    pub fn circle(&mut self, middle: Point, radius: f64, line: LineType, mark: &str) {
        self.cover(middle + (-radius, -radius));
        self.cover(middle + (radius, radius));
        self.round(middle, radius, (line.class(), mark));
    }

    /// Draws a filled dot.
    pub fn dot(&mut self, middle: Point, radius: f64, mark: &str) {
        self.round(middle, radius, ("f", mark));
    }

    fn round(&mut self, middle: Point, radius: f64, class: (&str, &str)) {
        let sizes = [("cx", middle.x), ("cy", middle.y), ("r", radius)];
        self.push("circle", class, sizes.map(|(n, v)| (n, short(v))));
    }

    /// Draws a round body seen from its end, a pin or a roll, with its centre lines; texts
    /// keep clear of it.
    pub fn pin(&mut self, middle: Point, radius: f64, mark: &str) {
        self.circle(middle, radius, LineType::Outline, mark);
        self.centre_mark(middle, radius);
        self.obstacles.push(Area::round(middle, radius));
    }

    /// Draws an arc from one angle to another (radians, counter-clockwise where `to` is
    /// the greater).
    pub fn arc(&mut self, middle: Point, radius: f64, from: f64, to: f64, line: LineType) {
        let large = i32::from((to - from).abs() > std::f64::consts::PI);
        let sweep = i32::from(to < from);
        let (start, end) = (middle.towards(from, radius), middle.towards(to, radius));
        for step in 0..=24 {
            let part = f64::from(step) / 24.0;
            self.cover(middle.towards(from + part * (to - from), radius));
        }
        let [r, x, y, end_x, end_y] = [radius, start.x, start.y, end.x, end.y].map(short);
        let d = format!("M{x} {y}A{r} {r} 0 {large} {sweep} {end_x} {end_y}");
        self.push("path", (line.class(), ""), [("d", d)]);
    }

    /// Draws lines from point to point; closed where `closed` is set.
    pub fn polyline(&mut self, points: &[Point], closed: bool, line: LineType, mark: &str) {
        for pair in points.windows(2) {
            if let ([from, to], LineType::Outline) = (pair, line) {
                self.obstacles.push(Area::along(*from, *to));
            }
        }
        let name = if closed { "polygon" } else { "polyline" };
        self.shape(name, (line.class(), mark), points);
    }

    fn shape(&mut self, name: &str, class: (&str, &str), points: &[Point]) {
        points.iter().for_each(|point| self.cover(*point));
        let listed = points
            .iter()
            .map(|point| format!("{},{}", short(point.x), short(point.y)));
        let listed = listed.collect::<Vec<_>>().join(" ");
        self.push(name, class, [("points", listed)]);
    }

    /// Draws a path whose points have been worked out already.
    pub fn path(&mut self, d: String, corners: &[Point], line: LineType, mark: &str) {
        corners.iter().for_each(|point| self.cover(*point));
        self.push("path", (line.class(), mark), [("d", d)]);
    }

    /// Draws a filled shape: an arrow head.
    pub fn filled(&mut self, points: &[Point]) {
        self.shape("polygon", ("f", ""), points);
    }

    /// Draws the axes X and Y through the datum, from their one ends to their arrows.
    pub fn axes(&mut self, (left, right): (f64, f64), (bottom, top): (f64, f64)) {
        let (x_end, y_end) = (Point::new(right, 0.0), Point::new(0.0, top));
        self.line(Point::new(left, 0.0), x_end, LineType::Centre);
        self.line(Point::new(0.0, bottom), y_end, LineType::Centre);
        self.arrow(x_end, 0.0);
        self.arrow(y_end, std::f64::consts::FRAC_PI_2);
        self.write((right - 0.5, 1.5 + CAPITAL), "X", Anchor::Middle);
        self.write((2.8, top + 2.5), "Y", Anchor::Middle);
        self.origin(Point::default());
    }

    /// Draws a shaded shape: a tolerance zone.
    pub fn shaded(&mut self, points: &[Point], mark: &str) {
        self.shape("polygon", ("o", mark), points);
    }

    /// Returns the picture as an `svg` element for an HTML page.
    pub fn svg(self, title: &str) -> String {
        let (low, _) = self.bounds();
        let (width, height) = self.size();
        let mut svg = Element::new("svg");
        svg.assign("class", "picture");
        svg.assign("aria-label", printable(title));
        svg.assign("role", "img");
        svg.assign("width", format!("{}mm", short(width)));
        svg.assign("height", format!("{}mm", short(height)));
        let seen = [low.x - MARGIN, low.y - MARGIN, width, height].map(short);
        svg.assign("viewBox", seen.join(" "));
        svg.assign("data-scale", short(self.scale));
        for element in self.elements {
            svg.append(element);
        }
        // Letters stand out from lines behind them: their edge in the paper's
        // colour is painted first.
        let mut words = Element::new("g");
        words.assign("paint-order", "stroke");
        for word in self.words {
            words.append(word);
        }
        svg.append(words);
        svg.to_string()
    }
}

/// Returns text without control characters, which no page may hold.
pub fn printable(text: &str) -> String {
    text.chars().filter(|c| !c.is_control()).collect()
}
