//! Whether a page is well formed, and what a picture holds.

use roxmltree::{Document, Node};

/// Elements of HTML that have no end tag.
const VOID: &[&str] = &["meta", "input", "link", "br", "hr", "img", "wbr"];

/// The tags of a page in order; fails where they do not nest, an attribute is not
/// quoted, or a `<` or `&` stands bare.
#[track_caller]
pub fn tags(page: &str) -> Vec<String> {
    let rest = page
        .strip_prefix("<!DOCTYPE html>")
        .expect("it begins with its type");
    let mut open: Vec<String> = Vec::new();
    let mut seen = Vec::new();
    let mut rest = rest;
    while let Some(start) = rest.find('<') {
        entities(&rest[..start]);
        rest = &rest[start + 1..];
        let end = tag_end(rest);
        let tag = &rest[..end];
        rest = &rest[end + 1..];
        if let Some(name) = tag.strip_prefix('/') {
            let last = open.pop();
            assert_eq!(
                last.as_deref(),
                Some(name),
                "`</{name}>` closes another element"
            );
            continue;
        }
        let closed = tag.ends_with('/');
        let tag = tag.trim_end_matches('/');
        let name: String = tag.chars().take_while(|c| !c.is_whitespace()).collect();
        assert!(
            !name.is_empty() && name.chars().all(|c| c.is_ascii_alphanumeric()),
            "`<{tag}>` is no tag"
        );
        attributes(tag[name.len()..].trim());
        seen.push(name.clone());
        if ["style", "script"].contains(&name.as_str()) {
            let close = format!("</{name}>");
            let end = rest.find(&close).expect("it is closed");
            rest = &rest[end + close.len()..];
        } else if !closed && !VOID.contains(&name.as_str()) {
            open.push(name);
        }
    }
    assert!(open.is_empty(), "{open:?} are not closed");
    seen
}

/// Where a tag ends: at the first `>` outside quotes.
fn tag_end(text: &str) -> usize {
    let mut quoted = false;
    for (index, c) in text.char_indices() {
        match c {
            '"' => quoted = !quoted,
            '>' if !quoted => return index,
            '<' => panic!("a bare `<` in a tag: {}", &text[..index]),
            _ => {}
        }
    }
    panic!("a tag does not end");
}

/// Attributes: a name, or a name and a quoted value.
fn attributes(mut text: &str) {
    let mut names: Vec<&str> = Vec::new();
    while !text.is_empty() {
        let end = text.find(['=', ' ', '\n']).unwrap_or(text.len());
        let name = &text[..end];
        assert!(
            name.chars().all(|c| c.is_ascii_alphanumeric() || c == '-'),
            "`{name}` is no attribute"
        );
        assert!(!name.starts_with("on"), "`{name}` would run a script");
        assert!(!names.contains(&name), "`{name}` is given twice");
        names.push(name);
        text = text[end..].trim_start_matches([' ', '\n']);
        if let Some(value) = text.strip_prefix('=') {
            let value = value.strip_prefix('"').expect("a value is quoted");
            let end = value.find('"').expect("a quote is closed");
            entities(&value[..end]);
            text = value[end + 1..].trim_start();
        }
    }
}

/// Every `&` begins an entity.
fn entities(text: &str) {
    for part in text.split('&').skip(1) {
        let name = part.split(';').next().unwrap_or("");
        assert!(
            part.contains(';') && ["amp", "lt", "gt", "quot", "apos"].contains(&name),
            "a bare `&` before `{part}`"
        );
    }
}

/// A picture as a tree.
pub struct Picture {
    text: String,
}

/// A circle: middle and radius.
pub type Circle = (f64, f64, f64);

impl Picture {
    pub fn of(text: &str) -> Self {
        Self {
            text: text.to_owned(),
        }
    }

    pub fn read<T>(&self, read: impl FnOnce(Node) -> T) -> T {
        let document = Document::parse(&self.text).expect("it is well-formed XML");
        read(document.root_element())
    }

