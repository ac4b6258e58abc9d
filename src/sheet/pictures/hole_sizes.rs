//! The diameters of holes, on leaders: beside the part, or near a hole whose leader would
//! run over another.

use super::area::{Area, Point};
use super::canvas::{Canvas, LineType};
use super::holes::{Hole, Holes};
use super::leaders::{Note, times};
use super::measure::Measure;

impl Holes {
    /// Writes one note for each diameter, at one of its holes.
    pub(super) fn diameters(
        &self,
        canvas: &mut Canvas,
        at: impl Fn(&Hole) -> Point,
        x: f64,
        top: f64,
    ) {
        let mut groups: Vec<(&Measure, Vec<&Hole>)> = Vec::new();
        for hole in &self.holes {
            let Some(diameter) = &hole.diameter else {
                continue;
            };
            match groups
                .iter_mut()
                .find(|(known, _)| known.text == diameter.text)
            {
                Some((_, holes)) => holes.push(hole),
                None => groups.push((diameter, vec![hole])),
            }
        }
        let mut notes = Vec::new();
        for (diameter, holes) in groups {
            // The leader leaves from the hole furthest to the right, then highest.
            let Some(last) = holes.iter().max_by(|a, b| {
                a.x.size
                    .total_cmp(&b.x.size)
                    .then(a.y.size.total_cmp(&b.y.size))
            }) else {
                continue;
            };
            notes.push(Note {
                middle: at(last),
                radius: diameter.size / 2.0 * canvas.scale,
                text: times(holes.len(), &format!("⌀{}", diameter.text)),
            });
        }
        if let Some((diameter, x, y)) = &self.pitch_circle {
            let scale = canvas.scale;
            let middle = Point::new(x * scale, -y * scale);
            let radius = diameter.size / 2.0 * scale;
            canvas.circle(middle, radius, LineType::Centre, "pitch-circle");
            notes.push(Note {
                middle,
                radius,
                text: format!("⌀{}", diameter.text),
            });
        }
        // A note whose leader would run over another hole stands near its own.
        let (near, aside): (Vec<Note>, Vec<Note>) = notes.into_iter().partition(|note| {
            let end = Point::new(x, note.middle.y - note.radius - 3.0);
            let leader = Area::along(note.middle, end);
            self.holes.iter().any(|hole| {
                let (at, radius) = (at(hole), Self::radius(hole) * canvas.scale);
                at.distance(note.middle) > 1e-6 && leader.nearest(at).distance(at) < radius + 0.5
            })
        });
        for note in near {
            let away = [6.0, 10.0, 16.0, 24.0].map(|away| note.radius + away);
            let angles = [60.0_f64, 120.0, 40.0, 140.0, 80.0, 100.0, -50.0, -130.0];
            let elbows = away
                .into_iter()
                .flat_map(|away| angles.map(|angle| note.middle.towards(angle.to_radians(), away)));
            canvas.leader_where_free(note.middle, note.radius, elbows, &note.text);
        }
        // The X axis and its letter stay clear of the leaders.
        canvas.notes_right(x, top, aside);
    }
}
