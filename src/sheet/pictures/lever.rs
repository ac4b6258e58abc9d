//! Rounded ends with tangent flanks, and the path of the cutter's centre.

use std::f64::consts::{FRAC_PI_2, PI};

use super::area::{Area, Point};
use super::canvas::{Canvas, LineType, short};
use super::dimension::ABOVE;
use super::figure::{Extent, Figure};
use super::lettering::{Anchor, CAPITAL};
use super::measure::{Fields, Measure};

/// A lever: the big end's centre is the origin, the small end lies along X.
#[derive(Clone, Debug)]
pub struct Lever {
    /// Diameter of the big end.
    pub big: Measure,
    /// Diameter of the small end.
    pub small: Measure,
    /// The radii, as they are written.
    pub radii: (Measure, Measure),
    /// Distance between the ends' centres.
    pub centres: Measure,
    /// The cutter's diameter.
    pub cutter: Option<Measure>,
    /// Diameter of the hole in the big end.
    pub big_bore: Option<Measure>,
    /// Diameter of the hole in the small end.
    pub small_bore: Option<Measure>,
    /// Angle between the centre line and a flank.
    pub flank_angle: Measure,
    /// Length of a flank between the points where it touches the ends.
    pub flank_length: Measure,
}

impl Lever {
    /// Returns the lever of a record.
    pub fn of(fields: &Fields) -> Option<Self> {
        let big = fields.size("big")?;
        let small = fields.size("small")?;
        let radius = |diameter: &Measure| fields.exact_length(diameter.size / 2000.0);
        Some(Self {
            radii: (radius(&big), radius(&small)),
            big,
            small,
            centres: fields.size("centres")?,
            cutter: fields.size("cutter"),
            big_bore: fields.size("big_bore"),
            small_bore: fields.size("small_bore"),
            flank_angle: fields.measure("flank_angle")?,
            flank_length: fields.measure("flank_length")?,
        })
    }

    /// Draws a closed outline of tangent arcs and flanks about both centres.
    fn outline(&self, canvas: &mut Canvas, radii: (f64, f64), line: LineType, mark: &str) {
        let angle = FRAC_PI_2 - self.flank_angle.size;
        let big = Point::new(0.0, 0.0);
        let small = Point::new(self.centres.size * canvas.scale, 0.0);
        let corners = [
            big.towards(angle, radii.0),
            small.towards(angle, radii.1),
            small.towards(-angle, radii.1),
            big.towards(-angle, radii.0),
        ];
        let n = short;
        let [a, b, c, d] = corners.map(|p| format!("{} {}", n(p.x), n(p.y)));
        // The small end's arc is less than half a turn, the big end's more, unless
        // the flanks are parallel; both run clockwise on the drawing.
        let large = i32::from(self.flank_angle.size > 1e-9);
        let (r, s) = (n(radii.0), n(radii.1));
        let path = format!("M{a}L{b}A{s} {s} 0 0 1 {c}L{d}A{r} {r} 0 {large} 1 {a}Z");
        let extent = [
            Point::new(-radii.0, -radii.0),
            Point::new(small.x + radii.1, radii.0),
        ];
        canvas.path(path, &extent, line, mark);
    }

    fn dimensions(&self, canvas: &mut Canvas, (big, small, centres, cutter): (f64, f64, f64, f64)) {
        let (left, right) = (Point::new(0.0, 0.0), Point::new(centres, 0.0));
        let square = FRAC_PI_2 - self.flank_angle.size;
        let below = big + cutter + 9.0;
        // The flank, along itself, above the upper one and the cutter on it.
        let (a, b) = (left.towards(square, big), right.towards(square, small));
        let through = a.towards(square, 2.0 * cutter + 6.0);
        canvas.dimension(a, b, a.angle_to(b), through, &self.flank_length.text);
        let down = |x: f64, radius: f64| Point::new(x, radius + 2.0);
        canvas.across(
            down(0.0, big),
            down(centres, small),
            below,
            &self.centres.text,
        );
        // The ends' radii and the bores, from their centres outwards.
        let reach = cutter + 5.0;
        for (middle, radius, side, text) in [
            (left, big, -1.0, &self.radii.0.text),
            (right, small, 1.0, &self.radii.1.text),
        ] {
            let angle = if side > 0.0 { -0.55 } else { PI + 0.55 };
            let tip = middle.towards(angle, radius);
            let elbow = tip.towards(angle, reach);
            canvas.leader(tip, elbow, &format!("R{text}"));
        }
        for (middle, radius, side, bore) in [
            (left, big, -1.0, &self.big_bore),
            (right, small, 1.0, &self.small_bore),
        ] {
            if let Some(bore) = bore {
                let angle = if side > 0.0 { 0.6 } else { PI - 0.6 };
                let tip = middle.towards(angle, bore.size / 2.0 * canvas.scale);
                let elbow = middle.towards(angle, radius + reach);
                canvas.leader(tip, elbow, &format!("⌀{}", bore.text));
            }
        }
        self.flank_angle(canvas, b, centres);
        if let Some(cutter_size) = &self.cutter {
            let middle = left.towards(square, big + cutter);
            let tip = middle.towards(PI - 0.9, cutter);
            let elbow = tip.towards(PI - 0.9, 5.0);
            canvas.leader(tip, elbow, &format!("⌀{} cutter", cutter_size.text));
        }
    }

