//! Tapers against the tables of their standards.

use setover::internals::trade::tapers::{Taper, taper};
use uom::si::angle::degree;
use uom::si::f64::Length;
use uom::si::length::{inch, millimeter};

use crate::compared::{check, inputs, length, number};
use crate::rows::{Row, rows};

fn found(designation: &str) -> Taper {
    taper(designation).unwrap_or_else(|fault| panic!("{designation}: {fault}"))
}

/// Half of the last digit that a text prints.
fn half_digit(text: &str) -> f64 {
    let decimals = text.split_once('.').map_or(0, |(_, digits)| digits.len());
    0.5 * 10_f64.powi(-i32::try_from(decimals).expect("a few decimals")) * 1.000_001
}

/// Compares with a printed number to half its last digit.
#[track_caller]
fn printed(name: &str, got: f64, text: &str) {
    assert!(
        (got - number(text)).abs() <= half_digit(text),
        "{name}: {got}, printed {text}"
    );
}

fn rate_columns(name: &str, taper: &Taper, row: &Row) {
    printed(name, taper.rate * 12.0, &row["taper_per_foot_in"]);
    printed(name, 1.0 / taper.rate, &row["taper_ratio"]);
    printed(
        name,
        taper.half_angle.get::<degree>(),
        &row["half_angle_deg"],
    );
    printed(
        name,
        2.0 * taper.half_angle.get::<degree>(),
        &row["included_angle_deg"],
    );
}

#[test]
fn every_morse_taper() {
    // Source: ASME B5.10-1994 and ISO 296:1991 (from memory, compared with two published
    // dimension tables).
    let rows = rows(include_str!("../reference/tapers_morse.csv"));
    for row in &rows {
        let name = format!("MT{}", row["number"]);
        let taper = found(&name);
        let size = |length: Option<Length>| length.expect("a Morse taper has it").get::<inch>();
        printed(&name, size(taper.big), &row["gauge_dia_large_in"]);
        printed(&name, size(taper.small), &row["plug_small_end_in"]);
        printed(&name, size(taper.length), &row["plug_depth_in"]);
        printed(&name, size(taper.big) * 25.4, &row["gauge_dia_large_mm"]);
        rate_columns(&name, &taper, row);
    }
    println!("{} Morse tapers", rows.len());
    assert_eq!(rows.len(), 8);
}

#[test]
fn every_other_taper() {
    // Source: the standard in each row's column source, from memory; rows marked verified
    // were compared with a published table or follow from a rule of the standard.
    let rows = rows(include_str!("../reference/tapers_other.csv"));
    for row in &rows {
        let number = &row["number"];
        let name = match row["series"].as_str() {
            "Morse" => format!("MT {number}"),
            "Brown & Sharpe" => format!("B&S {number}"),
            "Jacobs" => format!("JT{number}"),
            "metric" => format!("metric {number}"),
            "steep 7/24" => format!("ISO {number}"),
            "Jarno" => format!("Jarno {number}"),
            "taper pin metric" => format!("taper pin {number} mm"),
            "taper pin inch" => format!("taper pin #{number}"),
            "pipe thread" if number.starts_with('R') => "BSPT".to_owned(),
            _ => number.clone(),
        };
        let taper = found(&name);
        for (column, got) in [
            ("big_end", taper.big),
            ("small_end", taper.small),
            ("length", taper.length),
        ] {
            let text = &row[column];
            if text.is_empty() {
                continue;
            }
            let got = got.unwrap_or_else(|| panic!("{name} has no {column}"));
            let got = match row["unit"].as_str() {
                "in" => got.get::<inch>(),
                _ => got.get::<millimeter>(),
            };
            printed(&name, got, text);
        }
        rate_columns(&name, &taper, row);
    }
    println!("{} other tapers", rows.len());
    assert_eq!(rows.len(), 119);
}

