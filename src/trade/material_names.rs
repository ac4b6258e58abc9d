//! Which row of a table the name of a material means.

use serde::Deserialize;

use crate::diagnostic::Fault;
use crate::trade::table::table;
use crate::trade::words::{plain, unknown};

/// The table that a name is looked up for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Wanted {
    /// Density, expansion, stiffness and cutting force.
    Properties,
    /// Cutting speeds.
    Speeds,
}

#[derive(Deserialize)]
struct Row {
    name: String,
    material: String,
    speeds_under: String,
}

table!(NAMES: Row = "material_names");

/// Returns a name as it is compared: without case, hyphens, and the other spelling of
/// aluminium and grey.
fn key(name: &str) -> String {
    plain(&name.replace(['-', '_'], " "))
        .replace("aluminum", "aluminium")
        .replace("gray", "grey")
}

/// Returns the row that a name means, out of the rows the table has.
///
/// # Errors
/// A fault that lists the rows and names the nearest.
pub(crate) fn resolve<'a>(name: &str, wanted: Wanted, known: &[&'a str]) -> Result<&'a str, Fault> {
    if let Some(found) = known.iter().copied().find(|known| *known == name) {
        return Ok(found);
    }
    let asked = key(name);
    let row = |wanted: &str| known.iter().copied().find(|known| key(known) == wanted);
    if let Some(found) = row(&asked) {
        return Ok(found);
    }
    let means = NAMES
        .rows
        .iter()
        .find(|row| row.name == name || key(&row.name) == asked)
        .map(|row| match wanted {
            Wanted::Speeds if !row.speeds_under.is_empty() => row.speeds_under.as_str(),
            _ => row.material.as_str(),
        });
    if let Some(found) = means.and_then(|material| row(&key(material))) {
        return Ok(found);
    }
    let place = match wanted {
        Wanted::Properties => "the table of materials",
        Wanted::Speeds => "the table of cutting speeds",
    };
    let names = NAMES.rows.iter().map(|row| row.name.as_str());
    let otherwise = "write one of these, or the value itself";
    let fault = unknown(("material", name), place, known, names, otherwise);
    // A name that is understood needs no other, but its material has no row here.
    Err(match means {
        Some(_) => fault.advise(otherwise),
        None => fault,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_not_given_twice() {
        for (index, row) in NAMES.rows.iter().enumerate() {
            let twice = NAMES
                .rows
                .iter()
                .skip(index + 1)
                .any(|other| key(&other.name) == key(&row.name));
            assert!(!twice, "{}", row.name);
        }
    }

    #[test]
    fn spelling_does_not_matter() {
        let known = ["aluminium alloy 6082", "grey cast iron", "mild steel"];
        for (name, means) in [
            ("Aluminum", "aluminium alloy 6082"),
            ("6082-T6", "aluminium alloy 6082"),
            ("GRAY cast-iron", "grey cast iron"),
            ("ci", "grey cast iron"),
            (" Mild  Steel ", "mild steel"),
            ("EN3B", "mild steel"),
        ] {
            assert_eq!(resolve(name, Wanted::Speeds, &known), Ok(means), "{name}");
        }
    }

    #[test]
    fn an_unknown_name_lists_the_rows() {
        let known = ["mild steel", "copper"];
        let fault = resolve("mild stel", Wanted::Properties, &known).unwrap_err();
        assert!(fault.message.contains("`mild steel` and `copper`"));
        assert_eq!(fault.advice.as_deref(), Some("did you mean `mild steel`?"));
        assert!(resolve("", Wanted::Properties, &known).is_err());
        assert!(resolve("brass", Wanted::Properties, &known).is_err());
        assert!(resolve(&"é".repeat(10_000), Wanted::Speeds, &known).is_err());
    }
}
