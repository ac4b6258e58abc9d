//! Indexing against handbook tables and worked examples.

use setover::internals::trade::change_gears::gear_set;
use setover::internals::trade::dividing::{
    Plate, angle_indexing, compound_indexing, differential_indexing, plain_indexing, plate_set,
};
use uom::si::angle::{degree, minute};
use uom::si::f64::Angle;

use crate::compared::{inputs, near, number};
use crate::evaluated::{quantity, value};
use crate::rows::rows;

fn deg(value: f64) -> Angle {
    Angle::new::<degree>(value)
}

/// A movement "2+18/27", "20/21" or "5" as turns, spaces and circle.
fn movement(text: &str) -> (u64, u32, u32) {
    let (turns, rest) = match text.split_once('+') {
        Some((turns, rest)) => (turns.trim().parse().unwrap(), rest),
        None if text.contains('/') => (0, text),
        None => return (text.trim().parse().unwrap(), 0, 1),
    };
    let (holes, circle) = rest.split_once('/').unwrap();
    (
        turns,
        holes.trim().parse().unwrap(),
        circle.trim().parse().unwrap(),
    )
}

/// Every circle of the reference table is in its set, and indexes as many
/// divisions as it has holes to a turn of the work, one hole for each.
/// Source: common practice, no source. Both lists come from the same memory: no
/// independent proof, but a guard against slips of the pen.
#[test]
fn plates_in_common_use() {
    let table = rows(include_str!("../reference/indexing_plates.csv"));
    let ours = rows(include_str!("../../library/tables/indexing_plates.csv"));
    for row in &table {
        let holes: u32 = row["holes"].parse().unwrap();
        let ratio: u32 = match row["ratio"].as_str() {
            "direct" => 1,
            text => text.strip_suffix(":1").unwrap().parse().unwrap(),
        };
        let ratio_text = ratio.to_string();
        let mut met = ours.iter().filter(|own| own["set"] == row["set"]);
        assert!(met.any(|own| own["ratio"] == ratio_text), "{row:?}");
        let plates: Vec<Plate> = plate_set(&row["set"])
            .unwrap()
            .into_iter()
            .filter(|plate| plate.name == row["plate"] || ratio == 1)
            .collect();
        let found = plain_indexing(ratio * holes, ratio, &plates).unwrap();
        assert!(
            found
                .iter()
                .any(|found| found.circle == holes && found.turns == 0 && found.holes == 1),
            "{row:?}: {found:?}"
        );
    }
    println!("checked {} circles of dividing plates", table.len());
}

