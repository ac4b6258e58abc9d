//! `setover sheet` on the command line.

use std::fs;
use std::process::{Command, Output};

fn setover(arguments: &[&str], folder: &std::path::Path) -> Output {
    Command::new(env!("CARGO_BIN_EXE_setover"))
        .args(arguments)
        .current_dir(folder)
        .env("NO_COLOR", "1")
        .output()
        .expect("the program runs")
}

#[test]
fn a_page_is_written_beside_and_put_in_place() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("pin.job"), "title Pin\nd = 8 mm\n").unwrap();
    let done = setover(&["sheet", "pin.job", "-o", "pin.html"], folder.path());
    assert_eq!(done.status.code(), Some(0));
    assert!(done.stdout.is_empty());
    let page = fs::read_to_string(folder.path().join("pin.html")).unwrap();
    assert!(page.starts_with("<!DOCTYPE html>") && page.ends_with("</html>\n"));
    assert!(page.contains("pin.job, computed 20"));
    // Nothing is left beside it, and others may read it.
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 2);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let mode = fs::metadata(folder.path().join("pin.html"))
            .unwrap()
            .permissions()
            .mode();
        assert_ne!(
            mode & 0o444,
            0o400,
            "the page has the rights of any new file"
        );
    }
}

#[test]
fn without_a_file_the_page_goes_to_standard_output() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("pin.job"), "d = 8 mm\ncheck d > 9 mm\n").unwrap();
    let done = setover(&["sheet", "pin.job"], folder.path());
    assert_eq!(done.status.code(), Some(1), "a check failed");
    assert!(String::from_utf8_lossy(&done.stdout).starts_with("<!DOCTYPE html>"));
}

#[test]
fn a_notebook_is_never_written_over() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("pin.job"), "d = 8 mm\n").unwrap();
    for name in ["pin.job", "other.JOB"] {
        let done = setover(&["sheet", "pin.job", "-o", name], folder.path());
        assert_eq!(done.status.code(), Some(2));
        let said = String::from_utf8_lossy(&done.stderr).into_owned();
        assert!(said.contains("never written over one; name it"), "{said}");
    }
    // Nor through a link that leads to it.
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink("pin.job", folder.path().join("page.html")).unwrap();
        let done = setover(&["sheet", "pin.job", "-o", "page.html"], folder.path());
        assert_eq!(done.status.code(), Some(2));
        let said = String::from_utf8_lossy(&done.stderr).into_owned();
        assert!(said.contains("page.html leads to a notebook"), "{said}");
    }
    assert_eq!(
        fs::read_to_string(folder.path().join("pin.job")).unwrap(),
        "d = 8 mm\n"
    );
    let done = setover(
        &["sheet", "pin.job", "-o", "nowhere/pin.html"],
        folder.path(),
    );
    assert_eq!(done.status.code(), Some(2));
    let said = String::from_utf8_lossy(&done.stderr).into_owned();
    assert!(
        said.contains("nowhere/pin.html can't be written: there is no folder nowhere"),
        "{said}"
    );
    let done = setover(&["sheet", "pin.job", "-o", "."], folder.path());
    assert_eq!(done.status.code(), Some(2));
}

#[test]
fn a_page_is_written_though_something_is_wrong() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("pin.job"), "d = 8 mn\ndraw holes of d\n").unwrap();
    let done = setover(&["sheet", "pin.job", "-o", "pin.html"], folder.path());
    assert_eq!(done.status.code(), Some(2));
    let page = fs::read_to_string(folder.path().join("pin.html")).unwrap();
    assert!(page.contains("To be put right"));
}

#[test]
fn the_sheet_tells_the_figures_of_a_picture() {
    let folder = tempfile::tempdir().unwrap();
    let text = "draw lever(26 mm, 16 mm, 64 mm) # lever\n";
    fs::write(folder.path().join("pin.job"), text).unwrap();
    let done = setover(&["run", "pin.job"], folder.path());
    let said = String::from_utf8_lossy(&done.stdout).into_owned();
    // sqrt(64^2 - 5^2), and the angle whose sine is 5/64.
    for figure in [
        "big           26 mm",
        "flank length  63.804 mm",
        "flank angle   4.481 deg",
    ] {
        assert!(said.contains(figure), "{said}");
    }
    let done = setover(&["run", "pin.job", "--as", "json"], folder.path());
    let json: serde_json::Value = serde_json::from_slice(&done.stdout).unwrap();
    let value = &json["sections"][0]["rows"][0]["value"];
    assert_eq!(value["picture"], "lever");
    // sqrt(64^2 - 5^2)
    assert!((value["flank_length"].as_f64().unwrap() - 63.804_388).abs() < 1e-6);
    let done = setover(&["run", "pin.job", "--as", "csv"], folder.path());
    let csv = String::from_utf8_lossy(&done.stdout).into_owned();
    assert!(csv.contains("flank_angle\",draw,4.48"), "{csv}");
}

#[test]
fn several_notebooks_make_one_page() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(
        folder.path().join("pin.job"),
        "title Pin\nd = 8 mm\ncheck d > 9 mm\n",
    )
    .unwrap();
    fs::write(
        folder.path().join("bush.job"),
        "title Bush\nd = 8 mm\nop Ream.\n",
    )
    .unwrap();
    let done = setover(&["sheet", "pin.job", "bush.job", "-o", "-"], folder.path());
    assert_eq!(done.status.code(), Some(1), "a check failed");
    let page = String::from_utf8_lossy(&done.stdout).into_owned();
    for wanted in [
        "href=\"#p1-part\">Pin",
        "id=\"p1-part\"",
        "href=\"#p2-part\">Bush",
        "id=\"p2-part\"",
        "data-file=\"bush.job\"",
    ] {
        assert!(page.contains(wanted), "{wanted} in {page}");
    }
    crate::markup::tags(&page);
}

#[cfg(unix)]
#[test]
fn at_a_terminal_the_page_stands_beside_the_notebook() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("pin.job"), "title Pin\nd = 8 mm\n").unwrap();
    let page = folder.path().join("pin.html");
    let run = || {
        let mut command = Command::new(env!("CARGO_BIN_EXE_setover"));
        command
            .args(["sheet", "pin.job"])
            .current_dir(folder.path());
        let mut session = rexpect::session::spawn_command(command, Some(20_000)).unwrap();
        session.exp_eof().unwrap()
    };
    assert!(run().contains("wrote pin.html"));
    assert!(fs::read_to_string(&page).unwrap().contains("<h1>Pin</h1>"));
    // Its own page is replaced.
    fs::write(folder.path().join("pin.job"), "title Peg\nd = 8 mm\n").unwrap();
    run();
    assert!(fs::read_to_string(&page).unwrap().contains("<h1>Peg</h1>"));
    // A page of someone else is not.
    fs::write(&page, "<h1>mine</h1>").unwrap();
    assert!(run().contains("was not written by setover; name the page with `-o`"));
    assert_eq!(fs::read_to_string(&page).unwrap(), "<h1>mine</h1>");
}
