//! Tolerance zones.

use crate::markup::{Picture, near};
use crate::pages::{page, pictures, sheet};

/// 12 H7/g6.
///
/// Source: ISO 286-2:2010, Tables 6 and 17: over 10 to 18 mm, H7 is +18/0 and g6
/// is -6/-17 micrometres.
const FIT: &str = "bore = 12 mm (+0.018/0)\njournal = 12 mm (-0.006/-0.017)\n\
                   draw fit(hole: bore, shaft: journal)\n";

#[test]
fn zones_stand_to_scale_against_the_zero_line() {
    let picture = Picture::of(&pictures(&page(FIT))[0]);
    let (hole, shaft) = (picture.points("hole"), picture.points("shaft"));
    let reach = |points: &[(f64, f64)]| {
        let low = points.iter().map(|p| p.1).fold(f64::NEG_INFINITY, f64::max);
        let high = points.iter().map(|p| p.1).fold(f64::INFINITY, f64::min);
        (-low, -high)
    };
    let (hole, shaft) = (reach(&hole), reach(&shaft));
    let unit = hole.1 / 18.0;
    assert!(unit > 0.5);
    near(hole.0, 0.0);
    near(shaft.1, -6.0 * unit);
    near(shaft.0, -17.0 * unit);
    let texts = picture.texts();
    for wanted in [
        "+0.018", "12.018", "0", "12", "−0.006", "11.994", "−0.017", "11.983", "bore", "journal",
    ] {
        assert!(
            texts.iter().any(|text| text == wanted),
            "{wanted} in {texts:?}"
        );
    }
    // Greatest clearance 18 + 17, least 0 + 6 micrometres.
    assert!(page(FIT).contains("Clearance fit: clearance 0.006 to 0.035."));
}

#[test]
fn a_reading_stands_in_its_zone() {
    let text = format!("{FIT}measured bore = 12.011 mm\n");
    let picture = Picture::of(&pictures(&page(&text))[0]);
    let top = picture
        .points("hole")
        .iter()
        .map(|p| -p.1)
        .fold(0.0, f64::max);
    let line = picture.lines("p")[0];
    near(-line[1], top * 11.0 / 18.0);
    assert!(picture.texts().iter().any(|text| text == "12.011"));
}

#[test]
fn the_kind_of_fit_is_named() {
    // ISO 286-2: 25 p6 is +35/+22, k6 +15/+2; 25 H7 is +21/0.
    let press = page("draw fit(25 mm (+0.021/0), 25 mm (+0.035/+0.022))\n");
    assert!(
        press.contains("Interference fit: interference 0.001 to 0.035."),
        "{press}"
    );
    let push = page("draw fit(25 mm (+0.021/0), 25 mm (+0.015/+0.002))\n");
    assert!(push.contains("Transition fit: interference 0.015 to clearance 0.019."));
}

#[test]
fn the_terminal_shows_zones_in_characters() {
    use setover::internals::sheet::{TerminalStyle, terminal};
    let look = TerminalStyle {
        width: 80,
        colour: false,
    };
    let text = terminal(&sheet(FIT), look);
    for wanted in [
        "+0.018 (hole 12.018)",
        "-0.017 (shaft 11.983)",
        "######",
        "0 -",
    ] {
        assert!(text.contains(wanted), "{wanted} in {text}");
    }
    // The shaft's zone stands below the zero line.
    let line = |words: &str| text.lines().position(|line| line.contains(words));
    assert!(line("0 -") < line("(shaft 11.994)"));
    assert!(line("(shaft 11.994)") < line("(shaft 11.983)"));
}
