//! What owning equipment costs a year: capital, taxes, insurance, repairs.

use job::costs::{Ownership, OwnershipForm};

/// Returns the capital recovery factor: the equal payment at the end of each of `years` years that pays back 1 at an `interest`
/// a year; without interest 1 / years.
///
/// # Source
/// The annuity formula, i (1+i)^n / ((1+i)^n − 1), as in the machinery example of Iowa State A3-29 (seen).
pub fn capital_recovery_factor(interest: f64, years: f64) -> f64 {
    if interest == 0.0 {
        return 1.0 / years;
    }
    let grown = (1.0 + interest).powf(years);
    interest * grown / (grown - 1.0)
}

/// Returns the yearly cost of capital, exact: (P − S) CRF + S i.
pub fn capital_recovery(price: f64, salvage: f64, interest: f64, years: f64) -> f64 {
    (price - salvage) * capital_recovery_factor(interest, years) + salvage * interest
}

/// Returns the yearly cost of capital by the straight-line form: (P − S) / n + i (P + S) / 2.
pub fn straight_line(price: f64, salvage: f64, interest: f64, years: f64) -> f64 {
    (price - salvage) / years + 0.5 * interest * (price + salvage)
}

/// Returns the interest left when prices rise: exact, (1 + nominal) / (1 + inflation) − 1.
pub fn real_rate(nominal: f64, inflation: f64) -> f64 {
    (1.0 + nominal) / (1.0 + inflation) - 1.0
}

/// What owning something costs each year.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OwnershipCost {
    /// Capital: depreciation and interest.
    pub capital: f64,
    /// Taxes.
    pub taxes: f64,
    /// Insurance.
    pub insurance: f64,
    /// Repairs.
    pub repairs: f64,
}

impl OwnershipCost {
    /// Of something of a price; a grant lowers what has to be paid back, not what taxes, insurance and repairs go by.
    pub fn of(price: f64, how: &Ownership) -> Self {
        let paid = price * (1.0 - how.grant);
        let salvage = price * how.salvage;
        let capital = match how.form {
            OwnershipForm::CapitalRecovery => capital_recovery(paid, salvage, how.interest, how.years),
            OwnershipForm::StraightLine => straight_line(paid, salvage, how.interest, how.years),
        };
        Self { capital, taxes: price * how.taxes, insurance: price * how.insurance, repairs: price * how.repairs }
    }

    /// All of it.
    pub fn total(&self) -> f64 {
        self.capital + self.taxes + self.insurance + self.repairs
    }
}

/// The form in words.
pub fn form_name(form: OwnershipForm) -> &'static str {
    match form {
        OwnershipForm::CapitalRecovery => "capital recovery, exact",
        OwnershipForm::StraightLine => "straight line",
    }
}
