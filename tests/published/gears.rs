//! Gears against standards, handbook tables and worked examples.

use setover::internals::quantity::{Quantity, Unit, parse_unit};
use setover::internals::trade::involute::angle_from_involute;
use uom::si::angle::degree;
use uom::si::f64::Length;
use uom::si::length::{inch, millimeter};

use crate::compared::{check, inputs, length, near, number};
use crate::evaluated::{quantity, value};
use crate::lengths::mm;
use crate::rows::rows;

/// What a notebook answers to a call whose arguments are these.
fn ask(call: &str) -> Quantity {
    quantity(call)
}

fn millimetre() -> Unit {
    parse_unit("mm").expect("a unit")
}

/// A length, an angle and a number as a formula has them.
fn of(length: Length) -> String {
    format!("{} mm", length.get::<millimeter>())
}

/// A field of a spur gear.
fn spur_gear(
    field: &str,
    module: Length,
    teeth: u32,
    angle: f64,
    shift: f64,
    clearance: f64,
) -> Quantity {
    let module = of(module);
    ask(&format!(
        "spur_gear({module}, {teeth}, {angle} deg, {shift}, {clearance}).{field}"
    ))
}

/// The same as a length, full depth by ISO 53.
fn gear(field: &str, module: Length, teeth: u32, shift: f64) -> Length {
    spur_gear(field, module, teeth, 20.0, shift, 0.25).into()
}

fn over_pins(module: Length, teeth: u32, pin: Length, angle: f64, shift: f64) -> Length {
    let (module, pin) = (of(module), of(pin));
    ask(&format!(
        "over_pins({module}, {teeth}, {pin}, {angle} deg, {shift})"
    ))
    .into()
}

fn best_pin(module: Length, teeth: u32, angle: f64, shift: f64) -> Length {
    ask(&format!(
        "best_pin({}, {teeth}, {angle} deg, {shift})",
        of(module)
    ))
    .into()
}

fn span_teeth(teeth: u32, angle: f64, shift: f64) -> u32 {
    ask(&format!("span_teeth({teeth}, {angle} deg, {shift})")).si as u32
}

fn span(module: Length, teeth: u32, over: u32, angle: f64, shift: f64) -> Length {
    ask(&format!(
        "span({}, {teeth}, {over}, {angle} deg, {shift})",
        of(module)
    ))
    .into()
}

/// A field of the form cutter for a number of teeth.
fn cutter(field: &str, teeth: u32, set: &str) -> f64 {
    ask(&format!("cutter_number({teeth}, \"{set}\").{field}")).si
}

