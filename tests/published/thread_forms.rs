//! The constants of the thread forms, as the functions show them.

use setover::internals::trade::threads::{Thread, engagement, stress_area, tapping_drill, thread};
use uom::si::angle::degree;
use uom::si::area::square_millimeter;
use uom::si::f64::{Angle, Length};
use uom::si::length::{inch, millimeter};

use crate::asked::{best_wire, infeed, over_wires, over_wires_plain, thread_depth, wire_range};
use crate::compared::near_at;
use crate::rows::rows;

/// Rows of the table that no function of a thread shows: flats, radii and truncations. Left
/// out too are tool tips, and the formulas that other rows give as numbers.
const LEFT_OUT: [&str; 8] = [
    "crest flat",
    "crest flat, external",
    "root flat, internal crest",
    "root radius",
    "crest and root radius",
    "crest and root radius (about 2/11 p)",
    "truncation at crest and root",
    "truncation at crest and root (H/6)",
];

fn mm(length: Length) -> f64 {
    length.get::<millimeter>()
}

/// A length as a multiple of the pitch.
fn over_pitch(length: Length, thread: &Thread) -> f64 {
    mm(length) / mm(thread.pitch)
}

/// The compound angle at the end of a row's name.
fn degrees_of(name: &str) -> Option<Angle> {
    let (_, after) = name.split_once(" at ")?;
    let degrees = after.strip_suffix(" deg")?.parse().ok()?;
    Some(Angle::new::<degree>(degrees))
}

/// Infeed over pitch, at the angle of the row's name.
fn infeed_at(designation: &str, name: &str) -> f64 {
    let angle = degrees_of(name).unwrap_or_else(|| panic!("{name}"));
    over_pitch(infeed(designation, angle), &thread(designation).unwrap())
}

/// The factors of the three-wire formula M = E + factor × wire - other × p.
fn wire_factors(designation: &str) -> (f64, f64) {
    let found = thread(designation).unwrap();
    let (small, large) = wire_range(designation);
    let over = |wire| mm(over_wires_plain(designation, wire));
    let factor = (over(large) - over(small)) / mm(large - small);
    let pitch = (mm(found.pitch_diameter) + factor * mm(small) - over(small)) / mm(found.pitch);
    (factor, pitch)
}

/// The value of a row that holds for every form alike.
fn shared(designation: &str, name: &str) -> Option<f64> {
    let found = thread(designation).unwrap();
    let (smallest, largest) = wire_range(designation);
    let value = match name {
        "pitch diameter reduction (3/4 H)" | "effective diameter reduction" | "pitch diameter" => {
            over_pitch(found.major - found.pitch_diameter, &found)
        }
        "internal minor diameter reduction (5/4 H)"
        | "minor diameter reduction"
        | "internal minor diameter" => over_pitch(found.major - found.minor_internal, &found),
        "external thread depth (17/24 H)" | "depth of thread (2/3 H)" | "depth of thread" => {
            over_pitch(thread_depth(designation), &found)
        }
        "basic height" => over_pitch(found.major - found.minor_internal, &found) / 2.0,
        "best wire" => over_pitch(best_wire(designation), &found),
        "smallest usable wire" => over_pitch(smallest, &found),
        "largest usable wire" => over_pitch(largest, &found),
        "three-wire, wire factor" => wire_factors(designation).0,
        // The height of the sharp triangle is cot(half angle) / 2, as is this factor.
        "three-wire, pitch factor" | "fundamental triangle height H" => wire_factors(designation).1,
        "depth of rounding" => {
            // The largest wire touches where the straight flank ends.
            let half = found.angle.get::<degree>().to_radians() / 2.0;
            let touches = over_pitch(largest, &found) * (0.5 / half.sin() - half.sin() / 2.0);
            let crest = over_pitch(found.major - found.pitch_diameter, &found) / 2.0;
            crest + 0.25 / half.tan() - touches
        }
        "three-wire from major diameter" => {
            let (factor, _) = wire_factors(designation);
            let over = over_wires_plain(designation, smallest);
            (mm(found.major) + factor * mm(smallest) - mm(over)) / mm(found.pitch)
        }
        "percentage of thread from drill" => {
            let hole = found.major - found.pitch;
            100.0 * engagement(designation, hole).unwrap()
        }
        _ if name.starts_with("compound infeed at ") => infeed_at(designation, name),
        _ => return None,
    };
    Some(value)
}

