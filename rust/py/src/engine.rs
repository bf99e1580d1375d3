//! The built-in engine for Python: an engine object that answers and can be stopped, and the
//! loop that speaks UCI.

use std::sync::atomic::{AtomicBool, Ordering::Relaxed};
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::sync::{Mutex, PoisonError};
use std::time::Duration;

use linewright_core::engine::{
    Answer, Engine, EngineError, Game, Limits, Line, STACK_BYTES, Score, identity, uci,
};
use pyo3::exceptions::{PyMemoryError, PyRuntimeError, PyValueError};
use pyo3::prelude::*;

/// How often a running search lets Python look for Ctrl-C.
const SIGNALS_EVERY: Duration = Duration::from_millis(40);

fn refused(error: EngineError) -> PyErr {
    match error {
        EngineError::Hash { .. } => PyMemoryError::new_err(error.to_string()),
        _ => PyValueError::new_err(error.to_string()),
    }
}

/// A count from Python; zero and less are refused by name.
fn positive(name: &str, number: Option<i64>) -> PyResult<Option<u64>> {
    match number {
        None => Ok(None),
        Some(number) => match u64::try_from(number) {
            Ok(count) if count > 0 => Ok(Some(count)),
            _ => Err(PyValueError::new_err(format!(
                "{name} must be at least 1, not {number}"
            ))),
        },
    }
}

/// One of the best lines of an answer.
#[pyclass(
    name = "EngineLine",
    module = "linewright._core",
    frozen,
    get_all,
    eq,
    skip_from_py_object
)]
#[derive(Clone, PartialEq)]
struct EngineLine {
    score_cp: Option<i32>,
    mate: Option<i32>,
    depth: u32,
    reached: u32,
    moves: Vec<String>,
}

#[pymethods]
impl EngineLine {
    fn __repr__(&self) -> String {
        let score = match (self.score_cp, self.mate) {
            (Some(score), _) => format!("score_cp={score}"),
            (_, mate) => format!("mate={}", mate.unwrap_or(0)),
        };
        format!(
            "EngineLine({score}, depth={}, moves={:?})",
            self.depth, self.moves
        )
    }
}

impl From<&Line> for EngineLine {
    fn from(line: &Line) -> EngineLine {
        let (score_cp, mate) = match line.score {
            Score::Centipawns(score) => (Some(score), None),
            Score::Mate(moves) => (None, Some(moves)),
        };
        EngineLine {
            score_cp,
            mate,
            depth: line.depth,
            reached: line.reached,
            moves: line.moves.clone(),
        }
    }
}

/// What a search found.
#[pyclass(name = "EngineAnswer", module = "linewright._core", frozen, get_all)]
struct EngineAnswer {
    engine: String,
    lines: Vec<EngineLine>,
    depth: u32,
    nodes: u64,
    time_ms: f64,
}

#[pymethods]
impl EngineAnswer {
    fn __repr__(&self) -> String {
        format!(
            "EngineAnswer(depth={}, nodes={}, lines={})",
            self.depth,
            self.nodes,
            self.lines.len()
        )
    }
}

impl From<Answer> for EngineAnswer {
    fn from(answer: Answer) -> EngineAnswer {
        EngineAnswer {
            engine: identity().to_owned(),
            lines: answer.lines.iter().map(EngineLine::from).collect(),
            depth: answer.depth,
            nodes: answer.nodes,
            time_ms: answer.time.as_secs_f64() * 1000.0,
        }
    }
}

/// The built-in engine.
#[pyclass(name = "Engine", module = "linewright._core", frozen)]
struct PyEngine {
    engine: Mutex<Engine>,
    stop: AtomicBool,
}

#[pymethods]
impl PyEngine {
    #[new]
    #[pyo3(signature = (hash_mb = 16, threads = 1))]
    fn new(py: Python<'_>, hash_mb: i64, threads: i64) -> PyResult<PyEngine> {
        let hash_mb = positive("hash_mb", Some(hash_mb))?.unwrap_or(1);
        let threads = positive("threads", Some(threads))?.unwrap_or(1);
        let size = usize::try_from(hash_mb).unwrap_or(usize::MAX);
        let count = usize::try_from(threads).unwrap_or(usize::MAX);
        let engine = py.detach(|| Engine::new(size, count)).map_err(refused)?;
        Ok(PyEngine {
            engine: Mutex::new(engine),
            stop: AtomicBool::new(false),
        })
    }

