//! The engine's side of the UCI protocol.
//!
//! Source: the UCI protocol (Meyer-Kahlen, Huber, 2000). Nothing a program sends may hang or end
//! the engine: what cannot be read or done is answered by an `info string`, a `go` always gets
//! its `bestmove`.

use std::io::{BufRead, Read, Write};
use std::sync::atomic::{AtomicBool, Ordering::Relaxed};
use std::sync::{Arc, Mutex};
use std::thread::JoinHandle;
use std::time::Duration;

use shakmaty::{Color, Position};

use super::{Answer, Engine, EngineError, Game, Limits, Line, STACK_BYTES, Score};

/// Longest command read; anything longer is refused as a whole.
pub const LONGEST_COMMAND_BYTES: u64 = 1 << 20;

/// Default size of the hash table.
pub const DEFAULT_HASH_MB: usize = 16;

/// Complaints about one command that are told one by one.
const MOST_COMPLAINTS: usize = 10;

const START: &str = "rnbqkbnr/pppppppp/8/8/8/8/PPPPPPPP/RNBQKBNR w KQkq - 0 1";

/// Time kept back for the way to the other program and back.
const LAG: Duration = Duration::from_millis(15);

type Output = Arc<Mutex<dyn Write + Send>>;

/// Answers commands until `quit` or the end of the input.
///
/// # Errors
/// Only if the input cannot be read or the output cannot be written.
pub fn run(input: impl BufRead, output: impl Write + Send + 'static) -> std::io::Result<()> {
    let mut session = Session::new(Arc::new(Mutex::new(output)));
    let mut input = input;
    while let Some(command) = next_command(&mut input)? {
        match command {
            Ok(text) => {
                if !session.obey(text.trim()) {
                    session.halt();
                    return Ok(());
                }
            }
            Err(reason) => session.say(&format!("info string {reason}")),
        }
    }
    session.finish();
    Ok(())
}

/// The next line, or why it was not taken; `None` at the end.
fn next_command(input: &mut impl BufRead) -> std::io::Result<Option<Result<String, String>>> {
    let mut bytes = Vec::new();
    let read = input
        .by_ref()
        .take(LONGEST_COMMAND_BYTES)
        .read_until(b'\n', &mut bytes)?;
    if read == 0 {
        return Ok(None);
    }
    if read as u64 == LONGEST_COMMAND_BYTES && bytes.last() != Some(&b'\n') {
        skip_line(input)?;
        let reason = format!("a command longer than {LONGEST_COMMAND_BYTES} bytes was not read");
        return Ok(Some(Err(reason)));
    }
    Ok(Some(Ok(String::from_utf8_lossy(&bytes).into_owned())))
}

fn skip_line(input: &mut impl BufRead) -> std::io::Result<()> {
    loop {
        let buffer = input.fill_buf()?;
        if buffer.is_empty() {
            return Ok(());
        }
        if let Some(end) = buffer.iter().position(|&byte| byte == b'\n') {
            input.consume(end + 1);
            return Ok(());
        }
        let length = buffer.len();
        input.consume(length);
    }
}

struct Running {
    thread: JoinHandle<Engine>,
    stop: Arc<AtomicBool>,
    endless: bool,
}

struct Session {
    output: Output,
    engine: Option<Engine>,
    running: Option<Running>,
    game: Option<Game>,
    hash_mb: usize,
    threads: usize,
    lines: usize,
}

impl Session {
    fn new(output: Output) -> Session {
        Session {
            output,
            engine: None,
            running: None,
            game: Game::new::<&str>(START, &[]).ok(),
            hash_mb: DEFAULT_HASH_MB,
            threads: 1,
            lines: 1,
        }
    }

    fn say(&self, text: &str) {
        say(&self.output, text);
    }

    fn complain(&self, text: &str) {
        self.say(&format!("info string {text}"));
    }