#[test]
fn worked_examples() {
    // Source: the column source of each row.
    let rows = rows(include_str!("../reference/worked_tapers.csv"));
    for row in &rows {
        let inputs = inputs(row);
        let written = inputs
            .get("taper")
            .or(inputs.get("ratio"))
            .expect("a taper");
        let (rate, series) = written.split_once('(').unwrap_or((written, ""));
        let of_rate = found(rate.trim().trim_end_matches(" on diameter"));
        let half = of_rate.half_angle.get::<degree>();
        match row["asked"].as_str() {
            "half angle" => {
                check(row, half);
                if let Some(series) = series.strip_suffix(')')
                    && series.starts_with("Morse")
                {
                    check(row, found(series).half_angle.get::<degree>());
                }
            }
            "included angle" => check(row, 2.0 * half),
            "set-over" => check(row, length(inputs["L"]).get::<inch>() * of_rate.rate / 2.0),
            asked if asked.starts_with("diameter still to remove") => {
                let morse = found("Morse 3").rate;
                check(row, length(inputs["standoff"]).get::<millimeter>() * morse);
            }
            asked => {
                let end = length(inputs["D"]) - length(inputs["x"]) * of_rate.rate;
                check(
                    row,
                    match row["unit"].as_str() {
                        "in" => end.get::<inch>(),
                        _ => end.get::<millimeter>(),
                    },
                );
                if let Some(plug) = asked.strip_prefix("small end of the ") {
                    let plug = found(plug.trim_end_matches(" plug"));
                    check(row, plug.small.expect("a small end").get::<inch>());
                }
            }
        }
    }
    println!("{} worked examples of tapers", rows.len());
    assert_eq!(rows.len(), 14);
}

#[test]
fn half_angles_of_morse_tapers_in_seconds() {
    // Source: DIN 228-1, setting angle to the axis in degrees, minutes and seconds
    // (from memory).
    for (number, minutes, seconds) in [
        (0, 29.0, 27.0),
        (1, 25.0, 43.0),
        (2, 25.0, 50.0),
        (3, 26.0, 16.0),
        (4, 29.0, 15.0),
        (5, 30.0, 26.0),
        (6, 29.0, 36.0),
    ] {
        let got = found(&format!("MT{number}")).half_angle.get::<degree>() * 3600.0;
        let wanted = 3600.0 + minutes * 60.0 + seconds;
        assert!(
            (got - wanted).abs() <= 1.0,
            "MT{number}: {got} s, printed {wanted} s"
        );
    }
}

#[test]
fn small_ends_of_taper_pins() {
    // Source: ASME B18.8.2, small end = large end - 0.02083 x length: no. 6 of 3 in
    // and no. 0 of 1 in as Machinery's Handbook tabulates them (from memory); ISO 2339,
    // a pin of 6 mm by 40 mm is 6.8 mm at the big end.
    for (name, length, end) in [("taper pin #6", 3.0, 0.2785), ("taper pin #0", 1.0, 0.1352)] {
        let pin = found(name);
        let small = pin.big.expect("a big end").get::<inch>() - length * pin.rate;
        assert!((small - end).abs() < 0.000_06, "{name}: {small}");
    }
    let pin = found("taper pin 6 mm");
    let big = pin.small.expect("a small end").get::<millimeter>() + 40.0 * pin.rate;
    assert!((big - 6.8).abs() < 1e-9);
}

#[test]
fn cones_of_iso_1119_in_seconds() {
    // Source: ISO 1119:1998, included angles (from memory).
    for (cone, degrees, minutes, seconds) in [
        ("1:3", 18.0, 55.0, 28.7),
        ("1:5", 11.0, 25.0, 16.3),
        ("1:10", 5.0, 43.0, 29.3),
        ("1:12", 4.0, 46.0, 18.8),
        ("1:20", 2.0, 51.0, 51.1),
        ("1:30", 1.0, 54.0, 34.9),
        ("1:50", 1.0, 8.0, 45.2),
        ("1:100", 0.0, 34.0, 22.6),
        ("1:200", 0.0, 17.0, 11.3),
        ("7:24", 16.0, 35.0, 39.4),
    ] {
        let got = 2.0 * found(cone).half_angle.get::<degree>() * 3600.0;
        let wanted = degrees * 3600.0 + minutes * 60.0 + seconds;
        assert!(
            (got - wanted).abs() < 0.06,
            "{cone}: {got} s, printed {wanted} s"
        );
    }
}
