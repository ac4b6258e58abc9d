//! What the rows of `draw` statements say: their numbers and their picture.

use serde_json::{Value as Json, json};

use super::build::Builder;
use super::formatted_value::FormattedValue;
use super::model::{Data, Row};
use super::pictures::{Graph, Limit, Picture, Series};
use super::record_rows::{data_of, number};
use super::what_if::values_of;
use crate::language::{Record, SlotId, Value};
use crate::notebook::{GraphTable, graph};
use crate::quantity::{Quantity, Unit};

impl Builder<'_> {
    /// Puts a picture into its row.
    pub(super) fn picture(&self, row: &mut Row, slot: SlotId, record: &Record) {
        row.written = FormattedValue::text(format!("picture of {}", row.name));
        row.picture = Picture::of(record, &self.writer).map(Box::new);
        match graph(self.workspace, slot) {
            Ok(Some(table)) => self.graph(row, &table),
            Ok(None) => {}
            Err(_) => row.is_wrong(),
        }
    }

    /// Makes the graph of a what-if table, and its numbers for other programs.
    fn graph(&self, row: &mut Row, found: &GraphTable) {
        let table = &found.table;
        let first = |values: &mut dyn Iterator<Item = Quantity>| {
            values
                .next()
                .map_or(Unit::NONE, |quantity| self.writer.unit(quantity))
        };
        let varied: Vec<Quantity> = table
            .rows
            .iter()
            .filter_map(|row| row.varied.first()?.quantity().ok())
            .collect();
        let unit = first(&mut varied.iter().copied());
        let mut series = Vec::new();
        for (place, name) in table.shown.iter().enumerate() {
            let values: Vec<Option<Quantity>> = table
                .rows
                .iter()
                .map(|row| row.shown.get(place)?.as_ref().ok()?.quantity().ok())
                .collect();
            let unit = first(&mut values.iter().flatten().copied());
            let limits = found.limits.iter().filter(|limit| limit.shown == place);
            series.push(Series {
                name: name.clone(),
                unit: unit.symbol(),
                values: values.iter().map(|v| v.map(|v| v.in_unit(unit))).collect(),
                limits: limits
                    .map(|limit| {
                        let value = limit.value.in_unit(unit);
                        let sign = match limit.operator.symbol() {
                            "<=" => "≤",
                            ">=" => "≥",
                            other => other,
                        };
                        Limit {
                            value,
                            text: format!("{sign} {}", self.limit_text(limit.value)),
                        }
                    })
                    .collect(),
            });
        }
        let picture = Graph {
            over: found.over.clone(),
            unit: unit.symbol(),
            values: varied.iter().map(|value| value.in_unit(unit)).collect(),
            series,
        };
        row.data = self.data(|| self.graph_data(found, &picture));
        let figures = self.graph_figures(found, &picture);
        row.picture = Some(Box::new(Picture::of_graph(picture, figures)));
    }

    /// Returns what a graph says in words: for each shown cell its first value, its last, and
    /// the limits.
    fn graph_figures(&self, found: &GraphTable, picture: &Graph) -> Vec<(String, String)> {
        let mut figures = vec![(format!("graph over {}", picture.over), String::new())];
        let written = |value: &Value| self.writer.value(value).line();
        for (place, series) in picture.series.iter().enumerate() {
            let points: Vec<String> = found
                .table
                .rows
                .iter()
                .filter_map(|row| {
                    let varied = row.varied.first()?;
                    let shown = row.shown.get(place)?.as_ref().ok()?;
                    Some(format!("{} at {}", written(shown), written(varied)))
                })
                .collect();
            let mut said = match points.as_slice() {
                [] => "no value".to_owned(),
                [only] => only.clone(),
                [first, .., last] => format!("{first} to {last}"),
            };
            for limit in &series.limits {
                said.push_str(&format!(", must be {}", limit.text));
            }
            figures.push((series.name.clone(), said));
        }
        figures
    }

    /// Returns a limit as the check gives it, without zeros behind its decimals.
    fn limit_text(&self, value: Quantity) -> String {
        let written = self
            .writer
            .in_unit(value, value.shown_unit(self.writer.system()));
        let number = super::pictures::trimmed(&written.number);
        format!("{number} {}", written.unit).trim_end().to_owned()
    }

    /// Returns a graph's numbers: one object a row, the limits that checks set in each.
    fn graph_data(&self, found: &GraphTable, picture: &Graph) -> Data {
        let columns: Vec<&str> = std::iter::once(picture.over.as_str())
            .chain(found.table.shown.iter().map(String::as_str))
            .collect();
        let rows = Data::list(found.table.rows.iter().map(|line| {
            let record = Record::new(columns.iter().copied().zip(values_of(line)));
            data_of(&self.writer, &record.into())
        }));
        let limits = Data::list(found.limits.iter().map(|limit| {
            let name = found.table.shown.get(limit.shown);
            let unit = self.writer.unit(limit.value);
            let bare = |value: Json| json!({"name": null, "operator": null, "value": value});
            Data {
                value: json!({
                    "name": name.map_or("", String::as_str),
                    "operator": limit.operator.symbol(),
                    "value": number(limit.value.in_unit(unit)),
                }),
                unit: bare(json!(unit.symbol())),
                si: bare(number(limit.value.si)),
            }
        }));
        let object = |rows: Json, limits: Json, picture: Json| json!({"picture": picture, "rows": rows, "limits": limits});
        Data {
            value: object(rows.value, limits.value, json!("graph")),
            unit: object(rows.unit, limits.unit, Json::Null),
            si: object(rows.si, limits.si, Json::Null),
        }
    }
}
