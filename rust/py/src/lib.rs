//! Python binding of `linewright-core`: convert, release the GIL, map errors, nothing else.

mod engine;
mod games;
mod pawns;
mod talk;
mod wordings;

use linewright_core::{PositionError, key};
use pyo3::exceptions::PyValueError;
use pyo3::prelude::*;

fn refused(error: PositionError) -> PyErr {
    PyValueError::new_err(error.to_string())
}

/// Signed 64-bit key of the position a FEN describes.
#[pyfunction]
fn position_key(fen: &str) -> PyResult<i64> {
    key::key_of_fen(fen).map_err(refused)
}

/// Number of legal move sequences of `depth` plies.
#[pyfunction]
fn perft(py: Python<'_>, fen: &str, depth: u32) -> PyResult<u64> {
    let position = key::position_of(fen).map_err(refused)?;
    Ok(py.detach(|| linewright_core::perft::perft(&position, depth)))
}

#[pymodule]
fn _core(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_function(wrap_pyfunction!(position_key, module)?)?;
    module.add_function(wrap_pyfunction!(perft, module)?)?;
    engine::register(module)?;
    module.add_class::<pawns::PawnTables>()?;
    games::register(module)?;
    module.add_class::<talk::OpeningBook>()?;
    module.add_function(wrap_pyfunction!(talk::seen_moves, module)?)?;
    module.add_function(wrap_pyfunction!(talk::traits_of_moves, module)?)?;
    module.add("TRAITS", linewright_core::talk::TRAITS.to_vec())?;
    module.add("HABITS", linewright_core::talk::PARTS.to_vec())?;
    module.add_class::<talk::TalkSearch>()?;
    module.add_class::<talk::TalkFound>()?;
    module.add_class::<wordings::Wordings>()?;
    Ok(())
}