    /// Obeys one command; false for `quit`.
    fn obey(&mut self, command: &str) -> bool {
        let (word, rest) = command
            .split_once(char::is_whitespace)
            .unwrap_or((command, ""));
        match word {
            "" | "debug" | "register" => {}
            "uci" => self.introduce(),
            "isready" => self.say("readyok"),
            "stop" | "ponderhit" => self.halt(),
            "quit" => return false,
            "ucinewgame" => {
                self.halt();
                if let Some(engine) = &mut self.engine {
                    engine.clear();
                }
            }
            "setoption" => {
                self.halt();
                self.set(rest.trim());
            }
            "position" => {
                self.halt();
                self.place(rest.trim());
            }
            "go" => {
                self.halt();
                self.go(rest.trim());
            }
            _ => self.complain(&format!("unknown command '{}'", super::shortened(command))),
        }
        true
    }

    fn introduce(&self) {
        self.say(&format!("id name {}", super::identity()));
        self.say("id author the linewright authors");
        self.say(&format!(
            "option name Hash type spin default {DEFAULT_HASH_MB} min 1 max 65536"
        ));
        self.say("option name Threads type spin default 1 min 1 max 64");
        self.say("option name MultiPV type spin default 1 min 1 max 218");
        self.say("option name Clear Hash type button");
        self.say("uciok");
    }

    fn set(&mut self, rest: &str) {
        let (name, value) = split_at_word(rest, "value");
        let name = split_at_word(name, "name").1.to_ascii_lowercase();
        if name.is_empty() {
            let rest = super::shortened(rest);
            self.complain(&format!(
                "an option is set by 'name', its name, 'value' and the value, not by '{rest}'"
            ));
            return;
        }
        if name == "clear hash" {
            if let Some(engine) = &mut self.engine {
                engine.clear();
            }
            return;
        }
        let Ok(number) = value.parse::<usize>() else {
            let (name, value) = (super::shortened(&name), super::shortened(value));
            self.complain(&format!("option '{name}' cannot be set to '{value}'"));
            return;
        };
        let made = match name.as_str() {
            "hash" => Engine::new(number, self.threads),
            "threads" => Engine::new(self.hash_mb, number),
            "multipv" if (1..=218).contains(&number) => {
                self.lines = number;
                return;
            }
            _ => {
                let name = super::shortened(&name);
                self.complain(&format!("option '{name}' cannot be set to '{number}'"));
                return;
            }
        };
        match made {
            Ok(engine) => {
                self.engine = Some(engine);
                if name == "hash" {
                    self.hash_mb = number;
                } else {
                    self.threads = number;
                }
            }
            Err(error) => self.complain(&error.to_string()),
        }
    }

    fn place(&mut self, rest: &str) {
        let (place, moves) = split_at_word(rest, "moves");
        let fen = match place.split_once(char::is_whitespace) {
            _ if place == "startpos" => START,
            Some(("fen", fen)) => fen.trim(),
            _ => {
                self.game = None;
                let place = super::shortened(place);
                self.complain(&format!(
                    "a position is 'startpos' or 'fen' and a FEN, then 'moves' and moves, not '{place}'"
                ));
                return;
            }
        };
        let moves: Vec<&str> = moves.split_ascii_whitespace().collect();
        match Game::new(fen, &moves) {
            Ok(game) => self.game = Some(game),
            Err(error) => {
                self.game = None;
                self.complain(&told(&error));
            }
        }
    }

    fn go(&mut self, rest: &str) {
        let Some(game) = self.game.clone() else {
            self.complain("there is no position to search");
            self.say("bestmove 0000");
            return;
        };
        let asked = Asked::read(rest, game.position().turn());
        for complaint in asked.complaints.iter().take(MOST_COMPLAINTS) {
            self.complain(complaint);
        }
        let more = asked.complaints.len().saturating_sub(MOST_COMPLAINTS);
        if more > 0 {
            self.complain(&format!(
                "{more} more words of this 'go' were not understood"
            ));
        }
        let engine = match self.engine.take() {
            Some(engine) => Ok(engine),
            None => Engine::new(self.hash_mb, self.threads),
        };
        match engine {
            Ok(engine) => self.search(engine, game, asked),
            Err(error) => {
                self.complain(&error.to_string());
                self.say("bestmove 0000");
            }
        }
    }

