//! Values for threads that the standards and handbooks print, beside the tables.

use setover::internals::trade::threads::{
    clearance_drill, engagement, stress_area, tapping_drill, thread,
};
use uom::si::angle::degree;
use uom::si::area::{square_inch, square_millimeter};
use uom::si::f64::{Angle, Length};
use uom::si::length::{inch, millimeter};

use crate::asked::{best_wire, helix_angle, infeed, over_wires, thread_depth};
use crate::compared::near_at;
use crate::evaluated::{quantity, value};
use crate::lengths::mm;

/// Source: ISO 898-1:2013, nominal stress areas in mm², three figures (from memory).
#[test]
fn stress_areas_of_metric_bolts() {
    for (name, area) in [
        ("M3", 5.03),
        ("M3.5", 6.78),
        ("M4", 8.78),
        ("M5", 14.2),
        ("M6", 20.1),
        ("M7", 28.9),
        ("M8", 36.6),
        ("M10", 58.0),
        ("M12", 84.3),
        ("M14", 115.0),
        ("M16", 157.0),
        ("M18", 192.0),
        ("M20", 245.0),
        ("M22", 303.0),
        ("M24", 353.0),
        ("M27", 459.0),
        ("M30", 561.0),
        ("M33", 694.0),
        ("M36", 817.0),
        ("M39", 976.0),
        ("M8x1", 39.2),
        ("M10x1", 64.5),
        ("M10x1.25", 61.2),
        ("M12x1.25", 92.1),
        ("M12x1.5", 88.1),
        ("M14x1.5", 125.0),
        ("M16x1.5", 167.0),
        ("M18x1.5", 216.0),
        ("M20x1.5", 272.0),
        ("M22x1.5", 333.0),
        ("M24x2", 384.0),
        ("M27x2", 496.0),
        ("M30x2", 621.0),
        ("M33x2", 761.0),
        ("M36x3", 865.0),
        ("M39x3", 1030.0),
    ] {
        let found = stress_area(name).unwrap().get::<square_millimeter>();
        let unit = 10.0_f64.powi(area_digits(area));
        near_at(name, found, area, unit * 0.501);
    }
}

/// The place of the third figure.
fn area_digits(area: f64) -> i32 {
    match area {
        a if a < 10.0 => -2,
        a if a < 100.0 => -1,
        a if a < 1000.0 => 0,
        _ => 1,
    }
}

/// Source: ASME B1.1-2003, tensile stress areas in in² (from memory; tables give 5/16-24
/// as 0.0580 and as 0.0581, 1/2-20 as 0.1599 and as 0.1600).
#[test]
fn stress_areas_of_unified_bolts() {
    for (name, area, tolerance) in [
        ("1/4-20 UNC", 0.0318, 5.1e-5),
        ("5/16-18 UNC", 0.0524, 5.1e-5),
        ("3/8-16 UNC", 0.0775, 5.1e-5),
        ("7/16-14 UNC", 0.1063, 5.1e-5),
        ("1/2-13 UNC", 0.1419, 5.1e-5),
        ("5/8-11 UNC", 0.226, 5.1e-4),
        ("3/4-10 UNC", 0.334, 5.1e-4),
        ("7/8-9 UNC", 0.462, 5.1e-4),
        ("1-8 UNC", 0.606, 5.1e-4),
        ("1/4-28 UNF", 0.0364, 5.1e-5),
        ("5/16-24 UNF", 0.0580, 1e-4),
        ("3/8-24 UNF", 0.0878, 5.1e-5),
        ("7/16-20 UNF", 0.1187, 5.1e-5),
        ("1/2-20 UNF", 0.1599, 1e-4),
        ("3/4-16 UNF", 0.373, 5.1e-4),
    ] {
        near_at(
            name,
            stress_area(name).unwrap().get::<square_inch>(),
            area,
            tolerance,
        );
    }
}

/// Source: DIN 13-1, depth h3 and minor diameter d3 of the external thread (from memory).
#[test]
fn depths_and_minor_diameters_of_metric_screws() {
    for (name, depth, minor) in [
        ("M6", 0.613, 4.773),
        ("M8", 0.767, 6.466),
        ("M10", 0.920, 8.160),
        ("M12", 1.074, 9.853),
        ("M16", 1.227, 13.546),
        ("M20", 1.534, 16.933),
        ("M24", 1.840, 20.319),
        ("M30", 2.147, 25.706),
    ] {
        near_at(name, thread_depth(name).get::<millimeter>(), depth, 5.01e-4);
        near_at(
            name,
            thread(name).unwrap().minor_external.get::<millimeter>(),
            minor,
            5.01e-4,
        );
    }
}

