//! A picture's figures as words: for a terminal, and for those who can't see it.

use super::measure::Fields;
use crate::language::Value;
use crate::quantity::Dimension;

/// Ends of names that say more about another field.
const PARTS: &[&str] = &["_low", "_high", "_class", "_called", "_measured"];

impl Fields<'_> {
    /// Returns what the picture shows, then its figures one by one with their names;
    /// a row of a table is one.
    pub fn listed(&self) -> Vec<(String, String)> {
        let mut found = Vec::new();
        for (name, value) in &self.record.fields {
            let words = name.replace('_', " ");
            match value {
                Value::Text(kind) if &**name == "picture" => {
                    found.push((kind.to_string(), String::new()));
                }
                Value::Table(table) => {
                    for (number, row) in (1..).zip(&table.rows) {
                        let cells = table.columns.iter().zip(row).filter_map(|(column, cell)| {
                            let text = self.said(cell)?;
                            Some(format!("{} {text}", column.replace('_', " ")))
                        });
                        let title = if words == "rows" { "" } else { words.as_str() };
                        let cells: Vec<String> = cells.collect();
                        found.push((
                            format!("{title} {number}").trim_start().to_owned(),
                            cells.join(", "),
                        ));
                    }
                }
                _ if PARTS.iter().any(|part| name.ends_with(part)) => {}
                Value::Quantity(quantity) if quantity.dimension == Dimension::LENGTH => {
                    let size = self.size(name).map(|measure| measure.text);
                    found.extend(size.map(|size| (words, format!("{size} {}", self.symbol))));
                }
                Value::Truth(true) => found.push((String::new(), format!("with {words}"))),
                _ => found.extend(self.said(value).map(|text| (words, text))),
            }
        }
        found
    }

    /// Returns a value in words; nothing where there is none.
    fn said(&self, value: &Value) -> Option<String> {
        match value {
            Value::None | Value::Truth(false) => None,
            Value::Quantity(quantity) => {
                let measure = self.of_value(value)?;
                Some(match quantity.dimension {
                    Dimension::LENGTH => format!("{} {}", measure.text, self.symbol),
                    Dimension::ANGLE => measure.text,
                    _ => self.writer.quantity(*quantity).line(),
                })
            }
            Value::Text(text) => Some(text.to_string()),
            other => Some(self.writer.value(other).line()),
        }
    }
}
