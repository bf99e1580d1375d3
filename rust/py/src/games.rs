//! Games: reading, indexing, following and inventing them.

use std::collections::{HashMap, HashSet};
use std::sync::Mutex;

use linewright_core::games::index::{Head, Indexer, Rows, Stretch, band_of};
use linewright_core::games::plans::{Count, Event, Plans};
use linewright_core::games::read::{GameColumns, Reader, Remark, Report, Strings};
use linewright_core::games::{Replay, arrivals, generate, moves, workers};
use linewright_core::key;
use pyo3::exceptions::{PyIndexError, PyRuntimeError, PyValueError};
use pyo3::prelude::*;
use pyo3::types::{PyBytes, PyDict};
use shakmaty::san::SanPlus;

macro_rules! numbers {
    ($py:expr, $values:expr, $width:literal) => {
        PyBytes::new_with($py, $values.len() * $width, |out| {
            for (place, value) in out.chunks_exact_mut($width).zip($values) {
                place.copy_from_slice(&value.to_le_bytes());
            }
            Ok(())
        })?
    };
}

macro_rules! from_bytes {
    ($bytes:expr, $kind:ty) => {
        $bytes
            .chunks_exact(size_of::<$kind>())
            .map(|chunk| <$kind>::from_le_bytes(chunk.try_into().expect("chunks are exact")))
            .collect::<Vec<$kind>>()
    };
}

fn poisoned<T>(_: T) -> PyErr {
    PyRuntimeError::new_err("a worker failed before")
}

/// Reads PGN in chunks; see `linewright_core::games::read`.
#[pyclass(frozen, module = "linewright._core")]
pub struct GameReader(Mutex<Reader>);

#[pymethods]
impl GameReader {
    #[new]
    #[pyo3(signature = (known, *, keep_to_fault = false))]
    fn new(known: &[u8], keep_to_fault: bool) -> Self {
        let known: HashSet<i64> = from_bytes!(known, i64).into_iter().collect();
        Self(Mutex::new(Reader::new(known, keep_to_fault, workers())))
    }

    fn feed(&self, py: Python<'_>, data: &[u8]) -> PyResult<()> {
        py.detach(|| {
            self.0
                .lock()
                .map(|mut reader| reader.feed(data))
                .map_err(poisoned)
        })
    }

    fn finish(&self, py: Python<'_>) -> PyResult<()> {
        py.detach(|| {
            self.0
                .lock()
                .map(|mut reader| reader.finish())
                .map_err(poisoned)
        })
    }

    fn drop_rest(&self) -> PyResult<()> {
        self.0.lock().map_err(poisoned)?.drop_rest();
        Ok(())
    }

    fn waiting(&self) -> PyResult<usize> {
        Ok(self.0.lock().map_err(poisoned)?.waiting())
    }

    fn held_back(&self) -> PyResult<usize> {
        Ok(self.0.lock().map_err(poisoned)?.held_back())
    }

    fn line(&self) -> PyResult<u64> {
        Ok(self.0.lock().map_err(poisoned)?.line())
    }

    fn start_at_line(&self, line: u64) -> PyResult<()> {
        self.0.lock().map_err(poisoned)?.start_at_line(line);
        Ok(())
    }

    fn take_games<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let games = self.0.lock().map_err(poisoned)?.take_games();
        columns(py, &games)
    }

    fn take_report<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let report = self.0.lock().map_err(poisoned)?.take_report();
        reported(py, report)
    }
}

