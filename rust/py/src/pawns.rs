//! Pawn endings for Python: one object that keeps its tables.

use std::sync::Mutex;

use linewright_core::key::position_of;
use linewright_core::pawns::{Bracket, NoTable, Tables};
use pyo3::exceptions::PyValueError;
use pyo3::prelude::*;
use shakmaty::{CastlingMode, Chess};

use crate::refused;

/// Solved pawn endings; values are (low, high, thumb) from White's side.
#[pyclass(name = "PawnTables", module = "linewright._core")]
pub struct PawnTables {
    tables: Mutex<Tables>,
}

type Value = (i8, i8, i8);
type MoveValue = (String, Value, Option<u8>);

fn triple(bracket: Bracket) -> Value {
    (bracket.low, bracket.high, bracket.thumb)
}

fn answered<T>(answer: Result<T, NoTable>) -> PyResult<Option<T>> {
    match answer {
        Ok(value) => Ok(Some(value)),
        Err(NoTable::TooMany) => Ok(None),
        Err(NoTable::OtherMen) => Err(PyValueError::new_err(
            "the position has other men than kings and pawns",
        )),
    }
}

impl PawnTables {
    fn ask<T: Send>(
        &self,
        py: Python<'_>,
        fen: &str,
        question: impl FnOnce(&mut Tables, &Chess) -> T + Send,
    ) -> PyResult<T> {
        let position = position_of(fen).map_err(refused)?;
        Ok(py.detach(move || {
            let mut tables = self
                .tables
                .lock()
                .unwrap_or_else(|poisoned| poisoned.into_inner());
            question(&mut tables, &position)
        }))
    }
}

#[pymethods]
impl PawnTables {
    #[new]
    fn new(most_skeletons: usize) -> Self {
        PawnTables {
            tables: Mutex::new(Tables::new(most_skeletons)),
        }
    }

    /// (low, high, thumb) from White's side; None if the pawns can go too many ways.
    fn bracket(&self, py: Python<'_>, fen: &str) -> PyResult<Option<Value>> {
        let answer = self.ask(py, fen, |tables, position| tables.bracket(position))?;
        Ok(answered(answer)?.map(triple))
    }

    /// As `bracket`, after following promotions that matter through at most so many tables.
    fn prove(&self, py: Python<'_>, fen: &str, most_tables: usize) -> PyResult<Option<Value>> {
        let answer = self.ask(py, fen, |tables, position| {
            tables.prove(position, most_tables)
        })?;
        Ok(answered(answer)?.map(triple))
    }

    /// Every legal move in UCI with (low, high, thumb) after it and the plies to the queening or
    /// mate that wins, if one does; None as for `bracket`.
    fn moves(&self, py: Python<'_>, fen: &str) -> PyResult<Option<Vec<MoveValue>>> {
        let answer = self.ask(py, fen, |tables, position| tables.moves(position))?;
        let named = |list: Vec<linewright_core::pawns::MoveBracket>| {
            list.into_iter()
                .map(|item| {
                    let uci = item.played.to_uci(CastlingMode::Standard).to_string();
                    (uci, triple(item.after), item.plies)
                })
                .collect()
        };
        Ok(answered(answer)?.map(named))
    }

    /// Number of skeletons solved so far.
    fn solved(&self) -> usize {
        self.tables
            .lock()
            .map(|tables| tables.solved())
            .unwrap_or(0)
    }
}
