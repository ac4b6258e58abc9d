//! Text on paper: how wide it is, and where it covers nothing else.

use svg::node::element::Element;
use svg::node::{Node, Text};

use super::area::{Area, Point};
use super::canvas::{Canvas, LineType, printable, short};
use super::dimension::ABOVE;

/// The size of the letters, in millimetres: capitals 3.5 mm high, as ISO 3098
/// recommends, readable at arm's length.
pub const FONT: f64 = 4.9;
/// The height of capitals and figures.
pub const CAPITAL: f64 = 3.5;
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

impl Anchor {
    /// Returns which end of a text stands at a point that lies in direction `angle` from
    /// what it belongs to: the text runs away from there; where that is less than `least`
    /// to a side, its middle.
    pub fn away(angle: f64, least: f64) -> Self {
        match angle.cos() {
            right if right > least => Self::Start,
            left if left < -least => Self::End,
            _ => Self::Middle,
        }
    }
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

/// A place for a text on the level, and which end of the text stands there.
pub type Place = (Point, Anchor);

/// Returns whether any of some areas covers another.
pub fn covers(areas: &[Area], area: &Area) -> bool {
    areas.iter().any(|other| area.overlaps(other))
}

impl Canvas {
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
        !covers(&self.texts, area) && !covers(&self.obstacles, area)
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
        let taken = |at: Point| covers(&self.texts, &Self::area_of(at, text, anchor, turn));
        if self.broken || !taken(at) {
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
                if !blocked && !covers(&self.texts, &room) {
                    return there;
                }
            }
        }
        at
    }

    /// Draws a leader from a circle, or from a point where `radius` is 0, to the first of some
    /// elbows where its text is free of everything, else of texts and outlines, else to
    /// the first.
    pub fn leader_where_free(
        &mut self,
        middle: Point,
        radius: f64,
        elbows: impl IntoIterator<Item = Point>,
        text: &str,
    ) {
        let tip = |elbow: Point| middle.towards(middle.angle_to(elbow), radius);
        let area = |elbow: &Point| {
            let side = if elbow.x >= tip(*elbow).x { 1.0 } else { -1.0 };
            let x = elbow.x + side * (width_of(text) + 1.0) / 2.0;
            Self::area_of(Point::new(x, elbow.y - ABOVE), text, Anchor::Middle, 0.0)
        };
        let elbows: Vec<Point> = elbows.into_iter().collect();
        let areas: Vec<Area> = elbows.iter().map(area).collect();
        if let Some(elbow) = elbows.get(self.clearest(&areas).unwrap_or(0)) {
            self.leader(tip(*elbow), *elbow, text);
        }
    }

    /// Draws a leader from a circle to the first of some directions in which its text is
    /// free, `away` from the circle.
    pub fn leader_round(
        &mut self,
        (middle, radius): (Point, f64),
        away: f64,
        angles: &[f64],
        text: &str,
    ) {
        let elbow = |angle: &f64| middle.towards(*angle, radius + away);
        self.leader_where_free(middle, radius, angles.iter().map(elbow), text);
    }

    /// Writes a text at the first of some places where it is free, else at the
    /// first that at least covers no other text, else near the first; gives the
    /// number of the place, or nothing where it found none of them free.
    pub fn text_where_free(&mut self, places: &[Place], text: &str) -> Option<usize> {
        let areas: Vec<Area> = places
            .iter()
            .map(|(at, anchor)| Self::area_of(*at, text, *anchor, 0.0))
            .collect();
        let chosen = self.clearest(&areas);
        let chosen = chosen.or_else(|| areas.iter().position(|area| !covers(&self.texts, area)));
        let (at, anchor) = *places.get(chosen.unwrap_or(0))?;
        self.write(at, text, anchor);
        chosen
    }

    /// Returns the number of the first of some areas that is free of everything, else of
    /// the first that is free of texts and outlines.
    fn clearest(&self, areas: &[Area]) -> Option<usize> {
        let clear = |area: &Area| self.is_free(area) && !covers(&self.better_not, area);
        let free = || areas.iter().position(|area| self.is_free(area));
        areas.iter().position(clear).or_else(free)
    }
}