    /// Has a thread of its own answer.
    fn search(&mut self, mut engine: Engine, game: Game, asked: Asked) {
        let stop = Arc::new(AtomicBool::new(false));
        let endless = asked.endless;
        let (flag, output, lines) = (Arc::clone(&stop), Arc::clone(&self.output), self.lines);
        let search = move || {
            answer(&mut engine, &game, &asked, lines, &flag, &output);
            engine
        };
        match std::thread::Builder::new()
            .stack_size(STACK_BYTES)
            .spawn(search)
        {
            Ok(thread) => {
                self.running = Some(Running {
                    thread,
                    stop,
                    endless,
                })
            }
            Err(error) => {
                self.complain(&format!("no thread to search on: {error}"));
                self.say("bestmove 0000");
            }
        }
    }

    /// Ends a search and waits for its answer.
    fn halt(&mut self) {
        if let Some(running) = self.running.take() {
            running.stop.store(true, Relaxed);
            self.engine = running.thread.join().ok();
        }
    }

    /// At the end of the input: lets a limited search come to its end.
    fn finish(&mut self) {
        if let Some(running) = self.running.take() {
            if running.endless {
                running.stop.store(true, Relaxed);
            }
            let _ = running.thread.join();
        }
    }
}

fn say(output: &Output, text: &str) {
    if let Ok(mut output) = output.lock() {
        // Nobody left to listen is no reason to fail.
        let _ = writeln!(output, "{text}");
        let _ = output.flush();
    }
}

fn told(error: &EngineError) -> String {
    match error {
        EngineError::Position(error) => {
            format!(
                "'{}' is not a position: {}",
                super::shortened(&error.fen),
                error.reason
            )
        }
        _ => error.to_string(),
    }
}

/// What a `go` asked for.
#[derive(Default)]
struct Asked {
    limits: Limits,
    only: Vec<String>,
    endless: bool,
    mate: Option<i32>,
    complaints: Vec<String>,
}

#[derive(Default)]
struct Clock {
    left: Option<Duration>,
    more: Duration,
    moves: Option<u32>,
}

impl Asked {
    fn read(rest: &str, turn: Color) -> Asked {
        let mut asked = Asked::default();
        let mut clock = Clock::default();
        let mut words = rest.split_ascii_whitespace().peekable();
        while let Some(word) = words.next() {
            match word {
                "infinite" | "ponder" => asked.endless = true,
                "searchmoves" => {
                    while let Some(uci) = words.next_if(|word| is_move(word)) {
                        asked.only.push(uci.to_owned());
                    }
                }
                "wtime" | "btime" | "winc" | "binc" | "movestogo" | "nodes" | "depth"
                | "movetime" | "mate" => {
                    if let Some(number) = asked.number(word, words.next()) {
                        asked.limit(word, number, turn, &mut clock);
                    }
                }
                _ => {
                    let word = super::shortened(word);
                    asked
                        .complaints
                        .push(format!("'go' does not know '{word}'"));
                }
            }
        }
        asked.budget(&clock);
        let Limits {
            nodes, depth, time, ..
        } = asked.limits;
        asked.endless |=
            nodes.is_none() && depth.is_none() && time.is_none() && asked.mate.is_none();
        asked
    }

    /// Takes down a limit; the clock of the other side does not matter.
    fn limit(&mut self, word: &str, number: u64, turn: Color, clock: &mut Clock) {
        let (time, more) = turn.fold_wb(("wtime", "winc"), ("btime", "binc"));
        let milliseconds = Duration::from_millis(number);
        match word {
            "nodes" => self.limits.nodes = Some(number),
            // A number too large to be held is still a limit.
            "depth" => self.limits.depth = Some(u32::try_from(number).unwrap_or(u32::MAX)),
            "movetime" => self.limits.time = Some(milliseconds),
            "mate" => self.mate = Some(i32::try_from(number).unwrap_or(i32::MAX)),
            "movestogo" => clock.moves = Some(u32::try_from(number).unwrap_or(u32::MAX)),
            _ if word == time => clock.left = Some(milliseconds),
            _ if word == more => clock.more = milliseconds,
            _ => {}
        }
    }

