//! Trees back to text, in a form that parses to the same tree.

use std::fmt::Write;

use super::print_expression::{
    joined, print_expression, print_find, print_formula, print_range, print_steps, write_arguments,
};
use super::{Expression, Formula, Kind, OpPart, Operator, STATEMENT_WORDS, StatementKind};
use crate::quantity::{Style, System};

/// Returns a statement as text.
#[must_use]
pub fn print_statement(statement: &StatementKind) -> String {
    match statement {
        StatementKind::Title(text) => format!("title {text}"),
        StatementKind::Lengths(systems) => {
            let words = systems
                .iter()
                .map(|s| if *s == System::Metric { "mm" } else { "inch" });
            format!("lengths {}", words.collect::<Vec<_>>().join(", "))
        }
        StatementKind::Angles(Style::DegreesMinutesSeconds) => "angles dms".to_owned(),
        StatementKind::Angles(_) => "angles deg".to_owned(),
        StatementKind::Readout(step) => format!("readout {}", print_expression(step)),
        StatementKind::Use { file, alias } if file.text == alias.text => {
            format!("use {}", file.text)
        }
        StatementKind::Use { file, alias } => format!("use \"{}\" as {}", file.text, alias.text),
        StatementKind::Section(heading) => format!("[{heading}]"),
        StatementKind::Cell(name, formula) => format!("{} = {}", name.text, print_formula(formula)),
        StatementKind::Function(name, parameters, formula) => {
            let parameters: Vec<String> = parameters
                .iter()
                .map(|p| match &p.default {
                    Some(default) => format!("{}: {}", p.name.text, print_expression(default)),
                    None => p.name.text.to_string(),
                })
                .collect();
            format!(
                "{}({}) = {}",
                name.text,
                parameters.join(", "),
                print_formula(formula)
            )
        }
        StatementKind::Measured(name, value) => {
            format!("measured {} = {}", name.text, print_expression(value))
        }
        StatementKind::Aim(name, value) => {
            format!("aim {} = {}", name.text, print_expression(value))
        }
        StatementKind::Check(condition) => format!("check {}", print_expression(condition)),
        StatementKind::Op(parts) => {
            format!("op {}", print_op_parts(parts))
        }
        StatementKind::OpEach(each) => {
            let over = print_expression(&each.over);
            let colon = if each.parts.is_empty() { "" } else { ": " };
            let parts = print_op_parts(&each.parts);
            format!("op for {} over {over}{colon}{parts}", each.name.text)
        }
        StatementKind::Table(name, columns, rows) => {
            let mut out = format!("table {}\n|", name.text);
            for column in columns {
                let _ = match &column.formula {
                    Some(formula) => write!(
                        out,
                        " {} = {} |",
                        column.name.text,
                        print_expression(formula)
                    ),
                    None => write!(out, " {} |", column.name.text),
                };
            }
            for row in rows {
                out.push_str("\n|");
                for cell in &row.cells {
                    let _ = write!(
                        out,
                        " {} |",
                        cell.as_ref().map(print_expression).unwrap_or_default()
                    );
                }
            }
            out
        }
        StatementKind::Vary(name, ranges, shown) => {
            let name = name
                .as_ref()
                .map_or(String::new(), |name| format!("{} = ", name.text));
            let ranges = ranges.iter().map(|range| {
                let path: Vec<&str> = range.path.iter().map(|name| &*name.text).collect();
                format!("{} {}", path.join("."), print_range(&range.range))
            });
            format!(
                "{name}vary {} show {}",
                ranges.collect::<Vec<_>>().join(" and "),
                joined(shown)
            )
        }
        StatementKind::Find(find) => print_find(find),
        StatementKind::Draw(draw) => print_draw(draw),
        StatementKind::Bare(formula) => {
            let text = print_formula(formula);
            // A leading sign changes nothing, and tells a formula from a section's
            // heading and from the definition of a cell or a function.
            let sign = if reads_otherwise(formula) { "+" } else { "" };
            format!("{sign}{text}")
        }
    }
}

/// Returns whether a formula by itself, on one line, reads as another statement.
fn reads_otherwise(formula: &Formula) -> bool {
    let expression = &formula.expression;
    let other = matches!(expression.kind, Kind::List(..) | Kind::Find(_));
    let first = &expression.leftmost().kind;
    let word = matches!(first, Kind::Name(name) if STATEMENT_WORDS.contains(&&**name));
    other || word || begins_as_definition(expression)
}

/// Returns whether an expression begins as the definition of a cell or a function does.
fn begins_as_definition(expression: &Expression) -> bool {
    match &expression.kind {
        Kind::Chain(first, links) => {
            matches!(first.kind, Kind::Name(_) | Kind::Call(..))
                && matches!(links.first(), Some((Operator::Equal, _)))
                || begins_as_definition(first)
        }
        Kind::As(value, _) | Kind::Styled(value, _) => begins_as_definition(value),
        _ => false,
    }
}

fn print_draw(draw: &super::Draw) -> String {
    let mut out = format!("draw {}", draw.picture.text);
    if !draw.arguments.is_empty() {
        out.push('(');
        write_arguments(&mut out, &draw.arguments);
        out.push(')');
    }
    let names = |names: &[super::Name], between| {
        let names: Vec<&str> = names.iter().map(|name| &*name.text).collect();
        names.join(between)
    };
    let parts = [
        (" of ", joined(&draw.subjects)),
        (" over ", names(&draw.over, ".")),
        (
            " ",
            draw.steps.as_deref().map(print_steps).unwrap_or_default(),
        ),
        (" with ", names(&draw.options, ", ")),
    ];
    for (word, part) in parts.iter().filter(|(_, part)| !part.is_empty()) {
        out.push_str(word);
        out.push_str(part);
    }
    out
}

