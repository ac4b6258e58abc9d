//! What happens when a dimension changes: recalculation, `run --with`, `set`,
//! `watch`, `vary`, `find` and `compare`.

mod alike;
mod compared;
mod generated;
mod killed;
mod kills;
mod program;
mod recalculated;
mod solved;
mod tried;
mod varied;
mod watched;
mod written;
