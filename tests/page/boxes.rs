//! No text in a picture covers another, and all stand inside it.

use roxmltree::Node;

use crate::letters::width;
use crate::markup::{Picture, number};
use crate::pages::{notebooks, page_of_file, pictures};

/// The size of the letters in the page's style.
const SIZE: f64 = 4.9;

type Corners = [(f64, f64); 4];

/// The corners of a text: figures are 0.71 of the size high; half a millimetre of
/// touching is allowed where the letters can't meet.
fn corners(text: &Node) -> Corners {
    let words = text.text().unwrap_or_default();
    let (x, y) = (number(text, "x"), number(text, "y"));
    let wide = width(words) * SIZE;
    let left = match text.attribute("text-anchor") {
        Some("middle") => -wide / 2.0,
        Some("end") => -wide,
        _ => 0.0,
    };
    let turn = text.attribute("transform").map_or(0.0, |transform| {
        let inner = transform.trim_start_matches("rotate(");
        let angle = inner.split(' ').next().unwrap_or("0");
        angle.parse::<f64>().expect("an angle").to_radians()
    });
    let (low, high) = (0.0, -0.71 * SIZE);
    let flat = [
        (left, low),
        (left + wide, low),
        (left + wide, high),
        (left, high),
    ];
    flat.map(|(dx, dy)| {
        (
            x + dx * turn.cos() - dy * turn.sin(),
            y + dx * turn.sin() + dy * turn.cos(),
        )
    })
}

/// Whether some line parallel to a side separates two rectangles.
fn apart(a: &Corners, b: &Corners) -> bool {
    [a, b].iter().any(|sides| {
        [(0, 1), (1, 2)].iter().any(|(from, to)| {
            let (dx, dy) = (sides[*to].0 - sides[*from].0, sides[*to].1 - sides[*from].1);
            let length = dx.hypot(dy).max(1e-9);
            let along = |c: &Corners| c.map(|(x, y)| (x * dx + y * dy) / length);
            let reach = |c: &Corners| {
                let along = along(c);
                let low = along.iter().copied().fold(f64::INFINITY, f64::min);
                let high = along.iter().copied().fold(f64::NEG_INFINITY, f64::max);
                (low, high)
            };
            let (a, b) = (reach(a), reach(b));
            a.1 <= b.0 + 0.05 || b.1 <= a.0 + 0.05
        })
    })
}

#[track_caller]
pub fn check(name: &str, picture: &str) -> usize {
    Picture::of(picture).read(|svg| {
        let view: Vec<f64> = svg
            .attribute("viewBox")
            .expect("a viewBox")
            .split(' ')
            .map(|n| n.parse().expect("a number"))
            .collect();
        let texts: Vec<(String, Corners)> = svg
            .descendants()
            .filter(|n| n.has_tag_name("text"))
            .map(|n| (n.text().unwrap_or_default().to_owned(), corners(&n)))
            .collect();
        for (index, (words, a)) in texts.iter().enumerate() {
            for (x, y) in a {
                let inside = *x >= view[0] - 0.1
                    && *x <= view[0] + view[2] + 0.1
                    && *y >= view[1] - 0.1
                    && *y <= view[1] + view[3] + 0.1;
                assert!(inside, "{name}: `{words}` stands outside the picture");
            }
            for (other, b) in &texts[index + 1..] {
                assert!(apart(a, b), "{name}: `{words}` and `{other}` overlap");
            }
        }
        texts.len()
    })
}

#[test]
fn no_text_covers_another_in_any_notebook() {
    let mut seen = (0, 0);
    for notebook in notebooks() {
        let (_, page) = page_of_file(&notebook);
        for picture in pictures(&page) {
            seen.0 += 1;
            seen.1 += check(&notebook.display().to_string(), &picture);
        }
    }
    println!("{} texts in {} pictures", seen.1, seen.0);
    assert!(seen.0 >= 10, "only {} pictures were looked at", seen.0);
}

/// Where a lever is small on its sheet, the flank's angle stands beside it.
#[test]
fn the_angle_of_a_flank_stands_clear_of_the_flank() {
    let seen = std::cell::Cell::new(0);
    for notebook in notebooks() {
        let (_, page) = page_of_file(&notebook);
        for picture in pictures(&page) {
            if !picture.contains("tangent") {
                continue;
            }
            let drawing = Picture::of(&picture);
            let touches = drawing.circles("tangent");
            let pairs = touches
                .iter()
                .flat_map(|a| touches.iter().map(move |b| (a, b)));
            // The flanks run between the ends, on one side of the middle line.
            let flanks = pairs.filter(|(a, b)| a.0 + 1.0 < b.0 && a.1 * b.1 > 0.0);
            let flanks: Vec<_> = flanks.collect();
            assert_eq!(flanks.len(), 2);
            drawing.read(|svg| {
                let texts = svg.descendants().filter(|node| node.has_tag_name("text"));
                let mut angle = texts.filter(|text| text.text().unwrap_or_default().ends_with('°'));
                // Ends of one size have parallel flanks.
                let Some(angle) = angle.next_back() else {
                    return;
                };
                seen.set(seen.get() + 1);
                let corners = corners(&angle);
                for (a, b) in &flanks {
                    let between = |x: f64| (a.0..=b.0).contains(&x);
                    let sides: Vec<bool> = corners
                        .iter()
                        .filter(|(x, _)| between(*x))
                        .map(|(x, y)| (b.0 - a.0) * (y - a.1) - (b.1 - a.1) * (x - a.0) > 0.0)
                        .collect();
                    let one_side = sides.windows(2).all(|pair| pair[0] == pair[1]);
                    assert!(
                        one_side,
                        "{}: the flank crosses its angle",
                        notebook.display()
                    );
                }
            });
        }
    }
    assert!(seen.get() >= 2, "only {} levers were looked at", seen.get());
}

#[test]
fn overlapping_texts_would_be_seen() {
    let a = [(0.0, 0.0), (10.0, 0.0), (10.0, -3.5), (0.0, -3.5)];
    let b = a.map(|(x, y)| (x + 8.0, y + 2.0));
    let c = a.map(|(x, y)| (x + 8.0, y + 4.0));
    assert!(!apart(&a, &b));
    assert!(apart(&a, &c));
}
