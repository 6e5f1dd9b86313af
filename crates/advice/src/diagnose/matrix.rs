//! Small dense symmetric matrices: covariances of a dozen readings.

/// A square matrix, row by row.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Matrix {
    n: usize,
    cells: Vec<f64>,
}

/// Lower triangle L of C = L Lᵀ.
#[derive(Debug, Clone)]
pub(super) struct Cholesky(Matrix);

impl Matrix {
    pub fn diagonal(of: &[f64]) -> Self {
        let n = of.len();
        let mut m = Self { n, cells: vec![0.0; n * n] };
        of.iter().enumerate().for_each(|(i, v)| m.add(i, i, *v));
        m
    }

    pub fn get(&self, i: usize, j: usize) -> f64 {
        self.cells[i * self.n + j]
    }

    pub fn add(&mut self, i: usize, j: usize, value: f64) {
        self.cells[i * self.n + j] += value;
    }

    /// Rows and columns of a selection.
    pub fn of(&self, which: &[usize]) -> Self {
        let n = which.len();
        let cells = which.iter().flat_map(|&i| which.iter().map(move |&j| (i, j))).map(|(i, j)| self.get(i, j));
        Self { n, cells: cells.collect() }
    }

    /// `None` when it is not positive definite.
    pub fn cholesky(&self) -> Option<Cholesky> {
        let n = self.n;
        let mut l = Self { n, cells: vec![0.0; n * n] };
        for i in 0..n {
            for j in 0..=i {
                let sum: f64 = (0..j).map(|k| l.get(i, k) * l.get(j, k)).sum();
                let value = self.get(i, j) - sum;
                if i == j {
                    if value <= 0.0 || !value.is_finite() {
                        return None;
                    }
                    l.add(i, i, value.sqrt());
                } else {
                    let below = l.get(j, j);
                    l.add(i, j, value / below);
                }
            }
        }
        Some(Cholesky(l))
    }
}

impl Cholesky {
    /// L⁻¹ x.
    fn forward(&self, x: &[f64]) -> Vec<f64> {
        let mut y = x.to_vec();
        for i in 0..y.len() {
            let sum: f64 = (0..i).map(|k| self.0.get(i, k) * y[k]).sum();
            y[i] = (y[i] - sum) / self.0.get(i, i);
        }
        y
    }

    /// xᵀ C⁻¹ x.
    pub fn square(&self, x: &[f64]) -> f64 {
        self.forward(x).iter().map(|v| v * v).sum()
    }

    /// xᵀ C⁻¹ y.
    pub fn product(&self, x: &[f64], y: &[f64]) -> f64 {
        self.forward(x).iter().zip(self.forward(y)).map(|(a, b)| a * b).sum()
    }

    /// ln det C.
    pub fn log_determinant(&self) -> f64 {
        2.0 * (0..self.0.n).map(|i| self.0.get(i, i).ln()).sum::<f64>()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_small_system_is_solved() {
        // C = [[4, 2], [2, 3]]: det 8, C⁻¹ = [[3, −2], [−2, 4]]/8.
        let mut c = Matrix::diagonal(&[4.0, 3.0]);
        c.add(0, 1, 2.0);
        c.add(1, 0, 2.0);
        let l = c.cholesky().expect("positive");
        assert!((l.log_determinant() - 8f64.ln()).abs() < 1e-12);
        assert!((l.square(&[1.0, 1.0]) - 3.0 / 8.0).abs() < 1e-12);
        assert!((l.product(&[1.0, 0.0], &[0.0, 1.0]) + 0.25).abs() < 1e-12);
        c.add(1, 1, -2.5);
        assert!(c.cholesky().is_none());
    }
}
