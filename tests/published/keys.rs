//! Parallel keys and preferred numbers against their standards.

use setover::internals::trade::iso286::deviations;
use uom::si::f64::Length;
use uom::si::length::{micrometer, millimeter};

use crate::compared::{check, inputs, length, number};
use crate::evaluated::quantity;
use crate::lengths::mm;
use crate::rows::rows;

/// A field of the key for a shaft.
fn key(field: &str, diameter: Length) -> Length {
    let diameter = diameter.get::<millimeter>();
    quantity(&format!("parallel_key({diameter} mm).{field}")).into()
}

#[test]
fn every_parallel_key() {
    // Source: ISO/R 773, high form, and DIN 6885-1 (from memory, compared with two published
    // extracts, 6 to 17 mm and 38 to 230 mm).
    let rows = rows(include_str!("../reference/parallel_keys.csv"));
    for row in &rows {
        let cell = |column: &str| number(&row[column]);
        for diameter in [
            cell("d_over") + 0.01,
            f64::midpoint(cell("d_over"), cell("d_to")),
            cell("d_to"),
        ] {
            for (column, field) in [
                ("b", "width"),
                ("h", "height"),
                ("t1_shaft", "shaft_depth"),
                ("t2_hub", "hub_depth"),
                ("depth_tol", "depth_tolerance"),
                ("length_min", "shortest"),
                ("length_max", "longest"),
            ] {
                let got = key(field, mm(diameter)).get::<millimeter>();
                assert!(
                    (got - cell(column)).abs() < 1e-9,
                    "{diameter} {column}: {got}"
                );
            }
        }
    }
    println!("{} parallel keys", rows.len());
    assert_eq!(rows.len(), 20);
}

#[test]
fn worked_examples() {
    // Source: the column source of each row.
    let rows = rows(include_str!("../reference/worked_keys.csv"));
    for row in &rows {
        let diameter = length(inputs(row)["d"]);
        let millimetres = |value: Length| value.get::<millimeter>();
        let asked = &row["asked"];
        if asked.starts_with("bottom") {
            check(row, millimetres(diameter - key("shaft_depth", diameter)));
        } else if asked.starts_with("top") {
            check(row, millimetres(diameter + key("hub_depth", diameter)));
        } else {
            let (radius, half) = (
                millimetres(diameter) / 2.0,
                millimetres(key("width", diameter)) / 2.0,
            );
            let segment = radius - (radius * radius - half * half).sqrt();
            check(row, millimetres(key("shaft_depth", diameter)) - segment);
        }
    }
    println!("{} worked examples of keyways", rows.len());
    assert_eq!(rows.len(), 3);
}

#[test]
fn keyway_widths_of_the_standard() {
    // Source: ISO/R 773 and DIN 6885-1, tolerances of the keyway width in um (from
    // memory): P9, N9, JS9, H9 and D10, upper and lower.
    for (widths, p9, n9, js9, h9, d10) in [
        (
            &[2.0, 3.0][..],
            (-6.0, -31.0),
            (-4.0, -29.0),
            12.5,
            25.0,
            (60.0, 20.0),
        ),
        (
            &[4.0, 5.0, 6.0],
            (-12.0, -42.0),
            (0.0, -30.0),
            15.0,
            30.0,
            (78.0, 30.0),
        ),
        (
            &[8.0, 10.0],
            (-15.0, -51.0),
            (0.0, -36.0),
            18.0,
            36.0,
            (98.0, 40.0),
        ),
        (
            &[12.0, 14.0, 16.0, 18.0],
            (-18.0, -61.0),
            (0.0, -43.0),
            21.5,
            43.0,
            (120.0, 50.0),
        ),
        (
            &[20.0, 22.0, 25.0, 28.0],
            (-22.0, -74.0),
            (0.0, -52.0),
            26.0,
            52.0,
            (149.0, 65.0),
        ),
        (
            &[32.0, 36.0, 40.0, 45.0, 50.0],
            (-26.0, -88.0),
            (0.0, -62.0),
            31.0,
            62.0,
            (180.0, 80.0),
        ),
    ] {
        for width in widths {
            for (class, (upper, lower)) in [
                ("P9", p9),
                ("N9", n9),
                ("JS9", (js9, -js9)),
                ("H9", (h9, 0.0)),
                ("D10", d10),
            ] {
                let (got_lower, got_upper) = deviations(mm(*width), class).expect("limits");
                let near =
                    |got: Length, wanted: f64| (got.get::<micrometer>() - wanted).abs() < 1e-6;
                assert!(
                    near(got_upper, upper) && near(got_lower, lower),
                    "{width} {class}"
                );
            }
        }
    }
}

#[test]
fn every_preferred_number() {
    // Source: ISO 3:1973 (from memory); the theoretical value is 10^(i/n).
    let rows = rows(include_str!("../reference/preferred_numbers.csv"));
    for row in &rows {
        let (series, standard) = (&row["series"], number(&row["number"]));
        let theoretical = number(&row["theoretical"]);
        let found = |number: f64, field: &str| {
            quantity(&format!("preferred_number({number}, \"{series}\").{field}")).si
        };
        let nearest = found(theoretical, "nearest");
        assert!((nearest - standard).abs() < 1e-12, "{row:?}: {nearest}");
        let percent = number(row["deviation_percent"].trim_start_matches('+'));
        let deviation = found(theoretical, "deviation") * 100.0;
        assert!((deviation - percent).abs() < 0.0055, "{row:?}: {deviation}");
        let [below, above] = ["below", "above"].map(|field| found(standard * 100.0, field));
        assert!((below / 100.0 - standard).abs() < 1e-12 && below == above);
    }
    // Source: ISO 3: a series goes on by powers of ten.
    for (number, series, below, nearest, above) in [
        (33.0, "R10", 31.5, 31.5, 40.0),
        (0.26, "R5", 0.25, 0.25, 0.4),
        (95.0, "R5", 63.0, 100.0, 100.0),
        (1000.0, "R40", 1000.0, 1000.0, 1000.0),
        (0.999, "R20", 0.9, 1.0, 1.0),
        (11.0, "R20", 10.0, 11.2, 11.2),
    ] {
        for (field, expected) in [("below", below), ("nearest", nearest), ("above", above)] {
            let found = quantity(&format!("preferred_number({number}, \"{series}\").{field}")).si;
            assert!(
                (found - expected).abs() < 1e-12,
                "{number} {series} {field}: {found}"
            );
        }
    }
    println!("{} preferred numbers", rows.len());
    assert_eq!(rows.len(), 75);
}
