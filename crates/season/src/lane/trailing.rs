//! The mean of the last hours.

#[derive(Debug, Clone)]
pub(super) struct Trailing {
    values: Vec<f64>,
    next: usize,
    length: usize,
}

impl Trailing {
    pub(super) fn new(length: usize) -> Self {
        Self { values: Vec::with_capacity(length), next: 0, length }
    }

    pub(super) fn push(&mut self, value: f64) {
        if self.values.len() < self.length {
            self.values.push(value);
        } else {
            self.values[self.next] = value;
            self.next = (self.next + 1) % self.length;
        }
    }

    /// The mean, once the window is full.
    pub(super) fn mean(&self) -> Option<f64> {
        (self.values.len() == self.length).then(|| self.values.iter().sum::<f64>() / self.length as f64)
    }
}
