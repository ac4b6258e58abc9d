//! What the notebooks tell a machinist to do is possible on the machines of the
//! workshop's notebook, and what holds the work is checked.

use std::collections::HashMap;

use serde_json::Value as Json;

use super::shell::{folder, notebooks, run};

/// A notebook's rows, from its JSON.
struct Sheet {
    name: String,
    rows: Vec<Json>,
}

impl Sheet {
    fn of(name: &str) -> Self {
        let folder = folder();
        let done = run(
            &format!("setover run --as json notebooks/{name}"),
            folder.path(),
        );
        let sheet: Json = serde_json::from_str(&done.printed).expect("JSON");
        let sections = sheet["sections"].as_array().expect("sections");
        let rows = sections
            .iter()
            .flat_map(|section| section["rows"].as_array().expect("rows").clone());
        Self {
            name: name.to_owned(),
            rows: rows.collect(),
        }
    }

    fn kind(&self, kind: &str) -> impl Iterator<Item = &Json> {
        self.rows.iter().filter(move |row| row["kind"] == kind)
    }

    /// A length in millimetres by its name; a record counts by its length.
    fn length(&self, name: &str) -> f64 {
        let row = self.rows.iter().find(|row| row["name"] == name);
        let row = row.unwrap_or_else(|| panic!("{} has no {name}", self.name));
        let value = &row["value"];
        value
            .as_f64()
            .or_else(|| value["length"].as_f64())
            .unwrap_or_else(|| panic!("{}: {name} is {value}", self.name))
    }

    /// Whether an op says one of these words.
    fn says(&self, words: &[&str]) -> bool {
        self.kind("op").any(|op| {
            let text = op["text"].as_str().unwrap_or_default();
            words.iter().any(|word| text.contains(word))
        })
    }

    /// Whether a check's formula has one of these names.
    fn checks(&self, names: &[&str]) -> bool {
        self.kind("check").any(|check| {
            let formula = check["formula"].as_str().unwrap_or_default();
            let words: Vec<&str> = formula
                .split(|c: char| !c.is_alphanumeric() && c != '_')
                .collect();
            names.iter().any(|name| words.contains(name))
        })
    }
}

fn numbers(row: &Json) -> Vec<f64> {
    let list = row["value"].as_array().expect("a list");
    list.iter().filter_map(Json::as_f64).collect()
}

/// The speeds, and the longest travel, of the workshop's machines.
fn machines() -> (Vec<f64>, f64) {
    let shop = Sheet::of("workshop.job");
    let list = |name: &str| {
        let row = shop.rows.iter().find(|row| row["name"] == name);
        numbers(row.unwrap_or_else(|| panic!("no {name}")))
    };
    let mut speeds = list("lathe_speeds");
    speeds.extend(list("mill_speeds"));
    (speeds, shop.length("lathe_long").max(shop.length("mill_x")))
}

fn all() -> Vec<Sheet> {
    let names = notebooks().into_iter().map(|path| {
        let name = path.file_name().expect("a name").to_string_lossy();
        name.into_owned()
    });
    names.map(|name| Sheet::of(&name)).collect()
}

/// Source: own derivation: the speeds and travels are those of workshop.job.
#[test]
fn every_number_of_an_op_is_within_the_machines_range() {
    let (speeds, longest) = machines();
    let (mut seen, mut ops) = (0, 0);
    for sheet in all() {
        for op in sheet.kind("op") {
            ops += 1;
            let units = op["unit"].as_array().expect("units");
            let values = op["value"].as_array().expect("values");
            for (value, unit) in values.iter().zip(units) {
                let Some(value) = value.as_f64() else {
                    continue;
                };
                let place = || format!("{}: {value} {unit} in {}", sheet.name, op["text"]);
                seen += 1;
                match unit.as_str() {
                    Some("rpm") => assert!(speeds.contains(&value), "{}", place()),
                    Some("mm") => assert!(value.abs() <= longest && value != 0.0, "{}", place()),
                    Some("deg") => assert!(value.abs() <= 360.0, "{}", place()),
                    Some("mm/min") => assert!((5.0..=600.0).contains(&value), "{}", place()),
                    _ => {}
                }
            }
        }
    }
    println!("{seen} numbers in {ops} ops");
    assert!(seen > 150 && ops > 70, "{seen} numbers, {ops} ops");
}

/// Notebook, what is sawn or bought, what comes out of it, the least to clean up.
const BLANKS: [(&str, &str, &str, f64); 15] = [
    ("azimuth-screw.job", "blank", "overall", 20.0),
    ("azimuth-screw.job", "bar", "head", 2.0),
    ("clutch-lever.job", "blank", "centres", 20.0),
    ("clutch-lever.job", "wide", "boss", 4.0),
    ("counterweight.job", "blank", "long", 3.0),
    ("counterweight.job", "bar", "outside", 4.0),
    ("cutter-arbor.job", "blank", "overall", 2.0),
    ("cutter-arbor.job", "bar", "collar", 3.0),
    ("declination-shaft.job", "blank", "overall", 24.0),
    ("declination-shaft.job", "bar", "flange", 3.0),
    ("saddle-dovetail.job", "blank", "long", 4.0),
    ("setting-circle.job", "bar", "grip", 3.0),
    ("setting-circle.job", "slab", "thick", 2.0),
    ("worm-wheel.job", "blank_bar", "rim_top", 3.0),
    ("worm-wheel.job", "thick", "rim", 1.5),
];

