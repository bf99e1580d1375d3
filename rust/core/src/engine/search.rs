//! The search: iterative deepening over a principal-variation search with a quiescence search at
//! its ends.
//!
//! Source: common practice of the trade (principal variation search, null move, late move
//! reductions, futility, singular extensions, history); margins are this project's own.

use std::sync::LazyLock;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering::Relaxed};
use std::time::Instant;

use arrayvec::ArrayVec;

use super::board::Board;
use super::eval::evaluate;
use super::history::{History, Past, bonus, row};
use super::moves::{Checks, Move, exchange_wins, legal};
use super::pawns::PawnTable;
use super::picker::{Picker, victim_worth};
use super::score::{INFINITE, KNOWN_WIN, MATE, MATE_BOUND, MAX_PLY};
use super::table::{Bound, Found, Table};

/// Nodes between two looks at the clock and the stop flag.
const CHECK_EVERY: u64 = 512;

/// What all threads of one search share.
pub struct Shared<'a> {
    /// The transposition table.
    pub table: &'a Table,
    /// Set from outside to end the search.
    pub stop: &'a AtomicBool,
    /// Set when the main thread is done.
    pub over: AtomicBool,
    /// Nodes of all threads, as last told.
    pub nodes: AtomicU64,
    /// When the search began.
    pub began: Instant,
    /// When it must end.
    pub deadline: Option<Instant>,
    /// Nodes each thread may search.
    pub node_limit: u64,
}

/// One line found at the root.
#[derive(Clone, Debug)]
pub struct RootLine {
    /// Score as the side to move sees it.
    pub score: i32,
    /// Depth of the iteration that found it.
    pub depth: u32,
    /// Deepest ply reached.
    pub reached: u32,
    /// The moves.
    pub moves: Vec<Move>,
}

#[derive(Clone, Copy, Default)]
struct Frame {
    row: Option<u16>,
    eval: i32,
    excluded: Move,
}

/// One thread's search.
pub struct Searcher<'a> {
    shared: &'a Shared<'a>,
    history: &'a mut History,
    pawns: &'a mut PawnTable,
    frames: Vec<Frame>,
    lines: Vec<ArrayVec<Move, MAX_PLY>>,
    /// Keys of the game up to the root, then of the path.
    keys: Vec<u64>,
    root_keys: usize,
    nodes: u64,
    told: u64,
    next_check: u64,
    stopped: bool,
    reached: usize,
    root_depth: i32,
    /// Root moves not to be searched now.
    skipped: Vec<Move>,
    /// Root moves to be searched; all if empty.
    only: Vec<Move>,
    reductions: &'static [[u8; 64]; 64],
}

static REDUCTIONS: LazyLock<[[u8; 64]; 64]> = LazyLock::new(|| {
    let mut table = [[0; 64]; 64];
    for (depth, row) in table.iter_mut().enumerate().skip(1) {
        for (tried, cell) in row.iter_mut().enumerate().skip(1) {
            *cell = (0.4 + (depth as f64).ln() * (tried as f64).ln() / 2.4) as u8;
        }
    }
    table
});

