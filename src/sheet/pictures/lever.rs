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
        let touch = right.towards(square, small);
        let other = left.towards(square, big);
        let (along, through) = (
            other.angle_to(touch),
            other.towards(square, 2.0 * cutter + 6.0),
        );
        canvas.dimension(other, touch, along, through, &self.flank_length.text);
        let down = |x: f64, radius: f64| Point::new(x, radius + 2.0);
        let (a, b) = (down(0.0, big), down(centres, small));
        canvas.across(a, b, below, &self.centres.text);
        // The ends' radii and the bores, from their centres outwards.
        let reach = cutter + 5.0;
        for (middle, radius, angle, size) in [
            (left, big, PI + 0.55, &self.radii.0),
            (right, small, -0.55, &self.radii.1),
        ] {
            let tip = middle.towards(angle, radius);
            canvas.leader(tip, tip.towards(angle, reach), &format!("R{}", size.text));
        }
        for (middle, radius, angle, bore) in [
            (left, big, PI - 0.6, &self.big_bore),
            (right, small, 0.6, &self.small_bore),
        ] {
            if let Some(bore) = bore {
                let tip = middle.towards(angle, bore.size / 2.0 * canvas.scale);
                let elbow = middle.towards(angle, radius + reach);
                canvas.leader(tip, elbow, &format!("⌀{}", bore.text));
            }
        }
        self.flank_angle(canvas, touch, centres);
        if let Some(cutter_size) = &self.cutter {
            let middle = left.towards(square, big + cutter);
            let text = format!("⌀{} cutter", cutter_size.text);
            canvas.leader_round((middle, cutter), 5.0, &[PI - 0.9], &text);
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
        let half = PI - self.flank_angle.size / 2.0;
        let mut places = Vec::new();
        if radius * self.flank_angle.size > 9.0 {
            places.extend(
                [(1.5, Anchor::End), (-1.5, Anchor::Start)].map(|(out, anchor)| {
                    let at = touch.towards(half, radius + out);
                    (at + (0.0, CAPITAL / 2.0), anchor)
                }),
            );
        }
        places.extend([
            (base + (2.5, 2.0 + CAPITAL), Anchor::Start),
            (base + (-2.5, 2.0 + CAPITAL), Anchor::End),
            (base + (-5.0, -ABOVE), Anchor::End),
            (base + (-6.0, CAPITAL / 2.0), Anchor::End),
            (base + (2.5, -ABOVE), Anchor::Start),
            // Where the lever is too small on paper, above all that is drawn.
            (base + (-2.0, -9.0), Anchor::End),
            (base + (2.0, -9.0), Anchor::Start),
            (base + (-2.0, -14.0), Anchor::End),
        ]);
        let sides = (PI, PI - self.flank_angle.size);
        canvas.angle(touch, radius, sides, &self.flank_angle.text, &places);
    }
}

impl Figure for Lever {
    fn extent(&self) -> Option<Extent> {
        let width = self.centres.size + (self.big.size + self.small.size) / 2.0;
        Some(Extent::new(width, self.big.size, (100.0, 80.0)))
    }

    fn words(&self) -> String {
        let path = |cutter: &Measure| {
            format!(
                "Double-dotted line: path of the centre of the ⌀{} cutter.",
                cutter.text
            )
        };
        self.cutter.as_ref().map_or(String::new(), path)
    }

    fn draw(&self, canvas: &mut Canvas) {
        let scale = canvas.scale;
        let (big, small) = (self.big.size / 2.0 * scale, self.small.size / 2.0 * scale);
        let centres = self.centres.size * scale;
        let cutter = self.cutter.as_ref().map_or(0.0, |c| c.size / 2.0 * scale);
        let (left, right) = (Point::new(0.0, 0.0), Point::new(centres, 0.0));
        let square = FRAC_PI_2 - self.flank_angle.size;

        let ends = [(left, big), (right, small)];
        let reach = (-big - cutter - 3.0, centres + small + cutter + 3.0);
        canvas.level(0.0, reach, LineType::Centre);
        for (middle, radius) in ends {
            canvas.plumb(middle.x, (-radius - 3.0, radius + 3.0), LineType::Centre);
        }
        self.outline(canvas, (big, small), LineType::Outline, "outline");
        for side in [square, -square] {
            let [a, b] = ends.map(|(middle, radius)| middle.towards(side, radius));
            canvas.obstacles.push(Area::along(a, b));
        }
        for (middle, radius) in ends {
            for side in [square, -square] {
                let end = middle.towards(side, radius + cutter + 2.0);
                canvas.line(middle, end, LineType::Thin);
                canvas.dot(middle.towards(side, radius), 0.7, "tangent");
            }
        }
        if self.cutter.is_some() {
            let path = (big + cutter, small + cutter);
            self.outline(canvas, path, LineType::Path, "cutter-path");
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
        self.dimensions(canvas, (big, small, centres, cutter));
    }
}
