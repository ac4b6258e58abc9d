//! What happens when a dimension changes: recalculation, `run --with`, `set`,
//! `watch`, `vary`, `find` and `compare`.

mod again;
mod alike;
mod compared;
mod generated;
mod killed;
mod kills;
#[cfg(unix)]
mod on_disk;
mod program;
mod recalculated;
mod solved;
#[path = "../common/texts.rs"]
mod texts;
mod tried;
mod varied;
mod watched;
mod written;
