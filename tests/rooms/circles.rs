//! Which source file takes names from which, and the circles among them.
//!
//! A path in the code (`crate::a::B`, `super::c`, `child::D`) is followed through the
//! modules and what they hand on (`pub use`) to the file that defines it. A module that
//! only declares its children or hands on their names takes nothing from them.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

/// A module's path within the crate; the crate itself is empty.
type Module = Vec<String>;

/// One import: the name it has in the module and the path that it stands for.
struct Import {
    /// `*` for all that a module has.
    name: String,
    path: Vec<String>,
}

/// One source file.
#[derive(Default)]
struct Source {
    file: PathBuf,
    defined: BTreeSet<String>,
    imports: Vec<Import>,
    /// Paths in the code, imports that are not handed on among them.
    used: Vec<Vec<String>>,
}

/// The words and signs of a source text, `::` being one, without remarks, texts and items
/// under `#[cfg(test)]`.
fn tokens(text: &str) -> Vec<String> {
    let signs: Vec<char> = text.chars().collect();
    let at = |place: usize| signs.get(place).copied().unwrap_or(' ');
    let mut found: Vec<String> = Vec::new();
    let mut place = 0;
    while place < signs.len() {
        let sign = at(place);
        let word = |sign: char| sign.is_alphanumeric() || sign == '_';
        if sign == '/' && at(place + 1) == '/' {
            while place < signs.len() && at(place) != '\n' {
                place += 1;
            }
        } else if sign == '/' && at(place + 1) == '*' {
            while place < signs.len() && !(at(place) == '*' && at(place + 1) == '/') {
                place += 1;
            }
            place += 2;
        } else if sign == '"' {
            let raw = found.last().is_some_and(|word| word == "r" || word == "#");
            let fence = found.iter().rev().take_while(|word| *word == "#").count();
            place += 1;
            while place < signs.len() {
                let closed =
                    at(place) == '"' && (!raw || (1..=fence).all(|past| at(place + past) == '#'));
                place += if at(place) == '\\' && !raw { 2 } else { 1 };
                if closed {
                    break;
                }
            }
        } else if sign == '\'' {
            // A sign in quotes; else a lifetime.
            if at(place + 1) == '\\' {
                place += 2;
                while place < signs.len() && at(place + 1) != '\'' {
                    place += 1;
                }
                place += 2;
            } else if at(place + 2) == '\'' {
                place += 3;
            } else {
                place += 1;
            }
        } else if sign == ':' && at(place + 1) == ':' {
            found.push("::".to_owned());
            place += 2;
        } else if word(sign) {
            let start = place;
            while word(at(place)) {
                place += 1;
            }
            found.push(signs[start..place].iter().collect());
        } else {
            if !sign.is_whitespace() {
                found.push(sign.to_string());
            }
            place += 1;
        }
    }
    without_tests(found)
}

/// Leaves out what stands under `#[cfg(test)]`: to its closing brace or semicolon.
fn without_tests(tokens: Vec<String>) -> Vec<String> {
    let mark = ["#", "[", "cfg", "(", "test", ")", "]"];
    let mut kept = Vec::new();
    let mut place = 0;
    while place < tokens.len() {
        if tokens[place..].len() >= mark.len()
            && tokens[place..place + mark.len()].iter().eq(mark.iter())
        {
            let mut depth = 0;
            place += mark.len();
            while place < tokens.len() {
                match &*tokens[place] {
                    "{" => depth += 1,
                    "}" => depth -= 1,
                    _ => {}
                }
                let ends = depth == 0 && matches!(&*tokens[place], "}" | ";");
                place += 1;
                if ends {
                    break;
                }
            }
        } else {
            kept.push(tokens[place].clone());
            place += 1;
        }
    }
    kept
}

