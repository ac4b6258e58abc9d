//! Cutting speeds from a table, and the machine's speed nearest to a wanted one.
//!
//! # Example
//! ```
//! use setover::internals::trade::cutting_speeds::speed_for;
//!
//! let range = speed_for("mild steel", "HSS", "turn")?;
//! assert!(range.low < range.middle && range.middle < range.high);
//! assert!(speed_for("mild steel", "HSS", "whittle").is_err());
//! # Ok::<(), setover::internals::diagnostic::Fault>(())
//! ```

mod machine;

use serde::{Deserialize, Serialize};
use uom::si::f64::Velocity;
use uom::si::velocity::meter_per_second;

use crate::diagnostic::Fault;
use crate::trade::material_names::{Wanted, resolve};
use crate::trade::table::table;
use crate::trade::words::{each_once, list, plain, unknown};

pub use crate::trade::cutting_speeds::machine::nearest_speed;

/// The range of cutting speeds for a material, a tool and an operation.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SpeedRange {
    /// The low end: interrupted cuts, dry, worn or light machines.
    pub low: Velocity,
    /// The high end.
    pub high: Velocity,
    /// The middle of the two, to start from.
    pub middle: Velocity,
    /// The material as the table names it.
    pub material: String,
    /// The tool as the table names it.
    pub tool: String,
    /// The operation as the table names it.
    pub operation: String,
    /// Where the range comes from.
    pub basis: String,
    /// How it follows from another tool or operation; may be empty.
    pub note: String,
}

#[derive(Deserialize)]
struct Row {
    material: String,
    tool: String,
    operation: String,
    low_m_min: f64,
    high_m_min: f64,
    basis: String,
}

#[derive(Deserialize)]
struct Rule {
    kind: String,
    name: String,
    follows: String,
    low_factor: f64,
    high_factor: f64,
    note: String,
}

/// Another word for a tool or an operation.
#[derive(Deserialize)]
struct Word {
    kind: String,
    name: String,
    means: String,
}

table!(SPEEDS: Row = "cutting_speeds");

table!(RULES: Rule = "cutting_rules");

table!(WORDS: Word = "cutting_words");

/// Returns the words of a kind, `tool` or `operation`, that the table knows speeds for: its own,
/// and those that follow from others by a rule.
#[must_use]
pub fn words(kind: &str) -> Vec<&'static str> {
    let own = SPEEDS.rows.iter().map(|row| match kind {
        "tool" => row.tool.as_str(),
        _ => row.operation.as_str(),
    });
    let rules = RULES.rows.iter().filter(|rule| rule.kind == kind);
    each_once(own.chain(rules.map(|rule| rule.name.as_str())))
}

/// Returns the range of cutting speeds for a material, a tool (`HSS`, `carbide`,
/// `carbon steel`) and an operation (`turn`, `mill`, `drill`, `ream`, `tap`,
/// `part`, `thread`, `knurl` …).
///
/// Where the table has no row of its own for a tool or an operation, the range
/// follows from another by the factors of library/tables/cutting_rules.csv; the
/// note says so.
///
/// # Errors
/// A fault when a word is unknown or the table has no range for the three; it
/// lists what there is.
///
/// Source: ranges of the kind that Machinery's Handbook and workshop textbooks
/// give, rounded (from memory); parting and the rules are common practice, no source.
pub fn speed_for(material: &str, tool: &str, operation: &str) -> Result<SpeedRange, Fault> {
    let rows = &SPEEDS.rows;
    let materials = each_once(rows.iter().map(|row| row.material.as_str()));
    let material =
        resolve(material, Wanted::Speeds, &materials).map_err(|fault| fault.in_argument(0))?;
    let tool = word("tool", tool).map_err(|fault| fault.in_argument(1))?;
    let operation = word("operation", operation).map_err(|fault| fault.in_argument(2))?;
    let tool_rule = rule("tool", tool);
    let operation_rule = rule("operation", operation);
    let row_tool = tool_rule.map_or(tool, |rule| rule.follows.as_str());
    let row_operation = operation_rule.map_or(operation, |rule| rule.follows.as_str());
    let of_both = rows
        .iter()
        .filter(|row| row.material == material && row.tool == row_tool);
    let Some(row) = of_both.clone().find(|row| row.operation == row_operation) else {
        let there_are: Vec<&str> = of_both.map(|row| row.operation.as_str()).collect();
        return Err(Fault::new(format!(
            "the table has no speed to {operation} `{material}` with {tool}; for these it has {}",
            list(&there_are)
        ))
        .advise(if row_tool == "HSS" {
            "write the cutting speed itself"
        } else {
            "take an HSS tool, or write the cutting speed itself"
        })
        .in_argument(2));
    };
    let applied: Vec<&Rule> = tool_rule.into_iter().chain(operation_rule).collect();
    let low: f64 = applied.iter().map(|rule| rule.low_factor).product();
    let high: f64 = applied.iter().map(|rule| rule.high_factor).product();
    let low = metres_per_minute(row.low_m_min * low);
    let high = metres_per_minute(row.high_m_min * high);
    let notes: Vec<&str> = applied.iter().map(|rule| rule.note.as_str()).collect();
    Ok(SpeedRange {
        low,
        high,
        middle: (low + high) / 2.0,
        material: material.to_owned(),
        tool: tool.to_owned(),
        operation: operation.to_owned(),
        basis: if applied.is_empty() {
            row.basis.clone()
        } else {
            RULES.source.clone()
        },
        note: notes.join("; "),
    })
}

