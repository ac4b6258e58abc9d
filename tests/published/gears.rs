//! Gears against standards, handbook tables and worked examples.

use setover::trade::gears::{
    SpurGear, angle_from_involute, best_pin, best_span_teeth, cutter_number, involute,
    nearest_module, over_pins, span, spur_gear, standard_modules, thickness_from_pins,
    thickness_from_span, worm, worm_wheel,
};
use uom::si::angle::degree;
use uom::si::f64::{Angle, Length};
use uom::si::length::{inch, millimeter};

use crate::compared::{check, inputs, length, near, number};
use crate::rows::rows;

fn mm(value: f64) -> Length {
    Length::new::<millimeter>(value)
}

fn deg(value: f64) -> Angle {
    Angle::new::<degree>(value)
}

/// Every module of the reference table is standard, with its series.
/// Source: ISO 54:1996; DIN 780-1 below 1 mm (from memory, as the library's own table:
/// no independent proof, but a guard against slips of the pen).
#[test]
fn modules() {
    let table = rows(include_str!("../reference/gear_modules.csv"));
    for row in &table {
        let wanted = mm(row["module"].parse().unwrap());
        let found = nearest_module(wanted).unwrap();
        near(found.difference.get::<millimeter>(), 0.0, 1e-12);
        assert_eq!(found.nearest.series, row["series"], "{row:?}");
        assert_eq!(found.nearest.standard, row["standard"], "{row:?}");
        assert_eq!(found.preferred.series, "I");
    }
    let from_one = |standard: &str| {
        standard_modules()
            .iter()
            .filter(|row| row.standard == standard)
            .count()
    };
    // ISO 54:1996 has 18 modules of series I and 18 of series II.
    assert_eq!(from_one("ISO 54"), 36);
    println!("checked {} modules", table.len());
    // 16 diametral pitch is module 1.5875: the nearest standard one is 1.5.
    let found = nearest_module(Length::new::<inch>(1.0) / 16.0).unwrap();
    near(found.nearest.module.get::<millimeter>(), 1.5, 1e-12);
    near(found.difference.get::<millimeter>(), -0.0875, 1e-9);
    let found = nearest_module(mm(2.7)).unwrap();
    near(found.nearest.module.get::<millimeter>(), 2.75, 1e-12);
    near(found.preferred.module.get::<millimeter>(), 2.5, 1e-12);
}

/// Every tooth count of every range gets that cutter, in both numberings.
/// Source: Machinery's Handbook, involute gear cutters (from memory, as the library's own
/// table: no independent proof, but a guard against slips of the pen).
#[test]
fn cutters() {
    let table = rows(include_str!("../reference/involute_cutters.csv"));
    let mut counts = 0;
    for row in &table {
        let from: u32 = row["teeth_from"].parse().unwrap();
        let to = row["teeth_to"].parse().unwrap_or(1_000);
        let number: f64 = row["number"].parse().unwrap();
        for teeth in from..=to {
            let cutter = cutter_number(teeth).unwrap();
            if row["set"] == "8-cutter" {
                assert_eq!(f64::from(cutter.number), number, "{teeth} teeth");
                assert_eq!(
                    f64::from(cutter.module_number),
                    row["number_module_cutters"].parse::<f64>().unwrap()
                );
                assert_eq!(cutter.teeth_from, from);
                assert_eq!(cutter.teeth_to, row["teeth_to"].parse().ok());
            } else {
                assert_eq!(cutter.number_of_fifteen, number, "{teeth} teeth");
            }
            counts += 1;
        }
    }
    println!(
        "checked {} ranges of cutters, {counts} tooth counts",
        table.len()
    );
    // The whole numbers of the set of fifteen keep the rest of their range.
    for (teeth, expected) in [
        (12, 8.0),
        (14, 7.0),
        (18, 6.0),
        (21, 5.0),
        (29, 4.0),
        (41, 3.0),
    ] {
        assert_eq!(cutter_number(teeth).unwrap().number_of_fifteen, expected);
    }
    for teeth in 0..12 {
        assert!(cutter_number(teeth).is_err(), "{teeth} teeth");
    }
    assert!(cutter_number(u32::MAX).is_err());
}

/// The gear of a worked example, full depth by ISO 53.
fn gear(module: Length, teeth: u32, shift: f64) -> SpurGear {
    spur_gear(module, teeth, deg(20.0), shift, 0.25).unwrap()
}

