//! Hearing talks: phrases in, the best ways to understand them out.

use std::collections::{HashMap, HashSet};

use linewright_core::talk::{
    self as core, Answer, Book, Cues, Deed, Event, Favour, Form, Guide, Habits, Hearing,
    Hypothesis, Kind, Mode, Person, Phrase, Spec, Talk, Tree, Truth, Weights, Wing,
};
use pyo3::exceptions::PyValueError;
use pyo3::prelude::*;
use shakmaty::fen::Fen;
use shakmaty::uci::UciMove;
use shakmaty::{CastlingMode, Chess, Color, EnPassantMode, File, Move, Rank, Role, Square};

/// Opening lines by position; see `linewright_core::talk::Book`.
#[pyclass(frozen, module = "linewright._core")]
pub struct OpeningBook {
    book: Book,
    habits: Habits,
}

#[pymethods]
impl OpeningBook {
    /// `lines` in UCI, `rows` as `linewright_core::talk::Book::read` has them, `habits` the learned
    /// weights.
    #[new]
    #[allow(clippy::needless_pass_by_value)]
    fn new(lines: Vec<String>, rows: Vec<String>, habits: Vec<f32>) -> PyResult<Self> {
        let mut book = Book::of(lines.iter().map(String::as_str));
        for text in &rows {
            book.read(text).map_err(PyValueError::new_err)?;
        }
        Ok(Self {
            book,
            habits: Habits::of(habits).map_err(PyValueError::new_err)?,
        })
    }

    /// Minus the log of each legal move's chance of being shown after a line (UCI).
    #[allow(clippy::needless_pass_by_value)]
    fn usual(
        &self,
        weights: HashMap<String, f32>,
        line: Vec<String>,
    ) -> PyResult<HashMap<String, f32>> {
        let weights = Weights::read(&weights).map_err(PyValueError::new_err)?;
        let mut tree = Tree::new(&self.book, Book::default(), None, &self.habits, &weights);
        let node = along(&mut tree, &line)?;
        let prices = tree.usual(node);
        let legal = tree.legal(node);
        let moves = legal.iter().map(|item| uci(item.mv));
        Ok(moves.zip(prices.iter().copied()).collect())
    }
}

/// The board after the moves of a line.
fn along(tree: &mut Tree, line: &[String]) -> PyResult<u32> {
    let mut node = 0;
    for text in line {
        let mv = uci_move(text, &tree.node(node).board)
            .ok_or_else(|| PyValueError::new_err(format!("'{text}' is not legal here")))?;
        let legal = tree.legal(node);
        let item = legal.iter().find(|item| item.mv == mv);
        node = tree.play(node, item.expect("the move is legal"));
    }
    Ok(node)
}

/// What is seen of each legal move after the moves of a line, as places in the table of habits.
#[pyfunction]
#[allow(clippy::needless_pass_by_value)]
pub fn seen_moves(line: Vec<String>) -> PyResult<Vec<(String, Vec<u16>)>> {
    let seen = core::seen_after(&line).map_err(PyValueError::new_err)?;
    Ok(seen
        .into_iter()
        .map(|(item, seen)| (uci(item.mv), seen.to_vec()))
        .collect())
}

/// What words without a square may say of each legal move after the moves of a line, as places in
/// the list of traits; `named` is the square that the words speak of.
#[pyfunction]
#[pyo3(signature = (book, line, named=None))]
#[allow(clippy::needless_pass_by_value)]
pub fn traits_of_moves(
    book: &OpeningBook,
    line: Vec<String>,
    named: Option<u8>,
) -> PyResult<Vec<(String, Vec<u8>)>> {
    let weights = Weights::default();
    let named = named.map(square).transpose()?;
    let mut tree = Tree::new(&book.book, Book::default(), None, &book.habits, &weights);
    let node = along(&mut tree, &line)?;
    let legal = tree.legal(node);
    let found = |item| {
        let mut found = core::traits(&tree, node, item);
        if core::meets(&tree, node, item, named) && !found.is_full() {
            found.push(core::Trait::MeetsNamed);
        }
        found.iter().map(|&what| what as u8).collect()
    };
    Ok(legal
        .iter()
        .map(|item| (uci(item.mv), found(item)))
        .collect())
}

