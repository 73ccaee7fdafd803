//! One step of a stiffly accurate Rosenbrock method of order 4(3) with dense output.
//!
//! Source: RODAS of Hairer and Wanner, Solving Ordinary Differential Equations II (2nd ed. 1996), section IV.7; its
//! coefficients from memory, and their order shown by the tests below. L-stable: a drowned pipe that would force an
//! explicit method to steps of a second does not bother it.
//!
//! Beside what each store holds, the volume that went along each way is carried with the same stages. What a linear
//! sum keeps, every such method keeps to the last digit, so the balance of stores and ways closes whatever the step.
#![expect(clippy::inline_always, reason = "so that what is not asked for is not worked out: measured")]
#![expect(clippy::indexing_slicing, reason = "all arrays are made for one system and have its size")]
#![expect(clippy::unreadable_literal, reason = "coefficients as they are known")]

use super::dense::{Cubic, Dense};
use super::rates::{ANY, Coming, Ends, Kernel, Rates, Running};

const GAMMA: f64 = 0.25;
const STAGES: usize = 6;
/// When each stage is taken, as a share of the step.
const TIMES: [f64; STAGES] = [0.0, 0.386, 0.21, 0.63, 1.0, 1.0];
/// How far each stage is moved by the drift in time.
const DRIFTS: [f64; STAGES] = [0.25, -0.1043, 0.1035, -0.03620000000000023, 0.0, 0.0];
const A: [[f64; STAGES]; STAGES] = [
    [0.0; STAGES],
    [1.544, 0.0, 0.0, 0.0, 0.0, 0.0],
    [0.9466785280815826, 0.2557011698983284, 0.0, 0.0, 0.0, 0.0],
    [3.314825187068521, 2.896124015972201, 0.9986419139977817, 0.0, 0.0, 0.0],
    [1.221224509226641, 6.019134481288629, 12.53708332932087, -0.687886036105895, 0.0, 0.0],
    [1.221224509226641, 6.019134481288629, 12.53708332932087, -0.687886036105895, 1.0, 0.0],
];
const C: [[f64; STAGES]; STAGES] = [
    [0.0; STAGES],
    [-5.6688, 0.0, 0.0, 0.0, 0.0, 0.0],
    [-2.430093356833875, -0.2063599157091915, 0.0, 0.0, 0.0, 0.0],
    [-0.1073529058151375, -9.594562251023355, -20.47028614809616, 0.0, 0.0, 0.0],
    [7.496443313967647, -10.24680431464352, -33.99990352819905, 11.7089089320616, 0.0, 0.0],
    [8.083246795921522, -7.981132988064893, -31.52159432874371, 16.31930543123136, -6.058818238834054, 0.0],
];
/// The last two weights of the dense output; the fifth stage is the last that counts there.
const D2: [f64; STAGES] =
    [10.12623508344586, -7.487995877610167, -34.80091861555747, -7.992771707568823, 1.025137723295662, 0.0];
const D3: [f64; STAGES] =
    [-0.6762803392801253, 6.087714651680015, 16.43084320892478, 24.76722511418386, -6.594389125716872, 0.0];

/// How much of each stage goes into the end of the step: the stages before the last as in its place, and the last.
const END: [f64; STAGES] = {
    let mut end = A[STAGES - 1];
    end[STAGES - 1] = 1.0;
    end
};
/// The same weights for what goes along a way, whose stages are not carried: a way's stages follow from the stores', so
/// that its sum is that of its rates and of what the stores' stages change in them.
const ALONG: [[f64; STAGES]; 3] = [of_rates(END), of_rates(D2), of_rates(D3)];

/// Weights of transformed stages as weights of rates: their product with (1/γ - C)⁻¹.
const fn of_rates(weights: [f64; STAGES]) -> [f64; STAGES] {
    let mut along = [0.0; STAGES];
    let mut stage = STAGES;
    while stage > 0 {
        stage -= 1;
        let mut sum = weights[stage];
        let mut later = stage + 1;
        while later < STAGES {
            sum += along[later] * C[later][stage];
            later += 1;
        }
        along[stage] = GAMMA * sum;
    }
    along
}

/// The sum of stages by their weights.
#[inline(always)]
fn weighed(weights: &[f64; STAGES], stages: &[f64; STAGES]) -> f64 {
    let [a, b, c, d, e, f] = stages;
    (weights[0] * a + weights[1] * b) + (weights[2] * c + weights[3] * d) + (weights[4] * e + weights[5] * f)
}

/// The sum of the stages before one; the last of them is known last, and nothing waits for it but itself.
#[inline(always)]
fn before<const STAGE: usize>(weights: &[[f64; STAGES]; STAGES], stages: &[f64; STAGES]) -> f64 {
    let weights = &weights[STAGE];
    let mut sum = weights[0] * stages[0];
    let mut stage = 1;
    while stage < STAGE {
        sum += weights[stage] * stages[stage];
        stage += 1;
    }
    sum
}