/// Every module of the reference table is standard, with its series.
/// Source: ISO 54:1996; DIN 780-1 below 1 mm (from memory, as the library's own table:
/// no independent proof, but a guard against slips of the pen).
#[test]
fn modules() {
    let table = rows(include_str!("../reference/gear_modules.csv"));
    for row in &table {
        let wanted = mm(row["module"].parse().unwrap());
        let field = |name: &str| format!("nearest_module({}).{name}", of(wanted));
        near(ask(&field("difference")).in_unit(millimetre()), 0.0, 1e-12);
        for name in ["series", "standard"] {
            assert_eq!(
                value(&field(name)).unwrap().to_string(),
                row[name],
                "{row:?}"
            );
        }
    }
    println!("checked {} modules", table.len());
    // 16 diametral pitch is module 1.5875: the nearest standard one is 1.5.
    let found = |call: &str| ask(call).in_unit(millimetre());
    near(found("nearest_module(1 in / 16).module"), 1.5, 1e-12);
    near(found("nearest_module(1 in / 16).difference"), -0.0875, 1e-9);
    near(found("nearest_module(2.7 mm).module"), 2.75, 1e-12);
    near(found("nearest_module(2.7 mm).preferred"), 2.5, 1e-12);
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
        let module_number: f64 = row["number_module_cutters"].parse().unwrap();
        for teeth in from..=to {
            for (set, number) in [("diametral pitch", number), ("module", module_number)] {
                if row["set"] == "8-cutter" {
                    assert_eq!(cutter("number", teeth, set), number, "{teeth} teeth");
                    assert_eq!(cutter("teeth_from", teeth, set), f64::from(from));
                    let to = value(&format!("cutter_number({teeth}).teeth_to")).unwrap();
                    let to = to.quantity().ok().map(|to| to.si);
                    assert_eq!(to, row.number("teeth_to"));
                } else {
                    assert_eq!(
                        cutter("number_of_fifteen", teeth, set),
                        number,
                        "{teeth} teeth"
                    );
                }
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
        assert_eq!(
            cutter("number_of_fifteen", teeth, "diametral pitch"),
            expected
        );
    }
    for teeth in 0..12 {
        assert!(
            value(&format!("cutter_number({teeth})")).is_err(),
            "{teeth} teeth"
        );
    }
    // A pitch given as 1 in over a whole number is no module of ISO 54: its cutters are numbered the other way.
    for (module, number) in [
        (mm(0.8), 2),
        (mm(1.0), 2),
        (Length::new::<inch>(1.0) / 20.0, 7),
        (Length::new::<inch>(1.0) / 32.0, 7),
        (Length::new::<inch>(0.2), 7),
    ] {
        let found = spur_gear("cutter", module, 16, 20.0, 0.0, 0.25);
        assert_eq!(found.si, f64::from(number), "{module:?}");
    }
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
                unit(gear("chordal_thickness", module, teeth, shift))
            }
            "chordal addendum" => unit(gear("chordal_addendum", module, teeth, shift)),
            "tooth thickness on the pitch line" => unit(gear("thickness", module, 10_000, 0.0)),
            "centre distance" if row["topic"] == "worm gear" => {
                let (wheel, worm) = (count("z2").unwrap(), of(length(given["d1"])));
                unit(
                    ask(&format!(
                        "worm_wheel({}, {wheel}, {worm}).centres",
                        of(module)
                    ))
                    .into(),
                )
            }
            "lead angle" => {
                let (starts, worm) = (count("z1").unwrap(), of(length(given["d1"])));
                let worm = format!("worm({}, {starts}, {worm})", of(module));
                ask(&format!("{worm}.lead_angle")).si.to_degrees()
            }
            "throat diameter of the wheel" => {
                let wheel = count("z2").unwrap();
                unit(
                    ask(&format!(
                        "worm_wheel({}, {wheel}, 44 mm).throat",
                        of(module)
                    ))
                    .into(),
                )
            }
            "centre distance" => {
                let mate = count("z2").or(count("N2")).unwrap();
                let pair = gear("pitch_diameter", module, teeth, 0.0)
                    + gear("pitch_diameter", module, mate, 0.0);
                unit(pair / 2.0)
            }
            "outside diameter" => unit(gear("outside", module, teeth, 0.0)),
            "root diameter" => unit(gear("root", module, teeth, 0.0)),
            "base diameter" => unit(gear("base", module, teeth, 0.0)),
            "pitch diameter" => unit(gear("pitch_diameter", module, teeth, 0.0)),
            "diametral pitch" => {
                let pitch = number(&row["expected"]);
                let module = Length::new::<inch>(1.0) / pitch;
                let outside = gear("outside", module, teeth, 0.0).get::<inch>();
                near(outside, number(given["outside"]), 1e-9);
                f64::from(teeth) / gear("pitch_diameter", module, teeth, 0.0).get::<inch>()
            }
            "whole depth" => {
                // The rows in inches are of the old form with 0.157 clearance.
                let clearance = if in_inches { 0.157 } else { 0.25 };
                let angle = if in_inches { 14.5 } else { 20.0 };
                unit(spur_gear("whole_depth", module, teeth, angle, 0.0, clearance).into())
            }
            "span over k teeth" => {
                let over = count("k").unwrap();
                assert_eq!(span_teeth(teeth, 20.0, shift), over, "{row:?}");
                let teeth_spanned = spur_gear("span_teeth", module, teeth, 20.0, shift, 0.25);
                assert_eq!(teeth_spanned.si as u32, over);
                unit(span(module, teeth, over, 20.0, shift))
            }
            "cutter number, 8-cutter set" => cutter("number", teeth, "diametral pitch"),
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
        let found = ask(&format!("involute({angle} deg)")).si;
        near(found, expected, 5e-8);
        let back = angle_from_involute(found);
        near(back.get::<degree>(), angle, 1e-12);
        // From the printed figure: good to the slope tan^2 there.
        let back = angle_from_involute(expected).get::<degree>();
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
        let found = over_pins(module, teeth, pin, angle, 0.0);
        near(found.get::<inch>(), expected, 5.1e-5);
    }
}

