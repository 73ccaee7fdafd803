//! What happens in a storm, in order.

use super::runs::Switched;
use super::watching::Watched;
use crate::quantity::{Duration, Flow, Intensity, Length};

/// What a time span is about.
#[derive(Clone, Debug, PartialEq)]
pub enum Spanned {
    /// Water stands deeper than a film over the rim of a hollow.
    Stands {
        /// The hollow.
        hollow: String,
    },
    /// A hollow runs over its edge.
    RunsOver {
        /// The hollow.
        hollow: String,
        /// Where to, where that was said.
        to: Option<String>,
    },
    /// The alarm sounds.
    Alarm,
    /// Water stands at a place that must stay dry.
    Reaches {
        /// The place.
        place: String,
        /// Where the water stands that reaches it.
        from: String,
    },
}

/// A time span in which something lasts.
#[derive(Clone, Debug, PartialEq)]
pub struct Span {
    /// What.
    pub what: Spanned,
    /// Since when, from the start of the rain.
    pub from: Duration,
    /// Until when; none where it still lasts when the water was followed no further.
    pub until: Option<Duration>,
}

/// Something that happens at a moment.
#[derive(Clone, Debug, PartialEq)]
pub enum Happens {
    /// The hardest rain begins.
    HardestRain(Intensity),
    /// The rain is over.
    RainEnds,
    /// The runoff is at its peak.
    PeakRunoff(Flow),
    /// The power goes.
    PowerGoes,
    /// A pump starts.
    PumpStarts(u8),
    /// A pump stops after a run.
    PumpStops(u8, Duration),
    /// A pump starts the first of several runs, with nothing else between.
    PumpCycles {
        /// Which pump.
        pump: u8,
        /// How many runs.
        runs: usize,
        /// How long they last, added up.
        ran: Duration,
        /// When the last of them ends.
        until: Duration,
    },
    /// Something begins that lasts.
    Begins(Spanned),
    /// It is over.
    Ends(Spanned),
    /// The water in a hollow is at its deepest.
    Deepest(String, Length),
    /// The yard is at rest again.
    AtRest,
    /// The water was followed no further, and the yard is not at rest.
    NotAtRest,
}

/// Something that happens.
#[derive(Clone, Debug, PartialEq)]
pub struct Event {
    /// When, from the start of the rain.
    pub at: Duration,
    /// What.
    pub what: Happens,
}

/// The time spans of what was watched.
pub(super) fn spans(watched: &[Watched], about: &[Spanned]) -> Vec<Span> {
    let mut spans: Vec<Span> = watched
        .iter()
        .zip(about)
        .flat_map(|(watched, what)| {
            watched.spans.iter().map(|(from_s, until_s)| Span {
                what: what.clone(),
                from: Duration::from_s(*from_s),
                until: until_s.map(Duration::from_s),
            })
        })
        .collect();
    spans.sort_by(|one, other| one.from.s().total_cmp(&other.from.s()));
    spans
}

/// Everything in order, long series of runs drawn together.
pub(super) fn events(mut others: Vec<Event>, spans: &[Span], switches: &[Switched]) -> Vec<Event> {
    for span in spans {
        others.push(Event { at: span.from, what: Happens::Begins(span.what.clone()) });
        others.extend(span.until.map(|at| Event { at, what: Happens::Ends(span.what.clone()) }));
    }
    let mut started: [Option<Duration>; 2] = [None; 2];
    for switch in switches {
        let what = match started.get_mut(usize::from(switch.pump.saturating_sub(1))) {
            Some(since) if switch.on => {
                *since = Some(switch.at);
                Happens::PumpStarts(switch.pump)
            }
            Some(since) => {
                Happens::PumpStops(switch.pump, since.take().map_or(Duration::ZERO, |since| switch.at - since))
            }
            None => continue,
        };
        others.push(Event { at: switch.at, what });
    }
    others.sort_by(|one, other| one.at.s().total_cmp(&other.at.s()));
    draw_together(&others)
}

/// From so many runs in a row on, they are one event.
const SERIES: usize = 3;

fn draw_together(events: &[Event]) -> Vec<Event> {
    let mut drawn: Vec<Event> = Vec::with_capacity(events.len());
    let mut rest = events;
    while let Some((first, after)) = rest.split_first() {
        if let Some((event, used)) = series(rest) {
            drawn.push(event);
            rest = rest.get(used..).unwrap_or(&[]);
        } else {
            drawn.push(first.clone());
            rest = after;
        }
    }
    drawn
}

/// A series of runs of one pump at the head of events, with how many events it takes up.
fn series(events: &[Event]) -> Option<(Event, usize)> {
    let Happens::PumpStarts(pump) = events.first()?.what else { return None };
    let (mut runs, mut ran, mut until) = (0, Duration::ZERO, Duration::ZERO);
    for pair in events.chunks_exact(2) {
        let [start, stop] = pair else { break };
        match (&start.what, &stop.what) {
            (Happens::PumpStarts(one), Happens::PumpStops(other, time)) if *one == pump && *other == pump => {
                runs += 1;
                ran += *time;
                until = stop.at;
            }
            _ => break,
        }
    }
    let at = events.first()?.at;
    (runs >= SERIES).then_some((Event { at, what: Happens::PumpCycles { pump, runs, ran, until } }, 2 * runs))
}