impl<'a> Searcher<'a> {
    /// A search of a game whose earlier positions had `keys`.
    pub fn new(
        shared: &'a Shared<'a>,
        history: &'a mut History,
        pawns: &'a mut PawnTable,
        keys: &[u64],
        only: &[Move],
    ) -> Searcher<'a> {
        let mut all = Vec::with_capacity(keys.len() + 2 * MAX_PLY);
        all.extend_from_slice(keys);
        Searcher {
            shared,
            history,
            pawns,
            frames: vec![Frame::default(); MAX_PLY + 8],
            lines: vec![ArrayVec::new(); MAX_PLY + 8],
            keys: all,
            root_keys: keys.len(),
            nodes: 0,
            told: 0,
            next_check: CHECK_EVERY.min(shared.node_limit),
            stopped: false,
            reached: 0,
            root_depth: 0,
            skipped: Vec::new(),
            only: only.to_vec(),
            reductions: &REDUCTIONS,
        }
    }

    /// Deepens until a limit is met; `report` is told every finished line.
    ///
    /// Returns the best lines of the last iteration that got as far as a first move.
    pub fn deepen(
        &mut self,
        board: &Board,
        max_depth: u32,
        wanted: usize,
        first_depth: u32,
        mut report: impl FnMut(&[RootLine], usize, u64) -> bool,
    ) -> Vec<RootLine> {
        let choices = if self.only.is_empty() {
            legal(board).len()
        } else {
            self.only.len()
        };
        let wanted = wanted.min(choices);
        let mut best: Vec<RootLine> = Vec::new();
        for depth in first_depth..=max_depth.min(MAX_PLY as u32 - 1) {
            let mut found: Vec<RootLine> = Vec::new();
            for index in 0..wanted {
                self.skipped = found.iter().map(|line| line.moves[0]).collect();
                self.reached = 0;
                let guess = best.get(index).map(|line| line.score);
                let Some(line) = self.root(board, depth as i32, guess) else {
                    break;
                };
                found.push(line);
                if self.stopped {
                    break;
                }
                let mut merged = found.clone();
                merged.extend(left_over(&best, &found));
                if !report(&merged, index, self.all_nodes()) {
                    self.stopped = true;
                }
            }
            let rest = left_over(&best, &found);
            found.extend(rest);
            found.truncate(wanted);
            found.sort_by_key(|line| -line.score);
            if !found.is_empty() {
                best = found;
            }
            if self.stopped {
                break;
            }
        }
        self.tell_nodes();
        best
    }

    /// Nodes of all threads.
    pub fn all_nodes(&self) -> u64 {
        self.shared.nodes.load(Relaxed) + self.nodes - self.told
    }

    fn root(&mut self, board: &Board, depth: i32, guess: Option<i32>) -> Option<RootLine> {
        self.root_depth = depth;
        let mut window = 12;
        let (mut alpha, mut beta) = match guess {
            Some(score) if depth >= 5 && score.abs() < KNOWN_WIN => {
                (score - window, score + window)
            }
            _ => (-INFINITE, INFINITE),
        };
        let mut reduced = 0;
        let mut kept: Option<RootLine> = None;
        loop {
            self.lines[0].clear();
            let score = self.node::<true>(board, alpha, beta, (depth - reduced).max(1), 0, false);
            if !self.lines[0].is_empty() && (!self.stopped || score > alpha) {
                kept = Some(RootLine {
                    score,
                    depth: depth as u32,
                    reached: self.reached as u32,
                    moves: self.lines[0].to_vec(),
                });
            }
            if self.stopped {
                return kept;
            }
            if score <= alpha {
                beta = i32::midpoint(alpha, beta);
                alpha = (score - window).max(-INFINITE);
                reduced = 0;
            } else if score >= beta {
                beta = (score + window).min(INFINITE);
                reduced = (reduced + 1).min(2);
            } else {
                return kept;
            }
            window += window / 2 + 5;
            if window > 600 {
                (alpha, beta) = (-INFINITE, INFINITE);
            }
        }
    }

    #[inline]
    fn count_node(&mut self) -> bool {
        if self.stopped {
            return true;
        }
        self.nodes += 1;
        if self.nodes >= self.next_check {
            self.look_around();
        }
        self.stopped
    }

    #[cold]
    fn look_around(&mut self) {
        self.tell_nodes();
        let shared = self.shared;
        let late = shared
            .deadline
            .is_some_and(|deadline| Instant::now() >= deadline);
        // Something must have been found before the search may end.
        let enough = self.nodes >= shared.node_limit || late;
        let stopped = shared.stop.load(Relaxed) || shared.over.load(Relaxed) || enough;
        if stopped && self.root_depth > 1 || shared.over.load(Relaxed) {
            self.stopped = true;
        }
        self.next_check = (self.nodes + CHECK_EVERY).min(shared.node_limit.max(self.nodes + 1));
    }

    fn tell_nodes(&mut self) {
        self.shared.nodes.fetch_add(self.nodes - self.told, Relaxed);
        self.told = self.nodes;
    }

    fn past(&self, ply: usize) -> Past {
        let row = |back: usize| ply.checked_sub(back).and_then(|at| self.frames[at].row);
        self.history.past([row(1), row(2), row(4)], ply)
    }

    /// Whether the position is drawn by repetition or the fifty-move rule.
    fn drawn(&self, board: &Board) -> bool {
        if board.quiet_plies >= 100 && (!board.in_check() || !legal(board).is_empty()) {
            return true;
        }
        let here = self.keys.len();
        let reach = here.min(board.quiet_plies as usize);
        let mut seen = 0;
        for back in (4..=reach).step_by(2) {
            let at = here - back;
            if self.keys[at] == board.key {
                // Once within the search is taken for twice: the same again is no progress.
                seen += if at >= self.root_keys { 2 } else { 1 };
                if seen >= 2 {
                    return true;
                }
            }
        }
        false
    }

    fn node<const PV: bool>(
        &mut self,
        board: &Board,
        mut alpha: i32,
        mut beta: i32,
        mut depth: i32,
        ply: usize,
        cut: bool,
    ) -> i32 {
        if depth <= 0 {
            return self.quiesce::<PV>(board, alpha, beta, ply, 0);
        }
        self.lines[ply].clear();
        let in_check = board.in_check();
        if ply > 0 {
            if self.count_node() {
                return 0;
            }
            if self.drawn(board) {
                return 0;
            }
            if ply >= MAX_PLY - 1 {
                return if in_check {
                    0
                } else {
                    evaluate(board, self.pawns)
                };
            }
            alpha = alpha.max(ply as i32 - MATE);
            beta = beta.min(MATE - ply as i32 - 1);
            if alpha >= beta {
                return alpha;
            }
        }
        self.reached = self.reached.max(ply);
        let excluded = self.frames[ply].excluded;
        let found = if excluded.is_none() {
            self.shared.table.find(board.key, ply)
        } else {
            None
        };
        if let Some(found) = found
            && !PV
            && found.depth >= depth
            && board.quiet_plies < 90
            && allows_cut(found, beta)
        {
            if found.score >= beta && !found.best.is_none() && found.best.is_quiet() {
                let past = self.past(ply);
                if super::moves::possible(board, found.best) {
                    self.history
                        .adjust(board, found.best, &past, bonus(depth) / 2);
                }
            }
            return found.score;
        }
        let principal = PV || found.is_some_and(|found| found.principal);
        let remembered = found.map_or(Move::NONE, |found| found.best);

        let eval = match found {
            _ if in_check => -INFINITE,
            Some(found) => found.eval,
            None if !excluded.is_none() => self.frames[ply].eval,
            None => evaluate(board, self.pawns),
        };
        self.frames[ply].eval = eval;
        // What the table found may say more than the evaluation.
        let guess = match found {
            Some(found) if !in_check && allows_cut(found, eval + i32::from(found.score > eval)) => {
                found.score
            }
            _ => eval,
        };
        let improving = !in_check
            && ply >= 2
            && (self.frames[ply - 2].eval == -INFINITE || eval > self.frames[ply - 2].eval);

        if !PV && !in_check && excluded.is_none() && beta.abs() < MATE_BOUND {
            if let Some(score) = self.prune(board, alpha, beta, depth, ply, guess, improving, cut) {
                return score;
            }
        }
        if remembered.is_none() && depth >= 5 && (PV || cut) {
            depth -= 1;
        }
        self.history.forget_killers(ply + 1);
        let past = self.past(ply);
        let mut picker = Picker::all(board, remembered);
        let checks = Checks::of(board);
        let (mut best, mut best_move) = (-INFINITE, Move::NONE);
        let mut quiets_tried: ArrayVec<Move, 64> = ArrayVec::new();
        let mut captures_tried: ArrayVec<Move, 32> = ArrayVec::new();
        let mut tried = 0;
        let mut skip_quiets = false;
        let old_alpha = alpha;
        while let Some(ranked) = picker.next(board, self.history, &past, skip_quiets) {
            let played = ranked.played;
            if played == excluded || (ply == 0 && !self.searched_at_root(played)) {
                continue;
            }
            tried += 1;
            let quiet = played.is_quiet();
            let record = if quiet {
                self.history.record(board, played, &past)
            } else {
                0
            };
            let checks = checks.given_by(board, played);
            if ply > 0 && best > -MATE_BOUND && board.has_pieces(board.turn) {
                let reduction = self.reduction(depth, tried);
                let left = (depth - reduction).max(0);
                if quiet {
                    let enough = (3 + depth * depth) / if improving { 1 } else { 2 };
                    if !PV && tried > enough {
                        skip_quiets = true;
                    }
                    if !in_check
                        && !checks
                        && left <= 5
                        && eval + 90 + 95 * left + record / 64 <= alpha
                    {
                        skip_quiets = true;
                        if tried > 1 {
                            continue;
                        }
                    }
                    if !checks && left <= 4 && record < -3500 * (left + 1) {
                        continue;
                    }
                    if left <= 7 && !exchange_wins(board, played, -22 * left * left - 20) {
                        continue;
                    }
                } else if left <= 6
                    && picker.is_losing()
                    && !checks
                    && !exchange_wins(board, played, -95 * depth)
                {
                    continue;
                }
            }
            let mut extension = 0;
            if ply > 0
                && played == remembered
                && depth >= 7
                && excluded.is_none()
                && ply < 2 * self.root_depth as usize
                && let Some(found) = found
                && found.depth >= depth - 3
                && matches!(found.bound, Bound::AtLeast | Bound::Exact)
                && found.score.abs() < MATE_BOUND
            {
                let bar = found.score - 2 * depth;
                self.frames[ply].excluded = played;
                let other = self.node::<false>(board, bar - 1, bar, (depth - 1) / 2, ply, cut);
                self.frames[ply].excluded = Move::NONE;
                if self.stopped {
                    return 0;
                }
                if other < bar {
                    extension = if !PV && other < bar - 20 { 2 } else { 1 };
                } else if bar >= beta {
                    return bar;
                } else if found.score >= beta {
                    extension = -1;
                }
                self.lines[ply].clear();
            }
            let next = board.after(played);
            if extension == 0
                && checks
                && ply < 2 * self.root_depth as usize
                && (PV || depth <= 8)
                && exchange_wins(board, played, 0)
            {
                extension = 1;
            }
            self.frames[ply].row = Some(row(board, played));
            self.keys.push(board.key);
            let full = depth - 1 + extension;
            let mut score;
            if tried > 1 + i32::from(PV)
                && depth >= 3
                && (quiet || picker.is_losing() || !principal)
            {
                let mut reduction = self.reduction(depth, tried);
                reduction += i32::from(cut) + i32::from(!improving) - i32::from(principal);
                if quiet {
                    reduction -= (record / 7000).clamp(-2, 3);
                    reduction -= i32::from(ranked.rank >= 180_000);
                    reduction += i32::from(!remembered.is_none() && !remembered.is_quiet());
                } else {
                    reduction = reduction / 2 - i32::from(!picker.is_losing());
                }
                reduction -= i32::from(checks) + i32::from(ply == 0);
                let reduced = (full - reduction).clamp(1.min(full), full.max(1));
                score = -self.node::<false>(&next, -alpha - 1, -alpha, reduced, ply + 1, true);
                if score > alpha && reduced < full {
                    score = -self.node::<false>(&next, -alpha - 1, -alpha, full, ply + 1, !cut);
                }
            } else if !PV || tried > 1 {
                score = -self.node::<false>(&next, -alpha - 1, -alpha, full, ply + 1, !cut);
            } else {
                score = alpha + 1;
            }
            if PV && (tried == 1 || score > alpha) {
                score = -self.node::<true>(&next, -beta, -alpha, full, ply + 1, false);
            }
            self.keys.pop();
            if self.stopped {
                return if ply == 0 { best } else { 0 };
            }
            if score > best {
                best = score;
                if score > alpha {
                    best_move = played;
                    if PV {
                        self.extend_line(ply, played);
                    }
                    if score >= beta {
                        break;
                    }
                    alpha = score;
                }
            }
            if quiet {
                let _ = quiets_tried.try_push(played);
            } else {
                let _ = captures_tried.try_push(played);
            }
        }
        if tried == 0 {
            return match (excluded.is_none(), in_check) {
                (false, _) => alpha,
                (true, true) => ply as i32 - MATE,
                (true, false) => 0,
            };
        }
        if best == -INFINITE {
            // Everything was pruned.
            best = alpha;
        }
        if best >= beta {
            if best_move.is_quiet() {
                self.history
                    .reward(board, best_move, &quiets_tried, &past, depth);
            } else {
                self.history.adjust_capture(board, best_move, bonus(depth));
            }
            for &played in &captures_tried {
                self.history.adjust_capture(board, played, -bonus(depth));
            }
        }
        if excluded.is_none() && (ply > 0 || self.skipped.is_empty()) {
            let bound = if best >= beta {
                Bound::AtLeast
            } else if PV && best > old_alpha {
                Bound::Exact
            } else {
                Bound::AtMost
            };
            let entry = Found {
                best: best_move,
                score: best,
                eval,
                depth,
                bound,
                principal,
            };
            self.shared.table.store(board.key, ply, entry);
        }
        best
    }

    fn reduction(&self, depth: i32, tried: i32) -> i32 {
        i32::from(self.reductions[depth.clamp(0, 63) as usize][tried.clamp(0, 63) as usize])
    }

    fn searched_at_root(&self, played: Move) -> bool {
        !self.skipped.contains(&played) && (self.only.is_empty() || self.only.contains(&played))
    }

    fn extend_line(&mut self, ply: usize, played: Move) {
        let (upper, lower) = self.lines.split_at_mut(ply + 1);
        let line = &mut upper[ply];
        line.clear();
        line.push(played);
        for &reply in &lower[0] {
            let _ = line.try_push(reply);
        }
    }

    /// What can be said of a node without trying its moves one by one.
    fn prune(
        &mut self,
        board: &Board,
        alpha: i32,
        beta: i32,
        depth: i32,
        ply: usize,
        guess: i32,
        improving: bool,
        cut: bool,
    ) -> Option<i32> {
        let passed = ply > 0 && self.frames[ply - 1].row.is_none();
        let margin = 75 * (depth - i32::from(improving));
        if depth <= 8 && guess - margin >= beta && guess < KNOWN_WIN {
            // A quiet threat of mate does not show in the evaluation, but after a pass.
            if depth < 3 || passed || self.after_pass_holds(board, beta, ply) {
                return Some(i32::midpoint(guess, beta));
            }
            if self.stopped {
                return Some(0);
            }
        }
        if depth <= 2 && guess + 250 + 220 * depth * depth <= alpha {
            let score = self.quiesce::<false>(board, alpha, alpha + 1, ply, 0);
            if score <= alpha {
                return Some(score);
            }
        }
        if depth >= 3 && guess >= beta && !passed && board.has_pieces(board.turn) {
            let reduction = 3 + depth / 4 + ((guess - beta) / 200).min(3);
            self.frames[ply].row = None;
            self.keys.push(board.key);
            let next = board.after_pass();
            let score =
                -self.node::<false>(&next, -beta, 1 - beta, depth - reduction, ply + 1, !cut);
            self.keys.pop();
            if self.stopped {
                return Some(0);
            }
            if score >= beta {
                let score = if score >= MATE_BOUND { beta } else { score };
                if depth < 12 {
                    return Some(score);
                }
                // Deep down a wrong pass is costly (zugzwang): make sure without passing.
                let sure = self.sure(board, beta, depth - reduction, ply);
                if sure {
                    return Some(score);
                }
            }
        }
        None
    }

    /// Whether `beta` stands even if the other side has two moves in a row, captures and checks.
    fn after_pass_holds(&mut self, board: &Board, beta: i32, ply: usize) -> bool {
        self.frames[ply].row = None;
        self.keys.push(board.key);
        let score = -self.quiesce::<false>(&board.after_pass(), -beta, 1 - beta, ply + 1, 0);
        self.keys.pop();
        score >= beta
    }

    fn sure(&mut self, board: &Board, beta: i32, depth: i32, ply: usize) -> bool {
        let row = if ply > 0 {
            self.frames[ply - 1].row.take()
        } else {
            None
        };
        let score = self.node::<false>(board, beta - 1, beta, depth, ply, false);
        if ply > 0 {
            self.frames[ply - 1].row = row;
        }
        score >= beta
    }

    fn quiesce<const PV: bool>(
        &mut self,
        board: &Board,
        mut alpha: i32,
        beta: i32,
        ply: usize,
        below: i32,
    ) -> i32 {
        self.lines[ply].clear();
        if self.count_node() || self.drawn(board) {
            return 0;
        }
        self.reached = self.reached.max(ply);
        let in_check = board.in_check();
        if ply >= MAX_PLY - 1 {
            return if in_check {
                0
            } else {
                evaluate(board, self.pawns)
            };
        }
        let found = self.shared.table.find(board.key, ply);
        if let Some(found) = found
            && !PV
            && allows_cut(found, beta)
        {
            return found.score;
        }
        let (mut best, eval) = if in_check {
            (ply as i32 - MATE, -INFINITE)
        } else {
            let eval = match found {
                Some(found) if found.eval != -INFINITE => found.eval,
                _ => evaluate(board, self.pawns),
            };
            let better =
                found.filter(|found| allows_cut(*found, eval + i32::from(found.score > eval)));
            (better.map_or(eval, |found| found.score), eval)
        };
        let old_alpha = alpha;
        if best >= beta {
            return best;
        }
        alpha = alpha.max(best);
        let remembered = found.map_or(Move::NONE, |found| found.best);
        let mut picker = Picker::noisy(board, remembered, 0);
        if below == 0 && !in_check {
            picker = picker.with_checks();
        }
        let past = self.past(ply);
        let mut best_move = Move::NONE;
        let mut tried = 0;
        let hope = best + 150;
        while let Some(ranked) = picker.next(board, self.history, &past, false) {
            let played = ranked.played;
            tried += 1;
            if !in_check && played.captures() && !played.promotes() {
                let most = hope + victim_worth(board, played);
                if most <= alpha {
                    best = best.max(most);
                    continue;
                }
            }
            if in_check && tried > 3 && best > -MATE_BOUND && played.is_quiet() {
                continue;
            }
            let next = board.after(played);
            self.frames[ply].row = Some(row(board, played));
            self.keys.push(board.key);
            let score = -self.quiesce::<PV>(&next, -beta, -alpha, ply + 1, below + 1);
            self.keys.pop();
            if self.stopped {
                return 0;
            }
            if score > best {
                best = score;
                if score > alpha {
                    best_move = played;
                    if PV {
                        self.extend_line(ply, played);
                    }
                    if score >= beta {
                        break;
                    }
                    alpha = score;
                }
            }
        }
        let bound = if best >= beta {
            Bound::AtLeast
        } else if PV && best > old_alpha {
            Bound::Exact
        } else {
            Bound::AtMost
        };
        let entry = Found {
            best: best_move,
            score: best,
            eval,
            depth: 0,
            bound,
            principal: PV,
        };
        self.shared.table.store(board.key, ply, entry);
        best
    }
}

/// Lines of the last iteration that this one has not reached yet.
fn left_over(old: &[RootLine], new: &[RootLine]) -> Vec<RootLine> {
    old.iter()
        .filter(|line| !new.iter().any(|other| other.moves[0] == line.moves[0]))
        .cloned()
        .collect()
}

/// Whether a remembered score decides against `beta`.
#[inline]
fn allows_cut(found: Found, beta: i32) -> bool {
    match found.bound {
        Bound::Exact => true,
        Bound::AtLeast => found.score >= beta,
        Bound::AtMost => found.score < beta,
        Bound::None => false,
    }
}