fn sixty(name: &str) -> Option<f64> {
    let (metric, unified, national) = ("M10", "1-8 UNC", "1-8 NC");
    let found = thread(metric).unwrap();
    let value = match name {
        "basic height of thread / internal depth (5/8 H)"
        | "external depth, flat root p/4 (5/8 H)" => {
            over_pitch(found.major - found.minor_internal, &found) / 2.0
        }
        "external minor diameter reduction, rounded root" => {
            over_pitch(found.major - found.minor_external, &found)
        }
        "external depth, flat root p/8 (3/4 H; 100 percent thread basis)" => {
            over_pitch(thread_depth(national), &thread(national).unwrap())
        }
        "tensile stress area diameter reduction" => {
            let area = stress_area(metric).unwrap().get::<square_millimeter>();
            (mm(found.major) - (area * 4.0 / std::f64::consts::PI).sqrt()) / mm(found.pitch)
        }
        "UN stress area diameter reduction" => {
            let found = thread(unified).unwrap();
            let area = stress_area(unified).unwrap().get::<square_millimeter>();
            (mm(found.major) - (area * 4.0 / std::f64::consts::PI).sqrt()) / mm(found.pitch)
        }
        _ if name.starts_with("compound infeed for 17/24 H at ") => infeed_at(metric, name),
        _ if name.starts_with("compound infeed for 3/4 H at ") => infeed_at(national, name),
        "compound infeed for 5/8 H at 29.5 deg" => {
            let deep = infeed_at(metric, name) / over_pitch(found.depth, &found);
            deep * over_pitch(found.major - found.minor_internal, &found) / 2.0
        }
        "sharp V depth along the flank" => infeed_at("1-8 sharp V", "sharp V at 30 deg"),
        "diameter removed at 100 percent thread" => over_pitch(
            found.major - tapping_drill(metric, Some(1.0)).unwrap().exact,
            &found,
        ),
        "percentage of thread from drill (inch)" => {
            // (D - drill) × n / percentage.
            let found = thread(unified).unwrap();
            let drill = Length::new::<inch>(0.875);
            let percent = 100.0 * engagement(unified, drill).unwrap();
            (found.major - drill).get::<inch>() * 8.0 / percent
        }
        "percentage of thread from drill (metric)" => {
            let drill = Length::new::<millimeter>(8.5);
            100.0 * engagement(metric, drill).unwrap() * mm(found.pitch) / mm(found.major - drill)
        }
        "drill for 75 percent thread" => over_pitch(
            found.major - tapping_drill(metric, Some(0.75)).unwrap().exact,
            &found,
        ),
        "basic D1 as percentage of 1.299038 p" => engagement(metric, found.minor_internal).unwrap(),
        "rule-of-thumb tapping drill" => over_pitch(
            found.major - tapping_drill(metric, None).unwrap().drill.diameter,
            &found,
        ),
        "three-wire with best wire" => {
            let over = over_wires(metric, best_wire(metric));
            over_pitch(over - found.pitch_diameter, &found)
        }
        _ => return shared(metric, name),
    };
    Some(value)
}

fn british_association(name: &str) -> Option<f64> {
    // BS 93 rounds its diameters; 0 BA (6 mm, 1 mm) has none to round.
    let value = match name {
        // p = 0.9^n mm to 0.01 mm, d = 6 p^1.2 mm to two figures, for every size.
        "pitch series" => {
            for n in 0..=16 {
                let pitch = mm(thread(&format!("{n} BA")).unwrap().pitch);
                near_at(&format!("{n} BA"), pitch, 0.9_f64.powi(n), 5.001e-3);
            }
            0.9
        }
        "major diameter series" => {
            for n in 0..=16 {
                let major = mm(thread(&format!("{n} BA")).unwrap().major);
                let step = if major < 1.0 { 0.01 } else { 0.1 };
                near_at(
                    &format!("{n} BA"),
                    major,
                    6.0 * 0.9_f64.powi(n).powf(1.2),
                    step * 0.500_1,
                );
            }
            1.2
        }
        _ => return shared("0 BA", name),
    };
    Some(value)
}