    /// Draws the flank's angle, inside the lever at the small end: between the flank and
    /// a line parallel to the centre line.
    fn flank_angle(&self, canvas: &mut Canvas, touch: Point, centres: f64) {
        if self.flank_angle.size < 1e-6 {
            return;
        }
        let radius = 0.55 * centres;
        canvas.line(
            touch,
            Point::new(touch.x - radius - 4.0, touch.y),
            LineType::Thin,
        );
        let base = touch.towards(PI, radius);
        let half = touch.towards(PI - self.flank_angle.size / 2.0, radius + 1.5);
        let inside = touch.towards(PI - self.flank_angle.size / 2.0, radius - 1.5);
        let beside = |point: Point| Point::new(point.x, point.y + CAPITAL / 2.0);
        let mut places = Vec::new();
        if radius * self.flank_angle.size > 9.0 {
            places.push((beside(half), Anchor::End));
            places.push((beside(inside), Anchor::Start));
        }
        places.extend([
            (
                Point::new(base.x + 2.5, base.y + 2.0 + CAPITAL),
                Anchor::Start,
            ),
            (
                Point::new(base.x - 2.5, base.y + 2.0 + CAPITAL),
                Anchor::End,
            ),
            (Point::new(base.x - 5.0, base.y - ABOVE), Anchor::End),
            (
                Point::new(base.x - 6.0, base.y + CAPITAL / 2.0),
                Anchor::End,
            ),
            (Point::new(base.x + 2.5, base.y - ABOVE), Anchor::Start),
            // Where the lever is too small on paper, above all that is drawn.
            (Point::new(base.x - 2.0, base.y - 9.0), Anchor::End),
            (Point::new(base.x + 2.0, base.y - 9.0), Anchor::Start),
            (Point::new(base.x - 2.0, base.y - 14.0), Anchor::End),
        ]);
        canvas.angle(
            touch,
            radius,
            (PI, PI - self.flank_angle.size),
            &self.flank_angle.text,
            &places,
        );
    }
}

impl Figure for Lever {
    fn extent(&self) -> Option<Extent> {
        let width = self.centres.size + (self.big.size + self.small.size) / 2.0;
        Some(Extent::new(width, self.big.size, (100.0, 80.0)))
    }

    fn words(&self) -> String {
        let mut text = String::new();
        if let Some(cutter) = &self.cutter {
            text.push_str(&format!(
                "Double-dotted line: path of the centre of the ⌀{} cutter.",
                cutter.text
            ));
        }
        text
    }

    fn draw(&self, scale: f64) -> Canvas {
        let mut canvas = Canvas::new(scale);
        let (big, small) = (self.big.size / 2.0 * scale, self.small.size / 2.0 * scale);
        let centres = self.centres.size * scale;
        let cutter = self.cutter.as_ref().map_or(0.0, |c| c.size / 2.0 * scale);
        let (left, right) = (Point::new(0.0, 0.0), Point::new(centres, 0.0));
        let square = FRAC_PI_2 - self.flank_angle.size;

        canvas.level(
            0.0,
            (-big - cutter - 3.0, centres + small + cutter + 3.0),
            LineType::Centre,
        );
        for (middle, radius) in [(left, big), (right, small)] {
            canvas.plumb(middle.x, (-radius - 3.0, radius + 3.0), LineType::Centre);
        }
        self.outline(&mut canvas, (big, small), LineType::Outline, "outline");
        for side in [1.0, -1.0] {
            let ends = [(left, big), (right, small)];
            let [a, b] = ends.map(|(middle, radius)| middle.towards(side * square, radius));
            canvas.obstacles.push(Area::along(a, b));
        }
        for (middle, radius) in [(left, big), (right, small)] {
            for side in [1.0, -1.0] {
                let touch = middle.towards(side * square, radius);
                canvas.line(
                    middle,
                    middle.towards(side * square, radius + cutter + 2.0),
                    LineType::Thin,
                );
                canvas.dot(touch, 0.7, "tangent");
            }
        }
        if self.cutter.is_some() {
            self.outline(
                &mut canvas,
                (big + cutter, small + cutter),
                LineType::Path,
                "cutter-path",
            );
            let middle = left.towards(square, big + cutter);
            canvas.circle(middle, cutter, LineType::Thin, "cutter");
        }
        for (middle, bore) in [(left, &self.big_bore), (right, &self.small_bore)] {
            if let Some(bore) = bore {
                let radius = bore.size / 2.0 * scale;
                canvas.circle(middle, radius, LineType::Outline, "bore");
                canvas.obstacles.push(Area::round(middle, radius));
            }
        }
        self.dimensions(&mut canvas, (big, small, centres, cutter));
        canvas
    }
}
