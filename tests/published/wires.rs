//! Readings over three wires with the lead angle taken into account.

use crate::compared::{check, inputs, near, number};
use crate::evaluated::quantity;
use crate::rows::rows;

const TABLE: &str = include_str!("../reference/lead_angle_wires.csv");

/// Source: each row names its own; the rows of 1 inch pitch are a published table.
#[test]
fn readings_with_the_lead_angle() {
    let table = rows(TABLE);
    let mut published = 0;
    for row in &table {
        let given = inputs(row);
        let starts = given["starts"];
        let expression = if row["topic"] == "Acme wires" {
            published += 1;
            let lead_angle = number(given["lead angle"]);
            let wire = given["wire"];
            format!(
                "wire_constant({starts} in / (pi * tan({lead_angle} deg)), 1 in, {wire}, 29 deg, {starts})"
            )
        } else {
            let diameter = row["inputs"].split(';').next().unwrap_or_default();
            let diameter = diameter.rsplit('=').next().unwrap_or_default();
            let (pitch, wire) = (given["P"], given["W"]);
            let angle = 2.0 * number(given["half angle"]);
            format!("over_three_wires({diameter}, {pitch}, {wire}, {angle} deg, {starts})")
        };
        let unit = setover::internals::quantity::parse_unit(&row["unit"]).unwrap();
        check(row, quantity(&expression).in_unit(unit));
    }
    assert_eq!((table.len(), published), (34, 18));
}

/// The reading over wires at the basic pitch diameter, read back, is that pitch diameter, whatever the lead.
/// Source: the one formula is the other solved for the pitch diameter (Machinery's Handbook, measuring screw threads).
#[test]
fn the_reading_is_read_back() {
    for thread in [
        "M10",
        "1/4-20 UNC",
        "Tr 20x4",
        "Tr 20x8(P4)",
        "Tr 40x28(P7)",
        "1/2-10 Acme",
        "2 BA",
    ] {
        let wire = format!("best_wire(\"{thread}\")");
        let over = format!("over_wires(\"{thread}\", {wire})");
        let back = format!("pitch_diameter_from_wires(\"{thread}\", {wire}, {over})");
        let basic = quantity(&format!("thread(\"{thread}\").pitch_diameter"));
        near(quantity(&back).si, basic.si, 1e-9);
        // A screw cut 0.1 mm too big reads back as such.
        let more = format!("pitch_diameter_from_wires(\"{thread}\", {wire}, {over} + 0.1 mm)");
        let bigger = quantity(&more).si - basic.si;
        assert!(bigger > 0.099e-3 && bigger < 0.11e-3, "{thread}: {bigger}");
    }
}