fn trapezoidal(name: &str) -> Option<f64> {
    let found = thread("Tr 20x4").unwrap();
    let clearance = |designation: &str| {
        let found = thread(designation).unwrap();
        mm(found.depth) - 0.5 * mm(found.pitch)
    };
    let value = match name {
        "thread depth external and internal" => {
            (mm(found.depth) - clearance("Tr 20x4")) / mm(found.pitch)
        }
        "external minor diameter" => {
            (mm(found.major - found.minor_external) - 2.0 * clearance("Tr 20x4")) / mm(found.pitch)
        }
        // D4 and the tool tip are of the internal thread and of the tool.
        "internal major diameter" | "tool tip flat" => return None,
        "crest clearance ac (mm), p = 1.5 mm" => clearance("Tr 8x1.5"),
        "crest clearance ac (mm), p = 2 to 5 mm" => {
            near_at("Tr 22x5", clearance("Tr 22x5"), 0.25, 1e-9);
            clearance("Tr 10x2")
        }
        "crest clearance ac (mm), p = 6 to 12 mm" => {
            near_at("Tr 44x12", clearance("Tr 44x12"), 0.5, 1e-9);
            clearance("Tr 30x6")
        }
        "crest clearance ac (mm), p = 14 to 44 mm" => {
            near_at("Tr 300x44", clearance("Tr 300x44"), 1.0, 1e-9);
            clearance("Tr 55x14")
        }
        _ => return shared("Tr 20x4", name),
    };
    Some(value)
}

fn acme(name: &str) -> Option<f64> {
    let beyond_half = |designation: &str| {
        let found = thread(designation).unwrap();
        found.depth.get::<inch>() - 0.5 * found.pitch.get::<inch>()
    };
    let value = match name {
        "depth, 10 tpi and coarser (inch)" => {
            near_at("1-5 Acme", beyond_half("1-5 Acme"), 0.010, 1e-9);
            beyond_half("1/2-10 Acme")
        }
        "depth, finer than 10 tpi (inch)" => beyond_half("3/8-12 Acme"),
        "tool tip flat, 10 tpi and coarser (inch)" | "tool tip flat, finer than 10 tpi (inch)" => {
            return None;
        }
        // The infeed of the row is a multiple of the depth.
        "compound infeed at 14.5 deg" => {
            let found = thread("1/2-10 Acme").unwrap();
            infeed_at("1/2-10 Acme", name) / over_pitch(found.depth, &found)
        }
        _ => return shared("1/2-10 Acme", name),
    };
    Some(value)
}

/// Source: ISO 68-1, ISO 724, ISO 898-1, ASME B1.1, BS 84, BS 93, ISO 2901 to 2904,
/// ASME B1.5; wires and percentage of thread as in Machinery's Handbook (formulas from
/// memory, the constants worked out from the geometry of the form).
#[test]
fn every_constant_of_the_thread_forms() {
    let table = rows(include_str!("../reference/thread_form_constants.csv"));
    let (mut checked, mut left_out) = (0, 0);
    for row in &table {
        let (form, name) = (row.text("form"), row.text("name"));
        let found = match form {
            "60 deg" => sixty(name),
            "Whitworth 55 deg" => shared("1-8 BSW", name),
            "BA 47.5 deg" => british_association(name),
            "Trapezoidal 30 deg" => trapezoidal(name),
            "Acme 29 deg" => acme(name),
            "any" if name == "pitch from threads per inch" => {
                let found = thread("1/4-20 UNC").unwrap();
                Some(mm(found.pitch) * found.tpi.unwrap())
            }
            _ => None,
        };
        let Some(found) = found else {
            let known = LEFT_OUT.contains(&name)
                || name.starts_with("tool tip flat")
                || name == "internal major diameter"
                || form == "any";
            assert!(known, "{form}: {name} is not checked");
            left_out += 1;
            continue;
        };
        let expected = row.number("value").unwrap();
        // The table prints six decimals, percentages to the unit of 1e-6 too.
        near_at(&format!("{form}: {name}"), found, expected, 1.01e-6);
        checked += 1;
    }
    assert_eq!(checked + left_out, 98);
    println!("{checked} constants of thread forms, {left_out} left out");
    assert!(checked >= 80, "{checked}");
}
