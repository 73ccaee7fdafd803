//! The examples that a new file may begin as.

/// An example of the folder `examples/`.
#[derive(Clone, Copy, Debug)]
pub struct Example {
    /// Its name.
    pub name: &'static str,
    /// What it shows.
    pub about: &'static str,
    text: &'static str,
}

macro_rules! examples {
    ($($name:literal: $about:literal;)*) => {
        /// All of them.
        pub const EXAMPLES: &[Example] = &[
            $(Example { name: $name, about: $about, text: include_str!(concat!("../../examples/", $name, ".toml")) },)*
        ];
    };
}

examples! {
    "cut-bank": "an ordinary yard in US units, three pumps to choose from";
    "courtyard-metric": "metric, levels as rod readings, no check valve";
    "long-run": "a run too long for its pump; pump, line and basin only";
    "two-pumps": "two pumps in one basin that take turns";
    "wet-meadow": "groundwater near the grass, a French drain, a basin that would float";
    "heavy-clay": "nearly all runoff, two grates in one hollow";
    "over-the-bank": "a cold place, a high point in mid-run";
    "bid-orchard-wall": "somebody else's bid, and what it leaves out";
}

impl Example {
    /// The site file that begins as this example, under a heading of its own.
    pub fn site_file(&self) -> String {
        format!(
            "# Begun by `sumpwright new --from {name}`, version {version}, as a copy of the example `{name}`.\n\
             # The yard below is invented: put your own figures in place of every one of its own, or \"?\" where they are\n\
             # still to be measured, and take away what you do not have. `sumpwright check` says what is wrong or open.\n\
             #\n\
             # The example:\n\
             #\n\
             {text}",
            name = self.name,
            version = super::VERSION,
            text = self.text,
        )
    }
}