#[derive(FromPyObject)]
struct PySpec {
    pieces: Vec<(String, f32)>,
    targets: Vec<(u8, f32)>,
    to_file: String,
    to_rank: String,
    from_square: Option<u8>,
    from_file: String,
    from_rank: String,
    capture: bool,
    captured: String,
    castling: String,
    promotion: String,
    check: bool,
    mate: bool,
    ep: bool,
    retake: bool,
    back: bool,
    quiet: bool,
    fianchetto: bool,
    free: bool,
    like_last: bool,
    other: bool,
    mirror: bool,
    deed: String,
    met: String,
    met_square: Option<u8>,
    leaning: Vec<f32>,
}

#[derive(FromPyObject)]
struct PyCues {
    side: String,
    weak_side: String,
    piece_side: String,
    person: String,
    intent: bool,
    modal: bool,
    supposed: bool,
    negated: bool,
    infinitive: bool,
    gerund: bool,
    played: bool,
    #[pyo3(attribute("static"))]
    standing: bool,
    after: bool,
    alternative: u8,
    either: bool,
    instead_of: bool,
    reason: bool,
    back: u8,
    board_of: bool,
    main: bool,
    start: bool,
    number: u32,
    unreal: bool,
    listed: bool,
    hint: i16,
    repeated: bool,
    paired: bool,
    firm: bool,
    begins: f32,
}

#[derive(FromPyObject)]
struct PyPhrase {
    first: u32,
    end: u32,
    form: String,
    price: f32,
    told: f32,
    leaves: f32,
    parts: f32,
    cues: PyCues,
    verb: bool,
    cut: bool,
    covered: bool,
}

fn role(letter: &str) -> PyResult<Role> {
    let mut chars = letter.chars();
    match (chars.next().and_then(Role::from_char), chars.next()) {
        (Some(role), None) => Ok(role),
        _ => Err(PyValueError::new_err(format!("'{letter}' is no piece"))),
    }
}

fn maybe_role(letter: &str) -> PyResult<Option<Role>> {
    if letter.is_empty() {
        Ok(None)
    } else {
        role(letter).map(Some)
    }
}

fn square(number: u8) -> PyResult<Square> {
    Square::try_from(number).map_err(|_| PyValueError::new_err(format!("{number} is no square")))
}

fn color(letter: &str) -> Option<Color> {
    letter.chars().next().and_then(Color::from_char)
}

fn file(letter: &str) -> Option<File> {
    letter.chars().next().and_then(File::from_char)
}

fn rank(digit: &str) -> Option<Rank> {
    digit.chars().next().and_then(Rank::from_char)
}

impl PySpec {
    fn spec(self) -> PyResult<Spec> {
        let pieces = self
            .pieces
            .iter()
            .map(|(letter, price)| Ok((role(letter)?, *price)));
        let targets = self
            .targets
            .iter()
            .map(|&(number, price)| Ok((square(number)?, price)));
        Ok(Spec {
            pieces: pieces.collect::<PyResult<_>>()?,
            targets: targets.collect::<PyResult<_>>()?,
            to_file: file(&self.to_file),
            to_rank: rank(&self.to_rank),
            from_square: self.from_square.map(square).transpose()?,
            from_file: file(&self.from_file),
            from_rank: rank(&self.from_rank),
            capture: self.capture,
            captured: maybe_role(&self.captured)?,
            castling: match self.castling.as_str() {
                "" => None,
                "K" => Some(Wing::King),
                "Q" => Some(Wing::Queen),
                _ => Some(Wing::Any),
            },
            promotion: maybe_role(&self.promotion)?,
            check: self.check,
            mate: self.mate,
            ep: self.ep,
            retake: self.retake,
            back: self.back,
            quiet: self.quiet,
            fianchetto: self.fianchetto,
            free: self.free,
            like_last: self.like_last,
            other: self.other,
            mirror: self.mirror,
            deed: match self.deed.as_str() {
                "attack" => Some(Deed::Attack),
                "support" => Some(Deed::Support),
                "block" => Some(Deed::Block),
                "pin" => Some(Deed::Pin),
                "fork" => Some(Deed::Fork),
                "double" => Some(Deed::Double),
                _ => None,
            },
            met: maybe_role(&self.met)?,
            met_square: self.met_square.map(square).transpose()?,
            leaning: self.leaning,
        })
    }
}

