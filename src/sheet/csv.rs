//! A sheet as comma-separated values (RFC 4180), for other programs.

use serde_json::Value as Json;

use super::model::{Row, Sheet};

/// A sheet as CSV: one line a value. A table or a record has one line a cell,
/// named `holes[2].x`.
#[must_use]
pub fn csv(sheet: &Sheet) -> String {
    let mut writer = csv::WriterBuilder::new().from_writer(Vec::new());
    let heading = [
        "section", "name", "kind", "value", "unit", "si", "low", "high", "text", "formula", "note",
        "status",
    ];
    let _ = writer.write_record(heading);
    for section in &sheet.sections {
        for row in &section.rows {
            write_value(
                &mut writer,
                &section.heading,
                row,
                &row.name,
                (&row.value, &row.unit, &row.si),
            );
        }
    }
    let bytes = writer.into_inner().unwrap_or_default();
    String::from_utf8_lossy(&bytes).into_owned()
}

type Out = csv::Writer<Vec<u8>>;

fn write_value(
    out: &mut Out,
    section: &str,
    row: &Row,
    name: &str,
    (value, unit, si): (&Json, &Json, &Json),
) {
    match value {
        Json::Array(items) => {
            for (index, item) in items.iter().enumerate() {
                let name = format!("{name}[{}]", index + 1);
                write_value(
                    out,
                    section,
                    row,
                    &name,
                    (
                        item,
                        unit.get(index).unwrap_or(&Json::Null),
                        si.get(index).unwrap_or(&Json::Null),
                    ),
                );
            }
        }
        Json::Object(fields) => {
            for (field, item) in fields {
                let name = format!("{name}.{field}");
                write_value(
                    out,
                    section,
                    row,
                    &name,
                    (
                        item,
                        unit.get(field).unwrap_or(&Json::Null),
                        si.get(field).unwrap_or(&Json::Null),
                    ),
                );
            }
        }
        _ => {
            let kind = serde_json::to_value(row.kind).unwrap_or_default();
            let limit = |limit: Option<f64>| limit.map_or(String::new(), |limit| limit.to_string());
            let _ = out.write_record([
                section,
                name,
                &plain(&kind),
                &plain(value),
                &plain(unit),
                &plain(si),
                &limit(row.low),
                &limit(row.high),
                &row.text,
                &row.formula,
                &row.note,
                &row.status,
            ]);
        }
    }
}

fn plain(value: &Json) -> String {
    match value {
        Json::Null => String::new(),
        Json::String(text) => text.clone(),
        other => other.to_string(),
    }
}
