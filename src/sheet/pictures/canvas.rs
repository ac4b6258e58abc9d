//! Lines and text on paper.

use svg::node::element::Element;
use svg::node::{Node, Text};

use super::area::{Area, Point};

/// The size of the letters, in millimetres: capitals 3.5 mm high, as ISO 3098
/// recommends, readable at arm's length.
pub const FONT: f64 = 4.9;
/// The height of capitals and figures.
pub const CAPITAL: f64 = 3.5;
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

/// Which end of a text stands at its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// Its start.
    Start,
    /// Its middle.
    Middle,
    /// Its end.
    End,
}

/// A picture while it is drawn.
#[derive(Default)]
pub struct Canvas {
    elements: Vec<Element>,
    /// The texts, which stand above all lines.
    words: Vec<Element>,
    /// The rectangles of the texts.
    pub texts: Vec<Area>,
    /// What text should keep clear of.
    pub obstacles: Vec<Area>,
    /// What text had better keep clear of.
    pub better_not: Vec<Area>,
    bounds: Option<(Point, Point)>,
    /// Whether a place was no number, or lay beyond all paper.
    broken: bool,
    /// The scale, written at the element for other programs.
    pub scale: f64,
}

/// The widest and the highest picture, with its margins, that stands on a sheet of
/// A4 or US letter beside the page's own margins and under its heading.
const SHEET: (f64, f64) = (178.0, 225.0);
/// No paper is larger than this.
const BEYOND: f64 = 20_000.0;

/// Returns a number in the picture, to a thousandth of a millimetre.
fn short(value: f64) -> String {
    let text = format!("{value:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0" } else { text }.to_owned()
}

/// Returns the width of a text in millimetres, by the usual widths of sans-serif letters in
/// thousandths of their size; each text is written with it, so that a browser whose
/// letters are wider fits them in.
pub fn width_of(text: &str) -> f64 {
    let thousandths: u32 = text
        .chars()
        .map(|c| match c {
            '0'..='9' => 556,
            ' ' | '.' | ',' | '/' | ':' | ';' | 'I' | 't' | 'f' | '!' | '|' => 278,
            'i' | 'j' | 'l' | '\'' => 222,
            '(' | ')' | 'r' | '-' => 333,
            '"' => 355,
            '°' => 400,
            '+' | '−' | '×' | '±' | '=' | '<' | '>' => 584,
            'c' | 'k' | 's' | 'v' | 'x' | 'y' | 'z' | 'J' => 500,
            'w' | 'C' | 'D' | 'H' | 'N' | 'R' | 'U' => 722,
            'm' | 'M' => 833,
            'A' | 'B' | 'E' | 'K' | 'P' | 'S' | 'V' | 'X' | 'Y' => 667,
            'F' | 'T' | 'Z' => 611,
            'G' | 'O' | 'Q' => 778,
            'W' => 944,
            '%' | '@' | '…' | '—' => 1000,
            'a'..='z' | 'L' | '_' | '≤' | '≥' => 556,
            c if unicode_width::UnicodeWidthChar::width(c).unwrap_or(1) > 1 => 1050,
            _ => 700,
        })
        .sum();
    f64::from(thousandths) / 1000.0 * FONT
}

impl Canvas {
    /// Returns an empty picture at a scale.
    pub fn new(scale: f64) -> Self {
        Self {
            scale,
            ..Self::default()
        }
    }

