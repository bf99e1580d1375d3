//! Wordings for Python: an object that keeps them ready.

use std::borrow::Cow;

use linewright_core::wordings::{Fit, Names, Told, Wordings as Core};
use pyo3::exceptions::PyValueError;
use pyo3::prelude::*;

/// Ways of saying something, found in a text.
#[pyclass(module = "linewright._core")]
pub struct Wordings {
    core: Core,
}

/// The number of a wording, where it begins and ends, and what its groups hold.
type Found = (usize, usize, usize, Vec<(String, String)>);

fn found(fit: Fit<'_>, text: &[char]) -> Found {
    let held = |(name, begin, end): (&str, usize, usize)| {
        (name.to_owned(), text[begin..end].iter().collect())
    };
    (
        fit.wording,
        fit.begin,
        fit.end,
        fit.groups.into_iter().map(held).collect(),
    )
}

#[pymethods]
impl Wordings {
    #[new]
    fn new(wordings: Vec<(String, String)>, names: Names) -> PyResult<Self> {
        let told: Vec<Told> = wordings
            .iter()
            .map(|(expression, guard)| Told { expression, guard })
            .collect();
        let core = Core::new(&told, &names).map_err(|(number, fault)| {
            PyValueError::new_err(format!("wording {number}: {fault}"))
        })?;
        Ok(Wordings { core })
    }

    fn beginning(&mut self, text: Cow<'_, str>, begin: usize, ends: Vec<usize>) -> Vec<Found> {
        let text: Vec<char> = text.chars().collect();
        let last = text.len();
        let ends: Vec<usize> = ends.into_iter().filter(|&end| end <= last).collect();
        let fits = self.core.beginning(&text, begin.min(last), &ends);
        fits.into_iter().map(|fit| found(fit, &text)).collect()
    }

    fn leading(&mut self, text: Cow<'_, str>, begin: usize) -> Vec<Found> {
        let text: Vec<char> = text.chars().collect();
        let fits = self.core.leading(&text, begin.min(text.len()));
        fits.into_iter().map(|fit| found(fit, &text)).collect()
    }

    fn anywhere(&mut self, text: Cow<'_, str>) -> Vec<Found> {
        let text: Vec<char> = text.chars().collect();
        let fits = self.core.anywhere(&text);
        fits.into_iter().map(|fit| found(fit, &text)).collect()
    }
}
