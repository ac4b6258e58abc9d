//! Graphs of what-if tables.

use crate::markup::{Picture, near};
use crate::pages::{page, pictures, sheet, wrong};

const SQUARE: &str = "side = 3 mm\narea = side^2\ncheck area <= 20 mm^2\n\
                      draw graph of area over side from 1 mm to 5 mm by 1 mm\n";

#[test]
fn points_stand_where_the_values_say() {
    let picture = Picture::of(&pictures(&page(SQUARE))[0]);
    let points = picture.circles("point");
    assert_eq!(points.len(), 5);
    for (index, point) in points.iter().enumerate() {
        // Equal steps across; the heights rise as 1, 4, 9, 16, 25.
        let step = f64::from(u32::try_from(index).unwrap());
        near(
            point.0 - points[0].0,
            step * (points[4].0 - points[0].0) / 4.0,
        );
        let rise = (step + 1.0).powi(2) - 1.0;
        near(
            points[0].1 - point.1,
            rise * (points[0].1 - points[4].1) / 24.0,
        );
    }
    // The check's limit of 20 is drawn at its height.
    let limit = picture.lines("d")[0];
    near(
        points[0].1 - limit[1],
        19.0 * (points[0].1 - points[4].1) / 24.0,
    );
    let texts = picture.texts();
    for wanted in ["area in mm^2", "side in mm", "≤ 20 mm^2", "1", "5"] {
        assert!(
            texts.iter().any(|text| text == wanted),
            "{wanted} in {texts:?}"
        );
    }
}

#[test]
fn a_graph_takes_the_values_of_a_vary_statement() {
    let text = "side = 3 mm\narea = side^2\ndraw graph of area, side * 4 over side\nvary side over 2 mm, 4 mm show area\n";
    let picture = Picture::of(&pictures(&page(text))[0]);
    assert_eq!(picture.circles("point").len(), 2 * 2);
}

#[test]
fn other_programs_get_the_numbers() {
    let sheet = sheet(SQUARE);
    let json = serde_json::to_value(&sheet).unwrap();
    let row = &json["sections"][0]["rows"][3];
    assert_eq!(row["kind"], "draw");
    assert_eq!(row["value"]["picture"], "graph");
    let rows = row["value"]["rows"].as_array().unwrap();
    assert_eq!(rows.len(), 5);
    assert_eq!(rows[4]["side"], 5.0);
    assert!((rows[4]["area"].as_f64().unwrap() - 25.0).abs() < 1e-9);
    assert_eq!(row["unit"]["rows"][4]["area"], "mm^2");
    assert_eq!(row["value"]["limits"][0]["operator"], "<=");
    let csv = setover::internals::sheet::csv(&sheet);
    assert!(
        csv.contains("graph of area over side from 1 mm to 5 mm by 1 mm.rows[5].side,draw,5"),
        "{csv}"
    );
}

#[test]
fn the_terminal_shows_a_graph_in_characters() {
    use setover::internals::sheet::{TerminalStyle, terminal};
    let text = terminal(
        &sheet(SQUARE),
        TerminalStyle {
            width: 80,
            colour: false,
        },
    );
    assert_eq!(text.matches('*').count(), 5, "{text}");
    assert!(text.contains("≤ 20"));
    let first = text.lines().find(|line| line.contains('*')).unwrap();
    assert!(
        first.trim_end().ends_with('*'),
        "the greatest value stands at the right: {first}"
    );
}

#[test]
fn a_graph_without_values_says_what_to_write() {
    let found = wrong("side = 3 mm\narea = side^2\ndraw graph of area over side\n");
    assert_eq!(
        found,
        [(
            "no `vary` statement varies `side` alone".to_owned(),
            Some("write the values here, as in `over side from 5 mm to 20 mm by 1 mm`".to_owned())
        )]
    );
    let found = wrong("side = 3 mm\ndraw graph of \"area\" over side from 1 mm to 2 mm by 1 mm\n");
    assert!(
        found[0].0.contains("only numbers can be drawn"),
        "{found:?}"
    );
}