/// Room for the stages of one system.
#[derive(Clone, Debug)]
pub(super) struct Stepper {
    stores: usize,
    /// The stages of each store, m³.
    stages: Vec<[f64; STAGES]>,
    /// The rates of each way at the stages, m³/s.
    along: Vec<[f64; STAGES]>,
    step_s: f64,
    matrix: Vec<f64>,
    /// Volumes at a stage.
    at: Vec<f64>,
    /// One for each store.
    right: Vec<f64>,
    /// How the rates drift in time: one for each store, and one for all that is outside.
    drifts: Vec<f64>,
    /// Rates of the stages.
    rates: Rates,
}

/// What a step starts from.
#[derive(Clone, Copy, Debug)]
pub(super) struct Start<'a> {
    pub(super) kernel: &'a Kernel,
    pub(super) coming: &'a Coming,
    pub(super) running: Running,
    /// What the stores hold.
    pub(super) volumes: &'a [f64],
    /// How long after the start of what comes.
    pub(super) after_s: f64,
    /// The rates there.
    pub(super) rates: &'a Rates,
}

impl Stepper {
    pub(super) fn new(kernel: &Kernel) -> Self {
        let (stores, flows) = (kernel.system.stores.len(), kernel.ends.len());
        Self {
            stores,
            // nothing outside ever changes
            stages: vec![[0.0; STAGES]; stores + 1],
            along: vec![[0.0; STAGES]; flows],
            step_s: 0.0,
            matrix: vec![0.0; stores * stores],
            at: vec![0.0; stores],
            right: vec![0.0; stores],
            drifts: vec![0.0; stores + 1],
            rates: Rates::new(kernel),
        }
    }

    /// Takes a step of a length; what it comes to is then told by the others.
    pub(super) fn step(&mut self, start: Start<'_>, step_s: f64) {
        // yards of few stores have their loops unrolled
        match self.stores {
            1 => self.step_of::<1>(&start, step_s),
            2 => self.step_of::<2>(&start, step_s),
            3 => self.step_of::<3>(&start, step_s),
            _ => self.step_of::<ANY>(&start, step_s),
        }
    }

    fn step_of<const STORES: usize>(&mut self, start: &Start<'_>, step_s: f64) {
        self.step_s = step_s;
        let per_step = 1.0 / step_s;
        self.factor::<STORES>(start, per_step);
        self.rates.pieces.copy_from_slice(&start.rates.pieces);
        for (drift, (_, growth, bend)) in self.drifts.iter_mut().zip(&start.coming.inflow) {
            *drift = growth + 2.0 * bend * start.after_s;
        }
        if start.rates.drift {
            for (ends, drift) in start.kernel.ends.iter().zip(&start.rates.drifts) {
                self.drifts[ends.to] += drift;
            }
        }
        // few stages are kept at hand until all are known
        let (mut few, mut many) = ([[0.0; STAGES]; STORES], std::mem::take(&mut self.stages));
        let stages = if STORES == ANY { &mut many[..self.stores] } else { &mut few[..] };
        self.stage::<0, STORES>(start, stages, step_s, per_step);
        self.stage::<1, STORES>(start, stages, step_s, per_step);
        self.stage::<2, STORES>(start, stages, step_s, per_step);
        self.stage::<3, STORES>(start, stages, step_s, per_step);
        self.stage::<4, STORES>(start, stages, step_s, per_step);
        self.stage::<5, STORES>(start, stages, step_s, per_step);
        many[..STORES].copy_from_slice(&few);
        self.stages = many;
    }

    #[inline(always)]
    fn stage<const STAGE: usize, const STORES: usize>(
        &mut self,
        start: &Start<'_>,
        stages: &mut [[f64; STAGES]],
        step_s: f64,
        per_step: f64,
    ) {
        let n = if STORES == ANY { self.stores } else { STORES };
        if STAGE > 0 {
            let at = &mut self.at[..n];
            for ((at, stages), volume) in at.iter_mut().zip(&*stages).zip(&start.volumes[..n]) {
                *at = volume + before::<STAGE>(&A, stages);
            }
            let after_s = start.after_s + TIMES[STAGE] * step_s;
            self.rates.flows_at::<STORES>(start.kernel, start.coming, start.running, at, after_s);
        }
        let rates = if STAGE == 0 { start.rates } else { &self.rates };
        for (along, rate) in self.along.iter_mut().zip(&rates.flows) {
            along[STAGE] = *rate;
        }
        let mut few = [0.0; STORES];
        let right = if STORES == ANY { &mut self.right[..n] } else { &mut few[..] };
        let drift_s = DRIFTS[STAGE] * step_s;
        let known = rates.held[..n].iter().zip(&self.drifts[..n]).zip(&*stages);
        for (right, ((held, drift), stages)) in right.iter_mut().zip(known) {
            *right = held.change;
            if DRIFTS[STAGE] != 0.0 {
                *right += drift_s * drift;
            }
            if STAGE > 0 {
                *right += before::<STAGE>(&C, stages) * per_step;
            }
        }
        solve(&self.matrix[..n * n], right);
        for (stages, value) in stages.iter_mut().zip(&*right) {
            stages[STAGE] = *value;
        }
    }