    fn cover(&mut self, point: Point) {
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

    /// Returns whether every place is a number that paper has.
    pub const fn is_sound(&self) -> bool {
        !self.broken
    }

    fn push(&mut self, name: &str, class: &str, attributes: &[(&str, String)]) {
        let mut element = Element::new(name);
        element.assign("class", class);
        for (name, value) in attributes {
            element.assign(*name, value.clone());
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
        self.push("line", line.class(), &ends);
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
        self.cover(Point::new(middle.x - radius, middle.y - radius));
        self.cover(Point::new(middle.x + radius, middle.y + radius));
        let class = format!("{} {mark}", line.class());
        let sizes = [("cx", middle.x), ("cy", middle.y), ("r", radius)];
        self.push("circle", class.trim(), &sizes.map(|(n, v)| (n, short(v))));
    }

    /// Draws a filled dot.
    pub fn dot(&mut self, middle: Point, radius: f64, mark: &str) {
        let class = format!("f {mark}");
        let sizes = [("cx", middle.x), ("cy", middle.y), ("r", radius)];
        self.push("circle", class.trim(), &sizes.map(|(n, v)| (n, short(v))));
    }

    /// Draws an arc from one angle to another (radians, counter-clockwise where `to` is
    /// the greater).
    pub fn arc(&mut self, middle: Point, radius: f64, from: f64, to: f64, line: LineType) {
        let large = i32::from((to - from).abs() > std::f64::consts::PI);
        let sweep = i32::from(to < from);
        let (start, end) = (middle.towards(from, radius), middle.towards(to, radius));
        let steps = 24_u32;
        for step in 0..=steps {
            let part = f64::from(step) / f64::from(steps);
            let point = middle.towards(from + part * (to - from), radius);
            self.cover(point);
        }
        let r = short(radius);
        let d = format!(
            "M{} {}A{r} {r} 0 {large} {sweep} {} {}",
            short(start.x),
            short(start.y),
            short(end.x),
            short(end.y)
        );
        self.push("path", line.class(), &[("d", d)]);
    }

    /// Lines from point to point; closed where `closed` is set.
    pub fn polyline(&mut self, points: &[Point], closed: bool, line: LineType, mark: &str) {
        for pair in points.windows(2) {
            if let ([from, to], LineType::Outline) = (pair, line) {
                self.obstacles.push(Area::along(*from, *to));
            }
        }
        points.iter().for_each(|point| self.cover(*point));
        let name = if closed { "polygon" } else { "polyline" };
        let class = format!("{} {mark}", line.class());
        self.push(name, class.trim(), &[("points", listed(points))]);
    }

    /// Draws a path whose points have been worked out already.
    pub fn path(&mut self, d: String, corners: &[Point], line: LineType, mark: &str) {
        corners.iter().for_each(|point| self.cover(*point));
        let class = format!("{} {mark}", line.class());
        self.push("path", class.trim(), &[("d", d)]);
    }

    /// Draws a filled shape: an arrow head.
    pub fn filled(&mut self, points: &[Point]) {
        points.iter().for_each(|point| self.cover(*point));
        self.push("polygon", "f", &[("points", listed(points))]);
    }

    /// Draws a shaded shape: a tolerance zone.
    pub fn shaded(&mut self, points: &[Point], mark: &str) {
        points.iter().for_each(|point| self.cover(*point));
        let class = format!("o {mark}");
        self.push("polygon", &class, &[("points", listed(points))]);
    }

    /// Returns the rectangle that a text would take: its baseline's anchor at `at`, turned
    /// by `turn` (radians, counter-clockwise).
    pub fn area_of(at: Point, text: &str, anchor: Anchor, turn: f64) -> Area {
        let width = width_of(text);
        let along = match anchor {
            Anchor::Start => width / 2.0,
            Anchor::Middle => 0.0,
            Anchor::End => -width / 2.0,
        };
        let below = if text.contains(['g', 'j', 'p', 'q', 'y', ',', '(', ')', '/', 'Q']) {
            0.9
        } else {
            0.15
        };
        let up = turn + std::f64::consts::FRAC_PI_2;
        let height = CAPITAL + 0.15 + below;
        Area {
            middle: at.towards(turn, along).towards(up, height / 2.0 - below),
            half_width: width / 2.0,
            half_height: height / 2.0,
            turn,
        }
    }

    /// Returns whether a text there would cover another text or something it should keep
    /// clear of.
    pub fn is_free(&self, area: &Area) -> bool {
        !self
            .texts
            .iter()
            .chain(&self.obstacles)
            .any(|other| area.overlaps(other))
    }

    /// Draws a text. Where another text stands already it moves to the nearest place that
    /// is free, on a line from where it belongs: no label covers another, and none is
    /// left out.
    pub fn text(&mut self, at: Point, text: &str, anchor: Anchor, turn: f64) {
        let wanted = at;
        let at = self.nearest_free(at, text, anchor, turn);
        let area = Self::area_of(at, text, anchor, turn);
        if wanted.distance(at) > 2.0 * CAPITAL {
            self.line(wanted, area.nearest(wanted), LineType::Thin);
        }
        area.corners().iter().for_each(|corner| self.cover(*corner));
        self.texts.push(area);
        let mut element = Element::new("text");
        element.assign("x", short(at.x));
        element.assign("y", short(at.y));
        match anchor {
            Anchor::Start => {}
            Anchor::Middle => element.assign("text-anchor", "middle"),
            Anchor::End => element.assign("text-anchor", "end"),
        }
        if text.chars().count() > 1 {
            element.assign("textLength", short(width_of(text)));
            element.assign("lengthAdjust", "spacingAndGlyphs");
        }
        if turn.abs() > 1e-9 {
            let turned = format!(
                "rotate({} {} {})",
                short(-turn.to_degrees()),
                short(at.x),
                short(at.y)
            );
            element.assign("transform", turned);
        }
        element.append(Text::new(printable(text)));
        self.words.push(element);
    }

    /// Draws a text on the level.
    pub fn write(&mut self, at: impl Into<Point>, text: &str, anchor: Anchor) {
        self.text(at.into(), text, anchor, 0.0);
    }

    /// Returns the place nearest to `at` where a text covers no other.
    fn nearest_free(&self, at: Point, text: &str, anchor: Anchor, turn: f64) -> Point {
        const DIRECTIONS: [f64; 8] = [2.0, -2.0, 0.0, 4.0, 1.0, 3.0, -1.0, -3.0];
        let covers = |at: Point| {
            let area = Self::area_of(at, text, anchor, turn);
            self.texts.iter().any(|other| area.overlaps(other))
        };
        if self.broken || !covers(at) {
            return at;
        }
        for ring in 1..=120_u32 {
            let distance = 1.5 * f64::from(ring);
            for eighth in DIRECTIONS {
                let direction = turn + eighth * std::f64::consts::FRAC_PI_4;
                let there = at.towards(direction, distance);
                let area = Self::area_of(there, text, anchor, turn);
                // A little further, so that two texts don't read as one.
                let room = Area {
                    half_width: area.half_width + 0.8,
                    half_height: area.half_height + 0.3,
                    ..area
                };
                let blocked = ring < 12 && !self.is_free(&room);
                if !blocked && !self.texts.iter().any(|other| room.overlaps(other)) {
                    return there;
                }
            }
        }
        at
    }

    /// Draws a leader from a circle, or from a point where `radius` is 0, to the first of some
    /// elbows where its text is free of everything, else of texts and outlines, else to
    /// the first.
    pub fn leader_where_free(&mut self, middle: Point, radius: f64, elbows: &[Point], text: &str) {
        let tip = |elbow: Point| middle.towards(middle.angle_to(elbow), radius);
        let area = |elbow: &Point| {
            let side = if elbow.x >= tip(*elbow).x { 1.0 } else { -1.0 };
            let x = elbow.x + side * (width_of(text) + 1.0) / 2.0;
            Self::area_of(Point::new(x, elbow.y - 0.9), text, Anchor::Middle, 0.0)
        };
        let clear = elbows.iter().find(|elbow| {
            let area = area(elbow);
            self.is_free(&area) && !self.better_not.iter().any(|other| area.overlaps(other))
        });
        let free = || elbows.iter().find(|elbow| self.is_free(&area(elbow)));
        if let Some(elbow) = clear.or_else(free).or(elbows.first()).copied() {
            self.leader(tip(elbow), elbow, text);
        }
    }

    /// Writes a text at the first of some places where it is free, else at the
    /// first that at least covers no other text, else near the first; gives the
    /// number of the place, or nothing where it found none of them free.
    pub fn text_where_free(
        &mut self,
        places: &[(Point, Anchor, f64)],
        text: &str,
    ) -> Option<usize> {
        let area = |place: &(Point, Anchor, f64)| Self::area_of(place.0, text, place.1, place.2);
        let clear = places.iter().position(|place| {
            let area = area(place);
            self.is_free(&area) && !self.better_not.iter().any(|other| area.overlaps(other))
        });
        let free = || places.iter().position(|place| self.is_free(&area(place)));
        let chosen = clear.or_else(free).or_else(|| {
            places
                .iter()
                .position(|place| !self.texts.iter().any(|other| area(place).overlaps(other)))
        });
        let (at, anchor, turn) = *places.get(chosen.unwrap_or(0))?;
        self.text(at, text, anchor, turn);
        chosen
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
        svg.assign(
            "viewBox",
            format!(
                "{} {} {} {}",
                short(low.x - MARGIN),
                short(low.y - MARGIN),
                short(width),
                short(height)
            ),
        );
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

fn listed(points: &[Point]) -> String {
    let points = points
        .iter()
        .map(|point| format!("{},{}", short(point.x), short(point.y)));
    points.collect::<Vec<_>>().join(" ")
}

/// Returns a number for a path's `d`.
pub fn coordinate(value: f64) -> String {
    short(value)
}

/// Returns text without control characters, which no page may hold.
pub fn printable(text: &str) -> String {
    text.chars().filter(|c| !c.is_control()).collect()
}