/// Source: each row names its own.
#[test]
fn worked_examples() {
    let table = rows(include_str!("../reference/worked_gears.csv"));
    for row in &table {
        let given = inputs(row);
        // Chordal tables for module 1 give parts of the module.
        let in_inches = row["unit"] == "in" || row["unit"] == "1/in";
        let unit = |length: Length| {
            if in_inches {
                length.get::<inch>()
            } else {
                length.get::<millimeter>()
            }
        };
        let module = match (given.get("m"), given.get("P")) {
            (Some(module), _) => length(module),
            (None, Some(pitch)) => Length::new::<inch>(1.0) / number(pitch),
            (None, None) => mm(1.0),
        };
        let count = |name: &str| given.get(name).map(|text| number(text) as u32);
        let shift = given.get("x").map_or(0.0, |text| number(text));
        let teeth = ["z", "N", "teeth", "z1", "N1", "z2"]
            .iter()
            .find_map(|name| count(name))
            .unwrap_or(24);
        let found = match row["asked"].as_str() {
            "chordal tooth thickness" | "chordal thickness" => {
                unit(gear(module, teeth, shift).chordal_thickness)
            }
            "chordal addendum" => unit(gear(module, teeth, shift).chordal_addendum),
            "tooth thickness on the pitch line" => unit(gear(module, 10_000, 0.0).thickness),
            "centre distance" if row["topic"] == "worm gear" => {
                let wheel = worm_wheel(module, count("z2").unwrap(), length(given["d1"]));
                unit(wheel.unwrap().centre_distance)
            }
            "lead angle" => {
                let worm = worm(module, count("z1").unwrap(), length(given["d1"])).unwrap();
                worm.lead_angle.get::<degree>()
            }
            "throat diameter of the wheel" => unit(
                worm_wheel(module, count("z2").unwrap(), mm(44.0))
                    .unwrap()
                    .throat,
            ),
            "centre distance" => {
                let mate = count("z2").or(count("N2")).unwrap();
                let pair = gear(module, teeth, 0.0).pitch_diameter
                    + gear(module, mate, 0.0).pitch_diameter;
                unit(pair / 2.0)
            }
            "outside diameter" => unit(gear(module, teeth, 0.0).outside),
            "root diameter" => unit(gear(module, teeth, 0.0).root),
            "base diameter" => unit(gear(module, teeth, 0.0).base),
            "pitch diameter" => unit(gear(module, teeth, 0.0).pitch_diameter),
            "diametral pitch" => {
                let pitch = number(&row["expected"]);
                let found = gear(Length::new::<inch>(1.0) / pitch, teeth, 0.0);
                near(found.outside.get::<inch>(), number(given["outside"]), 1e-9);
                f64::from(teeth) / found.pitch_diameter.get::<inch>()
            }
            "whole depth" => {
                // The rows in inches are of the old form with 0.157 clearance.
                let clearance = if in_inches { 0.157 } else { 0.25 };
                let angle = deg(if in_inches { 14.5 } else { 20.0 });
                unit(
                    spur_gear(module, teeth, angle, 0.0, clearance)
                        .unwrap()
                        .whole_depth,
                )
            }
            "span over k teeth" => {
                let over = count("k").unwrap();
                assert_eq!(
                    best_span_teeth(teeth, deg(20.0), shift).unwrap(),
                    over,
                    "{row:?}"
                );
                assert_eq!(gear(module, teeth, shift).span_teeth, over);
                unit(span(module, teeth, over, deg(20.0), shift).unwrap())
            }
            "cutter number, 8-cutter set" => f64::from(cutter_number(teeth).unwrap().number),
            other => panic!("asked for {other}"),
        };
        check(row, found);
    }
    println!("checked {} worked examples of gears", table.len());
}

/// Source: table of the involute function in gear handbooks, from memory.
#[test]
fn involute_table() {
    for (angle, expected) in [
        (10.0, 0.001_794_1),
        (14.5, 0.005_544_8),
        (15.0, 0.006_149_8),
        (20.0, 0.014_904_4),
        (25.0, 0.029_975_3),
        (30.0, 0.053_751_5),
    ] {
        near(involute(deg(angle)).unwrap(), expected, 5e-8);
        let back = angle_from_involute(involute(deg(angle)).unwrap()).unwrap();
        near(back.get::<degree>(), angle, 1e-12);
        // From the printed figure: good to the slope tan^2 there.
        let back = angle_from_involute(expected).unwrap().get::<degree>();
        let slope = angle.to_radians().tan().powi(2);
        near(back, angle, (5e-8 / slope).to_degrees());
    }
}