/// Reads the tree behind `use` from `place` on, and gives the place behind it.
fn use_tree(
    tokens: &[String],
    mut place: usize,
    before: &[String],
    found: &mut Vec<Import>,
) -> usize {
    let mut path = before.to_vec();
    loop {
        match tokens.get(place).map(|token| &**token) {
            Some("{") => {
                place += 1;
                while tokens.get(place).is_some_and(|token| token != "}") {
                    place = use_tree(tokens, place, &path, found);
                    if tokens.get(place).is_some_and(|token| token == ",") {
                        place += 1;
                    }
                }
                return place + 1;
            }
            Some("::") => place += 1,
            Some("as") => {
                let name = tokens.get(place + 1).cloned().unwrap_or_default();
                found.push(Import { name, path });
                return place + 2;
            }
            Some("*") => {
                found.push(Import {
                    name: "*".to_owned(),
                    path,
                });
                return place + 1;
            }
            Some("self") if !path.is_empty() => place += 1,
            Some("," | ";" | "}") | None => {
                let name = path.last().cloned().unwrap_or_default();
                found.push(Import { name, path });
                return place;
            }
            Some(word) => {
                path.push(word.to_owned());
                place += 1;
            }
        }
    }
}

impl Source {
    fn read(file: &Path, text: &str) -> Self {
        let tokens = tokens(text);
        let mut source = Self {
            file: file.to_path_buf(),
            ..Self::default()
        };
        let mut words: BTreeSet<String> = BTreeSet::new();
        let mut handed_on = Vec::new();
        let mut place = 0;
        while place < tokens.len() {
            let token = &*tokens[place];
            let next = tokens.get(place + 1);
            if token == "use" && next.is_some_and(|sign| sign != "<") {
                let public = place > 0 && matches!(&*tokens[place - 1], "pub" | ")");
                let first = source.imports.len();
                place = use_tree(&tokens, place + 1, &[], &mut source.imports);
                for import in &source.imports[first..] {
                    if public {
                        handed_on.push((import.name.clone(), import.path.clone()));
                    } else {
                        source.used.push(import.path.clone());
                    }
                }
                continue;
            }
            if matches!(
                token,
                "fn" | "struct" | "enum" | "trait" | "type" | "const" | "static" | "macro_rules"
            ) {
                let name = next.filter(|word| *word != "!").or(tokens.get(place + 2));
                source.defined.extend(name.cloned());
            }
            let starts = place == 0 || tokens[place - 1] != "::";
            let mut path = Vec::new();
            while starts && tokens.get(place + 1).is_some_and(|sign| sign == "::") {
                path.push(tokens[place].clone());
                place += 2;
            }
            if !path.is_empty() {
                path.extend(tokens.get(place).cloned());
                words.insert(path[0].clone());
                source.used.push(path);
            } else if tokens[place].starts_with(|sign: char| sign.is_alphabetic() || sign == '_') {
                words.insert(tokens[place].clone());
            }
            place += 1;
        }
        // What is handed on and used here as well is taken.
        for (name, path) in handed_on {
            if words.contains(&name) {
                source.used.push(path);
            }
        }
        source
    }
}

/// The modules of the crate.
struct House {
    modules: BTreeMap<Module, Source>,
}

impl House {
    /// Reads the files of `src` with their texts: `a/b.rs` is the module `a::b`.
    fn read(files: &[(PathBuf, String)]) -> Self {
        let modules = files.iter().filter_map(|(file, text)| {
            let below = file.strip_prefix("src").ok()?.with_extension("");
            let module: Module = below
                .components()
                .map(|part| part.as_os_str().to_string_lossy().into_owned())
                .collect();
            match &*module.join("/") {
                "main" => None,
                "lib" => Some((Module::new(), Source::read(file, text))),
                _ => Some((module, Source::read(file, text))),
            }
        });
        Self {
            modules: modules.collect(),
        }
    }

    /// Returns the module whose file defines what `path` names in the module `from`.
    fn definer(&self, from: &Module, path: &[String], depth: usize) -> Option<Module> {
        let mut module = from.clone();
        for (place, step) in path.iter().enumerate() {
            match &**step {
                "crate" => module.clear(),
                "self" => {}
                "super" => {
                    module.pop();
                }
                name => {
                    let mut child = module.clone();
                    child.push(name.to_owned());
                    if self.modules.contains_key(&child) {
                        module = child;
                        continue;
                    }
                    let source = self.modules.get(&module)?;
                    if source.defined.contains(name) {
                        return Some(module);
                    }
                    if depth == 0 {
                        return None;
                    }
                    return source.imports.iter().find_map(|import| {
                        let mut whole = import.path.clone();
                        if import.name == "*" {
                            whole.push(name.to_owned());
                        } else if import.name != name {
                            return None;
                        }
                        whole.extend_from_slice(&path[place + 1..]);
                        self.definer(&module, &whole, depth - 1)
                    });
                }
            }
        }
        (module != *from).then_some(module)
    }

