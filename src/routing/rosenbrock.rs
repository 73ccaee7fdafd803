//! One step of a stiffly accurate Rosenbrock method of order 4(3) with dense output.
//!
//! Source: RODAS of Hairer and Wanner, Solving Ordinary Differential Equations II (2nd ed. 1996), section IV.7; its
//! coefficients from memory, and their order shown by the tests below. L-stable: a drowned pipe that would force an
//! explicit method to steps of a second does not bother it.
//!
//! Beside what each store holds, the volume that went along each way is carried with the same stages. What a linear
//! sum keeps, every such method keeps to the last digit, so the balance of stores and ways closes whatever the step.
#![expect(clippy::indexing_slicing, reason = "all arrays are made for one system and have its size")]
#![expect(clippy::unreadable_literal, reason = "coefficients as they are known")]

use super::dense::{Cubic, Dense};
use super::rates::{Forcing, Kernel, Rates, Running};

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

/// Room for the stages of one system.
#[derive(Clone, Debug)]
pub(super) struct Stepper {
    stores: usize,
    /// The stages of each store, then of the volume that goes along each way.
    stages: Vec<[f64; STAGES]>,
    matrix: Vec<f64>,
    at: Vec<f64>,
    right: Vec<f64>,
    /// Rates of the stages.
    rates: Rates,
    /// What the stores hold inside the step, and what went along each way by then.
    pub(super) dense: Dense,
    /// The estimated error of each store.
    pub(super) error: Vec<f64>,
}

/// What a step starts from.
#[derive(Clone, Copy, Debug)]
pub(super) struct Start<'a> {
    pub(super) kernel: &'a Kernel<'a>,
    pub(super) forcing: &'a Forcing,
    pub(super) running: Running,
    /// What the stores hold.
    pub(super) volumes: &'a [f64],
    /// How long after the start of the forcing.
    pub(super) after_s: f64,
    /// The rates there.
    pub(super) rates: &'a Rates,
}

/// A weighted sum of stages; those not yet taken are nothing.
fn sum(weights: &[f64; STAGES], stages: &[f64; STAGES]) -> f64 {
    let [w0, w1, w2, w3, w4, w5] = weights;
    let [s0, s1, s2, s3, s4, s5] = stages;
    // in pairs, so that no addition waits for all before it
    (w0 * s0 + w1 * s1) + (w2 * s2 + w3 * s3) + (w4 * s4 + w5 * s5)
}

impl Stepper {
    pub(super) fn new(kernel: &Kernel<'_>) -> Self {
        let (stores, flows) = (kernel.system.stores.len(), kernel.ends.len());
        let none = || vec![0.0; stores];
        Self {
            stores,
            stages: vec![[0.0; STAGES]; stores + flows],
            matrix: vec![0.0; stores * stores],
            at: none(),
            right: none(),
            rates: Rates::new(kernel),
            dense: Dense::new(stores, flows),
            error: none(),
        }
    }

    /// Takes a step of a length and leaves its outcome in `dense` and `error`.
    pub(super) fn step(&mut self, start: Start<'_>, step_s: f64) {
        let stores = self.stores;
        self.factor(&start, step_s);
        self.rates.pieces.copy_from_slice(&start.rates.pieces);
        self.stages.fill([0.0; STAGES]);
        let (per_step, weight_s) = (1.0 / step_s, GAMMA * step_s);
        for stage in 0..STAGES {
            if stage > 0 {
                for ((at, stages), volume) in self.at.iter_mut().zip(&self.stages).zip(start.volumes) {
                    *at = volume + sum(&A[stage], stages);
                }
                let after_s = start.after_s + TIMES[stage] * step_s;
                self.rates.at(start.kernel, start.forcing, start.running, &self.at, after_s);
            }
            let rates = if stage == 0 { start.rates } else { &self.rates };
            // the stores
            let drift_s = DRIFTS[stage] * step_s;
            for (store, right) in self.right.iter_mut().enumerate() {
                let earlier = sum(&C[stage], &self.stages[store]);
                *right = rates.change[store] + earlier * per_step + drift_s * start.forcing.inflow[store].1;
            }
            if drift_s != 0.0 {
                for (ends, drift) in start.kernel.ends.iter().zip(&start.rates.drifts) {
                    if *drift != 0.0
                        && let Some(to) = ends.to
                    {
                        self.right[to] += drift_s * drift;
                    }
                }
            }
            solve(&self.matrix, &mut self.right, stores);
            for (stages, right) in self.stages.iter_mut().zip(&self.right) {
                stages[stage] = *right;
            }
            // what went along each way, by the same stage
            for (flow, ends) in start.kernel.ends.iter().enumerate() {
                let (up, down) = start.rates.slopes[flow];
                let above = ends.from.map_or(0.0, |from| up * self.right[from]);
                let below = ends.to.map_or(0.0, |to| down * self.right[to]);
                let stages = &mut self.stages[stores + flow];
                let earlier = sum(&C[stage], stages);
                let rate = rates.flows[flow] + drift_s * start.rates.drifts[flow] + above + below + earlier * per_step;
                stages[stage] = weight_s * rate;
            }
        }
        let volumes = start.volumes.iter().copied().chain(std::iter::repeat(0.0));
        for ((cubic, stages), begin) in self.dense.cubics_mut().iter_mut().zip(&self.stages).zip(volumes) {
            let end = begin + sum(&A[5], stages) + stages[5];
            *cubic = Cubic::new(begin, end, sum(&D2, stages), sum(&D3, stages));
        }
        for (error, stages) in self.error.iter_mut().zip(&self.stages) {
            *error = stages[5];
        }
    }

    /// I/(γh) - J, with its columns eliminated in place. What leaves one store enters another or is lost, so it is
    /// dominated by its diagonal, and needs no exchange of rows.
    fn factor(&mut self, start: &Start<'_>, step_s: f64) {
        let n = self.stores;
        self.matrix.fill(0.0);
        for store in 0..n {
            self.matrix[store * n + store] = 1.0 / (GAMMA * step_s);
        }
        for (ends, (up, down)) in start.kernel.ends.iter().zip(&start.rates.slopes) {
            if let Some(from) = ends.from {
                self.matrix[from * n + from] += up;
                if let Some(to) = ends.to {
                    self.matrix[to * n + from] -= up;
                    self.matrix[from * n + to] += down;
                }
            }
            if let Some(to) = ends.to {
                self.matrix[to * n + to] -= down;
            }
        }
        for pivot in 0..n {
            let inverse = 1.0 / self.matrix[pivot * n + pivot];
            self.matrix[pivot * n + pivot] = inverse;
            for row in pivot + 1..n {
                if self.matrix[row * n + pivot] == 0.0 {
                    continue;
                }
                let factor = self.matrix[row * n + pivot] * inverse;
                self.matrix[row * n + pivot] = factor;
                for column in pivot + 1..n {
                    let above = self.matrix[pivot * n + column];
                    self.matrix[row * n + column] -= factor * above;
                }
            }
        }
    }
}

/// Solves with a matrix eliminated by [`Stepper::factor`].
fn solve(matrix: &[f64], right: &mut [f64], n: usize) {
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