    /// A number at least 1; less is told and taken as 1, so that a `bestmove` follows.
    fn number(&mut self, word: &str, text: Option<&str>) -> Option<u64> {
        let text = text.unwrap_or_default();
        let least = u64::from(!matches!(word, "winc" | "binc"));
        match text.parse::<i128>() {
            Ok(number) if number >= i128::from(least) => {
                Some(u64::try_from(number).unwrap_or(u64::MAX))
            }
            Ok(number) => {
                self.complaints
                    .push(format!("'{word} {number}' is taken as '{word} {least}'"));
                Some(least)
            }
            Err(_) => {
                let text = super::shortened(text);
                self.complaints
                    .push(format!("'{word}' needs a number, not '{text}'"));
                None
            }
        }
    }

    /// Shares out the time on the clock.
    fn budget(&mut self, clock: &Clock) {
        let Some(left) = clock.left else { return };
        let usable = left.saturating_sub(LAG).max(Duration::from_millis(1));
        let share = usable / clock.moves.unwrap_or(25).clamp(1, 40) + clock.more * 3 / 4;
        let hard = (share * 3)
            .min(usable * 2 / 5)
            .max(Duration::from_millis(1));
        self.limits.soft_time = Some((share / 2).min(hard));
        self.limits.time = Some(self.limits.time.map_or(hard, |time| time.min(hard)));
    }
}

/// What stands before and after a word of its own; nothing after if it is not there.
fn split_at_word<'a>(text: &'a str, word: &str) -> (&'a str, &'a str) {
    let alone = text.match_indices(word).find(|&(start, found)| {
        let (before, after) = (&text[..start], &text[start + found.len()..]);
        let apart = |c: Option<char>| c.is_none_or(char::is_whitespace);
        apart(before.chars().next_back()) && apart(after.chars().next())
    });
    match alone {
        Some((start, found)) => (text[..start].trim(), text[start + found.len()..].trim()),
        None => (text, ""),
    }
}

fn is_move(word: &str) -> bool {
    word.parse::<shakmaty::uci::UciMove>().is_ok()
}

fn answer(
    engine: &mut Engine,
    game: &Game,
    asked: &Asked,
    lines: usize,
    stop: &AtomicBool,
    output: &Output,
) {
    let report = |answer: &Answer, index: usize| {
        if let Some(line) = answer.lines.get(index) {
            say(output, &progress(answer, line, index));
        }
        !asked.mate.is_some_and(|moves| mates_within(answer, moves))
    };
    let result = engine.analyse(game, &asked.limits, lines, &asked.only, stop, report);
    while asked.endless && !stop.load(Relaxed) {
        std::thread::sleep(Duration::from_millis(2));
    }
    let best = match result {
        Ok(answer) => match answer.lines.first() {
            Some(line) => best_of(&answer, line, output),
            None => {
                let mated = game.position().is_checkmate();
                let score = if mated { "mate 0" } else { "cp 0" };
                say(output, &format!("info depth 0 score {score}"));
                "(none)".to_owned()
            }
        },
        Err(error) => {
            say(output, &format!("info string {error}"));
            "0000".to_owned()
        }
    };
    say(output, &format!("bestmove {best}"));
}

fn best_of(answer: &Answer, line: &Line, output: &Output) -> String {
    say(output, &progress(answer, line, 0));
    line.moves
        .first()
        .cloned()
        .unwrap_or_else(|| "(none)".to_owned())
}

fn mates_within(answer: &Answer, moves: i32) -> bool {
    matches!(answer.lines.first(), Some(Line { score: Score::Mate(found), .. })
        if (1..=moves).contains(found))
}

fn progress(answer: &Answer, line: &Line, index: usize) -> String {
    let score = match line.score {
        Score::Centipawns(score) => format!("cp {score}"),
        Score::Mate(moves) => format!("mate {moves}"),
    };
    let milliseconds = answer.time.as_millis();
    let per_second = u128::from(answer.nodes) * 1_000_000 / answer.time.as_micros().max(1);
    format!(
        "info depth {} seldepth {} multipv {} score {score} nodes {} nps {per_second} \
         hashfull {} time {milliseconds} pv {}",
        line.depth,
        line.reached,
        index + 1,
        answer.nodes,
        answer.filled,
        line.moves.join(" ")
    )
}
