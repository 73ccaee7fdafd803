//! The reference of the site file, written from the declaration of its keys.

use super::keys::{Key, Kind, SITE, how};
use super::range::fallback;
use super::walk::wanted;
use crate::quantity::accepted;
use std::fmt::Write as _;

/// The reference page of the site file, in Markdown: every key with its meaning, kind, range, default and example.
pub fn reference() -> String {
    let mut page = String::from(INTRODUCTION);
    let tops: Vec<&Key> = SITE.iter().filter(|key| key.keys().is_none()).collect();
    page.push_str("\n## Top of the file\n\n");
    rows(&mut page, tops.into_iter());
    for key in SITE {
        if let Some(keys) = key.keys() {
            table(&mut page, key.name, key, keys);
        }
    }
    page
}

/// What the reference says of one key.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeyEntry {
    /// Where it stands: `[goal] clear_within`, or `[goal]` for a table.
    pub path: String,
    /// The key alone.
    pub name: &'static str,
    /// What it means.
    pub doc: &'static str,
    /// What sort of value it takes.
    pub kind: String,
    /// Which values.
    pub range: String,
    /// What is taken when it is left out.
    pub default: &'static str,
    /// How its value is found out on the spot, where that is told.
    pub how: Option<&'static str>,
    /// An example, as the file writes it.
    pub example: String,
}

/// What the reference says of every key, in its order.
pub fn key_entries() -> Vec<KeyEntry> {
    let mut all = Vec::new();
    entries(&mut all, "", SITE);
    all
}

fn entries(all: &mut Vec<KeyEntry>, table: &str, keys: &'static [Key]) {
    for key in keys {
        let inner = key.keys();
        let inside = if table.is_empty() { key.name.to_owned() } else { format!("{table}.{}", key.name) };
        let path = match (inner, table) {
            (Some(_), _) => format!("[{inside}]"),
            (None, "") => key.name.to_owned(),
            (None, table) => format!("[{table}] {}", key.name),
        };
        let example = if key.example.is_empty() { String::new() } else { format!("{} = {}", key.name, key.example) };
        let (kind, range) = (kind(key), if inner.is_some() { String::new() } else { range(key) });
        let how = how(&inside);
        let entry = KeyEntry { path, name: key.name, doc: key.doc, kind, range, default: key.default, how, example };
        all.push(entry);
        if let Some(inner) = inner {
            entries(all, &inside, inner);
        }
    }
}

const INTRODUCTION: &str = "# The site file

This page is written by the program from its declaration of the keys; a test keeps it fresh.

A site file is a text in TOML: one yard and one basin a file. Counts, ratios and money are bare numbers. Everything
with a unit is a text with its unit, in quotes: `length = \"150 ft\"`. A level may also be a rod reading:
`{ rod = \"6.31 ft\" }`, or `{ rod = \"6.31 ft\", setup = \"back\" }` with several setups in `[levels]`.

A value that somebody still has to find out is written `\"?\"`, whatever the key holds: `rim = \"?\"`. `sumpwright check`
lists all such gaps together, with how each is measured. A key that can be left out counts as left out until then.

In the tables below *must* marks what cannot be left out, and *not used yet* what is read and checked but nothing
computes with.

## The words

```text
            ground ----+             +---- ground        rim: the top edge
                       |             |                   inlet invert: the lowest inside
  from the grate ======+             |                          point of the pipe that comes in
                       |- - - - - - -|  alarm level      alarm: a float that rings
                       |- - - - - - -|  on level         on: the pump starts
                       |             |
                       |- - - - - - -|  off level        off: the pump stops
                       |  pump       |
                       +-------------+  floor            all float heights count from the floor
```

- **invert**: the lowest point inside a pipe. **rim**: the top edge of a grate or basin.
- **lift** (static head): how high the water is raised, from the water in the basin to the outlet.
- **head**: the pressure of a pump, as the height of water that it holds up. **shut-off head**: at no flow.
- **duty point**: the flow and head at which the pump runs on this line.
- **riser**: the pipe from the pump up and out of the basin. **run**: the buried pipe after it.
- **relief hole**: a small hole below the check valve that lets caught air out.
- **drain-back**: the water that runs back into the basin when the pump stops.
- **profile**: the levels of the buried pipe along its run. **cover**: the ground over the top of the pipe.
- **summit**: a high point in mid-run. **sag**: a low one, in which water stays.
- **vent**: an air valve, or an open pipe, where air gets in and out of the line.
- **drain hole**: a small hole above the check valve through which the line runs empty, where frost asks for it.
- **spill gap**: where the pump's water comes out while the line beyond is frozen.
- **standby**: a second pump that runs when the first does not. One that **joins** runs with it when the water rises on.

