//! What was meant by a line that can't be understood: the same line as it must be
//! written, tried before it is offered.

mod ways;

use super::workspace::Workspace;
use crate::diagnostic::{Diagnostic, Severity};
use crate::language::{Function, library};
use crate::quantity::parse_unit;
use crate::syntax::{StatementKind, parse_statement};
use ways::{defined, list_of_unit, minutes, of_unit, plainly, wanted_unit, with_class};

/// The longest line that is looked at.
const LONGEST: usize = 200;
/// Steps that trying one way of writing it may take.
const STEPS: u64 = 20_000;

/// Words before a unit that ask for it to be shown in that unit.
const SHOWN_AS: &[&str] = &[" in ", " to ", " into ", " -> ", " => ", " as a "];

impl Workspace {
    /// Returns how a line that can't be understood must be written; none where nothing
    /// that works comes near. What is returned has been worked out.
    #[must_use]
    pub fn meant_by_line(&self, line: &str) -> Option<String> {
        let line = line.trim();
        if line.is_empty() || line.len() > LONGEST || line.contains('\n') {
            return None;
        }
        let plain = plainly(line);
        let mut ways = vec![plain.clone()];
        ways.extend(self.shown_as(&plain));
        ways.extend(minutes(&plain));
        ways.extend(self.called(&plain));
        ways.extend(self.quoted(&plain));
        ways.extend(with_class(&plain));
        ways.extend(of_unit(&plain));
        ways.extend(list_of_unit(&plain));
        ways.extend(defined(&plain));
        ways.push(format!("thread(\"{line}\")"));
        let found = ways
            .into_iter()
            .find(|way| way.as_str() != line && self.works(way));
        found.or_else(|| {
            let (name, right) = line.split_once('=')?;
            let named = name.trim().chars().all(|c| c.is_alphanumeric() || c == '_');
            let way = self.meant_by_line(right).filter(|way| !way.contains('='))?;
            (named && !name.trim().is_empty()).then(|| format!("{} = {way}", name.trim()))
        })
    }

    /// Adds to what is wrong with a line how it must be written, where nothing better is
    /// known.
    pub(crate) fn advise_line(&self, wrong: &mut Diagnostic, line: &str) {
        if let Some(advice) = &mut wrong.advice
            && !advice.contains(", such as")
        {
            advice.push_str(&example_of(advice).unwrap_or_default());
        }
        let vague = wrong.advice.as_ref().is_none_or(|advice| {
            let spelled_out = !wrong.label.is_empty() && advice.starts_with("write ");
            let rough = ["to multiply write", "would define one"];
            let number = line.contains('[') && advice.starts_with("give the number its unit");
            spelled_out || number || rough.iter().any(|words| advice.contains(words))
        });
        if vague
            && wrong.severity == Severity::Error
            && let Some(way) = self.meant_by_line(line)
        {
            wrong.advice = Some(format!("write `{way}`"));
        }
    }

    /// Adds to a name that nothing defines how it is defined, where nothing better is
    /// known.
    pub(crate) fn advise_definition(wrong: &mut Diagnostic) {
        if let (None, Some(name)) = (&wrong.advice, &wrong.unknown) {
            wrong.advice = Some(format!("`{name} = 12 mm` on a line of its own defines it"));
        }
    }

    /// Returns whether a line has a value, or defines a cell that has one.
    fn works(&self, line: &str) -> bool {
        if self.evaluate(line, &[], STEPS).is_ok() {
            return true;
        }
        let Ok(StatementKind::Cell(_, formula)) = parse_statement(line) else {
            return false;
        };
        let expression = line.split_once('=').map_or("", |(_, right)| right);
        self.size_limits(&formula).is_some() || self.evaluate(expression, &[], STEPS).is_ok()
    }

    /// Returns `12 mm in inch` as `12 mm as inch`.
    fn shown_as(&self, line: &str) -> Option<String> {
        SHOWN_AS.iter().find_map(|word| {
            let (formula, unit) = line.rsplit_once(word)?;
            let unit = unit.trim();
            let known = parse_unit(unit).is_ok();
            known.then(|| format!("{} as {unit}", formula.trim()))
        })
    }

    /// Words that call a function without its signs: `tapping drill M8`, `sin 30`, `M8
    /// tapping drill`.
    fn called(&self, line: &str) -> Vec<String> {
        let words: Vec<&str> = line.split_whitespace().collect();
        let mut found = Vec::new();
        for count in (1..=words.len().min(5)).rev() {
            for start in [0, words.len() - count] {
                let (Some(name), Some(before), Some(after)) = (
                    words.get(start..start + count),
                    words.get(..start),
                    words.get(start + count..),
                ) else {
                    continue;
                };
                let name = name.join("_").to_lowercase();
                let name = name.trim_end_matches(['(', ':', '=']);
                if let Some(function) = library().get(name) {
                    let rest = [before, after].concat().join(" ");
                    found.extend(self.call(function, &rest));
                }
            }
        }
        // Blanks within a name, brackets behind it.
        if let Some((name, rest)) = line.split_once('(') {
            let name = name.trim().replace([' ', '-'], "_").to_lowercase();
            found.push(format!("{name}({rest}"));
            if let Some(function) = library().get(&name) {
                found.extend(self.call(function, rest.trim_end_matches(')')));
            }
        }
        found
    }