impl PyCues {
    fn cues(self) -> PyResult<Cues> {
        Ok(Cues {
            side: color(&self.side),
            weak_side: color(&self.weak_side),
            piece_side: color(&self.piece_side),
            person: match self.person.as_str() {
                "me" => Person::Me,
                "other" => Person::Other,
                _ => Person::None,
            },
            intent: self.intent,
            modal: self.modal,
            supposed: self.supposed,
            negated: self.negated,
            infinitive: self.infinitive,
            gerund: self.gerund,
            played: self.played,
            standing: self.standing,
            after: self.after,
            alternative: self.alternative,
            either: self.either,
            instead_of: self.instead_of,
            reason: self.reason,
            back: self.back,
            board_of: self.board_of,
            main: self.main,
            start: self.start,
            number: self.number,
            unreal: self.unreal,
            listed: self.listed,
            hint: u8::try_from(self.hint).ok().map(square).transpose()?,
            repeated: self.repeated,
            paired: self.paired,
            firm: self.firm,
            begins: self.begins,
        })
    }
}

fn form(name: &str) -> PyResult<Form> {
    Ok(match name {
        "notation" => Form::Notation,
        "full" => Form::Full,
        "placed" => Form::Placed,
        "square" => Form::Square,
        "capture" => Form::Capture,
        "castling" => Form::Castling,
        "both" => Form::Both,
        "trade" => Form::Trade,
        "vague" => Form::Vague,
        "clause" => Form::Clause,
        _ => return Err(PyValueError::new_err(format!("'{name}' is no form"))),
    })
}

