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

/// How much of each stage goes into what is known of a store: the two bends of the dense output (0 and 7), the place at
/// which each later stage is taken (1 to 5), and the end of the step (6).
const INTO: [[f64; 8]; STAGES] = {
    let mut into = [[0.0; 8]; STAGES];
    let mut stage = 0;
    while stage < STAGES {
        let mut later = 1;
        while later < STAGES {
            into[stage][later] = A[later][stage];
            later += 1;
        }
        into[stage][0] = D2[stage];
        into[stage][END] = if stage + 1 < STAGES { A[STAGES - 1][stage] } else { 1.0 };
        into[stage][7] = D3[stage];
        stage += 1;
    }
    into
};
const END: usize = 6;
/// How much of each stage goes into the right side of each later one.
const ONWARDS: [[f64; STAGES]; STAGES] = {
    let mut onwards = [[0.0; STAGES]; STAGES];
    let mut stage = 0;
    while stage < STAGES {
        let mut later = 0;
        while later < STAGES {
            onwards[stage][later] = C[later][stage];
            later += 1;
        }
        stage += 1;
    }
    onwards
};

/// What the stages so far come to, for a store or for the volume that goes along a way.
///
/// A stage is added to all sums as soon as it is known: sums of many terms each would wait for the last of them.
#[derive(Clone, Copy, Debug, Default)]
struct Sums {
    into: [f64; 8],
    onwards: [f64; STAGES],
}

impl Sums {
    #[inline(always)]
    fn take(&mut self, stage: usize, value: f64) {
        if stage == 0 {
            self.into = INTO[0].map(|weight| weight * value);
            self.onwards = ONWARDS[0].map(|weight| weight * value);
            return;
        }
        for (sum, weight) in self.into.iter_mut().zip(&INTO[stage]) {
            *sum += weight * value;
        }
        for (sum, weight) in self.onwards.iter_mut().zip(&ONWARDS[stage]) {
            *sum += weight * value;
        }
    }
    fn cubic(&self, begin: f64) -> Cubic {
        Cubic::new(begin, begin + self.into[END], self.into[0], self.into[7])
    }
}

/// Room for the stages of one system.
#[derive(Clone, Debug)]
pub(super) struct Stepper {
    stores: usize,
    /// Of each store, then of the volume that goes along each way.
    sums: Vec<Sums>,
    matrix: Vec<f64>,
    /// Volumes at a stage.
    at: Vec<f64>,
    /// One for each store, and one for all that is outside.
    right: Vec<f64>,
    /// Rates of the stages.
    rates: Rates,
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

impl Stepper {
    pub(super) fn new(kernel: &Kernel<'_>) -> Self {
        let (stores, flows) = (kernel.system.stores.len(), kernel.ends.len());
        Self {
            stores,
            sums: vec![Sums::default(); stores + flows],
            matrix: vec![0.0; stores * stores],
            at: vec![0.0; stores],
            right: vec![0.0; stores + 1],
            rates: Rates::new(kernel),
            error: vec![0.0; stores],
        }
    }

    /// Takes a step of a length; what it comes to is then told by the others.
    pub(super) fn step(&mut self, start: Start<'_>, step_s: f64) {
        self.factor(&start, step_s);
        self.rates.pieces.copy_from_slice(&start.rates.pieces);
        let stores = self.stores;
        let (per_step, weight_s) = (1.0 / step_s, GAMMA * step_s);
        for stage in 0..STAGES {
            if stage > 0 {
                for ((at, sums), volume) in self.at.iter_mut().zip(&self.sums).zip(start.volumes) {
                    *at = volume + sums.into[stage];
                }
                let after_s = start.after_s + TIMES[stage] * step_s;
                self.rates.flows_at(start.kernel, start.forcing, start.running, &self.at, after_s);
            }
            let rates = if stage == 0 { start.rates } else { &self.rates };
            let per_step = if stage == 0 { 0.0 } else { per_step };
            let (of_stores, of_flows) = self.sums.split_at_mut(stores);
            // the stores
            let drift_s = DRIFTS[stage] * step_s;
            let known = rates.change.iter().zip(&start.forcing.inflow).zip(of_stores.iter());
            for (right, ((change, (_, growth)), sums)) in self.right.iter_mut().zip(known) {
                *right = change + drift_s * growth + sums.onwards[stage] * per_step;
            }
            if start.rates.drift && drift_s != 0.0 {
                for (ends, drift) in start.kernel.ends.iter().zip(&start.rates.drifts) {
                    self.right[ends.to] += drift_s * drift;
                }
            }
            solve(&self.matrix, &mut self.right, stores);
            self.right[stores] = 0.0;
            for (sums, value) in of_stores.iter_mut().zip(&self.right) {
                sums.take(stage, *value);
            }
            if stage + 1 == STAGES {
                self.error.copy_from_slice(&self.right[..stores]);
            }
            // what went along each way, by the same stage
            let slopes = start.rates.slopes.iter().zip(&start.rates.drifts);
            let known = start.kernel.ends.iter().zip(&rates.flows).zip(slopes);
            for (sums, ((ends, rate), ((up, down), drift))) in of_flows.iter_mut().zip(known) {
                let by_stores = up * self.right[ends.from] + down * self.right[ends.to];
                sums.take(stage, weight_s * (rate + drift_s * drift + by_stores + sums.onwards[stage] * per_step));
            }
        }
    }

    /// How much more each store holds at the end of the step.
    pub(super) fn ends(&self) -> impl Iterator<Item = f64> {
        self.sums.iter().map(|sums| sums.into[END])
    }

    /// What the stores hold inside the step, from what they held at its start.
    pub(super) fn inside(&self, volumes: &[f64], dense: &mut Dense) {
        for ((cubic, sums), begin) in dense.cubics_mut().iter_mut().zip(&self.sums).zip(volumes) {
            *cubic = sums.cubic(*begin);
        }
    }

    /// What went along a way up to a share of the step.
    pub(super) fn moved(&self, flow: usize, share: f64) -> f64 {
        let sums = &self.sums[self.stores + flow];
        if share >= 1.0 { sums.into[END] } else { sums.cubic(0.0).at(share) }
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
            let (from, to) = (ends.from, ends.to);
            if from < n {
                self.matrix[from * n + from] += up;
                if to < n {
                    self.matrix[to * n + from] -= up;
                    self.matrix[from * n + to] += down;
                }
            }
            if to < n {
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
    if let ([a, b, c, d], [x, y, _]) = (matrix, &mut *right) {
        // two stores, as most yards have
        *y = (*y - c * *x) * d;
        *x = (*x - b * *y) * a;
        return;
    }
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
