//! Numbers of the notebooks, read from the program's JSON, against published values
//! and against arithmetic done without the program.

use approx::assert_relative_eq;
use serde_json::Value as Json;

use super::shell::{folder, run};

/// A number of a sheet: name of the row, place in it, value, relative tolerance,
/// where the value comes from.
type Published = (&'static str, &'static str, f64, f64, &'static str);

/// Half the last digit of a value with five digits.
const DIGITS: f64 = 1e-5;
/// Exact but for rounding of binary fractions.
const EXACT: f64 = 1e-12;

#[test]
fn clutch_lever() {
    // The centres are 70.035 mm there, as measured.
    holds(
        "clutch-lever",
        &[
            (
                "flank",
                "/value",
                4.093_993_27,
                1e-8,
                "external tangent of two circles: asin(10 / 140.07), Python",
            ),
            (
                "feed_by",
                "/value",
                69.856_289_80,
                1e-9,
                "the same: sqrt(70.035^2 - 5^2), Python",
            ),
            ("offset", "/value", 22.0, EXACT, "14 mm + 16 mm / 2"),
            (
                "plate_kg",
                "/value",
                237.891_973_5,
                1e-9,
                "in g: 99.035 x 34 x 9 mm^3 of 7850 kg/m^3 (EN 1991-1-1, table A.4)",
            ),
            (
                "bore",
                "/low",
                14.0,
                EXACT,
                "ISO 286-2:2010, table for H: 14 H7 is 0 (from memory)",
            ),
            (
                "bore",
                "/high",
                14.018,
                EXACT,
                "ISO 286-2:2010: to +18 um (from memory)",
            ),
            (
                "rpm",
                "/value",
                440.0,
                EXACT,
                "of 90 160 270 440 720 1180 rpm the last below 28 m/min (Machinery's Handbook \
                 gives 25 to 30 for milling mild steel with HSS; from memory) at 16 mm: 557 rpm",
            ),
            (
                "holes",
                "/value/1/pilot/diameter",
                4.8,
                EXACT,
                "0.2 mm for a reamer of 5 mm; common practice, no source",
            ),
        ],
    );
}

#[test]
fn declination_shaft() {
    holds(
        "declination-shaft",
        &[
            (
                "slide",
                "/value",
                (5.0 + 43.0 / 60.0 + 29.3 / 3600.0) / 2.0,
                2e-6,
                "ISO 1119:2011, table (from memory): 1:10 has the cone angle 5 deg 43 min 29.3 s",
            ),
            (
                "tailstock",
                "/value",
                5.8,
                EXACT,
                "Machinery's Handbook, tapers: set-over = L (D - d) / 2 l = 116 x 2 / 40",
            ),
            (
                "drill",
                "/value/diameter",
                4.2,
                EXACT,
                "ISO 2306:1972 (from memory): M5, tapping drill 4.2",
            ),
            (
                "journal",
                "/low",
                13.966,
                EXACT,
                "ISO 286-2:2010, table for f (from memory): 14 f7 is -16 to -34 um",
            ),
            ("journal", "/high", 13.984, EXACT, "the same"),
            (
                "seat",
                "/low",
                24.996,
                EXACT,
                "ISO 286-2:2010, table for j (from memory): 25 j6 is +9 to -4 um",
            ),
            ("seat", "/high", 25.009, EXACT, "the same"),
            (
                "undercut",
                "/value",
                10.773 - 0.2,
                DIGITS * 6.0,
                "ISO 724 and DIN 13 (from memory): M12x1 has d3 = 10.773",
            ),
            (
                "flank_size",
                "/value",
                11.268_025_40,
                1e-8,
                "Machinery's Handbook, three wires: M - 3 W + 0.866025 p = 12.262 - 1.86 + 0.866025",
            ),
            ("trains", "/value/0/pitch", 1.0, EXACT, "3 mm x 20 / 60"),
        ],
    );
}

#[test]
fn cutter_arbor() {
    holds(
        "cutter-arbor",
        &[
            (
                "shank",
                "/value/rate",
                0.60235 / 12.0,
                DIGITS,
                "ASME B5.10 (from memory): Morse no. 3 has 0.60235 in/ft",
            ),
            (
                "gauge_end",
                "/value",
                23.825,
                DIGITS,
                "ISO 296:1991 (from memory): D = 23.825 for no. 3",
            ),
            (
                "angle",
                "/value",
                1.0 + 26.0 / 60.0 + 16.0 / 3600.0,
                1e-4,
                "DIN 228-1 (from memory): no. 3, setting angle 1 deg 26 min 16 s, to the second",
            ),
            (
                "on_slide",
                "/value",
                1.254_50,
                DIGITS,
                "50 mm x sin(atan(0.60235 / 24)), Python",
            ),
            (
                "draw_drill",
                "/value/diameter",
                10.2,
                EXACT,
                "ISO 2306:1972 (from memory): M12, tapping drill 10.2",
            ),
            (
                "clamp_drill",
                "/value/diameter",
                4.2,
                EXACT,
                "ISO 2306:1972 (from memory): M5, tapping drill 4.2",
            ),
        ],
    );
}

#[test]
fn worm_wheel() {
    holds(
        "worm-wheel",
        &[
            (
                "ways",
                "/value/0/circle",
                18.0,
                EXACT,
                "Machinery's Handbook, simple indexing: 40 / 144 = 5 / 18 of a turn",
            ),
            ("ways", "/value/0/holes", 5.0, EXACT, "the same"),
            ("ways", "/value/0/turns", 0.0, EXACT, "the same"),
            ("screw", "/value/lead", 2.513_274_12, 1e-8, "pi x 0.8 mm"),
            (
                "screw",
                "/value/lead_angle",
                2.290_610_04,
                1e-8,
                "atan(0.8 / 20), Python",
            ),
            (
                "wheel",
                "/value/centres",
                67.6,
                EXACT,
                "(20 + 144 x 0.8) / 2",
            ),
            (
                "best",
                "/value/pitch",
                3.0 * 70.0 * 35.0 / (45.0 * 65.0),
                EXACT,
                "3 mm x 70 x 35 / (45 x 65)",
            ),
            (
                "turn_in",
                "/value",
                598.361_806,
                1e-8,
                "sidereal day of 86 164.1 s (Explanatory Supplement to the Astronomical Almanac) / 144",
            ),
        ],
    );
}

#[test]
fn azimuth_screw_dovetail_and_counterweight() {
    holds(
        "azimuth-screw",
        &[
            (
                "best",
                "/value/pitch",
                25.4 / 40.0,
                EXACT,
                "1 in / 40 = 3 mm x 127 x 20 / (100 x 120)",
            ),
            (
                "one_turn",
                "/value",
                0.242_550_684,
                1e-8,
                "atan(0.635 / 150), Python",
            ),
            (
                "form",
                "/value/depth",
                0.6403 * 0.635,
                2e-3,
                "BS 84 (from memory): depth 0.640327 p; charts round it to 0.0160 in",
            ),
        ],
    );
    holds(
        "saddle-dovetail",
        &[
            (
                "groove_reading",
                "/value",
                39.821_132_486_5,
                1e-9,
                "Machinery's Handbook, dovetails, at the middle of the limits: 47.85 + 23.95 cot 60 - 8 (1 + cot 30), Python",
            ),
            (
                "width",
                "/value",
                59.975_299_46,
                1e-9,
                "the same, solved: 69.13 + 22 cot 60 - 8 (1 + cot 30), Python",
            ),
            (
                "drill",
                "/value/diameter",
                5.0,
                EXACT,
                "ISO 2306:1972 (from memory): M6, tapping drill 5.0",
            ),
        ],
    );
    holds(
        "counterweight",
        &[
            (
                "long",
                "/value",
                56.033_614_601,
                1e-9,
                "(4 kg + both holes and chamfers) / (pi/4 (110^2 - 20.0165^2) x 7850 kg/m^3), Python; 20.0165 is the middle of H8, 0/+33 um (ISO 286-2)",
            ),
            (
                "hang_at",
                "/value",
                145.007_746_5,
                1e-9,
                "law of the lever, Python",
            ),
        ],
    );
}

/// Compares numbers of a notebook's sheet with published ones.
#[track_caller]
fn holds(notebook: &str, published: &[Published]) {
    let folder = folder();
    let done = run(
        &format!("setover run --as json notebooks/{notebook}.job"),
        folder.path(),
    );
    let sheet: Json = serde_json::from_str(&done.printed).expect("JSON");
    for (name, place, value, tolerance, source) in published {
        // A measured name has two rows; its first is the drawing's.
        let row = sheet["sections"]
            .as_array()
            .expect("sections")
            .iter()
            .flat_map(|section| section["rows"].as_array().expect("rows"))
            .find(|row| row["name"] == *name);
        let row = row.unwrap_or_else(|| panic!("{notebook} has no row `{name}`"));
        let found = row.pointer(place).and_then(Json::as_f64);
        let found =
            found.unwrap_or_else(|| panic!("{notebook}: no number at {name}{place} in {row}"));
        println!("{notebook}: {name}{place} = {found}; {source}");
        assert_relative_eq!(found, *value, max_relative = *tolerance, epsilon = 1e-12);
    }
}