fn print_op_parts(parts: &[OpPart]) -> String {
    let parts = parts.iter().map(|part| match part {
        OpPart::Text(text) => text.replace('{', "{{").replace('}', "}}"),
        OpPart::Value(value) => format!("{{{}}}", print_expression(value)),
    });
    parts.collect()
}

#[cfg(test)]
mod tests {
    use super::super::parse_statement;
    use super::*;

    /// Parsing, printing and parsing again gives the same tree.
    #[track_caller]
    fn check(text: &str) {
        let tree = parse_statement(text).unwrap_or_else(|wrong| panic!("{text}: {wrong:?}"));
        let printed = print_statement(&tree);
        let again =
            parse_statement(&printed).unwrap_or_else(|wrong| panic!("{printed}: {wrong:?}"));
        assert_eq!(tree, again, "{text} became {printed}");
    }

    #[test]
    fn every_statement_survives_printing() {
        for text in [
            "title Clutch lever, declination axis {1}",
            "lengths mm, inch",
            "angles dms",
            "readout 0.005 mm",
            "use declination-shaft as shaft",
            "use workshop",
            "[Rotary table]",
            "bore = shaft.journal H7",
            "tip = 20 mm (+0.02/-0.01)",
            "tip = 20 mm (0/-0.013)",
            "tip = 3 in ±1/64",
            "tip = 3 in (+1/64/-0)",
            "tip = 3 in (+2/0)",
            "tip = 3 mm (0/-0)",
            "tip = 3 mm (+0/0)",
            "tip = 30° ±3030\"",
            "tip = 30° ±5'30\"",
            "tip = slope ±0'27\"",
            "tip = 30° ±1°5'",
            "a = b ^ + 1 3/8 in",
            "+ title < a + 1 kg",
            "op> 12 in = b",
            "+ table n8",
            "+ check.low[1] as mm",
            "a = b / + 1/2 in ^ 2",
            "a = b / + 1/2 in ±0.1",
            "tip = -3 mm (+0.1/0)",
            "tip = 30° ±15'",
            "tip = 30° (+15'30\"/-10\")",
            "tip = 5 mm/mm + (2 as in/in)",
            "tip = 4 ft 3 1/2 in + Ø16 mm + 2-5/16 in",
            "centres = 64 mm ±0.05",
            "centres = 2 1/2\" +-0.002",
            "a = -2^2 + 2^3^2 * -x",
            "a = 1 3/8 in + 3/8\" + 1/2 in",
            "a = 2°51'27\" + 30° + 2°30'",
            "a = [45, 80, 125] rpm",
            "a = if x < 3 mm then 1 else if x >= 4 mm then 2 else 3",
            "a = not (x = 1) and 3 mm <= wall < 5 mm or y != 2",
            "a = pitch_circle(count: 6, diameter: 80 mm).x[2]",
            "a = x as fraction 1/64",
            "a = (x as dms)",
            "a = x as readout",
            "a = x as N*mm/rad",
            "wall(outside, inside: 10 mm) = (outside - c) / 2 where c = inside, d = c",
            "measured bore = 12.011 mm",
            "aim bore = 12.012 mm",
            "check (boss - bore) / 2 >= 4 mm",
            "op Move Y to {offset}, lock {{X}} 90° 3/8\".",
            "op for hole over holes: Drill {hole.size} at X {hole.x}.",
            "op for hole over sort(holes, \"x\")",
            "op for the last cut use the fine feed",
            "vary cutter over 8 mm, 10 mm show offset, rpm",
            "vary a.cutter from 8 mm to 12 mm by 1 mm and b over 1, 2 show offset",
            "find skim between 0 mm and 1 mm so that web - 2 * skim = 7.6 mm",
            "x = find y between 0 and 1 so that y^2 = 0.5",
            "x = rows for k from 1 to 6 by 1",
            "x = rows for d over cuts starting t = 0 mm, u = 1 with t = before.t + d, u = t / 2 unless t < d or d = 1 mm",
            "x = f((rows for d over 1 mm, 2 mm with e = d), 2).e where r = 3",
            "rows = 3",
            "x = rows + for",
            "table holes\n| hole | x | pilot = f(x) |\n| \"a\" | 2 mm | |\n| \"b\" | c | |",
            "draw holes of flange",
            "draw holes of shaft.flange with chords",
            "draw turned profile of spindle with half view, lengths",
            "draw lever(big: boss, small: tip + 2 mm, centres: 64 mm ±0.05)",
            "draw graph of offset, rpm / 2 over shaft.cutter",
            "draw graph of sag over overhang from 10 mm to 60 mm by 5 mm",
            "draw",
            "draw = 3 mm",
            "draw(1)",
            "table = 3",
            "check = 4 mm",
            "weight_round(20 mm, 50 mm, \"mild steel\")",
            "a = \"say \\\"hi\\\" \\\\ x\"",
            "a = thread(\"M8x1\").pitch * 75 % / 1e-3",
            "a = -20 degC",
            "a = 5 mm·2×x",
        ] {
            check(text);
        }
    }
}
