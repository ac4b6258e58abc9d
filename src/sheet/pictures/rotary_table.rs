//! An arc milled on the rotary table, seen from above: X to the right, angles
//! counter-clockwise from X.

use std::f64::consts::{FRAC_PI_2, PI};

use super::area::{Area, Point};
use super::canvas::{Canvas, LineType};
use super::figure::{Extent, Figure};
use super::lettering::{Anchor, CAPITAL};
use super::measure::{Fields, Measure};

/// A rotary-table set-up.
#[derive(Clone, Debug)]
pub struct RotaryTable {
    /// The radius wanted on the work.
    pub radius: Measure,
    /// The cutter's diameter.
    pub cutter: Measure,
    /// The angle at which the cut begins.
    pub from: Measure,
    /// The angle at which the cut ends.
    pub to: Measure,
    /// Distance from the table's centre to the cutter's.
    pub offset: Measure,
    /// The turn between the two angles.
    pub turn: Measure,
    /// The table's diameter.
    pub table: Option<Measure>,
}

impl RotaryTable {
    /// Returns the set-up of a record.
    pub fn of(fields: &Fields) -> Option<Self> {
        Some(Self {
            radius: fields.size("radius")?,
            cutter: fields.size("cutter")?,
            from: fields.measure("from")?,
            to: fields.measure("to")?,
            offset: fields.measure("offset")?,
            turn: fields.measure("turn")?,
            table: fields.size("table"),
        })
    }

    /// Returns whether the table goes all the way round.
    fn is_whole(&self) -> bool {
        self.turn.size > 2.0 * PI - 1e-6
    }

    fn reach(&self) -> f64 {
        let work = (self.offset.size + self.cutter.size / 2.0).max(self.radius.size);
        let table = self.table.as_ref().map_or(0.0, |table| table.size / 2.0);
        work.max(table)
    }

    /// Draws the radius and the cutter on leaders, the offset on a dimension line.
    fn sizes(&self, canvas: &mut Canvas, (radius, offset, cutter): (f64, f64, f64)) {
        let centre = Point::new(0.0, 0.0);
        let (from, to) = (self.from.size, self.to.size);
        let sign = (to - from).signum();
        let half = f64::midpoint(from, to);
        // The radius is shown inside the arc, near the middle of it, clear of the axes.
        let most = (to - from).abs() / 2.0;
        let clear = [0.0, 0.35, -0.35, 0.7, -0.7]
            .map(|off| half + f64::clamp(off, -0.9 * most, 0.9 * most))
            .into_iter()
            .max_by(|a, b| (2.0 * a).sin().abs().total_cmp(&(2.0 * b).sin().abs()));
        let at = clear.unwrap_or(half);
        let tip = centre.towards(at, radius);
        let inside = [0.45, 0.6, 0.3, 0.75].map(|part| tip.towards(at, -part * radius));
        let outside =
            [10.0, 16.0, 24.0].map(|far| tip.towards(at + 0.3, offset - radius + cutter + far));
        let elbows = inside.into_iter().chain(outside);
        canvas.leader_where_free(tip, 0.0, elbows, &format!("R{}", self.radius.text));
        // The cutter, from its far side outwards.
        let middle = centre.towards(to, offset);
        let aways = [0.6, 1.0, 0.2, 1.4, 1.8, -0.3].map(|turn| to + turn * sign);
        let elbows = [7.0, 14.0].map(|out| aways.map(|away| middle.towards(away, cutter + out)));
        let text = format!("⌀{} cutter", self.cutter.text);
        canvas.leader_where_free(middle, cutter, elbows.into_iter().flatten(), &text);
        let last = centre.towards(from, offset);
        if from.sin().abs() < 1e-9 {
            let low = canvas.bounds().1.y + 7.0;
            canvas.across(centre, last, low, &self.offset.text);
        } else {
            let side = from - FRAC_PI_2 * sign;
            let through = centre.towards(side, cutter + 7.0);
            canvas.dimension(centre, last, from, through, &self.offset.text);
        }
    }

    /// Draws the turn between the angles, on an arc outside the cutter.
    fn turn(&self, canvas: &mut Canvas, arc: f64) {
        let centre = Point::new(0.0, 0.0);
        let (from, to) = (self.from.size, self.to.size);
        canvas.arc(centre, arc, from, to, LineType::Thin);
        canvas.arrow_on_arc(centre, arc, to, (to - from).signum());
    }

    fn turn_text(&self, canvas: &mut Canvas, arc: f64) {
        let centre = Point::new(0.0, 0.0);
        let half = f64::midpoint(self.from.size, self.to.size);
        let most = (self.to.size - self.from.size).abs() / 2.0;
        let mut places = Vec::new();
        for out in [2.0, 5.0, 9.0, 14.0] {
            for along in [0.12, -0.12, 0.3, -0.3, 0.6, -0.6, 1.0, -1.0] {
                let angle = half + f64::clamp(along, -most, most);
                let at = centre.towards(angle, arc + out);
                places.push((at + (0.0, CAPITAL / 2.0), Anchor::away(angle, 0.2)));
            }
        }
        canvas.text_where_free(&places, &self.turn.text);
    }
}

