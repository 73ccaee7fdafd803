//! How far what was entered may be off, as the file says it.

/// The range of one assumption: a change from the value entered, as a share of it, or m.
#[derive(Clone, Debug, PartialEq)]
pub struct MarginRange {
    /// The key under `[margins]`.
    pub key: &'static str,
    /// The lower end.
    pub low: f64,
    /// The upper end.
    pub high: f64,
}