/// Source: each row names its own.
#[test]
fn worked_examples() {
    let table = rows(include_str!("../reference/worked_dividing.csv"));
    for row in &table {
        let given = inputs(row);
        let ratio = number(given["ratio"]) as u32;
        let common = plate_set("three-plate set").unwrap();
        let plates = given.get("circles").map_or(common, |text| {
            let circles: Vec<u32> = text
                .split_whitespace()
                .map(|n| n.parse().unwrap())
                .collect();
            vec![Plate::of_circles(&circles)]
        });
        let divisions = given.get("divisions").map_or(0, |text| number(text) as u32);
        match row["topic"].as_str() {
            "simple indexing" => {
                let (turns, holes, circle) = movement(&row["expected"]);
                let found = plain_indexing(divisions, ratio, &plates).unwrap();
                assert!(
                    found.iter().any(|found| found.turns == turns
                        && found.holes * circle == holes * found.circle
                        && (circle == 1 || found.circle == circle)),
                    "{row:?}: {found:?}"
                );
            }
            "angular indexing" => {
                let angle = match given["angle"].split_once(' ') {
                    Some((value, "min")) => Angle::new::<minute>(number(value)),
                    _ => deg(number(given["angle"])),
                };
                let (turns, holes, circle) = movement(&row["expected"]);
                let found = angle_indexing(angle, ratio, &plates).unwrap();
                assert_eq!(found.crank.turns, turns, "{row:?}: {found:?}");
                // Any equal fraction is as good.
                assert_eq!(
                    found.crank.holes * circle,
                    holes * found.crank.circle,
                    "{row:?}: {found:?}"
                );
                assert_eq!(found.error.get::<degree>(), 0.0, "{row:?}");
            }
            "compound indexing" if given.contains_key("movements") => {
                // 1 turn + 7/39 + 29/41, five divisions at once: the handbook's
                // choice is the nearest on these two circles.
                let plates = [Plate::of_circles(&[39, 41])];
                let found = &compound_indexing(divisions, ratio, &plates).unwrap()[0];
                assert_eq!(found.at_once, 5, "{found:?}");
                assert_eq!(
                    (found.turns, found.first_holes, found.first_circle),
                    (1, 7, 39)
                );
                assert_eq!((found.second_holes, found.second_circle), (29, 41));
                assert_eq!(found.direction, "the same way");
                let error = found.error.get::<degree>() * f64::from(ratio) / 360.0;
                near(
                    error,
                    row["expected"].parse().unwrap(),
                    row["tolerance"].parse().unwrap(),
                );
            }
            "compound indexing" => {
                let text = &row["expected"];
                let same_way = text.contains(" + ");
                let (first, second) = text.split_once([' ']).unwrap();
                let (_, first_holes, first_circle) = movement(first);
                let (_, second_holes, second_circle) =
                    movement(second.trim_start_matches(['+', '-', ' ']));
                let found = compound_indexing(divisions, ratio, &plates).unwrap();
                let published = found.iter().find(|found| {
                    (found.first_circle, found.first_holes) == (first_circle, first_holes)
                        && (found.second_circle, found.second_holes)
                            == (second_circle, second_holes)
                        && (found.direction == "the same way") == same_way
                        && found.turns == 0
                });
                let published = published.unwrap_or_else(|| panic!("{row:?} is not in {found:?}"));
                assert_eq!(published.error.get::<degree>(), 0.0);
            }
            "differential indexing" => {
                let gears = gear_set("dividing head gears").unwrap().gears;
                let found = differential_indexing(divisions, ratio, &plates, &gears).unwrap();
                let assumed = number(given["assumed"]) as u32;
                let row_found = found
                    .iter()
                    .find(|found| found.assumed == assumed)
                    .unwrap_or_else(|| panic!("{assumed} is not in {found:?}"));
                let product = |gears: &[u32]| gears.iter().product::<u32>();
                let (top, bottom) = row["expected"].split_once('/').unwrap();
                assert_eq!(
                    product(&row_found.drivers) * bottom.parse::<u32>().unwrap(),
                    product(&row_found.driven) * top.parse::<u32>().unwrap(),
                    "{row:?}: {row_found:?}"
                );
                assert_eq!(
                    row_found.plate_turns == "with the crank",
                    assumed > divisions
                );
            }
            other => panic!("topic {other}"),
        }
    }
    println!("checked {} worked examples of indexing", table.len());
}

/// Source: Machinery's Handbook, simple and compound indexing movements at
/// 40:1; from memory.
#[test]
fn handbook_movements() {
    let plates = plate_set("three-plate set").unwrap();
    for (divisions, turns, holes, circle) in [
        (22, 1, 27, 33),
        (27, 1, 13, 27),
        (50, 0, 16, 20),
        (60, 0, 12, 18),
        (64, 0, 10, 16),
        (41, 0, 40, 41),
    ] {
        let found = plain_indexing(divisions, 40, &plates).unwrap();
        assert!(
            found
                .iter()
                .any(|row| (row.turns, row.holes, row.circle) == (turns, holes, circle)),
            "{divisions}: {found:?}"
        );
    }
    for (divisions, first, second, same_way) in [
        (91, (6, 39), (14, 49), true),
        (93, (3, 31), (11, 33), true),
        (99, (15, 27), (5, 33), false),
        (87, (23, 29), (11, 33), false),
    ] {
        let found = compound_indexing(divisions, 40, &plates).unwrap();
        assert!(
            found.iter().any(|row| {
                (row.first_holes, row.first_circle) == first
                    && (row.second_holes, row.second_circle) == second
                    && (row.direction == "the same way") == same_way
                    && row.error.get::<degree>() == 0.0
            }),
            "{divisions}: {found:?}"
        );
    }
}