type Numbers = HashMap<u32, Answer>;
/// kind, phrase, price, node, base, silent, extra, faults, mode, holds, before
type PyEvent = (
    &'static str,
    u32,
    f32,
    u32,
    u32,
    Vec<u32>,
    Vec<u32>,
    Vec<(&'static str, bool)>,
    &'static str,
    Option<bool>,
    u32,
);
/// parent, UCI, SAN, FEN, ply
type PyNode = (u32, String, String, String, u32);
/// price, move in UCI, faults
type PyChoice = (f32, String, Vec<(&'static str, bool)>);

/// phrase, kind, SAN, price, whether wrong, whether it leaves the board at hand, whether the talk
/// comes back to the board after it
type PyDecision = (u32, &'static str, String, f32, bool, bool, bool);
/// violation, mistakes, slopes by name, the true decisions, the mistaken ones
type PyPoint = (
    f32,
    u32,
    HashMap<String, f32>,
    Vec<PyDecision>,
    Vec<PyDecision>,
);
/// price of the truth, what it grows by with each weight, its wrong moves, its decisions, the
/// places to learn from
type PyLesson = (
    f32,
    HashMap<String, f32>,
    u32,
    Vec<PyDecision>,
    Vec<PyPoint>,
);

/// Those that differ from nothing.
fn by_name(slopes: Vec<f32>) -> HashMap<String, f32> {
    let named = Weights::NAMES.iter().map(|&name| name.to_owned());
    named
        .zip(slopes)
        .filter(|(_, slope)| slope.abs() > 0.004)
        .collect()
}

fn py_decision(decision: core::Decision) -> PyDecision {
    let core::Decision {
        phrase,
        kind: what,
        san,
        price,
        wrong,
        leaves,
        parts,
    } = decision;
    (phrase, kind(what), san, price, wrong, leaves, parts)
}

/// What a search found. Events and nodes are named by numbers; event 0 is none, node 0 the start.
#[pyclass(frozen, get_all, module = "linewright._core")]
pub struct TalkFound {
    hypotheses: Vec<(f32, u32)>,
    events: HashMap<u32, PyEvent>,
    rivals: Vec<(f32, u32, u32)>,
    nodes: HashMap<u32, PyNode>,
}

/// The phrases of one talk, to be understood.
#[pyclass(frozen, module = "linewright._core")]
pub struct TalkSearch {
    talk: Talk,
    confusions: Vec<f32>,
}

impl TalkSearch {
    fn setting<'a>(
        &'a self,
        book: &'a OpeningBook,
        theme: &'a Book,
        me: &str,
    ) -> core::Setting<'a> {
        core::Setting {
            talk: &self.talk,
            confusions: &self.confusions,
            book: &book.book,
            theme,
            habits: &book.habits,
            me: color(me),
        }
    }
}

#[pymethods]
impl TalkSearch {
    /// `phrases` name their spec by its place in `specs` and are sorted by their first token;
    /// `confusions` has 64 times 64 prices.
    #[new]
    fn new(
        specs: Vec<Bound<'_, PyAny>>,
        phrases: Vec<(Bound<'_, PyAny>, u32)>,
        noise: f32,
        confusions: Vec<f32>,
    ) -> PyResult<Self> {
        let specs: Vec<Spec> = specs
            .iter()
            .map(|item| item.extract::<PySpec>()?.spec())
            .collect::<PyResult<_>>()?;
        let known = u32::try_from(specs.len()).unwrap_or(u32::MAX);
        let phrases = phrases.into_iter().map(|(item, spec)| {
            let read: PyPhrase = item.extract()?;
            if spec >= known {
                return Err(PyValueError::new_err(format!("there is no spec {spec}")));
            }
            Ok(Phrase {
                first: read.first,
                end: read.end,
                form: form(&read.form)?,
                spec,
                price: read.price,
                told: read.told,
                leaves: read.leaves,
                parts: read.parts,
                cues: read.cues.cues()?,
                verb: read.verb,
                cut: read.cut,
                covered: read.covered,
            })
        });
        let phrases: Vec<Phrase> = phrases.collect::<PyResult<_>>()?;
        if confusions.len() != 64 * 64 || !phrases.is_sorted_by_key(|phrase| phrase.first) {
            return Err(PyValueError::new_err(
                "the phrases must be in order and there must be a price for each two squares",
            ));
        }
        Ok(Self {
            talk: Talk {
                specs,
                phrases,
                noise,
            },
            confusions,
        })
    }

    /// The best ways to understand the talk; at most `keep` of them, with rivals nearer than `near`.
    #[pyo3(signature = (weights, book, theme, me, answers, counts = None, truth = None, keep = 40, near = 1.3, perhaps = None))]
    #[allow(clippy::too_many_arguments, clippy::needless_pass_by_value)]
    fn search(
        &self,
        weights: HashMap<String, f32>,
        book: &OpeningBook,
        theme: Vec<String>,
        me: &str,
        answers: HashMap<u32, String>,
        counts: Option<Bound<'_, PyAny>>,
        truth: Option<HashMap<u32, Vec<String>>>,
        keep: usize,
        near: f32,
        perhaps: Option<HashMap<u32, (String, f32)>>,
    ) -> PyResult<TalkFound> {
        let weights = Weights::read(&weights).map_err(PyValueError::new_err)?;
        let perhaps = perhaps.unwrap_or_default().into_iter();
        let mut known: Numbers = perhaps
            .map(|(phrase, (san, less))| (phrase, Answer::Perhaps(san, less)))
            .collect();
        known.extend(answers.into_iter().map(read_answer));
        let asked = counts.map(|ask| move |board: &Chess| counted(&ask, board));
        let mut hearing = Hearing::new(
            &self.talk,
            &weights,
            &self.confusions,
            &book.book,
            Book::of(theme.iter().map(String::as_str)),
            asked.as_ref().map(|ask| ask as &core::Counts),
            &book.habits,
            color(me),
            &known,
        );
        if let Some(at) = truth {
            let lines = at.values().flatten().cloned().collect();
            let truth = Truth {
                lines,
                at,
                slips: HashSet::new(),
            };
            let mut guide = Guide::of(&mut hearing.tree, &truth, Favour::TRUTH);
            guide.leads = true;
            hearing.guide = Some(guide);
        }
        let mut hypotheses = hearing.search();
        hypotheses.truncate(keep);
        Ok(found(&hearing, &hypotheses, near))
    }

    /// The decisions of the cheapest way to understand the talk that its known moves allow; as for
    /// `lesson`.
    #[allow(clippy::too_many_arguments, clippy::needless_pass_by_value)]
    fn way(
        &self,
        weights: HashMap<String, f32>,
        book: &OpeningBook,
        theme: Vec<String>,
        me: &str,
        lines: Vec<String>,
        at: HashMap<u32, Vec<String>>,
        slips: HashSet<u32>,
    ) -> PyResult<Vec<PyDecision>> {
        let weights = Weights::read(&weights).map_err(PyValueError::new_err)?;
        let theme = Book::of(theme.iter().map(String::as_str));
        let truth = Truth { lines, at, slips };
        let way = core::way(&self.setting(book, &theme, me), &weights, &truth);
        Ok(way.into_iter().map(py_decision).collect())
    }

    /// What the talk teaches about the weights, its moves (UCI) being known: `lines` all of them,
    /// `at` those that phrases lead to, `slips` the phrases that are slips of the tongue.
    #[allow(clippy::too_many_arguments, clippy::needless_pass_by_value)]
    fn lesson(
        &self,
        weights: HashMap<String, f32>,
        book: &OpeningBook,
        theme: Vec<String>,
        me: &str,
        lines: Vec<String>,
        at: HashMap<u32, Vec<String>>,
        slips: HashSet<u32>,
        margin: f32,
    ) -> PyResult<PyLesson> {
        let weights = Weights::read(&weights).map_err(PyValueError::new_err)?;
        let theme = Book::of(theme.iter().map(String::as_str));
        let setting = self.setting(book, &theme, me);
        let truth = Truth { lines, at, slips };
        let lesson = core::lesson(&setting, &weights, &truth, margin);
        let points = lesson.points.into_iter().map(|point| {
            (
                point.violation,
                point.mistakes,
                by_name(point.slopes),
                point.truth.into_iter().map(py_decision).collect(),
                point.mistaken.into_iter().map(py_decision).collect(),
            )
        });
        let way = lesson.way.into_iter().map(py_decision).collect();
        let steeper = by_name(lesson.price_slopes);
        Ok((lesson.price, steeper, lesson.wrong, way, points.collect()))
    }

    /// The moves that a phrase may mean after the moves of a line.
    #[allow(clippy::needless_pass_by_value)]
    fn choices(
        &self,
        weights: HashMap<String, f32>,
        book: &OpeningBook,
        line: Vec<String>,
        phrase: u32,
    ) -> PyResult<Vec<PyChoice>> {
        let weights = Weights::read(&weights).map_err(PyValueError::new_err)?;
        let answers = Numbers::new();
        let mut hearing = Hearing::new(
            &self.talk,
            &weights,
            &self.confusions,
            &book.book,
            Book::default(),
            None,
            &book.habits,
            None,
            &answers,
        );
        if phrase as usize >= self.talk.phrases.len() {
            return Err(PyValueError::new_err(format!(
                "there is no phrase {phrase}"
            )));
        }
        let node = along(&mut hearing.tree, &line)?;
        let choices = hearing.choices(node, phrase);
        Ok(choices
            .iter()
            .map(|choice| (choice.price, uci(choice.legal.mv), faults(&choice.faults)))
            .collect())
    }
}

/// What an answer says of a phrase: "3...Bc5" or "Bc5" is a move, anything else only talk.
fn read_answer((phrase, text): (u32, String)) -> (u32, Answer) {
    let (number, san) = text.rsplit_once('.').unwrap_or(("", text.as_str()));
    let san = san.trim().trim_end_matches(['+', '#']).replace('0', "O");
    let castles = san.starts_with("O-O");
    if castles || san.chars().any(|c| c.is_ascii_digit()) {
        (phrase, Answer::Move(san, ply(number)))
    } else {
        (phrase, Answer::OnlyTalk)
    }
}

/// The ply of the board that a move numbered so leads to, its last dot taken off: "3" or "3..".
fn ply(number: &str) -> Option<u32> {
    let whole: u32 = number.trim_end_matches('.').trim().parse().ok()?;
    let black = u32::from(number.ends_with('.'));
    (2 * whole).checked_sub(1).map(|white| white + black)
}

fn uci_move(text: &str, board: &Chess) -> Option<Move> {
    text.parse::<UciMove>().ok()?.to_move(board).ok()
}

fn uci(mv: Move) -> String {
    UciMove::from_move(mv, CastlingMode::Standard).to_string()
}

/// What a Python callable knows of a board (given as FEN): UCI to count; nothing if it fails.
fn counted(ask: &Bound<'_, PyAny>, board: &Chess) -> Vec<(Move, f32)> {
    let fen = Fen::from_position(board, EnPassantMode::Legal).to_string();
    let answer: HashMap<String, f32> = ask
        .call1((fen,))
        .and_then(|answer| answer.extract())
        .unwrap_or_default();
    answer
        .iter()
        .filter_map(|(text, count)| Some((uci_move(text, board)?, *count)))
        .collect()
}

fn faults(list: &core::Faults) -> Vec<(&'static str, bool)> {
    list.iter()
        .map(|fault| (fault.slot.name(), fault.misheard))
        .collect()
}

fn kind(kind: Kind) -> &'static str {
    match kind {
        Kind::Play => "play",
        Kind::Aside => "aside",
        Kind::Echo => "echo",
        Kind::Goto => "goto",
        Kind::Place => "place",
    }
}

fn mode(mode: Mode) -> &'static str {
    match mode {
        Mode::Shown => "shown",
        Mode::Supposed => "supposed",
        Mode::Mentioned => "mentioned",
    }
}

fn py_event(event: &Event) -> PyEvent {
    (
        kind(event.kind),
        event.phrase,
        event.price,
        event.node,
        event.base,
        event.silent.to_vec(),
        event.extra.into_iter().collect(),
        faults(&event.faults),
        mode(event.mode),
        event.holds,
        event.before,
    )
}

fn found(hearing: &Hearing, hypotheses: &[Hypothesis], near: f32) -> TalkFound {
    let mut rivals = Vec::new();
    let mut next = hypotheses[0].rivals;
    while let Some(rival) = hearing.rival(next) {
        if rival.gap <= near {
            rivals.push((rival.gap, rival.kept, rival.event));
        }
        next = rival.before;
    }
    let mut events: HashMap<u32, PyEvent> = HashMap::new();
    let mut wanted: HashSet<u32> = HashSet::new();
    let ends = hypotheses.iter().map(|hypothesis| hypothesis.event);
    let others = rivals.iter().flat_map(|&(_, kept, other)| [kept, other]);
    for end in ends.chain(others) {
        let mut link = end;
        while let Some(event) = hearing.event(link) {
            if events.insert(link, py_event(event)).is_some() {
                break;
            }
            wanted.extend([event.node, event.base]);
            wanted.extend(event.silent.iter().copied().chain(event.extra));
            link = event.before;
        }
    }
    let mut nodes = HashMap::new();
    for node in wanted {
        add_line(hearing, node, &mut nodes);
    }
    add_line(hearing, 0, &mut nodes);
    TalkFound {
        hypotheses: hypotheses.iter().map(|h| (h.price, h.event)).collect(),
        events,
        rivals,
        nodes,
    }
}

/// A board with all boards before it.
fn add_line(hearing: &Hearing, mut index: u32, nodes: &mut HashMap<u32, PyNode>) {
    loop {
        let node = hearing.tree.node(index);
        let fen = Fen::from_position(&node.board, EnPassantMode::Legal).to_string();
        let made = node.made.map_or(String::new(), |made| uci(made.mv));
        let san = hearing.san_with_signs(index);
        if nodes
            .insert(index, (node.parent, made, san, fen, node.ply))
            .is_some()
        {
            return;
        }
        match hearing.tree.parent(index) {
            Some(parent) => index = parent,
            None => return,
        }
    }
}