    #[getter]
    fn identity(&self) -> &'static str {
        identity()
    }

    #[pyo3(signature = (fen, moves = Vec::new(), *, nodes = None, depth = None, time_ms = None,
                        lines = 1, only = Vec::new(), keep = false))]
    #[expect(
        clippy::too_many_arguments,
        reason = "keyword arguments of a Python method"
    )]
    fn analyse(
        &self,
        py: Python<'_>,
        fen: &str,
        moves: Vec<String>,
        nodes: Option<i64>,
        depth: Option<i64>,
        time_ms: Option<i64>,
        lines: i64,
        only: Vec<String>,
        keep: bool,
    ) -> PyResult<EngineAnswer> {
        if nodes.is_none() && depth.is_none() && time_ms.is_none() {
            return Err(PyValueError::new_err(
                "one of nodes, depth and time_ms is needed",
            ));
        }
        let game = Game::new(fen, &moves).map_err(refused)?;
        let limits = Limits {
            nodes: positive("nodes", nodes)?,
            depth: positive("depth", depth)?.map(|depth| u32::try_from(depth).unwrap_or(u32::MAX)),
            time: positive("time_ms", time_ms)?.map(Duration::from_millis),
            soft_time: None,
        };
        let wanted = positive("lines", Some(lines))?.unwrap_or(1);
        let wanted = usize::try_from(wanted).unwrap_or(usize::MAX);
        let question = Question {
            game,
            limits,
            wanted,
            only,
            keep,
        };
        self.ask(py, &question).map(EngineAnswer::from)
    }

    fn stop(&self) {
        self.stop.store(true, Relaxed);
    }

    fn clear(&self, py: Python<'_>) {
        py.detach(|| {
            self.engine
                .lock()
                .unwrap_or_else(PoisonError::into_inner)
                .clear()
        });
    }
}

struct Question {
    game: Game,
    limits: Limits,
    wanted: usize,
    only: Vec<String>,
    keep: bool,
}

impl PyEngine {
    /// Searches on a thread of its own, with room for deep lines, while this one minds Ctrl-C.
    fn ask(&self, py: Python<'_>, question: &Question) -> PyResult<Answer> {
        py.detach(|| {
            let (sender, receiver) = channel::<()>();
            std::thread::scope(|scope| {
                let search = move || {
                    let done = sender;
                    let answer = self.search(question);
                    let _ = done.send(());
                    answer
                };
                let thread = std::thread::Builder::new()
                    .stack_size(STACK_BYTES)
                    .spawn_scoped(scope, search)
                    .map_err(|error| PyRuntimeError::new_err(format!("no thread: {error}")))?;
                let mut interrupted = Ok(());
                while receiver.recv_timeout(SIGNALS_EVERY) == Err(RecvTimeoutError::Timeout) {
                    if interrupted.is_ok() {
                        interrupted = Python::attach(|py| py.check_signals());
                    }
                    if interrupted.is_err() {
                        self.stop.store(true, Relaxed);
                    }
                }
                let answer = thread
                    .join()
                    .map_err(|_| PyRuntimeError::new_err("the engine failed, please report it"))?;
                interrupted?;
                answer.map_err(refused)
            })
        })
    }

    fn search(&self, question: &Question) -> Result<Answer, EngineError> {
        let mut engine = self.engine.lock().unwrap_or_else(PoisonError::into_inner);
        self.stop.store(false, Relaxed);
        if !question.keep {
            engine.clear();
        }
        let Question {
            game,
            limits,
            wanted,
            only,
            ..
        } = question;
        engine.analyse(game, limits, *wanted, only, &self.stop, |_, _| true)
    }
}

/// The evaluation of a position without search, in centipawns as the side to move sees it.
#[pyfunction]
fn evaluate(fen: &str) -> PyResult<i32> {
    let game = Game::new::<&str>(fen, &[]).map_err(refused)?;
    Ok(Engine::evaluate(&game))
}

/// Speaks UCI on standard input and output until `quit` or the end of the input.
#[pyfunction]
fn run_uci(py: Python<'_>) -> PyResult<()> {
    py.detach(|| uci::run(std::io::stdin().lock(), std::io::stdout()))
        .map_err(|error| PyRuntimeError::new_err(error.to_string()))
}

/// Adds the engine to the module.
pub fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<PyEngine>()?;
    module.add_class::<EngineAnswer>()?;
    module.add_class::<EngineLine>()?;
    module.add_function(wrap_pyfunction!(evaluate, module)?)?;
    module.add_function(wrap_pyfunction!(run_uci, module)?)?;
    Ok(())
}
