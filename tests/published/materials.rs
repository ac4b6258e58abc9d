//! Properties of materials against data books, and weights against bar tables.

use std::f64::consts::PI;

use setover::internals::trade::materials::{
    cutting_force, density, expansion_rate, materials, stiffness,
};
use uom::si::length::meter;
use uom::si::mass_density::kilogram_per_cubic_meter;
use uom::si::pressure::{gigapascal, megapascal};
use uom::si::temperature_coefficient::per_kelvin;

use crate::compared::{check, inputs, length, number};
use crate::rows::rows;

#[test]
fn every_material() {
    // Source: typical values of engineering data books, from memory. The library's table
    // comes from the same memory: no independent proof, but a guard against slips of the pen.
    let rows = rows(include_str!("../reference/materials.csv"));
    for row in &rows {
        let name = &row["material"];
        let compare = |column: &str, got: Option<f64>| {
            let text = &row[column];
            match got {
                Some(got) if !text.is_empty() => {
                    let wanted = number(text);
                    assert!(
                        (got - wanted).abs() < 1e-9 * wanted,
                        "{name} {column}: {got}"
                    );
                }
                got => assert!(got.is_none() && text.is_empty(), "{name} {column}"),
            }
        };
        let kilograms = density(name).map(|value| value.get::<kilogram_per_cubic_meter>());
        compare("density_kg_m3", kilograms.ok());
        let expansion = expansion_rate(name).map(|value| value.get::<per_kelvin>());
        compare("thermal_expansion_per_K", expansion.ok());
        let young = stiffness(name).map(|value| value.get::<gigapascal>());
        compare("young_modulus_GPa", young.ok());
        let force = cutting_force(name).map(|value| value.get::<megapascal>());
        compare("specific_cutting_force_N_mm2", force.ok());
    }
    println!("{} of {} materials", rows.len(), materials().len());
    assert_eq!(rows.len(), 28);
}

#[test]
fn worked_examples() {
    // Source: the column source of each row; the pound is 0.45359237 kg by definition.
    let rows = rows(include_str!("../reference/worked_materials.csv"));
    for row in &rows {
        let inputs = inputs(row);
        let metres = |name: &str| length(inputs[name]).get::<meter>();
        if row["topic"] == "thermal expansion" {
            let rise = number(inputs["measured_at"]) - 20.0;
            let alpha = |material| {
                expansion_rate(material)
                    .expect("a rate")
                    .get::<per_kelvin>()
            };
            match inputs.get("L") {
                Some(_) => check(row, metres("L") * 1000.0 * alpha("aluminium") * rise),
                None => check(
                    row,
                    metres("measured") * 1000.0 / (1.0 + alpha("mild steel") * rise),
                ),
            }
            continue;
        }
        let area = if inputs.contains_key("round d") {
            PI / 4.0 * metres("round d").powi(2)
        } else if inputs.contains_key("hexagon AF") {
            3_f64.sqrt() / 2.0 * metres("hexagon AF").powi(2)
        } else {
            0.050 * 0.010
        };
        let steel = density("mild steel").expect("a density");
        let kilograms = area * metres("L") * steel.get::<kilogram_per_cubic_meter>();
        check(
            row,
            match row["unit"].as_str() {
                "lb" => kilograms / 0.453_592_37,
                _ => kilograms,
            },
        );
    }
    println!("{} worked examples of materials", rows.len());
    assert_eq!(rows.len(), 7);
}