impl Figure for RotaryTable {
    fn extent(&self) -> Option<Extent> {
        let reach = 2.0 * self.reach();
        Some(Extent::new(reach, reach, (80.0, 80.0)))
    }

    fn words(&self) -> String {
        let how = if self.is_whole() {
            "a whole turn."
        } else {
            "the cutter is drawn where it is against the work at the first angle and the last."
        };
        format!("Seen from above; {how}")
    }

    fn draw(&self, canvas: &mut Canvas) {
        let scale = canvas.scale;
        let centre = Point::new(0.0, 0.0);
        let [radius, offset, cutter] =
            [&self.radius, &self.offset, &self.cutter].map(|measure| measure.size * scale);
        let cutter = cutter / 2.0;
        let reach = self.reach() * scale;
        let (from, to) = (self.from.size, self.to.size);
        canvas.axes((-reach - 4.0, reach + 10.0), (reach + 4.0, -reach - 10.0));
        if let Some(table) = &self.table {
            canvas.circle(centre, table.size / 2.0 * scale, LineType::Thin, "table");
        }
        let whole = self.is_whole();
        if whole {
            canvas.circle(centre, radius, LineType::Outline, "arc");
            canvas.circle(centre, offset, LineType::Path, "cutter-path");
        } else {
            canvas.arc(centre, radius, from, to, LineType::Outline);
            canvas.arc(centre, offset, from, to, LineType::Path);
        }
        let ends = if whole { &[from][..] } else { &[from, to] };
        for angle in ends {
            let middle = centre.towards(*angle, offset);
            canvas.circle(middle, cutter, LineType::Thin, "cutter");
            canvas.obstacles.push(Area::round(middle, cutter));
        }
        let outside = offset + cutter + 4.0;
        if !whole {
            for arc in [radius, offset, outside - 1.0] {
                canvas.obstacles.extend(arc_areas(centre, arc, from, to));
            }
            let ray = |angle: &f64| Area::along(centre, centre.towards(*angle, outside));
            canvas.obstacles.extend(ends.iter().map(ray));
        }
        self.sizes(canvas, (radius, offset, cutter));
        if !whole {
            self.turn(canvas, outside - 1.0);
            for (angle, text) in [(from, &self.from.text), (to, &self.to.text)] {
                canvas.line(centre, centre.towards(angle, outside), LineType::Thin);
                angle_text(canvas, centre, angle, outside, text);
            }
            self.turn_text(canvas, outside - 1.0);
        }
    }
}

/// Returns the areas that an arc covers, piece by piece.
fn arc_areas(centre: Point, radius: f64, from: f64, to: f64) -> Vec<Area> {
    const PIECES: u32 = 48;
    let at = |piece: u32| {
        let angle = from + (to - from) * f64::from(piece) / f64::from(PIECES);
        centre.towards(angle, radius)
    };
    let piece = |piece| Area::along(at(piece), at(piece + 1));
    (0..PIECES).map(piece).collect()
}

/// How far a text stands from its line's end before it is led to it.
const FAR: f64 = 6.0;

/// Draws an angle's text at the end of its line.
fn angle_text(canvas: &mut Canvas, centre: Point, angle: f64, reach: f64, text: &str) {
    let mut places = Vec::new();
    let on_line = [
        (0.0, None),
        (0.0, Some(angle.cos() >= 0.0)),
        (0.0, Some(angle.cos() < 0.0)),
        (3.0, None),
        (3.0, Some(angle.cos() >= 0.0)),
        (6.0, None),
        (10.0, None),
        (16.0, None),
    ];
    // Where its line's end is taken, to either side of it.
    let beside = [0.0, 3.0, 6.0].map(|along| [4.0, -4.0, 7.0, -7.0].map(|off| (along, off)));
    let beside = beside.into_iter().flatten();
    let beside = beside.map(|(along, off)| (angle + off / reach, along, None));
    let on_line = on_line.map(|(along, side)| (angle, along, side));
    for (angle, along, side) in on_line.into_iter().chain(beside) {
        let at = centre.towards(angle, reach + 1.5 + along);
        let drop = match angle.sin() {
            up if up > 0.3 => 0.0,
            down if down < -0.3 => CAPITAL,
            _ => CAPITAL + 1.5,
        };
        // Near an axis a text stands beside it.
        let (x, anchor) = match side {
            Some(true) => (at.x + 4.5, Anchor::Start),
            Some(false) => (at.x - 4.5, Anchor::End),
            None => (at.x, Anchor::away(angle, 0.3)),
        };
        places.push((Point::new(x, at.y + drop), anchor));
    }
    canvas.text_where_free(&places, text);
    // One further off is led to its line.
    let end = centre.towards(angle, reach);
    if let Some(area) = canvas.texts.last().copied()
        && area.nearest(end).distance(end) > FAR
    {
        canvas.line(end, area.nearest(end), LineType::Thin);
    }
}