    /// The scale that the picture says it has.
    pub fn scale(&self) -> f64 {
        self.read(|svg| number(&svg, "data-scale"))
    }

    /// The circles of a class.
    pub fn circles(&self, class: &str) -> Vec<Circle> {
        self.read(|svg| {
            elements(svg, "circle", class)
                .map(|c| (number(&c, "cx"), number(&c, "cy"), number(&c, "r")))
                .collect()
        })
    }

    /// The points of the first polygon or polyline of a class.
    pub fn points(&self, class: &str) -> Vec<(f64, f64)> {
        self.read(|svg| {
            let found = svg
                .descendants()
                .find(|n| ["polygon", "polyline"].contains(&n.tag_name().name()) && has(n, class))
                .unwrap_or_else(|| panic!("no `{class}` in {}", self.text));
            let points = found.attribute("points").unwrap_or_default();
            points
                .split_whitespace()
                .map(|pair| {
                    let (x, y) = pair.split_once(',').expect("a pair");
                    (x.parse().expect("a number"), y.parse().expect("a number"))
                })
                .collect()
        })
    }

    /// The numbers in the `d` of the first path of a class, with its letters.
    pub fn path(&self, class: &str) -> (String, Vec<f64>) {
        self.read(|svg| {
            let path = elements(svg, "path", class).next().expect("a path");
            let d = path.attribute("d").unwrap_or_default();
            let letters = d.chars().filter(char::is_ascii_alphabetic).collect();
            let spaced: String = d
                .chars()
                .map(|c| if c.is_ascii_alphabetic() { ' ' } else { c })
                .collect();
            let numbers = spaced
                .split_whitespace()
                .map(|n| n.parse().expect("a number"));
            (letters, numbers.collect())
        })
    }

    /// The lines of a class: x1, y1, x2, y2.
    pub fn lines(&self, class: &str) -> Vec<[f64; 4]> {
        self.read(|svg| {
            elements(svg, "line", class)
                .map(|l| ["x1", "y1", "x2", "y2"].map(|name| number(&l, name)))
                .collect()
        })
    }

    /// The middle of a text of several letters that is not turned.
    pub fn place_of(&self, wanted: &str) -> (f64, f64) {
        self.read(|svg| {
            let mut texts = svg.descendants().filter(|n| n.has_tag_name("text"));
            let text = texts.find(|n| n.text() == Some(wanted));
            let text = text.unwrap_or_else(|| panic!("no {wanted}"));
            let half = number(&text, "textLength") / 2.0;
            let left = match text.attribute("text-anchor") {
                Some("middle") => 0.0,
                Some("end") => -half,
                _ => half,
            };
            (number(&text, "x") + left, number(&text, "y") - 1.75)
        })
    }

    /// What is written in the picture.
    pub fn texts(&self) -> Vec<String> {
        self.read(|svg| {
            svg.descendants()
                .filter(|n| n.has_tag_name("text"))
                .map(|n| n.text().unwrap_or_default().to_owned())
                .collect()
        })
    }
}

fn has(node: &Node, class: &str) -> bool {
    let classes = node.attribute("class").unwrap_or_default();
    classes.split(' ').any(|known| known == class)
}

fn elements<'a, 'i>(
    svg: Node<'a, 'i>,
    name: &'static str,
    class: &str,
) -> impl Iterator<Item = Node<'a, 'i>> {
    let class = class.to_owned();
    svg.descendants()
        .filter(move |node| node.has_tag_name(name) && has(node, &class))
}

/// A number of an element.
pub fn number(node: &Node, name: &str) -> f64 {
    let text = node
        .attribute(name)
        .unwrap_or_else(|| panic!("no `{name}`"));
    text.parse()
        .unwrap_or_else(|_| panic!("`{text}` is no number"))
}

/// Whether two numbers agree to the thousandths that a picture is written in.
#[track_caller]
pub fn near(found: f64, expected: f64) {
    assert!(
        (found - expected).abs() < 0.002,
        "{found} is not {expected}"
    );
}