fn metres_per_minute(value: f64) -> Velocity {
    Velocity::new::<meter_per_second>(value / 60.0)
}

fn rule(kind: &str, name: &str) -> Option<&'static Rule> {
    RULES
        .rows
        .iter()
        .find(|rule| rule.kind == kind && rule.name == name)
}

/// Returns the table's word for a tool or an operation.
fn word(kind: &str, asked: &str) -> Result<&'static str, Fault> {
    let known = words(kind);
    let key = plain(&asked.replace('-', " "));
    let same = known.iter().copied().find(|name| plain(name) == key);
    let others = WORDS.rows.iter().filter(|word| word.kind == kind);
    let other = others.clone().find(|word| word.name == key);
    let found = same.or(other.map(|word| word.means.as_str()));
    found.ok_or_else(|| {
        let others = others.map(|word| word.name.as_str());
        let place = "the table of cutting speeds";
        unknown((kind, asked), place, &known, others, "write one of these")
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(material: &str, tool: &str, operation: &str, low: f64, high: f64) {
        let range = speed_for(material, tool, operation).unwrap();
        let near = |got: Velocity, wanted: f64| {
            (got.get::<meter_per_second>() * 60.0 - wanted).abs() < 1e-9 * wanted
        };
        assert!(near(range.low, low) && near(range.high, high), "{range:?}");
        assert!(near(range.middle, (low + high) / 2.0));
    }

    #[test]
    fn words_of_the_trade_are_understood() {
        // Source: ranges recalled from handbooks; the words are what is tested.
        check("mild steel", "HSS", "mill", 22.0, 35.0);
        check("EN3B", "hss", "Milling", 22.0, 35.0);
        check("silver steel", "high-speed steel", "turning", 14.0, 24.0);
        check("brass", "HSS", "drill", 45.0, 75.0);
        check("aluminum", "tungsten carbide", "end mill", 180.0, 500.0);
        check("acetal copolymer", "HSS", "turn", 100.0, 250.0);
    }

    #[test]
    fn what_has_no_row_follows_from_another() {
        // Common practice, no source: screw cutting at a quarter to half the turning
        // speed, carbon steel tools at half the speed of HSS.
        check("mild steel", "HSS", "thread", 25.0 / 4.0, 20.0);
        check("mild steel", "carbon steel", "turn", 12.5, 20.0);
        check("mild steel", "silver steel", "screw-cut", 12.5 / 4.0, 10.0);
        let range = speed_for("mild steel", "HSS", "knurl").unwrap();
        assert!(range.note.contains("half the turning speed"));
        assert!(range.basis.contains("common practice"));
    }

    #[test]
    fn every_material_has_hss_speeds_in_order() {
        let mut rows = 0;
        for row in &SPEEDS.rows {
            assert!(0.0 < row.low_m_min && row.low_m_min < row.high_m_min);
            assert!(speed_for(&row.material, "HSS", "turn").is_ok());
            assert!(speed_for(&row.material, &row.tool, &row.operation).is_ok());
            rows += 1;
        }
        assert!(rows > 200);
        for rule in &RULES.rows {
            assert!(0.0 < rule.low_factor && rule.low_factor <= rule.high_factor);
            assert!(rule.high_factor <= 1.0);
        }
    }

    #[test]
    fn other_words_lead_to_words_of_the_table() {
        for word in &WORDS.rows {
            let (tool, operation) = match word.kind.as_str() {
                "tool" => (word.name.as_str(), "turn"),
                _ => ("HSS", word.name.as_str()),
            };
            let found = speed_for("mild steel", tool, operation);
            assert!(found.is_ok(), "{}", word.name);
        }
        assert_eq!(WORDS.rows.len(), 38);
    }

    #[test]
    fn unknown_words_list_the_known_ones() {
        for (material, tool, operation, index, says) in [
            ("mild stel", "HSS", "turn", 0, "did you mean `mild steel`?"),
            ("", "HSS", "turn", 0, "`mild steel`"),
            ("beech", "HSS", "turn", 0, "no material `beech`"),
            (
                "mild steel",
                "diamond",
                "turn",
                1,
                "it has `HSS`, `carbide` and `carbon steel`",
            ),
            ("mild steel", "HSSS", "turn", 1, "did you mean `HSS`?"),
            ("mild steel", "HSS", "turm", 2, "did you mean `turn`?"),
            ("mild steel", "HSS", "", 2, "`turn`, `mill`, `drill`"),
            ("PTFE", "HSS", "ream", 2, "; write the cutting speed itself"),
            (
                "mild steel",
                "carbide",
                "ream",
                2,
                "for these it has `turn`, `mill`, `drill` and `part`",
            ),
        ] {
            let fault = speed_for(material, tool, operation).unwrap_err();
            assert!(fault.to_string().contains(says), "{fault}");
            assert_eq!(fault.argument, Some(index));
        }
    }
}