    /// The estimated error of each store, and its surface at the end of the step, to that error.
    pub(super) fn errors_and_areas(&self) -> impl Iterator<Item = (f64, f64)> {
        self.stages[..self.stores].iter().zip(&self.rates.held).map(|(stages, held)| (stages[STAGES - 1], held.area_m2))
    }

    /// What the stores hold inside the step, from what they held at its start.
    pub(super) fn inside(&self, volumes: &[f64], dense: &mut Dense) {
        for ((cubic, stages), begin) in dense.cubics_mut().iter_mut().zip(&self.stages).zip(volumes) {
            *cubic = Cubic::new(*begin, begin + weighed(&END, stages), weighed(&D2, stages), weighed(&D3, stages));
        }
    }

    /// What went along a way up to a share of the step that started from these rates.
    pub(super) fn moved(&self, kernel: &Kernel, start: &Rates, flow: usize, share: f64) -> f64 {
        if self.is_still(start, flow) {
            return 0.0;
        }
        if share >= 1.0 {
            let (along, Ends { from, to }) = (&ALONG[0], kernel.ends[flow]);
            let ((up, down), drift_s) = (start.slopes[flow], start.drifts[flow] * self.step_s);
            let stages = up * weighed(along, &self.stages[from]) + down * weighed(along, &self.stages[to]);
            return self.step_s * (weighed(along, &self.along[flow]) + stages + drift_s * weighed(along, &DRIFTS));
        }
        let whole = self.stages_along(kernel, start, flow);
        let end = weighed(&ALONG[0], &whole);
        Cubic::new(0.0, end, weighed(&ALONG[1], &whole), weighed(&ALONG[2], &whole)).at(share)
    }

    /// What went along a way within the step.
    pub(super) fn cubic_along(&self, kernel: &Kernel, start: &Rates, flow: usize) -> Cubic {
        if self.is_still(start, flow) {
            return Cubic::default();
        }
        let whole = self.stages_along(kernel, start, flow);
        let [end, bend, twist] = [0, 1, 2].map(|part| weighed(&ALONG[part], &whole));
        Cubic::new(0.0, end, bend, twist)
    }

    /// Whether nothing went along a way within the step, as over a crest that stays dry.
    fn is_still(&self, start: &Rates, flow: usize) -> bool {
        let ((up, down), rates) = (start.slopes[flow], &self.along[flow]);
        // looked at all at once, without their signs
        let bits = rates.iter().chain(&[up, down, start.drifts[flow]]).fold(0, |bits, value| bits | value.to_bits());
        bits << 1 == 0
    }

    fn stages_along(&self, kernel: &Kernel, start: &Rates, flow: usize) -> [f64; STAGES] {
        let (rates, ends) = (&self.along[flow], kernel.ends[flow]);
        let ((up, down), drift_s) = (start.slopes[flow], start.drifts[flow] * self.step_s);
        let (from, to) = (&self.stages[ends.from], &self.stages[ends.to]);
        let mut whole = [0.0; STAGES];
        for (stage, whole) in whole.iter_mut().enumerate() {
            *whole = self.step_s * (rates[stage] + up * from[stage] + down * to[stage] + drift_s * DRIFTS[stage]);
        }
        whole
    }

    /// I/(γh) - J, with its columns eliminated in place. What leaves one store enters another or is lost, so it is
    /// dominated by its diagonal, and needs no exchange of rows.
    #[inline(always)]
    fn factor<const STORES: usize>(&mut self, start: &Start<'_>, per_step: f64) {
        let n = if STORES == ANY { self.stores } else { STORES };
        let matrix = &mut self.matrix[..n * n];
        matrix.fill(0.0);
        for store in 0..n {
            matrix[store * n + store] = per_step / GAMMA;
        }
        for (ends, (up, down)) in start.kernel.ends.iter().zip(&start.rates.slopes) {
            let (from, to) = (ends.from, ends.to);
            if from < n {
                matrix[from * n + from] += up;
                if to < n {
                    matrix[to * n + from] -= up;
                    matrix[from * n + to] += down;
                }
            }
            if to < n {
                matrix[to * n + to] -= down;
            }
        }
        for pivot in 0..n {
            let inverse = 1.0 / matrix[pivot * n + pivot];
            matrix[pivot * n + pivot] = inverse;
            for row in pivot + 1..n {
                if matrix[row * n + pivot] == 0.0 {
                    continue;
                }
                let factor = matrix[row * n + pivot] * inverse;
                matrix[row * n + pivot] = factor;
                for column in pivot + 1..n {
                    let above = matrix[pivot * n + column];
                    matrix[row * n + column] -= factor * above;
                }
            }
        }
    }
}

/// Solves with a matrix eliminated by [`Stepper::factor`].
#[inline(always)]
fn solve(matrix: &[f64], right: &mut [f64]) {
    let n = right.len();
    for row in 1..n {
        let mut sum = right[row];
        for column in 0..row {
            sum -= matrix[row * n + column] * right[column];
        }
        right[row] = sum;
    }
    for row in (0..n).rev() {
        let mut sum = right[row];
        for column in row + 1..n {
            sum -= matrix[row * n + column] * right[column];
        }
        right[row] = sum * matrix[row * n + row];
    }
}