/// Source: Elements of Metric Gear Technology, measurement over pins, module 1,
/// 20 teeth, 20 deg: ideal pin 1.7245 mm, over pins of 1.7 mm 22.2941 mm; from
/// memory.
#[test]
fn handbook_measurement_over_pins() {
    near(
        best_pin(mm(1.0), 20, 20.0, 0.0).get::<millimeter>(),
        1.7245,
        5.1e-5,
    );
    let found = over_pins(mm(1.0), 20, mm(1.7), 20.0, 0.0);
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
                    let m = mm(module);
                    let tangent = f64::to_radians(angle).tan();
                    let wanted = module * (std::f64::consts::FRAC_PI_2 + 2.0 * shift * tangent);
                    let pin = best_pin(m, teeth, angle, shift);
                    let over = over_pins(m, teeth, pin, angle, shift);
                    let back = ask(&format!(
                        "thickness_from_pins({}, {teeth}, {}, {}, {angle} deg)",
                        of(m),
                        of(pin),
                        of(over)
                    ));
                    near(back.si * 1e3, wanted, 1e-11 * f64::from(teeth));
                    let k = span_teeth(teeth, angle, shift);
                    if k < teeth {
                        let over = span(m, teeth, k, angle, shift);
                        let back = ask(&format!(
                            "thickness_from_span({}, {teeth}, {k}, {}, {angle} deg)",
                            of(m),
                            of(over)
                        ));
                        near(back.si * 1e3, wanted, 1e-11 * f64::from(teeth));
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
            let found = value(&format!("spur_gear(1 mm, {teeth}, {angle} deg).undercut"));
            assert_eq!(found, Ok(expected.into()), "{teeth} teeth at {angle} deg");
        }
    }
    let shifted = value("spur_gear(1 mm, 12, shift: 0.35).undercut");
    assert_eq!(shifted, Ok(false.into()));
    assert_eq!(
        value("spur_gear(1 mm, 11).cutter"),
        Ok(setover::internals::language::Value::None)
    );
}

/// Source: by hand, a worm of module 3 and one start on 20 mm: lead 3 pi mm,
/// outside 26 mm, root 12.5 mm; its wheel of 60 teeth: throat radius 7 mm.
#[test]
fn worms() {
    for (expression, expected, unit) in [
        ("worm(3 mm, 1, 20 mm).lead", 9.424_778, "mm"),
        ("worm(3 mm, 1, 20 mm).outside", 26.0, "mm"),
        ("worm(3 mm, 1, 20 mm).root", 12.5, "mm"),
        ("worm(3 mm, 1, 20 mm).lead_angle", 8.530_766, "deg"),
        ("worm_wheel(3 mm, 60, 20 mm).throat_radius", 7.0, "mm"),
        ("worm_wheel(3 mm, 60, 20 mm).pitch_diameter", 180.0, "mm"),
        ("worm_wheel(3 mm, 60, 20 mm).root", 172.5, "mm"),
    ] {
        let unit = setover::internals::quantity::parse_unit(unit).unwrap();
        near(ask(expression).in_unit(unit), expected, 5e-7);
    }
}

/// Source: Elements of Metric Gear Technology: at 20 deg and 12 teeth the tooth
/// comes to a point at a shift of about 0.8 (from memory, read off a diagram).
#[test]
fn pointed_teeth() {
    assert!(value("spur_gear(1 mm, 12, shift: 0.6)").is_ok());
    let fault = value("spur_gear(1 mm, 12, shift: 1)").unwrap_err();
    assert!(fault.contains("pointed"), "{fault}");
}

/// Pins that miss the flanks are refused.
#[test]
fn bad_input_is_refused_pins_that_miss_the_flanks() {
    for (pin, says) in [
        ("0.3 mm", "falls to the root"),
        ("1.2 mm", "below the tips"),
        ("10 mm", "sits on the tips"),
    ] {
        let fault = value(&format!("over_pins(1 mm, 20, {pin})")).unwrap_err();
        assert!(fault.contains(says), "{pin}: {fault}");
    }
    for over in ["20 mm", "30 mm"] {
        let fault = value(&format!("thickness_from_pins(1 mm, 20, 1.728 mm, {over})")).unwrap_err();
        assert!(
            fault.contains("can't be that of this gear"),
            "{over}: {fault}"
        );
    }
}
