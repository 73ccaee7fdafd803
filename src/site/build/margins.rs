//! How far what was entered may be off.

use crate::site::MarginRange;
use crate::site::keys;
use crate::site::tree::Node;

pub(super) fn margins(root: &Node) -> Vec<MarginRange> {
    let Some(node) = root.node("margins") else { return Vec::new() };
    let keys = keys::at_path(["margins"]).and_then(keys::Key::keys).unwrap_or(&[]);
    keys.iter()
        .filter_map(|key| {
            let (low, high) = node.spread(key.name)?;
            Some(MarginRange { key: key.name, low, high })
        })
        .collect()
}