/// Source: Machinery's Handbook, measurement over wires of 1.728 in for external
/// spur gears of 1 diametral pitch, tables for even and for odd numbers of teeth,
/// from memory and worked again at 20 digits with mpmath.
#[test]
fn handbook_measurements_over_wires() {
    let module = Length::new::<inch>(1.0);
    let pin = Length::new::<inch>(1.728);
    for (angle, teeth, expected) in [
        (14.5, 6, 8.2846),
        (14.5, 8, 10.3160),
        (14.5, 10, 12.3399),
        (14.5, 7, 9.1116),
        (14.5, 9, 11.1829),
        (14.5, 11, 13.2317),
        (20.0, 6, 8.3032),
        (20.0, 8, 10.3271),
        (20.0, 10, 12.3445),
        (20.0, 12, 14.3578),
        (20.0, 20, 22.3900),
        (20.0, 7, 9.1260),
        (20.0, 9, 11.1905),
        (20.0, 11, 13.2332),
        (20.0, 13, 15.2639),
    ] {
        let found = over_pins(module, teeth, pin, deg(angle), 0.0).unwrap();
        near(found.get::<inch>(), expected, 5.1e-5);
    }
}

/// Source: Elements of Metric Gear Technology, measurement over pins, module 1,
/// 20 teeth, 20 deg: ideal pin 1.7245 mm, over pins of 1.7 mm 22.2941 mm; from
/// memory.
#[test]
fn handbook_measurement_over_pins() {
    near(
        best_pin(mm(1.0), 20, deg(20.0), 0.0)
            .unwrap()
            .get::<millimeter>(),
        1.7245,
        5.1e-5,
    );
    let found = over_pins(mm(1.0), 20, mm(1.7), deg(20.0), 0.0).unwrap();
    near(found.get::<millimeter>(), 22.2941, 5.1e-5);
}

/// Over pins to tooth thickness and back, and over a span too, with and without
/// profile shift. Source: ISO 21771 (from memory): the thickness is (pi/2 + 2 x tan A) m.
#[test]
fn thickness_round_trips() {
    let mut trips = 0;
    for module in [0.5, 1.0, 2.5, 25.4 / 16.0] {
        for teeth in [12, 13, 17, 20, 31, 40, 77, 120, 251] {
            for angle in [14.5, 20.0, 25.0] {
                for shift in [-0.1, 0.0, 0.3] {
                    let (m, a) = (mm(module), deg(angle));
                    let tangent = angle.to_radians().tan();
                    let wanted = module * (std::f64::consts::FRAC_PI_2 + 2.0 * shift * tangent);
                    let pin = best_pin(m, teeth, a, shift).unwrap();
                    let over = over_pins(m, teeth, pin, a, shift).unwrap();
                    let back = thickness_from_pins(m, teeth, pin, a, over).unwrap();
                    near(back.get::<millimeter>(), wanted, 1e-11 * f64::from(teeth));
                    let k = best_span_teeth(teeth, a, shift).unwrap();
                    if let Ok(over) = span(m, teeth, k, a, shift) {
                        let back = thickness_from_span(m, teeth, k, a, over).unwrap();
                        near(back.get::<millimeter>(), wanted, 1e-11 * f64::from(teeth));
                        trips += 1;
                    }
                }
            }
        }
    }
    assert!(trips > 300, "{trips} of 324");
}

/// Source: ISO 21771 and gear handbooks: without profile shift a rack undercuts
/// fewer than 18 teeth at 20 deg (17.1) and fewer than 32 at 14.5 deg (31.9).
#[test]
fn undercut() {
    for (angle, least) in [(20.0, 18), (14.5, 32), (25.0, 12)] {
        for (teeth, expected) in [(least - 1, true), (least, false)] {
            let found = spur_gear(mm(1.0), teeth, deg(angle), 0.0, 0.25).unwrap();
            assert_eq!(found.undercut, expected, "{teeth} teeth at {angle} deg");
        }
    }
    assert!(!gear(mm(1.0), 12, 0.35).undercut);
    assert_eq!(gear(mm(1.0), 11, 0.0).cutter, None);
}

/// Source: by hand, a worm of module 3 and one start on 20 mm: lead 3 pi mm,
/// outside 26 mm, root 12.5 mm; its wheel of 60 teeth: throat radius 7 mm.
#[test]
fn worms() {
    let found = worm(mm(3.0), 1, mm(20.0)).unwrap();
    near(found.lead.get::<millimeter>(), 9.424_778, 5e-7);
    near(found.outside.get::<millimeter>(), 26.0, 1e-12);
    near(found.root.get::<millimeter>(), 12.5, 1e-12);
    near(found.lead_angle.get::<degree>(), 8.530_766, 5e-7);
    let wheel = worm_wheel(mm(3.0), 60, mm(20.0)).unwrap();
    near(wheel.throat_radius.get::<millimeter>(), 7.0, 1e-12);
    near(wheel.pitch_diameter.get::<millimeter>(), 180.0, 1e-12);
    near(wheel.root.get::<millimeter>(), 172.5, 1e-12);
}

