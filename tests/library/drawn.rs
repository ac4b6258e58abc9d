//! Which arguments want the figure of the drawing: those that select something or fix an
//! angle, which limits and readings must not move. All others take the size in use.

use std::collections::BTreeMap;

use setover::internals::language::library;

/// The functions with their arguments of that kind.
const DRAWN: &[(&str, &[&str])] = &[
    ("angle_indexing", &["angle"]),
    ("best_pin", &["module"]),
    ("change_gears", &["pitch"]),
    ("cutter_set", &["module"]),
    ("drill_under", &["size"]),
    ("fit", &["size"]),
    ("gear_centres", &["module"]),
    ("knurl_blank", &["near"]),
    ("limits", &["size"]),
    ("nearest_drill", &["size"]),
    ("over_pins", &["module"]),
    ("parallel_key", &["diameter"]),
    ("pin_angle", &["module"]),
    ("preferred_fits", &["size"]),
    ("preferred_number", &["number"]),
    ("reaming_drill", &["size"]),
    ("retaining_ring", &["diameter"]),
    ("set_over", &["big", "small", "taper_length"]),
    ("span", &["module"]),
    ("spindle_speed", &["diameter"]),
    ("spur_gear", &["module"]),
    ("standard_tolerance", &["size"]),
    ("t_slot", &["slot"]),
    ("table_range", &["size"]),
    ("taper_rate", &["big", "small", "length"]),
    ("thickness_from_pins", &["module"]),
    ("thickness_from_span", &["module"]),
    ("thread_dial", &["pitch"]),
    ("top_slide_angle", &["big", "small", "length"]),
    ("train_ratio", &["lead"]),
    ("undercut", &["pitch"]),
    ("undercut_internal", &["pitch"]),
    ("worm", &["module"]),
    ("worm_wheel", &["module"]),
];

/// Functions whose sizes are measured, cut to or built up: never the drawing's figure.
const IN_USE: &[&str] = &[
    "roughing_passes",
    "left_to_take",
    "press_fit",
    "keyseat_far_side",
    "keyway_side_depth",
    "diameter_at",
    "small_end",
    "gauge_blocks",
    "pieces_from",
    "module_from_outside",
    "nearest_module",
    "fit_between",
];

#[test]
fn the_arguments_that_want_the_drawn_figure_are_these() {
    let mut marked: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    for function in library().all() {
        let doc = function.doc().expect("documentation that can be read");
        let drawn = doc
            .parameters
            .iter()
            .filter(|parameter| parameter.contract.drawn);
        let names: Vec<String> = drawn.map(|parameter| parameter.name.to_string()).collect();
        if !names.is_empty() {
            marked.insert(function.name, names);
        }
    }
    let listed: BTreeMap<&str, Vec<String>> = DRAWN
        .iter()
        .map(|(name, parameters)| (*name, parameters.iter().map(|p| (*p).to_owned()).collect()))
        .collect();
    assert_eq!(marked, listed);
    for name in IN_USE {
        assert!(library().get(name).is_some(), "no function {name}");
        assert!(!marked.contains_key(name), "{name}");
    }
    // Of a gear the module selects; what was measured over its teeth is the size in use.
    assert_eq!(marked["thickness_from_span"], ["module"]);
}