fn columns<'py>(py: Python<'py>, games: &GameColumns) -> PyResult<Bound<'py, PyDict>> {
    let dict = PyDict::new(py);
    for (name, strings) in [
        ("event", &games.event),
        ("site", &games.site),
        ("date", &games.date),
        ("round", &games.round),
        ("white", &games.white),
        ("black", &games.black),
        ("fen", &games.fen),
        ("rest", &games.rest),
        ("moves", &games.moves),
    ] {
        dict.set_item(name, texts(py, strings)?)?;
    }
    dict.set_item("white_rating", numbers!(py, &games.white_rating, 2))?;
    dict.set_item("black_rating", numbers!(py, &games.black_rating, 2))?;
    dict.set_item("year", numbers!(py, &games.year, 2))?;
    dict.set_item("result", PyBytes::new(py, &games.result))?;
    dict.set_item("plies", numbers!(py, &games.plies, 2))?;
    dict.set_item("line", numbers!(py, &games.line, 4))?;
    dict.set_item("cut", PyBytes::new(py, &games.cut))?;
    dict.set_item("fingerprint", numbers!(py, &games.fingerprint, 8))?;
    Ok(dict)
}

type Texts<'py> = (Bound<'py, PyBytes>, Bound<'py, PyBytes>);

fn texts<'py>(py: Python<'py>, strings: &Strings) -> PyResult<Texts<'py>> {
    Ok((
        numbers!(py, &strings.offsets, 4),
        PyBytes::new(py, &strings.data),
    ))
}

fn reported(py: Python<'_>, report: Report) -> PyResult<Bound<'_, PyDict>> {
    let remarks = |list: Vec<Remark>| -> Vec<(u64, u64, String)> {
        list.into_iter()
            .map(|r| (r.line, r.game_line, r.reason))
            .collect()
    };
    let dict = PyDict::new(py);
    dict.set_item("games", report.games)?;
    dict.set_item("variants", report.variants)?;
    dict.set_item("refused", remarks(report.refused))?;
    dict.set_item("warnings", remarks(report.warnings))?;
    dict.set_item("warned", report.warned)?;
    dict.set_item("duplicates", report.duplicates)?;
    Ok(dict)
}

/// Games as they are stored, side by side.
#[pyclass(frozen, module = "linewright._core")]
pub struct StoredGames {
    moves: Vec<u8>,
    offsets: Vec<i32>,
    fens: String,
    fen_offsets: Vec<i32>,
    heads: Vec<Head>,
    skip: Vec<u8>,
}

impl StoredGames {
    fn stretch(&self) -> Stretch<'_> {
        Stretch {
            moves: &self.moves,
            offsets: &self.offsets,
            fens: &self.fens,
            fen_offsets: &self.fen_offsets,
            heads: &self.heads,
            skip: &self.skip,
        }
    }
}

#[pymethods]
impl StoredGames {
    #[new]
    #[allow(clippy::too_many_arguments)]
    fn new(
        moves: &[u8],
        offsets: &[u8],
        fens: &[u8],
        fen_offsets: &[u8],
        white: &[u8],
        black: &[u8],
        year: &[u8],
        result: &[u8],
        skip: &[u8],
    ) -> PyResult<Self> {
        let (white, black, year) = (
            from_bytes!(white, i16),
            from_bytes!(black, i16),
            from_bytes!(year, i16),
        );
        let heads: Vec<Head> = white
            .into_iter()
            .zip(black)
            .zip(year)
            .zip(result)
            .map(|(((white, black), year), &result)| Head {
                white,
                black,
                year,
                result,
            })
            .collect();
        let games = Self {
            moves: moves.to_vec(),
            offsets: from_bytes!(offsets, i32),
            fens: String::from_utf8_lossy(fens).into_owned(),
            fen_offsets: from_bytes!(fen_offsets, i32),
            heads,
            skip: skip.to_vec(),
        };
        if games.fits() {
            Ok(games)
        } else {
            Err(PyValueError::new_err(
                "columns of games do not fit together",
            ))
        }
    }

    fn __len__(&self) -> usize {
        self.heads.len()
    }

    /// Numbers of the games that pass the position within `plies` plies.
    fn passing(&self, py: Python<'_>, key: i64, plies: usize) -> Vec<usize> {
        let stretch = self.stretch();
        py.detach(|| {
            (0..self.heads.len())
                .filter(|&index| {
                    !stretch.skipped(index) && arrivals::passes(&stretch, index, key, plies)
                })
                .collect()
        })
    }

