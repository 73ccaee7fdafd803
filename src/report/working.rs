//! The working: each result with its formula, the numbers put in, and its source.

use super::layout::Page;
use crate::quantity::{Amount, Dimension, Style, UnitSystem};
use crate::working::{Step, figures};

/// The steps of a design as text. All numbers are in SI, as the formulas take them; results stand in the report's
/// units beside it.
pub fn working(steps: &[Step], units: UnitSystem) -> String {
    let mut page = Page::default();
    page.heading("Working");
    page.paragraph(
        "Each line can be checked by hand. Formulas run in metres, seconds and what follows from them (m3/s, m/s, m of water); results stand beside it in the report's units.",
    );
    for step in steps {
        match step {
            Step::Heading(text) => {
                page.gap();
                page.line(&format!("[{text}]"));
            }
            Step::Formula { symbol, meaning, formula, numbers, result, source, given } => {
                page.gap();
                page.hang("", &format!("{symbol}: {meaning}"));
                for (name, amount) in given {
                    page.line(&format!("    {name} = {}", both(*amount, units)));
                }
                page.line(&format!("  {symbol} = {formula}"));
                page.line(&format!("  {} = {numbers}", " ".repeat(symbol.chars().count())));
                page.line(&format!("  {} = {}", " ".repeat(symbol.chars().count()), both(*result, units)));
                page.hang("    source: ", source);
            }
            Step::Solved { symbol, meaning, result, residual, iterations, source } => {
                page.gap();
                page.hang("", &format!("{symbol}: {meaning}"));
                page.line(&format!("  {symbol} = {}", both(*result, units)));
                page.hang(
                    "    ",
                    &format!(
                        "found by iteration{}; left over: {} {}",
                        // not every solver counts
                        if *iterations > 0 { format!(" ({iterations} evaluations)") } else { String::new() },
                        figures(residual.si),
                        si_unit(residual.dimension)
                    ),
                );
                page.hang("    source: ", source);
            }
        }
    }
    page.finish()
}

/// An amount in SI, and in the report's units where that says more.
fn both(amount: Amount, units: UnitSystem) -> String {
    let si = format!("{} {}", figures(amount.si), si_unit(amount.dimension));
    if amount.dimension == Dimension::Number {
        return si.trim_end().to_owned();
    }
    let small = amount.dimension == Dimension::Length && amount.si.abs() < 0.95;
    let shown = Amount { style: if small { Style::Bore } else { amount.style }, ..amount };
    format!("{si} ({})", shown.show(units))
}

/// The unit that a formula takes a dimension in.
pub(crate) const fn si_unit(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Number | Dimension::Slope => "",
        Dimension::Length | Dimension::Level | Dimension::RainDepth => "m",
        Dimension::Area => "m2",
        Dimension::Volume => "m3",
        Dimension::Flow => "m3/s",
        Dimension::Velocity | Dimension::Intensity => "m/s",
        Dimension::Head => "m of water",
        Dimension::Pressure => "Pa",
        Dimension::Duration => "s",
        Dimension::ReturnPeriod => "yr",
        Dimension::Temperature => "C",
        Dimension::Weight => "N",
        Dimension::Power => "W",
        Dimension::Density => "kg/m3",
        Dimension::Viscosity => "m2/s",
    }
}