/// Source: DIN 103-4 / ISO 2904, nominal dimensions d2, d3, D1 (from memory).
#[test]
fn diameters_of_trapezoidal_threads() {
    for (name, pitch, external, internal) in [
        ("Tr 8x1.5", 7.25, 6.2, 6.5),
        ("Tr 10x2", 9.0, 7.5, 8.0),
        ("Tr 12x3", 10.5, 8.5, 9.0),
        ("Tr 16x4", 14.0, 11.5, 12.0),
        ("Tr 20x4", 18.0, 15.5, 16.0),
        ("Tr 30x6", 27.0, 23.0, 24.0),
        ("Tr 40x7", 36.5, 32.0, 33.0),
        ("Tr 60x9", 55.5, 50.0, 51.0),
        ("Tr 100x12", 94.0, 87.0, 88.0),
    ] {
        let found = thread(name).unwrap();
        near_at(name, found.pitch_diameter.get::<millimeter>(), pitch, 1e-9);
        near_at(
            name,
            found.minor_external.get::<millimeter>(),
            external,
            1e-9,
        );
        near_at(
            name,
            found.minor_internal.get::<millimeter>(),
            internal,
            1e-9,
        );
    }
}

/// Source: ASME B1.5-1997, basic pitch diameter, basic minor diameter and minor diameter
/// of the screw, in inches (from memory).
#[test]
fn diameters_of_acme_threads() {
    for (name, pitch, basic, screw) in [
        ("1/4-16 Acme", 0.2188, 0.1875, 0.1775),
        ("3/8-12 Acme", 0.3333, 0.2917, 0.2817),
        ("1/2-10 Acme", 0.4500, 0.4000, 0.3800),
        ("1-5 Acme", 0.9000, 0.8000, 0.7800),
        ("2-4 Acme", 1.8750, 1.7500, 1.7300),
    ] {
        let found = thread(name).unwrap();
        near_at(name, found.pitch_diameter.get::<inch>(), pitch, 5.1e-5);
        near_at(name, found.minor_internal.get::<inch>(), basic, 5.1e-5);
        near_at(name, found.minor_external.get::<inch>(), screw, 5.1e-5);
    }
}

/// Source: BS 84:1956 and BS 93:1951, effective diameters (from memory).
#[test]
fn effective_diameters_of_british_threads() {
    for (name, effective) in [
        ("1/4 BSW", 0.2180),
        ("1/2 BSW", 0.4466),
        ("1 BSW", 0.9200),
        ("1/4 BSF", 0.2254),
        ("3/8 BSF", 0.3430),
    ] {
        near_at(
            name,
            thread(name).unwrap().pitch_diameter.get::<inch>(),
            effective,
            1.01e-4,
        );
    }
    for (name, effective) in [
        ("0 BA", 5.4),
        ("1 BA", 4.76),
        ("2 BA", 4.215),
        ("4 BA", 3.205),
        ("6 BA", 2.48),
    ] {
        near_at(
            name,
            thread(name).unwrap().pitch_diameter.get::<millimeter>(),
            effective,
            1e-9,
        );
    }
}

/// Source: Machinery's Handbook, lead angle at the basic pitch diameter of the coarse
/// thread series, degrees and minutes (from memory).
#[test]
fn helix_angles() {
    for (name, degrees, minutes) in [
        ("1/4-20 UNC", 4.0, 11.0),
        ("5/16-18 UNC", 3.0, 40.0),
        ("3/8-16 UNC", 3.0, 24.0),
        ("1/2-13 UNC", 3.0, 7.0),
        ("3/4-10 UNC", 2.0, 40.0),
        ("1-8 UNC", 2.0, 29.0),
    ] {
        let found = helix_angle(name).get::<degree>();
        near_at(name, found, degrees + minutes / 60.0, 0.51 / 60.0);
    }
}

/// Source: Machinery's Handbook, tap drill sizes with their percentage of thread (from
/// memory).
#[test]
fn percentages_of_tap_drill_charts() {
    for (name, drill, percent) in [
        ("1/4-20 UNC", 0.1990, 79.0),
        ("1/4-20 UNC", 13.0 / 64.0, 72.0),
        ("3/8-16 UNC", 0.3125, 77.0),
        ("1/2-13 UNC", 27.0 / 64.0, 78.0),
        ("#10-24 UNC", 0.1520, 70.0),
        ("#6-32 UNC", 7.0 / 64.0, 70.0),
    ] {
        let found = 100.0 * engagement(name, Length::new::<inch>(drill)).unwrap();
        near_at(name, found, percent, 0.75);
    }
    // M6 with 5.0 mm and M8 with 6.8 mm are 77 % and 74 %.
    near_at("M6", 100.0 * engagement("M6", mm(5.0)).unwrap(), 77.0, 0.5);
    near_at("M8", 100.0 * engagement("M8", mm(6.8)).unwrap(), 74.0, 0.5);
    // The drill chosen for a share is the one the charts name for it.
    for (name, share, drill) in [
        ("1/4-20 UNC", 0.75, "#7"),
        ("#10-24 UNC", 0.75, "#25"),
        ("3/8-16 UNC", 0.77, "5/16"),
        ("M6", 0.77, "5 mm"),
    ] {
        assert_eq!(
            tapping_drill(name, Some(share)).unwrap().drill.name,
            drill,
            "{name}"
        );
    }
}