    /// Ways by which games arrive at a position, as move numbers, with their counts.
    fn arrivals(&self, py: Python<'_>, key: i64, plies: usize) -> Vec<(Vec<u16>, u32)> {
        py.detach(|| {
            let mut ways = HashMap::new();
            arrivals::count(&self.stretch(), key, plies, &mut ways);
            ways.into_iter().collect()
        })
    }

    /// What happens after a position: all games, and each event with its games.
    fn plans(
        &self,
        py: Python<'_>,
        key: i64,
        depth: usize,
        plies: usize,
    ) -> (Tallied, Vec<(String, String, Tallied)>) {
        py.detach(|| {
            let mut plans = Plans::default();
            plans.add(&self.stretch(), key, depth, plies);
            let mut events: Vec<_> = plans
                .events
                .into_iter()
                .map(|(event, count)| named(event, count))
                .collect();
            events.sort();
            (tallied(plans.all), events)
        })
    }

    /// The moves of a game in SAN.
    fn san(&self, index: usize) -> PyResult<Vec<String>> {
        if index >= self.heads.len() {
            return Err(PyIndexError::new_err(format!("there is no game {index}")));
        }
        let mut line = Vec::new();
        if let Some(mut replay) = Replay::new(self.stretch().game(index)) {
            while let Some(played) = replay.peek() {
                line.push(SanPlus::from_move(replay.position.clone(), played).to_string());
                replay.play(played);
            }
        }
        Ok(line)
    }
}

impl StoredGames {
    fn fits(&self) -> bool {
        let ordered = |offsets: &[i32], length: usize| {
            offsets.len() == self.heads.len() + 1
                && offsets.is_sorted()
                && offsets.first().is_some_and(|&first| first >= 0)
                && offsets.last().is_some_and(|&last| last as usize <= length)
        };
        ordered(&self.offsets, self.moves.len())
            && ordered(&self.fen_offsets, self.fens.len())
            && (self.skip.is_empty() || self.skip.len() == self.heads.len())
    }
}

/// Games, won by White, drawn, won by Black, sum of plies.
type Tallied = (u32, u32, u32, u32, u64);

fn tallied(count: Count) -> Tallied {
    (
        count.games,
        count.white,
        count.draws,
        count.black,
        count.plies,
    )
}

fn named(event: Event, count: Count) -> (String, String, Tallied) {
    let (kind, what) = match event {
        Event::Goes(from, to) => ("goes", format!("{from}-{to}")),
        Event::Taken(square) => ("taken", square.to_string()),
        Event::Break(color, from, to) => (
            color.fold_wb("white-break", "black-break"),
            format!("{from}-{to}"),
        ),
        Event::Castles(color, short) => (
            "castles",
            format!(
                "{}-{}",
                color.fold_wb("white", "black"),
                if short { "short" } else { "long" }
            ),
        ),
        Event::QueensOff => ("queens-off", String::new()),
        Event::QueensOffEver => ("queens-off-ever", String::new()),
    };
    (kind.to_owned(), what, tallied(count))
}

/// Derives tally rows from games; see `linewright_core::games::index`.
#[pyclass(frozen, module = "linewright._core")]
pub struct GameIndexer(Mutex<Indexer>);

#[pymethods]
impl GameIndexer {
    #[new]
    #[pyo3(signature = (plies, bits, first, last, sign = 1))]
    fn new(plies: usize, bits: u32, first: usize, last: usize, sign: i32) -> PyResult<Self> {
        if bits > 12 || first > last || last > 1 << bits {
            return Err(PyValueError::new_err("no such shards"));
        }
        Ok(Self(Mutex::new(Indexer::new(
            plies,
            bits,
            first..last,
            sign.signum(),
        ))))
    }

    fn feed(&self, py: Python<'_>, games: &StoredGames) -> PyResult<()> {
        py.detach(|| {
            self.0
                .lock()
                .map(|mut indexer| indexer.feed(&games.stretch(), workers()))
                .map_err(poisoned)
        })
    }

