//! Loading the tables of library/tables: CSV with the source in the heading
//! remarks.

use serde::de::DeserializeOwned;

use crate::diagnostic::Fault;

/// A table of the library: its heading remarks and its rows.
#[derive(Clone, Debug)]
pub struct Table<Row> {
    /// What the table holds (`# title:`).
    pub title: String,
    /// The standard or book it comes from (`# source:`).
    pub source: String,
    /// What to mind when using it (`# caution:`); may be empty.
    pub caution: String,
    /// The rows, in file order.
    pub rows: Vec<Row>,
}

/// Reads a table.
///
/// Remark lines stand above the row of column names: `# key: text`, where
/// `title` and `source` must be present. A value that begins with `#` (drill
/// `"#7"`) stands in quotes.
///
/// # Errors
/// A fault when a remark is missing, when a row has too few or too many cells,
/// or when a cell can't be read as its column's type.
pub fn read<Row: DeserializeOwned>(text: &str) -> Result<Table<Row>, Fault> {
    let mut rest = text;
    let mut table = Table {
        title: String::new(),
        source: String::new(),
        caution: String::new(),
        rows: Vec::new(),
    };
    while let Some(remark) = rest.strip_prefix('#') {
        let (line, below) = remark.split_once('\n').unwrap_or((remark, ""));
        rest = below;
        if let Some((key, said)) = line.split_once(':') {
            let field = match key.trim() {
                "title" => &mut table.title,
                "source" => &mut table.source,
                "caution" => &mut table.caution,
                _ => continue,
            };
            if !field.is_empty() {
                field.push_str("; ");
            }
            field.push_str(said.trim());
        }
    }
    if table.title.is_empty() || table.source.is_empty() {
        return Err(Fault::new(
            "the table has no `# title:` or no `# source:` remark",
        ));
    }
    let mut reader = csv::ReaderBuilder::new()
        .trim(csv::Trim::All)
        .from_reader(rest.as_bytes());
    for row in reader.deserialize() {
        table
            .rows
            .push(row.map_err(|error| Fault::new(error.to_string()))?);
    }
    Ok(table)
}

/// Reads a table that is built into the program.
///
/// # Panics
/// When the table is broken, which the tests of each table rule out.
pub fn built_in<Row: DeserializeOwned>(name: &str, text: &str) -> Table<Row> {
    read(text).unwrap_or_else(|fault| panic!("library/tables/{name}: {fault}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[derive(serde::Deserialize)]
    struct Row {
        name: String,
        mm: f64,
    }

    #[test]
    fn a_table_without_a_source_is_refused() {
        assert!(read::<Row>("# title: drills\nname,mm\n").is_err());
        let table =
            read::<Row>("# title: drills\n# source: none\nname,mm\n\"#7\",5.105\n").unwrap();
        assert_eq!(
            (table.rows[0].name.as_str(), table.rows[0].mm),
            ("#7", 5.105)
        );
    }
}