/// Source: Machinery's Handbook, table of simple and differential indexing at
/// 40:1; from memory.
#[test]
fn handbook_differential_gears() {
    let plates = plate_set("three-plate set").unwrap();
    let gears = gear_set("dividing head gears").unwrap().gears;
    for (divisions, assumed, ratio, with_the_crank, idlers) in [
        (61, 60, (2, 3), false, 2),
        (53, 56, (15, 7), true, 0),
        (127, 120, (7, 3), false, 2),
    ] {
        let found = differential_indexing(divisions, 40, &plates, &gears).unwrap();
        let row = found.iter().find(|row| row.assumed == assumed);
        let row = row.unwrap_or_else(|| panic!("{assumed} is not in {found:?}"));
        let product = |gears: &[u32]| gears.iter().product::<u32>();
        assert_eq!(
            product(&row.drivers) * ratio.1,
            product(&row.driven) * ratio.0,
            "{row:?}"
        );
        assert_eq!(row.plate_turns == "with the crank", with_the_crank);
        assert_eq!(row.idlers, idlers);
    }
}

/// Source: common practice: at 90:1 one turn of the handwheel is 4 deg; 360 deg
/// / 7 = 51 deg 25 min 42 6/7 s, which is 12 turns and 3 deg 25 min 42 6/7 s.
#[test]
fn handwheel_of_a_rotary_table() {
    let call = "table_turns(360 deg / 7, 90)";
    assert_eq!(quantity(&format!("{call}.turns")).si, 12.0);
    let dms = value(&format!("{call}.dms")).unwrap().to_string();
    assert_eq!(dms, "3°25'43\"");
    near(
        quantity(&format!("{call}.per_turn")).si.to_degrees(),
        4.0,
        1e-12,
    );
    // Whole turns come out whole, not as one turn less and 3.9999 deg.
    for ratio in [36, 40, 60, 72, 90, 120] {
        for turns in 0..100_u32 {
            let angle = f64::from(turns) * (360.0 / f64::from(ratio));
            let call = format!("table_turns({angle} deg, {ratio})");
            assert_eq!(quantity(&format!("{call}.turns")).si, f64::from(turns));
            near(quantity(&format!("{call}.dial")).si, 0.0, 1e-12);
        }
    }
    let places = value("division_angles(7, 10 deg).dms").unwrap().to_string();
    // 10 deg and multiples of 51 deg 25 min 42.857 s, by hand.
    for place in [
        "10°00'00\"",
        "61°25'43\"",
        "112°51'26\"",
        "164°17'09\"",
        "215°42'51\"",
        "267°08'34\"",
        "318°34'17\"",
    ] {
        assert!(places.contains(place), "{places}");
    }
}

/// Source: 1 deg 25 min 50 s and the like, by definition of the minute and
/// second.
#[test]
fn degrees_minutes_seconds() {
    for (angle, written) in [
        ("1 deg + 25 deg / 60 + 50 deg / 3600", "1°25'50\""),
        ("59 deg + 59 deg / 60 + 59.999 deg / 3600", "60°00'00\""),
        ("0.25 deg / 3600 * 2", "0°00'01\""),
        ("-1.5 deg", "-1°30'00\""),
    ] {
        assert_eq!(
            value(&format!("{angle} as dms")).unwrap().to_string(),
            written
        );
    }
}

#[test]
fn bad_input_is_refused_by_argument() {
    for bad in [0, u32::MAX] {
        let plates = [Plate::of_circles(&[20, bad])];
        assert_eq!(
            compound_indexing(60, 40, &plates).unwrap_err().argument,
            Some(2)
        );
        assert_eq!(
            angle_indexing(deg(1.0), 40, &plates).unwrap_err().argument,
            Some(2)
        );
        assert_eq!(
            differential_indexing(97, 40, &plates, &[24, 48])
                .unwrap_err()
                .argument,
            Some(2)
        );
    }
    let fault = plate_set("two plate sett").unwrap_err();
    assert!(fault.to_string().contains("two-plate set"), "{fault}");
}