    /// Returns what each module takes from others: the name and the module that defines it.
    fn arrows(&self) -> BTreeMap<&Module, BTreeMap<Module, BTreeSet<String>>> {
        let mut arrows: BTreeMap<&Module, BTreeMap<Module, BTreeSet<String>>> = BTreeMap::new();
        for (module, source) in &self.modules {
            let taken = arrows.entry(module).or_default();
            for path in &source.used {
                if let Some(definer) = self.definer(module, path, 3)
                    && definer != *module
                    && self.modules.contains_key(&definer)
                {
                    let name = path.last().cloned().unwrap_or_default();
                    taken.entry(definer).or_default().insert(name);
                }
            }
        }
        arrows
    }
}

/// Returns the circles of files: each set in which every file takes names from every
/// other one, be it through others, with the arrows that lie within it.
pub fn circles(files: &[(PathBuf, String)]) -> Vec<(Vec<PathBuf>, Vec<String>)> {
    let house = House::read(files);
    let arrows = house.arrows();
    let reached = |start: &Module| {
        let mut seen: BTreeSet<&Module> = BTreeSet::new();
        let mut open: Vec<&Module> = arrows[start].keys().collect();
        while let Some(module) = open.pop() {
            if seen.insert(module) {
                open.extend(arrows[module].keys());
            }
        }
        seen
    };
    let reach: BTreeMap<&Module, BTreeSet<&Module>> = arrows
        .keys()
        .map(|module| (*module, reached(module)))
        .collect();
    let mut done: BTreeSet<&Module> = BTreeSet::new();
    let mut found = Vec::new();
    for (module, seen) in &reach {
        let circle: Vec<&Module> = seen
            .iter()
            .copied()
            .filter(|other| reach[other].contains(module))
            .collect();
        if circle.len() < 2 || !done.insert(module) {
            continue;
        }
        done.extend(&circle);
        let mut ties = Vec::new();
        for from in &circle {
            for (to, names) in &arrows[*from] {
                if circle.contains(&to) {
                    let names: Vec<&str> = names.iter().map(|name| &**name).collect();
                    ties.push(format!(
                        "{} -> {}: {}",
                        from.join("/"),
                        to.join("/"),
                        names.join(", ")
                    ));
                }
            }
        }
        let files = circle
            .iter()
            .map(|module| house.modules[*module].file.clone())
            .collect();
        found.push((files, ties));
    }
    found
}

#[test]
fn a_circle_is_seen_through_groups_paths_and_what_is_handed_on() {
    let file = |name: &str, text: &str| (Path::new("src").join(name), text.to_owned());
    let files = [
        file("lib.rs", "mod a; mod b; mod c; mod d;"),
        file(
            "a.rs",
            "use crate::{b::{self, B}, c::C as See}; pub struct A(B, See);",
        ),
        file(
            "b.rs",
            "pub struct B; fn it() { crate::c::of(\"crate::d::D\"); }",
        ),
        file(
            "c.rs",
            "mod inner; pub use inner::C; pub fn of() -> char { '\"' }",
        ),
        file("c/inner.rs", "use super::super::a::A; pub struct C;"),
        file(
            "d.rs",
            "pub struct D; // crate::a::A\n#[cfg(test)]\nmod tests { use crate::a::A; }",
        ),
    ];
    let found = circles(&files);
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(
        found[0].0,
        ["src/a.rs", "src/c/inner.rs"].map(PathBuf::from)
    );
    // With one more arrow the circle has a third file.
    let mut more = files;
    more[2].1 += " fn that() -> crate::c::C {}";
    assert_eq!(circles(&more)[0].0.len(), 3);
}