## The least that can be entered

A question about pump, line and basin, without any rain. Put your own figures in; these are invented.

```toml
format = 1

[basin]
inside_diameter = \"24 in\"
rim = \"50.0 ft\"
floor = \"46.0 ft\"
off = \"7 in\"
on = \"27 in\"

[discharge]
riser = { material = \"PVC schedule 40\", size = \"1-1/2 in\", length = \"3 ft\" }
check_valve = { kind = \"swing\" }
outlet = { kind = \"open end\", level = \"58.2 ft\" }

[[discharge.run]]
material = \"PVC schedule 40\"
size = \"1-1/2 in\"
length = \"120 ft\"

[[pump]]
name = \"from the data sheet\"
curve = [[\"0 gpm\", \"29 ft\"], [\"20 gpm\", \"24.5 ft\"], [\"40 gpm\", \"16.5 ft\"], [\"50 gpm\", \"11 ft\"]]
```

With `[goal]` and `flow = \"30 gpm\"` the report also says how long the run may be.

Names of materials, surfaces, fittings and soils are those of the built-in tables: `sumpwright tables` lists them, and
`sumpwright tables runoff-coefficients`, `sheet-roughness`, `pipes`, `fittings` and so on print them. The surface of a
catchment (`lawn`) and that of a piece of its flow path (`dense grass`) come from different tables.
";

fn table(page: &mut String, path: &str, key: &Key, keys: &'static [Key]) {
    let header = if matches!(key.kind, Kind::Tables(_)) { format!("[[{path}]]") } else { format!("[{path}]") };
    let must = if key.required { " *Must.*" } else { "" };
    // writing to a String cannot fail
    let _ = write!(page, "\n## `{header}`\n\n{}{must}", key.doc);
    if !key.example.is_empty() {
        let _ = write!(page, " Also on one line: `{} = {}`.", key.name, key.example);
    }
    page.push_str("\n\n");
    rows(page, keys.iter().filter(|key| key.keys().is_none()));
    for inner in keys {
        if let Some(keys) = inner.keys() {
            table(page, &format!("{path}.{}", inner.name), inner, keys);
        }
    }
}

fn rows<'k>(page: &mut String, keys: impl Iterator<Item = &'k Key>) {
    let keys: Vec<&Key> = keys.collect();
    if keys.is_empty() {
        return;
    }
    page.push_str("| key | meaning | kind | range | default | example |\n|---|---|---|---|---|---|\n");
    for key in keys {
        let mut doc = key.doc.to_owned();
        if key.required {
            doc.push_str(" *Must.*");
        }
        if !key.used {
            doc.push_str(" *Not used yet.*");
        }
        let _ = writeln!(
            page,
            "| `{}` | {} | {} | {} | {} | `{}` |",
            key.name,
            cell(&doc),
            cell(&kind(key)),
            range(key),
            cell(key.default),
            cell(key.example)
        );
    }
}

fn kind(key: &Key) -> String {
    match key.kind {
        Kind::Quantity(dimension) => {
            let units: Vec<&str> = accepted(dimension).iter().take(6).copied().collect();
            format!("{} ({})", wanted(key.kind), units.join(", "))
        }
        Kind::Reference(things) => format!("name of: {things}"),
        kind => wanted(kind),
    }
}

fn range(key: &Key) -> String {
    let fallen = match key.kind {
        Kind::Quantity(dimension) => Some(fallback(dimension)),
        _ => None,
    };
    let words = |range: super::keys::Range| format!("{} to {}", range.least, range.most);
    let wide = key.range.or(fallen).map(words).unwrap_or_default();
    match key.usual {
        Some(usual) => format!("{wide}; usually {}", words(usual)),
        None => wide,
    }
}

/// A cell of a table has no line of its own and no bars.
fn cell(text: &str) -> String {
    text.replace('|', "\\|").replace('\n', " ")
}
