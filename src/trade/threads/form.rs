//! Thread forms: the proportions from which the diameters follow.

use uom::si::angle::degree;
use uom::si::f64::{Angle, Length};
use uom::si::length::{inch, millimeter};

use crate::trade::lengths::exceeds;

/// The profile of a thread.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// ISO metric, 60°, external root rounded.
    Metric,
    /// Unified inch, 60°, external root rounded.
    Unified,
    /// American National, 60°, root flat p/8 on both threads.
    AmericanNational,
    /// Sharp V, 60°, no flats.
    SharpV,
    /// Whitworth, 55°, crest and root rounded; pipe threads G too.
    Whitworth,
    /// British Association, 47.5°, crest and root rounded.
    BritishAssociation,
    /// ISO metric trapezoidal, 30°.
    Trapezoidal,
    /// Acme, general purpose, 29°.
    Acme,
}

/// √3 / 2: height of the sharp 60° triangle over the pitch.
const H60: f64 = 0.866_025_403_784_438_6;
/// 1 / (2 tan 27.5°): height of the sharp 55° triangle over the pitch.
const H55: f64 = 0.960_491_063_485_583;

/// Proportions of a form, as multiples of the pitch.
struct Proportions {
    /// Included angle, degrees.
    angle: f64,
    /// Major diameter less basic pitch diameter: half of what a hole leaves of the major
    /// diameter at 100 % engagement.
    to_pitch_diameter: f64,
    /// Major diameter less basic minor diameter of the internal thread.
    to_internal_minor: f64,
    /// Depth of the external thread, without clearance.
    depth: f64,
}

/// Returns the proportions of a form that is as deep in the nut as on the screw.
const fn even(angle: f64, to_pitch_diameter: f64) -> Proportions {
    Proportions {
        angle,
        to_pitch_diameter,
        to_internal_minor: 2.0 * to_pitch_diameter,
        depth: to_pitch_diameter,
    }
}

impl Form {
    /// Source: ISO 68-1:1998 (metric: 3/4 H, 5/4 H, 17/24 H); ASME B1.1-2003
    /// (Unified); Machinery's Handbook (American National, sharp V); BS 84:1956
    /// (Whitworth: 2/3 H); BS 93:1951 (BA: 0.6 p); ISO 2901:1993 and ISO
    /// 2904:1977 (trapezoidal); ASME B1.5-1997 (Acme).
    const fn proportions(self) -> Proportions {
        match self {
            Form::Metric | Form::Unified => Proportions {
                to_internal_minor: 1.25 * H60,
                depth: 17.0 / 24.0 * H60,
                ..even(60.0, 0.75 * H60)
            },
            Form::AmericanNational => even(60.0, 0.75 * H60),
            Form::SharpV => even(60.0, H60),
            Form::Whitworth => even(55.0, 2.0 / 3.0 * H55),
            Form::BritishAssociation => even(47.5, 0.6),
            Form::Trapezoidal => even(30.0, 0.5),
            Form::Acme => even(29.0, 0.5),
        }
    }

    /// Returns the name of the form and the standard that fixes it.
    #[must_use]
    pub const fn standard(self) -> &'static str {
        match self {
            Form::Metric => "ISO 68-1",
            Form::Unified => "ASME B1.1",
            Form::AmericanNational => "American National form",
            Form::SharpV => "sharp V form",
            Form::Whitworth => "BS 84",
            Form::BritishAssociation => "BS 93",
            Form::Trapezoidal => "ISO 2904",
            Form::Acme => "ASME B1.5",
        }
    }

    /// Returns the included angle between the flanks.
    #[must_use]
    pub fn angle(self) -> Angle {
        Angle::new::<degree>(self.proportions().angle)
    }

    /// Returns the basic pitch diameter.
    #[must_use]
    pub fn pitch_diameter(self, major: Length, pitch: Length) -> Length {
        major - pitch * self.proportions().to_pitch_diameter
    }

    /// Returns the basic minor diameter of the internal thread.
    #[must_use]
    pub fn internal_minor(self, major: Length, pitch: Length) -> Length {
        major - pitch * self.proportions().to_internal_minor
    }

    /// Returns the depth of the external thread, with its clearance.
    #[must_use]
    pub fn depth(self, pitch: Length) -> Length {
        pitch * self.proportions().depth + self.clearance(pitch)
    }

    /// Returns what a hole leaves of the major diameter at 100 % engagement: twice the
    /// full depth of thread. For 60° that is 2 × 3/4 H = 1.2990 p, so that the
    /// basic minor diameter of ISO 68-1 is 83.3 %.
    ///
    /// Source: Machinery's Handbook, tapping (60°); twice the depth of BS 84, BS
    /// 93, ISO 2901 and ASME B1.5 for the others.
    #[must_use]
    pub fn full_depth_on_diameter(self, pitch: Length) -> Length {
        pitch * (2.0 * self.proportions().to_pitch_diameter)
    }

    /// Returns the clearance at the root of the external thread, on the radius.
    ///
    /// Source: ISO 2904:1977 (0.15, 0.25, 0.5, 1 mm by pitch); ASME B1.5-1997
    /// (0.010 in at 10 threads per inch and coarser, else 0.005 in).
    fn clearance(self, pitch: Length) -> Length {
        let mm = Length::new::<millimeter>;
        match self {
            Form::Trapezoidal if !exceeds(pitch, mm(1.5)) => mm(0.15),
            Form::Trapezoidal if !exceeds(pitch, mm(5.0)) => mm(0.25),
            Form::Trapezoidal if !exceeds(pitch, mm(12.0)) => mm(0.5),
            Form::Trapezoidal => mm(1.0),
            Form::Acme if exceeds(Length::new::<inch>(0.1), pitch) => Length::new::<inch>(0.005),
            Form::Acme => Length::new::<inch>(0.010),
            _ => mm(0.0),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_constants_are_the_geometry_of_their_triangles() {
        let height = |angle: f64| 0.5 / (angle / 2.0).to_radians().tan();
        assert!((H60 - height(60.0)).abs() < 1e-12);
        assert!((H55 - height(55.0)).abs() < 1e-12, "{}", height(55.0));
    }

    #[test]
    fn the_clearance_steps_with_the_pitch() {
        let depth = |form: Form, mm: f64| {
            form.depth(Length::new::<millimeter>(mm))
                .get::<millimeter>()
        };
        // ISO 2904:1977, h3 = H4.
        for (pitch, expected) in [
            (1.5, 0.9),
            (2.0, 1.25),
            (5.0, 2.75),
            (6.0, 3.5),
            (12.0, 6.5),
            (14.0, 8.0),
        ] {
            assert!(
                (depth(Form::Trapezoidal, pitch) - expected).abs() < 1e-12,
                "{pitch}"
            );
        }
        // ASME B1.5: half the pitch and 0.010 in, or 0.005 in finer than 10 to the inch.
        assert!((depth(Form::Acme, 2.54) - 1.524).abs() < 1e-12);
        assert!((depth(Form::Acme, 25.4 / 16.0) - (25.4 / 32.0 + 0.127)).abs() < 1e-12);
    }
}