/// Source: Elements of Metric Gear Technology: at 20 deg and 12 teeth the tooth
/// comes to a point at a shift of about 0.8 (from memory, read off a diagram).
#[test]
fn pointed_teeth() {
    assert!(spur_gear(mm(1.0), 12, deg(20.0), 0.6, 0.25).is_ok());
    let fault = spur_gear(mm(1.0), 12, deg(20.0), 1.0, 0.25).unwrap_err();
    assert!(fault.message.contains("pointed"), "{fault}");
    assert_eq!(fault.argument, Some(3));
}

#[test]
fn bad_input_is_refused_by_argument() {
    let (m, a) = (mm(1.0), deg(20.0));
    for bad in [0.0, -1.0, f64::NAN, f64::INFINITY, 1e300] {
        let bad_angle = deg(bad);
        let faults = [
            (spur_gear(mm(bad), 20, a, 0.0, 0.25).err(), 0),
            (spur_gear(m, 20, bad_angle, 0.0, 0.25).err(), 2),
            (over_pins(mm(bad), 20, mm(1.7), a, 0.0).err(), 0),
            (over_pins(m, 20, mm(bad), a, 0.0).err(), 2),
            (over_pins(m, 20, mm(1.7), bad_angle, 0.0).err(), 3),
            (thickness_from_pins(m, 20, mm(bad), a, mm(22.3)).err(), 2),
            (thickness_from_pins(m, 20, mm(1.7), a, mm(bad)).err(), 4),
            (thickness_from_span(m, 20, 3, a, mm(bad)).err(), 4),
            (span(mm(bad), 20, 3, a, 0.0).err(), 0),
            (span(m, 20, 3, bad_angle, 0.0).err(), 3),
            (best_span_teeth(20, bad_angle, 0.0).err(), 1),
            (best_pin(mm(bad), 20, a, 0.0).err(), 0),
            (nearest_module(mm(bad)).err(), 0),
            (worm(mm(bad), 1, mm(20.0)).err(), 0),
            (worm(m, 1, mm(bad)).err(), 2),
            (worm_wheel(mm(bad), 30, mm(20.0)).err(), 0),
            (worm_wheel(m, 30, mm(bad)).err(), 2),
        ];
        for (index, (fault, argument)) in faults.into_iter().enumerate() {
            let fault = fault.unwrap_or_else(|| panic!("case {index} takes {bad}"));
            assert_eq!(fault.argument, Some(argument), "case {index}: {fault}");
        }
    }
    for bad in [0, 3, u32::MAX] {
        assert_eq!(
            spur_gear(m, bad, a, 0.0, 0.25).unwrap_err().argument,
            Some(1)
        );
        assert_eq!(
            over_pins(m, bad, mm(1.7), a, 0.0).unwrap_err().argument,
            Some(1)
        );
        assert_eq!(span(m, bad, 3, a, 0.0).unwrap_err().argument, Some(1));
        assert_eq!(worm_wheel(m, bad, mm(20.0)).unwrap_err().argument, Some(1));
    }
    for bad in [-2.0, 3.0, f64::NAN] {
        assert_eq!(
            spur_gear(m, 20, a, bad, 0.25).unwrap_err().argument,
            Some(3)
        );
        assert_eq!(
            spur_gear(m, 20, a, 0.0, -bad.abs()).unwrap_err().argument,
            Some(4)
        );
    }
    for over in [0, 21, u32::MAX] {
        assert_eq!(span(m, 20, over, a, 0.0).unwrap_err().argument, Some(2));
    }
    // Pins and spans that miss the flanks name what suits.
    for (fault, said) in [
        (
            over_pins(m, 20, mm(0.3), a, 0.0).unwrap_err(),
            "falls to the root",
        ),
        (
            over_pins(m, 20, mm(5.0), a, 0.0).unwrap_err(),
            "sits on the tips",
        ),
        (
            over_pins(m, 20, mm(1.35), a, 0.0).unwrap_err(),
            "below the tips",
        ),
    ] {
        assert!(fault.message.contains(said), "{fault}");
        assert!(fault.to_string().contains("1.72"), "{fault}");
    }
    let fault = span(m, 20, 8, a, 0.0).unwrap_err();
    assert!(fault.to_string().contains("span 3 teeth"), "{fault}");
    assert_eq!(worm(m, 0, mm(20.0)).unwrap_err().argument, Some(1));
    assert_eq!(worm(m, 21, mm(20.0)).unwrap_err().argument, Some(1));
}
