//! Loading the tables of library/tables: CSV with the source in the heading
//! remarks.

use std::sync::LazyLock;

use serde::de::DeserializeOwned;

use crate::diagnostic::Fault;
use crate::quantity::short;
use crate::trade::words::{advised, list, quote};

/// A table of the library: its source and its rows.
#[derive(Clone, Debug)]
pub struct Table<Row> {
    /// The standard or book it comes from (`# source:`).
    pub source: String,
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
    let remarks = |key: &str| {
        let remarks = text.lines().take_while(|line| line.starts_with('#'));
        let said = remarks.filter_map(|line| line.strip_prefix(key));
        said.map(str::trim).collect::<Vec<_>>().join("; ")
    };
    let source = remarks("# source:");
    if source.is_empty() || remarks("# title:").is_empty() {
        let message = "the table has no `# title:` or no `# source:` remark";
        return Err(Fault::new(message));
    }
    let rows = cells(text).into_deserialize().collect::<Result<_, _>>();
    let rows = rows.map_err(|error: csv::Error| Fault::new(error.to_string()))?;
    Ok(Table { source, rows })
}

/// Returns a reader of a table below its remarks.
fn cells(text: &str) -> csv::Reader<&[u8]> {
    csv::ReaderBuilder::new()
        .trim(csv::Trim::All)
        .comment(Some(b'#'))
        .from_reader(text.as_bytes())
}

/// The tables of library/tables by name, built into the program.
macro_rules! files {
    ($($name:literal),* $(,)?) => {
        &[$(($name, include_str!(concat!("../../library/tables/", $name, ".csv")))),*]
    };
}

const FILES: &[(&str, &str)] = files![
    "bearings",
    "centre_holes",
    "change_gears",
    "clearance_british",
    "clearance_metric",
    "clearance_unified",
    "cutting_rules",
    "cutting_speeds",
    "cutting_words",
    "drills_fraction",
    "drills_metric",
    "drills_number_letter",
    "gauge_blocks",
    "gear_modules",
    "hexagons",
    "indexing_plates",
    "involute_cutters",
    "iso286_hole_deviations",
    "iso286_it_grades",
    "iso286_shaft_deviations",
    "material_names",
    "materials",
    "parallel_keys",
    "preferred_fits",
    "preferred_numbers",
    "reaming_allowance",
    "retaining_rings_bore",
    "retaining_rings_shaft",
    "screw_heads",
    "t_slots",
    "tapers_morse",
    "tapers_other",
    "threads_acme",
    "threads_british",
    "threads_iso_metric",
    "threads_trapezoidal",
    "threads_unified",
    "undercuts_external",
    "undercuts_internal",
    "washers",
];

/// Declares a table of the library, whose rows are read as a type at the first use.
macro_rules! table {
    ($static:ident: $row:ty = $name:literal) => {
        static $static: std::sync::LazyLock<crate::trade::table::Table<$row>> =
            std::sync::LazyLock::new(|| crate::trade::table::built_in($name));
    };
}
pub(crate) use table;

/// Reads a table that is built into the program, by its name.
///
/// # Panics
/// When there is no such table or it is broken, which the tests of each table rule out.
pub fn built_in<Row: DeserializeOwned>(name: &str) -> Table<Row> {
    let (_, text) = FILES
        .iter()
        .find(|(known, _)| *known == name)
        .unwrap_or_else(|| panic!("library/tables has no {name}"));
    read(text).unwrap_or_else(|fault| panic!("library/tables/{name}.csv: {fault}"))
}

/// A column of a table that is looked up by name.
#[derive(Clone, Debug)]
pub struct Column {
    /// Its name, without its unit.
    pub name: String,
    /// The symbol of its unit; empty for a plain number or text.
    pub unit: &'static str,
    /// Whether it holds numbers.
    pub numbers: bool,
}

/// A table as it is looked up by name: any columns, its cells as they are written.
#[derive(Clone, Debug, Default)]
pub struct Sheet {
    /// The columns.
    pub columns: Vec<Column>,
    /// The rows, each with one cell a column.
    pub rows: Vec<Vec<String>>,
}

/// The endings of column names that state a unit, the longer before the shorter.
const UNITS: &[(&str, &str)] = &[
    ("_n_mm2", "N/mm^2"),
    ("_kg_m3", "kg/m^3"),
    ("_m_min", "m/min"),
    ("_gpa", "GPa"),
    ("_deg", "deg"),
    ("_mm", "mm"),
    ("_um", "um"),
    ("_in", "in"),
];

static SHEETS: LazyLock<Vec<(&str, Sheet)>> = LazyLock::new(|| {
    let sheets = FILES.iter().map(|(name, text)| (*name, sheet_of(text)));
    sheets.collect()
});

