//! Screw heads against ISO 4762, DIN 974-1, ISO 273, ISO 10642 and ISO 2009.

use setover::internals::trade::screws::{counterbore, countersink};
use setover::internals::trade::threads::clearance_drill;
use uom::si::f64::Length;
use uom::si::length::millimeter;

use crate::compared::near_at;
use crate::rows::rows;

/// Source: ISO 4762:2004, DIN 974-1:2008 row 1, ISO 273:1979, ISO 10642:2004, ISO 2009:2011
/// (from memory; the heads of ISO 4762 and ISO 10642 compared with published tables to M30).
#[test]
fn every_head_has_its_size() {
    let table = rows(include_str!("../reference/counterbore_countersink.csv"));
    let mut checked = 0;
    for row in &table {
        let thread = row.text("thread");
        let mut check = |column: &str, found: Option<Length>| match (row.number(column), found) {
            (None, None) => {}
            (Some(expected), Some(found)) => {
                near_at(
                    &format!("{thread} {column}"),
                    found.get::<millimeter>(),
                    expected,
                    1e-9,
                );
                checked += 1;
            }
            (expected, found) => panic!("{thread} {column}: {found:?}, published {expected:?}"),
        };
        let found = counterbore(thread).unwrap();
        check("cap_dk", Some(found.head_diameter));
        check("cap_dk_knurled", Some(found.knurled_diameter));
        check("cap_k", Some(found.head_height));
        check("cap_s", Some(found.key));
        check("counterbore_diameter", Some(found.diameter));
        check("counterbore_depth", Some(found.depth));
        check("clearance_medium", Some(found.clearance.drill.diameter));
        for (column, fit) in [("clearance_fine", "close"), ("clearance_coarse", "free")] {
            check(
                column,
                clearance_drill(thread, fit)
                    .ok()
                    .map(|found| found.drill.diameter),
            );
        }
        let sunk = countersink(thread, "socket").ok();
        assert_eq!(sunk, found.countersunk);
        check("csk_hex_dk_theor", sunk.map(|head| head.diameter));
        check("csk_hex_dk_min", sunk.map(|head| head.head_diameter));
        check("csk_hex_k", sunk.map(|head| head.head_height));
        check("csk_hex_s", sunk.map(|head| head.key));
        let slotted = countersink(thread, "slotted").ok();
        assert_eq!(slotted, found.slotted);
        check("csk_slot_dk_theor", slotted.map(|head| head.diameter));
        check("csk_slot_dk_max", slotted.map(|head| head.head_diameter));
        check("csk_slot_k", slotted.map(|head| head.head_height));
    }
    assert_eq!(table.len(), 15);
    println!("{} screws, {checked} sizes", table.len());
}

/// Source: ISO 4762:2004, key sizes, and DIN 974-1:2008, row 1 (from memory).
#[test]
fn sizes_of_cap_screws() {
    for (thread, key, bore) in [
        ("M3", 2.5, 6.5),
        ("M5", 4.0, 10.0),
        ("M8", 6.0, 15.0),
        ("M20", 17.0, 33.0),
        ("M36", 27.0, 58.0),
    ] {
        let found = counterbore(thread).unwrap();
        near_at(thread, found.key.get::<millimeter>(), key, 1e-9);
        near_at(thread, found.diameter.get::<millimeter>(), bore, 1e-9);
    }
}
