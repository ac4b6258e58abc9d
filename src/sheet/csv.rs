//! A sheet as comma-separated values (RFC 4180), for other programs.

use serde_json::Value as Json;

use super::model::{Data, Row, Sheet};

/// Returns a sheet as CSV: one line a value. A list, a table or a record has one line a
/// value of its own, named `holes[2].x`; what is said of the whole (its text, formula
/// and note) stands on the first of them only, for a list of 20,000 values has a text
/// as long.
#[must_use]
pub fn csv(sheet: &Sheet) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    let heading = [
        "section", "name", "kind", "value", "unit", "si", "low", "high", "text", "formula", "note",
        "status", "hidden",
    ];
    let _ = writer.write_record(heading);
    for section in &sheet.sections {
        for row in &section.rows {
            let mut whole = [&row.text, &row.formula, &row.note].map(String::as_str);
            let mut lines = RowLines {
                out: &mut writer,
                section: &section.heading,
                row,
                whole: &mut whole,
            };
            let none = Data::default();
            let data = row.data.as_deref().unwrap_or(&none);
            lines.write(&row.name, (&data.value, &data.unit, &data.si));
        }
    }
    no_formulas(&writer.into_inner().unwrap_or_default())
}

/// Returns comma-separated values in which no text begins as a formula of a table
/// program does: such a text gets an apostrophe in front. Numbers, with or without a
/// unit, stay as they are.
#[must_use]
pub fn no_formulas(records: &[u8]) -> String {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .from_reader(records);
    let mut writer = csv::WriterBuilder::new()
        .flexible(true)
        .from_writer(Vec::new());
    for record in reader.records().map_while(Result::ok) {
        let fields = record.iter().map(|field| {
            if is_formula(field) {
                format!("'{field}")
            } else {
                field.to_owned()
            }
        });
        let _ = writer.write_record(fields);
    }
    String::from_utf8_lossy(&writer.into_inner().unwrap_or_default()).into_owned()
}

/// Returns whether a table program may take a text for a formula.
fn is_formula(text: &str) -> bool {
    let number = || {
        let (number, unit) = text.split_once(' ').unwrap_or((text, ""));
        let unit = unit.chars();
        number.parse::<f64>().is_ok()
            && unit
                .clone()
                .all(|c| c.is_alphanumeric() || "/^*%°-".contains(c))
    };
    text.starts_with(['=', '+', '-', '@', '\t', '\r']) && !number()
}

/// The lines of one row.
struct RowLines<'a, 'b> {
    out: &'a mut csv::Writer<Vec<u8>>,
    section: &'a str,
    row: &'a Row,
    /// What stands on the first line only.
    whole: &'a mut [&'b str; 3],
}

impl RowLines<'_, '_> {
    fn write(&mut self, name: &str, (value, unit, si): (&Json, &Json, &Json)) {
        let none = Json::Null;
        match value {
            Json::Array(items) => {
                for (index, item) in items.iter().enumerate() {
                    let [unit, si] = [unit, si].map(|all| all.get(index).unwrap_or(&none));
                    self.write(&format!("{name}[{}]", index + 1), (item, unit, si));
                }
            }
            Json::Object(fields) => {
                for (field, item) in fields {
                    let [unit, si] = [unit, si].map(|all| all.get(field).unwrap_or(&none));
                    self.write(&format!("{name}.{field}"), (item, unit, si));
                }
            }
            _ => self.line(name, value, unit, si),
        }
    }

    fn line(&mut self, name: &str, value: &Json, unit: &Json, si: &Json) {
        let kind = serde_json::to_value(self.row.kind).unwrap_or_default();
        // A limit beyond all numbers is none.
        let limit = |limit: Option<f64>| {
            let limit = limit.filter(|limit| limit.is_finite());
            limit.map_or(String::new(), |limit| limit.to_string())
        };
        let [text, formula, note] = std::mem::take(self.whole);
        let _ = self.out.write_record([
            self.section,
            name,
            &plain(&kind),
            &plain(value),
            &plain(unit),
            &plain(si),
            &limit(self.row.low),
            &limit(self.row.high),
            text,
            formula,
            note,
            &self.row.status,
            if self.row.hidden { "true" } else { "false" },
        ]);
    }
}

fn plain(value: &Json) -> String {
    match value {
        Json::Null => String::new(),
        Json::String(text) => text.clone(),
        other => other.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_text_is_taken_for_a_formula() {
        let asked = "a,-0.5,-0.350 mm,+1.2 mm/rev,-2e-05,\"=1+2\",@x,+a,\"-1 mm|x\",\"-1+A1\"\n";
        let given = "a,-0.5,-0.350 mm,+1.2 mm/rev,-2e-05,'=1+2,'@x,'+a,'-1 mm|x,'-1+A1\n";
        assert_eq!(no_formulas(asked.as_bytes()), given);
    }
}
