use super::super::{
    Contribution, Rain, Reach, SheetMethod, peak_flow, peak_flow_worked, time_of_concentration,
    time_of_concentration_worked,
};
use super::{champaign_rain, close};
use crate::quantity::{Area, Duration, Intensity, Length, RainDepth, Real, Slope, Velocity};
use crate::working::{Recorder, Step, Tape};

/// `symbol = formula` of each step.
fn lines(steps: &[Step]) -> Vec<String> {
    steps
        .iter()
        .map(|step| match step {
            Step::Heading(text) => (*text).to_owned(),
            Step::Formula { symbol, formula, numbers, source, .. } => {
                assert!(!numbers.is_empty() && !source.is_empty());
                format!("{symbol} = {formula}")
            }
            Step::Solved { symbol, iterations, .. } => {
                assert!(*iterations > 0);
                format!("{symbol} solved")
            }
        })
        .collect()
}

#[test]
fn intensity_shows_its_working() {
    let shown = |rain: &Rain, minutes: f64| {
        let tape = Tape::default();
        let mut recorder = Recorder::new(&tape);
        let duration = Duration::from_min(minutes);
        let found = rain.intensity_worked(&mut recorder, duration).unwrap();
        close(found.ms().value(), rain.intensity(duration).unwrap().ms(), 0.0);
        lines(&recorder.into_steps())
    };
    let table = champaign_rain(10.0);
    assert_eq!(shown(&table, 7.0), ["P = P1 * exp(ln(P2 / P1) * ln(t / t1) / ln(t2 / t1))", "i = P / t"]);
    assert_eq!(shown(&table, 10.0), ["i = P / t"]);
    let formula = Rain::formula(Intensity::from_inh(49.7), Duration::from_min(7.2), 0.743).unwrap();
    assert_eq!(shown(&formula, 7.0), ["i = a / ((t + b) / 60)^0.743"]);
    assert!(shown(&Rain::Constant(Intensity::from_inh(4.0)), 7.0).is_empty());
}

fn path() -> [Reach; 4] {
    let slope = Slope::from_percent(1.0);
    [
        Reach::Sheet { length: Length::from_ft(60.0), slope, roughness: 0.24 },
        Reach::Shallow { length: Length::from_ft(90.0), slope, coefficient: Velocity::from_fts(16.1345) },
        Reach::Channel {
            length: Length::from_ft(40.0),
            slope,
            roughness: 0.035,
            hydraulic_radius: Length::from_ft(0.2),
        },
        Reach::Pipe { length: Length::from_ft(48.0), slope, roughness: 0.012, bore: Length::from_inch(4.0) },
    ]
}

#[test]
fn time_of_concentration_shows_its_working() {
    let rain = champaign_rain(10.0);
    let shown = |path: &[Reach], method, minutes: f64| {
        let tape = Tape::default();
        let mut recorder = Recorder::new(&tape);
        let minimum = Duration::from_min(minutes);
        let (found, time) = time_of_concentration_worked(&mut recorder, 2, path, method, &rain, minimum).unwrap();
        assert_eq!(time_of_concentration(path, method, &rain, minimum).unwrap(), found);
        close(time.s().value(), found.time.s(), 1e-9);
        lines(&recorder.into_steps())
    };
    assert_eq!(
        shown(&path(), SheetMethod::Kinematic, 5.0),
        [
            "t solved",
            "P = P1 * exp(ln(P2 / P1) * ln(t / t1) / ln(t2 / t1))",
            "i = P / t",
            "T1 = (n1 * L1 / sqrt(S1))^0.6 / i^0.4",
            "V2 = c2 * sqrt(S2)",
            "T2 = L2 / V2",
            "V3 = R3^0.666666667 * sqrt(S3) / n3",
            "T3 = L3 / V3",
            "R4 = D4 / 4",
            "V4 = R4^0.666666667 * sqrt(S4) / n4",
            "T4 = L4 / V4",
            "tc2 = max(T1 + T2 + T3 + T4, tmin)",
        ]
    );
    let nrcs = SheetMethod::Nrcs { two_year_24_hour: RainDepth::from_inch(3.07) };
    assert_eq!(
        shown(&path()[..1], nrcs, 5.0),
        ["T1 = 0.007 * (n1 * L1 / 0.3048)^0.8 / (sqrt(P2 / 0.0254) * S1^0.4) * 3600", "tc2 = max(T1, tmin)",]
    );
    let short = [Reach::Sheet { length: Length::from_ft(10.0), slope: Slope::from_percent(2.0), roughness: 0.011 }];
    assert_eq!(
        shown(&short, SheetMethod::Kinematic, 10.0),
        ["i = P / t", "T1 = (n1 * L1 / sqrt(S1))^0.6 / i^0.4", "tc2 = max(T1, tmin)"]
    );
    assert_eq!(shown(&[], nrcs, 10.0), ["tc2 = tmin"]);
}

#[test]
fn peak_flow_shows_its_working() {
    let part = |coefficient, ft2, minutes| Contribution {
        coefficient,
        area: Area::from_ft2(ft2),
        time: Duration::from_min(minutes),
    };
    let rain = champaign_rain(10.0);
    let parts = [part(0.9, 5000.0, 5.0), part(0.0, 100.0, 5.0), part(0.1, 6000.0, 60.0)];
    let tape = Tape::default();
    let mut recorder = Recorder::new(&tape);
    let (peak, flow) = peak_flow_worked(&mut recorder, &parts, &rain).unwrap();
    close(flow.m3s().value() / peak_flow(&parts, &rain).unwrap().flow.m3s(), 1.0, 1e-14);
    close(flow.m3s().value() / peak.flow.m3s(), 1.0, 1e-14);
    assert_eq!(
        lines(&recorder.into_steps()),
        [
            "i = P / t",
            "CA1 = A1 * C1 * min(t / tc1, 1)",
            "CA3 = A3 * C3 * min(t / tc3, 1)",
            "CA = CA1 + CA3",
            "Q = i * CA",
        ]
    );
    let mut recorder = Recorder::new(&tape);
    let (_, flow) = peak_flow_worked(&mut recorder, &[], &rain).unwrap();
    close(flow.m3s().value(), 0.0, 0.0);
    assert!(recorder.into_steps().is_empty());
}