    /// Columns of one shard, counted from `first`; each can be had once. `indexers` may run it from several threads.
    fn rows<'py>(&self, py: Python<'py>, shard: usize) -> PyResult<Bound<'py, PyDict>> {
        let rows = py.detach(|| -> PyResult<Rows> {
            let (unsorted, counter) = {
                let mut indexer = self.0.lock().map_err(poisoned)?;
                (indexer.take(shard), indexer.counter())
            };
            Ok(counter.rows(unsorted))
        })?;
        let dict = PyDict::new(py);
        dict.set_item("key", numbers!(py, &rows.key, 8))?;
        for (name, column) in [
            ("move", &rows.code),
            ("year", &rows.year),
            ("band", &rows.band),
        ] {
            dict.set_item(name, numbers!(py, column, 2))?;
        }
        for (name, column) in [
            ("games", &rows.games),
            ("wins", &rows.wins),
            ("draws", &rows.draws),
            ("losses", &rows.losses),
            ("rated", &rows.rated),
            ("shared_game", &rows.shared_game),
        ] {
            dict.set_item(name, numbers!(py, column, 4))?;
        }
        for (name, column) in [
            ("rating_sum", &rows.rating_sum),
            ("opposed_sum", &rows.opposed_sum),
            ("shared_key", &rows.shared_key),
        ] {
            dict.set_item(name, numbers!(py, column, 8))?;
        }
        Ok(dict)
    }
}

/// The band of a rating: its lower end, 0 for the unrated.
#[pyfunction]
fn rating_band(rating: i16) -> i16 {
    band_of(rating)
}

/// The number of a move in the rows, from its UCI text and the position it is played in.
#[pyfunction]
fn move_code(fen: &str, uci: &str) -> PyResult<u16> {
    let position =
        key::position_of(fen).map_err(|error| PyValueError::new_err(error.to_string()))?;
    let wrong = |error: &dyn std::fmt::Display| PyValueError::new_err(format!("'{uci}': {error}"));
    let parsed: shakmaty::uci::UciMove = uci
        .parse()
        .map_err(|error: shakmaty::uci::ParseUciMoveError| wrong(&error))?;
    let played = parsed.to_move(&position).map_err(|error| wrong(&error))?;
    Ok(moves::code(played))
}

/// A book move: key of the position, number of the move, weight at 900 and at 2400, fashion.
type BookMove = (i64, u16, f32, f32, f32);

/// PGN of invented games `first` to `last` from a seed; a machine's cores share the work.
#[pyfunction]
#[pyo3(signature = (seed, first, last, *, ratings = (900, 2400), years = (1990, 2024), players = 20_000, event = "Invented games", site = "Nowhere", book = vec![]))]
#[allow(clippy::too_many_arguments)]
fn invent_games<'py>(
    py: Python<'py>,
    seed: u64,
    first: u64,
    last: u64,
    ratings: (i16, i16),
    years: (i16, i16),
    players: u64,
    event: &str,
    site: &str,
    book: Vec<BookMove>,
) -> Bound<'py, PyBytes> {
    let mut by_position: HashMap<i64, Vec<generate::Weight>> = HashMap::new();
    for (key, code, weak, strong, fashion) in book {
        by_position.entry(key).or_default().push(generate::Weight {
            code,
            weak,
            strong,
            fashion,
        });
    }
    let plan = generate::Plan {
        seed,
        ratings,
        years,
        players,
        event: event.to_owned(),
        site: site.to_owned(),
        book: by_position,
    };
    let text = py.detach(|| generate::in_parallel(&plan, first, last, workers()));
    PyBytes::new(py, text.as_bytes())
}

/// Adds the classes and functions of this file to the module.
pub fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<GameReader>()?;
    module.add_class::<StoredGames>()?;
    module.add_class::<GameIndexer>()?;
    module.add_function(wrap_pyfunction!(rating_band, module)?)?;
    module.add_function(wrap_pyfunction!(move_code, module)?)?;
    module.add_function(wrap_pyfunction!(invent_games, module)?)
}