#[test]
fn blanks_are_larger_than_the_parts() {
    let sheets: HashMap<String, Sheet> = all()
        .into_iter()
        .map(|sheet| (sheet.name.clone(), sheet))
        .collect();
    for (notebook, blank, part, spare) in BLANKS {
        let sheet = &sheets[notebook];
        let (from, to) = (sheet.length(blank), sheet.length(part));
        assert!(
            from >= to + spare - 1e-9,
            "{notebook}: {part} {to} out of {blank} {from}"
        );
        assert!(
            sheet.checks(&[blank]) || sheet.checks(&["corner"]),
            "{notebook} does not check {blank}"
        );
    }
}

#[test]
fn what_holds_the_work_is_checked() {
    let mut held = 0;
    for sheet in all() {
        let chucked = sheet.says(&["Chuck", "chuck", "jaws", "Vice", "the vice"]);
        let grips = ["grip", "jaw_grip", "held", "pack"];
        if chucked {
            held += 1;
            assert!(
                sheet.checks(&grips),
                "{}: work is gripped, and no check says how far",
                sheet.name
            );
        }
        if sheet.says(&["standing out", "tailstock up"]) {
            let out = ["slender", "stand_out", "grip"];
            assert!(
                sheet.checks(&out),
                "{}: no check of what stands out",
                sheet.name
            );
        }
        // What stays closed carries the tool on: the run-off must hold it.
        if sheet.says(&["half nuts stay closed", "half nuts closed"]) {
            assert!(sheet.checks(&["run_off"]), "{}: no run-off", sheet.name);
        }
        if sheet.says(&["the top slide;", "Swing the top slide"]) {
            assert!(sheet.checks(&["top_slide"]), "{}: no travel", sheet.name);
        }
    }
    assert!(held >= 7, "{held} notebooks grip work");
}

/// A bar is chucked short only where the rest goes into the headstock: common practice,
/// no source.
#[test]
fn a_bar_chucked_short_goes_through_the_spindle() {
    let bore = Sheet::of("workshop.job").length("spindle_bore");
    let (mut short, mut long) = (0, 0);
    for sheet in all() {
        if !sheet.says(&["standing out", "chuck it on all"]) {
            continue;
        }
        let bar = sheet.length("bar");
        if sheet.says(&["standing out"]) {
            short += 1;
            assert!(
                bar < bore,
                "{}: {bar} mm in a bore of {bore} mm",
                sheet.name
            );
            assert!(
                sheet.checks(&["spindle_bore"]),
                "{} has no check",
                sheet.name
            );
        } else {
            // It is held by all of the jaws, and what stands out is short for its width.
            long += 1;
            let out = sheet.length("blank") - Sheet::of("workshop.job").length("jaws");
            assert!(out <= 2.5 * bar, "{}: {out} mm of {bar} mm", sheet.name);
        }
    }
    assert!(
        short >= 2 && long >= 1,
        "{short} chucked short, {long} long"
    );
}

/// Where the lathe runs back, the sheet says what that does to a screwed-on chuck.
#[test]
fn running_back_has_its_caution() {
    let folder = folder();
    let mut found = 0;
    for sheet in all() {
        if !sheet.says(&["half nuts", "in reverse", "runs back"]) {
            continue;
        }
        found += 1;
        let name = &sheet.name;
        let done = run(&format!("setover run notebooks/{name}"), folder.path());
        let words: Vec<&str> = done.printed.split_whitespace().collect();
        let text = words.join(" ");
        let said = text.find("screwed-on chuck can unscrew itself");
        let said = said.unwrap_or_else(|| panic!("{name} does not say it"));
        // The op itself comes after the values, in which the dial's advice is printed too.
        let ops = text
            .rfind("half nuts closed")
            .or(text.rfind("close the half nuts"));
        assert!(
            ops.is_none_or(|ops| said < ops),
            "{name}: said after the op"
        );
    }
    assert!(found >= 3, "{found} notebooks cut threads");
}

/// The names alone in braces of an op: `{journal}`, not `{2 * journal}`.
fn names(formula: &str) -> Vec<&str> {
    let braces = formula.split('{').skip(1);
    let inside = braces.filter_map(|rest| rest.split('}').next());
    inside
        .filter(|name| name.chars().all(|c| c.is_alphanumeric() || c == '_'))
        .collect()
}

/// Source: ISO 286-1:2010 (from memory): a part is good between its limits.
#[test]
fn sizes_in_ops_are_ones_that_parts_may_have() {
    let mut seen = 0;
    for sheet in all() {
        for op in sheet.kind("op") {
            for name in names(op["formula"].as_str().unwrap_or_default()) {
                let rows = sheet.rows.iter().filter(|row| row["name"] == name);
                for row in rows {
                    let face = |face: &str| row[face].as_f64();
                    let (Some(low), Some(high)) = (face("low"), face("high")) else {
                        continue;
                    };
                    // A record that counts as a number, such as a blank, shows its fields here.
                    let Some(value) = face("value") else {
                        continue;
                    };
                    let well = (low - 1e-9..=high + 1e-9).contains(&value);
                    assert!(well, "{}: {name} is {value}: {}", sheet.name, op["text"]);
                    seen += 1;
                }
            }
        }
    }
    assert!(seen >= 10, "{seen} sizes with limits in ops");
}
