//! Work between centres with the tailstock set over, seen from above.

use std::f64::consts::FRAC_PI_2;

use super::area::Point;
use super::canvas::{Canvas, LineType};
use super::figure::{Extent, Figure};
use super::lettering::{Anchor, CAPITAL};
use super::measure::{Fields, Measure};

/// A taper between set-over centres.
#[derive(Debug)]
pub struct SetOver {
    big: Measure,
    small: Measure,
    taper: Measure,
    overall: Measure,
    set_over: Measure,
}

impl SetOver {
    /// Returns the set-up of a record.
    pub fn of(fields: &Fields) -> Option<Self> {
        Some(Self {
            big: fields.size("big")?,
            small: fields.size("small")?,
            taper: fields.size("taper_length")?,
            overall: fields.size("overall")?,
            set_over: fields.measure("set_over")?,
        })
    }
}

impl Figure for SetOver {
    fn extent(&self) -> Option<Extent> {
        Some(Extent::new(
            self.overall.size,
            self.big.size + self.set_over.size,
            (115.0, 60.0),
        ))
    }

    fn words(&self) -> String {
        format!(
            "Seen from above, headstock at the left. The tailstock is {} towards the operator, so that the flank on his side lies parallel to the bed.",
            self.set_over.text
        )
    }

    fn draw(&self, canvas: &mut Canvas) {
        let scale = canvas.scale;
        let (overall, taper) = (self.overall.size * scale, self.taper.size * scale);
        let (big, small) = (self.big.size / 2.0 * scale, self.small.size / 2.0 * scale);
        let over = self.set_over.size * scale;
        // The work's axis falls towards the operator by the set-over.
        let lean = -(self.set_over.size / self.overall.size).min(1.0).asin();
        let head = Point::new(0.0, 0.0);
        let at = |along: f64, out: f64| head.towards(lean, along).towards(lean + FRAC_PI_2, out);
        let tail = at(overall, 0.0);
        let reach = 18.0;
        canvas.level(0.0, (-reach, tail.x + reach + 8.0), LineType::Centre);
        canvas.line(at(-4.0, 0.0), at(overall + 4.0, 0.0), LineType::Centre);
        let outline = [
            at(0.0, big),
            at(overall - taper, big),
            at(overall, small),
            at(overall, -small),
            at(overall - taper, -big),
            at(0.0, -big),
        ];
        canvas.polyline(&outline, true, LineType::Outline, "work");
        let shoulder = at(overall - taper, big);
        canvas.line(shoulder, at(overall - taper, -big), LineType::Outline);
        // The centres, 60 degrees, along the lathe's bed.
        let half = 30_f64.to_radians();
        for (tip, side) in [(head, -1.0), (tail, 1.0)] {
            let long = 9.0_f64;
            let wide = long * half.tan();
            let (end, far) = (side * long, side * (long + 8.0));
            let corners = [
                (0.0, 0.0),
                (end, -wide),
                (far, -wide),
                (far, wide),
                (end, wide),
            ];
            let corners = corners.map(|corner| tip + corner);
            canvas.polyline(&corners, true, LineType::Thin, "centre");
        }
        let end = at(overall, small);
        for (start, out, length) in [
            (at(0.0, big), 18.0, &self.overall),
            (shoulder, 8.0, &self.taper),
        ] {
            canvas.dimension(start, end, lean, at(0.0, big + out), &length.text);
        }
        let text = format!("⌀{}", self.big.text);
        canvas.upright(at(0.0, big), at(0.0, -big), -26.0, &text);
        let text = format!("⌀{}", self.small.text);
        let middle = at(overall, -small);
        let elbows = [(-6.0, 12.0), (-12.0, 18.0), (-20.0, 14.0)].map(|off| middle + off);
        canvas.leader_where_free(middle, 0.0, elbows, &text);
        let right = tail.x + reach + 12.0;
        let (from, to) = (
            Point::new(right - 6.0, 0.0),
            Point::new(tail.x + 18.0, over),
        );
        canvas.upright(from, to, right, &self.set_over.text);
        let low = canvas.bounds().1.y + 3.0 + CAPITAL;
        canvas.write((overall / 2.0, low), "operator", Anchor::Middle);
    }
}
