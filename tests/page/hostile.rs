//! Text of a notebook never becomes markup.

use crate::markup::tags;
use crate::pages::{page_of, pictures, sheet};

/// Texts that would do harm where they were not escaped.
const NASTY: &[&str] = &[
    "</svg><script>alert(1)</script>",
    "\\\"><img src=x onerror=alert(1)>",
    "' onload='alert(1)",
    "</title></style><svg onload=alert(1)>",
    "<!-- --><![CDATA[ ]]>",
    "&lt;script&gt;&#60;script&#62;",
    "a\u{202e}b\u{1}c\u{8}d",
];

fn notebook(nasty: &str) -> String {
    format!(
        "title {nasty}\n\
         [Holes {nasty_heading}]\n\
         a = 3 mm # {nasty}\n\
         word = \"{nasty}\"\n\
         table plate\n| hole | x | y | size |\n| \"{nasty}\" | 1 mm | 2 mm | 3 mm |\n| word | 9 mm | 2 mm | 3 mm |\n\
         draw holes of plate with chords # {nasty}\n\
         table rod\n| step | diameter | length |\n| \"{nasty}\" | 8 mm | 9 mm |\n\
         draw turned profile of rod # {nasty}\n\
         op {nasty} {{word}} {nasty}\n\
         check a > 2 mm # {nasty}\n\
         b = wrong(\"{nasty}\")\n\
         {nasty}\n",
        nasty_heading = nasty.replace(['[', ']'], ""),
    )
}

#[test]
fn hostile_text_stays_text() {
    let plain = tags(&page_of(&sheet(&notebook("harmless text"))));
    for nasty in NASTY {
        let page = page_of(&sheet(&notebook(nasty)));
        let mut found = tags(&page);
        for (tag, own) in [("script", 1), ("img", 0), ("link", 0), ("iframe", 0)] {
            let count = found.iter().filter(|name| *name == tag).count();
            assert_eq!(count, own, "{nasty} became <{tag}>");
        }
        // The same elements as with harmless text, up to the list of errors.
        found.retain(|name| !["li", "span", "ul", "a", "b"].contains(&name.as_str()));
        let mut wanted = plain.clone();
        wanted.retain(|name| !["li", "span", "ul", "a", "b"].contains(&name.as_str()));
        assert_eq!(found, wanted, "{nasty}");
        assert!(
            !page.chars().any(|c| c.is_control() && c != '\n'),
            "{nasty}"
        );
        for picture in pictures(&page) {
            roxmltree::Document::parse(&picture).unwrap_or_else(|error| panic!("{nasty}: {error}"));
        }
    }
}

#[test]
fn hostile_file_names_stay_text() {
    let mut found = sheet("a = 3 mm\n");
    found.file = "<script>alert(1)</script>&\".job".to_owned();
    let page = page_of(&found);
    let scripts = tags(&page).iter().filter(|name| *name == "script").count();
    assert_eq!(scripts, 1, "the page's own");
    assert!(page.contains("&lt;script&gt;alert(1)&lt;/script&gt;&amp;"));
}

/// Sizes that no paper holds: words in place of a drawing without numbers.
#[test]
fn sizes_beyond_all_bounds_are_told_in_words() {
    let page = page_of(&sheet(
        "table h\n| hole | x | y | diameter |\n| \"a\" | -1.7e308 mm | 0 mm | 1e308 mm |\n| \"b\" | 1.7e308 mm | 1e308 mm | 1e308 mm |\ndraw holes of h with chords\n",
    ));
    tags(&page);
    assert!(!page.contains("NaN"), "{page}");
    assert!(
        page.contains("too far apart, or too large, for any paper"),
        "{page}"
    );
}