fn sheet_of(text: &str) -> Sheet {
    let mut reader = cells(text);
    let heads = reader.headers().cloned().unwrap_or_default();
    let rows: Vec<Vec<String>> = reader
        .records()
        .filter_map(Result::ok)
        .map(|row| row.iter().map(str::to_owned).collect())
        .collect();
    let columns = heads.iter().enumerate().map(|(place, head)| {
        let unit = UNITS.iter().find(|(ending, _)| head.ends_with(ending));
        let cells = rows.iter().filter_map(|row| row.get(place));
        let mut filled = cells.filter(|cell| !cell.is_empty());
        Column {
            name: unit
                .map_or(head, |(ending, _)| head.trim_end_matches(ending))
                .to_owned(),
            unit: unit.map_or("", |(_, unit)| unit),
            numbers: place > 0 && filled.all(|cell| cell.parse::<f64>().is_ok()) || unit.is_some(),
        }
    });
    Sheet {
        columns: columns.collect(),
        rows,
    }
}

/// Returns a table of the library by its name.
///
/// # Errors
/// A fault that names the nearest where there is no such table.
pub fn sheet(name: &str) -> Result<&'static Sheet, Fault> {
    let found = SHEETS.iter().find(|(known, _)| *known == name);
    found.map(|(_, sheet)| sheet).ok_or_else(|| {
        let known = FILES.iter().map(|(name, _)| *name);
        let fault = Fault::new(format!("the library has no table {}", quote(name)));
        let otherwise = "library/TABLES.md lists the tables";
        advised(fault, name, known, otherwise).in_argument(0)
    })
}

impl Sheet {
    /// Returns the place of a column, by its name without the unit.
    ///
    /// # Errors
    /// A fault that lists the columns where there is no such column.
    pub fn column(&self, name: &str) -> Result<usize, Fault> {
        let found = self.columns.iter().position(|column| column.name == name);
        found.ok_or_else(|| {
            let columns = self.columns.iter();
            let known: Vec<&str> = columns.map(|column| column.name.as_str()).collect();
            Fault::new(format!(
                "the table has no column {}; it has {}",
                quote(name),
                list(&known)
            ))
            .in_argument(1)
        })
    }

    /// Returns the row whose cell of a column is a text, whatever the case and the blanks.
    ///
    /// # Errors
    /// A fault that names the nearest where no row has it.
    pub fn row_named(&self, column: usize, text: &str) -> Result<&[String], Fault> {
        let key = |text: &str| text.to_lowercase().split_whitespace().collect::<String>();
        let mut rows = self.rows.iter();
        let found = rows.find(|row| row.get(column).is_some_and(|cell| key(cell) == key(text)));
        found.map(Vec::as_slice).ok_or_else(|| {
            let cells = self.rows.iter().filter_map(|row| row.get(column));
            let known: Vec<&str> = cells.map(String::as_str).collect();
            let fault = Fault::new(format!("the table has no {}", quote(text.trim())));
            let otherwise = format!("it has {}", known.join(", "));
            advised(fault, text, known, otherwise).in_argument(2)
        })
    }

    /// Returns the row whose cell of a column is a number.
    ///
    /// # Errors
    /// A fault with the numbers on either side where no row has it.
    pub fn row_at(&self, column: usize, number: f64) -> Result<&[String], Fault> {
        let value = |row: &Vec<String>| row.get(column)?.parse::<f64>().ok();
        let near = |found: f64| (found - number).abs() <= 1e-6 * number.abs();
        let found = self.rows.iter().find(|row| value(row).is_some_and(near));
        found.map(Vec::as_slice).ok_or_else(|| {
            let numbers = || self.rows.iter().filter_map(value);
            let below = numbers()
                .filter(|found| *found < number)
                .fold(f64::NAN, f64::max);
            let above = numbers()
                .filter(|found| *found > number)
                .fold(f64::NAN, f64::min);
            let unit = self.columns.get(column).map_or("", |column| column.unit);
            let next = [below, above].into_iter().filter(|found| found.is_finite());
            let next: Vec<String> = next
                .map(|found| format!("{} {unit}", short(found, 6)))
                .collect();
            Fault::new(format!("the table has no {} {unit}", short(number, 6)))
                .advise(format!("the nearest it has: {}", next.join(" and ")))
                .in_argument(2)
        })
    }

    /// Returns the row of ranges (columns `over` and `to`) that holds a number.
    ///
    /// # Errors
    /// A fault with the ends of the table where the number lies outside.
    pub fn row_over(&self, number: f64) -> Result<&[String], Fault> {
        let (over, to) = (self.column("over")?, self.column("to")?);
        let value = |row: &Vec<String>, place: usize| row.get(place)?.parse::<f64>().ok();
        let holds = |row: &&Vec<String>| {
            value(row, over).is_none_or(|over| number > over + 1e-9)
                && value(row, to).is_none_or(|to| number <= to + 1e-9)
        };
        let found = self.rows.iter().find(holds).map(Vec::as_slice);
        found.ok_or_else(|| {
            let unit = self.columns.get(to).map_or("", |column| column.unit);
            let first = self.rows.first().and_then(|row| value(row, over));
            let last = self.rows.last().and_then(|row| value(row, to));
            Fault::new(format!(
                "{} {unit} is outside the table, which goes over {} to {} {unit}",
                short(number, 6),
                short(first.unwrap_or(0.0), 6),
                short(last.unwrap_or(0.0), 6)
            ))
            .in_argument(1)
        })
    }
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
