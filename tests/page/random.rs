//! Every kind of picture, drawn of 200 parts taken by chance and of 20 extreme ones:
//! no place that is no number, no label lost, no label over another, the scale true.
//!
//! What is expected comes from the sizes that the part was made of, not from the
//! program: its labels, and the places of its lines in millimetres times the scale.

use crate::boxes;
use crate::markup::Picture;
use crate::pages::sheet;

mod parts;
mod set_ups;
mod threads_and_gears;

/// Numbers by chance, the same in every run (Knuth's linear congruential generator,
/// The Art of Computer Programming, volume 2, 3.3.4, MMIX).
pub struct Chance(u64);

impl Chance {
    fn next(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        f64::from(u32::try_from(self.0 >> 32).unwrap()) / 4_294_967_296.0
    }

    /// A multiple of `step` from `low` to `high`.
    pub fn size(&mut self, low: f64, high: f64, step: f64) -> f64 {
        let steps = ((high - low) / step).floor();
        let taken = low / step + (self.next() * (steps + 1.0)).floor();
        (taken * step * 1e6).round() / 1e6
    }

    /// A whole number from `low` to `high`.
    pub fn count(&mut self, low: u32, high: u32) -> u32 {
        let taken = f64::from(low) + (self.next() * f64::from(high - low + 1)).floor();
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let taken = taken as u32;
        taken.min(high)
    }

    pub fn odds(&mut self) -> bool {
        self.next() < 0.5
    }
}

/// A size as a drawing writes it: no zeros behind its decimals.
pub fn figure(size: f64) -> String {
    let text = format!("{size:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    text.replace('-', "−")
}

/// What is expected of the lines of a picture at its scale.
type Lines = Box<dyn Fn(&Picture, f64)>;

/// A part: its statements, the labels that its picture must have, and what must hold
/// of its lines.
pub struct Part {
    pub text: String,
    pub labels: Vec<String>,
    pub lines: Lines,
}

/// A part of whose picture only the labels are checked.
pub fn labels_only(text: String, labels: Vec<String>) -> Part {
    Part {
        text,
        labels,
        lines: Box::new(|_, _| {}),
    }
}

/// How many parts stand in one notebook.
const TOGETHER: usize = 20;

/// Draws the parts that `part` makes and checks each.
fn all(kind: &str, part: impl Fn(&mut Chance, usize) -> Part) {
    let mut chance = Chance(0x5e70_0e12);
    for round in 0..10 {
        let parts: Vec<Part> = (0..TOGETHER)
            .map(|index| part(&mut chance, round * TOGETHER + index))
            .collect();
        let text: String = parts.iter().map(|part| part.text.as_str()).collect();
        let sheet = sheet(&text);
        let drawn: Vec<_> = sheet
            .rows()
            .filter(|row| row.kind == setover::internals::sheet::RowKind::Draw)
            .collect();
        assert_eq!(drawn.len(), parts.len());
        for (row, part) in drawn.iter().zip(&parts) {
            let name = format!("{kind}: {}", part.text);
            let picture = row.picture.as_ref();
            let picture =
                picture.unwrap_or_else(|| panic!("{name}: {} {:?}", row.status, sheet.errors));
            let drawing = picture.drawn();
            let svg = drawing
                .svg
                .as_ref()
                .unwrap_or_else(|why| panic!("{name}: {why}"));
            sound(&name, svg);
            boxes::check(&name, svg);
            let tree = Picture::of(svg);
            let mut texts = tree.texts();
            texts.push(drawing.caption.clone());
            texts.extend(drawing.table.iter().flat_map(|(_, rows)| rows.concat()));
            for label in &part.labels {
                let found = texts.iter().any(|text| text.contains(label.as_str()));
                assert!(found, "{name}: {label} is lost; there are {texts:?}");
            }
            if let Some(words) = &drawing.scale {
                let scale = tree.scale();
                is_of_the_standard(&name, scale, words);
                // A4 less the margins of the page: 210 - 2 * 14 mm.
                let wide = tree.read(|svg| {
                    let width = svg.attribute("width").unwrap().trim_end_matches("mm");
                    width.parse::<f64>().unwrap()
                });
                assert!(
                    wide <= 182.0,
                    "{name}: {wide} mm wide, so it would be shrunk"
                );
                (part.lines)(&tree, scale);
            }
        }
    }
}

/// A scale of ISO 5455: 1, 2 or 5 times a power of ten to 1, or 1 to that; and the words
/// say it.
fn is_of_the_standard(name: &str, scale: f64, words: &str) {
    let (paper, part) = words.split_once(':').expect("a ratio");
    let (paper, part): (f64, f64) = (paper.parse().unwrap(), part.parse().unwrap());
    assert!(
        (paper / part / scale - 1.0).abs() < 1e-3,
        "{name}: {words} is not {scale}"
    );
    assert!(paper == 1.0 || part == 1.0);
    let mut factor = paper.max(part);
    while factor >= 10.0 {
        factor /= 10.0;
    }
    assert!(
        [1.0, 2.0, 5.0]
            .iter()
            .any(|wanted| (factor - wanted).abs() < 1e-9),
        "{name}: {words}"
    );
}

fn sound(name: &str, svg: &str) {
    for bad in ["NaN", "inf", "no number"] {
        let shown = svg.replace("infeed", "");
        assert!(!shown.contains(bad), "{name}: {bad} in {svg}");
    }
}

/// Draws what may be refused: it is refused in words, or drawn soundly.
fn extreme(kind: &str, statements: &[String]) {
    assert!(statements.len() >= 20, "{kind}: only {}", statements.len());
    let mut drawn = 0;
    for text in statements {
        let name = format!("{kind}: {text}");
        let sheet = sheet(text);
        let mut rows = sheet.rows();
        let Some(row) = rows.find(|row| row.kind == setover::internals::sheet::RowKind::Draw)
        else {
            // What can't even be read is refused as a statement.
            assert!(!sheet.errors.is_empty(), "{name} has no row");
            continue;
        };
        let Some(picture) = &row.picture else {
            assert!(row.status.starts_with("wrong"), "{name}: {}", row.status);
            assert!(!sheet.errors.is_empty(), "{name}");
            continue;
        };
        match picture.drawn().svg {
            Ok(svg) => {
                sound(&name, &svg);
                boxes::check(&name, &svg);
                drawn += 1;
            }
            Err(why) => assert!(why.contains("paper"), "{name}: {why}"),
        }
    }
    assert!(drawn > 0, "{kind}: none of the extreme ones was drawn");
}

/// Twenty lengths from nothing to more than the world has, as they are written.
pub fn lengths() -> Vec<String> {
    let all = [
        "1e-300",
        "1e-12",
        "1e-6",
        "0.0001",
        "0.001",
        "0.01",
        "0.1",
        "1",
        "7.123456789",
        "25.4",
        "99.99",
        "1000",
        "12345.678",
        "1e5",
        "1e7",
        "1e9",
        "1e12",
        "1e30",
        "1e150",
        "1e300",
    ];
    all.map(str::to_owned).to_vec()
}

/// One statement for each of the lengths, put in for `@`.
pub fn with_each(pattern: &str) -> Vec<String> {
    lengths()
        .iter()
        .map(|size| pattern.replace('@', &format!("{size} mm")))
        .collect()
}
