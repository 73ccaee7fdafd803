//! One pump on the site's line, and on lines and curves that differ a little: what cures are solved with.

use crate::catalog::{self, PipeEntry};
use crate::hydraulics::{DischargeLine, FrictionMethod, Pipe, SystemCurve, Water};
use crate::numeric::bracketed_root;
use crate::pump_selection::{Duty, Pump, PumpCurve, duty_point};
use crate::quantity::{Flow, Length, Level};
use crate::site::Site;

/// A pump set up on the site.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bench<'a> {
    /// The site.
    pub(super) site: &'a Site,
    /// The pump.
    pub(super) pump: &'a Pump,
    /// The water.
    pub(super) water: Water,
}

/// The least and greatest factor by which a run is shortened or stretched in search of its longest.
const SHORTEST_FACTOR: f64 = 1e-3;
const LONGEST_FACTOR: f64 = 100.0;

impl<'a> Bench<'a> {
    /// Sets a pump up.
    pub(super) fn new(site: &'a Site, pump: &'a Pump) -> Self {
        Self { site, pump, water: Water::at(site.water_temperature) }
    }

    /// The height of the pump's outlet above the floor: its top.
    pub(super) fn pump_outlet(&self) -> Option<Length> {
        self.pump.height
    }

    /// The system curve of a line.
    pub(super) fn system(&self, line: &DischargeLine, method: FrictionMethod) -> SystemCurve {
        SystemCurve::new(line, self.site.basin.floor, self.pump_outlet(), self.water, method)
    }

    /// The duty on a line with a curve.
    pub(super) fn duty_on(&self, line: &DischargeLine, curve: &PumpCurve, level: Level) -> Duty {
        duty_point(curve, &self.system(line, FrictionMethod::HazenWilliams), level)
    }

    /// The flow out of a line, where there is a duty point.
    pub(super) fn flow_on(&self, line: &DischargeLine, level: Level) -> Option<Flow> {
        self.duty_on(line, &self.pump.curve, level).point().map(|point| point.line_flow)
    }

    /// The longest run, everything else as drawn, with which the line still carries a flow.
    ///
    /// Fittings stay as they are, the profile stretches with the run. `None` when even the shortest run carries less,
    /// or any run carries it.
    pub(super) fn longest_run(&self, target: Flow, level: Level) -> Option<Length> {
        let line = &self.site.discharge;
        let total = line.length();
        let miss = |factor: f64| {
            let duty = self.duty_on(&stretched(line, factor), &self.pump.curve, level);
            match duty {
                Duty::Meets(point) => (point.line_flow - target).m3s(),
                Duty::BeyondLastPoint { at_least, .. } => (at_least - target).m3s().max(1e-12),
                Duty::CannotLift { .. } | Duty::BeforeFirstPoint { .. } => -target.m3s(),
            }
        };
        bracketed_root(SHORTEST_FACTOR, LONGEST_FACTOR, 1e-5, miss).ok().map(|root| total * root.x)
    }

    /// The line with all its runs in another size.
    pub(super) fn with_size(&self, entry: &PipeEntry) -> DischargeLine {
        let mut line = self.site.discharge.clone();
        for run in &mut line.runs {
            let old = run.pipe.clone();
            run.pipe = entry.pipe.clone();
            run.pipe.hazen_williams_c = old.hazen_williams_c;
            run.pipe.roughness = old.roughness;
            for fitting in &mut run.fittings {
                // an entered K stays; a tabled one follows the size
                if let Some(tabled) = catalog::fitting(&fitting.name, &old)
                    && (tabled.k - fitting.k).abs() < 1e-12
                    && let Some(new) = catalog::fitting(&fitting.name, &run.pipe)
                {
                    fitting.k = new.k;
                }
            }
        }
        line
    }

    /// The next size down and up of the line's narrowest run, where its material makes them for pressure.
    pub(super) fn neighbours(&self) -> (Option<&'static PipeEntry>, Option<&'static PipeEntry>) {
        self.narrowest().map_or((None, None), |pipe| catalog::neighbours(pipe))
    }

    /// The pipe of the run with the smallest bore.
    pub(super) fn narrowest(&self) -> Option<&Pipe> {
        self.site
            .discharge
            .runs
            .iter()
            .map(|run| &run.pipe)
            .reduce(|best, pipe| if pipe.bore < best.bore { pipe } else { best })
    }

    /// The same line without its relief hole.
    pub(super) fn without_hole(&self) -> DischargeLine {
        DischargeLine { relief_hole: None, ..self.site.discharge.clone() }
    }
}

/// A line with its runs, and the stations along them, made longer by a factor.
pub(super) fn stretched(line: &DischargeLine, factor: f64) -> DischargeLine {
    let mut line = line.clone();
    for run in &mut line.runs {
        run.length = run.length * factor;
    }
    for point in &mut line.profile {
        point.at = point.at * factor;
    }
    line
}