    /// Returns a call with arguments as somebody wrote them: texts get their quotes, numbers the
    /// unit that is wanted.
    fn call(&self, function: &Function, rest: &str) -> Option<String> {
        let rest = rest.trim().trim_start_matches(['=', ':', '(']);
        let doc = function.doc().ok()?;
        let arguments = rest.split(',').map(str::trim).enumerate();
        let arguments: Vec<String> = arguments
            .filter(|(_, argument)| !argument.is_empty())
            .map(|(place, argument)| {
                let contract = doc.parameters.get(place).map(|taken| &taken.contract);
                let unit = contract.and_then(|contract| wanted_unit(&contract.text));
                match self.evaluate(argument, &[], STEPS) {
                    Ok(_) if argument.parse::<f64>().is_ok() => match unit {
                        Some(unit) => format!("{argument} {unit}"),
                        None => argument.to_owned(),
                    },
                    Ok(_) => argument.to_owned(),
                    Err(_) => format!("\"{}\"", argument.trim_matches(['"', '\''])),
                }
            })
            .collect();
        Some(format!("{}({})", function.name, arguments.join(", ")))
    }

    /// Returns the same with a word that is no name in quotes: `2 * thread(M8).pitch`.
    fn quoted(&self, line: &str) -> Option<String> {
        let start = line.find('(')? + 1;
        let end = line.rfind(')')?;
        let (before, inside, after) = (line.get(..start)?, line.get(start..end)?, line.get(end..)?);
        let arguments = inside.split(',').map(str::trim);
        let arguments: Vec<String> = arguments
            .map(|argument| match self.evaluate(argument, &[], STEPS) {
                Ok(_) => argument.to_owned(),
                Err(_) => format!("\"{}\"", argument.trim_matches(['"', '\''])),
            })
            .collect();
        Some(format!("{before}{}{after}", arguments.join(", ")))
    }
}

/// Returns an example of the function whose call an advice spells out.
fn example_of(advice: &str) -> Option<String> {
    let (name, _) = advice.strip_prefix("write ")?.split_once('(')?;
    let doc = library().get(name)?.doc().ok()?;
    let (example, _) = doc.examples.first()?;
    // The call alone: what is read of its record is another matter.
    let end = example.rfind(')')? + 1;
    let example = example.get(..end)?;
    Some(format!(", such as `{example}`"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(line: &str, expected: Option<&str>) {
        let found = Workspace::default().meant_by_line(line);
        assert_eq!(found.as_deref(), expected, "{line}");
    }

    #[test]
    fn what_is_offered_works_as_it_stands() {
        check("tapping drill M8", Some("tapping_drill(\"M8\")"));
        check("M8 tapping drill", Some("tapping_drill(\"M8\")"));
        check("tapping_drill(M8)", Some("tapping_drill(\"M8\")"));
        check("tapping drill(\"M8\")", Some("tapping_drill(\"M8\")"));
        check("sin 30", Some("sin(30 deg)"));
        check("sqrt 2", Some("sqrt(2)"));
        check("√2", Some("sqrt(2)"));
        check(
            "speed_for(mild steel, HSS, turn)",
            Some("speed_for(\"mild steel\", \"HSS\", \"turn\")"),
        );
        check(
            "spindle_speed(30, 25)",
            Some("spindle_speed(30 m/min, 25 mm)"),
        );
        check("2 * thread(M8).pitch", Some("2 * thread(\"M8\").pitch"));
        check("12 mm in inch", Some("12 mm as inch"));
        check("1 in to mm", Some("1 in as mm"));
        check("what is 12 mm in inches?", Some("12 mm as inches"));
        check("=2+3", Some("2+3"));
        check("2+3=", Some("2+3"));
        check("3 x 4 mm", Some("3 * 4 mm"));
        check("12 ÷ 4", Some("12 / 4"));
        check("2 ** 3", Some("2 ^ 3"));
        check("25 millimeters", Some("25 mm"));
        check("12 MM", Some("12 mm"));
        check("100 SFM", Some("100 ft/min"));
        check("30 deg 15 min", Some("30°15'"));
        check("bore: 12 mm", Some("bore = 12 mm"));
        check("bore 12 mm H7", Some("bore = 12 mm H7"));
        check("let bore = 12 mm", Some("bore = 12 mm"));
        check("M8", Some("thread(\"M8\")"));
        check("1/4-20 UNC", Some("thread(\"1/4-20 UNC\")"));
        check("x = sin 30", Some("x = sin(30 deg)"));
        check("limits(\"12 H7\")", Some("limits(12 mm, \"H7\")"));
        check("limits(\"1.5 in H7\")", Some("limits(1.5 in, \"H7\")"));
        check("fit(\"12 H7/g6\")", Some("fit(12 mm, \"H7/g6\")"));
        check("half_angle(\"MT2\")", None);
        check("wall + 3 mm", None);
        check("(1 + 2) mm", Some("(1 + 2) * 1 mm"));
        check("[10, 20] + 3 mm", Some("[10, 20] mm + 3 mm"));
        check("wall - 3 mm", None);
        check("hello", None);
        check("", None);
        check("((((", None);
    }

    #[test]
    fn any_line_is_looked_at_without_harm() {
        for line in [
            "(",
            ")",
            ")(",
            "√",
            "= =",
            "a,b",
            "°",
            "x x x",
            "let ",
            "what is ?",
            "-> in",
            "µ µ",
        ] {
            let _ = Workspace::default().meant_by_line(line);
        }
    }
}
