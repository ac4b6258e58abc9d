//! Every function is documented, and every native one has its code.

use std::collections::HashSet;

use setover::internals::language::{Contract, Function, Value, library, native, native_names};
use setover::internals::quantity::parse_unit;

/// What is missing from a function's documentation.
fn missing(function: &Function) -> Vec<String> {
    let doc = match function.doc() {
        Ok(doc) => doc,
        Err(fault) => return vec![fault.message.clone()],
    };
    let ready = match function.ready() {
        Ok(ready) => ready,
        Err(fault) => return vec![fault.message.clone()],
    };
    let mut missing = Vec::new();
    let mut want = |there: bool, what: &str| {
        if !there {
            missing.push(what.to_owned());
        }
    };
    want(!function.topic.is_empty(), "a topic");
    want(!doc.description.is_empty(), "a description");
    want(!doc.source.is_empty(), "a source");
    want(!doc.examples.is_empty(), "an example");
    for (expression, printed) in &doc.examples {
        want(
            !printed.is_empty() && expression.contains(function.name),
            &format!("a call and its value in the example `{expression}`"),
        );
    }
    for (condition, message) in &doc.requires {
        want(!message.is_empty(), &format!("a message for `{condition}`"));
    }
    let documented: Vec<&str> = doc.parameters.iter().map(|p| &*p.name).collect();
    let parameters: Vec<&str> = ready.parameters.iter().map(|name| &**name).collect();
    want(
        documented == parameters,
        &format!("documentation of {parameters:?} in that order, found {documented:?}"),
    );
    for parameter in &doc.parameters {
        want(
            !parameter.meaning.is_empty(),
            &format!("a meaning of `{}`", parameter.name),
        );
    }
    let (kind, rest) = doc.gives.split_once(" in ").unwrap_or((&doc.gives, ""));
    want(
        !kind.is_empty() && Contract::read(kind).is_ok(),
        &format!("a kind in `gives: {}`", doc.gives),
    );
    want(
        rest.is_empty() || parse_unit(rest).is_ok(),
        &format!("a unit in `gives: {}`", doc.gives),
    );
    missing
}

fn is_native(function: &Function) -> bool {
    function.definition.trim_end().ends_with("= native")
}

#[test]
fn every_function_is_documented() {
    let mut wrong = Vec::new();
    for function in library().all() {
        for missing in missing(function) {
            wrong.push(format!(
                "library/functions/{}:{}: {} lacks {missing}",
                function.file, function.line, function.name
            ));
        }
    }
    println!("{} functions", library().all().len());
    assert!(library().all().len() > 150);
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn no_two_functions_have_one_name() {
    let mut names = HashSet::new();
    for function in library().all() {
        assert!(
            names.insert(function.name),
            "two functions {}",
            function.name
        );
    }
    let mut natives = HashSet::new();
    for name in native_names() {
        assert!(natives.insert(name), "two natives {name}");
    }
}

#[test]
fn natives_and_their_documentation_belong_together() {
    let mut count = 0;
    for function in library().all().iter().filter(|f| is_native(f)) {
        assert!(
            native(function.name).is_some(),
            "{} has no code",
            function.name
        );
        count += 1;
    }
    for name in native_names() {
        let function = library().get(name);
        let function = function.unwrap_or_else(|| panic!("{name} is not documented"));
        assert!(
            is_native(function),
            "{name} is documented with another body"
        );
    }
    println!("{count} native functions");
    assert_eq!(count, native_names().count());
}

#[test]
fn every_file_of_functions_is_built_in() {
    let files: HashSet<&str> = library().all().iter().map(|f| f.file).collect();
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/library/functions");
    let mut count = 0;
    for entry in std::fs::read_dir(folder).expect("the folder of functions") {
        let name = entry.expect("an entry").file_name();
        let name = name.to_string_lossy();
        assert!(
            files.contains(&*name),
            "{name} is not among the files built in"
        );
        count += 1;
    }
    assert_eq!(count, files.len());
}

/// The call at the head of an example: `limits(12 mm, "H7")` of `limits(12 mm, "H7").upper`.
fn call_in<'e>(example: &'e str, name: &str) -> &'e str {
    let start = example
        .find(&format!("{name}("))
        .expect("a call in the example");
    let mut depth = 0;
    for (index, c) in example[start..].char_indices() {
        match c {
            '(' => depth += 1,
            ')' if depth == 1 => return &example[start..=start + index],
            ')' => depth -= 1,
            _ => {}
        }
    }
    panic!("`{example}` has no closing bracket")
}

#[test]
fn every_field_of_a_record_and_column_of_a_table_is_documented() {
    let (mut count, mut wrong) = (0, Vec::new());
    for function in library().all() {
        let doc = function.doc().expect("documentation that can be read");
        let kind = doc.gives.split_whitespace().next().unwrap_or_default();
        // What a table of holes becomes has the columns of the table that was given, a row of a
        // table the columns of that table.
        let of_table = [
            "moved",
            "turned",
            "mirrored",
            "table_row",
            "table_range",
            "table_rows",
        ];
        let as_given = of_table.contains(&function.name);
        if !["record", "table"].contains(&kind) || as_given {
            continue;
        }
        let call = call_in(&doc.examples[0].0, function.name);
        let given: Vec<String> = match crate::evaluated::value(call) {
            Ok(Value::Record(record)) => record
                .fields
                .iter()
                .map(|(name, _)| name.to_string())
                .collect(),
            Ok(Value::Table(table)) => table.columns.iter().map(ToString::to_string).collect(),
            other => panic!("{call}: {other:?}"),
        };
        let documented: Vec<String> = doc
            .fields
            .iter()
            .map(|field| field.name.to_string())
            .collect();
        if given != documented {
            wrong.push(format!(
                "{}: gives {given:?}, documents {documented:?}",
                function.name
            ));
        }
        for field in &doc.fields {
            count += 1;
            if field.kind.is_empty() || field.meaning.is_empty() {
                wrong.push(format!(
                    "{}: `.{}` lacks its kind or its meaning",
                    function.name, field.name
                ));
            }
        }
        if let Some(lead) = &doc.counts_as
            && !documented.contains(&lead.to_string())
        {
            wrong.push(format!(
                "{} counts as `{lead}`, which it has not",
                function.name
            ));
        }
        if let Some(called) = &doc.said_as
            && !documented.contains(&called.to_string())
        {
            wrong.push(format!(
                "{} is said as `{called}`, which it has not",
                function.name
            ));
        }
    }
    println!("{count} fields");
    assert!(count > 250, "{count}");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