/// Source: Machinery's Handbook, best wire sizes for 60° and Acme threads, in inches
/// (from memory), and the three-wire constant 0.86603 p over the best wire.
#[test]
fn best_wires() {
    for (name, wire) in [
        ("1-8 UNC", 0.07217),
        ("3/4-10 UNC", 0.05774),
        ("1/2-13 UNC", 0.04441),
        ("3/8-16 UNC", 0.03608),
        ("3/8-24 UNF", 0.02406),
        ("1/4 BSW", 0.02818),
        ("1/2-10 Acme", 0.05165),
        ("1-5 Acme", 0.10329),
    ] {
        near_at(name, best_wire(name).get::<inch>(), wire, 5.1e-6);
    }
    // Basic pitch diameter of 1/2-13 is 0.4500 in: 0.4500 + 0.86603 / 13, both rounded.
    let over = over_wires("1/2-13 UNC", best_wire("1/2-13 UNC"));
    near_at("1/2-13 UNC", over.get::<inch>(), 0.5166, 1e-4);
}

/// Source: common practice, no source: shop rules 0.75/N at 30° for the American
/// National form, 0.704 p and 0.708 p at 29.5° and 30° for ISO and Unified.
#[test]
fn infeeds_of_the_shop_rules() {
    let at = |name: &str, degrees: f64| infeed(name, Angle::new::<degree>(degrees));
    near_at(
        "3/8-16 NC",
        at("3/8-16 NC", 30.0).get::<inch>(),
        0.75 / 16.0,
        1e-6,
    );
    near_at(
        "1/4-20 UNC",
        at("1/4-20 UNC", 29.5).get::<inch>(),
        0.0352,
        5.1e-5,
    );
    near_at("M12", at("M12", 30.0).get::<millimeter>(), 1.240, 5.1e-4);
    near_at(
        "1/2 BSW",
        at("1/2 BSW", 27.5).get::<inch>(),
        0.7219 / 12.0,
        5.1e-6,
    );
    // Straight in, the dial shows the depth.
    near_at("M12", at("M12", 0.0).get::<millimeter>(), 1.074, 5.1e-4);
}

/// Source: arithmetic: M6 is 0.61343 mm deep; cuts of equal area from 0.2 mm reach 0.2
/// × √n, so nine passes do not (0.6) and ten do.
#[test]
fn passes_of_equal_area() {
    let of = |what: &str| quantity(&format!("infeed_passes(\"M6\", 0.2 mm, 0 deg){what}"));
    assert!((quantity("count(infeed_passes(\"M6\", 0.2 mm, 0 deg))").si - 10.0).abs() < 1e-9);
    for (pass, depth) in [(1, 0.2), (2, 0.2828), (4, 0.4), (9, 0.6), (10, 0.6134)] {
        let found = of(&format!("[{pass}].depth")).si * 1000.0;
        near_at(&format!("pass {pass}"), found, depth, 5.1e-5);
    }
    // Four equal areas reach the depth in four passes; along a slide swung by 29.5 deg the
    // dial shows more: the sum of its cuts is the depth over the cosine.
    let depth = quantity("thread(\"M10\").depth").si;
    let half = "infeed_passes(\"M10\", thread(\"M10\").depth / 2)";
    assert!((quantity(&format!("count({half})")).si - 4.0).abs() < 1e-9);
    let along = quantity(&format!("sum({half}.along_cut)")).si;
    near_at(
        "along",
        along * 1e3,
        depth * 1e3 / 29.5_f64.to_radians().cos(),
        1e-9,
    );
    for (wrong, said) in [
        ("infeed_passes(\"M8\", 1 mm)", "deeper than the thread"),
        ("infeed_passes(\"M8\", 0.001 mm)", "500 passes"),
        (
            "infeed_passes(\"X8\", 0.2 mm)",
            "the designation begins with no size",
        ),
    ] {
        let found = value(wrong).expect_err("no passes");
        assert!(found.contains(said), "{found}");
    }
}

/// Source: ASME B18.2.8-1999, Table 1: close, normal, loose (from memory).
#[test]
fn clearance_holes_for_unified_screws() {
    for (name, holes) in [
        ("#4-40 UNC", ["#31", "#30", "#27"]),
        ("#6-32 UNC", ["#23", "#18", "#13"]),
        ("#8-32 UNC", ["#15", "#9", "#3"]),
        ("#10-32 UNF", ["#5", "#2", "B"]),
        ("1/4-20 UNC", ["17/64", "9/32", "19/64"]),
        ("3/8-24 UNF", ["25/64", "13/32", "27/64"]),
        ("1/2-13 UNC", ["17/32", "9/16", "39/64"]),
        ("1-8 UNC", ["1 1/32", "1 3/32", "1 5/32"]),
    ] {
        for (fit, hole) in ["close", "medium", "free"].into_iter().zip(holes) {
            assert_eq!(
                clearance_drill(name, fit).unwrap().drill.name,
                hole,
                "{name} {fit}"
            );
        }
    }
}
